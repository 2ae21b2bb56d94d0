/* points.csv: foreign tags, their assets and points. */
#include <stdio.h>
#include <stdlib.h>

#include "stream/points.h"

enum column { TAG, ASSET, POINT, UNIT, SOURCE_UNIT, SCALE, OFFSET, MIN, MAX, STATES, HOLD, COLUMNS };

static const char *const columns[COLUMNS] = {
	"tag", "asset", "point", "unit", "source_unit", "scale", "offset", "min", "max", "states", "hold"
};

const struct leat_table_form leat_points_form = { "points", columns, COLUMNS, 3 };

#define HOLD_DEFAULT_S 900.0

struct leat_span
leat_asset_mill(struct leat_span asset)
{
	return leat_span_make(asset.ptr, leat_span_find(asset, '/'));
}

bool
leat_asset_parent(struct leat_span asset, struct leat_span *parent)
{
	size_t len = asset.len;

	while (len > 0 && asset.ptr[len - 1] != '/')
		len--;
	if (len <= 1)
		return false;
	*parent = leat_span_make(asset.ptr, len - 1);
	return true;
}

bool
leat_asset_within(struct leat_span a, struct leat_span b)
{
	return leat_span_eq(a, b) || (a.len > b.len && a.ptr[b.len] == '/' && memcmp(a.ptr, b.ptr, b.len) == 0);
}

bool
leat_asset_kin(struct leat_span a, struct leat_span b)
{
	struct leat_span above = a.len < b.len ? a : b, below = a.len < b.len ? b : a;

	return above.len == 0 || leat_span_eq(above, below) ||
	    (leat_span_eq(above, leat_span_make(below.ptr, above.len)) && below.ptr[above.len] == '/');
}

/* A path of any depth without empty parts and without the characters of globs. */
static bool
is_path(struct leat_span s)
{
	bool part = false;

	for (size_t i = 0; i < s.len; i++) {
		if (s.ptr[i] == '*' || s.ptr[i] == '?')
			return false;
		if (s.ptr[i] == '/' && !part)
			return false;
		part = s.ptr[i] != '/';
	}
	return part;
}

static int
take_names(const struct leat_table *t, size_t i, struct leat_point *row, struct leat_error *err)
{
	row->tag = leat_table_cell(t, i, TAG);
	row->asset = leat_table_cell(t, i, ASSET);
	row->point = leat_table_cell(t, i, POINT);
	row->states = leat_table_cell(t, i, STATES);
	if (row->point.len == 0)
		return leat_table_fault(t, i, POINT, err, "a row needs its point (delete the row of a tag without use)");
	if (row->asset.len == 0)
		return leat_table_fault(t, i, ASSET, err, "a row needs its asset, the mill or part it belongs to");
	if (!is_path(row->asset))
		return leat_table_fault(t, i, ASSET, err, "not an asset such as NM or NM/pump-a, without * and ?");
	if (!is_path(row->point))
		return leat_table_fault(t, i, POINT, err, "not a point name, without / at its ends, * and ?");
	return 0;
}

/* What the unit of the readings is: the row's, else that of leat-points(7), else that of the export. */
static int
take_units(const struct leat_table *t, size_t i, struct leat_point *row, struct leat_error *err)
{
	const struct leat_point_info *info = leat_point_find(row->point);
	const struct leat_unit *own = NULL;

	if (info != NULL && info->unit[0] != '\0')
		own = leat_unit_find(leat_span_of(info->unit));
	if (leat_table_unit(t, i, UNIT, &row->unit, err) < 0 ||
	    leat_table_unit(t, i, SOURCE_UNIT, &row->source_unit, err) < 0)
		return -1;
	if (info != NULL && own == NULL && row->unit != NULL)
		return leat_table_fault(t, i, UNIT, err, "this point has no unit in leat-points(7)");
	if (info != NULL && own == NULL && row->source_unit != NULL)
		return leat_table_fault(t, i, SOURCE_UNIT, err, "this point has no unit in leat-points(7)");
	if (row->unit == NULL)
		row->unit = own != NULL ? own : row->source_unit;
	if (own != NULL && !leat_unit_same_dimension(row->unit, own))
		return leat_table_fault(t, i, UNIT, err, "a unit of another dimension than the point's in leat-points(7)");
	if (row->source_unit != NULL && !leat_unit_same_dimension(row->unit, row->source_unit))
		return leat_table_fault(t, i, SOURCE_UNIT, err, "a unit of another dimension than that of the readings");
	return 0;
}

