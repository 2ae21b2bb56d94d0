/* The picture as a whole: where everything stands, and its writing. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "tell/picture_private.h"

#define TITLE 24.0
#define HEAD 18.0		/* the title of a panel */
#define BELOW 16.0		/* between panels */
#define FOOT 36.0		/* the labels of the time axis */
#define NOTES 16.0

/* The digits at the head of text, without noughts before them, which are passed. */
static size_t
digits(struct leat_span *text)
{
	size_t n = 0;

	while (text->len > 1 && text->ptr[0] == '0' && text->ptr[1] >= '0' && text->ptr[1] <= '9')
		*text = leat_span_make(text->ptr + 1, text->len - 1);
	while (n < text->len && text->ptr[n] >= '0' && text->ptr[n] <= '9')
		n++;
	return n;
}

/* As people count: accu-2 before accu-10; what is below an asset comes before others of a longer name. */
static int
natural(struct leat_span a, struct leat_span b)
{
	while (a.len > 0 && b.len > 0) {
		size_t n = digits(&a), m = digits(&b);
		unsigned char x = (unsigned char)a.ptr[0], y = (unsigned char)b.ptr[0];

		if (n > 0 && m > 0 && n != m)
			return n < m ? -1 : 1;
		if (x != y)
			return x == '/' ? -1 : y == '/' ? 1 : (int)x - (int)y;
		a = leat_span_make(a.ptr + 1, a.len - 1);
		b = leat_span_make(b.ptr + 1, b.len - 1);
	}
	return (a.len > 0) - (b.len > 0);
}

static int
by_name(const void *a, const void *b)
{
	const struct picture_panel *const *x = a, *const *y = b;
	struct leat_finding f = { .asset = leat_span_of((*x)->asset), .point = leat_span_of((*x)->point) };
	struct leat_finding g = { .asset = leat_span_of((*y)->asset), .point = leat_span_of((*y)->point) };
	int order = natural(f.asset, g.asset);

	if (order == 0)
		order = natural(f.point, g.point);
	/* What counts the same, such as 1 and 01. */
	return order != 0 ? order : leat_finding_cmp(&f, &g);
}

/* First and last reading of the picture, and how far forecasts carry it on. */
static void
period(struct leat_picture *p)
{
	double first = INFINITY, last = -INFINITY, ahead;

	for (size_t i = 0; i < p->panels; i++) {
		const struct picture_bins *b = &p->panel[i]->bins;

		for (size_t k = 0; k < b->count && b->drawn > 0; k++)
			if (b->bin[k].used) {
				first = fmin(first, b->bin[k].first.t);
				last = fmax(last, b->bin[k].last.t);
			}
	}
	if (!leat_time_is_none(p->form.now) && last > -INFINITY)
		last = fmax(last, fmin(picture_seconds(p->form.now), last + (last - first) * 0.1));
	p->start = leat_time_is_none(p->form.from) ? first : picture_seconds(p->form.from);
	p->end = leat_time_is_none(p->form.to) ? last : picture_seconds(p->form.to);
	if (!isfinite(p->start))
		p->start = isfinite(p->end) ? p->end : 0;
	if (!isfinite(p->end) || p->end < p->start)
		p->end = p->start;
	p->data_end = fmin(p->end, isfinite(last) ? fmax(last, p->start) : p->end);
	if (!leat_time_is_none(p->form.now))
		p->data_end = fmin(p->end, fmax(p->data_end, picture_seconds(p->form.now)));
	if (p->end - p->start < 1) {
		p->start -= 1800;
		p->end += 1800;
	}
	/* A forecast is shown whole where that leaves the data the greater part. */
	ahead = p->end;
	for (size_t i = 0; i < p->panels; i++) {
		const struct leat_picture_fan *fan = &p->panel[i]->fan;

		if (p->panel[i]->has_fan) {
			double to = picture_seconds(leat_time_is_none(fan->late) ? fan->likely : fan->late);

			ahead = fmax(ahead, to + (p->end - p->start) * 0.02);
		}
	}
	p->end = fmin(ahead, p->end + (p->end - p->start) * 0.7);
}

