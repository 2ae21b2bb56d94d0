/*
 * The one rule for several readings of one series at one time.
 */
#include "stream/settle.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/number.h"

/* Where a series stands in the current group; of an older group: it has not come yet. */
struct leat_settle_state {
	uint64_t group;
	uint32_t item;
};

/* Copies the value into the item's room.  A longer one gets twice its length, so that a series whose reading is
 * replaced again and again at one time fills little more than its longest value. */
static int
keep_value(struct leat_settle *s, struct leat_settled *item, struct leat_span value)
{
	if (value.len > item->room) {
		size_t room = item->room == 0 ? value.len : 2 * value.len;

		if (s->text.len + room > UINT32_MAX || leat_buf_reserve(&s->text, room) != 0)
			return -1;
		item->at = (uint32_t)s->text.len;
		item->room = (uint32_t)room;
		s->text.len += room;
	}
	if (value.len > 0)
		memcpy(s->text.data + item->at, value.ptr, value.len);
	item->len = (uint32_t)value.len;
	return 0;
}

static int
take(struct leat_settle *s, struct leat_settled *item, const struct leat_arrival *a)
{
	item->token = a->token;
	item->quality = a->quality;
	item->origin = a->origin;
	item->unit = a->unit;
	item->step = a->step;
	item->conflict = false;
	return keep_value(s, item, a->value);
}

static int
first_of_series(struct leat_settle *s, struct leat_settle_state *state, const struct leat_arrival *a)
{
	struct leat_settled *item;

	if (leat_grow(&s->item, &s->cap, s->count + 1, sizeof(*s->item)) != 0)
		return -1;
	item = &s->item[s->count];
	item->series = a->series;
	item->count = 1;
	item->room = 0;
	if (take(s, item, a) != 0)
		return -1;
	state->group = s->group + 1;
	state->item = (uint32_t)s->count++;
	return 0;
}

enum agreement { DIFFER, EARLIER, LATER };

/* Do the values agree, and which of them is then to be kept? */
static enum agreement
compare(struct leat_span a, double step_a, struct leat_span b, double step_b)
{
	struct leat_number x, y;
	double gap, coarser;

	if (leat_number_parse(a, &x) != 0 || leat_number_parse(b, &y) != 0)
		return leat_span_eq(a, b) ? EARLIER : DIFFER;
	if (step_a == 0 && step_b == 0)
		return !leat_number_agree(&x, &y) ? DIFFER : y.scale > x.scale ? LATER : EARLIER;
	/* A converted value shows two digits more than its source had: its last digit is not its precision. */
	if (step_a == 0)
		step_a = pow(10, -x.scale);
	if (step_b == 0)
		step_b = pow(10, -y.scale);
	coarser = step_a > step_b ? step_a : step_b;
	gap = fabs(leat_number_value(&x) - leat_number_value(&y));
	return gap > coarser * 0.5000001 ? DIFFER : step_b < step_a ? LATER : EARLIER;
}

static void
mark_conflict(struct leat_settled *item, const struct leat_arrival *a)
{
	item->conflict = true;
	item->other = a->origin;
	item->other_token = a->token;
	leat_mask(item->other_value, sizeof(item->other_value), a->value);
}

static int
again(struct leat_settle *s, struct leat_settled *item, const struct leat_arrival *a)
{
	struct leat_span kept = leat_settle_value(s, item);
	enum agreement agreement = DIFFER;

	item->count++;
	if (a->quality != item->quality)
		return a->quality > item->quality ? take(s, item, a) : 0;
	if (!item->conflict && a->unit == item->unit) {
		/* The usual duplicate of overlapping exports: the same bytes. */
		if (leat_span_eq(kept, a->value))
			return 0;
		agreement = compare(kept, item->step, a->value, a->step);
	}
	if (agreement == LATER || (agreement == DIFFER && a->prefer_last))
		return take(s, item, a);
	if (agreement == DIFFER && !item->conflict)
		mark_conflict(item, a);
	return 0;
}

int
leat_settle_put(struct leat_settle *s, const struct leat_arrival *a)
{
	struct leat_settle_state *state;

	if (a->series >= s->state_cap &&
	    leat_grow(&s->state, &s->state_cap, (size_t)a->series + 1, sizeof(*s->state)) != 0)
		return -1;
	if (s->count == 0)
		s->time = a->time;
	state = &s->state[a->series];
	/* New states are zero, so groups count from 1. */
	if (state->group != s->group + 1)
		return first_of_series(s, state, a);
	return again(s, &s->item[state->item], a);
}

void
leat_settle_clear(struct leat_settle *s)
{
	for (size_t i = 0; i < s->count; i++) {
		if (s->item[i].conflict) {
			s->conflicts += s->item[i].count;
		} else {
			s->readings++;
			s->duplicates += s->item[i].count - 1;
		}
	}
	s->count = 0;
	s->group++;
	leat_buf_reset(&s->text);
}

void
leat_settle_free(struct leat_settle *s)
{
	free(s->item);
	free(s->state);
	leat_buf_free(&s->text);
	memset(s, 0, sizeof(*s));
}
