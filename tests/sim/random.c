/*
 * Random numbers that are the same everywhere.
 */
#include <math.h>

#include "sim.h"

static uint64_t
next(struct sim_random *r)
{
	uint64_t z = r->state += 0x9e3779b97f4a7c15u;

	z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9u;
	z = (z ^ z >> 27) * 0x94d049bb133111ebu;
	return z ^ z >> 31;
}

double
sim_uniform(struct sim_random *r)
{
	return (double)(next(r) >> 11) * 0x1p-53;
}

/* Twelve uniforms: near enough to normal for noise (nothing beyond 6 sigma), and exact arithmetic everywhere, which the
 * logarithm and cosine of other methods are not. */
double
sim_normal(struct sim_random *r)
{
	double sum = -6;

	for (int i = 0; i < 12; i++)
		sum += sim_uniform(r);
	return sum;
}
