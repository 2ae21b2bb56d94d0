/*
 * Buffered CSV out.
 */
#include "stream/out.h"

#include <errno.h>
#include <stdarg.h>

#include "stream/pipe.h"

/* So many bytes that are lent leave at once, for a copy costs more than a write does. */
#define LARGE (32u * 1024u)

void
leat_out_init(struct leat_out *out, FILE *file)
{
	out->file = file;
	out->errnum = 0;
	out->pushed = false;
	out->loan = NULL;
	out->len = 0;
	leat_pipe_widen(fileno(file));
}

bool
leat_out_any(const struct leat_out *out)
{
	return out->pushed || out->len > 0 || out->loan != NULL;
}

static void
push(struct leat_out *out, const char *bytes, size_t len)
{
	if (len == 0)
		return;
	out->pushed = true;
	if (out->errnum != 0)
		return;
	errno = 0;
	if (fwrite(bytes, 1, len, out->file) != len)
		out->errnum = errno != 0 ? errno : EIO;
}

static void
empty(struct leat_out *out)
{
	push(out, out->buf, out->len);
	out->len = 0;
}

static void
put(struct leat_out *out, const char *bytes, size_t len)
{
	if (len > LEAT_OUT_SIZE - out->len) {
		empty(out);
		if (len >= LEAT_OUT_SIZE) {
			push(out, bytes, len);
			return;
		}
	}
	if (len > 0)
		memcpy(out->buf + out->len, bytes, len);
	out->len += len;
}

void
leat_out_settle(struct leat_out *out)
{
	if (out->loan == NULL)
		return;
	out->loan->out = NULL;
	out->loan = NULL;
	if (out->lent.len < LARGE) {
		put(out, out->lent.ptr, out->lent.len);
		return;
	}
	empty(out);
	push(out, out->lent.ptr, out->lent.len);
}

void
leat_out_lend(struct leat_out *out, struct leat_span bytes, struct leat_loan *loan)
{
	if (out->loan == loan && out->lent.ptr + out->lent.len == bytes.ptr) {
		out->lent.len += bytes.len;
		return;
	}
	leat_out_settle(out);
	leat_loan_end(loan);
	out->lent = bytes;
	out->loan = loan;
	loan->out = out;
}

void
leat_out_bytes(struct leat_out *out, const char *bytes, size_t len)
{
	leat_out_settle(out);
	put(out, bytes, len);
}

void
leat_out_make_room(struct leat_out *out, size_t size)
{
	leat_out_settle(out);
	if (size > LEAT_OUT_SIZE - out->len)
		empty(out);
}

void
leat_out_char(struct leat_out *out, char c)
{
	*leat_out_room(out, 1) = c;
}

void
leat_out_line(struct leat_out *out, const char *fmt, ...)
{
	char text[LEAT_OUT_LINE];
	va_list ap;

	va_start(ap, fmt);
	vsnprintf(text, sizeof(text), fmt, ap);
	va_end(ap);
	leat_out_text(out, text);
	leat_out_char(out, '\n');
}

static bool
is_blank(char c)
{
	return c == ' ' || c == '\t';
}

static bool
needs_quotes(struct leat_span s)
{
	size_t i;

	if (s.len == 0)
		return false;
	if (is_blank(s.ptr[0]) || is_blank(s.ptr[s.len - 1]))
		return true;
	for (i = 0; i < s.len; i++) {
		if (s.ptr[i] == ',' || s.ptr[i] == '"' || s.ptr[i] == '\n' || s.ptr[i] == '\r')
			return true;
	}
	return false;
}

void
leat_out_field(struct leat_out *out, struct leat_span s)
{
	const char *quote;
	size_t len;

	if (!needs_quotes(s)) {
		leat_out_bytes(out, s.ptr, s.len);
		return;
	}
	leat_out_char(out, '"');
	while (s.len > 0) {
		quote = memchr(s.ptr, '"', s.len);
		len = quote != NULL ? (size_t)(quote - s.ptr) + 1 : s.len;
		leat_out_bytes(out, s.ptr, len);
		if (quote != NULL)
			leat_out_char(out, '"');
		s.ptr += len;
		s.len -= len;
	}
	leat_out_char(out, '"');
}

int
leat_out_field_to(struct leat_buf *buf, struct leat_span s)
{
	if (!needs_quotes(s))
		return leat_buf_add_span(buf, s);
	if (leat_buf_add(buf, "\"", 1) != 0)
		return -1;
	for (size_t i = 0; i < s.len; i++) {
		if ((s.ptr[i] == '"' && leat_buf_add(buf, "\"", 1) != 0) || leat_buf_add(buf, &s.ptr[i], 1) != 0)
			return -1;
	}
	return leat_buf_add(buf, "\"", 1);
}

void
leat_out_time(struct leat_out *out, struct leat_time t)
{
	char text[LEAT_TIME_MAX];

	if (!leat_time_is_none(t))
		leat_out_bytes(out, text, leat_time_write(text, t));
}

int
leat_out_flush(struct leat_out *out)
{
	leat_out_settle(out);
	empty(out);
	errno = 0;
	if (fflush(out->file) != 0 && out->errnum == 0)
		out->errnum = errno != 0 ? errno : EIO;
	return out->errnum == 0 ? 0 : -1;
}
