/*
 * What the files that read foreign exports share.
 *
 *	export_spool.c		any input made readable again
 *	export_cell.c		how numbers are written
 *	export_stamp.c		stamps: text to instant
 *	export_sniff.c		the first part of a file as cells, its separator
 *	export_columns.c	which columns hold stamps, and the shape
 *	export_roles.c		what the columns of a long shape hold
 *	export_beside.c		columns of quality in a wide shape
 *	export_header.c		header, unit rows and the names of the tags
 *	export_form.c		decimal mark and date order from evidence
 *	export_scan.c		the stamps of the whole file
 *	export_open.c		opening: all of the above in turn
 *	export_again.c		headers that come again
 *	export_shape.c		rows to samples
 */
#ifndef LEAT_STREAM_EXPORT_PRIVATE_H
#define LEAT_STREAM_EXPORT_PRIVATE_H

#include "stream/export.h"

/*
 * Marks in numbers (export_cell.c).
 */

/* What one cell gives away about the marks of its file. */
struct leat_marks {
	bool number;		/* it is a number in some way of writing; all else is unset when it is not */
	char decimal;		/* '.' or ',' when it can only be the decimal mark */
	char thousands;		/* '.' ',' '\'' ' ' when it can only be a thousands mark */
	char doubtful;		/* '.' or ',' when it may be either: "1.234" */
};

struct leat_marks leat_export_marks(struct leat_span cell);

/* leat_span_trim_wide for the many cells that have nothing to trim. */
static inline struct leat_span
leat_export_trim(struct leat_span cell)
{
	if (cell.len == 0 || ((unsigned char)(cell.ptr[0] - '!') < 0x5E &&
	    (unsigned char)(cell.ptr[cell.len - 1] - '!') < 0x5E))
		return cell;
	return leat_span_trim_wide(cell);
}

/*
 * An input that can be read several times (export_spool.c).
 */

struct leat_spool;

/* folder: where the unlinked file is made.  NULL with err. */
struct leat_spool *leat_spool_open(const char *path, enum leat_encoding encoding, const char *folder,
    struct leat_error *err);
/* The input from its beginning, as UTF-8.  Close it before the next is asked for, and before the spool.  NULL with
 * err. */
struct leat_input *leat_spool_input(struct leat_spool *spool, struct leat_error *err);
/* Is the file still the one that it was, or longer?  0, or -1 with err. */
int leat_spool_same(const struct leat_spool *spool, struct leat_error *err) LEAT_MUST_USE;
const char *leat_spool_name(const struct leat_spool *spool);
/* The encoding of the original; in: an input of this spool that was read from. */
enum leat_encoding leat_spool_encoding(const struct leat_spool *spool, const struct leat_input *in);
void leat_spool_close(struct leat_spool *spool);

/*
 * The first part of a file as cells (export_sniff.c).
 */

#define LEAT_DATED (LEAT_FORM_ISO | LEAT_FORM_DMY | LEAT_FORM_MDY | LEAT_FORM_NAMED)

struct leat_sniff_cell {
	uint32_t at, len;	/* in leat_sniff.text, outer blanks off */
	uint16_t forms;		/* leat_foreign_forms, less those that the caller's pin rules out */
	struct leat_marks marks;
};

struct leat_sniff_row {
	size_t first, count;	/* cells */
	size_t filled;		/* cells that are not empty */
	uint32_t raw_at, raw_len;
	long line;
	bool unended;
};

struct leat_sniff {
	struct leat_buf head;	/* the bytes, as UTF-8 */
	bool whole;		/* they are all there are */
	struct leat_buf text;
	struct leat_sniff_cell *cell;
	size_t cells, cell_cap;
	size_t *known;			/* private: by hash of its text, a cell that was judged */
	struct leat_sniff_row *row;
	size_t rows, row_cap;
	size_t columns;		/* the most that a row has */
};

/* Reads the first part of the file.  0, or -1 with err. */
int leat_sniff_head(struct leat_sniff *sniff, struct leat_input *in, struct leat_error *err) LEAT_MUST_USE;
/* Cuts it into cells under form->separator, which is found first when it is 0.  0, or -1 with err. */
int leat_sniff_cut(struct leat_sniff *sniff, struct leat_export_form *form, struct leat_error *err) LEAT_MUST_USE;
void leat_sniff_free(struct leat_sniff *sniff);

/* The cell, or NULL past the end of the row. */
static inline const struct leat_sniff_cell *
leat_sniff_at(const struct leat_sniff *sniff, size_t row, size_t column)
{
	const struct leat_sniff_row *r = &sniff->row[row];

	return column < r->count ? &sniff->cell[r->first + column] : NULL;
}

/* Its text; empty past the end of the row. */
static inline struct leat_span
leat_sniff_text(const struct leat_sniff *sniff, size_t row, size_t column)
{
	const struct leat_sniff_cell *c = leat_sniff_at(sniff, row, column);

	return c != NULL ? leat_span_make(sniff->text.data + c->at, c->len) : leat_span_make(NULL, 0);
}

