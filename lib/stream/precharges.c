/* precharge.csv: reading its rows, and the curve between them. */
#include <stdio.h>
#include <stdlib.h>

#include "stream/precharges.h"
#include "stream/points.h"

enum column { ASSET, GRINDING, PRECHARGE, UNIT, SOURCE, COLUMNS };

static const char *const columns[COLUMNS] = { "asset", "grinding_pressure", "precharge", "unit", "source" };

const struct leat_table_form leat_precharges_form = { "precharge", columns, COLUMNS, 3 };

static int
take_pressure(const struct leat_table *t, size_t i, enum column column, const struct leat_unit *unit, double *bar,
    struct leat_error *err)
{
	int got = leat_table_number(t, i, column, bar, err);

	if (got == 0)
		return leat_table_fault(t, i, column, err, "empty");
	if (got < 0)
		return -1;
	*bar = leat_unit_convert(unit, leat_unit_find(LEAT_SPAN("bar")), *bar);
	return *bar > 0 ? 0 : leat_table_fault(t, i, column, err, "a pressure above zero is due");
}

static int
take_row(struct leat_precharges *curves, size_t i, struct leat_error *err)
{
	const struct leat_table *t = curves->table;
	const struct leat_unit *bar = leat_unit_find(LEAT_SPAN("bar")), *unit = bar;
	struct leat_precharge_row *row;
	char text[96];

	if (leat_grow(&curves->row, &curves->cap, i + 1, sizeof(*curves->row)) != 0)
		return leat_error_memory(err);
	row = &curves->row[i];
	row->asset = leat_table_cell(t, i, ASSET);
	row->line = leat_table_line(t, i);
	if (leat_span_find(row->asset, '*') < row->asset.len || leat_span_find(row->asset, '?') < row->asset.len)
		return leat_table_fault(t, i, ASSET, err, "a pattern: write an asset, or none for all");
	if (leat_table_unit(t, i, UNIT, &unit, err) < 0)
		return -1;
	if (!leat_unit_same_dimension(unit, bar))
		return leat_table_fault(t, i, UNIT, err, "a unit of gauge pressure is due, such as bar");
	if (take_pressure(t, i, GRINDING, unit, &row->grinding_bar, err) != 0 ||
	    take_pressure(t, i, PRECHARGE, unit, &row->precharge_bar, err) != 0)
		return -1;
	for (size_t other = 0; other < i; other++) {
		if (curves->row[other].grinding_bar != row->grinding_bar || !leat_span_eq(curves->row[other].asset, row->asset))
			continue;
		snprintf(text, sizeof(text), "line %ld has this grinding pressure already", curves->row[other].line);
		return leat_table_fault(t, i, GRINDING, err, text);
	}
	curves->count = i + 1;
	return 0;
}

int
leat_precharges_make(struct leat_precharges *curves, struct leat_table *table, struct leat_error *err)
{
	memset(curves, 0, sizeof(*curves));
	curves->table = table;
	for (size_t i = 0; table != NULL && i < leat_table_rows(table); i++) {
		if (take_row(curves, i, err) != 0) {
			curves->table = NULL;
			leat_precharges_free(curves);
			return -1;
		}
	}
	return 0;
}

int
leat_precharges_read(struct leat_precharges *curves, const char *path, bool *absent, struct leat_error *err)
{
	struct leat_table *works;

	memset(curves, 0, sizeof(*curves));
	if (leat_table_optional(&works, path, &leat_precharges_form, absent, err) == 0 &&
	    leat_precharges_make(curves, works, err) == 0)
		return 0;
	leat_table_free(works);
	return -1;
}

void
leat_precharges_free(struct leat_precharges *curves)
{
	leat_table_free(curves->table);
	free(curves->row);
	memset(curves, 0, sizeof(*curves));
}

/* Looks at the rows of one asset only. */
static enum leat_precharge_found
look(const struct leat_precharges *curves, struct leat_span asset, double grinding_bar, struct leat_precharge_point *point)
{
	const struct leat_precharge_row *first = NULL, *last = NULL;

	point->lower = point->upper = NULL;
	for (size_t i = 0; i < curves->count; i++) {
		const struct leat_precharge_row *row = &curves->row[i];

		if (!leat_span_eq(row->asset, asset))
			continue;
		if (first == NULL || row->grinding_bar < first->grinding_bar)
			first = row;
		if (last == NULL || row->grinding_bar > last->grinding_bar)
			last = row;
		if (row->grinding_bar <= grinding_bar && (point->lower == NULL || row->grinding_bar > point->lower->grinding_bar))
			point->lower = row;
		if (row->grinding_bar >= grinding_bar && (point->upper == NULL || row->grinding_bar < point->upper->grinding_bar))
			point->upper = row;
	}
	if (first == NULL)
		return LEAT_PRECHARGE_NO_CURVE;
	if (point->lower != NULL && point->upper != NULL)
		return LEAT_PRECHARGE_FOUND;
	point->lower = first;
	point->upper = last;
	return LEAT_PRECHARGE_OUTSIDE;
}

enum leat_precharge_found
leat_precharges_at(const struct leat_precharges *curves, struct leat_span asset, double grinding_bar,
    struct leat_precharge_point *point)
{
	enum leat_precharge_found found = look(curves, asset, grinding_bar, point);
	double span;

	while (found == LEAT_PRECHARGE_NO_CURVE && asset.len > 0) {
		if (!leat_asset_parent(asset, &asset))
			asset.len = 0;
		found = look(curves, asset, grinding_bar, point);
	}
	if (found != LEAT_PRECHARGE_FOUND)
		return found;
	span = point->upper->grinding_bar - point->lower->grinding_bar;
	point->precharge_bar = point->lower->precharge_bar;
	if (span > 0)
		point->precharge_bar += (point->upper->precharge_bar - point->lower->precharge_bar) *
		    (grinding_bar - point->lower->grinding_bar) / span;
	return found;
}
