/*
 * One piece of work against the values before and after it.
 */
#include <math.h>

#include "judge/confirm_private.h"
#include "stats/order.h"
#include "stream/mills.h"

#define MEDIAN_ERROR 1.2533	/* root(pi/2): standard error of a median of normal values, by that of their mean */

double
leat_confirm_bound(const struct leat_confirm_row *row, const struct leat_confirm_series *s, double bound)
{
	const struct leat_point_info *info = leat_point_find(s->point);
	const struct leat_unit *from = row->unit;

	if (row->measure == LEAT_CONFIRM_RATIO || isnan(bound))
		return bound;
	if (from == NULL && info != NULL)
		from = leat_unit_find(leat_span_of(info->unit));
	if (from == NULL || s->unit == NULL || from == s->unit || !leat_unit_same_dimension(from, s->unit))
		return bound;
	/* Of a difference the zero of the scale plays no part. */
	return row->measure == LEAT_CONFIRM_VALUE ? leat_unit_convert(from, s->unit, bound) :
	    leat_unit_convert(from, s->unit, bound) - leat_unit_convert(from, s->unit, 0);
}

bool
leat_confirm_concerns(const struct leat_confirm_row *row, const struct leat_log_entry *e,
    const struct leat_confirm_series *s)
{
	if (row->event != e->event || !leat_glob(row->rule.asset, e->asset))
		return false;
	/* A value that was set is that of the point and place it was set at. */
	if (row->measure == LEAT_CONFIRM_LEFT)
		return leat_span_eq(s->asset, e->asset) && leat_span_eq(s->point, e->point);
	return leat_asset_kin(s->asset, e->asset);
}

/* Median and spread of values[from ... from + n - 1]. */
static void
measure(const struct leat_daily *daily, struct leat_confirm_values *v)
{
	double some[LEAT_CONFIRM_BEFORE], work[LEAT_CONFIRM_BEFORE];

	v->median = v->sd = NAN;
	for (size_t i = 0; i < v->n; i++)
		some[i] = daily->day[v->from + i].value;
	if (v->n == 0)
		return;
	v->sd = leat_mad(some, v->n, work);
	v->median = leat_median(some, v->n);
}

/* The values that count as before and as after the work.  Those of the day on which it was done are neither, unless each
 * reading stands for itself. */
static void
find_values(const struct leat_confirm *confirm, const struct leat_log_entry *next, struct leat_confirm_case *c)
{
	const struct leat_confirm_series *s = c->series;
	const struct leat_daily *daily = &s->daily;
	struct leat_time start, end, first = leat_time_add(c->entry->time, -LEAT_CONFIRM_BEFORE_S);
	struct leat_time last = leat_time_add(c->entry->time, c->row->within_s);
	size_t at = 0, after;

	leat_works_day_ending(confirm->form.np, c->entry->time, &start, &end);
	if (s->rare) {
		first = (struct leat_time){ INT64_MIN / 4, 0 };
		start = leat_time_add(c->entry->time, -1e-9);
		end = start;
	}
	if (next != NULL && leat_time_cmp(next->time, last) < 0)
		last = next->time;
	while (at < daily->days && leat_time_cmp(daily->day[at].time, start) <= 0)
		at++;
	c->before.n = 0;
	/* What was read at the stop before, a season ago, is no measure of what was found at this one. */
	while (c->before.n < at && c->before.n < (s->rare ? 1 : LEAT_CONFIRM_BEFORE) &&
	    leat_time_cmp(daily->day[at - c->before.n - 1].time, first) > 0)
		c->before.n++;
	c->before.from = at - c->before.n;
	for (after = at; after < daily->days && leat_time_cmp(daily->day[after].time, end) <= 0; after++)
		;
	c->after.from = after;
	c->after.n = 0;
	while (after + c->after.n < daily->days && c->after.n < (s->rare ? 1 : LEAT_CONFIRM_AFTER) &&
	    leat_time_cmp(daily->day[after + c->after.n].time, last) <= 0)
		c->after.n++;
}

/* What the row's measure gives, of medians before and after. */
double
leat_confirm_change(const struct leat_confirm_row *row, double before, double after, double left)
{
	switch (row->measure) {
	case LEAT_CONFIRM_RATIO:
		return before > 0 ? after / before : NAN;
	case LEAT_CONFIRM_DIFFERENCE:
		return after - before;
	case LEAT_CONFIRM_VALUE:
		return after;
	case LEAT_CONFIRM_LEFT:
		return after - left;
	}
	return NAN;
}

