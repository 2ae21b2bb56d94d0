/*
 * What past nights told, against what then happened: detection, false alarms, forecasts.
 *
 * The findings of each night are taken in the order of the nights.  Of each identity (asset, point, rule) the nights on which
 * it was alert or alarm become activations; those a day apart, or with one beginning, are one.  They are held against
 *
 *	faults	of a table of what is known otherwise (truth.csv): where, from when to when, by which rules to be seen
 *	works	of the logbook: entries that renew what the point measures, or carry the task whose condition names the rule
 *
 * A fault is found by an activation that was first told while it lasted, or within LEAT_REPLAY_AFTER_S of its end.  A work
 * was announced by an activation that stood within the time allowed before it, and after the same work before.  An
 * activation that belongs to none is false; without a table of faults it is undecided until the time allowed for the work
 * has passed.
 */
#ifndef LEAT_JUDGE_REPLAY_H
#define LEAT_JUDGE_REPLAY_H

#include "stream/finding.h"
#include "stream/trends.h"
#include "tell/tabular.h"
#include "upkeep/logbook.h"
#include "upkeep/tasks.h"

/* What is told so long after the end of a fault still belongs to it: daily values and medians of days lag.  Common
 * practice. */
#define LEAT_REPLAY_AFTER_S (7 * 86400.0)

struct leat_fault {
	struct leat_time time, end;	/* end LEAT_TIME_NONE: it lasts, or its end is not known */
	struct leat_span asset, rule, what;	/* asset and rule: patterns, parted by blanks */
	struct leat_span mode;		/* failure modes that name it right, likewise; empty: its diagnosis is not scored */
};

struct leat_faults {
	struct leat_fault *row;		/* by time */
	size_t count, cap;
	struct leat_table *table;
};

/* Columns time,asset,rule,end,what,mode; the last three may be missing.  Local times are those of zone.  0, or -1 with
 * err. */
int leat_faults_read(struct leat_faults *faults, const char *path, const struct leat_zone *zone, struct leat_error *err)
    LEAT_MUST_USE;
void leat_faults_free(struct leat_faults *faults);

struct leat_replay_form {
	const struct leat_faults *faults;	/* all borrowed; NULL: none is given */
	const struct leat_logbook *book;
	const struct leat_tasks *tasks;
	const struct leat_trends *trends;	/* for forecasts: has a rule an alarm limit? */
	double within_s;			/* before a work */
	bool brief;				/* no scores of what never was active and had nothing to find */
};

struct leat_replay;

struct leat_replay *leat_replay_new(const struct leat_replay_form *form);
void leat_replay_free(struct leat_replay *replay);

/* Takes the findings of one file of the night at that instant; nights come in order, a night may have several files.
 * 0, or -1 when memory is out. */
int leat_replay_take(struct leat_replay *replay, struct leat_time night, const struct leat_findings *findings) LEAT_MUST_USE;
size_t leat_replay_nights(const struct leat_replay *replay);

/* Rows of a table that leat_tabular_begin has given the header below; set goes into the first column.  0, or -1 when
 * memory is out. */
#define LEAT_REPLAY_SCORES "nights,rule,asset,point,limit,judged,unknown,active,activations,hours,faults," \
    "found,missed,delay," \
    "works,warned,lead,false,undecided,mill_months,false_per_month"
#define LEAT_REPLAY_EVENTS "nights,kind,time,end,asset,what,rule,finding,first_seen,delay,lead," \
    "mode,diagnosis,taken_for,first_right"
#define LEAT_REPLAY_FORECASTS "nights,rule,asset,lead,forecasts,inside,early,late,undecided,share,share_low," \
    "share_high,error,bias"
#define LEAT_REPLAY_DIAGNOSES "nights,mode,faults,right,plain,second,wrong,untold,unseen,delay," \
    "nights_right,nights_plain,nights_second,nights_wrong,nights_untold,taken_for,told,false,mill_months,false_per_month"
int leat_replay_diagnoses(struct leat_replay *replay, struct leat_span set, struct leat_tabular *g) LEAT_MUST_USE;
int leat_replay_scores(struct leat_replay *replay, struct leat_span set, struct leat_tabular *g) LEAT_MUST_USE;
int leat_replay_events(struct leat_replay *replay, struct leat_span set, struct leat_tabular *g) LEAT_MUST_USE;
int leat_replay_forecasts(struct leat_replay *replay, struct leat_span set, struct leat_tabular *g) LEAT_MUST_USE;

#endif
