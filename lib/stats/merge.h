/*
 * Sorting by merging that counts or shows inversions on the way: what tests and lines that look at all pairs of
 * points stand on.  An inversion is a pair that stands the other way round after sorting than before.
 */
#ifndef LEAT_STATS_MERGE_H
#define LEAT_STATS_MERGE_H

#include <stddef.h>
#include <stdint.h>

/* Sorts key ascending and returns how many pairs i < j had key[i] > key[j].  work has room for n. */
uint64_t leat_merge_count(double *key, double *work, size_t n);

/* Keys with the number of the point that each belongs to. */
struct leat_merge {
	double *key, *key_work;		/* n each; borrowed */
	uint32_t *at, *at_work;
	size_t n;
};

/* Sorts key ascending, at along with it; equal keys keep their order. */
void leat_merge_sort(struct leat_merge *m);

/* Two runs about to be merged: both ascending, and all of the left one stood before all of the right one. */
struct leat_merge_runs {
	const double *left, *right;
	const uint32_t *left_at, *right_at;
	size_t lefts, rights;
};

/* Sorts likewise and shows each pair of runs before it merges them, so that every pair of points is seen once.
 * Ends early when show returns other than 0, and returns that. */
int leat_merge_show(struct leat_merge *m, int (*show)(void *user, const struct leat_merge_runs *runs), void *user);

#endif
