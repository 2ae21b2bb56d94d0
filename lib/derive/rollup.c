/* Rolling up: the flow of time through gates and periods. */
#include <stdlib.h>

#include "derive/rollup_private.h"

/* A hair after t, when what holds up to t is no longer valid. */
static struct leat_time
just_after(struct leat_time t)
{
	if (++t.nsec == 1000000000) {
		t.nsec = 0;
		t.sec++;
	}
	return t;
}

void
leat_rollup_init(struct leat_rollup *rollup)
{
	rollup->replaced = rollup->periods = rollup->results = rollup->added = 0;
	leat_current_init(&rollup->current, rollup->in, rollup->points);
	rollup->now = rollup->start = rollup->end = rollup->gates_until = LEAT_TIME_NONE;
}

/* The day's start of the nameplate; its reader has seen to the form. */
static void
find_period(struct leat_rollup *rollup, struct leat_time t)
{
	if (!rollup->fixed_start) {
		struct leat_span text = leat_nameplate_word(rollup->np, leat_span_make("", 0), "day-start", t);

		rollup->grid.day_start = text.len < 5 ? 0 :
		    ((text.ptr[0] - '0') * 10 + text.ptr[1] - '0') * 3600 + ((text.ptr[3] - '0') * 10 + text.ptr[4] - '0') * 60;
	}
	leat_grid_period(&rollup->grid, t, &rollup->start, &rollup->end);
}

/* A gate closes: what its series were is held up to that instant. */
static int
close_gate(struct leat_rollup *rollup, struct leat_rollup_asset *asset, struct leat_time at)
{
	for (size_t i = 0; i < asset->count; i++) {
		struct leat_rollup_series *s = &rollup->series[asset->series[i]];

		if (leat_rollup_hold(rollup, s, at) != 0)
			return -1;
		s->counting = false;
	}
	asset->open = false;
	asset->open_s += leat_time_diff(at, asset->since);
	return 0;
}

static void
open_gate(struct leat_rollup *rollup, struct leat_rollup_asset *asset, struct leat_time at)
{
	for (size_t i = 0; i < asset->count; i++) {
		struct leat_rollup_series *s = &rollup->series[asset->series[i]];

		if (s->form == LEAT_ROLLUP_SLOPED || !s->has)
			continue;
		s->from = at;
		s->counting = true;
	}
	asset->open = true;
	asset->since = at;
}

static void
wake(struct leat_rollup *rollup, struct leat_time at)
{
	if (!leat_time_is_none(at) &&
	    (leat_time_is_none(rollup->gates_until) || leat_time_cmp(at, rollup->gates_until) < 0))
		rollup->gates_until = at;
}

/* Looks at the gate of an asset at an instant; seen is that, or a hair after it. */
static int
look(struct leat_rollup *rollup, uint32_t number, struct leat_time at, struct leat_time seen)
{
	struct leat_rollup_asset *asset = &rollup->asset[number];
	bool open = rollup->gate == NULL ||
	    leat_gate_eval(rollup->gate, &rollup->current, number, seen) == LEAT_TRUE;

	if (asset->open && !open && close_gate(rollup, asset, at) != 0)
		return -1;
	if (!asset->open && open)
		open_gate(rollup, asset, at);
	asset->until = open && rollup->gate != NULL ? leat_gate_until(rollup->gate, &rollup->current, number, seen) :
	    LEAT_TIME_NONE;
	wake(rollup, asset->until);
	return 0;
}

/* Closes the gates whose operands run out before until, which is not yet reached. */
static int
run_out(struct leat_rollup *rollup, struct leat_time until)
{
	while (!leat_time_is_none(rollup->gates_until) && leat_time_cmp(rollup->gates_until, until) < 0) {
		struct leat_time at = rollup->gates_until;

		rollup->gates_until = LEAT_TIME_NONE;
		for (uint32_t i = 0; i < rollup->asset_cap; i++) {
			struct leat_rollup_asset *asset = &rollup->asset[i];

			if (!asset->known || !asset->open)
				continue;
			if (!leat_time_is_none(asset->until) && leat_time_cmp(asset->until, at) <= 0) {
				if (look(rollup, i, asset->until, just_after(asset->until)) != 0)
					return -1;
			} else {
				wake(rollup, asset->until);
			}
		}
	}
	return 0;
}

/* After a silence of the mill, what holds until changed was valid for its hold only, and is again from now on. */
static int
bridge(struct leat_rollup *rollup, struct leat_rollup_mill *mill)
{
	if (mill->shortest_s == 0 || leat_time_is_none(mill->last) ||
	    leat_time_diff(rollup->now, mill->last) <= mill->shortest_s)
		return 0;
	for (size_t a = 0; a < mill->count; a++) {
		struct leat_rollup_asset *asset = &rollup->asset[mill->asset[a]];

		for (size_t i = 0; i < asset->count; i++) {
			struct leat_rollup_series *s = &rollup->series[asset->series[i]];

			if (!s->until_changed || !s->has)
				continue;
			if (leat_rollup_hold(rollup, s, rollup->now) != 0)
				return -1;
			s->from = rollup->now;
		}
	}
	return 0;
}

