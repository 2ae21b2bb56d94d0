/*
 * Fuzzes what a mail is made of from texts of anybody: addresses, headers, parts.
 *
 * Nothing may begin a line of its own in a header, and no line may be longer than the standards have it; what is taken for an
 * address must be taken again as it was written.
 */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "tell/harmless.h"
#include "tell/html.h"
#include "tell/mail_text.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
must(bool holds)
{
	if (!holds)
		abort();
}

/* One header: printable ASCII, folded lines begin with a blank and hold something else. */
static void
check_header(struct leat_span text, size_t most)
{
	struct leat_span line;
	bool first = true;

	must(text.len > 0 && text.ptr[text.len - 1] == '\n');
	text.len--;
	while (leat_span_next(&text, '\n', &line)) {
		must(first || (line.len > 1 && line.ptr[0] == ' '));
		must(line.len <= most);
		for (size_t i = 0; i < line.len; i++)
			must(line.ptr[i] >= ' ' && line.ptr[i] <= '~');
		first = false;
	}
}

static void
check_addresses(struct leat_span text)
{
	struct leat_buf once = { 0 }, again = { 0 };
	struct leat_error err;

	if (leat_mail_addresses(&once, "To", text, 64, &err) == 0) {
		char *list = NULL;

		/* An address itself is not folded. */
		check_header(leat_buf_span(&once), 998);
		list = leat_strndup(leat_span_make(once.data + 4, once.len - 5));
		must(list != NULL && leat_mail_domain(text).len > 0);
		for (char *p = list; *p != '\0'; p++)
			*p = *p == '\n' ? ' ' : *p;
		must(leat_mail_addresses(&again, "To", leat_span_of(list), 64, &err) == 0);
		free(list);
	}
	leat_buf_free(&once);
	leat_buf_free(&again);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct leat_span text = leat_span_make((const char *)data, size), line, rest;
	struct leat_buf buf = { 0 };

	check_addresses(text);
	must(leat_mail_header(&buf, "Subject", text) == 0);
	check_header(leat_buf_span(&buf), 78);
	leat_buf_reset(&buf);
	must(leat_mail_quoted_printable(&buf, text) == 0);
	rest = leat_buf_span(&buf);
	must(rest.len == 0 || rest.ptr[rest.len - 1] == '\n');
	while (leat_span_next(&rest, '\n', &line)) {
		must(line.len <= LEAT_MAIL_WORD_LINE && !leat_span_is(line, "."));
		for (size_t i = 0; i < line.len; i++)
			must(line.ptr[i] == '\t' || (line.ptr[i] >= ' ' && line.ptr[i] <= '~'));
	}
	leat_buf_reset(&buf);
	must(leat_harmless_field(&buf, text) == 0);
	must(buf.len >= 2 && buf.data[1] != '=' && buf.data[1] != '@');
	leat_buf_reset(&buf);
	must(leat_html_text(&buf, text) == 0);
	must(buf.len == 0 || (memchr(buf.data, '<', buf.len) == NULL && memchr(buf.data, '"', buf.len) == NULL));
	leat_buf_free(&buf);
	return 0;
}
