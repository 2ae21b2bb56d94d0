/*
 * Between the files of the trend engine only.
 */
#ifndef LEAT_JUDGE_TREND_PRIVATE_H
#define LEAT_JUDGE_TREND_PRIVATE_H

#include "derive/daily.h"
#include "judge/trend.h"
#include "stats/change.h"
#include "stats/forecast.h"
#include "stats/kendall.h"
#include "stats/line.h"
#include "stream/current.h"

#define DAY_S 86400.0

/* One row of trends.csv on one series. */
struct leat_trend_watch {
	const struct leat_trend_row *row;
	uint32_t series, asset_id, point_id;
	const struct leat_unit *unit;	/* of its first number; NULL: none */
	struct leat_daily daily;	/* with the hours of the row's clock, NaN where they are not known */
	struct leat_time seen;		/* its first reading, of any quality */
	int decimals;			/* most that were written */
	long long idle, lesser;		/* readings not taken: gate not true, not good or no number */
};

/* What the logbook says of a meter that was changed, and the data confirm. */
struct leat_trend_scale {
	struct leat_time at;		/* the first value after it */
	double ratio;			/* after / before: earlier values are multiplied by it */
	const struct leat_log_entry *entry;
};
#define LEAT_TREND_SCALES 4

struct leat_trend_step {
	bool found;
	struct leat_time at;		/* the first value after it */
	double before, after, ratio;
	const char *factor;		/* what the ratio suggests, in words; NULL: nothing */
};

enum leat_trend_lack {
	LEAT_TREND_TELLS,
	LEAT_TREND_FEW,			/* values */
	LEAT_TREND_STALE,		/* no new ones */
	LEAT_TREND_THIN,		/* days with a value */
	LEAT_TREND_NO_BASELINE,		/* the nameplate has none */
	LEAT_TREND_STEPPED,		/* nothing since the step compares with the baseline */
	LEAT_TREND_NOISY		/* the limit lies within the noise */
};

#define LEAT_TREND_FACTOR_NEAR 0.06	/* a ratio this near to a factor suggests it, ... */
#define LEAT_TREND_FACTOR_FAR 0.10	/* ... and where values sway, as raw ones with the oil's temperature, this near */

/* The values from some index on, as a line. */
enum {
	LEAT_TO_ALERT, LEAT_TO_ALARM	/* places in what is foretold of both limits */
};

struct leat_trend_line {
	size_t from, foretold_from;	/* the forecasts need no shorter line where the change grew faster */
	struct leat_line line;
	struct leat_kendall kendall;
	struct leat_forecast to[LEAT_FORECAST_LIMITS];
	bool late[LEAT_FORECAST_LIMITS]; /* that forecast is of a longer line, which is less steep: the latest there can be */
};

/* A limit ahead, once told, is told until it is so many times the time of --ahead away: forecasts waver. */
#define LEAT_TREND_HOLDS 1.5

/* A series as judged at a moment.  Arrays have n values from the first of the segment on. */
struct leat_trend_case {
	const struct leat_trend_watch *watch;
	struct leat_time now;
	size_t n;
	double *value, *date, *x, *y;	/* scaled; days since 1970; by the row's clock; by the row's model */
	struct leat_time *time;
	bool by_hours;			/* x is hours of the row's clock */
	bool no_hours;			/* the row asks for them, and there are none */
	bool rare;			/* it comes from the laboratory or a stop: each reading counts for much */
	double per_day;			/* of these hours a day, of late */
	double per_day_sd;		/* standard deviation of those of a week, a day */
	double offset;			/* taken off before the cube root */

	const struct leat_log_entry *reset; /* began the segment; NULL: the data did */
	struct leat_trend_scale scale[LEAT_TREND_SCALES];
	size_t scales;
	struct leat_trend_step step;	/* the last that is not explained */
	size_t fit_from;		/* first value after it, and within the row's window */

	bool has_baseline;
	double baseline;
	size_t baseline_n;
	double alert, alarm;		/* limits as values; NaN: none */

	double level;
	double sigma;			/* of daily values around their line */
	double n_eff;			/* independent values in seven days, at least 1 */
	double baseline_sd;		/* standard deviation of a baseline that was measured; 0: it is given */
	double detectable;
	double coverage;		/* share of days with a value since the segment began */
	enum leat_trend_lack lack;

	bool fitted;
	bool accelerates;		/* the line is that of the newest third */
	struct leat_trend_line best;

