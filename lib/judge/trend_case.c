/*
 * A series as judged at now: its segment, its scale, its step, its baseline and its limits.
 */
#include <math.h>
#include <stdlib.h>

#include "judge/trend_private.h"
#include "stats/order.h"

/* A meter's change is looked for in the data so long before the logbook has it (it is often written late), and so long
 * after it.  Common practice. */
#define LOGGED_LATE_S (21 * DAY_S)
#define LOGGED_EARLY_S (3 * DAY_S)

#define STEP_LEAST 12		/* values that leat_change_step needs */
#define FRESH_LEAST 3		/* values that follow a step that is new ... */
#define FRESH_MOST 11		/* ... up to so many, ... */
#define FRESH_BEFORE 10		/* and values before it that they are compared with */
#define FRESH_SIGMAS 8		/* of the noise before it, common practice */
#define FACTOR_NEAR 0.10	/* a ratio this near to a factor suggests it: raw values sway with the oil's temperature */

/* Factors between units that meters are set to, and slips of the decimal point. */
static const struct {
	double ratio;
	const char *words;
} factors[] = {
	{ 0.264172, "L/min became gal/min (factor 0.2642)" },
	{ 3.785412, "gal/min became L/min (factor 3.785)" },
	{ 14.503774, "bar became psi (factor 14.50)" },
	{ 0.0689476, "psi became bar (factor 0.06895)" },
	{ 6.894757, "psi became kPa (factor 6.895)" },
	{ 0.1450377, "kPa became psi (factor 0.1450)" },
	{ 10, "a factor of 10, as between MPa and bar" },
	{ 0.1, "a factor of 10, as between bar and MPa" },
	{ 100, "a factor of 100" },
	{ 0.01, "a factor of 100" },
	{ 60, "a factor of 60, as between hours and minutes" },
	{ 1.0 / 60, "a factor of 60, as between minutes and hours" },
	{ 1000, "a factor of 1000" },
	{ 0.001, "a factor of 1000" }
};

const char *
leat_trend_factor(double ratio)
{
	for (size_t i = 0; i < sizeof(factors) / sizeof(factors[0]); i++)
		if (ratio > 0 && fabs(log(ratio / factors[i].ratio)) < FACTOR_NEAR)
			return factors[i].words;
	return NULL;
}

void
leat_trend_case_free(struct leat_trend_case *c)
{
	free(c->value);
	free(c->time);
	c->value = NULL;
	c->time = NULL;
}

/* The row's numbers are in its own unit, else in that of the point. */
static double
in_unit(const struct leat_trend *trend, const struct leat_trend_watch *w, double value)
{
	const struct leat_point_info *info = leat_point_find(leat_trend_point(trend, w));
	const struct leat_unit *from = w->row->unit;

	if (from == NULL && info != NULL)
		from = leat_unit_find(leat_span_of(info->unit));
	if (from == NULL || w->unit == NULL || from == w->unit || !leat_unit_same_dimension(from, w->unit))
		return value;
	return leat_unit_convert(from, w->unit, value);
}

static void
find_reset(const struct leat_trend *trend, struct leat_trend_case *c)
{
	const struct leat_logbook *book = trend->form.book;
	struct leat_span asset = leat_trend_asset(trend, c->watch), point = leat_trend_point(trend, c->watch);

	for (size_t i = 0; book != NULL && i < book->count; i++)
		if (leat_time_cmp(book->entry[i].time, trend->now) <= 0 && leat_trend_renews(&book->entry[i], asset, point))
			c->reset = &book->entry[i];
	c->reset_recently = c->reset != NULL && leat_time_cmp(c->reset->time, trend->since) >= 0;
}

