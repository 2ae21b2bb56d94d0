/* Leakage and gas of a mill: what is known beside its readings, its pumps and their drains. */
#include <math.h>

#include "derive/leakage_private.h"
#include "physics/accumulator.h"
#include "physics/nitrogen.h"
#include "physics/slot_flow.h"
#include "stream/quantity.h"

#define DRAIN_S 3600.0			/* drain flows are smoothed so long, and ... */
#define DRAIN_SLOW_S (300 * 3600.0)	/* ... so long to tell a meter that fell away */
#define DRAIN_LEAST 0.6			/* of its slow mean: no pump drains less from one day to the next (common practice) */
/* A meter that fell away for a day counts again when it has been back for a day.  In between readings of cold starts, when
 * the oil in the tank is thicker than that in the slots, may look like those of before. */
#define DRAIN_DAY_S 86400.0
#define DRAIN_BACK 0.8

double
leat_leak_number(const struct leat_leaks *leaks, struct leat_span asset, const char *property, struct leat_time at)
{
	double value;

	return leat_nameplate_number(leaks->np, asset, property, at, &value) == 0 ? value : NAN;
}

/* The fresh oil of the nameplate; the midpoint of its grade serves where its viscosity at 40 degC is not given. */
static void
read_oil(const struct leat_leaks *leaks, struct leat_span mill, struct leat_time at, struct leat_leak_plate *plate)
{
	struct leat_oil_grade grade;

	plate->fresh_40_mm2_s = leat_leak_number(leaks, mill, "oil-viscosity-40", at);
	plate->fresh_100_mm2_s = leat_leak_number(leaks, mill, "oil-viscosity-100", at);
	if (isnan(plate->fresh_40_mm2_s) &&
	    leat_oil_grade_find(leat_nameplate_word(leaks->np, mill, "oil-grade", at), &grade) == 0)
		plate->fresh_40_mm2_s = grade.midpoint_mm2_s;
	plate->reference_mm2_s = NAN;
	if (leat_oil_between(&plate->fresh, 40, plate->fresh_40_mm2_s, 100, plate->fresh_100_mm2_s) == 0)
		plate->reference_mm2_s = leat_oil_viscosity(&plate->fresh, plate->reference_c);
}

void
leat_leak_read_plate(const struct leat_leaks *leaks, struct leat_leak_mill *own, struct leat_span mill, struct leat_time at)
{
	struct leat_leak_plate *plate = &own->plate;

	plate->set_bar = leat_leak_number(leaks, mill, "set-pressure", at);
	plate->above_bar = leat_leak_number(leaks, mill, "charging-above", at);
	plate->below_bar = leat_leak_number(leaks, mill, "charging-below", at);
	plate->lag_s = leat_leak_number(leaks, mill, "thermal-lag", at);
	plate->air_bara = leat_atmosphere_bara(leat_leak_number(leaks, mill, "altitude", at));
	plate->precharge_bar = leat_leak_number(leaks, mill, "precharge", at);
	plate->shells = leat_leak_number(leaks, mill, "shells", at);
	plate->shell_l = leat_leak_number(leaks, mill, "shell-volume", at);
	plate->tank_m2 = leat_leak_number(leaks, mill, "tank-area", at);
	plate->pressed_oil_l = leat_leak_number(leaks, mill, "pressed-oil", at);
	plate->reference_c = leat_leak_number(leaks, mill, "reference-temperature", at);
	plate->least_s = 60 * leat_leak_number(leaks, mill, "admitted-least", at);
	plate->least_percent = leat_leak_number(leaks, mill, "coverage-least", at);
	plate->settled_s = 60 * leat_leak_number(leaks, mill, "balance-settling", at);
	read_oil(leaks, mill, at, plate);
	plate->until = leat_nameplate_next(leaks->np, at);
	own->oil = plate->fresh;
	own->oil_due = true;
}

void
leat_leak_set_oil(const struct leat_leaks *leaks, struct leat_leak_mill *own, struct leat_span mill)
{
	struct leat_leak_plate then;

	if (!own->oil_due)
		return;
	own->oil_due = false;
	own->oil = own->plate.fresh;
	if (leat_time_is_none(own->lab_time) || isnan(own->plate.reference_mm2_s))
		return;
	/* A sample from when the nameplate had another oil tells nothing of this one. */
	then.reference_c = own->plate.reference_c;
	read_oil(leaks, mill, own->lab_time, &then);
	if (then.fresh_40_mm2_s == own->plate.fresh_40_mm2_s && then.fresh_100_mm2_s == own->plate.fresh_100_mm2_s &&
	    leat_oil_through(&own->oil, 40, own->lab_mm2_s) != 0)
		own->oil = own->plate.fresh;
}

static struct leat_span
asset_of(const struct leat_leaks *leaks, uint32_t series)
{
	return leat_readings_assets(leaks->in)->name[leat_readings_series(leaks->in)->pair[series] >> 32];
}

