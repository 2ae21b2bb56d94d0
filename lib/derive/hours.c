/* Running hours and starts: counting. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "derive/hours_private.h"

enum role { ROLE_NEW, ROLE_OTHER, ROLE_SILENT, ROLE_MADE, ROLE_SWITCH, ROLE_METER, ROLE_COUNTER };

/* Times of logged readings are written by hand: an hour either way.  Starts a minute apart are no motor's. */
#define HOUR_SLACK_H 1.0
#define START_SLACK 10.0
#define START_PER_S (1.0 / 60.0)

void
leat_hours_init(struct leat_hours *hours)
{
	leat_current_init(&hours->current, hours->in, hours->points);
	hours->time = LEAT_TIME_NONE;
}

static void
tell(const struct leat_hours *hours, const char *text)
{
	if (hours->warn != NULL)
		hours->warn(text);
}

/* Counts the item's time up to t by its switch as it was. */
static void
advance(struct leat_hours_item *item, struct leat_time t)
{
	struct leat_time known;
	double run_h;

	if (leat_time_is_none(item->at)) {
		item->at = t;
		return;
	}
	if (leat_time_cmp(t, item->at) <= 0)
		return;
	known = item->on < 0 ? item->at : leat_time_cmp(t, item->expiry) <= 0 ? t : item->expiry;
	run_h = item->on > 0 ? leat_time_diff(known, item->at) / 3600 : 0;
	leat_counter_add(&item->hours, run_h, run_h, run_h);
	if (leat_time_cmp(known, t) < 0 && item->on >= 0) {
		item->before = item->on;
		item->on = -1;
		item->told = false;
	}
	item->gap_s += leat_time_diff(t, known);
	item->at = t;
}

/* Counts the gap so far.  after: what the switch says now, -1 where it is still unknown. */
static void
count_gap(struct leat_hours *hours, struct leat_hours_item *item, int after)
{
	double gap_h = item->gap_s / 3600, share = 0.5, per_hour = 0, most, least;

	if (item->gap_s <= 0)
		return;
	if (after >= 0 && item->before == after)
		share = after;
	leat_counter_add(&item->hours, 0, share * gap_h, gap_h);
	least = after > 0 && item->before == 0 && !item->told;
	if (leat_nameplate_number(hours->np, item->asset, "starts-per-hour", item->at, &per_hour) != 0)
		per_hour = 0;
	most = ceil(gap_h * per_hour);
	leat_counter_add(&item->starts, least, least, most > least ? most : least);
	if (hours->explain)
		leat_hours_tell_gap(hours, item, after, share * gap_h);
	item->gap_s = 0;
}

static void
warn_other(const struct leat_hours *hours, const struct leat_hours_item *item, const char *point, double was, double is)
{
	char text[320];

	snprintf(text, sizeof(text), "'%s' of '%.*s' went from %.10g to %.10g, which running does not explain: taken as another "
	    "counter (log it as meter-change)", point, (int)item->asset.len, item->asset.ptr, was, is);
	tell(hours, text);
}

/* One reading of a counter; true when the total went on in another way than by counting. */
static bool
take_reading(struct leat_hours *hours, struct leat_hours_item *item, bool is_starts, struct leat_time at, double shown,
    double digit, long line)
{
	struct leat_counter *c = is_starts ? &item->starts : &item->hours;
	double before = c->value, was = c->shown;
	enum leat_counter_kind kind;

	kind = is_starts ? leat_counter_reading(c, at, shown, 0, START_PER_S, START_SLACK) :
	    leat_counter_reading(c, at, shown, digit, 1.0 / 3600, HOUR_SLACK_H);
	item->told = item->told || (is_starts && item->on < 0);
	if (kind == LEAT_COUNTER_OTHER)
		warn_other(hours, item, is_starts ? "start-counter" : "hour-meter", was, shown);
	if (hours->explain && (line > 0 || kind != LEAT_COUNTER_FITS))
		leat_hours_tell_reading(hours, item, is_starts, shown, before, kind, line);
	return kind != LEAT_COUNTER_FITS;
}

