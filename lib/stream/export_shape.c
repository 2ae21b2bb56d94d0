/*
 * Rows of an export to samples.
 *
 * A row without a stamp is one of the lines before the data come again, or looks like a footer, or is rejected.  What
 * looks like a footer is kept back: when data follow straight behind, it was a bad row.
 */
#include <string.h>

#include "stream/export_private.h"

#define RAW_MOST 4096

static enum leat_export_status
failed(const struct leat_export *ex, struct leat_error *err)
{
	leat_error_at(err, leat_spool_name(ex->spool), ex->row.line);
	return LEAT_EXPORT_FAILED;
}

static enum leat_export_status
bad(struct leat_export *ex, struct leat_span raw, long line, struct leat_error *err)
{
	ex->rejected = leat_span_make(raw.ptr, raw.len < RAW_MOST ? raw.len : RAW_MOST);
	leat_error_at(err, leat_spool_name(ex->spool), line);
	return LEAT_EXPORT_BAD;
}

/* Rejects the row; err has the reason. */
static enum leat_export_status
reject(struct leat_export *ex, struct leat_error *err)
{
	ex->count.rejected += ex->row.lines;
	return bad(ex, ex->row.raw, ex->row.line, err);
}

static struct leat_span
field(const struct leat_export *ex, int column)
{
	if (column < 0 || (size_t)column >= ex->row.count)
		return leat_span_make(NULL, 0);
	return leat_export_trim(ex->row.field[column]);
}

/* Says why a stamp cannot be used.  Counts what is counted by kind. */
static void
say_stamp(struct leat_export *ex, enum leat_stamp_status status, struct leat_span date, struct leat_error *err)
{
	switch (status) {
	case LEAT_STAMP_GAP:
		ex->count.gap++;
		leat_error_set(err, "a local time that never was: the clocks were put forward");
		break;
	case LEAT_STAMP_FUTURE:
		ex->count.future++;
		leat_error_set(err, "clock fault: the time lies more than a day in the future");
		break;
	case LEAT_STAMP_ZONELESS:
		leat_error_set(err, "a time without offset: give --zone");
		break;
	default:
		if (date.len == 0)
			leat_error_set(err, "no time");
		else
			leat_error_set(err, "not a time of the form found (%s)", leat_form_name(ex->form.dates));
		break;
	}
	if (date.len > 0)
		leat_error_value(err, date);
}

/* Reads a stamp of the row; series: whose clock resolves it. */
static enum leat_stamp_status
read_stamp(struct leat_export *ex, size_t stamp, size_t series, struct leat_time *t, struct leat_error *err)
{
	const struct leat_stamp *st = &ex->layout.stamp[stamp];
	struct leat_local_clock *clock = leat_sequence_clock(&ex->sequence, series);
	struct leat_span date = field(ex, st->date);
	struct leat_span time_of_day = field(ex, st->clock);
	enum leat_stamp_status status;

	if (clock == NULL) {
		leat_error_memory(err);
		return LEAT_STAMP_ZONELESS;
	}
	status = leat_stamper_read(&ex->stamper, date, st->clock >= 0 ? &time_of_day : NULL, clock, t);
	if (status > LEAT_STAMP_GUESSED)
		say_stamp(ex, status, date, err);
	return status;
}

/* Ends the lines kept back: they were a footer. */
static void
end_pending(struct leat_export *ex)
{
	size_t i;

	for (i = 0; i < ex->pendings; i++)
		ex->count.footer += ex->pending[i].lines;
	ex->pendings = 0;
}

/* Is a row without a stamp what stands under data: one cell, or words or a rule in front?  A last line that has too few
 * cells and no line end is data that was cut, unless it is a phrase such as 'rows: 1440'. */
static bool
looks_like_footer(const struct leat_export *ex)
{
	struct leat_span first = leat_export_trim(ex->row.field[0]);
	size_t i, filled = 0;

	for (i = 0; i < ex->row.count; i++)
		filled += leat_export_trim(ex->row.field[i]).len > 0;
	if (ex->row.unended && ex->row.count < ex->layout.width)
		return filled <= 1 && (leat_span_find(first, ' ') < first.len || leat_span_find(first, ':') < first.len) &&
		    (first.ptr[0] < '0' || first.ptr[0] > '9');
	if (filled <= 1)
		return true;
	return first.len > 0 && (((first.ptr[0] | 0x20) >= 'a' && (first.ptr[0] | 0x20) <= 'z') ||
	    (unsigned char)first.ptr[0] >= 0x80 || strchr("#-=*(", first.ptr[0]) != NULL);
}

