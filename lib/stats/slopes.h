/*
 * Order statistics of the slopes between all pairs of points, without computing them all.
 *
 * The slope of two points is below m exactly when the later one stands lower in the order of y - m x than the
 * earlier one: how many slopes are below m is how many inversions sorting by y - m x removes, which merging counts
 * in O(n log n) (Cole, Salowe, Steiger and Szemeredi 1989, SIAM Journal on Computing 18, 792).  An interval around
 * the slope that is looked for is narrowed with samples of the slopes in it (Dillencourt, Mount and Netanyahu 1992,
 * International Journal of Computational Geometry and Applications 2, 1) until the few that are left can be listed.
 *
 * Rounding: a pair counts as below or above m only where that is certain whatever the rounding errors.  The others
 * are listed and their slopes computed, so that the result is the same bits as from a sorted list of all slopes.
 */
#ifndef LEAT_STATS_SLOPES_H
#define LEAT_STATS_SLOPES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "stats/merge.h"

#define LEAT_SLOPES_PIVOTS 64

/* A slope m and how many slopes are below it for certain, and below, equal or in doubt.  Where the rank that is
 * looked for is between, those in doubt are computed: less is how many slopes are below m, then, and equal how many
 * are m. */
struct leat_slopes_pivot {
	double m;
	uint64_t below, not_above;
	bool told;			/* less and equal are known */
	uint64_t less, equal;
};

struct leat_slopes {
	uint64_t pairs;			/* with different x */

	/* How many slopes may be listed at once.  May be lowered (8 or more) before the first selection. */
	size_t room;

	/* Private. */
	const double *x, *y;		/* in the order of x, then y; borrowed, or own */
	double *own;
	size_t n;
	bool x_ties;
	bool rough;			/* keys are taken as they are, rounding and all */
	uint64_t both_tied;		/* pairs with equal x and equal y */
	double x_mid, y_mid, x_reach, y_reach;
	struct leat_merge merge;
	double *list;			/* of the slopes that follow in rank on the first listed - 1 */
	uint64_t first;
	size_t listed;
	struct leat_slopes_pivot pivot[LEAT_SLOPES_PIVOTS];
	size_t pivots;
	uint64_t seed;
};

/* Prepares n points, which must live as long as s.  -1 with err: numbers too large or too close for slopes, no
 * memory; then s needs no freeing. */
int leat_slopes_init(struct leat_slopes *s, const double *x, const double *y, size_t n, struct leat_error *err)
    LEAT_MUST_USE;

/* The slope of that rank, 1..pairs from the least.  -1 with err when memory is out. */
int leat_slopes_select(struct leat_slopes *s, uint64_t rank, double *slope, struct leat_error *err) LEAT_MUST_USE;

void leat_slopes_free(struct leat_slopes *s);

#endif
