/*
 * The engine of leat-due: which tasks are due, by date, running hours, starts and condition.
 *
 * A row of tasks.csv makes an item for each asset that it fits.  When a task was last done says the logbook: entries that
 * name it, at the asset, at a parent, or at all assets below at which it was ever logged, the longest ago counts.  From
 * there each interval is counted; the first that comes rules.  Running hours and starts are those of the asset or of its
 * nearest parent that has them; what is still to come is foretold by the rate of the last 60 days.
 *
 * A task that was never logged is not known to be in order: it is unknown, until the logbook itself reaches back farther
 * than the interval.
 */
#ifndef LEAT_JUDGE_DUE_H
#define LEAT_JUDGE_DUE_H

#include "stream/finding.h"
#include "stream/nameplate.h"
#include "stream/points.h"
#include "stream/reading.h"
#include "stream/shelved.h"
#include "upkeep/logbook.h"
#include "upkeep/tasks.h"

#define LEAT_DUE_AHEAD_DAYS 14		/* tasks due within it are upcoming: common practice of the weekly review */
#define LEAT_DUE_RATE_DAYS 60.0		/* whose running hours foretell those to come: common practice */
#define LEAT_DUE_RATE_LEAST 1.0		/* days without which nothing is foretold */
#define LEAT_DUE_STALE_DAYS 7.0		/* without a reading of running hours: then they are not known */

struct leat_due_form {
	struct leat_readings *in;		/* all borrowed */
	const struct leat_tasks *tasks;
	const struct leat_points *points;
	const struct leat_nameplate *np;
	const struct leat_logbook *book;
	const struct leat_findings *findings;	/* NULL: none were given, and conditions cannot be told */
	struct leat_time now;			/* later readings are left out; LEAT_TIME_NONE: the last one is now */
	struct leat_time since_time;		/* start of the window, or LEAT_TIME_NONE: since before now */
	struct leat_duration since;
	struct leat_duration ahead;		/* what is due within it is upcoming */
	bool all;				/* ok rows too */
	void (*warn)(const char *text);		/* is told what the user should know, never NULL */
};

/* The columns after those of every finding. */
#define LEAT_DUE_COLUMNS "task,stage,last_done,trigger,overdue"

enum leat_due_stage {
	LEAT_DUE_LATER, LEAT_DUE_WAIVED, LEAT_DUE_UPCOMING, LEAT_DUE_UNKNOWN, LEAT_DUE_DUE, LEAT_DUE_OVERDUE, LEAT_DUE_MISSED
};
const char *leat_due_stage_name(enum leat_due_stage stage);

/* What makes a task due. */
enum leat_due_by { LEAT_DUE_EVERY, LEAT_DUE_HOURS, LEAT_DUE_STARTS, LEAT_DUE_CONDITION, LEAT_DUE_TRIGGERS };

struct leat_due_trigger {
	bool set;			/* the task has it */
	const char *lack;		/* why it cannot be told; NULL: it can */
	bool at_least;			/* counted from when counting began, since it is not known when it was done */
	double done, low, high, limit;	/* days, hours or starts since the last time, with bounds */
	double rate;			/* a day; 0: not known, or it stands */
	struct leat_time due, late;	/* due; past tolerance; LEAT_TIME_NONE: not foreseen */
	struct leat_time missed;	/* due once more, and past tolerance again */
	enum leat_due_stage stage;
};

/* A task on an asset, as judged. */
struct leat_due_item {
	const struct leat_task *task;
	struct leat_span asset;
	struct leat_time last;			/* last done; LEAT_TIME_NONE: never logged */
	const struct leat_log_entry *entry;	/* which said so */
	struct leat_time base;			/* from when intervals count; LEAT_TIME_NONE: unknown */
	bool renewed;				/* the item itself is newer than that */
	struct leat_due_trigger trigger[LEAT_DUE_TRIGGERS];
	const struct leat_finding *open;	/* the finding that makes it due; NULL: none */
	const struct leat_finding *waiver;	/* the finding that waives it; NULL: none */
	enum leat_due_stage stage;
	enum leat_due_by by;			/* LEAT_DUE_TRIGGERS: by none */
	enum leat_status status;
	struct leat_time time;			/* when the status was reached */
	struct leat_time since;			/* when it became due; LEAT_TIME_NONE: it is not */
	struct leat_time due, late;		/* the earliest date, and when tolerance has passed */
};

struct leat_due;

/* NULL when memory is out. */
struct leat_due *leat_due_new(const struct leat_due_form *form);
void leat_due_free(struct leat_due *due);

/* Takes one reading.  0, or -1 with err: memory, or a unit of another dimension. */
int leat_due_take(struct leat_due *due, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* Of many nights in one pass: the readings up to that one, which is not before what was taken, are to come; and in place of
 * those of the form the findings of that night (NULL: none). */
void leat_due_as_of(struct leat_due *due, struct leat_time now);
void leat_due_found(struct leat_due *due, const struct leat_findings *findings);

/* After the last reading: judges.  0, or -1 with err. */
int leat_due_end(struct leat_due *due, struct leat_error *err) LEAT_MUST_USE;
struct leat_time leat_due_now(const struct leat_due *due);

/* The items, in order of mill, asset, task; NULL past the end. */
const struct leat_due_item *leat_due_item_at(const struct leat_due *due, size_t index);

struct leat_due_count {
	long long later;		/* readings later than now, left out */
	size_t unmatched;		/* rows whose pattern fits no asset */
	size_t stage[LEAT_DUE_MISSED + 1];
	size_t written, found;		/* findings; of these not ok and not shelved */
};
struct leat_due_count leat_due_counted(const struct leat_due *due);

/* After leat_due_end: writes all findings with the columns above, header and all.  shelves may be NULL. */
void leat_due_findings(struct leat_due *due, const struct leat_shelves *shelves, struct leat_out *out);

/* After leat_due_end: writes how each judgement came about, of all, or where what is not empty of "ASSET/TASK" (a pattern).
 * Returns how many were explained. */
size_t leat_due_explain(struct leat_due *due, struct leat_out *out, struct leat_span what);

/* The sentence on an item: what is, and behind a semicolon what to do.  dst has LEAT_DUE_TEXT bytes. */
#define LEAT_DUE_TEXT 1024
void leat_due_words(char *dst, const struct leat_due *due, const struct leat_due_item *item);

#endif
