/* What was lost, as sentences. */
#include <math.h>
#include <stdio.h>

#include "base/zone.h"
#include "judge/loss_private.h"

void
leat_loss_amount(char dst[LEAT_NUMBER_MAX], double value)
{
	if (value == 0)
		snprintf(dst, LEAT_NUMBER_MAX, "0");
	else
		leat_number_significant(dst, value, 3);
}

/* "12 to 30 kWh", or "12 kWh" where both ends read alike. */
void
leat_loss_add_range(char *dst, double low, double high, const char *unit)
{
	char a[LEAT_NUMBER_MAX], b[LEAT_NUMBER_MAX];

	leat_loss_amount(a, low);
	leat_loss_amount(b, high);
	leat_loss_add(dst, "%.40s", a);
	if (strcmp(a, b) != 0)
		leat_loss_add(dst, " to %.40s", b);
	leat_loss_add(dst, " %s", unit);
}

/* The day by the works' clock. */
static void
add_day(char *dst, const struct leat_loss *loss, struct leat_time t)
{
	struct leat_civil d = leat_zone_civil(leat_nameplate_zone(loss->form.np), t);

	leat_loss_add(dst, "%04d-%02d-%02d", d.year, d.month, d.day);
}

void
leat_loss_verdict_words(char *dst, const struct leat_loss_result *r)
{
	switch (r->verdict) {
	case LEAT_LOSS_UNREAD:
		leat_loss_add(dst, "the feed is not known then");
		break;
	case LEAT_LOSS_ALONE:
		leat_loss_add(dst, "only %.0f h at held pressure lie near enough in time to compare the feed with, %.0f are needed",
		    r->held_h, LEAT_LOSS_HELD_LEAST);
		break;
	case LEAT_LOSS_SWAYS:
		leat_loss_add(dst, "at held pressure the feed sways by %.1f %% from day to day, and the force that was missing explains "
		    "%.1f %% at most", 100 * r->sway, 100 * r->m[LEAT_LOSS_HIGH] * (1 - r->low_press / r->held_press));
		break;
	case LEAT_LOSS_UNMOVED:
		leat_loss_add(dst, "the feed did not fall, so that the pressure did not limit the mill");
		break;
	case LEAT_LOSS_OTHER:
		leat_loss_add(dst, "the feed fell by %.1f %% where the force explains %.1f %% at most: moisture, hardness or worn rollers "
		    "cut it too", 100 * (1 - r->low_tph / r->held_tph),
		    100 * r->m[LEAT_LOSS_HIGH] * (1 - r->low_press / r->held_press));
		break;
	default:
		break;
	}
}

static void
add_causes(char *dst, const struct leat_loss_result *r)
{
	if (r->lowered_h > 0)
		leat_loss_add(dst, "set point below the agreed pressure for %.0f h", r->lowered_h);
	if (r->unheld_h > 0)
		leat_loss_add(dst, "%spressure not held for %.0f h", r->lowered_h > 0 ? ", " : "", r->unheld_h);
}

/* How much of the time nobody knows, where it is more than a twentieth. */
static void
add_coverage(char *dst, const struct leat_loss_result *r)
{
	if (leat_loss_coverage(r) < 95)
		leat_loss_add(dst, "; only %.0f %% of the time is known", leat_loss_coverage(r));
}

static void
add_money(char *dst, const struct leat_loss *loss, const struct leat_loss_mill *mill, const struct leat_loss_result *r)
{
	struct leat_loss_prices prices;

	if (r->kwh[LEAT_LOSS_HIGH] > 0) {
		leat_loss_add(dst, ", ");
		leat_loss_add_range(dst, r->kwh[LEAT_LOSS_LOW], r->kwh[LEAT_LOSS_HIGH], "kWh of fixed auxiliaries to make it up");
	}
	if (!(r->money[LEAT_LOSS_HIGH] > 0))
		return;
	leat_loss_prices_of(loss, mill->asset, &prices);
	leat_loss_add(dst, ", ");
	leat_loss_add_range(dst, r->money[LEAT_LOSS_LOW], r->money[LEAT_LOSS_HIGH], prices.currency);
}

