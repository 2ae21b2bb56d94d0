/*
 * tasks.csv: what has to be done to which asset, how often or under which condition, and what that takes.
 */
#ifndef LEAT_UPKEEP_TASKS_H
#define LEAT_UPKEEP_TASKS_H

#include "stream/table.h"
#include "upkeep/interval.h"

/* How late a task may be, a share of the interval where no other is given: common practice. */
#define LEAT_TASK_TOLERANCE 0.10

struct leat_task {
	struct leat_span name, asset, title;	/* asset: an asset or a pattern; title: the name where the table has none */
	bool has_every;
	struct leat_interval every;
	double hours, starts;			/* running hours and starts from one time to the next; 0: none */
	struct leat_span condition, waive;	/* rules, each with ':' and a status perhaps; see leat_rules_next */
	bool tolerance_is_share;
	double tolerance_share;			/* of the interval */
	struct leat_duration tolerance;		/* else: a length of whole days */
	struct leat_span needs;			/* words of upkeep/needs.h, which the reader has checked */
	struct leat_span crew;
	double people;				/* of the crew, 1 where none is given */
	double duration_s;			/* 0: not given */
	struct leat_span parts, cautions, procedure, source;
	long line;
	const char *file;
};

struct leat_tasks {
	struct leat_task *row;
	size_t count, cap;
	struct leat_table *table;	/* owns the spans */
};

/* Refused are rows that name no task or asset, twice the same task and asset, and cells that cannot be read.  0, or -1
 * with err. */
int leat_tasks_read(struct leat_tasks *tasks, const char *path, bool *absent, struct leat_error *err) LEAT_MUST_USE;
/* The same from a table that was read by this form (NULL: none).  Taken over when it succeeds; else still the caller's. */
extern const struct leat_table_form leat_tasks_form;
int leat_tasks_make(struct leat_tasks *tasks, struct leat_table *table, struct leat_error *err) LEAT_MUST_USE;
void leat_tasks_free(struct leat_tasks *tasks);

/* The next rule of a condition or a waiver, and the status asked for behind its colon, empty when none is. */
bool leat_rules_next(struct leat_span *rest, struct leat_span *rule, struct leat_span *status);

/* Does the task need this, a word of upkeep/needs.h? */
bool leat_task_needs(const struct leat_task *task, const char *word);

/* Letters, digits, '-', '_' and '.': what a task or a part may be called. */
bool leat_is_slug(struct leat_span text);

#endif
