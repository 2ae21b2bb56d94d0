/*
 * The stamps of the whole file: do they ever go back?
 *
 * Only the cells of stamps are looked at, and lines are cut no further than to the last of them.  A file with quotes
 * that are more than pairs around cells, or with very long lines, is read by the row reader instead.
 */
#include <stdlib.h>
#include <string.h>

#include "stream/export_private.h"

#define BLOCK (256u * 1024u)

struct scan {
	const struct leat_export_form *form;
	const struct leat_layout *layout;
	struct leat_stamper stamper;
	struct leat_sequence sequence;
	struct leat_names tags;		/* long shape, where hours may come twice */
	uint32_t tag;			/* of the row before, to save looking it up again */
	struct leat_time last;
	bool in_order;
	size_t fields;			/* cells of a line that matter */
	struct leat_span *field;
};

enum pass { PASS_FAILED = -1, PASS_DONE, PASS_ODD };

/* The clock for a stamp of the row; NULL when memory is out. */
static struct leat_local_clock *
clock_of(struct scan *scan, size_t stamp, const struct leat_span *field, size_t count)
{
	int column = scan->layout->tag;
	struct leat_span tag;

	if (column < 0 || scan->stamper.fixed)
		return leat_sequence_clock(&scan->sequence, stamp);
	tag = (size_t)column < count ? leat_export_trim(field[column]) : leat_span_make(NULL, 0);
	if (scan->tag == LEAT_NAME_NONE || !leat_span_eq(scan->tags.name[scan->tag], tag))
		scan->tag = leat_names_put(&scan->tags, tag);
	return scan->tag != LEAT_NAME_NONE ? leat_sequence_clock(&scan->sequence, scan->tag) : NULL;
}

/* Takes the stamps of one row of fields.  Stops being in order at the first that goes back. */
static int
take_row(struct scan *scan, const struct leat_span *field, size_t count)
{
	const struct leat_layout *layout = scan->layout;
	struct leat_local_clock *clock;
	struct leat_time t = LEAT_TIME_NONE;
	const struct leat_stamp *st;
	size_t i;

	for (i = 0; i < layout->stamps && scan->in_order; i++) {
		st = &layout->stamp[i];
		if ((size_t)st->date >= count || (st->clock >= 0 && (size_t)st->clock >= count))
			continue;
		clock = clock_of(scan, i, field, count);
		if (clock == NULL)
			return -1;
		if (leat_stamper_read(&scan->stamper, leat_export_trim(field[st->date]),
		    st->clock >= 0 ? &field[st->clock] : NULL, clock, &t) > LEAT_STAMP_GUESSED)
			continue;
		scan->in_order = leat_time_is_none(scan->last) || leat_time_cmp(scan->last, t) <= 0;
		scan->last = t;
	}
	return 0;
}

/* The end of a field that begins at p, without its quotes if it has any: there must be none within. */
static const char *
field_end(const char *p, const char *end, char separator, struct leat_span *field)
{
	const char *next;

	if (p == end || *p != '"') {
		next = memchr(p, separator, (size_t)(end - p));
		next = next != NULL ? next : end;
		*field = leat_span_make(p, (size_t)(next - p));
		return next;
	}
	next = memchr(p + 1, '"', (size_t)(end - p - 1));
	if (next == NULL || (next + 1 < end && next[1] != separator))
		return NULL;
	*field = leat_span_make(p + 1, (size_t)(next - p - 1));
	return next + 1;
}

/* Splits the fields that matter off a line.  0 when its quotes are not simple. */
static size_t
split(struct scan *scan, const char *p, size_t len)
{
	const char *end = p + len;
	size_t n = 0;

	while (n < scan->fields) {
		p = field_end(p, end, scan->form->separator, &scan->field[n]);
		if (p == NULL)
			return 0;
		n++;
		if (p == end)
			break;
		p++;
	}
	return n;
}

/* Does the line end within quotes? */
static bool
is_open(const char *p, size_t len)
{
	const char *end = p + len;
	bool open = false;

	for (; p < end && (p = memchr(p, '"', (size_t)(end - p))) != NULL; p++)
		open = !open;
	return open;
}

static enum pass
take_line(struct scan *scan, const char *p, size_t len, struct leat_error *err)
{
	size_t fields;

	if (len > 0 && p[len - 1] == '\r')
		len--;
	if (len == 0)
		return PASS_DONE;
	if (is_open(p, len) || (fields = split(scan, p, len)) == 0)
		return PASS_ODD;
	if (take_row(scan, scan->field, fields) == 0)
		return PASS_DONE;
	leat_error_memory(err);
	return PASS_FAILED;
}

