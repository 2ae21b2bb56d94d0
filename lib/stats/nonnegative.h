/*
 * Least squares with coefficients that are 0 or more, and which of them the data tell at all.
 *
 * For parts that leak or do not: no part gives oil back.  The solution is that of Lawson and Hanson (1974), Solving Least
 * Squares Problems, chapter 23, found by descent along one coordinate at a time, which ends in the same place.
 */
#ifndef LEAT_STATS_NONNEGATIVE_H
#define LEAT_STATS_NONNEGATIVE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

#define LEAT_NONNEGATIVE_TERMS 16u

struct leat_nonnegative {
	double coefficient[LEAT_NONNEGATIVE_TERMS];
	bool told[LEAT_NONNEGATIVE_TERMS];	/* any solution of the unbounded problem has this one coefficient */
	size_t rank;
	double squares;				/* sum of squared residuals */
};

/* Fits n values y to terms columns: column[t * n + i] is what coefficient t is multiplied with for y[i].  -1 with err: no
 * terms or too many, a number is not finite, a column of zeros, memory is out. */
int leat_nonnegative_fit(const double *column, const double *y, size_t n, size_t terms, struct leat_nonnegative *out,
    struct leat_error *err) LEAT_MUST_USE;

/* Would one more row raise the rank?  row has terms values. */
bool leat_nonnegative_new(const double *column, size_t n, size_t terms, const double *row);

#endif
