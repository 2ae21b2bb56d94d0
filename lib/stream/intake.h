/*
 * Foreign exports, each of its own form, as one sequence of readings in time order.
 *
 * Exports in order are read side by side and merged by time: at equal times in the order of the files.  All that are
 * not in order share one sorter of bounded memory and join the merge as one.  When there are many files, those in
 * order are closed again after a first look and opened when the merge reaches their first stamp, so that a year of
 * daily exports needs no more memory than two days.
 */
#ifndef LEAT_STREAM_INTAKE_H
#define LEAT_STREAM_INTAKE_H

#include "stream/convert.h"
#include "stream/export.h"
#include "stream/finding.h"
#include "stream/out.h"
#include "stream/quality_words.h"
#include "stream/settle.h"
#include "stream/sources.h"
#include "stream/tally.h"

#define LEAT_INTAKE_SORTER (4u * 1024u * 1024u)	/* bytes for sorting */
#define LEAT_INTAKE_AWAKE 8			/* with more files than this, files sleep until their time comes */
#define LEAT_INTAKE_TAGS 100000			/* tags in all files: more means that the tag column holds no tags */

/* How to read, the same for all files.  Everything is borrowed for as long as the intake lives. */
struct leat_intake_plan {
	struct leat_export_form pinned;		/* by options: these rule before sources.csv; its zone too */
	enum leat_quality_kind quality;		/* by option; LEAT_QUALITY_UNDECIDED: not given */
	bool uncertain;				/* by option: all readings are uncertain at best */
	const struct leat_sources *sources;
	const struct leat_source *source;	/* by option: the row for all files; NULL: by file name */
	const struct leat_points *points;	/* empty: tags pass under their own names */
	const struct leat_zone *zone;		/* of the works; NULL: none known */
	struct leat_time now;			/* stamps later than now + 1 day are clock faults */
	const char *folder;			/* for temporary files */
};

/* One tag of one file, once its first sample came. */
struct leat_intake_tag {
	struct leat_convert convert;
	struct leat_buf name;		/* as the export spells it, without control characters */
	uint32_t asset, point, series;	/* numbers in leat_intake.assets, .points, .series */
	struct leat_buf head, tail;	/* ",asset,point," and ",unit," of its rows */
};

/* What conflicts a series had. */
struct leat_intake_conflict {
	long long readings;		/* rejected */
	struct leat_time first, last;
	char text[160];			/* of the first: both values and where they stand */
};

struct leat_intake_file {
	const char *path;		/* borrowed */
	const struct leat_source *source;	/* its row of sources.csv, or NULL */
	struct leat_buf origin;		/* ",file:" of --trace; origin_quoted: with an opening quote, to be closed */
	bool origin_quoted;
	struct leat_export_form form;
	enum leat_quality_kind quality;
	bool uncertain;
	bool finished;			/* counted is final */
	struct leat_export_count counted;
	struct leat_export *export;	/* NULL while it sleeps and when it is done */
	uint32_t *token;		/* private: by tag number of the export */
	size_t token_cap;
	struct leat_converted converted;
	struct leat_arrival arrival;	/* its next reading */
};

struct leat_intake {
	struct leat_intake_plan plan;
	struct leat_intake_file *file;
	size_t files;
	struct leat_intake_tag *tag;	/* by token */
	size_t tags, tag_cap;
	struct leat_names assets, points;
	struct leat_pairs series;
	bool *came;			/* by row of points.csv: a sample of its tag came */
	struct leat_intake_conflict *conflict;	/* by series; readings is 0 where there was none */
	size_t conflict_cap;
	struct leat_time last;		/* of the last reading handed out; LEAT_TIME_NONE before the first */
	long long readings;		/* arrivals handed out */
	struct leat_tally unknown;	/* samples of tags that points.csv does not have */
	struct leat_tally silent;	/* known tags of a header, by file, that had no value in any row */
	struct leat_tally text;		/* where a number or a known word is due */
	struct leat_tally quality;	/* quality texts of no known meaning */
	long long out_of_range, beyond_limit;
	size_t spilled;			/* runs that the sorter put on disk */
	bool supersedes;		/* a file's source is prefer=last: rows have a last field of what they supersede */
	struct leat_intake_merge *merge;	/* private */
};

/* Opens all files (none: standard input) and finds their forms.  NULL with err. */
struct leat_intake *leat_intake_open(const struct leat_intake_plan *plan, char *const *path, size_t count,
    struct leat_error *err);

enum leat_intake_status {
	LEAT_INTAKE_FAILED = -1,
	LEAT_INTAKE_END = 0,
	LEAT_INTAKE_READING = 1,
	LEAT_INTAKE_BAD = 2,		/* one rejected line: err says why; leat_intake_rejected gives its bytes */
	LEAT_INTAKE_NOTE = 3		/* err holds a remark for the user; reading goes on */
};

/* The next reading in time order, borrowed until the next call. */
enum leat_intake_status leat_intake_next(struct leat_intake *in, const struct leat_arrival **arrival,
    struct leat_error *err) LEAT_MUST_USE;
struct leat_span leat_intake_rejected(const struct leat_intake *in);

/* The name of a file for messages. */
const char *leat_intake_name(const struct leat_intake *in, size_t file);

/* The name of its source in sources.csv, or "-". */
struct leat_span leat_intake_source(const struct leat_intake *in, size_t file);

void leat_intake_close(struct leat_intake *in);

/* Writes the rows of a settled group, conflicts left out; with trace a seventh field, file:line, and where
 * leat_intake.supersedes says so a last one.  Returns how many conflicts there are. */
size_t leat_intake_write(const struct leat_intake *in, const struct leat_settle *group, bool trace,
    struct leat_out *out);

/* For an item of the group that is a conflict: takes it into the account, and fills two errors, one for each of the
 * two readings that differ first, with their values as raw.  0, or -1 with err[0] when memory is out. */
int leat_intake_conflict(struct leat_intake *in, const struct leat_settle *group, const struct leat_settled *item,
    struct leat_error err[2], struct leat_span raw[2]) LEAT_MUST_USE;

/* The sums over all files once the last reading was handed out and the last group cleared. */
struct leat_intake_sum {
	struct leat_export_count export;
	long long readings, unknown, duplicates, conflicts;
};

struct leat_intake_sum leat_intake_summed(const struct leat_intake *in, const struct leat_settle *group);

/* Do lines and cells balance: does every one of them stand in exactly one place of the account? */
bool leat_intake_balances(const struct leat_intake *in, const struct leat_settle *group);

/* Says the whole account, line by line, for --summary. */
void leat_intake_account(const struct leat_intake *in, const struct leat_settle *group,
    void (*say)(const char *fmt, ...));

/* What is wrong with the data themselves, as findings of status unknown; borrowed by emit for the call.  Their time
 * is that of the last reading, but not later than now. */
void leat_intake_findings(const struct leat_intake *in, struct leat_time now,
    void (*emit)(const struct leat_finding *finding));

#endif
