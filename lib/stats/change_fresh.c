/*
 * A step at the end of a series, too new for the search over the whole of it.
 */
#include <math.h>
#include <string.h>

#include "stats/change.h"
#include "stats/order.h"

#define BEFORE LEAT_FRESH_BEFORE
#define MOST LEAT_FRESH_MOST
#define SIGMAS 8	/* of the noise before it, common practice */
#define THERE 0.5	/* the part of the step that each value after it shows, at least */
#define ON_THE_WAY 0.25	/* the part of it that the last value before may have gone already: wear is no step */

/* The noise of the values before a step of that size.  What grew, and steps back, has no growth in its noise: a clogging
 * element that was changed.  A step in the direction of a slope may be wear that speeds up, and must stand out from all. */
static double
noise_before(const double *before, double size)
{
	double slopes[BEFORE * (BEFORE - 1) / 2], rest[BEFORE], work[BEFORE], slope;
	size_t n = 0;

	for (size_t i = 0; i < BEFORE; i++)
		for (size_t k = i + 1; k < BEFORE; k++)
			slopes[n++] = (before[k] - before[i]) / (double)(k - i);
	slope = leat_median(slopes, n);
	for (size_t i = 0; i < BEFORE; i++)
		rest[i] = before[i] - (slope * size < 0 ? slope * (double)i : 0);
	return leat_mad(rest, BEFORE, work);
}

/* Is there one before the last k of n values? */
static bool
steps(const double *y, size_t n, size_t k, struct leat_step *out)
{
	double before[BEFORE], after[MOST];
	const double *tail = y + n - k;

	memcpy(before, tail - BEFORE, sizeof(before));
	memcpy(after, tail, k * sizeof(*after));
	out->before = leat_median(before, BEFORE);
	out->after = leat_median(after, k);
	out->size = out->after - out->before;
	memcpy(before, tail - BEFORE, sizeof(before));
	if (!(fabs(out->size) > 0) || fabs(out->size) < SIGMAS * noise_before(before, out->size) ||
	    (tail[-1] - out->before) / out->size > ON_THE_WAY)
		return false;
	for (size_t i = 0; i < k; i++)
		if (!((tail[i] - out->before) / out->size > THERE))
			return false;
	return true;
}

bool
leat_change_fresh(const double *y, size_t n, struct leat_step *out)
{
	for (size_t k = LEAT_FRESH_LEAST; k <= MOST && BEFORE + k <= n; k++) {
		if (!steps(y, n, k, out))
			continue;
		out->found = true;
		out->at = n - k;
		out->ratio = out->before * out->after > 0 ? out->after / out->before : NAN;
		out->confidence = NAN;
		return true;
	}
	*out = (struct leat_step){ .before = NAN, .after = NAN, .size = NAN, .ratio = NAN };
	return false;
}
