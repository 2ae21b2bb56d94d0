/*
 * One row of a readings file: tested, its time read, its names interned.
 *
 * Two guesses save most of the work.  A row mostly has the time of the row before it, byte for byte; and after a
 * series mostly comes the one that came after it the last time.
 */
#include "stream/reading.h"

#include <stdlib.h>

#include "stream/reading_private.h"

/* More pairs of asset and point than any works has: a number or a time stands where a name is due.  Without a bound
 * such input would fill the memory. */
#define SERIES_LIMIT 65536u
#define REJECTED_LIMIT 4096u

const char *
leat_quality_name(enum leat_quality quality)
{
	return quality == LEAT_GOOD ? "good" : quality == LEAT_UNCERTAIN ? "uncertain" : "bad";
}

int
leat_quality_find(struct leat_span word)
{
	switch (word.len) {
	case 3:
		return memcmp(word.ptr, "bad", 3) == 0 ? LEAT_BAD : -1;
	case 4:
		return memcmp(word.ptr, "good", 4) == 0 ? LEAT_GOOD : -1;
	case 9:
		return memcmp(word.ptr, "uncertain", 9) == 0 ? LEAT_UNCERTAIN : -1;
	default:
		return -1;
	}
}

static enum leat_readings_status
reject(struct leat_readings *in, const struct leat_row *row)
{
	in->counted.rejected++;
	in->rejected = row->raw;
	if (in->rejected.len > REJECTED_LIMIT)
		in->rejected.len = REJECTED_LIMIT;
	return LEAT_READINGS_BAD;
}

/* As reject, with what is wrong in which cell. */
static enum leat_readings_status
reject_cell(struct leat_readings *in, const struct leat_readings_file *file, int column, struct leat_error *err,
    const char *text)
{
	leat_error_set(err, "%s", text);
	leat_error_at(err, leat_rows_name(file->rows), file->row.line);
	leat_error_column(err, leat_span_of(leat_readings_column[column]));
	leat_error_value(err, file->row.field[file->column[column]]);
	return reject(in, &file->row);
}

static bool
is_header(const struct leat_readings_file *file)
{
	return leat_span_eq(file->row.raw, leat_buf_span(&file->header));
}

static enum leat_readings_status
reject_width(struct leat_readings *in, const struct leat_readings_file *file, struct leat_error *err)
{
	leat_error_set(err, "%zu field%s where the header has %zu", file->row.count, file->row.count == 1 ? "" : "s",
	    file->width);
	leat_error_at(err, leat_rows_name(file->rows), file->row.line);
	return reject(in, &file->row);
}

static enum leat_readings_status
time_goes_back(const struct leat_readings_file *file, struct leat_error *err)
{
	char from[LEAT_TIME_MAX], to[LEAT_TIME_MAX];

	leat_time_write(from, file->last);
	leat_time_write(to, file->reading.time);
	leat_error_set(err, "time goes back from %s to %s; put the rows in order with 'leat-select --sort'", from, to);
	leat_error_at(err, leat_rows_name(file->rows), file->row.line);
	return LEAT_READINGS_FAILED;
}

static const char *
name_fault(struct leat_span name)
{
	return name.len == 0 ? "empty name" : leat_field_fault(name);
}

static bool
is_series(const struct leat_readings *in, uint32_t series, const struct leat_reading *r)
{
	uint64_t pair;

	if (series == LEAT_NAME_NONE)
		return false;
	pair = in->series.pair[series];
	return leat_span_eq(in->points.name[(uint32_t)pair], r->point) &&
	    leat_span_eq(in->assets.name[pair >> 32], r->asset);
}

/* Remembers that the series came after the one before it in this file, which may have been the first there of both. */
static int
follow(struct leat_readings_file *file, uint32_t series)
{
	uint32_t highest = file->series != LEAT_NAME_NONE && file->series > series ? file->series : series;
	struct leat_readings_next *next;
	size_t i = file->next_cap;

	if (highest >= file->next_cap) {
		if (leat_grow(&file->next, &file->next_cap, (size_t)highest + 1, sizeof(*file->next)) != 0)
			return -1;
		for (; i < file->next_cap; i++)
			file->next[i] = (struct leat_readings_next){ LEAT_NAME_NONE, LEAT_NAME_NONE };
	}
	if (file->series != LEAT_NAME_NONE) {
		next = &file->next[file->series];
		next->before = next->last != series ? next->last : next->before;
		next->last = series;
	}
	file->series = series;
	return 0;
}

/* Numbers the names of a row by looking them up. */
static enum leat_readings_status
intern(struct leat_readings *in, struct leat_readings_file *file, struct leat_error *err)
{
	struct leat_reading *r = &file->reading;
	const char *fault;

	r->asset_id = leat_names_get(&in->assets, r->asset);
	if (r->asset_id == LEAT_NAME_NONE) {
		fault = name_fault(r->asset);
		if (fault != NULL)
			return reject_cell(in, file, COL_ASSET, err, fault);
	}
	r->point_id = leat_names_get(&in->points, r->point);
	if (r->point_id == LEAT_NAME_NONE) {
		fault = name_fault(r->point);
		if (fault != NULL)
			return reject_cell(in, file, COL_POINT, err, fault);
	}
	if (r->asset_id == LEAT_NAME_NONE)
		r->asset_id = leat_names_put(&in->assets, r->asset);
	if (r->point_id == LEAT_NAME_NONE)
		r->point_id = leat_names_put(&in->points, r->point);
	r->series = LEAT_NAME_NONE;
	if (r->asset_id != LEAT_NAME_NONE && r->point_id != LEAT_NAME_NONE)
		r->series = leat_pairs_put(&in->series, r->asset_id, r->point_id);
	if (r->series == LEAT_NAME_NONE) {
		leat_error_memory(err);
		return LEAT_READINGS_FAILED;
	}
	if (r->series >= SERIES_LIMIT) {
		leat_error_set(err, "more than %u different pairs of asset and point: are columns mixed up?",
		    SERIES_LIMIT);
		leat_error_at(err, leat_rows_name(file->rows), file->row.line);
		return LEAT_READINGS_FAILED;
	}
	return LEAT_READINGS_ROW;
}

