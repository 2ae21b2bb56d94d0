/* Filter elements: the stream and the flow of time. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "derive/element_private.h"

enum role {
	ROLE_NEW,
	ROLE_MADE,		/* a row of a filter, made here */
	ROLE_SILENT,		/* made by any filter: no sign that the mill's instruments report */
	ROLE_SIGN,		/* of no use but that: they do */
	ROLE_VALUE,
	ROLE_LABORATORY
};

void
leat_elements_tell(const struct leat_elements *elements, const char *text)
{
	if (elements->warn != NULL)
		elements->warn(text);
}

void
leat_elements_init(struct leat_elements *elements)
{
	elements->replaced = elements->added = elements->days = elements->changes = 0;
	elements->filters = 0;
	leat_current_init(&elements->current, elements->in, elements->points);
	elements->bar = leat_unit_find(LEAT_SPAN("bar"));
	elements->lpm = leat_unit_find(LEAT_SPAN("L/min"));
	elements->degc = leat_unit_find(LEAT_SPAN("degC"));
	memset(&elements->mill_names, 0, sizeof(elements->mill_names));
	memset(&elements->filter_names, 0, sizeof(elements->filter_names));
	elements->mill = NULL;
	elements->filter = NULL;
	elements->series = NULL;
	elements->mill_cap = elements->filter_cap = elements->series_cap = elements->resolved = 0;
	elements->resolved_until = elements->last = LEAT_TIME_NONE;
	leat_minutes_init(&elements->minutes);
}

static enum role
role_of(const struct leat_reading *r)
{
	static const char *const value[] = { "filter-dp", "oil-flow", "oil-temperature", "pump-running" };

	for (size_t i = 0; leat_elements_made[i] != NULL; i++)
		if (leat_span_is(r->point, leat_elements_made[i]))
			return ROLE_MADE;
	if (leat_span_is(r->point, "viscosity-40"))
		return ROLE_LABORATORY;
	for (size_t i = 0; i < sizeof(value) / sizeof(value[0]); i++)
		if (leat_span_is(r->point, value[i]))
			return ROLE_VALUE;
	return leat_point_derived(r->point) ? ROLE_SILENT : ROLE_SIGN;
}

static int
find_mill(struct leat_elements *elements, struct leat_span asset, size_t *number)
{
	size_t count = elements->mill_names.count;
	uint32_t id = leat_names_put(&elements->mill_names, leat_asset_mill(asset));
	struct leat_elements_mill *mill;

	if (id == LEAT_NAME_NONE ||
	    leat_grow(&elements->mill, &elements->mill_cap, elements->mill_names.count, sizeof(*elements->mill)) != 0)
		return -1;
	*number = id;
	if (id < count)
		return 0;
	mill = &elements->mill[id];
	mill->asset = elements->mill_names.name[id];
	leat_oil_sheet_init(&mill->sheet);
	mill->first_filter = SIZE_MAX;
	return 0;
}

static int
add_filter(struct leat_elements *elements, const struct leat_reading *r, size_t mill)
{
	uint32_t id = leat_names_put(&elements->filter_names, r->asset);
	struct leat_elements_filter *filter;

	if (id == LEAT_NAME_NONE ||
	    leat_grow(&elements->filter, &elements->filter_cap, elements->filter_names.count, sizeof(*elements->filter)) != 0)
		return -1;
	filter = &elements->filter[id];
	filter->asset = elements->filter_names.name[id];
	filter->mill = mill;
	filter->next_of_mill = elements->mill[mill].first_filter;
	elements->mill[mill].first_filter = id;
	filter->dp = r->series;
	filter->flow = filter->heat = filter->pump = LEAT_NAME_NONE;
	filter->on_since = filter->known_at = filter->life.since = filter->before_time = LEAT_TIME_NONE;
	filter->last_bar = filter->before_bar = NAN;
	return 0;
}

static int
add_pump(struct leat_elements_mill *mill, uint32_t series)
{
	if (leat_grow(&mill->pump, &mill->pump_cap, mill->pumps + 1, sizeof(*mill->pump)) != 0)
		return -1;
	mill->pump[mill->pumps++] = series;
	return 0;
}

/* Finds out once what a series is. */
static int
prepare(struct leat_elements *elements, const struct leat_reading *r)
{
	struct leat_elements_series *series;

	if (leat_grow(&elements->series, &elements->series_cap, (size_t)r->series + 1, sizeof(*elements->series)) != 0)
		return -1;
	series = &elements->series[r->series];
	if (series->role != ROLE_NEW)
		return 0;
	if (find_mill(elements, r->asset, &series->mill) != 0)
		return -1;
	if (leat_span_is(r->point, "filter-dp") && add_filter(elements, r, series->mill) != 0)
		return -1;
	if (leat_span_is(r->point, "pump-running") && add_pump(&elements->mill[series->mill], r->series) != 0)
		return -1;
	series->role = (uint8_t)role_of(r);
	return 0;
}

