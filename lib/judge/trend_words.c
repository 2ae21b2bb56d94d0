/*
 * The messages of leat-trend: one plain sentence each, with the numbers and the row's advice.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/zone.h"
#include "judge/trend_private.h"
#include "stream/rule_row.h"

#define SOME 64

void
leat_trend_number(char *dst, double value, int decimals)
{
	if (isnan(value) || isinf(value))
		dst[0] = '\0';
	else
		leat_number_fixed(dst, value, decimals);
}

const char *
leat_trend_unit(const struct leat_trend_case *c)
{
	return c->watch->unit != NULL ? c->watch->unit->name : "";
}

/* As many as were written, but enough for three digits of the level. */
int
leat_trend_decimals(const struct leat_trend_case *c)
{
	int decimals = c->watch->decimals > 6 ? 6 : c->watch->decimals;

	while (decimals < 6 && fabs(c->level) > 0 && fabs(c->level) * pow(10, decimals) < 100)
		decimals++;
	return decimals;
}

#define add(dst, ...) leat_append(dst, LEAT_TREND_TEXT, __VA_ARGS__)

/* Adds " 3.60 L/min". */
static void
add_quantity(char *dst, const struct leat_trend_case *c, double value)
{
	char number[LEAT_NUMBER_MAX];
	const char *unit = leat_trend_unit(c);

	leat_trend_number(number, value, leat_trend_decimals(c));
	add(dst, " %.40s%s%s", number, unit[0] != '\0' && strcmp(unit, "1") != 0 ? " " : "", strcmp(unit, "1") != 0 ? unit : "");
}

/* Adds the date by the works' clock. */
static void
add_date(char *dst, const struct leat_trend *trend, struct leat_time t)
{
	struct leat_civil d;

	if (leat_time_is_none(t)) {
		add(dst, " an unknown date");
		return;
	}
	d = leat_zone_civil(leat_nameplate_zone(trend->form.np), t);
	add(dst, " %04d-%02d-%02d", d.year, d.month, d.day);
}

static void
add_point(char *dst, const struct leat_trend *trend, const struct leat_trend_case *c)
{
	char name[SOME];

	leat_mask(name, sizeof(name), leat_trend_point(trend, c->watch));
	add(dst, "%s", name);
}

/* Adds where the level is from, and which baseline that was: of which days, or whose. */
static void
add_baseline(char *dst, const struct leat_trend *trend, const struct leat_trend_case *c)
{
	if (!c->has_baseline || c->baseline == 0)
		return;
	add(dst, ", %.2f times its baseline of", c->level / c->baseline);
	add_quantity(dst, c, c->baseline);
	if (c->baseline_n == 0) {
		add(dst, " (%s)", c->watch->row->baseline == LEAT_BASELINE_NUMBER ? "trends.csv" : "nameplate");
		return;
	}
	add(dst, " (of");
	add_date(dst, trend, c->time[0]);
	if (c->baseline_n > 1) {
		add(dst, " to");
		add_date(dst, trend, c->time[c->baseline_n - 1]);
	}
	add(dst, ")");
}

/* Adds when a limit is reached, as likely as not, and from when to when in four cases of five. */
static void
add_forecast(char *dst, const struct leat_trend *trend, const struct leat_trend_case *c, const char *name, double limit,
    const struct leat_forecast *f)
{
	struct leat_time date[3];

	if (isnan(limit) || !f->trend)
		return;
	if (!leat_trend_dates(c, f, date)) {
		/* The nearer limit says it for both. */
		if (isnan(c->alert) || f == &c->best.to[LEAT_TO_ALERT] || c->status == LEAT_STATUS_ALERT)
			add(dst, ", moves to its %s limit, but not so near that %.0f days could foretell when", name,
			    fmax(1, c->date[c->n - 1] - c->date[c->best.foretold_from]));
		return;
	}
	add(dst, ", reaches its %s limit of", name);
	add_quantity(dst, c, limit);
	if (f == &c->best.to[LEAT_TO_ALERT] ? c->best.late[LEAT_TO_ALERT] : c->best.late[LEAT_TO_ALARM]) {
		add(dst, " about");
		add_date(dst, trend, date[1]);
		add(dst, " at the latest, since it grew faster of late");
		return;
	}
	add(dst, " about");
	add_date(dst, trend, date[1]);
	add(dst, " (from");
	add_date(dst, trend, date[0]);
	if (leat_time_is_none(date[2])) {
		add(dst, " on)");
	} else {
		add(dst, " to");
		add_date(dst, trend, date[2]);
		add(dst, ", four cases in five)");
	}
}

static bool
has_trend(const struct leat_trend_case *c)
{
	return c->fitted && c->best.kendall.p < 1 - LEAT_TREND_CONFIDENCE;
}

