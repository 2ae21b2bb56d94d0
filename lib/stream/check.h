/*
 * The engine of leat-check: readings against the rows of limits.csv, one finding an episode.
 *
 * A row is judged at the readings of its point: its gate is asked once all readings of that instant are in.  The
 * time between two readings counts when they are no further apart than the point's hold and the gate was true at
 * both; when it was false at one of them, the time is not to be judged; otherwise it cannot be told.  What the
 * delays make of that is in stream/episode.h.  Bad readings are no readings; uncertain ones are judged.
 *
 *	level	low and high limits, in the unit of the readings
 *	rate	change between readings at least LEAT_CHECK_RATE_BASE_S apart, over the time that passed
 *	age	time without a reading, and since the last one against now
 *	flat	judged time without any change of value
 *
 * A row with one of these kinds gives findings under its rule; with several, level keeps the rule and the others
 * add -rate, -stale and -frozen to it.
 */
#ifndef LEAT_STREAM_CHECK_H
#define LEAT_STREAM_CHECK_H

#include "stream/finding.h"
#include "stream/limits.h"
#include "stream/shelved.h"

/* The unit of the noise of a sensor is a few parts of its resolution: over a minute it no longer looks like a
 * rate. */
#define LEAT_CHECK_RATE_BASE_S 60.0

/* Episodes over that are kept of one side of one row and point, unless all are asked for: beyond that the two
 * oldest are folded into one. */
#define LEAT_CHECK_KEPT 64

struct leat_check_form {
	struct leat_readings *in;		/* all borrowed */
	const struct leat_limits *limits;
	const struct leat_points *points;
	struct leat_time now;			/* later readings are left out; LEAT_TIME_NONE: the last one is now */
	struct leat_time since_time;		/* start of the window, or LEAT_TIME_NONE: since before now */
	struct leat_duration since;
	bool all;				/* keep every episode, and ok rows */
	void (*warn)(const char *text);		/* is told what the user should know, never NULL */
};

struct leat_check;

/* NULL when memory is out. */
struct leat_check *leat_check_new(const struct leat_check_form *form);
void leat_check_free(struct leat_check *check);

/* Takes one reading.  0, or -1 with err: memory, or a unit that cannot be compared with the limit's. */
int leat_check_take(struct leat_check *check, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* Judges as of that moment, in place of form.now: not before what was taken, and before leat_check_end. */
void leat_check_as_of(struct leat_check *check, struct leat_time now);

/* After the last reading; now is then known: form.now, or the time of the last reading, or, when nothing came,
 * LEAT_TIME_NONE.  0, or -1 with err. */
int leat_check_end(struct leat_check *check, struct leat_error *err) LEAT_MUST_USE;
struct leat_time leat_check_now(const struct leat_check *check);

/* What was done; complete after leat_check_end. */
struct leat_check_count {
	long long later;		/* readings later than now, left out */
	long long bad, unjudged;	/* readings of quality bad; readings of points that no row rules */
	size_t series, ruled;		/* pairs of asset and point, and those that a row rules */
	size_t unmatched_shipped;	/* shipped rows that matched nothing */
	size_t found;			/* findings written that are alert, alarm or unknown and not shelved */
	size_t written;
};
struct leat_check_count leat_check_counted(const struct leat_check *check);

/* Is called for every finding, in the order of leat_finding_cmp; its texts last until the call returns. */
typedef void leat_check_found(void *user, const struct leat_finding *f);

/* After leat_check_end: all findings.  shelves may be NULL.  0, or -1 with err. */
int leat_check_findings(struct leat_check *check, const struct leat_shelves *shelves, leat_check_found *found,
    void *user, struct leat_error *err) LEAT_MUST_USE;

/* After leat_check_end: writes how each judgement came about, of all, or where what is not empty of "ASSET/POINT" (a
 * pattern).  Returns how many judgements were explained. */
size_t leat_check_explain(struct leat_check *check, struct leat_out *out, struct leat_span what);

#endif
