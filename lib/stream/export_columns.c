/*
 * Which columns hold the stamps, and which shape that makes.
 *
 * A column is one of times when most of its cells from its first time to its last are times.  Bare numbers that
 * could be times count only where no column has dates, and only if every number of the column fits.
 */
#include <string.h>

#include "stream/export_private.h"

/* A serial day before 1990 is too likely a value. */
#define SERIAL_YEAR 1990

/* How a column fits as one of times. */
struct fit {
	size_t times, filled;
	bool misfit;		/* a number among them is no such time */
	bool back;		/* a time that is earlier than the one before */
};

static bool
is_time(const struct leat_sniff *sniff, const struct leat_sniff_cell *c, unsigned forms)
{
	struct leat_foreign said;

	if ((c->forms & forms) == 0)
		return false;
	return forms != LEAT_FORM_SERIAL || (leat_foreign_parse(leat_span_make(sniff->text.data + c->at, c->len),
	    LEAT_FORM_SERIAL, &said) == 0 && said.civil.year >= SERIAL_YEAR);
}

/* Bare numbers of one form have one count of digits before the mark, so that this compares them well enough. */
static int
compare_numbers(struct leat_span a, struct leat_span b)
{
	return leat_span_cmp(a, b);
}

/* What stands above the first time does not count against a column of dates, nor do the texts of a footer below
 * the last time as long as they are not more than the times: then it was the time that stood in a title. */
static struct fit
column_fit(const struct leat_sniff *sniff, size_t column, unsigned forms)
{
	struct leat_span text, last = { NULL, 0 };
	const struct leat_sniff_cell *c;
	struct fit fit = { 0, 0, false, false };
	size_t row, others = 0, numbers = 0;

	for (row = 0; row < sniff->rows; row++) {
		c = leat_sniff_at(sniff, row, column);
		if (c == NULL || c->len == 0 || sniff->row[row].filled < 2)
			continue;
		if (!is_time(sniff, c, forms)) {
			others += fit.times > 0;
			numbers += fit.times > 0 && c->marks.number;
			fit.misfit = fit.misfit || c->marks.number;
			continue;
		}
		text = leat_sniff_text(sniff, row, column);
		fit.back = fit.back || (fit.times > 0 && compare_numbers(text, last) < 0);
		last = text;
		fit.times++;
		fit.filled += 1 + others;
		others = numbers = 0;
	}
	fit.filled += numbers > 0 || others > fit.times ? others : 0;
	return fit;
}

/* Most are times; a column of values or comments with a date here and there is none. */
static bool
is_good(const struct fit *fit)
{
	return fit->times > 0 && fit->times * 3 >= fit->filled * 2;
}

static int
add_stamp(struct leat_layout *layout, size_t column, struct leat_error *err)
{
	if (leat_grow(&layout->stamp, &layout->stamp_cap, layout->stamps + 1, sizeof(*layout->stamp)) != 0)
		return leat_error_memory(err);
	layout->stamp[layout->stamps].date = (int)column;
	layout->stamp[layout->stamps].clock = -1;
	layout->stamps++;
	return 0;
}

/* Collects the columns that hold times of the forms; *best gets the place of the one to take if it is one. */
static int
collect(const struct leat_sniff *sniff, unsigned forms, struct leat_layout *layout, size_t *best,
    struct leat_error *err)
{
	bool bare = (forms & LEAT_DATED) == 0;
	bool best_back = true;
	size_t best_times = 0;
	struct fit fit;
	size_t col;

	layout->stamps = 0;
	for (col = 0; col < sniff->columns; col++) {
		fit = column_fit(sniff, col, forms);
		if (!is_good(&fit) || (bare && fit.misfit))
			continue;
		if (add_stamp(layout, col, err) != 0)
			return -1;
		if (bare ? best_times == 0 || (best_back && !fit.back) : fit.times > best_times) {
			*best = layout->stamps - 1;
			best_times = fit.times;
			best_back = fit.back;
		}
	}
	return 0;
}

/* Finds the columns of times: dates first, then bare numbers. */
static int
find_stamps(const struct leat_sniff *sniff, const struct leat_export_form *form, struct leat_layout *layout,
    size_t *best, struct leat_error *err)
{
	static const enum leat_form bare[] = { LEAT_FORM_EPOCH, LEAT_FORM_EPOCH_MS, LEAT_FORM_SERIAL };
	size_t i;

	*best = 0;
	layout->forms = LEAT_DATED;
	if (form->dates == 0 || (form->dates & LEAT_DATED) != 0)
		if (collect(sniff, LEAT_DATED, layout, best, err) != 0)
			return -1;
	for (i = 0; i < sizeof(bare) / sizeof(bare[0]) && layout->stamps == 0; i++) {
		if (form->dates != 0 && form->dates != bare[i])
			continue;
		layout->forms = bare[i];
		if (collect(sniff, bare[i], layout, best, err) != 0)
			return -1;
	}
	if (layout->stamps > 0)
		return 0;
	if (form->dates != 0)
		return leat_error_set(err, "no column holds times of the form given with --dates");
	return leat_error_set(err, "no column holds times: give --dates or --separator if there is one");
}

