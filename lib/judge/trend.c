/*
 * The trend engine: readings in, and one judgement for each series and row.
 */
#include <math.h>
#include <stdlib.h>

#include "judge/trend_private.h"

/* More rows on one point than any works has; all of them still count. */
#define ROWS_AT_ONCE 64

struct leat_trend *
leat_trend_new(const struct leat_trend_form *form)
{
	struct leat_trend *trend = calloc(1, sizeof(*trend));

	if (trend == NULL)
		return NULL;
	trend->form = *form;
	trend->time = trend->now = trend->since = LEAT_TIME_NONE;
	trend->matched = calloc(form->trends->count + 1, sizeof(*trend->matched));
	if (trend->matched == NULL) {
		free(trend);
		return NULL;
	}
	leat_current_init(&trend->current, form->in, form->points);
	return trend;
}

void
leat_trend_free(struct leat_trend *trend)
{
	if (trend == NULL)
		return;
	for (size_t i = 0; i < trend->watches; i++) {
		if (trend->found != NULL)
			leat_trend_case_free(&trend->found[i]);
		leat_daily_free(&trend->watch[i].daily);
	}
	for (size_t i = 0; i < trend->overs; i++)
		leat_trend_case_free(&trend->over[i].last);
	free(trend->watch);
	free(trend->found);
	free(trend->over);
	free(trend->resolved);
	free(trend->asked);
	free(trend->first);
	free(trend->watches_of);
	free(trend->pending);
	free(trend->is_pending);
	free(trend->matched);
	leat_current_free(&trend->current);
	free(trend);
}

struct leat_span
leat_trend_asset(const struct leat_trend *trend, const struct leat_trend_watch *w)
{
	return leat_readings_assets(trend->form.in)->name[w->asset_id];
}

struct leat_span
leat_trend_point(const struct leat_trend *trend, const struct leat_trend_watch *w)
{
	return leat_readings_points(trend->form.in)->name[w->point_id];
}

static int
grow_series(struct leat_trend *trend, uint32_t series)
{
	size_t need = (size_t)series + 1;

	return leat_grow(&trend->resolved, &trend->resolved_cap, need, sizeof(*trend->resolved)) != 0 ||
	    leat_grow(&trend->asked, &trend->asked_cap, need, sizeof(*trend->asked)) != 0 ||
	    leat_grow(&trend->first, &trend->first_cap, need, sizeof(*trend->first)) != 0 ||
	    leat_grow(&trend->watches_of, &trend->of_cap, need, sizeof(*trend->watches_of)) != 0 ||
	    leat_grow(&trend->is_pending, &trend->is_pending_cap, need, sizeof(*trend->is_pending)) != 0 ? -1 : 0;
}

/* Finds out once which rows rule a series. */
static int
resolve(struct leat_trend *trend, const struct leat_reading *r)
{
	const struct leat_trends *trends = trend->form.trends;
	size_t index[ROWS_AT_ONCE], found;
	bool asked = leat_span_is(r->point, "running-hours") || leat_span_is(r->point, "ageing-hours");

	trend->resolved[r->series] = true;
	trend->first[r->series] = (uint32_t)trend->watches;
	trend->watches_of[r->series] = 0;
	trend->count.series++;
	leat_rule_matched(&trends->table, r->asset, r->point, trend->matched);
	for (size_t i = 0; i < trends->count; i++)
		asked = asked || leat_gate_asks(trends->row[i].rule.when, r->point);
	found = leat_trends_for(trends, r->asset, r->point, index, ROWS_AT_ONCE);
	found = found > ROWS_AT_ONCE ? ROWS_AT_ONCE : found;
	if (leat_grow(&trend->watch, &trend->watch_cap, trend->watches + found, sizeof(*trend->watch)) != 0)
		return -1;
	for (size_t i = 0; i < found; i++) {
		struct leat_trend_watch *w = &trend->watch[trend->watches++];

		*w = (struct leat_trend_watch){
			.row = &trends->row[index[i]], .series = r->series, .asset_id = r->asset_id, .point_id = r->point_id,
			.seen = r->time
		};
		leat_daily_init(&w->daily);
	}
	trend->watches_of[r->series] = (uint32_t)found;
	trend->asked[r->series] = asked || found > 0;
	return 0;
}

double
leat_trend_hours(struct leat_trend *trend, const struct leat_trend_watch *w)
{
	uint32_t series = leat_current_resolve(&trend->current, leat_trend_asset(trend, w), leat_span_make("", 0),
	    w->row->clock == LEAT_CLOCK_AGEING ? LEAT_SPAN("ageing-hours") : LEAT_SPAN("running-hours"));
	const struct leat_latest *latest = series == LEAT_NAME_NONE ? NULL :
	    leat_current_series(&trend->current, series, trend->time);

	return latest != NULL && latest->is_number ? latest->number : NAN;
}

