/*
 * The Mann-Kendall test: does y rise or fall with x, whatever the shape of the rise and of the scatter?
 *
 * S is the number of pairs of points that rise less the number that fall.  Without a trend it is 0 on average; how
 * far it strays depends on ties (Kendall 1975, Rank Correlation Methods, section 4) and on autocorrelation:
 * readings that follow their neighbours make chance look like a trend.  The correction for this is that of Hamed
 * and Rao (1998), Journal of Hydrology 204, 182: the autocorrelation of the ranks of what a Theil-Sen line leaves
 * over, at the lags at which it differs from 0 (5 %), up to 10 log10(n) lags.  It still finds trends in chance too
 * often, so where the first lag counts the factor is at least (1 + r) / (1 - r), r being that lag's autocorrelation
 * made good for what the line took.
 */
#ifndef LEAT_STATS_KENDALL_H
#define LEAT_STATS_KENDALL_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

struct leat_kendall {
	size_t n;
	double s;		/* rising less falling pairs; a pair with a tie counts 0 */
	double tau;		/* S over its largest possible value given the ties (tau-b), -1..1; 0 where there is none */
	double variance;	/* of S without a trend, with ties, without the factor */
	double factor;		/* by which autocorrelation widens the variance; 1 where not asked for; never below 1 */
	double z;		/* S, one nearer to 0 for continuity, over the root of variance times factor */
	double p;		/* two-sided probability of so large a z without a trend; 1 where nothing varies */
};

/* x and y have n finite numbers each; x in any order, not necessarily evenly spaced, ties allowed in both.
 * autocorrelated: correct for autocorrelation in the order of x.  O(n log n).  -1 with err: n below 3, a number is
 * not finite, memory is out. */
int leat_kendall(const double *x, const double *y, size_t n, bool autocorrelated, struct leat_kendall *out,
    struct leat_error *err) LEAT_MUST_USE;

/* The variance of S by Kendall's formula.  x and y sorted in place to count ties. */
double leat_kendall_variance(double *x, double *y, size_t n);

#endif
