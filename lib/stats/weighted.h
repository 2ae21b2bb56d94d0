/*
 * Statistics of a quantity over time: mean, extremes and quantiles weighted by how long it had each value.
 *
 * The quantity comes as pieces: for some seconds it went in a straight line from one value to another, or stood still.
 * So the mean is the integral over the time (the trapezoid rule is exact for such pieces), and a quantile q is the value
 * below which the quantity was for the share q of the time, not a share of the samples.
 *
 * The pieces are kept, up to LEAT_WEIGHTED_PIECES, and until then a quantile is exact.  Beyond that they are summed into
 * LEAT_WEIGHTED_BINS classes of equal width: a quantile is then right within the width of a class, which is at most 1/256
 * of the spread between the smallest and the largest value.
 */
#ifndef LEAT_STATS_WEIGHTED_H
#define LEAT_STATS_WEIGHTED_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

#define LEAT_WEIGHTED_PIECES 1536u	/* a day of minutes and some more */
#define LEAT_WEIGHTED_BINS 1024u
#define LEAT_WEIGHTED_QUANTILES 16u	/* asked for in one call */

/* A stretch of time in which the quantity was spread evenly between two values. */
struct leat_weighted_piece {
	double low, high;	/* low <= high */
	double seconds;		/* > 0 */
};

/* A zeroed struct is a valid empty one that keeps no pieces. */
struct leat_weighted {
	bool keep;		/* set by the user before the first piece: quantiles are wanted */
	double seconds;		/* of all pieces */
	double integral;	/* value times seconds, less base for each second */
	double base;		/* the first value: small differences are summed, not large values */
	double min, max;	/* meaningful when seconds > 0 */

	/* Private. */
	struct leat_weighted_piece *piece;
	size_t pieces, cap;
	double *bin;		/* NULL: the pieces are kept */
	double bin_low, bin_width;
};

/* The quantity went from one value to another within so many seconds.  Nothing is added when they are not above zero or a
 * value is not finite.  0, or -1 when memory is out. */
int leat_weighted_add(struct leat_weighted *w, double seconds, double from, double to) LEAT_MUST_USE;

/* The mean over time; NaN when there is none. */
double leat_weighted_mean(const struct leat_weighted *w);

/* out[i] becomes the smallest value at or below which the quantity was for the share q[i] (0..1, ascending) of the time;
 * NaN when there is none, no pieces are kept, or
 * count is above LEAT_WEIGHTED_QUANTILES.  0, or -1 when memory is out. */
int leat_weighted_quantiles(const struct leat_weighted *w, const double *q, size_t count, double *out) LEAT_MUST_USE;

/* Were the pieces too many to be kept, so that quantiles are within a class only? */
bool leat_weighted_classed(const struct leat_weighted *w);

/* Empties it; memory is kept for reuse. */
void leat_weighted_reset(struct leat_weighted *w);
void leat_weighted_free(struct leat_weighted *w);

#endif
