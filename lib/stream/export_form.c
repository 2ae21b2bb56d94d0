/*
 * Decimal mark and order of dates from evidence.
 *
 * Each value cell with a mark and each date speaks for one reading, for the other, or for neither.  A reading is
 * found when something speaks for it and next to nothing against it; a stray cell does not overturn a file.
 */
#include <string.h>

#include "stream/export_private.h"

#define AGAINST 20		/* one cell against so many is a stray */
#define DAY 86400

static const char mark_of[] = { '.', ',' };
static const enum leat_form order_form[] = { LEAT_FORM_DMY, LEAT_FORM_MDY };

static void
example(char dst[24], struct leat_span cell)
{
	if (dst[0] == '\0')
		leat_mask(dst, 24, cell);
}

static void
add_value(struct leat_evidence *ev, struct leat_span cell, struct leat_marks marks)
{
	static const char all[] = ".,' ";
	int which;

	if (!marks.number)
		return;
	if (marks.decimal != 0) {
		which = marks.decimal == ',';
		ev->decimal[which]++;
		example(ev->decimal_cell[which], cell);
	}
	if (marks.doubtful != 0) {
		ev->doubtful[marks.doubtful == ',']++;
		example(ev->doubtful_cell, cell);
	}
	if (marks.thousands != 0)
		ev->thousands[strchr(all, marks.thousands) - all]++;
}

/* A step onward of less than a day. */
static bool
runs_on(const struct leat_foreign *from, const struct leat_foreign *to)
{
	struct leat_time a = leat_time_from_civil(&from->civil, 0);
	struct leat_time b = leat_time_from_civil(&to->civil, 0);

	return leat_time_cmp(a, b) < 0 && leat_time_diff(b, a) < DAY;
}

/* Reads a stamp under one order.  *day_month gets what its date has for day and month. */
static bool
read_order(struct leat_span date, struct leat_span clock, enum leat_form order, struct leat_foreign *said,
    int *day_month)
{
	struct leat_foreign time_of_day;

	if (leat_foreign_parse(date, order, said) != 0)
		return false;
	*day_month = said->civil.day * 100 + said->civil.month;
	return clock.len == 0 || (leat_foreign_parse(clock, LEAT_FORM_CLOCK, &time_of_day) == 0 &&
	    leat_foreign_join(said, &time_of_day, said) == 0);
}

/* Where the date changes from one stamp to the next, does the time run on under one order and jump under the
 * other? */
static void
compare_runs(struct leat_evidence *ev, const struct leat_foreign said[2], struct leat_span date)
{
	bool run[2];
	int i;

	for (i = 0; i < 2; i++)
		run[i] = runs_on(&ev->last[i], &said[i]);
	if (run[0] == run[1])
		return;
	ev->runs[run[1]]++;
	example(ev->runs_stamp[run[1]], date);
}

static void
add_stamp(struct leat_evidence *ev, struct leat_span date, struct leat_span clock)
{
	struct leat_foreign said[2];
	int day_month[2] = { 0, 0 };
	bool valid[2];
	int i;

	for (i = 0; i < 2; i++)
		valid[i] = read_order(date, clock, order_form[i], &said[i], &day_month[i]);
	if (!valid[0] && !valid[1])
		return;
	if (valid[0] != valid[1]) {
		i = valid[1];
		ev->only[i]++;
		example(ev->only_stamp[i], date);
		ev->last_date = 0;
		return;
	}
	ev->dotted = ev->dotted || said[0].dotted;
	/* With an offset taken into account nothing is left to step by. */
	if (said[0].is_instant) {
		ev->last_date = 0;
		return;
	}
	if (ev->last_date != 0 && ev->last_date != day_month[0])
		compare_runs(ev, said, date);
	ev->last[0] = said[0];
	ev->last[1] = said[1];
	ev->last_date = day_month[0];
}

/* 0 or 1 when that side wins, 2 when there is nothing on either, -1 when both have too much. */
static int
winner(const long side[2])
{
	if (side[0] == 0 && side[1] == 0)
		return 2;
	if (side[0] > side[1] * AGAINST)
		return 0;
	return side[1] > side[0] * AGAINST ? 1 : -1;
}

/* The thousands mark that the cells use beside the decimal mark: the most frequent, when it is not the decimal
 * mark. */
static char
thousands_mark(const struct leat_evidence *ev, char decimal)
{
	static const char all[] = ".,' ";
	long most = 0, count;
	char mark = 0;
	int i;

	for (i = 0; i < 4; i++) {
		if (all[i] == decimal)
			continue;
		/* A doubtful mark that is not the decimal one can only part thousands. */
		count = ev->thousands[i] + (i < 2 ? ev->doubtful[i] : 0);
		if (count > most) {
			most = count;
			mark = all[i];
		}
	}
	return mark;
}

