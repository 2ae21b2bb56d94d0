/* The oil: taking in readings. */
#include <math.h>
#include <stdlib.h>

#include "derive/oil_private.h"
#include "derive/sampling_point.h"
#include "derive/works_day.h"
#include "physics/oil_mix.h"
#include "stream/quantity.h"

/* Readings that come more seldom than this are typed from sheets. */
#define SHEET_S 86400.0

static const char *const quantity_points[LEAT_OILS_QUANTITIES] = {
	"water-content", "viscosity-40", "viscosity-100", "acid-number", "iron", "copper", "tin", "chromium", "silicon",
	"aluminium", "sodium", "zinc", "count-6um", "count-14um"
};

int
leat_oils_init(struct leat_oils *oil)
{
	leat_current_init(&oil->current, oil->in, oil->points);
	oil->made = (struct leat_made){
		.in = oil->in, .out = oil->out, .copy = oil->copy, .explain = oil->explain, .what = oil->what
	};
	oil->time = oil->day_end = LEAT_TIME_NONE;
	oil->grinding = leat_current_word(&oil->current, LEAT_SPAN("grinding"));
	return oil->grinding != LEAT_NAME_NONE ? 0 : -1;
}

static bool
is_made_here(struct leat_span point)
{
	static const char *const made[] = {
		"water-saturation", "water-saturation-coldest", "free-water", "viscosity-shift", "viscosity-index",
		"wrong-oil-share", "acid-number-rise", "zinc-share", "clean-up-time", "drying-time", "ageing-hours",
		"ageing-hours.high", "oil-volume-20", "oil-consumption", "external-leakage", "external-leakage.low",
		"external-leakage.high", "oil-gain"
	};

	for (size_t i = 0; i < sizeof(made) / sizeof(made[0]); i++)
		if (leat_span_is(point, made[i]))
			return true;
	return leat_span_ends(point, ".per-1000h");
}

static enum leat_oils_role
role_of(const struct leat_reading *r, uint8_t *quantity)
{
	const struct leat_point_info *info;

	for (uint8_t i = 0; i < LEAT_OILS_QUANTITIES; i++)
		if (leat_span_is(r->point, quantity_points[i])) {
			*quantity = i;
			return LEAT_OILS_ROLE_SAMPLE;
		}
	if (is_made_here(r->point))
		return LEAT_OILS_ROLE_MADE;
	if (leat_span_is(r->point, "top-up"))
		return LEAT_OILS_ROLE_TOP_UP;
	if (leat_span_is(r->point, "drained"))
		return LEAT_OILS_ROLE_DRAINED;
	if (leat_span_eq(r->asset, leat_asset_mill(r->asset))) {
		if (leat_span_is(r->point, "oil-temperature"))
			return LEAT_OILS_ROLE_TEMPERATURE;
		if (leat_span_is(r->point, "level") || leat_span_is(r->point, "pressure") || leat_span_is(r->point, "state"))
			return LEAT_OILS_ROLE_TANK;
		if (leat_span_is(r->point, "running-hours"))
			return LEAT_OILS_ROLE_HOURS;
	}
	info = leat_point_find(r->point);
	if (info != NULL && (leat_point_derived(r->point) || info->hold_s >= SHEET_S))
		return LEAT_OILS_ROLE_SILENT;
	return LEAT_OILS_ROLE_OTHER;
}

/* Takes the entries of the logbook up to t. */
static void
take_entries(struct leat_oils *oil, struct leat_time t)
{
	const struct leat_logbook *book = oil->book;

	for (; oil->entry < book->count && leat_time_cmp(book->entry[oil->entry].time, t) <= 0; oil->entry++) {
		const struct leat_log_entry *e = &book->entry[oil->entry];
		uint32_t mill;

		if (strcmp(e->event->name, "oil-change") != 0)
			continue;
		mill = leat_names_get(&oil->mill_names, leat_asset_mill(e->asset));
		if (mill != LEAT_NAME_NONE)
			leat_oils_changed(oil, &oil->mill[mill], e->time);
	}
}

/* A mill that comes late has its entries in the part of the logbook that is taken. */
static void
take_earlier_entries(struct leat_oils *oil, struct leat_oils_mill *mill)
{
	for (size_t i = 0; i < oil->entry; i++) {
		const struct leat_log_entry *e = &oil->book->entry[i];

		if (strcmp(e->event->name, "oil-change") == 0 && leat_span_eq(leat_asset_mill(e->asset), mill->asset))
			leat_oils_changed(oil, mill, e->time);
	}
}

