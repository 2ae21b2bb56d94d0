/* What a person reads so that a computed point can be told; each point's definition in leat-points(7) names its inputs. */
#include "upkeep/round.h"

#define NEEDS_MAX 4u

static const struct {
	const char *point;		/* a point, or with '*' at its end all that begin so */
	enum leat_round_when when;
	const char *need[NEEDS_MAX];
} needs[] = {
	{ "drain-flow-corrected", LEAT_ROUND_ANY, { "drain-flow", "pump-pressure", "oil-temperature" } },
	{ "slot-flow", LEAT_ROUND_ANY, { "drain-flow", "pump-pressure", "oil-temperature" } },
	{ "internal-leakage", LEAT_ROUND_ANY, { "pressure", "start-counter" } },
	{ "pump-up-rate", LEAT_ROUND_ANY, { "pressure" } },
	{ "gas-compliance", LEAT_ROUND_STOP, { "gas-pressure", "gas-temperature" } },
	{ "precharge-*", LEAT_ROUND_STOP, { "gas-pressure", "gas-temperature" } },
	{ "gas-amount", LEAT_ROUND_STOP, { "gas-pressure", "gas-temperature" } },
	{ "gas-pressure", LEAT_ROUND_STOP, { "gas-pressure", "gas-temperature" } },
	{ "gas-temperature", LEAT_ROUND_STOP, { "gas-pressure", "gas-temperature" } },
	{ "cooler-*", LEAT_ROUND_ANY, { "oil-in-temperature", "oil-out-temperature", "water-in-temperature",
	    "water-out-temperature" } },
	{ "warmest-water", LEAT_ROUND_ANY, { "oil-in-temperature", "oil-out-temperature", "water-in-temperature",
	    "water-out-temperature" } },
	{ "filter-dp-corrected", LEAT_ROUND_ANY, { "filter-dp", "oil-temperature" } },
	{ "pressure-attainment", LEAT_ROUND_ANY, { "pressure", "pressure-setpoint" } },
	{ "pressure-deviation", LEAT_ROUND_ANY, { "pressure", "pressure-setpoint" } },
	{ "pressure-low-spell", LEAT_ROUND_ANY, { "pressure", "pressure-setpoint" } },
	{ "pressure-spread", LEAT_ROUND_ANY, { "pressure" } },
	{ "grinding-force", LEAT_ROUND_ANY, { "pressure", "head-pressure" } },
	{ "setpoint-shift", LEAT_ROUND_ANY, { "pressure-setpoint" } },
	{ "relief-*", LEAT_ROUND_ANY, { "pressure" } },
	{ "compensator-*", LEAT_ROUND_ANY, { "pump-pressure" } },
	{ "oil-volume-20", LEAT_ROUND_ANY, { "level", "oil-temperature" } },
	{ "oil-consumption", LEAT_ROUND_ANY, { "level", "oil-temperature" } },
	{ "external-leakage", LEAT_ROUND_ANY, { "level", "oil-temperature" } },
	{ "oil-gain", LEAT_ROUND_ANY, { "level", "oil-temperature" } },
	{ "running-hours", LEAT_ROUND_ANY, { "hour-meter" } },
	{ "grinding-hours", LEAT_ROUND_ANY, { "hour-meter" } },
	{ "ageing-hours", LEAT_ROUND_ANY, { "oil-temperature" } },
	{ "starts", LEAT_ROUND_ANY, { "start-counter" } },
	{ "bore-wear", LEAT_ROUND_STOP, { "bore-diameter", "ring-temperature" } },
	{ "bore-diameter", LEAT_ROUND_STOP, { "bore-diameter", "ring-temperature" } },
	{ "seal-leakage", LEAT_ROUND_STOP, { "seal-leakage" } },
	{ "iso4406*", LEAT_ROUND_LABORATORY, { "count-4um", "count-6um", "count-14um" } },
	{ "count-*", LEAT_ROUND_LABORATORY, { "count-4um", "count-6um", "count-14um" } },
	{ "as4059", LEAT_ROUND_LABORATORY, { "count-4um", "count-6um", "count-14um" } },
	{ "nas1638", LEAT_ROUND_LABORATORY, { "count-4um", "count-6um", "count-14um" } },
	{ "clean-up-time", LEAT_ROUND_LABORATORY, { "count-4um", "count-6um", "count-14um" } },
	{ "water-saturation*", LEAT_ROUND_LABORATORY, { "water-content" } },
	{ "water-content", LEAT_ROUND_LABORATORY, { "water-content" } },
	{ "free-water", LEAT_ROUND_LABORATORY, { "water-content" } },
	{ "drying-time", LEAT_ROUND_LABORATORY, { "water-content" } },
	{ "viscosity-*", LEAT_ROUND_LABORATORY, { "viscosity-40", "viscosity-100" } },
	{ "wrong-oil-share", LEAT_ROUND_LABORATORY, { "viscosity-40" } },
	{ "acid-number*", LEAT_ROUND_LABORATORY, { "acid-number" } },
	{ "zinc-share", LEAT_ROUND_LABORATORY, { "zinc" } },
	{ "iron", LEAT_ROUND_LABORATORY, { "iron" } },
	{ "copper", LEAT_ROUND_LABORATORY, { "copper" } },
	{ "tin", LEAT_ROUND_LABORATORY, { "tin" } },
	{ "chromium", LEAT_ROUND_LABORATORY, { "chromium" } },
	{ "silicon", LEAT_ROUND_LABORATORY, { "silicon" } },
	{ "aluminium", LEAT_ROUND_LABORATORY, { "aluminium" } },
	{ "sodium", LEAT_ROUND_LABORATORY, { "sodium" } },
	{ "zinc", LEAT_ROUND_LABORATORY, { "zinc" } }
};

/* Switches, amounts that are logged when they happen, and states are not read on a round. */
static bool
is_read(const struct leat_point_info *info)
{
	static const char *const logged[] = { "top-up", "drained", "flushed-volume", "lift-time" };

	if (info == NULL || (info->kind != LEAT_KIND_ANALOGUE && info->kind != LEAT_KIND_STEP))
		return false;
	for (size_t i = 0; i < sizeof(logged) / sizeof(logged[0]); i++)
		if (strcmp(info->name, logged[i]) == 0)
			return false;
	return true;
}

const char *
leat_round_need(struct leat_span point, size_t index, enum leat_round_when *when)
{
	struct leat_span base = leat_span_make(point.ptr, leat_span_find(point, '.'));
	const struct leat_point_info *info = leat_point_find(base);

	for (size_t i = 0; i < sizeof(needs) / sizeof(needs[0]); i++) {
		if (!leat_glob(leat_span_of(needs[i].point), base))
			continue;
		*when = needs[i].when;
		return index < NEEDS_MAX ? needs[i].need[index] : NULL;
	}
	*when = LEAT_ROUND_ANY;
	return index == 0 && is_read(info) && !leat_point_derived(base) ? info->name : NULL;
}
