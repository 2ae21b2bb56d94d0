/*
 * Between the files of judge/due.h.
 */
#ifndef LEAT_JUDGE_DUE_PRIVATE_H
#define LEAT_JUDGE_DUE_PRIVATE_H

#include "base/period.h"
#include "judge/due.h"

#define DAY_S 86400.0

/* A counter over time, thinned to a value an hour, its latest always kept.  total is what it has counted since its first
 * reading: at a renewal of the item it begins anew, and total goes on. */
struct leat_due_history {
	uint32_t series;
	struct leat_span asset;
	struct leat_time *time;
	double *total;
	size_t count, time_cap, total_cap;
	double value;			/* as last read */
};

enum leat_due_counter {
	COUNTER_HOURS, COUNTER_HOURS_LOW, COUNTER_HOURS_HIGH, COUNTER_STARTS, COUNTER_STARTS_LOW, COUNTER_STARTS_HIGH, COUNTERS
};

struct leat_due {
	struct leat_due_form form;
	struct leat_time now, since, first_entry;
	struct leat_due_history *history[COUNTERS];
	size_t histories[COUNTERS], history_cap[COUNTERS];
	uint32_t *known;		/* by series: 1 + counter * 2^24 + index, 0: not looked at, 1: of no interest */
	size_t known_cap;
	struct leat_logbook book;	/* as it stood now */
	bool *seen;			/* by number of the asset: it has a reading up to now */
	size_t seen_cap;
	bool *matched;			/* by row of tasks.csv: it fits an asset */
	struct leat_due_item *item;
	size_t items, item_cap;
	struct leat_time last_reading;
	struct leat_due_count count;
};

/* due_history.c */
int leat_due_history_take(struct leat_due *due, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;
/* That of the asset or its nearest parent which has one; NULL when none has. */
const struct leat_due_history *leat_due_history_of(const struct leat_due *due, enum leat_due_counter counter,
    struct leat_span asset);
/* What was counted until then, between readings in proportion; before the first 0, after the last the last. */
double leat_due_history_at(const struct leat_due_history *h, struct leat_time at);
/* When the count reached total; LEAT_TIME_NONE when it has not. */
struct leat_time leat_due_history_reached(const struct leat_due_history *h, double total);
/* The last reading until then, as an index; count when there is none. */
size_t leat_due_history_index(const struct leat_due_history *h, struct leat_time at);
void leat_due_history_free(struct leat_due *due);

/* due_items.c */
int leat_due_items_make(struct leat_due *due) LEAT_MUST_USE;
/* When the task was last done before at (and at it, where until is set). */
void leat_due_last(const struct leat_due *due, struct leat_due_item *item, struct leat_time at, bool until);

/* due_judge.c: judges as of an instant.  until: entries at the instant itself count, and so do findings. */
void leat_due_judge(const struct leat_due *due, struct leat_due_item *item, struct leat_time at, bool until);
/* The finding that made the task due by condition until within the window since due->since, when it ended or the task was
 * done; NULL when there was none. */
const struct leat_finding *leat_due_was_open(const struct leat_due *due, const struct leat_due_item *item,
    struct leat_time *until);

#endif
