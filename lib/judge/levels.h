/*
 * How full the tanks are: what leat-due --stops asks when accumulators give their oil back.
 *
 * Of each mill the latest readings of level in its tank are kept, each with the pressure of that moment.  Those that were
 * read while the mill pressed go before all others: the gas is as warm as at work then.  Levels are those of the mill
 * itself, or, where it has none of late, of MILL/tank or MILL/round, as a round sheet has them.
 */
#ifndef LEAT_JUDGE_LEVELS_H
#define LEAT_JUDGE_LEVELS_H

#include "stream/current.h"
#include "stream/nameplate.h"

#define LEAT_LEVELS_KEPT 31		/* readings, for their median: a charging valve may move each by 10 L */
#define LEAT_LEVELS_PRESSING 0.8	/* the mill presses at so much of its set-pressure: common practice */
#define LEAT_LEVELS_STALE_DAYS 7.0	/* an older level tells nothing: common practice of the weekly look at the sight glass */

struct leat_level {
	struct leat_time time;
	double level_mm, pressure_bar;	/* of the moment; NaN: not read */
};

struct leat_level_list {
	struct leat_level item[LEAT_LEVELS_KEPT]; /* a ring */
	size_t taken;			/* in all */
};

struct leat_levels_mill {
	struct leat_span name;
	struct leat_level_list pressing, other, below; /* below: of its tank or round, whatever its pressure */
};

struct leat_levels {
	struct leat_readings *in;	/* borrowed */
	const struct leat_nameplate *np;
	struct leat_current current;
	struct leat_time now;		/* later readings are left out; LEAT_TIME_NONE: none is later */
	struct leat_levels_mill *mill;
	size_t mills, cap;
};

/* All are borrowed. */
void leat_levels_init(struct leat_levels *levels, struct leat_readings *in, const struct leat_points *points,
    const struct leat_nameplate *np, struct leat_time now);
void leat_levels_free(struct leat_levels *levels);

/* Takes a reading, in order of time.  0, or -1 with err: memory, or a unit of another dimension. */
int leat_levels_take(struct leat_levels *levels, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* The readings to go by at now, the best list that is not stale: how many went into list, newest last; 0 for none.  *last is
 * when a level of the mill was last read at all. */
size_t leat_levels_of(const struct leat_levels *levels, struct leat_span mill, struct leat_time now,
    struct leat_level list[LEAT_LEVELS_KEPT], struct leat_time *last);

#endif
