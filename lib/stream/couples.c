/* Pairs of points to be set beside each other. */
#include <stdlib.h>

#include "stream/couples.h"

enum column { FIRST, SECOND, ASSET, POINT, WITHIN, COLUMNS };

static const char *const columns[COLUMNS] = { "first", "second", "asset", "point", "within" };

static const struct leat_table_form form = { "pairs", columns, COLUMNS, 2 };

bool
leat_couple_operand(struct leat_span text, struct leat_span *asset, struct leat_span *point)
{
	size_t slash = text.len;

	while (slash > 0 && text.ptr[slash - 1] != '/')
		slash--;
	if (slash < 2 || slash == text.len)
		return false;
	*asset = leat_span_make(text.ptr, slash - 1);
	*point = leat_span_make(text.ptr + slash, text.len - slash);
	return true;
}

int
leat_couples_add(struct leat_couples *couples, const struct leat_couple *pair, struct leat_error *err)
{
	if (leat_span_eq(pair->asset_of[0], pair->asset_of[1]) && leat_span_eq(pair->point_of[0], pair->point_of[1]))
		return leat_error_set(err, "the first and the second are the same: '%.*s/%.*s'", (int)pair->asset_of[0].len,
		    pair->asset_of[0].ptr, (int)pair->point_of[0].len, pair->point_of[0].ptr);
	for (size_t i = 0; i < couples->count; i++)
		if (leat_span_eq(couples->row[i].asset, pair->asset) && leat_span_eq(couples->row[i].point, pair->point))
			return leat_error_set(err, "two pairs would both make '%.*s/%.*s': name one of them otherwise",
			    (int)pair->asset.len, pair->asset.ptr, (int)pair->point.len, pair->point.ptr);
	if (leat_grow(&couples->row, &couples->cap, couples->count + 1, sizeof(*couples->row)) != 0)
		return leat_error_memory(err);
	couples->row[couples->count++] = *pair;
	return 0;
}

static int
take_row(struct leat_couples *couples, size_t i, struct leat_error *err)
{
	const struct leat_table *t = couples->table;
	struct leat_couple pair = { .within_s = 0 };
	struct leat_span cell;

	for (size_t k = 0; k < 2; k++)
		if (!leat_couple_operand(leat_table_cell(t, i, FIRST + k), &pair.asset_of[k], &pair.point_of[k]))
			return leat_table_fault(t, i, FIRST + k, err, "not ASSET/POINT such as NM/pressure");
	cell = leat_table_cell(t, i, ASSET);
	pair.asset = cell.len > 0 ? cell : pair.asset_of[0];
	cell = leat_table_cell(t, i, POINT);
	pair.point = cell.len > 0 ? cell : pair.point_of[0];
	if (leat_table_duration(t, i, WITHIN, &pair.within_s, err) < 0)
		return -1;
	if (leat_couples_add(couples, &pair, err) != 0)
		return leat_error_at(err, leat_table_file(t), leat_table_line(t, i));
	return 0;
}

int
leat_couples_read(struct leat_couples *couples, const char *path, struct leat_error *err)
{
	bool missing = false;

	couples->table = leat_table_read(path, &form, &missing, err);
	if (couples->table == NULL)
		return missing ? leat_error_set(err, "no such table: '%s'", path) : -1;
	for (size_t i = 0; i < leat_table_rows(couples->table); i++)
		if (take_row(couples, i, err) != 0)
			return -1;
	return 0;
}

void
leat_couples_free(struct leat_couples *couples)
{
	leat_table_free(couples->table);
	free(couples->row);
	memset(couples, 0, sizeof(*couples));
}
