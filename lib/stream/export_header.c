/*
 * Header, rows of units and descriptions, and the names of the tags.
 *
 * The header is the first row before the data that has nearly as many filled cells as any; narrow files, where a
 * line of a preamble has as many, take the last that is no row of units.
 */
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/units.h"
#include "stream/export_private.h"

#define NARROW 4		/* columns */
#define ENOUGH 5		/* one row in so many is a habit of the export */

/* Titles that say what a column is, not whose it is. */
static const char *const plain_titles[] = {
	"value", "values", "val", "time", "timestamp", "date", "datetime", "date/time", "date time", "wert", "zeit",
	"zeitstempel", "datum", "valeur", "temps", "date heure", "valor", "fecha", "hora"
};

void
leat_export_say(struct leat_export_form *form, const char *fmt, ...)
{
	size_t len = strlen(form->evidence);
	va_list ap;
	char *p;

	if (len > 0 && len + 3 < sizeof(form->evidence)) {
		memcpy(form->evidence + len, "; ", 3);
		len += 2;
	}
	va_start(ap, fmt);
	vsnprintf(form->evidence + len, sizeof(form->evidence) - len, fmt, ap);
	va_end(ap);
	/* A semicolon in a title must not look like the end of a part. */
	for (p = form->evidence + len; (p = strchr(p, ';')) != NULL;)
		*p = ',';
}

const char *
leat_export_title(const struct leat_sniff *sniff, const struct leat_layout *layout, size_t column, char *dst,
    size_t size)
{
	struct leat_span text = { NULL, 0 };

	if (layout->header_row < layout->data_row)
		text = leat_sniff_text(sniff, layout->header_row, column);
	if (text.len > 0)
		return leat_mask(dst, size, text);
	snprintf(dst, size, "column %zu", column + 1);
	return dst;
}

/* Half of its filled cells at least, the first aside, are units. */
static bool
is_unit_row(const struct leat_sniff *sniff, size_t row)
{
	size_t col, units = 0, filled = 0;
	struct leat_span text;

	for (col = 0; col < sniff->row[row].count; col++) {
		text = leat_sniff_text(sniff, row, col);
		if (text.len == 0)
			continue;
		if (leat_span_starts(text, "[") && leat_span_ends(text, "]"))
			text = leat_span_make(text.ptr + 1, text.len - 2);
		filled++;
		units += leat_unit_find(text) != NULL || leat_unit_unclear(text);
	}
	return units > 0 && units * 2 >= filled - (filled > 1);
}

/* "Station: ..." */
static bool
is_label(const struct leat_sniff *sniff, size_t row)
{
	struct leat_span text = leat_sniff_text(sniff, row, 0);

	return text.len > 1 && text.ptr[text.len - 1] == ':';
}

/* A rule between header and data: no letter and no digit. */
static bool
is_rule(const struct leat_sniff *sniff, size_t row)
{
	struct leat_span text = leat_sniff_raw(sniff, row);
	unsigned char c;
	size_t i;

	for (i = 0; i < text.len; i++) {
		c = (unsigned char)text.ptr[i];
		if ((c >= '0' && c <= '9') || ((c | 0x20) >= 'a' && (c | 0x20) <= 'z') || c >= 0x80)
			return false;
	}
	return true;
}

/* Could the row be the header, or the one to measure it by? */
static bool
could_be_header(const struct leat_sniff *sniff, size_t row)
{
	return !is_label(sniff, row) && !is_rule(sniff, row);
}

static void
find_header(const struct leat_sniff *sniff, struct leat_layout *layout)
{
	size_t row, most = 0;
	bool narrow = layout->width < NARROW;
	bool units;

	layout->header_row = layout->data_row;
	for (row = 0; row < layout->data_row; row++)
		if (sniff->row[row].filled > most && could_be_header(sniff, row))
			most = sniff->row[row].filled;
	for (row = 0; row < layout->data_row && most > 1; row++) {
		if (!could_be_header(sniff, row) || sniff->row[row].filled * 5 < most * 4)
			continue;
		/* Short names such as "A" and "V" may read as units, so a row of units needs a header before it. */
		units = is_unit_row(sniff, row);
		if (units && layout->header_row < layout->data_row)
			continue;
		layout->header_row = row;
		if (!narrow && !units)
			break;
	}
	layout->header_line = layout->header_row < layout->data_row ? sniff->row[layout->header_row].line : 0;
}

