/*
 * Level, noise, line and forecast of a series, and what they come to.
 */
#include <math.h>
#include <stdlib.h>

#include "judge/trend_private.h"
#include "stats/knee.h"
#include "stats/order.h"

#define FORECAST_LEAST 6	/* values that leat_forecast_reach needs */
#define ACCELERATION_LEAST 30	/* values of which the newest third is a line of its own */
#define ACCELERATION_MATTERS 1.1 /* times the whole's slope */
#define USUAL_INTERVAL_DAYS 2.0	/* up to this a series is one of daily values */
#define ABOVE_ZERO 1e-9		/* what counts in place of a value that has no logarithm */

double
leat_trend_value(const struct leat_trend_case *c, double y)
{
	switch (c->watch->row->model) {
	case LEAT_MODEL_CUBE_ROOT:
		return y * y * y + c->offset;
	case LEAT_MODEL_EXPONENTIAL:
		return exp(y);
	default:
		return y;
	}
}

static double
transform(const struct leat_trend_case *c, double value)
{
	switch (c->watch->row->model) {
	case LEAT_MODEL_CUBE_ROOT:
		return cbrt(value - c->offset);
	case LEAT_MODEL_EXPONENTIAL:
		return log(fmax(value, ABOVE_ZERO));
	default:
		return value;
	}
}

size_t
leat_trend_least(const struct leat_trend_case *c)
{
	/* The first reading after a renewal at a stop is the beginning itself, and the next one may be months away. */
	return !c->rare ? LEAT_TREND_LEAST : c->reset != NULL && c->baseline_n > 0 ? 1 : LEAT_TREND_RARE_LEAST;
}

/* Days from the last value to an x. */
static double
days_to(const struct leat_trend_case *c, double x)
{
	double ahead = x - c->x[c->n - 1];

	return c->by_hours ? ahead / c->per_day : ahead;
}

/* How many days a limit that is a multiple of a measured baseline may be off. */
static double
limit_days(const struct leat_trend_case *c, double limit)
{
	double sd = c->watch->row->multiple && c->has_baseline ? c->baseline_sd * fabs(limit / c->baseline) : 0;
	double off = transform(c, limit + sd) - transform(c, limit), slope = fabs(c->best.line.slope);

	return sd > 0 && slope > 0 ? fabs(off) / slope / (c->by_hours ? c->per_day : 1) : 0;
}

/* Running hours to come are those of late, give or take: a week has about per_day_sd more or less a day, and so many weeks
 * the root of their number less.  With the spread of the line itself, as independent errors are added. */
bool
leat_trend_dates(const struct leat_trend_case *c, const struct leat_forecast *f, struct leat_time date[3])
{
	static const double tenth = 1.2816;	/* of the normal distribution, in standard deviations */
	const double p[3] = { f->p10, f->p50, f->p90 };
	double middle, weeks, more;

	date[0] = date[1] = date[2] = LEAT_TIME_NONE;
	if (!f->trend || !isfinite(f->p50))
		return false;
	middle = days_to(c, f->p50);
	weeks = fmax(1, fabs(middle) / 7);
	more = c->by_hours ? tenth * fabs(middle) * c->per_day_sd / c->per_day * sqrt(1 / weeks + 7 / LEAT_TREND_RATE_DAYS) : 0;
	more = hypot(more, tenth * limit_days(c, f == &c->best.to[LEAT_TO_ALERT] ? c->alert : c->alarm));
	for (int i = 0; i < 3; i++) {
		double days = isfinite(p[i]) ? days_to(c, p[i]) : NAN, half = days - middle;

		if (isnan(days))
			continue;
		/* What has not been reached yet is reached today at the earliest. */
		days = middle + (i == 1 ? 0 : i == 0 ? -1 : 1) * sqrt(half * half + more * more);
		date[i] = leat_time_add((struct leat_time){ c->time[c->n - 1].sec, 0 }, floor(fmax(days, 0) * DAY_S));
	}
	return true;
}