/* A logged value in the unit of its counter, and its last digit; NaN where there is none. */
static double
logged_number(const struct leat_log_entry *e, struct leat_span text, const char *unit, double *digit)
{
	const struct leat_unit *own = leat_unit_find(leat_span_of(unit)), *from = e->unit != NULL ? e->unit : own;
	struct leat_number number;

	if (leat_number_parse(text, &number) != 0)
		return NAN;
	*digit = leat_unit_convert(from, own, number.scale > 0 ? pow(10, -number.scale) : 1);
	return leat_unit_convert(from, own, leat_number_value(&number));
}

/* An entry of the item's own; true when it says something of its counts. */
static bool
take_entry(struct leat_hours *hours, struct leat_hours_item *item, const struct leat_log_entry *e)
{
	bool is_starts = leat_span_is(e->point, "start-counter"), is_hours = leat_span_is(e->point, "hour-meter");
	const char *unit = is_starts ? "1" : "h";
	double digit = 1, found, left, shown;

	if (!is_starts && !is_hours && !e->event->renews)
		return false;
	advance(item, e->time);
	count_gap(hours, item, -1);
	if (e->event->renews) {
		leat_counter_renew(&item->hours);
		leat_counter_renew(&item->starts);
		if (!is_starts && !is_hours)
			return true;
	}
	found = logged_number(e, e->found, unit, &digit);
	left = logged_number(e, e->left, unit, &digit);
	shown = isnan(left) ? found : left;
	if (strcmp(e->event->name, "meter-change") == 0 || e->event->renews) {
		leat_counter_changed(is_starts ? &item->starts : &item->hours, e->time, e->event->renews ? NAN : found, left,
		    is_starts ? 0 : digit);
		return true;
	}
	if (isnan(shown))
		return false;
	take_reading(hours, item, is_starts, e->time, shown, digit, e->line);
	return true;
}

/* The item's entries of the logbook up to t. */
static bool
take_entries(struct leat_hours *hours, struct leat_hours_item *item, struct leat_time t)
{
	const struct leat_logbook *book = hours->book;
	bool any = false;

	for (; item->entry < book->count && leat_time_cmp(book->entry[item->entry].time, t) <= 0; item->entry++)
		if (leat_span_eq(book->entry[item->entry].asset, item->asset))
			any = take_entry(hours, item, &book->entry[item->entry]) || any;
	return any;
}

/* What the switch says at t, and until when. */
static int
look_at_switch(const struct leat_hours *hours, struct leat_hours_item *item, struct leat_time t)
{
	const struct leat_latest *latest;

	if (item->series == LEAT_NAME_NONE || (latest = leat_current_series(&hours->current, item->series, t)) == NULL)
		return -1;
	item->expiry = leat_current_expiry(&hours->current, item->series);
	return leat_latest_switch(&hours->current, latest);
}

/* Takes in what the switch says now. */
static unsigned
take_switch(struct leat_hours *hours, struct leat_hours_item *item, int on)
{
	bool gap = item->on < 0;
	unsigned cause = gap && item->begun ? LEAT_HOURS_SEEN : 0;
	int was = gap ? item->before : item->on;

	if (on < 0) {
		if (!gap) {
			item->before = item->on;
			item->told = false;
		}
		item->on = -1;
		return 0;
	}
	if (gap)
		count_gap(hours, item, on);
	else if (on > 0 && was == 0)
		leat_counter_add(&item->starts, 1, 1, 1);
	if (was >= 0 && on != was)
		cause |= on > 0 ? LEAT_HOURS_STARTED : LEAT_HOURS_STOPPED;
	item->on = on;
	return cause;
}

