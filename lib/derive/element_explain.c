/* Filter elements: how a value came about, so that a person can redo it. */
#include <math.h>
#include <stdio.h>

#include "derive/element_private.h"

#define LINE 512

static void
line(struct leat_elements *elements, const char *label, const char *text)
{
	char head[20];

	snprintf(head, sizeof(head), "  %-12s", label);
	leat_out_text(elements->out, head);
	leat_out_text(elements->out, text);
	leat_out_char(elements->out, '\n');
}

static void
title(struct leat_elements *elements, const struct leat_elements_filter *filter, const char *point)
{
	leat_out_span(elements->out, filter->asset);
	leat_out_char(elements->out, '/');
	leat_out_text(elements->out, point);
	leat_out_char(elements->out, ' ');
	leat_out_time(elements->out, elements->minutes.day_start);
	leat_out_char(elements->out, ' ');
	leat_out_time(elements->out, elements->minutes.day_end);
	leat_out_char(elements->out, '\n');
}

bool
leat_elements_asked_for(const struct leat_elements *elements, const struct leat_elements_filter *filter)
{
	struct leat_span what = elements->what;

	for (size_t i = 0; leat_elements_made[i] != NULL; i++) {
		size_t len = strlen(leat_elements_made[i]);

		if (leat_span_ends(what, leat_elements_made[i]) && what.len > len && what.ptr[what.len - len - 1] == '/') {
			what.len -= len + 1;
			break;
		}
	}
	return what.len == 0 || leat_span_eq(what, filter->asset);
}

static void
reason_words(char *dst, size_t size, enum leat_elements_reason reason, const struct leat_elements_plate *plate)
{
	static const char *const words[] = {
		[LEAT_ELEMENTS_NO_PLATE] = "no oil, or no loop-flow, in the nameplate",
		[LEAT_ELEMENTS_NO_DP] = "differential pressure not known",
		[LEAT_ELEMENTS_NO_HEAT] = "oil temperature not known",
		[LEAT_ELEMENTS_UNCERTAIN] = "a reading of uncertain quality, or a frozen thermometer",
		[LEAT_ELEMENTS_IMPOSSIBLE] = "pressure or temperature beyond all bounds"
	};

	switch (reason) {
	case LEAT_ELEMENTS_SETTLING:
		snprintf(dst, size, "less than %.4g min after the start", plate->settling_min);
		break;
	case LEAT_ELEMENTS_COLD:
		snprintf(dst, size, "tank below %.4g degC", plate->warm_from_c);
		break;
	case LEAT_ELEMENTS_VISCOSITY:
		snprintf(dst, size, "oil thicker than %.4g mm2/s", plate->thickest_mm2_s);
		break;
	case LEAT_ELEMENTS_UNSTEADY:
		snprintf(dst, size, "tank changes by %.4g K/h or more over 30 min, or is not known for so long", plate->warm_rate_k_h);
		break;
	default:
		snprintf(dst, size, "%s", words[reason]);
	}
}

static void
explain_reference(struct leat_elements *elements, const struct leat_elements_filter *filter)
{
	const struct leat_elements_plate *plate = &filter->plate;
	const struct leat_element_reference *ref = &plate->reference;
	char text[LINE], by[80] = "as given", flow[48] = "the loop's flow";

	if (plate->by_temperature)
		snprintf(by, sizeof(by), "the fresh oil at %.1f degC", plate->reference_c);
	if (ref->flow_lpm > 0)
		snprintf(flow, sizeof(flow), "%.4g L/min", ref->flow_lpm);
	if (plate->clean_bar > 0)
		snprintf(text, sizeof(text), "%s; %.2f mm2/s, %s; clean %.3f bar, of them the housing %.4g %% = %.4f bar", flow,
		    ref->viscosity_mm2_s, by, plate->clean_bar, plate->housing_percent > 0 ? plate->housing_percent : 0,
		    ref->housing_bar);
	else
		snprintf(text, sizeof(text), "%s; %.2f mm2/s, %s; no clean-dp: nothing is taken off for the housing", flow,
		    ref->viscosity_mm2_s, by);
	line(elements, "reference", text);
	leat_oil_in_use_words(text, sizeof(text), &filter->oil, &elements->mill[filter->mill].sheet);
	line(elements, "oil", text);
	leat_oil_in_use_equation(text, sizeof(text), &filter->oil);
	line(elements, "viscosity", text);
}

