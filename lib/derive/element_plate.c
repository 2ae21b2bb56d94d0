/* Filter elements: which series serve a filter, and what the nameplate says of it. */
#include <math.h>

#include "derive/element_private.h"
#include "stats/order.h"

/* The asset of a series that was found. */
static struct leat_span
asset_of(const struct leat_elements *elements, uint32_t series)
{
	return leat_readings_assets(elements->in)->name[leat_readings_series(elements->in)->pair[series] >> 32];
}

/* The flow through the filter.  One that is measured of the mill as a whole is that of some other place. */
static uint32_t
find_flow(const struct leat_elements *elements, const struct leat_elements_filter *filter)
{
	uint32_t series = leat_current_resolve(&elements->current, filter->asset, leat_span_make("", 0), LEAT_SPAN("oil-flow"));
	struct leat_span asset;

	if (series == LEAT_NAME_NONE)
		return series;
	asset = asset_of(elements, series);
	return leat_span_find(asset, '/') == asset.len ? LEAT_NAME_NONE : series;
}

void
leat_elements_resolve(struct leat_elements *elements)
{
	elements->filters = 0;
	for (size_t i = 0; i < elements->filter_names.count; i++) {
		struct leat_elements_filter *filter = &elements->filter[i];

		if (!filter->begun)
			leat_elements_read_plate(elements, filter, elements->minutes.at);
		filter->flow = find_flow(elements, filter);
		filter->loop_pump = leat_nameplate_word(elements->np, filter->asset, "loop-pump", elements->minutes.at);
		filter->pump = leat_current_resolve(&elements->current, filter->asset, filter->loop_pump,
		    LEAT_SPAN("pump-running"));
		filter->heat = leat_current_resolve(&elements->current, filter->asset, leat_span_make("", 0),
		    LEAT_SPAN("oil-temperature"));
		elements->filters += filter->plate.given;
	}
}

/* A number of the nameplate, NaN where it has none. */
static double
number(const struct leat_elements *elements, const struct leat_elements_filter *filter, const char *property,
    struct leat_time at)
{
	double value;

	return leat_nameplate_number(elements->np, filter->asset, property, at, &value) == 0 ? value : NAN;
}

double
leat_elements_clean_bar(const struct leat_elements_filter *filter)
{
	double clean = filter->plate.clean_bar - filter->plate.reference.housing_bar, some[LEAT_ELEMENT_LIVES];
	size_t n = filter->clean_seen < LEAT_ELEMENT_LIVES ? filter->clean_seen : LEAT_ELEMENT_LIVES;

	if (isnan(clean)) {
		memcpy(some, filter->clean, n * sizeof(*some));
		clean = leat_median(some, n);
	}
	return clean > 0 ? clean : NAN;
}

void
leat_elements_read_plate(struct leat_elements *elements, struct leat_elements_filter *filter, struct leat_time at)
{
	struct leat_elements_plate *plate = &filter->plate;
	double given = number(elements, filter, "reference-viscosity", at), share;

	leat_oil_in_use_read(&filter->oil, elements->np, filter->asset, at);
	plate->clean_bar = number(elements, filter, "clean-dp", at);
	plate->housing_percent = number(elements, filter, "housing-share", at);
	plate->reference.flow_lpm = number(elements, filter, "loop-flow", at);
	plate->given = !isnan(plate->clean_bar) || !isnan(plate->reference.flow_lpm);
	share = plate->housing_percent > 0 ? plate->housing_percent / 100 : 0;
	plate->reference.housing_bar = plate->clean_bar > 0 ? plate->clean_bar * share : 0;
	plate->reference_c = number(elements, filter, "reference-temperature", at);
	plate->by_temperature = isnan(given);
	plate->reference.viscosity_mm2_s = !filter->oil.fresh.known ? NAN : !isnan(given) ? given :
	    leat_oil_viscosity(&filter->oil.fresh.curve, plate->reference_c);
	plate->bypass_bar = number(elements, filter, "bypass-dp", at);
	plate->open_percent = number(elements, filter, "bypass-open", at);
	plate->least_flow_percent = number(elements, filter, "loop-flow-least", at);
	plate->lives_least = number(elements, filter, "element-lives-least", at);
	plate->settling_min = number(elements, filter, "pump-settling", at);
	plate->warm_from_c = number(elements, filter, "warm-from", at);
	plate->warm_rate_k_h = number(elements, filter, "warm-rate", at);
	plate->thickest_mm2_s = number(elements, filter, "filter-viscosity-max", at);
	plate->least_min = number(elements, filter, "admitted-least", at);
	plate->least_percent = number(elements, filter, "coverage-least", at);
	plate->until = leat_nameplate_next(elements->np, at);
	filter->begun = true;
}
