/* Entries of the logbook: completing, checking and writing one. */
#include <stdio.h>

#include "base/number.h"
#include "stream/nearest.h"
#include "stream/out.h"
#include "stream/rows.h"
#include "upkeep/logbook.h"

/* A line stays within a page, so that one writing of it is as whole as a disk allows. */
#define NAME_MAX_BYTES 200u
#define NOTE_MAX_BYTES 1500u

#define LATEST_S 86400.0	/* how much later than now an entry may be: clocks of people and offices differ */

static int
fault(struct leat_error *err, const char *column, struct leat_span value, const char *text)
{
	leat_error_set(err, "%s", text);
	leat_error_column(err, leat_span_of(column));
	if (value.len > 0)
		leat_error_value(err, value);
	return -1;
}

/* The row of points.csv that says most of a point at an asset: its own, else any of that point. */
static const struct leat_point *
works_point(const struct leat_points *points, struct leat_span asset, struct leat_span point)
{
	const struct leat_point *row = points != NULL ? leat_points_series(points, asset, point) : NULL;

	for (size_t i = 0; row == NULL && points != NULL && i < points->count; i++)
		if (leat_span_eq(points->row[i].point, point))
			row = &points->row[i];
	return row;
}

static bool
is_number(struct leat_span text)
{
	double ignored;

	return leat_double_parse(text, &ignored) == 0;
}

struct leat_span
leat_log_entry_value(const struct leat_log_entry *e)
{
	return e->left.len > 0 ? e->left : e->found;
}

void
leat_log_entry_complete(struct leat_log_entry *e, const struct leat_points *points)
{
	const struct leat_point_info *info;
	const struct leat_point *row;

	if (e->point.len == 0 && e->event->point != NULL)
		e->point = leat_span_of(e->event->point);
	if (e->unit != NULL || !is_number(leat_log_entry_value(e)))
		return;
	info = leat_point_find(e->point);
	row = works_point(points, e->asset, e->point);
	if (info != NULL && info->unit[0] != '\0')
		e->unit = leat_unit_find(leat_span_of(info->unit));
	else if (info == NULL && row != NULL)
		e->unit = row->unit;
}

static int
check_texts(const struct leat_log_entry *e, struct leat_error *err)
{
	const struct { const char *column; struct leat_span text; size_t max; } field[] = {
		{ "asset", e->asset, NAME_MAX_BYTES }, { "task", e->task, NAME_MAX_BYTES },
		{ "point", e->point, NAME_MAX_BYTES }, { "found", e->found, NAME_MAX_BYTES },
		{ "left", e->left, NAME_MAX_BYTES }, { "item", e->item, NAME_MAX_BYTES },
		{ "who", e->who, NAME_MAX_BYTES }, { "note", e->note, NOTE_MAX_BYTES }
	};
	char text[96];

	for (size_t i = 0; i < sizeof(field) / sizeof(field[0]); i++) {
		const char *what = leat_field_fault(field[i].text);

		if (what != NULL) {
			snprintf(text, sizeof(text), "%s: an entry is one line of text in UTF-8", what);
			return fault(err, field[i].column, field[i].text, text);
		}
		if (field[i].text.len <= field[i].max)
			continue;
		snprintf(text, sizeof(text), "longer than %zu bytes", field[i].max);
		return fault(err, field[i].column, field[i].text, text);
	}
	return 0;
}

/* A path without empty parts and without the characters of globs. */
static int
check_asset(struct leat_span asset, struct leat_error *err)
{
	struct leat_span rest = asset, part;

	if (asset.len == 0)
		return fault(err, "asset", asset, "an entry needs its asset (- is the works)");
	while (leat_span_next(&rest, '/', &part))
		if (part.len == 0)
			return fault(err, "asset", asset, "a path with an empty part: write it as NM/pump-a");
	if (leat_span_find(asset, '*') < asset.len || leat_span_find(asset, '?') < asset.len)
		return fault(err, "asset", asset, "an asset's own name is due, without * and ?");
	return 0;
}

static int
check_needs(const struct leat_log_entry *e, struct leat_error *err)
{
	const struct { unsigned need; const char *column; bool there; const char *what; } need[] = {
		{ LEAT_NEEDS_POINT, "point", e->point.len > 0, "the point that was measured or counted" },
		{ LEAT_NEEDS_VALUE, "left", leat_log_entry_value(e).len > 0, "a value, as found or as left" },
		{ LEAT_NEEDS_LEFT, "left", e->left.len > 0, "the value as left" },
		{ LEAT_NEEDS_ITEM, "item", e->item.len > 0, "the serial number of what is there now" },
		{ LEAT_NEEDS_NOTE, "note", e->note.len > 0, "its text" }
	};
	char text[128];

	for (size_t i = 0; i < sizeof(need) / sizeof(need[0]); i++) {
		if ((e->event->needs & need[i].need) == 0 || need[i].there)
			continue;
		snprintf(text, sizeof(text), "missing: an entry of %s needs %s", e->event->name, need[i].what);
		return fault(err, need[i].column, leat_span_make("", 0), text);
	}
	if (e->who.len == 0)
		return fault(err, "who", e->who, "missing: an entry needs who made it (a name, a shift, a crew)");
	return 0;
}

