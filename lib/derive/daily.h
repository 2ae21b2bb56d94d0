/*
 * The readings of a series as one value for each works' day: the median of the day.
 *
 * Memory is per day, and LEAT_DAILY_BUFFER readings of the running one: where more come, every second is let go, and then
 * every second of those, so that the rest still stand for the whole day.
 */
#ifndef LEAT_DERIVE_DAILY_H
#define LEAT_DERIVE_DAILY_H

#include "derive/works_day.h"

#define LEAT_DAILY_BUFFER 2048

struct leat_day {
	struct leat_time time;		/* of its last reading */
	double value;
	double hours;			/* as given with that reading */
};

/* A zeroed struct is a valid empty one, once day_end and last are LEAT_TIME_NONE (leat_daily_init). */
struct leat_daily {
	struct leat_day *day;
	size_t days, cap;
	struct leat_time last;		/* of the last reading taken, or LEAT_TIME_NONE */
	double hours;			/* given with it */
	long long kept;			/* readings taken */

	/* Private. */
	struct leat_time day_end;	/* of the running day, or LEAT_TIME_NONE */
	double *buffer;			/* its readings */
	size_t buffered;
	unsigned skip, skipped;		/* one of skip + 1 is taken */
};

void leat_daily_init(struct leat_daily *daily);

/* Takes a reading, in order of time.  hours: running hours then, NaN where they are not known.  0, or -1 when memory is
 * out. */
int leat_daily_add(struct leat_daily *daily, const struct leat_nameplate *np, struct leat_time time, double value,
    double hours) LEAT_MUST_USE;

/* At the end: the running day becomes one of the days.  0, or -1 when memory is out. */
int leat_daily_close(struct leat_daily *daily) LEAT_MUST_USE;

void leat_daily_free(struct leat_daily *daily);

#endif
