/*
 * What the quality cells of an export speak for.
 */
#include "stream/export_quality.h"

#define ENOUGH 2000	/* cells that speak for a kind */

static bool
is_enough(const struct leat_quality_evidence *e)
{
	return e->words + e->classic + e->status >= ENOUGH;
}

static void
note_row(struct leat_quality_evidence *e, const struct leat_layout *layout, const struct leat_row *row)
{
	size_t i, col;

	if (layout->quality >= 0 && (size_t)layout->quality < row->count)
		leat_quality_note(e, row->field[layout->quality]);
	for (i = 0; layout->beside && i < layout->values; i++) {
		col = (size_t)layout->value[i].quality;
		if (col < row->count)
			leat_quality_note(e, row->field[col]);
	}
}

int
leat_export_quality(struct leat_spool *spool, struct leat_export_form *form, const struct leat_layout *layout,
    struct leat_error *err)
{
	enum leat_rows_status status = LEAT_ROWS_END;
	struct leat_input *in;
	struct leat_rows *rows;
	struct leat_row row;

	memset(&form->quality, 0, sizeof(form->quality));
	if (layout->quality < 0 && !layout->beside)
		return 0;
	in = leat_spool_input(spool, err);
	rows = in != NULL ? leat_rows_open(in, form->separator, err) : NULL;
	if (rows == NULL)
		return -1;
	while (!is_enough(&form->quality) && (status = leat_rows_next(rows, &row, err)) > LEAT_ROWS_END) {
		if (status == LEAT_ROWS_ROW && row.line >= layout->data_line)
			note_row(&form->quality, layout, &row);
	}
	leat_rows_close(rows);
	return status == LEAT_ROWS_FAILED ? -1 : 0;
}
