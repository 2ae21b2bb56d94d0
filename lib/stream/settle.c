/*
 * The one rule for several readings of one series at one time.
 */
#include "stream/settle.h"

#include <math.h>
#include <stdlib.h>

#include "base/number.h"
#include "base/word.h"

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

		if (s->text.len + room > UINT32_MAX || (s->text.len + room >= s->text.cap &&
		    leat_buf_reserve(&s->text, room) != 0))
			return -1;
		item->at = (uint32_t)s->text.len;
		item->room = (uint32_t)room;
		s->text.len += room;
	}
	if (value.len > 0)
		leat_word_copy(s->text.data + item->at, value.ptr, value.len);
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
	item->issuer = a->issuer;
	item->conflict = false;
	return keep_value(s, item, a->value);
}

/* Notes the item's value as one that another is preferred to, before that takes its place. */
static int
note_displaced(struct leat_settle *s, struct leat_settled *item)
{
	struct leat_span value = leat_settle_value(s, item);
	size_t len = item->was_len > 0 ? item->was_len + 1u + value.len : value.len, drop = 0;
	char *was;

	if (value.len == 0 || value.len >= LEAT_SETTLE_WAS || memchr(value.ptr, '|', value.len) != NULL)
		return 0;
	if (item->was_len == 0) {
		if (s->text.len + LEAT_SETTLE_WAS > UINT32_MAX || leat_buf_reserve(&s->text, LEAT_SETTLE_WAS) != 0)
			return -1;
		item->was_at = (uint32_t)s->text.len;
		s->text.len += LEAT_SETTLE_WAS;
	}
	was = s->text.data + item->was_at;
	while (len - drop > LEAT_SETTLE_WAS) {
		const char *bar = memchr(was + drop, '|', item->was_len - drop);

		drop = bar != NULL ? (size_t)(bar - was) + 1 : item->was_len + 1u;
	}
	if (drop > item->was_len)
		drop = item->was_len;
	item->was_len -= (uint32_t)drop;
	memmove(was, was + drop, item->was_len);
	if (item->was_len > 0)
		was[item->was_len++] = '|';
	memcpy(was + item->was_len, s->text.data + item->at, item->len);
	item->was_len += item->len;
	return 0;
}

static int
first_of_series(struct leat_settle *s, struct leat_settle_state *state, const struct leat_arrival *a)
{
	struct leat_settled *item;

	if (s->count == s->cap && leat_grow(&s->item, &s->cap, s->count + 1, sizeof(*s->item)) != 0)
		return -1;
	item = &s->item[s->count];
	item->series = a->series;
	item->count = 1;
	item->room = item->was_len = item->was_at = 0;
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

/* Of better quality: what it takes the place of is another matter. */
static int
better(struct leat_settle *s, struct leat_settled *item, const struct leat_arrival *a)
{
	item->was_len = 0;
	return take(s, item, a);
}

static int
again(struct leat_settle *s, struct leat_settled *item, const struct leat_arrival *a)
{
	struct leat_span kept = leat_settle_value(s, item);
	enum agreement agreement = DIFFER;

	item->count++;
	if (a->quality != item->quality)
		return a->quality > item->quality ? better(s, item, a) : 0;
	if (!item->conflict && a->unit == item->unit) {
		/* The usual duplicate of overlapping exports: the same bytes. */
		if (leat_span_eq(kept, a->value))
			return 0;
		agreement = compare(kept, item->step, a->value, a->step);
	}
	if (agreement == DIFFER && a->prefer_last) {
		if (a->unit != item->unit || a->issuer != item->issuer || a->issuer == NULL)
			item->was_len = 0;
		else if (!item->conflict && note_displaced(s, item) != 0)
			return -1;
		return take(s, item, a);
	}
	if (agreement == LATER)
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

const struct leat_settled *
leat_settle_find(const struct leat_settle *s, uint32_t series)
{
	if (series >= s->state_cap || s->state[series].group != s->group + 1)
		return NULL;
	return &s->item[s->state[series].item];
}

bool
leat_values_agree(struct leat_span a, struct leat_span b)
{
	return compare(a, 0, b, 0) != DIFFER;
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