	enum leat_status status;
	struct leat_time since, reached; /* LEAT_TIME_NONE where there is none */
	bool ahead;			/* the status is for what will come */
	bool near;			/* a limit is so near that what told it before goes on to tell it */
};

/* An episode that ended within the window. */
struct leat_trend_over {
	struct leat_trend_case last;	/* as judged on its last night */
	bool is_step;			/* of an unexplained step, else of the row itself */
	struct leat_time until;
	const struct leat_log_entry *renewal; /* which ended it, or NULL */
};

struct leat_trend {
	struct leat_trend_form form;
	struct leat_current current;
	bool *resolved;			/* by series */
	size_t resolved_cap;
	bool *asked;			/* by series: it is watched, or gates and clocks look at its point */
	size_t asked_cap;
	uint32_t *first, *watches_of;	/* by series: its watches are watch[first ... first + watches_of - 1] */
	size_t first_cap, of_cap;
	struct leat_trend_watch *watch;
	size_t watches, watch_cap;
	uint32_t *pending;
	size_t pendings, pending_cap;
	bool *is_pending;
	size_t is_pending_cap;
	struct leat_time time;
	bool *matched;			/* by row of trends */
	struct leat_time now, since;
	struct leat_trend_case *found;	/* one for each watch, after leat_trend_end */
	struct leat_trend_over *over;
	size_t overs, over_cap;
	struct leat_trend_count count;
};

struct leat_span leat_trend_asset(const struct leat_trend *trend, const struct leat_trend_watch *w);
struct leat_span leat_trend_point(const struct leat_trend *trend, const struct leat_trend_watch *w);

/* trend_case.c: the segment, its baseline and limits, from what was known at now.  0, or -1 when memory is out. */
int leat_trend_case_begin(const struct leat_trend *trend, const struct leat_trend_watch *w, struct leat_time now,
    struct leat_trend_case *c) LEAT_MUST_USE;
void leat_trend_case_free(struct leat_trend_case *c);
/* A row's number, which is in the row's unit or else that of the point, in the unit of the series. */
double leat_trend_in_unit(const struct leat_trend *trend, const struct leat_trend_watch *w, double value);

/* trend_step.c: takes logged changes of the meter out and finds the last step that nothing explains.  0, or -1 when memory is
 * out. */
int leat_trend_find_steps(const struct leat_trend *trend, struct leat_trend_case *c) LEAT_MUST_USE;
/* "L/min became gal/min" for a ratio that is near (as a share) one of units or decades; NULL for others.  unit NULL: any. */
const char *leat_trend_factor(double ratio, const struct leat_unit *unit, double near);

/* trend_fit.c: level, line, forecast, status. */
int leat_trend_case_fit(struct leat_trend *trend, struct leat_trend_case *c) LEAT_MUST_USE;
/* Makes a case that is in order one that tells a limit ahead. */
void leat_trend_tell_ahead(struct leat_trend_case *c);
/* The dates of P10, P50 and P90 of a forecast, each LEAT_TIME_NONE where it is beyond the horizon.  False when there is no
 * P50. */
bool leat_trend_dates(const struct leat_trend_case *c, const struct leat_forecast *f, struct leat_time date[3]);
/* Values without which nothing is judged. */
size_t leat_trend_least(const struct leat_trend_case *c);
/* Running hours of the watched asset now; NaN where they are not known. */
double leat_trend_hours(struct leat_trend *trend, const struct leat_trend_watch *w);
/* The value that an y stands for. */
double leat_trend_value(const struct leat_trend_case *c, double y);

/* trend_episode.c: when the episode of the judgement at now began, and those that ended since.  Past nights are judged again,
 * each by what was known then.  0, or -1 when memory is out. */
int leat_trend_episodes(struct leat_trend *trend, struct leat_trend_case *found) LEAT_MUST_USE;

/* trend_words.c */
#define LEAT_TREND_TEXT 1200
void leat_trend_words(char *dst, const struct leat_trend *trend, const struct leat_trend_case *c);
void leat_trend_step_words(char *dst, const struct leat_trend *trend, const struct leat_trend_case *c);
void leat_trend_over_words(char *dst, const struct leat_trend *trend, const struct leat_trend_over *over);
void leat_trend_number(char *dst, double value, int decimals);
const char *leat_trend_unit(const struct leat_trend_case *c);
int leat_trend_decimals(const struct leat_trend_case *c);

#endif
