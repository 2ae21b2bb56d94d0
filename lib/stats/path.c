#include "stats/path.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "stats/order.h"
#include "stats/tail.h"

#define MOST 3.0	/* deviations of what was expected, beyond which a value draws no further */
#define WILD 3.5	/* deviations from the median of its neighbours, beyond which a value says nothing */
#define NEIGHBOURS 5u
#define VAGUE 1e8	/* variance of what is not known before the first value, in those of the noise and of the rise */
#define LEAST_NOISE 1e-4 /* of the rise: values that are rounded have some */
#define NODES 15	/* of the path of one way, from low to high, each as likely */
#define CELLS 256	/* of the time to the horizon */
#define FAR 6		/* deviations of the noise beyond which it decides nothing */
#define FINE 32		/* steps of a deviation in the table of chances; between them the error is below 2e-4 */
#define LEAST_WEIGHT 0.005
#define ROOT_HALF 0.70710678118654752440
#define LOOKS_APART 0.5	/* of the values of a level, until the next level is a chance of its own */

/* How much the slope changes over the values, in shares of itself (a standard deviation), and which share of the noise
 * carries over to the next value. */
static const double wanders[] = { 0.03, 0.06, 0.12, 0.25, 0.5, 1, 2 };
static const double likely[] = { 1, 1, 1, 1, 0.5, 0.25, 0.12 };	/* those, before a value is seen */
static const double carries[] = { 0, 0.3, 0.5, 0.7, 0.85, 0.95 };
#define WANDERS (sizeof(wanders) / sizeof(wanders[0]))
#define CARRIES (sizeof(carries) / sizeof(carries[0]))

/* One way in which things may be.  In units of the span of x and of the noise of that way, less the robust line. */
struct way {
	double q, r;		/* variance of the slope's walk; what carries over */
	double unit;		/* of the noise */
	double m, b, e;		/* path, slope and noise after the last value */
	double mm, mb, bb, me, be, ee;	/* their covariances */
	double logs, squares;	/* of innovations */
	double scale;		/* noise as found: variance in units */
	double likelihood, weight;
};

/* The noise of single values against their neighbours', as standard deviation of y less the mean of the two beside it. */
static double
roughness(const struct leat_path_form *f, double *work)
{
	size_t n = 0;

	for (size_t i = 1; i + 1 < f->n; i++) {
		double whole = f->x[i + 1] - f->x[i - 1], part = whole > 0 ? (f->x[i] - f->x[i - 1]) / whole : 0.5;

		work[n++] = f->y[i] - f->y[i - 1] * (1 - part) - f->y[i + 1] * part;
	}
	return leat_mad(work, n, work + n);
}

/* The value less the robust line. */
static double
off_line(const struct leat_path_form *f, size_t i)
{
	return f->y[i] - f->level - f->slope * (f->x[i] - f->x[f->n - 1]);
}

/* off becomes the values less the robust line, NaN where they are wild.  work has room for 2 n. */
static void
without_wild(const struct leat_path_form *f, double *off, double *work)
{
	double some[NEIGHBOURS], spread;

	for (size_t i = 0; i < f->n; i++) {
		size_t from = i < NEIGHBOURS / 2 ? 0 : i - NEIGHBOURS / 2;

		from = from + NEIGHBOURS > f->n ? f->n - NEIGHBOURS : from;
		for (size_t k = 0; k < NEIGHBOURS; k++)
			some[k] = off_line(f, from + k);
		off[i] = off_line(f, i);
		work[i] = off[i] - leat_median(some, NEIGHBOURS);
	}
	spread = fmax(leat_mad(work, f->n, work + f->n), LEAST_NOISE * f->slope * (f->x[f->n - 1] - f->x[0]));
	for (size_t i = 0; i < f->n; i++)
		if (fabs(work[i]) > WILD * spread)
			off[i] = NAN;
}

static void
begin(struct way *w)
{
	w->m = w->b = w->e = 0;
	w->mm = w->bb = VAGUE;
	w->mb = w->me = w->be = 0;
	w->ee = 1;
	w->logs = w->squares = 0;
}

/* Lets d of the span pass. */
static void
pass(struct way *w, double d)
{
	w->m += w->b * d;
	w->mm += 2 * d * w->mb + d * d * w->bb + w->q * d * d * d / 3;
	w->mb += d * w->bb + w->q * d * d / 2;
	w->bb += w->q * d;
	w->me = w->r * (w->me + d * w->be);
	w->be *= w->r;
	w->e *= w->r;
	w->ee = w->r * w->r * w->ee + 1 - w->r * w->r;
}

