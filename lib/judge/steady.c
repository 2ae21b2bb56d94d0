/* Noise and short spells of each series that a limit rules. */
#include "judge/steady.h"

#include <math.h>
#include <stdlib.h>

#include "stats/order.h"
#include "stream/current.h"

/* Changes and spells kept of each: with more, every second is dropped and from then on every second is kept, so that they
 * stay spread over the whole time.  A power of 2. */
#define KEPT 4096

struct sample {
	float *value;
	size_t count;
	unsigned long seen, every;	/* of those seen one in every was kept */
};

/* One row of limits.csv on one series. */
struct rule {
	const struct leat_limit *limit;
	uint32_t series;
	double edge[2];			/* nearest limit below and above, in the unit of the series; NaN: none */
	struct sample near, all;	/* changes */
	struct sample over[2], back[2];	/* lengths of short spells, in s, below and above */
	struct leat_time since[2];	/* of the spell that goes on; LEAT_TIME_NONE: cut off or not begun */
	bool is_over[2];
	long spells;			/* beyond a limit, of any length */
};

struct series {
	bool resolved;
	size_t rule, rules;
	bool has_last;
	double last;
	struct leat_time time;
	const struct leat_unit *unit;
};

struct leat_steady {
	struct leat_readings *in;
	const struct leat_limits *limits;
	struct leat_current current;
	struct series *series;
	size_t series_cap;
	struct rule *rule;
	size_t rules, rule_cap;
};

struct leat_steady *
leat_steady_new(struct leat_readings *in, const struct leat_limits *limits, const struct leat_points *points)
{
	struct leat_steady *steady = calloc(1, sizeof(*steady));

	if (steady == NULL)
		return NULL;
	steady->in = in;
	steady->limits = limits;
	leat_current_init(&steady->current, in, points);
	return steady;
}

void
leat_steady_free(struct leat_steady *steady)
{
	if (steady == NULL)
		return;
	for (size_t i = 0; i < steady->rules; i++) {
		struct rule *rule = &steady->rule[i];

		free(rule->near.value);
		free(rule->all.value);
		for (int side = 0; side < 2; side++) {
			free(rule->over[side].value);
			free(rule->back[side].value);
		}
	}
	free(steady->rule);
	free(steady->series);
	leat_current_free(&steady->current);
	free(steady);
}

static int
keep(struct sample *s, double value)
{
	if (s->value == NULL) {
		s->value = malloc(KEPT * sizeof(*s->value));
		if (s->value == NULL)
			return -1;
		s->every = 1;
	}
	if (s->seen++ % s->every != 0)
		return 0;
	if (s->count == KEPT) {
		for (size_t i = 0; i < KEPT / 2; i++)
			s->value[i] = s->value[2 * i];
		s->count = KEPT / 2;
		s->every *= 2;
		if ((s->seen - 1) % s->every != 0)
			return 0;
	}
	s->value[s->count++] = (float)value;
	return 0;
}

static double
in_unit(const struct leat_limit *limit, struct leat_span point, const struct leat_unit *unit, double value)
{
	const struct leat_point_info *info = leat_point_find(point);
	const struct leat_unit *from = limit->unit != NULL ? limit->unit : info != NULL ? leat_unit_find(leat_span_of(info->unit)) :
	    NULL;

	if (from == NULL || unit == NULL || !leat_unit_same_dimension(from, unit))
		return from == NULL || unit == NULL ? value : NAN;
	return leat_unit_convert(from, unit, value);
}

#define ROWS_AT_ONCE 64

