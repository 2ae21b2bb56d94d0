/*
 * The search for a step on top of a bent trend.
 *
 * Values far from their neighbours are pulled back first.  Then the curve 1, u, u^2 is fitted by least squares, with and
 * without a step at each index; sums from the end make each index cost the same, however long the series is.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "stats/change.h"
#include "stats/line.h"
#include "stats/order.h"
#include "stats/scatter.h"
#include "stats/tail.h"

#define TERMS 3
#define LEAST 12	/* values */
#define EDGE 4		/* values on each side of a step */
#define SPAN 5		/* values next to a step that must show it */
#define NEAR 60		/* values on each side that give its size */

/* The part of a step that must show within SPAN values, and the confidence from which it counts. */
#define ABRUPT 0.6
#define SURE 0.99

struct fit {
	size_t n;
	double *y;			/* cleaned */
	double *rest;			/* what the curve leaves */
	double *work;			/* n */
	double mid, scale;		/* u = (x - mid) / scale */
	double inverse[TERMS][TERMS];	/* of the normal matrix */
};

static void
terms(const struct fit *f, double x, double *b)
{
	b[0] = 1;
	b[1] = (x - f->mid) / f->scale;
	b[2] = b[1] * b[1];
}

/* Pulls values that are more than three deviations off the median of seven back to it. */
static void
clean(const double *y, struct fit *f)
{
	double window[7], spread, *off = f->rest;
	size_t n = f->n;

	for (size_t i = 0; i < n; i++) {
		size_t from = i < 3 ? 0 : i > n - 4 ? n - 7 : i - 3;

		memcpy(window, y + from, sizeof(window));
		off[i] = y[i] - leat_median(window, 7);
	}
	spread = leat_mad(off, n, f->work);
	for (size_t i = 0; i < n; i++)
		f->y[i] = fabs(off[i]) > 3 * spread ? y[i] - off[i] : y[i];
}

/* Inverts the symmetric matrix a of the curve by Gauss and Jordan.  False: too few different x. */
static bool
invert(double a[TERMS][TERMS], double out[TERMS][TERMS])
{
	for (int i = 0; i < TERMS; i++)
		for (int j = 0; j < TERMS; j++)
			out[i][j] = i == j;
	for (int k = 0; k < TERMS; k++) {
		double p = a[k][k];

		if (!(p > 1e-9))
			return false;
		for (int j = 0; j < TERMS; j++) {
			a[k][j] /= p;
			out[k][j] /= p;
		}
		for (int i = 0; i < TERMS; i++) {
			double by = a[i][k];

			for (int j = 0; j < TERMS && i != k; j++) {
				a[i][j] -= by * a[k][j];
				out[i][j] -= by * out[k][j];
			}
		}
	}
	return true;
}

static void
multiply(const double m[TERMS][TERMS], const double *v, double *out)
{
	for (int i = 0; i < TERMS; i++) {
		out[i] = 0;
		for (int j = 0; j < TERMS; j++)
			out[i] += m[i][j] * v[j];
	}
}

/* Fits the curve and fills rest. */
static bool
curve(const double *x, struct fit *f)
{
	double normal[TERMS][TERMS] = { { 0 } }, right[TERMS] = { 0 }, c[TERMS], b[TERMS];

	for (size_t i = 0; i < f->n; i++) {
		terms(f, x[i], b);
		for (int j = 0; j < TERMS; j++) {
			right[j] += b[j] * (f->y[i] - f->y[0]);
			for (int k = 0; k < TERMS; k++)
				normal[j][k] += b[j] * b[k];
		}
	}
	if (!invert(normal, f->inverse))
		return false;
	multiply((const double (*)[TERMS])f->inverse, right, c);
	for (size_t i = 0; i < f->n; i++) {
		terms(f, x[i], b);
		f->rest[i] = f->y[i] - f->y[0] - c[0] - c[1] * b[1] - c[2] * b[2];
	}
	return true;
}

struct best {
	size_t at;
	double gain;		/* sum of squares that the step explains */
	double size, weight;	/* of the step; what the curve leaves of it, squared */
	double pull[TERMS];	/* by how much the curve gives way to a step of 1 */
};

/* The index whose step explains most. */
static void
scan(const double *x, const struct fit *f, struct best *best)
{
	double p[TERMS] = { 0 }, sum = 0, b[TERMS], pull[TERMS];

	best->gain = -1;
	for (size_t t = f->n; t-- > EDGE;) {
		double weight;

		terms(f, x[t], b);
		for (int j = 0; j < TERMS; j++)
			p[j] += b[j];
		sum += f->rest[t];
		if (t > f->n - EDGE || x[t] == x[t - 1])
			continue;
		multiply((const double (*)[TERMS])f->inverse, p, pull);
		weight = (double)(f->n - t);
		for (int j = 0; j < TERMS; j++)
			weight -= p[j] * pull[j];
		if (weight > 1e-6 && sum * sum / weight > best->gain) {
			best->at = t;
			best->gain = sum * sum / weight;
			best->size = sum / weight;
			best->weight = weight;
			memcpy(best->pull, pull, sizeof(pull));
		}
	}
}

