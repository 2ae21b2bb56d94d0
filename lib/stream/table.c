/* Works tables: finding the separator, checking the header, keeping the cells. */
#include <sys/stat.h>

#include <errno.h>
#include <stdlib.h>

#include "stream/nearest.h"
#include "stream/rows.h"
#include "stream/table_private.h"

/* A works table is typed by people; one this long is some other file. */
#define TEXT_LIMIT (64u * 1024u * 1024u)
#define CHUNK 16384u

/* What a field of the header stands for, when it is no column of the form. */
#define FIELD_IGNORED (-1)
#define FIELD_NAMELESS (-2)

static const char separators[] = { ',', ';', '\t' };

static int
form_column(const struct leat_table_form *form, struct leat_span name)
{
	for (size_t i = 0; i < form->columns; i++)
		if (leat_span_is(name, form->column[i]))
			return (int)i;
	return -1;
}

static bool
is_remark(struct leat_span name)
{
	return leat_span_is(name, "source") || leat_span_is(name, "note") || leat_span_starts(name, "x-");
}

/* Writes "a, b, c" of the form's first count columns; a list that does not fit is cut. */
static const char *
list_columns(char *dst, size_t size, const struct leat_table_form *form, size_t count)
{
	size_t len = 0;

	dst[0] = '\0';
	for (size_t i = 0; i < count; i++) {
		size_t more = strlen(form->column[i]);

		if (len + more + 3 > size)
			break;
		if (i > 0) {
			memcpy(dst + len, ", ", 2);
			len += 2;
		}
		memcpy(dst + len, form->column[i], more + 1);
		len += more;
	}
	return dst;
}

/* How many names of the first record are known when sep separates; -1 when there is no record. */
static int
known_names(const struct leat_table *t, struct leat_span text, char sep)
{
	struct leat_input *in = leat_input_memory(t->file, text.ptr, text.len, LEAT_ENCODING_RAW, NULL);
	struct leat_rows *rows = in != NULL ? leat_rows_open(in, sep, NULL) : NULL;
	struct leat_row row;
	int known = -1;

	if (rows == NULL)
		return -1;
	if (leat_rows_next(rows, &row, NULL) == LEAT_ROWS_ROW) {
		known = 0;
		for (size_t i = 0; i < row.count; i++) {
			struct leat_span name = leat_span_trim_wide(row.field[i]);

			if (form_column(t->form, name) >= 0)
				known++;
		}
	}
	leat_rows_close(rows);
	return known;
}

static void
find_separator(struct leat_table *t, struct leat_span text)
{
	int best = -1;

	for (size_t i = 0; i < sizeof(separators); i++) {
		int known = known_names(t, text, separators[i]);

		if (known > best) {
			best = known;
			t->separator = separators[i];
		}
	}
	if (best < 0)
		t->separator = separators[0];
}

static int
unknown_column(const struct leat_table *t, const struct leat_row *row, struct leat_span name, struct leat_error *err)
{
	struct leat_nearest nearest = { .word = name };
	char known[200];

	for (size_t i = 0; i < t->form->columns; i++)
		leat_nearest_offer(&nearest, t->form->column[i]);
	list_columns(known, sizeof(known), t->form, t->form->columns);
	if (nearest.name != NULL)
		leat_error_set(err, "unknown column, did you mean '%s'? (known: %s)", nearest.name, known);
	else
		leat_error_set(err, "unknown column (known: %s)", known);
	leat_error_column(err, name);
	return leat_error_at(err, t->file, row->line);
}

/* No column may come twice, and the required ones must be there. */
static int
check_header(const struct leat_table *t, const struct leat_row *row, struct leat_error *err)
{
	char list[200];

	for (size_t column = 0; column < t->form->columns; column++) {
		size_t seen = 0;

		for (size_t i = 0; i < t->fields; i++)
			seen += t->meaning[i] == (int)column;
		if (seen == 1 || (seen == 0 && column >= t->form->required))
			continue;
		if (seen > 1)
			leat_error_set(err, "this column comes twice");
		else
			leat_error_set(err, "this column is missing (required: %s)",
			    list_columns(list, sizeof(list), t->form, t->form->required));
		leat_error_column(err, leat_span_of(t->form->column[column]));
		return leat_error_at(err, t->file, row->line);
	}
	return 0;
}

