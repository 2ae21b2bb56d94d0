/* Attainment: how a day came about, for a person to redo. */
#include <math.h>
#include <stdio.h>

#include "derive/attain_private.h"
#include "physics/force.h"

#define LINE 512

static void
line(struct leat_attain *attain, const char *label, const char *text)
{
	char head[20];

	snprintf(head, sizeof(head), "  %-12s", label);
	leat_out_text(attain->out, head);
	leat_out_text(attain->out, text);
	leat_out_char(attain->out, '\n');
}

static void
refused(struct leat_attain *attain, double seconds, const char *why)
{
	char text[LINE];

	if (!(seconds > 0.0005))
		return;
	snprintf(text, sizeof(text), "%.2f min: %s", seconds / 60, why);
	line(attain, "refused", text);
}

static const char *
quality_words(enum leat_quality quality)
{
	return quality == LEAT_BAD ? "bad, cannot tell" : quality == LEAT_UNCERTAIN ? "uncertain" : "good";
}

static void
explain_admission(struct leat_attain *attain, const struct leat_attain_mill *own)
{
	const struct leat_attain_day *day = &own->day;
	char text[LINE], why[96];

	snprintf(text, sizeof(text), "%.2f min; state known %.2f min of the day's %.0f", day->grinding_s / 60,
	    day->known_s / 60, leat_time_diff(attain->day_end, attain->day_start) / 60);
	line(attain, "grinding", text);
	if (!(day->grinding_s > 0))
		return;
	snprintf(text, sizeof(text), "%.2f min = %.2f %%, of them by good readings %.2f min", day->admitted_s / 60,
	    100 * day->admitted_s / day->grinding_s, day->admitted_good_s / 60);
	line(attain, "admitted", text);
	refused(attain, day->grinding_s - day->valid_s, "pressure not known, or not yet read since grinding began");
	refused(attain, day->no_setpoint_s, "set point not known");
	snprintf(why, sizeof(why), "less than %.4g min after a change of the set point", own->plate.settling_s / 60);
	refused(attain, day->settling_s, why);
}

static void
explain_attainment(struct leat_attain *attain, const struct leat_attain_mill *own)
{
	const struct leat_attain_day *day = &own->day;
	double all = day->admitted_s, tenth = 0.1, p10;
	char text[LINE], time[LEAT_TIME_MAX];
	int len;

	len = snprintf(text, sizeof(text), "%.2f", day->setpoint_min);
	if (day->setpoint_max > day->setpoint_min && len < (int)sizeof(text))
		len += snprintf(text + len, sizeof(text) - (size_t)len, " to %.2f", day->setpoint_max);
	snprintf(text + len, sizeof(text) - (size_t)len, " bar by %s, tolerance %.2f bar%s",
	    own->setpoint_read ? "pressure-setpoint" : "set-pressure", day->tolerance_bar,
	    own->plate.tolerance_bar > 0 ? "" : " (3 % of it or 3 bar, the larger)");
	line(attain, "set point", text);
	if (leat_weighted_quantiles(&day->deviation, &tenth, 1, &p10) != 0)
		p10 = NAN;
	snprintf(text, sizeof(text), "mean %.2f bar over the time, from %.2f to %.2f; below %.2f bar for a tenth of it",
	    leat_weighted_mean(&day->deviation), day->deviation.min, day->deviation.max, p10);
	line(attain, "deviation", text);
	snprintf(text, sizeof(text), "%.2f min of %.2f = %.2f %%; %.2f min below, %.2f min above", day->within_s / 60,
	    all / 60, 100 * day->within_s / all, day->below_s / 60, day->above_s / 60);
	line(attain, "within", text);
	if (day->longest_s > 0) {
		leat_time_write(time, (struct leat_time){ leat_time_add(day->longest_until, -day->longest_s).sec, 0 });
		snprintf(text, sizeof(text), "%.1f min below, from about %s", day->longest_s / 60, time);
		line(attain, "longest", text);
	}
	snprintf(text, sizeof(text), "a pressure 1 bar higher makes %.2f %%, 1 bar lower %.2f %%",
	    100 * day->within_higher_s / all, 100 * day->within_lower_s / all);
	line(attain, "sensitive", text);
}