/* All readings of the instant have come: what they change takes effect. */
static int
settle(struct leat_rollup *rollup)
{
	for (size_t i = 0; i < rollup->touches; i++) {
		struct leat_rollup_mill *mill = &rollup->mill[rollup->touched[i]];

		if (bridge(rollup, mill) != 0)
			return -1;
		for (size_t a = 0; rollup->gate != NULL && a < mill->count; a++)
			if (look(rollup, mill->asset[a], rollup->now, rollup->now) != 0)
				return -1;
	}
	for (size_t i = 0; i < rollup->pendings; i++)
		if (leat_rollup_apply(rollup, &rollup->series[rollup->pending[i]]) != 0)
			return -1;
	for (size_t i = 0; i < rollup->touches; i++) {
		rollup->mill[rollup->touched[i]].touched = false;
		rollup->mill[rollup->touched[i]].last = rollup->now;
	}
	rollup->pendings = rollup->touches = 0;
	return 0;
}

/* Ends the period at an instant, writes its results, and begins the next. */
static int
end_period(struct leat_rollup *rollup, struct leat_time at)
{
	long long results = rollup->results;

	for (size_t i = 0; i < rollup->asset_cap; i++) {
		struct leat_rollup_asset *asset = &rollup->asset[i];

		if (asset->known && asset->open) {
			asset->open_s += leat_time_diff(at, asset->since);
			asset->since = at;
		}
	}
	for (uint32_t i = 0; i < rollup->count; i++) {
		struct leat_rollup_series *s = &rollup->series[i];

		if (!s->prepared || !s->chosen || s->form == LEAT_ROLLUP_WORD)
			continue;
		if (leat_rollup_hold(rollup, s, at) != 0 || leat_rollup_write(rollup, i, at) != 0)
			return -1;
		leat_weighted_reset(&s->weighted);
		s->good_s = 0;
		s->readings = s->bad = 0;
		s->most_decimals = s->decimals;
	}
	for (size_t i = 0; i < rollup->asset_cap; i++)
		rollup->asset[i].open_s = 0;
	rollup->periods += rollup->results > results;
	return 0;
}

/* Ends all periods that end before t, or at it when inclusive. */
static int
pass(struct leat_rollup *rollup, struct leat_time t, bool inclusive)
{
	while (leat_time_cmp(rollup->end, t) < (inclusive ? 1 : 0)) {
		long long results = rollup->results;
		struct leat_time end = rollup->end;

		if (run_out(rollup, end) != 0 || end_period(rollup, end) != 0)
			return -1;
		/* Where nothing counted, nothing will until readings come. */
		find_period(rollup, rollup->results > results ? end : t);
		if (leat_time_cmp(rollup->start, end) < 0)
			rollup->start = end;
	}
	return run_out(rollup, t);
}

static int
touch(struct leat_rollup *rollup, uint32_t number)
{
	struct leat_rollup_mill *mill = &rollup->mill[number];

	if (mill->touched)
		return 0;
	mill->touched = true;
	if (rollup->touches == rollup->touched_cap &&
	    leat_grow(&rollup->touched, &rollup->touched_cap, rollup->touches + 1, sizeof(*rollup->touched)) != 0)
		return -1;
	rollup->touched[rollup->touches++] = number;
	return 0;
}

/* Enters a series that comes for the first time into the lists of its asset and mill. */
static int
enter(struct leat_rollup *rollup, const struct leat_reading *r)
{
	uint32_t mill = rollup->current.latest[r->series].mill;
	struct leat_rollup_asset *asset;
	size_t mills = rollup->mill_cap;

	if (leat_grow(&rollup->series, &rollup->series_cap, (size_t)r->series + 1, sizeof(*rollup->series)) != 0 ||
	    leat_grow(&rollup->asset, &rollup->asset_cap, (size_t)r->asset_id + 1, sizeof(*rollup->asset)) != 0 ||
	    leat_grow(&rollup->mill, &rollup->mill_cap, (size_t)mill + 1, sizeof(*rollup->mill)) != 0)
		return -1;
	for (; mills < rollup->mill_cap; mills++)
		rollup->mill[mills].last = LEAT_TIME_NONE;
	if (r->series >= rollup->count)
		rollup->count = (size_t)r->series + 1;
	if (leat_rollup_prepare(rollup, r) != 0)
		return -1;
	if (!rollup->series[r->series].chosen)
		return 0;
	asset = &rollup->asset[r->asset_id];
	if (!asset->known) {
		struct leat_rollup_mill *m = &rollup->mill[mill];

		asset->known = true;
		asset->open = rollup->gate == NULL;
		asset->until = LEAT_TIME_NONE;
		asset->since = r->time;
		if (leat_grow(&m->asset, &m->cap, m->count + 1, sizeof(*m->asset)) != 0)
			return -1;
		m->asset[m->count++] = r->asset_id;
	}
	if (leat_grow(&asset->series, &asset->cap, asset->count + 1, sizeof(*asset->series)) != 0)
		return -1;
	asset->series[asset->count++] = r->series;
	return 0;
}

