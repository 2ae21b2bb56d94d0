#include "stats/tail.h"

#include <math.h>

double
leat_normal_below(double z)
{
	return 0.5 * erfc(-z / sqrt(2.0));
}

double
leat_normal_quantile(double p)
{
	double q, z, low, high;

	if (!(p >= 0 && p <= 1))
		return NAN;
	if (p == 0 || p == 1)
		return p == 0 ? -INFINITY : INFINITY;
	/* The lower half keeps its digits; the upper is its mirror. */
	q = p > 0.5 ? 1 - p : p;
	if (q == 0.5)
		return 0;
	low = -39;
	high = 0;
	z = -sqrt(-2 * log(q)) * 0.9;
	/* Newton's steps, kept within a bracket that each of them narrows. */
	for (int i = 0; i < 200 && high - low > 1e-16 * -low; i++) {
		double gap = leat_normal_below(z) - q, step;

		if (gap > 0)
			high = z;
		else
			low = z;
		step = gap / (exp(-z * z / 2) / sqrt(2 * acos(-1.0)));
		if (fabs(step) <= 1e-16 * fabs(z))
			break;
		z = z - step > low && z - step < high ? z - step : (low + high) / 2;
	}
	return p > 0.5 ? -z : z;
}

/* The incomplete beta function's continued fraction, by Lentz's method; b > 0, a > 0, x below (a + 1) / (a + b +
 * 2). */
static double
fraction(double a, double b, double x)
{
	double c = 1, d = 1 - (a + b) * x / (a + 1), h;

	d = 1 / (fabs(d) < 1e-300 ? 1e-300 : d);
	h = d;
	for (int m = 1; m <= 2000; m++) {
		double even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
		double odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
		double part[2] = { even, odd }, change = 1;

		for (int i = 0; i < 2; i++) {
			d = 1 + part[i] * d;
			c = 1 + part[i] / c;
			d = 1 / (fabs(d) < 1e-300 ? 1e-300 : d);
			c = fabs(c) < 1e-300 ? 1e-300 : c;
			change = c * d;
			h *= change;
		}
		if (fabs(change - 1) < 1e-15)
			break;
	}
	return h;
}

static double
incomplete_beta(double a, double b, double x)
{
	double front;

	if (x <= 0 || x >= 1)
		return x <= 0 ? 0 : 1;
	front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x));
	if (x < (a + 1) / (a + b + 2))
		return front * fraction(a, b, x) / a;
	return 1 - front * fraction(b, a, 1 - x) / b;
}

double
leat_student_below(double t, double df)
{
	double half;

	if (!(df > 0) || isnan(t))
		return NAN;
	/* For t near 0 the tail is computed from its complement, so that no digits cancel. */
	if (t * t < df)
		half = 0.5 - 0.5 * incomplete_beta(0.5, df / 2, t * t / (df + t * t));
	else
		half = 0.5 * incomplete_beta(df / 2, 0.5, df / (df + t * t));
	return t < 0 ? half : 1 - half;
}

double
leat_student_quantile(double p, double df)
{
	double low = -1, high = 0, q;

	if (!(p >= 0 && p <= 1) || !(df > 0))
		return NAN;
	if (p == 0 || p == 1)
		return p == 0 ? -INFINITY : INFINITY;
	q = p > 0.5 ? 1 - p : p;
	if (q == 0.5)
		return 0;
	while (leat_student_below(low, df) > q && low > -1e300)
		low *= 2;
	while (high - low > 1e-15 * -low) {
		double t = (low + high) / 2;

		if (t <= low || t >= high)
			break;
		if (leat_student_below(t, df) > q)
			high = t;
		else
			low = t;
	}
	return p > 0.5 ? -low : low;
}
