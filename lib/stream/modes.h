/*
 * modes.csv: failure modes, and the findings that are symptoms of each.
 *
 * Columns: mode,symptom,rule,asset,point,says,where,weight,absent,plain,read,advice,source.  Rows of one mode with one
 * symptom are ways to see the same thing: it counts once.  The weight tells how strongly a symptom speaks for its mode, below
 * zero that it speaks against it.
 */
#ifndef LEAT_STREAM_MODES_H
#define LEAT_STREAM_MODES_H

#include "stream/table.h"

/* From this weight on a symptom is strong: a mode is not thought of without one. */
#define LEAT_MODE_STRONG 2.0
#define LEAT_MODE_WEIGHT_MAX 3.0

/* A finding that shows the symptom. */
struct leat_mode_row {
	struct leat_span mode, symptom;	/* as written */
	struct leat_span rule, asset, point;	/* globs */
	struct leat_span says;		/* glob of the message; empty: whatever it says */
	bool mill;			/* anywhere in the mill, else at the item, what it is part of and its own parts */
	bool plain;			/* names its mode by itself */
	bool has_weight;
	double weight;
	double absent;			/* the evidence when it is judged and not there, -1..0 */
	struct leat_span read, advice, source;
	bool shipped;
	long line;
	const char *file;
};

struct leat_symptom {
	struct leat_span words, read;	/* for people; read: what would show it */
	double weight;
	size_t *row, rows;		/* indices of struct leat_modes.row; the first of the mode's */
};

struct leat_mode {
	struct leat_span name, advice, source;
	struct leat_symptom *symptom;	/* owned */
	size_t symptoms;
	double whole;			/* sum of |weight| */
};

struct leat_modes {
	struct leat_mode_row *row;	/* as read: the works' rows, then the shipped ones */
	size_t rows, row_cap;
	struct leat_mode *mode;		/* in the order of their names */
	size_t count;
	size_t *index;			/* what leat_symptom.row points into */
	struct leat_table *works, *shipped;
};

/* The works' rows (an absent file is an empty table) and the shipped ones.  Where the works has rows of a mode and symptom,
 * the shipped ones of that symptom do not count.  A row without weight switches its symptom off, or with the symptom '*' the
 * whole mode as shipped.  0, or -1 with err: leat-works(5) lists what is a fault. */
int leat_modes_read(struct leat_modes *modes, const char *path, bool *absent, struct leat_error *err) LEAT_MUST_USE;
/* The same from a table that was read by this form (NULL: none).  Taken over when it succeeds; else still the caller's. */
extern const struct leat_table_form leat_modes_form;
int leat_modes_make(struct leat_modes *modes, struct leat_table *works, struct leat_error *err) LEAT_MUST_USE;
void leat_modes_free(struct leat_modes *modes);

/* The index of the mode of that name, or modes->count. */
size_t leat_modes_find(const struct leat_modes *modes, struct leat_span name);

/* The shipped table as CSV text, for --print-defaults. */
const char *leat_modes_defaults(void);

#endif
