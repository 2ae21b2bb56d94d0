/* Corrected case drain flow: what came out of a day, as readings or explained. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "derive/drain_private.h"

#define LINE 512
#define MAD_TO_SIGMA 1.4826	/* of a normal distribution: 1 / 0.6745 */
#define MEDIAN_TO_MEAN 1.2533	/* standard error of the median against that of the mean, likewise: root of pi / 2 */

/* "drain flow not known" and so on; dst has 128 bytes.  The limits are those of the plate. */
static void
reason_words(char *dst, enum leat_drain_reason reason, const struct leat_drain_plate *plate)
{
	static const char *const words[] = {
		[LEAT_DRAIN_NO_PLATE] = "no reference-pressure or no oil in the nameplate",
		[LEAT_DRAIN_OTHERS] = "another pump of the same meter runs, or may",
		[LEAT_DRAIN_NO_FLOW] = "drain flow not known",
		[LEAT_DRAIN_NOT_SHARED] = "the meter of the other pump shows nothing: it is not shared, stuck, or its line is shut",
		[LEAT_DRAIN_NO_PRESSURE] = "pump pressure not known",
		[LEAT_DRAIN_NO_HEAT] = "oil temperature not known",
		[LEAT_DRAIN_UNCERTAIN] = "a reading of uncertain quality, or a frozen thermometer",
		[LEAT_DRAIN_IMPOSSIBLE] = "flow or temperature beyond all bounds",
		[LEAT_DRAIN_VALVE] = "charging valve moved within the minute, or not known"
	};

	switch (reason) {
	case LEAT_DRAIN_SETTLING:
		snprintf(dst, 128, "less than %.4g min after the start", plate->settling_min);
		break;
	case LEAT_DRAIN_COLD:
		snprintf(dst, 128, "tank below %.4g degC, or not known", plate->warm_from_c);
		break;
	case LEAT_DRAIN_UNSTEADY:
		snprintf(dst, 128, "tank changes by %.4g K/h or more over 30 min, or is not known for so long", plate->warm_rate_k_h);
		break;
	case LEAT_DRAIN_PRESSURE:
		snprintf(dst, 128, "pump pressure more than %.4g %% off %.4g bar", plate->band_percent,
		    plate->reference.pressure_bar);
		break;
	case LEAT_DRAIN_VISCOSITY:
		snprintf(dst, 128, "oil in the tank outside %.4g to %.4g mm2/s", plate->thinnest_mm2_s, plate->thickest_mm2_s);
		break;
	default:
		snprintf(dst, 128, "%s", reason < LEAT_DRAIN_ADMITTED ? words[reason] : "admitted");
	}
}

static int
by_flow(const void *a, const void *b)
{
	const struct leat_drain_minute *x = a, *y = b;

	if (x->corrected_lpm != y->corrected_lpm)
		return x->corrected_lpm < y->corrected_lpm ? -1 : 1;
	/* Equal flows in order of time, so that a rerun gives the same bytes. */
	return leat_time_cmp(x->time, y->time);
}

static void
row(struct leat_drain *drain, const struct leat_drain_pump *pump, const char *point, double value, int decimals,
    const char *unit, enum leat_quality quality)
{
	char text[LEAT_NUMBER_MAX];
	size_t len = quality == LEAT_BAD ? 0 : leat_number_fixed(text, value, decimals);

	leat_readings_add(drain->out, drain->in, &(struct leat_reading){
		.time = drain->minutes.day_end, .asset = pump->asset, .point = leat_span_of(point), .value = leat_span_make(text, len),
		.unit = leat_span_of(unit), .quality = quality
	});
	drain->added++;
}

static void
line(struct leat_drain *drain, const char *label, const char *text)
{
	char head[20];

	snprintf(head, sizeof(head), "  %-12s", label);
	leat_out_text(drain->out, head);
	leat_out_text(drain->out, text);
	leat_out_char(drain->out, '\n');
}

