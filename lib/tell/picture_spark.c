/* Sparklines: the curve, the last value and the range, without axes. */
#include <math.h>
#include <stdio.h>

#include "tell/picture_private.h"

#define ROW 28.0
#define EDGE 4.0

static const struct picture_dot *
last_of(const struct picture_bins *b)
{
	for (size_t i = b->count; i-- > 0;)
		if (b->bin[i].used)
			return &b->bin[i].last;
	return NULL;
}

/* "1.79 L/min" and "1.62 to 1.80"; words have no range, and equal values none to be read. */
static void
texts(const struct leat_picture *p, const struct picture_panel *panel, struct leat_buf *last, struct leat_buf *range)
{
	const struct picture_dot *dot = last_of(&panel->bins);
	char low_text[LEAT_NUMBER_MAX], high_text[LEAT_NUMBER_MAX];
	double low, high;
	int failed = 0;

	leat_buf_reset(last);
	leat_buf_reset(range);
	if (dot == NULL || !picture_range(p, panel, &low, &high)) {
		failed = leat_buf_printf(last, "no reading");
	} else if (picture_is_words(panel)) {
		failed = leat_buf_add_span(last, panel->bins.words.name[(size_t)dot->v]);
	} else {
		picture_value_text(low_text, dot->v);
		failed = leat_buf_printf(last, "%s%s%s", low_text, picture_unit(panel)[0] != '\0' ? " " : "", picture_unit(panel));
		picture_value_text(low_text, low);
		picture_value_text(high_text, high);
		if (low < high)
			failed |= leat_buf_printf(range, "%s to %s", low_text, high_text);
		else
			failed |= leat_buf_printf(range, panel->bins.drawn == 1 ? "one reading" : "unchanged");
	}
	if (failed != 0)
		leat_buf_reset(range);
}

/* The room that names take on the left and values on the right. */
static void
columns(struct leat_picture *p, struct leat_buf *last, struct leat_buf *range)
{
	double name = 0, value = 0;

	for (size_t i = 0; i < p->panels; i++) {
		struct leat_buf *words = last;

		picture_point_words(words, p->panel[i]);
		name = fmax(name, svg_width(leat_buf_span(words), 11, false));
		name = fmax(name, svg_width(leat_span_of(p->panel[i]->asset), 10, false));
		texts(p, p->panel[i], last, range);
		value = fmax(value, fmax(svg_width(leat_buf_span(last), 11, true), svg_width(leat_buf_span(range), 10, false)));
	}
	p->left = p->panels > 1 ? fmin(name + 10, p->width * 0.35) : EDGE;
	p->right = p->width - fmin(value + 12, p->width * 0.5);
}

static void
row(struct leat_picture *p, struct picture_panel *panel, struct leat_out *out, struct leat_buf *last, struct leat_buf *range)
{
	const struct picture_dot *dot = last_of(&panel->bins);
	double low, high, top = panel->plot_top - 3;
	struct leat_buf words = { 0 }, cut = { 0 };

	leat_out_text(out, "<g>\n<title>");
	picture_point_words(&words, panel);
	svg_escape(out, leat_buf_span(&words));
	leat_out_text(out, ", ");
	svg_escape(out, leat_span_of(panel->asset));
	leat_out_text(out, ": ");
	picture_describe(p, panel, &cut);
	svg_escape(out, leat_buf_span(&cut));
	leat_out_text(out, "</title>\n");
	if (p->panels > 1) {
		svg_text(out, EDGE, top + 11, 11, SVG_START, INK, false, svg_cut(&cut, leat_buf_span(&words), 11, false, p->left - 8));
		svg_text(out, EDGE, top + 23, 10, SVG_START, SOFT, false,
		    svg_cut(&cut, leat_span_of(panel->asset), 10, false, p->left - 8));
	}
	texts(p, panel, last, range);
	if (dot != NULL && picture_is_words(panel)) {
		picture_word_bars(p, panel, out, false);
	} else if (dot != NULL && picture_range(p, panel, &low, &high)) {
		panel->axis.low = high > low ? low : low - 1;
		panel->axis.high = high > low ? high : high + 1;
		picture_curve(p, panel, out);
		leat_out_text(out, "<circle cx=\"");
		svg_number(out, picture_x(p, dot->t));
		leat_out_text(out, "\" cy=\"");
		svg_number(out, picture_y(panel, dot->v));
		leat_out_text(out, "\" r=\"2.4\" fill=\"" INK "\"/>\n");
	}
	svg_text(out, p->right + 8, top + 11, 11, SVG_START, INK, true,
	    svg_cut(&cut, leat_buf_span(last), 11, true, p->width - p->right - 8));
	svg_text(out, p->right + 8, top + 23, 10, SVG_START, SOFT, false,
	    svg_cut(&cut, leat_buf_span(range), 10, false, p->width - p->right - 8));
	leat_out_text(out, "</g>\n");
	leat_buf_free(&words);
	leat_buf_free(&cut);
}

void
picture_spark(struct leat_picture *p, struct leat_out *out)
{
	struct leat_buf last = { 0 }, range = { 0 };
	double each = p->form.height > 0 && p->panels > 0 ? fmax(ROW, (double)p->form.height / (double)p->panels) : ROW;

	columns(p, &last, &range);
	for (size_t i = 0; i < p->panels; i++) {
		p->panel[i]->plot_top = each * (double)i + EDGE;
		p->panel[i]->plot_height = each - 2 * EDGE;
		row(p, p->panel[i], out, &last, &range);
	}
	if (p->panels == 0)
		svg_text(out, EDGE, 17, 11, SVG_START, SOFT, false, LEAT_SPAN("no readings"));
	leat_buf_free(&last);
	leat_buf_free(&range);
}

double
picture_spark_height(const struct leat_picture *p)
{
	return fmax(p->form.height, ROW * fmax(1, (double)p->panels));
}
