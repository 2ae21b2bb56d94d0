/*
 * The scoreboard of the nightly text: how each mill held its grinding pressure, and why it did not.
 */
#ifndef LEAT_TELL_SCORE_H
#define LEAT_TELL_SCORE_H

#include "tell/fold.h"
#include "tell/words.h"

/* Point and rule of the findings that hold the share of the grinding time in which a mill was at its pressure. */
#define LEAT_SCORE_POINT "pressure-attainment"
#define LEAT_SCORE_RULE "low-attainment"

/* Writes one line for all mills where every one held its pressure, else a title and a line for each, those that
 * missed it first; nothing where nothing was found of LEAT_SCORE_POINT by LEAT_SCORE_RULE.  tonight has been compared
 * with the earlier night (leat_compare) where there is one.  The share of a mill that is low is the lowest of its
 * episode, as findings have it.  A cause is an open finding of the mill or of what is below it, shelved or not, whose
 * rule says so. */
void leat_score_write(struct leat_text *t, const struct leat_calendar *cal, const struct leat_items *tonight);

/* Hands each mill to take, those that missed their pressure first: its name, its share in % ("" where it cannot be told), and
 * in the line in the making, which take empties, what is to be said of it, beginning with a comma behind a share. */
void leat_score_each(struct leat_text *t, const struct leat_calendar *cal, const struct leat_items *tonight,
    void (*take)(void *context, struct leat_span mill, const char *share), void *context);

/* What findings say of a pressure that was not held, in the order in which it is told. */
enum leat_cause {
	LEAT_CAUSE_STOOD,
	LEAT_CAUSE_SETPOINT,
	LEAT_CAUSE_PUMP,
	LEAT_CAUSE_LEAKAGE,
	LEAT_CAUSE_RELIEF,
	LEAT_CAUSE_GAS,
	LEAT_CAUSE_PRECHARGE,
	LEAT_CAUSE_HOT,
	/* Of a share that cannot be told. */
	LEAT_CAUSE_NO_EXPORT,
	LEAT_CAUSE_BAD_EXPORT,
	LEAT_CAUSE_CUT_EXPORT,
	LEAT_CAUSE_LOST,
	LEAT_CAUSE_FROZEN,
	LEAT_CAUSES
};

/* What one item says, LEAT_CAUSES: nothing. */
enum leat_cause leat_cause_of(const struct leat_item *item);

/* "set point lowered". */
const char *leat_cause_words(enum leat_cause cause);

/* Does it tell why a share is not known, rather than why it is low?  A mill that stood is both. */
bool leat_cause_of_unknown(enum leat_cause cause);
bool leat_cause_of_low(enum leat_cause cause);

#endif
