/* Statistics of a quantity over time: pieces taken in, or summed into classes. */
#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "stats/weighted.h"

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
class_piece(struct leat_weighted *w, double low, double high, double seconds)
{
	size_t first, last;

	while (low < w->bin_low)
		widen(w, low);
	while (high > w->bin_low + w->bin_width * LEAT_WEIGHTED_BINS)
		widen(w, high);
	first = bin_of(w, low);
	last = bin_of(w, high);
	if (first == last) {
		w->bin[first] += seconds;
		return;
	}
	for (size_t i = first; i <= last; i++) {
		double from = w->bin_low + w->bin_width * (double)i, to = from + w->bin_width;

		from = from < low ? low : from;
		to = to > high ? high : to;
		if (to > from)
			w->bin[i] += seconds * (to - from) / (high - low);
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
		class_piece(w, w->piece[i].low, w->piece[i].high, w->piece[i].seconds);
	w->pieces = 0;
	return 0;
}

static int
keep(struct leat_weighted *w, double low, double high, double seconds)
{
	struct leat_weighted_piece *last = w->piece + w->pieces - 1;

	/* A signal that stands still costs one piece however long. */
	if (low == high && w->pieces > 0 && last->low == low && last->high == low) {
		last->seconds += seconds;
		return 0;
	}
	if (w->pieces == LEAT_WEIGHTED_PIECES && class_all(w) != 0)
		return -1;
	if (w->bin != NULL) {
		class_piece(w, low, high, seconds);
		return 0;
	}
	if (w->pieces == w->cap && leat_grow(&w->piece, &w->cap, w->pieces + 1, sizeof(*w->piece)) != 0)
		return -1;
	w->piece[w->pieces++] = (struct leat_weighted_piece){ low, high, seconds };
	return 0;
}

int
leat_weighted_add(struct leat_weighted *w, double seconds, double from, double to)
{
	/* Which is the lower one cannot be foretold, so these are to be selected without a branch. */
	double low = to < from ? to : from, high = from < to ? to : from;

	if (!(seconds > 0) || !isfinite(seconds) || !isfinite(from) || !isfinite(to))
		return 0;
	if (!(w->seconds > 0)) {
		w->base = from;
		w->min = low;
		w->max = high;
	}
	w->min = low < w->min ? low : w->min;
	w->max = high > w->max ? high : w->max;
	w->seconds += seconds;
	w->integral += seconds * ((from - w->base) + (to - w->base)) / 2;
	return w->keep ? keep(w, low, high, seconds) : 0;
}

double
leat_weighted_mean(const struct leat_weighted *w)
{
	return w->seconds > 0 ? w->base + w->integral / w->seconds : NAN;
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
