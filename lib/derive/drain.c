/* Corrected case drain flow: the stream and the flow of time. */
#include <math.h>
#include <stdlib.h>

#include "derive/drain_private.h"

enum role {
	ROLE_NEW,
	ROLE_MADE,		/* a row of a pump, made here */
	ROLE_SILENT,		/* made by any filter: no sign that the mill's instruments report */
	ROLE_SIGN,		/* of no use but that: they do */
	ROLE_VALUE,
	ROLE_RUNNING,
	ROLE_CHARGING,
	ROLE_LABORATORY
};

void
leat_drain_tell(const struct leat_drain *drain, const char *text)
{
	if (drain->warn != NULL)
		drain->warn(text);
}

void
leat_drain_init(struct leat_drain *drain)
{
	drain->replaced = drain->added = drain->days = 0;
	drain->metered = 0;
	leat_current_init(&drain->current, drain->in, drain->points);
	drain->bar = leat_unit_find(LEAT_SPAN("bar"));
	drain->lpm = leat_unit_find(LEAT_SPAN("L/min"));
	drain->degc = leat_unit_find(LEAT_SPAN("degC"));
	memset(&drain->mill_names, 0, sizeof(drain->mill_names));
	memset(&drain->pump_names, 0, sizeof(drain->pump_names));
	drain->mill = NULL;
	drain->pump = NULL;
	drain->series = NULL;
	drain->warmth = NULL;
	drain->mill_cap = drain->pump_cap = drain->series_cap = drain->warmth_cap = drain->warmths = drain->resolved = 0;
	drain->resolved_until = drain->last = LEAT_TIME_NONE;
	leat_minutes_init(&drain->minutes);
}

static enum role
role_of(const struct leat_reading *r)
{
	static const char *const made[] = { "drain-flow-corrected", "slot-flow", "drain-flow-corrected.coverage" };
	static const char *const value[] = {
		"drain-flow", "pump-pressure", "pressure", "drain-temperature", "oil-temperature"
	};

	for (size_t i = 0; i < sizeof(made) / sizeof(made[0]); i++)
		if (leat_span_is(r->point, made[i]))
			return ROLE_MADE;
	if (leat_span_is(r->point, "pump-running"))
		return ROLE_RUNNING;
	if (leat_span_is(r->point, "charging") && leat_span_find(r->asset, '/') == r->asset.len)
		return ROLE_CHARGING;
	if (leat_span_is(r->point, "viscosity-40"))
		return ROLE_LABORATORY;
	for (size_t i = 0; i < sizeof(value) / sizeof(value[0]); i++)
		if (leat_span_is(r->point, value[i]))
			return ROLE_VALUE;
	return leat_point_derived(r->point) ? ROLE_SILENT : ROLE_SIGN;
}

/* The pump of an asset, new if need be. */
static int
find_pump(struct leat_drain *drain, const struct leat_reading *r, size_t mill, size_t *number)
{
	size_t count = drain->pump_names.count;
	uint32_t id = leat_names_put(&drain->pump_names, r->asset);
	struct leat_drain_pump *pump;

	if (id == LEAT_NAME_NONE ||
	    leat_grow(&drain->pump, &drain->pump_cap, drain->pump_names.count, sizeof(*drain->pump)) != 0)
		return -1;
	*number = id;
	if (id < count)
		return 0;
	pump = &drain->pump[id];
	pump->asset = drain->pump_names.name[id];
	pump->mill = mill;
	pump->next_of_mill = drain->mill[mill].first_pump;
	drain->mill[mill].first_pump = id;
	pump->running = r->series;
	pump->meter = LEAT_NAME_NONE;
	pump->warmth = SIZE_MAX;
	pump->on_since = LEAT_TIME_NONE;
	pump->fit.running = INT64_MIN;
	return 0;
}

static int
find_mill(struct leat_drain *drain, struct leat_span asset, size_t *number)
{
	size_t count = drain->mill_names.count;
	uint32_t id = leat_names_put(&drain->mill_names, leat_asset_mill(asset));
	struct leat_drain_mill *mill;

	if (id == LEAT_NAME_NONE ||
	    leat_grow(&drain->mill, &drain->mill_cap, drain->mill_names.count, sizeof(*drain->mill)) != 0)
		return -1;
	*number = id;
	if (id < count)
		return 0;
	mill = &drain->mill[id];
	mill->asset = drain->mill_names.name[id];
	mill->charging = LEAT_NAME_NONE;
	mill->valve = -1;
	mill->moved = LEAT_TIME_NONE;
	leat_oil_sheet_init(&mill->sheet);
	mill->first_pump = SIZE_MAX;
	return 0;
}

/* Finds out once what a series is. */
static int
prepare(struct leat_drain *drain, const struct leat_reading *r)
{
	struct leat_drain_series *series;

	if (leat_grow(&drain->series, &drain->series_cap, (size_t)r->series + 1, sizeof(*drain->series)) != 0)
		return -1;
	series = &drain->series[r->series];
	if (series->role != ROLE_NEW)
		return 0;
	if (find_mill(drain, r->asset, &series->mill) != 0)
		return -1;
	series->role = (uint8_t)role_of(r);
	if (series->role == ROLE_CHARGING)
		drain->mill[series->mill].charging = r->series;
	return series->role == ROLE_RUNNING ? find_pump(drain, r, series->mill, &series->pump) : 0;
}

