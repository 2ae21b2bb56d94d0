/* The point names of leat-points(7).  tests/suite/names-pages.sh holds the page to this list. */
#include "stream/points.h"

/* How long a value stays valid for gates and time-weighting: 15 min for pressures and flows, 60 min for temperatures,
 * switches and set points until changed.  The rest follows how seldom it comes: counters and logged amounts daily,
 * computed daily values a day and a half, laboratory and stop-sheet values a month and a half, the gas of accumulators a
 * good three months.  What a month or more of fillings tells of gas and relief valve holds as long as the gas read by hand:
 * it begins anew after each filling with gas, and a bank whose cycles are too short has none for weeks. */
#define FLOW_S 900.0
#define HEAT_S 3600.0
#define LOG_S 86400.0
#define DAILY_S 129600.0
#define SHEET_S 3888000.0
#define GAS_S 8640000.0		/* read each three months, and a tenth over (common practice) */
#define GAS_LONG_S 34560000.0	/* what comes with those: that nobody has read the gas for long need not be told thrice */
#define CHANGED 0.0

static const struct leat_point_info measured[] = {
	/* Measured: the press. */
	{ "pressure", "bar", LEAT_KIND_ANALOGUE, FLOW_S,
	    "grinding pressure: oil pressure on the side of the cylinders that presses the rollers" },
	{ "pressure-setpoint", "bar", LEAT_KIND_STEP, CHANGED, "set point of the grinding pressure" },
	{ "head-pressure", "bar", LEAT_KIND_ANALOGUE, FLOW_S,
	    "counter pressure: oil pressure on the side of the cylinders that lifts the rollers" },
	{ "pump-pressure", "bar", LEAT_KIND_ANALOGUE, FLOW_S, "pressure at the pump outlet, before the charging valve" },
	{ "drain-flow", "L/min", LEAT_KIND_ANALOGUE, FLOW_S, "case drain flow of a pump" },
	{ "drain-temperature", "degC", LEAT_KIND_ANALOGUE, HEAT_S, "temperature of the case drain oil" },
	{ "oil-temperature", "degC", LEAT_KIND_ANALOGUE, HEAT_S, "oil temperature in the tank" },
	{ "oil-in-temperature", "degC", LEAT_KIND_ANALOGUE, HEAT_S, "oil entering the cooler" },
	{ "oil-out-temperature", "degC", LEAT_KIND_ANALOGUE, HEAT_S, "oil leaving the cooler" },
	{ "oil-temperature-inlet", "degC", LEAT_KIND_ANALOGUE, HEAT_S, "oil at the pump inlet" },
	{ "water-in-temperature", "degC", LEAT_KIND_ANALOGUE, HEAT_S, "cooling water entering the cooler" },
	{ "water-out-temperature", "degC", LEAT_KIND_ANALOGUE, HEAT_S, "cooling water leaving the cooler" },
	{ "ambient-temperature", "degC", LEAT_KIND_ANALOGUE, HEAT_S, "air around the hydraulic unit" },
	{ "oil-flow", "L/min", LEAT_KIND_ANALOGUE, FLOW_S, "oil flow through the cooler or the off-line loop" },
	{ "water-flow", "L/min", LEAT_KIND_ANALOGUE, FLOW_S, "cooling water flow" },
	{ "filter-dp", "bar", LEAT_KIND_ANALOGUE, FLOW_S, "differential pressure across a filter" },
	{ "level", "mm", LEAT_KIND_ANALOGUE, HEAT_S, "oil level in the tank" },
	{ "pump-running", "", LEAT_KIND_SWITCH, CHANGED, "a pump's motor runs" },
	{ "mill-running", "", LEAT_KIND_SWITCH, CHANGED, "the mill's main drive runs" },
	{ "charging", "", LEAT_KIND_SWITCH, CHANGED, "the charging valve is open: the pump feeds the cylinders" },
	{ "mill-power", "kW", LEAT_KIND_ANALOGUE, FLOW_S, "power taken by the main drive" },
	{ "feed-rate", "t/h", LEAT_KIND_ANALOGUE, FLOW_S, "fresh feed to the mill" },
	{ "vibration", "mm/s", LEAT_KIND_ANALOGUE, FLOW_S, "vibration velocity of the mill" },
	/* Measured: nitrogen, by hand. */
	{ "gas-pressure", "bar", LEAT_KIND_ANALOGUE, FLOW_S,
	    "gauge reading at the gas valve of an accumulator, oil side open to tank" },
	{ "gas-temperature", "degC", LEAT_KIND_ANALOGUE, HEAT_S, "shell temperature at the gas reading" },
	/* Measured: oil samples. */
	{ "count-4um", "1/mL", LEAT_KIND_ANALOGUE, SHEET_S, "particles of 4 um(c) and larger in a millilitre" },
	{ "count-6um", "1/mL", LEAT_KIND_ANALOGUE, SHEET_S, "particles of 6 um(c) and larger in a millilitre" },
	{ "count-14um", "1/mL", LEAT_KIND_ANALOGUE, SHEET_S, "particles of 14 um(c) and larger in a millilitre" },
	{ "count-21um", "1/mL", LEAT_KIND_ANALOGUE, SHEET_S, "particles of 21 um(c) and larger in a millilitre" },
	{ "count-38um", "1/mL", LEAT_KIND_ANALOGUE, SHEET_S, "particles of 38 um(c) and larger in a millilitre" },
	{ "count-70um", "1/mL", LEAT_KIND_ANALOGUE, SHEET_S, "particles of 70 um(c) and larger in a millilitre" },
	{ "water-content", "mg/kg", LEAT_KIND_ANALOGUE, SHEET_S, "water in the oil, dissolved and free" },
	{ "viscosity-40", "mm2/s", LEAT_KIND_ANALOGUE, SHEET_S, "kinematic viscosity at 40 degC" },
	{ "viscosity-100", "mm2/s", LEAT_KIND_ANALOGUE, SHEET_S, "kinematic viscosity at 100 degC" },
	{ "acid-number", "mgKOH/g", LEAT_KIND_ANALOGUE, SHEET_S, "acid number of the oil" },
	{ "iron", "mg/kg", LEAT_KIND_ANALOGUE, SHEET_S, "iron in the oil: bores, rods, gears" },
	{ "copper", "mg/kg", LEAT_KIND_ANALOGUE, SHEET_S, "copper in the oil: pump shoes and plates, coolers" },
	{ "tin", "mg/kg", LEAT_KIND_ANALOGUE, SHEET_S, "tin in the oil: bronze of the pump" },
	{ "chromium", "mg/kg", LEAT_KIND_ANALOGUE, SHEET_S, "chromium in the oil: rod plating, rings" },
	{ "silicon", "mg/kg", LEAT_KIND_ANALOGUE, SHEET_S, "silicon in the oil: dust past wipers and breathers" },
	{ "aluminium", "mg/kg", LEAT_KIND_ANALOGUE, SHEET_S, "aluminium in the oil: dust, housings" },
	{ "sodium", "mg/kg", LEAT_KIND_ANALOGUE, SHEET_S, "sodium in the oil: cooling water" },
	{ "zinc", "mg/kg", LEAT_KIND_ANALOGUE, SHEET_S, "zinc in the oil: the anti-wear additive" },
	/* Measured: at stops and on the round. */
	{ "seal-leakage", "mL/min", LEAT_KIND_ANALOGUE, SHEET_S, "oil past a piston seal, by measuring glass" },
	{ "rod-leakage", "mL/min", LEAT_KIND_ANALOGUE, SHEET_S, "oil past a rod seal to the outside, by drops or measuring glass" },
	{ "bore-diameter", "mm", LEAT_KIND_ANALOGUE, SHEET_S, "inside diameter of a cylinder at one plane and direction" },
	{ "ring-temperature", "degC", LEAT_KIND_ANALOGUE, HEAT_S, "temperature of the setting ring of the bore gauge" },
	{ "bore-temperature", "degC", LEAT_KIND_ANALOGUE, HEAT_S, "temperature of the cylinder's wall when its bore was gauged" },
	{ "top-up", "L", LEAT_KIND_STEP, LOG_S, "oil filled in" },
	{ "drained", "L", LEAT_KIND_STEP, LOG_S, "oil or water drained off" },
	{ "hour-meter", "h", LEAT_KIND_STEP, LOG_S, "reading of a running-hours meter" },
	{ "start-counter", "1", LEAT_KIND_STEP, LOG_S, "reading of a counter of starts" },
	{ "lift-time", "s", LEAT_KIND_ANALOGUE, LOG_S, "time to lift the rollers from down to up" },
	{ "flushed-volume", "L", LEAT_KIND_STEP, LOG_S, "oil let off at the sampling valve before the bottle" }
};