/* One item at the end of an instant. */
static void
finish_item(struct leat_hours *hours, struct leat_hours_item *item, struct leat_time t)
{
	struct leat_time day_start;
	unsigned cause = 0;
	int on;

	if (take_entries(hours, item, t))
		cause |= LEAT_HOURS_READ;
	advance(item, t);
	/* A reading of a meter within a gap says how much of the gap so far was running. */
	on = look_at_switch(hours, item, t);
	if ((item->meter.there || item->counter.there) && item->on < 0)
		count_gap(hours, item, on);
	if (item->meter.there && take_reading(hours, item, false, t, item->meter.shown, item->meter.digit, 0))
		cause |= LEAT_HOURS_READ;
	if (item->counter.there && take_reading(hours, item, true, t, item->counter.shown, 0, 0))
		cause |= LEAT_HOURS_READ;
	item->meter.there = item->counter.there = false;
	cause |= take_switch(hours, item, on);
	/* What was read while the switch is unknown is told as soon as it is known: the gap has ended then. */
	if (on < 0)
		return;
	if (!item->begun)
		cause |= LEAT_HOURS_BEGUN;
	if (!item->begun || leat_time_cmp(t, item->day_end) >= 0) {
		cause |= LEAT_HOURS_DAY;
		leat_grid_period(&hours->day, t, &day_start, &item->day_end);
	}
	item->begun = true;
	if (cause != 0)
		leat_hours_write(hours, item, cause);
}

/* All items of the mills that had rows at the instant. */
static void
finish(struct leat_hours *hours)
{
	for (size_t i = 0; i < hours->touches; i++) {
		struct leat_hours_mill *mill = &hours->mill[hours->touched[i]];

		mill->touched = false;
		for (size_t n = 0; n < mill->items; n++)
			finish_item(hours, &hours->item[mill->item[n]], hours->time);
	}
	hours->touches = 0;
}

static enum role
role_of(struct leat_span point)
{
	static const char *const made[] = {
		"running-hours", "running-hours.low", "running-hours.high", "starts", "starts.low", "starts.high"
	};

	for (size_t i = 0; i < sizeof(made) / sizeof(made[0]); i++)
		if (leat_span_is(point, made[i]))
			return ROLE_MADE;
	if (leat_span_is(point, "mill-running") || leat_span_is(point, "pump-running"))
		return ROLE_SWITCH;
	if (leat_span_is(point, "hour-meter"))
		return ROLE_METER;
	if (leat_span_is(point, "start-counter"))
		return ROLE_COUNTER;
	/* What a filter has added is no sign that the mill's own instruments still report. */
	return leat_point_derived(point) ? ROLE_SILENT : ROLE_OTHER;
}

/* The item of an asset, new if need be. */
static int
find_item(struct leat_hours *hours, struct leat_hours_mill *mill, struct leat_span asset, size_t *number)
{
	size_t count = hours->item_names.count;
	struct leat_hours_item *item;
	uint32_t id = leat_names_put(&hours->item_names, asset);

	if (id == LEAT_NAME_NONE)
		return -1;
	*number = id;
	if (id < count)
		return 0;
	if (leat_grow(&hours->item, &hours->item_cap, hours->item_names.count, sizeof(*hours->item)) != 0 ||
	    leat_grow(&mill->item, &mill->cap, mill->items + 1, sizeof(*mill->item)) != 0)
		return -1;
	mill->item[mill->items++] = id;
	item = &hours->item[id];
	item->asset = hours->item_names.name[id];
	item->series = LEAT_NAME_NONE;
	item->at = LEAT_TIME_NONE;
	item->on = item->before = -1;
	return 0;
}

/* A mill and a pump that share one asset cannot both be counted under it. */
static void
take_series(struct leat_hours *hours, struct leat_hours_item *item, const struct leat_reading *r)
{
	char text[256];

	if (item->series == LEAT_NAME_NONE) {
		item->series = r->series;
		hours->items++;
		return;
	}
	snprintf(text, sizeof(text), "'%.*s' has mill-running and pump-running: '%.*s', which came later, is not counted "
	    "(name the pump as a part of its own)", (int)r->asset.len, r->asset.ptr, (int)r->point.len, r->point.ptr);
	tell(hours, text);
}

