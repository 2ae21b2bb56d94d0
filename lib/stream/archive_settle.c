/*
 * The order of the rows of one time, and what is told of rows that are not stored.
 */
#include <stdio.h>
#include <stdlib.h>

#include "stream/archive_private.h"

static int
by_names(const void *va, const void *vb)
{
	const struct leat_archive_order *a = va, *b = vb;
	int order = leat_span_cmp(a->asset, b->asset);

	return order != 0 ? order : leat_span_cmp(a->point, b->point);
}

/* Mostly the series of a time are those of the time before, in the order in which they came then too. */
static bool
same_series(const struct leat_archiver *w)
{
	if (w->orders != w->both.count)
		return false;
	for (size_t i = 0; i < w->orders; i++) {
		if (w->both.item[w->order[i].item].series != w->order[i].series)
			return false;
	}
	return true;
}

int
leat_archive_order(struct leat_archiver *w)
{
	if (same_series(w))
		return 0;
	if (leat_grow(&w->order, &w->order_cap, w->both.count, sizeof(*w->order)) != 0)
		return -1;
	w->orders = w->both.count;
	for (size_t i = 0; i < w->orders; i++) {
		uint32_t series = w->both.item[i].series;
		uint64_t pair = w->series.pair[series];

		w->order[i] = (struct leat_archive_order){ w->assets.name[pair >> 32], w->points.name[(uint32_t)pair], series,
		    (uint32_t)i };
	}
	if (w->orders > 1)
		qsort(w->order, w->orders, sizeof(*w->order), by_names);
	return 0;
}

/* Notes a conflict for the findings, and the rows that are not stored. */
static int
note(struct leat_archiver *w, uint32_t series, struct leat_time time, long long rows, struct leat_error *err)
{
	struct leat_archive_conflict *c;

	if (leat_grow(&w->conflict, &w->conflict_cap, (size_t)series + 1, sizeof(*w->conflict)) != 0)
		return leat_error_memory(err);
	c = &w->conflict[series];
	if (c->rows == 0)
		c->first = time;
	c->rows += rows;
	c->last = time;
	w->sum.conflicts += rows;
	return 0;
}

/* Tells of one row; value may be cut. */
static int
tell(struct leat_archiver *w, struct leat_error *told, const struct leat_settled *item, struct leat_time time,
    struct leat_origin origin, struct leat_span value, uint32_t unit, struct leat_error *err)
{
	uint64_t pair = w->series.pair[item->series];
	struct leat_buf raw = { 0 };
	char stamp[LEAT_TIME_MAX];

	leat_error_at(told, leat_readings_source(w->in, origin.source), origin.line);
	leat_error_column(told, LEAT_SPAN("value"));
	leat_error_value(told, value);
	if (leat_archive_row(&raw, leat_span_make(stamp, leat_time_write(stamp, time)), w->assets.name[pair >> 32],
	    w->points.name[(uint32_t)pair], value, w->units.name[unit], item->quality) != 0) {
		leat_buf_free(&raw);
		return leat_error_memory(err);
	}
	w->set_aside(told, leat_span_make(raw.data, raw.len - 1));
	leat_buf_free(&raw);
	return 0;
}

int
leat_archive_set_aside_new(struct leat_archiver *w, const struct leat_settled *item, struct leat_error *err)
{
	struct leat_span value = leat_settle_value(&w->fresh, item), other = leat_span_of(item->other_value);
	struct leat_error told = { 0 };
	char kept[sizeof(item->other_value)];

	leat_error_set(&told, "differs from '%s' for the same time in %.100s:%ld, neither is archived", item->other_value,
	    leat_readings_source(w->in, item->other.source), item->other.line);
	if (tell(w, &told, item, w->fresh.time, item->origin, value, item->token, err) != 0)
		return -1;
	leat_error_set(&told, "differs from '%s' for the same time in %.100s:%ld, neither is archived",
	    leat_mask(kept, sizeof(kept), value), leat_readings_source(w->in, item->origin.source), item->origin.line);
	if (tell(w, &told, item, w->fresh.time, item->other, other, item->other_token, err) != 0)
		return -1;
	return note(w, item->series, w->fresh.time, item->count, err);
}

int
leat_archive_set_aside_old(struct leat_archiver *w, const struct leat_settled *item, struct leat_error *err)
{
	struct leat_origin origin = { item->other.source - 1, item->other.line };
	struct leat_error told = { 0 };
	char kept[sizeof(item->other_value)];

	leat_mask(kept, sizeof(kept), leat_settle_value(&w->both, item));
	if (item->token == item->other_token)
		leat_error_set(&told, "differs from '%s' in the archive, which stays", kept);
	else
		leat_error_set(&told, "another unit than that of '%s' in the archive, which stays", kept);
	if (tell(w, &told, item, w->both.time, origin, leat_span_of(item->other_value), item->other_token,
	    err) != 0)
		return -1;
	return note(w, item->series, w->both.time, 1, err);
}

void
leat_archiver_findings(const struct leat_archiver *w, struct leat_time time, bool committed,
    void (*emit)(const struct leat_finding *))
{
	char number[24], message[256], first[LEAT_TIME_MAX], last[LEAT_TIME_MAX];

	if (committed)
		leat_archive_tell_replaced(w, time, emit);
	for (size_t i = 0; i < w->conflict_cap; i++) {
		const struct leat_archive_conflict *c = &w->conflict[i];
		struct leat_finding f = {
			.time = time, .rule = LEAT_SPAN("archive-conflict"), .status = LEAT_STATUS_UNKNOWN, .since = c->first,
			.until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE, .shelved = LEAT_TIME_NONE
		};

		if (c->rows == 0)
			continue;
		leat_time_write(first, c->first);
		leat_time_write(last, c->last);
		snprintf(number, sizeof(number), "%lld", c->rows);
		snprintf(message, sizeof(message), "readings not archived, because they differ from the archive or from each "
		    "other, %s to %s (option -r keeps them): %s", first, last, number);
		f.asset = w->assets.name[w->series.pair[i] >> 32];
		f.point = w->points.name[(uint32_t)w->series.pair[i]];
		f.value = leat_span_of(number);
		f.message = leat_span_of(message);
		emit(&f);
	}
}
