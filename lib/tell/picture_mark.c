/* What is drawn over the data of a panel: limits, baselines, forecasts, events. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "tell/picture_private.h"

#define LABEL 10.0
#define LABEL_APART 11.0

static const struct {
	const char *word, *stroke, *dash;
	double width;
} lines[] = {
	[LEAT_PICTURE_BASELINE] = { "baseline", SOFT, "1 3", 1.2 },
	[LEAT_PICTURE_ALERT] = { "alert", ALERT, "4 3", 1.2 },
	[LEAT_PICTURE_ALARM] = { "alarm", ALARM, "11 4", 1.8 }
};

static void
level_text(char *dst, size_t size, const struct picture_panel *panel, const struct picture_level *level)
{
	char number[LEAT_NUMBER_MAX];

	picture_value_text(number, level->value);
	snprintf(dst, size, "%s %s%s", lines[level->line].word, number, level->shown ? "" :
	    level->value > panel->axis.high ? " ↑" : " ↓");
}

double
picture_level_width(const struct picture_panel *panel)
{
	double most = 0;
	char text[LEAT_NUMBER_MAX + 32];

	for (size_t i = 0; i < panel->levels; i++) {
		struct picture_level level = panel->level[i];

		level.shown = false;
		level_text(text, sizeof(text), panel, &level);
		most = fmax(most, svg_width(leat_span_of(text), LABEL, false));
	}
	return most;
}

static int
by_value(const void *a, const void *b)
{
	const struct picture_level *x = a, *y = b;

	return x->value != y->value ? (x->value > y->value ? -1 : 1) : (int)y->line - (int)x->line;
}

/* Labels from above keep apart, and are pushed back up where they would leave the plot. */
static void
place_labels(struct picture_panel *panel)
{
	double least = panel->plot_top + 4, most = panel->plot_top + panel->plot_height + 3;

	for (size_t i = 0; i < panel->levels; i++) {
		struct picture_level *level = &panel->level[i];

		level->shown = level->value <= panel->axis.high && level->value >= panel->axis.low;
		level->y = fmin(fmax(picture_y(panel, level->value) + 3.5, least), most);
		least = level->y + LABEL_APART;
	}
	for (size_t i = panel->levels; i-- > 0;) {
		panel->level[i].y = fmin(panel->level[i].y, most);
		most = panel->level[i].y - LABEL_APART;
	}
}

void
picture_levels(const struct leat_picture *p, struct picture_panel *panel, struct leat_out *out)
{
	char text[LEAT_NUMBER_MAX + 32];

	qsort(panel->level, panel->levels, sizeof(panel->level[0]), by_value);
	place_labels(panel);
	for (size_t i = 0; i < panel->levels; i++) {
		const struct picture_level *level = &panel->level[i];
		double y = picture_y(panel, level->value);

		if (level->shown)
			svg_line(out, p->left, y, p->right, y, lines[level->line].stroke, lines[level->line].width,
			    lines[level->line].dash);
		level_text(text, sizeof(text), panel, level);
		/* More of them than there is room would run out of the plot. */
		if (level->y > panel->plot_top - 8)
			svg_text(out, p->right + 5, level->y, LABEL, SVG_START, lines[level->line].stroke, false,
			    leat_span_of(text));
	}
}

/* The height at which a line from one point to another leaves the plot at its right edge. */
static double
clip(const struct leat_picture *p, double x1, double y1, double x2, double y2, double *x)
{
	*x = fmin(x2, p->right);
	return x2 > p->right ? y1 + (y2 - y1) * (p->right - x1) / (x2 - x1) : y2;
}

static void
fan_dates(const struct leat_picture *p, const struct leat_picture_fan *fan, char *dst, size_t size)
{
	char early[40], likely[40], late[40];

	picture_date(late, sizeof(late), p->form.zone, picture_seconds(fan->late));
	if (leat_time_is_none(fan->likely)) {
		snprintf(dst, size, "limit reached by %s at the latest", late);
		return;
	}
	picture_date(likely, sizeof(likely), p->form.zone, picture_seconds(fan->likely));
	if (leat_time_is_none(fan->early) || leat_time_is_none(fan->late)) {
		snprintf(dst, size, "limit reached about %s", likely);
		return;
	}
	picture_date(early, sizeof(early), p->form.zone, picture_seconds(fan->early));
	snprintf(dst, size, "limit reached about %s (four in five: %s to %s)", likely, early, late);
}

