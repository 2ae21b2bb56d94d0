/*
 * What a task needs, as the cell of tasks.csv says it: words between blanks or '|'.
 *
 *	stop, running, depressurised	the state of the mill
 *	law, safety			it is not to be put off: a stop takes it in before all others
 *	lock:NAME			a further isolation, such as lock:cooling-water
 *	drain, drain:LITRES		oil is let out and filled in again (without a number: that of the tank)
 *	renew, renew:LITRES		oil is let out to waste and new oil filled in
 *	nitrogen, nitrogen:empty	gas is filled up to the precharge, from what was last read or from nothing
 *	any other			the name of a task that comes first
 */
#ifndef LEAT_UPKEEP_NEEDS_H
#define LEAT_UPKEEP_NEEDS_H

#include "base/error.h"
#include "base/span.h"

enum leat_need {
	LEAT_NEED_TASK,
	LEAT_NEED_STOP, LEAT_NEED_RUNNING, LEAT_NEED_DEPRESSURISED,
	LEAT_NEED_LAW, LEAT_NEED_SAFETY,
	LEAT_NEED_LOCK,
	LEAT_NEED_DRAIN, LEAT_NEED_RENEW,
	LEAT_NEED_NITROGEN
};

/* One word: its kind; *rest what follows the colon (for a task: its name), empty when nothing does; *litres the number, or
 * 0.  -1 when it is none: a lock without a name, litres that are no number above zero. */
int leat_need_word(struct leat_span word, enum leat_need *need, struct leat_span *rest, double *litres) LEAT_MUST_USE;

/* The next word of a cell of needs, of names or of parts; false when there is none. */
bool leat_needs_next(struct leat_span *rest, struct leat_span *word);

/* A name that may be followed by '*' and how many: "element*2".  0, or -1 when that is no number above zero. */
int leat_needs_count(struct leat_span word, struct leat_span *name, double *count) LEAT_MUST_USE;

/* How many people a cell of crew means: "2", "fitter", "2 fitters 1 electrician" is 3.  0, or -1 when it is none. */
int leat_needs_crew(struct leat_span cell, double *people) LEAT_MUST_USE;

#endif