static int
unknown_point(struct leat_span point, struct leat_error *err)
{
	struct leat_nearest nearest = { .word = point };
	const struct leat_point_info *info;
	char text[200] = "unknown point: neither in leat-points(7) nor in points.csv";

	for (size_t i = 0; (info = leat_point_at(i)) != NULL; i++)
		leat_nearest_offer(&nearest, info->name);
	if (nearest.name != NULL)
		snprintf(text, sizeof(text), "unknown point, did you mean '%s'? (neither in leat-points(7) nor in points.csv)",
		    nearest.name);
	return fault(err, "point", point, text);
}

/* One value of a point of that kind; info is NULL for a point of the works' own. */
static int
check_value(const char *column, struct leat_span value, const struct leat_point_info *info, struct leat_error *err)
{
	bool number = is_number(value);

	if (value.len == 0 || info == NULL)
		return 0;
	if ((info->kind == LEAT_KIND_ANALOGUE || info->kind == LEAT_KIND_STEP) && !number)
		return fault(err, column, value, "not a number");
	if (info->kind == LEAT_KIND_SWITCH && !leat_span_is(value, "on") && !leat_span_is(value, "off"))
		return fault(err, column, value, "neither on nor off");
	if (info->kind == LEAT_KIND_WORD && number)
		return fault(err, column, value, "a number where the point has words");
	return 0;
}

static int
check_unit(const struct leat_log_entry *e, const struct leat_point_info *info, const struct leat_point *row,
    struct leat_error *err)
{
	const struct leat_unit *own = info != NULL ? leat_unit_find(leat_span_of(info->unit)) : row->unit;
	bool number = is_number(e->found) || is_number(e->left);
	char text[128];

	if (e->unit == NULL)
		return 0;
	if (!number)
		return fault(err, "unit", leat_span_of(e->unit->name), "a unit without a number");
	if (own == NULL || leat_unit_same_dimension(e->unit, own))
		return 0;
	snprintf(text, sizeof(text), "a unit of another dimension than the point's '%s'", own->name);
	return fault(err, "unit", leat_span_of(e->unit->name), text);
}

static int
check_measurement(const struct leat_log_entry *e, const struct leat_points *points, struct leat_error *err)
{
	const struct leat_point_info *info = leat_point_find(e->point);
	const struct leat_point *row = works_point(points, e->asset, e->point);

	if (e->point.len == 0) {
		if (leat_log_entry_value(e).len > 0 || e->unit != NULL)
			return fault(err, "point", e->point, "missing: a value or unit needs its point (words belong into note)");
		return 0;
	}
	if (info == NULL && row == NULL)
		return unknown_point(e->point, err);
	if (check_value("found", e->found, info, err) != 0 || check_value("left", e->left, info, err) != 0)
		return -1;
	return check_unit(e, info, row, err);
}

/* The name of a task is a slug, as in tasks.csv. */
static int
check_task(struct leat_span task, struct leat_error *err)
{
	for (size_t i = 0; i < task.len; i++) {
		char c = task.ptr[i];

		if (!((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || strchr("-_.", c) != NULL))
			return fault(err, "task", task, "not the name of a task: letters, digits, -, _ and . only");
	}
	return 0;
}

int
leat_log_entry_check(const struct leat_log_entry *e, const struct leat_log_rules *rules, struct leat_error *err)
{
	char text[LEAT_TIME_MAX];

	if (check_texts(e, err) != 0 || check_asset(e->asset, err) != 0)
		return -1;
	if (!leat_time_is_none(rules->now) && leat_time_diff(e->time, rules->now) > LATEST_S)
		return fault(err, "time", leat_span_make(text, leat_time_write(text, e->time)), "more than a day later than now");
	if (check_task(e->task, err) != 0 || check_needs(e, err) != 0)
		return -1;
	return check_measurement(e, rules->points, err);
}

int
leat_log_entry_line(struct leat_buf *buf, const struct leat_log_entry *e)
{
	char time[LEAT_TIME_MAX];
	const struct leat_span field[] = {
		leat_span_make(time, leat_time_write(time, e->time)), e->asset, leat_span_of(e->event->name), e->task, e->point,
		e->found, e->left, leat_span_of(e->unit != NULL ? e->unit->name : NULL), e->item, e->who, e->note
	};
	size_t count = sizeof(field) / sizeof(field[0]);

	for (size_t i = 0; i < count; i++)
		if (leat_out_field_to(buf, field[i]) != 0 || leat_buf_add(buf, i + 1 < count ? "," : "\n", 1) != 0)
			return -1;
	return 0;
}
