/*
 * What limits.csv, trends.csv, oil.csv and confirm.csv have in common: the works' rows before the shipped ones, each with
 * patterns of assets and points, a name of its rule and advice, and which of the rows rules where.
 */
#ifndef LEAT_STREAM_RULE_ROW_H
#define LEAT_STREAM_RULE_ROW_H

#include "stream/gate.h"
#include "stream/points.h"
#include "stream/table.h"

/* What each row of such a table has; it is the first member of the table's own struct.  Spans point into the table. */
struct leat_rule {
	struct leat_span asset, point;	/* globs */
	struct leat_gate *when;		/* NULL: always */
	struct leat_span name;		/* of the rule, never empty */
	struct leat_span advice, source;
	bool shipped;			/* from the compiled-in table */
	bool off;			/* switches its rule off where it is the one that rules */
	long line;
	const char *file;
	int asset_weight, point_weight;	/* how specific the globs are */
};

/* A kind of table: limits.csv, ... */
struct leat_rule_form {
	const struct leat_table_form *table;	/* has "asset", "point", "rule", "advice", "source", and "when" where rows have gates */
	const char *shipped_name;	/* of the compiled-in table, for messages */
	const char *(*shipped)(void);	/* its text */
	size_t size;			/* of a row's struct */
	/* Fills a row, of which shipped, line and file are set and the rest is zero: the common columns by leat_rule_take, those
	 * of its own, and whether it is off.  0, or -1 with err. */
	int (*take)(void *row, const struct leat_table *t, size_t i, struct leat_error *err);
};

/* The rows of the works, then the shipped ones. */
struct leat_rule_table {
	const struct leat_rule_form *form;
	void *row;
	size_t count, cap;
	struct leat_table *works, *shipped;
};

/* The works' rows (an absent file is an empty table) and the shipped ones.  Twice the same asset, point and rule is a fault.
 * 0, or -1 with err. */
int leat_rule_table_read(struct leat_rule_table *rules, const struct leat_rule_form *form, const char *path, bool *absent,
    struct leat_error *err) LEAT_MUST_USE;
/* The same from a table that was read by form->table (NULL: none).  Taken over when it succeeds; else still the caller's. */
int leat_rule_table_make(struct leat_rule_table *rules, const struct leat_rule_form *form, struct leat_table *works,
    struct leat_error *err) LEAT_MUST_USE;
void leat_rule_table_free(struct leat_rule_table *rules);

/* What row i, below rules->count, has in common with those of the other tables. */
const struct leat_rule *leat_rule_at(const struct leat_rule_table *rules, size_t i);

/* The rows that rule one series: of each rule the works' rows before the shipped ones, then the most specific (by the
 * asset first, then by the point), then the later line; rows that switch their rule off are left out.  Writes up to max
 * row indices and returns how many rule (which may be more than max). */
size_t leat_rule_for(const struct leat_rule_table *rules, struct leat_span asset, struct leat_span point, size_t *index,
    size_t max);

/* Marks the rows whose patterns fit the series, whether they rule or not; matched has one of each row. */
void leat_rule_matched(const struct leat_rule_table *rules, struct leat_span asset, struct leat_span point, bool *matched);

/* Is the row there in place of a shipped one?  Then it may match nothing, as that one may. */
bool leat_rule_stands_for_shipped(const struct leat_rule_table *rules, const struct leat_rule *rule);

bool leat_rule_is_glob(struct leat_span text);

/* Reads the common columns of a row but for its gate, which comes last of all; fallback is the rule's name where its cell is
 * empty.  0, or -1 with err: asset or point is empty, or the name is no slug. */
int leat_rule_take(struct leat_rule *rule, const struct leat_table *t, size_t i, const char *fallback,
    struct leat_error *err) LEAT_MUST_USE;

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

/* For tables of other rows: reads the shipped table, which text is, and takes the rows of the works' table (NULL: none) and
 * then its own into what rows points at.  *shipped is the caller's, NULL when it cannot be read.  0, or -1 with err. */
typedef int leat_rule_take_row(void *rows, const struct leat_table *t, size_t i, bool shipped, struct leat_error *err);
int leat_rule_tables(struct leat_table **shipped, const char *name, const char *text, const struct leat_table *works,
    const struct leat_table_form *form, leat_rule_take_row *take, void *rows, struct leat_error *err) LEAT_MUST_USE;

/* Adds a row's advice behind a semicolon to the sentence in dst, a text of size bytes: without its full stop, and its
 * capital goes down unless it is that of an abbreviation.  Nothing where there is no advice. */
void leat_rule_add_advice(char *dst, size_t size, struct leat_span advice);

#endif