/* The value axis: the data, limits that are not far from them, and what a forecast needs. */
static void
value_axis(const struct leat_picture *p, struct picture_panel *panel)
{
	double low = 0, high = 1, data_low, data_high, reach;

	if (picture_range(p, panel, &low, &high)) {
		data_low = low;
		data_high = high;
		reach = fmax((high - low) * 1.2, fmax(fabs(low), fabs(high)) * 0.15);
		for (size_t i = 0; i < panel->levels; i++) {
			double v = panel->level[i].value;

			/* What the data began at is never far from them. */
			if ((v < data_low - reach || v > data_high + reach) && (panel->level[i].line != LEAT_PICTURE_BASELINE ||
			    fabs(v) > 2 * fmax(fabs(data_low), fabs(data_high))))
				continue;
			low = fmin(low, v);
			high = fmax(high, v);
		}
		if (panel->has_fan) {
			low = fmin(low, panel->fan.limit);
			high = fmax(high, panel->fan.limit);
		}
		if (low > 0 && low < 0.35 * high)
			low = 0;
	}
	if (high > low) {
		double pad = (high - low) * 0.06;

		high += panel->has_fan ? pad * 2 : pad;
		low -= low == 0 ? 0 : pad;
	}
	picture_axis_values(&panel->axis, low, high, panel->plot_height);
}

/* The widest label left of the plots, and right of them. */
static void
margins(struct leat_picture *p)
{
	double left = 30, right = 8;
	char text[LEAT_NUMBER_MAX];

	for (size_t i = 0; i < p->panels; i++) {
		struct picture_panel *panel = p->panel[i];

		for (size_t w = 0; picture_is_words(panel) && w < panel->bins.words.count; w++)
			left = fmax(left, fmin(svg_width(panel->bins.words.name[w], 11, false), 120));
		if (picture_is_words(panel))
			continue;
		value_axis(p, panel);
		for (double v = ceil(panel->axis.low / panel->axis.step) * panel->axis.step; v <= panel->axis.high;
		    v += panel->axis.step) {
			picture_axis_label(text, &panel->axis, v);
			left = fmax(left, svg_width(leat_span_of(text), 11, false));
		}
		picture_axis_unit(text, sizeof(text), panel);
		left = fmax(left, svg_width(leat_span_of(text), 11, false));
		right = fmax(right, picture_level_width(panel));
	}
	p->left = fmin(left + 10, p->width * 0.3);
	p->right = p->width - fmin(right + 10, p->width * 0.3);
}

static void
find_strip(const struct leat_picture *p, struct picture_panel *panel)
{
	panel->strip = NULL;
	for (size_t s = 0; s < p->strips; s++)
		if (leat_span_is(leat_asset_mill(leat_span_of(panel->asset)), p->strip[s]->mill))
			panel->strip = p->strip[s];
}

static double
head_height(const struct picture_panel *panel)
{
	return HEAD + PICTURE_HEAD_ROW * ((double)panel->head_rows - 1);
}

/* Heights of all panels; those of lanes follow the number of their words. */
static void
heights(struct leat_picture *p)
{
	double foot = FOOT + NOTES + PICTURE_NOTE_ROW * ((double)picture_note_rows(p) - 1);
	double fixed = (p->title[0] != '\0' ? TITLE : 0) + foot - BELOW, each, y;
	size_t free_panels = 0;

	for (size_t i = 0; i < p->panels; i++) {
		struct picture_panel *panel = p->panel[i];

		panel->head_rows = picture_head_rows(p, panel);
		panel->event_rows = picture_event_rows(p, panel);
		fixed += head_height(panel) + BELOW + (double)panel->event_rows * PICTURE_EVENT_ROW;
		fixed += (panel->strip != NULL ? PICTURE_STRIP : 0);
		if (picture_is_words(panel))
			fixed += PICTURE_LANE * fmax(1, (double)panel->bins.words.count);
		else
			free_panels++;
	}
	each = p->panels <= 1 ? fmin(240, p->width * 0.6) : p->panels <= 3 ? fmin(150, p->width * 0.45) : 96;
	if (p->form.height > 0)
		each = fmax(30, (p->form.height - fixed) / fmax(1, (double)free_panels));
	y = p->title[0] != '\0' ? TITLE : 0;
	for (size_t i = 0; i < p->panels; i++) {
		struct picture_panel *panel = p->panel[i];

		panel->top = y;
		panel->plot_top = y + head_height(panel) + (double)panel->event_rows * PICTURE_EVENT_ROW;
		panel->plot_height = picture_is_words(panel) ? PICTURE_LANE * fmax(1, (double)panel->bins.words.count) : each;
		panel->height = panel->plot_top - y + panel->plot_height + (panel->strip != NULL ? PICTURE_STRIP : 0);
		y += panel->height + BELOW;
		if (!picture_is_words(panel))
			value_axis(p, panel);
	}
	/* Whole, as HTML wants it. */
	p->height = ceil(fmax(p->panels > 0 ? y - BELOW + foot : 60, p->form.height));
}

