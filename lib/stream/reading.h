/*
 * The readings stream, leat-readings(5): time,asset,point,value,unit,quality and any further columns.
 *
 * Several files are merged by time: at equal times the order of the files, within a file its own order.  Names are
 * interned once for all files, so that asset, point and the pair of both (the series) are small numbers to index with.
 */
#ifndef LEAT_STREAM_READING_H
#define LEAT_STREAM_READING_H

#include "base/instant.h"
#include "base/mem.h"
#include "base/number.h"
#include "stream/out.h"
#include "stream/rows.h"

enum leat_quality {
	LEAT_BAD,		/* no information */
	LEAT_UNCERTAIN,		/* judged by limits, never used in baselines, trends or fits */
	LEAT_GOOD
};

const char *leat_quality_name(enum leat_quality quality);
int leat_quality_find(struct leat_span word);	/* -1 when unknown */

/* One reading.  Spans are borrowed until the next call of leat_readings_next. */
struct leat_reading {
	struct leat_time time;
	struct leat_span asset, point, value, unit;
	enum leat_quality quality;
	uint32_t asset_id, point_id;	/* numbers in leat_readings_assets / _points */
	uint32_t series;		/* number of the pair (asset, point), dense from 0 */
	size_t source;			/* which file, as an index of those opened */
	long line;
	const struct leat_row *row;	/* the row as read */
};

/* The number of a reading whose value is one.  0, or -1 for a word or an empty value. */
static inline int
leat_reading_number(const struct leat_reading *r, double *out)
{
	return leat_double_parse(r->value, out);
}

enum leat_readings_status {
	LEAT_READINGS_FAILED = -1,	/* stop: unreadable, no readings stream, or time going back; err says why */
	LEAT_READINGS_END = 0,
	LEAT_READINGS_ROW = 1,
	LEAT_READINGS_BAD = 2		/* one rejected row: err has file, line and reason; rejected_raw its bytes */
};

struct leat_readings;

/* Opens all files (none: standard input) and reads their headers.  A findings stream, a missing column or a header
 * that is no header is an error that says so.  An entirely empty file is one too: a readings stream always has its
 * header.  NULL with err. */
struct leat_readings *leat_readings_open(char *const *file, size_t count, struct leat_error *err);

/* The same over inputs that are open already, at least one.  Takes them over: they are closed by leat_readings_close, and
 * at once when this fails. */
struct leat_readings *leat_readings_take(struct leat_input *const *input, size_t count, struct leat_error *err);

/* Before the first reading: times may go back, and the files are read one after another, each as it stands. */
void leat_readings_any_order(struct leat_readings *in);

/* The next reading in time order.  A row with too few or too many fields, a bad time, quality, an empty asset or point,
 * malformed UTF-8 in a name, or an empty value with quality other than bad is LEAT_READINGS_BAD.  A later line equal to
 * the header is skipped and counted. */
enum leat_readings_status leat_readings_next(struct leat_readings *in, struct leat_reading *r, struct leat_error *err)
    LEAT_MUST_USE;

/* The row says nothing to the reader but that its group reports, and nor does any other of its series: further rows of such
 * series of the group that have its time and are not bad are passed over, that is counted but not handed out.  It is a
 * permission: some may be handed out all the same.  Without effect where times may go back.  0, or -1 when memory is out. */
int leat_readings_pass(struct leat_readings *in, const struct leat_reading *r, uint32_t group) LEAT_MUST_USE;
/* How many were passed over so far. */
long long leat_readings_passed(const struct leat_readings *in);
/* Where rows that are passed over are copied; nowhere at first. */
void leat_readings_pass_to(struct leat_readings *in, struct leat_out *out);

/* After LEAT_READINGS_BAD: the bytes of the rejected record, cut to 4096. */
struct leat_span leat_readings_rejected(const struct leat_readings *in);

/* After LEAT_READINGS_FAILED: was it because a gzip file ended early? */
bool leat_readings_cut(const struct leat_readings *in);

/* Interned names; valid until close. */
struct leat_names *leat_readings_assets(struct leat_readings *in);
struct leat_names *leat_readings_points(struct leat_readings *in);
struct leat_pairs *leat_readings_series(struct leat_readings *in);
/* Columns of the output: the six, and the further ones of all files. */
size_t leat_readings_columns(const struct leat_readings *in);
/* The number of a further column, -1 where no file has it; and its field in a row, empty where the row's file lacks it. */
int leat_readings_further_find(const struct leat_readings *in, const char *name);
struct leat_span leat_readings_further(const struct leat_readings *in, const struct leat_reading *r, int column);
const char *leat_readings_source(const struct leat_readings *in, size_t source);

/* Accounting: rows (good), rejected, headers skipped after the first of each file, blank lines. */
struct leat_readings_count {
	long long rows, rejected, headers, blank;
};
struct leat_readings_count leat_readings_counted(const struct leat_readings *in);

void leat_readings_close(struct leat_readings *in);

/* Writing.  The header has the six columns, then every further column of any input file in order of first sight.  copy
 * passes the row through byte for byte (its columns put in the output's order).  add writes a new row with the further
 * columns empty; its spans may point anywhere.  in may be NULL for header and add: then there are no further columns. */
void leat_readings_write_header(struct leat_out *out, const struct leat_readings *in);
void leat_readings_copy(struct leat_out *out, const struct leat_readings *in, const struct leat_reading *r);
/* The same at the end of a buffer.  0, or -1 when memory is out. */
int leat_readings_copy_to(struct leat_buf *buf, const struct leat_readings *in, const struct leat_reading *r) LEAT_MUST_USE;
void leat_readings_add(struct leat_out *out, const struct leat_readings *in, const struct leat_reading *r);

#endif
