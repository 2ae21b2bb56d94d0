/* shelved.csv: which findings a person has put aside, and until when. */
#include <stdlib.h>

#include "stream/shelved.h"

enum column { ASSET, POINT, RULE, UNTIL, WHO, WHY, COLUMNS };

static const char *const columns[COLUMNS] = { "asset", "point", "rule", "until", "who", "why" };

const struct leat_table_form leat_shelves_form = { "shelved", columns, COLUMNS, 4 };

static int
take_row(struct leat_shelves *shelves, size_t i, const struct leat_zone *zone, struct leat_error *err)
{
	const struct leat_table *t = shelves->table;
	struct leat_shelf *row;
	int until;

	if (leat_grow(&shelves->row, &shelves->cap, i + 1, sizeof(*shelves->row)) != 0)
		return leat_error_memory(err);
	row = &shelves->row[i];
	row->asset = leat_table_cell(t, i, ASSET);
	row->point = leat_table_cell(t, i, POINT);
	row->rule = leat_table_cell(t, i, RULE);
	row->who = leat_table_cell(t, i, WHO);
	row->why = leat_table_cell(t, i, WHY);
	for (size_t column = ASSET; column <= RULE; column++)
		if (leat_table_cell(t, i, column).len == 0)
			return leat_table_fault(t, i, column, err, "empty: write what is shelved, or * for all");
	until = leat_table_time(t, i, UNTIL, zone, &row->until, err);
	if (until == 0)
		return leat_table_fault(t, i, UNTIL, err, "empty: a shelf needs its end");
	if (until < 0)
		return -1;
	shelves->count = i + 1;
	return 0;
}

int
leat_shelves_make(struct leat_shelves *shelves, struct leat_table *table, const struct leat_zone *zone,
    struct leat_error *err)
{
	memset(shelves, 0, sizeof(*shelves));
	shelves->table = table;
	for (size_t i = 0; table != NULL && i < leat_table_rows(table); i++) {
		if (take_row(shelves, i, zone, err) != 0) {
			shelves->table = NULL;
			leat_shelves_free(shelves);
			return -1;
		}
	}
	return 0;
}

int
leat_shelves_read(struct leat_shelves *shelves, const char *path, const struct leat_zone *zone, bool *absent,
    struct leat_error *err)
{
	struct leat_table *table;

	memset(shelves, 0, sizeof(*shelves));
	if (leat_table_optional(&table, path, &leat_shelves_form, absent, err) == 0 &&
	    leat_shelves_make(shelves, table, zone, err) == 0)
		return 0;
	leat_table_free(table);
	return -1;
}

struct leat_time
leat_shelves_until(const struct leat_shelves *shelves, struct leat_span asset, struct leat_span point,
    struct leat_span rule, struct leat_time now)
{
	struct leat_time latest = LEAT_TIME_NONE;

	for (size_t i = 0; i < shelves->count; i++) {
		const struct leat_shelf *row = &shelves->row[i];

		if (leat_time_cmp(row->until, now) > 0 && leat_time_cmp(row->until, latest) > 0 &&
		    leat_glob(row->rule, rule) && leat_glob(row->point, point) && leat_glob(row->asset, asset))
			latest = row->until;
	}
	return latest;
}

void
leat_shelves_free(struct leat_shelves *shelves)
{
	leat_table_free(shelves->table);
	free(shelves->row);
	memset(shelves, 0, sizeof(*shelves));
}
