#include "stats/change.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "stats/order.h"

int
leat_cusum_step(struct leat_cusum *c, double value)
{
	if (isfinite(value)) {
		c->high = fmax(0, c->high + (value - c->target - c->k));
		c->low = fmax(0, c->low + (c->target - c->k - value));
	}
	return c->high > c->h ? 1 : c->low > c->h ? -1 : 0;
}

double
leat_ewma_reach(const struct leat_ewma *e)
{
	return e->width * e->sigma * sqrt(e->lambda / (2 - e->lambda));
}

int
leat_ewma_step(struct leat_ewma *e, double value)
{
	double off;

	if (isfinite(value))
		e->z = e->lambda * value + (1 - e->lambda) * e->z;
	off = e->z - e->target;
	return off > leat_ewma_reach(e) ? 1 : off < -leat_ewma_reach(e) ? -1 : 0;
}

double
leat_detectable(double sigma, double n_eff)
{
	return 2.8 * sigma * sqrt(2 / n_eff);
}

/* U after t values is twice the sum of their ranks; the ranks have mean 0 here. */
static void
largest(const double *rank, size_t n, struct leat_change *out)
{
	double sum = 0, m = (double)n;

	out->at = 1;
	for (size_t t = 1; t < n; t++) {
		sum += rank[t - 1];
		if (fabs(2 * sum) > out->k) {
			out->k = fabs(2 * sum);
			out->at = t;
		}
	}
	out->p = fmin(1, 2 * exp(-6 * out->k * out->k / (m * m * m + m * m)));
}

int
leat_change_pettitt(const double *y, size_t n, struct leat_change *out, struct leat_error *err)
{
	double *v;

	memset(out, 0, sizeof(*out));
	if (n < 2)
		return leat_error_set(err, "a change needs two values or more");
	for (size_t i = 0; i < n; i++)
		if (!isfinite(y[i]))
			return leat_error_set(err, "value %zu is not a number", i + 1);
	if ((v = malloc(n * sizeof(*v))) == NULL)
		return leat_error_memory(err);
	memcpy(v, y, n * sizeof(*v));
	if (leat_order_ranks(v, n) < 0) {
		free(v);
		return leat_error_memory(err);
	}
	largest(v, n, out);
	memcpy(v, y, n * sizeof(*v));
	out->before = leat_median(v, out->at);
	out->after = leat_median(v + out->at, n - out->at);
	free(v);
	return 0;
}
