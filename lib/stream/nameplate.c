/* nameplate.csv: reading it, and which row holds. */
#include <stdio.h>
#include <stdlib.h>

#include "base/number.h"
#include "stream/nameplate.h"
#include "stream/nearest.h"
#include "stream/points.h"

enum column { ASSET, PROPERTY, VALUE, UNIT, FROM, SOURCE, COLUMNS };

static const char *const columns[COLUMNS] = { "asset", "property", "value", "unit", "from", "source" };

const struct leat_table_form leat_nameplate_form = { "nameplate", columns, COLUMNS, 3 };

struct row {
	const struct leat_property *property;
	struct leat_span asset;		/* empty: the works */
	struct leat_span text;		/* as written */
	double number;			/* in the property's unit, when it has one */
	struct leat_time from;		/* LEAT_TIME_NONE, which sorts before all: always */
};

struct leat_nameplate {
	struct leat_table *table;	/* NULL: the file is absent */
	struct leat_zone *zone;
	bool zone_given;
	struct row *row;
	size_t count, cap;
};

static int
unknown_property(const struct leat_table *t, size_t i, struct leat_error *err)
{
	struct leat_nearest nearest = { .word = leat_table_cell(t, i, PROPERTY) };
	const struct leat_property *p;
	char text[128] = "unknown property (leat-nameplate(7) lists all)";

	for (size_t n = 0; (p = leat_property_at(n)) != NULL; n++)
		leat_nearest_offer(&nearest, p->name);
	if (nearest.name != NULL)
		snprintf(text, sizeof(text), "unknown property, did you mean '%s'? (leat-nameplate(7) lists all)",
		    nearest.name);
	return leat_table_fault(t, i, PROPERTY, err, text);
}

/* Two digits, a colon, two digits: a time of day. */
static bool
is_clock(struct leat_span s)
{
	int hour, minute;

	if (s.len != 5 || s.ptr[2] != ':')
		return false;
	for (size_t i = 0; i < s.len; i++)
		if (i != 2 && (s.ptr[i] < '0' || s.ptr[i] > '9'))
			return false;
	hour = (s.ptr[0] - '0') * 10 + s.ptr[1] - '0';
	minute = (s.ptr[3] - '0') * 10 + s.ptr[4] - '0';
	return hour < 24 && minute < 60;
}

static int
take_word(const struct leat_table *t, size_t i, struct row *row, struct leat_error *err)
{
	struct leat_duration d;

	if (leat_table_cell(t, i, UNIT).len > 0)
		return leat_table_fault(t, i, UNIT, err, "this property has no unit");
	if (strcmp(row->property->name, "run-up") == 0 && leat_duration_parse(row->text, &d) != 0)
		return leat_table_fault(t, i, VALUE, err, "not a duration such as PT10M");
	if (strcmp(row->property->name, "drain-meter") == 0 && !leat_span_is(row->text, "own") &&
	    !leat_span_is(row->text, "shared"))
		return leat_table_fault(t, i, VALUE, err, "neither 'own' nor 'shared'");
	if (strcmp(row->property->name, "day-start") == 0 && !is_clock(row->text))
		return leat_table_fault(t, i, VALUE, err, "not a time of day such as 06:00");
	return 0;
}

static int
take_number(const struct leat_table *t, size_t i, struct row *row, struct leat_error *err)
{
	const struct leat_unit *own = leat_unit_find(leat_span_of(row->property->unit)), *unit = own;
	char text[128];

	if (leat_table_number(t, i, VALUE, &row->number, err) < 0 || leat_table_unit(t, i, UNIT, &unit, err) < 0)
		return -1;
	if (!leat_unit_same_dimension(unit, own)) {
		snprintf(text, sizeof(text), "a unit of another dimension than this property's '%s'", own->name);
		return leat_table_fault(t, i, UNIT, err, text);
	}
	row->number = leat_unit_convert(unit, own, row->number);
	/* Heights and temperatures alone can lie under zero. */
	if (row->number < 0 && strcmp(own->name, "degC") != 0 && strcmp(row->property->name, "altitude") != 0)
		return leat_table_fault(t, i, VALUE, err, "less than zero");
	return 0;
}

