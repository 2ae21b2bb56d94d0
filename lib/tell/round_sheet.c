/* The round sheet. */
#include "tell/round_sheet.h"

#include <stdio.h>

#include "base/number.h"
#include "tell/cautions.h"

#define CELL 128u

static const char *
number(char *dst, double value)
{
	size_t len = leat_number_significant(dst, value, 3);

	if (leat_number_decimals(leat_span_make(dst, len)) > 0)
		leat_number_trim(dst, len);
	return dst;
}

/* "118 to 127", "at least 430", "at most 60". */
static struct leat_span
range(char *dst, bool has_low, double low, bool has_high, double high)
{
	char a[LEAT_NUMBER_MAX], b[LEAT_NUMBER_MAX];

	dst[0] = '\0';
	if (has_low && has_high)
		snprintf(dst, CELL, "%.40s to %.40s", number(a, low), number(b, high));
	else if (has_low)
		snprintf(dst, CELL, "at least %.40s", number(a, low));
	else if (has_high)
		snprintf(dst, CELL, "at most %.40s", number(b, high));
	return leat_span_of(dst);
}

/* Words that a point may be: those of its states. */
static struct leat_span
words_of(const struct leat_round_line *line, char *dst)
{
	struct leat_span rest = line->row != NULL ? line->row->states : leat_span_make(NULL, 0), pair;
	size_t len = 0;

	dst[0] = '\0';
	while (rest.ptr != NULL && leat_span_next(&rest, '|', &pair)) {
		size_t word = leat_span_find(pair, '=');

		len += (size_t)snprintf(dst + len, CELL - len, "%s%.*s", len > 0 ? ", " : "", (int)word, pair.ptr);
		if (len >= CELL)
			return leat_span_make(dst, CELL - 1);
	}
	return leat_span_make(dst, len);
}

static struct leat_span
usual(const struct leat_round_line *line, char *dst)
{
	struct leat_span text;
	size_t len;

	if (line->unit == NULL)
		return words_of(line, dst);
	text = range(dst, line->usual.has_low, line->usual.low, line->usual.has_high, line->usual.high);
	len = text.len;
	if (line->usual.source == LEAT_ROUND_LIMITS && len + 8 < CELL) {
		memcpy(dst + len, " (limit)", 9);
		text.len += 8;
	}
	return text;
}

/* What is read: its words, with its asset and tag. */
static struct leat_span
name(const struct leat_round_line *line, struct leat_text *scratch)
{
	leat_buf_reset(&scratch->line);
	leat_words_point(scratch, line->point);
	leat_text_add(scratch, " (");
	leat_text_add_plain(scratch, line->asset);
	if (line->row != NULL && line->row->tag.len > 0) {
		leat_text_add(scratch, ", ");
		leat_text_add_plain(scratch, line->row->tag);
	}
	leat_text_add(scratch, ")");
	return leat_buf_span(&scratch->line);
}

static void
row(struct leat_sheet *s, const struct leat_round_line *line, struct leat_text *scratch)
{
	char usually[CELL], instrument[CELL];
	struct leat_span cell[5] = { name(line, scratch), LEAT_SHEET_NOTHING, usual(line, usually), LEAT_SHEET_NOTHING,
		LEAT_SHEET_BLANK };

	if (line->unit != NULL)
		cell[1] = leat_span_of(line->unit->name);
	if (line->row != NULL)
		cell[3] = range(instrument, line->row->has_min, line->row->min, line->row->has_max, line->row->max);
	leat_sheet_row(s, cell);
}

/* What a finding lacks, below the table. */
static void
why(struct leat_sheet *s, const struct leat_round_line *line, struct leat_text *scratch)
{
	leat_buf_reset(&scratch->line);
	leat_words_point(scratch, line->point);
	leat_text_add(scratch, ": would tell %.*s of %.*s", (int)line->rule.len, line->rule.ptr, (int)line->wants.len,
	    line->wants.ptr);
	leat_sheet_item(s, 0, false, leat_buf_span(&scratch->line));
}

static const char *const heads[] = { "reading", "unit", "usual", "instrument", "read" };
static const size_t widths[] = { 33, 7, 15, 11, 10 };

/* The lines of one mill, or those for another occasion. */
static void
mill(struct leat_sheet *s, const struct leat_round *round, struct leat_span which, struct leat_text *scratch)
{
	char heading[CELL];
	bool wanted = false;

	snprintf(heading, sizeof(heading), "%.*s", (int)which.len, which.ptr);
	leat_sheet_heading(s, heading);
	leat_sheet_table(s, widths, 5, heads);
	for (size_t i = 0; i < round->count; i++) {
		const struct leat_round_line *line = &round->line[i];

		if (line->when != LEAT_ROUND_ANY || !leat_span_eq(leat_asset_mill(line->asset), which))
			continue;
		row(s, line, scratch);
		wanted = wanted || line->rule.len > 0;
	}
	if (!wanted)
		return;
	leat_sheet_paragraph(s, LEAT_SPAN("To be read with care, since something cannot be told without:"));
	for (size_t i = 0; i < round->count; i++)
		if (round->line[i].when == LEAT_ROUND_ANY && round->line[i].rule.len > 0 &&
		    leat_span_eq(leat_asset_mill(round->line[i].asset), which))
			why(s, &round->line[i], scratch);
}

