/* Coolers: the stream and the flow of time. */
#include <math.h>
#include <stdlib.h>

#include "derive/cooler_private.h"

enum role {
	ROLE_NEW,
	ROLE_MADE,		/* of a cooler, made here */
	ROLE_MADE_MILL,		/* of a mill, likewise */
	ROLE_SILENT,		/* made by any filter: no sign that the mill's instruments report */
	ROLE_SIGN,		/* of no use but that: they do */
	ROLE_VALUE,
	ROLE_SIGNAL,		/* of a cooler: hunting may be looked for in it */
	ROLE_CHARGING
};

/* Private: what a series is. */
struct leat_coolers_series {
	uint8_t role;
	size_t mill, unit;
};

int
leat_coolers_init(struct leat_coolers *coolers)
{
	coolers->days = coolers->added = coolers->replaced = 0;
	coolers->coolers = coolers->resolved = 0;
	coolers->mill_cap = coolers->unit_cap = coolers->series_cap = 0;
	coolers->mill = NULL;
	coolers->unit = NULL;
	coolers->series = NULL;
	coolers->last = LEAT_TIME_NONE;
	memset(&coolers->mill_names, 0, sizeof(coolers->mill_names));
	memset(&coolers->cooler_names, 0, sizeof(coolers->cooler_names));
	coolers->lpm = leat_unit_find(LEAT_SPAN("L/min"));
	coolers->degc = leat_unit_find(LEAT_SPAN("degC"));
	coolers->bar = leat_unit_find(LEAT_SPAN("bar"));
	leat_minutes_init(&coolers->minutes);
	leat_current_init(&coolers->current, coolers->in, coolers->points);
	coolers->grinding_word = leat_current_word(&coolers->current, LEAT_SPAN("grinding"));
	return coolers->grinding_word == LEAT_NAME_NONE ? -1 : 0;
}

static enum role
role_of(const struct leat_reading *r)
{
	static const char *const value[] = {
		"state", "internal-leakage", "oil-temperature", "water-in-temperature", "water-out-temperature", "oil-flow",
		"water-flow", "ambient-temperature", "pressure", "pump-pressure", "drain-flow", "pump-running"
	};

	if (leat_coolers_makes(r->point, false))
		return ROLE_MADE;
	if (leat_coolers_makes(r->point, true))
		return ROLE_MADE_MILL;
	if (leat_span_is(r->point, "oil-in-temperature") || leat_span_is(r->point, "oil-out-temperature"))
		return ROLE_SIGNAL;
	if (leat_span_is(r->point, "charging") && leat_span_find(r->asset, '/') == r->asset.len)
		return ROLE_CHARGING;
	for (size_t i = 0; i < sizeof(value) / sizeof(value[0]); i++)
		if (leat_span_is(r->point, value[i]))
			return ROLE_VALUE;
	return leat_point_derived(r->point) ? ROLE_SILENT : ROLE_SIGN;
}

static int
find_mill(struct leat_coolers *coolers, struct leat_span asset, size_t *number)
{
	size_t count = coolers->mill_names.count;
	uint32_t id = leat_names_put(&coolers->mill_names, leat_asset_mill(asset));
	struct leat_coolers_mill *mill;

	if (id == LEAT_NAME_NONE ||
	    leat_grow(&coolers->mill, &coolers->mill_cap, coolers->mill_names.count, sizeof(*coolers->mill)) != 0)
		return -1;
	*number = id;
	if (id < count)
		return 0;
	mill = &coolers->mill[id];
	mill->asset = coolers->mill_names.name[id];
	mill->state = mill->tank = mill->charging = mill->leakage = mill->press = LEAT_NAME_NONE;
	mill->valve = -1;
	return 0;
}