/* Finds out once what a series is. */
static int
resolve(struct leat_hours *hours, const struct leat_reading *r)
{
	struct leat_hours_series *series;
	struct leat_hours_mill *mill;

	if (leat_grow(&hours->series, &hours->series_cap, (size_t)r->series + 1, sizeof(*hours->series)) != 0)
		return -1;
	series = &hours->series[r->series];
	if (series->role != ROLE_NEW)
		return 0;
	series->mill = leat_names_put(&hours->mill_names, leat_asset_mill(r->asset));
	if (series->mill == LEAT_NAME_NONE ||
	    leat_grow(&hours->mill, &hours->mill_cap, hours->mill_names.count, sizeof(*hours->mill)) != 0 ||
	    leat_grow(&hours->touched, &hours->touch_cap, hours->mill_names.count, sizeof(*hours->touched)) != 0)
		return -1;
	mill = &hours->mill[series->mill];
	series->role = (uint8_t)role_of(r->point);
	if (series->role < ROLE_SWITCH)
		return 0;
	if (find_item(hours, mill, r->asset, &series->item) != 0)
		return -1;
	if (series->role == ROLE_SWITCH)
		take_series(hours, &hours->item[series->item], r);
	return 0;
}

/* A reading of a meter, in its own unit.  0, or -1 with err for a unit that does not fit. */
static int
take_meter(struct leat_hours_item *item, bool is_starts, const struct leat_reading *r, struct leat_error *err)
{
	const struct leat_unit *own = leat_unit_find(leat_span_of(is_starts ? "1" : "h"));
	const struct leat_unit *unit = r->unit.len > 0 ? leat_unit_find(r->unit) : own;
	struct leat_number number;

	if (r->quality != LEAT_GOOD || leat_number_parse(r->value, &number) != 0)
		return 0;
	if (unit == NULL || !leat_unit_same_dimension(unit, own))
		return leat_error_set(err, "'%.*s' of '%.*s' comes in '%.*s', where '%s' or a unit of its dimension is due",
		    (int)r->point.len, r->point.ptr, (int)r->asset.len, r->asset.ptr, (int)r->unit.len, r->unit.ptr, own->name);
	*(is_starts ? &item->counter : &item->meter) = (struct leat_hours_meter){
		true, leat_unit_convert(unit, own, leat_number_value(&number)),
		leat_unit_convert(unit, own, number.scale > 0 ? pow(10, -number.scale) : 1)
	};
	return 0;
}

/* Is it a row of an item that is counted here? */
static bool
is_made(const struct leat_hours *hours, const struct leat_reading *r)
{
	uint32_t item = leat_names_get(&hours->item_names, r->asset);

	return item != LEAT_NAME_NONE && hours->item[item].series != LEAT_NAME_NONE;
}

int
leat_hours_take(struct leat_hours *hours, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_hours_series *series;
	struct leat_hours_mill *mill;

	/* First of all: an item that begins with this row has no part in the instant before. */
	if (!leat_time_is_none(hours->time) && leat_time_cmp(r->time, hours->time) != 0)
		finish(hours);
	hours->time = r->time;
	if ((r->series >= hours->series_cap || hours->series[r->series].role == ROLE_NEW) && resolve(hours, r) != 0)
		return leat_error_memory(err);
	series = &hours->series[r->series];
	if (series->role == ROLE_MADE && is_made(hours, r)) {
		hours->replaced++;
		return 0;
	}
	if (series->role == ROLE_MADE || series->role == ROLE_SILENT)
		return 1;
	if ((series->role == ROLE_OTHER ? leat_current_pass : leat_current_put)(&hours->current, r) != 0)
		return leat_error_memory(err);
	mill = &hours->mill[series->mill];
	if (!mill->touched) {
		mill->touched = true;
		hours->touched[hours->touches++] = series->mill;
	}
	if (series->role == ROLE_METER || series->role == ROLE_COUNTER)
		return take_meter(&hours->item[series->item], series->role == ROLE_COUNTER, r, err) == 0 ? 1 : -1;
	return 1;
}

void
leat_hours_end(struct leat_hours *hours)
{
	finish(hours);
}

void
leat_hours_free(struct leat_hours *hours)
{
	for (size_t i = 0; i < hours->mill_names.count && i < hours->mill_cap; i++)
		free(hours->mill[i].item);
	free(hours->mill);
	free(hours->item);
	free(hours->series);
	free(hours->touched);
	leat_names_free(&hours->mill_names);
	leat_names_free(&hours->item_names);
	leat_current_free(&hours->current);
}
