/*
 * The whole minutes of a stream, one after the other, and the works' days that they belong to.
 *
 * A filter that looks at what is valid in each minute (leat_current) asks for the minutes before a reading, then takes the
 * reading in.  A minute is looked at after all readings up to it.
 */
#ifndef LEAT_DERIVE_MINUTES_H
#define LEAT_DERIVE_MINUTES_H

#include "stream/nameplate.h"

#define LEAT_MINUTE_S 60

struct leat_minutes {
	struct leat_time begin;			/* the first whole minute of the stream; LEAT_TIME_NONE: no row has come */
	struct leat_time at;			/* the next to be looked at, likewise */
	struct leat_time day_start, day_end;	/* of the works' day of at; LEAT_TIME_NONE: none yet */
};

void leat_minutes_init(struct leat_minutes *m);

/* The whole minute at or before t. */
struct leat_time leat_minute_before(struct leat_time t);

/* Begins with the first reading of the stream; later calls do nothing. */
void leat_minutes_begin(struct leat_minutes *m, struct leat_time first);

/* Is there a minute to be looked at before until?  Then its works' day is set. */
bool leat_minutes_more(struct leat_minutes *m, const struct leat_nameplate *np, struct leat_time until);

/* Is it the last of its works' day?  And has the stream more of that day than its last instant? */
bool leat_minutes_day_ends(const struct leat_minutes *m);
bool leat_minutes_day_seen(const struct leat_minutes *m);

/* On to the next.  idle: nothing is known in this one, so that all up to until are skipped, but for the end of the day where
 * the day has something to be written. */
void leat_minutes_next(struct leat_minutes *m, struct leat_time until, bool idle, bool day_has);

/* What advance is to end with at the end of a stream whose last row is of last: that instant itself is over too.  now, where
 * it is later and not LEAT_TIME_NONE, stands in for it. */
struct leat_time leat_minutes_end(struct leat_time last, struct leat_time now);

#endif