/* The day is over.  One of which the stream has but the last instant has no rows. */
static void
end_day(struct leat_elements *elements)
{
	bool seen = leat_minutes_day_seen(&elements->minutes);

	for (size_t i = 0; i < elements->filter_names.count; i++) {
		if (leat_elements_has_rows(&elements->filter[i]) && seen)
			leat_elements_write_day(elements, &elements->filter[i]);
		else
			leat_elements_empty_day(&elements->filter[i].day);
	}
}

static bool
day_has_rows(const struct leat_elements *elements)
{
	for (size_t i = 0; i < elements->filter_names.count; i++)
		if (leat_elements_has_rows(&elements->filter[i]))
			return true;
	return false;
}

static void
resolve(struct leat_elements *elements)
{
	if (elements->resolved == elements->current.seen && (leat_time_is_none(elements->resolved_until) ||
	    leat_time_cmp(elements->minutes.at, elements->resolved_until) < 0))
		return;
	leat_elements_resolve(elements);
	elements->resolved = elements->current.seen;
	elements->resolved_until = leat_nameplate_next(elements->np, elements->minutes.at);
}

/* Looks at all filters in every minute before until.  Where it is not known of any whether its loop runs, minutes are left
 * out. */
static int
advance(struct leat_elements *elements, struct leat_time until, struct leat_error *err)
{
	while (leat_minutes_more(&elements->minutes, elements->np, until)) {
		bool any = false;

		resolve(elements);
		for (size_t i = 0; i < elements->filter_names.count; i++)
			if (leat_elements_look(elements, &elements->filter[i], elements->minutes.at, &any, err) != 0)
				return -1;
		if (leat_minutes_day_ends(&elements->minutes))
			end_day(elements);
		leat_minutes_next(&elements->minutes, until, !any, !any && day_has_rows(elements));
	}
	return 0;
}

/* Is it a row of a filter that is looked at here, and of a day that is seen? */
static bool
is_made(const struct leat_elements *elements, const struct leat_reading *r)
{
	uint32_t filter = leat_names_get(&elements->filter_names, r->asset);

	return filter != LEAT_NAME_NONE && elements->filter[filter].plate.given &&
	    leat_time_cmp(elements->minutes.begin, r->time) < 0;
}

int
leat_elements_take(struct leat_elements *elements, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_elements_series *series;

	leat_minutes_begin(&elements->minutes, r->time);
	if (leat_time_cmp(elements->minutes.at, r->time) < 0 && advance(elements, r->time, err) != 0)
		return -1;
	elements->last = r->time;
	if ((r->series >= elements->series_cap || elements->series[r->series].role == ROLE_NEW) && prepare(elements, r) != 0)
		return leat_error_memory(err);
	series = &elements->series[r->series];
	if (series->role == ROLE_MADE) {
		resolve(elements);
		if (!is_made(elements, r))
			return 1;
		elements->replaced++;
		return 0;
	}
	if (series->role == ROLE_SILENT)
		return 1;
	if ((series->role == ROLE_SIGN ? leat_current_pass : leat_current_put)(&elements->current, r) != 0)
		return leat_error_memory(err);
	if (series->role == ROLE_LABORATORY)
		return leat_oil_sheet_take(&elements->mill[series->mill].sheet, elements->in, r, err) == 0 ? 1 : -1;
	return 1;
}

/* Says which pumps the nameplate names that no reading ever told of. */
static void
tell_pumps(const struct leat_elements *elements)
{
	char text[320];

	for (size_t i = 0; i < elements->filter_names.count; i++) {
		const struct leat_elements_filter *filter = &elements->filter[i];

		if (!filter->plate.given || filter->loop_pump.len == 0 || filter->pump != LEAT_NAME_NONE ||
		    filter->flow != LEAT_NAME_NONE)
			continue;
		snprintf(text, sizeof(text), "it is not known when the loop of '%.*s' runs: its 'loop-pump' '%.*s' has no readings "
		    "named pump-running", (int)filter->asset.len, filter->asset.ptr, (int)filter->loop_pump.len,
		    filter->loop_pump.ptr);
		leat_elements_tell(elements, text);
	}
}

int
leat_elements_end(struct leat_elements *elements, struct leat_time now, struct leat_error *err)
{
	if (leat_time_is_none(elements->minutes.at))
		return 0;
	if (advance(elements, leat_minutes_end(elements->last, now), err) != 0)
		return -1;
	tell_pumps(elements);
	return 0;
}

void
leat_elements_free(struct leat_elements *elements)
{
	for (size_t i = 0; i < elements->filter_names.count && i < elements->filter_cap; i++)
		free(elements->filter[i].day.minute);
	for (size_t i = 0; i < elements->mill_names.count && i < elements->mill_cap; i++)
		free(elements->mill[i].pump);
	free(elements->mill);
	free(elements->filter);
	free(elements->series);
	leat_names_free(&elements->mill_names);
	leat_names_free(&elements->filter_names);
	leat_current_free(&elements->current);
}