/* How much the running hours of single weeks of late differ from the mean. */
static double
weekly_spread(const struct leat_trend_case *c, size_t from)
{
	double sum = 0, begin = c->date[from], hours = c->x[from];
	int weeks = 0;

	for (size_t i = from + 1; i < c->n; i++) {
		double days = c->date[i] - begin, off;

		if (days < 7)
			continue;
		off = (c->x[i] - hours) / days - c->per_day;
		sum += off * off;
		weeks++;
		begin = c->date[i];
		hours = c->x[i];
	}
	return weeks > 1 ? sqrt(sum / (weeks - 1)) : 0;
}

/* x by the row's clock; its hours where all values have them, and never fewer than before. */
static void
set_clock(struct leat_trend_case *c)
{
	size_t last = c->n - 1, from = last;
	bool hours = c->watch->row->clock != LEAT_CLOCK_CALENDAR, known = hours;

	for (size_t i = 0; i < c->n && known; i++)
		known = !isnan(c->x[i]) && (i == 0 || c->x[i] >= c->x[i - 1]);
	c->no_hours = hours && !known;
	if (known) {
		while (from > 0 && c->date[last] - c->date[from - 1] <= LEAT_TREND_RATE_DAYS)
			from--;
		if (from < last && c->date[last] > c->date[from])
			c->per_day = (c->x[last] - c->x[from]) / (c->date[last] - c->date[from]);
	}
	c->by_hours = known && c->per_day > 0;
	if (c->by_hours)
		c->per_day_sd = weekly_spread(c, from);
	c->no_hours = c->no_hours || (known && !c->by_hours);
	if (!c->by_hours)
		memcpy(c->x, c->date, c->n * sizeof(*c->x));
}

static void
set_model(const struct leat_trend *trend, struct leat_trend_case *c)
{
	if (c->watch->row->model == LEAT_MODEL_CUBE_ROOT && leat_nameplate_number(trend->form.np,
	    leat_trend_asset(trend, c->watch), "control-bleed", c->now, &c->offset) != 0)
		c->offset = 0;
	for (size_t i = 0; i < c->n; i++)
		c->y[i] = transform(c, c->value[i]);
}

/* The median of the values that end at index last. */
static double
level_at(const struct leat_trend_case *c, size_t last)
{
	double some[LEAT_TREND_LEVEL];
	size_t n = c->rare ? LEAT_TREND_RARE_LEVEL : LEAT_TREND_LEVEL;
	size_t before = c->rare && c->has_baseline && last > 0 ? 1 : 0;

	if (n > last + 1 - before)
		n = last + 1 - before;

	if (c->step.found && last >= c->fit_from && last - c->fit_from + 1 < n)
		n = last - c->fit_from + 1;
	memcpy(some, c->value + last + 1 - n, n * sizeof(*some));
	return leat_median(some, n);
}

static bool
beyond(const struct leat_trend_case *c, double value, double limit)
{
	return !isnan(limit) && (c->watch->row->falling ? value <= limit : value >= limit);
}

/* The time from which on the level has been beyond a limit, up to now. */
static struct leat_time
beyond_since(const struct leat_trend_case *c, double limit)
{
	size_t i = c->n;

	while (i > c->fit_from && beyond(c, level_at(c, i - 1), limit))
		i--;
	return c->time[i < c->n ? i : c->n - 1];
}

/* Noise of daily values around their line, and how much of it neighbours share. */
static int
find_noise(struct leat_trend_case *c, size_t from)
{
	size_t n = c->n - from;
	double *rest = malloc((2 * n + 1) * sizeof(*rest));
	double effective;

	if (rest == NULL)
		return -1;
	for (size_t i = 0; i < n; i++)
		rest[i] = c->value[from + i] - leat_trend_value(c, c->best.line.intercept + c->best.line.slope * c->x[from + i]);
	effective = leat_effective_count(rest, n) / (double)n;
	c->sigma = leat_mad(rest, n, rest + n);
	c->n_eff = fmax(1, 7 * effective * (c->coverage < 1 ? c->coverage : 1));
	c->detectable = leat_detectable(c->sigma, c->n_eff);
	if (c->baseline_n > 0)
		c->baseline_sd = c->sigma / sqrt(fmax(1, (double)c->baseline_n * effective));
	free(rest);
	return 0;
}