static const struct leat_point_info derived[] = {
	/* Derived: operation. */
	{ "state", "", LEAT_KIND_WORD, CHANGED,
	    "operating state of a mill: off, no-load, pump-up, run-up, grinding, hold or unknown" },
	{ "running-hours", "h", LEAT_KIND_STEP, DAILY_S, "running hours of a machine or part" },
	{ "starts", "1", LEAT_KIND_STEP, DAILY_S, "starts of a machine or part" },
	{ "grinding-hours", "h", LEAT_KIND_ANALOGUE, DAILY_S, "hours of a works' day in state grinding" },
	{ "pressure-deviation", "bar", LEAT_KIND_ANALOGUE, DAILY_S, "grinding pressure less its set point" },
	{ "pressure-attainment", "%", LEAT_KIND_ANALOGUE, DAILY_S, "share of grinding time within the pressure tolerance" },
	{ "pressure-low-spell", "min", LEAT_KIND_ANALOGUE, DAILY_S,
	    "longest spell of grinding below the pressure tolerance" },
	{ "pressure-spread", "bar", LEAT_KIND_ANALOGUE, DAILY_S, "largest less smallest pressure among the cylinders" },
	{ "grinding-force", "kN", LEAT_KIND_ANALOGUE, DAILY_S, "net pressing force of a cylinder" },
	{ "setpoint-shift", "bar", LEAT_KIND_ANALOGUE, DAILY_S, "set point less the agreed set pressure" },
	{ "relief-margin", "bar", LEAT_KIND_ANALOGUE, DAILY_S, "setting of the relief valve less the highest pressure" },
	{ "relief-time", "min", LEAT_KIND_ANALOGUE, DAILY_S, "time above 95 % of the setting of the relief valve" },
	{ "compensator-pressure-observed", "bar", LEAT_KIND_ANALOGUE, DAILY_S,
	    "pressure at which a pump was longest while it had nothing to deliver" },
	{ "compensator-shift", "%", LEAT_KIND_ANALOGUE, DAILY_S,
	    "observed compensator pressure less its setting, in shares of the setting" },
	{ "compensator-margin", "bar", LEAT_KIND_ANALOGUE, DAILY_S,
	    "setting of the relief valve less that of the pump's compensator" },
	/* Derived: pump and leakage. */
	{ "drain-flow-corrected", "L/min", LEAT_KIND_ANALOGUE, DAILY_S,
	    "case drain flow at the reference pressure and viscosity" },
	{ "slot-flow", "L/min", LEAT_KIND_ANALOGUE, DAILY_S, "corrected drain flow less the control bleed" },
	{ "internal-leakage", "L/min", LEAT_KIND_ANALOGUE, DAILY_S,
	    "oil lost from the pressed side while it holds pressure" },
	{ "hold-leakage", "L/min", LEAT_KIND_ANALOGUE, SHEET_S,
	    "the same by the fall of pressure in a holding test; .low and .high are the least and the most, at 95 %" },
	{ "leakage-excess", "%", LEAT_KIND_ANALOGUE, DAILY_S,
	    "leakage of whole charging cycles above that of their late part: what flows near the upper pressure alone" },
	{ "early-outflow", "L", LEAT_KIND_ANALOGUE, GAS_S,
	    "oil that flows out early after a filling, beyond the leakage of later and the cooling of the gas; mean of 30 days; "
	    ".low is the least, at 95 %" },
	{ "early-outflow-rise", "L", LEAT_KIND_ANALOGUE, GAS_S,
	    "by how much more of a filling flows out than two months before, by early outflow and by leakage: the lesser" },
	{ "pump-up-frequency", "1/h", LEAT_KIND_ANALOGUE, DAILY_S, "openings of the charging valve in an hour of grinding" },
	{ "pump-start-frequency", "1/h", LEAT_KIND_ANALOGUE, DAILY_S,
	    "starts, in an hour of grinding, of a pump that charges by starting" },
	{ "pump-up-duty", "%", LEAT_KIND_ANALOGUE, DAILY_S, "share of the time in which the pump charges" },
	{ "pump-up-rate", "bar/min", LEAT_KIND_ANALOGUE, DAILY_S, "rise of pressure while the pump charges" },
	/* Derived: nitrogen. */
	{ "gas-compliance", "L/bar", LEAT_KIND_ANALOGUE, DAILY_S, "gas volume given way per bar of pressure" },
	{ "precharge-20", "bar", LEAT_KIND_ANALOGUE, GAS_S, "gas precharge corrected to 20 degC" },
	{ "precharge-target", "bar", LEAT_KIND_ANALOGUE, GAS_S, "gas precharge that the set pressure asks for" },
	{ "precharge-deviation", "bar", LEAT_KIND_ANALOGUE, GAS_S, "precharge at 20 degC less its target" },
	{ "precharge-spread", "bar", LEAT_KIND_ANALOGUE, GAS_LONG_S,
	    "precharge of a shell less the median of those of its bank" },
	{ "gas-amount", "mol", LEAT_KIND_ANALOGUE, GAS_S, "amount of nitrogen in a shell or bank" },
	{ "gas-amount-compliance", "mol", LEAT_KIND_ANALOGUE, DAILY_S,
	    "nitrogen in the open shells of a bank, by its compliance" },
	{ "gas-amount-level", "mol", LEAT_KIND_ANALOGUE, SHEET_S, "nitrogen in a bank, by the tank's level at a stop" },
	{ "gas-amount-spread", "%", LEAT_KIND_ANALOGUE, SHEET_S,
	    "largest less smallest estimate of a bank's nitrogen, in shares of their mean" },
	{ "precharge-knee", "bar", LEAT_KIND_ANALOGUE, SHEET_S,
	    "gas precharge at 20 degC, by the knee of the pressure when oil is let off" },
	{ "accumulator-oil", "L", LEAT_KIND_ANALOGUE, SHEET_S,
	    "oil that a bank held at grinding pressure, by the tank's level at a stop" },
	{ "shells-shut", "1", LEAT_KIND_ANALOGUE, SHEET_S, "shells that take no part, by compliance and level together" },
	{ "gas-share", "%", LEAT_KIND_ANALOGUE, GAS_S, "amount of nitrogen as a share of that of the precharge as set" },
	{ "gas-loss-month", "%", LEAT_KIND_ANALOGUE, GAS_LONG_S,
	    "share of the nitrogen that is lost in a month, since the shell was filled last" },
	{ "gas-loss-bank", "%", LEAT_KIND_ANALOGUE, GAS_S, "share of a bank's nitrogen that is lost in a month, by its fillings" },
	{ "gas-loss-one", "%", LEAT_KIND_ANALOGUE, GAS_S,
	    "what one of its shells would lose in a month if it alone loses more than the natural loss; .low is the least, at "
	    "90 %" },
	{ "gas-to-fill", "mol", LEAT_KIND_ANALOGUE, GAS_LONG_S,
	    "nitrogen lacking from the target of the precharge; below 0: to be let off" },
	{ "precharge-working", "bar", LEAT_KIND_ANALOGUE, DAILY_S, "precharge at the gas temperature of the day's grinding" },
	{ "precharge-ratio", "1", LEAT_KIND_ANALOGUE, DAILY_S, "the same over the mean pressure of the day's grinding" },
	{ "lowest-pressure-ratio", "1", LEAT_KIND_ANALOGUE, DAILY_S,
	    "lowest pressure of the day's grinding over the precharge at gas temperature" },
	{ "highest-pressure-ratio", "1", LEAT_KIND_ANALOGUE, DAILY_S,
	    "highest pressure of the day's grinding over the precharge at gas temperature" },
	{ "hammer-events", "1", LEAT_KIND_ANALOGUE, DAILY_S,
	    "falls of the pressure near the precharge that strike the bladders, in the day" },
	{ "hammer-week", "1", LEAT_KIND_ANALOGUE, DAILY_S, "the same in seven days" },
	{ "hammer-time", "min", LEAT_KIND_ANALOGUE, DAILY_S, "time that the day's falls lasted" },
	{ "hammer-grinding", "min", LEAT_KIND_ANALOGUE, DAILY_S, "the same while grinding" },
	{ "unloaded-pressure", "bar", LEAT_KIND_ANALOGUE, DAILY_S,
	    "lowest pressure that the minimum-pressure valve held after unloading" },
	{ "minimum-pressure-shift", "bar", LEAT_KIND_ANALOGUE, DAILY_S, "the same less the setting of the valve" },
	{ "minimum-pressure-ratio", "1", LEAT_KIND_ANALOGUE, DAILY_S,
	    "setting of the minimum-pressure valve over the highest precharge of the day" },
	/* Derived: cooler and filter. */
	{ "cooler-duty", "kW", LEAT_KIND_ANALOGUE, DAILY_S, "heat taken from the oil by the cooler" },
	{ "cooler-ua", "kW/K", LEAT_KIND_ANALOGUE, DAILY_S, "heat conductance of the cooler" },
	{ "cooler-balance", "%", LEAT_KIND_ANALOGUE, DAILY_S,
	    "heat given by the oil less heat taken by the water, in shares of their mean" },
	{ "cooler-approach", "K", LEAT_KIND_ANALOGUE, DAILY_S,
	    "oil leaving the cooler less water entering it, the thermostat open" },
	{ "cooler-effectiveness", "%", LEAT_KIND_ANALOGUE, DAILY_S,
	    "how far the cooler cools the oil towards the water, the thermostat open" },
	{ "cooler-index", "K/kW", LEAT_KIND_ANALOGUE, DAILY_S,
	    "oil less water at their inlets for each kilowatt of known heat, where no flow is known" },
	{ "thermostat-share", "%", LEAT_KIND_ANALOGUE, DAILY_S, "share of the oil that goes through the cooler" },
	{ "thermostat-stuck-open", "%", LEAT_KIND_ANALOGUE, DAILY_S,
	    "share of steady grinding with oil below the opening temperature that is cooled" },
	{ "thermostat-stuck-shut", "%", LEAT_KIND_ANALOGUE, DAILY_S,
	    "share of steady grinding with oil above the temperature of full opening that is not cooled" },
	{ "warmest-water", "degC", LEAT_KIND_ANALOGUE, DAILY_S,
	    "warmest cooling water with which the oil stays cool enough" },
	{ "summer-headroom", "K", LEAT_KIND_ANALOGUE, DAILY_S, "warmest cooling water less that of the last summer" },
	{ "hunting-share", "%", LEAT_KIND_ANALOGUE, DAILY_S,
	    "share of the hours of grinding in which the oil behind the cooler swings regularly" },
	{ "hunting-cycles", "1/h", LEAT_KIND_ANALOGUE, DAILY_S, "swings of these hours in an hour; 0: none" },
	{ "hunting-period", "min", LEAT_KIND_ANALOGUE, DAILY_S, "length of these swings" },
	{ "hunting-amplitude", "K", LEAT_KIND_ANALOGUE, DAILY_S,
	    "half of what lies between highest and lowest of these swings; 0: none" },
	{ "heat-known", "kW", LEAT_KIND_ANALOGUE, DAILY_S, "heat of the oil from case drains and internal leakage" },
	{ "heat-walls", "kW", LEAT_KIND_ANALOGUE, DAILY_S, "heat that the walls of the tank give off" },
	{ "heat-unexplained", "kW", LEAT_KIND_ANALOGUE, DAILY_S,
	    "heat that cooler, walls and warming take up less what is known" },
	{ "oil-band-share", "%", LEAT_KIND_ANALOGUE, DAILY_S,
	    "share of grinding time with the tank in its temperature band" },
	{ "oil-hot-time", "min", LEAT_KIND_ANALOGUE, DAILY_S, "grinding time with the tank above its temperature limit" },
	{ "oil-degree-hours", "K.h", LEAT_KIND_ANALOGUE, DAILY_S, "the same, times the kelvins above it" },
	{ "filter-dp-corrected", "bar", LEAT_KIND_ANALOGUE, DAILY_S,
	    "differential pressure of the element at the reference flow and viscosity" },
	{ "bypass-share", "%", LEAT_KIND_ANALOGUE, DAILY_S,
	    "corrected differential pressure of an element as a share of what opens the filter's bypass" },
	{ "bypass-time", "min", LEAT_KIND_ANALOGUE, DAILY_S, "time with warm oil in which the filter's bypass stood open" },
	{ "element-hours", "h", LEAT_KIND_STEP, DAILY_S, "hours with flow since the filter element was changed" },
	{ "element-litres", "L", LEAT_KIND_STEP, DAILY_S, "oil that has gone through the element since then" },
	{ "element-life", "h", LEAT_KIND_STEP, CHANGED, "hours with flow that an element served until it was changed" },
	{ "element-life-ratio", "1", LEAT_KIND_STEP, CHANGED, "element-life divided by the median of the elements before it" },
	{ "element-change-ratio", "1", LEAT_KIND_STEP, CHANGED,
	    "corrected differential pressure after a logged change of the element divided by that before it" },
	/* Derived: oil. */
	{ "iso4406", "", LEAT_KIND_WORD, SHEET_S, "cleanliness code after ISO 4406, such as 18/16/13" },
	{ "iso4406-4um", "1", LEAT_KIND_ANALOGUE, SHEET_S, "scale number of particles of 4 um(c) and larger" },
	{ "iso4406-6um", "1", LEAT_KIND_ANALOGUE, SHEET_S, "scale number of particles of 6 um(c) and larger" },
	{ "iso4406-14um", "1", LEAT_KIND_ANALOGUE, SHEET_S, "scale number of particles of 14 um(c) and larger" },
	{ "iso4406-above-target", "1", LEAT_KIND_ANALOGUE, SHEET_S,
	    "scale numbers by which the worst place of the code lies above the target code" },
	{ "as4059", "", LEAT_KIND_WORD, SHEET_S, "class of each size after AS4059, such as 7A/6B/5C" },
	{ "nas1638", "", LEAT_KIND_WORD, SHEET_S, "class of the worst band after NAS 1638" },
	{ "water-saturation", "%", LEAT_KIND_ANALOGUE, SHEET_S, "water content as a share of what the oil can dissolve" },
	{ "water-saturation-coldest", "%", LEAT_KIND_ANALOGUE, SHEET_S,
	    "the same at the coldest temperature of the oil in 30 days" },
	{ "free-water", "L", LEAT_KIND_ANALOGUE, SHEET_S, "water that falls out when the oil cools at a stop" },
	{ "viscosity-shift", "%", LEAT_KIND_ANALOGUE, SHEET_S, "viscosity at 40 degC against that of the fresh oil" },
	{ "viscosity-index", "1", LEAT_KIND_ANALOGUE, SHEET_S, "viscosity index after ISO 2909" },
	{ "wrong-oil-share", "%", LEAT_KIND_ANALOGUE, SHEET_S,
	    "share of an oil of another grade that would shift the viscosity so; below 0: of a thinner one" },
	{ "acid-number-rise", "mgKOH/g", LEAT_KIND_ANALOGUE, SHEET_S, "acid number less that of the fresh oil" },
	{ "zinc-share", "%", LEAT_KIND_ANALOGUE, SHEET_S, "zinc as a share of that of the fresh oil" },
	{ "clean-up-time", "h", LEAT_KIND_ANALOGUE, SHEET_S,
	    "time the off-line filter takes to the target code; bad: never" },
	{ "drying-time", "h", LEAT_KIND_ANALOGUE, SHEET_S, "time a dehydrator takes to the target water content" },
	{ "ageing-hours", "h", LEAT_KIND_STEP, DAILY_S, "hours at 50 degC that age the oil as much" },
	{ "oil-volume-20", "L", LEAT_KIND_ANALOGUE, DAILY_S, "oil in tank and accumulators, at 20 degC" },
	{ "oil-consumption", "L/d", LEAT_KIND_ANALOGUE, DAILY_S, "oil used, drains included" },
	{ "external-leakage", "L/d", LEAT_KIND_ANALOGUE, DAILY_S, "oil used less what was drained" },
	{ "oil-gain", "L", LEAT_KIND_ANALOGUE, DAILY_S,
	    "oil volume above that of the week before last, top-ups and drains allowed for" },
	/* Derived: cylinder. */
	{ "bore-wear", "mm", LEAT_KIND_ANALOGUE, SHEET_S, "wear of the bore on its diameter, at 20 degC" },
	{ "bore-wear-rate", "mm", LEAT_KIND_ANALOGUE, SHEET_S, "growth of the bore's wear in 1000 running hours" },
	{ "bore-ovality", "mm", LEAT_KIND_ANALOGUE, SHEET_S, "difference of the two diameters of a plane of the bore" },
	{ "bore-taper", "mm", LEAT_KIND_ANALOGUE, SHEET_S, "difference of the planes of the bore by their mean diameters" },
	{ "seal-leakage-ratio", "1", LEAT_KIND_ANALOGUE, SHEET_S,
	    "leakage past the piston seals at the worst position of the stroke, against that as new" },
	{ "seal-leakage-spread", "1", LEAT_KIND_ANALOGUE, SHEET_S,
	    "leakage past the piston seals at the worst position of the stroke, against the best" }
};

