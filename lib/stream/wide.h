/*
 * Readings as a table for notebooks: a row for each time, a column for each asset, point and unit.
 *
 * First every reading is shown once, so that the columns are known (leat_wide_learn); then the header is written, and
 * the readings are put again in order of time.  Memory is per column.
 */
#ifndef LEAT_STREAM_WIDE_H
#define LEAT_STREAM_WIDE_H

#include "stream/reading.h"

#define LEAT_WIDE_LIMIT (LEAT_FIELD_LIMIT - 1)	/* columns beside the time, as many as a row may have */

struct leat_wide_column {
	struct leat_span asset, point, unit;	/* owned by the table of names */
	struct leat_buf value;			/* of the row being put together; empty: blank */
};

/* A zeroed struct is a valid empty table. */
struct leat_wide {
	struct leat_wide_column *column;	/* by number */
	size_t columns, cap;
	size_t *order;				/* column numbers as they are written: by asset, point, unit */
	long long rows;				/* written */
	long long overwritten;			/* values that gave way to another, later one of the same time and column */

	struct leat_names assets, points, units;	/* private from here */
	struct leat_pairs series, keys;
	struct leat_wide_guess {
		uint32_t column;		/* plus 1; 0: none yet */
		uint32_t unit;
	} *guess;				/* by series of the stream */
	size_t guesses;
	struct leat_time time;			/* of the row being put together */
	bool pending;
};

/* The column of a reading, new if need be.  -1 with err: too many columns, memory. */
int leat_wide_learn(struct leat_wide *wide, const struct leat_reading *r, uint32_t *column, struct leat_error *err)
    LEAT_MUST_USE;

/* Before another stream, whose series have other numbers. */
void leat_wide_renew(struct leat_wide *wide);

/* 0, or -1 when memory is out. */
int leat_wide_header(struct leat_wide *wide, struct leat_out *out) LEAT_MUST_USE;

/* A value, an empty one leaves its cell blank.  0, or -1 when memory is out. */
int leat_wide_put(struct leat_wide *wide, struct leat_out *out, uint32_t column, struct leat_time time,
    struct leat_span value) LEAT_MUST_USE;

/* After the last value: writes the last row. */
void leat_wide_end(struct leat_wide *wide, struct leat_out *out);
void leat_wide_free(struct leat_wide *wide);

#endif
