/*
 * Between loss.c (the stream and the flow of time), loss_minute.c (a minute of a mill), loss_day.c (what a works' day lost),
 * loss_leak.c (leaks), loss_wait.c (findings that wait), loss_words.c, loss_explain.c, loss_write.c and loss_fit.c.
 */
#ifndef LEAT_JUDGE_LOSS_PRIVATE_H
#define LEAT_JUDGE_LOSS_PRIVATE_H

#include "base/number.h"
#include "derive/agreed.h"
#include "derive/minutes.h"
#include "judge/loss.h"
#include "stream/current.h"

#define LEAT_LOSS_HOURS 26	/* of a works' day: 25 where the clock is set back, and the bounds may lie within an hour */
#define LEAT_LOSS_RING (LEAT_LOSS_DAYS + LEAT_LOSS_WINDOW + 1)

/* Low, middle and high of a range. */
enum { LEAT_LOSS_LOW, LEAT_LOSS_MIDDLE, LEAT_LOSS_HIGH, LEAT_LOSS_ENDS };

/* An hour, or the part of one that lies in a works' day: means of its admitted minutes. */
struct leat_loss_hour {
	struct leat_time end;
	double hours;			/* admitted */
	double bar, set_bar;
	double even_bar;		/* pressure that with sound seals would press as much; bar where that is not known */
	double agreed_bar;		/* the set point itself where nothing was agreed */
	double head_bar, feed_tph;	/* NaN: not known */
	double tolerance_bar;
	double kn;			/* pressing force of a cylinder; NaN: no head pressure, or no bore and rod */
	double lowered, unheld;		/* shares of the force at the agreed pressure that are missing: by the set point, and
					 * below it; without kn of the pressure */
	bool good;			/* no reading was uncertain */
	bool fed;			/* at the rated feed: the mill takes what it is given */
};

/* What an hour pressed with, to compare hours by: blind, its pressure. */
static inline double
leat_loss_press(const struct leat_loss_hour *h, bool blind)
{
	return blind ? h->bar : h->kn;
}

static inline bool
leat_loss_low(const struct leat_loss_hour *h)
{
	return h->lowered > 0 || h->unheld > 0;
}

/* A minute of grinding that is refused, and why; the first that applies. */
enum leat_loss_reason {
	LEAT_LOSS_NO_PRESSURE, LEAT_LOSS_NO_SETPOINT, LEAT_LOSS_SETTLING, LEAT_LOSS_NO_FEED, LEAT_LOSS_ADMITTED
};

struct leat_loss_day {
	struct leat_time start, end;
	long known, grinding;		/* minutes with a state, and of it grinding */
	long refused[LEAT_LOSS_ADMITTED + 1];	/* and, last, those of hours that have too few others */
	struct leat_loss_hour hour[LEAT_LOSS_HOURS];
	size_t hours;
};

struct leat_loss_plate {
	double set_bar, set_head_bar, tolerance_bar, settling_s, bore_mm, rod_mm, rated_tph;
	struct leat_time until;		/* LEAT_TIME_NONE: for good */
};

struct leat_loss_mill {
	struct leat_span asset;		/* valid while the readings are open */
	uint32_t state, pressure, setpoint, head, feed;	/* series; LEAT_NAME_NONE: never came */
	bool begun;
	struct leat_loss_plate plate;
	struct leat_agreed agreed;
	double anchor_bar;		/* where the set point was when it changed last; NaN: never known */
	struct leat_time admit_from;
	double bar;			/* of the minute; NaN: not known */
	/* Of the running hour: sums over its admitted minutes. */
	struct {
		long minutes, heads, feeds, uncertain;
		double bar, set_bar, agreed_bar, head_bar, feed_tph;
	} sum;
	struct leat_loss_day *day;	/* LEAT_LOSS_RING of them; day n in place n % LEAT_LOSS_RING, the running one last */
	size_t days;			/* that are over */
	struct leat_loss_hour *kept;	/* for the fit */
	size_t kepts, kept_cap;
};

/* What a leak is. */
enum leat_loss_kind { LEAT_LOSS_PUMP, LEAT_LOSS_INTERNAL, LEAT_LOSS_FILTER };

struct leat_loss_leak_day {
	double value;			/* L/min, of a filter bar; NaN: none was made for this day */
	double hours, bar;		/* under pressure, and at which (mean); of a filter bar is a flow in L/min */
	double known;			/* hours of which it is known whether there was pressure */
};