/* Confidence in the best step, from what is left with it. */
static double
confidence(const double *x, const struct fit *f, const struct best *best)
{
	double squares = 0, next = 0, last = 0, r, n = (double)f->n, count, t, b[TERMS];

	for (size_t i = 0; i < f->n; i++) {
		double e = f->rest[i];

		terms(f, x[i], b);
		for (int j = 0; j < TERMS; j++)
			e += best->size * best->pull[j] * b[j];
		e -= i >= best->at ? best->size : 0;
		squares += e * e;
		next += i > 0 ? e * last : 0;
		last = e;
	}
	if (!(squares > 1e-12 * best->gain))
		return best->gain > 0 ? 1 : 0;
	/* What a fit of four terms leaves looks less correlated than it is (Kendall 1954, Biometrika 41, 403: by about
	 * (1 + 3 r) / n for a mean; here for each term). */
	r = next / squares;
	r = fmin(0.95, fmax(0, (r + (TERMS + 1) / n) / (1 - 3 / n)));
	count = n * (1 - r) / (1 + r);
	t = sqrt(best->gain / (squares / (n - TERMS - 1)) * (1 - r) / (1 + r));
	r = 2 * n * leat_student_below(-t, fmax(2, count - TERMS - 1));
	return r < 1 ? 1 - r : 0;
}

/* Do the values next to the step move by most of its size? */
static bool
abrupt(const struct fit *f, const struct best *best)
{
	size_t before = best->at < SPAN ? best->at : SPAN, after = f->n - best->at < SPAN ? f->n - best->at : SPAN;
	double low, high;

	memcpy(f->work, f->y + best->at - before, before * sizeof(*f->work));
	low = leat_median(f->work, before);
	memcpy(f->work, f->y + best->at, after * sizeof(*f->work));
	high = leat_median(f->work, after);
	return (high - low) / best->size >= ABRUPT;
}

/* The level at x from n values next to the step. */
static int
level(const double *x, const double *y, size_t n, double at, double *work, double *out, struct leat_error *err)
{
	struct leat_line line;

	if (n >= 2 * EDGE && x[0] < x[n - 1]) {
		if (leat_line_fit(x, y, n, 0.9, 1, &line, err) < 0)
			return -1;
		*out = line.intercept + line.slope * at;
		return 0;
	}
	memcpy(work, y, n * sizeof(*work));
	*out = leat_median(work, n);
	return 0;
}

static int
search(const double *x, const double *y, struct fit *f, struct leat_step *out, struct leat_error *err)
{
	struct best best = { 0 };
	size_t before, after;

	clean(y, f);
	if (!curve(x, f))
		return 0;
	scan(x, f, &best);
	if (!(best.gain > 0))
		return 0;
	out->at = best.at;
	out->confidence = confidence(x, f, &best);
	out->found = out->confidence >= SURE && abrupt(f, &best);
	before = best.at < NEAR ? best.at : NEAR;
	after = f->n - best.at < NEAR ? f->n - best.at : NEAR;
	if (level(x + best.at - before, y + best.at - before, before, x[best.at], f->work, &out->before, err) < 0 ||
	    level(x + best.at, y + best.at, after, x[best.at], f->work, &out->after, err) < 0)
		return -1;
	out->size = out->after - out->before;
	out->ratio = out->before * out->after > 0 ? out->after / out->before : NAN;
	return 0;
}

int
leat_change_step(const double *x, const double *y, size_t n, struct leat_step *out, struct leat_error *err)
{
	struct fit f = { .n = n };
	int status;

	*out = (struct leat_step){ .before = NAN, .after = NAN, .size = NAN, .ratio = NAN };
	if (n < LEAST)
		return leat_error_set(err, "a step needs %d values or more", LEAST);
	if (leat_scatter_check(x, y, n, err) < 0)
		return -1;
	f.mid = x[0] + (x[n - 1] - x[0]) / 2;
	f.scale = (x[n - 1] - x[0]) / 2;
	if (!(f.scale > 0))
		return leat_error_set(err, "a step needs values at different times");
	if ((f.y = malloc(3 * n * sizeof(*f.y))) == NULL)
		return leat_error_memory(err);
	f.rest = f.y + n;
	f.work = f.rest + n;
	status = search(x, y, &f, out, err);
	free(f.y);
	return status;
}
