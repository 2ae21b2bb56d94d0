/* Attainment: the stream and the flow of time. */
#include <stdlib.h>

#include "derive/attain_private.h"
#include "derive/works_day.h"
#include "stream/quantity.h"

enum role {
	ROLE_NEW,
	ROLE_MADE,		/* a row that is made here */
	ROLE_SILENT,		/* made by another filter: no sign that the mill's instruments report */
	ROLE_OTHER,
	ROLE_TRACK		/* a pressure that is followed */
};

int
leat_attain_init(struct leat_attain *attain)
{
	attain->replaced = attain->added = attain->days = 0;
	attain->pressed = attain->stated = 0;
	leat_current_init(&attain->current, attain->in, attain->points);
	leat_mills_init(&attain->mills, &leat_attain_form, &attain->current);
	attain->own = NULL;
	attain->series = NULL;
	attain->own_cap = attain->series_cap = 0;
	memset(&attain->name, 0, sizeof(attain->name));
	attain->last = attain->day_start = attain->day_end = LEAT_TIME_NONE;
	memset(attain->lack, 0, sizeof(attain->lack));
	attain->bar = leat_unit_find(LEAT_SPAN("bar"));
	attain->degc = leat_unit_find(LEAT_SPAN("degC"));
	attain->grinding = leat_current_word(&attain->current, LEAT_SPAN("grinding"));
	attain->unknown = leat_current_word(&attain->current, LEAT_SPAN("unknown"));
	return attain->grinding != LEAT_NAME_NONE && attain->unknown != LEAT_NAME_NONE ? 0 : -1;
}

static bool
is_made_point(struct leat_span point)
{
	static const char *const made[] = {
		"compensator-pressure-observed", "compensator-shift", "grinding-hours", "pressure-deviation",
		"pressure-deviation.p10", "pressure-attainment",
		"pressure-attainment.coverage", "pressure-low-spell", "pressure-spread", "pressure-spread.max",
		"grinding-force", "setpoint-shift",
		"relief-margin", "relief-time", "compensator-margin"
	};

	for (size_t i = 0; i < sizeof(made) / sizeof(made[0]); i++)
		if (leat_span_is(point, made[i]))
			return true;
	return false;
}

/* The part of an asset below its mill: "" for the mill itself. */
static struct leat_span
part_of(struct leat_span asset)
{
	size_t slash = leat_span_find(asset, '/');

	return slash == asset.len ? leat_span_make(asset.ptr + slash, 0) :
	    leat_span_make(asset.ptr + slash + 1, asset.len - slash - 1);
}

/* Is it a pressure that is followed? */
static bool
is_tracked(const struct leat_reading *r, enum leat_attain_side *side)
{
	struct leat_span part = part_of(r->asset);
	bool whole = leat_span_find(part, '/') == part.len;

	*side = leat_span_is(r->point, "pump-pressure") ? LEAT_ATTAIN_PUMP :
	    leat_span_is(r->point, "head-pressure") ? LEAT_ATTAIN_HEAD : LEAT_ATTAIN_PRESS;
	if (*side == LEAT_ATTAIN_PRESS && !leat_span_is(r->point, "pressure"))
		return false;
	return part.len == 0 || (whole && leat_span_starts(part, *side == LEAT_ATTAIN_PUMP ? "pump" : "cyl"));
}

static enum role
role_of(const struct leat_reading *r)
{
	enum leat_attain_side side;

	if (is_made_point(r->point))
		return ROLE_MADE;
	if (is_tracked(r, &side))
		return ROLE_TRACK;
	if (leat_span_is(r->point, "state") && part_of(r->asset).len == 0)
		return ROLE_OTHER;
	return leat_point_derived(r->point) ? ROLE_SILENT : ROLE_OTHER;
}

static int
add_track(struct leat_attain *attain, const struct leat_reading *r, struct leat_attain_series *series)
{
	struct leat_attain_mill *own = &attain->own[series->mill];
	struct leat_attain_track *track;

	if (leat_grow(&own->track, &own->track_cap, own->tracks + 1, sizeof(*own->track)) != 0)
		return -1;
	series->track = own->tracks++;
	track = &own->track[series->track];
	is_tracked(r, &track->side);
	track->own = part_of(r->asset).len == 0;
	track->asset = leat_readings_assets(attain->in)->name[r->asset_id];
	track->series = r->series;
	track->hold_s = attain->current.latest[r->series].hold_s;
	return 0;
}

