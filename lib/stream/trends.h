/*
 * trends.csv: which points are watched for slow change, against which baseline, and which row rules where.
 *
 * Columns: asset,point,when,clock,model,baseline,alert,alarm,unit,window,rule,advice,source.  asset and point are globs.
 * alert and alarm are values in unit (bare: the unit of the point), or multiples of the baseline, written 1.5x; both of one
 * kind.  An alarm below the alert, a multiple below 1, or a value below a baseline that is a number, is a falling limit.
 */
#ifndef LEAT_STREAM_TRENDS_H
#define LEAT_STREAM_TRENDS_H

#include "stream/rule_row.h"

enum leat_trend_clock {
	LEAT_CLOCK_CALENDAR,	/* "calendar", also when the cell is empty: days */
	LEAT_CLOCK_RUNNING,	/* "running-hours": of the asset or its nearest parent that has them */
	LEAT_CLOCK_AGEING	/* "ageing-hours": likewise; hours at 50 degC that age the oil as much */
};

enum leat_trend_model {
	LEAT_MODEL_LINEAR,	/* "linear", also when the cell is empty: a straight line */
	LEAT_MODEL_CUBE_ROOT,	/* "cube-root": the cube root of the value less the nameplate's control-bleed goes in a straight
				 * line; clearance wear */
	LEAT_MODEL_EXPONENTIAL,	/* "exponential": the logarithm of the value goes in a straight line; the loading of filters */
	LEAT_MODEL_STEP		/* "step": only sudden changes are judged, none that are slow; alert and alarm are shares of the
				 * value before, as multiples such as 1.25x (up) or 0.75x (down) */
};

enum leat_trend_baseline {
	LEAT_BASELINE_FIRST,	/* "first", also when the cell is empty: the first admitted period after a reset */
	LEAT_BASELINE_NUMBER,	/* a number, in unit */
	LEAT_BASELINE_AS_NEW,	/* "as-new": the nameplate property of the point (leat_trend_as_new) */
	LEAT_BASELINE_NONE	/* "none", and of every step: limits are values, nothing is compared with a beginning */
};

struct leat_trend_row {
	struct leat_rule rule;		/* its name is "trend" when the table has none; off where there is neither alert nor alarm */
	enum leat_trend_clock clock;
	enum leat_trend_model model;
	enum leat_trend_baseline baseline;
	double baseline_value;		/* LEAT_BASELINE_NUMBER */
	bool has_alert, has_alarm;
	bool multiple;			/* alert and alarm are multiples of the baseline */
	bool falling;			/* reached downwards */
	double alert, alarm;
	const struct leat_unit *unit;	/* NULL: the point's own */
	struct leat_duration window;	/* how far back from now a line is fitted; has_window false: since the baseline's reset */
	bool has_window;
};

struct leat_trends {
	struct leat_rule_table table;
	struct leat_trend_row *row;	/* the table's, with their type */
	size_t count;
};

/* Contradictory rows are faults, as in limits.csv: leat-works(5) lists them.  The works' rows (an absent file is an empty
 * table) and the shipped ones.  0, or -1 with err. */
int leat_trends_read(struct leat_trends *trends, const char *path, bool *absent, struct leat_error *err) LEAT_MUST_USE;
/* The same from a table that was read by this form (NULL: none).  Taken over when it succeeds; else still the caller's. */
extern const struct leat_table_form leat_trends_form;
int leat_trends_make(struct leat_trends *trends, struct leat_table *works, struct leat_error *err) LEAT_MUST_USE;
void leat_trends_free(struct leat_trends *trends);

/* The rows that rule one series, chosen as those of limits.csv are (leat_limits_for).  Writes up to max row indices and
 * returns how many rule. */
size_t leat_trends_for(const struct leat_trends *trends, struct leat_span asset, struct leat_span point, size_t *index,
    size_t max);

/* The nameplate property that says what the point was when new ("as-new-drain-flow" for drain-flow-corrected, ...); NULL when
 * there is none. */
const char *leat_trend_as_new(struct leat_span point);

/* The shipped table as CSV text, for --print-defaults. */
const char *leat_trends_defaults(void);

#endif
