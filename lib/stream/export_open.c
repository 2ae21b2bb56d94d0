/*
 * Opening an export: its form is found, its stamps are looked over, its rows are made ready.
 */
#include <stdlib.h>
#include <string.h>

#include "stream/export_quality.h"

void
leat_export_close(struct leat_export *ex)
{
	size_t i;

	if (ex == NULL)
		return;
	for (i = 0; i < LEAT_PENDING_MOST; i++)
		leat_buf_free(&ex->pending[i].raw);
	leat_rows_close(ex->rows);
	leat_spool_close(ex->spool);
	leat_sequence_free(&ex->sequence);
	leat_layout_free(&ex->layout);
	free(ex->blank);
	free(ex);
}

/* Reads the first part and finds the form from it. */
static int
find_form(struct leat_export *ex, struct leat_sniff *sniff, struct leat_error *err)
{
	enum leat_shape pinned = ex->form.shape;
	struct leat_input *in = leat_spool_input(ex->spool, err);
	enum leat_encoding asked = ex->form.encoding;
	int status;

	if (in == NULL)
		return -1;
	status = leat_sniff_head(sniff, in, err);
	ex->form.encoding = leat_spool_encoding(ex->spool, in);
	leat_input_close(in);
	if (status != 0)
		return -1;
	if (sniff->head.len == 0)
		return leat_error_set(err, "the file is empty");
	if (leat_sniff_cut(sniff, &ex->form, err) != 0 ||
	    leat_export_columns(sniff, &ex->form, &ex->layout, err) != 0 ||
	    leat_export_header(sniff, &ex->form, &ex->layout, pinned != LEAT_SHAPE_AUTO, err) != 0 ||
	    leat_export_evidence(sniff, ex->spool, &ex->form, &ex->layout, err) != 0)
		return -1;
	leat_export_say(&ex->form, "encoding %s: %s", leat_encoding_name(ex->form.encoding),
	    asked == LEAT_ENCODING_AUTO ? "from the first bytes" : "given");
	return 0;
}

/* Looks whether stamps are local, and then for their zone. */
static int
find_zone(struct leat_export *ex, const struct leat_sniff *sniff, struct leat_error *err)
{
	const struct leat_sniff_cell *c;
	struct leat_foreign said;
	struct leat_span date;
	size_t row, i;

	ex->form.local_stamps = false;
	for (row = ex->layout.data_row; row < sniff->rows; row++) {
		for (i = 0; i < ex->layout.stamps; i++) {
			c = leat_sniff_at(sniff, row, (size_t)ex->layout.stamp[i].date);
			if (c == NULL || (c->forms & ex->form.dates) == 0)
				continue;
			date = leat_sniff_text(sniff, row, (size_t)ex->layout.stamp[i].date);
			if (leat_foreign_parse(date, ex->form.dates, &said) != 0 || said.is_instant)
				continue;
			ex->form.local_stamps = true;
			if (ex->form.zone != NULL)
				return 0;
			leat_error_set(err, "times without offset: give --zone");
			leat_error_at(err, leat_spool_name(ex->spool), sniff->row[row].line);
			return leat_error_value(err, date);
		}
	}
	return 0;
}

struct leat_export *
leat_export_open(const char *path, struct leat_export_form *form, struct leat_time now, const char *spool,
    struct leat_error *err)
{
	struct leat_sniff sniff = { .whole = false };
	struct leat_export *ex = calloc(1, sizeof(*ex));
	struct leat_input *in = NULL;
	int status;

	if (ex == NULL) {
		leat_error_memory(err);
		return NULL;
	}
	ex->form = *form;
	ex->form.evidence[0] = '\0';
	ex->tag_id = LEAT_NAME_NONE;
	ex->spool = leat_spool_open(path, form->encoding, spool, err);
	status = ex->spool != NULL ? 0 : -1;
	if (status == 0) {
		status = find_form(ex, &sniff, err);
		if (status == 0)
			status = find_zone(ex, &sniff, err);
		leat_sniff_free(&sniff);
		if (status == 0)
			status = leat_export_scan(ex->spool, &ex->form, &ex->layout, now, err);
		if (status == 0)
			status = leat_export_quality(ex->spool, &ex->form, &ex->layout, err);
		if (status != 0 && err != NULL)
			leat_error_at(err, leat_spool_name(ex->spool), err->line);
	}
	if (status == 0)
		in = leat_spool_input(ex->spool, err);
	if (in != NULL)
		ex->rows = leat_rows_open(in, ex->form.separator, err);
	*form = ex->form;
	if (ex->rows == NULL) {
		leat_export_close(ex);
		return NULL;
	}
	leat_stamper_init(&ex->stamper, form, now);
	return ex;
}

struct leat_span
leat_export_rejected(const struct leat_export *ex)
{
	return ex->rejected;
}

const struct leat_names *
leat_export_tags(const struct leat_export *ex)
{
	return &ex->layout.tags;
}

long long
leat_export_blank(const struct leat_export *ex, uint32_t tag_id)
{
	long long blank = tag_id < ex->blank_cap ? ex->blank[tag_id] : 0;
	size_t i;

	for (i = 0; i < ex->layout.values; i++)
		if (ex->layout.value[i].tag_id == tag_id)
			blank += ex->layout.value[i].blank;
	return blank;
}

struct leat_export_count
leat_export_counted(const struct leat_export *ex)
{
	struct leat_export_count count = ex->count;

	count.lines = leat_rows_lines(ex->rows);
	count.blank = leat_rows_blank(ex->rows);
	return count;
}
