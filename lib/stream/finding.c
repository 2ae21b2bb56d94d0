/*
 * The findings stream, out and in.
 */
#include "stream/finding.h"

#include <math.h>
#include <stdlib.h>

#include "base/number.h"
#include "stream/rows.h"

/* More than any works has in a year of nights; without a bound a wrong file would fill the memory. */
#define FINDINGS_LIMIT 1000000u
/* Texts are kept in blocks that never grow, so that spans into them never move. */
#define TEXT_BLOCK (64u * 1024u)

enum {
	COL_TIME, COL_ASSET, COL_POINT, COL_RULE, COL_STATUS, COL_VALUE, COL_UNIT, COL_LIMIT, COL_SINCE, COL_UNTIL,
	COL_DUE, COL_SHELVED, COL_MESSAGE, COL_COUNT
};

static const char *const column_name[COL_COUNT] = {
	"time", "asset", "point", "rule", "status", "value", "unit", "limit", "since", "until",
	"due", "shelved", "message"
};

/* What leat-trend, leat-diagnose and leat-loss add. */
enum {
	FURTHER_BASELINE, FURTHER_RATIO, FURTHER_EARLY, FURTHER_LIKELY, FURTHER_LATE, FURTHER_EXPLAINS, FURTHER_LOW, FURTHER_HIGH,
	FURTHER_UNIT, FURTHER_MODE, FURTHER_RUNNER_UP, FURTHER_DAY_LOW, FURTHER_DAY_HIGH, FURTHER_VALUES, FURTHER_COUNT
};

static const char *const further_name[FURTHER_COUNT] = {
	"baseline", "ratio", "p10", "p50", "p90", "explains", "per_day_low", "per_day_high", "per_day_unit", "mode",
	"runner_up", "day_low", "day_high", "n"
};

static const char *const status_name[] = { "ok", "alert", "alarm", "unknown" };

const char *
leat_status_name(enum leat_status status)
{
	return status_name[status];
}

int
leat_status_find(struct leat_span word)
{
	size_t i;

	for (i = 0; i < sizeof(status_name) / sizeof(status_name[0]); i++) {
		if (leat_span_is(word, status_name[i]))
			return (int)i;
	}
	return -1;
}

void
leat_findings_write_header(struct leat_out *out, const char *extra)
{
	size_t i;

	for (i = 0; i < COL_COUNT; i++) {
		if (i > 0)
			leat_out_char(out, ',');
		leat_out_text(out, column_name[i]);
	}
	if (extra != NULL) {
		leat_out_char(out, ',');
		leat_out_text(out, extra);
	}
	leat_out_char(out, '\n');
}

void
leat_finding_write(struct leat_out *out, const struct leat_finding *f, bool row_end)
{
	const struct leat_span text[] = { f->value, f->unit, f->limit };
	const struct leat_time time[] = { f->since, f->until, f->due, f->shelved };
	size_t i;

	leat_out_time(out, f->time);
	leat_out_char(out, ',');
	leat_out_field(out, f->asset);
	leat_out_char(out, ',');
	leat_out_field(out, f->point);
	leat_out_char(out, ',');
	leat_out_field(out, f->rule);
	leat_out_char(out, ',');
	leat_out_text(out, leat_status_name(f->status));
	for (i = 0; i < sizeof(text) / sizeof(text[0]); i++) {
		leat_out_char(out, ',');
		leat_out_field(out, text[i]);
	}
	for (i = 0; i < sizeof(time) / sizeof(time[0]); i++) {
		leat_out_char(out, ',');
		leat_out_time(out, time[i]);
	}
	leat_out_char(out, ',');
	leat_out_field(out, f->message);
	if (row_end)
		leat_out_char(out, '\n');
}

/* One file while it is read. */
struct reader {
	struct leat_findings *all;
	struct leat_rows *rows;
	struct leat_row row;
	size_t width;
	int column[COL_COUNT];
	int further[FURTHER_COUNT];	/* columns that some judges add; -1: none */
	struct leat_buf header;
};