/* A pump of the mill is remembered, for the margin of its compensator. */
static int
add_pump(struct leat_attain *attain, const struct leat_reading *r, struct leat_attain_mill *own)
{
	struct leat_span part = part_of(r->asset);

	if (!leat_span_starts(part, "pump") || leat_span_find(part, '/') < part.len)
		return 0;
	for (size_t i = 0; i < own->pumps; i++)
		if (leat_span_eq(own->pump[i], r->asset))
			return 0;
	if (leat_grow(&own->pump, &own->pump_cap, own->pumps + 1, sizeof(*own->pump)) != 0)
		return -1;
	own->pump[own->pumps++] = leat_readings_assets(attain->in)->name[r->asset_id];
	return 0;
}

/* Finds out once what a series is to its mill. */
static int
prepare(struct leat_attain *attain, const struct leat_reading *r, struct leat_attain_series *series)
{
	series->mill = attain->mills.of_series[r->series].mill;
	if (leat_grow(&attain->own, &attain->own_cap, attain->mills.count, sizeof(*attain->own)) != 0 ||
	    add_pump(attain, r, &attain->own[series->mill]) != 0)
		return -1;
	return series->role == ROLE_TRACK ? add_track(attain, r, series) : 0;
}

/* Looks at every mill that must be looked at before rows of until are taken in. */
static int
look_at_all(struct leat_attain *attain, struct leat_time until, struct leat_error *err)
{
	struct leat_time at, seen;
	struct leat_mill *mill;

	while ((mill = leat_mills_due(&attain->mills, until, &at, &seen)) != NULL)
		if (leat_attain_look(attain, mill, at, seen, err) != 0)
			return -1;
	return 0;
}

/* The day is over: what counts up to its end is counted, and written.  *any: something counted, or may yet. */
static int
end_day(struct leat_attain *attain, bool *any)
{
	*any = false;
	for (size_t i = 0; i < attain->mills.count && i < attain->own_cap; i++) {
		struct leat_attain_mill *own = &attain->own[i];

		if (!own->begun)
			continue;
		if (leat_attain_pass_time(own, attain->day_end) != 0)
			return -1;
		*any = *any || own->known || own->day.known_s > 0;
		for (size_t t = 0; t < own->tracks; t++) {
			const struct leat_attain_track *track = &own->track[t];

			if (leat_attain_cut(own, &own->track[t], attain->day_end) != 0)
				return -1;
			*any = *any || track->valid_s > 0 || (track->has && leat_time_cmp(track->from, attain->day_end) >= 0);
		}
		if (leat_attain_write_day(attain, &attain->mills.mill[i]) != 0)
			return -1;
		leat_attain_reset_day(own, attain->day_end);
	}
	return 0;
}

/* Ends the days that end before t, or at it when inclusive. */
static int
pass_days(struct leat_attain *attain, struct leat_time t, bool inclusive, struct leat_error *err)
{
	while (leat_time_cmp(attain->day_end, t) < (inclusive ? 1 : 0)) {
		struct leat_time end = attain->day_end, next = leat_time_add(end, 1e-9);
		bool any;

		if (look_at_all(attain, next, err) != 0)
			return -1;
		if (end_day(attain, &any) != 0)
			return leat_error_memory(err);
		/* Where nothing counted, nothing will until readings come. */
		leat_works_day_ending(attain->np, any || leat_time_cmp(next, t) > 0 ? next : t, &attain->day_start,
		    &attain->day_end);
		if (leat_time_cmp(attain->day_start, end) < 0)
			attain->day_start = end;
	}
	return 0;
}

/* Is it a row of a mill whose days are counted here? */
static bool
is_made(struct leat_attain *attain, const struct leat_reading *r)
{
	const struct leat_mill *mill = leat_mills_known(&attain->mills, r->asset);

	return mill != NULL && mill->series[LEAT_ATTAIN_SLOT_STATE] != LEAT_NAME_NONE;
}

