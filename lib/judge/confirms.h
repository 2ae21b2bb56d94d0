/*
 * confirm.csv: what the data must show after work that the logbook has, and which row rules where.
 *
 * Columns: event,asset,point,measure,low,high,unit,within,rule,advice,source.  asset is a pattern of the asset that the entry
 * names, point one of the points by which it is judged.  low and high bound what confirms the work; one of them may be empty.
 */
#ifndef LEAT_JUDGE_CONFIRMS_H
#define LEAT_JUDGE_CONFIRMS_H

#include "stream/rule_row.h"
#include "upkeep/event.h"

enum leat_confirm_measure {
	LEAT_CONFIRM_RATIO,		/* "ratio", also when the cell is empty: value after / value before */
	LEAT_CONFIRM_DIFFERENCE,	/* "difference": after less before, in unit */
	LEAT_CONFIRM_VALUE,		/* "value": after, in unit */
	LEAT_CONFIRM_LEFT		/* "left": after less what the entry has as left, in unit */
};

struct leat_confirm_row {
	struct leat_rule rule;		/* its name is the event's when the table has none; off where there is neither low nor high */
	const struct leat_event *event;
	enum leat_confirm_measure measure;
	double low, high;		/* NaN: open on that side */
	const struct leat_unit *unit;	/* NULL: the point's own */
	double within_s;		/* evidence that comes later does not count */
};

struct leat_confirms {
	struct leat_rule_table table;
	struct leat_confirm_row *row;	/* the table's, with their type */
	size_t count;
};

/* The works' rows (an absent file is an empty table) and the shipped ones.  0, or -1 with err. */
int leat_confirms_read(struct leat_confirms *confirms, const char *path, bool *absent, struct leat_error *err) LEAT_MUST_USE;
/* The same from a table that was read by this form (NULL: none).  Taken over when it succeeds; else still the caller's. */
extern const struct leat_table_form leat_confirms_form;
int leat_confirms_make(struct leat_confirms *confirms, struct leat_table *works, struct leat_error *err) LEAT_MUST_USE;
void leat_confirms_free(struct leat_confirms *confirms);

/* The rows that judge work on asset by point, chosen as those of limits.csv are (leat_limits_for).  Writes up to max row
 * indices and returns how many rule. */
size_t leat_confirms_for(const struct leat_confirms *confirms, struct leat_span asset, struct leat_span point, size_t *index,
    size_t max);

/* The shipped table as CSV text, for --print-defaults. */
const char *leat_confirms_defaults(void);

#endif
