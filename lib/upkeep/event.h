/*
 * Events of the logbook: the trade's words for what is done to a mill's hydraulics, and what each needs.
 *
 * The list is common practice of the trade.
 */
#ifndef LEAT_UPKEEP_EVENT_H
#define LEAT_UPKEEP_EVENT_H

#include <stdbool.h>

#include "base/span.h"

/* What an entry of the event must have beside time, asset and who. */
#define LEAT_NEEDS_POINT 1u
#define LEAT_NEEDS_VALUE 2u	/* found or left */
#define LEAT_NEEDS_LEFT 4u
#define LEAT_NEEDS_ITEM 8u
#define LEAT_NEEDS_NOTE 16u

struct leat_event {
	const char *name;
	const char *point;	/* the point of an entry that names none; NULL: none */
	unsigned needs;		/* LEAT_NEEDS_... */
	bool renews;		/* the asset is another item from then on: its running hours and starts begin anew */
	const char *resets;	/* which baselines begin anew, in words; NULL: none */
	const char *meaning;	/* for leat-log(1) */
};

const struct leat_event *leat_event_find(struct leat_span name);
const struct leat_event *leat_event_at(size_t index);	/* NULL past the end */

#endif
