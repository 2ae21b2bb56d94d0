/*
 * Sudden changes of a series: those of a meter, which the logbook tells and which are taken out, and those that nothing
 * explains.
 */
#include <math.h>
#include <stdlib.h>

#include "judge/trend_private.h"
#include "stats/order.h"
#include "upkeep/renewal.h"

/* A meter's change is looked for in the data so long before the logbook has it (it is often written late), and so long
 * after it.  Common practice. */
#define LOGGED_LATE_S (21 * DAY_S)
#define LOGGED_EARLY_S (3 * DAY_S)
#define BESIDE 10u		/* values on each side that give the ratio of a changed meter, ... */
#define BESIDE_LEAST 3u		/* ... so many at least */
#define SLOPE_LEAST 15u		/* values before a meter's change that give the wear between the two sides, ... */
#define SLOPE_MOST 30u		/* ... so many at most */
#define SCALE_SIGMAS 4.0	/* of the values beside it: less is no step */
#define SCALE_LEAST 0.02	/* a ratio nearer to one is no other scale */

#define STEP_LEAST 12u		/* values that leat_change_step needs */

#define JUMP_S (7 * DAY_S)	/* a row for steps finds what changed so much within this time too */
#define JUMP_LEVEL LEAT_TREND_LEVEL /* median of so many values before and after: two wild days are no jump */
#define JUMP_NOISE 10u		/* values before that give the noise */

/* Factors between units that meters are set to, and slips of the decimal point.  dimension NULL: of any point. */
static const struct {
	double ratio;
	const char *dimension, *words;
} factors[] = {
	{ 0.264172, "flow", "L/min became gal/min (factor 0.2642)" },
	{ 3.785412, "flow", "gal/min became L/min (factor 3.785)" },
	{ 60, "flow", "a factor of 60, as between hours and minutes" },
	{ 1.0 / 60, "flow", "a factor of 60, as between minutes and hours" },
	{ 14.503774, "pressure", "bar became psi (factor 14.50)" },
	{ 0.0689476, "pressure", "psi became bar (factor 0.06895)" },
	{ 6.894757, "pressure", "psi became kPa (factor 6.895)" },
	{ 0.1450377, "pressure", "kPa became psi (factor 0.1450)" },
	{ 1.8, "temperature", "kelvin became degrees Fahrenheit (factor 1.8)" },
	{ 1 / 1.8, "temperature", "degrees Fahrenheit became kelvin (factor 0.5556)" },
	{ 10, NULL, "a factor of 10, as between MPa and bar" },
	{ 0.1, NULL, "a factor of 10, as between bar and MPa" },
	{ 100, NULL, "a factor of 100" },
	{ 0.01, NULL, "a factor of 100" },
	{ 1000, NULL, "a factor of 1000" },
	{ 0.001, NULL, "a factor of 1000" }
};

const char *
leat_trend_factor(double ratio, const struct leat_unit *unit, double near)
{
	for (size_t i = 0; i < sizeof(factors) / sizeof(factors[0]) && ratio > 0; i++) {
		if (unit != NULL && factors[i].dimension != NULL && strcmp(unit->dimension, factors[i].dimension) != 0)
			continue;
		if (fabs(log(ratio / factors[i].ratio)) < near)
			return factors[i].words;
	}
	return NULL;
}

struct beside {
	double before, after;	/* medians */
	double noise;		/* standard deviation of the values around these */
	double strays;		/* sum of their distances */
};

/* What the values beside index at say of a step there; false where they are too few. */
static bool
look_beside(const double *value, size_t from, size_t at, size_t n, struct beside *b)
{
	double some[BESIDE], rest[2 * BESIDE], work[2 * BESIDE];
	size_t before = at - from < BESIDE ? at - from : BESIDE, after = n - at < BESIDE ? n - at : BESIDE;

	if (before < BESIDE_LEAST || after < BESIDE_LEAST)
		return false;
	memcpy(some, value + at - before, before * sizeof(*some));
	b->before = leat_median(some, before);
	memcpy(some, value + at, after * sizeof(*some));
	b->after = leat_median(some, after);
	b->strays = 0;
	for (size_t i = 0; i < before + after; i++) {
		rest[i] = value[at - before + i] - (i < before ? b->before : b->after);
		b->strays += fabs(rest[i]);
	}
	b->noise = leat_mad(rest, before + after, work);
	return true;
}