static inline struct leat_span
leat_sniff_raw(const struct leat_sniff *sniff, size_t row)
{
	return leat_span_make(sniff->text.data + sniff->row[row].raw_at, sniff->row[row].raw_len);
}

/*
 * What the columns hold.
 */

/* Where a stamp stands. */
struct leat_stamp {
	int date;			/* column of the date, or of date and time */
	int clock;			/* column of the time of day, -1: it is in the date's */
};

/* One column of values (wide), or of values beside a stamp (paired). */
struct leat_export_column {
	size_t column;
	size_t stamp;			/* of leat_layout.stamp */
	uint32_t tag_id;		/* LEAT_NAME_NONE: a nameless column that was empty so far */
	struct leat_span tag, unit;	/* owned by the layout's names */
	int quality;			/* column of its quality; -1: none */
	long long blank;		/* cells */
};

/* What a column is for. */
enum leat_role {
	LEAT_ROLE_VALUE,
	LEAT_ROLE_STAMP,
	LEAT_ROLE_QUALITY,		/* wide shape: of the column of values before it */
	LEAT_ROLE_OTHER			/* further times, descriptions, row numbers: left out */
};

/* A line before the data that may come again after a concatenation. */
enum leat_line_kind { LEAT_LINE_PREAMBLE, LEAT_LINE_HEADER, LEAT_LINE_UNIT };

struct leat_layout {
	size_t width;			/* columns that may hold something */
	size_t least;			/* columns that a data row has at least */
	size_t most;			/* columns with a header or data: what stands behind must be empty */
	long header_line, data_line;	/* 0: no header */
	size_t header_row, data_row;	/* their places in the sniff; header_row == data_row: none */
	struct leat_stamp *stamp;
	size_t stamps, stamp_cap;
	unsigned forms;			/* under which nearly all dates are valid */
	enum leat_role *role;		/* by column */
	size_t role_cap;
	struct leat_export_column *value;
	size_t values, value_cap;
	int tag, cell, quality, unit;	/* columns of long shape; -1: none */
	bool beside;			/* wide shape: a column of quality stands behind each column of values */
	struct leat_span cell_unit;	/* of long shape, from the header or a row of units */
	struct leat_names tags, units;
	struct leat_span *title;	/* by column of the header; owned by names */
	size_t titles;			/* 0: no header */
	struct leat_names names;	/* the titles */
	struct leat_names lines;	/* raw texts before the data */
	uint8_t *line_kind;		/* by number in lines */
	size_t line_cap;
};

void leat_layout_free(struct leat_layout *layout);

/* Puts the tag of a column; an empty title names it by its place.  0, or -1 when memory is out. */
int leat_layout_name(struct leat_layout *layout, struct leat_export_column *value, struct leat_span title);

/* Adds a part to form->evidence. */
void leat_export_say(struct leat_export_form *form, const char *fmt, ...) LEAT_PRINTF(2, 3);

/* Finds the stamps and the shape (export_columns.c).  0, or -1 with err. */
int leat_export_columns(const struct leat_sniff *sniff, struct leat_export_form *form, struct leat_layout *layout,
    struct leat_error *err) LEAT_MUST_USE;

/* Looks for the roles of a long shape (export_roles.c).  1 found, 0 it is no long shape, -1 with err.  With
 * pinned set whatever can be read as a long shape is one. */
int leat_export_roles(const struct leat_sniff *sniff, struct leat_export_form *form, struct leat_layout *layout,
    bool pinned, struct leat_error *err) LEAT_MUST_USE;

/* Codes of the classic coding that are defined, less their two limit bits. */
bool leat_export_classic_code(int64_t code);

/* Looks for columns of quality in a wide shape (export_beside.c).  0, or -1 with err when one stands where it tells
 * nothing; with pinned set such a one is a tag. */
int leat_export_beside(const struct leat_sniff *sniff, struct leat_layout *layout, bool pinned,
    struct leat_error *err) LEAT_MUST_USE;

/* Finds header and unit rows, names the tags of wide and paired shape (export_header.c).  0, or -1 with err. */
int leat_export_header(const struct leat_sniff *sniff, struct leat_export_form *form, struct leat_layout *layout,
    bool pinned, struct leat_error *err) LEAT_MUST_USE;
/* The row of the sniff has a stamp. */
bool leat_export_is_data(const struct leat_sniff *sniff, const struct leat_layout *layout, size_t row);
/* The header's text over a column, or "column N" in dst of size bytes. */
const char *leat_export_title(const struct leat_sniff *sniff, const struct leat_layout *layout, size_t column,
    char *dst, size_t size);

/*
 * Headers that come again when exports are put behind each other (export_again.c).
 */