static int
take_header(struct leat_table *t, const struct leat_row *row, struct leat_error *err)
{
	char list[200];
	bool known = false;

	if (leat_grow(&t->meaning, &t->meaning_cap, row->count, sizeof(*t->meaning)) != 0)
		return leat_error_memory(err);
	t->fields = row->count;
	for (size_t i = 0; i < row->count; i++)
		if (form_column(t->form, leat_span_trim_wide(row->field[i])) >= 0)
			known = true;
	if (!known) {
		leat_error_set(err, "no header of a %s table: its columns are %s", t->form->name,
		    list_columns(list, sizeof(list), t->form, t->form->columns));
		return leat_error_at(err, t->file, row->line);
	}
	for (size_t i = 0; i < row->count; i++) {
		struct leat_span name = leat_span_trim_wide(row->field[i]);

		t->meaning[i] = form_column(t->form, name);
		if (t->meaning[i] >= 0)
			continue;
		if (name.len > 0 && !is_remark(name))
			return unknown_column(t, row, name, err);
		t->meaning[i] = name.len > 0 ? FIELD_IGNORED : FIELD_NAMELESS;
	}
	return check_header(t, row, err);
}

static int
take_cell(struct leat_table *t, const struct leat_row *row, size_t field, struct leat_span text,
    struct leat_error *err)
{
	int meaning = field < t->fields ? t->meaning[field] : FIELD_NAMELESS;
	struct leat_table_cell *cell;

	if (meaning == FIELD_IGNORED || text.len == 0)
		return 0;
	if (meaning == FIELD_NAMELESS) {
		leat_error_set(err, "field %zu stands under no column of the header", field + 1);
		leat_error_value(err, text);
		return leat_error_at(err, t->file, row->line);
	}
	if (!leat_utf8_valid(text)) {
		leat_error_set(err, "not text in UTF-8");
		leat_error_column(err, leat_span_of(t->form->column[meaning]));
		leat_error_value(err, text);
		return leat_error_at(err, t->file, row->line);
	}
	cell = &t->cell[t->rows * t->form->columns + (size_t)meaning];
	cell->at = t->text.len;
	cell->len = text.len;
	if (leat_buf_add_span(&t->text, text) != 0)
		return leat_error_memory(err);
	return 0;
}

/* Short rows are taken as rows with empty cells at their end: some spreadsheets leave out the last separators. */
static int
take_row(struct leat_table *t, const struct leat_row *row, struct leat_error *err)
{
	bool blank = true;

	if (leat_grow(&t->cell, &t->cell_cap, (t->rows + 1) * t->form->columns, sizeof(*t->cell)) != 0 ||
	    leat_grow(&t->line, &t->line_cap, t->rows + 1, sizeof(*t->line)) != 0)
		return leat_error_memory(err);
	for (size_t i = 0; i < row->count; i++) {
		struct leat_span text = leat_span_trim_wide(row->field[i]);

		if (text.len > 0)
			blank = false;
		if (take_cell(t, row, i, text, err) != 0)
			return -1;
	}
	if (!blank)
		t->line[t->rows++] = row->line;
	return 0;
}

/* Tells of a line at fault and leaves it out.  0, or -1 when the fault is not the line's, but memory's. */
static int
leave_out(struct leat_table *t, const struct leat_row *row, const struct leat_error *why, bool cut)
{
	if (why->line == 0)
		return -1;
	if ((t->rows + 1) * t->form->columns <= t->cell_cap)
		memset(&t->cell[t->rows * t->form->columns], 0, t->form->columns * sizeof(*t->cell));
	t->lines->broken(t->lines->user, why, cut || row->unended);
	return 0;
}

/* A line of a table that is appended to. */
static int
take_line(struct leat_table *t, const struct leat_row *row, struct leat_error *err)
{
	struct leat_error why = { 0 };

	if (t->appended && row->count != t->fields)
		leat_error_set(&why, "%zu fields where the header has %zu%s", row->count, t->fields,
		    row->count < t->fields ? ": the line was cut" : "");
	else if (t->appended && row->unended)
		leat_error_set(&why, "no line end: the line was cut");
	if (why.text[0] != '\0') {
		leat_error_at(&why, t->file, row->line);
		return leave_out(t, row, &why, row->count < t->fields);
	}
	if (take_row(t, row, &why) == 0)
		return 0;
	if (err != NULL)
		*err = why;
	return leave_out(t, row, &why, false);
}

static int
take_one(struct leat_table *t, const struct leat_row *row, bool header, struct leat_error *err)
{
	if (!header)
		return take_header(t, row, err);
	return t->lines != NULL ? take_line(t, row, err) : take_row(t, row, err);
}