static int
take_track(struct leat_attain *attain, const struct leat_reading *r, const struct leat_attain_series *series,
    struct leat_error *err)
{
	struct leat_attain_track *track = &attain->own[series->mill].track[series->track];
	int status;

	/* Before the mill is known nobody looks at it. */
	if (!attain->mills.mill[series->mill].known)
		return 0;
	track->pending = true;
	track->next_quality = LEAT_BAD;
	if (r->quality == LEAT_BAD)
		return 0;
	status = leat_quantity_latest(&attain->current, r->series, attain->bar, &track->next_bar, err);
	if (status > 0)
		track->next_quality = r->quality;
	return status < 0 ? -1 : 0;
}

int
leat_attain_take(struct leat_attain *attain, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_attain_series *series;
	bool fresh;

	if (leat_time_is_none(attain->day_end))
		leat_works_day_ending(attain->np, r->time, &attain->day_start, &attain->day_end);
	if (leat_time_is_none(attain->last) || leat_time_cmp(r->time, attain->last) > 0) {
		if (pass_days(attain, r->time, false, err) != 0 || look_at_all(attain, r->time, err) != 0)
			return -1;
		attain->last = r->time;
	}
	if (leat_grow(&attain->series, &attain->series_cap, (size_t)r->series + 1, sizeof(*attain->series)) != 0)
		return leat_error_memory(err);
	series = &attain->series[r->series];
	fresh = series->role == ROLE_NEW;
	if (fresh)
		series->role = (uint8_t)role_of(r);
	if (series->role == ROLE_MADE && is_made(attain, r)) {
		attain->replaced++;
		return 0;
	}
	if (series->role == ROLE_MADE || series->role == ROLE_SILENT)
		return 1;
	if ((series->role == ROLE_TRACK ? leat_mills_put : leat_mills_put_form)(&attain->mills, r) != 0 ||
	    (fresh && prepare(attain, r, series) != 0))
		return leat_error_memory(err);
	if (series->role == ROLE_TRACK && take_track(attain, r, series, err) != 0)
		return -1;
	return 1;
}

int
leat_attain_end(struct leat_attain *attain, struct leat_time now, bool partial, struct leat_error *err)
{
	struct leat_time until = attain->last;
	bool any;

	if (leat_time_is_none(until))
		return 0;
	if (!leat_time_is_none(now) && leat_time_cmp(now, until) > 0)
		until = now;
	if (pass_days(attain, until, true, err) != 0)
		return -1;
	if (partial && leat_time_cmp(attain->day_start, until) < 0) {
		if (look_at_all(attain, leat_time_add(until, 1e-9), err) != 0)
			return -1;
		attain->day_end = until;
		if (end_day(attain, &any) != 0)
			return leat_error_memory(err);
	}
	for (size_t i = 0; i < attain->mills.count; i++) {
		const struct leat_mill *mill = &attain->mills.mill[i];
		bool stated = mill->known && mill->series[LEAT_ATTAIN_SLOT_STATE] != LEAT_NAME_NONE;

		attain->pressed += mill->known;
		attain->stated += stated;
		for (int lack = 0; stated && i < attain->own_cap && lack < LEAT_ATTAIN_LACKS; lack++)
			attain->lack[lack] += leat_attain_lacks(attain, mill, (enum leat_attain_lack)lack);
	}
	return 0;
}

void
leat_attain_free(struct leat_attain *attain)
{
	for (size_t i = 0; i < attain->own_cap; i++) {
		struct leat_attain_mill *own = &attain->own[i];

		for (size_t t = 0; t < own->tracks; t++) {
			leat_weighted_free(&own->track[t].gated);
			free(own->track[t].demand);
		}
		free(own->track);
		free(own->pump);
		leat_weighted_free(&own->day.deviation);
	}
	free(attain->own);
	free(attain->series);
	leat_buf_free(&attain->name);
	leat_mills_free(&attain->mills);
	leat_current_free(&attain->current);
}
