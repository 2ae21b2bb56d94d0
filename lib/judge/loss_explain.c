/* How losses came about, so that a person can redo them. */
#include <math.h>
#include <stdio.h>

#include "judge/loss_private.h"
#include "physics/cost.h"
#include "physics/force.h"

/* A value, or "-" where there is none. */
static const char *
number(char dst[32], double value, int decimals)
{
	if (isnan(value))
		snprintf(dst, 32, "-");
	else
		snprintf(dst, 32, "%.*f", decimals, value);
	return dst;
}

static bool
wanted(struct leat_span what, struct leat_span asset, struct leat_span point)
{
	char name[512];

	snprintf(name, sizeof(name), "%.*s/%.*s", (int)asset.len, asset.ptr, (int)point.len, point.ptr);
	return what.len == 0 || leat_glob(what, leat_span_of(name)) || leat_span_eq(what, asset);
}

static void
explain_hour(struct leat_out *out, const struct leat_loss_hour *h)
{
	char end[LEAT_TIME_MAX], head[32], feed[32], kn[32];

	leat_time_write(end, h->end);
	leat_out_line(out, "      to %s %.2f h: %.2f bar, set %.2f, agreed %.2f, head %s bar, %s kN; missing %.4f by the set point, "
	    "%.4f below it; feed %s t/h%s%s", end, h->hours, h->bar, h->set_bar, h->agreed_bar, number(head, h->head_bar, 2),
	    number(kn, h->kn, 2), h->lowered, h->unheld, number(feed, h->feed_tph, 2), h->good ? "" : ", uncertain",
	    h->fed ? ", all that is given" : "");
}

/* A day with low hours. */
static void
explain_day(struct leat_loss *loss, struct leat_out *out, const struct leat_loss_mill *mill, size_t n)
{
	const struct leat_loss_day *day = &mill->day[n % LEAT_LOSS_RING];
	struct leat_loss_result r;
	char end[LEAT_TIME_MAX], why[LEAT_LOSS_TEXT] = "", a[32], b[32], c[32], d[32];

	leat_loss_of_day(loss, mill, n, &r);
	if (r.low_h == 0)
		return;
	leat_time_write(end, day->end);
	leat_out_line(out, "    day to %s: %.2f of %.2f h low", end, r.low_h, r.grinding_h);
	for (size_t i = 0; i < day->hours; i++)
		if (leat_loss_low(&day->hour[i]))
			explain_hour(out, &day->hour[i]);
	leat_out_line(out, "      low hours: feed %s t/h at %s %s; %.1f h at held pressure: feed %s t/h at %s %s (medians)",
	    number(a, r.low_tph, 2), number(b, r.low_press, 2), r.blind ? "bar" : "kN", r.held_h, number(c, r.held_tph, 2),
	    number(d, r.held_press, 2), r.blind ? "bar" : "kN");
	leat_out_line(out,
	    "      missing 1 - force / force held = %s; feed fell 1 - feed / feed held = %s; it sways by %s at held pressure",
	    number(a, r.missing, 4), number(b, r.fell, 4), number(c, r.sway, 4));
	if (r.verdict != LEAT_LOSS_SEPARABLE) {
		leat_loss_verdict_words(why, &r);
		leat_out_line(out, "      %s: %s", r.verdict == LEAT_LOSS_UNMOVED ? "nothing lost" : "not separable", why);
		return;
	}
	leat_out_line(out, "      separable: %.2f to %.2f t (%.2f by m %.2f), of these %.2f to %.2f by the set point",
	    leat_loss_tonnes(&r, LEAT_LOSS_LOW), leat_loss_tonnes(&r, LEAT_LOSS_HIGH), leat_loss_tonnes(&r, LEAT_LOSS_MIDDLE),
	    r.m[LEAT_LOSS_MIDDLE], r.lowered_t[LEAT_LOSS_LOW], r.lowered_t[LEAT_LOSS_HIGH]);
}

