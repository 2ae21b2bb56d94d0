/*
 * Least squares: y as a sum of given columns times coefficients.  For values without wild ones; line.h is for the
 * others.
 *
 * By Householder's reflections of columns scaled to the same length, so that columns as unlike as 1, x and x^2 with
 * large x keep their digits; held to the certified values of NIST's Statistical Reference Datasets.
 */
#ifndef LEAT_STATS_LEAST_H
#define LEAT_STATS_LEAST_H

#include <stddef.h>

#include "base/error.h"

#define LEAT_LEAST_TERMS 8u

struct leat_least {
	double coefficient[LEAT_LEAST_TERMS];
	double error[LEAT_LEAST_TERMS];		/* standard errors; NaN where n is the number of terms */
	double squares;				/* sum of squared residuals */
	double deviation;			/* standard deviation of the residuals, n less terms of them being free */
	double inverse[LEAT_LEAST_TERMS][LEAT_LEAST_TERMS];	/* of the normal matrix */
};

/* Fits n values y to terms columns: column[t * n + i] is what coefficient t is multiplied with for y[i].  rest
 * becomes the n residuals; it may be NULL.  -1 with err: more than LEAT_LEAST_TERMS terms, or none, or more than
 * values; a column that the others make up (within rounding); a number is not finite; memory is out. */
int leat_least_fit(const double *column, const double *y, size_t n, size_t terms, double *rest,
    struct leat_least *out, struct leat_error *err) LEAT_MUST_USE;

#endif
