/* Corrected case drain flow: which series serve a pump, and what the nameplate says of it. */
#include <math.h>

#include "derive/drain_private.h"

/* The series of a point at the asset or its nearest parent; *of becomes that asset. */
static uint32_t
series_above(const struct leat_drain *drain, struct leat_span asset, const char *point, struct leat_span *of)
{
	uint32_t series;

	do {
		series = leat_current_at(&drain->current, asset, leat_span_of(point));
		if (series != LEAT_NAME_NONE && of != NULL)
			*of = asset;
	} while (series == LEAT_NAME_NONE && leat_asset_parent(asset, &asset));
	return series;
}

/* The only meter that a pump of the mill has, if its nameplate lets others share it. */
static uint32_t
borrowed_meter(const struct leat_drain *drain, const struct leat_drain_pump *pump, struct leat_span *of)
{
	uint32_t found = LEAT_NAME_NONE;

	for (size_t i = drain->mill[pump->mill].first_pump; i != SIZE_MAX; i = drain->pump[i].next_of_mill) {
		const struct leat_drain_pump *other = &drain->pump[i];
		uint32_t series = leat_current_at(&drain->current, other->asset, leat_span_of("drain-flow"));

		if (series == LEAT_NAME_NONE)
			continue;
		if (found != LEAT_NAME_NONE)
			return LEAT_NAME_NONE;
		found = series;
		*of = other->asset;
	}
	if (found != LEAT_NAME_NONE && leat_span_is(leat_nameplate_word(drain->np, *of, "drain-meter", drain->minutes.at), "own"))
		return LEAT_NAME_NONE;
	return found;
}

/* Where the temperatures of a tank are kept, made if need be; SIZE_MAX when memory is out. */
static size_t
warmth_of(struct leat_drain *drain, uint32_t series)
{
	size_t *number = &drain->series[series].warmth;

	if (*number == 0) {
		if (leat_grow(&drain->warmth, &drain->warmth_cap, drain->warmths + 1, sizeof(*drain->warmth)) != 0)
			return SIZE_MAX;
		*number = ++drain->warmths;
	}
	return *number - 1;
}

static int
resolve_pump(struct leat_drain *drain, struct leat_drain_pump *pump)
{
	uint32_t beside, tank;

	pump->meter = series_above(drain, pump->asset, "drain-flow", &pump->meter_of);
	pump->borrowed = false;
	if (pump->meter == LEAT_NAME_NONE) {
		pump->meter = borrowed_meter(drain, pump, &pump->meter_of);
		pump->borrowed = pump->meter != LEAT_NAME_NONE;
	}
	pump->pressure = series_above(drain, pump->asset, "pump-pressure", NULL);
	pump->heat = series_above(drain, pump->asset, "drain-temperature", NULL);
	if (pump->meter != LEAT_NAME_NONE) {
		/* What stands beside a shared meter is of the pump that runs. */
		beside = leat_current_at(&drain->current, pump->meter_of, leat_span_of("drain-temperature"));
		pump->heat = beside != LEAT_NAME_NONE ? beside : pump->heat;
		beside = leat_current_at(&drain->current, pump->meter_of, leat_span_of("pump-pressure"));
		if (pump->pressure == LEAT_NAME_NONE)
			pump->pressure = beside;
	}
	pump->tank = series_above(drain, pump->asset, "oil-temperature", NULL);
	pump->press = series_above(drain, pump->asset, "pressure", NULL);
	tank = pump->tank != LEAT_NAME_NONE ? pump->tank : pump->heat;
	pump->warmth = tank != LEAT_NAME_NONE ? warmth_of(drain, tank) : SIZE_MAX;
	return tank != LEAT_NAME_NONE && pump->warmth == SIZE_MAX ? -1 : 0;
}

static bool
is_shared(const struct leat_drain *drain, const struct leat_drain_pump *pump)
{
	for (size_t i = drain->mill[pump->mill].first_pump; i != SIZE_MAX; i = drain->pump[i].next_of_mill)
		if (&drain->pump[i] != pump && drain->pump[i].meter == pump->meter)
			return true;
	return false;
}

int
leat_drain_resolve(struct leat_drain *drain)
{
	drain->resolved = drain->current.seen;
	drain->resolved_until = leat_nameplate_next(drain->np, drain->minutes.at);
	drain->metered = 0;
	for (size_t i = 0; i < drain->pump_names.count; i++) {
		if (resolve_pump(drain, &drain->pump[i]) != 0)
			return -1;
		drain->metered += drain->pump[i].meter != LEAT_NAME_NONE;
	}
	for (size_t i = 0; i < drain->pump_names.count; i++)
		drain->pump[i].shared = is_shared(drain, &drain->pump[i]);
	return 0;
}

/* A number of the nameplate, NaN where it has none. */
static double
number(const struct leat_drain *drain, const struct leat_drain_pump *pump, const char *property, struct leat_time at)
{
	double value;

	return leat_nameplate_number(drain->np, pump->asset, property, at, &value) == 0 ? value : NAN;
}

void
leat_drain_read_plate(struct leat_drain *drain, struct leat_drain_pump *pump, struct leat_time at)
{
	struct leat_drain_plate *plate = &pump->plate;

	leat_oil_in_use_read(&pump->oil, drain->np, pump->asset, at);
	plate->compensator_bar = number(drain, pump, "compensator-pressure", at);
	plate->reference_c = number(drain, pump, "reference-temperature", at);
	plate->reference.pressure_bar = number(drain, pump, "reference-pressure", at);
	pump->fit.given_bleed_lpm = number(drain, pump, "control-bleed", at);
	plate->reference.bleed_lpm = drain->fit_hours > 0 ? 0 : pump->fit.given_bleed_lpm;
	plate->reference.viscosity_mm2_s = pump->oil.fresh.known ?
	    leat_oil_viscosity(&pump->oil.fresh.curve, plate->reference_c) : NAN;
	plate->band_percent = number(drain, pump, "drain-pressure-band", at);
	plate->settling_min = number(drain, pump, "pump-settling", at);
	plate->thinnest_mm2_s = number(drain, pump, "drain-viscosity-min", at);
	plate->thickest_mm2_s = number(drain, pump, "drain-viscosity-max", at);
	plate->warm_from_c = number(drain, pump, "warm-from", at);
	plate->warm_rate_k_h = number(drain, pump, "warm-rate", at);
	plate->least_min = number(drain, pump, "admitted-least", at);
	plate->least_percent = number(drain, pump, "coverage-least", at);
	plate->density_kg_m3 = number(drain, pump, "oil-density-15", at);
	plate->until = leat_nameplate_next(drain->np, at);
	pump->begun = true;
}
