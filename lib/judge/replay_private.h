/*
 * Between the files of the replay only.
 */
#ifndef LEAT_JUDGE_REPLAY_PRIVATE_H
#define LEAT_JUDGE_REPLAY_PRIVATE_H

#include "judge/replay.h"

#define LEAT_REPLAY_DAY_S 86400.0
#define LEAT_REPLAY_MONTH_S (30.4375 * LEAT_REPLAY_DAY_S)
/* Nights are a day apart, give or take the hour of a change of the clock and a late run. */
#define LEAT_REPLAY_NEAR_S (36 * 3600.0)

struct leat_activation {
	struct leat_time since, until;	/* until: the last instant it is known to have been active */
	struct leat_time first, last;	/* nights that told it */
	struct leat_time alert, alarm;	/* when the limit itself was first reached; LEAT_TIME_NONE: it was not */
	bool stood;			/* a night told it as open */
	bool is_true, is_warning;	/* it belongs to a fault; it announced a work */
	bool is_denied;			/* of a task: the logbook had it done when it was told to be due */
};

/* A daily value. */
struct leat_replay_value {
	struct leat_time night;		/* the first that had it */
	size_t renewals;		/* that came before it */
};

/* An identity: asset, point and rule. */
struct leat_replay_item {
	struct leat_span asset, point, rule;	/* owned by names */
	struct leat_activation *act;
	size_t acts, cap;
	struct leat_time night;		/* the last that had it */
	size_t judged, unknown, active;	/* nights */
	bool was_unknown, was_active, was_judged;	/* of that night */
	struct leat_replay_value *value; /* by the column n */
	size_t values, value_cap;
	double n;			/* daily values, as told last; 0: none was */
	size_t renewals;
	uint32_t limit;			/* the newest limit that was told, in names; LEAT_NAME_NONE: none */
};

struct leat_replay_forecast {
	uint32_t item;
	struct leat_time night, early, likely, late;
};

/* What leat-diagnose said of a night. */
struct leat_replay_diagnosis {
	struct leat_time night;
	struct leat_time first;		/* of the nights that tell it without a break, once they were looked at */
	struct leat_span asset, mode, runner_up, explains;	/* owned by names */
	bool plain;			/* one finding says it, and it was not told */
};

struct leat_replay {
	struct leat_replay_form form;
	struct leat_names names;	/* identities, then limits and parts of identities */
	uint32_t *item_of;		/* by number of the name of an identity */
	size_t item_of_cap;
	struct leat_replay_item *item;
	size_t items, cap;
	struct leat_replay_forecast *forecast;
	size_t forecasts, forecast_cap;
	struct leat_replay_diagnosis *diagnosis;	/* by night */
	size_t diagnoses, diagnosis_cap;
	struct leat_time diagnosed_last;
	size_t diagnosed;		/* nights with a row of leat-diagnose */
	struct leat_time first, last;	/* nights */
	struct leat_time *night;
	size_t nights, night_cap;
	bool matched;
};

/* replay_diagnosis.c.  Is the finding one of leat-diagnose?  Takes it then.  0, or -1 when memory is out. */
bool leat_replay_is_diagnosis(const struct leat_finding *f);
int leat_replay_take_diagnosis(struct leat_replay *replay, struct leat_time night, const struct leat_finding *f)
    LEAT_MUST_USE;

/* All nights of all faults; NULL when memory is out. */
struct leat_replay_scorer;
struct leat_replay_scorer *leat_replay_scorer_new(struct leat_replay *replay);
void leat_replay_scorer_free(struct leat_replay_scorer *s);
/* The last four cells of an event: of that fault, empty where there is none of that number. */
void leat_replay_write_course(const struct leat_replay_scorer *s, size_t fault, struct leat_tabular *g);
/* The first six cells of an event. */
void leat_replay_write_what(struct leat_span set, const char *kind, struct leat_time time, struct leat_time end,
    struct leat_span asset, struct leat_span what, struct leat_tabular *g);
/* A row of events for what was told without a fault, and those for what was diagnosed without one. */
void leat_replay_write_false(struct leat_span set, const char *kind, struct leat_time time, struct leat_time end,
    struct leat_span asset, struct leat_span what, struct leat_span rule, struct leat_time first, struct leat_tabular *g);
void leat_replay_write_false_diagnoses(const struct leat_replay_scorer *s, struct leat_span set, struct leat_tabular *g);

/* replay_score.c: mills among the identities, one at least. */
double leat_replay_mills(const struct leat_replay *replay);

/* replay_match.c: which activations belong to what.  Does one of the patterns, parted by blanks, fit? */
bool leat_replay_fits(struct leat_span patterns, struct leat_span text);
/* Is the identity one by which that fault or work is to be seen? */
bool leat_replay_shows(const struct leat_fault *fault, const struct leat_replay_item *item);
bool leat_replay_worked(const struct leat_replay *replay, const struct leat_log_entry *e,
    const struct leat_replay_item *item);
/* The task that the rule of a finding of leat-due is of; empty: it is none. */
struct leat_span leat_replay_task(struct leat_span rule);
/* Is the entry one more line of a work that an earlier line has? */
bool leat_replay_repeats(const struct leat_logbook *book, size_t i);
/* After leat_replay_match: the first activation of the identity by which the fault was found, or the work announced; NULL:
 * none. */
const struct leat_activation *leat_replay_found(const struct leat_fault *fault, const struct leat_replay_item *item);
const struct leat_activation *leat_replay_warned(const struct leat_replay *replay, const struct leat_log_entry *e,
    const struct leat_replay_item *item);
/* Does anybody know by the last night whether the activation was for nothing?  The time for a work has passed, or the faults
 * are given and it is none of what still stands on an item that works renew. */
bool leat_replay_decided(const struct leat_replay *replay, const struct leat_replay_item *item,
    const struct leat_activation *a);
/* Was the fault or work within the nights at hand? */
bool leat_replay_covers(const struct leat_replay *replay, struct leat_time from, struct leat_time to);
/* All identities by rule, mill, asset, point; the caller frees.  NULL when memory is out. */
const struct leat_replay_item **leat_replay_in_order(const struct leat_replay *replay);
/* Marks activations that are true or announced something; once. */
void leat_replay_match(struct leat_replay *replay);

#endif