static const char *
mark_name(char mark)
{
	switch (mark) {
	case '.':
		return "point";
	case ',':
		return "comma";
	case '\'':
		return "apostrophe";
	default:
		return "blank";
	}
}

static void
say_decimal(const struct leat_evidence *ev, struct leat_export_form *form, const char *why)
{
	const char *by = form->thousands != 0 ? ", thousands by " : "";
	const char *mark = form->thousands != 0 ? mark_name(form->thousands) : "";
	int which = form->decimal == ',';

	if (why != NULL)
		leat_export_say(form, "decimal %s: %s%s%s", mark_name(form->decimal), why, by, mark);
	else
		leat_export_say(form, "decimal %s: %ld cell%s such as '%s'%s%s", mark_name(form->decimal),
		    ev->decimal[which], ev->decimal[which] == 1 ? "" : "s", ev->decimal_cell[which], by, mark);
}

/* Decides: 1 with the form filled in, 0 when still open, -1 with err when it contradicts itself.  last: no more
 * evidence comes, so what is open is an error, or harmless. */
static int
settle_decimal(struct leat_evidence *ev, struct leat_export_form *form, bool last, struct leat_error *err)
{
	const char *why = NULL;
	int side;

	if (form->decimal != 0) {
		why = "given";
	} else {
		side = winner(ev->decimal);
		if (side == -1)
			return leat_error_set(err, "values speak for a decimal point ('%s') and for a decimal comma "
			    "('%s'): give --decimal", ev->decimal_cell[0], ev->decimal_cell[1]);
		if (side == 2 && !last)
			return 0;
		if (side == 2 && ev->doubtful[0] + ev->doubtful[1] > 0)
			return leat_error_set(err, "no value tells whether the mark in '%s' is a decimal mark or "
			    "parts thousands: give --decimal", ev->doubtful_cell);
		form->no_marks = side == 2;
		if (side == 2)
			why = "no value has a mark";
		form->decimal = side == 2 ? '.' : mark_of[side];
	}
	if (form->thousands == 0)
		form->thousands = thousands_mark(ev, form->decimal);
	say_decimal(ev, form, why);
	return 1;
}

/* Likewise. */
static int
settle_dates(struct leat_evidence *ev, struct leat_export_form *form, unsigned forms, bool last,
    struct leat_error *err)
{
	unsigned bit;
	int side;

	if (form->dates != 0) {
		leat_export_say(form, "dates %s: given", leat_form_name(form->dates));
		return 1;
	}
	if ((forms & (LEAT_FORM_DMY | LEAT_FORM_MDY)) == 0) {
		for (bit = LEAT_FORM_ISO; (forms & bit) == 0; bit <<= 1)
			continue;
		form->dates = (enum leat_form)bit;
		leat_export_say(form, "dates %s: no other form fits", leat_form_name(form->dates));
		return 1;
	}
	side = winner(ev->only);
	if (side == -1)
		return leat_error_set(err, "dates speak for day first ('%s') and for month first ('%s'): give "
		    "--dates", ev->only_stamp[0], ev->only_stamp[1]);
	if (side < 2) {
		form->dates = order_form[side];
		leat_export_say(form, "dates %s: a day over 12 as in '%s'", leat_form_name(form->dates),
		    ev->only_stamp[side]);
		return 1;
	}
	if (ev->dotted) {
		form->dates = LEAT_FORM_DMY;
		leat_export_say(form, "dates dmy: with points the day comes first");
		return 1;
	}
	side = winner(ev->runs);
	if (side == 0 || side == 1) {
		form->dates = order_form[side];
		leat_export_say(form, "dates %s: stamps run on over midnight at '%s'", leat_form_name(form->dates),
		    ev->runs_stamp[side]);
		return 1;
	}
	if (!last)
		return 0;
	return leat_error_set(err, "no date tells whether the day or the month comes first: give --dates dmy or "
	    "--dates mdy");
}

/* Takes the cells of one data row of the first part. */
static void
gather_row(const struct leat_sniff *sniff, const struct leat_layout *layout, bool long_shape, size_t row,
    struct leat_evidence *ev)
{
	const struct leat_sniff_cell *c;
	const struct leat_stamp *st;
	size_t i, col;

	for (i = 0; i < (long_shape ? 1 : layout->values); i++) {
		col = long_shape ? (size_t)layout->cell : layout->value[i].column;
		c = leat_sniff_at(sniff, row, col);
		if (c != NULL && c->len > 0)
			add_value(ev, leat_sniff_text(sniff, row, col), c->marks);
	}
	if ((layout->forms & (LEAT_FORM_DMY | LEAT_FORM_MDY)) == 0)
		return;
	for (i = 0; i < layout->stamps; i++) {
		st = &layout->stamp[i];
		add_stamp(ev, leat_sniff_text(sniff, row, (size_t)st->date),
		    st->clock >= 0 ? leat_sniff_text(sniff, row, (size_t)st->clock) : leat_span_make(NULL, 0));
	}
}

