/*
 * oil.csv: by which results of oil samples the oil is judged, what each asks for, and how sure it has to be.
 *
 * Columns: asset,point,when,low_alarm,low_alert,high_alert,high_alarm,unit,own,least,fresh,verdict,confirm,needed,max_age,
 * rule,advice,source.  asset and point are globs; which row rules where is as in limits.csv.
 */
#ifndef LEAT_STREAM_OIL_RULES_H
#define LEAT_STREAM_OIL_RULES_H

#include "stream/rule_row.h"

/* What a result beyond its limits asks for. */
enum leat_oil_cure {
	LEAT_OIL_LOOK,		/* "look": the oil may stay, its cause is to be looked for */
	LEAT_OIL_CLEAN,		/* "clean": filtration brings it back */
	LEAT_OIL_DRY,		/* "dry": dehydration brings it back */
	LEAT_OIL_RENEW		/* "renew": nothing but fresh oil does, a part where that is enough */
};

/* Sides on which a sampling point's own results make limits, bits. */
#define LEAT_OIL_OWN_LOW 1u
#define LEAT_OIL_OWN_HIGH 2u

#define LEAT_OIL_CONFIRM_MAX 9L

struct leat_oil_rule {
	struct leat_rule rule;		/* its name is "oil" when the table has none; off where there are neither limits nor own */
	struct leat_rule_levels level;
	const struct leat_unit *unit;	/* NULL: the point's own */
	unsigned own;			/* LEAT_OIL_OWN_...: the nearer of these limits and those of the row counts */
	double least;			/* distance from the median that own limits have at least, above 0 where own is set */
	bool has_fresh;
	double fresh;			/* the point's value of fresh oil */
	enum leat_oil_cure cure;
	int confirm;			/* results one after the other that make sure of it, 1 or more */
	bool needed;			/* without a result that is not too old nothing is said to be in order */
	double max_age_s;
};

struct leat_oil_rules {
	struct leat_rule_table table;
	struct leat_oil_rule *row;	/* the table's, with their type */
	size_t count;
};

/* "look", "clean", "dry", "renew". */
const char *leat_oil_cure_name(enum leat_oil_cure cure);

/* The works' rows (an absent file is an empty table) and the shipped ones.  0, or -1 with err: leat-works(5) lists what is
 * a fault. */
int leat_oil_rules_read(struct leat_oil_rules *rules, const char *path, bool *absent, struct leat_error *err) LEAT_MUST_USE;
/* The same from a table that was read by this form (NULL: none).  Taken over when it succeeds; else still the caller's. */
extern const struct leat_table_form leat_oil_rules_form;
int leat_oil_rules_make(struct leat_oil_rules *rules, struct leat_table *works, struct leat_error *err) LEAT_MUST_USE;
void leat_oil_rules_free(struct leat_oil_rules *rules);

/* The rows that rule one series, chosen as those of limits.csv are (leat_limits_for).  Writes up to max row indices and
 * returns how many rule. */
size_t leat_oil_rules_for(const struct leat_oil_rules *rules, struct leat_span asset, struct leat_span point, size_t *index,
    size_t max);

/* The shipped table as CSV text, for --print-defaults. */
const char *leat_oil_rules_defaults(void);

#endif
