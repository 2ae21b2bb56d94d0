/*
 * Points with an x and a y: their order, their ties, and how many pairs of them rise or fall.
 */
#ifndef LEAT_STATS_SCATTER_H
#define LEAT_STATS_SCATTER_H

#include <stddef.h>

#include "base/error.h"

/* 0 when all numbers are finite and there are at most UINT32_MAX points; otherwise -1 with err. */
int leat_scatter_check(const double *x, const double *y, size_t n, struct leat_error *err) LEAT_MUST_USE;

/* Copies the points to xs, ys in the order of x, those with equal x in the order of y.  -1 when memory is out. */
int leat_scatter_order(const double *x, const double *y, size_t n, double *xs, double *ys) LEAT_MUST_USE;

struct leat_scatter_count {
	double rising, falling;		/* pairs with different x and different y */
	double x_untied, y_untied;	/* pairs with different x; with different y */
};

/* Counts the pairs of points in that order.  Sorts y.  work has room for n. */
void leat_scatter_count(const double *x, double *y, size_t n, double *work, struct leat_scatter_count *out);

#endif
