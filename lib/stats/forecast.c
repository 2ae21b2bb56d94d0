/*
 * Is there a trend?  The line is fitted by Huber's method from the Theil-Sen line on: each value counts in full up to 1.345
 * deviations off the line, and no more beyond.  That keeps 95 % of what least squares gets out of normal values, and wild
 * ones do little.  The error of its slope takes in that values follow their neighbours: its variance is summed as for a
 * process in which a share r of each deviation carries over to the next.
 *
 * When the limit is reached is told by path.h, for which the slope is no constant.
 */
#include "stats/forecast.h"

#include <math.h>
#include <stdlib.h>

#include "stats/kendall.h"
#include "stats/line.h"
#include "stats/order.h"
#include "stats/path.h"
#include "stats/tail.h"

#define LEAST 6
#define BEND 1.345	/* where Huber's function bends, in deviations */
#define TURNS 50
#define WILD 3.5	/* deviations */
#define MOST_R 0.95

struct fit {
	size_t n;
	double mid;		/* of x */
	double level, slope;	/* at mid; of the line */
	double spread;		/* standard deviation off the line */
	double *off;		/* distances from the line, bent */
	double slope_var, df;
};

/* One step of Huber's method.  Returns how far the line moved at the ends, in deviations. */
static double
improve(const double *x, const double *y, struct fit *f)
{
	double w = 0, wx = 0, wy = 0, wxx = 0, wxy = 0, slope, level, reach = 0, turn;

	for (size_t i = 0; i < f->n; i++) {
		double u = x[i] - f->mid, e = y[i] - f->level - f->slope * u, size = fabs(e) / f->spread;
		double weight = size > BEND ? BEND / size : 1;

		w += weight;
		wx += weight * u;
		wy += weight * e;
		wxx += weight * u * u;
		wxy += weight * u * e;
		reach = fmax(reach, fabs(u));
	}
	turn = w * wxx - wx * wx;
	if (!(turn > 0))
		return 0;
	slope = (w * wxy - wx * wy) / turn;
	level = (wy - slope * wx) / w;
	f->slope += slope;
	f->level += level;
	return (fabs(level) + fabs(slope) * reach) / f->spread;
}

/* Fills off with the bent distances, scaled so that a least-squares formula on them gives the variance of Huber's
 * line. */
static void
bend(const double *x, const double *y, struct fit *f)
{
	size_t straight = 0;

	for (size_t i = 0; i < f->n; i++) {
		double e = y[i] - f->level - f->slope * (x[i] - f->mid), most = BEND * f->spread;

		straight += fabs(e) <= most;
		f->off[i] = fmin(most, fmax(-most, e));
	}
	for (size_t i = 0; i < f->n && straight > 0; i++)
		f->off[i] *= (double)f->n / (double)straight;
}

/* The share of a deviation that carries over to the next value, wild values left out.  What a line leaves looks less
 * correlated than it is: by about 2 (1 + 2 r) / n. */
static double
carry(const double *x, const double *y, const struct fit *f)
{
	double own = 0, next = 0, n = (double)f->n, r, last = NAN;
	size_t values = 0, pairs = 0;

	for (size_t i = 0; i < f->n; i++) {
		double e = y[i] - f->level - f->slope * (x[i] - f->mid);

		if (fabs(e) > WILD * f->spread) {
			last = NAN;
			continue;
		}
		own += e * e;
		values++;
		if (!isnan(last)) {
			next += e * last;
			pairs++;
		}
		last = e;
	}
	if (!(own > 0) || pairs == 0)
		return 0;
	r = next / own * (double)values / (double)pairs;
	r = n > 8 ? (r + 2 / n) / (1 - 4 / n) : r;
	return fmin(MOST_R, fmax(0, r));
}

/* The sum of weights a, b times the correlation r^|i - j| of values i and j, over all i, j. */
struct sums {
	double aa, bb;
};

static struct sums
correlated(const double *x, const struct fit *f, double r)
{
	struct sums s = { 0, 0 };
	double a = 0, b = 0;

	/* a and b hold the earlier weights, each times r to the power of its distance. */
	for (size_t i = 0; i < f->n; i++) {
		double u = x[i] - f->mid;

		a *= r;
		b *= r;
		s.aa += 1 + 2 * a;
		s.bb += u * u + 2 * b * u;
		a += 1;
		b += u;
	}
	return s;
}