static int
find_mill(struct leat_oils *oil, struct leat_span asset, uint32_t *number)
{
	size_t count = oil->mill_names.count;
	struct leat_oils_mill *mill;

	*number = leat_names_put(&oil->mill_names, leat_asset_mill(asset));
	if (*number == LEAT_NAME_NONE ||
	    leat_grow(&oil->mill, &oil->mill_cap, oil->mill_names.count, sizeof(*oil->mill)) != 0)
		return -1;
	if (*number < count)
		return 0;
	mill = &oil->mill[*number];
	mill->asset = oil->mill_names.name[*number];
	mill->temperature = mill->level = mill->pressure = mill->state = LEAT_NAME_NONE;
	mill->at = mill->grinding_since = mill->heat_at = mill->aged_since = mill->aged_told = LEAT_TIME_NONE;
	mill->warm_at = mill->working_at = mill->hours_at = mill->water_at = LEAT_TIME_NONE;
	mill->today = (struct leat_oils_day){ .coldest_c = INFINITY, .warmest_c = -INFINITY };
	take_earlier_entries(oil, mill);
	return 0;
}

static int
find_sample(struct leat_oils *oil, struct leat_span asset, uint32_t mill, uint32_t *number)
{
	size_t count = oil->sample_names.count;

	*number = leat_names_put(&oil->sample_names, asset);
	if (*number == LEAT_NAME_NONE ||
	    leat_grow(&oil->sample, &oil->sample_cap, oil->sample_names.count, sizeof(*oil->sample)) != 0 ||
	    leat_grow(&oil->touched, &oil->touch_cap, oil->sample_names.count, sizeof(*oil->touched)) != 0)
		return -1;
	if (*number >= count) {
		oil->sample[*number].asset = oil->sample_names.name[*number];
		oil->sample[*number].mill = mill;
	}
	return 0;
}

/* Finds out once what a series is. */
static int
resolve(struct leat_oils *oil, const struct leat_reading *r)
{
	struct leat_oils_series *s;
	struct leat_oils_mill *mill;
	struct leat_span asset = r->asset;

	if (leat_grow(&oil->series, &oil->series_cap, (size_t)r->series + 1, sizeof(*oil->series)) != 0)
		return -1;
	s = &oil->series[r->series];
	if (s->role != LEAT_OILS_ROLE_NEW)
		return 0;
	s->last = LEAT_TIME_NONE;
	s->role = (uint8_t)role_of(r, &s->quantity);
	if (s->role == LEAT_OILS_ROLE_MADE || s->role == LEAT_OILS_ROLE_SILENT)
		return 0;
	if (find_mill(oil, asset, &s->mill) != 0)
		return -1;
	mill = &oil->mill[s->mill];
	if (s->role == LEAT_OILS_ROLE_TEMPERATURE) {
		mill->temperature = r->series;
		mill->hold_s = leat_points_hold(oil->points, r->asset, r->point);
	} else if (s->role == LEAT_OILS_ROLE_TANK) {
		s->numeric = !leat_span_is(r->point, "state");
		*(leat_span_is(r->point, "level") ? &mill->level :
		    leat_span_is(r->point, "pressure") ? &mill->pressure : &mill->state) = r->series;
	} else if (s->role == LEAT_OILS_ROLE_SAMPLE) {
		s->bottle = leat_sampling_bottle(&asset);
		return find_sample(oil, asset, s->mill, &s->sample);
	}
	return 0;
}

static void
take_value(struct leat_oils *oil, const struct leat_oils_series *s, const struct leat_reading *r, double value)
{
	struct leat_oils_sample *sample = &oil->sample[s->sample];
	struct leat_oils_value *v = &sample->value[s->quantity];

	if (value < 0)
		return;
	if (!sample->touched) {
		sample->touched = true;
		oil->touched[oil->touches++] = s->sample;
	}
	/* Of two readings of one bottle the better counts, of equal ones the later. */
	if (v->has && (s->bottle < v->bottle || (s->bottle == v->bottle && r->quality < v->quality)))
		return;
	*v = (struct leat_oils_value){ true, s->bottle, value, r->quality };
}

/* What was filled in or let off.  The same amount in two files counts once. */
static void
take_amount(struct leat_oils *oil, struct leat_oils_series *s, const struct leat_reading *r, double litres)
{
	struct leat_oils_mill *mill = &oil->mill[s->mill];
	double volume_l = leat_oils_plate(oil, mill->asset, "tank-volume");

	if (!(litres > 0) || (!leat_time_is_none(s->last) && leat_time_cmp(s->last, r->time) == 0))
		return;
	s->last = r->time;
	leat_oils_integrate(oil, mill, r->time);
	if (s->role == LEAT_OILS_ROLE_DRAINED) {
		mill->drained_l += litres;
		return;
	}
	mill->topped_l += litres;
	for (size_t i = 0; i < oil->sample_names.count; i++)
		for (size_t m = 0; m < LEAT_OILS_METALS && oil->sample[i].mill == s->mill; m++)
			oil->sample[i].metal[m].kept *= leat_oil_kept(volume_l, litres);
}