/* Takes the complete lines of a block; *used gets their bytes. */
static enum pass
take_lines(struct scan *scan, const char *buf, size_t len, long *line, size_t *used, struct leat_error *err)
{
	enum pass pass = PASS_DONE;
	const char *p = buf;
	const char *end = buf + len;
	const char *lf;

	while (pass == PASS_DONE && scan->in_order && p < end && (lf = memchr(p, '\n', (size_t)(end - p))) != NULL) {
		if (++*line >= scan->layout->data_line)
			pass = take_line(scan, p, (size_t)(lf - p), err);
		p = lf + 1;
	}
	*used = (size_t)(p - buf);
	return pass;
}

static enum pass
scan_plain(struct scan *scan, struct leat_input *in, char *buf, struct leat_error *err)
{
	enum pass pass = PASS_DONE;
	size_t len = 0, used = 0;
	long line = 0;
	ssize_t n;

	while (pass == PASS_DONE && scan->in_order) {
		n = leat_input_read(in, buf + len, BLOCK - len, err);
		if (n < 0)
			return PASS_FAILED;
		if (n == 0)
			return len > 0 ? take_line(scan, buf, len, err) : PASS_DONE;
		len += (size_t)n;
		pass = take_lines(scan, buf, len, &line, &used, err);
		if (pass == PASS_DONE && used == 0 && len == BLOCK)
			return PASS_ODD;
		len -= used;
		memmove(buf, buf + used, len);
	}
	return pass;
}

static enum pass
scan_rows(struct scan *scan, struct leat_input *in, struct leat_error *err)
{
	struct leat_rows *rows = leat_rows_open(in, scan->form->separator, err);
	enum leat_rows_status status;
	struct leat_row row;

	if (rows == NULL)
		return PASS_FAILED;
	while (scan->in_order && (status = leat_rows_next(rows, &row, err)) != LEAT_ROWS_END) {
		if (status == LEAT_ROWS_FAILED || (status == LEAT_ROWS_ROW && row.line >= scan->layout->data_line &&
		    take_row(scan, row.field, row.count) != 0)) {
			if (status != LEAT_ROWS_FAILED)
				leat_error_memory(err);
			leat_rows_close(rows);
			return PASS_FAILED;
		}
	}
	leat_rows_close(rows);
	return PASS_DONE;
}

/* Columns up to the last one that matters. */
static size_t
columns_needed(const struct leat_layout *layout)
{
	int most = layout->tag;
	size_t i;

	for (i = 0; i < layout->stamps; i++) {
		if (layout->stamp[i].date > most)
			most = layout->stamp[i].date;
		if (layout->stamp[i].clock > most)
			most = layout->stamp[i].clock;
	}
	return (size_t)(most + 1);
}

static void
begin(struct scan *scan, struct leat_time now)
{
	leat_sequence_free(&scan->sequence);
	leat_names_free(&scan->tags);
	scan->tag = LEAT_NAME_NONE;
	leat_stamper_init(&scan->stamper, scan->form, now);
	scan->last = LEAT_TIME_NONE;
	scan->in_order = true;
}

int
leat_export_scan(struct leat_spool *spool, struct leat_export_form *form, const struct leat_layout *layout,
    struct leat_time now, struct leat_error *err)
{
	struct scan scan = { .form = form, .layout = layout };
	enum pass pass = PASS_ODD;
	struct leat_input *in;
	char *buf = malloc(BLOCK);

	scan.fields = columns_needed(layout);
	scan.field = calloc(scan.fields, sizeof(*scan.field));
	in = buf != NULL && scan.field != NULL ? leat_spool_input(spool, err) : NULL;
	if (buf == NULL || scan.field == NULL) {
		leat_error_memory(err);
		pass = PASS_FAILED;
	} else if (in == NULL) {
		pass = PASS_FAILED;
	} else {
		begin(&scan, now);
		pass = scan_plain(&scan, in, buf, err);
		leat_input_close(in);
	}
	if (pass == PASS_ODD) {
		begin(&scan, now);
		in = leat_spool_input(spool, err);
		pass = in != NULL ? scan_rows(&scan, in, err) : PASS_FAILED;
	}
	form->in_order = scan.in_order;
	leat_sequence_free(&scan.sequence);
	leat_names_free(&scan.tags);
	free(scan.field);
	free(buf);
	return pass == PASS_DONE ? 0 : -1;
}
