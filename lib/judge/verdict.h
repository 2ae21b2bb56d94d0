/*
 * The engine of leat-verdict: may the oil of each tank stay, by the results of its samples and the rows of oil.csv?
 *
 * A sampling point is an asset with results; the asset above it is the tank.  Results of a tank within two hours of each
 * other are one sampling, and of several bottles of one sample the highest counts.  A result is beyond its limits by the
 * row, or by what the sampling point's own results before it make usual: the nearer limit counts.  So many samplings one
 * after the other as the row's confirm says make sure of it.
 *
 * What is reversible comes first: dirt is filtered, water is dried.  What is not needs fresh oil: a part of it, where the
 * mixture is then well within the limits, or all.  A first result that is not confirmed asks for a second sample.
 *
 * Memory: some hundred results for each sampling point and row.
 */
#ifndef LEAT_JUDGE_VERDICT_H
#define LEAT_JUDGE_VERDICT_H

#include "stream/finding.h"
#include "stream/nameplate.h"
#include "stream/oil_rules.h"
#include "stream/shelved.h"
#include "upkeep/logbook.h"

/* Judgements of the method; limits belong into oil.csv. */
#define LEAT_VERDICT_KEPT 400u		/* results kept of one sampling point and row, the newest */
#define LEAT_VERDICT_OWN 8u		/* results before from which own limits are made (published survey) ... */
#define LEAT_VERDICT_LOOK_BACK 24u	/* ... and the most that make them (common practice) */
#define LEAT_VERDICT_ALERT_SPREADS 2.0	/* from the median, in 1.48 median distances (published survey) */
#define LEAT_VERDICT_ALARM_SPREADS 3.0
#define LEAT_VERDICT_SAMPLING_S 7200.0	/* results of a tank within it are one sampling */

/* In the order of what outdoes what. */
enum leat_oil_verdict {
	LEAT_VERDICT_UNKNOWN,
	LEAT_VERDICT_KEEP,
	LEAT_VERDICT_RESAMPLE,		/* one bad result: take a second sample before anything is done */
	LEAT_VERDICT_CLEAN,
	LEAT_VERDICT_DRY,
	LEAT_VERDICT_RENEW,		/* a part of the oil */
	LEAT_VERDICT_CHANGE
};

const char *leat_oil_verdict_name(enum leat_oil_verdict verdict);

struct leat_verdict_form {
	struct leat_readings *in;		/* all borrowed */
	const struct leat_oil_rules *rules;
	const struct leat_points *points;
	const struct leat_nameplate *np;
	const struct leat_logbook *book;
	struct leat_time now;			/* later readings are left out; LEAT_TIME_NONE: the last one is now */
	struct leat_time since_time;		/* start of the window, or LEAT_TIME_NONE: since before now */
	struct leat_duration since;
	bool all;				/* ok rows too */
	void (*warn)(const char *text);		/* is told what the user should know, never NULL */
};

/* The columns after those of every finding. */
#define LEAT_VERDICT_COLUMNS "verdict,confirmed,sampled,valid_until,clean_hours,dry_hours,renew_litres,change_litres"

/* The rule of every finding about a tank. */
#define LEAT_VERDICT_RULE "oil-verdict"

struct leat_verdict;

/* NULL when memory is out. */
struct leat_verdict *leat_verdict_new(const struct leat_verdict_form *form);
void leat_verdict_free(struct leat_verdict *verdict);

/* Takes one reading.  0, or -1 with err: memory, or a unit that cannot be compared with the row's. */
int leat_verdict_take(struct leat_verdict *verdict, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* Judges as of that moment, in place of form.now: not before what was taken, and before leat_verdict_end. */
void leat_verdict_as_of(struct leat_verdict *v, struct leat_time now);

/* After the last reading: judges.  0, or -1 with err. */
int leat_verdict_end(struct leat_verdict *verdict, struct leat_error *err) LEAT_MUST_USE;
struct leat_time leat_verdict_now(const struct leat_verdict *verdict);

struct leat_verdict_count {
	long long later;		/* readings later than now, left out */
	long long results, idle, lesser; /* of ruled points: taken, gate not true, bad or no number */
	size_t tanks, series;		/* judged; pairs of sampling point and row */
	size_t unmatched_shipped;	/* shipped rows that matched nothing */
	size_t written, found;		/* findings; of these not ok and not shelved */
};
struct leat_verdict_count leat_verdict_counted(const struct leat_verdict *verdict);

/* After leat_verdict_end: writes all findings with the columns above, header and all, in the order of leat_finding_cmp.
 * shelves may be NULL.  0, or -1 with err. */
int leat_verdict_findings(struct leat_verdict *verdict, const struct leat_shelves *shelves, struct leat_out *out,
    struct leat_error *err) LEAT_MUST_USE;

/* After leat_verdict_end: writes how each verdict came about, of all tanks, or where what is not empty of "TANK" or
 * "TANK/oil-verdict" (patterns).  Returns how many were explained. */
size_t leat_verdict_explain(struct leat_verdict *verdict, struct leat_out *out, struct leat_span what);

#endif