/* The meter of a pump: its own or a parent's, else the only one that a pump of the mill has, unless that is its own. */
static uint32_t
meter_of(const struct leat_leaks *leaks, const struct leat_leak_mill *own, size_t pump)
{
	struct leat_span none = leat_span_make("", 0), point = LEAT_SPAN("drain-flow");
	uint32_t series = leat_current_resolve(&leaks->current, own->pump[pump].asset, none, point);
	size_t of = SIZE_MAX;

	if (series != LEAT_NAME_NONE)
		return series;
	for (size_t i = 0; i < own->pumps; i++) {
		uint32_t one = leat_current_resolve(&leaks->current, own->pump[i].asset, none, point);

		if (one == LEAT_NAME_NONE || one == series)
			continue;
		if (series != LEAT_NAME_NONE)
			return LEAT_NAME_NONE;
		series = one;
		of = i;
	}
	if (of != SIZE_MAX && leat_span_is(leat_nameplate_word(leaks->np, own->pump[of].asset, "drain-meter", own->last), "own"))
		return LEAT_NAME_NONE;
	return series;
}

int
leat_leak_pumps(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill)
{
	if (own->resolved == leaks->current.seen)
		return 0;
	own->resolved = leaks->current.seen;
	if (leat_grow(&own->pump, &own->pump_cap, mill->parts, sizeof(*own->pump)) != 0)
		return -1;
	for (; own->pumps < mill->parts; own->pumps++)
		own->pump[own->pumps] = (struct leat_leak_pump){ .asset = asset_of(leaks, mill->part[own->pumps]),
			.running = mill->part[own->pumps], .drain = LEAT_NAME_NONE, .drain_lpm = NAN, .slow_lpm = NAN,
			.day_lpm = NAN, .pump_bar = NAN, .drain_at = LEAT_TIME_NONE };
	for (size_t i = 0; i < own->pumps; i++)
		own->pump[i].drain = meter_of(leaks, own, i);
	return 0;
}

static void
smooth(double *mean, double value, double s, double lag_s)
{
	if (isnan(*mean))
		*mean = value;
	else
		*mean += (value - *mean) * -expm1(-s / lag_s);
}

/* How much thicker than at the reference the oil is; 1 where that is not known. */
static double
thickness(const struct leat_leak_mill *own)
{
	double share = leat_oil_viscosity(&own->oil, own->temp_c) / own->plate.reference_mm2_s;

	return share > 0 && isfinite(share) ? share : 1;
}

/* Is a drain too small beside those of before to be one of the same meter? */
static bool
has_fallen(struct leat_leak_pump *pump, double lpm, double s)
{
	if (isnan(pump->slow_lpm))
		return false;
	smooth(&pump->day_lpm, lpm, s, DRAIN_DAY_S);
	if (!pump->fell && pump->day_lpm < DRAIN_LEAST * pump->slow_lpm) {
		pump->fell = true;
		/* The last hour before may have been one of those. */
		pump->drain_lpm = pump->slow_lpm;
	} else if (pump->day_lpm >= DRAIN_BACK * pump->slow_lpm) {
		pump->fell = false;
	}
	return pump->fell || lpm < DRAIN_LEAST * pump->slow_lpm;
}

/* The drain of one pump that runs. */
static int
take_drain(struct leat_leaks *leaks, const struct leat_leak_mill *own, struct leat_leak_pump *pump, struct leat_time at,
    struct leat_time seen, struct leat_error *err)
{
	const struct leat_latest *latest = leat_current_series(&leaks->current, pump->drain, seen);
	uint32_t pressure;
	double lpm, bar, s;

	if (latest == NULL || latest->quality != LEAT_GOOD || leat_time_cmp(latest->time, at) != 0)
		return 0;
	if (leat_quantity_latest(&leaks->current, pump->drain, leaks->lpm, &lpm, err) < 0)
		return -1;
	if (!latest->is_number || !(lpm > 0))
		return 0;
	/* Slots leak by the inverse of the viscosity: kept at that of the reference, a drain that is not read any more follows
	 * the seasons. */
	lpm *= thickness(own);
	/* One reading after a week without stands for no week. */
	s = leat_time_is_none(pump->drain_at) ? 0 : fmin(leat_time_diff(at, pump->drain_at), DRAIN_S);
	pump->drain_at = at;
	if (has_fallen(pump, lpm, s))
		return 0;
	smooth(&pump->drain_lpm, lpm, s, DRAIN_S);
	smooth(&pump->slow_lpm, lpm, s, DRAIN_SLOW_S);
	pressure = leat_current_resolve(&leaks->current, pump->asset, leat_span_make("", 0), LEAT_SPAN("pump-pressure"));
	latest = pressure != LEAT_NAME_NONE ? leat_current_series(&leaks->current, pressure, seen) : NULL;
	if (latest == NULL || !latest->is_number || latest->quality != LEAT_GOOD)
		return 0;
	if (leat_quantity_latest(&leaks->current, pressure, leaks->bar_unit, &bar, err) < 0)
		return -1;
	if (bar > 0)
		smooth(&pump->pump_bar, bar, s, DRAIN_S);
	return 0;
}

