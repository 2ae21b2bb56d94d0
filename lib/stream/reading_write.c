/*
 * Writing the readings stream.
 */
#include "stream/reading_private.h"
#include "stream/rows_private.h"

void
leat_readings_write_header(struct leat_out *out, const struct leat_readings *in)
{
	size_t i;

	for (i = 0; i < COL_COUNT; i++) {
		if (i > 0)
			leat_out_char(out, ',');
		leat_out_text(out, leat_readings_column[i]);
	}
	for (i = 0; in != NULL && i < in->extra.count; i++) {
		leat_out_char(out, ',');
		leat_out_field(out, in->extra.name[i]);
	}
	leat_out_char(out, '\n');
}

void
leat_readings_copy(struct leat_out *out, const struct leat_readings *in, const struct leat_reading *r)
{
	const struct leat_readings_file *file = &in->file[r->source];
	const struct leat_row *row = r->row;
	size_t i;

	if (file->direct && !row->quoted) {
		leat_rows_lend(file->rows, row, out);
		return;
	}
	for (i = 0; i < COL_COUNT; i++) {
		if (i > 0)
			leat_out_char(out, ',');
		leat_out_field(out, row->field[file->column[i]]);
	}
	for (i = 0; i < in->extra.count; i++) {
		leat_out_char(out, ',');
		if (file->place[i] >= 0)
			leat_out_field(out, row->field[file->place[i]]);
	}
	leat_out_char(out, '\n');
}

int
leat_readings_copy_to(struct leat_buf *buf, const struct leat_readings *in, const struct leat_reading *r)
{
	const struct leat_readings_file *file = &in->file[r->source];
	const struct leat_row *row = r->row;

	if (file->direct && !row->quoted)
		return leat_buf_add_span(buf, row->raw) != 0 ? -1 : leat_buf_add(buf, "\n", 1);
	for (size_t i = 0; i < COL_COUNT + in->extra.count; i++) {
		int at = i < COL_COUNT ? file->column[i] : file->place[i - COL_COUNT];

		if ((i > 0 && leat_buf_add(buf, ",", 1) != 0) || (at >= 0 && leat_out_field_to(buf, row->field[at]) != 0))
			return -1;
	}
	return leat_buf_add(buf, "\n", 1);
}

void
leat_readings_add(struct leat_out *out, const struct leat_readings *in, const struct leat_reading *r)
{
	size_t i;

	leat_out_time(out, r->time);
	leat_out_char(out, ',');
	leat_out_field(out, r->asset);
	leat_out_char(out, ',');
	leat_out_field(out, r->point);
	leat_out_char(out, ',');
	leat_out_field(out, r->value);
	leat_out_char(out, ',');
	leat_out_field(out, r->unit);
	leat_out_char(out, ',');
	leat_out_text(out, leat_quality_name(r->quality));
	for (i = 0; in != NULL && i < in->extra.count; i++)
		leat_out_char(out, ',');
	leat_out_char(out, '\n');
}
