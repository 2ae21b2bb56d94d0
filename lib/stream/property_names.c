/* The properties of leat-nameplate(7).  tests/suite/names-pages.sh holds the page to this list. */
#include "stream/nameplate.h"

static const struct leat_property properties[] = {
	{ "zone", "", "UTC", "works",
	    "time zone of the works: a name of the zone data, a POSIX rule or an offset (UTC: nothing is guessed)" },
	{ "altitude", "m", "0", "works", "height above the sea, for the pressure of the air (0: sea level)" },
	{ "day-start", "", "06:00", "works", "local time at which the works' day begins (common practice)" },
	{ "shelve-days", "d", "7", "works",
	    "longest time for which leat-log shelves a finding (shelving after ISA-18.2; 7 days is common practice)" },

	{ "set-pressure", "bar", NULL, "mill", "agreed grinding pressure; serves where no set point is read" },
	{ "pressure-tolerance", "bar", NULL, "mill",
	    "how far the pressure may lie from its set point (none given: 3 bar or 3 % of the set point, the larger; "
	    "common practice)" },
	{ "setpoint-settling", "min", "5", "mill",
	    "time after a change of the set point from which the pressure is compared with it (common practice)" },
	{ "rated-power", "kW", NULL, "mill", "rated power of the main drive" },
	{ "rated-feed", "t/h", NULL, "mill", "rated fresh feed" },
	{ "run-up", "", "PT10M", "mill", "time after the start of grinding that counts as run-up (common practice)" },
	{ "warm-from", "degC", "40", "mill", "tank temperature from which the oil counts as warm (common practice)" },
	{ "warm-rate", "K/h", "3", "mill",
	    "rate of change of the tank temperature over 30 min below which the oil counts as warm (common practice)" },
	{ "admitted-least", "min", "30", "mill",
	    "time that must be admitted in a works' day, or nothing can be told of it (common practice)" },
	{ "coverage-least", "%", "50", "mill",
	    "share of the time in the state asked for that must be admitted, or a result is uncertain (common practice)" },
	{ "tank-volume", "L", NULL, "mill", "oil in the tank at its working level" },
	{ "tank-area", "m2", NULL, "mill", "area of the oil surface in the tank" },
	{ "oil-grade", "", NULL, "mill", "viscosity grade of the oil after ISO 3448, such as VG 46" },
	{ "oil-viscosity-40", "mm2/s", NULL, "mill", "viscosity of the delivered fresh oil at 40 degC" },
	{ "oil-viscosity-100", "mm2/s", NULL, "mill", "viscosity of the delivered fresh oil at 100 degC" },
	{ "oil-density-15", "kg/m3", "870", "mill",
	    "density of the oil at 15 degC (usual for mineral oil; common practice)" },
	{ "oil-acid-number", "mgKOH/g", NULL, "mill", "acid number of the delivered fresh oil" },
	{ "oil-zinc", "mg/kg", NULL, "mill", "zinc in the delivered fresh oil" },
	{ "water-solubility-20", "mg/kg", NULL, "mill",
	    "water that the oil in use dissolves at 20 degC, measured (none given: 200, fresh mineral oil; common practice)" },
	{ "water-solubility-60", "mg/kg", NULL, "mill",
	    "water that it dissolves at 60 degC, measured (none given: 550, likewise)" },
	{ "water-target", "mg/kg", "200", "mill",
	    "water content to which oil is dried (delivery and flushing after a public guide specification, UFGS 15010A)" },
	{ "working-temperature", "degC", NULL, "mill",
	    "oil temperature while grinding; serves where none is read" },
	{ "coldest-temperature", "degC", NULL, "mill",
	    "coldest oil to be expected at a stop; serves where none colder is read" },
	{ "working-level", "mm", NULL, "mill",
	    "level at which the tank holds its tank-volume (none given: the level is read from the bottom of an upright tank)" },
	{ "balance-settling", "min", "240", "mill",
	    "grinding after which the level counts in the balance: the accumulators' shells are as warm as the oil then "
	    "(common practice)" },
	{ "other-oil-grade", "", NULL, "mill",
	    "viscosity grade of the oil that might be filled in by mistake (none given: the next grade of ISO 3448)" },
	{ "metal-hours-least", "h", "250", "mill",
	    "running hours between two samples from which a rate is made (common practice)" },
	{ "dehydrator-rate", "L/h", NULL, "mill", "water that the dehydrator takes out of oil at saturation" },
	{ "dehydrator-floor", "mg/kg", "50", "mill",
	    "water content below which the dehydrator never gets (vacuum drying; common practice)" },
	{ "off-line-filter", "", "filter", "mill", "filter of the off-line loop, a name below the mill" },
	{ "target-code", "", "18/16/13", "mill",
	    "cleanliness to be held, after ISO 4406 (piston pump and spool valves at 100 to 200 bar; trade articles)" },
	{ "sample-before-filter", "", "sample-return", "mill",
	    "sampling point before the off-line filter, a name below the mill" },
	{ "sample-behind-filter", "", "sample-off-line", "mill", "sampling point behind the off-line filter, likewise" },

	{ "rated-flow", "L/min", NULL, "pump", "delivery of the pump at its rated speed and pressure" },
	{ "displacement", "cm3/r", NULL, "pump", "displacement of the pump" },
	{ "speed", "r/min", NULL, "pump", "speed of the pump" },
	{ "reference-pressure", "bar", NULL, "pump", "pressure to which the drain flow is corrected" },
	{ "reference-temperature", "degC", "50", "pump",
	    "oil temperature whose viscosity drain flow and filter differential pressure are corrected to (common "
	    "practice)" },
	{ "control-bleed", "L/min", "0", "pump",
	    "share of the drain flow that the compensator lets off at the reference pressure (0 until it is fitted)" },
	{ "as-new-drain-flow", "L/min", NULL, "pump", "corrected drain flow when the pump was new" },
	{ "compensator-pressure", "bar", NULL, "pump", "setting of the pressure compensator" },
	{ "drain-meter", "", "shared", "pump",
	    "whose drain its meter shows: own, its own alone; shared, that of the one pump that runs among those without "
	    "a meter of their own (shared: usual where a stand-by pump has none)" },
	{ "drain-pressure-band", "%", "10", "pump",
	    "how far the pump pressure may lie from the reference pressure when the drain flow counts (common practice)" },
	{ "drain-viscosity-min", "mm2/s", "20", "pump",
	    "thinnest oil in the tank with which the drain flow counts (common practice)" },
	{ "drain-viscosity-max", "mm2/s", "60", "pump",
	    "thickest oil in the tank with which the drain flow counts (common practice)" },
	{ "pump-settling", "min", "15", "pump",
	    "time after a start from which drain flow and filter differential pressure count (common practice)" },
	{ "starts-per-hour", "1/h", "6", "pump",
	    "starts that the motor allows in an hour (direct on line; common practice)" },

	{ "relief-pressure", "bar", NULL, "relief valve", "setting of the relief valve, from its certificate" },
	{ "allowable-pressure", "bar", NULL, "relief valve", "allowable pressure of the vessels it protects" },

	{ "shell-volume", "L", NULL, "accumulator", "gas volume of one shell without oil" },
	{ "shells", "1", NULL, "accumulator", "number of shells in the bank" },
	{ "precharge", "bar", NULL, "accumulator", "gas precharge at 20 degC as set" },
	{ "thermal-lag", "s", "120", "accumulator",
	    "time constant with which the gas takes the temperature of the shell (rough, fit it; common practice)" },
	{ "minimum-pressure", "bar", NULL, "accumulator", "setting of the valve that keeps oil in the shells" },

	{ "counted-volume", "mL", NULL, "sampling point",
	    "oil in which the laboratory counts the particles; fewer than 20 in it are told by >= in the code" },
	{ "dead-volume", "L", "0.4", "sampling point",
	    "oil that stands in the sampling valve and its pipe; five times as much is to be let off before the bottle (the "
	    "first two litres are unsuitable; common practice)" },
	{ "sample-after-stop", "min", "30", "sampling point",
	    "how long after a stop a sample still counts (common practice)" },

	{ "bore", "mm", NULL, "cylinder", "nominal bore" },
	{ "rod", "mm", NULL, "cylinder", "rod diameter" },
	{ "stroke", "mm", NULL, "cylinder", "stroke" },
	{ "as-new-leakage", "mL/min", NULL, "cylinder", "leakage past the piston seals when they were new" },
	{ "as-new-bore", "mm", NULL, "cylinder", "measured bore when it was new, at 20 degC" },

	{ "cooler-oil-flow", "L/min", NULL, "cooler", "oil flow where it is not measured" },
	{ "cooler-water-flow", "L/min", NULL, "cooler", "water flow where it is not measured" },
	{ "as-new-ua", "kW/K", NULL, "cooler", "heat conductance of the clean cooler" },
	{ "thermostat-opens", "degC", NULL, "cooler", "oil temperature at which the thermostat begins to open" },
	{ "thermostat-open", "degC", NULL, "cooler", "oil temperature at which the thermostat is fully open" },

	{ "clean-dp", "bar", NULL, "element", "differential pressure of housing and clean element at the reference flow" },
	{ "housing-share", "%", NULL, "element", "share of the clean differential pressure that is the housing's" },
	{ "bypass-dp", "bar", "2.5", "element",
	    "differential pressure at which the bypass opens (usual setting; common practice)" },
	{ "loop-flow", "L/min", NULL, "element", "flow of the loop the filter is in" },
	{ "loop-flow-least", "%", "20", "element",
	    "share of loop-flow from which a measured flow counts as a running loop (common practice)" },
	{ "loop-pump", "", NULL, "element",
	    "pump that drives the loop, a name below the filter, the mill or what lies between (none given: pump-running of the "
	    "filter or of what it belongs to, else of any pump of the mill)" },
	{ "reference-viscosity", "mm2/s", NULL, "element",
	    "viscosity for which clean-dp holds (none given: that of the fresh oil at reference-temperature)" },
	{ "filter-viscosity-max", "mm2/s", "60", "element",
	    "thickest oil with which the differential pressure counts (common practice)" },
	{ "bypass-open", "%", "95", "element",
	    "share of bypass-dp from which the bypass counts as open (tolerance of valve and gauge; common practice)" },
	{ "element-lives-least", "1", "3", "element",
	    "earlier elements whose lives must be known before one is compared with their median (common practice)" },
	{ "beta", "1", NULL, "element", "filtration ratio after ISO 16889 at the size that counts" },
	{ "filter-service", "%", "80", "element",
	    "share of the laboratory's efficiency that the filter reaches in service (75 to 90 % is common practice)" }
};

const struct leat_property *
leat_property_at(size_t index)
{
	return index < sizeof(properties) / sizeof(properties[0]) ? &properties[index] : NULL;
}

const struct leat_property *
leat_property_find(struct leat_span name)
{
	for (size_t i = 0; i < sizeof(properties) / sizeof(properties[0]); i++)
		if (leat_span_is(name, properties[i].name))
			return &properties[i];
	return NULL;
}
