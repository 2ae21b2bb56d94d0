/*
 * The engine of leat-trend: slow changes of readings against the rows of trends.csv.
 *
 * Of each series that a row rules one value is kept for each works' day: the median of its good readings of that day for
 * which the row's gate was true.  Memory is per series and day, never per row.  At the end each series is judged:
 *
 *	segment		the days since the item was renewed, by the events of the logbook that do so
 *	scale		where a meter was changed, earlier values are made comparable by the ratio of before and after
 *	step		a sudden change that nothing in the logbook explains is told as a step, not as wear: what was before it
 *			is compared with nothing that comes after
 *	baseline	the first days of the segment, the nameplate, or a number
 *	level		the median of the last days, against the limits
 *	trend		the Theil-Sen line and Kendall's test with allowance for autocorrelation, and when the line reaches the
 *			limits, as a range
 *
 * What the data cannot show is said: too few days, too much noise for the limit, too many days without a value.
 */
#ifndef LEAT_JUDGE_TREND_H
#define LEAT_JUDGE_TREND_H

#include "stream/finding.h"
#include "stream/nameplate.h"
#include "stream/shelved.h"
#include "stream/trends.h"
#include "upkeep/logbook.h"

/* Judgements of the method, common practice; limits belong into trends.csv. */
#define LEAT_TREND_LEAST 10		/* daily values without which nothing is judged */
#define LEAT_TREND_FIRST 10		/* that make a baseline */
#define LEAT_TREND_LEVEL 5		/* whose median is the level: two wild days do not alarm */
#define LEAT_TREND_RUN_IN_S 86400.0	/* after a renewal before values count */
#define LEAT_TREND_CONFIDENCE 0.90	/* of a trend, and of the range of its slope */
#define LEAT_TREND_RATE_DAYS 60.0	/* whose running hours foretell those to come */
#define LEAT_TREND_COVERED 0.5		/* share of days with a value without which nothing is judged */
#define LEAT_TREND_STALE_DAYS 14.0	/* without a value, or three times the usual interval where that is longer */
#define LEAT_TREND_STALE_HOURS 48.0	/* a machine that ran less since its last value has merely stood */
#define LEAT_TREND_RARE_S (7 * 86400.0)	/* a point whose values hold longer comes from the laboratory or from stops: */
#define LEAT_TREND_RARE_LEAST 2		/* then so many values are judged, ... */
#define LEAT_TREND_RARE_LEVEL 3		/* ... so many make the level, ... */
#define LEAT_TREND_RARE_LINE 6		/* ... and so many a line; the first one is the baseline */

struct leat_trend_form {
	struct leat_readings *in;		/* all borrowed */
	const struct leat_trends *trends;
	const struct leat_points *points;
	const struct leat_nameplate *np;
	const struct leat_logbook *book;
	struct leat_time now;			/* later readings are left out; LEAT_TIME_NONE: the last one is now */
	struct leat_time since_time;		/* start of the window, or LEAT_TIME_NONE: since before now */
	struct leat_duration since;
	double ahead_s;				/* a limit that is reached within this time is told as an alert */
	bool all;				/* ok rows too */
	void (*warn)(const char *text);		/* is told what the user should know, never NULL */
};

/* The columns after those of every finding. */
#define LEAT_TREND_COLUMNS "baseline,ratio,slope,slope_low,slope_high,tau,p_value,n,coverage,detectable,p10,p50,p90"

struct leat_trend;

/* NULL when memory is out. */
struct leat_trend *leat_trend_new(const struct leat_trend_form *form);
void leat_trend_free(struct leat_trend *trend);

/* Takes one reading.  0, or -1 with err: memory, or a unit that cannot be compared with the row's. */
int leat_trend_take(struct leat_trend *trend, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* Judges as of that moment, in place of form.now: not before what was taken, and before leat_trend_end. */
void leat_trend_as_of(struct leat_trend *trend, struct leat_time now);

/* After the last reading: judges.  0, or -1 with err. */
int leat_trend_end(struct leat_trend *trend, struct leat_error *err) LEAT_MUST_USE;
struct leat_time leat_trend_now(const struct leat_trend *trend);

struct leat_trend_count {
	long long later;		/* readings later than now, left out */
	long long kept, idle, lesser;	/* of ruled points: taken, gate not true, not good or no number */
	size_t series, judged;		/* series in the stream, and pairs of series and row */
	size_t unmatched_shipped;	/* shipped rows that matched nothing */
	size_t written, found;		/* findings; of these not ok and not shelved */
};
struct leat_trend_count leat_trend_counted(const struct leat_trend *trend);

/* After leat_trend_end: writes all findings with the columns above, header and all, in the order of leat_finding_cmp.
 * shelves may be NULL.  0, or -1 with err. */
int leat_trend_findings(struct leat_trend *trend, const struct leat_shelves *shelves, struct leat_out *out,
    struct leat_error *err) LEAT_MUST_USE;

/* After leat_trend_end: writes how each judgement came about, of all, or where what is not empty of "ASSET/POINT" (a
 * pattern).  Returns how many were explained. */
size_t leat_trend_explain(struct leat_trend *trend, struct leat_out *out, struct leat_span what);

#endif
