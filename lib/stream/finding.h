/*
 * The findings stream, leat-findings(5):
 * time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message and any further columns.
 */
#ifndef LEAT_STREAM_FINDING_H
#define LEAT_STREAM_FINDING_H

#include "base/instant.h"
#include "base/mem.h"
#include "stream/out.h"

enum leat_status {
	LEAT_STATUS_OK,
	LEAT_STATUS_ALERT,
	LEAT_STATUS_ALARM,
	LEAT_STATUS_UNKNOWN
};

const char *leat_status_name(enum leat_status status);
int leat_status_find(struct leat_span word);	/* -1 when unknown */

/* One finding.  Who fills it owns the texts; those of a struct leat_findings are its own. */
struct leat_finding {
	struct leat_time time;		/* when this status was last reached */
	struct leat_span asset, point, rule;
	enum leat_status status;
	struct leat_span value, unit, limit;
	struct leat_time since;		/* the episode; LEAT_TIME_NONE where there is none */
	struct leat_time until;		/* LEAT_TIME_NONE: still open */
	struct leat_time due;		/* LEAT_TIME_NONE: no date known */
	struct leat_time shelved;	/* shelved until; LEAT_TIME_NONE: not shelved */
	/* Read from the columns p10, p50, p90, baseline, ratio and n of leat-trend, where they are: when the limit is reached
	 * (p90 alone: at the latest), what the level is compared with, level over baseline, and how many daily values there
	 * are; LEAT_TIME_NONE, NaN. */
	struct leat_time early, likely, late;
	double baseline, ratio, values;
	struct leat_span message;

	/* Read from further columns, where there are any; empty else. */
	struct leat_span explains;	/* the findings it is about: ASSET POINT RULE, '-' for an empty one, ';' between them */
	struct leat_span per_day_low, per_day_high, per_day_unit;	/* what waiting costs in a day */
	double day[2];				/* of leat-loss: what the last works' day lost, at least and at most; NaN: not known */
	struct leat_span mode, runner_up;	/* of leat-diagnose: the failure mode that is likely, and the next one */
};

/* Writing; extra is NULL or further column names joined by commas, and the caller writes those fields after each
 * leat_finding_write with row_end 0. */
void leat_findings_write_header(struct leat_out *out, const char *extra);
void leat_finding_write(struct leat_out *out, const struct leat_finding *f, bool row_end);

/* All findings of some files, in memory: a night has hundreds, not millions. */
struct leat_findings {
	struct leat_finding *item;	/* in order of the files and their rows */
	size_t count, cap;
	struct leat_buf *text;		/* private: owns the spans */
	size_t texts, text_cap;
	long rejected;			/* rows that were no findings */
	struct leat_error first_rejected; /* why the first of them was not */
};

/* Adds the findings of one file (path "-" is standard input).  Unknown columns are ignored.  An entirely empty file, a
 * readings stream or a missing column is an error.  Bad rows are counted.  0, or -1 with err. */
int leat_findings_read(struct leat_findings *all, const char *path, struct leat_error *err) LEAT_MUST_USE;
void leat_findings_free(struct leat_findings *all);

/* Orders by mill, asset, point, rule, since: the order in which judges print. */
int leat_finding_cmp(const struct leat_finding *a, const struct leat_finding *b);

/* Adds the name by which findings of other findings call it in their column explains: "ASSET POINT RULE", an empty point as
 * '-'.  Such names stand there with ';' between them, so one within a name is written %3B.  0, or -1 when memory is out. */
int leat_finding_name(struct leat_buf *buf, const struct leat_finding *f) LEAT_MUST_USE;

#endif
