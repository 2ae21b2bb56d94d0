/* The data of a panel: curves, steps, single dots, gaps. */
#include <math.h>
#include <stdlib.h>

#include "tell/picture_private.h"

#define DOT_EVERY 9.0		/* pixels a reading from which on each gets its dot */
#define GAP_LEAST 5.0		/* pixels of a gap that gets a ground */

static bool
inside(const struct leat_picture *p, double t)
{
	return t >= p->start && t <= p->end;
}

bool
picture_range(const struct leat_picture *p, const struct picture_panel *panel, double *low, double *high)
{
	const struct picture_bins *b = &panel->bins;
	bool any = false;

	for (size_t i = 0; i < b->count; i++) {
		if (!b->bin[i].used || !inside(p, b->bin[i].last.t))
			continue;
		*low = any ? fmin(*low, b->bin[i].low.v) : b->bin[i].low.v;
		*high = any ? fmax(*high, b->bin[i].high.v) : b->bin[i].high.v;
		any = true;
	}
	return any;
}

/* Hands out the dots of a series in order of time, each with whether the line goes on to it from the one before. */
struct walk {
	const struct leat_picture *p;
	const struct picture_panel *panel;
	const struct picture_bins *b;
	size_t bin;
	struct picture_dot dot[4];
	size_t dots, at;
	size_t renewal;		/* renewals up to the dot handed out last */
	bool known;		/* nothing is missing before the dot ... */
	bool joined;		/* ... and it is of the same thing as the one before */
	double until;		/* of the column handed out last */
};

static void
add_dot(struct walk *w, const struct picture_dot *dot)
{
	for (size_t i = 0; i < w->dots; i++)
		if (w->dot[i].t == dot->t && w->dot[i].v == dot->v)
			return;
	w->dot[w->dots++] = *dot;
}

/* The next columns that lie within one pixel, as one; false at the end. */
static bool
next_bin(struct walk *w, struct picture_bin *bin)
{
	double pixel = 0;

	bin->used = false;
	for (; w->bin < w->b->count; w->bin++) {
		const struct picture_bin *next = &w->b->bin[w->bin];

		if (!next->used)
			continue;
		if (bin->used && (next->broken || floor(picture_x(w->p, next->first.t)) != pixel))
			break;
		pixel = floor(picture_x(w->p, next->first.t));
		picture_bin_merge(bin, next);
	}
	return bin->used;
}

static bool
next_dot(struct walk *w, struct picture_dot *dot)
{
	if (w->at == w->dots) {
		struct picture_bin bin;

		if (!next_bin(w, &bin))
			return false;
		w->dots = w->at = 0;
		add_dot(w, &bin.first);
		add_dot(w, bin.low.t <= bin.high.t ? &bin.low : &bin.high);
		add_dot(w, bin.low.t <= bin.high.t ? &bin.high : &bin.low);
		add_dot(w, &bin.last);
		w->known = !bin.broken;
		w->until = bin.until;
	} else {
		w->known = true;
	}
	*dot = w->dot[w->at++];
	w->joined = w->known;
	for (; w->renewal < w->panel->renewals && w->panel->renewed[w->renewal] <= dot->t; w->renewal++)
		w->joined = false;
	return true;
}

static void
point(struct leat_out *out, char command, double x, double y)
{
	leat_out_char(out, command);
	svg_number(out, x);
	leat_out_char(out, ' ');
	svg_number(out, y);
}

/* Where what is known after the last dot ends: at the end of the data, or its hold before. */
static double
known_to(const struct leat_picture *p, const struct picture_bins *b, const struct walk *w, double t)
{
	double to = fmin(w->until, fmax(p->data_end, t));

	return b->hold_s > 0 ? fmin(to, t + b->hold_s) : to;
}

