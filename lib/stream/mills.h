/*
 * The mills of a stream, mill by mill: which series feed each, and at which instants a mill must be looked at.
 *
 * For filters that derive something of a whole mill from several of its points.  A mill is looked at when rows of
 * it have come and the next row is later (so that all rows of one instant count together), and at the instant in
 * between at which the hold of one of its readings ran out.  That instant is learnt from a later row, but belongs
 * before it: a row stamped with it is in time order and says what could be known then, that nothing new came.
 */
#ifndef LEAT_STREAM_MILLS_H
#define LEAT_STREAM_MILLS_H

#include "stream/current.h"

#define LEAT_MILLS_SLOTS 8

/* Which points of a mill count. */
struct leat_mills_form {
	const char *point[LEAT_MILLS_SLOTS];	/* of the mill itself */
	size_t points;
	size_t founding;	/* a mill is known from its first reading of one of the first so many points */
	const char *part_point;	/* and this point of the mill and of all its parts of a kind */
	const char *part;	/* whose names begin so, directly below the mill */
};

struct leat_mill {
	struct leat_span asset;			/* its name; valid while the readings are open */
	bool known;				/* one of its founding points has come */
	uint32_t series[LEAT_MILLS_SLOTS];	/* LEAT_NAME_NONE: never came */
	uint32_t *part;				/* series of part_point */
	size_t parts, part_cap;
	bool by_rows;				/* it is looked at since rows of it have come, not since a hold ran out */
	bool touched;				/* private: rows have come since it was last looked at */
	struct leat_time due;			/* private: when it must be looked at next without a row */
};

/* Private: where a series belongs. */
struct leat_mills_series {
	bool resolved;
	bool placed;		/* it has a place in the form */
	size_t mill;
};

struct leat_mills {
	const struct leat_mills_form *form;	/* borrowed */
	struct leat_current *current;		/* borrowed */
	struct leat_mill *mill;
	size_t count, cap;
	struct leat_mills_series *of_series;
	size_t series_cap;
	struct leat_names names;		/* of the mills */
	size_t *touched;			/* mills with rows at time */
	size_t touches, touch_cap, looked;	/* how many, and how many of them were looked at */
	struct leat_time earliest;		/* no mill is due before this; LEAT_TIME_NONE: none is due */
	struct leat_time time;			/* of the rows put last, or LEAT_TIME_NONE */
};

void leat_mills_init(struct leat_mills *mills, const struct leat_mills_form *form, struct leat_current *current);

/* The mill of a series' asset that is known already, or NULL. */
struct leat_mill *leat_mills_known(struct leat_mills *mills, struct leat_span asset);

/* The number of an asset's mill, an index of mill[], new if need be; this alone makes it no known one.  0, or -1 when
 * memory is out. */
int leat_mills_number(struct leat_mills *mills, struct leat_span asset, size_t *number) LEAT_MUST_USE;

/* Takes a reading into current and notes its mill.  Before a reading of a later time is put, leat_mills_due must have
 * returned NULL for it.  0, or -1 when memory is out. */
int leat_mills_put(struct leat_mills *mills, const struct leat_reading *r) LEAT_MUST_USE;

/* The same, but of a series that has no place in the form only that its mill reports: nobody else may ask for its values,
 * and further such rows of the mill at that instant need not be handed out by the readings (leat_current_pass). */
int leat_mills_put_form(struct leat_mills *mills, const struct leat_reading *r) LEAT_MUST_USE;

/* The next known mill that must be looked at before rows of time until (LEAT_TIME_NONE: at the end of the stream)
 * are put, in order of time, each at most once an instant; NULL when there is none.  *at is when, and *seen the
 * instant at which leat_current is to be asked: a hair later, so that what holds up to *at and was not renewed at *at
 * is no longer valid. */
struct leat_mill *leat_mills_due(struct leat_mills *mills, struct leat_time until, struct leat_time *at,
    struct leat_time *seen);

/* Makes the mill due at t too, for reasons of the user's own; LEAT_TIME_NONE changes nothing.  Holds until the
 * mill is looked at next. */
void leat_mills_wake(struct leat_mills *mills, struct leat_mill *mill, struct leat_time t);

/* The valid latest reading of a slot at an instant; NULL when there is none. */
const struct leat_latest *leat_mills_latest(const struct leat_mills *mills, const struct leat_mill *mill, size_t slot,
    struct leat_time seen);

void leat_mills_free(struct leat_mills *mills);

#endif