static enum leat_readings_status
names(struct leat_readings *in, struct leat_readings_file *file, struct leat_error *err)
{
	struct leat_reading *r = &file->reading;
	uint32_t guess = file->series < file->next_cap ? file->next[file->series].last : LEAT_NAME_NONE;
	enum leat_readings_status status;

	if (is_series(in, guess, r)) {
		r->series = guess;
		r->asset_id = (uint32_t)(in->series.pair[guess] >> 32);
		r->point_id = (uint32_t)in->series.pair[guess];
		file->series = guess;
		return LEAT_READINGS_ROW;
	}
	status = intern(in, file, err);
	if (status == LEAT_READINGS_ROW && follow(file, r->series) != 0) {
		leat_error_memory(err);
		return LEAT_READINGS_FAILED;
	}
	return status;
}

/* Makes the reading from the row.  LEAT_READINGS_END stands for a repeated header. */
static enum leat_readings_status
make(struct leat_readings *in, struct leat_readings_file *file, struct leat_error *err)
{
	const struct leat_span *field = file->row.field;
	struct leat_reading *r = &file->reading;
	struct leat_span text;
	int quality;

	/* Whatever writes readings ends its last line: without that the stream is cut, and nobody knows how much is lost. */
	if (file->row.unended) {
		leat_error_set(err, "the readings end within a line: the file is cut short");
		leat_error_at(err, leat_rows_name(file->rows), file->row.line);
		return LEAT_READINGS_FAILED;
	}
	if (file->row.count != file->width)
		return reject_width(in, file, err);
	text = field[file->column[COL_TIME]];
	if (file->time_len > 0 && text.len == file->time_len && memcmp(text.ptr, file->time_text, text.len) == 0) {
		r->time = file->last;
	} else if (leat_time_parse(text, &r->time) != 0) {
		if (is_header(file))
			return LEAT_READINGS_END;
		return reject_cell(in, file, COL_TIME, err, "not a time (RFC 3339, such as 2026-01-31T23:59:59Z)");
	}
	r->asset = field[file->column[COL_ASSET]];
	r->point = field[file->column[COL_POINT]];
	r->value = field[file->column[COL_VALUE]];
	r->unit = field[file->column[COL_UNIT]];
	quality = leat_quality_find(field[file->column[COL_QUALITY]]);
	if (quality < 0)
		return reject_cell(in, file, COL_QUALITY, err, "not good, uncertain or bad");
	r->quality = (enum leat_quality)quality;
	if (r->value.len == 0 && r->quality != LEAT_BAD)
		return reject_cell(in, file, COL_VALUE, err, "empty value, but the quality is not bad");
	return names(in, file, err);
}

void
leat_readings_keep_time(struct leat_readings_file *file, struct leat_time time, struct leat_span text)
{
	file->last = time;
	file->time_len = text.len < sizeof(file->time_text) ? text.len : 0;
	memcpy(file->time_text, text.ptr, file->time_len);
	file->time_text[file->time_len] = ',';
}

/* Takes over the time of a good row; it must not go back, unless that was allowed. */
static enum leat_readings_status
take_time(const struct leat_readings *in, struct leat_readings_file *file, struct leat_error *err)
{
	if (!in->any_order && !leat_time_is_none(file->last) && leat_time_cmp(file->reading.time, file->last) < 0)
		return time_goes_back(file, err);
	leat_readings_keep_time(file, file->reading.time, file->row.field[file->column[COL_TIME]]);
	return LEAT_READINGS_ROW;
}

/* The next row, whatever it is. */
static enum leat_readings_status
next_slowly(struct leat_readings *in, struct leat_readings_file *file, struct leat_error *err)
{
	enum leat_readings_status status;

	do {
		switch (leat_rows_next(file->rows, &file->row, err)) {
		case LEAT_ROWS_FAILED:
			return LEAT_READINGS_FAILED;
		case LEAT_ROWS_END:
			return LEAT_READINGS_END;
		case LEAT_ROWS_BAD:
			return reject(in, &file->row);
		case LEAT_ROWS_ROW:
			break;
		}
		status = make(in, file, err);
		if (status == LEAT_READINGS_END)
			in->counted.headers++;
	} while (status == LEAT_READINGS_END);
	if (status != LEAT_READINGS_ROW)
		return status;
	if (leat_readings_learn(in, file, &file->reading) != 0) {
		leat_error_memory(err);
		return LEAT_READINGS_FAILED;
	}
	file->reading.line = file->row.line;
	return take_time(in, file, err);
}

enum leat_readings_status
leat_readings_file_next(struct leat_readings *in, size_t number, struct leat_error *err)
{
	struct leat_readings_file *file = &in->file[number];

	file->reading.source = number;
	if (leat_readings_quick(in, file, &file->reading))
		return LEAT_READINGS_ROW;
	file->reading.row = &file->row;
	return next_slowly(in, file, err);
}
