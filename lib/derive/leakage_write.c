/* Leakage and gas of a mill: what came out of a day, as readings or explained. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "derive/leakage_private.h"
#include "physics/accumulator.h"
#include "physics/leakage.h"

#define LINE 512

static const char *const day_points[] = {
	"internal-leakage", "internal-leakage.coverage", "pump-up-frequency", "pump-start-frequency", "pump-up-duty",
	"pump-up-rate", "gas-compliance", "gas-amount-compliance", "leakage-excess"
};

void
leat_leak_row(struct leat_leaks *leaks, struct leat_span asset, struct leat_time at, const char *point, double value,
    int decimals, const char *unit, enum leat_quality quality)
{
	char text[LEAT_NUMBER_MAX];
	bool none = quality == LEAT_BAD || !isfinite(value);
	size_t len = none ? 0 : leat_number_fixed(text, value, decimals);

	leat_readings_add(leaks->out, leaks->in, &(struct leat_reading){
		.time = at, .asset = asset, .point = leat_span_of(point), .value = leat_span_make(text, len),
		.unit = leat_span_of(unit), .quality = none ? LEAT_BAD : quality
	});
	leaks->added++;
}

void
leat_leak_line(struct leat_leaks *leaks, const char *label, const char *format, ...)
{
	char text[LINE];
	va_list args;

	snprintf(text, sizeof(text), "  %-12s", label);
	leat_out_text(leaks->out, text);
	va_start(args, format);
	vsnprintf(text, sizeof(text), format, args);
	va_end(args);
	leat_out_text(leaks->out, text);
	leat_out_char(leaks->out, '\n');
}

bool
leat_leak_asked(const struct leat_leaks *leaks, struct leat_span mill, const char *const *point, size_t points)
{
	size_t slash = leat_span_find(leaks->what, '/');
	struct leat_span rest;

	if (leaks->what.len == 0)
		return true;
	if (!leat_span_eq(leat_span_make(leaks->what.ptr, slash), mill))
		return false;
	if (slash == leaks->what.len)
		return true;
	rest = leat_span_make(leaks->what.ptr + slash + 1, leaks->what.len - slash - 1);
	/* "cyl-1/hold-leakage" of a part that was shut off. */
	slash = leat_span_find(rest, '/');
	if (slash < rest.len)
		rest = leat_span_make(rest.ptr + slash + 1, rest.len - slash - 1);
	for (size_t i = 0; i < points; i++)
		if (leat_span_is(rest, point[i]))
			return true;
	return false;
}

static void
explain_refused(struct leat_leaks *leaks, const struct leat_leak_mill *own, const struct leat_leak_result *r)
{
	static const char *const words[] = {
		[LEAT_LEAK_STATE] = "the mill did not grind or hold its pressure all the time",
		[LEAT_LEAK_GAP] = "charging, state or pressure not known for more than 2 min",
		[LEAT_LEAK_SETPOINT] = "the set point moved",
		[LEAT_LEAK_UNCERTAIN] = "a reading of uncertain quality, or a frozen thermometer",
		[LEAT_LEAK_PUMP] = "not one pump known to run, or no rated-flow, nor displacement and speed, in the nameplate",
		[LEAT_LEAK_HEAT] = "oil temperature not known",
		[LEAT_LEAK_ODD] = "flow below 0.6 or above 1.7 of the day's median: a charge too few or too many"
	};

	const struct leat_leak_day *day = &own->day;

	for (int i = 0; i < LEAT_LEAK_ADMITTED; i++) {
		if (day->refused[i] == 0)
			continue;
		if (i == LEAT_LEAK_WARMING)
			leat_leak_line(leaks, "refused", "%ld: within %.4g min of the begin of grinding: the shells still warm up",
			    day->refused[i], own->plate.settled_s / 60);
		else if (i == LEAT_LEAK_SHORT)
			leat_leak_line(leaks, "refused", "%ld: switching times not known well enough: %.4g s open and cycles of %.4g s "
			    "can be told", day->refused[i], r->resolvable_on_s, r->resolvable_cycle_s);
		else
			leat_leak_line(leaks, "refused", "%ld: %s", day->refused[i], words[i]);
	}
}

