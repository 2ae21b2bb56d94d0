/*
 * The last knee of a broken line.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "stats/knee.h"
#include "stats/least.h"
#include "stats/order.h"

#define NEIGHBOURS 5u
#define CANDIDATES 60u
/* How many times its share of the noise a knee must explain.  One parameter and some forty places to look for it: of
 * straight lines with noise one in fifty at most has one (tests/unit/test_knee.c). */
#define WORTH 60.0

struct knee {
	size_t n;
	const double *x, *y;
	double *column;			/* 3 n: 1, x, and what is behind the knee */
	double *rest;			/* n */
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

/* Sum of squares with a knee at index k; k 0: without one. */
static double
squares(struct knee *knee, size_t k)
{
	struct leat_least fit;
	struct leat_error err;

	for (size_t i = 0; i < knee->n; i++) {
		knee->column[i] = 1;
		knee->column[knee->n + i] = knee->x[i] - knee->x[0];
		knee->column[2 * knee->n + i] = i > k ? knee->x[i] - knee->x[k] : 0;
	}
	if (leat_least_fit(knee->column, knee->y, knee->n, k > 0 ? 3 : 2, knee->rest, &fit, &err) != 0)
		return INFINITY;
	return fit.squares;
}

/* The best place for a knee, 0 where none is worth it. */
static size_t
find(struct knee *knee)
{
	size_t first = LEAT_KNEE_LEAST, last = knee->n - LEAT_KNEE_LEAST, step = 1 + (last - first) / CANDIDATES, best = 0;
	double straight = squares(knee, 0), least = INFINITY, independent;

	for (size_t k = first; k <= last; k += step) {
		double s = squares(knee, k);

		if (s < least) {
			least = s;
			best = k;
		}
	}
	if (best == 0 || !isfinite(straight))
		return 0;
	(void)squares(knee, best);
	independent = leat_effective_count(knee->rest, knee->n);
	return straight - least > WORTH * least / fmax(independent - 3, 1) ? best : 0;
}

int
leat_knee_last(const double *x, const double *y, size_t n, size_t *from, struct leat_error *err)
{
	double *work = malloc((5 * n + 1) * sizeof(*work));
	size_t look = 2 * LEAT_KNEE_LEAST + 4;

	*from = 0;
	if (work == NULL)
		return leat_error_memory(err);
	smooth(y, n, work);
	/* From the newest points backwards: so the last knee is met before an earlier one blurs it. */
	while (*from == 0 && n >= look) {
		struct knee knee = { look, x + n - look, work + n - look, work + n, work + 4 * n };
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