/* Copies the values of the segment. */
static int
take_segment(struct leat_trend_case *c)
{
	const struct leat_trend_watch *w = c->watch;
	size_t first = 0;

	if (c->reset != NULL) {
		struct leat_time begin = leat_time_add(c->reset->time, LEAT_TREND_RUN_IN_S);

		while (first < w->days && leat_time_cmp(w->day[first].time, begin) <= 0)
			first++;
	}
	c->n = w->days - first;
	c->value = malloc((4 * c->n + 1) * sizeof(*c->value));
	c->time = malloc((c->n + 1) * sizeof(*c->time));
	if (c->value == NULL || c->time == NULL)
		return -1;
	c->date = c->value + c->n;
	c->x = c->date + c->n;
	c->y = c->x + c->n;
	for (size_t i = 0; i < c->n; i++) {
		const struct leat_trend_day *day = &w->day[first + i];

		c->value[i] = day->value;
		c->time[i] = day->time;
		c->date[i] = ((double)day->time.sec + day->time.nsec * 1e-9) / DAY_S;
		c->x[i] = day->hours;
	}
	return 0;
}

/* Does a step of that size concern the row: half of what the alert allows, in either direction? */
static bool
matters(const struct leat_trend *trend, const struct leat_trend_case *c, const struct leat_step *s)
{
	const struct leat_trend_row *row = c->watch->row;
	double limit = row->has_alert ? row->alert : row->alarm, half, base;

	if (row->model == LEAT_MODEL_STEP)
		return s->ratio > 0 && (row->falling ? s->ratio <= limit : s->ratio >= limit);
	if (s->ratio > 0 && leat_trend_factor(s->ratio) != NULL)
		return true;
	if (row->multiple) {
		half = 1 + fabs(limit - 1) / 2;
		return s->ratio >= half || s->ratio <= 1 / half;
	}
	base = row->baseline == LEAT_BASELINE_NUMBER ? in_unit(trend, c->watch, row->baseline_value) : s->before;
	return fabs(s->size) >= fabs(in_unit(trend, c->watch, limit) - base) / 2;
}

static const struct leat_log_entry *
logged_meter(const struct leat_trend *trend, const struct leat_trend_case *c, size_t at)
{
	const struct leat_logbook *book = trend->form.book;
	struct leat_span asset = leat_trend_asset(trend, c->watch), point = leat_trend_point(trend, c->watch);

	for (size_t i = 0; book != NULL && i < book->count; i++) {
		const struct leat_log_entry *e = &book->entry[i];

		if (leat_trend_rescales(e, asset, point) && leat_time_diff(c->time[at - 1], e->time) <= LOGGED_EARLY_S &&
		    leat_time_diff(e->time, c->time[at]) <= LOGGED_LATE_S)
			return e;
	}
	return NULL;
}

static void
rescale(struct leat_trend_case *c, size_t at, double ratio, const struct leat_log_entry *entry)
{
	for (size_t i = 0; i < at; i++)
		c->value[i] *= ratio;
	c->scale[c->scales++] = (struct leat_trend_scale){ c->time[at], ratio, entry };
}

/* A step so new that few values have followed: the last three to eleven against the ten before them, all on one side of
 * those and farther off than their noise by far.  The search over the whole series needs more to be sure. */
static bool
find_fresh_step(const struct leat_trend_case *c, size_t from, struct leat_step *s)
{
	double before[FRESH_BEFORE], after[FRESH_MOST], work[FRESH_BEFORE];

	for (size_t k = FRESH_LEAST; k <= FRESH_MOST && from + FRESH_BEFORE + k <= c->n; k++) {
		const double *tail = c->value + c->n - k;
		double noise, size;
		size_t same = 0;

		memcpy(before, tail - FRESH_BEFORE, sizeof(before));
		memcpy(after, tail, k * sizeof(*after));
		noise = leat_mad(before, FRESH_BEFORE, work);
		s->before = leat_median(before, FRESH_BEFORE);
		s->after = leat_median(after, k);
		size = s->after - s->before;
		for (size_t i = 0; i < k; i++)
			same += (tail[i] - s->before) / size > 0.5;
		/* The value before must not be on the way already: wear is no step. */
		if (same < k || fabs(size) < FRESH_SIGMAS * noise || (tail[-1] - s->before) / size > 0.25)
			continue;
		s->found = true;
		s->at = c->n - k - from;
		s->size = size;
		s->ratio = s->before != 0 && s->after / s->before > 0 ? s->after / s->before : NAN;
		return true;
	}
	return false;
}