/* Low hours that no number is told of. */
static void
add_untold(char *dst, const struct leat_loss_result *r)
{
	if (r->low_h - r->told_h < 0.5)
		return;
	leat_loss_add(dst, "; not separable in %.0f h at low pressure: ", r->low_h - r->told_h);
	leat_loss_verdict_words(dst, r);
}

static void
mill_words(char *dst, const struct leat_loss *loss, const struct leat_loss_mill *mill,
    const struct leat_loss_result *r)
{
	size_t days = mill->days < (size_t)loss->form.days ? mill->days : (size_t)loss->form.days;

	if (leat_loss_unseen(r)) {
		leat_loss_add(dst, "cannot tell: pressure or set point was not known in %.0f h of grinding in %zu day%s",
		    r->grinding_h, days, days == 1 ? "" : "s");
		return;
	}
	if (r->low_h == 0) {
		leat_loss_add(dst, "nothing lost: pressure held at the agreed set point in %.0f h of grinding in %zu day%s",
		    r->grinding_h - r->unseen_h - r->unfed_h, days, days == 1 ? "" : "s");
		return;
	}
	if (r->told_h == 0) {
		leat_loss_add(dst, "lost feed is not separable: %.0f of %.0f h of grinding in %zu days at low pressure (", r->low_h,
		    r->grinding_h, days);
		add_causes(dst, r);
		leat_loss_add(dst, "), but ");
		leat_loss_verdict_words(dst, r);
		return;
	}
	if (r->separable_h == 0) {
		leat_loss_add(dst, "nothing lost: %.0f of %.0f h of grinding in %zu days at low pressure (", r->low_h, r->grinding_h, days);
		add_causes(dst, r);
		leat_loss_add(dst, "), but the feed did not fall");
		add_untold(dst, r);
		return;
	}
	leat_loss_add_range(dst, leat_loss_tonnes(r, LEAT_LOSS_LOW), leat_loss_tonnes(r, LEAT_LOSS_HIGH), "t of feed lost in ");
	leat_loss_add(dst, "%.0f of %.0f h of grinding in %zu day%s (", r->separable_h, r->grinding_h, days,
	    days == 1 ? "" : "s");
	add_causes(dst, r);
	leat_loss_add(dst, "): %.1f %% of the force missing, feed %.1f %% lower than at held pressure", 100 * r->missing,
	    100 * r->fell);
	add_money(dst, loss, mill, r);
	add_untold(dst, r);
}

void
leat_loss_mill_words(char *dst, const struct leat_loss *loss, const struct leat_loss_mill *mill,
    const struct leat_loss_result *r)
{
	dst[0] = '\0';
	mill_words(dst, loss, mill, r);
	if (!leat_loss_unseen(r))
		add_coverage(dst, r);
}

static const char *
leak_name(enum leat_loss_kind kind)
{
	return kind == LEAT_LOSS_PUMP ? "case drain" : kind == LEAT_LOSS_INTERNAL ? "internal leakage" : "filter element";
}

void
leat_loss_leak_words(char *dst, const struct leat_loss *loss, const struct leat_loss_leak *leak,
    const struct leat_loss_power *power)
{
	struct leat_loss_prices prices;

	dst[0] = '\0';
	leat_loss_add(dst, "%s took ", leak_name(leak->kind));
	leat_loss_add_range(dst, power->kwh[LEAT_LOSS_LOW], power->kwh[LEAT_LOSS_HIGH], "kWh at the pump motor");
	leat_loss_add(dst, " in %.0f h of %zu day%s, ", power->hours, power->days, power->days == 1 ? "" : "s");
	if (leak->kind == LEAT_LOSS_FILTER)
		leat_loss_add(dst, "%.2f bar at %.0f L/min", power->level, power->bar);
	else
		leat_loss_add(dst, "%.2f L/min from %.0f bar", power->level, power->bar);
	leat_loss_prices_of(loss, leak->asset, &prices);
	if (!isnan(prices.kwh)) {
		leat_loss_add(dst, ", ");
		leat_loss_add_range(dst, power->kwh[LEAT_LOSS_LOW] * prices.kwh, power->kwh[LEAT_LOSS_HIGH] * prices.kwh,
		    prices.currency);
	}
}

