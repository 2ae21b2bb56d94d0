/*
 * The search for a step on top of a bent trend.
 *
 * Values far from their neighbours are pulled back first.  Then the curve 1, u, u^2 is fitted by least squares,
 * with and without a step at each index; sums from the end make each index cost the same, however long the series
 * is.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "stats/change.h"
#include "stats/least.h"
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

/* In fewer values the step itself makes up most contrasts, so more confidence is asked instead. */
#define MANY 60
#define SURE_OF_FEW 0.999

/* A step must stand out by so many deviations of all contrasts; by so many more, it is one whatever the curve says.
 * The tails of contrasts are taken for so much longer than normal. */
#define NOTABLE 2.5
#define OUTSTANDING 7.0
#define TAIL 1.3

/* A smaller share of the largest value is the rounding of its 52 binary digits, not a step. */
#define ROUNDING 1e-12

struct fit {
	size_t n;
	double *y;			/* cleaned */
	double *rest;			/* what the curve leaves */
	double *work;			/* n */
	double mid, scale;		/* u = (x - mid) / scale */
	struct leat_least least;	/* of the curve */
};

static void
terms(const struct fit *f, double x, double *b)
{
	b[0] = 1;
	b[1] = (x - f->mid) / f->scale;
	b[2] = b[1] * b[1];
}

/* Pulls values that are more than three deviations off the median of seven back to it.  The seven of a value near an end lie
 * to one side of it: where they climb without noise it is off their median, and right. */
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
	for (size_t i = 0; i < n; i++) {
		bool sided = i < 3 || i + 3 >= n;

		f->y[i] = fabs(off[i]) > 3 * spread && (spread > 0 || !sided) ? y[i] - off[i] : y[i];
	}
}

static double
largest(const struct fit *f)
{
	double most = 0;

	for (size_t i = 0; i < f->n; i++)
		most = fmax(most, fabs(f->y[i]));
	return most;
}

/* By how much the coefficients give way to a step whose terms add up to p. */
static void
give_way(const struct fit *f, const double *p, double *out)
{
	for (int i = 0; i < TERMS; i++) {
		out[i] = 0;
		for (int j = 0; j < TERMS; j++)
			out[i] += f->least.inverse[i][j] * p[j];
	}
}

/* Fits the curve and fills rest. */
static int
curve(const double *x, struct fit *f, struct leat_error *err)
{
	double *column = malloc(TERMS * f->n * sizeof(*column)), b[TERMS];
	int status = column != NULL ? 0 : leat_error_memory(err);

	for (size_t i = 0; i < f->n && status == 0; i++) {
		terms(f, x[i], b);
		for (size_t t = 0; t < TERMS; t++)
			column[t * f->n + i] = b[t];
	}
	if (status == 0)
		status = leat_least_fit(column, f->y, f->n, TERMS, f->rest, &f->least, err);
	free(column);
	return status;
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
		give_way(f, p, pull);
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

/* The mean of the SPAN values from t on less that of the SPAN values before; fewer at the ends. */
static double
jump(const struct fit *f, size_t t)
{
	size_t before = t < SPAN ? t : SPAN, after = f->n - t < SPAN ? f->n - t : SPAN;
	double low = 0, high = 0;

	for (size_t i = t - before; i < t; i++)
		low += f->y[i];
	for (size_t i = t; i < t + after; i++)
		high += f->y[i];
	return high / (double)after - low / (double)before;
}

/* The jump at t less what the values move by just before and just after it: nothing where they only climb. */
static double
contrast(const struct fit *f, size_t t)
{
	if (t < 2 * SPAN || t + 2 * SPAN > f->n)
		return jump(f, t);
	return jump(f, t) - (jump(f, t - SPAN) + jump(f, t + SPAN)) / 2;
}

/* The deviation of all contrasts, and the index of the largest; 0 where they are too few to tell. */
static double
usual_contrast(const double *x, const struct fit *f, size_t *at)
{
	size_t from = 2 * SPAN, count = f->n > 2 * from ? f->n + 1 - 2 * from : 0;
	double most = -1, *c = f->rest;

	if (count < SPAN)
		return 0;
	for (size_t i = 0; i < count; i++)
		c[i] = contrast(f, from + i);
	for (size_t i = 0; i < count; i++)
		if (fabs(c[i]) > most && x[from + i] > x[from + i - 1]) {
			most = fabs(c[i]);
			*at = from + i;
		}
	for (size_t i = 0; i < count; i++)
		f->work[i] = fabs(c[i]);
	return 1.4826 * leat_median(f->work, count);
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

/* before and after, from the values near the step. */
static int
levels(const double *x, const double *y, const struct fit *f, struct leat_step *out, struct leat_error *err)
{
	size_t at = out->at, before = at < NEAR ? at : NEAR, after = f->n - at < NEAR ? f->n - at : NEAR;

	if (level(x + at - before, y + at - before, before, x[at], f->work, &out->before, err) < 0 ||
	    level(x + at, y + at, after, x[at], f->work, &out->after, err) < 0)
		return -1;
	out->size = out->after - out->before;
	out->ratio = out->before * out->after > 0 ? out->after / out->before : NAN;
	return 0;
}

static int
search(const double *x, const double *y, struct fit *f, struct leat_step *out, struct leat_error *err)
{
	struct best best = { 0 };
	size_t at = 0;
	double usual, out_by, p;

	clean(y, f);
	if (curve(x, f, err) < 0)
		return -1;
	scan(x, f, &best);
	if (!(best.gain > 0) || !(fabs(best.size) > ROUNDING * largest(f)))
		return 0;
	out->at = best.at;
	out->confidence = confidence(x, f, &best);
	usual = usual_contrast(x, f, &at);
	out->found = out->confidence >= (f->n < MANY ? SURE_OF_FEW : SURE) &&
	    contrast(f, best.at) / best.size >= ABRUPT && (f->n < MANY || fabs(contrast(f, best.at)) >= NOTABLE * usual);
	out_by = at > 0 && usual > 0 ? fabs(contrast(f, at)) / usual : 0;
	if (!out->found && out_by > OUTSTANDING) {
		p = 2 * (double)f->n * leat_normal_below(-out_by / TAIL);
		out->at = at;
		out->confidence = p < 1 ? 1 - p : 0;
		out->found = out->confidence >= SURE;
	}
	return levels(x, y, f, out, err);
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
