/* The judgements, what each needs and which failure modes it sees: common practice of the trade. */
#include "judge/blind.h"

/* A baseline needs so much (common practice); a trend of samples needs two. */
#define BASELINE 50, 10
#define SAMPLES 0, 2
#define NOTHING 0, 0

static const struct leat_judgement judgements[] = {
	/* What all others rest on. */
	{ "operating-state", "pressure@60s pressure-setpoint|=set-pressure mill-running|mill-power@60s (pump-running)", "",
	    NOTHING, false },
	{ "running-hours", "pump-running|mill-running|hour-meter", "", NOTHING, false },
	{ "starts", "pump-running|start-counter", "motor-starts", NOTHING, false },
	/* The press. */
	{ "pressure-attainment", "pressure@60s pressure-setpoint|=set-pressure mill-running|mill-power@60s",
	    "low-pressure setpoint-lowered", NOTHING, false },
	{ "cost-of-low-pressure", "pressure@60s pressure-setpoint|=set-pressure mill-running|mill-power@60s "
	    "feed-rate@300s (head-pressure@300s)", "", NOTHING, false },
	{ "relief-margin", "pump-pressure@60s|pressure@60s =relief-pressure", "relief-setting compensator", NOTHING,
	    false },
	/* The pump. */
	{ "pump-wear", "drain-flow@300s pump-running pump-pressure@300s|pressure@300s "
	    "drain-temperature@300s|oil-temperature@300s (viscosity-40)", "pump-wear", BASELINE, false },
	{ "pump-life", "drain-flow@300s pump-running pump-pressure@300s|pressure@300s "
	    "drain-temperature@300s|oil-temperature@300s", "", 1000, 60, false },
	{ "lift-time", "lift-time", "pump-wear", SAMPLES, false },
	/* Leakage. */
	{ "leakage-by-pump-ups", "charging@8s|start-counter pressure@60s =rated-flow|=displacement",
	    "piston-seal relief-weep", BASELINE, true },
	{ "pressure-decay", "pressure@10s oil-temperature@300s charging|pump-running",
	    "piston-seal relief-weep check-valve", NOTHING, false },
	/* The gas. */
	{ "gas-compliance", "charging@8s pressure@60s oil-temperature@300s =rated-flow|=displacement", "gas-loss",
	    BASELINE, true },
	{ "precharge-by-hand", "gas-pressure gas-temperature =precharge", "gas-loss bladder-burst", SAMPLES, false },
	{ "precharge-by-knee", "pressure@5s pump-running", "gas-loss", NOTHING, false },
	{ "gas-by-level", "level@300s pressure@60s oil-temperature@300s =tank-area", "gas-loss", BASELINE, false },
	{ "bladder-protection", "pressure@5s pump-running =precharge", "bladder-hammer", NOTHING, false },
	/* The cylinder. */
	{ "seal-leakage", "seal-leakage", "piston-seal", NOTHING, false },
	{ "counter-pressure", "head-pressure@60s pressure@60s mill-running|mill-power@60s", "piston-seal", BASELINE,
	    false },
	{ "bore-wear", "bore-diameter ring-temperature", "bore-wear", NOTHING, false },
	/* Heat. */
	{ "oil-temperature", "oil-temperature@300s mill-running|mill-power@60s", "overheating", NOTHING, false },
	{ "cooler-ua", "oil-in-temperature@300s oil-out-temperature@300s water-in-temperature@300s "
	    "water-out-temperature@300s (oil-flow@300s|=cooler-oil-flow)", "cooler-fouling", BASELINE, false },
	{ "thermostat", "oil-out-temperature@60s|oil-temperature@60s", "thermostat", NOTHING, false },
	{ "heat-balance", "oil-in-temperature@300s oil-out-temperature@300s ambient-temperature@3600s drain-flow@300s "
	    "oil-flow@300s|=cooler-oil-flow", "hidden-bypass", BASELINE, false },
	/* The element. */
	{ "element-life", "filter-dp@300s oil-temperature@300s (oil-flow@300s|=loop-flow)",
	    "element-clogged filter-bypass", BASELINE, false },
	/* The oil. */
	{ "cleanliness", "iso4406|count-4um iso4406|count-6um iso4406|count-14um", "dirt-ingress filter-bypass", SAMPLES,
	    false },
	{ "wear-metals", "iron copper tin chromium silicon", "pump-wear bore-wear dirt-ingress", SAMPLES, false },
	{ "water", "water-content (oil-temperature@300s) (sodium)", "water-ingress", SAMPLES, false },
	{ "oil-ageing", "acid-number viscosity-40 oil-temperature@300s", "oil-oxidation", SAMPLES, false },
	{ "oil-verdict", "viscosity-40 acid-number water-content iso4406|count-6um (zinc)", "oil-oxidation wrong-oil",
	    SAMPLES, false },
	{ "oil-balance", "level@300s oil-temperature@300s pressure@300s top-up", "external-leak water-ingress", BASELINE,
	    false },
	/* The mill. */
	{ "vibration", "vibration@60s mill-running|mill-power@60s", "gas-loss", BASELINE, false }
};

const struct leat_judgement *
leat_judgement_at(size_t index)
{
	return index < sizeof(judgements) / sizeof(judgements[0]) ? &judgements[index] : NULL;
}