/* Is the row one of those before the data, come again?  Counts it. */
static bool
is_known(struct leat_export *ex)
{
	uint32_t id = leat_names_get(&ex->layout.lines, ex->row.raw);

	if (id == LEAT_NAME_NONE)
		return false;
	end_pending(ex);
	if (ex->layout.line_kind[id] == LEAT_LINE_HEADER) {
		ex->count.header += ex->row.lines;
		ex->after_header = true;
	} else if (ex->layout.line_kind[id] == LEAT_LINE_UNIT) {
		ex->count.unit += ex->row.lines;
	} else {
		ex->count.preamble += ex->row.lines;
	}
	return true;
}

/* The columns change within the file: to read on would be to read values under the names of others. */
static enum leat_export_status
other_columns(const struct leat_export *ex, const char *what, struct leat_span raw, long line,
    struct leat_error *err)
{
	leat_error_set(err, "%s line %ld: give each export as a FILE of its own", what, ex->layout.header_line);
	leat_error_value(err, raw);
	leat_error_at(err, leat_spool_name(ex->spool), line);
	return LEAT_EXPORT_FAILED;
}

/* A row without a stamp; err says so.  END stands for: dealt with. */
static enum leat_export_status
without_stamp(struct leat_export *ex, struct leat_error *err)
{
	enum leat_again again;
	struct leat_pending *p;

	if (is_known(ex))
		return LEAT_EXPORT_END;
	again = leat_export_again(&ex->layout, &ex->row);
	if (again == LEAT_AGAIN_SAME) {
		end_pending(ex);
		ex->count.header += ex->row.lines;
		ex->after_header = true;
		return LEAT_EXPORT_END;
	}
	if (again == LEAT_AGAIN_OTHER)
		return other_columns(ex, "another header than that of", ex->row.raw, ex->row.line, err);
	if (ex->after_header && leat_export_has_unit(&ex->row))
		return other_columns(ex, "other units than under the header of", ex->row.raw, ex->row.line, err);
	if (ex->pendings == LEAT_PENDING_MOST || !looks_like_footer(ex))
		return reject(ex, err);
	p = &ex->pending[ex->pendings];
	p->titles = again == LEAT_AGAIN_PERHAPS;
	leat_buf_reset(&p->raw);
	if (leat_buf_add(&p->raw, ex->row.raw.ptr, ex->row.raw.len < RAW_MOST ? ex->row.raw.len : RAW_MOST) != 0) {
		leat_error_memory(err);
		return failed(ex, err);
	}
	p->line = ex->row.line;
	p->lines = ex->row.lines;
	ex->pendings++;
	return LEAT_EXPORT_END;
}

/* One of the lines kept back, which data followed.  END when none is left. */
static enum leat_export_status
flush_pending(struct leat_export *ex, struct leat_error *err)
{
	struct leat_pending *p;

	if (ex->flushed == ex->pendings) {
		ex->flushing = false;
		ex->pendings = 0;
		return LEAT_EXPORT_END;
	}
	p = &ex->pending[ex->flushed++];
	if (p->titles)
		return other_columns(ex, "another header than that of", leat_buf_span(&p->raw), p->line, err);
	ex->count.rejected += p->lines;
	leat_error_set(err, "a line without a time among the data");
	return bad(ex, leat_buf_span(&p->raw), p->line, err);
}

/* Are the cells of a row with a stamp as many as they should be?  Otherwise err says what is wrong. */
static bool
count_is_right(const struct leat_export *ex, struct leat_error *err)
{
	const struct leat_layout *layout = &ex->layout;
	size_t least = ex->row.unended ? layout->width : layout->least;
	size_t i;

	if (ex->row.count < least) {
		leat_error_set(err, "too few cells: %zu of %zu%s", ex->row.count, layout->width,
		    ex->row.unended ? ", the last line is cut" : "");
		return false;
	}
	for (i = layout->most; i < ex->row.count; i++) {
		if (leat_export_trim(ex->row.field[i]).len == 0)
			continue;
		leat_error_set(err, "more cells than the %zu columns", layout->most);
		return false;
	}
	return true;
}