enum leat_again {
	LEAT_AGAIN_NOT,			/* no header */
	LEAT_AGAIN_SAME,		/* the header of the file */
	LEAT_AGAIN_PERHAPS,		/* another header, if data follow */
	LEAT_AGAIN_OTHER		/* its titles in another order, or among others */
};

/* Keeps the titles of the header.  0, or -1 when memory is out. */
int leat_export_keep_titles(const struct leat_sniff *sniff, struct leat_layout *layout);
/* What a row without a stamp is. */
enum leat_again leat_export_again(const struct leat_layout *layout, const struct leat_row *row);
/* Has the row a unit in one of its cells? */
bool leat_export_has_unit(const struct leat_row *row);

/*
 * Evidence for decimal mark and date order (export_form.c).
 */

struct leat_evidence {
	long decimal[2];		/* cells in which '.', ',' can only be the decimal mark */
	char decimal_cell[2][24];	/* the first of each */
	long doubtful[2];		/* cells in which '.', ',' may be either */
	char doubtful_cell[24];
	long thousands[4];		/* '.', ',', '\'', ' ' */
	long only[2];			/* stamps that are valid as day-month or month-day only */
	char only_stamp[2][24];
	long runs[2];			/* changes of date by a step of less than a day under one order only */
	char runs_stamp[2][24];
	struct leat_foreign last[2];	/* the stamp before, under both */
	int last_date;			/* its day * 100 + month as day-month; 0: none */
	bool dotted;
};

/* Gathers and decides over the first part, then, for what is still open, over the whole file.  0, or -1 with err. */
int leat_export_evidence(const struct leat_sniff *sniff, struct leat_spool *spool, struct leat_export_form *form,
    struct leat_layout *layout, struct leat_error *err) LEAT_MUST_USE;

/*
 * Stamps (export_stamp.c).
 */

enum leat_stamp_status {
	LEAT_STAMP_OK,
	LEAT_STAMP_GUESSED,
	LEAT_STAMP_NONE,		/* no time in the found form */
	LEAT_STAMP_GAP,			/* a local time that never was */
	LEAT_STAMP_FUTURE,
	LEAT_STAMP_ZONELESS		/* local, and no zone is known */
};

struct leat_stamper {
	enum leat_form form;
	const struct leat_zone *zone;
	bool fixed;			/* there is no zone, or its offset never changes: one clock does for all */
	struct leat_time limit;		/* later is a clock fault */
	char text[64];			/* the last text read, to save reading it again */
	size_t len;
	bool valid;
	struct leat_foreign said;
};

void leat_stamper_init(struct leat_stamper *st, const struct leat_export_form *form, struct leat_time now);
/* clock_cell: of a time column, or NULL.  clock: where the sequence has come to. */
enum leat_stamp_status leat_stamper_read(struct leat_stamper *st, struct leat_span date,
    const struct leat_span *clock_cell, struct leat_local_clock *clock, struct leat_time *out);
/* Reads without resolving: false when it is no time. */
bool leat_stamper_said(struct leat_stamper *st, struct leat_span date, const struct leat_span *clock_cell);

/* The clocks that resolve local stamps: one for a wide file, one a tag for long shape, one a pair of columns. */
struct leat_sequence {
	struct leat_local_clock *clock;
	size_t cap;
};

/* The clock of a tag or stamp.  NULL when memory is out. */
struct leat_local_clock *leat_sequence_clock(struct leat_sequence *seq, size_t at);
void leat_sequence_free(struct leat_sequence *seq);

/* Are the stamps of the whole file in order (export_scan.c)?  Sets form->in_order.  0, or -1 with err. */
int leat_export_scan(struct leat_spool *spool, struct leat_export_form *form, const struct leat_layout *layout,
    struct leat_time now, struct leat_error *err) LEAT_MUST_USE;

/*
 * An open export (export_open.c, export_shape.c).
 */

#define LEAT_PENDING_MOST 32

/* A line kept back because it looks like a footer. */
struct leat_pending {
	struct leat_buf raw;
	long line, lines;
	bool titles;			/* it is a header of its own, if data follow */
};

struct leat_export {
	struct leat_export_form form;
	struct leat_layout layout;
	struct leat_spool *spool;
	struct leat_rows *rows;
	struct leat_row row;
	struct leat_stamper stamper;
	struct leat_sequence sequence;
	struct leat_export_count count;
	bool in_row;			/* cells of row are still to be handed out */
	size_t at;			/* the next of layout.value */
	struct leat_time time;		/* of the row */
	bool guessed;
	uint32_t tag_id;		/* long shape: of the row before */
	long long *blank;		/* long shape: blank cells by tag */
	size_t blank_cap;
	struct leat_pending pending[LEAT_PENDING_MOST];
	size_t pendings, flushed;
	bool flushing;			/* the pending lines were bad rows */
	bool after_header;		/* no data since a header that came again */
	struct leat_span rejected;
};

#endif