static void
lack_words(char *dst, const struct leat_trend *trend, const struct leat_trend_case *c)
{
	add(dst, "cannot tell: ");
	add_point(dst, trend, c);
	switch (c->lack) {
	case LEAT_TREND_TELLS:
		break;
	case LEAT_TREND_FEW:
		add(dst, " has %zu good daily value%s%s, and %zu are needed", c->n, c->n == 1 ? "" : "s",
		    c->reset != NULL ? " since it was renewed" : "", leat_trend_least(c));
		break;
	case LEAT_TREND_STALE:
		add(dst, " has had no good daily value since");
		add_date(dst, trend, c->time[c->n - 1]);
		break;
	case LEAT_TREND_THIN:
		add(dst, " has a good value on %.0f %% of the days only", 100 * c->coverage);
		break;
	case LEAT_TREND_NO_BASELINE:
		if (c->watch->row->baseline == LEAT_BASELINE_FIRST)
			add(dst, " began at or below zero, and its limits are multiples of that");
		else
			add(dst, " has no baseline: the nameplate lacks %s", leat_trend_as_new(leat_trend_point(trend, c->watch)));
		break;
	case LEAT_TREND_STEPPED:
		add(dst, " stepped on");
		add_date(dst, trend, c->step.at);
		add(dst, " for no reason in the logbook, and is not compared with what was before; log what was done");
		break;
	case LEAT_TREND_NOISY:
		add(dst, " is too noisy: its limit is not testable with this data, in which a change of less than");
		add_quantity(dst, c, c->detectable);
		add(dst, " does not show");
		break;
	}
}

void
leat_trend_step_words(char *dst, const struct leat_trend *trend, const struct leat_trend_case *c)
{
	dst[0] = '\0';
	add_point(dst, trend, c);
	add(dst, " stepped from");
	add_quantity(dst, c, c->step.before);
	add(dst, " to");
	add_quantity(dst, c, c->step.after);
	if (c->step.ratio > 0)
		add(dst, " (%.3f times)", c->step.ratio);
	add(dst, " on");
	add_date(dst, trend, c->step.at);
	if (c->step.factor != NULL)
		add(dst, ", which looks like a change of scale: %s; was the meter changed? log a meter-change", c->step.factor);
	else if (c->watch->row->model == LEAT_MODEL_STEP)
		leat_rule_add_advice(dst, LEAT_TREND_TEXT, c->watch->row->rule.advice);
	else
		add(dst, ", and the logbook does not say why; log what was done, or look for the cause");
}

/* What was, and how it ended. */
void
leat_trend_over_words(char *dst, const struct leat_trend *trend, const struct leat_trend_over *over)
{
	const struct leat_trend_case *c = &over->last;

	dst[0] = '\0';
	add_point(dst, trend, c);
	if (over->is_step) {
		add(dst, " had stepped from");
		add_quantity(dst, c, c->step.before);
		add(dst, " to");
		add_quantity(dst, c, c->step.after);
		add(dst, ", which is explained or gone");
	} else {
		add(dst, " was at");
		add_quantity(dst, c, c->level);
		add_baseline(dst, trend, c);
		if (c->ahead)
			add(dst, ", and on its way to a limit");
		else
			add(dst, ", beyond its %s limit of", c->status == LEAT_STATUS_ALARM ? "alarm" : "alert");
		if (!c->ahead)
			add_quantity(dst, c, c->status == LEAT_STATUS_ALARM ? c->alarm : c->alert);
	}
	add(dst, ", until");
	if (over->renewal != NULL)
		add(dst, " the %s of", over->renewal->event->name);
	add_date(dst, trend, over->until);
}

void
leat_trend_words(char *dst, const struct leat_trend *trend, const struct leat_trend_case *c)
{
	dst[0] = '\0';
	if (c->status == LEAT_STATUS_UNKNOWN) {
		lack_words(dst, trend, c);
		return;
	}
	add_point(dst, trend, c);
	if (c->ahead) {
		add(dst, " is at");
		add_quantity(dst, c, c->level);
		add_baseline(dst, trend, c);
	} else {
		add_quantity(dst, c, c->level);
		add_baseline(dst, trend, c);
		if (c->status != LEAT_STATUS_OK) {
			add(dst, ", has passed its %s limit of", c->status == LEAT_STATUS_ALARM ? "alarm" : "alert");
			add_quantity(dst, c, c->status == LEAT_STATUS_ALARM ? c->alarm : c->alert);
		}
	}
	if (c->accelerates && c->status != LEAT_STATUS_OK)
		add(dst, ", accelerating");
	if (c->status == LEAT_STATUS_OK && !has_trend(c))
		add(dst, ", no trend");
	if (c->status == LEAT_STATUS_OK || c->ahead)
		add_forecast(dst, trend, c, "alert", c->alert, &c->best.to[LEAT_TO_ALERT]);
	if (c->status != LEAT_STATUS_ALARM)
		add_forecast(dst, trend, c, "alarm", c->alarm, &c->best.to[LEAT_TO_ALARM]);
	if (c->status != LEAT_STATUS_OK)
		leat_rule_add_advice(dst, LEAT_TREND_TEXT, c->watch->row->rule.advice);
}