/* Is the column one of times of day, or of nothing? */
static bool
all_cells(const struct leat_sniff *sniff, size_t column, size_t beside, unsigned forms)
{
	const struct leat_sniff_cell *c;
	size_t row, hits = 0, filled = 0;

	for (row = 0; row < sniff->rows; row++) {
		c = leat_sniff_at(sniff, row, beside);
		if (c == NULL || (c->forms & LEAT_DATED) == 0)
			continue;
		c = leat_sniff_at(sniff, row, column);
		filled += c != NULL && c->len > 0;
		hits += c != NULL && (c->forms & forms) != 0;
	}
	return filled > 0 && hits * 5 >= filled * 4;
}

/* Do the dates of a column lack a time of day, or show midnight throughout as spreadsheets write plain dates? */
static bool
only_dates(const struct leat_sniff *sniff, size_t column)
{
	struct leat_foreign said;
	size_t row;
	unsigned bit;

	for (row = 0; row < sniff->rows; row++) {
		const struct leat_sniff_cell *c = leat_sniff_at(sniff, row, column);

		if (c == NULL || (c->forms & LEAT_DATED) == 0)
			continue;
		for (bit = LEAT_FORM_ISO; (c->forms & bit) == 0; bit <<= 1)
			continue;
		if (leat_foreign_parse(leat_sniff_text(sniff, row, column), (enum leat_form)bit, &said) != 0 ||
		    said.is_instant || said.civil.hour != 0 || said.civil.minute != 0 || said.civil.second != 0 ||
		    said.civil.nsec != 0)
			return false;
	}
	return true;
}

/* Gives each column of dates the column of times of day beside it. */
static void
find_clocks(const struct leat_sniff *sniff, struct leat_export_form *form, struct leat_layout *layout)
{
	struct leat_stamp *st;
	size_t i;

	form->two_columns = false;
	if ((layout->forms & LEAT_DATED) == 0)
		return;
	for (i = 0; i < layout->stamps; i++) {
		st = &layout->stamp[i];
		if (!only_dates(sniff, (size_t)st->date))
			continue;
		if (all_cells(sniff, (size_t)st->date + 1, (size_t)st->date, LEAT_FORM_CLOCK))
			st->clock = st->date + 1;
		else if (st->date > 0 && all_cells(sniff, (size_t)st->date - 1, (size_t)st->date, LEAT_FORM_CLOCK))
			st->clock = st->date - 1;
		form->two_columns = form->two_columns || st->clock >= 0;
	}
}

static bool
is_empty(const struct leat_sniff *sniff, size_t column, size_t from)
{
	size_t row;

	for (row = from; row < sniff->rows; row++)
		if (leat_sniff_text(sniff, row, column).len > 0)
			return false;
	return true;
}

/* The first and last column of a stamp. */
static size_t
stamp_first(const struct leat_stamp *st)
{
	return (size_t)(st->clock >= 0 && st->clock < st->date ? st->clock : st->date);
}

static size_t
stamp_last(const struct leat_stamp *st)
{
	return (size_t)(st->clock > st->date ? st->clock : st->date);
}

/* Are the columns of times each followed by one column of values, nothing else between but empty ones? */
static bool
is_paired(const struct leat_sniff *sniff, const struct leat_layout *layout)
{
	size_t i, col, next;

	for (i = 0; i < layout->stamps; i++) {
		col = stamp_last(&layout->stamp[i]) + 1;
		next = i + 1 < layout->stamps ? stamp_first(&layout->stamp[i + 1]) : sniff->columns;
		if (col >= next)
			return false;
		for (col++; col < next; col++)
			if (!is_empty(sniff, col, layout->data_row))
				return false;
	}
	for (col = 0; col < stamp_first(&layout->stamp[0]); col++)
		if (!is_empty(sniff, col, layout->data_row))
			return false;
	return true;
}

bool
leat_export_is_data(const struct leat_sniff *sniff, const struct leat_layout *layout, size_t row)
{
	const struct leat_sniff_cell *c;
	size_t i;

	for (i = 0; i < layout->stamps; i++) {
		c = leat_sniff_at(sniff, row, (size_t)layout->stamp[i].date);
		if (c != NULL && (c->forms & layout->forms) != 0 && sniff->row[row].filled > 1)
			return true;
	}
	return false;
}