static struct leat_span
cell(const struct reader *in, int column)
{
	return in->row.field[in->column[column]];
}

/* Room for len more bytes of text that will not move. */
static struct leat_buf *
text_room(struct leat_findings *all, size_t len)
{
	struct leat_buf *block;

	if (all->texts > 0) {
		block = &all->text[all->texts - 1];
		if (block->cap - block->len > len)
			return block;
	}
	if (leat_grow(&all->text, &all->text_cap, all->texts + 1, sizeof(*all->text)) != 0)
		return NULL;
	block = &all->text[all->texts];
	memset(block, 0, sizeof(*block));
	if (leat_buf_reserve(block, len < TEXT_BLOCK ? TEXT_BLOCK : len) != 0)
		return NULL;
	all->texts++;
	return block;
}

/* Counts a row that is no finding and keeps the reason of the first. */
static int
reject(struct reader *in, const struct leat_error *why)
{
	if (in->all->rejected++ == 0)
		in->all->first_rejected = *why;
	return 0;
}

static int
reject_cell(struct reader *in, int column, const char *text)
{
	struct leat_error why;

	leat_error_set(&why, "%s", text);
	leat_error_at(&why, leat_rows_name(in->rows), in->row.line);
	leat_error_column(&why, leat_span_of(column_name[column]));
	leat_error_value(&why, cell(in, column));
	return reject(in, &why);
}

/* The column whose text is not fit to be printed, or -1; *why says why not. */
static int
unfit_text(const struct reader *in, const char **why)
{
	static const int text[] = { COL_ASSET, COL_POINT, COL_RULE, COL_VALUE, COL_UNIT, COL_LIMIT, COL_MESSAGE };
	size_t i;

	for (i = 0; i < sizeof(text) / sizeof(text[0]); i++) {
		*why = leat_field_fault(cell(in, text[i]));
		if (*why != NULL)
			return text[i];
	}
	return -1;
}

/* A further column is nobody's contract: what is not fit there is left alone. */
static struct leat_span
further_cell(const struct reader *in, int which)
{
	struct leat_span text = leat_span_make("", 0);

	if (in->further[which] >= 0)
		text = in->row.field[in->further[which]];
	return leat_field_fault(text) == NULL ? text : leat_span_make("", 0);
}

/* The column whose time cannot be read, or -1. */
static int
read_times(const struct reader *in, struct leat_finding *f)
{
	struct {
		int column;
		struct leat_time *time;
	} times[] = {
		{ COL_TIME, &f->time }, { COL_SINCE, &f->since }, { COL_UNTIL, &f->until }, { COL_DUE, &f->due },
		{ COL_SHELVED, &f->shelved }
	};
	size_t i;

	for (i = 0; i < sizeof(times) / sizeof(times[0]); i++) {
		*times[i].time = LEAT_TIME_NONE;
		if (cell(in, times[i].column).len == 0 && times[i].column != COL_TIME)
			continue;
		if (leat_time_parse(cell(in, times[i].column), times[i].time) != 0)
			return times[i].column;
	}
	return -1;
}

/* A further column is nobody's contract: what is no time or number there is left alone. */
static void
read_further(const struct reader *in, struct leat_finding *f)
{
	struct leat_time *const time[] = { &f->early, &f->likely, &f->late };
	double *const number[] = { &f->baseline, &f->ratio };

	for (int i = 0; i < 3; i++) {
		if (leat_time_parse(further_cell(in, FURTHER_EARLY + i), time[i]) != 0)
			*time[i] = LEAT_TIME_NONE;
	}
	for (int i = 0; i < 2; i++) {
		if (leat_double_parse(further_cell(in, FURTHER_BASELINE + i), number[i]) != 0)
			*number[i] = NAN;
		if (leat_double_parse(further_cell(in, FURTHER_DAY_LOW + i), &f->day[i]) != 0)
			f->day[i] = NAN;
	}
	if (leat_double_parse(further_cell(in, FURTHER_VALUES), &f->values) != 0)
		f->values = NAN;
}

