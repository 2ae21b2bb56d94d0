/*
 * Two points beside each other: their difference and ratio at equal times, or at times that are close.
 *
 * Readings of one instant are paired at that instant.  With a distance within, a reading of the first that has none of the
 * second beside it is paired too:
 *
 *   - at once with the second's last value, where that is a set point, switch or counter: it stays as it is;
 *   - with the next reading of the second, when that comes within the distance: by a straight line from the second's
 *     reading before, where that is within the distance too and the line no longer than its hold, else with the reading as
 *     it is.  The result is stamped with the time of that reading, when it could first be known;
 *   - with the second's reading before, when no next one has come by the end of the distance and that reading was not
 *     paired already: stamped with that end.
 *
 * No value is used beyond its hold.  Of several readings of the first that wait, the latest is paired, so that a result is
 * made for each reading of the rarer of the two.
 */
#ifndef LEAT_DERIVE_PAIR_H
#define LEAT_DERIVE_PAIR_H

#include "stream/couples.h"
#include "stream/points.h"
#include "stream/reading.h"

/* Private: a reading of an operand. */
struct leat_pair_value {
	bool has;
	bool used;			/* it has been paired */
	struct leat_time time;
	double number;
	int decimals;			/* as written */
	enum leat_quality quality;
	const struct leat_unit *unit;
	char unit_text[16];
};

struct leat_pair_state {
	const struct leat_couple *couple;
	bool seen[2];			/* an operand has come at all */
	bool stepped[2];
	double hold_s[2];
	struct leat_pair_value now[2];	/* of the instant */
	struct leat_pair_value last[2];	/* before it */
	struct leat_pair_value waiting;	/* of the first */
	bool touched;
	long long made, unpaired, unusable, undefined; /* readings of the first: paired, without a partner, bad; no ratio */
};

struct leat_pair_use {
	struct leat_pair_state *state;
	size_t operand;
};

/* Private: what a series is. */
struct leat_pair_series {
	bool prepared, replaced;
	struct leat_pair_use *use;	/* owned: for which couples, as which operand */
	size_t count, cap;
};

struct leat_pairing {
	/* The user sets these before leat_pairing_init; all are borrowed. */
	struct leat_readings *in;
	const struct leat_points *points;
	const struct leat_couples *couples;
	struct leat_out *out;
	bool explain;
	struct leat_span what;		/* explain this ASSET/POINT or ASSET only; empty: all */

	/* What was done. */
	long long replaced, added;

	/* Private. */
	struct leat_pair_state *state;
	struct leat_pair_series *series;
	size_t series_cap;
	struct leat_time now;
	size_t touches;
	struct leat_time earliest;	/* no waiting reading ends its distance before; LEAT_TIME_NONE: none waits */
	struct leat_buf name;
};

/* 0, or -1 with err. */
int leat_pairing_init(struct leat_pairing *pairing, struct leat_error *err) LEAT_MUST_USE;

/* Takes a reading in, after writing what belongs before it.  1: the reading stays in the stream; 0: it is one that is made
 * here, and must be left out; -1 with err: out of memory, or units of different dimensions. */
int leat_pairing_take(struct leat_pairing *pairing, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* Writes what is due at the end of the stream; now, where it is not LEAT_TIME_NONE, is a time up to which nothing more will
 * come.  0, or -1 with err. */
int leat_pairing_end(struct leat_pairing *pairing, struct leat_time now, struct leat_error *err) LEAT_MUST_USE;

void leat_pairing_free(struct leat_pairing *pairing);

#endif
