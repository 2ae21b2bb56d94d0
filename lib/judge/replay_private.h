/*
 * Between the files of the replay only.
 */
#ifndef LEAT_JUDGE_REPLAY_PRIVATE_H
#define LEAT_JUDGE_REPLAY_PRIVATE_H

#include "judge/replay.h"

#define LEAT_REPLAY_DAY_S 86400.0
/* Nights are a day apart, give or take the hour of a change of the clock and a late run. */
#define LEAT_REPLAY_NEAR_S (36 * 3600.0)

struct leat_activation {
	struct leat_time since, until;	/* until: the last instant it is known to have been active */
	struct leat_time first, last;	/* nights that told it */
	struct leat_time alert, alarm;	/* when the limit itself was first reached; LEAT_TIME_NONE: it was not */
	bool is_true, is_warning;	/* it belongs to a fault; it announced a work */
};

/* An identity: asset, point and rule. */
struct leat_replay_item {
	struct leat_span asset, point, rule;	/* owned by names */
	struct leat_activation *act;
	size_t acts, cap;
	struct leat_time night;		/* the last that had it */
	size_t judged, unknown, active;	/* nights */
	bool was_unknown, was_active, was_judged;	/* of that night */
	uint32_t limit;			/* the newest limit that was told, in names; LEAT_NAME_NONE: none */
};

struct leat_replay_forecast {
	uint32_t item;
	struct leat_time night, early, likely, late;
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
	struct leat_time first, last;	/* nights */
	size_t nights;
	bool matched;
};

/* replay_match.c: which activations belong to what.  Is the identity one by which that fault or work is to be seen? */
bool leat_replay_shows(const struct leat_fault *fault, const struct leat_replay_item *item);
bool leat_replay_worked(const struct leat_replay *replay, const struct leat_log_entry *e,
    const struct leat_replay_item *item);
/* Is the entry one more line of a work that an earlier line has? */
bool leat_replay_repeats(const struct leat_logbook *book, size_t i);
/* The first activation of the identity by which the fault was found, or the work announced; NULL: none. */
const struct leat_activation *leat_replay_found(const struct leat_fault *fault, const struct leat_replay_item *item);
const struct leat_activation *leat_replay_warned(const struct leat_replay *replay, const struct leat_log_entry *e,
    const struct leat_replay_item *item);
/* Was the fault or work within the nights at hand? */
bool leat_replay_covers(const struct leat_replay *replay, struct leat_time from, struct leat_time to);
/* All identities by rule, mill, asset, point; the caller frees.  NULL when memory is out. */
const struct leat_replay_item **leat_replay_in_order(const struct leat_replay *replay);
/* Marks activations that are true or announced something; once. */
void leat_replay_match(struct leat_replay *replay);

#endif
