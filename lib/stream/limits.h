/*
 * limits.csv: absolute limits, rates, ages and flatness, and which row rules where.
 */
#ifndef LEAT_STREAM_LIMITS_H
#define LEAT_STREAM_LIMITS_H

#include "stream/rule_row.h"

/* One row.  Numbers are in unit (NULL: the point's own unit); has_* tells which are given. */
struct leat_limit {
	struct leat_rule rule;		/* its name is "limit" when the table has none; off where there is no limit at all */
	bool has_low_alarm, has_low_alert, has_high_alert, has_high_alarm, has_max_rate, has_max_age, has_max_flat;
	double low_alarm, low_alert, high_alert, high_alarm;
	double deadband;		/* in unit */
	double on_delay_s, off_delay_s;
	double max_rate_per_min;	/* unit per minute; written in the table as 5/min, 300/h or a bare number per minute */
	double max_age_s, max_flat_s;
	const struct leat_unit *unit;
};

struct leat_limits {
	struct leat_rule_table table;
	struct leat_limit *row;	/* the table's, with their type */
	size_t count;
};

/* Contradictory rows are faults: limits out of order, a deadband without a limit or as wide as the band between them, a
 * unit of another dimension than the point's, limits on a point that has words, and twice the same asset, point and rule.
 *
 * The works' rows (an absent file is an empty table) and the shipped ones.  0, or -1 with err. */
int leat_limits_read(struct leat_limits *limits, const char *path, bool *absent, struct leat_error *err) LEAT_MUST_USE;
/* The same from a table that was read by this form (NULL: none).  Taken over when it succeeds; else still the caller's. */
extern const struct leat_table_form leat_limits_form;
int leat_limits_make(struct leat_limits *limits, struct leat_table *works, struct leat_error *err) LEAT_MUST_USE;
void leat_limits_free(struct leat_limits *limits);

/* The rows that rule one series: of each rule the works' rows before the shipped ones, then the most specific (by the
 * asset first, then by the point), then the later line; rows that switch their rule off are left out.  Writes up to max
 * row indices and returns how many rule (which may be more than max). */
size_t leat_limits_for(const struct leat_limits *limits, struct leat_span asset, struct leat_span point, size_t *index,
    size_t max);

/* The shipped table as CSV text, for --print-defaults. */
const char *leat_limits_defaults(void);

#endif