static int
check_twice(const struct leat_nameplate *np, size_t i, struct leat_error *err)
{
	const struct row *row = &np->row[i];
	char text[128];

	for (size_t j = 0; j < i; j++) {
		const struct row *other = &np->row[j];

		if (other->property != row->property || !leat_span_eq(other->asset, row->asset) ||
		    leat_time_cmp(other->from, row->from) != 0)
			continue;
		snprintf(text, sizeof(text), "this asset has the property from the same date already in line %ld",
		    leat_table_line(np->table, j));
		return leat_table_fault(np->table, i, PROPERTY, err, text);
	}
	return 0;
}

static int
take_row(struct leat_nameplate *np, size_t i, struct leat_error *err)
{
	const struct leat_table *t = np->table;
	struct row *row;

	if (leat_grow(&np->row, &np->cap, i + 1, sizeof(*np->row)) != 0)
		return leat_error_memory(err);
	row = &np->row[i];
	row->property = leat_property_find(leat_table_cell(t, i, PROPERTY));
	row->asset = leat_table_cell(t, i, ASSET);
	row->text = leat_table_cell(t, i, VALUE);
	row->from = LEAT_TIME_NONE;
	if (row->property == NULL)
		return unknown_property(t, i, err);
	if (leat_span_find(row->asset, '*') < row->asset.len || leat_span_find(row->asset, '?') < row->asset.len)
		return leat_table_fault(t, i, ASSET, err, "an asset's own name is due, without * and ?");
	if (row->text.len == 0)
		return leat_table_fault(t, i, VALUE, err, "a value is missing");
	if (row->property->unit[0] == '\0' ? take_word(t, i, row, err) != 0 : take_number(t, i, row, err) != 0)
		return -1;
	if (leat_table_time(t, i, FROM, np->zone, &row->from, err) < 0)
		return -1;
	np->count = i + 1;
	return check_twice(np, i, err);
}

/* The zone is read before all else, because the dates of the other rows are local to it. */
static int
take_zone(struct leat_nameplate *np, struct leat_error *err)
{
	const struct leat_table *t = np->table;
	struct leat_error why = { 0 };
	size_t rows = t != NULL ? leat_table_rows(t) : 0, i, found = rows;

	for (i = 0; i < rows; i++) {
		if (!leat_span_is(leat_table_cell(t, i, PROPERTY), "zone"))
			continue;
		if (leat_table_cell(t, i, ASSET).len > 0)
			return leat_table_fault(t, i, ASSET, err, "the zone belongs to the works: leave the asset empty");
		if (leat_table_cell(t, i, VALUE).len == 0)
			return leat_table_fault(t, i, VALUE, err, "a value is missing");
		if (leat_table_cell(t, i, FROM).len > 0)
			return leat_table_fault(t, i, FROM, err, "the zone holds always: leave the date empty");
		if (found < rows)
			return leat_table_fault(t, i, PROPERTY, err, "the works have one zone, and an earlier row gives it");
		found = i;
	}
	if (found == rows) {
		np->zone = leat_zone_open(leat_span_of(leat_property_find(LEAT_SPAN("zone"))->fallback), err);
		return np->zone != NULL ? 0 : -1;
	}
	np->zone_given = true;
	np->zone = leat_zone_open(leat_table_cell(t, found, VALUE), &why);
	return np->zone != NULL ? 0 : leat_table_fault(t, found, VALUE, err, why.text);
}

static int
take_all(struct leat_nameplate *np, struct leat_error *err)
{
	if (take_zone(np, err) != 0)
		return -1;
	for (size_t i = 0; np->table != NULL && i < leat_table_rows(np->table); i++)
		if (take_row(np, i, err) != 0)
			return -1;
	return 0;
}

