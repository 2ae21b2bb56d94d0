/*
 * Running hours and starts of the items of a stream: what a running switch says, added up from the latest reading of an
 * hour-meter or start counter, with bounds over the time that nobody saw.
 *
 * An item is an asset with mill-running or pump-running.  While its switch is valid (leat_current), time on counts and
 * time off does not.  Time in which it is not valid is a gap: the lower bound has the item off in it, the upper one on; the
 * estimate goes by what it was before and after, and takes half where these differ.  A gap is counted when it has ended, so
 * nothing looks into the future.
 */
#ifndef LEAT_DERIVE_HOURS_H
#define LEAT_DERIVE_HOURS_H

#include "base/period.h"
#include "derive/counter.h"
#include "stream/current.h"
#include "stream/nameplate.h"
#include "upkeep/logbook.h"

/* Private: a meter read in the stream at the instant that is being put together. */
struct leat_hours_meter {
	bool there;
	double shown, digit;
};

/* Private: one item. */
struct leat_hours_item {
	struct leat_span asset;		/* valid while the readings are open */
	uint32_t series;		/* of its switch; LEAT_NAME_NONE: that has not come yet */
	bool warned;
	struct leat_counter hours, starts;
	struct leat_hours_meter meter, counter;
	size_t entry;			/* of the logbook, from which on entries are not yet taken */
	struct leat_time at;		/* counted up to here; LEAT_TIME_NONE: not begun */
	int on;				/* 1, 0, or -1: not known */
	struct leat_time expiry;	/* until when on is known */
	int before;			/* what it was before the gap, -1: never known */
	double gap_s;			/* of the gap, not yet counted */
	bool told;			/* the start counter was read within the gap */
	bool begun;			/* rows have been written */
	struct leat_time day_end;	/* of the works' day in which all rows were last written */
};

/* Private: a mill, whose rows of one instant count together. */
struct leat_hours_mill {
	size_t *item;
	size_t items, cap;
	bool touched;
};

/* Private: what a series is. */
struct leat_hours_series {
	uint8_t role;
	uint32_t mill;
	size_t item;
};

struct leat_hours {
	/* The user sets these before leat_hours_init; all are borrowed. */
	struct leat_readings *in;
	const struct leat_nameplate *np;
	const struct leat_points *points;
	const struct leat_logbook *book;
	struct leat_grid day;			/* the works' days */
	struct leat_out *out;			/* takes the rows or explanations */
	bool explain;
	struct leat_span what;			/* explain this item only: "NM/pump-a" or "NM/pump-a/starts"; empty: all */
	void (*warn)(const char *text);		/* is told of what the user should mend; may be NULL */

	/* What was done. */
	long long replaced, added;
	size_t items;				/* with a switch */

	/* Private. */
	struct leat_current current;
	struct leat_names mill_names, item_names;
	struct leat_hours_mill *mill;
	struct leat_hours_item *item;
	struct leat_hours_series *series;
	size_t *touched;
	size_t mill_cap, item_cap, series_cap, touches, touch_cap;
	struct leat_time time;			/* of the rows taken last */
};

void leat_hours_init(struct leat_hours *hours);

/* Takes a reading in, after writing the rows that belong before it.  1: the reading stays in the stream; 0: it is a row
 * that is made here, and must be left out; -1 with err: out of memory, or a unit of another dimension. */
int leat_hours_take(struct leat_hours *hours, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* Writes what is due at the end of the stream. */
void leat_hours_end(struct leat_hours *hours);

void leat_hours_free(struct leat_hours *hours);

#endif
