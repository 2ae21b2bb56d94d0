/*
 * The Theil-Sen line: the slope is the median of the slopes between all pairs of points, so up to 29 % of the
 * points may be wild without carrying the line away (Theil 1950; Sen 1968, Journal of the American Statistical
 * Association 63, 1379).
 *
 * The median is exact: it is the one that computing, sorting and halving all n (n - 1) / 2 slopes in double precision
 * would give, to the last bit, but takes O(n log n) time and O(n) memory.  (One exception:
 * where more than 30 million pairs have the same slope within the rounding error of the largest x and y, as when a
 * million points lie on one line, the result is right within the rounding error of its own points.)
 */
#ifndef LEAT_STATS_LINE_H
#define LEAT_STATS_LINE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

struct leat_line {
	size_t n;
	long long pairs;	/* with different x */
	double slope;		/* median slope; of two middle ones the mean */
	double slope_low;	/* the interval of the slope; -INFINITY and */
	double slope_high;	/* INFINITY where there are too few pairs for an interval of that confidence */
	double intercept;	/* median of y - slope * x */
};

/* Fits the line to n points with finite x, y; x in any order, ties allowed.  The interval holds the slope with
 * probability confidence (0..1, both excluded): its ends are the slopes of ranks M1 and M2 + 1 of Gilbert (1987),
 * Statistical Methods for Environmental Pollution Monitoring, section 16.5, rounded; the variance of S is
 * multiplied by factor (1, or that of leat_kendall).  -1 with err: no two different x, a number is not finite,
 * confidence out of range, memory is out. */
int leat_line_fit(const double *x, const double *y, size_t n, double confidence, double factor, struct leat_line *out,
    struct leat_error *err) LEAT_MUST_USE;

/* The slope alone. */
int leat_line_slope(const double *x, const double *y, size_t n, double *slope, struct leat_error *err) LEAT_MUST_USE;

/* Is the newest part steeper?  Fits lines to all n points and to the newest third (by x; x ascending; n at least
 * 9). *faster tells whether the whole interval of the newest third's slope lies beyond the whole line's slope, away
 * from 0. */
int leat_line_accelerates(const double *x, const double *y, size_t n, double confidence, double factor,
    struct leat_line *whole, struct leat_line *newest, bool *faster, struct leat_error *err) LEAT_MUST_USE;

#endif