/* A number for an explanation, or that it is not known. */
#define TOLD 48
static const char *
told(char text[TOLD], double value, int decimals, const char *unit, const char *what)
{
	if (isnan(value))
		snprintf(text, TOLD, "%s not known", what);
	else
		snprintf(text, TOLD, "%.*f %s", decimals, value, unit);
	return text;
}

/* How far a mean may be off; nothing for that of one cycle. */
static const char *
off_by(char text[TOLD], double error, int decimals)
{
	text[0] = '\0';
	if (!isnan(error))
		snprintf(text, TOLD, " +-%.*f", decimals, error);
	return text;
}

static void
explain_gas(struct leat_leaks *leaks, const struct leat_leak_mill *own, const struct leat_leak_result *r)
{
	const struct leat_leak_cycle *c = NULL;
	double set = leat_leak_amount_as_set(own), leakage, compliance;
	char off[TOLD];

	for (size_t i = 0; i < own->day.cycles; i++)
		if (!isnan(own->day.cycle[i].amount_mol))
			c = &own->day.cycle[i];
	if (c != NULL) {
		leat_leak_line(leaks, "filling", "the last: (%.2f - %.3f) L/min x %.1f s raised %.2f bar about %.1f bar: %.4f L/bar, the "
		    "gas %.3f times stiffer while hot", c->pump_lpm, c->leakage_lpm, c->on_s, c->rise_bar, c->middle_bar,
		    c->n * (c->pump_lpm - c->leakage_lpm) * c->on_s / 60 / c->rise_bar, c->n);
		if (isnan(set))
			leat_leak_line(leaks, "gas", "%.1f%s mol by %zu fillings; precharge, shells or shell-volume not given",
			    r->amount_mol, off_by(off, r->amount_error_mol, 1), r->filled);
		else
			leat_leak_line(leaks, "gas", "%.1f%s mol by %zu fillings, %.1f as set: %.1f %%", r->amount_mol,
			    off_by(off, r->amount_error_mol, 1), r->filled, set, 100 * r->amount_mol / set);
		if (isnan(r->compliance))
			leat_leak_line(leaks, "compliance", "not known: give set-pressure");
		else
			leat_leak_line(leaks, "compliance", "%.4f L/bar at %.1f bar and %.1f degC, isothermal", r->compliance,
			    own->plate.set_bar, own->plate.reference_c);
	} else {
		leat_leak_line(leaks, "gas", "not known: give charging-above and charging-below, or readings of the pressure in steps of "
		    "a quarter of the filling; cycles under %d thermal lags do not count", 3);
	}
	if (r->slow > 0 && isnan(r->slope_compliance))
		leat_leak_line(leaks, "late fall", "%.4f%s bar/min in %zu cycles, less than the %.4g that a pressure tells: no "
		    "compliance by it", r->slope_bar_min, off_by(off, r->slope_error, 4), r->slow, LEAT_LEAK_FALL_LEAST);
	else if (r->slow > 0)
		leat_leak_line(leaks, "late fall", "%.4f%s bar/min about %.1f bar in %zu cycles of at least %.4g min: with the "
		    "balance %.3f L/bar", r->slope_bar_min, off_by(off, r->slope_error, 4), r->slope_bar, r->slow,
		    LEAT_GAS_SLOW_CYCLE_LAGS * own->plate.lag_s / 60, r->slope_compliance);
	else
		leat_leak_line(leaks, "late fall", "no cycle of at least %.4g min with five readings of settled gas: it tells no "
		    "compliance",
		    LEAT_GAS_SLOW_CYCLE_LAGS * own->plate.lag_s / 60);
	if (c != NULL && !isnan(r->slope_compliance) && leat_leakage_two_slopes(c->pump_lpm, r->rate_bar_min,
	    r->slope_bar_min, c->n, &leakage, &compliance) == 0)
		leat_leak_line(leaks, "two slopes", "rise %.3f and fall %.4f bar/min, n %.3f: %.3f L/min and %.3f L/bar, without the "
		    "balance",
		    r->rate_bar_min, r->slope_bar_min, c->n, leakage, compliance);
	if (r->excess_quality != LEAT_BAD)
		leat_leak_line(leaks, "excess", "with that gas %.3f L/min, %.3f at the reference; the whole cycle shows %.1f%s %% "
		    "more, which flows near the upper pressure only", r->late_lpm, r->late_reference_lpm, r->excess_percent,
		    off_by(off, r->excess_error_percent, 1));
}