/* Joins of one kind: certain ones, or those with an uncertain end. */
static void
path(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out, bool uncertain)
{
	struct walk w = { .p = p, .panel = panel, .b = &panel->bins };
	struct picture_dot dot, before = { 0 };
	bool step = panel->kind == LEAT_KIND_STEP, any = false, pen = false;
	double until = 0;

	leat_out_text(out, "<path d=\"");
	for (; next_dot(&w, &dot); before = dot, any = true) {
		double x = picture_x(p, dot.t), y = picture_y(panel, dot.v);
		bool mine = any && w.joined && (step ? before.uncertain : before.uncertain || dot.uncertain) == uncertain;

		if (step && any && !w.joined && before.uncertain == uncertain) {
			if (!pen)
				point(out, 'M', picture_x(p, before.t), picture_y(panel, before.v));
			point(out, 'L', picture_x(p, fmin(until, dot.t)), picture_y(panel, before.v));
		}
		if (mine) {
			if (!pen)
				point(out, 'M', picture_x(p, before.t), picture_y(panel, before.v));
			if (step)
				point(out, 'L', x, picture_y(panel, before.v));
			point(out, 'L', x, y);
		}
		pen = mine;
		until = w.at == w.dots ? known_to(p, &panel->bins, &w, dot.t) : dot.t;
	}
	if (step && any && before.uncertain == uncertain) {
		if (!pen)
			point(out, 'M', picture_x(p, before.t), picture_y(panel, before.v));
		point(out, 'L', picture_x(p, until), picture_y(panel, before.v));
	}
	leat_out_text(out, "\" fill=\"none\" stroke=\"" CURVE "\" stroke-linejoin=\"round\"");
	leat_out_text(out, uncertain ? " stroke-width=\"1\" stroke-dasharray=\"1.5 2\"/>\n" : " stroke-width=\"1.4\"/>\n");
}

static void
mark(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out, const struct picture_dot *dot,
    double radius)
{
	leat_out_text(out, "<circle cx=\"");
	svg_number(out, picture_x(p, dot->t));
	leat_out_text(out, "\" cy=\"");
	svg_number(out, picture_y(panel, dot->v));
	leat_out_text(out, "\" r=\"");
	svg_number(out, dot->uncertain ? radius + 0.6 : radius);
	leat_out_text(out, dot->uncertain ? "\" fill=\"#ffffff\" stroke=\"" CURVE "\" stroke-width=\"1\"/>\n" :
	    "\" fill=\"" CURVE "\"/>\n");
}

/* Dots where readings are few, and where no line goes to either side. */
static void
marks(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out)
{
	struct walk w = { .p = p, .panel = panel, .b = &panel->bins };
	struct picture_dot dot, before = { 0 };
	bool all = (double)panel->bins.drawn * DOT_EVERY < p->right - p->left, any = false, joined_before = false;

	for (; next_dot(&w, &dot); before = dot, any = true) {
		if (any && (all || (!joined_before && !w.joined)))
			mark(p, panel, out, &before, all ? 2 : 1.3);
		joined_before = any && w.joined;
	}
	if (any && (all || !joined_before))
		mark(p, panel, out, &before, all ? 2 : 1.3);
}

void
picture_curve(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out)
{
	if (panel->bins.uncertain < panel->bins.drawn)
		path(p, panel, out, false);
	if (panel->bins.uncertain > 0)
		path(p, panel, out, true);
	marks(p, panel, out);
}

static void
gap(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out, double from, double to, bool words)
{
	double width = svg_width(LEAT_SPAN("no data"), 10, false), bottom = panel->plot_top + panel->plot_height;
	double x1 = picture_x(p, fmax(from, p->start)), x2 = picture_x(p, fmin(to, p->end));

	if (x2 - x1 < GAP_LEAST)
		return;
	if (!words) {
		svg_rect(out, x1, panel->plot_top, x2 - x1, panel->plot_height, GROUND);
	} else if (x2 - x1 > width + 8) {
		/* Lines of limits pass behind. */
		svg_rect(out, (x1 + x2 - width) / 2, bottom - 14, width, 12, GROUND);
		svg_text(out, (x1 + x2) / 2, bottom - 5, 10, SVG_MIDDLE, SOFT, false, LEAT_SPAN("no data"));
	}
}

/* Grounds of what is not known: between the dots around it, or from where a hold ends. */
void
picture_gaps(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out, bool words)
{
	bool holds = panel->kind != LEAT_KIND_ANALOGUE;
	struct walk w = { .p = p, .panel = panel, .b = &panel->bins };
	struct picture_dot dot;
	double last = p->start, until = p->start;
	bool any = false;

	for (; next_dot(&w, &dot); last = dot.t, any = true) {
		if (any && !w.known)
			gap(p, panel, out, holds ? fmin(until, dot.t) : last, dot.t, words);
		until = w.at == w.dots ? known_to(p, &panel->bins, &w, dot.t) : dot.t;
	}
	if (any && until < p->data_end)
		gap(p, panel, out, until, p->data_end, words);
}