static int
take_number(struct leat_oils *oil, struct leat_oils_series *s, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_oils_mill *mill = &oil->mill[s->mill];
	double value;
	/* Only points that are listed have a role. */
	int got = leat_quantity_of(r, leat_unit_find(leat_span_of(leat_point_find(r->point)->unit)), &value, err);

	if (got <= 0)
		return got;
	switch (s->role) {
	case LEAT_OILS_ROLE_TEMPERATURE:
		leat_oils_temperature(mill, r->time, value);
		break;
	case LEAT_OILS_ROLE_HOURS:
		mill->hours = value;
		mill->hours_at = r->time;
		break;
	case LEAT_OILS_ROLE_TOP_UP:
	case LEAT_OILS_ROLE_DRAINED:
		take_amount(oil, s, r, value);
		break;
	case LEAT_OILS_ROLE_SAMPLE:
		take_value(oil, s, r, value);
		break;
	default:
		break;
	}
	return 0;
}

static void
end_days(struct leat_oils *oil)
{
	for (size_t i = 0; i < oil->mill_names.count; i++)
		leat_oils_day_over(oil, &oil->mill[i]);
	oil->days++;
}

/* Writes what is due of the instant. */
static void
finish(struct leat_oils *oil)
{
	bool day_over = leat_time_cmp(oil->time, oil->day_end) == 0;

	if (oil->touches == 0 && oil->made.helds == 0 && !day_over)
		return;
	for (size_t i = 0; i < oil->touches; i++) {
		struct leat_oils_sample *sample = &oil->sample[oil->touched[i]];

		leat_oils_integrate(oil, &oil->mill[sample->mill], oil->time);
		leat_oils_sampled(oil, sample);
		oil->samples++;
	}
	oil->touches = 0;
	if (day_over)
		end_days(oil);
	leat_made_flush(&oil->made);
}

/* Goes on to the instant t. */
static void
go_on(struct leat_oils *oil, struct leat_time t)
{
	struct leat_time start;

	if (!leat_time_is_none(oil->time)) {
		finish(oil);
		if (leat_time_cmp(oil->time, oil->day_end) < 0 && leat_time_cmp(t, oil->day_end) > 0) {
			take_entries(oil, oil->day_end);
			oil->time = oil->made.time = oil->day_end;
			finish(oil);
		}
	}
	if (leat_time_is_none(oil->day_end) || leat_time_cmp(t, oil->day_end) > 0)
		leat_works_day_ending(oil->np, t, &start, &oil->day_end);
	take_entries(oil, t);
	oil->time = oil->made.time = t;
}

int
leat_oils_take(struct leat_oils *oil, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_oils_series *s;

	if (leat_time_is_none(oil->time) || leat_time_cmp(r->time, oil->time) != 0)
		go_on(oil, r->time);
	if (oil->made.no_memory ||
	    ((r->series >= oil->series_cap || oil->series[r->series].role == LEAT_OILS_ROLE_NEW) && resolve(oil, r) != 0))
		return leat_error_memory(err);
	s = &oil->series[r->series];
	if (s->role == LEAT_OILS_ROLE_MADE)
		return leat_made_hold(&oil->made, r) == 0 ? 0 : leat_error_memory(err);
	if (s->role >= LEAT_OILS_ROLE_OTHER && s->role <= LEAT_OILS_ROLE_TANK) {
		leat_oils_integrate(oil, &oil->mill[s->mill], r->time);
		if ((s->role == LEAT_OILS_ROLE_OTHER ? leat_current_pass : leat_current_put)(&oil->current, r) != 0)
			return leat_error_memory(err);
	}
	if (s->numeric || s->role == LEAT_OILS_ROLE_TEMPERATURE || s->role >= LEAT_OILS_ROLE_HOURS)
		return take_number(oil, s, r, err) == 0 ? 1 : -1;
	return 1;
}

int
leat_oils_end(struct leat_oils *oil, struct leat_error *err)
{
	if (!leat_time_is_none(oil->time))
		finish(oil);
	for (size_t i = 0; i < oil->mill_names.count; i++)
		leat_oils_tell_wanted(oil, &oil->mill[i]);
	return oil->made.no_memory ? leat_error_memory(err) : 0;
}

void
leat_oils_free(struct leat_oils *oil)
{
	free(oil->series);
	free(oil->mill);
	free(oil->sample);
	free(oil->touched);
	leat_made_free(&oil->made);
	leat_names_free(&oil->mill_names);
	leat_names_free(&oil->sample_names);
	leat_current_free(&oil->current);
}