static int
resolve(struct leat_steady *steady, struct series *s, const struct leat_reading *r)
{
	size_t index[ROWS_AT_ONCE], found = leat_limits_for(steady->limits, r->asset, r->point, index, ROWS_AT_ONCE);

	s->resolved = true;
	s->rule = steady->rules;
	s->unit = steady->current.latest[r->series].unit;
	for (size_t i = 0; i < found && i < ROWS_AT_ONCE; i++) {
		const struct leat_limit *limit = &steady->limits->row[index[i]];
		struct rule *rule;

		if (!limit->has_low_alert && !limit->has_low_alarm && !limit->has_high_alert && !limit->has_high_alarm)
			continue;
		if (leat_grow(&steady->rule, &steady->rule_cap, steady->rules + 1, sizeof(*steady->rule)) != 0)
			return -1;
		rule = &steady->rule[steady->rules++];
		*rule = (struct rule){ .limit = limit, .series = r->series, .edge = { NAN, NAN },
			.since = { LEAT_TIME_NONE, LEAT_TIME_NONE } };
		if (limit->has_low_alert || limit->has_low_alarm)
			rule->edge[0] = in_unit(limit, r->point, s->unit, limit->has_low_alert ? limit->low_alert : limit->low_alarm);
		if (limit->has_high_alert || limit->has_high_alarm)
			rule->edge[1] = in_unit(limit, r->point, s->unit, limit->has_high_alert ? limit->high_alert : limit->high_alarm);
		s->rules++;
	}
	return 0;
}

/* A spell beyond the limit, or back within it, that is over: kept where it was short, and where its beginning was seen. */
static int
turn(struct rule *rule, int side, bool over, struct leat_time t)
{
	double length;
	int result = 0;

	if (over == rule->is_over[side])
		return 0;
	if (!leat_time_is_none(rule->since[side]) && (length = leat_time_diff(t, rule->since[side])) < LEAT_STEADY_SHORT_S)
		result = keep(rule->is_over[side] ? &rule->over[side] : &rule->back[side], length);
	rule->spells += over;
	rule->is_over[side] = over;
	rule->since[side] = t;
	return result;
}

static void
cut_off(struct rule *rule)
{
	for (int side = 0; side < 2; side++) {
		rule->since[side] = LEAT_TIME_NONE;
		rule->is_over[side] = false;
	}
}

static int
step(struct leat_steady *steady, struct rule *rule, struct series *s, const struct leat_reading *r, double value, bool joined)
{
	bool near = false;

	if (rule->limit->rule.when != NULL &&
	    leat_gate_eval(rule->limit->rule.when, &steady->current, r->asset_id, r->time) != LEAT_TRUE) {
		cut_off(rule);
		return 0;
	}
	if (!joined)
		cut_off(rule);
	for (int side = 0; side < 2; side++) {
		double edge = rule->edge[side];

		if (isnan(edge))
			continue;
		near = near || fabs(value - edge) <= LEAT_STEADY_NEAR * fabs(edge);
		if (turn(rule, side, side == 0 ? value < edge : value > edge, r->time) != 0)
			return -1;
	}
	if (!joined)
		return 0;
	return keep(&rule->all, value - s->last) != 0 || (near && keep(&rule->near, value - s->last) != 0) ? -1 : 0;
}

int
leat_steady_take(struct leat_steady *steady, const struct leat_reading *r, struct leat_error *err)
{
	const struct leat_latest *latest;
	struct series *s;
	double value;
	bool joined;

	if (leat_current_put(&steady->current, r) != 0 ||
	    leat_grow(&steady->series, &steady->series_cap, (size_t)r->series + 1, sizeof(*steady->series)) != 0)
		return leat_error_memory(err);
	if (r->quality == LEAT_BAD)
		return 0;
	s = &steady->series[r->series];
	latest = &steady->current.latest[r->series];
	if (!s->resolved && resolve(steady, s, r) != 0)
		return leat_error_memory(err);
	if (s->rules == 0 || !latest->is_number)
		return 0;
	value = latest->number;
	if (latest->unit != s->unit && latest->unit != NULL && s->unit != NULL) {
		if (!leat_unit_same_dimension(latest->unit, s->unit))
			return 0;
		value = leat_unit_convert(latest->unit, s->unit, value);
	}
	joined = s->has_last && leat_time_diff(r->time, s->time) <= latest->hold_s;
	for (size_t i = s->rule; i < s->rule + s->rules; i++)
		if (step(steady, &steady->rule[i], s, r, value, joined) != 0)
			return leat_error_memory(err);
	s->has_last = true;
	s->last = value;
	s->time = r->time;
	return 0;
}

