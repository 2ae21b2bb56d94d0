/*
 * The latest reading of every series, with how long it stays valid: what gates and states look at.
 */
#ifndef LEAT_STREAM_CURRENT_H
#define LEAT_STREAM_CURRENT_H

#include "stream/points.h"
#include "stream/reading.h"

/* The latest state of a series. */
struct leat_latest {
	bool seen;
	struct leat_time time;		/* of the last reading that is not bad */
	enum leat_quality quality;	/* LEAT_BAD: there was never another */
	struct leat_time bad_since;	/* the first of the bad readings that came after it, or LEAT_TIME_NONE */
	bool is_number;
	double number;			/* when is_number, in unit */
	struct leat_time same_since;	/* the first of the readings in a row that show this number */
	uint32_t same;			/* how many readings those are */
	bool fine;			/* it has shown tenths or less */
	int decimals;			/* of its text, number or not: leat_number_decimals */
	uint32_t word;			/* otherwise: interned text in current->words; LEAT_NAME_NONE: too long, or the
					 * table of words is full, so that nothing is known of it */
	const struct leat_unit *unit;	/* NULL: none */
	double hold_s;			/* after its own time, or until_changed: after the mill's last reading */
	bool until_changed;		/* a switch, a word, a set point: valid until changed, while the mill reports */
	bool prepared;			/* private: hold_s, mill and listed are set */
	bool watched;			/* private: what changes of it counts as a turn */
	bool listed;			/* private: its kind is known, so until_changed does not follow the value */
	uint8_t unit_len;		/* private: the text that unit was found from */
	char unit_text[16];		/* private: zeros behind it */
	uint32_t mill;			/* private: number in current->mills */
};

/* Distinct words kept, and bytes of the longest: garbage in a value column must not grow memory with the rows. */
#define LEAT_CURRENT_WORDS 16384u
#define LEAT_CURRENT_WORD_LENGTH 64u

struct leat_current {
	struct leat_readings *in;	/* borrowed: names and series */
	const struct leat_points *points; /* borrowed; may be NULL */
	struct leat_latest *latest;	/* by series */
	size_t cap;
	size_t seen;			/* series seen so far: what was looked up holds while it stays */
	size_t turns;			/* new series so far, and changes of watched ones: see leat_gate_watch */
	struct leat_names words;
	struct leat_names mills;
	struct leat_time *mill_seen;	/* by number of the mill: its last reading of any point that is not bad */
	size_t mill_cap;
};

void leat_current_init(struct leat_current *current, struct leat_readings *in, const struct leat_points *points);

/* Takes a reading in.  0, or -1 when memory is out. */
int leat_current_put(struct leat_current *current, const struct leat_reading *r) LEAT_MUST_USE;

/* Takes of a reading only that its mill reports, which keeps switches valid; quicker where its value is never asked for.
 * 0, or -1 when memory is out. */
int leat_current_report(struct leat_current *current, const struct leat_reading *r) LEAT_MUST_USE;

/* As report; and further rows of the mill at the same instant need not be handed out by the readings where they too are of a
 * series that this is said of.  For a reader to which such a row, after the first, says nothing else. */
int leat_current_pass(struct leat_current *current, const struct leat_reading *r) LEAT_MUST_USE;

/* The latest reading of a series that is not bad, while it is not older than its hold at now.  A switch, a word or
 * a set point is valid until changed, but not longer than its hold (default 15 min) after the last reading of any point
 * of its mill, nor after a bad reading of its own.  NULL when there is none, and for
 * LEAT_NAME_NONE.  Valid until the next put. */
const struct leat_latest *leat_current_series(const struct leat_current *current, uint32_t series, struct leat_time now);

/* The last instant at which the series' latest reading is valid; LEAT_TIME_NONE when it is not valid at all. */
struct leat_time leat_current_expiry(const struct leat_current *current, uint32_t series);

/* The series of the point at the asset or at the nearest parent that has ever had it, LEAT_NAME_NONE when none has.
 * child, when not empty, is a path below the asset or parent.  The answer holds while current->seen stays. */
uint32_t leat_current_resolve(const struct leat_current *current, struct leat_span asset, struct leat_span child,
    struct leat_span point);

/* The series of the point at exactly that asset, LEAT_NAME_NONE when it never had it. */
uint32_t leat_current_at(const struct leat_current *current, struct leat_span asset, struct leat_span point);

/* The number of a word to compare with leat_latest.word, new if need be.  LEAT_NAME_NONE when memory is out. */
uint32_t leat_current_word(struct leat_current *current, struct leat_span text);

/* Is the series frozen, if it is of something that never stands quite still: the very same number for 12 h in 60 readings or
 * more, of an instrument that has shown tenths? */
bool leat_latest_is_frozen(const struct leat_latest *latest);

/* "on", "1", "true" words and numbers other than 0 are on: 1, 0, or -1 when it is neither. */
int leat_latest_switch(const struct leat_current *current, const struct leat_latest *latest);

/* The same of a series at an instant; -1 too while it is not valid.  *uncertain becomes true where it is of uncertain
 * quality. */
int leat_current_switch(const struct leat_current *current, uint32_t series, struct leat_time at, bool *uncertain);

void leat_current_free(struct leat_current *current);

#endif
