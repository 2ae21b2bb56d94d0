/* Cells by their types, for the tables that no command reads yet; and CSV whose columns are not fixed. */
#include <sys/stat.h>

#include <errno.h>
#include <stdio.h>

#include "judge/proof_private.h"
#include "stream/rows.h"

static bool
is_duration(struct leat_span cell)
{
	struct leat_duration d;

	return leat_duration_parse(cell, &d) == 0 && (d.months > 0 || d.days > 0 || d.seconds > 0);
}

static void
check_cell(struct leat_proof *p, const struct leat_table *t, size_t row, size_t column, enum leat_proof_type type)
{
	struct leat_span cell = leat_table_cell(t, row, column);

	switch (type) {
	case PROOF_TEXT: case PROOF_ASSET:
		break;
	case PROOF_DURATION:
		if (!is_duration(cell))
			proof_cell(p, true, t, row, column, "not a duration such as PT2H, P14D or P6M");
		break;
	}
}

void
proof_row_cells(struct leat_proof *p, const struct leat_table *t, size_t row, const struct leat_proof_cell *cell)
{
	for (size_t column = 0; column < leat_table_form_of(t)->columns; column++) {
		if (leat_table_cell(t, row, column).len > 0)
			check_cell(p, t, row, column, cell[column].type);
		else if (cell[column].due)
			proof_cell(p, true, t, row, column, "empty: a value is due");
	}
}

/* Opens the rows with that separator and reads the header.  NULL with err. */
static struct leat_rows *
open_rows(const char *path, char separator, size_t *fields, struct leat_error *err)
{
	struct leat_input *in = leat_input_open(path, LEAT_ENCODING_AUTO, err);
	struct leat_rows *rows = in != NULL ? leat_rows_open(in, separator, err) : NULL;
	struct leat_row row = { 0 };
	enum leat_rows_status status;

	if (rows == NULL)
		return NULL;
	status = leat_rows_next(rows, &row, err);
	*fields = row.count;
	if (status == LEAT_ROWS_ROW)
		return rows;
	if (status == LEAT_ROWS_END)
		leat_error_set(err, "the file is empty: its first line must name its columns");
	leat_error_at(err, path, status == LEAT_ROWS_BAD ? row.line : 1);
	leat_rows_close(rows);
	return NULL;
}

/* The separator under which the header has most names. */
static char
separator_of(const char *path)
{
	static const char separators[] = { ',', ';', '\t' };
	char best = separators[0];
	size_t most = 0;

	for (size_t i = 0; i < sizeof(separators); i++) {
		size_t fields = 0;
		struct leat_rows *rows = open_rows(path, separators[i], &fields, NULL);

		if (rows == NULL)
			continue;
		leat_rows_close(rows);
		if (fields > most) {
			most = fields;
			best = separators[i];
		}
	}
	return best;
}

/* Has the row anything beyond so many fields? */
static bool
outside(const struct leat_row *row, size_t fields)
{
	for (size_t i = fields; i < row->count; i++)
		if (leat_span_trim_wide(row->field[i]).len > 0)
			return true;
	return false;
}

void
proof_any_csv(struct leat_proof *p, const char *path)
{
	struct leat_error err = { 0 };
	struct leat_row row;
	struct leat_rows *rows;
	enum leat_rows_status status;
	size_t fields = 0;
	struct stat st;

	if (stat(path, &st) != 0 && errno == ENOENT) {
		p->count[p->which].absent = true;
		return;
	}
	rows = open_rows(path, separator_of(path), &fields, &err);
	if (rows == NULL) {
		proof_tell(p, true, &err);
		return;
	}
	while ((status = leat_rows_next(rows, &row, &err)) == LEAT_ROWS_ROW || status == LEAT_ROWS_BAD) {
		p->count[p->which].rows++;
		if (status == LEAT_ROWS_ROW && !outside(&row, fields))
			continue;
		if (status == LEAT_ROWS_ROW)
			leat_error_set(&err, "a field stands under no column of the header");
		leat_error_at(&err, path, row.line);
		proof_tell(p, true, &err);
	}
	if (status == LEAT_ROWS_FAILED)
		proof_tell(p, true, &err);
	leat_rows_close(rows);
}
