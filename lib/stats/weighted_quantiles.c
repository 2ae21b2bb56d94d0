/* Statistics of a quantity over time: quantiles. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "stats/weighted.h"

/* Quantiles asked for at once at most. */
#define TARGETS LEAT_WEIGHTED_QUANTILES
/* So few pieces are sorted as they are; more go into so many slots first. */
#define FEW 16
#define SLOTS 64
/* Runs up to this length are sorted by insertion. */
#define SHORT 16
/* For up to so many pieces, an hour of minutes and some more, no memory is asked for. */
#define STACKED 128

/* Where the density of time over value changes, and how much time stands at one value. */
struct edge {
	double at;
	double density;		/* seconds per unit of value, from here on */
	double mass;		/* seconds at this very value */
};

static void
insertion(struct edge *edge, size_t n)
{
	for (size_t i = 1; i < n; i++) {
		struct edge e = edge[i];
		size_t j = i;

		for (; j > 0 && edge[j - 1].at > e.at; j--)
			edge[j] = edge[j - 1];
		edge[j] = e;
	}
}

/* Puts edges in order of value.  Those of one value stay as they came: sums of them are then the same bits on every
 * machine.  other has room for n / 2. */
static void
sort(struct edge *edge, size_t n, struct edge *other)
{
	size_t half = n / 2, left = 0, right = half;

	if (n <= SHORT) {
		insertion(edge, n);
		return;
	}
	sort(edge, half, other);
	sort(edge + half, n - half, other);
	if (edge[half - 1].at <= edge[half].at)
		return;
	memcpy(other, edge, half * sizeof(*edge));
	for (size_t i = 0; left < half; i++)
		edge[i] = right < n && edge[right].at < other[left].at ? edge[right++] : other[left++];
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
sweep(const struct leat_weighted *w, const struct edge *edge, size_t n, double below, const double *target, size_t count,
    double *out)
{
	double density = 0;
	size_t done = 0;

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
	uint8_t first[LEAT_WEIGHTED_PIECES], last[LEAT_WEIGHTED_PIECES]; /* where each piece begins and ends */
	double density[LEAT_WEIGHTED_PIECES]; /* of each: seconds per unit of value; infinite where it stands at one value */
};

static uint8_t
slot_of(const struct slots *slots, double value)
{
	double at = (value - slots->low) / slots->width;

	return at >= SLOTS ? SLOTS - 1 : at > 0 ? (uint8_t)at : 0;
}

static void
fill_slots(const struct leat_weighted *w, struct slots *slots)
{
	memset(slots->fixed, 0, sizeof(slots->fixed));
	memset(slots->slope, 0, sizeof(slots->slope));
	slots->low = w->min;
	slots->width = (w->max - w->min) / SLOTS;
	for (size_t i = 0; i < w->pieces; i++) {
		const struct leat_weighted_piece *p = &w->piece[i];
		size_t first = slot_of(slots, p->low), last = slot_of(slots, p->high);

		slots->first[i] = (uint8_t)first;
		slots->last[i] = (uint8_t)last;
		slots->density[i] = p->seconds / (p->high - p->low);
		if (first < last) {
			double density = slots->density[i];

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

/* What of the pieces lies in one slot. */
struct cut {
	double start, end;	/* of the slot */
	double below;		/* seconds below it */
	double density;		/* at its very start, of the pieces that come from below or begin there */
	bool from_start, to_end; /* there are such, and such that reach its end */
	bool stray;		/* rounding put an edge a hair out of the slot */
	bool plain;		/* all edges are kept as they come */
	struct edge *edge;
	size_t edges;
};

/* Most pieces go through a slot from below it to above it.  Those are only summed up; what begins, ends or stands within is
 * an edge. */
static void
add_cut(struct cut *cut, double low, double high, double seconds, double density)
{
	cut->stray |= low < cut->start || high > cut->end;
	if (cut->plain || !(low < high && isfinite(density))) {
		cut->edges = add_edges(cut->edge, cut->edges, low, high, isfinite(density) ? density * (high - low) : seconds);
		return;
	}
	if (low == cut->start) {
		cut->from_start = true;
		cut->density += density;
	} else {
		cut->edge[cut->edges++] = (struct edge){ low, density, 0 };
	}
	if (high == cut->end)
		cut->to_end = true;
	else
		cut->edge[cut->edges++] = (struct edge){ high, -density, 0 };
}

static void
cut_slot(const struct leat_weighted *w, const struct slots *slots, size_t k, struct cut *cut)
{
	double below = 0;	/* in a register: each sum waits for the one before it */

	cut->start = slots->low + slots->width * (double)k;
	cut->end = cut->start + slots->width;
	cut->density = 0;
	cut->from_start = cut->to_end = cut->stray = false;
	cut->edges = 0;
	for (size_t i = 0; i < w->pieces; i++) {
		const struct leat_weighted_piece *p = &w->piece[i];
		size_t first = slots->first[i], last = slots->last[i];
		double low, high;

		if (last < k || first > k) {
			below += last < k ? p->seconds : 0;
			continue;
		}
		low = first < k ? cut->start : p->low;
		high = last > k ? cut->end : p->high;
		if (first < k)
			below += slots->density[i] * (cut->start - p->low);
		add_cut(cut, low, high, p->seconds, slots->density[i]);
	}
	cut->below = below;
}

/* Finds one value among the pieces of one slot.  room holds two edges a piece and two more, other half as many. */
static double
in_slot(const struct leat_weighted *w, const struct slots *slots, size_t k, const double *target, struct edge *room,
    struct edge *other)
{
	struct cut cut = { .edge = room + 1 };
	double out;

	cut_slot(w, slots, k, &cut);
	if (cut.stray) {
		cut.plain = true;
		cut_slot(w, slots, k, &cut);
	}
	sort(cut.edge, cut.edges, other);
	if (cut.from_start) {
		*--cut.edge = (struct edge){ cut.start, cut.density, 0 };
		cut.edges++;
	}
	if (cut.to_end)
		cut.edge[cut.edges++] = (struct edge){ cut.end, 0, 0 };
	/* Sums in another order differ in their last bits; then the value is the end of the slot. */
	return sweep(w, cut.edge, cut.edges, cut.below, target, 1, &out) == 1 ? out : within(w, cut.end);
}

static void
by_slots(const struct leat_weighted *w, const double *target, size_t count, struct edge *edge, struct edge *other,
    double *out)
{
	struct slots slots;
	size_t k = 0;

	fill_slots(w, &slots);
	for (size_t i = 0; i < count; i++) {
		while (k + 1 < SLOTS &&
		    slots.fixed[k + 1] + slots.slope[k + 1] * slots.width * (double)(k + 1) < target[i])
			k++;
		out[i] = in_slot(w, &slots, k, &target[i], edge, other);
	}
}

/* All pieces or classes at once. */
static void
by_sweep(const struct leat_weighted *w, const double *target, size_t count, struct edge *edge, struct edge *other,
    double *out)
{
	size_t n = 0, done;

	for (size_t i = 0; w->bin == NULL && i < w->pieces; i++)
		n = add_edges(edge, n, w->piece[i].low, w->piece[i].high, w->piece[i].seconds);
	for (size_t i = 0; w->bin != NULL && i < LEAT_WEIGHTED_BINS; i++) {
		double low = w->bin_low + w->bin_width * (double)i;

		if (w->bin[i] > 0)
			n = add_edges(edge, n, low, low + w->bin_width, w->bin[i]);
	}
	sort(edge, n, other);
	/* The sum of all may fall short of the total by its last bits. */
	for (done = sweep(w, edge, n, 0, target, count, out); done < count; done++)
		out[done] = w->max;
}

int
leat_weighted_quantiles(const struct leat_weighted *w, const double *q, size_t count, double *out)
{
	size_t total = w->bin != NULL ? LEAT_WEIGHTED_BINS : w->pieces;
	struct edge stacked[3 * STACKED + 3], *edge = stacked, *other;
	double target[TARGETS];

	for (size_t i = 0; i < count; i++)
		out[i] = NAN;
	if (!w->keep || !(w->seconds > 0) || count == 0 || count > TARGETS)
		return 0;
	if (total > STACKED && (edge = malloc((3 * total + 3) * sizeof(*edge))) == NULL)
		return -1;
	other = edge + 2 * total + 2;
	for (size_t i = 0; i < count; i++)
		target[i] = q[i] * w->seconds;
	if (w->bin == NULL && w->pieces > FEW && w->max > w->min)
		by_slots(w, target, count, edge, other, out);
	else
		by_sweep(w, target, count, edge, other, out);
	if (edge != stacked)
		free(edge);
	return 0;
}
