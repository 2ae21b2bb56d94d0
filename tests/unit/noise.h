/*
 * Made-up series for tests of statistics: the same on every machine.
 */
#ifndef LEAT_TESTS_NOISE_H
#define LEAT_TESTS_NOISE_H

#include <math.h>

#include "random.h"

/* Between 0 and 1, both excluded. */
static inline double
noise_even(uint64_t *seed)
{
	return ((double)(random_next(seed) >> 11) + 0.5) * 0x1p-53;
}

/* Normal, with mean 0 and deviation 1. */
static inline double
noise_normal(uint64_t *seed)
{
	return sqrt(-2 * log(noise_even(seed))) * cos(6.283185307179586 * noise_even(seed));
}

/* The next of a series with mean 0 and deviation 1 in which neighbours are correlated by r. */
static inline double
noise_next(uint64_t *seed, double last, double r)
{
	return r * last + sqrt(1 - r * r) * noise_normal(seed);
}

#endif
