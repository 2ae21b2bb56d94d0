/* What stands in words above and below the plots, and for who does not see them. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "tell/picture_private.h"
#include "tell/text.h"
#include "tell/words.h"

#define BETWEEN 8.0		/* name and asset */

void
picture_point_words(struct leat_buf *buf, const struct picture_panel *panel)
{
	struct leat_text t = { .width = 20 };

	leat_words_point(&t, leat_span_of(panel->point));
	leat_buf_reset(buf);
	/* Names of the works' own stay as they are. */
	if (!t.failed && leat_buf_add_span(buf, leat_buf_span(&t.line)) == 0 && buf->len > 0 && buf->data[0] >= 'a' &&
	    buf->data[0] <= 'z' && leat_point_find(leat_span_of(panel->point)) != NULL)
		buf->data[0] = (char)(buf->data[0] - 'a' + 'A');
	leat_text_free(&t);
}

size_t
picture_value_text(char *dst, double value)
{
	size_t len = leat_number_significant(dst, value, 4);

	return leat_number_trim(dst, len);
}

/* "132 readings from 1 Jan 2025 to 1 Feb 2026". */
static int
describe_period(const struct leat_picture *p, const struct picture_bins *b, struct leat_buf *buf)
{
	char from[40], to[40];
	size_t i = 0, k = b->count;
	bool one_day;

	while (!b->bin[i].used)
		i++;
	while (!b->bin[k - 1].used)
		k--;
	picture_date(from, sizeof(from), p->form.zone, b->bin[i].first.t);
	picture_date(to, sizeof(to), p->form.zone, b->bin[k - 1].last.t);
	one_day = strcmp(from, to) == 0;
	return leat_buf_printf(buf, "%lld reading%s %s %s%s%s", b->drawn, b->drawn == 1 ? "" : "s", one_day ? "on" : "from", from,
	    one_day ? "" : " to ", one_day ? "" : to);
}

void
picture_describe(const struct leat_picture *p, const struct picture_panel *panel, struct leat_buf *buf)
{
	const struct picture_bins *b = &panel->bins;
	char low_text[LEAT_NUMBER_MAX], high_text[LEAT_NUMBER_MAX], last_text[LEAT_NUMBER_MAX];
	const char *unit = picture_unit(panel);
	double low, high;
	size_t k = b->count;
	int failed;

	leat_buf_reset(buf);
	if (!picture_range(p, panel, &low, &high)) {
		failed = leat_buf_printf(buf, "no reading that can be drawn");
	} else if (picture_is_words(panel)) {
		failed = describe_period(p, b, buf);
	} else {
		while (!b->bin[k - 1].used)
			k--;
		picture_value_text(low_text, low);
		picture_value_text(high_text, high);
		picture_value_text(last_text, b->bin[k - 1].last.v);
		failed = describe_period(p, b, buf) != 0 || leat_buf_printf(buf, ", lowest %s, highest %s, last %s%s%s", low_text,
		    high_text, last_text, unit[0] != '\0' ? " " : "", unit) != 0;
	}
	if (failed)
		leat_buf_reset(buf);
}

/* A head in the making; out is NULL where its rows are only counted. */
struct head {
	struct leat_out *out;
	double left, right, top;
	double x;		/* where the row ends */
	size_t rows;
};

/* Puts words beside what is there where they fit, else into rows of their own, most at most; what is too long for the last is
 * cut. */
static void
put(struct head *h, struct leat_span words, double size, bool bold, const char *ink, size_t most)
{
	struct leat_buf cut = { 0 };
	struct leat_span rest = words, row;

	if (h->rows > 0 && h->x + BETWEEN + svg_width(words, size, bold) <= h->right) {
		h->x += BETWEEN;
		most = 0;
	}
	do {
		row = rest;
		if (most > 1)
			row = svg_row(&rest, size, bold, h->right - h->left);
		else
			rest.len = 0;
		if (most > 0) {
			h->x = h->left;
			h->rows++;
			most--;
		}
		row = svg_cut(&cut, row, size, bold, h->right - h->x);
		if (h->out != NULL)
			svg_text(h->out, h->x, h->top + 12 + PICTURE_HEAD_ROW * (double)(h->rows - 1), size, SVG_START, ink, bold, row);
		h->x += svg_width(row, size, bold);
	} while (rest.len > 0);
	leat_buf_free(&cut);
}

/* Name, asset, and when a limit is reached.  Returns the rows. */
static size_t
head(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out)
{
	struct head h = { .out = out, .left = p->left, .right = p->width - 4, .top = panel->top };
	struct leat_buf words = { 0 };
	char forecast[160];

	picture_point_words(&words, panel);
	put(&h, leat_buf_span(&words), 12, true, INK, 3);
	put(&h, leat_span_of(panel->asset), 12, false, SOFT, 1);
	if (picture_fan_words(p, panel, forecast, sizeof(forecast)))
		put(&h, leat_span_of(forecast), 10, false, INK, 3);
	leat_buf_free(&words);
	return h.rows;
}

size_t
picture_head_rows(const struct leat_picture *p, const struct picture_panel *panel)
{
	return head(p, panel, NULL);
}

void
picture_head(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out)
{
	char unit[64];

	head(p, panel, out);
	picture_axis_unit(unit, sizeof(unit), panel);
	if (!picture_is_words(panel))
		svg_text(out, p->left - 6, panel->plot_top - 7, 11, SVG_END, SOFT, false, leat_span_of(unit));
}

/* What the eye should know: zone, dots, strip.  Draws it, or only counts its rows (out NULL). */
static size_t
notes(const struct leat_picture *p, struct leat_out *out)
{
	const char *zone = leat_zone_name(p->form.zone);
	double room = p->width - p->left - 4;
	struct leat_buf text = { 0 }, cut = { 0 };
	struct leat_span rest, row;
	size_t rows = 0, all = out != NULL ? notes(p, NULL) : 0;
	bool strip = false;

	for (size_t i = 0; i < p->panels; i++)
		strip = strip || p->panel[i]->strip != NULL;
	/* A rule is nothing to be read. */
	if (leat_buf_printf(&text, "clock of %s", strchr(zone, ',') != NULL ? "the works" : zone) == 0 &&
	    (!picture_time_repeats(p) || leat_buf_printf(&text, "; *: the hour that came twice, again") == 0) &&
	    (!p->any_uncertain || leat_buf_printf(&text, "; dotted, hollow: uncertain") == 0) &&
	    (!strip || leat_buf_printf(&text, "; strip: high grinding, low off, between other states") == 0)) {
		for (rest = leat_buf_span(&text); rest.len > 0; rows++) {
			row = svg_row(&rest, 10, false, room);
			if (out != NULL)
				svg_text(out, p->left, p->height - 5 - PICTURE_NOTE_ROW * (double)(all - 1 - rows), 10, SVG_START, SOFT,
				    false, svg_cut(&cut, row, 10, false, room + 4));
		}
	}
	leat_buf_free(&text);
	leat_buf_free(&cut);
	return rows > 0 ? rows : 1;
}

size_t
picture_note_rows(const struct leat_picture *p)
{
	return notes(p, NULL);
}

void
picture_notes(const struct leat_picture *p, struct leat_out *out)
{
	notes(p, out);
}
