/*
 * Buffered CSV out: quoted only when needed, LF, every write checked once at the end.
 */
#ifndef LEAT_STREAM_OUT_H
#define LEAT_STREAM_OUT_H

#include <stdio.h>

#include "base/error.h"
#include "base/instant.h"
#include "base/mem.h"

#define LEAT_OUT_SIZE (128u * 1024u)

/* Kept by whoever lends bytes: zero at first, and ended before the bytes change or go. */
struct leat_loan {
	struct leat_out *out;	/* to whom they are lent; NULL: nobody */
};

/* The first failure is kept in errnum and later writes are dropped, so callers need not test each write. */
struct leat_out {
	FILE *file;		/* borrowed; unbuffered use beside this struct would reorder output */
	int errnum;		/* errno of the first failed write, 0 when none failed */
	bool pushed;		/* something has left the buffer, or was to */
	struct leat_span lent;	/* bytes that come after those in the buffer, while there is a loan */
	struct leat_loan *loan;	/* of who lent them; NULL: none are */
	size_t len;
	char buf[LEAT_OUT_SIZE];
};

void leat_out_init(struct leat_out *out, FILE *file);
void leat_out_bytes(struct leat_out *out, const char *bytes, size_t len);

/* As leat_out_bytes, but the bytes may stay where they are until the loan ends: rows that lie side by side go out as one
 * piece. */
void leat_out_lend(struct leat_out *out, struct leat_span bytes, struct leat_loan *loan);
/* Takes over what is lent. */
void leat_out_settle(struct leat_out *out);
static inline void
leat_loan_end(struct leat_loan *loan)
{
	if (loan->out != NULL)
		leat_out_settle(loan->out);
}

static inline void
leat_out_span(struct leat_out *out, struct leat_span s)
{
	leat_out_bytes(out, s.ptr, s.len);
}
static inline void
leat_out_text(struct leat_out *out, const char *s)
{
	leat_out_bytes(out, s, strlen(s));
}
void leat_out_char(struct leat_out *out, char c);
/* A line, at most LEAT_OUT_LINE - 1 bytes of it, and its end. */
#define LEAT_OUT_LINE 4096
void leat_out_line(struct leat_out *out, const char *fmt, ...) LEAT_PRINTF(2, 3);

/* Makes room for size bytes, at most LEAT_OUT_SIZE. */
void leat_out_make_room(struct leat_out *out, size_t size);

/* Room for size bytes, at most LEAT_OUT_SIZE, that the caller fills at once: they are part of the output. */
static inline char *
leat_out_room(struct leat_out *out, size_t size)
{
	if (out->loan != NULL || size > LEAT_OUT_SIZE - out->len)
		leat_out_make_room(out, size);
	out->len += size;
	return out->buf + out->len - size;
}

/* Was anything written at all? */
bool leat_out_any(const struct leat_out *out);

/* One field, quoted when it holds a comma, quote, CR or LF, or begins or ends with a blank. */
void leat_out_field(struct leat_out *out, struct leat_span s);

/* The same field at the end of a buffer.  0, or -1 when memory is out. */
int leat_out_field_to(struct leat_buf *buf, struct leat_span s) LEAT_MUST_USE;

/* RFC 3339; nothing for LEAT_TIME_NONE. */
void leat_out_time(struct leat_out *out, struct leat_time t);

/* Sends the buffer on and flushes the file.  0, or -1 when this or any earlier write failed. */
int leat_out_flush(struct leat_out *out) LEAT_MUST_USE;

#endif
