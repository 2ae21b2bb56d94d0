/*
 * Choosing readings by time, names, quality and kind of value.
 */
#ifndef LEAT_STREAM_SELECT_H
#define LEAT_STREAM_SELECT_H

#include "stream/reading.h"

/* Set the first part, the rest zero.  No pattern of a kind: every name. */
struct leat_select {
	struct leat_time from, to;	/* from <= time < to; LEAT_TIME_NONE: open */
	struct leat_time now;		/* later rows are left out; LEAT_TIME_NONE: none are */
	const char **asset, **point;	/* patterns of leat_glob; borrowed */
	size_t assets, points;
	unsigned quality;		/* the bits 1 << enum leat_quality that are taken */
	bool numeric;			/* only values that are numbers */

	long long taken, by_time, later, by_name, by_quality, by_value;	/* what became of the rows */
	long long *left;		/* private: the count of rows that are left out by time or name that grew last */
	bool never;			/* private: it was the last row's */
	unsigned char *kind;		/* private: by series 0 not yet known, 1 taken, 2 not */
	size_t kinds;
};

/* 1 when the reading is taken, 0 when not, -1 when memory is out. */
int leat_select_takes(struct leat_select *select, const struct leat_reading *r) LEAT_MUST_USE;

/* After 0: is every row of the reading's series and instant left out, whatever it says? */
bool leat_select_never(const struct leat_select *select);

/* After true: is it for its time? */
bool leat_select_by_time(const struct leat_select *select);

/* Accounts for so many rows of the instant that were left out unseen, after leat_select_never said so. */
void leat_select_passed(struct leat_select *select, long long rows);

/* Before another stream, whose series have other numbers. */
void leat_select_renew(struct leat_select *select);
void leat_select_free(struct leat_select *select);

#endif