/* Copies the texts of the row to stay. */
static int
keep_texts(struct reader *in, struct leat_finding *f)
{
	struct {
		struct leat_span from;
		struct leat_span *text;
	} texts[] = {
		{ cell(in, COL_ASSET), &f->asset }, { cell(in, COL_POINT), &f->point }, { cell(in, COL_RULE), &f->rule },
		{ cell(in, COL_VALUE), &f->value }, { cell(in, COL_UNIT), &f->unit }, { cell(in, COL_LIMIT), &f->limit },
		{ cell(in, COL_MESSAGE), &f->message }, { further_cell(in, FURTHER_EXPLAINS), &f->explains },
		{ further_cell(in, FURTHER_LOW), &f->per_day_low }, { further_cell(in, FURTHER_HIGH), &f->per_day_high },
		{ further_cell(in, FURTHER_UNIT), &f->per_day_unit }, { further_cell(in, FURTHER_MODE), &f->mode },
		{ further_cell(in, FURTHER_RUNNER_UP), &f->runner_up }
	};
	size_t i, len = 0, count = sizeof(texts) / sizeof(texts[0]);
	struct leat_buf *block;

	for (i = 0; i < count; i++)
		len += texts[i].from.len;
	block = text_room(in->all, len);
	if (block == NULL)
		return -1;
	for (i = 0; i < count; i++) {
		*texts[i].text = leat_span_make(block->data + block->len, texts[i].from.len);
		if (leat_buf_add_span(block, texts[i].from) != 0)
			return -1;
	}
	return 0;
}

static int
put_finding(struct reader *in, struct leat_error *err)
{
	struct leat_findings *all = in->all;
	struct leat_finding f;
	const char *why;
	int column, status;

	read_further(in, &f);
	column = read_times(in, &f);
	if (column >= 0)
		return reject_cell(in, column, "not a time (RFC 3339, such as 2026-01-31T23:59:59Z)");
	status = leat_status_find(cell(in, COL_STATUS));
	if (status < 0)
		return reject_cell(in, COL_STATUS, "not ok, alert, alarm or unknown");
	f.status = (enum leat_status)status;
	if (cell(in, COL_RULE).len == 0)
		return reject_cell(in, COL_RULE, "empty name");
	column = unfit_text(in, &why);
	if (column >= 0)
		return reject_cell(in, column, why);
	if (all->count >= FINDINGS_LIMIT) {
		leat_error_set(err, "more than %u findings", FINDINGS_LIMIT);
		return leat_error_at(err, leat_rows_name(in->rows), in->row.line);
	}
	if (leat_grow(&all->item, &all->cap, all->count + 1, sizeof(*all->item)) != 0 || keep_texts(in, &f) != 0)
		return leat_error_memory(err);
	all->item[all->count++] = f;
	return 0;
}

static int
take_row(struct reader *in, struct leat_error *err)
{
	struct leat_error why;

	if (in->row.count == in->width && !in->row.unended) {
		if (leat_span_eq(in->row.raw, leat_buf_span(&in->header)))
			return 0;
		return put_finding(in, err);
	}
	if (in->row.count == in->width)
		leat_error_set(&why, "last line is cut: it has no line end");
	else
		leat_error_set(&why, "%zu field%s where the header has %zu", in->row.count,
		    in->row.count == 1 ? "" : "s", in->width);
	leat_error_at(&why, leat_rows_name(in->rows), in->row.line);
	return reject(in, &why);
}