/* In the last line without an end, the last cell may be cut; a stamp or a tag that may be cut is none. */
static bool
key_is_cut(const struct leat_export *ex)
{
	int last = (int)ex->row.count - 1;
	size_t i;

	if (!ex->row.unended)
		return false;
	for (i = 0; i < ex->layout.stamps; i++)
		if (ex->layout.stamp[i].date == last || ex->layout.stamp[i].clock == last)
			return true;
	return ex->layout.tag == last;
}

/* Has the row a stamp: in paired shape, has any pair of it? */
static bool
some_stamp(struct leat_export *ex)
{
	const struct leat_stamp *st;
	struct leat_span time_of_day;
	size_t i;

	for (i = 0; i < ex->layout.stamps; i++) {
		st = &ex->layout.stamp[i];
		time_of_day = field(ex, st->clock);
		if (leat_stamper_said(&ex->stamper, field(ex, st->date), st->clock >= 0 ? &time_of_day : NULL))
			return true;
	}
	return false;
}

/* Sets the tag of a long row.  0, or -1 when memory is out. */
static int
read_tag(struct leat_export *ex, struct leat_span tag)
{
	const struct leat_names *tags = &ex->layout.tags;

	if (ex->tag_id == LEAT_NAME_NONE || !leat_span_eq(tags->name[ex->tag_id], tag))
		ex->tag_id = leat_names_put(&ex->layout.tags, tag);
	return ex->tag_id == LEAT_NAME_NONE ||
	    leat_grow(&ex->blank, &ex->blank_cap, (size_t)ex->tag_id + 1, sizeof(*ex->blank)) != 0 ? -1 : 0;
}

/* Reads what a row has for all its cells: tag and time.  END when all is well. */
static enum leat_export_status
read_key(struct leat_export *ex, struct leat_error *err)
{
	struct leat_span tag = field(ex, ex->layout.tag);
	enum leat_stamp_status stamp;

	if (key_is_cut(ex)) {
		leat_error_set(err, "the last line is cut in its time or tag");
		return reject(ex, err);
	}
	if (ex->layout.tag >= 0) {
		if (tag.len == 0) {
			leat_error_set(err, "no tag");
			return reject(ex, err);
		}
		if (read_tag(ex, tag) != 0) {
			leat_error_memory(err);
			return failed(ex, err);
		}
	}
	/* Each pair has a stamp of its own. */
	if (ex->form.shape == LEAT_SHAPE_PAIRED)
		return LEAT_EXPORT_END;
	stamp = read_stamp(ex, 0, ex->layout.tag >= 0 ? ex->tag_id : 0, &ex->time, err);
	if (stamp == LEAT_STAMP_ZONELESS)
		return failed(ex, err);
	if (stamp > LEAT_STAMP_GUESSED)
		return reject(ex, err);
	ex->guessed = stamp == LEAT_STAMP_GUESSED;
	ex->count.guessed += ex->guessed;
	return LEAT_EXPORT_END;
}

/* Begins a row of data.  END: its cells are to be handed out, or it was dealt with. */
static enum leat_export_status
begin_row(struct leat_export *ex, struct leat_error *err)
{
	enum leat_export_status status;

	if (!some_stamp(ex)) {
		say_stamp(ex, LEAT_STAMP_NONE, field(ex, ex->layout.stamp[0].date), err);
		return without_stamp(ex, err);
	}
	if (!count_is_right(ex, err))
		return reject(ex, err);
	status = read_key(ex, err);
	if (status != LEAT_EXPORT_END)
		return status;
	ex->count.data += ex->row.lines;
	ex->count.cells += ex->layout.tag >= 0 ? 1 : (long long)ex->layout.values;
	ex->in_row = true;
	ex->after_header = false;
	ex->at = 0;
	if (ex->pendings > 0) {
		ex->flushing = true;
		ex->flushed = 0;
	}
	return LEAT_EXPORT_END;
}

/* The one cell of a long row. */
static enum leat_export_status
long_cell(struct leat_export *ex, struct leat_sample *s)
{
	const struct leat_layout *layout = &ex->layout;
	size_t last = ex->row.count - 1;

	ex->in_row = false;
	s->value = field(ex, layout->cell);
	if (s->value.len == 0) {
		ex->count.blank_cells++;
		ex->blank[ex->tag_id]++;
		return LEAT_EXPORT_END;
	}
	s->tag_id = ex->tag_id;
	s->tag = layout->tags.name[ex->tag_id];
	s->time = ex->time;
	s->guessed = ex->guessed;
	s->quality = field(ex, layout->quality);
	s->unit = field(ex, layout->unit);
	if (s->unit.len == 0)
		s->unit = layout->cell_unit;
	s->cut = ex->row.unended && ((size_t)layout->cell == last || (layout->quality >= 0 &&
	    (size_t)layout->quality == last));
	s->line = ex->row.line;
	ex->count.samples++;
	return LEAT_EXPORT_SAMPLE;
}

