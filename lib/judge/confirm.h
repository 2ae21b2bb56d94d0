/*
 * The engine of leat-confirm: do the data bear out what the logbook says was done, and the reverse.
 *
 * Of each series that a row of confirm.csv judges by, one value is kept for each works' day.  Of the entries of an event the
 * newest of each asset is judged:
 *
 *	before		the median of the last daily values before the day of the work
 *	after		the median of the first ones after that day, which end with the next entry of the event
 *	ok		what was measured after lies within the row's bounds
 *	alert		it does not: the work is not seen
 *	alarm		it moved the other way
 *	unknown		too few values came in time, or they sway more than the work would change them
 *
 * And a step within the bounds of a row that no entry explains is work that nobody logged.
 */
#ifndef LEAT_JUDGE_CONFIRM_H
#define LEAT_JUDGE_CONFIRM_H

#include "judge/confirms.h"
#include "stream/finding.h"
#include "stream/nameplate.h"
#include "stream/points.h"
#include "stream/reading.h"
#include "stream/shelved.h"
#include "upkeep/logbook.h"

/* Judgements of the method, common practice; bounds belong into confirm.csv. */
#define LEAT_CONFIRM_BEFORE 10		/* daily values before the work, at most, ... */
#define LEAT_CONFIRM_BEFORE_S (30 * 86400.0) /* ... none older than this */
#define LEAT_CONFIRM_AFTER 5		/* daily values after it, at most */
#define LEAT_CONFIRM_LEAST 3		/* of both, at least; of points from the laboratory and from stops one alone */
#define LEAT_CONFIRM_RARE_S (7 * 86400.0) /* which are those whose values hold longer */
#define LEAT_CONFIRM_NOISE 2.0		/* a change of fewer standard errors is not seen */
#define LEAT_CONFIRM_STEP_LEAST 12	/* daily values among which a step is looked for */
#define LEAT_CONFIRM_SPELL_S (10 * 86400.0) /* what comes back within it was no work */
#define LEAT_CONFIRM_READING 0.015 /* a reading by hand errs by so much: 1 % each of gauge and temperature of the shell */
#define LEAT_CONFIRM_NEAR_S (3 * 86400.0) /* an entry so near to a step explains it, ... */
#define LEAT_CONFIRM_LATE_S (21 * 86400.0) /* ... and a changed meter may be written so late */

/* The columns after those of every finding. */
#define LEAT_CONFIRM_COLUMNS "event,logged,before,after,change,n_before,n_after"

struct leat_confirm_form {
	struct leat_readings *in;		/* all borrowed */
	const struct leat_confirms *confirms;
	const struct leat_points *points;
	const struct leat_nameplate *np;
	const struct leat_logbook *book;
	struct leat_time now;			/* later readings are left out; LEAT_TIME_NONE: the last one is now */
	bool all;				/* ok rows too */
};

struct leat_confirm;

/* NULL when memory is out. */
struct leat_confirm *leat_confirm_new(const struct leat_confirm_form *form);
void leat_confirm_free(struct leat_confirm *confirm);

/* Takes one reading.  0, or -1 with err: memory, or a unit that cannot be compared with earlier ones. */
int leat_confirm_take(struct leat_confirm *confirm, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* Judges as of that moment, in place of form.now: not before what was taken, and before leat_confirm_end. */
void leat_confirm_as_of(struct leat_confirm *confirm, struct leat_time now);

/* After the last reading: judges.  0, or -1 with err. */
int leat_confirm_end(struct leat_confirm *confirm, struct leat_error *err) LEAT_MUST_USE;
struct leat_time leat_confirm_now(const struct leat_confirm *confirm);

struct leat_confirm_count {
	long long later;		/* readings later than now, left out */
	size_t series;			/* by which work is judged */
	size_t entries, judged, untold;	/* of the logbook; those judged; those for which no series was there */
	size_t written, found;		/* findings; of these not ok and not shelved */
};
struct leat_confirm_count leat_confirm_counted(const struct leat_confirm *confirm);

/* After leat_confirm_end: writes all findings with the columns above, header and all, in the order of leat_finding_cmp.
 * shelves may be NULL. */
void leat_confirm_findings(struct leat_confirm *confirm, const struct leat_shelves *shelves, struct leat_out *out);

/* After leat_confirm_end: writes how each judgement came about, of all, or where what is not empty of "ASSET/POINT" (a
 * pattern).  Returns how many were explained. */
size_t leat_confirm_explain(struct leat_confirm *confirm, struct leat_out *out, struct leat_span what);

#endif
