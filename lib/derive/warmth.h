/*
 * Whether a tank's oil is steady: its temperature once a minute for half an hour, and how fast that changes.
 *
 * Common practice: oil is warm from 40 degC on while it changes by less than 3 K/h over 30 min (the nameplate's warm-from
 * and warm-rate).
 */
#ifndef LEAT_DERIVE_WARMTH_H
#define LEAT_DERIVE_WARMTH_H

#include <stddef.h>
#include <stdint.h>

#define LEAT_WARMTH_MIN 30	/* minutes over which the change is judged ... */
#define LEAT_WARMTH_KNOWN 25	/* ... and how many of them must be known */

struct leat_warmth {		/* zeroed: nothing is known */
	int64_t minute[LEAT_WARMTH_MIN + 1];
	double temp_c[LEAT_WARMTH_MIN + 1];
	size_t next, count;
};

/* Keeps the temperature of a minute, the first one that is given for it; NaN is not known. */
void leat_warmth_keep(struct leat_warmth *w, int64_t minute, double temp_c);

/* How fast it warms, in K/h: the slope of the least-squares line of the last half hour; NaN where that is not known. */
double leat_warmth_k_h(const struct leat_warmth *w, int64_t minute);

#endif