/* 0, or -1 when memory is out. */
static int
layout(struct leat_picture *p)
{
	/* Of several sparklines each has its name beside it. */
	p->width = p->form.width + (p->suits && p->form.spark && p->panels > 1 ? 100 : 0);
	p->any_uncertain = false;
	if (p->form.sort && p->panels > 0)
		qsort(p->panel, p->panels, sizeof(p->panel[0]), by_name);
	period(p);
	for (size_t i = 0; i < p->panels; i++) {
		if (picture_find_renewals(p, p->panel[i]) != 0)
			return -1;
		find_strip(p, p->panel[i]);
		p->panel[i]->plot_height = p->panels <= 1 ? 240 : 96;
		p->any_uncertain = p->any_uncertain || p->panel[i]->bins.uncertain > 0;
	}
	margins(p);
	heights(p);
	if (p->form.spark)
		p->height = picture_spark_height(p);
	return 0;
}

static void
value_ticks(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out, bool labels)
{
	double from = ceil(panel->axis.low / panel->axis.step - 1e-9);
	char text[LEAT_NUMBER_MAX];

	for (int i = 0; i < 12; i++) {
		double v = (from + i) * panel->axis.step, y = picture_y(panel, v);

		if (v > panel->axis.high + panel->axis.step * 1e-9)
			break;
		if (!labels) {
			svg_line(out, p->left, y, p->right, y, GRID, 1, NULL);
			continue;
		}
		picture_axis_label(text, &panel->axis, v);
		svg_text(out, p->left - 6, y + 4, 11, SVG_END, INK, false, leat_span_of(text));
	}
}

static void
draw_panel(struct leat_picture *p, struct picture_panel *panel, struct leat_out *out)
{
	double bottom = panel->plot_top + panel->plot_height;
	struct leat_buf text = { 0 };

	leat_out_text(out, "<g>\n<title>");
	picture_point_words(&text, panel);
	svg_escape(out, leat_buf_span(&text));
	leat_out_text(out, ", ");
	svg_escape(out, leat_span_of(panel->asset));
	leat_out_text(out, ": ");
	picture_describe(p, panel, &text);
	svg_escape(out, leat_buf_span(&text));
	leat_out_text(out, "</title>\n");
	picture_head(p, panel, out);
	picture_gaps(p, panel, out, false);
	picture_time_axis(p, out, panel->plot_top, bottom, false);
	if (!picture_is_words(panel) && panel->bins.drawn > 0) {
		value_ticks(p, panel, out, false);
		svg_line(out, p->left, panel->plot_top, p->left, bottom, SOFT, 1, NULL);
	}
	svg_line(out, p->left, bottom, p->right, bottom, SOFT, 1, NULL);
	if (panel->bins.drawn == 0)
		svg_text(out, (p->left + p->right) / 2, (panel->plot_top + bottom) / 2 + 4, 12, SVG_MIDDLE, SOFT, false,
		    leat_buf_span(&text));
	if (picture_is_words(panel)) {
		picture_word_bars(p, panel, out, true);
	} else if (panel->bins.drawn > 0) {
		value_ticks(p, panel, out, true);
		picture_levels(p, panel, out);
		picture_fan(p, panel, out);
		picture_curve(p, panel, out);
	}
	picture_gaps(p, panel, out, true);
	picture_events(p, panel, out);
	if (panel->strip != NULL)
		picture_draw_strip(p, panel->strip, out, bottom + 2);
	leat_out_text(out, "</g>\n");
	leat_buf_free(&text);
}

