/*
 * CSV rows (RFC 4180) from an input.
 *
 * The reader cuts the byte stream into records itself and gives each record to a splitter: a plain one is split directly,
 * one with a quote by libcsv.  So line numbers are counted from bytes, a bad record harms no other, and memory is bounded
 * by the record limit.
 *
 * LF and CRLF both end a record, the last may lack it.  Blanks are data.  A record is bad when it has a stray or
 * unended quote or is longer than the limit; reading goes on with the next line: an unended quote costs its own line
 * only.
 */
#ifndef LEAT_STREAM_ROWS_H
#define LEAT_STREAM_ROWS_H

#include "base/mem.h"
#include "stream/input.h"

/* Bytes of one record, line breaks within quotes included.  Longer records are bad and skipped. */
#define LEAT_ROW_LIMIT (1024u * 1024u)
/* Fields of one record, as many as spreadsheets have columns.  Records with more are bad. */
#define LEAT_FIELD_LIMIT 16384u

/* One record.  All spans are borrowed until the next call of leat_rows_next. */
struct leat_row {
	const struct leat_span *field;	/* unquoted fields */
	size_t count;			/* at least 1 */
	struct leat_span raw;		/* the bytes of the record without its line end */
	long line;			/* the line on which it begins, from 1 */
	long lines;			/* how many lines it spans, at least 1 */
	bool quoted;			/* a field was quoted: raw is not plain text between separators */
	bool unended;			/* the last record, and no line end followed it */
};

enum leat_rows_status {
	LEAT_ROWS_FAILED = -1,	/* cannot read on: err says why */
	LEAT_ROWS_END = 0,
	LEAT_ROWS_ROW = 1,
	LEAT_ROWS_BAD = 2	/* one bad record: row->raw (cut to 4096 bytes), line and lines are set, err says why */
};

struct leat_rows;

/* Takes over in (closed by leat_rows_close).  separator is the byte between fields.  NULL with err when memory is out
 * (in is then closed too). */
struct leat_rows *leat_rows_open(struct leat_input *in, char separator, struct leat_error *err);

/* The next record that is not a blank line. */
enum leat_rows_status leat_rows_next(struct leat_rows *rows, struct leat_row *row, struct leat_error *err) LEAT_MUST_USE;

/* Blank lines passed over so far; lines begun so far. */
long leat_rows_blank(const struct leat_rows *rows);
long leat_rows_lines(const struct leat_rows *rows);
const char *leat_rows_name(const struct leat_rows *rows);
const struct leat_input *leat_rows_input(const struct leat_rows *rows);
void leat_rows_close(struct leat_rows *rows);

/* Finds columns by name in a header row.  index[i] becomes the position of name[i], or -1 when it is missing.  The
 * first required names must be there; no wanted name may come twice.  0, or -1 with err listing the names seen. */
int leat_columns_find(const struct leat_row *header, const char *const *name, size_t count, size_t required, int *index,
    struct leat_error *err) LEAT_MUST_USE;

/* What makes a field unfit to be a name or to be printed: "malformed UTF-8" or "control character" (C0, DEL, C1); NULL
 * when nothing does. */
const char *leat_field_fault(struct leat_span field);

#endif