struct leat_nameplate *
leat_nameplate_make(struct leat_table *table, struct leat_error *err)
{
	struct leat_nameplate *np = calloc(1, sizeof(*np));

	if (np == NULL) {
		leat_error_memory(err);
		return NULL;
	}
	np->table = table;
	if (take_all(np, err) != 0) {
		np->table = NULL;
		leat_nameplate_free(np);
		return NULL;
	}
	return np;
}

struct leat_nameplate *
leat_nameplate_read(const char *path, bool *absent, struct leat_error *err)
{
	bool missing = false;
	struct leat_table *table = leat_table_read(path, &leat_nameplate_form, &missing, err);
	struct leat_nameplate *np;

	if (absent != NULL)
		*absent = missing;
	if (table == NULL && !missing)
		return NULL;
	np = leat_nameplate_make(table, err);
	if (np == NULL)
		leat_table_free(table);
	return np;
}

void
leat_nameplate_free(struct leat_nameplate *np)
{
	if (np == NULL)
		return;
	leat_table_free(np->table);
	leat_zone_free(np->zone);
	free(np->row);
	free(np);
}

const struct leat_zone *
leat_nameplate_zone(const struct leat_nameplate *np)
{
	return np->zone;
}

bool
leat_nameplate_zone_given(const struct leat_nameplate *np)
{
	return np->zone_given;
}

/* The newest row of exactly this asset that has begun; NULL when there is none. */
static const struct row *
row_of(const struct leat_nameplate *np, struct leat_span asset, const struct leat_property *property,
    struct leat_time time)
{
	const struct row *best = NULL;

	for (size_t i = 0; i < np->count; i++) {
		const struct row *row = &np->row[i];

		if (row->property != property || leat_time_cmp(row->from, time) > 0 || !leat_span_eq(row->asset, asset))
			continue;
		if (best == NULL || leat_time_cmp(row->from, best->from) > 0)
			best = row;
	}
	return best;
}

static const struct row *
row_for(const struct leat_nameplate *np, struct leat_span asset, const struct leat_property *property,
    struct leat_time time)
{
	const struct row *row;

	do {
		row = row_of(np, asset, property, time);
	} while (row == NULL && leat_asset_parent(asset, &asset));
	return row != NULL ? row : row_of(np, leat_span_make("", 0), property, time);
}

int
leat_nameplate_number(const struct leat_nameplate *np, struct leat_span asset, const char *property,
    struct leat_time time, double *out)
{
	const struct leat_property *p = leat_property_find(leat_span_of(property));
	const struct row *row;

	if (p == NULL || p->unit[0] == '\0')
		return -1;
	row = row_for(np, asset, p, time);
	if (row != NULL) {
		*out = row->number;
		return 0;
	}
	return p->fallback != NULL ? leat_double_parse(leat_span_of(p->fallback), out) : -1;
}

struct leat_span
leat_nameplate_word(const struct leat_nameplate *np, struct leat_span asset, const char *property,
    struct leat_time time)
{
	const struct leat_property *p = leat_property_find(leat_span_of(property));
	const struct row *row = p != NULL ? row_for(np, asset, p, time) : NULL;

	if (row != NULL)
		return row->text;
	return p != NULL ? leat_span_of(p->fallback) : leat_span_make("", 0);
}

bool
leat_nameplate_below(const struct leat_nameplate *np, struct leat_span asset, struct leat_span property)
{
	for (size_t i = 0; i < np->count; i++)
		if (leat_span_is(property, np->row[i].property->name) && leat_asset_kin(np->row[i].asset, asset))
			return true;
	return false;
}

struct leat_time
leat_nameplate_next(const struct leat_nameplate *np, struct leat_time time)
{
	struct leat_time next = LEAT_TIME_NONE;

	for (size_t i = 0; i < np->count; i++) {
		struct leat_time from = np->row[i].from;

		if (leat_time_cmp(from, time) > 0 && (leat_time_is_none(next) || leat_time_cmp(from, next) < 0))
			next = from;
	}
	return next;
}

bool
leat_nameplate_asset(const struct leat_nameplate *np, size_t row, struct leat_span *asset)
{
	if (row >= np->count)
		return false;
	*asset = np->row[row].asset;
	return true;
}