static bool
has_data(const struct leat_sniff *sniff, const struct leat_layout *layout, size_t column)
{
	size_t row;

	for (row = layout->data_row; row < sniff->rows; row++)
		if (leat_sniff_text(sniff, row, column).len > 0)
			return true;
	return false;
}

/* How many cells a row may have: as the header, or as enough data rows (half of them against a header).  A few
 * rows with more are faulty. */
static size_t
most_cells(const struct leat_sniff *sniff, const struct leat_layout *layout)
{
	size_t limit = layout->header_row < layout->data_row ? sniff->row[layout->header_row].count : 0;
	size_t enough = limit > 0 ? 2 : ENOUGH;
	size_t row, count, data = 0, next, longest, reach;

	for (row = layout->data_row; row < sniff->rows; row++)
		data += leat_export_is_data(sniff, layout, row);
	for (longest = sniff->columns; longest > limit; longest = next) {
		reach = next = 0;
		for (row = layout->data_row; row < sniff->rows; row++) {
			if (!leat_export_is_data(sniff, layout, row))
				continue;
			count = sniff->row[row].count;
			reach += count >= longest;
			if (count < longest && count > next)
				next = count;
		}
		if (reach * enough >= data)
			return longest;
	}
	return limit;
}

/* Most is the last column with a title or data; least is what a data row must have so that none of its cells is
 * lost. */
static void
measure(const struct leat_sniff *sniff, struct leat_layout *layout)
{
	size_t row, col, data = 0, shorter = 0;
	size_t limit = most_cells(sniff, layout);

	layout->most = 0;
	for (col = 0; col < limit; col++)
		if (has_data(sniff, layout, col) || (layout->header_row < layout->data_row &&
		    leat_sniff_text(sniff, layout->header_row, col).len > 0))
			layout->most = col + 1;
	layout->width = layout->most;
	for (row = layout->data_row; row < sniff->rows; row++) {
		if (!leat_export_is_data(sniff, layout, row) || sniff->row[row].unended)
			continue;
		data++;
		shorter += sniff->row[row].count < layout->width;
	}
	/* An export that drops blank cells at the end of its rows does so often; a row that was cut is rare. */
	layout->least = shorter > 1 && shorter * ENOUGH > data ? 0 : layout->width;
}

static bool
is_plain_title(struct leat_span text)
{
	size_t i;

	if (text.len == 0)
		return true;
	for (i = 0; i < sizeof(plain_titles) / sizeof(plain_titles[0]); i++)
		if (leat_span_is_nocase(text, plain_titles[i]))
			return true;
	return false;
}

static struct leat_span
keep(struct leat_names *names, struct leat_span text)
{
	uint32_t id = text.len > 0 ? leat_names_put(names, text) : LEAT_NAME_NONE;

	return id != LEAT_NAME_NONE ? names->name[id] : leat_span_make(NULL, 0);
}

/* The unit in "Tag [bar]" or "Tag (bar)", when it is one that is known, or one of which it must be asked
 * which is meant. */
static struct leat_span
bracket_unit(struct leat_span title)
{
	struct leat_span unit = { NULL, 0 };
	size_t i;
	char open;

	if (title.len < 3 || (title.ptr[title.len - 1] != ']' && title.ptr[title.len - 1] != ')'))
		return unit;
	open = title.ptr[title.len - 1] == ']' ? '[' : '(';
	for (i = title.len - 1; i > 0; i--)
		if (title.ptr[i] == open)
			break;
	if (title.ptr[i] != open)
		return unit;
	unit = leat_span_trim_wide(leat_span_make(title.ptr + i + 1, title.len - i - 2));
	return leat_unit_find(unit) != NULL || leat_unit_unclear(unit) ? unit : leat_span_make(NULL, 0);
}

/* The unit of a column from the rows of units, else from its title. */
static struct leat_span
column_unit(const struct leat_sniff *sniff, const struct leat_layout *layout, size_t column, struct leat_span title)
{
	struct leat_span text;
	size_t row;

	for (row = layout->header_row + 1; row < layout->data_row; row++) {
		if (!is_unit_row(sniff, row))
			continue;
		text = leat_sniff_text(sniff, row, column);
		if (text.len > 2 && leat_span_starts(text, "[") && leat_span_ends(text, "]"))
			text = leat_span_make(text.ptr + 1, text.len - 2);
		return text;
	}
	return bracket_unit(title);
}

