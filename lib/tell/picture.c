/* Pictures: what is fed to them. */
#include "tell/picture.h"

#include <math.h>
#include <stdlib.h>

#include "tell/picture_private.h"

struct leat_picture *
leat_picture_new(const struct leat_picture_form *form)
{
	struct leat_picture *p = calloc(1, sizeof(*p));

	if (p == NULL)
		return NULL;
	p->form = *form;
	p->suits = form->width == 0;
	if (p->suits)
		p->form.width = form->spark ? 240 : 860;
	if (p->form.width < LEAT_PICTURE_SIDE_LEAST)
		p->form.width = LEAT_PICTURE_SIDE_LEAST;
	if (p->form.width > LEAT_PICTURE_SIDE_MOST)
		p->form.width = LEAT_PICTURE_SIDE_MOST;
	if (p->form.height > LEAT_PICTURE_SIDE_MOST)
		p->form.height = LEAT_PICTURE_SIDE_MOST;
	if (p->form.most == 0)
		p->form.most = LEAT_PICTURE_MOST;
	/* Twice as many as pixels, of which the last doubling leaves at least the half. */
	p->columns = 2 * (size_t)p->form.width;
	p->title = leat_strndup(form->title);
	if (p->title == NULL) {
		free(p);
		return NULL;
	}
	return p;
}

static void
panel_free(struct picture_panel *panel)
{
	if (panel == NULL)
		return;
	free(panel->asset);
	free(panel->point);
	free(panel->renewed);
	picture_bins_free(&panel->bins);
	free(panel);
}

static void
event_free(struct picture_event *e)
{
	free(e->asset);
	free(e->label);
	free(e->point);
}

void
leat_picture_free(struct leat_picture *p)
{
	if (p == NULL)
		return;
	for (size_t i = 0; i < p->panels; i++)
		panel_free(p->panel[i]);
	for (size_t i = 0; i < p->strips; i++) {
		free(p->strip[i]->mill);
		picture_bins_free(&p->strip[i]->bins);
		free(p->strip[i]);
	}
	for (size_t i = 0; i < p->events; i++)
		event_free(&p->event[i]);
	free(p->panel);
	free(p->strip);
	free(p->event);
	free(p->title);
	free(p);
}

uint32_t
leat_picture_panel(struct leat_picture *p, const struct leat_picture_series *series)
{
	struct picture_panel *panel;

	if (p->panels >= p->form.most)
		return LEAT_PICTURE_FULL;
	panel = calloc(1, sizeof(*panel));
	if (panel == NULL || leat_grow(&p->panel, &p->panel_cap, p->panels + 1, sizeof(*p->panel)) != 0 ||
	    (panel->asset = leat_strndup(series->asset)) == NULL || (panel->point = leat_strndup(series->point)) == NULL) {
		panel_free(panel);
		return LEAT_PICTURE_FAILED;
	}
	panel->kind = series->kind;
	panel->unit = series->unit;
	panel->bins.hold_s = series->hold_s;
	/* A day may have an hour more. */
	if (series->hold_s > 0 && p->form.thinned_s > 0)
		panel->bins.hold_s = fmax(series->hold_s, p->form.thinned_s + (p->form.thinned_s >= 86400 ? 3600 : 0));
	panel->bins.most = p->columns;
	p->panel[p->panels] = panel;
	return (uint32_t)p->panels++;
}

uint32_t
leat_picture_panel_of(struct leat_picture *p, struct leat_span asset, struct leat_span point,
    const struct leat_points *points)
{
	const struct leat_point_info *info = leat_point_find(point);
	const struct leat_point *row = points != NULL ? leat_points_series(points, asset, point) : NULL;
	struct leat_picture_series series = { .asset = asset, .point = point };
	uint32_t panel;

	series.kind = info != NULL ? info->kind : LEAT_KIND_ANALOGUE;
	series.unit = row != NULL ? row->unit : info != NULL ? leat_unit_find(leat_span_of(info->unit)) : NULL;
	series.hold_s = leat_points_hold(points, asset, point);
	panel = leat_picture_panel(p, &series);
	if (panel < LEAT_PICTURE_FULL)
		p->panel[panel]->guess = info == NULL;
	return panel;
}

static bool
outside(const struct leat_picture *p, struct leat_time t)
{
	return (!leat_time_is_none(p->form.from) && leat_time_cmp(t, p->form.from) < 0) ||
	    (!leat_time_is_none(p->form.to) && leat_time_cmp(t, p->form.to) > 0) ||
	    (!leat_time_is_none(p->form.now) && leat_time_cmp(t, p->form.now) > 0);
}

