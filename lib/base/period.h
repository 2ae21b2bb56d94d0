/*
 * Periods of a grid: hours, shifts, works' days, weeks, months, each from one bound to the next without a gap.
 *
 * A works' day begins at a time of day by the clock of a zone (06:00), so that it has 23 or 25 hours where the clock
 * changes.  Shorter periods divide it: up to an hour by elapsed time from the beginning of the day, longer ones (shifts)
 * by the clock, so that the shift in which the clock changes is an hour shorter or longer and none is added.  Weeks
 * begin on Monday (ISO 8601), months and quarters on their first day, at the beginning of the works' day.
 */
#ifndef LEAT_BASE_PERIOD_H
#define LEAT_BASE_PERIOD_H

#include "base/zone.h"

/* The instant of a time of day (beyond 24 h: of the days after) on a day, counted from 1970-01-01, by the zone's clock: the
 * first where the clock shows it twice, the change itself where it never does. */
struct leat_time leat_zone_day_instant(const struct leat_zone *zone, int64_t day, int32_t second);

/* The local date of an instant, as days since 1970-01-01. */
int64_t leat_zone_day(const struct leat_zone *zone, struct leat_time t);

struct leat_grid {
	const struct leat_zone *zone;	/* borrowed */
	int32_t day_start;		/* seconds after midnight by the clock, 0..86399 */
	int32_t months, days;		/* length: one of the three is not 0; days 1 or 7 */
	int32_t seconds;		/* divides an hour, or is whole hours that divide 24 */
};

/* Sets the length from "hour", "day", "week", "month", "year" or an ISO 8601 duration that divides sensibly: seconds and
 * minutes that divide an hour, hours that divide a day (PT24H is a day), P1D, P7D or P1W, months that divide a year.
 * 0, or -1 for any other. */
int leat_grid_length(struct leat_grid *grid, struct leat_span text) LEAT_MUST_USE;

/* The period with *start <= t < *end. */
void leat_grid_period(const struct leat_grid *grid, struct leat_time t, struct leat_time *start, struct leat_time *end);

#endif
