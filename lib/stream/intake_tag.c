/*
 * The tags of the intake: their rows of points.csv, their names in the output.
 */
#include "stream/intake_private.h"

/* Appends the tag as a name: a line break in a quoted title, or any other control character, is a blank. */
static int
clean_name(struct leat_buf *name, struct leat_span tag)
{
	for (size_t i = 0; i < tag.len; i++) {
		unsigned char c = (unsigned char)tag.ptr[i];
		/* U+0080..U+009F */
		bool high = c == 0xC2 && i + 1 < tag.len && (unsigned char)tag.ptr[i + 1] < 0xA0;

		i += high;
		if (!high && c >= ' ' && c != 0x7F) {
			if (leat_buf_add(name, &tag.ptr[i], 1) != 0)
				return -1;
		} else if (name->len > 0 && name->data[name->len - 1] != ' ' && leat_buf_add(name, " ", 1) != 0) {
			return -1;
		}
	}
	while (name->len > 0 && name->data[name->len - 1] == ' ')
		name->len--;
	return name->len > 0 ? 0 : leat_buf_add(name, "?", 1);
}

/* The row of a tag as the export spells it, or without the unit in brackets behind it: "NM.PGR [bar]". */
static const struct leat_point *
find_row(const struct leat_points *points, struct leat_span tag)
{
	const struct leat_point *row = leat_points_tag(points, tag);
	char closing = tag.ptr[tag.len - 1];
	size_t open = tag.len;

	if (row == NULL)
		row = leat_points_named(points, tag);
	if (row != NULL || (closing != ']' && closing != ')'))
		return row;
	while (open > 0 && tag.ptr[open - 1] != (closing == ']' ? '[' : '('))
		open--;
	if (open == 0)
		return NULL;
	return leat_points_tag(points, leat_span_trim_wide(leat_span_make(tag.ptr, open - 1)));
}

int
leat_intake_tag_name(const struct leat_points *points, struct leat_span tag, struct leat_buf *name,
    const struct leat_point **row)
{
	leat_buf_reset(name);
	if (clean_name(name, tag) != 0)
		return -1;
	*row = points->count > 0 ? find_row(points, leat_buf_span(name)) : NULL;
	return 0;
}

/* Numbers the series of a tag and writes what stands around the value in all of its rows. */
static int
frame(struct leat_intake *in, struct leat_intake_tag *t)
{
	const struct leat_point *row = t->convert.row;
	struct leat_span asset = row != NULL ? row->asset : LEAT_SPAN("-");
	struct leat_span point = row != NULL ? row->point : leat_buf_span(&t->name);
	struct leat_span unit = leat_span_of(t->convert.unit != NULL ? t->convert.unit->name : NULL);

	t->asset = leat_names_put(&in->assets, asset);
	t->point = leat_names_put(&in->points, point);
	if (t->asset == LEAT_NAME_NONE || t->point == LEAT_NAME_NONE)
		return -1;
	t->series = leat_pairs_put(&in->series, t->asset, t->point);
	if (t->series == LEAT_NAME_NONE || leat_buf_add(&t->head, ",", 1) != 0 ||
	    leat_out_field_to(&t->head, asset) != 0 || leat_buf_add(&t->head, ",", 1) != 0 ||
	    leat_out_field_to(&t->head, point) != 0 || leat_buf_add(&t->head, ",", 1) != 0)
		return -1;
	if (leat_buf_add(&t->tail, ",", 1) != 0 || leat_out_field_to(&t->tail, unit) != 0)
		return -1;
	return leat_buf_add(&t->tail, ",", 1);
}

/* Prepares the conversion of a tag.  A contradiction is a remark; units that cannot be converted end the run. */
static int
prepare(struct leat_intake *in, size_t file, struct leat_intake_tag *t, const struct leat_sample *first,
    const struct leat_point *row, struct leat_error *err)
{
	enum leat_convert_status status = leat_convert_prepare(&t->convert, row, &in->file[file].form, first, err);

	if (status == LEAT_CONVERT_READY)
		return 0;
	leat_error_at(err, leat_intake_name(in, file), first->line);
	if (status == LEAT_CONVERT_STOP)
		return -1;
	in->merge->note = *err;
	in->merge->has_note = true;
	return 0;
}

int
leat_intake_tag_new(struct leat_intake *in, size_t file, const struct leat_sample *first, uint32_t *token,
    struct leat_error *err)
{
	const struct leat_points *points = in->plan.points;
	const struct leat_point *row;
	struct leat_intake_tag *t;

	if (leat_grow(&in->tag, &in->tag_cap, in->tags + 1, sizeof(*in->tag)) != 0)
		return leat_error_memory(err);
	t = &in->tag[in->tags];
	if (leat_intake_tag_name(points, first->tag, &t->name, &row) != 0)
		return leat_error_memory(err);
	if (points->count > 0 && row == NULL) {
		*token = LEAT_INTAKE_UNKNOWN;
		return 0;
	}
	if (in->tags >= LEAT_INTAKE_TAGS) {
		leat_error_set(err, "more than %d tags: give --shape when a column of something else is taken for "
		    "them", LEAT_INTAKE_TAGS);
		return leat_error_at(err, leat_intake_name(in, file), first->line);
	}
	if (!leat_utf8_valid(first->tag)) {
		leat_error_set(err, "not well-formed UTF-8: give --encoding");
		leat_error_value(err, first->tag);
		return leat_error_at(err, leat_intake_name(in, file), first->line);
	}
	in->tags++;
	if (prepare(in, file, t, first, row, err) != 0)
		return -1;
	if (frame(in, t) != 0)
		return leat_error_memory(err);
	if (row != NULL)
		in->came[row - points->row] = true;
	*token = (uint32_t)in->tags;
	return 0;
}