enum leat_picture_taken
leat_picture_number(struct leat_picture *p, uint32_t number, struct leat_time time, double value, enum leat_quality quality)
{
	struct picture_bins *b = &p->panel[number]->bins;

	if (outside(p, time))
		return LEAT_PICTURE_OUTSIDE;
	if (quality == LEAT_BAD) {
		leat_picture_break(p, number, time);
		return LEAT_PICTURE_BAD;
	}
	if (!isfinite(value))
		return LEAT_PICTURE_NO_NUMBER;
	if (picture_bins_put(b, picture_seconds(time), value, quality == LEAT_UNCERTAIN, 0) != 0)
		return LEAT_PICTURE_OUT_OF_MEMORY;
	return LEAT_PICTURE_TAKEN;
}

static enum leat_picture_taken
put_word(struct picture_bins *b, const struct leat_reading *r)
{
	uint32_t word = picture_bins_word(b, r->value);

	if (word == LEAT_NAME_NONE)
		return LEAT_PICTURE_OUT_OF_MEMORY;
	if (word == PICTURE_WORDS) {
		picture_bins_break(b, picture_seconds(r->time));
		return LEAT_PICTURE_NO_NUMBER;
	}
	if (picture_bins_put(b, picture_seconds(r->time), word, r->quality == LEAT_UNCERTAIN, 1u << word) != 0)
		return LEAT_PICTURE_OUT_OF_MEMORY;
	return LEAT_PICTURE_TAKEN;
}

/* Makes ready for the unit of a reading; false for one of another dimension. */
static bool
convert(struct picture_panel *panel, struct leat_span text)
{
	const struct leat_unit *unit;

	if (panel->unit_len == text.len && text.len > 0 && memcmp(panel->unit_text, text.ptr, text.len) == 0)
		return panel->converts;
	unit = leat_unit_find(text);
	if (panel->unit == NULL && panel->bins.drawn == 0)
		panel->unit = unit;
	panel->conversion.same = true;
	/* A reading without unit is in that of its point. */
	panel->converts = text.len == 0 || (unit != NULL && panel->unit != NULL &&
	    leat_conversion_init(&panel->conversion, unit, panel->unit) == 0);
	panel->unit_len = 0;
	if (text.len <= sizeof(panel->unit_text)) {
		memcpy(panel->unit_text, text.ptr != NULL ? text.ptr : "", text.len);
		panel->unit_len = (uint8_t)text.len;
	}
	return panel->converts;
}

enum leat_picture_taken
leat_picture_put(struct leat_picture *p, uint32_t number, const struct leat_reading *r)
{
	struct picture_panel *panel = p->panel[number];
	double value;

	if (outside(p, r->time))
		return LEAT_PICTURE_OUTSIDE;
	if (r->quality == LEAT_BAD) {
		leat_picture_break(p, number, r->time);
		return LEAT_PICTURE_BAD;
	}
	if (panel->guess && panel->bins.drawn == 0)
		panel->kind = leat_reading_number(r, &value) == 0 ? LEAT_KIND_ANALOGUE : LEAT_KIND_WORD;
	if (picture_is_words(panel))
		return put_word(&panel->bins, r);
	if (leat_reading_number(r, &value) != 0) {
		leat_picture_break(p, number, r->time);
		return LEAT_PICTURE_NO_NUMBER;
	}
	if (!convert(panel, r->unit)) {
		leat_picture_break(p, number, r->time);
		return LEAT_PICTURE_UNIT;
	}
	if (!panel->conversion.same)
		value = leat_conversion_value(&panel->conversion, value);
	return leat_picture_number(p, number, r->time, value, r->quality);
}

void
leat_picture_break(struct leat_picture *p, uint32_t panel, struct leat_time time)
{
	/* What was good again before the next reading that was kept cannot be seen. */
	if (p->form.thinned_s > 0)
		return;
	picture_bins_break(&p->panel[panel]->bins, picture_seconds(time));
}

static struct picture_strip *
strip_of(struct leat_picture *p, struct leat_span mill)
{
	struct picture_strip *strip;

	for (size_t i = 0; i < p->strips; i++)
		if (leat_span_is(mill, p->strip[i]->mill))
			return p->strip[i];
	if (leat_grow(&p->strip, &p->strip_cap, p->strips + 1, sizeof(*p->strip)) != 0 ||
	    (strip = calloc(1, sizeof(*strip))) == NULL)
		return NULL;
	if ((strip->mill = leat_strndup(mill)) == NULL) {
		free(strip);
		return NULL;
	}
	strip->bins.most = p->columns;
	p->strip[p->strips++] = strip;
	return strip;
}