static int
pump_on(const struct leat_leaks *leaks, const struct leat_leak_pump *pump, struct leat_time seen)
{
	const struct leat_latest *latest = leat_current_series(&leaks->current, pump->running, seen);

	return latest != NULL ? leat_latest_switch(&leaks->current, latest) : -1;
}

/* A new pump drains as it likes. */
static void
forget_drain(struct leat_leak_pump *pump)
{
	pump->drain_lpm = pump->slow_lpm = pump->day_lpm = NAN;
	pump->fell = false;
}

static void
take_pump_changes(struct leat_leaks *leaks, struct leat_leak_mill *own, struct leat_time at)
{
	const struct leat_logbook *book = leaks->book;

	for (; book != NULL && own->next_entry < book->count; own->next_entry++) {
		const struct leat_log_entry *e = &book->entry[own->next_entry];

		if (leat_time_cmp(e->time, at) > 0)
			return;
		for (size_t i = 0; i < own->pumps && strcmp(e->event->name, "pump-change") == 0; i++)
			if (leat_span_eq(own->pump[i].asset, e->asset))
				forget_drain(&own->pump[i]);
	}
}

int
leat_leak_take_drains(struct leat_leaks *leaks, struct leat_leak_mill *own, struct leat_time at, struct leat_time seen,
    struct leat_error *err)
{
	size_t running = 0, which = 0;

	take_pump_changes(leaks, own, at);
	for (size_t i = 0; i < own->pumps; i++) {
		if (pump_on(leaks, &own->pump[i], seen) != 0) {
			running++;
			which = i;
		}
	}
	/* A meter of several pumps shows the one that runs alone. */
	if (running != 1 || own->pump[which].drain == LEAT_NAME_NONE || pump_on(leaks, &own->pump[which], seen) != 1)
		return 0;
	return take_drain(leaks, own, &own->pump[which], at, seen, err);
}

double
leat_leak_pump_flow(const struct leat_leaks *leaks, const struct leat_leak_mill *own, const struct leat_mill *mill,
    size_t pump, double bar, struct leat_time at, double *drain_lpm)
{
	const struct leat_leak_pump *p = pump < own->pumps ? &own->pump[pump] : NULL;
	struct leat_span asset = p != NULL ? p->asset : mill->asset;
	double rated = leat_leak_number(leaks, asset, "rated-flow", at);
	double swept = leat_leak_number(leaks, asset, "displacement", at) * leat_leak_number(leaks, asset, "speed", at) / 1000;
	double drained_bar = p != NULL && !isnan(p->pump_bar) ? p->pump_bar :
	    leat_leak_number(leaks, asset, "compensator-pressure", at);
	double more = NAN;

	*drain_lpm = NAN;
	if (p != NULL && !isnan(p->drain_lpm) && !(isnan(swept) && isnan(rated))) {
		/* It was read at the pressure of a pump that idles most of the time; slots leak in proportion. */
		*drain_lpm = p->drain_lpm / thickness(own) * (drained_bar > bar ? bar / drained_bar : 1);
		if (!isnan(swept))
			return swept - *drain_lpm;
		more = *drain_lpm - leat_leak_number(leaks, asset, "as-new-drain-flow", at);
		if (isnan(more))
			*drain_lpm = NAN;
	}
	/* The plate's flow is that of the new pump, its drain taken off. */
	return isnan(rated) ? swept : isnan(more) ? rated : rated - fmax(more, 0);
}

double
leat_leak_compliance(const struct leat_leak_mill *own, double amount_mol)
{
	double compliance;

	return leat_gas_compliance(amount_mol, own->plate.set_bar, own->plate.reference_c, own->plate.air_bara, &compliance) == 0 ?
	    compliance : NAN;
}

double
leat_leak_reference(const struct leat_leak_mill *own, double lpm, double bar, double temp_c, double *viscosity_mm2_s)
{
	struct leat_drain_reference ref = { own->plate.set_bar > 0 ? own->plate.set_bar : bar, own->plate.reference_mm2_s, 0 };

	*viscosity_mm2_s = isnan(temp_c) || isnan(ref.viscosity_mm2_s) ? NAN : leat_oil_viscosity(&own->oil, temp_c);
	if (isnan(*viscosity_mm2_s))
		ref.viscosity_mm2_s = 1;
	return leat_slot_flow_lpm(&ref, lpm, bar, isnan(*viscosity_mm2_s) ? 1 : *viscosity_mm2_s);
}

double
leat_leak_amount_as_set(const struct leat_leak_mill *own)
{
	const struct leat_leak_plate *plate = &own->plate;
	double amount;

	return leat_gas_amount(plate->precharge_bar, 20, plate->shells * plate->shell_l, plate->air_bara, &amount) == 0 ?
	    amount : NAN;
}
