/* stops.csv: reading and checking the rows. */
#include <stdlib.h>

#include "upkeep/stops.h"

enum column { START, END, ASSET, KIND, COLUMNS };

static const char *const columns[COLUMNS] = { "start", "end", "asset", "kind" };

const struct leat_table_form leat_stops_form = { "stops", columns, COLUMNS, 2 };

static int
take_row(struct leat_stops *stops, const struct leat_table *t, size_t i, const struct leat_zone *zone,
    struct leat_error *err)
{
	struct leat_stop *row;
	int start, end;

	if (leat_grow(&stops->row, &stops->cap, stops->count + 1, sizeof(*stops->row)) != 0)
		return leat_error_memory(err);
	row = &stops->row[stops->count];
	start = leat_table_time(t, i, START, zone, &row->start, err);
	end = start < 0 ? -1 : leat_table_time(t, i, END, zone, &row->end, err);
	if (start < 0 || end < 0)
		return -1;
	if (start == 0 || end == 0)
		return leat_table_fault(t, i, start == 0 ? START : END, err, "empty: a value is due");
	if (leat_time_cmp(row->end, row->start) <= 0)
		return leat_table_fault(t, i, END, err, "a stop must end after its 'start'");
	row->asset = leat_table_cell(t, i, ASSET);
	row->kind = leat_table_cell(t, i, KIND);
	if (row->kind.len == 0)
		row->kind = LEAT_SPAN("planned");
	row->line = leat_table_line(t, i);
	stops->count++;
	return 0;
}

static int
by_start(const void *a, const void *b)
{
	const struct leat_stop *x = a, *y = b;
	int order = leat_time_cmp(x->start, y->start);

	return order != 0 ? order : (x->line > y->line) - (x->line < y->line);
}

int
leat_stops_make(struct leat_stops *stops, struct leat_table *table, const struct leat_zone *zone, struct leat_error *err)
{
	memset(stops, 0, sizeof(*stops));
	for (size_t i = 0; table != NULL && i < leat_table_rows(table); i++) {
		if (take_row(stops, table, i, zone, err) != 0) {
			leat_stops_free(stops);
			return -1;
		}
	}
	if (stops->count > 1)
		qsort(stops->row, stops->count, sizeof(*stops->row), by_start);
	stops->table = table;
	return 0;
}

int
leat_stops_read(struct leat_stops *stops, const char *path, const struct leat_zone *zone, bool *absent,
    struct leat_error *err)
{
	struct leat_table *table;

	memset(stops, 0, sizeof(*stops));
	if (leat_table_optional(&table, path, &leat_stops_form, absent, err) != 0)
		return -1;
	if (leat_stops_make(stops, table, zone, err) != 0) {
		leat_table_free(table);
		return -1;
	}
	return 0;
}

bool
leat_stop_planned(const struct leat_stop *stop, struct leat_span mill)
{
	return leat_span_is(stop->kind, "planned") && (stop->asset.len == 0 || leat_glob(stop->asset, mill));
}

void
leat_stops_free(struct leat_stops *stops)
{
	free(stops->row);
	leat_table_free(stops->table);
	memset(stops, 0, sizeof(*stops));
}