/* The title of a pair: of its value column, else of its time column, else of the line above in either. */
static struct leat_span
pair_title(const struct leat_sniff *sniff, const struct leat_layout *layout, const struct leat_export_column *value)
{
	size_t date = (size_t)layout->stamp[value->stamp].date;
	struct leat_span text = { NULL, 0 };
	size_t row = layout->header_row;

	if (row == layout->data_row)
		return text;
	for (;; row--) {
		text = leat_sniff_text(sniff, row, value->column);
		if (!is_plain_title(text))
			return text;
		text = leat_sniff_text(sniff, row, date);
		if (!is_plain_title(text) || row == 0)
			return is_plain_title(text) ? leat_span_make(NULL, 0) : text;
		if (row + 1 < layout->header_row)
			return leat_span_make(NULL, 0);
	}
}

int
leat_layout_name(struct leat_layout *layout, struct leat_export_column *value, struct leat_span title)
{
	char name[32];

	if (title.len == 0) {
		snprintf(name, sizeof(name), "c%zu", value->column + 1);
		title = leat_span_of(name);
	}
	value->tag_id = leat_names_put(&layout->tags, title);
	if (value->tag_id == LEAT_NAME_NONE)
		return -1;
	value->tag = layout->tags.name[value->tag_id];
	return 0;
}

static int
add_value(const struct leat_sniff *sniff, struct leat_layout *layout, size_t column, size_t stamp,
    struct leat_error *err)
{
	struct leat_export_column *v;
	struct leat_span title = { NULL, 0 };

	if (leat_grow(&layout->value, &layout->value_cap, layout->values + 1, sizeof(*layout->value)) != 0)
		return leat_error_memory(err);
	v = &layout->value[layout->values++];
	v->column = column;
	v->stamp = stamp;
	v->quality = -1;
	if (layout->stamps > 1)
		title = pair_title(sniff, layout, v);
	else if (layout->header_row < layout->data_row)
		title = leat_sniff_text(sniff, layout->header_row, column);
	v->unit = keep(&layout->units, column_unit(sniff, layout, column, title));
	v->tag_id = LEAT_NAME_NONE;
	if (title.len == 0 && !has_data(sniff, layout, column))
		return 0;
	return leat_layout_name(layout, v, title) == 0 ? 0 : leat_error_memory(err);
}

static int
add_values(const struct leat_sniff *sniff, const struct leat_export_form *form, struct leat_layout *layout,
    struct leat_error *err)
{
	const struct leat_stamp *st;
	size_t i, col;

	if (form->shape == LEAT_SHAPE_PAIRED) {
		for (i = 0; i < layout->stamps; i++) {
			st = &layout->stamp[i];
			col = (size_t)(st->clock > st->date ? st->clock : st->date) + 1;
			if (add_value(sniff, layout, col, i, err) != 0)
				return -1;
		}
		return 0;
	}
	for (col = 0; col < layout->most; col++) {
		if (layout->role[col] == LEAT_ROLE_VALUE && add_value(sniff, layout, col, 0, err) != 0)
			return -1;
		if (layout->role[col] == LEAT_ROLE_QUALITY && layout->values > 0)
			layout->value[layout->values - 1].quality = (int)col;
	}
	if (layout->values == 0)
		return leat_error_set(err, "no column of values beside the times");
	return 0;
}

/* Keeps the lines before the data, to know them again when exports are put behind each other. */
static int
keep_lines(const struct leat_sniff *sniff, struct leat_layout *layout, struct leat_error *err)
{
	enum leat_line_kind kind;
	uint32_t id;
	size_t row;

	for (row = 0; row < layout->data_row; row++) {
		kind = row < layout->header_row ? LEAT_LINE_PREAMBLE :
		    row == layout->header_row ? LEAT_LINE_HEADER : LEAT_LINE_UNIT;
		id = leat_names_put(&layout->lines, leat_sniff_raw(sniff, row));
		if (id == LEAT_NAME_NONE ||
		    leat_grow(&layout->line_kind, &layout->line_cap, (size_t)id + 1, sizeof(*layout->line_kind)) != 0)
			return leat_error_memory(err);
		layout->line_kind[id] = (uint8_t)kind;
	}
	return 0;
}