static void
explain_oil(struct leat_drain *drain, const struct leat_drain_pump *pump)
{
	char text[LINE];

	leat_oil_in_use_words(text, sizeof(text), &pump->oil, &drain->mill[pump->mill].sheet);
	line(drain, "oil", text);
	leat_oil_in_use_equation(text, sizeof(text), &pump->oil);
	line(drain, "viscosity", text);
}

static void
explain_counts(struct leat_drain *drain, const struct leat_drain_pump *pump)
{
	static const char *const pressure[] = { "pump-pressure", "compensator-pressure", "grinding pressure" };
	const struct leat_drain_day *day = &pump->day;
	char text[LINE], words[128];
	int len;

	snprintf(text, sizeof(text), "%ld min, of them admitted %zu = %.2f %%", day->on, day->minutes,
	    100.0 * (double)day->minutes / (double)day->on);
	line(drain, "pump on", text);
	for (int i = 0; i < LEAT_DRAIN_ADMITTED; i++) {
		if (day->refused[i] == 0)
			continue;
		reason_words(words, i, &pump->plate);
		snprintf(text, sizeof(text), "%ld min: %s", day->refused[i], words);
		line(drain, "refused", text);
	}
	if (day->minutes == 0)
		return;
	len = snprintf(text, sizeof(text), "flow of %.*s", (int)pump->meter_of.len, pump->meter_of.ptr);
	for (int i = 0; i < LEAT_DRAIN_PRESSURES; i++)
		if (day->by_pressure[i] > 0 && len < (int)sizeof(text))
			len += snprintf(text + len, sizeof(text) - (size_t)len, ", pressure by %s %ld min", pressure[i],
			    day->by_pressure[i]);
	if (day->by_tank > 0 && len < (int)sizeof(text))
		snprintf(text + len, sizeof(text) - (size_t)len, ", drain temperature by tank and pressure %ld min", day->by_tank);
	line(drain, "inputs", text);
}

/* The minute in the middle, to be redone by hand, and how sure its value is. */
static void
explain_median(struct leat_drain *drain, const struct leat_drain_pump *pump, const struct leat_drain_minute *m)
{
	const struct leat_drain_day *day = &pump->day;
	double low = day->minute[day->minutes / 4].corrected_lpm, high = day->minute[day->minutes * 3 / 4].corrected_lpm;
	double error = 1.96 * MEDIAN_TO_MEAN * MAD_TO_SIGMA * (high - low) / 2 / sqrt((double)day->minutes);
	double warmer = leat_oil_viscosity(&pump->oil.curve, m->drain_c + 1), slot = m->corrected_lpm - m->reference.bleed_lpm;
	char text[LINE], time[LEAT_TIME_MAX];

	leat_time_write(time, m->time);
	snprintf(text, sizeof(text), "%s: drain %.3f L/min, p %.1f bar, drain oil %.1f degC, nu %.2f mm2/s", time, m->flow_lpm,
	    m->pressure_bar, m->drain_c, m->viscosity_mm2_s);
	line(drain, "median at", text);
	snprintf(text, sizeof(text), "%.3f + (%.3f - %.3f x root(%.1f / %.1f)) x %.1f / %.1f x %.2f / %.2f = %.3f L/min",
	    m->reference.bleed_lpm, m->flow_lpm, m->reference.bleed_lpm, m->pressure_bar, m->reference.pressure_bar,
	    m->reference.pressure_bar, m->pressure_bar, m->viscosity_mm2_s, m->reference.viscosity_mm2_s, m->corrected_lpm);
	line(drain, "corrected", text);
	snprintf(text, sizeof(text), "%.3f - %.3f = %.3f L/min", m->corrected_lpm, m->reference.bleed_lpm, slot);
	line(drain, "slot flow", text);
	snprintf(text, sizeof(text), "half of the minutes from %.3f to %.3f: the median to +-%.3f L/min at 95 %%, each minute by "
	    "itself", low, high, error);
	line(drain, "scatter", text);
	snprintf(text, sizeof(text), "1 K of the drain temperature makes %.3f L/min, 1 %% of the viscosity %.3f",
	    slot * (1 - warmer / m->viscosity_mm2_s), 0.01 * slot);
	line(drain, "sensitive", text);
}

