/*
 * Between the files of derive/hours.h only.
 */
#ifndef LEAT_DERIVE_HOURS_PRIVATE_H
#define LEAT_DERIVE_HOURS_PRIVATE_H

#include "derive/hours.h"

/* Why rows are written. */
enum leat_hours_cause {
	LEAT_HOURS_BEGUN = 1,	/* the item's switch is known for the first time */
	LEAT_HOURS_STARTED = 2,
	LEAT_HOURS_STOPPED = 4,
	LEAT_HOURS_SEEN = 8,	/* a gap has ended */
	LEAT_HOURS_READ = 16,	/* a logged reading, another item, or a counter that is another one or has wrapped */
	LEAT_HOURS_DAY = 32	/* the first of a works' day */
};

/* Writes the rows, or the explanation, of an item at its instant. */
void leat_hours_write(struct leat_hours *hours, const struct leat_hours_item *item, unsigned cause);

/* Explains a reading of a counter: what the total was before it. */
void leat_hours_tell_reading(struct leat_hours *hours, const struct leat_hours_item *item, bool is_starts,
    double shown, double before, enum leat_counter_kind kind, long line);
void leat_hours_tell_gap(struct leat_hours *hours, const struct leat_hours_item *item, int after, double taken_h);

#endif