struct leat_loss_leak {
	struct leat_span asset, point;	/* valid while the readings are open */
	size_t mill;
	enum leat_loss_kind kind;
	uint32_t series;
	long minutes, known;		/* of the running day */
	double sum;			/* of pressures */
	struct leat_loss_leak_day day[LEAT_LOSS_DAYS];	/* day n in place n % LEAT_LOSS_DAYS */
};

struct leat_loss_pump {
	size_t mill;
	uint32_t asset_id, running;
	int on;				/* in this minute: 1, 0, or -1 where it is not known */
};

struct leat_loss {
	struct leat_loss_form form;
	struct leat_current current;
	struct leat_minutes minutes;
	const struct leat_unit *bar, *lpm, *tph;
	struct leat_names mill_names;
	struct leat_loss_mill *mill;
	struct leat_loss_pump *pump;
	struct leat_loss_leak *leak;
	uint8_t *role;			/* by series */
	size_t mill_cap, pumps, pump_cap, leaks, leak_cap, role_cap;
	uint32_t grinding, unknown;	/* words */
	struct leat_time last, now;
	struct leat_time end[LEAT_LOSS_RING];	/* of works' day n in place n % LEAT_LOSS_RING */
	size_t days;
	struct leat_logbook book;	/* as it stood now */
	double *work;			/* room for all hours of a ring, twice */
	struct leat_loss_count count;
};

/* How a day's low hours stand to the feed. */
enum leat_loss_verdict {
	LEAT_LOSS_HELD,			/* there are none */
	LEAT_LOSS_UNREAD,		/* the feed is not read */
	LEAT_LOSS_ALONE,		/* too few hours at held pressure near enough in time */
	LEAT_LOSS_SWAYS,		/* the feed sways more at held pressure than the force could change it */
	LEAT_LOSS_UNMOVED,		/* the feed did not fall: the mill was not limited by its pressure */
	LEAT_LOSS_OTHER,		/* it fell more than the force explains */
	LEAT_LOSS_SEPARABLE,
	LEAT_LOSS_VERDICTS
};

/* What a day, or several, came to. */
struct leat_loss_result {
	enum leat_loss_verdict verdict;	/* of a day */
	double all_h, known_h;		/* of the days; with the state and, while grinding, pressure and set point known */
	double unseen_h, unfed_h;	/* of grinding: pressure or set point not known; no feed */
	double grinding_h, low_h, lowered_h, unheld_h, fed_h;
	double m[LEAT_LOSS_ENDS];
	double held_h, held_tph, held_press, low_tph, low_press; /* of the comparison; NaN: none */
	double missing, fell, sway;	/* shares: of the force, of the feed, and what the feed sways anyway */
	bool blind;			/* some low hour has no force: pressures are compared in its place */
	double lowered_t[LEAT_LOSS_ENDS], unheld_t[LEAT_LOSS_ENDS];
	double kwh[LEAT_LOSS_ENDS], money[LEAT_LOSS_ENDS];	/* NaN: auxiliaries' power, or the margin, is not known */
	double told_h;			/* low hours whose loss is told, 0 where the feed did not fall ... */
	double separable_h;		/* ... and those of them in which it fell */
	size_t days[LEAT_LOSS_VERDICTS];
};

/* loss_minute.c */
int leat_loss_look(struct leat_loss *loss, struct leat_loss_mill *mill, bool *known, struct leat_error *err);
int leat_loss_end_hour(struct leat_loss *loss, struct leat_loss_mill *mill, struct leat_time at);
struct leat_loss_day *leat_loss_running(struct leat_loss_mill *mill);

/* loss_day.c: of day n of a mill, counted as mill->days; of the last so many days, sums; total t of an end of a result. */
void leat_loss_of_day(struct leat_loss *loss, const struct leat_loss_mill *mill, size_t n, struct leat_loss_result *result);
void leat_loss_of_days(struct leat_loss *loss, const struct leat_loss_mill *mill, size_t count,
    struct leat_loss_result *result);
double leat_loss_tonnes(const struct leat_loss_result *result, int end);
double leat_loss_plate_number(const struct leat_loss *loss, struct leat_span asset, const char *property,
    struct leat_time at);

