/*
 * Where did a quantity begin to go another way?  The last knee of a line that may have several.
 */
#ifndef LEAT_STATS_KNEE_H
#define LEAT_STATS_KNEE_H

#include <stddef.h>

#include "base/error.h"

#define LEAT_KNEE_LEAST 10u	/* points on each side of a knee */

/* The index from which on n points (x ascending, finite numbers) lie on one straight line: 0 where one line holds them all.
 * A knee is taken where two lines that meet in it fit better than one beyond what the noise and its autocorrelation
 * explain, however it bends.  Single wild values do not count: medians of five neighbours are fitted.
 * -1 with err when memory is out. */
int leat_knee_last(const double *x, const double *y, size_t n, size_t *from, struct leat_error *err) LEAT_MUST_USE;

#endif
