/*
 * A series as judged at now: its segment, its scale, its step, its baseline and its limits.
 */
#include <math.h>
#include <stdlib.h>

#include "judge/trend_private.h"
#include "stats/order.h"
#include "upkeep/renewal.h"

void
leat_trend_case_free(struct leat_trend_case *c)
{
	free(c->value);
	free(c->time);
	c->value = NULL;
	c->time = NULL;
}

double
leat_trend_in_unit(const struct leat_trend *trend, const struct leat_trend_watch *w, double value)
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
		if (leat_time_cmp(book->entry[i].time, c->now) <= 0 && leat_log_renews(&book->entry[i], asset, point))
			c->reset = &book->entry[i];
}

/* Copies the values of the segment. */
static int
take_segment(struct leat_trend_case *c)
{
	const struct leat_trend_watch *w = c->watch;
	size_t first = 0, end = w->daily.days;

	while (end > 0 && leat_time_cmp(w->daily.day[end - 1].time, c->now) > 0)
		end--;
	if (c->reset != NULL) {
		struct leat_time begin = leat_time_add(c->reset->time, LEAT_TREND_RUN_IN_S);

		while (first < end && leat_time_cmp(w->daily.day[first].time, begin) <= 0)
			first++;
	}
	c->n = end - first;
	c->value = malloc((4 * c->n + 1) * sizeof(*c->value));
	c->time = malloc((c->n + 1) * sizeof(*c->time));
	if (c->value == NULL || c->time == NULL)
		return -1;
	c->date = c->value + c->n;
	c->x = c->date + c->n;
	c->y = c->x + c->n;
	for (size_t i = 0; i < c->n; i++) {
		const struct leat_day *day = &w->daily.day[first + i];

		c->value[i] = day->value;
		c->time[i] = day->time;
		c->date[i] = ((double)day->time.sec + day->time.nsec * 1e-9) / DAY_S;
		c->x[i] = day->hours;
	}
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
		c->baseline = leat_trend_in_unit(trend, w, w->row->baseline_value);
		break;
	case LEAT_BASELINE_AS_NEW:
		name = leat_trend_as_new(leat_trend_point(trend, w));
		if (name == NULL || leat_nameplate_number(trend->form.np, leat_trend_asset(trend, w), name, c->now,
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
	/* Of nothing there is no multiple. */
	c->has_baseline = !w->row->multiple || c->baseline > 0;
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
		c->alert = row->multiple ? row->alert * c->baseline : leat_trend_in_unit(trend, c->watch, row->alert);
	if (row->has_alarm)
		c->alarm = row->multiple ? row->alarm * c->baseline : leat_trend_in_unit(trend, c->watch, row->alarm);
}

int
leat_trend_case_begin(const struct leat_trend *trend, const struct leat_trend_watch *w, struct leat_time now,
    struct leat_trend_case *c)
{
	*c = (struct leat_trend_case){
		.watch = w, .now = now, .since = LEAT_TIME_NONE, .reached = LEAT_TIME_NONE, .step = { .at = LEAT_TIME_NONE },
		.level = NAN, .sigma = NAN, .detectable = NAN, .coverage = NAN
	};
	c->rare = leat_points_hold(trend->form.points, leat_trend_asset(trend, w), leat_trend_point(trend, w)) > LEAT_TREND_RARE_S;
	find_reset(trend, c);
	if (take_segment(c) != 0 || leat_trend_find_steps(trend, c) != 0 || find_baseline(trend, c) != 0)
		return -1;
	find_limits(trend, c);
	return 0;
}
