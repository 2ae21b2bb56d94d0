/*
 * Opening readings files: their headers, and which columns the output has.
 */
#include "stream/reading_private.h"

#include <stdlib.h>

/* The mark in file->further of one of the six columns. */
#define NOT_FURTHER SIZE_MAX

const char *const leat_readings_column[COL_COUNT] = { "time", "asset", "point", "value", "unit", "quality" };

/* Says what is wrong with a header in which not all of the six columns are. */
static int
header_fault(const struct leat_row *header, struct leat_error *err)
{
	static const char *const finding[] = { "rule", "status" };
	int index[2];

	if (leat_columns_find(header, finding, 2, 2, index, NULL) == 0)
		return leat_error_set(err, "a findings stream where readings are due");
	return -1;
}

/* Notes the further columns of a file, adding new ones to the output. */
static int
further_columns(struct leat_readings *in, struct leat_readings_file *file, const struct leat_row *header,
    struct leat_error *err)
{
	size_t i, j;
	uint32_t id;

	file->further = calloc(header->count, sizeof(*file->further));
	if (file->further == NULL)
		return leat_error_memory(err);
	for (i = 0; i < header->count; i++) {
		file->further[i] = NOT_FURTHER;
		for (j = 0; j < COL_COUNT && file->column[j] != (int)i; j++)
			;
		if (j < COL_COUNT)
			continue;
		id = leat_names_put(&in->extra, header->field[i]);
		if (id == LEAT_NAME_NONE)
			return leat_error_memory(err);
		file->further[i] = id;
	}
	return 0;
}

static int
read_header(struct leat_readings *in, struct leat_readings_file *file, struct leat_error *err)
{
	const char *name = leat_rows_name(file->rows);
	struct leat_row header;

	switch (leat_rows_next(file->rows, &header, err)) {
	case LEAT_ROWS_FAILED:
	case LEAT_ROWS_BAD:
		return -1;
	case LEAT_ROWS_END:
		return leat_error_set(err, "'%s' is empty: a readings stream has at least its header", name);
	case LEAT_ROWS_ROW:
		break;
	}
	if (leat_columns_find(&header, leat_readings_column, COL_COUNT, COL_COUNT, file->column, err) != 0) {
		header_fault(&header, err);
		return leat_error_at(err, name, header.line);
	}
	if (header.unended) {
		leat_error_set(err, "the header is cut: it has no line end");
		return leat_error_at(err, name, header.line);
	}
	file->width = header.count;
	file->last = LEAT_TIME_NONE;
	file->series = LEAT_NAME_NONE;
	if (leat_buf_add_span(&file->header, header.raw) != 0)
		return leat_error_memory(err);
	return further_columns(in, file, &header, err);
}

/* Once all headers are known: where each file has the further columns of the output. */
static int
place_columns(struct leat_readings *in, struct leat_readings_file *file, struct leat_error *err)
{
	size_t i;

	file->direct = file->width == COL_COUNT + in->extra.count;
	for (i = 0; i < COL_COUNT; i++)
		file->direct = file->direct && file->column[i] == (int)i;
	file->quick = file->direct && file->width == COL_COUNT;
	if (in->extra.count == 0)
		return 0;
	file->place = malloc(in->extra.count * sizeof(*file->place));
	if (file->place == NULL)
		return leat_error_memory(err);
	for (i = 0; i < in->extra.count; i++)
		file->place[i] = -1;
	for (i = 0; i < file->width; i++) {
		size_t id = file->further[i];

		if (id == NOT_FURTHER)
			continue;
		if (file->place[id] >= 0) {
			leat_error_set(err, "a further column comes twice in the header");
			leat_error_column(err, in->extra.name[id]);
			return leat_error_at(err, leat_rows_name(file->rows), 1);
		}
		file->place[id] = (int)i;
		file->direct = file->direct && i == COL_COUNT + id;
	}
	return 0;
}

static struct leat_readings *
readings_new(size_t count)
{
	struct leat_readings *in = calloc(1, sizeof(*in));

	if (in == NULL)
		return NULL;
	in->file = calloc(count, sizeof(*in->file));
	in->heap = calloc(count, sizeof(*in->heap));
	if (in->file == NULL || in->heap == NULL) {
		leat_readings_close(in);
		return NULL;
	}
	in->count = in->due = count;
	return in;
}

static int
read_headers(struct leat_readings *in, struct leat_error *err)
{
	size_t i;

	for (i = 0; i < in->count; i++) {
		if (read_header(in, &in->file[i], err) != 0)
			return -1;
	}
	for (i = 0; i < in->count; i++) {
		if (place_columns(in, &in->file[i], err) != 0)
			return -1;
	}
	return 0;
}

int
leat_readings_further_find(const struct leat_readings *in, const char *name)
{
	uint32_t id = leat_names_get(&in->extra, leat_span_of(name));

	return id != LEAT_NAME_NONE ? (int)id : -1;
}

struct leat_span
leat_readings_further(const struct leat_readings *in, const struct leat_reading *r, int column)
{
	const struct leat_readings_file *file = &in->file[r->source];

	return column >= 0 && file->place[column] >= 0 ? r->row->field[file->place[column]] : leat_span_make("", 0);
}

struct leat_readings *
leat_readings_take(struct leat_input *const *input, size_t count, struct leat_error *err)
{
	struct leat_readings *in = readings_new(count);
	bool good = in != NULL;
	size_t i;

	if (in == NULL)
		leat_error_memory(err);
	for (i = 0; i < count; i++) {
		if (!good) {
			leat_input_close(input[i]);
			continue;
		}
		in->file[i].rows = leat_rows_open(input[i], ',', err);
		in->file[i].plain.lines = 1;
		good = in->file[i].rows != NULL;
	}
	if (good && read_headers(in, err) == 0)
		return in;
	leat_readings_close(in);
	return NULL;
}

struct leat_readings *
leat_readings_open(char *const *file, size_t count, struct leat_error *err)
{
	size_t i, files = count > 0 ? count : 1;
	struct leat_input **input = calloc(files, sizeof(*input));
	struct leat_readings *in = NULL;

	if (input == NULL) {
		leat_error_memory(err);
		return NULL;
	}
	for (i = 0; i < files; i++) {
		input[i] = leat_input_open(count > 0 ? file[i] : "-", LEAT_ENCODING_RAW, err);
		if (input[i] == NULL)
			break;
	}
	if (i == files) {
		in = leat_readings_take(input, files, err);
	} else {
		while (i > 0)
			leat_input_close(input[--i]);
	}
	free(input);
	return in;
}

size_t
leat_readings_columns(const struct leat_readings *in)
{
	return COL_COUNT + in->extra.count;
}

void
leat_readings_close(struct leat_readings *in)
{
	size_t i;

	if (in == NULL)
		return;
	for (i = 0; i < in->count; i++) {
		leat_rows_close(in->file[i].rows);
		leat_buf_free(&in->file[i].header);
		free(in->file[i].place);
		free(in->file[i].further);
		free(in->file[i].next);
	}
	leat_names_free(&in->assets);
	leat_names_free(&in->points);
	leat_pairs_free(&in->series);
	leat_names_free(&in->extra);
	leat_names_free(&in->heads);
	free(in->head_series);
	free(in->heard);
	free(in->shape);
	free(in->file);
	free(in->heap);
	free(in);
}
