/*
 * Rounds: which readings a person takes by hand, and what is usual for each.
 *
 * The regular readings are the rows of points.csv at assets that a pattern fits named round.  To these come the measured
 * points without which a finding cannot be told.  What is usual is the span from the 5th to the 95th percentile of the
 * good readings of the last 30 days in which the mill was grinding: by its state or its drive, where those are in the
 * stream; else all but those of a round on which the pressure read less than 5 bar (state off, common practice).  Where
 * there are fewer than 20 readings, which is what a 5th percentile takes, the limits of limits.csv stand in.
 */
#ifndef LEAT_UPKEEP_ROUND_H
#define LEAT_UPKEEP_ROUND_H

#include "stream/finding.h"
#include "stream/limits.h"
#include "stream/points.h"
#include "stream/reading.h"

#define LEAT_ROUND_DAYS 30.0
#define LEAT_ROUND_LEAST 20u
#define LEAT_ROUND_LOW 0.05
#define LEAT_ROUND_HIGH 0.95
#define LEAT_ROUND_OFF_BAR 5.0

/* Under which circumstances a measured point can be read. */
enum leat_round_when { LEAT_ROUND_ANY, LEAT_ROUND_STOP, LEAT_ROUND_LABORATORY };

/* What a point is made from and a person can read, one after another; NULL past the end.  A measured point is made from
 * itself.  *when tells when. */
const char *leat_round_need(struct leat_span point, size_t index, enum leat_round_when *when);

enum leat_round_source { LEAT_ROUND_NOTHING, LEAT_ROUND_READINGS, LEAT_ROUND_LIMITS };

struct leat_round_usual {
	enum leat_round_source source;
	bool has_low, has_high;		/* of limits either may be missing */
	double low, high;		/* in the unit of the line */
	size_t readings;		/* of the window that count */
	double repeats;			/* share of readings equal to the one before, 0..1 */
};

struct leat_round_sample {
	struct leat_time time;
	double value;
};

struct leat_round_line {
	struct leat_span asset, point;		/* owned by the round */
	const struct leat_unit *unit;		/* NULL: words */
	const struct leat_point *row;		/* of points.csv; NULL: none */
	struct leat_span rule, wants;		/* the finding that lacks it, and its asset/point; empty: a regular reading */
	enum leat_round_when when;
	struct leat_round_usual usual;		/* set by leat_round_end */

	struct leat_round_sample *sample;	/* private, in order of time */
	size_t samples, cap;
};

struct leat_round_change {
	struct leat_time time;
	signed char grinding;		/* 1, 0, -1 not known */
};

/* How a mill was: changes of its state, else of its drive. */
struct leat_round_mill {
	struct leat_round_change *change[2];	/* state, mill-running */
	size_t count[2], cap[2];
};

/* A zeroed struct is a valid empty one. */
struct leat_round {
	struct leat_round_line *line;
	size_t count, cap;
	const struct leat_points *points;	/* borrowed */
	struct leat_time from;			/* earlier readings are not kept; LEAT_TIME_NONE: 30 days before the newest */
	struct leat_names names, mills;		/* owns names of assets and points */
	struct leat_pairs series;
	struct leat_round_mill *mill;
	size_t mill_cap;
	uint32_t *of_series;			/* private: line + 1 by series of the stream, UINT32_MAX: none */
	size_t of_series_cap;
};

/* Adds the regular readings: rows of points (borrowed) at assets that fit.  0, or -1 with err. */
int leat_round_regular(struct leat_round *round, const struct leat_points *points, struct leat_span assets,
    struct leat_error *err) LEAT_MUST_USE;

/* Adds what a finding lacks; nothing where it is not open and unknown.  0, or -1 with err. */
int leat_round_finding(struct leat_round *round, const struct leat_finding *f, struct leat_error *err) LEAT_MUST_USE;

/* The line of a series, new if need be; NULL when memory is out. */
struct leat_round_line *leat_round_add(struct leat_round *round, struct leat_span asset, struct leat_span point);
struct leat_round_line *leat_round_find(const struct leat_round *round, struct leat_span asset, struct leat_span point);

/* Takes a reading in order of time.  0, or -1 with err: memory, or a unit of another dimension. */
int leat_round_take(struct leat_round *round, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* Was the mill grinding at that time: 1, 0, -1 not known?  pressure_bar is that of the same round, NaN: none. */
int leat_round_grinding(const struct leat_round *round, struct leat_span asset, struct leat_time time,
    double pressure_bar);

/* What was usual of the line in the 30 days before that time; limits may be NULL.  0, or -1 with err. */
int leat_round_usual_at(const struct leat_round *round, const struct leat_round_line *line, struct leat_time before,
    const struct leat_limits *limits, struct leat_round_usual *usual, struct leat_error *err) LEAT_MUST_USE;

/* Sets what is usual of every line, and puts them in order: mill, what the round reads before what only a stop or the
 * laboratory can tell, then as they were added.  The last call before free: lines are not found any more. */
int leat_round_end(struct leat_round *round, struct leat_time now, const struct leat_limits *limits,
    struct leat_error *err) LEAT_MUST_USE;

void leat_round_free(struct leat_round *round);

#endif