static int
find_cooler(struct leat_coolers *coolers, struct leat_span asset, size_t mill, size_t *number)
{
	size_t count = coolers->cooler_names.count;
	uint32_t id = leat_names_put(&coolers->cooler_names, asset);
	struct leat_coolers_unit *unit;

	if (id == LEAT_NAME_NONE ||
	    leat_grow(&coolers->unit, &coolers->unit_cap, coolers->cooler_names.count, sizeof(struct leat_coolers_unit *)) != 0)
		return -1;
	*number = id;
	if (id < count)
		return 0;
	/* By itself, for a record is large and growing moves it. */
	unit = coolers->unit[id] = calloc(1, sizeof(*unit));
	if (unit == NULL)
		return -1;
	unit->asset = coolers->cooler_names.name[id];
	unit->mill = mill;
	for (size_t i = 0; i < LEAT_COOLERS_SLOTS; i++)
		unit->series[i] = LEAT_NAME_NONE;
	unit->seen_ua = NAN;
	unit->seen_at = LEAT_TIME_NONE;
	unit->run.number = INT64_MIN;
	leat_swing_init(&unit->swing);
	coolers->mill[mill].coolers++;
	coolers->coolers++;
	return 0;
}

/* Finds out once what a series is. */
static int
prepare(struct leat_coolers *coolers, const struct leat_reading *r)
{
	struct leat_coolers_series *series;

	if (leat_grow(&coolers->series, &coolers->series_cap, (size_t)r->series + 1, sizeof(*coolers->series)) != 0)
		return -1;
	series = &coolers->series[r->series];
	if (series->role != ROLE_NEW)
		return 0;
	if (find_mill(coolers, r->asset, &series->mill) != 0)
		return -1;
	series->role = (uint8_t)role_of(r);
	return series->role == ROLE_SIGNAL ? find_cooler(coolers, r->asset, series->mill, &series->unit) : 0;
}

/* The day is over.  One of which the stream has but the last instant has no rows. */
static void
end_day(struct leat_coolers *coolers)
{
	bool seen = leat_minutes_day_seen(&coolers->minutes);

	for (size_t i = 0; i < coolers->cooler_names.count; i++) {
		struct leat_coolers_unit *unit = coolers->unit[i];

		leat_coolers_end_spell(coolers, unit);
		if (unit->grinding > 0 && seen)
			leat_coolers_write_day(coolers, unit);
		unit->grinding = unit->swung = unit->swung_uncertain = 0;
		memset(unit->refused, 0, sizeof(unit->refused));
		unit->spells = 0;
		leat_swing_day(&unit->swing);
	}
	for (size_t i = 0; i < coolers->mill_names.count; i++) {
		struct leat_coolers_mill *mill = &coolers->mill[i];

		if (mill->grinding > 0 && mill->tank != LEAT_NAME_NONE && seen)
			leat_coolers_write_tank(coolers, mill);
		mill->grinding = mill->known = mill->in_band = mill->above = mill->uncertain = 0;
		mill->above_k_min = 0;
	}
}

static bool
day_has(const struct leat_coolers *coolers)
{
	for (size_t i = 0; i < coolers->mill_names.count; i++)
		if (coolers->mill[i].grinding > 0)
			return true;
	for (size_t i = 0; i < coolers->cooler_names.count; i++)
		if (coolers->unit[i]->grinding > 0)
			return true;
	return false;
}

/* Looks at a minute of all.  *any becomes true when it is known of one mill whether it grinds. */
static int
look(struct leat_coolers *coolers, bool *any, struct leat_error *err)
{
	for (size_t i = 0; i < coolers->mill_names.count; i++) {
		struct leat_coolers_mill *mill = &coolers->mill[i];
		bool uncertain = false;
		int grinds = leat_coolers_grinds(coolers, mill, &uncertain);

		*any = *any || grinds >= 0;
		if (grinds > 0 && mill->tank != LEAT_NAME_NONE && leat_coolers_look_tank(coolers, mill, err) != 0)
			return -1;
		for (size_t c = 0; c < coolers->cooler_names.count && mill->coolers > 0; c++)
			if (coolers->unit[c]->mill == i &&
			    leat_coolers_look(coolers, coolers->unit[c], grinds > 0, uncertain, err) != 0)
				return -1;
	}
	return 0;
}

static void
resolve(struct leat_coolers *coolers)
{
	if (coolers->resolved == coolers->current.seen)
		return;
	coolers->resolved = coolers->current.seen;
	leat_coolers_resolve(coolers);
}

static int
advance(struct leat_coolers *coolers, struct leat_time until, struct leat_error *err)
{
	while (leat_minutes_more(&coolers->minutes, coolers->np, until)) {
		bool any = false;

		resolve(coolers);
		if (look(coolers, &any, err) != 0)
			return -1;
		if (leat_minutes_day_ends(&coolers->minutes))
			end_day(coolers);
		leat_minutes_next(&coolers->minutes, until, !any, day_has(coolers));
	}
	return 0;
}

