/* Statistics of a quantity over time. */
#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "stats/weighted.h"

/* Quantiles asked for at once at most. */
#define TARGETS LEAT_WEIGHTED_QUANTILES
/* So few pieces are sorted as they are; more go into so many slots first. */
#define FEW 16
#define SLOTS 64

/* Where the density of time over value changes, and how much time stands at one value. */
struct edge {
	double at;
	double density;		/* seconds per unit of value, from here on */
	double mass;		/* seconds at this very value */
};

/* Doubles the width of the classes, so that they reach twice as far, towards the side where value lies. */
static void
widen(struct leat_weighted *w, double value)
{
	size_t half = LEAT_WEIGHTED_BINS / 2, to = value < w->bin_low ? half : 0;
	double sum[LEAT_WEIGHTED_BINS / 2];

	for (size_t i = 0; i < half; i++)
		sum[i] = w->bin[2 * i] + w->bin[2 * i + 1];
	for (size_t i = 0; i < LEAT_WEIGHTED_BINS; i++)
		w->bin[i] = 0;
	memcpy(w->bin + to, sum, sizeof(sum));
	if (to > 0)
		w->bin_low -= w->bin_width * LEAT_WEIGHTED_BINS;
	w->bin_width *= 2;
}

static size_t
bin_of(const struct leat_weighted *w, double value)
{
	double at = (value - w->bin_low) / w->bin_width;

	return at <= 0 ? 0 : at >= LEAT_WEIGHTED_BINS ? LEAT_WEIGHTED_BINS - 1 : (size_t)at;
}

static void
class_piece(struct leat_weighted *w, const struct leat_weighted_piece *p)
{
	size_t first, last;

	while (p->low < w->bin_low)
		widen(w, p->low);
	while (p->high > w->bin_low + w->bin_width * LEAT_WEIGHTED_BINS)
		widen(w, p->high);
	first = bin_of(w, p->low);
	last = bin_of(w, p->high);
	if (first == last) {
		w->bin[first] += p->seconds;
		return;
	}
	for (size_t i = first; i <= last; i++) {
		double low = w->bin_low + w->bin_width * (double)i, high = low + w->bin_width;

		low = low < p->low ? p->low : low;
		high = high > p->high ? p->high : high;
		if (high > low)
			w->bin[i] += p->seconds * (high - low) / (p->high - p->low);
	}
}

/* From pieces to classes, which reach over what was seen so far. */
static int
class_all(struct leat_weighted *w)
{
	double spread = w->max - w->min;

	w->bin = calloc(LEAT_WEIGHTED_BINS, sizeof(*w->bin));
	if (w->bin == NULL)
		return -1;
	w->bin_low = w->min;
	/* Where all values are one, any width that the value's own digits can show. */
	w->bin_width = (spread > 0 ? spread : fabs(w->max) * 1e-9 + 1e-9) / LEAT_WEIGHTED_BINS * (1 + 1e-12);
	for (size_t i = 0; i < w->pieces; i++)
		class_piece(w, &w->piece[i]);
	w->pieces = 0;
	return 0;
}

static int
keep(struct leat_weighted *w, const struct leat_weighted_piece *p)
{
	struct leat_weighted_piece *last = w->pieces > 0 ? &w->piece[w->pieces - 1] : NULL;

	/* A signal that stands still costs one piece however long. */
	if (w->bin == NULL && last != NULL && p->low == p->high && last->low == p->low && last->high == p->low) {
		last->seconds += p->seconds;
		return 0;
	}
	if (w->bin == NULL && w->pieces == LEAT_WEIGHTED_PIECES && class_all(w) != 0)
		return -1;
	if (w->bin != NULL) {
		class_piece(w, p);
		return 0;
	}
	if (w->pieces == w->cap && leat_grow(&w->piece, &w->cap, w->pieces + 1, sizeof(*w->piece)) != 0)
		return -1;
	w->piece[w->pieces++] = *p;
	return 0;
}

int
leat_weighted_add(struct leat_weighted *w, double seconds, double from, double to)
{
	struct leat_weighted_piece p = { from < to ? from : to, from < to ? to : from, seconds };

	if (!(seconds > 0) || !isfinite(seconds) || !isfinite(from) || !isfinite(to))
		return 0;
	if (!(w->seconds > 0)) {
		w->base = from;
		w->min = p.low;
		w->max = p.high;
	}
	if (p.low < w->min)
		w->min = p.low;
	if (p.high > w->max)
		w->max = p.high;
	w->seconds += seconds;
	w->integral += seconds * ((from - w->base) + (to - w->base)) / 2;
	return w->keep ? keep(w, &p) : 0;
}

double
leat_weighted_mean(const struct leat_weighted *w)
{
	return w->seconds > 0 ? w->base + w->integral / w->seconds : NAN;
}

static int
by_value(const void *a, const void *b)
{
	const struct edge *x = a, *y = b;

	return x->at < y->at ? -1 : x->at > y->at;
}

static size_t
add_edges(struct edge *edge, size_t count, double low, double high, double seconds)
{
	double density = seconds / (high - low);

	if (low < high && isfinite(density)) {
		edge[count++] = (struct edge){ low, density, 0 };
		edge[count++] = (struct edge){ high, -density, 0 };
	} else {
		edge[count++] = (struct edge){ low, 0, seconds };
	}
	return count;
}

static double
within(const struct leat_weighted *w, double value)
{
	return value < w->min ? w->min : value > w->max ? w->max : value;
}

/* Sweeps over edges in order of value, below them being so many seconds already, and finds the values of targets (seconds,
 * ascending).  Returns how many were found. */
