/*
 * iCalendar lines against RFC 5545: folding (3.1), escaping (3.3.11), dates and times (3.3.4, 3.3.5), and the examples of the
 * reference pack, whose folded bytes were made by another program.
 */
#include "reference_rows.h"

#include "tell/icalendar.h"

struct made {
	struct leat_out out;
	char *text;
	size_t size;
	FILE *file;
};

static void
begin(struct made *m)
{
	m->file = open_memstream(&m->text, &m->size);
	assert_non_null(m->file);
	leat_out_init(&m->out, m->file);
}

static struct leat_span
end(struct made *m)
{
	assert_int_equal(leat_out_flush(&m->out), 0);
	fclose(m->file);
	return leat_span_make(m->text, m->size);
}

/* "\n" and "\\" of the reference's text, as bytes. */
static size_t
unescape(char *dst, const char *text)
{
	size_t len = 0;

	for (; *text != '\0'; text++) {
		if (*text == '\\' && text[1] != '\0')
			dst[len++] = *++text == 'n' ? '\n' : *text;
		else
			dst[len++] = *text;
	}
	return len;
}

static size_t
bytes_of(char *dst, const char *hex)
{
	size_t len = 0;

	for (; hex[0] != '\0' && hex[1] != '\0'; hex += 2) {
		unsigned byte = 0;

		for (int i = 0; i < 2; i++)
			byte = byte * 16 + (unsigned)(hex[i] <= '9' ? hex[i] - '0' : hex[i] - 'a' + 10);
		dst[len++] = (char)byte;
	}
	return len;
}

static void
test_reference(void **state)
{
	struct reference_rows rows;
	size_t count = 0;

	(void)state;
	if (!reference_open(&rows, "ical-fold-examples.csv"))
		return;
	while (reference_next(&rows)) {
		char text[1024], expected[1024];
		size_t len = unescape(text, rows.field[2]), bytes = bytes_of(expected, rows.field[4]);
		struct leat_span got;
		struct made m;

		begin(&m);
		assert_int_equal(leat_ical_text(&m.out, rows.field[1], leat_span_make(text, len)), 0);
		got = end(&m);
		if (!leat_span_eq(got, leat_span_make(expected, bytes)))
			fail_msg("%s: %.*s", rows.field[0], (int)got.len, got.ptr);
		free(m.text);
		count++;
	}
	assert_int_equal(count, 5);
	reference_close(&rows);
}

/* The lines of RFC 5545: 3.3.4 has 19970714 for 14 July 1997, 3.3.5 has 19980119T070000Z for 7:00 UTC on 19 January 1998;
 * 3.3.11 has the text below. */
static void
test_values(void **state)
{
	struct made m;
	struct leat_time t;

	(void)state;
	begin(&m);
	assert_int_equal(leat_time_parse(LEAT_SPAN("1997-07-14T00:00:00Z"), &t), 0);
	leat_ical_date(&m.out, "DTSTART", t.sec / 86400);
	assert_int_equal(leat_time_parse(LEAT_SPAN("1998-01-19T08:00:00.9+01:00"), &t), 0);
	leat_ical_time(&m.out, "DTSTAMP", t);
	assert_int_equal(leat_ical_text(&m.out, "DESCRIPTION",
	    LEAT_SPAN("Project XYZ Final Review\nConference Room - 3B\nCome Prepared.")), 0);
	unit_span(end(&m), "DTSTART;VALUE=DATE:19970714\r\nDTSTAMP:19980119T070000Z\r\n"
	    "DESCRIPTION:Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared.\r\n");
	free(m.text);
}

/* Any text: no row is longer than 75 octets, each but the first begins with a blank, none is malformed, and unfolded it is
 * what it was. */
static void
test_any_text(void **state)
{
	static const char *const part[] = { "a", "\xc3\xbc", "\xe2\x82\xac", "\xf0\x9f\x94\xa7", ",", ";", "\\", "\n", " ", "\t" };
	uint64_t seed = 5545;

	(void)state;
	for (int i = 0; i < 500; i++) {
		struct leat_buf text = { 0 };
		struct leat_span got, row;
		char *plain = malloc(4096);
		size_t len = 0;
		struct made m;

		for (int k = 0; k < i; k++) {
			seed = seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
			assert_int_equal(leat_buf_printf(&text, "%s", part[(seed >> 33) % 10]), 0);
		}
		begin(&m);
		assert_int_equal(leat_ical_text(&m.out, "X", leat_buf_span(&text)), 0);
		got = end(&m);
		assert_true(leat_span_ends(got, "\r\n"));
		got.len -= 2;
		for (bool first = true; leat_span_next(&got, '\r', &row); first = false) {
			if (!first) {
				assert_true(row.len >= 2 && row.ptr[0] == '\n' && row.ptr[1] == ' ');
				row = leat_span_make(row.ptr + 1, row.len - 1);
			}
			assert_true(row.len <= 75);
			assert_true(leat_utf8_valid(row));
			memcpy(plain + len, row.ptr + !first, row.len - !first);
			len += row.len - !first;
		}
		assert_memory_equal(plain, "X:", 2);
		for (size_t at = 2, k = 0; at < len; at++, k++) {
			char c = plain[at];

			if (c == '\\')
				c = plain[++at] == 'n' ? '\n' : plain[at];
			assert_true(k < text.len && text.data[k] == c);
			assert_true(k + 1 == text.len || at + 1 < len);
		}
		free(plain);
		free(m.text);
		leat_buf_free(&text);
	}
}

/* What no calendar may hold is masked. */
static void
test_masked(void **state)
{
	struct made m;

	(void)state;
	begin(&m);
	assert_int_equal(leat_ical_text(&m.out, "SUMMARY", LEAT_SPAN("a\x01" "b\xff" "c\xc3")), 0);
	unit_span(end(&m), "SUMMARY:a?b?c?\r\n");
	free(m.text);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_reference), cmocka_unit_test(test_values), cmocka_unit_test(test_any_text),
		cmocka_unit_test(test_masked)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