/* Is the row one of texts only, two or more? */
static bool
all_texts(const struct leat_sniff *sniff, size_t row)
{
	const struct leat_sniff_row *r = &sniff->row[row];
	size_t i;

	for (i = 0; i < r->count; i++)
		if (sniff->cell[r->first + i].marks.number || sniff->cell[r->first + i].forms != 0)
			return false;
	return r->filled >= 2;
}

/* Has the row, which has a stamp, a number too, and is there a title for each of its cells above? */
static bool
is_below_header(const struct leat_sniff *sniff, size_t row)
{
	const struct leat_sniff_row *r = &sniff->row[row];
	size_t i, numbers = 0;

	for (i = 0; i < r->count; i++)
		numbers += sniff->cell[r->first + i].marks.number && (sniff->cell[r->first + i].forms & LEAT_DATED) == 0;
	for (i = 0; i < row && numbers > 0; i++)
		if (all_texts(sniff, i) && sniff->row[i].filled >= r->filled)
			return true;
	return false;
}

/* Is the row, which has a stamp, a line of a preamble: a header stands below it, and none above? */
static bool
is_before_header(const struct leat_sniff *sniff, size_t row)
{
	size_t i;

	if (row + 1 == sniff->rows || !all_texts(sniff, row + 1) || is_below_header(sniff, row))
		return false;
	for (i = 0; i < row; i++)
		if (leat_span_eq(leat_sniff_raw(sniff, i), leat_sniff_raw(sniff, row + 1)))
			return false;
	return true;
}

static void
find_data(const struct leat_sniff *sniff, struct leat_layout *layout)
{
	size_t row, first = sniff->rows;

	layout->data_row = sniff->rows;
	for (row = 0; row < sniff->rows && layout->data_row == sniff->rows; row++) {
		if (!leat_export_is_data(sniff, layout, row))
			continue;
		if (first == sniff->rows)
			first = row;
		if (!is_before_header(sniff, row))
			layout->data_row = row;
	}
	if (layout->data_row == sniff->rows)
		layout->data_row = first;
	layout->data_line = layout->data_row < sniff->rows ? sniff->row[layout->data_row].line : 0;
	/* For messages until the header is found. */
	layout->header_row = layout->data_row > 0 ? layout->data_row - 1 : 0;
}

/* Takes the one stamp that is best; the other columns of times are left out. */
static int
single_stamp(const struct leat_sniff *sniff, struct leat_layout *layout, size_t best, struct leat_error *err)
{
	size_t i;

	if (leat_grow(&layout->role, &layout->role_cap, sniff->columns, sizeof(*layout->role)) != 0)
		return leat_error_memory(err);
	for (i = 0; i < layout->stamps; i++)
		layout->role[layout->stamp[i].date] = LEAT_ROLE_OTHER;
	layout->stamp[0] = layout->stamp[best];
	layout->stamps = 1;
	layout->role[layout->stamp[0].date] = LEAT_ROLE_STAMP;
	if (layout->stamp[0].clock >= 0)
		layout->role[layout->stamp[0].clock] = LEAT_ROLE_STAMP;
	return 0;
}

int
leat_export_columns(const struct leat_sniff *sniff, struct leat_export_form *form, struct leat_layout *layout,
    struct leat_error *err)
{
	size_t best;
	int found;

	layout->tag = layout->cell = layout->quality = layout->unit = -1;
	if (find_stamps(sniff, form, layout, &best, err) != 0)
		return -1;
	find_clocks(sniff, form, layout);
	find_data(sniff, layout);
	if (form->shape == LEAT_SHAPE_AUTO || form->shape == LEAT_SHAPE_PAIRED) {
		if ((layout->stamps > 1 || form->shape == LEAT_SHAPE_PAIRED) && is_paired(sniff, layout)) {
			form->shape = LEAT_SHAPE_PAIRED;
			return 0;
		}
		if (form->shape == LEAT_SHAPE_PAIRED)
			return leat_error_set(err, "not paired: the columns of times are not each followed by one of "
			    "values");
	}
	if (single_stamp(sniff, layout, best, err) != 0)
		return -1;
	find_data(sniff, layout);
	if (form->shape == LEAT_SHAPE_WIDE)
		return leat_export_beside(sniff, layout, true, err);
	found = leat_export_roles(sniff, form, layout, form->shape == LEAT_SHAPE_LONG, err);
	if (found < 0)
		return -1;
	if (found == 0 && form->shape == LEAT_SHAPE_LONG)
		return leat_error_set(err, "not long: no column of tags beside one of values");
	form->shape = found > 0 ? LEAT_SHAPE_LONG : LEAT_SHAPE_WIDE;
	return found > 0 ? 0 : leat_export_beside(sniff, layout, false, err);
}