static void
other(struct leat_sheet *s, const struct leat_round *round, enum leat_round_when when, const char *heading,
    struct leat_text *scratch)
{
	bool any = false;

	for (size_t i = 0; i < round->count; i++) {
		const struct leat_round_line *line = &round->line[i];

		if (line->when != when || line->rule.len == 0)
			continue;
		if (!any)
			leat_sheet_heading(s, heading);
		any = true;
		leat_buf_reset(&scratch->line);
		leat_text_add_plain(scratch, line->asset);
		leat_text_add(scratch, ", ");
		leat_words_point(scratch, line->point);
		leat_text_add(scratch, ": would tell %.*s of %.*s", (int)line->rule.len, line->rule.ptr, (int)line->wants.len,
		    line->wants.ptr);
		leat_sheet_item(s, 0, false, leat_buf_span(&scratch->line));
	}
}

void
leat_round_sheet(struct leat_sheet *s, const struct leat_round *round, const struct leat_calendar *cal, int64_t day)
{
	static const size_t width[] = { 14, 24, 14, 24 };
	struct leat_text scratch = { .width = LEAT_SHEET_WIDTH };
	struct leat_span cell[4] = { LEAT_SPAN("Walked by"), LEAT_SHEET_BLANK, LEAT_SPAN("Date, time"), LEAT_SHEET_BLANK };
	const struct leat_caution *caution = leat_caution_find(LEAT_SPAN("running"));
	struct leat_span last = { NULL, 0 };

	leat_words_date(&scratch, cal, day, true);
	leat_sheet_page(s, "ROUND SHEET", leat_buf_span(&scratch.line), LEAT_SPAN("Readings of the round"));
	leat_sheet_table(s, width, 4, NULL);
	leat_sheet_row(s, cell);
	leat_sheet_paragraph(s, LEAT_SPAN("Usual: 9 of 10 readings of the last 30 days while grinding; (limit): where there are "
	    "too few, the limits. Write what the gauge shows, not what is usual."));
	for (size_t i = 0; caution != NULL && i < LEAT_CAUTION_LINES && caution->line[i] != NULL; i++)
		leat_sheet_item(s, 0, false, leat_span_of(caution->line[i]));
	for (size_t i = 0; i < round->count; i++) {
		struct leat_span which = leat_asset_mill(round->line[i].asset);

		if (round->line[i].when != LEAT_ROUND_ANY || (last.ptr != NULL && leat_span_eq(last, which)))
			continue;
		mill(s, round, which, &scratch);
		last = which;
	}
	other(s, round, LEAT_ROUND_STOP, "Not on the round: at the next stop", &scratch);
	other(s, round, LEAT_ROUND_LABORATORY, "Not on the round: by an oil sample", &scratch);
	leat_sheet_heading(s, "Also");
	leat_sheet_item(s, 0, true, LEAT_SPAN("Leaks, noise, smell, colour of the breather; what is not as yesterday:"));
	leat_sheet_end_list(s);
	leat_sheet_lines(s, 3);
	if (scratch.failed)
		s->text.failed = true;
	leat_text_free(&scratch);
}

int
leat_round_csv(struct leat_out *out, const struct leat_round *round, const struct leat_calendar *cal, int64_t day)
{
	struct leat_buf tag = { 0 };
	int year, month, of_month, formulas = 0;
	char time[64];

	leat_civil_from_days(day, &year, &month, &of_month);
	snprintf(time, sizeof(time), "%04d-%02d-%02d %02d:%02d", year, month, of_month, cal->day_start_s / 3600,
	    cal->day_start_s / 60 % 60);
	leat_out_text(out, "time,tag,value,unit\n");
	for (size_t i = 0; i < round->count; i++) {
		const struct leat_round_line *line = &round->line[i];

		if (line->when != LEAT_ROUND_ANY)
			continue;
		leat_buf_reset(&tag);
		if (line->row != NULL && line->row->tag.len > 0 ? leat_buf_add_span(&tag, line->row->tag) != 0 :
		    leat_buf_printf(&tag, "%.*s/%.*s", (int)line->asset.len, line->asset.ptr, (int)line->point.len,
		    line->point.ptr) != 0) {
			formulas = -1;
			break;
		}
		formulas += tag.len > 0 && strchr("=+-@", tag.data[0]) != NULL;
		leat_out_text(out, time);
		leat_out_char(out, ',');
		leat_out_field(out, leat_buf_span(&tag));
		leat_out_text(out, ",,");
		leat_out_field(out, leat_span_of(line->unit != NULL ? line->unit->name : NULL));
		leat_out_char(out, '\n');
	}
	leat_buf_free(&tag);
	return formulas;
}
