/* The mills of a stream. */
#include <stdlib.h>

#include "stream/mills.h"

void
leat_mills_init(struct leat_mills *mills, const struct leat_mills_form *form, struct leat_current *current)
{
	memset(mills, 0, sizeof(*mills));
	mills->form = form;
	mills->current = current;
	mills->time = mills->earliest = LEAT_TIME_NONE;
}

struct leat_mill *
leat_mills_known(struct leat_mills *mills, struct leat_span asset)
{
	uint32_t number = leat_names_get(&mills->names, leat_asset_mill(asset));

	return number != LEAT_NAME_NONE && mills->mill[number].known ? &mills->mill[number] : NULL;
}

/* The number of the mill of an asset, new if need be; LEAT_NAME_NONE when memory is out. */
static uint32_t
mill_number(struct leat_mills *mills, struct leat_span asset)
{
	uint32_t number = leat_names_put(&mills->names, leat_asset_mill(asset));
	struct leat_mill *mill;

	if (number == LEAT_NAME_NONE || number < mills->count)
		return number;
	if (leat_grow(&mills->mill, &mills->cap, mills->count + 1, sizeof(*mills->mill)) != 0)
		return LEAT_NAME_NONE;
	mill = &mills->mill[mills->count++];
	mill->asset = mills->names.name[number];
	mill->due = LEAT_TIME_NONE;
	for (size_t i = 0; i < LEAT_MILLS_SLOTS; i++)
		mill->series[i] = LEAT_NAME_NONE;
	return number;
}

int
leat_mills_number(struct leat_mills *mills, struct leat_span asset, size_t *number)
{
	uint32_t found = mill_number(mills, asset);

	*number = found;
	return found != LEAT_NAME_NONE ? 0 : -1;
}

/* "NM/pump-a" is a part of "NM" named pump...; "NM" itself counts too. */
static bool
is_part(const struct leat_mills_form *form, struct leat_span asset, struct leat_span mill)
{
	struct leat_span rest;

	if (asset.len == mill.len)
		return true;
	rest = leat_span_make(asset.ptr + mill.len + 1, asset.len - mill.len - 1);
	return leat_span_starts(rest, form->part) && leat_span_find(rest, '/') == rest.len;
}

/* Finds out once what a series is to its mill. */
static int
resolve(struct leat_mills *mills, const struct leat_reading *r)
{
	const struct leat_mills_form *form = mills->form;
	struct leat_mill *mill;
	uint32_t number = mill_number(mills, r->asset);
	bool placed = false;

	if (number == LEAT_NAME_NONE)
		return -1;
	mill = &mills->mill[number];
	if (form->part_point != NULL && leat_span_is(r->point, form->part_point) && is_part(form, r->asset, mill->asset)) {
		if (leat_grow(&mill->part, &mill->part_cap, mill->parts + 1, sizeof(*mill->part)) != 0)
			return -1;
		mill->part[mill->parts++] = r->series;
		placed = true;
	}
	for (size_t i = 0; i < form->points && r->asset.len == mill->asset.len; i++) {
		if (!leat_span_is(r->point, form->point[i]))
			continue;
		mill->series[i] = r->series;
		placed = true;
		mill->known = mill->known || i < form->founding;
	}
	mills->of_series[r->series] = (struct leat_mills_series){ true, placed, number };
	return 0;
}

/* Notes that the mill of a reading has had a row. */
static int
touch(struct leat_mills *mills, const struct leat_reading *r)
{
	struct leat_mill *mill;
	size_t number;

	if (r->series >= mills->series_cap && leat_grow(&mills->of_series, &mills->series_cap, (size_t)r->series + 1,
	    sizeof(*mills->of_series)) != 0)
		return -1;
	if (!mills->of_series[r->series].resolved && resolve(mills, r) != 0)
		return -1;
	mills->time = r->time;
	number = mills->of_series[r->series].mill;
	mill = &mills->mill[number];
	if (mill->touched)
		return 0;
	if (leat_grow(&mills->touched, &mills->touch_cap, mills->touches + 1, sizeof(*mills->touched)) != 0)
		return -1;
	mills->touched[mills->touches++] = number;
	mill->touched = true;
	return 0;
}