/* The usual distance of values in days. */
static double
usual_interval(const struct leat_trend_case *c)
{
	double *gap = malloc(c->n * sizeof(*gap)), usual = 1;

	if (gap == NULL)
		return NAN;
	for (size_t i = 1; i < c->n; i++)
		gap[i - 1] = c->date[i] - c->date[i - 1];
	if (c->n > 1)
		usual = leat_median(gap, c->n - 1);
	free(gap);
	return usual;
}

/* A stand-by pump that has not run has no new value, and has not changed. */
static bool
has_stood(struct leat_trend *trend, const struct leat_trend_case *c)
{
	double ran = leat_trend_hours(trend, c->watch) - c->watch->daily.hours;

	/* Running hours are known of now, not of nights before. */
	return leat_time_cmp(c->now, trend->now) == 0 && c->watch->row->clock == LEAT_CLOCK_RUNNING && ran >= 0 &&
	    ran < LEAT_TREND_STALE_HOURS;
}

/* Days without a value after which nothing is judged; what is read at stops or in the laboratory holds for longer. */
static double
stale_days(const struct leat_trend *trend, const struct leat_trend_case *c, double usual)
{
	double hold_s = leat_points_hold(trend->form.points, leat_trend_asset(trend, c->watch), leat_trend_point(trend, c->watch));

	return fmax(fmax(LEAT_TREND_STALE_DAYS, 3 * usual), c->rare ? hold_s / DAY_S : 0);
}

/* What the data lack for a judgement.  0, or -1 when memory is out. */
static int
find_lack(struct leat_trend *trend, struct leat_trend_case *c)
{
	double usual = usual_interval(c), now = (double)c->now.sec / DAY_S, begin;

	if (isnan(usual))
		return -1;
	begin = c->reset != NULL ? (double)c->reset->time.sec / DAY_S : c->date[0] - usual;
	c->coverage = fmin(1, (double)c->n / fmax(1, (c->date[c->n - 1] - begin) / fmax(usual, 1)));
	if (c->n < leat_trend_least(c))
		c->lack = LEAT_TREND_FEW;
	else if (now - c->date[c->n - 1] > stale_days(trend, c, usual) && !has_stood(trend, c))
		c->lack = LEAT_TREND_STALE;
	else if (!c->rare && usual <= USUAL_INTERVAL_DAYS && c->coverage < LEAT_TREND_COVERED)
		c->lack = LEAT_TREND_THIN;
	else if (c->watch->row->baseline != LEAT_BASELINE_NONE && !c->has_baseline)
		c->lack = LEAT_TREND_NO_BASELINE;
	else if (c->step.found && c->has_baseline && c->watch->row->baseline != LEAT_BASELINE_NUMBER)
		c->lack = LEAT_TREND_STEPPED;
	return 0;
}

/* Where the fit begins: after a step, within the row's window; at the newest third where the change grows faster. */
static size_t
fit_begin(const struct leat_trend_case *c)
{
	size_t from = c->fit_from;

	if (c->watch->row->has_window) {
		struct leat_time begin = leat_time_shift(c->now, &c->watch->row->window, -1);

		while (from < c->n && leat_time_cmp(c->time[from], begin) < 0)
			from++;
	}
	return from;
}