/* The forms under which nearly all dates are valid; day first and month first stand for each other here. */
static unsigned
common_forms(const struct leat_sniff *sniff, const struct leat_layout *layout)
{
	const struct leat_sniff_cell *c;
	long count[8] = { 0 };
	long dates = 0;
	unsigned bit, forms = 0;
	size_t row, i;
	int b;

	for (row = layout->data_row; row < sniff->rows; row++) {
		for (i = 0; i < layout->stamps; i++) {
			c = leat_sniff_at(sniff, row, (size_t)layout->stamp[i].date);
			if (c == NULL || (c->forms & layout->forms) == 0)
				continue;
			bit = c->forms & layout->forms;
			if ((bit & (LEAT_FORM_DMY | LEAT_FORM_MDY)) != 0)
				bit |= LEAT_FORM_DMY | LEAT_FORM_MDY;
			dates++;
			for (b = 0; b < 8; b++)
				count[b] += (bit & 1u << b) != 0;
		}
	}
	for (b = 0; b < 8; b++)
		if (count[b] * 10 >= dates * 9 && dates > 0)
			forms |= 1u << b;
	return forms;
}

/* Reads the whole file for what the first part left open. */
static int
gather_more(struct leat_spool *spool, struct leat_export_form *form, const struct leat_layout *layout,
    struct leat_evidence *ev, bool *decimal_open, bool *dates_open, struct leat_error *err)
{
	bool long_shape = form->shape == LEAT_SHAPE_LONG;
	struct leat_input *in = leat_spool_input(spool, err);
	struct leat_rows *rows = in != NULL ? leat_rows_open(in, form->separator, err) : NULL;
	const struct leat_stamp *st;
	enum leat_rows_status status;
	struct leat_row row;
	struct leat_span cell;
	size_t i, col;

	if (rows == NULL)
		return -1;
	while ((*decimal_open || *dates_open) && (status = leat_rows_next(rows, &row, err)) != LEAT_ROWS_END) {
		if (status == LEAT_ROWS_FAILED) {
			leat_rows_close(rows);
			return -1;
		}
		if (status == LEAT_ROWS_BAD || row.line < layout->data_line)
			continue;
		for (i = 0; *decimal_open && i < (long_shape ? 1 : layout->values); i++) {
			col = long_shape ? (size_t)layout->cell : layout->value[i].column;
			cell = col < row.count ? leat_export_trim(row.field[col]) : leat_span_make(NULL, 0);
			if (cell.len > 0)
				add_value(ev, cell, leat_export_marks(cell));
		}
		*decimal_open = *decimal_open && ev->decimal[0] + ev->decimal[1] == 0;
		for (i = 0; *dates_open && i < layout->stamps; i++) {
			st = &layout->stamp[i];
			if ((size_t)st->date < row.count && (st->clock < 0 || (size_t)st->clock < row.count))
				add_stamp(ev, row.field[st->date],
				    st->clock >= 0 ? row.field[st->clock] : leat_span_make(NULL, 0));
		}
		*dates_open = *dates_open && ev->only[0] + ev->only[1] + ev->runs[0] + ev->runs[1] == 0;
	}
	leat_rows_close(rows);
	return 0;
}

int
leat_export_evidence(const struct leat_sniff *sniff, struct leat_spool *spool, struct leat_export_form *form,
    struct leat_layout *layout, struct leat_error *err)
{
	struct leat_evidence ev;
	bool decimal_open, dates_open;
	int decimal, dates;
	size_t row;

	memset(&ev, 0, sizeof(ev));
	if ((layout->forms & LEAT_DATED) != 0)
		layout->forms = common_forms(sniff, layout);
	if (layout->forms == 0)
		return leat_error_set(err, "the times are of several forms: give --dates");
	for (row = layout->data_row; row < sniff->rows; row++)
		if (leat_export_is_data(sniff, layout, row))
			gather_row(sniff, layout, form->shape == LEAT_SHAPE_LONG, row, &ev);
	decimal = settle_decimal(&ev, form, sniff->whole, err);
	dates = decimal < 0 ? -1 : settle_dates(&ev, form, layout->forms, sniff->whole, err);
	if (decimal < 0 || dates < 0)
		return -1;
	decimal_open = decimal == 0;
	dates_open = dates == 0;
	if (!decimal_open && !dates_open)
		return 0;
	/* The whole file starts with the first part, which would step back to its beginning. */
	memset(&ev, 0, sizeof(ev));
	if (gather_more(spool, form, layout, &ev, &decimal_open, &dates_open, err) != 0)
		return -1;
	if (decimal == 0 && settle_decimal(&ev, form, true, err) < 0)
		return -1;
	return dates == 0 ? (settle_dates(&ev, form, layout->forms, true, err) < 0 ? -1 : 0) : 0;
}
