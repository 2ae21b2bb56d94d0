/* parts.csv: reading and checking the rows. */
#include <stdio.h>
#include <stdlib.h>

#include "upkeep/stops.h"
#include "upkeep/tasks.h"

enum column { PART, TITLE, STOCK, LEAD_TIME, PRICE, COLUMNS };

static const char *const columns[COLUMNS] = { "part", "title", "stock", "lead_time", "price" };

const struct leat_table_form leat_parts_form = { "parts", columns, COLUMNS, 1 };

static int
take_number(const struct leat_table *t, size_t i, enum column column, bool *has, double *out, struct leat_error *err)
{
	int got = leat_table_number(t, i, column, out, err);

	*has = got == 1;
	if (got == 1 && *out < 0)
		return leat_table_fault(t, i, column, err, "less than zero");
	return got < 0 ? -1 : 0;
}

static int
take_row(struct leat_parts *parts, const struct leat_table *t, size_t i, struct leat_error *err)
{
	struct leat_span lead = leat_table_cell(t, i, LEAD_TIME);
	struct leat_part *row;
	bool ignored;
	char text[64];

	if (leat_grow(&parts->row, &parts->cap, parts->count + 1, sizeof(*parts->row)) != 0)
		return leat_error_memory(err);
	row = &parts->row[parts->count];
	memset(row, 0, sizeof(*row));
	row->part = leat_table_cell(t, i, PART);
	row->title = leat_table_cell(t, i, TITLE);
	row->line = leat_table_line(t, i);
	if (row->part.len == 0)
		return leat_table_fault(t, i, PART, err, "empty: a value is due");
	if (!leat_is_slug(row->part))
		return leat_table_fault(t, i, PART, err, "a name has letters, digits, '-', '_' and '.' only");
	if (row->title.len == 0)
		row->title = row->part;
	if (take_number(t, i, STOCK, &row->has_stock, &row->stock, err) != 0 ||
	    take_number(t, i, PRICE, &ignored, &row->price, err) != 0)
		return -1;
	row->has_lead = lead.len > 0;
	if (row->has_lead && leat_duration_parse(lead, &row->lead) != 0)
		return leat_table_fault(t, i, LEAD_TIME, err, "not a duration such as P14D or P6M");
	for (size_t k = 0; k < parts->count; k++) {
		if (!leat_span_eq(parts->row[k].part, row->part))
			continue;
		snprintf(text, sizeof(text), "line %ld has this name already", parts->row[k].line);
		return leat_table_fault(t, i, PART, err, text);
	}
	parts->count++;
	return 0;
}

int
leat_parts_make(struct leat_parts *parts, struct leat_table *table, struct leat_error *err)
{
	memset(parts, 0, sizeof(*parts));
	for (size_t i = 0; table != NULL && i < leat_table_rows(table); i++) {
		if (take_row(parts, table, i, err) != 0) {
			leat_parts_free(parts);
			return -1;
		}
	}
	parts->table = table;
	return 0;
}

int
leat_parts_read(struct leat_parts *parts, const char *path, bool *absent, struct leat_error *err)
{
	struct leat_table *table;

	memset(parts, 0, sizeof(*parts));
	if (leat_table_optional(&table, path, &leat_parts_form, absent, err) != 0)
		return -1;
	if (leat_parts_make(parts, table, err) != 0) {
		leat_table_free(table);
		return -1;
	}
	return 0;
}

const struct leat_part *
leat_parts_find(const struct leat_parts *parts, struct leat_span name)
{
	for (size_t i = 0; i < parts->count; i++)
		if (leat_span_eq(parts->row[i].part, name))
			return &parts->row[i];
	return NULL;
}

void
leat_parts_free(struct leat_parts *parts)
{
	free(parts->row);
	leat_table_free(parts->table);
	memset(parts, 0, sizeof(*parts));
}
