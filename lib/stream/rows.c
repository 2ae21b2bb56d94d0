/*
 * Cutting the byte stream into records.
 *
 * A line without a quote is a record.  Only where there is one does the small machine below look for the record's
 * end, and it refuses everything that RFC 4180 does not allow, so a splitter meets well-formed records only.
 */
#include "stream/rows_private.h"

#include <stdlib.h>

#include "base/word.h"
#include "stream/splitter.h"

#define FIRST_CAP (128u * 1024u)
#define RAW_LIMIT 4096u		/* bytes of a bad record that are kept */
#define MAX_CAP (LEAT_ROW_LIMIT + RAW_LIMIT)
/* A field with more line breaks is taken for an unended quote: it would swallow good rows. */
#define MAX_BREAKS 1000

/* Where a line or record ends, as an offset from rows->at. */
enum cut {
	CUT_FAILED = -1,
	CUT_LAST,	/* at the end of input */
	CUT_LINE,	/* at a LF */
	CUT_LONG,	/* beyond the limit */
	CUT_STRAY,	/* not: its first line has a stray quote */
	CUT_OPEN	/* not: its first line opens a quote that does not end */
};

struct leat_rows *
leat_rows_open(struct leat_input *in, char separator, struct leat_error *err)
{
	struct leat_rows *rows = calloc(1, sizeof(*rows));

	if (rows == NULL) {
		leat_input_close(in);
		leat_error_memory(err);
		return NULL;
	}
	rows->in = in;
	rows->separator = separator;
	rows->cap = FIRST_CAP;
	rows->buf = malloc(rows->cap);
	rows->splitter = leat_splitter_new(separator, true);
	if (rows->buf == NULL || rows->splitter == NULL) {
		leat_rows_close(rows);
		leat_error_memory(err);
		return NULL;
	}
	return rows;
}

/* Reads more bytes behind those not yet handed out, which may move.  1, 0 at the end of input, -1. */
static int
fill(struct leat_rows *rows, struct leat_error *err)
{
	size_t cap;
	ssize_t n;
	char *buf;

	if (rows->eof)
		return 0;
	leat_loan_end(&rows->loan);
	if (rows->at > 0) {
		rows->end -= rows->at;
		memmove(rows->buf, rows->buf + rows->at, rows->end);
		rows->at = 0;
	}
	if (rows->end == rows->cap) {
		cap = rows->cap < MAX_CAP / 2 ? rows->cap * 2 : MAX_CAP;
		buf = realloc(rows->buf, cap);
		if (buf == NULL) {
			leat_error_memory(err);
			return leat_error_at(err, leat_rows_name(rows), rows->lines + 1);
		}
		rows->buf = buf;
		rows->cap = cap;
	}
	n = leat_input_read(rows->in, rows->buf + rows->end, rows->cap - rows->end, err);
	if (n < 0)
		return leat_error_at(err, leat_rows_name(rows), rows->lines + 1);
	rows->eof = n == 0;
	rows->end += (size_t)n;
	return n > 0;
}

/* Finds the end of the line that goes on at offset from. */
static enum cut
line_end(struct leat_rows *rows, size_t from, size_t *end, struct leat_error *err)
{
	const char *lf;
	size_t len;
	int r;

	for (;;) {
		len = rows->end - rows->at;
		lf = len > from ? memchr(rows->buf + rows->at + from, '\n', len - from) : NULL;
		if (lf != NULL) {
			*end = (size_t)(lf - (rows->buf + rows->at));
			return *end > LEAT_ROW_LIMIT ? CUT_LONG : CUT_LINE;
		}
		if (len > LEAT_ROW_LIMIT)
			return CUT_LONG;
		from = len;
		r = fill(rows, err);
		if (r < 0)
			return CUT_FAILED;
		if (r == 0) {
			*end = len;
			return CUT_LAST;
		}
	}
}

/* Where in a record with quotes the scan has come to. */
enum place {
	AT_START,	/* of a field */
	IN_BARE,
	IN_QUOTES,
	AFTER_QUOTE	/* which ended the field, unless another follows */
};

struct scan {
	enum place place;
	int breaks;	/* line breaks in the quoted field so far */
	bool stray_cr;	/* a CR outside quotes that is no part of a line end */
};

/* Goes over one line, without its line end.  -1 at a quote where none may be. */
static int
scan_line(struct scan *scan, char separator, const char *p, size_t len)
{
	const char *end = p + len;

	for (; p < end; p++) {
		if (scan->place == IN_QUOTES) {
			p = memchr(p, '"', (size_t)(end - p));
			if (p == NULL)
				return 0;
			scan->place = AFTER_QUOTE;
		} else if (*p == separator) {
			scan->place = AT_START;
		} else if (*p == '"') {
			if (scan->place == IN_BARE)
				return -1;
			scan->breaks = scan->place == AT_START ? 0 : scan->breaks;
			scan->place = IN_QUOTES;
		} else if (*p == '\r') {
			scan->stray_cr = true;
		} else if (scan->place == AFTER_QUOTE) {
			return -1;
		} else {
			scan->place = IN_BARE;
		}
	}
	return 0;
}

