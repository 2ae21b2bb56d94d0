#include "stats/order.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "stats/merge.h"

/* Runs up to this length are sorted by insertion. */
#define FEW 24

static int
compare(const void *a, const void *b)
{
	double p = *(const double *)a, q = *(const double *)b;

	return (p > q) - (p < q);
}

void
leat_order_sort(double *x, size_t n)
{
	size_t i = 1;
	double *work;

	while (i < n && x[i - 1] <= x[i])
		i++;
	if (i >= n)
		return;
	if ((work = malloc(n * sizeof(*work))) != NULL)
		(void)leat_merge_count(x, work, n);
	else
		qsort(x, n, sizeof(*x), compare);
	free(work);
}

int
leat_order_ranks(double *x, size_t n)
{
	struct leat_merge m = { x, NULL, NULL, NULL, n };
	int status = -1;

	if (n > UINT32_MAX)
		return -1;
	m.key_work = malloc(n * sizeof(*m.key_work) + 1);
	m.at = malloc(n * sizeof(*m.at) + 1);
	m.at_work = malloc(n * sizeof(*m.at_work) + 1);
	if (m.key_work != NULL && m.at != NULL && m.at_work != NULL) {
		for (size_t i = 0; i < n; i++)
			m.at[i] = (uint32_t)i;
		leat_merge_sort(&m);
		for (size_t i = 0; i < n; i++)
			m.key_work[i] = x[i];
		for (size_t i = 0, j; i < n; i = j) {
			for (j = i + 1; j < n && m.key_work[j] == m.key_work[i]; j++)
				;
			for (size_t k = i; k < j; k++)
				x[m.at[k]] = ((double)(i + j - 1) - (double)(n - 1)) / 2;
		}
		status = 0;
	}
	free(m.key_work);
	free(m.at);
	free(m.at_work);
	return status;
}

static double
middle_of(double a, double b, double c)
{
	if (a > b) {
		double t = a;

		a = b;
		b = t;
	}
	return c < a ? a : c > b ? b : c;
}

static void
insertion(double *x, size_t n)
{
	size_t i, j;

	for (i = 1; i < n; i++) {
		double v = x[i];

		for (j = i; j > 0 && x[j - 1] > v; j--)
			x[j] = x[j - 1];
		x[j] = v;
	}
}

/* The middle of three medians of three: near the median unless the numbers were laid out against it. */
static double
pivot(const double *x, size_t n)
{
	size_t s = n / 9;

	return middle_of(middle_of(x[0], x[s], x[2 * s]), middle_of(x[3 * s], x[n / 2], x[5 * s]),
	    middle_of(x[6 * s], x[7 * s], x[n - 1]));
}

double
leat_order_select(double *x, size_t n, size_t k)
{
	int turns = 0;

	/* Hoare's partition stops at equal numbers, so many ties halve as well.  Where halving fails, sorting bounds the
	 * time. */
	while (n > FEW) {
		double p = pivot(x, n);
		ptrdiff_t i = -1, j = (ptrdiff_t)n;

		if (++turns > 96) {
			leat_order_sort(x, n);
			return x[k];
		}
		for (;;) {
			do
				i++;
			while (x[i] < p);
			do
				j--;
			while (x[j] > p);
			if (i >= j)
				break;
			double t = x[i];

			x[i] = x[j];
			x[j] = t;
		}
		/* x[0..i-1] <= p <= x[j+1..n-1]; between them at most one number, equal to p. */
		if (k < (size_t)i) {
			n = (size_t)i;
		} else if (k > (size_t)j) {
			x += j + 1;
			k -= (size_t)j + 1;
			n -= (size_t)j + 1;
		} else {
			return x[k];
		}
	}
	insertion(x, n);
	return x[k];
}

/* The smallest of x[from..n-1]. */
static double
least(const double *x, size_t from, size_t n)
{
	double v = x[from];

	for (size_t i = from + 1; i < n; i++)
		if (x[i] < v)
			v = x[i];
	return v;
}

double
leat_median(double *x, size_t n)
{
	double low;

	if (n == 0)
		return NAN;
	low = leat_order_select(x, n, (n - 1) / 2);
	return n % 2 == 1 ? low : (low + least(x, n / 2, n)) / 2;
}

double
leat_quantile(double *x, size_t n, double q)
{
	double at, low;
	size_t k;

	if (n == 0 || !(q >= 0 && q <= 1))
		return NAN;
	at = q * (double)(n - 1);
	k = (size_t)at;
	low = leat_order_select(x, n, k);
	at -= (double)k;
	return at > 0 && k + 1 < n ? low + at * (least(x, k + 1, n) - low) : low;
}

double
leat_mad(const double *x, size_t n, double *work)
{
	double middle;

	for (size_t i = 0; i < n; i++)
		work[i] = x[i];
	middle = leat_median(work, n);
	for (size_t i = 0; i < n; i++)
		work[i] = fabs(x[i] - middle);
	return 1.4826 * leat_median(work, n);
}

double
leat_effective_count(const double *x, size_t n)
{
	double mean = 0, own = 0, next = 0, r, count;

	for (size_t i = 0; i < n; i++)
		mean += (x[i] - mean) / (double)(i + 1);
	for (size_t i = 0; i < n; i++) {
		own += (x[i] - mean) * (x[i] - mean);
		if (i + 1 < n)
			next += (x[i] - mean) * (x[i + 1] - mean);
	}
	if (n < 3 || !(own > 0))
		return (double)n;
	r = next / own;
	count = (double)n * (1 - r) / (1 + r);
	return count < 1 ? 1 : count > (double)n ? (double)n : count;
}
