/*
 * A total kept between readings of a counter that can wrap around, be changed or be misread: running hours, starts.
 *
 * The total is an estimate with a lower and an upper bound.  Between readings the user adds what was seen and what may
 * have been.  A reading says that the total lies between what the counter shows and the next of its last digits, and pulls
 * all three into that range.  Common practice: a counter that shows less than before, by what it could have counted
 * meanwhile past a power of ten or of two, has wrapped around; any other fall, or a rise that the time does not allow, is
 * another counter, and the total goes on.
 */
#ifndef LEAT_DERIVE_COUNTER_H
#define LEAT_DERIVE_COUNTER_H

#include "base/instant.h"

struct leat_counter {
	double value, low, high;	/* the total: low <= value <= high */
	bool anchored;			/* a reading has said where it stands; before, it is counted from 0 */
	double offset;			/* total less what the counter shows */
	bool pending;			/* the counter is another one, whose first reading is not known */
	bool read;			/* shown, digit and at are those of the last reading */
	double shown, digit;
	struct leat_time at;
};

enum leat_counter_kind {
	LEAT_COUNTER_FIRST,	/* the first reading: the total begins with it */
	LEAT_COUNTER_FITS,	/* the total was pulled into its range, if it was not there */
	LEAT_COUNTER_WRAPPED,	/* the counter has wrapped around */
	LEAT_COUNTER_OTHER	/* it is another counter, though nobody wrote so */
};

/* Adds what was counted: for sure, as estimated, and at most. */
void leat_counter_add(struct leat_counter *c, double low, double value, double high);

/* A reading at a time: shown, in steps of digit (0: exact).  per_s: the fastest that it can count in a second, with slack
 * for times written by hand. */
enum leat_counter_kind leat_counter_reading(struct leat_counter *c, struct leat_time at, double shown, double digit,
    double per_s, double slack);

/* The counter is changed: found is the last reading of the old one (NaN: not known), left the first of the new (likewise).
 * The total goes on. */
void leat_counter_changed(struct leat_counter *c, struct leat_time at, double found, double left, double digit);

/* What is counted is another item from now on: the total begins anew at 0, though the counter goes on. */
void leat_counter_renew(struct leat_counter *c);

#endif