int
leat_mills_put(struct leat_mills *mills, const struct leat_reading *r)
{
	return touch(mills, r) != 0 ? -1 : leat_current_put(mills->current, r);
}

int
leat_mills_put_form(struct leat_mills *mills, const struct leat_reading *r)
{
	if (touch(mills, r) != 0)
		return -1;
	return (mills->of_series[r->series].placed ? leat_current_put : leat_current_pass)(mills->current, r);
}

static void
sooner(struct leat_time *due, struct leat_time t)
{
	if (!leat_time_is_none(t) && (leat_time_is_none(*due) || leat_time_cmp(t, *due) < 0))
		*due = t;
}

void
leat_mills_wake(struct leat_mills *mills, struct leat_mill *mill, struct leat_time t)
{
	sooner(&mill->due, t);
	sooner(&mills->earliest, t);
}

/* When the first of the mill's valid readings runs out, of those that were still valid at seen. */
static void
set_due(struct leat_mills *mills, struct leat_mill *mill, struct leat_time seen)
{
	mill->due = LEAT_TIME_NONE;
	for (size_t i = 0; i < mills->form->points + mill->parts; i++) {
		uint32_t series = i < mills->form->points ? mill->series[i] : mill->part[i - mills->form->points];
		struct leat_time expiry = series != LEAT_NAME_NONE ? leat_current_expiry(mills->current, series) :
		    LEAT_TIME_NONE;

		if (!leat_time_is_none(expiry) && leat_time_cmp(expiry, seen) >= 0)
			leat_mills_wake(mills, mill, expiry);
	}
}

/* The next of the touched mills that is known. */
static struct leat_mill *
next_touched(struct leat_mills *mills)
{
	while (mills->looked < mills->touches) {
		struct leat_mill *mill = &mills->mill[mills->touched[mills->looked++]];

		mill->touched = false;
		if (mill->known)
			return mill;
	}
	mills->looked = mills->touches = 0;
	return NULL;
}

/* The known mill that falls due first before until.  All mills are gone through only when one may be due. */
static struct leat_mill *
next_due(struct leat_mills *mills, struct leat_time until)
{
	struct leat_mill *first = NULL;

	if (leat_time_is_none(mills->earliest) || leat_time_cmp(mills->earliest, until) >= 0)
		return NULL;
	mills->earliest = LEAT_TIME_NONE;
	for (size_t i = 0; i < mills->count; i++) {
		struct leat_mill *mill = &mills->mill[i];

		if (!mill->known || leat_time_is_none(mill->due))
			continue;
		sooner(&mills->earliest, mill->due);
		if (leat_time_cmp(mill->due, until) < 0 && (first == NULL || leat_time_cmp(mill->due, first->due) < 0))
			first = mill;
	}
	return first;
}

struct leat_mill *
leat_mills_due(struct leat_mills *mills, struct leat_time until, struct leat_time *at, struct leat_time *seen)
{
	struct leat_mill *mill;

	if (leat_time_is_none(mills->time) || leat_time_cmp(mills->time, until) == 0)
		return NULL;
	mill = next_touched(mills);
	if (mill != NULL) {
		mill->by_rows = true;
		*at = mills->time;
	} else {
		mill = leat_time_is_none(until) ? NULL : next_due(mills, until);
		if (mill == NULL)
			return NULL;
		mill->by_rows = false;
		*at = mill->due;
	}
	*seen = leat_time_add(*at, 1e-9);
	set_due(mills, mill, *seen);
	return mill;
}

const struct leat_latest *
leat_mills_latest(const struct leat_mills *mills, const struct leat_mill *mill, size_t slot, struct leat_time seen)
{
	return mill->series[slot] != LEAT_NAME_NONE ? leat_current_series(mills->current, mill->series[slot], seen) : NULL;
}

void
leat_mills_free(struct leat_mills *mills)
{
	for (size_t i = 0; i < mills->count; i++)
		free(mills->mill[i].part);
	free(mills->mill);
	free(mills->of_series);
	free(mills->touched);
	leat_names_free(&mills->names);
	memset(mills, 0, sizeof(*mills));
}
