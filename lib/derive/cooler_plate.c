/* Coolers: which series serve them, and what the nameplate says. */
#include <math.h>

#include "derive/cooler_private.h"

void
leat_coolers_resolve(struct leat_coolers *coolers)
{
	static const char *const point[LEAT_COOLERS_SLOTS] = {
		[LEAT_COOLERS_OIL_IN] = "oil-in-temperature", [LEAT_COOLERS_OIL_OUT] = "oil-out-temperature",
		[LEAT_COOLERS_WATER_IN] = "water-in-temperature", [LEAT_COOLERS_WATER_OUT] = "water-out-temperature",
		[LEAT_COOLERS_OIL_FLOW] = "oil-flow", [LEAT_COOLERS_WATER_FLOW] = "water-flow",
		[LEAT_COOLERS_TANK] = "oil-temperature", [LEAT_COOLERS_AMBIENT] = "ambient-temperature"
	};
	const struct leat_current *current = &coolers->current;
	const struct leat_span none = leat_span_make("", 0);
	const struct leat_names *assets = leat_readings_assets(coolers->in), *points = leat_readings_points(coolers->in);
	const struct leat_pairs *pairs = leat_readings_series(coolers->in);
	uint32_t drain = leat_names_get(points, LEAT_SPAN("drain-flow"));

	for (size_t i = 0; i < coolers->cooler_names.count; i++) {
		struct leat_coolers_unit *unit = coolers->unit[i];

		/* Water comes from a main, and tank and air are around the cooler; a flow above it is another one's. */
		for (size_t slot = 0; slot < LEAT_COOLERS_SLOTS; slot++)
			unit->series[slot] = slot == LEAT_COOLERS_WATER_IN || slot >= LEAT_COOLERS_OWN ?
			    leat_current_resolve(current, unit->asset, none, leat_span_of(point[slot])) :
			    leat_current_at(current, unit->asset, leat_span_of(point[slot]));
	}
	for (size_t i = 0; i < coolers->mill_names.count; i++) {
		struct leat_coolers_mill *mill = &coolers->mill[i];

		mill->state = leat_current_at(current, mill->asset, LEAT_SPAN("state"));
		mill->tank = leat_current_at(current, mill->asset, LEAT_SPAN("oil-temperature"));
		mill->leakage = leat_current_at(current, mill->asset, LEAT_SPAN("internal-leakage"));
		mill->press = leat_current_at(current, mill->asset, LEAT_SPAN("pressure"));
		mill->pumps = 0;
	}
	/* Meters at pumps: a round sheet repeats them. */
	for (uint32_t s = 0; s < pairs->count && drain != LEAT_NAME_NONE; s++) {
		struct leat_span asset = assets->name[pairs->pair[s] >> 32];
		struct leat_coolers_mill *mill;
		uint32_t number;

		if ((uint32_t)pairs->pair[s] != drain || leat_current_at(current, asset, LEAT_SPAN("drain-flow")) != s ||
		    leat_current_at(current, asset, LEAT_SPAN("pump-running")) == LEAT_NAME_NONE)
			continue;
		number = leat_names_get(&coolers->mill_names, leat_asset_mill(asset));
		if (number == LEAT_NAME_NONE || coolers->mill[number].pumps == LEAT_COOLERS_PUMPS)
			continue;
		mill = &coolers->mill[number];
		mill->pump[mill->pumps].flow = s;
		mill->pump[mill->pumps].pressure = leat_current_resolve(current, asset, none, LEAT_SPAN("pump-pressure"));
		if (mill->pump[mill->pumps].pressure == LEAT_NAME_NONE)
			mill->pump[mill->pumps].pressure = mill->press;
		mill->pumps++;
	}
}

uint32_t
leat_coolers_signal(const struct leat_coolers_unit *unit)
{
	return unit->series[LEAT_COOLERS_OIL_OUT] != LEAT_NAME_NONE ? unit->series[LEAT_COOLERS_OIL_OUT] :
	    unit->series[LEAT_COOLERS_OIL_IN];
}

/* A number of the nameplate, NaN where it has none. */
static double
number(const struct leat_coolers *coolers, struct leat_span asset, const char *property)
{
	double value;

	return leat_nameplate_number(coolers->np, asset, property, coolers->minutes.at, &value) == 0 ? value : NAN;
}

static bool
stands(bool begun, struct leat_time until, struct leat_time at)
{
	return begun && (leat_time_is_none(until) || leat_time_cmp(at, until) < 0);
}

void
leat_coolers_read_plate(struct leat_coolers *coolers, struct leat_coolers_unit *unit)
{
	const struct { const char *property; double *to; } numbers[] = {
		{ "cooler-oil-flow", &unit->plate.oil_flow_lpm }, { "cooler-water-flow", &unit->plate.water_flow_lpm },
		{ "thermostat-opens", &unit->plate.opens_c }, { "thermostat-open", &unit->plate.open_c },
		{ "thermostat-margin", &unit->plate.margin_k }, { "cooler-idle", &unit->plate.idle_k },
		{ "warm-from", &unit->plate.warm_from_c }, { "warm-rate", &unit->plate.warm_rate_k_h },
		{ "cooler-balance-limit", &unit->plate.balance_percent }, { "oil-temperature-limit", &unit->plate.limit_c },
		{ "summer-water", &unit->plate.summer_water_c }, { "summer-ambient", &unit->plate.summer_air_c },
		{ "oil-density-15", &unit->plate.density_kg_m3 }, { "tank-wall-loss", &unit->plate.wall_w_m2k },
		{ "tank-wall-area", &unit->plate.wall_m2 }, { "tank-volume", &unit->plate.tank_l },
		{ "admitted-least", &unit->plate.least_min }, { "coverage-least", &unit->plate.least_percent },
		{ "hunting-band", &unit->plate.swing.band_k }, { "hunting-longest", &unit->plate.swing.longest_min },
		{ "hunting-spread", &unit->plate.swing.spread_percent }
	};
	struct leat_coolers_plate *plate = &unit->plate;
	double steady;

	if (stands(unit->begun, plate->until, coolers->minutes.at))
		return;
	for (size_t i = 0; i < sizeof(numbers) / sizeof(numbers[0]); i++)
		*numbers[i].to = number(coolers, unit->asset, numbers[i].property);
	steady = number(coolers, unit->asset, "cooler-steady");
	plate->steady_min = steady > LEAT_COOLERS_STEADY_MIN ? (int)fmin(steady, LEAT_COOLERS_STEADY_MAX) : LEAT_COOLERS_STEADY_MIN;
	if (leat_cooler_flow_find(leat_nameplate_word(coolers->np, unit->asset, "cooler-arrangement", coolers->minutes.at),
	    &plate->flow) != 0) {
		plate->flow = LEAT_COOLER_COUNTER;
		if (coolers->warn != NULL)
			coolers->warn("nameplate: 'cooler-arrangement' is 'counter', 'parallel', 'cross' or 'shell'; counter is taken");
	}
	plate->until = leat_nameplate_next(coolers->np, coolers->minutes.at);
	unit->begun = true;
}

void
leat_coolers_read_mill(struct leat_coolers *coolers, struct leat_coolers_mill *mill)
{
	if (stands(mill->begun, mill->plate_until, coolers->minutes.at))
		return;
	mill->band_low_c = number(coolers, mill->asset, "oil-band-low");
	mill->band_high_c = number(coolers, mill->asset, "oil-band-high");
	mill->limit_c = number(coolers, mill->asset, "oil-temperature-limit");
	mill->plate_until = leat_nameplate_next(coolers->np, coolers->minutes.at);
	mill->begun = true;
}