/* Takes a value. */
static void
take(struct way *w, double y, bool counts)
{
	double mg = w->mm + w->me, bg = w->mb + w->be, eg = w->me + w->ee, f = mg + eg;
	double v = y - w->m - w->e, most = MOST * sqrt(f);

	v = fmin(most, fmax(-most, v));
	if (counts) {
		w->logs += log(f);
		w->squares += v * v / f;
	}
	w->m += mg * v / f;
	w->b += bg * v / f;
	w->e += eg * v / f;
	w->mm -= mg * mg / f;
	w->mb -= mg * bg / f;
	w->bb -= bg * bg / f;
	w->me -= mg * eg / f;
	w->be -= bg * eg / f;
	w->ee -= eg * eg / f;
}

static void
run(const struct leat_path_form *f, const double *off, double span, struct way *w)
{
	double last = f->x[0], n;
	size_t taken = 0;

	begin(w);
	for (size_t i = 0; i < f->n; i++) {
		if (i > 0)
			pass(w, (f->x[i] - last) / span);
		last = f->x[i];
		if (!isnan(off[i])) {
			take(w, off[i] / w->unit, taken >= 2);
			taken++;
		}
	}
	n = fmax(1, (double)taken - 2);
	/* As if one value more had come, off by a deviation: no noise so far is no promise of none. */
	w->scale = (w->squares + 1) / (n + 1);
	w->likelihood = -w->logs / 2 - n / 2 * log(w->unit * w->unit * w->scale);
}

/* The standard deviation of the median of so many values of variance 1. */
static double
median_noise(unsigned values, double r)
{
	double sum = 0, power = 1;

	if (values == 0)
		return 0;
	for (unsigned i = 0; i < values; i++) {
		sum += (i == 0 ? 1 : 2) * (values - i) * power;
		power *= r;
	}
	/* A median of normal values strays more than their mean does, by as much as 1.57; what they share is not halved. */
	return sqrt(sum / (values * (double)values) * (1 + (values > 1 ? 0.43 : 0) * (1 - r)));
}

/* What is ahead, as one way has it: path and standard deviation at the end of each cell, and the noise of a level. */
struct ahead {
	double path[CELLS], sd[CELLS], noise;
};

static void
look_ahead(const struct leat_path_form *f, const struct way *w, double span, double cell, struct ahead *a)
{
	double scale = sqrt(w->scale) * w->unit;

	a->noise = median_noise(f->values, w->r) * scale;
	for (int c = 0; c < CELLS; c++) {
		double h = cell * (c + 1) / span;

		a->path[c] = f->level + f->slope * cell * (c + 1) + (w->m + w->b * h) * w->unit;
		a->sd[c] = sqrt(w->mm + 2 * h * w->mb + h * h * w->bb + w->q * h * h * h / 3) * scale;
	}
}

/* What all ways need of the normal distribution. */
struct normal {
	double middle[NODES];		/* of as many equal parts */
	double calm[2 * FAR * FINE + 1]; /* log of how likely noise keeps a level below what its path is above by i / FINE - FAR */
};

static void
fill(struct normal *normal)
{
	for (int k = 0; k < NODES; k++)
		normal->middle[k] = leat_normal_quantile((k + 0.5) / NODES);
	for (int i = 0; i <= 2 * FAR * FINE; i++)
		normal->calm[i] = log(0.5 * erfc(((double)i / FINE - FAR) * ROOT_HALF));
}

/* Adds to chance[c], by cell, the share of how likely the limit is reached by its end, by a path that runs as many deviations
 * off the middle. */
static void
meet(const struct ahead *a, double node, double limit, double looks, const double *calm, double share, double *chance)
{
	double left = 0;	/* the logarithm of how likely it is not reached */
	int c;

	for (c = 0; c < CELLS; c++) {
		double up = a->path[c] + node * a->sd[c] - limit;

		if (up >= FAR * a->noise)
			break;
		if (up > -FAR * a->noise) {
			double place = (up / a->noise + FAR) * FINE;
			int i = (int)fmin(place, 2 * FAR * FINE - 1);
			double below = calm[i] + (place - i) * (calm[i + 1] - calm[i]);

			/* Now and then there is a chance anew, and at any time there is that of being above. */
			left = fmin(below, left + looks * below);
		}
		if (left < 0)
			chance[c] += share * (1 - exp(left));
	}
	for (; c < CELLS; c++)
		chance[c] += share;
}

