/*
 * Tasks and planned stops as an iCalendar (RFC 5545).
 *
 * Each task on an asset is one entry for ever, by its UID: it moves when its date does.  What is past its date stands on
 * today's, since nobody looks at past days.
 */
#ifndef LEAT_JUDGE_DUE_CALENDAR_H
#define LEAT_JUDGE_DUE_CALENDAR_H

#include "judge/due.h"

enum leat_due_entry {
	LEAT_DUE_EVENTS,	/* whole days */
	LEAT_DUE_TODOS		/* to-dos with their true date */
};

/* Writes the entries of tasks that have a date, between leat_ical_begin and leat_ical_end.  *dateless: those without, which
 * are left out.  Returns how many were written, or -1 when memory is out. */
int leat_due_calendar(const struct leat_due *due, enum leat_due_entry entry, struct leat_out *out, size_t *dateless);

#endif