/* Is it a statistic that is made here, so that the row is replaced? */
static bool
made_here(struct leat_rollup *rollup, const struct leat_reading *r)
{
	struct leat_span base, suffix;
	uint32_t point, series;

	if (!leat_rollup_statistic(r->point, &base, &suffix))
		return false;
	if (suffix.ptr[0] == 'p') {
		bool wanted = false;

		for (size_t i = 0; i < rollup->quantiles; i++)
			wanted |= (int)(rollup->quantile[i] * 100 + 0.5) ==
			    (suffix.len == 2 ? suffix.ptr[1] - '0' : (suffix.ptr[1] - '0') * 10 + suffix.ptr[2] - '0');
		if (!wanted)
			return false;
	}
	point = leat_names_get(leat_readings_points(rollup->in), base);
	if (point == LEAT_NAME_NONE)
		return false;
	series = leat_pairs_get(leat_readings_series(rollup->in), r->asset_id, point);
	return series < rollup->count && rollup->series[series].prepared && rollup->series[series].chosen &&
	    rollup->series[series].form != LEAT_ROLLUP_WORD;
}

int
leat_rollup_take(struct leat_rollup *rollup, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_rollup_series *s = r->series < rollup->series_cap ? &rollup->series[r->series] : NULL;
	bool prepared = s != NULL && s->prepared;

	/* What is chosen is no statistic, and a statistic seen before may be replaced since its point has come. */
	if (!(prepared && s->chosen) && made_here(rollup, r)) {
		rollup->replaced++;
		return 0;
	}
	if (leat_time_is_none(rollup->now)) {
		rollup->now = r->time;
		find_period(rollup, r->time);
	} else if (leat_time_cmp(r->time, rollup->now) > 0) {
		if (settle(rollup) != 0 || pass(rollup, r->time, false) != 0)
			return leat_error_memory(err);
		rollup->now = r->time;
	}
	if (leat_current_put(&rollup->current, r) != 0 || (!prepared && enter(rollup, r) != 0))
		return leat_error_memory(err);
	s = &rollup->series[r->series];
	if (r->quality != LEAT_BAD && touch(rollup, s->mill) != 0)
		return leat_error_memory(err);
	return !s->chosen || leat_rollup_note(rollup, r, err) == 0 ? 1 : -1;
}

int
leat_rollup_end(struct leat_rollup *rollup, struct leat_time now, bool partial, struct leat_error *err)
{
	struct leat_time last = rollup->now;

	if (leat_time_is_none(last))
		return 0;
	if (settle(rollup) != 0)
		return leat_error_memory(err);
	if (!leat_time_is_none(now) && leat_time_cmp(now, last) > 0)
		last = now;
	if (pass(rollup, last, true) != 0 ||
	    (partial && leat_time_cmp(rollup->start, last) < 0 && end_period(rollup, last) != 0))
		return leat_error_memory(err);
	return 0;
}

size_t
leat_rollup_series(const struct leat_rollup *rollup, size_t *words)
{
	size_t count = 0;

	*words = 0;
	for (size_t i = 0; i < rollup->count; i++) {
		count += rollup->series[i].chosen && rollup->series[i].form != LEAT_ROLLUP_WORD;
		*words += rollup->series[i].chosen && rollup->series[i].form == LEAT_ROLLUP_WORD;
	}
	return count;
}

void
leat_rollup_free(struct leat_rollup *rollup)
{
	for (size_t i = 0; i < rollup->count; i++) {
		leat_weighted_free(&rollup->series[i].weighted);
		free((char *)rollup->series[i].unit_text.ptr);
	}
	for (size_t i = 0; i < rollup->asset_cap; i++)
		free(rollup->asset[i].series);
	for (size_t i = 0; i < rollup->mill_cap; i++)
		free(rollup->mill[i].asset);
	free(rollup->series);
	free(rollup->asset);
	free(rollup->mill);
	free(rollup->pending);
	free(rollup->touched);
	leat_buf_free(&rollup->name);
	leat_buf_free(&rollup->head);
	leat_buf_free(&rollup->tail);
	leat_buf_free(&rollup->share_tail);
	leat_current_free(&rollup->current);
}
