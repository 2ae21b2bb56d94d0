/*
 * The latest reading of every series, with how long it stays valid: what gates and states look at.
 */
#ifndef LEAT_STREAM_CURRENT_H
#define LEAT_STREAM_CURRENT_H

#include "stream/points.h"
#include "stream/reading.h"

/* The latest state of a series. */
struct leat_latest {
	bool seen;
	struct leat_time time;
	enum leat_quality quality;
	bool is_number;
	double number;			/* when is_number, in unit */
	uint32_t word;			/* otherwise: interned text in current->words */
	const struct leat_unit *unit;	/* NULL: none */
	double hold_s;			/* 0: until changed, while the mill reports */
};

struct leat_current {
	struct leat_readings *in;	/* borrowed: names and series */
	const struct leat_points *points; /* borrowed; may be NULL */
	struct leat_latest *latest;	/* by series */
	size_t cap;
	struct leat_names words;
	struct leat_time *mill_seen;	/* by asset id of the mill: its last reading of any point */
	size_t mill_cap;
};

void leat_current_init(struct leat_current *current, struct leat_readings *in, const struct leat_points *points);

/* Takes a reading in.  0, or -1 when memory is out. */
int leat_current_put(struct leat_current *current, const struct leat_reading *r) LEAT_MUST_USE;

/* The latest reading of (asset, point) that is valid at now: seen, not bad, and not older than its hold.  A switch or
 * word is valid until changed, but not longer than its hold (default 15 min) after the last reading of any point of its
 * mill.  NULL when there is none.  Valid until the next put. */
const struct leat_latest *leat_current_get(const struct leat_current *current, uint32_t asset, uint32_t point,
    struct leat_time now);

/* As get, for the asset or the nearest parent that has ever had the point. */
const struct leat_latest *leat_current_find(const struct leat_current *current, struct leat_span asset,
    struct leat_span point, struct leat_time now);

/* "on", "1", "true" words and numbers other than 0 are on: 1, 0, or -1 when it is neither. */
int leat_latest_switch(const struct leat_current *current, const struct leat_latest *latest);

void leat_current_free(struct leat_current *current);

#endif
