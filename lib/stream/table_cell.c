/* Works tables: what the cells say. */
#include "base/foreign.h"
#include "base/number.h"
#include "stream/table_private.h"

#define NUMBER_LENGTH 64

size_t
leat_table_rows(const struct leat_table *t)
{
	return t->rows;
}

const char *
leat_table_file(const struct leat_table *t)
{
	return t->file;
}

long
leat_table_line(const struct leat_table *t, size_t row)
{
	return t->line[row];
}

struct leat_span
leat_table_cell(const struct leat_table *t, size_t row, size_t column)
{
	const struct leat_table_cell *cell = &t->cell[row * t->form->columns + column];

	if (cell->len == 0)
		return leat_span_make("", 0);
	return leat_span_make(t->text.data + cell->at, cell->len);
}

int
leat_table_word(const struct leat_table *t, size_t row, size_t column, const char *const *word, int n)
{
	for (int w = 0; w < n; w++)
		if (leat_span_eq(leat_table_cell(t, row, column), leat_span_of(word[w])))
			return w;
	return -1;
}

void
leat_table_drop(struct leat_table *t, size_t row)
{
	size_t columns = t->form->columns, after = t->rows - row - 1;

	memmove(&t->line[row], &t->line[row + 1], after * sizeof(*t->line));
	memmove(&t->cell[row * columns], &t->cell[(row + 1) * columns], after * columns * sizeof(*t->cell));
	t->rows--;
}

const struct leat_table_form *
leat_table_form_of(const struct leat_table *t)
{
	return t->form;
}

int
leat_table_fault(const struct leat_table *t, size_t row, size_t column, struct leat_error *err, const char *text)
{
	struct leat_span cell = leat_table_cell(t, row, column);

	leat_error_set(err, "%s", text);
	leat_error_column(err, leat_span_of(t->form->column[column]));
	if (cell.len > 0)
		leat_error_value(err, cell);
	return leat_error_at(err, t->file, t->line[row]);
}

int
leat_table_parse_number(const struct leat_table *t, struct leat_span text, double *out)
{
	char copy[NUMBER_LENGTH];
	size_t comma = leat_span_find(text, ',');

	if (comma == text.len)
		return leat_double_parse(text, out);
	if (t->separator == ',' || text.len > sizeof(copy) || leat_span_find(text, '.') < text.len)
		return -1;
	memcpy(copy, text.ptr, text.len);
	copy[comma] = '.';
	return leat_double_parse(leat_span_make(copy, text.len), out);
}

int
leat_table_number(const struct leat_table *t, size_t row, size_t column, double *out, struct leat_error *err)
{
	struct leat_span cell = leat_table_cell(t, row, column);
	double ignored;

	if (cell.len == 0)
		return 0;
	if (leat_table_parse_number(t, cell, out) == 0)
		return 1;
	/* Digits, commas and points alone are a number with thousands marks, or a comma in the wrong kind of file. */
	for (size_t i = 0; i < cell.len; i++)
		if (strchr("0123456789.,+-", cell.ptr[i]) == NULL)
			return leat_table_fault(t, row, column, err, "not a number");
	if (t->separator == ',' && leat_span_find(cell, '.') == cell.len && leat_span_find(cell, ',') < cell.len)
		return leat_table_fault(t, row, column, err,
		    "not a number (a decimal comma is read where ';' or TAB separates the columns)");
	if (leat_double_parse(cell, &ignored) != 0 && leat_span_find(cell, ',') < cell.len)
		return leat_table_fault(t, row, column, err, "not a number (write it without thousands marks)");
	return leat_table_fault(t, row, column, err, "not a number");
}

int
leat_table_unit(const struct leat_table *t, size_t row, size_t column, const struct leat_unit **out,
    struct leat_error *err)
{
	struct leat_span cell = leat_table_cell(t, row, column);
	const struct leat_unit *unit;

	if (cell.len == 0)
		return 0;
	unit = leat_unit_find(cell);
	if (unit == NULL)
		return leat_table_fault(t, row, column, err, "unknown unit (leat-units(7) lists all)");
	*out = unit;
	return 1;
}

int
leat_table_duration(const struct leat_table *t, size_t row, size_t column, double *seconds, struct leat_error *err)
{
	struct leat_span cell = leat_table_cell(t, row, column);
	struct leat_duration d;

	if (cell.len == 0)
		return 0;
	if (leat_duration_parse(cell, &d) != 0)
		return leat_table_fault(t, row, column, err, "not a duration such as PT10M, PT2H or P1D");
	if (leat_duration_seconds(&d, seconds) != 0)
		return leat_table_fault(t, row, column, err, "months and years differ in length: write it in days");
	return 1;
}

/* Reads local date and time as people write them where day and month cannot be mistaken. */
static int
local_parse(struct leat_span text, struct leat_foreign *f)
{
	if (leat_foreign_parse(text, LEAT_FORM_ISO, f) == 0)
		return 0;
	return leat_foreign_parse(text, LEAT_FORM_DMY, f) == 0 && f->dotted ? 0 : -1;
}

int
leat_table_parse_time(struct leat_span text, const struct leat_zone *zone, struct leat_time *out, const char **why)
{
	struct leat_foreign f = { 0 };
	struct leat_time at[2];

	if (leat_time_parse(text, out) == 0)
		return 0;
	if (local_parse(text, &f) != 0 || (!f.is_instant && !f.has_date)) {
		*why = "not a date or time such as 2025-04-13, 13.4.2025 06:30 or 2025-04-13T04:30:00Z";
		return -1;
	}
	if (f.is_instant) {
		*out = f.instant;
		return 0;
	}
	if (zone == NULL) {
		*out = leat_time_from_civil(&f.civil, 0);
		return 0;
	}
	if (leat_zone_instants(zone, &f.civil, at) == 0) {
		/* A few zones put their clocks forward at midnight: such a day begins at one. */
		if (!f.has_clock)
			f.civil.hour = 1;
		if (f.has_clock || leat_zone_instants(zone, &f.civil, at) == 0) {
			*why = "this local time never was: the clocks were put forward past it";
			return -1;
		}
	}
	*out = at[0];
	return 0;
}

int
leat_table_time(const struct leat_table *t, size_t row, size_t column, const struct leat_zone *zone,
    struct leat_time *out, struct leat_error *err)
{
	struct leat_span cell = leat_table_cell(t, row, column);
	const char *why = "";

	if (cell.len == 0)
		return 0;
	if (leat_table_parse_time(cell, zone, out, &why) != 0)
		return leat_table_fault(t, row, column, err, why);
	return 1;
}

void
leat_table_decimal_point(struct leat_table *t, size_t row, size_t column)
{
	struct leat_table_cell *cell = &t->cell[row * t->form->columns + column];
	struct leat_span text = leat_table_cell(t, row, column);
	size_t comma = leat_span_find(text, ',');
	double ignored;

	if (comma < text.len && leat_table_parse_number(t, text, &ignored) == 0)
		t->text.data[cell->at + comma] = '.';
}

char
leat_table_separator(const struct leat_table *t)
{
	return t->separator;
}

size_t
leat_table_fields(const struct leat_table *t)
{
	return t->fields;
}

int
leat_table_field_column(const struct leat_table *t, size_t field)
{
	return t->meaning[field] >= 0 ? t->meaning[field] : -1;
}