/* loss_leak.c: energy of a leak over the last so many days, and how many of them had a value. */
struct leat_loss_power {
	double kwh[LEAT_LOSS_ENDS], hours;
	double level, bar;		/* median of the last values, mean pressure (of a filter flow) */
	double hours_a_day;		/* by the hours that are known; NaN: none is */
	double slope[LEAT_LOSS_ENDS];	/* of the value a day; NaN: too few values */
	size_t values, days;		/* days with a value; of them those with a pressure and a known hour */
};
void leat_loss_leak_minute(struct leat_loss *loss);
int leat_loss_leak_day(struct leat_loss *loss, struct leat_error *err);
int leat_loss_power_of(struct leat_loss *loss, const struct leat_loss_leak *leak, size_t days,
    struct leat_loss_power *power) LEAT_MUST_USE;
void leat_loss_efficiency(const struct leat_loss *loss, struct leat_span asset, double share[LEAT_LOSS_ENDS]);
double leat_loss_as_new(const struct leat_loss *loss, const struct leat_loss_leak *leak);
const char *leat_loss_leak_rule(enum leat_loss_kind kind);

/* Money of the works: NaN where the nameplate gives none. */
struct leat_loss_prices {
	double kwh, tonne;
	char currency[16];		/* "money" where none is named */
};
void leat_loss_prices_of(const struct leat_loss *loss, struct leat_span asset, struct leat_loss_prices *prices);

/* loss_wait.c: what findings of one kind at one asset cost. */
enum leat_loss_cost {
	LEAT_LOSS_COST_SETPOINT, LEAT_LOSS_COST_PRESSURE, LEAT_LOSS_COST_PUMP, LEAT_LOSS_COST_INTERNAL, LEAT_LOSS_COST_FILTER,
	LEAT_LOSS_COST_COOLER, LEAT_LOSS_COST_GAS, LEAT_LOSS_COSTS
};
struct leat_loss_wait {
	enum leat_loss_cost cost;
	struct leat_span asset;
	struct leat_time since;
	double baseline;		/* of the findings, in the unit of the leak; NaN: none */
	struct leat_time due;		/* the earliest of the findings, later than now; LEAT_TIME_NONE: none */
	double excess[LEAT_LOSS_ENDS];	/* of a leak, above what it was as new */
	struct leat_loss_power power;
	size_t days;			/* the last ones, in which it was open already ... */
	struct leat_loss_result recent;	/* ... and what the mill lost in them */
	struct leat_buf explains;
	bool told;			/* the rest is known */
	double per_day[LEAT_LOSS_ENDS];	/* in unit a day */
	char unit[24];			/* "t", "kWh" or a currency */
	double kw[LEAT_LOSS_ENDS];	/* of leaks, while under pressure */
	double kw_stop[LEAT_LOSS_ENDS];	/* the same at the next stop; NaN: no stop, or no trend */
	struct leat_time stop;		/* next planned, else the do-by date of a finding; LEAT_TIME_NONE: none */
	bool planned;
	double until[LEAT_LOSS_ENDS];	/* in unit */
	const struct leat_loss_leak *leak;
};
int leat_loss_waits(struct leat_loss *loss, struct leat_loss_wait **wait, size_t *count) LEAT_MUST_USE;
void leat_loss_waits_free(struct leat_loss_wait *wait, size_t count);
const char *leat_loss_cost_point(enum leat_loss_cost cost);

/* Share of the time in % that is known. */
double leat_loss_coverage(const struct leat_loss_result *result);
/* Was nothing seen of the pressure, whenever the mill may have ground? */
bool leat_loss_unseen(const struct leat_loss_result *result);

/* loss_words.c; dst has LEAT_LOSS_TEXT bytes. */
#define LEAT_LOSS_TEXT 1024
void leat_loss_mill_words(char *dst, const struct leat_loss *loss, const struct leat_loss_mill *mill,
    const struct leat_loss_result *result);
void leat_loss_verdict_words(char *dst, const struct leat_loss_result *result);
void leat_loss_leak_words(char *dst, const struct leat_loss *loss, const struct leat_loss_leak *leak,
    const struct leat_loss_power *power);
void leat_loss_wait_words(char *dst, const struct leat_loss *loss, const struct leat_loss_wait *wait);
#define leat_loss_add(dst, ...) leat_append(dst, LEAT_LOSS_TEXT, __VA_ARGS__)
/* The end of a range: three digits are all that it is known to. */
void leat_loss_amount(char dst[LEAT_NUMBER_MAX], double value);
void leat_loss_add_range(char *dst, double low, double high, const char *unit);

#endif
