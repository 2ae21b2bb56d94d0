/*
 * How far the readings of each mill reach.
 */
#ifndef LEAT_TELL_REACH_H
#define LEAT_TELL_REACH_H

#include "tell/nightly.h"

/* Zeroed it is a valid empty one. */
struct leat_reaches {
	struct leat_names mills;
	struct leat_reach *reach;	/* by mill, in order of first sight; owned, as are the names */
	size_t count, cap;
	uint32_t *mill_of;		/* private: by asset id, the mill's number + 1 */
	size_t mill_cap;
	struct leat_time last;		/* the last time of any reading taken; LEAT_TIME_NONE: there was none */
	long long rejected;		/* rows that were no readings */
};

/* Reads the readings of one file ("-": standard input), up to now (LEAT_TIME_NONE: all).  A reading of quality bad says
 * nothing, and a computed operating state may run on past the last reading of its mill: both make their mill known and do
 * not carry its reach on.  The mills come out in the order of their names.  0, or -1 with err. */
int leat_reach_read(struct leat_reaches *reaches, const char *path, struct leat_time now, struct leat_error *err)
    LEAT_MUST_USE;
void leat_reach_free(struct leat_reaches *reaches);

#endif