static bool
asked_for(const struct leat_drain *drain, const struct leat_drain_pump *pump)
{
	static const char *const point[] = { "/drain-flow-corrected", "/slot-flow", "/drain-flow-corrected.coverage" };
	struct leat_span what = drain->what;

	for (size_t i = 0; i < sizeof(point) / sizeof(point[0]); i++) {
		if (leat_span_ends(what, point[i])) {
			what.len -= strlen(point[i]);
			break;
		}
	}
	return what.len == 0 || leat_span_eq(what, pump->asset);
}

static void
explain(struct leat_drain *drain, const struct leat_drain_pump *pump, const struct leat_drain_minute *m,
    enum leat_quality quality)
{
	const struct leat_drain_plate *plate = &pump->plate;
	char text[LINE];

	leat_out_span(drain->out, pump->asset);
	leat_out_text(drain->out, "/drain-flow-corrected ");
	leat_out_time(drain->out, drain->minutes.day_start);
	leat_out_char(drain->out, ' ');
	leat_out_time(drain->out, drain->minutes.day_end);
	leat_out_char(drain->out, '\n');
	if (plate->reference.viscosity_mm2_s > 0) {
		snprintf(text, sizeof(text), "%.1f bar; %.2f mm2/s, the fresh oil at %.1f degC; control bleed %.3f L/min",
		    plate->reference.pressure_bar, plate->reference.viscosity_mm2_s, plate->reference_c, plate->reference.bleed_lpm);
		line(drain, "reference", text);
		explain_oil(drain, pump);
	}
	explain_counts(drain, pump);
	if (m != NULL && quality != LEAT_BAD)
		explain_median(drain, pump, m);
	if (quality == LEAT_BAD)
		snprintf(text, sizeof(text), "bad, cannot tell: less than %.4g min admitted", plate->least_min);
	else if (quality == LEAT_UNCERTAIN)
		snprintf(text, sizeof(text), "uncertain: less than %.4g %% of the time admitted", plate->least_percent);
	else
		snprintf(text, sizeof(text), "good");
	line(drain, "quality", text);
}

void
leat_drain_write_day(struct leat_drain *drain, struct leat_drain_pump *pump)
{
	struct leat_drain_day *day = &pump->day;
	double percent = 100.0 * (double)day->minutes / (double)day->on;
	enum leat_quality quality = day->minutes == 0 || (double)day->minutes < pump->plate.least_min ? LEAT_BAD :
	    percent < pump->plate.least_percent ? LEAT_UNCERTAIN : LEAT_GOOD;
	const struct leat_drain_minute *m = NULL;

	if (day->minutes > 0) {
		qsort(day->minute, day->minutes, sizeof(*day->minute), by_flow);
		m = &day->minute[(day->minutes - 1) / 2];
	}
	drain->days++;
	if (!drain->explain) {
		row(drain, pump, "drain-flow-corrected", m != NULL ? m->corrected_lpm : 0, 3, "L/min", quality);
		row(drain, pump, "slot-flow", m != NULL ? m->corrected_lpm - m->reference.bleed_lpm : 0, 3, "L/min", quality);
		row(drain, pump, "drain-flow-corrected.coverage", percent, 2, "%", LEAT_GOOD);
	} else if (asked_for(drain, pump)) {
		explain(drain, pump, m, quality);
	}
	leat_drain_empty_day(day);
}

void
leat_drain_empty_day(struct leat_drain_day *day)
{
	day->on = day->by_tank = 0;
	memset(day->refused, 0, sizeof(day->refused));
	memset(day->by_pressure, 0, sizeof(day->by_pressure));
	day->minutes = 0;
}
