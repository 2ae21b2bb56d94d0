/*
 * Corrected case drain flow: the control bleed and the flow of the pump as new, fitted to a stretch of readings.
 *
 * The model of physics/slot_flow.h, solved for what would be the corrected flow if there were no bleed, is a line:
 *
 *	drain (pref / p)(nu / nuref) = slot + bleed root(pref / p)(nu / nuref)
 *
 * Its slope is the bleed.  It is fitted to hourly medians by the median of all slopes between two hours (Theil and Sen), so
 * that a few bad minutes or hours do not move it, and its interval is that of Kendall's rank test, widened where
 * neighbouring hours err alike.  The value of the line at factor 1 is the corrected flow.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "derive/drain_private.h"

#define HOUR_S 3600
#define HOUR_LEAST 10		/* admitted minutes that make an hour */
#define POINTS_MAX 1000		/* that are fitted: the slopes between them are kept, half a million at most */
#define SPAN_K 8.0		/* of drain temperature, below which slot and bleed cannot be told apart (common practice) */
#define Z95 1.959964
#define CORRELATION_MAX 0.95

static int
by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;

	return x < y ? -1 : x > y;
}

/* The quantile q of n > 0 numbers, which are put in order. */
static double
quantile(double *x, size_t n, double q)
{
	double at = q * (double)(n - 1);
	size_t i = (size_t)at;

	qsort(x, n, sizeof(*x), by_size);
	return i + 1 < n ? x[i] + (at - (double)i) * (x[i + 1] - x[i]) : x[i];
}

static int
end_hour(struct leat_drain_fit *fit)
{
	struct leat_drain_hour *hour;

	if (fit->minutes >= HOUR_LEAST) {
		if (leat_grow(&fit->hour, &fit->cap, fit->hours + 1, sizeof(*fit->hour)) != 0)
			return -1;
		hour = &fit->hour[fit->hours++];
		hour->factor = quantile(fit->factor, fit->minutes, 0.5);
		hour->flow_lpm = quantile(fit->flow_lpm, fit->minutes, 0.5);
		hour->drain_c = quantile(fit->drain_c, fit->minutes, 0.5);
	}
	fit->minutes = 0;
	return 0;
}

int
leat_drain_fit_add(struct leat_drain *drain, struct leat_drain_pump *pump, const struct leat_drain_minute *m)
{
	struct leat_drain_fit *fit = &pump->fit;
	int64_t hour = m->time.sec / HOUR_S;
	double thicker = m->viscosity_mm2_s / m->reference.viscosity_mm2_s;

	/* Hours that are hardly admitted are many; their number is what memory and time go by. */
	if (fit->admitted >= (long)drain->fit_hours * 60 || fit->hours >= 2 * (size_t)drain->fit_hours)
		return 0;
	if (hour != fit->running && end_hour(fit) != 0)
		return -1;
	fit->running = hour;
	if (fit->admitted++ == 0)
		fit->first = m->time;
	fit->last = m->time;
	if (fit->minutes == sizeof(fit->factor) / sizeof(fit->factor[0]))
		return 0;
	fit->factor[fit->minutes] = sqrt(m->reference.pressure_bar / m->pressure_bar) * thicker;
	/* The nameplate's bleed is left out while fitting, so this is the left side of the line. */
	fit->flow_lpm[fit->minutes] = m->corrected_lpm;
	fit->drain_c[fit->minutes++] = m->drain_c;
	return 0;
}

/* Neighbouring hours become one, as many as it takes for POINTS_MAX. */
static void
thin(struct leat_drain_fit *fit)
{
	double work[3][LEAT_DRAIN_FIT_HOURS_MAX * 2 / POINTS_MAX + 1];
	size_t together = (fit->hours + POINTS_MAX - 1) / POINTS_MAX, points = 0;

	for (size_t i = 0; together > 1 && i < fit->hours; points++) {
		size_t n = 0;

		for (; n < together && i < fit->hours; n++, i++) {
			work[0][n] = fit->hour[i].factor;
			work[1][n] = fit->hour[i].flow_lpm;
			work[2][n] = fit->hour[i].drain_c;
		}
		fit->hour[points] = (struct leat_drain_hour){ quantile(work[0], n, 0.5), quantile(work[1], n, 0.5),
			quantile(work[2], n, 0.5) };
	}
	if (together > 1)
		fit->hours = points;
}

