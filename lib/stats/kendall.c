#include "stats/kendall.h"

#include <math.h>
#include <stdlib.h>

#include "stats/line.h"
#include "stats/order.h"
#include "stats/scatter.h"
#include "stats/tail.h"

#define MOST_SHARE 0.95

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

/* The correlation of ranks that are lag apart. */
static double
correlation(const double *r, size_t n, size_t lag, double own)
{
	double with = 0;

	for (size_t i = 0; i + lag < n; i++)
		with += r[i] * r[i + lag];
	return with / own;
}

/* The factor from the ranks of residuals: that of Hamed and Rao, or that of a process in which a share of each
 * deviation carries over to the next value, whichever is larger.  What a line leaves looks less correlated than it
 * is, by about 2 (1 + 2 r) / n; the sum of Hamed and Rao suffers from that at each lag. */
static double
inflation(const double *r, size_t n)
{
	double own = 0, sum = 0, m = (double)n, bound = leat_normal_quantile(0.975) / sqrt(m), share = 0;
	size_t most = lags(n);

	for (size_t i = 0; i < n; i++)
		own += r[i] * r[i];
	if (!(own > 0))
		return 1;
	for (size_t lag = 1; lag <= most; lag++) {
		double with = correlation(r, n, lag, own), left = (double)(n - lag);

		if (fabs(with) > bound)
			sum += left * (left - 1) * (left - 2) * with;
		if (lag == 1 && with > bound)
			share = n > 8 ? fmin(MOST_SHARE, (with + 2 / m) / (1 - 4 / m)) : with;
	}
	return fmax(1, fmax(1 + 2 * sum / (m * (m - 1) * (m - 2)), (1 + share) / (1 - share)));
}

/* S, tau and the variance. */
static int
count(const double *x, const double *y, size_t n, struct leat_kendall *out, struct leat_error *err)
{
	struct leat_scatter_count c;
	double *v = malloc(3 * n * sizeof(*v));

	if (v == NULL || leat_scatter_order(x, y, n, v, v + n) < 0) {
		free(v);
		return leat_error_memory(err);
	}
	leat_scatter_count(v, v + n, n, v + 2 * n, &c);
	out->s = c.rising - c.falling;
	out->variance = variance_of(v, v + n, n);
	if (c.x_untied > 0 && c.y_untied > 0)
		out->tau = out->s / (sqrt(c.x_untied) * sqrt(c.y_untied));
	free(v);
	return 0;
}

/* The factor, from what the Theil-Sen line leaves. */
static int
autocorrelation(const double *x, const double *y, size_t n, double *factor, struct leat_error *err)
{
	double slope, *v;
	int status;

	if (leat_line_slope(x, y, n, &slope, err) < 0)
		return -1;
	if ((v = malloc(2 * n * sizeof(*v))) == NULL)
		return leat_error_memory(err);
	status = leat_scatter_order(x, y, n, v, v + n);
	for (size_t i = 0; i < n && status == 0; i++)
		v[i] = v[n + i] - slope * v[i];
	if (status == 0)
		status = leat_order_ranks(v, n);
	if (status < 0)
		leat_error_memory(err);
	else
		*factor = inflation(v, n);
	free(v);
	return status;
}

int
leat_kendall(const double *x, const double *y, size_t n, bool autocorrelated, struct leat_kendall *out,
    struct leat_error *err)
{
	double s;

	*out = (struct leat_kendall){ .n = n, .factor = 1, .p = 1 };
	if (n < 3)
		return leat_error_set(err, "a trend test needs three points or more");
	if (leat_scatter_check(x, y, n, err) < 0 || count(x, y, n, out, err) < 0)
		return -1;
	if (!(out->variance > 0))
		return 0;
	if (autocorrelated && n > 4 && autocorrelation(x, y, n, &out->factor, err) < 0)
		return -1;
	s = out->s > 0 ? out->s - 1 : out->s < 0 ? out->s + 1 : 0;
	out->z = s / sqrt(out->variance * out->factor);
	out->p = 2 * leat_normal_below(-fabs(out->z));
	return 0;
}