static void
explain_counts(struct leat_elements *elements, const struct leat_elements_filter *filter,
    const struct leat_elements_value *value)
{
	const struct leat_elements_day *day = &filter->day;
	char text[LINE], words[128], since[LEAT_TIME_MAX];

	snprintf(text, sizeof(text), "%ld min, of them admitted %zu = %.2f %%", day->on, value->admitted, value->percent);
	line(elements, "loop runs", text);
	if (!leat_time_is_none(filter->life.since) && leat_time_cmp(filter->life.since, elements->minutes.day_start) > 0) {
		leat_time_write(since, filter->life.since);
		snprintf(text, sizeof(text), "element changed at %s: only what comes after it counts", since);
		line(elements, "change", text);
	}
	for (int i = 0; i < LEAT_ELEMENTS_BYPASS; i++) {
		if (day->refused[i] == 0)
			continue;
		reason_words(words, sizeof(words), i, &filter->plate);
		snprintf(text, sizeof(text), "%ld min: %s", day->refused[i], words);
		line(elements, "refused", text);
	}
	if (value->bypassed > 0) {
		snprintf(text, sizeof(text), "%zu min with warm oil: %.4g %% of the bypass's %.4g bar or more", value->bypassed,
		    filter->plate.open_percent, filter->plate.bypass_bar);
		line(elements, "bypass open", text);
	}
	if (day->minutes > 0) {
		snprintf(text, sizeof(text), "by oil-flow %ld min, by %s %ld min", day->flow_read,
		    filter->plate.reference.flow_lpm > 0 ? "loop-flow of the nameplate" : "no flow, taken as that of the reference",
		    (long)day->minutes - day->flow_read);
		line(elements, "flow", text);
	}
}

/* The minute in the middle, to be redone by hand. */
static void
explain_median(struct leat_elements *elements, const struct leat_elements_filter *filter,
    const struct leat_elements_value *value)
{
	const struct leat_elements_plate *plate = &filter->plate;
	const struct leat_elements_minute *m = value->minute;
	const struct leat_element_reference *ref = &m->reference;
	double clean = leat_elements_clean_bar(filter), share = leat_element_bypass_share(ref, m->element_bar, plate->bypass_bar);
	char text[LINE], time[LEAT_TIME_MAX], flow[32] = "";
	int len;

	leat_time_write(time, m->time);
	if (!isnan(m->flow_lpm))
		snprintf(flow, sizeof(flow), "Q %.4g L/min, ", m->flow_lpm);
	snprintf(text, sizeof(text), "%s: dp %.3f bar, %soil %.1f degC, nu %.2f mm2/s", time, m->shown_bar, flow, m->oil_c,
	    m->viscosity_mm2_s);
	line(elements, "median at", text);
	if (isnan(m->flow_lpm))
		len = snprintf(text, sizeof(text), "(%.3f - %.4f) x %.2f / %.2f", m->shown_bar, ref->housing_bar, ref->viscosity_mm2_s,
		    m->viscosity_mm2_s);
	else
		len = snprintf(text, sizeof(text), "(%.3f - %.4f x (%.4g / %.4g)^2) x %.2f / %.2f x %.4g / %.4g", m->shown_bar,
		    ref->housing_bar, m->flow_lpm, ref->flow_lpm, ref->viscosity_mm2_s, m->viscosity_mm2_s, ref->flow_lpm, m->flow_lpm);
	snprintf(text + len, sizeof(text) - (size_t)len, " = %.3f bar%s", m->element_bar,
	    value->at_least ? " at least: the bypass stood open" : "");
	line(elements, "corrected", text);
	if (!isnan(clean)) {
		snprintf(text, sizeof(text), "%.3f / %.4f = %.3f of the clean element%s", m->element_bar, clean, m->element_bar / clean,
		    isnan(plate->clean_bar) ? ", by what the last ones showed when new" : "");
		line(elements, "ratio", text);
	}
	if (!isnan(share)) {
		snprintf(text, sizeof(text), "%.3f / (%.4g - %.4f) = %.1f %% of what opens the bypass", m->element_bar,
		    plate->bypass_bar, ref->housing_bar, 100 * share);
		line(elements, "bypass", text);
	}
}

