/*
 * Between confirm.c (readings, and the order of judgements), confirm_work.c (one piece of work), confirm_step.c (work
 * that nobody logged) and confirm_words.c.
 */
#ifndef LEAT_JUDGE_CONFIRM_PRIVATE_H
#define LEAT_JUDGE_CONFIRM_PRIVATE_H

#include "derive/daily.h"
#include "judge/confirm.h"

#define LEAT_CONFIRM_ROWS 16	/* more rows on one point than any works has */

struct leat_confirm_series {
	struct leat_span asset, point;	/* valid while the readings are open */
	const struct leat_unit *unit;	/* of its first number; NULL: none */
	struct leat_daily daily;
	bool kept;			/* a row judges by it */
	bool rare;			/* it comes from the laboratory or from stops */
	int decimals;			/* most that were written */
};

/* Some daily values in a row: days[from ... from + n - 1], and what they are. */
struct leat_confirm_values {
	size_t from, n;
	double median, sd;		/* NaN where n is 0 */
};

/* One judgement: of the newest entry of an event, or, entry NULL, of steps that no entry explains. */
struct leat_confirm_case {
	const struct leat_log_entry *entry;
	const struct leat_confirm_row *row;	/* of steps: the row in whose bounds the step lies, else NULL */
	const struct leat_confirm_series *series;
	struct leat_confirm_values before, after;
	double left;				/* measure left: the entry's, in the unit of the series */
	double change;				/* what the row's measure gives; NaN: nothing */
	enum leat_status status;
	bool waiting;				/* values may still come in time */
	struct leat_time time, since;
};

struct leat_confirm {
	struct leat_confirm_form form;
	struct leat_confirm_series *series;	/* by number of the series */
	size_t series_cap;
	struct leat_time time, now;
	struct leat_logbook book;		/* as it stood now */
	struct leat_confirm_case *found;
	size_t cases, case_cap;
	struct leat_confirm_count count;
};

/* Judges one entry by one row and series.  0, or -1 when memory is out. */
int leat_confirm_judge(const struct leat_confirm *confirm, const struct leat_log_entry *next, struct leat_confirm_case *c)
    LEAT_MUST_USE;

/* Looks for a step of the series that no entry explains, within the bounds of one of its rows.  1 when the series can be
 * judged so, and c is filled; 0 when it cannot; -1 when memory is out. */
int leat_confirm_step(const struct leat_confirm *confirm, const struct leat_confirm_series *s, struct leat_confirm_case *c)
    LEAT_MUST_USE;

/* Is the entry of this row's event, and is its asset one whose work the series shows? */
bool leat_confirm_concerns(const struct leat_confirm_row *row, const struct leat_log_entry *e,
    const struct leat_confirm_series *s);

/* Work is told of where it was done; of work on a whole each part that shows it is told of by itself. */
struct leat_span leat_confirm_asset(const struct leat_confirm_case *c);

/* A bound of the row in the unit of the series; ratios stay. */
double leat_confirm_bound(const struct leat_confirm_row *row, const struct leat_confirm_series *s, double bound);

/* What the row's measure gives, of values before and after and what was left; NaN: nothing.  And does that confirm? */
double leat_confirm_change(const struct leat_confirm_row *row, double before, double after, double left);
bool leat_confirm_within(const struct leat_confirm_row *row, const struct leat_confirm_series *s, double change);

#define LEAT_CONFIRM_TEXT 1024
void leat_confirm_words(char *dst, const struct leat_confirm *confirm, const struct leat_confirm_case *c);

#endif
