/*
 * When does a slowly changing quantity reach a limit, and how sure is that?
 */
#ifndef LEAT_STATS_FORECAST_H
#define LEAT_STATS_FORECAST_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

struct leat_forecast {
	bool trend;		/* the quantity moves towards the limit, sure to 90 %; otherwise there are no numbers (NaN) */
	bool beyond;		/* p50 lies beyond the horizon */
	double p10, p50, p90;	/* x at which the limit is reached with that probability; INFINITY where beyond the horizon */
};

#define LEAT_FORECAST_LIMITS 2

/* When does y, going on as it did, reach each of the limits?  x ascending; limit NaN: there is none, and out has no trend;
 * direction +1: limits are reached from below, -1: from above.
 * Meant is the median of so many values, at the middle one, with their noise; values 0: the smooth path without it (path.h).
 * The horizon is x[n-1] + (x[n-1] - x[0]): nothing is foretold farther ahead than was seen.  Where a limit is passed
 * already the numbers are x[n-1], within a 256th of the time to the horizon as all are.  Deterministic. -1
 * with err: n below 6, no two different x, a number is not finite, direction not +1 or -1, memory is out. */
int leat_forecast_reach(const double *x, const double *y, size_t n, const double limit[LEAT_FORECAST_LIMITS], int direction,
    unsigned values, struct leat_forecast out[LEAT_FORECAST_LIMITS], struct leat_error *err) LEAT_MUST_USE;

#endif
