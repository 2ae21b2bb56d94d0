/*
 * Quality in a wide export: a column of it behind each column of values.
 *
 * A quality that is missed would turn bad readings into good ones, and values that are taken for quality would vanish.
 * So the columns must alternate from the first to the last, and what the second of each pair holds must be quality and
 * nothing else.  Words of quality in any other place are an error.
 */
#include <stdlib.h>

#include "base/number.h"
#include "stream/export_private.h"

/* What the data cells of one column are. */
struct cells {
	size_t filled;
	size_t words;			/* of quality */
	size_t plain;			/* of those, good, bad or uncertain by name: other words are states as often */
	size_t codes;			/* defined in the classic coding, or with a severity */
	size_t good;			/* of those, 192 */
	size_t severe;			/* of those, with a severity other than 0 */
};

/* A column that has a cell anywhere, header included. */
struct candidate {
	size_t column;
	struct cells cells;
};

static bool
is_plain_word(struct leat_span text)
{
	static const char *const word[] = { "good", "bad", "uncertain" };
	size_t i, len;

	for (i = 0; i < sizeof(word) / sizeof(word[0]); i++) {
		len = leat_span_of(word[i]).len;
		if (text.len >= len && leat_span_is_nocase(leat_span_make(text.ptr, len), word[i]))
			return true;
	}
	return false;
}

static void
count_cell(struct cells *c, struct leat_span text)
{
	bool known;
	int64_t code;

	c->filled++;
	if (leat_int_parse(text, 0, UINT32_MAX, &code) == 0) {
		c->codes += code >= 0x40000000 || (code <= 255 && leat_export_classic_code(code));
		c->good += code == 192;
		c->severe += code >= 0x40000000;
		return;
	}
	(void)leat_quality_read(LEAT_QUALITY_WORDS, text, &known);
	c->words += known;
	c->plain += known && is_plain_word(text);
}

static struct cells
count_cells(const struct leat_sniff *sniff, const struct leat_layout *layout, size_t column)
{
	struct cells c = { .filled = 0 };
	struct leat_span text;
	size_t row;

	for (row = layout->data_row; row < sniff->rows; row++) {
		text = leat_sniff_text(sniff, row, column);
		if (text.len > 0 && leat_export_is_data(sniff, layout, row))
			count_cell(&c, text);
	}
	return c;
}

static bool
all_words(const struct cells *c)
{
	return c->filled > 0 && c->words == c->filled && c->plain > 0;
}

/* Does a title above the column begin a word for quality, in any of several languages? */
static bool
is_titled(const struct leat_sniff *sniff, const struct leat_layout *layout, size_t column)
{
	struct leat_span text;
	size_t row, i;

	for (row = 0; row < layout->data_row; row++) {
		text = leat_sniff_text(sniff, row, column);
		for (i = 0; i + 4 <= text.len; i++)
			if (leat_span_is_nocase(leat_span_make(text.ptr + i, 4), "qual") ||
			    leat_span_is_nocase(leat_span_make(text.ptr + i, 4), "stat"))
				return true;
	}
	return false;
}

/* Is the second of each pair quality: all words, or all codes of one coding of which most are good?  A single column
 * that is 192 throughout is as likely a value, so there alone the title counts. */
static bool
alternate(const struct leat_sniff *sniff, const struct leat_layout *layout, const struct candidate *list, size_t count)
{
	struct cells sum = { .filled = 0 };
	size_t i;

	if (count == 0 || count % 2 != 0)
		return false;
	for (i = 0; i < count; i++) {
		const struct cells *c = &list[i].cells;

		if (i % 2 == 0) {
			if (all_words(c))
				return false;
			continue;
		}
		sum.filled += c->filled;
		sum.words += c->words;
		sum.plain += c->plain;
		sum.codes += c->codes;
		sum.good += c->good;
		sum.severe += c->severe;
	}
	if (all_words(&sum))
		return true;
	if (count == 2 && sum.good == sum.filled && !is_titled(sniff, layout, list[1].column))
		return false;
	return sum.filled > 0 && sum.codes == sum.filled && (sum.severe > 0 || sum.good * 2 >= sum.filled);
}

static size_t
list_candidates(const struct leat_sniff *sniff, const struct leat_layout *layout, struct candidate *list)
{
	size_t col, row, count = 0;

	for (col = 0; col < sniff->columns; col++) {
		if (layout->role[col] != LEAT_ROLE_VALUE)
			continue;
		for (row = 0; row < sniff->rows && leat_sniff_text(sniff, row, col).len == 0; row++)
			continue;
		if (row < sniff->rows)
			list[count++] = (struct candidate){ col, count_cells(sniff, layout, col) };
	}
	return count;
}

int
leat_export_beside(const struct leat_sniff *sniff, struct leat_layout *layout, bool pinned, struct leat_error *err)
{
	struct candidate *list = calloc(sniff->columns + 1, sizeof(*list));
	size_t i, count;
	char name[64];
	int status = 0;

	if (list == NULL)
		return leat_error_memory(err);
	count = list_candidates(sniff, layout, list);
	layout->beside = alternate(sniff, layout, list, count);
	for (i = 1; i < count && layout->beside; i += 2)
		layout->role[list[i].column] = LEAT_ROLE_QUALITY;
	for (i = 0; i < count && !layout->beside && !pinned && status == 0; i++) {
		if (!all_words(&list[i].cells))
			continue;
		leat_export_title(sniff, layout, list[i].column, name, sizeof(name));
		status = leat_error_set(err, "'%s' holds words of quality, but not each column of values has such a "
		    "column behind it: export it so, or give --shape wide to read '%s' as a tag of its own", name, name);
	}
	free(list);
	return status;
}
