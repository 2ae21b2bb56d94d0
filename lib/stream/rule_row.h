/*
 * What the rows of limits.csv, trends.csv and oil.csv have in common: patterns of assets and points, a name of the rule, and
 * which of the rows rules where.
 */
#ifndef LEAT_STREAM_RULE_ROW_H
#define LEAT_STREAM_RULE_ROW_H

#include "stream/gate.h"
#include "stream/points.h"
#include "stream/table.h"

/* By what a row is known, and by what it outranks others.  Spans point into its table. */
struct leat_rule_key {
	struct leat_span asset, point;	/* globs */
	struct leat_span rule;
	int asset_weight, point_weight;	/* how specific the globs are */
	bool shipped;			/* from the compiled-in table */
	bool off;			/* switches its rule off where it is the one that rules */
	long line;
};

/* The rows of a table, whatever else they hold. */
struct leat_rule_rows {
	const void *row;
	size_t count, size;		/* of them, and of one in bytes */
	struct leat_rule_key (*key)(const void *row);
};

bool leat_rule_is_glob(struct leat_span text);

/* Reads asset, point and rule of a row of t, whose columns these are; fallback is the rule where the cell is empty.  0,
 * or -1 with err: one is empty, or the rule is no slug. */
struct leat_rule_columns {
	size_t asset, point, rule;
};
int leat_rule_take(struct leat_rule_key *key, const struct leat_table *t, size_t i, const struct leat_rule_columns *columns,
    const char *fallback, struct leat_error *err) LEAT_MUST_USE;

/* Compiles the gate of a cell; *gate is NULL where the cell is empty.  0, or -1 with err. */
int leat_rule_gate(struct leat_gate **gate, const struct leat_table *t, size_t i, size_t column, struct leat_error *err)
    LEAT_MUST_USE;

/* The point of leat-points(7) that the pattern names; NULL for patterns of several and for points of the works' own. */
const struct leat_point_info *leat_rule_point(struct leat_span point);

/* Is unit (NULL: none is written) of the dimension of that point (NULL: not known)?  0, or -1 with err. */
int leat_rule_unit(const struct leat_point_info *point, const struct leat_unit *unit, const struct leat_table *t, size_t i,
    size_t column, struct leat_error *err) LEAT_MUST_USE;

/* The four limits of a row, in order of size. */
enum leat_rule_level {
	LEAT_LOW_ALARM, LEAT_LOW_ALERT, LEAT_HIGH_ALERT, LEAT_HIGH_ALARM, LEAT_RULE_LEVELS
};

struct leat_rule_levels {
	bool has[LEAT_RULE_LEVELS];
	double value[LEAT_RULE_LEVELS];
};

/* Reads the four columns from first on, which are in that order.  0, or -1 with err: no number, or none of those given may
 * lie on the wrong side of another. */
int leat_rule_levels_take(struct leat_rule_levels *levels, const struct leat_table *t, size_t i, size_t first,
    struct leat_error *err) LEAT_MUST_USE;

/* Is there such a row, of the same table with the same asset, point and rule?  0, or -1 with err that names its line. */
int leat_rule_twice(const struct leat_rule_rows *rows, const struct leat_rule_key *key, const struct leat_table *t,
    size_t i, size_t column, struct leat_error *err) LEAT_MUST_USE;

/* Reads the shipped table, which text is, and takes the rows of the works' table (NULL: none) and then its own into what rows
 * points at.  *shipped is the caller's, NULL when it cannot be read.  0, or -1 with err. */
typedef int leat_rule_take_row(void *rows, const struct leat_table *t, size_t i, bool shipped, struct leat_error *err);
int leat_rule_tables(struct leat_table **shipped, const char *name, const char *text, const struct leat_table *works,
    const struct leat_table_form *form, leat_rule_take_row *take, void *rows, struct leat_error *err) LEAT_MUST_USE;

/* The rows that rule one series: of each rule the works' rows before the shipped ones, then the most specific (by the
 * asset first, then by the point), then the later line; rows that switch their rule off are left out.  Writes up to max
 * row indices and returns how many rule (which may be more than max). */
size_t leat_rule_for(const struct leat_rule_rows *rows, struct leat_span asset, struct leat_span point, size_t *index,
    size_t max);

/* Adds a row's advice behind a semicolon to the sentence in dst, a text of size bytes: without its full stop, and its
 * capital goes down unless it is that of an abbreviation.  Nothing where there is no advice. */
void leat_rule_add_advice(char *dst, size_t size, struct leat_span advice);

#endif