static void
explain(struct leat_leaks *leaks, const struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_result *r)
{
	const struct leat_leak_day *day = &own->day;
	char heat[TOLD], oil[TOLD], set[TOLD], off[TOLD];

	leat_out_span(leaks->out, mill->asset);
	leat_out_text(leaks->out, "/internal-leakage ");
	leat_out_time(leaks->out, leaks->day_start);
	leat_out_char(leaks->out, ' ');
	leat_out_time(leaks->out, leaks->day_end);
	leat_out_char(leaks->out, '\n');
	leat_leak_line(leaks, "pressed", "%.2f h grinding, %.2f h holding; %zu whole cycles in %.2f h admitted = %.2f %%",
	    day->grinding_s / 3600, day->hold_s / 3600, r->cycles, r->cycle_s / 3600, r->coverage);
	explain_refused(leaks, own, r);
	leat_leak_line(leaks, "charging", "%ld times seen in %.2f h of grinding%s", day->openings, day->counted_s / 3600,
	    r->frequency_quality == LEAT_BAD || r->by_counter ? ": more may have been missed" : "");
	if (r->by_counter)
		leat_leak_line(leaks, "counter", "%.0f openings in %.2f h of grinding: %.2f an hour, each of %.2f L by the gas %s: "
		    "%.3f L/min, %.3f at the reference", day->starts, day->starts_s / 3600, r->frequency, r->filling_l,
		    isnan(own->amount_mol) ? "as set" : "of the last good day", r->leakage_lpm, r->reference_lpm);
	if (r->cycles > 0) {
		if (isnan(day->drain_lpm))
			leat_leak_line(leaks, "pump", "%.2f L/min as rated: its drain flow is not known", day->cycle[r->cycles - 1].pump_lpm);
		else
			leat_leak_line(leaks, "pump", "%.2f L/min swept less %.2f of its drain = %.2f L/min in the last cycle",
			    day->cycle[r->cycles - 1].pump_lpm + day->drain_lpm, day->drain_lpm, day->cycle[r->cycles - 1].pump_lpm);
		leat_leak_line(leaks, "balance", "pump flow x %.0f s open / %.0f s = %.3f L/min at %.1f bar, %s, %s", r->on_s,
		    r->cycle_s, r->leakage_lpm, r->bar, told(heat, r->temp_c, 1, "degC", "temperature"),
		    told(oil, r->viscosity_mm2_s, 2, "mm2/s", "viscosity"));
		leat_leak_line(leaks, "reference", "%.3f%s L/min at %s and %s; external leakage is in it", r->reference_lpm,
		    off_by(off, r->error_lpm, 3), isnan(own->plate.set_bar) ? "that pressure" : told(set, own->plate.set_bar, 1, "bar", ""),
		    isnan(r->viscosity_mm2_s) ? "the viscosity as it was" : told(oil, own->plate.reference_mm2_s, 2, "mm2/s", ""));
		explain_gas(leaks, own, r);
	}
	leat_leak_line(leaks, "quality", "%s", r->quality == LEAT_BAD ? "bad, cannot tell: too little admitted" :
	    r->quality == LEAT_GOOD ? "good" : isnan(r->viscosity_mm2_s) ? "uncertain: the viscosity is not known" :
	    r->by_counter ? "uncertain: by a counter, and the gas as it was" :
	    "uncertain: too small a share admitted");
}