bool
leat_confirm_within(const struct leat_confirm_row *row, const struct leat_confirm_series *s, double change)
{
	double low = leat_confirm_bound(row, s, row->low), high = leat_confirm_bound(row, s, row->high);

	return !isnan(change) && !(change < low) && !(change > high);
}

/* Did it move as far the other way as it should have moved this way? */
static bool
contrary(const struct leat_confirm_row *row, const struct leat_confirm_series *s, double change)
{
	double low = leat_confirm_bound(row, s, row->low), high = leat_confirm_bound(row, s, row->high);

	if (row->measure == LEAT_CONFIRM_RATIO)
		return (high < 1 && change > 1 / high) || (low > 1 && change < 1 / low);
	return row->measure == LEAT_CONFIRM_DIFFERENCE && ((high < 0 && change > -high) || (low > 0 && change < -low));
}

static bool
needs_before(const struct leat_confirm_row *row)
{
	return row->measure == LEAT_CONFIRM_RATIO || row->measure == LEAT_CONFIRM_DIFFERENCE;
}

/* Would, or could, so small a change be chance?  What is expected counts where it was not found. */
static bool
is_noise(const struct leat_confirm_case *c, bool confirmed)
{
	const struct leat_confirm_row *row = c->row;
	double error, moved = fabs(c->after.median - c->before.median), nearest;

	if (!needs_before(row) || c->before.n < 2 || c->after.n < 2)
		return false;
	error = MEDIAN_ERROR * sqrt(c->before.sd * c->before.sd / (double)c->before.n +
	    c->after.sd * c->after.sd / (double)c->after.n);
	if (!confirmed) {
		double low = leat_confirm_bound(row, c->series, row->low), high = leat_confirm_bound(row, c->series, row->high);
		double zero = row->measure == LEAT_CONFIRM_RATIO ? 1 : 0;

		nearest = low > zero ? low - zero : high < zero ? zero - high : 0;
		moved = row->measure == LEAT_CONFIRM_RATIO ? nearest * c->before.median : nearest;
	}
	return moved > 0 && moved < LEAT_CONFIRM_NOISE * error;
}

/* The status by the first n of the values after the work. */
static enum leat_status
status_by(struct leat_confirm_case *c, size_t n)
{
	bool good;

	c->after.n = n;
	measure(&c->series->daily, &c->after);
	c->change = leat_confirm_change(c->row, c->before.median, c->after.median, c->left);
	if (isnan(c->change))
		return LEAT_STATUS_UNKNOWN;
	good = leat_confirm_within(c->row, c->series, c->change);
	if (is_noise(c, good))
		return LEAT_STATUS_UNKNOWN;
	return good ? LEAT_STATUS_OK : contrary(c->row, c->series, c->change) ? LEAT_STATUS_ALARM : LEAT_STATUS_ALERT;
}

/* What was set, in the unit of the series; NaN where the entry has no number. */
static double
left_of(const struct leat_confirm_case *c)
{
	double left;

	if (leat_double_parse(leat_log_entry_value(c->entry), &left) != 0)
		return NAN;
	if (c->entry->unit == NULL || c->series->unit == NULL || c->entry->unit == c->series->unit)
		return left;
	return leat_unit_same_dimension(c->entry->unit, c->series->unit) ?
	    leat_unit_convert(c->entry->unit, c->series->unit, left) : NAN;
}

static size_t
least(const struct leat_confirm_series *s)
{
	return s->rare ? 1 : LEAT_CONFIRM_LEAST;
}

int
leat_confirm_judge(const struct leat_confirm *confirm, const struct leat_log_entry *next, struct leat_confirm_case *c)
{
	struct leat_time due = leat_time_add(c->entry->time, c->row->within_s);
	size_t n, need = least(c->series);

	c->since = c->entry->time;
	c->left = left_of(c);
	find_values(confirm, next, c);
	n = c->after.n;
	measure(&c->series->daily, &c->before);
	if (n < need || (needs_before(c->row) && c->before.n < need)) {
		measure(&c->series->daily, &c->after);
		c->waiting = n < need && next == NULL && leat_time_cmp(confirm->now, due) < 0;
		c->status = c->waiting ? LEAT_STATUS_OK : LEAT_STATUS_UNKNOWN;
		c->time = leat_time_cmp(confirm->now, due) < 0 ? confirm->now : due;
		return 0;
	}
	c->status = status_by(c, n);
	c->time = c->series->daily.day[c->after.from + need - 1].time;
	for (size_t k = n; k > need && status_by(c, k - 1) == c->status; k--)
		c->time = c->series->daily.day[c->after.from + k - 2].time;
	(void)status_by(c, n);
	return 0;
}