/* The quantile of a sample; NaN where it is too small. */
static double
quantile(const struct sample *s, double q, size_t least, double *work)
{
	if (s->count < least)
		return NAN;
	for (size_t i = 0; i < s->count; i++)
		work[i] = (double)s->value[i];
	return leat_quantile(work, s->count, q);
}

/* The noise of a series near its limit; *near: from the readings near it. */
static double
noise(const struct rule *rule, double *work, bool *near)
{
	const struct sample *s;

	*near = rule->near.count >= LEAT_STEADY_LEAST;
	s = *near ? &rule->near : &rule->all;
	if (s->count < LEAT_STEADY_LEAST)
		return NAN;
	for (size_t i = 0; i < s->count; i++)
		work[i] = (double)s->value[i];
	return leat_mad(work, s->count, work + KEPT) / sqrt(2);
}

/* Rounded up to two digits: 0.0312 becomes 0.032. */
static double
round_up(double value)
{
	double scale = pow(10, floor(log10(value)) - 1);

	return value > 0 ? ceil(value / scale - 1e-9) * scale : value;
}

/* Whole minutes, as the table has them; what the readings suggest was made so. */
static void
put_delay(struct leat_tabular *t, double seconds)
{
	char text[32];

	if (seconds > 0 && fmod(seconds, 60) == 0)
		snprintf(text, sizeof(text), "PT%.0fM", seconds / 60);
	else
		snprintf(text, sizeof(text), "PT%.0fS", seconds);
	leat_tabular_text(t, seconds > 0 ? text : "");
}

/* The first whole minute that is longer. */
static double
outlast(double seconds)
{
	return 60 * (floor(seconds / 60) + 1);
}

/* What a row would become, in its own unit. */
struct suggestion {
	double deadband, on_s, off_s;
	char note[400];
};

static void
put_limit(struct leat_tabular *t, bool has, double value)
{
	char text[LEAT_NUMBER_MAX];

	if (has)
		leat_number_trim(text, leat_number_significant(text, value, 9));
	leat_tabular_text(t, has ? text : "");
}

/* A duration that the row has already. */
static void
put_age(struct leat_tabular *t, bool has, double seconds)
{
	char text[32];

	if (has)
		snprintf(text, sizeof(text), "PT%.0fS", seconds);
	leat_tabular_text(t, has ? text : "");
}

static void
put_row(const struct leat_limit *l, struct leat_span asset, struct leat_span point, const struct suggestion *w,
    struct leat_tabular *t)
{
	char rate[LEAT_NUMBER_MAX + 8];

	leat_tabular_span(t, asset);
	leat_tabular_span(t, point);
	leat_tabular_span(t, l->rule.when != NULL ? leat_gate_text(l->rule.when) : LEAT_SPAN(""));
	put_limit(t, l->has_low_alarm, l->low_alarm);
	put_limit(t, l->has_low_alert, l->low_alert);
	put_limit(t, l->has_high_alert, l->high_alert);
	put_limit(t, l->has_high_alarm, l->high_alarm);
	leat_tabular_text(t, l->unit != NULL ? l->unit->name : "");
	put_limit(t, w->deadband > 0, w->deadband);
	put_delay(t, w->on_s);
	put_delay(t, w->off_s);
	rate[0] = '\0';
	if (l->has_max_rate)
		snprintf(rate + leat_number_trim(rate, leat_number_significant(rate, l->max_rate_per_min, 9)), 8, "/min");
	leat_tabular_text(t, rate);
	put_age(t, l->has_max_age, l->max_age_s);
	put_age(t, l->has_max_flat, l->max_flat_s);
	leat_tabular_span(t, l->rule.name);
	leat_tabular_span(t, l->rule.advice);
	leat_tabular_text(t, "replay of the works' own readings");
	leat_tabular_text(t, w->note);
}

/* The larger of the quantiles of both sides; NaN where neither has enough. */
static double
spell(const struct sample *side, double *work)
{
	double low = quantile(&side[0], 0.95, LEAT_STEADY_SPELLS, work), high = quantile(&side[1], 0.95, LEAT_STEADY_SPELLS, work);

	return isnan(low) ? high : isnan(high) ? low : low > high ? low : high;
}