/* The stamp of a pair.  END: ex->time is set. */
static enum leat_export_status
pair_stamp(struct leat_export *ex, size_t stamp, struct leat_error *err)
{
	enum leat_stamp_status status = read_stamp(ex, stamp, stamp, &ex->time, err);

	if (status == LEAT_STAMP_ZONELESS)
		return failed(ex, err);
	if (status > LEAT_STAMP_GUESSED) {
		ex->count.rejected_cells++;
		return bad(ex, ex->row.raw, ex->row.line, err);
	}
	ex->guessed = status == LEAT_STAMP_GUESSED;
	ex->count.guessed += ex->guessed;
	return LEAT_EXPORT_END;
}

/* The next cell of a wide or paired row.  END when there is none. */
static enum leat_export_status
next_cell(struct leat_export *ex, struct leat_sample *s, struct leat_error *err)
{
	const bool paired = ex->form.shape == LEAT_SHAPE_PAIRED;
	enum leat_export_status status;
	struct leat_export_column *v;
	struct leat_span cell;

	while (ex->at < ex->layout.values) {
		v = &ex->layout.value[ex->at++];
		if (v->column >= ex->row.count || (cell = leat_export_trim(ex->row.field[v->column])).len == 0) {
			ex->count.blank_cells++;
			v->blank++;
			continue;
		}
		if (paired && (status = pair_stamp(ex, v->stamp, err)) != LEAT_EXPORT_END)
			return status;
		if (v->tag_id == LEAT_NAME_NONE && leat_layout_name(&ex->layout, v, leat_span_make(NULL, 0)) != 0) {
			leat_error_memory(err);
			return failed(ex, err);
		}
		s->tag = v->tag;
		s->tag_id = v->tag_id;
		s->time = ex->time;
		s->guessed = ex->guessed;
		s->value = cell;
		s->quality = v->quality >= 0 ? field(ex, v->quality) : leat_span_make(NULL, 0);
		s->unit = v->unit;
		s->cut = ex->row.unended && (v->column + 1 == ex->row.count ||
		    (v->quality >= 0 && (size_t)v->quality + 1 == ex->row.count));
		s->line = ex->row.line;
		ex->count.samples++;
		return LEAT_EXPORT_SAMPLE;
	}
	ex->in_row = false;
	return LEAT_EXPORT_END;
}

/* Is the row one of those before the data?  Counts it. */
static bool
before_data(struct leat_export *ex)
{
	const struct leat_layout *layout = &ex->layout;

	if (ex->row.line >= layout->data_line)
		return false;
	if (layout->header_line == 0 || ex->row.line < layout->header_line)
		ex->count.preamble += ex->row.lines;
	else if (ex->row.line == layout->header_line)
		ex->count.header += ex->row.lines;
	else
		ex->count.unit += ex->row.lines;
	return true;
}

enum leat_export_status
leat_export_next(struct leat_export *ex, struct leat_sample *s, struct leat_error *err)
{
	enum leat_export_status status;

	for (;;) {
		if (ex->flushing && (status = flush_pending(ex, err)) != LEAT_EXPORT_END)
			return status;
		if (ex->in_row) {
			status = ex->layout.tag >= 0 ? long_cell(ex, s) : next_cell(ex, s, err);
			if (status != LEAT_EXPORT_END)
				return status;
		}
		switch (leat_rows_next(ex->rows, &ex->row, err)) {
		case LEAT_ROWS_FAILED:
			return LEAT_EXPORT_FAILED;
		case LEAT_ROWS_END:
			end_pending(ex);
			return leat_spool_same(ex->spool, err) == 0 ? LEAT_EXPORT_END : LEAT_EXPORT_FAILED;
		case LEAT_ROWS_BAD:
			if (before_data(ex))
				continue;
			return reject(ex, err);
		case LEAT_ROWS_ROW:
			break;
		}
		if (before_data(ex))
			continue;
		status = begin_row(ex, err);
		if (status != LEAT_EXPORT_END)
			return status;
	}
}