static void
explain_cylinders(struct leat_attain *attain, const struct leat_attain_mill *own)
{
	struct leat_attain_spread spread;
	struct leat_attain_force force;
	char text[LINE], time[LEAT_TIME_MAX];

	leat_attain_spread_of(own, &spread);
	if (spread.counted >= 2) {
		double high = leat_weighted_mean(&spread.highest->gated), low = leat_weighted_mean(&spread.lowest->gated);

		snprintf(text, sizeof(text), "%.*s %.2f - %.*s %.2f = %.2f bar (%s)", (int)spread.highest->asset.len,
		    spread.highest->asset.ptr, high, (int)spread.lowest->asset.len, spread.lowest->asset.ptr, low, spread.bar,
		    quality_words(spread.quality));
		line(attain, "spread", text);
		if (own->day.spread_bar >= 0) {
			leat_time_write(time, own->day.spread_at);
			snprintf(text, sizeof(text), "at most %.2f bar among cylinders read together, at %s", own->day.spread_bar, time);
			line(attain, "", text);
		}
	}
	for (size_t i = 0; i < own->tracks; i++) {
		if (own->track[i].side != LEAT_ATTAIN_PRESS || !leat_attain_force_of(attain, own, &own->track[i], &force) ||
		    force.quality == LEAT_BAD)
			continue;
		snprintf(text, sizeof(text), "%.*s: %.2f bar x %.0f mm2 - head %.2f bar x %.0f mm2 = %.1f kN (%s)",
		    (int)force.by->asset.len, force.by->asset.ptr, leat_weighted_mean(&force.by->gated),
		    leat_force_ring_area_mm2(force.bore_mm, force.rod_mm), leat_weighted_mean(&force.head->gated),
		    leat_force_head_area_mm2(force.bore_mm), force.kn, quality_words(force.quality));
		line(attain, "force", text);
	}
}

static void
explain_shift(struct leat_attain *attain, const struct leat_attain_mill *own)
{
	char text[LINE], by[96] = "nameplate", time[LEAT_TIME_MAX];

	if (!own->setpoint_read || isnan(own->agreed.bar) || !(own->day.shift.seconds > 0))
		return;
	if (own->agreed.by != NULL) {
		leat_time_write(time, own->agreed.by->time);
		snprintf(by, sizeof(by), "logbook, line %ld of %s", own->agreed.by->line, time);
	}
	snprintf(text, sizeof(text), "set point %.2f bar over the time; agreed at the end of the day %.2f bar by %s; shift "
	    "%.2f bar (%s)", leat_weighted_mean(&own->day.setpoint), own->agreed.bar, by,
	    leat_weighted_mean(&own->day.shift),
	    quality_words(leat_attain_worth(own, own->day.shift.seconds, own->day.shift_good_s)));
	line(attain, "agreed", text);
}

static void
explain_relief(struct leat_attain *attain, const struct leat_attain_mill *own)
{
	const struct leat_attain_day *day = &own->day;
	char text[LINE], time[LEAT_TIME_MAX];
	double near_s, valid_s, compensator;

	leat_attain_relief_times(own, &near_s, &valid_s);
	if (isnan(own->plate.relief_bar) || !(valid_s > 0))
		return;
	if (day->margin_bar < INFINITY) {
		leat_time_write(time, day->margin_at);
		snprintf(text, sizeof(text), "%.2f - %.2f bar (%s of %.*s at %s) = %.2f bar (%s); the true peak is higher than a "
		    "sampled one", day->margin_relief_bar, day->margin_relief_bar - day->margin_bar,
		    day->margin_side == LEAT_ATTAIN_PUMP ? "pump-pressure" : "pressure", (int)day->margin_asset.len,
		    day->margin_asset.ptr, time, day->margin_bar,
		    quality_words(leat_attain_relief_worth(attain, own, valid_s, day->margin_good)));
		line(attain, "relief", text);
	}
	snprintf(text, sizeof(text), "%.2f min above %.2f bar, 95 %% of it, of %.2f min known", near_s / 60,
	    LEAT_ATTAIN_NEAR_RELIEF * own->plate.relief_bar, valid_s / 60);
	line(attain, "near relief", text);
	for (size_t i = 0; i < own->pumps; i++) {
		compensator = leat_attain_plate_number(attain, own->pump[i], "compensator-pressure", attain->day_end);
		if (isnan(compensator))
			continue;
		snprintf(text, sizeof(text), "%.*s: %.2f - %.2f = %.2f bar", (int)own->pump[i].len, own->pump[i].ptr,
		    own->plate.relief_bar, compensator, own->plate.relief_bar - compensator);
		line(attain, "compensator", text);
	}
}