/* "; until the stop of 2026-01-14: 12 to 30 kWh". */
static void
add_until(char *dst, const struct leat_loss *loss, const struct leat_loss_wait *w)
{
	if (leat_time_is_none(w->stop) || isnan(w->until[LEAT_LOSS_LOW]))
		return;
	leat_loss_add(dst, "; until %s ", w->planned ? "the stop of" : "its do-by date");
	add_day(dst, loss, w->stop);
	leat_loss_add(dst, ": ");
	leat_loss_add_range(dst, w->until[LEAT_LOSS_LOW], w->until[LEAT_LOSS_HIGH], w->unit);
}

static void
add_days(char *dst, size_t days)
{
	if (days == 1)
		leat_loss_add(dst, "the last day");
	else
		leat_loss_add(dst, "the last %zu days", days);
}

/* Why no feed can be told. */
static void
feed_unknown_words(char *dst, const struct leat_loss *loss, const struct leat_loss_wait *w)
{
	if (loss->days > 0 && w->days > 0 && !leat_loss_unseen(&w->recent)) {
		leat_loss_add(dst, "what waiting costs is not separable: ");
		leat_loss_verdict_words(dst, &w->recent);
		return;
	}
	leat_loss_add(dst, "what waiting costs is not known: ");
	if (loss->days == 0) {
		leat_loss_add(dst, "no works' day is over");
	} else if (w->days == 0) {
		leat_loss_add(dst, "the mill has no readings named state and pressure");
	} else {
		leat_loss_add(dst, "pressure or set point was not known in ");
		add_days(dst, w->days);
	}
}

static void
feed_words(char *dst, const struct leat_loss *loss, const struct leat_loss_wait *w)
{
	const struct leat_loss_result *r = &w->recent;
	const double *t = w->cost == LEAT_LOSS_COST_SETPOINT ? r->lowered_t : r->unheld_t;

	if (!w->told) {
		feed_unknown_words(dst, loss, w);
		return;
	}
	if (t[LEAT_LOSS_HIGH] == 0) {
		leat_loss_add(dst, "no feed was lost by it in ");
		add_days(dst, w->days);
		if (r->separable_h > 0)
			leat_loss_add(dst, w->cost == LEAT_LOSS_COST_SETPOINT ? ": what was low was not the set point" :
			    ": what was low was the set point");
		else if (r->low_h > 0)
			leat_loss_add(dst, ", though the pressure was low for %.0f h: the feed did not fall", r->low_h);
		else if (r->grinding_h == 0)
			leat_loss_add(dst, ": the mill did not grind");
		add_coverage(dst, r);
		return;
	}
	leat_loss_add(dst, "waiting costs ");
	if (strcmp(w->unit, "t") != 0) {
		leat_loss_add_range(dst, w->per_day[LEAT_LOSS_LOW], w->per_day[LEAT_LOSS_HIGH], w->unit);
		leat_loss_add(dst, " a day, by ");
	}
	leat_loss_add_range(dst, t[LEAT_LOSS_LOW] / (double)w->days, t[LEAT_LOSS_HIGH] / (double)w->days,
	    "t of feed a day as in ");
	add_days(dst, w->days);
	leat_loss_add(dst, w->cost == LEAT_LOSS_COST_SETPOINT ? ", the set point being below the agreed pressure" :
	    ", the pressure not being held");
	add_coverage(dst, r);
	add_until(dst, loss, w);
}

