/*
 * The engine of leat-diagnose: the findings of a night put together to the failures that are likely behind them, by the
 * matrix of fault and symptom of modes.csv (the approach of ISO 13379-1).
 *
 *	fact		one identity of the findings (asset, point, rule): there, judged and in order, or not to be told
 *	symptom		the facts that show the same thing; the gravest counts
 *	candidate	a mode at an item: where its symptoms are, as deep as they tell
 *	score		sum of weight x evidence over sum of |weight|, of the symptoms that are judged: -1..1
 *	strength	the score held back by what is not judged: x D / (D + 2), with D the sum of |weight| that is judged
 *	confidence	e^(k strength) of the candidate over that of it, its rivals and "something else"
 *
 * The strongest candidate of a mill is taken, with the findings that it explains; what is left is looked at again without
 * them.  So two failures at a time are told apart where their findings are.
 *
 * A fact is never made up: what no row says is in order is not judged, and counts for nothing.
 */
#ifndef LEAT_JUDGE_DIAGNOSE_H
#define LEAT_JUDGE_DIAGNOSE_H

#include "stream/finding.h"
#include "stream/modes.h"
#include "stream/reading.h"
#include "stream/shelved.h"

/* Judgements of the method, common practice; weights belong into modes.csv. */
#define LEAT_DIAGNOSE_ALERT 0.7		/* evidence of an alert, where an alarm is 1 */
#define LEAT_DIAGNOSE_ENDED 0.7		/* times that where its episode is over since yesterday */
#define LEAT_DIAGNOSE_HELD 2.0		/* one strong symptom's weight that is always thought not judged */
#define LEAT_DIAGNOSE_LEAST 0.2		/* score below which nothing is told */

#define LEAT_DIAGNOSE_TOLD 0.5		/* confidence below which the findings speak better for themselves */

#define LEAT_DIAGNOSE_SUREST 0.95	/* no simulation of some hundred nights shows more */

/* Of the confidence: set, and held against simulated works; leat-diagnose(1) has what came of that. */
#define LEAT_DIAGNOSE_STEEP 9.0
#define LEAT_DIAGNOSE_ELSE 0.20		/* strength of "something else" */

/* A machine is odd beyond so many robust standard deviations from the median of its kind: 3.5 after Iglewicz and Hoaglin,
 * How to Detect and Handle Outliers (1993), from memory. */
#define LEAT_SISTERS_ODD 3.5
#define LEAT_SISTERS_LEAST 3u		/* of a kind */
#define LEAT_SISTERS_DAYS 7.0		/* back from now: the median of their values is compared */
#define LEAT_SISTERS_FLOOR 0.05		/* of the median: machines of one kind differ by so much when new, common practice */

struct leat_diagnose_form {
	const struct leat_findings *findings;	/* all borrowed */
	const struct leat_modes *modes;
	const struct leat_shelves *shelves;	/* NULL: none */
	struct leat_time now;		/* later rows are left out; LEAT_TIME_NONE: leat_diagnose_as_of tells it */
	struct leat_time since;		/* what ended before counts as over */
	bool all;			/* ok rows too */
};

/* The columns after those of every finding. */
#define LEAT_DIAGNOSE_COLUMNS "explains,mode,score,coverage,runner_up,runner_up_confidence,for,against,missing,read"

struct leat_diagnose;

/* NULL when memory is out. */
struct leat_diagnose *leat_diagnose_new(const struct leat_diagnose_form *form);
void leat_diagnose_free(struct leat_diagnose *d);

/* Takes one reading: for how new each point's is, and where modes.csv has the point compared, for the comparison of sisters.
 * 0, or -1 with err. */
int leat_diagnose_take(struct leat_diagnose *d, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* Of many nights in one pass: the readings up to that one, which is not before what was taken, are to come; and from when on
 * what ended counts as over. */
void leat_diagnose_as_of(struct leat_diagnose *d, struct leat_time now);
void leat_diagnose_since(struct leat_diagnose *d, struct leat_time since);

/* After the last reading: diagnoses.  0, or -1 with err. */
int leat_diagnose_end(struct leat_diagnose *d, struct leat_error *err) LEAT_MUST_USE;

struct leat_diagnose_count {
	size_t later;			/* findings later than now, left out */
	size_t own;			/* of an earlier leat-diagnose, left out */
	size_t facts, open;		/* identities; of them alert or alarm now */
	size_t mills, candidates;
	size_t crowded;			/* candidates left out, a mill having too many */
	size_t diagnoses, plain;	/* likely modes; of them those that one finding says in full, which are not told */
	size_t explained;		/* open facts that a diagnosis which is told explains */
	size_t fine;			/* identities that are judged and in order ... */
	size_t ended;			/* ... and those whose episode is over since yesterday */
	long long readings, later_readings, unlike;	/* compared; later than now; not good, no number, or of another unit */
	size_t sisters, odd;		/* series compared; odd ones */
	size_t written, found;		/* findings; of them not ok and not shelved */
};
struct leat_diagnose_count leat_diagnose_counted(const struct leat_diagnose *d);

/* After leat_diagnose_end.  Findings with the columns above, header and all.  0, or -1 with err. */
int leat_diagnose_findings(struct leat_diagnose *d, struct leat_out *out, struct leat_error *err) LEAT_MUST_USE;

/* How each score came about, of all candidates, or where what is not empty of "ASSET/MODE" (a pattern).  Returns how many. */
size_t leat_diagnose_explain(struct leat_diagnose *d, struct leat_out *out, struct leat_span what);

/* Every candidate as CSV, the likeliest of each mill first. */
#define LEAT_DIAGNOSE_RANKING \
    "mill,asset,mode,rank,score,strength,coverage,confidence,runner_up,told,explains,for,against,missing\n"
void leat_diagnose_ranking(struct leat_diagnose *d, struct leat_out *out);

/* Of each mill and mode whether the findings could show it: blind (no strong symptom is judged), weak (less than half of the
 * weights is), seen; and what would open it. */
#define LEAT_DIAGNOSE_BLIND "mill,mode,state,coverage,judged,missing,read,judgements\n"
int leat_diagnose_blind(struct leat_diagnose *d, struct leat_out *out, struct leat_error *err) LEAT_MUST_USE;

#endif
