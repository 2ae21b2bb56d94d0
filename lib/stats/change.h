/*
 * Did the level change, and when?  Control charts that watch a level, a test that dates one change, a search for a step
 * on top of wear, and one for a step that is new.
 */
#ifndef LEAT_STATS_CHANGE_H
#define LEAT_STATS_CHANGE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

/* The two-sided tabular CUSUM of the NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3.  Set target, k and h;
 * high and low start at 0. */
struct leat_cusum {
	double target;
	double k;		/* allowance, in the unit of the values: half of the shift to be found */
	double h;		/* decision value: a sum above it signals */
	double high, low;	/* max(0, sum + x - target - k) and max(0, sum + target - k - x) */
};

/* Takes the next value.  1: high is above h; -1: low is; 0: neither.  A value that is not finite changes nothing. */
int leat_cusum_step(struct leat_cusum *c, double value);

/* The EWMA chart of the same handbook, 6.3.2.4, with its limits after many values.  Set all but low and high; z
 * starts at the target. */
struct leat_ewma {
	double lambda;		/* weight of the newest value, above 0, at most 1 */
	double target;
	double sigma;		/* standard deviation of single values */
	double width;		/* limits so many deviations of z from the target; usually 3 */
	double z;		/* lambda * value + (1 - lambda) * z */
};

/* Distance of the limits from the target. */
double leat_ewma_reach(const struct leat_ewma *e);

/* Takes the next value.  1: z is above the upper limit; -1: below the lower one; 0: within. */
int leat_ewma_step(struct leat_ewma *e, double value);

/* A change of the level. */
struct leat_change {
	size_t at;		/* first index after the change, 1..n-1 */
	double k;		/* Pettitt's K */
	double p;		/* probability of so large a K without a change, approximate, at most 1 */
	double before, after;	/* medians of the two segments */
};

/* The test of Pettitt (1979), Applied Statistics 28, 126: one change of level of n finite values in the order of
 * time. O(n log n).  It takes the values for independent and level but for the change: a steady trend always looks
 * like a change in the middle, and autocorrelation makes p too small.  Use leat_change_step where there may be
 * wear. -1 with err: n below 2, a number is not finite, memory is out. */
int leat_change_pettitt(const double *y, size_t n, struct leat_change *out, struct leat_error *err) LEAT_MUST_USE;

/* A step on top of a trend that may be bent. */
struct leat_step {
	bool found;		/* confidence is 0.99 or more (0.999 below 60 values), and the step is abrupt */
	size_t at;		/* first index after the step */
	double before, after;	/* what the fitted curve is there without and with the step */
	double size;		/* after - before */
	double ratio;		/* after / before; NaN where before is 0 or the signs differ */
	double confidence;	/* 0..1 that there is a step at all; allows for autocorrelation and for the search */
};

/* Looks for the one index at which a step, added to a curve of second degree in x, explains most.  Single wild
 * values are no steps.  Wear, even when it speeds up, is none either: a step is found where the values move within
 * one interval by most of its size, and stay.  x ascending, n at least 12.  O(n).  -1 with err: n below 12, fewer
 * than three different x, a number is not finite, memory is out. */
int leat_change_step(const double *x, const double *y, size_t n, struct leat_step *out, struct leat_error *err)
    LEAT_MUST_USE;

/* A step so new that few values have followed it, for which leat_change_step, that wants to be sure over the whole series, is
 * too slow: the last 3 to 11 of n finite values in the order of time against the 10 before them.  Each lies more than half
 * of the step off their median, the step is 8 times their noise or more, and the last of them is not on the way yet.  The
 * newest such step is found, with medians in out and a confidence that is NaN; where there is none out has NaN.  A search
 * that is repeated each day finds some by chance alone: let what is asked of its size (a ratio) rule small ones out. */
#define LEAT_FRESH_LEAST 3
#define LEAT_FRESH_MOST 11
#define LEAT_FRESH_BEFORE 10
bool leat_change_fresh(const double *y, size_t n, struct leat_step *out);

/* The smallest change between the means of two periods that can be seen: 2.8 sigma sqrt(2 / n_eff), found four
 * times in five at 95 %.  n_eff: independent values in each period, from leat_effective_count. */
double leat_detectable(double sigma, double n_eff);

#endif