/* Says once what the nameplate lacks. */
static void
tell_lack(const struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_result *r)
{
	const struct leat_leak_plate *plate = &own->plate;
	char text[256];

	if (leaks->warn == NULL)
		return;
	if (!own->told_pump && r->cycles == 0 && own->day.refused[LEAT_LEAK_PUMP] > 0) {
		own->told_pump = true;
		snprintf(text, sizeof(text), "the leakage of '%.*s' cannot be told: give 'displacement' and 'speed', or 'rated-flow', of "
		    "its pumps in nameplate.csv", (int)mill->asset.len, mill->asset.ptr);
		leaks->warn(text);
	}
	if (!own->told_gas && r->cycles > 0 && r->filled == 0 && !(plate->above_bar + plate->below_bar > 0)) {
		own->told_gas = true;
		snprintf(text, sizeof(text), "the gas of '%.*s' cannot be told: give 'charging-above' and 'charging-below' in "
		    "nameplate.csv", (int)mill->asset.len, mill->asset.ptr);
		leaks->warn(text);
	}
}

static void
empty(struct leat_leak_day *day)
{
	struct leat_leak_cycle *cycle = day->cycle;
	size_t cap = day->cap;

	*day = (struct leat_leak_day){ .cycle = cycle, .cap = cap, .drain_lpm = NAN };
}

/* A mill of which nobody knows by how much a filling raises the pressure tells no gas, and needs no word of it each day. */
static bool
tells_gas(struct leat_leak_mill *own, const struct leat_leak_result *r)
{
	own->gas_told = own->gas_told || r->filled > 0 || own->plate.above_bar + own->plate.below_bar > 0;
	return own->gas_told;
}

int
leat_leak_write_day(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill)
{
	struct leat_leak_day *day = &own->day;
	struct leat_time end = leaks->day_end;
	struct leat_leak_result r;

	if (!own->has_switch || !(day->grinding_s + day->hold_s > 0)) {
		empty(day);
		return 0;
	}
	if (leat_leak_sum_up(own, &r) != 0)
		return -1;
	if (r.quality == LEAT_BAD)
		r.by_counter = leat_leak_by_counter(leaks, own, mill, &r);
	leaks->days++;
	tell_lack(leaks, own, mill, &r);
	if (r.gas_quality == LEAT_GOOD) {
		own->amount_mol = r.amount_mol;
		own->amount_time = end;
	}
	if (leaks->explain) {
		if (leat_leak_asked(leaks, mill->asset, day_points, sizeof(day_points) / sizeof(day_points[0])))
			explain(leaks, own, mill, &r);
		empty(day);
		leat_leak_write_early(leaks, own, mill, &r);
		return leat_leak_write_loss(leaks, own, mill, &r);
	}
	leat_leak_row(leaks, mill->asset, end, "internal-leakage", r.reference_lpm, 3, "L/min", r.quality);
	leat_leak_row(leaks, mill->asset, end, "internal-leakage.coverage", r.coverage, 2, "%", LEAT_GOOD);
	/* The motor has a limit for its starts; a valve has none. */
	leat_leak_row(leaks, mill->asset, end, mill->series[LEAT_LEAK_CHARGING] != LEAT_NAME_NONE ? "pump-up-frequency" :
	    "pump-start-frequency", r.frequency, 2, "1/h", r.frequency_quality);
	leat_leak_row(leaks, mill->asset, end, "pump-up-duty", r.duty, 3, "%", r.quality);
	if (tells_gas(own, &r)) {
		leat_leak_row(leaks, mill->asset, end, "pump-up-rate", r.rate_bar_min, 2, "bar/min", r.gas_quality);
		leat_leak_row(leaks, mill->asset, end, "gas-compliance", r.compliance, 4, "L/bar", r.gas_quality);
		leat_leak_row(leaks, mill->asset, end, "gas-amount-compliance", r.amount_mol, 1, "mol", r.gas_quality);
	}
	if (r.excess_quality != LEAT_BAD)
		leat_leak_row(leaks, mill->asset, end, "leakage-excess", r.excess_percent, 1, "%", r.excess_quality);
	empty(day);
	leat_leak_write_early(leaks, own, mill, &r);
	return leat_leak_write_loss(leaks, own, mill, &r);
}
