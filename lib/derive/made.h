/*
 * Rows that a derive filter makes at one instant, in place of those of an earlier run; or their explanations.
 *
 * Rows of the points that the filter makes are held until the instant is over.  Then those that are made anew are left out
 * and the others written, before the new ones.  Under explain no row is written: each is told with how it came about.
 */
#ifndef LEAT_DERIVE_MADE_H
#define LEAT_DERIVE_MADE_H

#include "stream/reading.h"

/* A row that is made. */
struct leat_made_row {
	struct leat_span asset;		/* valid until the instant is over */
	const char *point, *unit;
	double value;			/* not finite: none, which makes the row bad */
	int decimals;
	enum leat_quality quality;
};

/* Private: a row of an earlier run. */
struct leat_made_held {
	struct leat_span asset, point;	/* interned */
	size_t end;			/* in the buffer */
};

/* Set the first part, zero the rest. */
struct leat_made {
	struct leat_readings *in;	/* borrowed */
	struct leat_out *out;		/* borrowed: takes rows or explanations */
	bool copy;			/* rows of the stream are written, so those that are held here too */
	bool explain;			/* explanations in place of rows */
	struct leat_span what;		/* explain this asset or ASSET/POINT only; empty: all */

	struct leat_time time;		/* the instant: the user sets it each time */
	long long added, replaced;
	bool no_memory;			/* put ran out of it */

	/* Private. */
	struct leat_made_held *held;
	size_t helds, held_cap;
	struct leat_buf text;		/* of the held rows */
	struct leat_made_row *row;
	size_t rows, row_cap;
};

/* Makes a row, or tells how it came about: the format is evaluated only where it is asked for. */
void leat_made_put(struct leat_made *made, const struct leat_made_row *row, const char *fmt, ...) LEAT_PRINTF(3, 4);

/* Tells why a row is not made. */
void leat_made_refuse(struct leat_made *made, struct leat_span asset, const char *point, const char *fmt, ...)
    LEAT_PRINTF(4, 5);

/* Keeps a row of an earlier run back.  0, or -1 when memory is out. */
int leat_made_hold(struct leat_made *made, const struct leat_reading *r) LEAT_MUST_USE;

/* The instant is over: writes the rows held that are not made anew, then those made. */
void leat_made_flush(struct leat_made *made);

void leat_made_free(struct leat_made *made);

#endif
