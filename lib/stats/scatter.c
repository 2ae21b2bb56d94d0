#include "stats/scatter.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>

#include "stats/merge.h"
#include "stats/order.h"

struct point {
	double x, y;
};

int
leat_scatter_check(const double *x, const double *y, size_t n, struct leat_error *err)
{
	if (n > UINT32_MAX)
		return leat_error_set(err, "more points than can be compared in pairs");
	for (size_t i = 0; i < n; i++)
		if (!isfinite(x[i]) || !isfinite(y[i]))
			return leat_error_set(err, "point %zu is not a pair of numbers", i + 1);
	return 0;
}

static int
compare(const void *a, const void *b)
{
	const struct point *p = a, *q = b;

	if (p->x != q->x)
		return p->x < q->x ? -1 : 1;
	return (p->y > q->y) - (p->y < q->y);
}

int
leat_scatter_order(const double *x, const double *y, size_t n, double *xs, double *ys)
{
	bool ascending = true;
	struct point *points;

	for (size_t i = 1; i < n && ascending; i++)
		ascending = x[i - 1] <= x[i];
	if (ascending) {
		for (size_t i = 0; i < n; i++) {
			xs[i] = x[i];
			ys[i] = y[i];
		}
		for (size_t i = 0, j; i < n; i = j) {
			for (j = i + 1; j < n && xs[j] == xs[i]; j++)
				;
			leat_order_sort(ys + i, j - i);
		}
		return 0;
	}
	if ((points = malloc(n * sizeof(*points))) == NULL)
		return -1;
	for (size_t i = 0; i < n; i++)
		points[i] = (struct point){ x[i], y[i] };
	qsort(points, n, sizeof(*points), compare);
	for (size_t i = 0; i < n; i++) {
		xs[i] = points[i].x;
		ys[i] = points[i].y;
	}
	free(points);
	return 0;
}

static double
pairs_of(double t)
{
	return t * (t - 1) / 2;
}

void
leat_scatter_count(const double *x, double *y, size_t n, double *work, struct leat_scatter_count *out)
{
	double all = pairs_of((double)n), x_tied = 0, y_tied = 0, both = 0;

	for (size_t i = 0, j; i < n; i = j) {
		for (j = i + 1; j < n && x[j] == x[i]; j++)
			;
		x_tied += pairs_of((double)(j - i));
		for (size_t k = i, l; k < j; k = l) {
			for (l = k + 1; l < j && y[l] == y[k]; l++)
				;
			both += pairs_of((double)(l - k));
		}
	}
	out->falling = (double)leat_merge_count(y, work, n);
	for (size_t i = 0, j; i < n; i = j) {
		for (j = i + 1; j < n && y[j] == y[i]; j++)
			;
		y_tied += pairs_of((double)(j - i));
	}
	out->x_untied = all - x_tied;
	out->y_untied = all - y_tied;
	out->rising = all - x_tied - y_tied + both - out->falling;
}