/* What does not have the unit of its point, whatever that is. */
static const struct leat_point_info shares[] = {
	{ ".coverage", "%", LEAT_KIND_ANALOGUE, DAILY_S, "share of the period in which the point was valid" },
	{ ".good", "%", LEAT_KIND_ANALOGUE, DAILY_S, "share of the period in which the point was valid and good" },
	{ ".log2", "1", LEAT_KIND_ANALOGUE, SHEET_S, "logarithm to base 2: 1 more is twice as many" },
	{ ".on", "%", LEAT_KIND_ANALOGUE, DAILY_S, "share of the time in which a switch was on" },
	{ ".per-1000h", "mg/kg", LEAT_KIND_ANALOGUE, SHEET_S,
	    "rise in 1000 running hours, what top-ups thinned allowed for" },
	{ ".ratio", "1", LEAT_KIND_ANALOGUE, DAILY_S, "one point divided by another" }
};
/* A ratio of laboratory values stays valid as long as they do. */
static const struct leat_point_info sheet_ratio = {
	".ratio", "1", LEAT_KIND_ANALOGUE, SHEET_S, "one laboratory value divided by another"
};
static const struct leat_point_info heat_difference = {
	".difference", "K", LEAT_KIND_ANALOGUE, DAILY_S, "one temperature less another"
};

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