/* The variance of the slope. */
static void
variances(const double *x, const double *y, struct fit *f)
{
	double r = carry(x, y, f), n = (double)f->n, own = 0, xx = 0, count, variance;
	struct sums s = correlated(x, f, r);

	for (size_t i = 0; i < f->n; i++) {
		own += f->off[i] * f->off[i];
		xx += (x[i] - f->mid) * (x[i] - f->mid);
	}
	/* The line takes as much out of the squares as s says: more than two of n where neighbours agree. */
	count = n - s.aa / n - s.bb / xx;
	variance = own / fmax(count, 1);
	f->slope_var = variance * s.bb / (xx * xx);
	f->df = fmax(2, n * (1 - r) / (1 + r) - 2);
}

static int
prepare(const double *x, const double *y, struct fit *f, struct leat_kendall *k, struct leat_error *err)
{
	struct leat_line line;
	size_t n = f->n;

	if (leat_kendall(x, y, n, true, k, err) < 0 || leat_line_fit(x, y, n, 0.9, 1, &line, err) < 0)
		return -1;
	f->mid = 0;
	for (size_t i = 0; i < n; i++)
		f->mid += (x[i] - f->mid) / (double)(i + 1);
	f->slope = line.slope;
	f->level = line.intercept + line.slope * f->mid;
	for (size_t i = 0; i < n; i++)
		f->off[i] = y[i] - f->level - f->slope * (x[i] - f->mid);
	f->spread = leat_mad(f->off, n, f->off + n);
	return 0;
}

/* Does y rise, beyond doubt?  1, 0, or -1 with err; f becomes its line. */
static int
rises(const double *x, const double *y, struct fit *f, struct leat_error *err)
{
	struct leat_kendall k;

	if (prepare(x, y, f, &k, err) < 0)
		return -1;
	if (f->spread > 0) {
		for (int i = 0; i < TURNS && improve(x, y, f) > 1e-6; i++)
			;
		bend(x, y, f);
		variances(x, y, f);
	} else {
		/* More than half of the values lie on one line: it is sure. */
		f->slope_var = 0;
		f->df = (double)f->n;
	}
	return f->slope > 0 && k.s > 0 && k.p <= 0.1 && f->slope > leat_student_quantile(0.9, f->df) * sqrt(f->slope_var);
}

/* y is turned so that the limits are reached from below. */
static int
forecast(const double *x, const double *y, struct fit *f, const double *limit, size_t limits, unsigned values,
    struct leat_forecast **out, struct leat_error *err)
{
	static const double chance[LEAT_PATH_CHANCES] = { 0.1, 0.5, 0.9 };
	double last = x[f->n - 1], reach[LEAT_FORECAST_LIMITS][LEAT_PATH_CHANCES];
	struct leat_path_form path = { .x = x, .y = y, .n = f->n, .values = values };
	int status = rises(x, y, f, err);

	if (status <= 0 || limits == 0)
		return status;
	path.level = f->level + f->slope * (last - f->mid);
	path.slope = f->slope;
	if (leat_path_reach(&path, last + (last - x[0]), chance, limit, limits, reach, err) < 0)
		return -1;
	for (size_t i = 0; i < limits; i++)
		*out[i] = (struct leat_forecast){ true, isinf(reach[i][1]), reach[i][0], reach[i][1], reach[i][2] };
	return 0;
}

int
leat_forecast_reach(const double *x, const double *y, size_t n, const double limit[LEAT_FORECAST_LIMITS], int direction,
    unsigned values, struct leat_forecast out[LEAT_FORECAST_LIMITS], struct leat_error *err)
{
	struct fit f = { .n = n };
	struct leat_forecast *asked[LEAT_FORECAST_LIMITS];
	double *turned, turned_limit[LEAT_FORECAST_LIMITS];
	size_t limits = 0;
	int status;

	for (size_t i = 0; i < LEAT_FORECAST_LIMITS; i++) {
		out[i] = (struct leat_forecast){ .p10 = NAN, .p50 = NAN, .p90 = NAN };
		if (isnan(limit[i]))
			continue;
		turned_limit[limits] = direction * limit[i];
		asked[limits++] = &out[i];
	}
	if (n < LEAST)
		return leat_error_set(err, "a forecast needs %d values or more", LEAST);
	if ((direction != 1 && direction != -1) || isinf(limit[0]) || isinf(limit[1]))
		return leat_error_set(err, "a forecast needs limits, and from which side they are reached");
	if ((turned = malloc(3 * n * sizeof(*turned))) == NULL)
		return leat_error_memory(err);
	f.off = turned + n;
	for (size_t i = 0; i < n; i++)
		turned[i] = direction * y[i];
	status = forecast(x, turned, &f, turned_limit, limits, values, asked, err);
	free(turned);
	return status;
}
