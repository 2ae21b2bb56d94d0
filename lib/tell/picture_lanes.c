/* Words over time: a lane a word, and the strip of a mill's states. */
#include <math.h>
#include <stdlib.h>

#include "tell/picture_private.h"

/* In the order in which they stand, from below; what is not of the list comes above it, in order of its bytes. */
static const char *const usual[] = {
	"off", "false", "0", "unknown", "no-load", "pump-up", "hold", "run-up", "grinding", "on", "true", "1"
};

static size_t
place(struct leat_span word)
{
	size_t i = 0, count = sizeof(usual) / sizeof(usual[0]);

	while (i < count && !leat_span_is(word, usual[i]))
		i++;
	return i;
}

static int
compare(struct leat_span a, struct leat_span b)
{
	size_t x = place(a), y = place(b);

	return x != y ? (x < y ? -1 : 1) : leat_span_cmp(a, b);
}

/* The lane of a word, 0 below. */
static size_t
lane(const struct picture_bins *b, size_t word)
{
	size_t below = 0;

	for (size_t i = 0; i < b->words.count; i++)
		below += compare(b->words.name[i], b->words.name[word]) < 0;
	return below;
}

/* Until when the last word of a column holds: to the next column, or less. */
static double
holds_to(const struct leat_picture *p, const struct picture_bins *b, size_t i)
{
	double to = fmin(b->bin[i].until, fmax(p->data_end, b->bin[i].last.t));

	if (b->hold_s > 0)
		to = fmin(to, b->bin[i].last.t + b->hold_s);
	for (size_t next = i + 1; next < b->count; next++)
		if (b->bin[next].used)
			return fmin(to, b->bin[next].first.t);
	return to;
}

static void
bar(const struct leat_picture *p, struct leat_out *out, double from, double to, double y, double height, const char *fill)
{
	double x1 = picture_x(p, fmax(from, p->start)), x2 = picture_x(p, fmin(to, p->end));

	if (to < p->start || from > p->end)
		return;
	svg_rect(out, x1, y, fmax(x2 - x1, 0.6), height, fill);
}

/* The bars of one word: of columns that hold it on, one. */
static void
bars(const struct leat_picture *p, const struct picture_bins *b, size_t word, struct leat_out *out, double y, double height)
{
	double from = 0, to = -INFINITY;

	for (size_t i = 0; i < b->count; i++) {
		const struct picture_bin *bin = &b->bin[i];

		if (!bin->used || (bin->words >> word & 1) == 0)
			continue;
		if (bin->first.t > to) {
			if (to > -INFINITY)
				bar(p, out, from, to, y, height, CURVE);
			from = bin->first.t;
		}
		to = (size_t)bin->last.v == word ? holds_to(p, b, i) : bin->last.t;
	}
	if (to > -INFINITY)
		bar(p, out, from, to, y, height, CURVE);
}

/* The word's label left of the plot. */
static void
label(const struct leat_picture *p, struct leat_out *out, struct leat_span word, double middle)
{
	struct leat_buf cut = { 0 };

	svg_line(out, p->left, middle, p->right, middle, GRID, 1, NULL);
	svg_text(out, p->left - 6, middle + 4, 11, SVG_END, INK, false, svg_cut(&cut, word, 11, false, p->left - 8));
	leat_buf_free(&cut);
}

void
picture_word_bars(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out, bool labels)
{
	const struct picture_bins *b = &panel->bins;
	double each = panel->plot_height / (double)(b->words.count > 0 ? b->words.count : 1), tall = fmin(9, each * 0.8);
	double bottom = panel->plot_top + panel->plot_height;

	for (size_t word = 0; word < b->words.count; word++) {
		double middle = bottom - each * ((double)lane(b, word) + 0.5);

		if (labels)
			label(p, out, b->words.name[word], middle);
		bars(p, b, word, out, middle - tall / 2, tall);
	}
}

/* How much of the strip a state fills. */
static double
fill_of(struct leat_span state)
{
	if (leat_span_is(state, "grinding"))
		return 7;
	if (leat_span_is(state, "off"))
		return 1.2;
	return leat_span_is(state, "unknown") ? 0 : 3.5;
}

void
picture_draw_strip(const struct leat_picture *p, const struct picture_strip *strip, struct leat_out *out, double top)
{
	const struct picture_bins *b = &strip->bins;
	double from = 0, to = 0, height = -1;

	for (size_t i = 0; i < b->count; i++) {
		double next;

		if (!b->bin[i].used)
			continue;
		next = fill_of(b->words.name[(size_t)b->bin[i].last.v]);
		if (next != height || b->bin[i].broken) {
			if (height > 0)
				bar(p, out, from, to, top + 8 - height, height, STRIP);
			from = b->bin[i].last.t;
			height = next;
		}
		to = holds_to(p, b, i);
	}
	if (height > 0)
		bar(p, out, from, to, top + 8 - height, height, STRIP);
}