/* The ground between the earliest and the latest line. */
static void
fan_ground(const struct leat_picture *p, const struct leat_picture_fan *fan, struct leat_out *out, const double at[2],
    double y)
{
	double x[2] = { picture_x(p, picture_seconds(fan->early)), picture_x(p, picture_seconds(fan->late)) }, cx[2], cy[2];

	/* What could have been by now is now: nothing runs back into the past. */
	x[0] = fmax(x[0], at[0]);
	/* Less than a pixel apart it would not be seen. */
	if (x[1] - x[0] < 3)
		x[1] = x[0] + 3;
	for (int i = 0; i < 2; i++)
		cy[i] = clip(p, at[0], at[1], x[i], y, &cx[i]);
	leat_out_text(out, "<path d=\"M");
	svg_number(out, at[0]);
	leat_out_char(out, ' ');
	svg_number(out, at[1]);
	for (int i = 0; i < 2; i++) {
		leat_out_char(out, 'L');
		svg_number(out, cx[i]);
		leat_out_char(out, ' ');
		svg_number(out, cy[i]);
		if (i == 0 && x[0] < p->right && x[1] > p->right) {
			leat_out_char(out, 'L');
			svg_number(out, p->right);
			leat_out_char(out, ' ');
			svg_number(out, y);
		}
	}
	leat_out_text(out, "Z\" fill=\"" FAN "\" stroke=\"" CURVE "\" stroke-width=\"0.8\"/>\n");
}

/* The level where the fan begins: given, or the last reading. */
static double
fan_level(const struct picture_panel *panel)
{
	for (size_t i = panel->bins.count; isnan(panel->fan.level) && i-- > 0;)
		if (panel->bins.bin[i].used)
			return panel->bins.bin[i].last.v;
	return panel->fan.level;
}

bool
picture_fan_words(const struct leat_picture *p, const struct picture_panel *panel, char *dst, size_t size)
{
	const struct leat_picture_fan *fan = &panel->fan;

	if (!panel->has_fan || isnan(fan_level(panel)) || picture_is_words(panel) ||
	    picture_seconds(leat_time_is_none(fan->likely) ? fan->late : fan->likely) <= p->data_end)
		return false;
	fan_dates(p, fan, dst, size);
	return true;
}

void
picture_fan(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out)
{
	const struct leat_picture_fan *fan = &panel->fan;
	struct leat_time likely = leat_time_is_none(fan->likely) ? fan->late : fan->likely;
	double level = fan_level(panel), y = picture_y(panel, fan->limit), at[2], x, end_y;
	char text[160];

	if (!picture_fan_words(p, panel, text, sizeof(text)))
		return;
	at[0] = picture_x(p, p->data_end);
	at[1] = picture_y(panel, level);
	if (!leat_time_is_none(fan->early) && !leat_time_is_none(fan->late))
		fan_ground(p, fan, out, at, y);
	end_y = clip(p, at[0], at[1], picture_x(p, picture_seconds(likely)), y, &x);
	svg_line(out, at[0], at[1], x, end_y, CURVE, 1.4, "5 2");
	svg_line(out, at[0], panel->plot_top, at[0], panel->plot_top + panel->plot_height, SOFT, 0.8, "2 2");
	svg_text(out, at[0] + 3, panel->plot_top + panel->plot_height - 4, LABEL, SVG_START, SOFT, false, LEAT_SPAN("forecast"));
}

/* Does the event belong to the panel, and to the period? */
static bool
concerns(const struct leat_picture *p, const struct picture_panel *panel, const struct picture_event *e)
{
	if (e->t < p->start || e->t > p->end)
		return false;
	return e->heavy ? leat_asset_kin(leat_span_of(e->asset), leat_span_of(panel->asset)) :
	    strcmp(e->asset, panel->asset) == 0;
}

#define ROWS 3
#define EVENT_EVERY 6.0		/* pixels an event down to which each has its line */

/* Gives each event of the panel a row for its label, from below; heavy ones first.  row[i] is ROWS where there is no room, or
 * where it is not of the panel.  Returns the rows used. */
struct placed {
	size_t row;
	double x;		/* of the label's beginning */
	double width;
};

static bool
collides(const struct placed *placed, size_t count, size_t row, double x, double width)
{
	for (size_t i = 0; i < count; i++)
		if (placed[i].row == row && x < placed[i].x + placed[i].width && placed[i].x < x + width)
			return true;
	return false;
}

