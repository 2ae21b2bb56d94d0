/* Two points beside each other. */
#include <stdlib.h>

#include "derive/pair_private.h"

int
leat_pairing_init(struct leat_pairing *pairing, struct leat_error *err)
{
	pairing->replaced = pairing->added = 0;
	pairing->now = pairing->earliest = LEAT_TIME_NONE;
	pairing->state = calloc(pairing->couples->count + 1, sizeof(*pairing->state));
	if (pairing->state == NULL)
		return leat_error_memory(err);
	for (size_t i = 0; i < pairing->couples->count; i++) {
		struct leat_pair_state *state = &pairing->state[i];

		state->couple = &pairing->couples->row[i];
		for (size_t k = 0; k < 2; k++) {
			struct leat_span point = state->couple->point_of[k];
			const struct leat_point_info *info = leat_point_find(point);

			state->stepped[k] = info != NULL && info->kind != LEAT_KIND_ANALOGUE;
			state->hold_s[k] = leat_points_hold(pairing->points, state->couple->asset_of[k], point);
		}
	}
	return 0;
}

/* Is it the name of what is made of the couple? */
static bool
made_of(const struct leat_couple *couple, const struct leat_reading *r)
{
	size_t len = couple->point.len;
	struct leat_span suffix;

	if (!leat_span_eq(r->asset, couple->asset) || r->point.len <= len ||
	    !leat_span_eq(leat_span_make(r->point.ptr, len), couple->point))
		return false;
	suffix = leat_span_make(r->point.ptr + len, r->point.len - len);
	return leat_span_is(suffix, ".difference") || leat_span_is(suffix, ".ratio");
}

/* What a series is to the couples, found once. */
static int
prepare(struct leat_pairing *pairing, const struct leat_reading *r)
{
	struct leat_pair_series *s;

	if (leat_grow(&pairing->series, &pairing->series_cap, (size_t)r->series + 1, sizeof(*pairing->series)) != 0)
		return -1;
	s = &pairing->series[r->series];
	s->prepared = true;
	for (size_t i = 0; i < pairing->couples->count; i++) {
		const struct leat_couple *couple = &pairing->couples->row[i];

		s->replaced |= made_of(couple, r);
		for (size_t k = 0; k < 2; k++) {
			if (!leat_span_eq(couple->asset_of[k], r->asset) || !leat_span_eq(couple->point_of[k], r->point))
				continue;
			if (leat_grow(&s->use, &s->cap, s->count + 1, sizeof(*s->use)) != 0)
				return -1;
			s->use[s->count++] = (struct leat_pair_use){ &pairing->state[i], k };
		}
	}
	return 0;
}

/* The reading as an operand; a word where a number is due says nothing. */
static void
take_value(struct leat_pair_value *v, const struct leat_reading *r)
{
	struct leat_span unit = r->unit;

	if (!leat_span_eq(unit, leat_span_make(v->unit_text, strlen(v->unit_text)))) {
		v->unit = leat_unit_find(unit);
		if (unit.len >= sizeof(v->unit_text))
			unit.len = sizeof(v->unit_text) - 1;
		if (unit.len > 0)
			memcpy(v->unit_text, unit.ptr, unit.len);
		v->unit_text[unit.len] = '\0';
	}
	v->has = true;
	v->used = false;
	v->time = r->time;
	v->quality = r->quality;
	v->decimals = leat_number_decimals(r->value);
	if (r->quality != LEAT_BAD && leat_reading_number(r, &v->number) != 0)
		v->quality = LEAT_BAD;
}

static bool
usable(const struct leat_pair_value *v)
{
	return v->has && v->quality != LEAT_BAD;
}

/* How long a value of an operand may be used: within the distance and its hold; 0 of the latter: until changed. */
static double
reach(const struct leat_pair_state *state, size_t operand)
{
	double hold = state->hold_s[operand], within = state->couple->within_s;

	return hold > 0 && hold < within ? hold : within;
}

/* The second at the time of the waiting first, now that its next reading has come. */
static struct leat_pair_value
second_then(const struct leat_pair_state *state, enum leat_pair_way *way)
{
	const struct leat_pair_value *before = &state->last[1], *after = &state->now[1];
	struct leat_pair_value v = *after;
	double span, part;

	*way = LEAT_PAIR_NEXT;
	if (state->stepped[1] || !before->has || strcmp(before->unit_text, after->unit_text) != 0 ||
	    leat_time_diff(state->waiting.time, before->time) > state->couple->within_s)
		return v;
	span = leat_time_diff(after->time, before->time);
	if (!(span > 0) || span > state->hold_s[1])
		return v;
	*way = LEAT_PAIR_LINE;
	part = leat_time_diff(state->waiting.time, before->time) / span;
	v.number = before->number + (after->number - before->number) * part;
	v.decimals = (before->decimals > after->decimals ? before->decimals : after->decimals) + 2;
	v.quality = before->quality < after->quality ? before->quality : after->quality;
	return v;
}

static void
wait_for_second(struct leat_pairing *pairing, struct leat_pair_state *state)
{
	struct leat_time end = leat_time_add(state->now[0].time, reach(state, 0));

	state->unpaired += state->waiting.has;
	state->waiting = state->now[0];
	if (leat_time_is_none(pairing->earliest) || leat_time_cmp(end, pairing->earliest) < 0)
		pairing->earliest = end;
}