static int
take_numbers(const struct leat_table *t, size_t i, struct leat_point *row, struct leat_error *err)
{
	int scale, offset, min, max, hold;

	row->scale = 1;
	row->hold_s = -1;
	scale = leat_table_number(t, i, SCALE, &row->scale, err);
	offset = scale < 0 ? -1 : leat_table_number(t, i, OFFSET, &row->offset, err);
	min = offset < 0 ? -1 : leat_table_number(t, i, MIN, &row->min, err);
	max = min < 0 ? -1 : leat_table_number(t, i, MAX, &row->max, err);
	hold = max < 0 ? -1 : leat_table_duration(t, i, HOLD, &row->hold_s, err);
	if (hold < 0)
		return -1;
	if (scale == 1 && row->scale == 0)
		return leat_table_fault(t, i, SCALE, err, "a scale of zero makes every value equal");
	if (min == 1 && max == 1 && row->min >= row->max)
		return leat_table_fault(t, i, MAX, err, "the instrument's range must end above its 'min'");
	if (hold == 1 && row->hold_s <= 0)
		return leat_table_fault(t, i, HOLD, err, "a hold must be longer than zero");
	row->has_scale = scale == 1 || offset == 1;
	row->has_min = min == 1;
	row->has_max = max == 1;
	return 0;
}

/* Each part of "Running=on|Stopped=off" has two sides, and a switch knows no other states. */
static int
check_states(const struct leat_table *t, size_t i, const struct leat_point *row, struct leat_error *err)
{
	const struct leat_point_info *info = leat_point_find(row->point);
	struct leat_span states = row->states, rest = states, part, word;

	if (states.len == 0)
		return 0;
	while (leat_span_next(&rest, '|', &part)) {
		size_t eq = leat_span_find(part, '=');

		if (eq == part.len || leat_span_trim(leat_span_make(part.ptr, eq)).len == 0 ||
		    leat_span_trim(leat_span_make(part.ptr + eq + 1, part.len - eq - 1)).len == 0)
			return leat_table_fault(t, i, STATES, err, "not a map of states such as Running=on|Stopped=off");
		word = leat_span_trim(leat_span_make(part.ptr + eq + 1, part.len - eq - 1));
		if (info != NULL && info->kind == LEAT_KIND_SWITCH && !leat_span_is(word, "on") && !leat_span_is(word, "off"))
			return leat_table_fault(t, i, STATES, err, "a switch has the states on and off alone, as in Running=on|Stopped=off");
	}
	return 0;
}

static int
check_twice(const struct leat_points *points, size_t i, struct leat_error *err)
{
	const struct leat_point *row = &points->row[i];
	char text[96];

	for (size_t j = 0; row->tag.len == 0 && j < i; j++) {
		const struct leat_point *other = &points->row[j];

		if (other->tag.len != 0 || !leat_span_eq(other->point, row->point) ||
		    !leat_span_eq(other->asset, row->asset))
			continue;
		snprintf(text, sizeof(text), "this asset has the point already in line %ld", other->line);
		return leat_table_fault(points->table, i, POINT, err, text);
	}
	return 0;
}

/* Registers the row under its tag. */
static int
take_tag(struct leat_points *points, size_t i, struct leat_error *err)
{
	const struct leat_point *row = &points->row[i];
	size_t known = points->tags.count;
	uint32_t number;
	char text[96];

	if (row->tag.len == 0)
		return check_twice(points, i, err);
	number = leat_names_put(&points->tags, row->tag);
	if (number == LEAT_NAME_NONE ||
	    leat_grow(&points->by_tag, &points->by_tag_cap, points->tags.count, sizeof(*points->by_tag)) != 0)
		return leat_error_memory(err);
	if (number < known) {
		snprintf(text, sizeof(text), "the tag comes twice, first in line %ld",
		    points->row[points->by_tag[number]].line);
		return leat_table_fault(points->table, i, TAG, err, text);
	}
	points->by_tag[number] = i;
	return 0;
}

