/*
 * Headers that come again when exports are put behind each other.
 *
 * The header of the first export, however it is quoted, is known again.  One with other titles, or with its titles in
 * another order, means that the columns change: what follows must not be read under the names of the first.
 */
#include <stdlib.h>

#include "base/units.h"
#include "stream/export_private.h"

#define TITLES 3		/* so many texts in place of a time and values are titles, even if all are new */

int
leat_export_keep_titles(const struct leat_sniff *sniff, struct leat_layout *layout)
{
	const struct leat_sniff_row *row = &sniff->row[layout->header_row];
	struct leat_span text;
	uint32_t id;
	size_t i;

	if (layout->header_row == layout->data_row)
		return 0;
	layout->title = calloc(row->count + 1, sizeof(*layout->title));
	if (layout->title == NULL)
		return -1;
	for (i = 0; i < row->count; i++) {
		text = leat_sniff_text(sniff, layout->header_row, i);
		if (text.len == 0)
			continue;
		id = leat_names_put(&layout->names, text);
		if (id == LEAT_NAME_NONE)
			return -1;
		layout->title[i] = layout->names.name[id];
	}
	layout->titles = row->count;
	return 0;
}

static bool
is_same(const struct leat_layout *layout, const struct leat_row *row)
{
	size_t most = row->count > layout->titles ? row->count : layout->titles;
	struct leat_span none = { NULL, 0 };
	size_t i;

	for (i = 0; i < most; i++)
		if (!leat_span_eq(i < row->count ? leat_export_trim(row->field[i]) : none,
		    i < layout->titles ? layout->title[i] : none))
			return false;
	return true;
}

/* Is any earlier cell of the row equal to the one at column? */
static bool
came_before(const struct leat_row *row, size_t column)
{
	struct leat_span text = leat_export_trim(row->field[column]);
	size_t i;

	for (i = 0; i < column; i++)
		if (leat_span_eq(leat_export_trim(row->field[i]), text))
			return true;
	return false;
}

enum leat_again
leat_export_again(const struct leat_layout *layout, const struct leat_row *row)
{
	struct leat_span stamp = { NULL, 0 };
	size_t i, filled = 0, known = 0, titles = 0;
	struct leat_span text;
	bool has_stamp = false;

	if (layout->titles == 0)
		return LEAT_AGAIN_NOT;
	if (is_same(layout, row))
		return LEAT_AGAIN_SAME;
	if ((size_t)layout->stamp[0].date < layout->titles)
		stamp = layout->title[layout->stamp[0].date];
	for (i = 0; i < layout->titles; i++)
		titles += layout->title[i].len > 0;
	for (i = 0; i < row->count; i++) {
		text = leat_export_trim(row->field[i]);
		if (text.len == 0)
			continue;
		if (leat_export_marks(text).number || leat_foreign_forms(text) != 0)
			return LEAT_AGAIN_NOT;
		filled++;
		has_stamp = has_stamp || leat_span_eq(text, stamp);
		known += leat_names_get(&layout->names, text) != LEAT_NAME_NONE;
	}
	if (filled < 2)
		return LEAT_AGAIN_NOT;
	if (has_stamp || known * 2 >= filled)
		return LEAT_AGAIN_OTHER;
	if (filled < TITLES || filled * 5 < titles * 4)
		return LEAT_AGAIN_NOT;
	/* Titles differ from each other, as "n/a" in every cell does not. */
	for (i = 1; i < row->count; i++)
		if (leat_export_trim(row->field[i]).len > 0 && came_before(row, i))
			return LEAT_AGAIN_NOT;
	return LEAT_AGAIN_PERHAPS;
}

bool
leat_export_has_unit(const struct leat_row *row)
{
	size_t i;

	for (i = 0; i < row->count; i++)
		if (leat_unit_find(leat_export_trim(row->field[i])) != NULL)
			return true;
	return false;
}