int
leat_picture_state(struct leat_picture *p, const struct leat_reading *r)
{
	struct picture_strip *strip;

	if (outside(p, r->time))
		return 0;
	strip = strip_of(p, leat_asset_mill(r->asset));
	if (strip == NULL)
		return -1;
	if (r->quality == LEAT_BAD) {
		picture_bins_break(&strip->bins, picture_seconds(r->time));
		return 0;
	}
	return put_word(&strip->bins, r) == LEAT_PICTURE_OUT_OF_MEMORY ? -1 : 0;
}

int
leat_picture_level(struct leat_picture *p, uint32_t number, enum leat_picture_line line, double value,
    const struct leat_unit *unit)
{
	struct picture_panel *panel = p->panel[number];

	if (unit != NULL && panel->unit != NULL)
		value = leat_unit_convert(unit, panel->unit, value);
	if (!isfinite(value) || picture_is_words(panel))
		return 0;
	for (size_t i = 0; i < panel->levels; i++)
		if (panel->level[i].line == line && fabs(panel->level[i].value - value) <= fabs(value) * 1e-3)
			return 0;
	if (panel->levels < PICTURE_LEVELS)
		panel->level[panel->levels++] = (struct picture_level){ .line = line, .value = value };
	return 0;
}

void
leat_picture_forecast(struct leat_picture *p, uint32_t panel, const struct leat_picture_fan *fan)
{
	if (!isfinite(fan->limit) || (leat_time_is_none(fan->likely) && leat_time_is_none(fan->late)))
		return;
	p->panel[panel]->fan = *fan;
	p->panel[panel]->has_fan = true;
}

/* Takes an event; *made is NULL where it lies outside.  Of too many the oldest gives way. */
static int
add_event(struct leat_picture *p, struct leat_span asset, struct leat_time time, struct leat_span label, bool heavy,
    struct picture_event **made)
{
	struct picture_event *e;

	*made = NULL;
	if (outside(p, time))
		return 0;
	if (p->events == PICTURE_EVENTS) {
		e = &p->event[p->events_lost++ % PICTURE_EVENTS];
		event_free(e);
	} else if (leat_grow(&p->event, &p->event_cap, p->events + 1, sizeof(*p->event)) == 0) {
		e = &p->event[p->events++];
	} else {
		return -1;
	}
	*e = (struct picture_event){ .t = picture_seconds(time), .asset = leat_strndup(asset), .label = leat_strndup(label),
		.heavy = heavy };
	*made = e;
	return e->asset != NULL && e->label != NULL ? 0 : -1;
}

int
leat_picture_event(struct leat_picture *p, struct leat_span asset, struct leat_time time, struct leat_span label, bool heavy)
{
	struct picture_event *made;

	return add_event(p, asset, time, label, heavy, &made);
}

/* "Pump change P-7", or what a note says. */
static int
entry_words(struct leat_buf *words, const struct leat_log_entry *e)
{
	if (strcmp(e->event->name, "note") == 0)
		return leat_buf_add_span(words, e->note);
	for (const char *c = e->event->name; *c != '\0'; c++)
		if (leat_buf_add(words, *c == '-' ? " " : c, 1) != 0)
			return -1;
	if (e->item.len == 0 || !e->event->renews)
		return 0;
	return leat_buf_add(words, " ", 1) != 0 || leat_buf_add_span(words, e->item) != 0 ? -1 : 0;
}

/* Does it leave the machine as it was? */
static bool
is_light(const struct leat_event *event)
{
	static const char *const light[] = {
		"bore-gauging", "drained", "gas-reading", "leak-test", "line-up", "note", "oil-temperature", "sampling", "top-up"
	};

	for (size_t i = 0; i < sizeof(light) / sizeof(light[0]); i++)
		if (strcmp(event->name, light[i]) == 0)
			return true;
	return false;
}

int
leat_picture_entry(struct leat_picture *p, const struct leat_log_entry *e)
{
	struct leat_buf words = { 0 };
	int result = entry_words(&words, e);
	struct picture_event *made = NULL;

	if (result == 0)
		result = add_event(p, e->asset, e->time, leat_buf_span(&words), !is_light(e->event), &made);
	if (result == 0 && made != NULL) {
		/* Filters are changed often, pumps and seals are not. */
		made->first = e->event->renews || (e->event->resets != NULL && strcmp(e->event->name, "filter-change") != 0);
		made->kind = e->event;
		made->point = leat_strndup(e->point);
		result = made->point != NULL ? 0 : -1;
	}
	leat_buf_free(&words);
	return result;
}

size_t
leat_picture_events_lost(const struct leat_picture *p)
{
	return p->events_lost;
}
