#include "stats/kendall.h"

#include <math.h>
#include <stdlib.h>

#include "stats/line.h"
#include "stats/order.h"
#include "stats/scatter.h"
#include "stats/tail.h"

/* Lags beyond 10 log10(n), the usual span of a correlogram, hold little but chance. */
static size_t
lags(size_t n)
{
	size_t most = (size_t)(10 * log10((double)n));

	return most < n - 3 ? most : n - 3;
}

/* Sums over the groups of equal numbers of ascending x, t being their sizes. */
struct ties {
	double pairs;		/* t (t - 1) */
	double triples;		/* t (t - 1) (t - 2) */
	double weighted;	/* t (t - 1) (2 t + 5) */
};

static struct ties
ties_of(const double *x, size_t n)
{
	struct ties sum = { 0, 0, 0 };

	for (size_t i = 0, j; i < n; i = j) {
		double t;

		for (j = i + 1; j < n && x[j] == x[i]; j++)
			;
		t = (double)(j - i);
		sum.pairs += t * (t - 1);
		sum.triples += t * (t - 1) * (t - 2);
		sum.weighted += t * (t - 1) * (2 * t + 5);
	}
	return sum;
}

/* By Kendall's formula; x and y ascending. */
static double
variance_of(const double *x, const double *y, size_t n)
{
	double m = (double)n, variance;
	struct ties tx = ties_of(x, n), ty = ties_of(y, n);

	variance = (m * (m - 1) * (2 * m + 5) - tx.weighted - ty.weighted) / 18 + tx.pairs * ty.pairs / (2 * m * (m - 1));
	if (n > 2)
		variance += tx.triples * ty.triples / (9 * m * (m - 1) * (m - 2));
	return variance > 0 ? variance : 0;
}

double
leat_kendall_variance(double *x, double *y, size_t n)
{
	if (n < 2)
		return 0;
	leat_order_sort(x, n);
	leat_order_sort(y, n);
	return variance_of(x, y, n);
}

/* The factor of Hamed and Rao from the ranks of residuals. */
static double
inflation(const double *r, size_t n)
{
	double own = 0, sum = 0, m = (double)n, bound = leat_normal_quantile(0.975) / sqrt(m);
	size_t most = lags(n);

	for (size_t i = 0; i < n; i++)
		own += r[i] * r[i];
	for (size_t lag = 1; own > 0 && lag <= most; lag++) {
		double with = 0, left = (double)(n - lag);

		for (size_t i = 0; i + lag < n; i++)
			with += r[i] * r[i + lag];
		with /= own;
		if (fabs(with) > bound)
			sum += left * (left - 1) * (left - 2) * with;
	}
	sum = 1 + 2 * sum / (m * (m - 1) * (m - 2));
	return sum > 1 ? sum : 1;
}

static void
test(struct leat_kendall *k)
{
	double s = k->s > 0 ? k->s - 1 : k->s < 0 ? k->s + 1 : 0;

	k->z = k->variance > 0 ? s / sqrt(k->variance * k->factor) : 0;
	k->p = 2 * leat_normal_below(-fabs(k->z));
}

/* The factor of points xs, ys in the order of x; ys becomes ranks. */
static int
autocorrelation(const double *xs, double *ys, size_t n, double *factor, struct leat_error *err)
{
	struct leat_line line;

	if (leat_line_fit(xs, ys, n, 0.9, 1, &line, err) < 0)
		return -1;
	for (size_t i = 0; i < n; i++)
		ys[i] -= line.slope * xs[i];
	if (leat_order_ranks(ys, n) < 0)
		return leat_error_memory(err);
	*factor = inflation(ys, n);
	return 0;
}

int
leat_kendall(const double *x, const double *y, size_t n, bool autocorrelated, struct leat_kendall *out,
    struct leat_error *err)
{
	double *v = NULL;
	struct leat_scatter_count count;
	int status = -1;

	*out = (struct leat_kendall){ .n = n, .factor = 1, .p = 1 };
	if (n < 3)
		return leat_error_set(err, "a trend test needs three points or more");
	if (leat_scatter_check(x, y, n, err) < 0)
		return -1;
	v = malloc(3 * n * sizeof(*v));
	if (v == NULL || leat_scatter_order(x, y, n, v, v + n) < 0) {
		leat_error_memory(err);
		goto done;
	}
	leat_scatter_count(v, v + n, n, v + 2 * n, &count);
	out->s = count.rising - count.falling;
	out->variance = variance_of(v, v + n, n);
	if (count.x_untied > 0 && count.y_untied > 0)
		out->tau = out->s / (sqrt(count.x_untied) * sqrt(count.y_untied));
	if (autocorrelated && out->variance > 0 && n > 4 &&
	    (leat_scatter_order(x, y, n, v, v + n) < 0 || autocorrelation(v, v + n, n, &out->factor, err) < 0))
		goto done;
	test(out);
	status = 0;
done:
	free(v);
	return status;
}