/* What is more than as new, and its power. */
static void
add_excess(char *dst, const struct leat_loss_wait *w)
{
	bool filter = w->leak->kind == LEAT_LOSS_FILTER;
	const char *unit = filter ? "bar" : "L/min";

	if (isnan(w->baseline))
		leat_loss_add(dst, "%.2f %s", w->power.level, unit);
	else
		leat_loss_add(dst, "%.2f %s more than the usual %.2f", w->excess[LEAT_LOSS_HIGH], unit, w->baseline);
	leat_loss_add(dst, filter ? " at %.0f L/min" : " from %.0f bar", w->power.bar);
	leat_loss_add(dst, isnan(w->baseline) ? ", of which nobody knows what is more than usual: " : ": ");
	leat_loss_add_range(dst, w->kw[LEAT_LOSS_LOW], w->kw[LEAT_LOSS_HIGH], "kW at the motor");
}

/* Why nothing can be reckoned. */
static void
unknown_words(char *dst, const struct leat_loss_wait *w)
{
	leat_loss_add(dst, "what waiting costs is not known: ");
	if (w->leak == NULL || w->power.values == 0)
		leat_loss_add(dst, "no reading named %s in the last %d days", leat_loss_cost_point(w->cost), LEAT_LOSS_DAYS);
	else if (isnan(w->power.hours_a_day))
		leat_loss_add(dst, "no reading tells when %s", w->cost == LEAT_LOSS_COST_INTERNAL ? "there was pressure" :
		    "the pump ran");
	else if (w->cost == LEAT_LOSS_COST_INTERNAL)
		leat_loss_add(dst, "there was no pressure that drives it");
	else
		leat_loss_add(dst, "the nameplate has no %s", w->cost == LEAT_LOSS_COST_PUMP ? "reference-pressure" : "loop-flow");
}

static void
power_words(char *dst, const struct leat_loss *loss, const struct leat_loss_wait *w)
{
	if (!w->told) {
		unknown_words(dst, w);
		return;
	}
	if (w->kw[LEAT_LOSS_HIGH] == 0 && w->kw_stop[LEAT_LOSS_HIGH] == 0) {
		leat_loss_add(dst, "waiting costs no power: %.2f %s are not more than the usual %.2f", w->power.level,
		    w->leak->kind == LEAT_LOSS_FILTER ? "bar" : "L/min", w->baseline);
		return;
	}
	if (w->power.hours_a_day == 0) {
		leat_loss_add(dst, "waiting costs no power: %s in what is known of the last %d days", w->cost == LEAT_LOSS_COST_INTERNAL ?
		    "there was no pressure" : "the pump did not run", LEAT_LOSS_DAYS);
		return;
	}
	leat_loss_add(dst, "waiting costs ");
	leat_loss_add_range(dst, w->per_day[LEAT_LOSS_LOW], w->per_day[LEAT_LOSS_HIGH], w->unit);
	leat_loss_add(dst, " a day: ");
	add_excess(dst, w);
	add_until(dst, loss, w);
	if (w->power.slope[LEAT_LOSS_LOW] > 0 && !isnan(w->kw_stop[LEAT_LOSS_LOW]) && !leat_time_is_none(w->stop)) {
		leat_loss_add(dst, ", by then ");
		leat_loss_add_range(dst, w->kw_stop[LEAT_LOSS_LOW], w->kw_stop[LEAT_LOSS_HIGH], "kW");
	}
	if (w->cost == LEAT_LOSS_COST_PUMP || w->cost == LEAT_LOSS_COST_INTERNAL)
		leat_loss_add(dst, "; once the pump no longer keeps up, feed is lost too");
}

void
leat_loss_wait_words(char *dst, const struct leat_loss *loss, const struct leat_loss_wait *w)
{
	dst[0] = '\0';
	if (w->cost == LEAT_LOSS_COST_COOLER)
		leat_loss_add(dst, "waiting costs nothing that is measured, until the oil temperature limits the mill");
	else if (w->cost == LEAT_LOSS_COST_GAS)
		leat_loss_add(dst, "waiting costs nothing that is measured; what it risks is bladders that are struck, and tie rods");
	else if (w->cost == LEAT_LOSS_COST_SETPOINT || w->cost == LEAT_LOSS_COST_PRESSURE)
		feed_words(dst, loss, w);
	else
		power_words(dst, loss, w);
}
