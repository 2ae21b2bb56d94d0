/*
 * Random numbers for property tests: the same on every machine.
 */
#ifndef LEAT_TESTS_RANDOM_H
#define LEAT_TESTS_RANDOM_H

#include <stdint.h>
#include <stdio.h>

/* The generator xorshift64*; *seed must not be 0. */
static inline uint64_t
random_next(uint64_t *seed)
{
	*seed ^= *seed >> 12;
	*seed ^= *seed << 25;
	*seed ^= *seed >> 27;
	return *seed * UINT64_C(2685821657736338717);
}

/* 0..n-1. */
static inline unsigned
random_below(uint64_t *seed, unsigned n)
{
	return (unsigned)((random_next(seed) >> 33) % n);
}

/* A decimal of that many digits with a point or none and a minus or none, and e EXPONENT unless that is 0.  text holds
 * digits and 16 bytes more.  Returns the length. */
static inline size_t
random_decimal(uint64_t *seed, char *text, int digits, int exponent)
{
	size_t len = 0;
	int point = (int)random_below(seed, (unsigned)digits + 1), i;

	if (random_below(seed, 2) == 0)
		text[len++] = '-';
	for (i = 0; i < digits; i++) {
		if (i == point)
			text[len++] = '.';
		text[len++] = (char)('0' + random_below(seed, 10));
	}
	if (exponent != 0)
		len += (size_t)sprintf(text + len, "e%d", exponent);
	text[len] = '\0';
	return len;
}

#endif