static int
take_row(struct leat_points *points, size_t i, struct leat_error *err)
{
	struct leat_point *row;

	if (leat_grow(&points->row, &points->cap, i + 1, sizeof(*points->row)) != 0)
		return leat_error_memory(err);
	row = &points->row[i];
	row->line = leat_table_line(points->table, i);
	if (take_names(points->table, i, row, err) != 0 || take_units(points->table, i, row, err) != 0 ||
	    take_numbers(points->table, i, row, err) != 0 || check_states(points->table, i, row, err) != 0 ||
	    take_tag(points, i, err) != 0)
		return -1;
	points->count = i + 1;
	return 0;
}

int
leat_points_make(struct leat_points *points, struct leat_table *table, struct leat_error *err)
{
	memset(points, 0, sizeof(*points));
	points->table = table;
	for (size_t i = 0; table != NULL && i < leat_table_rows(table); i++) {
		if (take_row(points, i, err) != 0) {
			points->table = NULL;
			leat_points_free(points);
			return -1;
		}
	}
	return 0;
}

int
leat_points_read(struct leat_points *points, const char *path, bool *absent, struct leat_error *err)
{
	struct leat_table *table;

	memset(points, 0, sizeof(*points));
	if (leat_table_optional(&table, path, &leat_points_form, absent, err) == 0 &&
	    leat_points_make(points, table, err) == 0)
		return 0;
	leat_table_free(table);
	return -1;
}

const struct leat_point *
leat_points_tag(const struct leat_points *points, struct leat_span tag)
{
	uint32_t number = leat_names_get(&points->tags, tag);

	return number == LEAT_NAME_NONE ? NULL : &points->row[points->by_tag[number]];
}

const struct leat_point *
leat_points_named(const struct leat_points *points, struct leat_span name)
{
	for (size_t i = 0; i < points->count; i++) {
		const struct leat_point *row = &points->row[i];
		size_t len = row->asset.len;

		if (row->tag.len == 0 && name.len == len + 1 + row->point.len && name.ptr[len] == '/' &&
		    leat_span_eq(leat_span_make(name.ptr, len), row->asset) &&
		    leat_span_eq(leat_span_make(name.ptr + len + 1, row->point.len), row->point))
			return row;
	}
	return NULL;
}

const struct leat_point *
leat_points_series(const struct leat_points *points, struct leat_span asset, struct leat_span point)
{
	for (size_t i = 0; i < points->count; i++)
		if (leat_span_eq(points->row[i].point, point) && leat_span_eq(points->row[i].asset, asset))
			return &points->row[i];
	return NULL;
}

double
leat_points_hold(const struct leat_points *points, struct leat_span asset, struct leat_span point)
{
	const struct leat_point *row = points != NULL ? leat_points_series(points, asset, point) : NULL;
	const struct leat_point_info *info;

	if (row != NULL && row->hold_s >= 0)
		return row->hold_s;
	info = leat_point_find(point);
	return info != NULL ? info->hold_s : HOLD_DEFAULT_S;
}

/* Equal without regard to ASCII case. */
static bool
same_text(struct leat_span a, struct leat_span b)
{
	if (a.len != b.len)
		return false;
	for (size_t i = 0; i < a.len; i++) {
		char x = a.ptr[i], y = b.ptr[i];

		if (x >= 'A' && x <= 'Z')
			x = (char)(x - 'A' + 'a');
		if (y >= 'A' && y <= 'Z')
			y = (char)(y - 'A' + 'a');
		if (x != y)
			return false;
	}
	return true;
}

bool
leat_point_state(const struct leat_point *row, struct leat_span text, struct leat_span *word)
{
	struct leat_span rest = row->states, part;

	if (row->states.len == 0)
		return false;
	text = leat_span_trim_wide(text);
	while (leat_span_next(&rest, '|', &part)) {
		size_t eq = leat_span_find(part, '=');

		if (!same_text(leat_span_trim(leat_span_make(part.ptr, eq)), text))
			continue;
		*word = leat_span_trim(leat_span_make(part.ptr + eq + 1, part.len - eq - 1));
		return true;
	}
	return false;
}

void
leat_points_free(struct leat_points *points)
{
	leat_table_free(points->table);
	leat_names_free(&points->tags);
	free(points->row);
	free(points->by_tag);
	memset(points, 0, sizeof(*points));
}