/* The middles of as many equal parts of Student's t from those of the normal distribution, by its expansion (Abramowitz and
 * Stegun, Handbook of Mathematical Functions, 26.7.5), which is good to a hundredth from 3 degrees of freedom on. */
static void
nodes(double df, const double *normal, double *node)
{
	for (int k = 0; k < NODES; k++) {
		double z = normal[k], zz = z * z;

		node[k] = z + z * (zz + 1) / (4 * df) + z * ((5 * zz + 16) * zz + 3) / (96 * df * df) +
		    z * (((3 * zz + 19) * zz + 17) * zz - 15) / (384 * df * df * df);
	}
}

static void
weigh(struct way *way, size_t ways)
{
	double best = -INFINITY, sum = 0;

	for (size_t i = 0; i < ways; i++)
		way[i].likelihood += log(likely[i % WANDERS]);
	for (size_t i = 0; i < ways; i++)
		best = fmax(best, way[i].likelihood);
	for (size_t i = 0; i < ways; i++)
		sum += way[i].weight = exp(way[i].likelihood - best);
	best = sum * LEAST_WEIGHT;
	sum = 0;
	for (size_t i = 0; i < ways; i++)
		sum += way[i].weight = way[i].weight < best ? 0 : way[i].weight;
	for (size_t i = 0; i < ways; i++)
		way[i].weight /= sum;
}

static double
when(const double *chance, double wanted, double from, double ahead)
{
	double before = 0;

	for (int c = 0; c < CELLS; c++) {
		if (chance[c] >= wanted)
			return from + ahead / CELLS * (c + (wanted - before) / (chance[c] - before));
		before = chance[c];
	}
	return INFINITY;
}

/* Runs every way over the values and weighs it. */
static int
run_all(const struct leat_path_form *f, double span, struct way *way, struct leat_error *err)
{
	double *work = malloc(3 * f->n * sizeof(*work)), rough;

	if (work == NULL)
		return leat_error_memory(err);
	rough = fmax(roughness(f, work), LEAST_NOISE * f->slope * span);
	without_wild(f, work, work + f->n);
	for (size_t i = 0; i < CARRIES * WANDERS; i++) {
		struct way *w = &way[i];
		double r = carries[i / WANDERS], turn = wanders[i % WANDERS] * f->slope * span;

		w->r = r;
		w->unit = rough / sqrt(1.5 - 2 * r + r * r / 2);
		w->q = turn * turn / (w->unit * w->unit);
		run(f, work, span, w);
	}
	free(work);
	weigh(way, CARRIES * WANDERS);
	return 0;
}

/* Adds what one way says about each limit, by cell. */
static void
meet_all(const struct ahead *a, const struct way *w, size_t n, const double *limit, size_t limits, double looks,
    const struct normal *normal, double (*reached)[CELLS])
{
	double node[NODES];

	nodes(fmax(3, (double)n * (1 - w->r) / (1 + w->r) - 2), normal->middle, node);
	for (size_t l = 0; l < limits; l++)
		for (int k = 0; k < NODES; k++)
			meet(a, node[k], limit[l], looks, normal->calm, w->weight / NODES, reached[l]);
}

int
leat_path_reach(const struct leat_path_form *f, double horizon, const double chance[LEAT_PATH_CHANCES], const double *limit,
    size_t limits, double (*reach)[LEAT_PATH_CHANCES], struct leat_error *err)
{
	double last = f->x[f->n - 1], span = last - f->x[0], time = horizon - last, looks;
	double (*reached)[CELLS] = calloc(limits, sizeof(*reached));
	struct way way[CARRIES * WANDERS];
	struct ahead ahead;
	struct normal normal;

	if (reached == NULL)
		return leat_error_memory(err);
	if (run_all(f, span, way, err) < 0) {
		free(reached);
		return -1;
	}
	fill(&normal);
	looks = f->values == 0 ? 1 : time / CELLS / (span / (double)(f->n - 1) * f->values * LOOKS_APART);
	for (size_t i = 0; i < CARRIES * WANDERS; i++) {
		if (way[i].weight <= 0)
			continue;
		look_ahead(f, &way[i], span, time / CELLS, &ahead);
		meet_all(&ahead, &way[i], f->n, limit, limits, looks, &normal, reached);
	}
	for (size_t l = 0; l < limits; l++)
		for (int i = 0; i < LEAT_PATH_CHANCES; i++)
			reach[l][i] = when(reached[l], chance[i], last, time);
	free(reached);
	return 0;
}
