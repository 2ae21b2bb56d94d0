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

/* y is turned so that the limit is 0 and reached from below. */
static int
forecast(const double *x, const double *y, struct fit *f, unsigned values, struct leat_forecast *out, struct leat_error *err)
{
	static const double chance[LEAT_PATH_CHANCES] = { 0.1, 0.5, 0.9 };
	size_t n = f->n;
	struct leat_kendall k;
	struct leat_path_form path = { .x = x, .y = y, .n = n, .values = values };
	double reach[LEAT_PATH_CHANCES], t;

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
		f->df = (double)n;
	}
	t = leat_student_quantile(0.9, f->df);
	if (!(f->slope > 0 && k.s > 0 && k.p <= 0.1 && f->slope > t * sqrt(f->slope_var)))
		return 0;
	path.level = f->level + f->slope * (x[n - 1] - f->mid);
	path.slope = f->slope;
	if (leat_path_reach(&path, x[n - 1] + (x[n - 1] - x[0]), chance, reach, err) < 0)
		return -1;
	out->trend = true;
	out->p10 = reach[0];
	out->p50 = reach[1];
	out->p90 = reach[2];
	out->beyond = isinf(out->p50);
	return 0;
}

int
leat_forecast_reach(const double *x, const double *y, size_t n, double limit, int direction, unsigned values,
    struct leat_forecast *out, struct leat_error *err)
{
	struct fit f = { .n = n };
	double *turned;
	int status;

	*out = (struct leat_forecast){ .p10 = NAN, .p50 = NAN, .p90 = NAN };
	if (n < LEAST)
		return leat_error_set(err, "a forecast needs %d values or more", LEAST);
	if ((direction != 1 && direction != -1) || !isfinite(limit))
		return leat_error_set(err, "a forecast needs a limit, and from which side it is reached");
	if ((turned = malloc(3 * n * sizeof(*turned))) == NULL)
		return leat_error_memory(err);
	f.off = turned + n;
	for (size_t i = 0; i < n; i++)
		turned[i] = direction * (y[i] - limit);
	status = forecast(x, turned, &f, values, out, err);
	free(turned);
	return status;
}