/* What was looked at, and what was refused. */
static void
explain_minutes(const struct leat_loss *loss, struct leat_out *out, const struct leat_loss_mill *mill)
{
	static const char *const reason[LEAT_LOSS_ADMITTED + 1] = {
		"pressure not known", "set point not known", "set point just changed", "no feed", "hours with too few minutes"
	};
	long grinding = 0, known = 0, refused[LEAT_LOSS_ADMITTED + 1] = { 0 };
	size_t days = (size_t)loss->form.days;

	for (size_t i = mill->days > days ? mill->days - days : 0; i < mill->days; i++) {
		const struct leat_loss_day *day = &mill->day[i % LEAT_LOSS_RING];

		known += day->known;
		grinding += day->grinding;
		for (int k = 0; k <= LEAT_LOSS_ADMITTED; k++)
			refused[k] += day->refused[k];
	}
	leat_out_line(out, "  %zu works' days: state known for %.1f h, grinding %.1f h", mill->days < days ? mill->days : days,
	    (double)known / 60, (double)grinding / 60);
	for (int k = 0; k <= LEAT_LOSS_ADMITTED; k++)
		if (refused[k] >= 3)
			leat_out_line(out, "    refused: %.1f h, %s", (double)refused[k] / 60, reason[k]);
}

static void
explain_mill(struct leat_loss *loss, struct leat_out *out, const struct leat_loss_mill *mill)
{
	struct leat_loss_result r;
	struct leat_loss_prices prices;
	char message[LEAT_LOSS_TEXT], a[32], b[32], c[32];

	leat_loss_of_days(loss, mill, (size_t)loss->form.days, &r);
	leat_out_line(out, "%.*s/pressure, rule lost-production", (int)mill->asset.len, mill->asset.ptr);
	leat_out_line(out,
	    "  lost t = feed x m s / (1 - m s) x h for each low hour; s: share of the force at the agreed pressure that is "
	    "missing");
	if (r.blind)
		leat_out_line(out,
		    "  without head pressure, bore or rod the pressure stands for the force, and the high end has s %.1f times",
		    LEAT_COST_BLIND);
	leat_out_line(out, "  m %.3f to %.3f, middle %.3f", r.m[LEAT_LOSS_LOW], r.m[LEAT_LOSS_HIGH], r.m[LEAT_LOSS_MIDDLE]);
	if (leat_force_possible(mill->plate.bore_mm, mill->plate.rod_mm))
		leat_out_line(out, "  force = pressure x %.4f m2 - head pressure x %.4f m2 a cylinder",
		    leat_force_ring_area_mm2(mill->plate.bore_mm, mill->plate.rod_mm) / 1e6,
		    leat_force_head_area_mm2(mill->plate.bore_mm) / 1e6);
	else
		leat_out_line(out, "  force as the pressure alone: bore and rod are not in the nameplate");
	if (!isnan(mill->plate.set_head_bar))
		leat_out_line(out, "  head pressure with sound seals %.2f bar: what is above it takes force too", mill->plate.set_head_bar);
	leat_loss_prices_of(loss, mill->asset, &prices);
	leat_out_line(out, "  auxiliaries %s kW; %s a tonne, %s a kWh, in %s",
	    number(a, leat_loss_plate_number(loss, mill->asset, "auxiliaries-power", loss->now), 1), number(b, prices.tonne, 3),
	    number(c, prices.kwh, 3), prices.currency);
	explain_minutes(loss, out, mill);
	for (size_t days = (size_t)loss->form.days, i = mill->days > days ? mill->days - days : 0; i < mill->days; i++)
		explain_day(loss, out, mill, i);
	leat_loss_mill_words(message, loss, mill, &r);
	leat_out_line(out, "  %s", message);
}