static size_t
sweep(const struct leat_weighted *w, struct edge *edge, size_t n, double below, const double *target, size_t count,
    double *out)
{
	double density = 0;
	size_t done = 0;

	qsort(edge, n, sizeof(*edge), by_value);
	for (size_t i = 0; i < n && done < count; i++) {
		double last = i > 0 ? edge[i - 1].at : edge[i].at, step = density * (edge[i].at - last);

		while (done < count && below + step >= target[done]) {
			double rest = target[done] - below;

			out[done++] = within(w, density > 0 && rest > 0 ? last + rest / density : last);
		}
		below += step;
		while (done < count && below + edge[i].mass >= target[done])
			out[done++] = within(w, edge[i].at);
		below += edge[i].mass;
		density += edge[i].density;
	}
	return done;
}

/* The pieces are sorted into slots of equal width, so that of many only the few around a quantile are put in order. */
struct slots {
	double low, width;
	double fixed[SLOTS + 1], slope[SLOTS + 1];	/* time below the start of slot k: fixed + slope times that start */
};

static size_t
slot_of(const struct slots *slots, double value)
{
	double at = (value - slots->low) / slots->width;

	return at >= SLOTS ? SLOTS - 1 : at > 0 ? (size_t)at : 0;
}

static void
fill_slots(const struct leat_weighted *w, struct slots *slots)
{
	memset(slots, 0, sizeof(*slots));
	slots->low = w->min;
	slots->width = (w->max - w->min) / SLOTS;
	for (size_t i = 0; i < w->pieces; i++) {
		const struct leat_weighted_piece *p = &w->piece[i];
		size_t first = slot_of(slots, p->low), last = slot_of(slots, p->high);

		if (first < last) {
			double density = p->seconds / (p->high - p->low);

			slots->slope[first + 1] += density;
			slots->fixed[first + 1] -= density * (p->low - slots->low);
			slots->slope[last + 1] -= density;
			slots->fixed[last + 1] += density * (p->low - slots->low);
		}
		slots->fixed[last + 1] += p->seconds;
	}
	for (size_t k = 1; k <= SLOTS; k++) {
		slots->fixed[k] += slots->fixed[k - 1];
		slots->slope[k] += slots->slope[k - 1];
	}
}

/* Finds one value among the pieces of one slot. */
static double
in_slot(const struct leat_weighted *w, const struct slots *slots, size_t k, double target, struct edge *edge)
{
	double start = slots->low + slots->width * (double)k, end = start + slots->width, below = 0, out;
	size_t n = 0;

	for (size_t i = 0; i < w->pieces; i++) {
		const struct leat_weighted_piece *p = &w->piece[i];
		size_t first = slot_of(slots, p->low), last = slot_of(slots, p->high);
		double low, high;

		if (last < k || first > k) {
			below += last < k ? p->seconds : 0;
			continue;
		}
		low = first < k ? start : p->low;
		high = last > k ? end : p->high;
		if (first < k)
			below += p->seconds * (start - p->low) / (p->high - p->low);
		n = add_edges(edge, n, low, high, p->high > p->low ? p->seconds * (high - low) / (p->high - p->low) : p->seconds);
	}
	/* Sums in another order differ in their last bits; then the value is the end of the slot. */
	return sweep(w, edge, n, below, &target, 1, &out) == 1 ? out : within(w, end);
}

static void
by_slots(const struct leat_weighted *w, const double *target, size_t count, struct edge *edge, double *out)
{
	struct slots slots;
	size_t k = 0;

	fill_slots(w, &slots);
	for (size_t i = 0; i < count; i++) {
		while (k + 1 < SLOTS &&
		    slots.fixed[k + 1] + slots.slope[k + 1] * slots.width * (double)(k + 1) < target[i])
			k++;
		out[i] = in_slot(w, &slots, k, target[i], edge);
	}
}

int
leat_weighted_quantiles(const struct leat_weighted *w, const double *q, size_t count, double *out)
{
	size_t total = w->bin != NULL ? LEAT_WEIGHTED_BINS : w->pieces, n = 0, done;
	double target[TARGETS];
	struct edge *edge;

	for (size_t i = 0; i < count; i++)
		out[i] = NAN;
	if (!w->keep || !(w->seconds > 0) || count == 0 || count > TARGETS)
		return 0;
	edge = malloc(2 * total * sizeof(*edge));
	if (edge == NULL)
		return -1;
	for (size_t i = 0; i < count; i++)
		target[i] = q[i] * w->seconds;
	if (w->bin == NULL && w->pieces > FEW && w->max > w->min) {
		by_slots(w, target, count, edge, out);
	} else {
		for (size_t i = 0; i < total; i++) {
			double low = w->bin_low + w->bin_width * (double)i;

			if (w->bin == NULL)
				n = add_edges(edge, n, w->piece[i].low, w->piece[i].high, w->piece[i].seconds);
			else if (w->bin[i] > 0)
				n = add_edges(edge, n, low, low + w->bin_width, w->bin[i]);
		}
		/* The sum of all may fall short of the total by its last bits. */
		for (done = sweep(w, edge, n, 0, target, count, out); done < count; done++)
			out[done] = w->max;
	}
	free(edge);
	return 0;
}

bool
leat_weighted_classed(const struct leat_weighted *w)
{
	return w->bin != NULL;
}

void
leat_weighted_reset(struct leat_weighted *w)
{
	free(w->bin);
	w->bin = NULL;
	w->pieces = 0;
	w->seconds = w->integral = 0;
}

void
leat_weighted_free(struct leat_weighted *w)
{
	free(w->bin);
	free(w->piece);
	memset(w, 0, sizeof(*w));
}