/* The day is over.  One of which the stream has but the last instant has no rows. */
static void
end_day(struct leat_drain *drain)
{
	bool seen = leat_minutes_day_seen(&drain->minutes);

	for (size_t i = 0; drain->fit_hours == 0 && i < drain->pump_names.count; i++) {
		if (drain->pump[i].day.on > 0 && seen)
			leat_drain_write_day(drain, &drain->pump[i]);
		else
			leat_drain_empty_day(&drain->pump[i].day);
	}
}

static bool
day_has_minutes(const struct leat_drain *drain)
{
	for (size_t i = 0; i < drain->pump_names.count; i++)
		if (drain->pump[i].day.on > 0)
			return true;
	return false;
}

static int
resolve(struct leat_drain *drain)
{
	bool stands = drain->resolved == drain->current.seen && (leat_time_is_none(drain->resolved_until) ||
	    leat_time_cmp(drain->minutes.at, drain->resolved_until) < 0);

	return stands ? 0 : leat_drain_resolve(drain);
}

/* Looks at all pumps in every minute before until.  Where it is not known of any whether it runs, minutes are left out. */
static int
advance(struct leat_drain *drain, struct leat_time until, struct leat_error *err)
{
	while (leat_minutes_more(&drain->minutes, drain->np, until)) {
		bool any = false;

		if (resolve(drain) != 0)
			return leat_error_memory(err);
		for (size_t i = 0; i < drain->pump_names.count; i++)
			if (leat_drain_look(drain, &drain->pump[i], drain->minutes.at, &any, err) != 0)
				return -1;
		if (leat_minutes_day_ends(&drain->minutes))
			end_day(drain);
		leat_minutes_next(&drain->minutes, until, !any, !any && day_has_minutes(drain));
	}
	return 0;
}

/* A change of the charging valve. */
static void
take_valve(struct leat_drain *drain, struct leat_drain_mill *mill, const struct leat_reading *r)
{
	int valve = r->quality == LEAT_BAD ? -1 : leat_latest_switch(&drain->current, &drain->current.latest[r->series]);

	if (valve >= 0 && mill->valve >= 0 && valve != mill->valve)
		mill->moved = r->time;
	if (valve >= 0)
		mill->valve = valve;
}

/* Is it a row of a pump whose drain flow is corrected here, or was earlier in the day, and of a day that is seen? */
static bool
is_made(const struct leat_drain *drain, const struct leat_reading *r)
{
	uint32_t pump = leat_names_get(&drain->pump_names, r->asset);

	return pump != LEAT_NAME_NONE && (drain->pump[pump].meter != LEAT_NAME_NONE || drain->pump[pump].day.on > 0) &&
	    leat_time_cmp(drain->minutes.begin, r->time) < 0;
}

int
leat_drain_take(struct leat_drain *drain, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_drain_series *series;

	leat_minutes_begin(&drain->minutes, r->time);
	if (leat_time_cmp(drain->minutes.at, r->time) < 0 && advance(drain, r->time, err) != 0)
		return -1;
	drain->last = r->time;
	if ((r->series >= drain->series_cap || drain->series[r->series].role == ROLE_NEW) && prepare(drain, r) != 0)
		return leat_error_memory(err);
	series = &drain->series[r->series];
	if (series->role == ROLE_MADE && resolve(drain) != 0)
		return leat_error_memory(err);
	if (series->role == ROLE_MADE && is_made(drain, r)) {
		drain->replaced++;
		return 0;
	}
	if (series->role == ROLE_MADE || series->role == ROLE_SILENT)
		return 1;
	if ((series->role == ROLE_SIGN ? leat_current_pass : leat_current_put)(&drain->current, r) != 0)
		return leat_error_memory(err);
	if (series->role == ROLE_SIGN || series->role == ROLE_VALUE)
		return 1;
	if (series->role == ROLE_CHARGING)
		take_valve(drain, &drain->mill[series->mill], r);
	else if (series->role == ROLE_LABORATORY)
		return leat_oil_sheet_take(&drain->mill[series->mill].sheet, drain->in, r, err) == 0 ? 1 : -1;
	else if (r->quality != LEAT_BAD && leat_latest_switch(&drain->current, &drain->current.latest[r->series]) == 0)
		/* A stop between two whole minutes is one. */
		drain->pump[series->pump].on_since = LEAT_TIME_NONE;
	return 1;
}

int
leat_drain_end(struct leat_drain *drain, struct leat_time now, struct leat_error *err)
{
	if (leat_time_is_none(drain->minutes.at))
		return 0;
	if (advance(drain, leat_minutes_end(drain->last, now), err) != 0)
		return -1;
	if (resolve(drain) != 0)
		return leat_error_memory(err);
	for (size_t i = 0; drain->fit_hours > 0 && i < drain->pump_names.count; i++)
		if (leat_drain_fit_write(drain, &drain->pump[i]) != 0)
			return leat_error_memory(err);
	return 0;
}

void
leat_drain_free(struct leat_drain *drain)
{
	for (size_t i = 0; i < drain->pump_names.count && i < drain->pump_cap; i++) {
		free(drain->pump[i].day.minute);
		free(drain->pump[i].fit.hour);
	}
	free(drain->mill);
	free(drain->pump);
	free(drain->series);
	free(drain->warmth);
	leat_names_free(&drain->mill_names);
	leat_names_free(&drain->pump_names);
	leat_current_free(&drain->current);
}