/* Is a label of the same words at the same pixel there already? */
static bool
repeats(const struct leat_picture *p, const struct placed *placed, size_t i)
{
	for (size_t j = 0; j < p->events; j++)
		if (j != i && placed[j].row < ROWS && strcmp(p->event[j].label, p->event[i].label) == 0 &&
		    fabs(picture_x(p, p->event[j].t) - picture_x(p, p->event[i].t)) < 4)
			return true;
	return false;
}

static size_t
place_events(const struct leat_picture *p, const struct picture_panel *panel, struct placed *placed)
{
	size_t used = 0;

	for (size_t i = 0; i < p->events; i++)
		placed[i].row = ROWS;
	for (int pass = 0; pass < 3; pass++) {
		for (size_t i = 0; i < p->events; i++) {
			const struct picture_event *e = &p->event[i];
			double width, x = picture_x(p, e->t) + 5;

			if (pass != (e->first ? 0 : e->heavy ? 1 : 2) || !concerns(p, panel, e) || repeats(p, placed, i))
				continue;
			width = fmin(svg_width(leat_span_of(e->label), LABEL, false), 150) + 8;
			if (x + width > p->width)
				x -= width + 6;
			for (size_t row = 0; row < ROWS && placed[i].row == ROWS; row++)
				if (x >= 0 && !collides(placed, p->events, row, x - 9, width + 18))
					placed[i] = (struct placed){ row, x, width };
			if (placed[i].row < ROWS && placed[i].row >= used)
				used = placed[i].row + 1;
		}
	}
	return used;
}

size_t
picture_event_rows(const struct leat_picture *p, const struct picture_panel *panel)
{
	struct placed *placed = calloc(p->events + 1, sizeof(*placed));
	size_t rows = placed != NULL ? place_events(p, panel, placed) : 0;

	free(placed);
	return rows;
}

static void
draw_event(const struct leat_picture *p, const struct picture_panel *panel, const struct picture_event *e,
    const struct placed *at, bool line, struct leat_out *out)
{
	/* A mark without label has no row of its own: it hangs within the plot. */
	double x = picture_x(p, e->t), y = panel->plot_top + (at->row < ROWS ? -3 - (double)at->row * PICTURE_EVENT_ROW : 8);

	if (line)
		svg_line(out, x, y, x, panel->plot_top + panel->plot_height, SOFT, e->heavy ? 1 : 0.8, e->heavy ? NULL : "1 2");
	leat_out_text(out, "<path d=\"M");
	svg_number(out, x - 3.5);
	leat_out_char(out, ' ');
	svg_number(out, y - 6);
	leat_out_text(out, e->heavy ? "h7l-3.5 6z\" fill=\"" INK "\">" : "h7l-3.5 6z\" fill=\"#ffffff\" stroke=\"" SOFT "\">");
	leat_out_text(out, "<title>");
	svg_escape(out, leat_span_of(e->asset));
	leat_out_text(out, ": ");
	svg_escape(out, leat_span_of(e->label));
	leat_out_text(out, "</title></path>\n");
}

/* On white, for the lines of events above it pass behind. */
static void
event_label(const struct leat_picture *p, const struct picture_panel *panel, const struct picture_event *e,
    const struct placed *at, struct leat_out *out)
{
	double y = panel->plot_top - 3 - (double)at->row * PICTURE_EVENT_ROW;
	struct leat_buf cut = { 0 };
	struct leat_span label = svg_cut(&cut, leat_span_of(e->label), LABEL, false, 150);
	bool left = at->x < picture_x(p, e->t);

	svg_rect(out, at->x - 1, y - 8.5, at->width - 6, 10.5, "#ffffff");
	svg_text(out, left ? at->x + at->width - 9 : at->x, y + 0.5, LABEL, left ? SVG_END : SVG_START, INK, false, label);
	leat_buf_free(&cut);
}

void
picture_events(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out)
{
	struct placed *placed = calloc(p->events + 1, sizeof(*placed));
	size_t count = 0;

	if (placed == NULL)
		return;
	place_events(p, panel, placed);
	for (size_t i = 0; i < p->events; i++)
		count += concerns(p, panel, &p->event[i]);
	/* So many lines would hide the curve: then only those with a label have one. */
	for (size_t i = 0; i < p->events; i++)
		if (concerns(p, panel, &p->event[i]))
			draw_event(p, panel, &p->event[i], &placed[i], placed[i].row < ROWS ||
			    (double)count * EVENT_EVERY < p->right - p->left, out);
	for (size_t i = 0; i < p->events; i++)
		if (placed[i].row < ROWS)
			event_label(p, panel, &p->event[i], &placed[i], out);
	free(placed);
}