/* What a step's ratio suggests.  The nearer values lie to each other, the nearer it must be to a factor. */
static const char *
suggests(const struct leat_trend_case *c, size_t from, size_t at, double ratio)
{
	struct beside b;
	double spread = 0;

	if (look_beside(c->value, from, at, c->n, &b) && b.before != 0)
		spread = b.noise / fabs(b.before);
	return leat_trend_factor(ratio, c->watch->unit, fmin(LEAT_TREND_FACTOR_FAR, hypot(LEAT_TREND_FACTOR_NEAR, 2 * spread)));
}

/* By how much the values go on to change from the middle of those before index at to the middle of those after it. */
static double
moves(const struct leat_trend_case *c, size_t at)
{
	size_t seen = at < SLOPE_MOST ? at : SLOPE_MOST, before = at < BESIDE ? at : BESIDE;
	size_t after = c->n - at < BESIDE ? c->n - at : BESIDE;
	struct leat_error err;
	double slope;

	if (seen < SLOPE_LEAST || leat_line_slope(c->date + at - seen, c->value + at - seen, seen, &slope, &err) != 0)
		return 0;
	return slope * ((c->date[at] + c->date[at + after - 1]) - (c->date[at - before] + c->date[at - 1])) / 2;
}

/* Takes one logged change of the meter out: the values before it times the ratio of those after and before, where the
 * values near the entry do step. */
static void
take_out(struct leat_trend_case *c, const struct leat_log_entry *entry)
{
	struct leat_time begin = leat_time_add(entry->time, -LOGGED_LATE_S), end = leat_time_add(entry->time, LOGGED_EARLY_S);
	size_t first = 0, last = c->n, best = 0;
	double most = 0, ratio;
	struct beside b, found = { 0 };

	while (first < c->n && leat_time_cmp(c->time[first], begin) < 0)
		first++;
	while (last > 0 && leat_time_cmp(c->time[last - 1], end) > 0)
		last--;
	for (size_t at = first; at < last; at++) {
		double gain;

		if (!look_beside(c->value, 0, at, c->n, &b))
			continue;
		gain = fabs(b.after - b.before) / (b.strays + 1e-9 * fabs(b.before));
		if (gain > most) {
			most = gain;
			best = at;
			found = b;
		}
	}
	found.before += best > 0 ? moves(c, best) : 0;
	ratio = best > 0 && found.before != 0 ? found.after / found.before : 0;
	if (!(ratio > 0) || fabs(ratio - 1) < SCALE_LEAST || fabs(found.after - found.before) < SCALE_SIGMAS * found.noise ||
	    c->scales == LEAT_TREND_SCALES)
		return;
	for (size_t i = 0; i < best; i++)
		c->value[i] *= ratio;
	c->scale[c->scales++] = (struct leat_trend_scale){ c->time[best], ratio, entry };
}

static void
take_meters_out(const struct leat_trend *trend, struct leat_trend_case *c)
{
	const struct leat_logbook *book = trend->form.book;
	struct leat_span asset = leat_trend_asset(trend, c->watch), point = leat_trend_point(trend, c->watch);

	for (size_t i = 0; book != NULL && i < book->count; i++)
		if (leat_time_cmp(book->entry[i].time, c->now) <= 0 && leat_log_rescales(&book->entry[i], asset, point))
			take_out(c, &book->entry[i]);
}

/* Does a step of that size concern the row: half of what the alert allows, in either direction? */
static bool
matters(const struct leat_trend *trend, const struct leat_trend_case *c, size_t from, const struct leat_step *s)
{
	const struct leat_trend_row *row = c->watch->row;
	double limit = row->has_alert ? row->alert : row->alarm, half, base;

	if (row->model == LEAT_MODEL_STEP)
		return s->ratio > 0 && (row->falling ? s->ratio <= limit : s->ratio >= limit);
	if (s->ratio > 0 && suggests(c, from, from + s->at, s->ratio) != NULL)
		return true;
	if (row->multiple) {
		half = 1 + fabs(limit - 1) / 2;
		return s->ratio >= half || s->ratio <= 1 / half;
	}
	base = row->baseline == LEAT_BASELINE_NUMBER ? leat_trend_in_unit(trend, c->watch, row->baseline_value) : s->before;
	return fabs(s->size) >= fabs(leat_trend_in_unit(trend, c->watch, limit) - base) / 2;
}