/* Length of the line without a CR at its end. */
static size_t
without_cr(const struct leat_rows *rows, size_t from, size_t end)
{
	return end > from && rows->buf[rows->at + end - 1] == '\r' ? end - 1 : end;
}

/* Finds the end of a record whose first line, which ends at *end, holds a quote.  *lines gets how many it spans. */
static enum cut
record_end(struct leat_rows *rows, enum cut cut, size_t *end, long *lines, bool *stray_cr, struct leat_error *err)
{
	struct scan scan = { AT_START, 0, false };
	size_t from = 0;

	for (*lines = 1;; ++*lines) {
		if (scan_line(&scan, rows->separator, rows->buf + rows->at + from,
		    without_cr(rows, from, *end) - from) != 0)
			return *lines == 1 ? CUT_STRAY : CUT_OPEN;
		*stray_cr = scan.stray_cr;
		if (scan.place != IN_QUOTES)
			return cut;
		if (cut == CUT_LAST || ++scan.breaks > MAX_BREAKS)
			return CUT_OPEN;
		from = *end + 1;
		cut = line_end(rows, from, end, err);
		if (cut == CUT_FAILED)
			return cut;
		if (cut == CUT_LONG)
			return CUT_OPEN;
	}
}

/* Is there a byte below 0x23: a quote, a blank, a control byte (or the harmless '!')? */
static bool
is_odd(const char *p, size_t len)
{
	uint64_t word, found = 0;

	for (; len >= sizeof(word); p += sizeof(word), len -= sizeof(word))
		found |= leat_word_below(leat_word_load(p), LEAT_ROW_PLAIN);
	if (len > 0) {
		word = LEAT_WORD_ONES * 'x';
		memcpy(&word, p, len);
		found |= leat_word_below(word, LEAT_ROW_PLAIN);
	}
	return found != 0;
}

/* Takes the first used bytes, which were lines lines, off the buffer as a bad record. */
static enum leat_rows_status
bad(struct leat_rows *rows, struct leat_row *row, size_t used, long lines, struct leat_error *err, const char *text)
{
	size_t len = without_cr(rows, 0, used);

	row->field = NULL;
	row->count = 0;
	row->raw = leat_span_make(rows->buf + rows->at, len < RAW_LIMIT ? len : RAW_LIMIT);
	row->line = rows->lines + 1;
	row->lines = lines;
	rows->lines += lines;
	rows->at += used;
	row->unended = rows->at == rows->end;
	if (!row->unended)
		rows->at++;
	leat_error_set(err, "%s", text);
	leat_error_at(err, leat_rows_name(rows), row->line);
	return LEAT_ROWS_BAD;
}

/* Passes over a line that is too long, in constant memory: the buffer keeps its beginning, the rest goes by. */
static enum leat_rows_status
skip_long(struct leat_rows *rows, struct leat_row *row, struct leat_error *err)
{
	size_t len = rows->end - rows->at;
	const char *lf;
	ssize_t n;

	leat_loan_end(&rows->loan);
	memmove(rows->buf, rows->buf + rows->at, len);
	rows->at = RAW_LIMIT;
	rows->end = len;
	while ((lf = memchr(rows->buf + rows->at, '\n', rows->end - rows->at)) == NULL) {
		n = leat_input_read(rows->in, rows->buf + RAW_LIMIT, rows->cap - RAW_LIMIT, err);
		if (n < 0) {
			leat_error_at(err, leat_rows_name(rows), rows->lines + 1);
			return LEAT_ROWS_FAILED;
		}
		rows->end = RAW_LIMIT + (size_t)n;
		if (n == 0) {
			rows->eof = true;
			break;
		}
	}
	row->field = NULL;
	row->count = 0;
	row->raw = leat_span_make(rows->buf, RAW_LIMIT);
	row->line = ++rows->lines;
	row->lines = 1;
	row->unended = lf == NULL;
	rows->at = lf != NULL ? (size_t)(lf - rows->buf) + 1 : rows->end;
	leat_error_set(err, "the line is longer than %u bytes", LEAT_ROW_LIMIT);
	leat_error_at(err, leat_rows_name(rows), row->line);
	return LEAT_ROWS_BAD;
}

/* Splits the record that ends at offset end and hands it out. */
static enum leat_rows_status
give(struct leat_rows *rows, const struct leat_record *record, size_t end, long lines, struct leat_row *row,
    struct leat_error *err)
{
	struct leat_fields fields;