static int
take_rows(struct leat_table *t, struct leat_rows *rows, struct leat_error *err)
{
	enum leat_rows_status status;
	struct leat_error why = { 0 };
	struct leat_row row;
	bool header = false;

	while ((status = leat_rows_next(rows, &row, &why)) == LEAT_ROWS_ROW || status == LEAT_ROWS_BAD) {
		if (status == LEAT_ROWS_BAD) {
			leat_error_at(&why, t->file, row.line);
			if (!header || t->lines == NULL)
				break;
			if (leave_out(t, &row, &why, true) != 0)
				break;
			continue;
		}
		if (take_one(t, &row, header, err) != 0)
			return -1;
		header = true;
	}
	if (status != LEAT_ROWS_END) {
		if (err != NULL)
			*err = why;
		return -1;
	}
	if (!header) {
		char list[200];

		leat_error_set(err, "the file is empty: its first line must name its columns (%s)",
		    list_columns(list, sizeof(list), t->form, t->form->columns));
		return leat_error_at(err, t->file, 1);
	}
	return 0;
}

/* Builds the table from UTF-8 text. */
static struct leat_table *
table_make(const char *name, struct leat_span text, const struct leat_table_form *form,
    const struct leat_table_lines *lines, bool appended, struct leat_error *err)
{
	struct leat_table *t = calloc(1, sizeof(*t));
	struct leat_input *in;
	struct leat_rows *rows;
	int result = -1;

	if (t == NULL || (t->file = leat_strndup(leat_span_of(name))) == NULL) {
		leat_table_free(t);
		leat_error_memory(err);
		return NULL;
	}
	t->form = form;
	t->lines = lines;
	t->appended = appended;
	find_separator(t, text);
	in = leat_input_memory(t->file, text.ptr, text.len, LEAT_ENCODING_RAW, err);
	rows = in != NULL ? leat_rows_open(in, t->separator, err) : NULL;
	if (rows != NULL) {
		result = take_rows(t, rows, err);
		leat_rows_close(rows);
	}
	t->lines = NULL;
	if (result != 0) {
		leat_table_free(t);
		return NULL;
	}
	return t;
}

static int
read_all(struct leat_input *in, struct leat_buf *text, struct leat_error *err)
{
	ssize_t got;

	for (;;) {
		if (text->len > TEXT_LIMIT) {
			leat_error_set(err, "larger than 64 MiB: this is no works table");
			return leat_error_at(err, leat_input_name(in), 0);
		}
		if (leat_buf_reserve(text, CHUNK) != 0)
			return leat_error_memory(err);
		got = leat_input_read(in, text->data + text->len, CHUNK, err);
		if (got <= 0)
			return (int)got;
		text->len += (size_t)got;
	}
}

struct leat_table *
leat_table_read_on(const char *path, const struct leat_table_form *form, const struct leat_table_lines *lines,
    bool *absent, struct leat_error *err)
{
	struct leat_table *t = NULL;
	struct leat_buf text = { 0 };
	struct leat_input *in;
	struct stat st;

	if (absent != NULL)
		*absent = false;
	if (absent != NULL && strcmp(path, "-") != 0 && stat(path, &st) != 0 && errno == ENOENT) {
		*absent = true;
		return NULL;
	}
	in = leat_input_open(path, LEAT_ENCODING_AUTO, err);
	if (in == NULL)
		return NULL;
	if (read_all(in, &text, err) == 0)
		t = table_make(leat_input_name(in), leat_buf_span(&text), form, lines, false, err);
	leat_input_close(in);
	leat_buf_free(&text);
	return t;
}

struct leat_table *
leat_table_read(const char *path, const struct leat_table_form *form, bool *absent, struct leat_error *err)
{
	return leat_table_read_on(path, form, NULL, absent, err);
}

int
leat_table_optional(struct leat_table **table, const char *path, const struct leat_table_form *form, bool *absent,
    struct leat_error *err)
{
	bool missing = false;

	*table = leat_table_read(path, form, &missing, err);
	if (absent != NULL)
		*absent = missing;
	return *table != NULL || missing ? 0 : -1;
}

struct leat_table *
leat_table_text_lines(const char *name, struct leat_span text, const struct leat_table_form *form,
    const struct leat_table_lines *lines, struct leat_error *err)
{
	return table_make(name, text, form, lines, true, err);
}

struct leat_table *
leat_table_text(const char *name, const char *text, const struct leat_table_form *form, struct leat_error *err)
{
	return table_make(name, leat_span_of(text), form, NULL, false, err);
}

void
leat_table_free(struct leat_table *t)
{
	if (t == NULL)
		return;
	free(t->file);
	free(t->meaning);
	free(t->cell);
	free(t->line);
	leat_buf_free(&t->text);
	free(t);
}
