/*
 * Foreign exports: the form of a file found from evidence or pinned, and its cells as samples.
 *
 * An export is read twice: once to find its form (first part only) and whether its stamps are in order (whole
 * file), and once for its samples.  What cannot be read twice (a pipe) is kept in memory up to 1 MiB and beyond
 * that in an unlinked file in a folder that the caller names.  Nothing is guessed: what stays ambiguous is an error
 * that names the option.
 */
#ifndef LEAT_STREAM_EXPORT_H
#define LEAT_STREAM_EXPORT_H

#include "base/foreign.h"
#include "base/mem.h"
#include "stream/input.h"
#include "stream/quality_words.h"
#include "stream/rows.h"
#include "stream/sources.h"

/* The form of an export: what is pinned on entry, what is in force after opening. */
struct leat_export_form {
	enum leat_shape shape;		/* AUTO: to be found */
	char separator;			/* 0: to be found */
	char decimal;			/* '.' ',' or 0 */
	char thousands;			/* '.', ',', '\'', ' ' (any kind of blank); 0: none established, then only
					 * marks that leave no doubt are read ("1.234,5", "1 234", not "1.234") */
	bool no_marks;			/* no value has a mark, nothing speaks for the decimal one: set by opening */
	enum leat_form dates;		/* 0: to be found */
	const struct leat_zone *zone;	/* borrowed; NULL: none known, which is an error once a local stamp comes */
	enum leat_encoding encoding;
	bool two_columns;		/* date and time of day in two columns */
	long header_line;		/* line of the header, 0 when there is none; set by opening */
	bool unit_row;			/* a row of units follows the header */
	bool in_order;			/* stamps never go back: set by opening */
	bool local_stamps;		/* some stamp has no offset, so that zone matters: set by opening */
	struct leat_quality_evidence quality;	/* what the quality cells of a long shape speak for: set by
						 * leat_export_quality */
	char evidence[1024];		/* how each was found, for --summary and drafts: set by opening.  Parts joined
					 * by "; ", each beginning with its name: separator, shape, decimal, dates,
					 * encoding */
};

/* One cell with a value, in file order. */
struct leat_sample {
	struct leat_span tag;		/* as the export spells it (outer blanks off); borrowed until the next call */
	uint32_t tag_id;		/* its number in leat_export_tags */
	struct leat_time time;
	bool guessed;			/* in the hour that comes twice, and order does not tell which */
	struct leat_span value;		/* the cell, outer blanks off, never empty */
	struct leat_span quality;	/* the quality cell of long shape or beside a wide one, or empty */
	struct leat_span unit;		/* from a unit row or "Tag [bar]" / "Tag (bar)" in the header, or empty */
	bool cut;			/* last cell of a last line without line end: it may be cut */
	long line;
};

enum leat_export_status {
	LEAT_EXPORT_FAILED = -1,
	LEAT_EXPORT_END = 0,
	LEAT_EXPORT_SAMPLE = 1,
	LEAT_EXPORT_BAD = 2	/* one rejected line (in paired shape: one rejected pair of cells, its line may have
				 * others): err says why, leat_export_rejected gives the line's bytes, cut to 4096 */
};

/* Both sums balance at the end: lines = header + preamble + unit + data + footer + blank + rejected, and for the
 * data lines cells = samples + blank_cells + rejected_cells.  Lines are those of the text: a record with a
 * quoted line break is two.  unit counts rows of units and of descriptions under the header.  cells are value
 * cells only; a data line that is shorter than the header has blank ones.  rejected_cells are pairs of the
 * paired shape whose stamp is no time. */
struct leat_export_count {
	long long lines, header, preamble, unit, data, footer, blank, rejected;
	long long cells, samples, blank_cells, rejected_cells;
	long long guessed, gap, future;	/* stamps: guessed; that never were, later than now + 1 day (both rejected) */
};

struct leat_export;

/* Opens path ("-": standard input), finds what form leaves open and fills it in.  now: stamps later than now + 1
 * day are clock faults and rejected.  spool: folder for the unlinked file.  NULL with err; err->text names the
 * option to give when the form is ambiguous. */
struct leat_export *leat_export_open(const char *path, struct leat_export_form *form, struct leat_time now,
    const char *spool, struct leat_error *err);

enum leat_export_status leat_export_next(struct leat_export *ex, struct leat_sample *s, struct leat_error *err)
    LEAT_MUST_USE;
struct leat_span leat_export_rejected(const struct leat_export *ex);
const struct leat_names *leat_export_tags(const struct leat_export *ex);
struct leat_export_count leat_export_counted(const struct leat_export *ex);
/* Blank cells of a tag so far. */
long long leat_export_blank(const struct leat_export *ex, uint32_t tag_id);
void leat_export_close(struct leat_export *ex);

/* "comma", "semicolon", "tab", "pipe": the words of sources.csv and --separator. */
const char *leat_export_separator(char separator);

/* What a value cell is. */
enum leat_cell {
	LEAT_CELL_NUMBER,	/* dst holds it in plain decimal with a point */
	LEAT_CELL_BELOW,	/* "<5": dst holds 5 */
	LEAT_CELL_ABOVE,	/* ">24": dst holds 24 */
	LEAT_CELL_TEXT		/* anything else; nan, inf and hexadecimal are text */
};

/* Reads a value cell in the form's decimal mark and thousands mark into dst (LEAT_NUMBER_MAX bytes, NUL-ended,
 * *len).  A trailing unit is split off into *unit (empty when there is none). A plain decimal keeps its digits
 * as written. */
enum leat_cell leat_export_cell(const struct leat_export_form *form, struct leat_span cell, char *dst, size_t *len,
    struct leat_span *unit);

#endif