/* The width of the band between the limits; INFINITY where it is open. */
static double
band(const struct leat_limit *l)
{
	double low = l->has_low_alert ? l->low_alert : l->has_low_alarm ? l->low_alarm : -INFINITY;
	double high = l->has_high_alert ? l->high_alert : l->has_high_alarm ? l->high_alarm : INFINITY;

	return high - low;
}

/* A difference of values in the unit of the series, in that of the row. */
static double
in_row_unit(const struct rule *rule, struct leat_span point, const struct leat_unit *unit, double difference)
{
	const struct leat_point_info *info = leat_point_find(point);
	const struct leat_unit *to = rule->limit->unit != NULL ? rule->limit->unit :
	    info != NULL ? leat_unit_find(leat_span_of(info->unit)) : NULL;

	if (to == NULL || unit == NULL || to == unit || !leat_unit_same_dimension(to, unit))
		return difference;
	return leat_unit_convert(unit, to, difference) - leat_unit_convert(unit, to, 0);
}

static void
add_note(struct suggestion *w, const char *fmt, double a, double b, const char *text)
{
	size_t len = strlen(w->note);
	char x[LEAT_NUMBER_MAX], y[LEAT_NUMBER_MAX];

	leat_number_significant(x, a, 3);
	leat_number_significant(y, b, 3);
	snprintf(w->note + len, sizeof(w->note) - len, fmt, len > 0 ? "; " : "", x, y, text);
}

/* What the readings suggest for a row; false when it stays as it is. */
static bool
suggest(const struct rule *rule, const struct series *s, struct leat_span point, double *work, struct suggestion *w)
{
	const struct leat_limit *l = rule->limit;
	bool near;
	double sigma = noise(rule, work, &near), on = spell(rule->over, work), off = spell(rule->back, work), wide;

	*w = (struct suggestion){ .deadband = l->deadband, .on_s = l->on_delay_s, .off_s = l->off_delay_s };
	/* Where a signal never comes, how it flickers does not matter. */
	if (rule->spells == 0 && !near)
		return false;
	if (!isnan(sigma) && (wide = round_up(LEAT_STEADY_SIGMAS * in_row_unit(rule, point, s->unit, sigma))) > l->deadband) {
		if (wide < band(l))
			w->deadband = wide;
		add_note(w, wide < band(l) ? "%sdeadband: 3 times the noise of %s (was %s), %s" :
		    "%snoise of %s is too large for the band of %s between the limits, %s", wide / LEAT_STEADY_SIGMAS,
		    wide < band(l) ? l->deadband : band(l), near ? "near the limit" : "of all readings");
	}
	if (!isnan(on) && on >= l->on_delay_s) {
		w->on_s = outlast(on);
		add_note(w, "%son_delay: 95 %% of the short spells over it last %s min or less (was %s min)%s", on / 60,
		    l->on_delay_s / 60, "");
	}
	if (!isnan(off) && off >= l->off_delay_s) {
		w->off_s = outlast(off);
		add_note(w, "%soff_delay: 95 %% of the short spells back last %s min or less (was %s min)%s", off / 60,
		    l->off_delay_s / 60, "");
	}
	return w->note[0] != '\0';
}

int
leat_steady_rows(struct leat_steady *steady, struct leat_tabular *t)
{
	double *work = malloc(2 * KEPT * sizeof(*work));

	if (work == NULL)
		return -1;
	for (size_t i = 0; i < steady->rules; i++) {
		const struct rule *rule = &steady->rule[i];
		uint64_t pair = leat_readings_series(steady->in)->pair[rule->series];
		struct leat_span point = leat_readings_points(steady->in)->name[(uint32_t)pair];
		struct suggestion w;

		if (suggest(rule, &steady->series[rule->series], point, work, &w))
			put_row(rule->limit, leat_readings_assets(steady->in)->name[pair >> 32], point, &w, t);
	}
	free(work);
	return t->failed ? -1 : 0;
}