static void
begin(const struct leat_picture *p, struct leat_out *out)
{
	if (!p->form.within)
		leat_out_text(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
	leat_out_text(out, "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" role=\"img\" width=\"");
	svg_number(out, p->width);
	leat_out_text(out, "\" height=\"");
	svg_number(out, p->height);
	leat_out_text(out, "\" viewBox=\"0 0 ");
	svg_number(out, p->width);
	leat_out_char(out, ' ');
	svg_number(out, p->height);
	leat_out_text(out, "\" font-family=\"sans-serif\">\n");
}

/* Title and description for who does not see it. */
static void
describe(const struct leat_picture *p, struct leat_out *out)
{
	struct leat_buf text = { 0 };

	leat_out_text(out, "<title>");
	if (p->title[0] != '\0')
		svg_escape(out, leat_span_of(p->title));
	for (size_t i = 0; p->title[0] == '\0' && i < p->panels && i < 3; i++) {
		picture_point_words(&text, p->panel[i]);
		leat_out_text(out, i > 0 ? "; " : "");
		svg_escape(out, leat_buf_span(&text));
		leat_out_text(out, ", ");
		svg_escape(out, leat_span_of(p->panel[i]->asset));
	}
	if (p->title[0] == '\0' && p->panels == 0)
		leat_out_text(out, "no readings");
	leat_out_text(out, p->title[0] == '\0' && p->panels > 3 ? " ...</title>\n<desc>" : "</title>\n<desc>");
	for (size_t i = 0; i < p->panels; i++) {
		picture_point_words(&text, p->panel[i]);
		leat_out_text(out, i > 0 ? "; " : "");
		svg_escape(out, leat_buf_span(&text));
		leat_out_text(out, ", ");
		svg_escape(out, leat_span_of(p->panel[i]->asset));
		leat_out_text(out, ": ");
		picture_describe(p, p->panel[i], &text);
		svg_escape(out, leat_buf_span(&text));
	}
	leat_out_text(out, "</desc>\n");
	leat_buf_free(&text);
}

int
leat_picture_write(struct leat_picture *p, struct leat_out *out)
{
	struct leat_buf cut = { 0 };

	if (layout(p) != 0)
		return -1;
	begin(p, out);
	describe(p, out);
	if (p->form.spark) {
		picture_spark(p, out);
		leat_out_text(out, "</svg>\n");
		return 0;
	}
	svg_rect(out, 0, 0, p->width, p->height, "#ffffff");
	if (p->title[0] != '\0')
		svg_text(out, p->left, 15, 14, SVG_START, INK, true,
		    svg_cut(&cut, leat_span_of(p->title), 14, true, p->width - p->left));
	for (size_t i = 0; i < p->panels; i++)
		draw_panel(p, p->panel[i], out);
	if (p->panels == 0) {
		svg_text(out, p->width / 2, 35, 12, SVG_MIDDLE, SOFT, false, LEAT_SPAN("no readings"));
	} else {
		picture_time_axis(p, out, 0, p->panel[p->panels - 1]->top + p->panel[p->panels - 1]->height, true);
		picture_notes(p, out);
	}
	leat_out_text(out, "</svg>\n");
	leat_buf_free(&cut);
	return 0;
}

int
leat_picture_write_wide(struct leat_picture *p, unsigned width, struct leat_out *out)
{
	unsigned made = p->form.width;
	int result;

	p->form.width = width < LEAT_PICTURE_SIDE_LEAST ? LEAT_PICTURE_SIDE_LEAST : width < made ? width : made;
	result = leat_picture_write(p, out);
	p->form.width = made;
	return result;
}