/* Finds steps: those that a logged change of the meter explains are taken out, the last of the others is kept. */
static int
find_steps(const struct leat_trend *trend, struct leat_trend_case *c)
{
	struct leat_error err;
	size_t from = 0;

	while (c->n >= from + STEP_LEAST) {
		const struct leat_log_entry *entry;
		struct leat_step s;
		size_t at;

		if ((leat_change_step(c->date + from, c->value + from, c->n - from, &s, &err) != 0 || !s.found ||
		    (!matters(trend, c, &s) && logged_meter(trend, c, from + s.at) == NULL)) && !find_fresh_step(c, from, &s))
			break;
		at = from + s.at;
		entry = logged_meter(trend, c, at);
		if (entry != NULL && s.ratio > 0 && c->scales < LEAT_TREND_SCALES) {
			rescale(c, at, s.ratio, entry);
			continue;
		}
		if (!matters(trend, c, &s))
			break;
		c->step = (struct leat_trend_step){ true, c->time[at], s.before, s.after, s.ratio,
			s.ratio > 0 ? leat_trend_factor(s.ratio) : NULL };
		from = at;
	}
	c->fit_from = from;
	return 0;
}

static int
find_baseline(const struct leat_trend *trend, struct leat_trend_case *c)
{
	const struct leat_trend_watch *w = c->watch;
	const char *name;
	double some[LEAT_TREND_FIRST];

	switch (w->row->baseline) {
	case LEAT_BASELINE_NONE:
		return 0;
	case LEAT_BASELINE_NUMBER:
		c->baseline = in_unit(trend, w, w->row->baseline_value);
		break;
	case LEAT_BASELINE_AS_NEW:
		name = leat_trend_as_new(leat_trend_point(trend, w));
		if (name == NULL || leat_nameplate_number(trend->form.np, leat_trend_asset(trend, w), name, trend->now,
		    &c->baseline) != 0)
			return 0;
		if (w->unit != NULL) {
			const struct leat_unit *from = leat_unit_find(leat_span_of(leat_property_find(leat_span_of(name))->unit));

			if (from == NULL || !leat_unit_same_dimension(from, w->unit))
				return 0;
			c->baseline = leat_unit_convert(from, w->unit, c->baseline);
		}
		break;
	case LEAT_BASELINE_FIRST:
		c->baseline_n = c->rare ? 1 : LEAT_TREND_FIRST;
		if (c->n < c->baseline_n)
			return 0;
		memcpy(some, c->value, c->baseline_n * sizeof(*some));
		c->baseline = leat_median(some, c->baseline_n);
		break;
	}
	c->has_baseline = true;
	return 0;
}

static void
find_limits(const struct leat_trend *trend, struct leat_trend_case *c)
{
	const struct leat_trend_row *row = c->watch->row;

	c->alert = c->alarm = NAN;
	if (row->multiple && !c->has_baseline)
		return;
	if (row->has_alert)
		c->alert = row->multiple ? row->alert * c->baseline : in_unit(trend, c->watch, row->alert);
	if (row->has_alarm)
		c->alarm = row->multiple ? row->alarm * c->baseline : in_unit(trend, c->watch, row->alarm);
}

int
leat_trend_case_begin(const struct leat_trend *trend, const struct leat_trend_watch *w, struct leat_trend_case *c)
{
	*c = (struct leat_trend_case){
		.watch = w, .since = LEAT_TIME_NONE, .reached = LEAT_TIME_NONE, .step = { .at = LEAT_TIME_NONE },
		.level = NAN, .sigma = NAN, .detectable = NAN, .coverage = NAN
	};
	c->rare = leat_points_hold(trend->form.points, leat_trend_asset(trend, w), leat_trend_point(trend, w)) > LEAT_TREND_RARE_S;
	find_reset(trend, c);
	if (take_segment(c) != 0 || find_steps(trend, c) != 0 || find_baseline(trend, c) != 0)
		return -1;
	find_limits(trend, c);
	return 0;
}