/* A change of the charging valve: a pump-up begins where it opens. */
static void
take_valve(struct leat_coolers *coolers, size_t number, const struct leat_reading *r)
{
	struct leat_coolers_mill *mill = &coolers->mill[number];
	int valve = r->quality == LEAT_BAD ? -1 : leat_latest_switch(&coolers->current, &coolers->current.latest[r->series]);

	for (size_t i = 0; i < coolers->cooler_names.count && valve == 1 && mill->valve == 0; i++)
		if (coolers->unit[i]->mill == number)
			leat_swing_pump_up(&coolers->unit[i]->swing, leat_minute_before(r->time).sec / LEAT_MINUTE_S);
	if (valve >= 0)
		mill->valve = valve;
}

/* Is it a row of a cooler or mill that is made here, and of a day that is seen? */
static bool
is_made(const struct leat_coolers *coolers, const struct leat_reading *r, enum role role)
{
	uint32_t number = leat_names_get(role == ROLE_MADE ? &coolers->cooler_names : &coolers->mill_names, r->asset);

	if (number == LEAT_NAME_NONE || leat_time_cmp(coolers->minutes.begin, r->time) >= 0)
		return false;
	return role == ROLE_MADE ? coolers->mill[coolers->unit[number]->mill].state != LEAT_NAME_NONE :
	    coolers->mill[number].state != LEAT_NAME_NONE && coolers->mill[number].tank != LEAT_NAME_NONE;
}

int
leat_coolers_take(struct leat_coolers *coolers, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_coolers_series *series;
	struct leat_time before = LEAT_TIME_NONE;

	leat_minutes_begin(&coolers->minutes, r->time);
	if (leat_time_cmp(coolers->minutes.at, r->time) < 0 && advance(coolers, r->time, err) != 0)
		return -1;
	coolers->last = r->time;
	if ((r->series >= coolers->series_cap || coolers->series[r->series].role == ROLE_NEW) && prepare(coolers, r) != 0)
		return leat_error_memory(err);
	series = &coolers->series[r->series];
	if (series->role == ROLE_MADE || series->role == ROLE_MADE_MILL) {
		resolve(coolers);
		if (!is_made(coolers, r, series->role))
			return 1;
		coolers->replaced++;
		return 0;
	}
	if (series->role == ROLE_SILENT)
		return 1;
	if (series->role == ROLE_SIGNAL && r->series < coolers->current.cap && coolers->current.latest[r->series].seen)
		before = coolers->current.latest[r->series].time;
	if ((series->role == ROLE_SIGN ? leat_current_pass : leat_current_put)(&coolers->current, r) != 0)
		return leat_error_memory(err);
	if (series->role == ROLE_CHARGING)
		take_valve(coolers, series->mill, r);
	else if (series->role == ROLE_SIGNAL && r->quality != LEAT_BAD && !leat_time_is_none(before) &&
	    r->series == leat_coolers_signal(coolers->unit[series->unit]))
		leat_swing_step(&coolers->unit[series->unit]->swing, leat_time_diff(r->time, before));
	return 1;
}

int
leat_coolers_end(struct leat_coolers *coolers, struct leat_time now, struct leat_error *err)
{
	bool state = false;

	if (leat_time_is_none(coolers->minutes.at))
		return 0;
	if (advance(coolers, leat_minutes_end(coolers->last, now), err) != 0)
		return -1;
	resolve(coolers);
	for (size_t i = 0; i < coolers->mill_names.count; i++)
		state = state || coolers->mill[i].state != LEAT_NAME_NONE;
	if (coolers->coolers > 0 && !state && coolers->warn != NULL)
		coolers->warn("no readings named state: run leat-state before, coolers are looked at while the mill grinds");
	return 0;
}

void
leat_coolers_free(struct leat_coolers *coolers)
{
	for (size_t i = 0; i < coolers->cooler_names.count && i < coolers->unit_cap; i++)
		free(coolers->unit[i]);
	free(coolers->unit);
	free(coolers->mill);
	free(coolers->series);
	leat_names_free(&coolers->mill_names);
	leat_names_free(&coolers->cooler_names);
	leat_current_free(&coolers->current);
}
