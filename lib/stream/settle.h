/*
 * The one rule for several readings of one series at one time.
 *
 *	good beats uncertain beats bad;
 *	of one quality, values that are equal at the coarser of their two precisions agree, and the more precise one
 *	is kept (the earlier of equals); words agree when they are equal; two bad readings agree;
 *	values that differ are a conflict: none is kept, unless the later one is preferred.  Then what it took the place of
 *	is noted.
 *
 * A group holds the readings of one time: one place a series, however many readings come, so memory does not grow
 * with the rows.  A reading costs the same however many came before it.
 */
#ifndef LEAT_STREAM_SETTLE_H
#define LEAT_STREAM_SETTLE_H

#include "base/instant.h"
#include "base/mem.h"
#include "base/units.h"
#include "stream/reading.h"

/* Where a reading came from. */
struct leat_origin {
	size_t source;		/* file, by the caller's number */
	long line;
};

/* One reading on its way in. */
struct leat_arrival {
	struct leat_time time;
	uint32_t series;	/* dense from 0 */
	uint32_t token;		/* the caller's: how to write the row */
	enum leat_quality quality;
	struct leat_span value;	/* borrowed until the put has returned; empty when bad */
	const struct leat_unit *unit;	/* NULL: none; values in different units differ */
	double step;		/* precision of a converted number; 0: the value's own last digit */
	struct leat_origin origin;
	bool prefer_last;	/* of differing values this later one is taken */
	const void *issuer;	/* whose readings it is preferred among: others it takes the place of are not noted; or NULL */
};

/* One series of the group: the reading kept, and the first that differs from it. */
struct leat_settled {
	uint32_t series, token;
	enum leat_quality quality;
	struct leat_origin origin;
	uint32_t at, len, room;	/* the value in leat_settle.text */
	const struct leat_unit *unit;
	double step;
	long long count;	/* readings that came */
	const void *issuer;
	uint32_t was_at, was_len;	/* values of its issuer it was preferred to, in leat_settle.text, joined by '|' */
	bool conflict;
	struct leat_origin other;
	uint32_t other_token;		/* of that first one */
	char other_value[32];	/* cut to fit */
};

/* Bytes of the values that one value took the place of; the earliest are forgotten first. */
#define LEAT_SETTLE_WAS 256u

struct leat_settle_state;

struct leat_settle {
	struct leat_time time;		/* of the group, when count is not 0 */
	struct leat_settled *item;	/* in the order of first sight */
	size_t count, cap;
	struct leat_buf text;
	struct leat_settle_state *state; /* private: by series */
	size_t state_cap;
	uint64_t group;
	long long readings, duplicates, conflicts;	/* what became of all readings of finished groups */
};

/* Takes a reading of the group's time into the group.  A zeroed struct leat_settle is a valid empty one.  0, or -1
 * when memory is out. */
int leat_settle_put(struct leat_settle *settle, const struct leat_arrival *arrival) LEAT_MUST_USE;

static inline struct leat_span
leat_settle_value(const struct leat_settle *settle, const struct leat_settled *item)
{
	return leat_span_make(settle->text.data + item->at, item->len);
}

/* The values of the item's own issuer and unit that it took the place of because it was preferred, joined by '|'; mostly
 * empty. */
static inline struct leat_span
leat_settle_was(const struct leat_settle *settle, const struct leat_settled *item)
{
	return leat_span_make(settle->text.data + item->was_at, item->was_len);
}

/* The item of a series in the group, NULL where none came. */
const struct leat_settled *leat_settle_find(const struct leat_settle *settle, uint32_t series);

/* Are two values, as written, equal at the coarser of their two precisions, or the same word? */
bool leat_values_agree(struct leat_span a, struct leat_span b);

/* Counts what became of the group and empties it. */
void leat_settle_clear(struct leat_settle *settle);

void leat_settle_free(struct leat_settle *settle);

#endif