/* The line and its test from index from on.  False where no line can be fitted. */
static bool
fit_from(const struct leat_trend_case *c, size_t from, struct leat_trend_line *l)
{
	static const struct leat_forecast none = { .p10 = NAN, .p50 = NAN, .p90 = NAN };
	size_t n = c->n - from, least = c->rare ? LEAT_TREND_RARE_LINE : LEAT_TREND_LEAST;
	const double *x = c->x + from, *y = c->y + from;
	struct leat_error err;

	*l = (struct leat_trend_line){ .from = from, .foretold_from = from, .to = { none, none } };
	return n >= least && leat_kendall(x, y, n, true, &l->kendall, &err) == 0 &&
	    leat_line_fit(x, y, n, LEAT_TREND_CONFIDENCE, l->kendall.factor, &l->line, &err) == 0;
}

/* When the limits are reached, by the values of the line. */
static void
foretell(const struct leat_trend_case *c, struct leat_trend_line *l)
{
	int direction = c->watch->row->falling ? -1 : 1;
	unsigned values = c->rare ? LEAT_TREND_RARE_LEVEL : LEAT_TREND_LEVEL;
	const double limit[LEAT_FORECAST_LIMITS] = {
		[LEAT_TO_ALERT] = isnan(c->alert) ? NAN : transform(c, c->alert),
		[LEAT_TO_ALARM] = isnan(c->alarm) ? NAN : transform(c, c->alarm)
	};
	struct leat_error err;

	/* Without a forecast nothing is foretold. */
	if (c->n - l->from >= FORECAST_LEAST && leat_forecast_reach(c->x + l->from, c->y + l->from, c->n - l->from, limit,
	    direction, values, l->to, &err) != 0)
		l->to[0].trend = l->to[1].trend = false;
}

/* Where the newest third is steeper, beyond doubt and by a share that matters, it alone is the line. */
static void
look_for_acceleration(struct leat_trend_case *c)
{
	size_t from = c->best.from, n = c->n - from;
	struct leat_line whole, newest;
	struct leat_trend_line third;
	struct leat_error err;
	bool faster = false;

	if (n < ACCELERATION_LEAST || leat_line_accelerates(c->x + from, c->y + from, n, LEAT_TREND_CONFIDENCE,
	    c->best.kendall.factor, &whole, &newest, &faster, &err) != 0 || !faster)
		return;
	if (newest.slope * (c->watch->row->falling ? -1 : 1) <= 0 || fabs(newest.slope) < ACCELERATION_MATTERS * fabs(whole.slope) ||
	    !fit_from(c, from + n - newest.n, &third))
		return;
	c->accelerates = true;
	/* The forecast sees by itself that the change grew faster. */
	third.foretold_from = c->best.foretold_from;
	memcpy(third.to, c->best.to, sizeof(third.to));
	c->best = third;
}

/* Is the limit in sight, but too far ahead for what the line has seen? */
static bool
short_sighted(const struct leat_forecast *f)
{
	return f->trend && isinf(f->p50);
}

/* A line that is short sees less far ahead than one from the knee before.  That one's date is then the latest there can be,
 * and better than none. */
static void
look_from_before(struct leat_trend_case *c, size_t from)
{
	int direction = c->watch->row->falling ? -1 : 1;
	struct leat_trend_line longer;

	if (!fit_from(c, from, &longer) || c->best.line.slope * direction < longer.line.slope * direction)
		return;
	foretell(c, &longer);
	for (int i = 0; i < LEAT_FORECAST_LIMITS; i++) {
		if (!short_sighted(&c->best.to[i]) || !longer.to[i].trend || !isfinite(longer.to[i].p50))
			continue;
		c->best.to[i] = longer.to[i];
		c->best.late[i] = true;
	}
}

/* 0, or -1 when memory is out. */
static int
fit_line(struct leat_trend_case *c)
{
	size_t begin = fit_begin(c), n = c->n - begin, knee = 0, before = 0;
	struct leat_error err;

	if (leat_knee_last(c->x + begin, c->y + begin, n, &knee, &err) != 0 ||
	    (knee > 0 && leat_knee_last(c->x + begin, c->y + begin, knee, &before, &err) != 0))
		return -1;
	if (!fit_from(c, begin + knee, &c->best))
		return 0;
	foretell(c, &c->best);
	look_for_acceleration(c);
	if (knee > 0 && (short_sighted(&c->best.to[0]) || short_sighted(&c->best.to[1])))
		look_from_before(c, begin + before);
	c->fitted = true;
	return find_noise(c, c->best.from);
}