/* What is odd about the columns, each part beginning with a comma. */
static void
say_oddities(const struct leat_sniff *sniff, const struct leat_export_form *form, const struct leat_layout *layout,
    char *dst, size_t size)
{
	size_t col, other = 0, nameless = 0, named = 0;
	int len = 0;

	for (col = 0; col < layout->most && form->shape != LEAT_SHAPE_PAIRED; col++)
		other += layout->role[col] == LEAT_ROLE_OTHER;
	for (col = 0; col < layout->values; col++) {
		named += layout->value[col].tag_id != LEAT_NAME_NONE;
		nameless += layout->header_row < layout->data_row && form->shape == LEAT_SHAPE_WIDE &&
		    leat_sniff_text(sniff, layout->header_row, layout->value[col].column).len == 0;
	}
	dst[0] = '\0';
	if (layout->header_row == layout->data_row && form->shape != LEAT_SHAPE_LONG)
		len = snprintf(dst, size, ", no header, so columns are named by their place (c2)");
	else if (nameless > 0)
		len = snprintf(dst, size, ", those without a name are named by their place (c2)");
	if (named > layout->tags.count)
		len += snprintf(dst + len, size - (size_t)len, ", %zu with the name of another",
		    named - layout->tags.count);
	if (other > 0)
		snprintf(dst + len, size - (size_t)len, ", %zu other column%s left out", other,
		    other == 1 ? "" : "s");
}

static void
say_shape(const struct leat_sniff *sniff, struct leat_export_form *form, const struct leat_layout *layout,
    bool pinned)
{
	char time[64], tag[64], cell[64], odd[192];
	const char *given = pinned ? "given, " : "";

	leat_export_title(sniff, layout, (size_t)layout->stamp[0].date, time, sizeof(time));
	say_oddities(sniff, form, layout, odd, sizeof(odd));
	if (form->shape == LEAT_SHAPE_PAIRED) {
		leat_export_say(form, "shape paired: %s%zu column%s of times, one of values behind each%s", given,
		    layout->stamps, layout->stamps == 1 ? "" : "s", odd);
	} else if (form->shape == LEAT_SHAPE_WIDE) {
		leat_export_say(form, "shape wide: %stimes in '%s', values in %zu column%s%s%s", given, time,
		    layout->values, layout->values == 1 ? "" : "s",
		    layout->beside ? ", a column of quality behind each" : "", odd);
	} else {
		leat_export_title(sniff, layout, (size_t)layout->tag, tag, sizeof(tag));
		leat_export_title(sniff, layout, (size_t)layout->cell, cell, sizeof(cell));
		leat_export_say(form, "shape long: %stimes in '%s', tags in '%s', values in '%s'%s%s%s", given, time,
		    tag, cell, layout->quality >= 0 ? ", a column of quality" : "",
		    layout->unit >= 0 ? ", a column of units" : "", odd);
	}
}

int
leat_export_header(const struct leat_sniff *sniff, struct leat_export_form *form, struct leat_layout *layout,
    bool pinned, struct leat_error *err)
{
	size_t row;

	layout->header_row = layout->data_row;
	measure(sniff, layout);
	find_header(sniff, layout);
	measure(sniff, layout);
	form->header_line = layout->header_line;
	form->unit_row = false;
	for (row = layout->header_row + 1; row < layout->data_row; row++)
		form->unit_row = form->unit_row || is_unit_row(sniff, row);
	if (keep_lines(sniff, layout, err) != 0)
		return -1;
	if (leat_export_keep_titles(sniff, layout) != 0)
		return leat_error_memory(err);
	if (form->shape != LEAT_SHAPE_LONG && add_values(sniff, form, layout, err) != 0)
		return -1;
	if (form->shape == LEAT_SHAPE_LONG && layout->header_row < layout->data_row)
		layout->cell_unit = keep(&layout->units, column_unit(sniff, layout, (size_t)layout->cell,
		    leat_sniff_text(sniff, layout->header_row, (size_t)layout->cell)));
	say_shape(sniff, form, layout, pinned);
	return 0;
}

void
leat_layout_free(struct leat_layout *layout)
{
	free(layout->stamp);
	free(layout->role);
	free(layout->value);
	free(layout->line_kind);
	free(layout->title);
	leat_names_free(&layout->tags);
	leat_names_free(&layout->units);
	leat_names_free(&layout->names);
	leat_names_free(&layout->lines);
	memset(layout, 0, sizeof(*layout));
}