/* What comes out of a fit. */
struct result {
	double bleed, bleed_low, bleed_high, fresh, fresh_low, fresh_high, span_k, usual_c;
	bool found;		/* slot and bleed could be told apart */
};

/* Flows at factor 1 for a bleed, in order of time. */
static void
flows_at_one(const struct leat_drain_fit *fit, double bleed, double *out)
{
	for (size_t i = 0; i < fit->hours; i++)
		out[i] = fit->hour[i].flow_lpm + bleed * (1 - fit->hour[i].factor);
}

/* By how much neighbouring hours that err alike widen an interval.  Errors beyond three median deviations count as three. */
static double
widening(const struct leat_drain_fit *fit, const double *flow, double middle, double *work)
{
	double bound, sum = 0, all = 0, r, before = 0;

	for (size_t i = 0; i < fit->hours; i++)
		work[i] = fabs(flow[i] - middle);
	bound = 3 * quantile(work, fit->hours, 0.5);
	for (size_t i = 0; i < fit->hours; i++) {
		double e = fmax(-bound, fmin(bound, flow[i] - middle));

		sum += i > 0 ? e * before : 0;
		all += e * e;
		before = e;
	}
	r = all > 0 ? fmin(CORRELATION_MAX, fmax(0, sum / all)) : 0;
	return sqrt((1 + r) / (1 - r));
}

/* The slopes of all pairs of hours, in order. */
static size_t
slopes(const struct leat_drain_fit *fit, double *slope)
{
	size_t n = 0;

	for (size_t i = 0; i < fit->hours; i++) {
		for (size_t j = i + 1; j < fit->hours; j++) {
			double run = fit->hour[j].factor - fit->hour[i].factor;

			if (run != 0)
				slope[n++] = (fit->hour[j].flow_lpm - fit->hour[i].flow_lpm) / run;
		}
	}
	qsort(slope, n, sizeof(*slope), by_size);
	return n;
}

/* The bleed and its interval; flow and work have room for the hours. */
static int
fit_bleed(const struct leat_drain_fit *fit, struct result *result, double *flow, double *work)
{
	size_t hours = fit->hours, n;
	double *slope = malloc(hours * (hours - 1) / 2 * sizeof(*slope)), middle, reach, half;

	if (slope == NULL)
		return -1;
	n = slopes(fit, slope);
	if (n > 0) {
		result->bleed = quantile(slope, n, 0.5);
		flows_at_one(fit, result->bleed, flow);
		memcpy(work, flow, hours * sizeof(*work));
		middle = quantile(work, hours, 0.5);
		/* The variance of Kendall's score of as many points without ties. */
		reach = Z95 * sqrt((double)hours * (double)(hours - 1) * (double)(2 * hours + 5) / 18) *
		    widening(fit, flow, middle, work);
		half = reach / 2 + 1;
		result->bleed_low = slope[half < (double)n / 2 ? (size_t)((double)n / 2 - half) : 0];
		result->bleed_high = slope[half < (double)n / 2 - 1 ? (size_t)((double)n / 2 + half) : n - 1];
		result->found = true;
	}
	free(slope);
	return 0;
}

/* The median flow at factor 1, with the interval of its rank. */
static void
fit_fresh(const struct leat_drain_fit *fit, double bleed, double *flow, double *work, double *middle, double *low,
    double *high)
{
	size_t hours = fit->hours, lower, upper;
	double reach;

	flows_at_one(fit, bleed, flow);
	memcpy(work, flow, hours * sizeof(*work));
	*middle = quantile(work, hours, 0.5);
	reach = Z95 / 2 * sqrt((double)hours) * widening(fit, flow, *middle, work) + 1;
	lower = reach < (double)hours / 2 ? (size_t)((double)hours / 2 - reach) : 0;
	upper = hours - 1 - lower;
	qsort(flow, hours, sizeof(*flow), by_size);
	*low = flow[lower];
	*high = flow[upper];
}