static int
explain_leak(struct leat_loss *loss, struct leat_out *out, const struct leat_loss_leak *leak)
{
	struct leat_loss_power p;
	double share[LEAT_LOSS_ENDS];
	char message[LEAT_LOSS_TEXT], end[LEAT_TIME_MAX], a[32], b[32];
	size_t days = (size_t)loss->form.days;

	if (leat_loss_power_of(loss, leak, days, &p) != 0)
		return -1;
	leat_loss_efficiency(loss, leak->asset, share);
	leat_out_line(out, "%.*s/%.*s, rule %s", (int)leak->asset.len, leak->asset.ptr, (int)leak->point.len, leak->point.ptr,
	    leat_loss_leak_rule(leak->kind));
	leat_out_line(out, "  kWh = L/min x bar / 600 x h / efficiency of pump and motor, %.2f down to %.2f", share[LEAT_LOSS_LOW],
	    share[LEAT_LOSS_HIGH]);
	for (size_t i = loss->days > days ? loss->days - days : 0; i < loss->days; i++) {
		const struct leat_loss_leak_day *day = &leak->day[i % LEAT_LOSS_DAYS];

		leat_time_write(end, loss->end[i % LEAT_LOSS_RING]);
		leat_out_line(out, "    day to %s: %s %s, %s %s, %.2f of %.2f h known", end, number(a, day->value, 3),
		    leak->kind == LEAT_LOSS_FILTER ? "bar" : "L/min", number(b, day->bar, 1),
		    leak->kind == LEAT_LOSS_FILTER ? "L/min" : "bar", day->hours, day->known);
	}
	if (p.days == 0)
		snprintf(message, sizeof(message), "nothing told: no daily value in these days");
	else
		leat_loss_leak_words(message, loss, leak, &p);
	leat_out_line(out, "  %s", message);
	return 0;
}

static void
explain_wait(struct leat_loss *loss, struct leat_out *out, const struct leat_loss_wait *w)
{
	const struct leat_loss_power *p = &w->power;
	char message[LEAT_LOSS_TEXT], stop[LEAT_TIME_MAX] = "none is known", a[32], b[32], c[32];

	leat_out_line(out, "%.*s/%s, rule cost-of-waiting", (int)w->asset.len, w->asset.ptr, leat_loss_cost_point(w->cost));
	leat_out_line(out, "  of: %.*s", (int)w->explains.len, w->explains.data);
	if (!leat_time_is_none(w->stop))
		leat_time_write(stop, w->stop);
	leat_out_line(out, "  %s: %s", w->planned || leat_time_is_none(w->stop) ? "next planned stop" : "do-by date", stop);
	if (w->leak != NULL && w->told) {
		leat_out_line(out, "  level %s (median of the last values), usual %s; %.2f h a day", number(a, p->level, 3),
		    isnan(w->baseline) ? "not known" : number(b, w->baseline, 3), p->hours_a_day);
		if (isnan(p->slope[LEAT_LOSS_MIDDLE]))
			leat_out_line(out, "  no line through %zu daily values: too few", p->values);
		else
			leat_out_line(out, "  line through %zu daily values: %s a day (%s to %s at 90 %%)", p->values,
			    number(a, p->slope[LEAT_LOSS_MIDDLE], 5), number(b, p->slope[LEAT_LOSS_LOW], 5),
			    number(c, p->slope[LEAT_LOSS_HIGH], 5));
	}
	leat_loss_wait_words(message, loss, w);
	leat_out_line(out, "  %s", message);
}

size_t
leat_loss_explain(struct leat_loss *loss, struct leat_out *out, struct leat_span what)
{
	struct leat_loss_wait *wait;
	size_t waits, explained = 0;

	for (size_t i = 0; i < loss->mill_names.count; i++) {
		const struct leat_loss_mill *mill = &loss->mill[i];

		if (mill->state != LEAT_NAME_NONE && mill->pressure != LEAT_NAME_NONE && mill->days > 0 &&
		    wanted(what, mill->asset, LEAT_SPAN("pressure"))) {
			explain_mill(loss, out, mill);
			explained++;
		}
	}
	for (size_t i = 0; i < loss->leaks; i++) {
		if (!wanted(what, loss->leak[i].asset, loss->leak[i].point))
			continue;
		if (explain_leak(loss, out, &loss->leak[i]) == 0)
			explained++;
	}
	if (leat_loss_waits(loss, &wait, &waits) == 0) {
		for (size_t i = 0; i < waits; i++) {
			if (wanted(what, wait[i].asset, leat_span_of(leat_loss_cost_point(wait[i].cost)))) {
				explain_wait(loss, out, &wait[i]);
				explained++;
			}
		}
	}
	leat_loss_waits_free(wait, waits);
	return explained;
}
