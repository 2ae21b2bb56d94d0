/*
 * The grinding pressure that was agreed for a mill: what the nameplate says (set-pressure) or the logbook (pressure-setting),
 * whichever came last.
 */
#ifndef LEAT_DERIVE_AGREED_H
#define LEAT_DERIVE_AGREED_H

#include "stream/nameplate.h"
#include "upkeep/logbook.h"

struct leat_agreed {
	double bar;				/* NaN: none */
	const struct leat_log_entry *by;	/* NULL: the nameplate */

	/* Private. */
	bool begun;
	double set_bar;				/* of the nameplate, when last looked at */
	size_t next;				/* entry of the logbook, not yet looked at */
};

void leat_agreed_init(struct leat_agreed *agreed);

/* Brings it up to an instant, which must not go back.  set_bar is what the nameplate says then, NaN where it says nothing. */
void leat_agreed_look(struct leat_agreed *agreed, const struct leat_nameplate *np, const struct leat_logbook *book,
    struct leat_span mill, double set_bar, struct leat_time at);

/* When the next entry of the logbook may change it; LEAT_TIME_NONE: never. */
struct leat_time leat_agreed_next(const struct leat_agreed *agreed, const struct leat_logbook *book);

#endif