static int
fit_all(const struct leat_drain_fit *fit, struct result *result)
{
	double *flow = malloc(2 * fit->hours * sizeof(*flow)), *work, unused;
	int status = 0;

	if (flow == NULL)
		return -1;
	work = flow + fit->hours;
	for (size_t i = 0; i < fit->hours; i++)
		work[i] = fit->hour[i].drain_c;
	/* A twentieth at either end may be bad hours. */
	result->span_k = quantile(work, fit->hours, 0.95) - quantile(work, fit->hours, 0.05);
	result->usual_c = quantile(work, fit->hours, 0.5);
	result->bleed = fit->given_bleed_lpm;
	if (result->span_k >= SPAN_K)
		status = fit_bleed(fit, result, flow, work);
	if (result->bleed < 0)
		result->bleed = 0;
	fit_fresh(fit, result->bleed, flow, work, &result->fresh, &result->fresh_low, &result->fresh_high);
	if (result->found) {
		double low, high;

		/* At the ends of the bleed's interval the flow at factor 1 lies elsewhere. */
		fit_fresh(fit, fmax(0, result->bleed_low), flow, work, &unused, &low, &high);
		result->fresh_low = fmin(result->fresh_low, low);
		result->fresh_high = fmax(result->fresh_high, high);
		fit_fresh(fit, fmax(0, result->bleed_high), flow, work, &unused, &low, &high);
		result->fresh_low = fmin(result->fresh_low, low);
		result->fresh_high = fmax(result->fresh_high, high);
	}
	free(flow);
	return status;
}

static void
plate_row(struct leat_drain *drain, const struct leat_drain_pump *pump, const char *property, double value, const char *note)
{
	char text[LEAT_NUMBER_MAX];

	leat_out_field(drain->out, pump->asset);
	leat_out_char(drain->out, ',');
	leat_out_text(drain->out, property);
	leat_out_char(drain->out, ',');
	leat_number_fixed(text, value, 3);
	leat_out_text(drain->out, text);
	leat_out_text(drain->out, ",L/min,");
	leat_out_time(drain->out, pump->fit.first);
	leat_out_text(drain->out, ",fit,");
	leat_out_field(drain->out, leat_span_of(note));
	leat_out_char(drain->out, '\n');
	drain->added++;
}

/* "; 198 h to 2025-01-11T04:00:00Z, drain oil mostly at 54.3 degC". */
static void
stretch(char *dst, size_t size, const struct leat_drain_fit *fit, const struct result *result)
{
	char time[LEAT_TIME_MAX];

	leat_time_write(time, fit->last);
	snprintf(dst, size, "; %ld h admitted to %s, drain oil mostly %.1f degC, span %.1f K", fit->admitted / 60, time,
	    result->usual_c, result->span_k);
}

int
leat_drain_fit_write(struct leat_drain *drain, struct leat_drain_pump *pump)
{
	struct leat_drain_fit *fit = &pump->fit;
	struct result result = { 0 };
	char note[320], text[320], where[160];

	if (pump->meter == LEAT_NAME_NONE || pump->day.on == 0)
		return 0;
	if (end_hour(fit) != 0)
		return -1;
	if (fit->hours < LEAT_DRAIN_FIT_HOURS_MIN) {
		snprintf(text, sizeof(text), "nothing to fit for '%.*s': %zu hours have admitted readings, %d are needed (--explain "
		    "tells what is refused)", (int)pump->asset.len, pump->asset.ptr, fit->hours, LEAT_DRAIN_FIT_HOURS_MIN);
		leat_drain_tell(drain, text);
		return 0;
	}
	thin(fit);
	if (fit_all(fit, &result) != 0)
		return -1;
	stretch(where, sizeof(where), fit, &result);
	if (!result.found)
		snprintf(note, sizeof(note), "not identifiable: the drain temperature spans less than %.0f K, so %s%s", SPAN_K,
		    result.bleed > 0 ? "that of the nameplate stays" : "0 is taken", where);
	else
		snprintf(note, sizeof(note), "%.3f to %.3f at 95 %%%s", result.bleed_low, result.bleed_high, where);
	plate_row(drain, pump, "control-bleed", result.bleed, note);
	snprintf(note, sizeof(note), "%.3f to %.3f at 95 %%%s%s", result.fresh_low, result.fresh_high,
	    result.found ? "" : " with that bleed", where);
	plate_row(drain, pump, "as-new-drain-flow", result.fresh, note);
	return 0;
}
