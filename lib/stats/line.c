#include "stats/line.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "stats/kendall.h"
#include "stats/order.h"
#include "stats/scatter.h"
#include "stats/slopes.h"
#include "stats/tail.h"

/* The interval: slopes of ranks (pairs -+ width) / 2, from 1; the upper one is the next behind. */
static int
interval(struct leat_slopes *s, double variance, double confidence, struct leat_line *out, struct leat_error *err)
{
	double width = leat_normal_quantile((1 + confidence) / 2) * sqrt(variance);
	double low = nearbyint(((double)out->pairs - width) / 2);
	double high = nearbyint(((double)out->pairs + width) / 2) + 1;

	out->slope_low = -INFINITY;
	out->slope_high = INFINITY;
	if (low >= 1 && leat_slopes_select(s, (uint64_t)low, &out->slope_low, err) < 0)
		return -1;
	if (high <= (double)out->pairs && leat_slopes_select(s, (uint64_t)high, &out->slope_high, err) < 0)
		return -1;
	return 0;
}

static int
middle(struct leat_slopes *s, double *slope, struct leat_error *err)
{
	double low, high;

	if (s->pairs == 0)
		return leat_error_set(err, "a line needs two points with different x");
	if (leat_slopes_select(s, (s->pairs + 1) / 2, &low, err) < 0 ||
	    leat_slopes_select(s, s->pairs / 2 + 1, &high, err) < 0)
		return -1;
	*slope = low == high ? low : (low + high) / 2;
	return 0;
}

int
leat_line_slope(const double *x, const double *y, size_t n, double *slope, struct leat_error *err)
{
	struct leat_slopes s;
	int status;

	if (leat_scatter_check(x, y, n, err) < 0 || leat_slopes_init(&s, x, y, n, err) < 0)
		return -1;
	status = middle(&s, slope, err);
	leat_slopes_free(&s);
	return status;
}

static int
slopes(const double *x, const double *y, size_t n, double confidence, double variance, struct leat_line *out,
    struct leat_error *err)
{
	struct leat_slopes s;
	int status;

	if (leat_slopes_init(&s, x, y, n, err) < 0)
		return -1;
	out->pairs = (long long)s.pairs;
	status = middle(&s, &out->slope, err);
	if (status == 0)
		status = interval(&s, variance, confidence, out, err);
	leat_slopes_free(&s);
	return status;
}

int
leat_line_fit(const double *x, const double *y, size_t n, double confidence, double factor, struct leat_line *out,
    struct leat_error *err)
{
	double *work, variance;

	*out = (struct leat_line){ .n = n, .slope = NAN, .slope_low = NAN, .slope_high = NAN, .intercept = NAN };
	if (!(confidence > 0 && confidence < 1))
		return leat_error_set(err, "the confidence of a line is between 0 and 1");
	if (!(factor >= 0 && isfinite(factor)))
		return leat_error_set(err, "the factor of a variance is a number from 0 up");
	if (leat_scatter_check(x, y, n, err) < 0)
		return -1;
	if (n < 2)
		return leat_error_set(err, "a line needs two points with different x");
	if ((work = malloc(2 * n * sizeof(*work))) == NULL)
		return leat_error_memory(err);
	memcpy(work, x, n * sizeof(*work));
	memcpy(work + n, y, n * sizeof(*work));
	variance = leat_kendall_variance(work, work + n, n) * factor;
	free(work);
	if (slopes(x, y, n, confidence, variance, out, err) < 0)
		return -1;
	if ((work = malloc(n * sizeof(*work))) == NULL)
		return leat_error_memory(err);
	for (size_t i = 0; i < n; i++)
		work[i] = y[i] - out->slope * x[i];
	out->intercept = leat_median(work, n);
	free(work);
	return 0;
}

int
leat_line_accelerates(const double *x, const double *y, size_t n, double confidence, double factor,
    struct leat_line *whole, struct leat_line *newest, bool *faster, struct leat_error *err)
{
	size_t from = n - n / 3;

	*faster = false;
	if (n < 9)
		return leat_error_set(err, "nine points or more are needed to see whether a trend gets steeper");
	if (leat_line_fit(x, y, n, confidence, factor, whole, err) < 0 ||
	    leat_line_fit(x + from, y + from, n - from, confidence, factor, newest, err) < 0)
		return -1;
	if (newest->slope > 0)
		*faster = newest->slope_low > (whole->slope > 0 ? whole->slope : 0);
	else
		*faster = newest->slope_high < (whole->slope < 0 ? whole->slope : 0);
	return 0;
}