static double
median_ending(const struct leat_trend_case *c, size_t last)
{
	double some[JUMP_LEVEL];

	memcpy(some, c->value + last + 1 - JUMP_LEVEL, sizeof(some));
	return leat_median(some, JUMP_LEVEL);
}

/* Is a change from the values that end at index ref more than their noise explains? */
static bool
stands_out(const struct leat_trend_case *c, size_t ref, double change)
{
	size_t n = ref + 1 < JUMP_NOISE ? ref + 1 : JUMP_NOISE;
	double work[JUMP_NOISE];

	return fabs(change) >= SCALE_SIGMAS * leat_mad(c->value + ref + 1 - n, n, work);
}

/* For a row that watches for steps: what changed beyond its limit within a week, though not from one day to the next, and
 * has not come back. */
static void
find_jump(struct leat_trend_case *c)
{
	const struct leat_trend_row *row = c->watch->row;
	double limit = row->has_alert ? row->alert : row->alarm, now = median_ending(c, c->n - 1);
	size_t ref = JUMP_LEVEL - 1;

	for (size_t i = 2 * JUMP_LEVEL - 1; i < c->n; i++) {
		double before, after;

		while (ref + JUMP_LEVEL < i && leat_time_diff(c->time[i], c->time[ref + 1]) >= JUMP_S)
			ref++;
		if (leat_time_diff(c->time[i], c->time[ref]) < JUMP_S || leat_time_diff(c->time[i], c->time[ref]) > 2 * JUMP_S)
			continue;
		before = median_ending(c, ref);
		after = median_ending(c, i);
		if (!(before > 0) || !(row->falling ? after <= limit * before && now <= limit * before :
		    after >= limit * before && now >= limit * before) || !stands_out(c, ref, after - before))
			continue;
		c->step = (struct leat_trend_step){ true, c->time[i], before, after, after / before, NULL };
		return;
	}
}

/* Is there an entry of cleaning about then?  It explains a step, but begins nothing anew: a cooler may have been cleaned in
 * the logbook alone, and must not count as clean for that. */
static bool
was_cleaned(const struct leat_trend *trend, const struct leat_trend_case *c, size_t at)
{
	const struct leat_logbook *book = trend->form.book;
	struct leat_time first = leat_time_add(c->time[at > 0 ? at - 1 : at], -LOGGED_EARLY_S);
	struct leat_time last = leat_time_add(c->time[at], LOGGED_EARLY_S);

	for (size_t i = 0; book != NULL && i < book->count; i++) {
		const struct leat_log_entry *e = &book->entry[i];

		if (strcmp(e->event->name, "cleaning") == 0 && leat_asset_within(leat_trend_asset(trend, c->watch), e->asset) &&
		    leat_time_cmp(e->time, first) >= 0 && leat_time_cmp(e->time, last) <= 0 &&
		    leat_time_cmp(e->time, c->now) <= 0)
			return true;
	}
	return false;
}

int
leat_trend_find_steps(const struct leat_trend *trend, struct leat_trend_case *c)
{
	struct leat_error err;
	size_t from = 0;

	take_meters_out(trend, c);
	while (c->n >= from + STEP_LEAST) {
		struct leat_step s;
		size_t at;

		if ((leat_change_step(c->date + from, c->value + from, c->n - from, &s, &err) != 0 || !s.found ||
		    !matters(trend, c, from, &s)) && (!leat_change_fresh(c->value + from, c->n - from, &s) ||
		    !matters(trend, c, from, &s)))
			break;
		at = from + s.at;
		c->step = (struct leat_trend_step){ true, c->time[at], s.before, s.after, s.ratio, suggests(c, from, at, s.ratio) };
		if (was_cleaned(trend, c, at))
			c->step = (struct leat_trend_step){ .at = LEAT_TIME_NONE };
		from = at;
	}
	c->fit_from = from;
	if (!c->step.found && c->watch->row->model == LEAT_MODEL_STEP && c->n >= LEAT_TREND_LEAST)
		find_jump(c);
	return 0;
}