/* What was counted since the change. */
static void
explain_hours(struct leat_elements *elements, const char *since, const struct leat_elements_life *life, double elapsed_h,
    double hours, double litres)
{
	double known_h = (double)life->known_min / 60, run_h = (double)life->run_min / 60;
	char text[LINE], made[64] = "";

	snprintf(text, sizeof(text), "changed %s (logbook, line %ld), %.2f d before", since, life->line, elapsed_h / 24);
	line(elements, "element", text);
	if (!isnan(litres))
		snprintf(made, sizeof(made), "; %.0f L went through", litres);
	snprintf(text, sizeof(text), "%.1f h of the %.1f h known, and %.1f h of the %.1f h unseen, by what was before and after: "
	    "%.1f h%s", run_h, known_h, hours - run_h, fmax(0, elapsed_h - known_h), hours, made);
	line(elements, "loop ran", text);
}

static void
explain_age(struct leat_elements *elements, const struct leat_elements_filter *filter)
{
	const struct leat_elements_life *life = &filter->life;
	char since[LEAT_TIME_MAX];
	enum leat_quality quality;
	double litres, hours;

	leat_time_write(since, life->since);
	hours = leat_elements_hours(filter, life, elements->minutes.day_end, &litres, &quality);
	explain_hours(elements, since, life, leat_time_diff(elements->minutes.day_end, life->since) / 3600, hours, litres);
}

void
leat_elements_explain_day(struct leat_elements *elements, const struct leat_elements_filter *filter,
    const struct leat_elements_value *value)
{
	const struct leat_elements_plate *plate = &filter->plate;
	char text[LINE];

	title(elements, filter, "filter-dp-corrected");
	if (plate->reference.viscosity_mm2_s > 0)
		explain_reference(elements, filter);
	explain_counts(elements, filter, value);
	if (value->minute != NULL && value->quality != LEAT_BAD)
		explain_median(elements, filter, value);
	if (leat_time_is_none(filter->life.since))
		line(elements, "element", "no change is logged: its age is not known");
	else
		explain_age(elements, filter);
	if (value->quality == LEAT_BAD)
		snprintf(text, sizeof(text), "bad, cannot tell: less than %.4g min admitted", plate->least_min);
	else if (value->at_least)
		snprintf(text, sizeof(text), "uncertain: the bypass stood open, and less than %.4g min admitted", plate->least_min);
	else if (value->quality == LEAT_UNCERTAIN)
		snprintf(text, sizeof(text), "uncertain: less than %.4g %% of the time admitted", plate->least_percent);
	else
		snprintf(text, sizeof(text), "good");
	line(elements, "quality", text);
}

void
leat_elements_explain_life(struct leat_elements *elements, const struct leat_elements_filter *filter)
{
	const struct leat_elements_finished *done = &filter->finished;
	char text[LINE], until[LEAT_TIME_MAX], since[LEAT_TIME_MAX];

	title(elements, filter, "element-life");
	leat_time_write(until, done->until);
	leat_time_write(since, done->life.since);
	explain_hours(elements, since, &done->life, leat_time_diff(done->until, done->life.since) / 3600, done->hours, NAN);
	if (isnan(done->ratio))
		snprintf(text, sizeof(text), "%.1f h until %s; none is compared before %.4g earlier lives are known, here %zu",
		    done->hours, until, filter->plate.lives_least, done->before);
	else
		snprintf(text, sizeof(text), "%.1f h until %s / %.1f h, the median of the %zu before = %.3f", done->hours, until,
		    done->median, done->before, done->ratio);
	line(elements, "life", text);
	line(elements, "quality", done->quality == LEAT_GOOD ? "good" : "uncertain: too little of the time is known");
}

void
leat_elements_explain_change(struct leat_elements *elements, const struct leat_elements_filter *filter, double after_bar)
{
	char text[LINE], time[LEAT_TIME_MAX];

	title(elements, filter, "element-change-ratio");
	leat_time_write(time, filter->before_time);
	snprintf(text, sizeof(text), "%.3f bar after the change of %s / %.3f bar before it = %.3f", after_bar, time,
	    filter->before_bar, after_bar / filter->before_bar);
	line(elements, "change", text);
}
