/*
 * Medians, quantiles and spread of plain numbers, each of the same weight (weighted.h has those over time).
 *
 * The functions that say so change the order of the numbers.  NaN must not be among them.
 */
#ifndef LEAT_STATS_ORDER_H
#define LEAT_STATS_ORDER_H

#include <stddef.h>

#include "base/error.h"

/* The number that would stand at index k (0..n-1) if x were ascending; nothing before index k is then larger, nothing
 * behind it smaller.  Reorders x.  O(n) on average. */
double leat_order_select(double *x, size_t n, size_t k);

/* Sorts ascending. */
void leat_order_sort(double *x, size_t n);

/* Replaces x[i] by its rank, 0 being the mean of all ranks; equal numbers share the mean of theirs.  O(n log n).
 * -1 when memory is out or n is above UINT32_MAX. */
int leat_order_ranks(double *x, size_t n) LEAT_MUST_USE;

/* The middle number, or the mean of the two middle ones.  Reorders x.  NaN when n is 0. */
double leat_median(double *x, size_t n);

/* The q-th quantile, q 0..1: definition 7 of Hyndman and Fan (1996), The American Statistician 50, 361 (linear
 * between the numbers at positions q (n - 1)).  Reorders x.  NaN when n is 0. */
double leat_quantile(double *x, size_t n, double q);

/* 1.4826 times the median distance from the median: the standard deviation where the numbers are normal, whatever a
 * minority of wild ones may be.  work has room for n doubles.  NaN when n is 0. */
double leat_mad(const double *x, size_t n, double *work);

/* How many independent numbers tell as much about the mean as these n do: n (1 - r) / (1 + r) with the
 * autocorrelation r of neighbours, within 1..n (0 when n is 0).  x in the order of time, its trend taken away. */
double leat_effective_count(const double *x, size_t n);

#endif