static void
explain_demand(struct leat_attain *attain, const struct leat_attain_mill *own)
{
	char text[LINE];

	for (size_t i = 0; i < own->tracks; i++) {
		const struct leat_attain_track *track = &own->track[i];
		double seconds, sure_s, bar = leat_attain_demand_mode(track, &seconds, &sure_s);

		if (!(seconds > 0))
			continue;
		snprintf(text, sizeof(text), "%.*s: longest at %.1f bar in %.2f min at no demand, oil from %.4g degC; %.1f / %.1f - 1 "
		    "= %.2f %% (%s)%s", (int)track->asset.len, track->asset.ptr, bar, seconds / 60, own->plate.warm_c, bar,
		    track->setting_bar, 100 * (bar / track->setting_bar - 1),
		    quality_words(leat_attain_demand_worth(own, seconds, sure_s)),
		    own->idle == LEAT_ATTAIN_IDLE_MOSTLY ? ", no readings named charging" : "");
		line(attain, "observed", text);
	}
}

static void
explain_lacks(struct leat_attain *attain, const struct leat_mill *mill)
{
	for (int lack = 0; lack < LEAT_ATTAIN_LACKS; lack++)
		if (leat_attain_lacks(attain, mill, (enum leat_attain_lack)lack))
			line(attain, "not told", leat_attain_lack_words((enum leat_attain_lack)lack));
}

static void
explain_quality(struct leat_attain *attain, const struct leat_attain_mill *own)
{
	enum leat_quality quality = leat_attain_worth(own, own->day.admitted_s, own->day.admitted_good_s);
	char text[LINE];

	if (quality == LEAT_BAD)
		snprintf(text, sizeof(text), "bad, cannot tell: less than %.4g min admitted", own->plate.least_s / 60);
	else if (quality == LEAT_UNCERTAIN)
		snprintf(text, sizeof(text), "uncertain: less than %.4g %% of the grinding time admitted by good readings",
		    own->plate.least_percent);
	else
		snprintf(text, sizeof(text), "good");
	line(attain, "quality", text);
}

void
leat_attain_explain_day(struct leat_attain *attain, const struct leat_mill *mill)
{
	const struct leat_attain_mill *own = &attain->own[mill - attain->mills.mill];

	if (attain->what.len > 0 && !leat_span_eq(leat_asset_mill(attain->what), mill->asset))
		return;
	leat_out_span(attain->out, mill->asset);
	leat_out_text(attain->out, "/pressure-attainment ");
	leat_out_time(attain->out, attain->day_start);
	leat_out_char(attain->out, ' ');
	leat_out_time(attain->out, attain->day_end);
	leat_out_char(attain->out, '\n');
	explain_admission(attain, own);
	if (own->day.admitted_s > 0)
		explain_attainment(attain, own);
	if (own->day.grinding_s > 0) {
		explain_quality(attain, own);
		explain_cylinders(attain, own);
		explain_shift(attain, own);
	}
	explain_relief(attain, own);
	explain_demand(attain, own);
	explain_lacks(attain, mill);
}