/* Is a limit reached, as likely as not, within the time? */
static bool
comes_within(const struct leat_trend_case *c, const struct leat_forecast *f, double time_s)
{
	struct leat_time date[3];

	return leat_trend_dates(c, f, date) && leat_time_diff(date[1], c->now) <= time_s;
}

/* A change as small as the limit allows does not show, and the one there is is no larger. */
static bool
too_noisy(const struct leat_trend_case *c)
{
	double limit = isnan(c->alert) ? c->alarm : c->alert;

	return c->has_baseline && c->fitted && !isnan(limit) && c->detectable > fabs(limit - c->baseline) &&
	    c->detectable > fabs(c->level - c->baseline);
}

void
leat_trend_tell_ahead(struct leat_trend_case *c)
{
	c->status = LEAT_STATUS_ALERT;
	c->ahead = true;
	c->since = c->reached = c->time[c->n - 1];
}

static void
set_status(const struct leat_trend *trend, struct leat_trend_case *c)
{
	double near_s;

	if (c->lack == LEAT_TREND_TELLS && too_noisy(c))
		c->lack = LEAT_TREND_NOISY;
	if (c->lack != LEAT_TREND_TELLS) {
		c->status = LEAT_STATUS_UNKNOWN;
		c->since = c->lack == LEAT_TREND_STEPPED ? c->step.at : c->lack == LEAT_TREND_STALE ? c->time[c->n - 1] :
		    c->reset != NULL ? c->reset->time : c->time[0];
		c->reached = c->lack == LEAT_TREND_STALE ? leat_time_add(c->since, stale_days(trend, c, 0) * DAY_S) : c->since;
		return;
	}
	c->status = beyond(c, c->level, c->alarm) ? LEAT_STATUS_ALARM :
	    beyond(c, c->level, c->alert) ? LEAT_STATUS_ALERT : LEAT_STATUS_OK;
	if (c->status != LEAT_STATUS_OK) {
		c->since = beyond_since(c, !isnan(c->alert) && beyond(c, c->level, c->alert) ? c->alert : c->alarm);
		c->reached = beyond_since(c, c->status == LEAT_STATUS_ALARM ? c->alarm : c->alert);
		return;
	}
	c->reached = c->time[c->n - 1];
	near_s = trend->form.ahead_s;
	c->near = c->fitted && (comes_within(c, &c->best.to[LEAT_TO_ALARM], LEAT_TREND_HOLDS * near_s) ||
	    comes_within(c, &c->best.to[LEAT_TO_ALERT], LEAT_TREND_HOLDS * near_s));
	if (c->near && (comes_within(c, &c->best.to[LEAT_TO_ALARM], near_s) || comes_within(c, &c->best.to[LEAT_TO_ALERT], near_s)))
		leat_trend_tell_ahead(c);
}

int
leat_trend_case_fit(struct leat_trend *trend, struct leat_trend_case *c)
{
	if (c->n == 0) {
		c->lack = LEAT_TREND_FEW;
		c->status = LEAT_STATUS_UNKNOWN;
		c->since = c->reached = c->reset != NULL ? c->reset->time : c->watch->seen;
		return 0;
	}
	set_clock(c);
	set_model(trend, c);
	c->level = level_at(c, c->n - 1);
	if (find_lack(trend, c) != 0)
		return -1;
	if (c->watch->row->model != LEAT_MODEL_STEP && fit_line(c) != 0)
		return -1;
	if (c->watch->row->model != LEAT_MODEL_STEP)
		set_status(trend, c);
	return 0;
}
