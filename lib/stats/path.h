/*
 * A quantity that goes on smoothly, seen through noise: when does it reach a limit from below?
 *
 * Its slope is no constant: it wanders, as nothing that wears or clogs keeps its pace to the end.  How much is asked of the
 * values themselves.  The model is that of a smooth trend: a level whose slope is a random walk in continuous time, which is
 * the cubic smoothing spline as a process (Wahba 1978, Journal of the Royal Statistical Society B 40, 364), with noise of
 * which a share carries over to the next value, by the filter of Kalman (1960).  How much the slope wanders and how much of
 * the noise carries over is a grid of answers, each weighed by how likely it makes the values; what is told is of all of them
 * together, so that what the values cannot settle widens the range.
 *
 * What is told is when the level is there: the median of a few values, at the middle one of them.  With much noise that is
 * sooner than the path itself, since each new value is a chance.
 */
#ifndef LEAT_STATS_PATH_H
#define LEAT_STATS_PATH_H

#include <stddef.h>

#include "base/error.h"

#define LEAT_PATH_CHANCES 3

struct leat_path_form {
	const double *x, *y;	/* x ascending */
	size_t n;		/* 6 or more */
	double level, slope;	/* a robust line through them: at x[n - 1], and its slope, above 0 */
	unsigned values;	/* of which the level is the median; 0: the path itself is meant */
};

/* reach[l][i] becomes the x from x[n-1] on by which limit[l] has been reached with probability chance[i]; INFINITY where
 * that is beyond the horizon.  All limits share what is found out about the values.  Deterministic; takes 42 passes over the
 * values and no more than some 160000 steps for each limit.  -1 with err when memory is out. */
int leat_path_reach(const struct leat_path_form *form, double horizon, const double chance[LEAT_PATH_CHANCES],
    const double *limit, size_t limits, double (*reach)[LEAT_PATH_CHANCES], struct leat_error *err) LEAT_MUST_USE;

#endif
