/*
 * The last knee of a broken line.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "stats/knee.h"
#include "stats/order.h"

#define NEIGHBOURS 5u
#define CANDIDATES 60u
/* How many times its share of the noise a knee must explain.  One parameter and some forty places to look for it: of
 * straight lines with noise one in fifty at most has one (tests/unit/test_knee.c). */
#define WORTH 60.0

struct knee {
	size_t n;
	const double *x, *y;
	double *u;			/* n: x from its mean, in shares of its span */
	double *rest;			/* n: what a straight line leaves of y */
};

static void
smooth(const double *y, size_t n, double *to)
{
	double some[NEIGHBOURS];

	for (size_t i = 0; i < n; i++) {
		size_t half = NEIGHBOURS / 2, from, count;

		if (half > i)
			half = i;
		if (half > n - 1 - i)
			half = n - 1 - i;
		from = i - half;
		count = 2 * half + 1;
		memcpy(some, y + from, count * sizeof(*some));
		to[i] = leat_median(some, count);
	}
}

/* Fills u and rest.  Returns the sum of squares of rest, 0 where only rounding is left, and in *spread that of u; NaN where
 * all x are equal. */
static double
straight_line(struct knee *knee, double *spread)
{
	double n = (double)knee->n, mid = 0, mean = 0, slope = 0, all = 0, squares = 0, span = knee->x[knee->n - 1] - knee->x[0];

	*spread = 0;
	if (!(span > 0))
		return NAN;
	for (size_t i = 0; i < knee->n; i++) {
		mid += (knee->x[i] - knee->x[0]) / span / n;
		mean += (knee->y[i] - knee->y[0]) / n;
	}
	for (size_t i = 0; i < knee->n; i++) {
		knee->u[i] = (knee->x[i] - knee->x[0]) / span - mid;
		knee->rest[i] = knee->y[i] - knee->y[0] - mean;
		*spread += knee->u[i] * knee->u[i];
		slope += knee->u[i] * knee->rest[i];
		all += knee->rest[i] * knee->rest[i];
	}
	slope /= *spread;
	for (size_t i = 0; i < knee->n; i++) {
		knee->rest[i] -= slope * knee->u[i];
		squares += knee->rest[i] * knee->rest[i];
	}
	return squares > 1e-18 * all ? squares : 0;
}

/* By how much less the sum of squares is with a knee at index k, and the bend there.  What is behind the knee, less what
 * of it the straight line has already, is set against rest: so one pass over the points behind it is enough. */
static double
gain_at(const struct knee *knee, double spread, size_t k, double *bend)
{
	double sum = 0, along = 0, square = 0, with = 0;

	for (size_t i = k + 1; i < knee->n; i++) {
		double h = knee->u[i] - knee->u[k];

		sum += h;
		along += h * knee->u[i];
		square += h * h;
		with += h * knee->rest[i];
	}
	square -= sum * sum / (double)knee->n + along * along / spread;
	*bend = square > 1e-12 * spread ? with / square : 0;
	return *bend * with;
}

/* Takes the knee out of rest. */
static void
take_out(struct knee *knee, double spread, size_t k, double bend)
{
	double sum = 0, along = 0;

	for (size_t i = k + 1; i < knee->n; i++) {
		sum += knee->u[i] - knee->u[k];
		along += (knee->u[i] - knee->u[k]) * knee->u[i];
	}
	for (size_t i = 0; i < knee->n; i++)
		knee->rest[i] -= bend * ((i > k ? knee->u[i] - knee->u[k] : 0) - sum / (double)knee->n - along / spread * knee->u[i]);
}

/* The best place for a knee, 0 where none is worth it. */
static size_t
find(struct knee *knee)
{
	size_t first = LEAT_KNEE_LEAST, last = knee->n - LEAT_KNEE_LEAST, step = 1 + (last - first) / CANDIDATES, best = 0;
	double spread, straight = straight_line(knee, &spread), most = 0, bend = 0, independent;

	for (size_t k = first; k <= last && straight > 0; k += step) {
		double here, gain = gain_at(knee, spread, k, &here);

		if (gain > most) {
			most = gain;
			best = k;
			bend = here;
		}
	}
	if (best == 0)
		return 0;
	take_out(knee, spread, best, bend);
	independent = leat_effective_count(knee->rest, knee->n);
	return most > WORTH * (straight - most) / fmax(independent - 3, 1) ? best : 0;
}

int
leat_knee_last(const double *x, const double *y, size_t n, size_t *from, struct leat_error *err)
{
	double *work = malloc((3 * n + 1) * sizeof(*work));
	size_t look = 2 * LEAT_KNEE_LEAST + 4;

	*from = 0;
	if (work == NULL)
		return leat_error_memory(err);
	smooth(y, n, work);
	/* From the newest points backwards: so the last knee is met before an earlier one blurs it. */
	while (*from == 0 && n >= look) {
		struct knee knee = { look, x + n - look, work + n - look, work + n, work + 2 * n };
		size_t at = find(&knee);

		if (at > 0)
			*from = n - look + at;
		if (look == n)
			break;
		look = look * 3 / 2 < n ? look * 3 / 2 : n;
	}
	free(work);
	return 0;
}
