/*
 * A round sheet that was typed back: what looks mistyped.
 *
 *	typed-outside	a value beyond what the instrument can show (min and max of points.csv)
 *	typed-swapped	two neighbouring digits changed places: 152 where 125 would be usual
 *	typed-unit	the value would be usual in another unit, or with its point one or two places on
 *	typed-same	the same value five times in a row, where that hardly ever happens
 *	typed-minute	rounds that follow each other within a minute
 *	typed-unread	unknown: words, or what was taken as bad on its way, being beyond the instrument
 *	typed-unjudged	unknown: what is usual is not known, so that the second and third cannot be told
 *
 * What is usual is that of upkeep/round.h, of the 30 days before each value.  A value is suspected when it lies farther
 * outside the usual span than the span is wide, and the other reading of it lies inside: the machine may go where it never
 * was, but seldom to the very value that a slip of the pen makes.  The second and the third are not looked for on a round
 * with the mill at rest.
 */
#ifndef LEAT_JUDGE_TYPED_H
#define LEAT_JUDGE_TYPED_H

#include "upkeep/round.h"

#define LEAT_TYPED_SAME 5u		/* values in a row: common practice */
#define LEAT_TYPED_SAME_CHANCE 0.002	/* in less than this share of cases it happens by itself */
#define LEAT_TYPED_MINUTE_S 60.0
#define LEAT_TYPED_ROUNDS 3u		/* as many as a day has, each within a minute of the one before */

/* One value of the sheet. */
struct leat_typed_value {
	struct leat_time time;
	struct leat_span text, unit_text;	/* owned by names of the sheet */
	size_t line;				/* of the round */
	enum leat_quality quality;
	bool number;
	double value;				/* in the unit of the line */
	const struct leat_unit *unit;		/* as typed */
};

/* A zeroed struct but for round is a valid empty sheet. */
struct leat_typed {
	struct leat_round *round;		/* borrowed; its lines are those of the sheet */
	struct leat_typed_value *value;
	size_t count, cap;
	struct leat_names texts;
};

/* Takes a reading of the sheet, in order of time.  0, or -1 with err: memory, or a unit of another dimension. */
int leat_typed_take(struct leat_typed *typed, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* Judges, once the round has taken the readings of the days before, and calls found for each finding.  limits may be NULL.
 * 0, or -1 with err. */
typedef void leat_typed_found(void *user, const struct leat_finding *f);
int leat_typed_judge(const struct leat_typed *typed, const struct leat_limits *limits, leat_typed_found *found, void *user,
    struct leat_error *err) LEAT_MUST_USE;

void leat_typed_free(struct leat_typed *typed);

#endif
