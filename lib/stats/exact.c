#include "stats/exact.h"

#include <math.h>

#define TINY 1e-300
#define CLOSE 1e-15
#define STEPS 100000
#define HALVINGS 200

/* The regularised incomplete gamma function P(a, x): its series below a + 1, its continued fraction above (Abramowitz and
 * Stegun 6.5.29 and 6.5.31). */
static double
gamma_below(double a, double x)
{
	double scale = exp(a * log(x) - x - lgamma(a)), sum, term;

	if (x < a + 1) {
		sum = term = 1 / a;
		for (int k = 1; k < STEPS && term > sum * CLOSE; k++) {
			term *= x / (a + k);
			sum += term;
		}
		return scale * sum;
	} else {
		double b = x + 1 - a, c = 1 / TINY, d = 1 / b, h = d;

		for (int k = 1; k < STEPS; k++) {
			double an = -k * (k - a), step;

			b += 2;
			d = an * d + b;
			d = 1 / (fabs(d) < TINY ? TINY : d);
			c = b + an / c;
			c = fabs(c) < TINY ? TINY : c;
			step = d * c;
			h *= step;
			if (fabs(step - 1) < CLOSE)
				break;
		}
		return 1 - scale * h;
	}
}

double
leat_chi_square_below(double x, double df)
{
	if (isnan(x) || !(df > 0))
		return NAN;
	if (x <= 0)
		return 0;
	return isinf(x) ? 1 : gamma_below(df / 2, x / 2);
}

double
leat_chi_square_quantile(double p, double df)
{
	double low = 0, high = df + 10;

	if (!(p >= 0 && p <= 1) || !(df > 0))
		return NAN;
	if (p == 0 || p == 1)
		return p == 0 ? 0 : INFINITY;
	while (leat_chi_square_below(high, df) < p)
		high *= 2;
	for (int i = 0; i < HALVINGS && high - low > CLOSE * high; i++) {
		double mid = (low + high) / 2;

		if (leat_chi_square_below(mid, df) < p)
			low = mid;
		else
			high = mid;
	}
	return (low + high) / 2;
}

/* The continued fraction of the incomplete beta function (Abramowitz and Stegun 26.5.8), good for x below its mean. */
static double
beta_fraction(double x, double a, double b)
{
	double c = 1, d = 1 - (a + b) * x / (a + 1), h;

	d = 1 / (fabs(d) < TINY ? TINY : d);
	h = d;
	for (int m = 1; m < STEPS; m++) {
		double k = 2.0 * m, step;
		double even = m * (b - m) * x / ((a + k - 1) * (a + k));
		double odd = -(a + m) * (a + b + m) * x / ((a + k) * (a + k + 1));

		d = 1 + even * d;
		d = 1 / (fabs(d) < TINY ? TINY : d);
		c = 1 + even / c;
		c = fabs(c) < TINY ? TINY : c;
		h *= d * c;
		d = 1 + odd * d;
		d = 1 / (fabs(d) < TINY ? TINY : d);
		c = 1 + odd / c;
		c = fabs(c) < TINY ? TINY : c;
		step = d * c;
		h *= step;
		if (fabs(step - 1) < CLOSE)
			break;
	}
	return h;
}

double
leat_beta_below(double x, double a, double b)
{
	double scale;

	if (isnan(x) || !(a > 0) || !(b > 0))
		return NAN;
	if (x <= 0 || x >= 1)
		return x <= 0 ? 0 : 1;
	scale = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x));
	if (x < (a + 1) / (a + b + 2))
		return scale * beta_fraction(x, a, b) / a;
	return 1 - scale * beta_fraction(1 - x, b, a) / b;
}

static double
beta_quantile(double p, double a, double b)
{
	double low = 0, high = 1;

	for (int i = 0; i < HALVINGS && high - low > CLOSE; i++) {
		double mid = (low + high) / 2;

		if (leat_beta_below(mid, a, b) < p)
			low = mid;
		else
			high = mid;
	}
	return (low + high) / 2;
}

void
leat_between_events(double span, long count, double confidence, double *low, double *high)
{
	double tail = count > 0 ? (1 - confidence) / 2 : 1 - confidence;

	*low = 2 * span / leat_chi_square_quantile(1 - tail, 2.0 * (double)count + 2);
	*high = count > 0 ? 2 * span / leat_chi_square_quantile(tail, 2.0 * (double)count) : INFINITY;
}

void
leat_share_interval(long count, long n, double confidence, double *low, double *high)
{
	double tail = (1 - confidence) / 2, k = (double)count, rest = (double)(n - count);

	*low = count <= 0 ? 0 : beta_quantile(tail, k, rest + 1);
	*high = count >= n ? 1 : beta_quantile(1 - tail, k + 1, rest);
}