/* All readings of the instant have come for a couple. */
static int
settle_one(struct leat_pairing *pairing, struct leat_pair_state *state, struct leat_error *err)
{
	const struct leat_pair_value *a = &state->now[0];
	struct leat_pair_value *b = &state->now[1];
	enum leat_pair_way way = LEAT_PAIR_EQUAL;
	int result = 0;

	if (a->has && a->quality == LEAT_BAD)
		state->unusable++;
	if (usable(a) && usable(b)) {
		state->unpaired += state->waiting.has;
		state->waiting.has = false;
		b->used = true;
		result = leat_pairing_write(pairing, state, a, b, way, pairing->now, err);
	} else if (usable(a) && !b->has && state->couple->within_s > 0) {
		if (state->stepped[1] && state->last[1].has &&
		    leat_time_diff(a->time, state->last[1].time) <= reach(state, 1))
			result = leat_pairing_write(pairing, state, a, &state->last[1], LEAT_PAIR_HELD, pairing->now, err);
		else
			wait_for_second(pairing, state);
	} else if (usable(a)) {
		state->unpaired++;
	} else if (usable(b) && state->waiting.has && leat_time_diff(b->time, state->waiting.time) <= reach(state, 0)) {
		struct leat_pair_value then = second_then(state, &way);

		b->used = true;
		result = leat_pairing_write(pairing, state, &state->waiting, &then, way, pairing->now, err);
		state->waiting.has = false;
	}
	for (size_t k = 0; k < 2; k++) {
		if (!state->now[k].has)
			continue;
		state->last[k] = state->now[k];
		state->last[k].has = usable(&state->now[k]);
		state->now[k].has = false;
	}
	state->touched = false;
	return result;
}

static int
settle(struct leat_pairing *pairing, struct leat_error *err)
{
	for (size_t i = 0; pairing->touches > 0 && i < pairing->couples->count; i++) {
		if (!pairing->state[i].touched)
			continue;
		pairing->touches--;
		if (settle_one(pairing, &pairing->state[i], err) != 0)
			return -1;
	}
	return 0;
}

/* The couple whose waiting reading ends its distance first, and when; NULL when none waits. */
static struct leat_pair_state *
first_to_end(struct leat_pairing *pairing, struct leat_time *end)
{
	struct leat_pair_state *first = NULL;

	for (size_t i = 0; i < pairing->couples->count; i++) {
		struct leat_pair_state *state = &pairing->state[i];
		struct leat_time ends;

		if (!state->waiting.has)
			continue;
		ends = leat_time_add(state->waiting.time, reach(state, 0));
		if (first == NULL || leat_time_cmp(ends, *end) < 0) {
			first = state;
			*end = ends;
		}
	}
	return first;
}

/* No reading of the second came within the distance of those that waited: the one before serves where it is near. */
static int
give_up(struct leat_pairing *pairing, struct leat_time until, bool inclusive, struct leat_error *err)
{
	struct leat_pair_state *state;
	struct leat_time end;
	int result = 0;

	while (result == 0 && !leat_time_is_none(pairing->earliest) &&
	    leat_time_cmp(pairing->earliest, until) < (inclusive ? 1 : 0)) {
		state = first_to_end(pairing, &end);
		if (state == NULL || leat_time_cmp(end, until) >= (inclusive ? 1 : 0)) {
			pairing->earliest = state == NULL ? LEAT_TIME_NONE : end;
			break;
		}
		if (state->last[1].has && !state->last[1].used &&
		    leat_time_diff(state->waiting.time, state->last[1].time) <= reach(state, 1)) {
			state->last[1].used = true;
			result = leat_pairing_write(pairing, state, &state->waiting, &state->last[1], LEAT_PAIR_HELD, end, err);
		} else {
			state->unpaired++;
		}
		state->waiting.has = false;
	}
	return result;
}

int
leat_pairing_take(struct leat_pairing *pairing, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_pair_series *s;

	if ((r->series >= pairing->series_cap || !pairing->series[r->series].prepared) && prepare(pairing, r) != 0)
		return leat_error_memory(err);
	s = &pairing->series[r->series];
	if (s->replaced) {
		pairing->replaced++;
		return 0;
	}
	if (leat_time_is_none(pairing->now) || leat_time_cmp(r->time, pairing->now) > 0) {
		if (settle(pairing, err) != 0 || give_up(pairing, r->time, false, err) != 0)
			return -1;
		pairing->now = r->time;
	}
	for (size_t i = 0; i < s->count; i++) {
		struct leat_pair_state *state = s->use[i].state;

		take_value(&state->now[s->use[i].operand], r);
		state->seen[s->use[i].operand] = true;
		pairing->touches += !state->touched;
		state->touched = true;
	}
	return 1;
}

int
leat_pairing_end(struct leat_pairing *pairing, struct leat_time now, struct leat_error *err)
{
	struct leat_time last = pairing->now;

	if (leat_time_is_none(last))
		return 0;
	if (settle(pairing, err) != 0)
		return -1;
	if (!leat_time_is_none(now) && leat_time_cmp(now, last) > 0)
		last = now;
	if (give_up(pairing, last, true, err) != 0)
		return -1;
	for (size_t i = 0; i < pairing->couples->count; i++)
		pairing->state[i].unpaired += pairing->state[i].waiting.has;
	return 0;
}

void
leat_pairing_free(struct leat_pairing *pairing)
{
	for (size_t i = 0; i < pairing->series_cap; i++)
		free(pairing->series[i].use);
	free(pairing->series);
	free(pairing->state);
	leat_buf_free(&pairing->name);
}