static int
read_header(struct reader *in, struct leat_error *err)
{
	static const char *const readings[] = { "time", "asset", "point", "value", "unit", "quality" };
	const char *name = leat_rows_name(in->rows);
	int index[6];

	switch (leat_rows_next(in->rows, &in->row, err)) {
	case LEAT_ROWS_FAILED:
	case LEAT_ROWS_BAD:
		return -1;
	case LEAT_ROWS_END:
		return leat_error_set(err, "'%s' is empty: a findings stream has at least its header", name);
	case LEAT_ROWS_ROW:
		break;
	}
	if (leat_columns_find(&in->row, column_name, COL_COUNT, COL_COUNT, in->column, err) != 0) {
		if (leat_columns_find(&in->row, readings, 6, 6, index, NULL) == 0)
			leat_error_set(err, "a readings stream where findings are due");
		return leat_error_at(err, name, in->row.line);
	}
	/* Twice the same name is no reason to refuse the rest. */
	if (leat_columns_find(&in->row, further_name, FURTHER_COUNT, 0, in->further, NULL) != 0)
		for (size_t i = 0; i < FURTHER_COUNT; i++)
			in->further[i] = -1;
	if (in->row.unended) {
		leat_error_set(err, "the header is cut: it has no line end");
		return leat_error_at(err, name, in->row.line);
	}
	in->width = in->row.count;
	if (leat_buf_add_span(&in->header, in->row.raw) != 0)
		return leat_error_memory(err);
	return 0;
}

static int
read_rows(struct reader *in, struct leat_error *err)
{
	struct leat_error why = { 0 };

	if (read_header(in, err) != 0)
		return -1;
	for (;;) {
		switch (leat_rows_next(in->rows, &in->row, &why)) {
		case LEAT_ROWS_END:
			return 0;
		case LEAT_ROWS_FAILED:
			if (err != NULL)
				*err = why;
			return -1;
		case LEAT_ROWS_BAD:
			reject(in, &why);
			break;
		case LEAT_ROWS_ROW:
			if (take_row(in, err) != 0)
				return -1;
			break;
		}
	}
}

int
leat_findings_read(struct leat_findings *all, const char *path, struct leat_error *err)
{
	struct reader in = { 0 };
	struct leat_input *input = leat_input_open(path, LEAT_ENCODING_RAW, err);
	int result = -1;

	if (input == NULL)
		return -1;
	in.all = all;
	in.rows = leat_rows_open(input, ',', err);
	if (in.rows != NULL)
		result = read_rows(&in, err);
	leat_rows_close(in.rows);
	leat_buf_free(&in.header);
	return result;
}

void
leat_findings_free(struct leat_findings *all)
{
	size_t i;

	for (i = 0; i < all->texts; i++)
		leat_buf_free(&all->text[i]);
	free(all->text);
	free(all->item);
	memset(all, 0, sizeof(*all));
}

int
leat_finding_cmp(const struct leat_finding *a, const struct leat_finding *b)
{
	/* The mill by itself: as bytes "NM-2" would stand between "NM" and "NM/pump-a". */
	struct leat_span mill_a = { a->asset.ptr, leat_span_find(a->asset, '/') };
	struct leat_span mill_b = { b->asset.ptr, leat_span_find(b->asset, '/') };
	int order = leat_span_cmp(mill_a, mill_b);

	if (order == 0)
		order = leat_span_cmp(a->asset, b->asset);
	if (order == 0)
		order = leat_span_cmp(a->point, b->point);
	if (order == 0)
		order = leat_span_cmp(a->rule, b->rule);
	return order != 0 ? order : leat_time_cmp(a->since, b->since);
}

/* A name of the list: no semicolon. */
static int
add_part(struct leat_buf *buf, struct leat_span part)
{
	for (size_t i = 0; i < part.len; i++)
		if (part.ptr[i] == ';' ? leat_buf_add(buf, "%3B", 3) != 0 : leat_buf_add(buf, part.ptr + i, 1) != 0)
			return -1;
	return 0;
}

int
leat_finding_name(struct leat_buf *buf, const struct leat_finding *f)
{
	return add_part(buf, f->asset) != 0 || leat_buf_add(buf, " ", 1) != 0 ||
	    add_part(buf, f->point.len > 0 ? f->point : LEAT_SPAN("-")) != 0 || leat_buf_add(buf, " ", 1) != 0 ||
	    add_part(buf, f->rule) != 0 ? -1 : 0;
}