	switch (leat_splitter_split(rows->splitter, record, &fields)) {
	case LEAT_SPLIT_DONE:
		break;
	case LEAT_SPLIT_BAD:
		return bad(rows, row, end, lines, err, "not a CSV record (RFC 4180)");
	default:
		leat_error_memory(err);
		leat_error_at(err, leat_rows_name(rows), rows->lines + 1);
		return LEAT_ROWS_FAILED;
	}
	if (fields.count > LEAT_FIELD_LIMIT)
		return bad(rows, row, end, lines, err, "too many fields");
	row->field = fields.field;
	row->count = fields.count;
	row->raw = record->bytes;
	row->line = rows->lines + 1;
	row->lines = lines;
	row->quoted = record->quoted;
	rows->lines += lines;
	rows->at += end;
	row->unended = rows->at == rows->end;
	if (!row->unended)
		rows->at++;
	return LEAT_ROWS_ROW;
}

/* A record whose first line ends at offset end and has a byte that is not plain. */
static enum leat_rows_status
odd_record(struct leat_rows *rows, enum cut cut, size_t end, struct leat_row *row, struct leat_error *err)
{
	struct leat_record record = { { rows->buf + rows->at, without_cr(rows, 0, end) }, false, false };
	size_t first = end;
	bool stray_cr;
	long lines = 1;

	record.quoted = memchr(record.bytes.ptr, '"', record.bytes.len) != NULL;
	row->quoted = record.quoted;
	if (record.quoted) {
		cut = record_end(rows, cut, &end, &lines, &stray_cr, err);
		if (cut == CUT_FAILED)
			return LEAT_ROWS_FAILED;
		if (cut == CUT_STRAY)
			return bad(rows, row, first, 1, err,
			    "stray quote: a field with a quote is quoted as a whole and its quotes are doubled");
		if (cut == CUT_OPEN)
			return bad(rows, row, first, 1, err, "the quote that begins in this line does not end");
		record.bytes = leat_span_make(rows->buf + rows->at, without_cr(rows, 0, end));
	} else {
		stray_cr = memchr(record.bytes.ptr, '\r', record.bytes.len) != NULL;
	}
	if (memchr(record.bytes.ptr, '\0', record.bytes.len) != NULL)
		return bad(rows, row, end, lines, err, "NUL byte");
	if (stray_cr)
		return bad(rows, row, end, lines, err, "stray carriage return");
	record.blanks = memchr(record.bytes.ptr, ' ', record.bytes.len) != NULL ||
	    memchr(record.bytes.ptr, '\t', record.bytes.len) != NULL;
	return give(rows, &record, end, lines, row, err);
}

enum leat_rows_status
leat_rows_next(struct leat_rows *rows, struct leat_row *row, struct leat_error *err)
{
	struct leat_record record = { { NULL, 0 }, false, false };
	enum cut cut;
	size_t end;

	row->quoted = false;
	for (;;) {
		cut = line_end(rows, 0, &end, err);
		if (cut == CUT_FAILED)
			return LEAT_ROWS_FAILED;
		if (cut == CUT_LONG)
			return skip_long(rows, row, err);
		if (cut == CUT_LAST && end == 0)
			return LEAT_ROWS_END;
		record.bytes = leat_span_make(rows->buf + rows->at, without_cr(rows, 0, end));
		if (record.bytes.len > 0)
			break;
		rows->lines++;
		rows->blank++;
		rows->at += cut == CUT_LINE ? end + 1 : end;
	}
	if (is_odd(record.bytes.ptr, record.bytes.len))
		return odd_record(rows, cut, end, row, err);
	return give(rows, &record, end, 1, row, err);
}

long
leat_rows_blank(const struct leat_rows *rows)
{
	return rows->blank;
}

long
leat_rows_lines(const struct leat_rows *rows)
{
	return rows->lines;
}

void
leat_rows_lend(struct leat_rows *rows, const struct leat_row *row, struct leat_out *out)
{
	/* Where the line end is not LF alone, it is replaced. */
	if (!row->unended && row->raw.ptr[row->raw.len] == '\n') {
		leat_out_lend(out, leat_span_make(row->raw.ptr, row->raw.len + 1), &rows->loan);
		return;
	}
	leat_out_span(out, row->raw);
	leat_out_char(out, '\n');
}

const char *
leat_rows_name(const struct leat_rows *rows)
{
	return leat_input_name(rows->in);
}

const struct leat_input *
leat_rows_input(const struct leat_rows *rows)
{
	return rows->in;
}

void
leat_rows_close(struct leat_rows *rows)
{
	if (rows == NULL)
		return;
	leat_loan_end(&rows->loan);
	leat_input_close(rows->in);
	leat_splitter_free(rows->splitter);
	free(rows->buf);
	free(rows);
}
