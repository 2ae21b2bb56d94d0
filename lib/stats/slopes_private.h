/*
 * What counting (slopes_count.c), listing (slopes_list.c) and narrowing (slopes.c) share.
 */
#ifndef LEAT_STATS_SLOPES_PRIVATE_H
#define LEAT_STATS_SLOPES_PRIVATE_H

#include <float.h>
#include <math.h>

#include "stats/slopes.h"

/* More pairs than this are not gone through one by one. */
#define LEAT_SLOPES_PATIENCE UINT64_C(30000000)

/* Where point i stands in the order for slope m.  For slope 0 it is y itself, without rounding.  For -INFINITY and
 * INFINITY it is the order of x, upwards and downwards. */
static inline double
leat_slopes_key(const struct leat_slopes *s, double m, size_t i)
{
	if (m == 0)
		return s->y[i];
	if (isinf(m))
		return m < 0 ? s->x[i] : -s->x[i];
	return (s->y[i] - s->y_mid) - m * (s->x[i] - s->x_mid);
}

/* Keys that differ by more than this are in the true order, and the computed slope is on the same side of m.  With
 * u = DBL_EPSILON / 2 and the largest |y| + |m x| as 1: each of two keys is wrong by at most 3 u, the slope by 3 u
 * of itself, which is 6 u here, and the sum that is compared by 2 u: 14 u, doubled for what is of second order. */
static inline double
leat_slopes_doubt(const struct leat_slopes *s, double m)
{
	if (m == 0 || isinf(m) || s->rough)
		return 0;
	return 14 * DBL_EPSILON * (s->y_reach + fabs(m) * s->x_reach);
}

static inline double
leat_slopes_of(const struct leat_slopes *s, size_t i, size_t j)
{
	return (s->y[j] - s->y[i]) / (s->x[j] - s->x[i]);
}

/* 0..below-1. */
static inline uint64_t
leat_slopes_random(struct leat_slopes *s, uint64_t below)
{
	/* The generator xorshift64*. */
	s->seed ^= s->seed >> 12;
	s->seed ^= s->seed << 25;
	s->seed ^= s->seed >> 27;
	return (s->seed * UINT64_C(2685821657736338717) >> 8) % below;
}

/* Fills below and not_above of p->m, a finite slope. */
void leat_slopes_count(struct leat_slopes *s, struct leat_slopes_pivot *p);

/* What was found on going through the pairs that are neither below low nor above high for certain. */
struct leat_slopes_found {
	double over, under;		/* slopes between these, both excluded, are listed in s->list */
	uint64_t less, equal;		/* slopes below over, and equal to it */
	uint64_t inside;		/* slopes between */
	size_t listed;			/* all of these, or where there is no room a random choice */
	bool whole;			/* patience lasted */
};

void leat_slopes_list(struct leat_slopes *s, double low, double high, struct leat_slopes_found *f);

/* Puts slopes drawn at random from the count of those between low and high into s->list, and some that are not
 * between. Returns how many. */
size_t leat_slopes_sample(struct leat_slopes *s, double low, double high, uint64_t count);

#endif