/* The unit of a series is that of its first number; a row's own unit must be of its dimension. */
static int
learn_unit(struct leat_trend *trend, struct leat_trend_watch *w, const struct leat_latest *latest, struct leat_error *err)
{
	const struct leat_unit *unit = latest->unit != NULL ? latest->unit : w->row->unit;
	struct leat_span point = leat_trend_point(trend, w), asset = leat_trend_asset(trend, w);

	if (w->daily.kept == 0)
		w->unit = unit;
	if (unit == w->unit || unit == NULL || w->unit == NULL) {
		if (w->row->unit == NULL || w->unit == NULL || leat_unit_same_dimension(w->row->unit, w->unit))
			return 0;
		unit = w->row->unit;
	} else if (leat_unit_same_dimension(unit, w->unit)) {
		return 0;
	}
	return leat_error_set(err, "'%.*s' of '%.*s' is in '%s', which cannot be compared with '%s' (%s:%ld)", (int)point.len,
	    point.ptr, (int)asset.len, asset.ptr, w->unit->name, unit->name, w->row->rule.file, w->row->rule.line);
}

static int
take_value(struct leat_trend *trend, struct leat_trend_watch *w, const struct leat_latest *latest, struct leat_error *err)
{
	double value = latest->number;

	if (latest->quality != LEAT_GOOD || !latest->is_number) {
		w->lesser++;
		return 0;
	}
	if (w->row->rule.when != NULL && leat_gate_eval(w->row->rule.when, &trend->current, w->asset_id, trend->time) != LEAT_TRUE) {
		w->idle++;
		return 0;
	}
	if (learn_unit(trend, w, latest, err) != 0)
		return -1;
	if (latest->unit != w->unit && latest->unit != NULL && w->unit != NULL)
		value = leat_unit_convert(latest->unit, w->unit, value);
	if (leat_daily_add(&w->daily, trend->form.np, trend->time, value, leat_trend_hours(trend, w)) != 0)
		return leat_error_memory(err);
	return 0;
}

/* Takes what came at trend->time, now that all of it is in. */
static int
take_instant(struct leat_trend *trend, struct leat_error *err)
{
	for (size_t i = 0; i < trend->pendings; i++) {
		uint32_t series = trend->pending[i];

		trend->is_pending[series] = false;
		for (uint32_t k = 0; k < trend->watches_of[series]; k++)
			if (take_value(trend, &trend->watch[trend->first[series] + k], &trend->current.latest[series], err) != 0)
				return -1;
	}
	trend->pendings = 0;
	return 0;
}

static void
note_decimals(struct leat_trend *trend, const struct leat_reading *r)
{
	int decimals = leat_number_decimals(r->value);

	for (uint32_t k = 0; k < trend->watches_of[r->series]; k++) {
		struct leat_trend_watch *w = &trend->watch[trend->first[r->series] + k];

		if (decimals > w->decimals)
			w->decimals = decimals;
	}
}

int
leat_trend_take(struct leat_trend *trend, const struct leat_reading *r, struct leat_error *err)
{
	if (!leat_time_is_none(trend->form.now) && leat_time_cmp(r->time, trend->form.now) > 0) {
		trend->count.later++;
		return 0;
	}
	if (leat_time_cmp(r->time, trend->time) != 0) {
		if (take_instant(trend, err) != 0)
			return -1;
		trend->time = r->time;
	}
	if (grow_series(trend, r->series) != 0 || (!trend->resolved[r->series] && resolve(trend, r) != 0) ||
	    (trend->asked[r->series] ? leat_current_put : leat_current_pass)(&trend->current, r) != 0)
		return leat_error_memory(err);
	if (trend->watches_of[r->series] == 0 || r->quality == LEAT_BAD)
		return 0;
	note_decimals(trend, r);
	if (trend->is_pending[r->series])
		return 0;
	if (leat_grow(&trend->pending, &trend->pending_cap, trend->pendings + 1, sizeof(*trend->pending)) != 0)
		return leat_error_memory(err);
	trend->is_pending[r->series] = true;
	trend->pending[trend->pendings++] = r->series;
	return 0;
}

void
leat_trend_as_of(struct leat_trend *trend, struct leat_time now)
{
	trend->form.now = now;
}

int
leat_trend_end(struct leat_trend *trend, struct leat_error *err)
{
	if (take_instant(trend, err) != 0)
		return -1;
	trend->now = leat_time_is_none(trend->form.now) ? trend->time : trend->form.now;
	trend->since = !leat_time_is_none(trend->form.since_time) ? trend->form.since_time :
	    leat_time_shift(trend->now, &trend->form.since, -1);
	trend->found = calloc(trend->watches + 1, sizeof(*trend->found));
	if (trend->found == NULL)
		return leat_error_memory(err);
	for (size_t i = 0; i < trend->watches; i++) {
		struct leat_trend_watch *w = &trend->watch[i];

		trend->count.kept += w->daily.kept;
		trend->count.idle += w->idle;
		trend->count.lesser += w->lesser;
		trend->count.judged++;
		if (leat_daily_close(&w->daily) != 0 || leat_trend_case_begin(trend, w, trend->now, &trend->found[i]) != 0 ||
		    leat_trend_case_fit(trend, &trend->found[i]) != 0 || leat_trend_episodes(trend, &trend->found[i]) != 0)
			return leat_error_memory(err);
	}
	return 0;
}

struct leat_time
leat_trend_now(const struct leat_trend *trend)
{
	return trend->now;
}

struct leat_trend_count
leat_trend_counted(const struct leat_trend *trend)
{
	return trend->count;
}
