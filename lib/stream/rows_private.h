/*
 * Between rows.c (records from bytes) and reading_quick.c, which takes rows of a known shape straight off the buffer.
 */
#ifndef LEAT_STREAM_ROWS_PRIVATE_H
#define LEAT_STREAM_ROWS_PRIVATE_H

#include "stream/out.h"
#include "stream/rows.h"

/* From this byte on, all bytes but the separator stand for themselves; below it are quote, blanks and control bytes. */
#define LEAT_ROW_PLAIN 0x23

struct leat_rows {
	struct leat_input *in;
	struct leat_splitter *splitter;
	char separator;
	char *buf;
	size_t at, end, cap;	/* buf[at..end) is not yet handed out */
	bool eof;
	long lines;		/* lines handed out or passed over */
	long blank;
	struct leat_loan loan;	/* of bytes in buf */
};

/* Writes the record last handed out, which is lent, and LF. */
void leat_rows_lend(struct leat_rows *rows, const struct leat_row *row, struct leat_out *out);

#endif