const struct leat_point_info *
leat_point_at(size_t index)
{
	if (index < COUNT(measured))
		return &measured[index];
	index -= COUNT(measured);
	return index < COUNT(derived) ? &derived[index] : NULL;
}

static const struct leat_point_info *
find_exact(struct leat_span name)
{
	const struct leat_point_info *info;

	for (size_t i = 0; (info = leat_point_at(i)) != NULL; i++)
		if (leat_span_is(name, info->name))
			return info;
	return NULL;
}

/* min, max, mean, p with one or two digits; low and high are bounds of what was computed. */
static bool
is_statistic(struct leat_span s)
{
	if (leat_span_is(s, "mean") || leat_span_is(s, "min") || leat_span_is(s, "max") ||
	    leat_span_is(s, "low") || leat_span_is(s, "high"))
		return true;
	if (s.len < 2 || s.len > 3 || s.ptr[0] != 'p')
		return false;
	for (size_t i = 1; i < s.len; i++)
		if (s.ptr[i] < '0' || s.ptr[i] > '9')
			return false;
	return true;
}

const struct leat_point_info *
leat_point_find(struct leat_span name)
{
	size_t dot = leat_span_find(name, '.');
	const struct leat_point_info *info;
	struct leat_span suffix;

	info = find_exact(leat_span_make(name.ptr, dot));
	if (info == NULL || dot == name.len)
		return info;
	suffix = leat_span_make(name.ptr + dot + 1, name.len - dot - 1);
	if (leat_span_is(suffix, "ratio") && info->hold_s >= SHEET_S)
		return &sheet_ratio;
	for (size_t i = 0; i < sizeof(shares) / sizeof(shares[0]); i++)
		if (leat_span_is(suffix, shares[i].name + 1))
			return &shares[i];
	if (leat_span_is(suffix, "difference"))
		return strcmp(info->unit, "degC") == 0 ? &heat_difference : info;
	return is_statistic(suffix) ? info : NULL;
}

bool
leat_point_derived(struct leat_span name)
{
	const struct leat_point_info *info = leat_point_find(name);

	return info != NULL && (leat_span_find(name, '.') < name.len || (info >= derived && info < derived + COUNT(derived)));
}
