/*
 * What the events of the logbook mean for a series: a renewal, a changed meter, or nothing.
 */
#include "upkeep/renewal.h"

/* Which points an event of an item renews.  The item's own asset and those below it count, and, where above says so,
 * those of its parents: what is measured of a mill as a whole. */
static const struct {
	const char *event, *point;	/* point: a pattern */
	bool above;
} renewals[] = {
	{ "pump-change", "*", false },
	{ "seal-change", "seal-leakage*", false },
	{ "seal-change", "rod-leakage*", false },
	{ "seal-change", "internal-leakage*", true },
	{ "seal-change", "pump-up-rate*", true },
	{ "seal-change", "pump-up-frequency*", true },
	{ "gas-fill", "pump-up-*", true },
	{ "filter-change", "filter-dp*", false },
	{ "filter-change", "bypass-*", false },
	{ "gas-fill", "gas-*", true },
	{ "gas-fill", "precharge-*", true },
	{ "oil-change", "count-*", false },
	{ "oil-change", "iso4406*", false },
	{ "oil-change", "water-*", false },
	{ "oil-change", "viscosity-*", false },
	{ "oil-change", "acid-number*", false },
	{ "oil-change", "iron*", false },
	{ "oil-change", "copper*", false },
	{ "oil-change", "tin*", false },
	{ "oil-change", "chromium*", false },
	{ "oil-change", "silicon*", false },
	{ "oil-change", "aluminium*", false },
	{ "oil-change", "sodium*", false },
	{ "oil-change", "zinc*", false },
	{ "oil-change", "ageing-hours*", false }
};

/* The point that was measured, of a point that is made from it: "drain-flow" of "drain-flow-corrected". */
static bool
made_from(struct leat_span point, struct leat_span measured)
{
	if (leat_span_eq(point, measured))
		return true;
	if (leat_span_is(measured, "drain-flow"))
		return leat_span_starts(point, "drain-flow") || leat_span_is(point, "slot-flow");
	if (leat_span_is(measured, "filter-dp") && leat_span_starts(point, "bypass-share"))
		return true;
	if (leat_span_is(measured, "pressure") && (leat_span_starts(point, "gas-compliance") ||
	    leat_span_starts(point, "gas-amount-")))
		return true;
	return point.len > measured.len && memcmp(point.ptr, measured.ptr, measured.len) == 0 &&
	    (point.ptr[measured.len] == '.' || point.ptr[measured.len] == '-');
}

/* Is the point a comparison of what was measured with something else?  Then a new meter makes it another one: no factor
 * between before and after would mean anything. */
static bool
compares(struct leat_span point, struct leat_span measured)
{
	return made_from(point, measured) && (leat_span_ends(point, ".difference") || leat_span_ends(point, ".ratio"));
}

bool
leat_log_renews(const struct leat_log_entry *e, struct leat_span asset, struct leat_span point)
{
	if (leat_span_eq(leat_span_of(e->event->name), LEAT_SPAN("baseline")))
		return leat_asset_within(asset, e->asset) && (e->point.len == 0 || made_from(point, e->point));
	if (strcmp(e->event->name, "meter-change") == 0)
		return compares(point, e->point) && (leat_asset_within(asset, e->asset) || leat_asset_within(e->asset, asset));
	for (size_t i = 0; i < sizeof(renewals) / sizeof(renewals[0]); i++) {
		if (strcmp(e->event->name, renewals[i].event) != 0 || !leat_glob(leat_span_of(renewals[i].point), point))
			continue;
		if (leat_asset_within(asset, e->asset) || (renewals[i].above && leat_asset_within(e->asset, asset)))
			return true;
	}
	return false;
}

/* The gas is told from the oil that the pump puts in at a filling: the pump is the meter of it, and another pump, whose slots
 * are another width, is another meter. */
static bool
pump_measures(struct leat_span point)
{
	return leat_span_starts(point, "gas-compliance") || leat_span_starts(point, "gas-amount-compliance");
}

bool
leat_log_rescales(const struct leat_log_entry *e, struct leat_span asset, struct leat_span point)
{
	if (strcmp(e->event->name, "pump-change") == 0)
		return leat_asset_within(e->asset, asset) && !leat_span_eq(e->asset, asset) && pump_measures(point);
	return strcmp(e->event->name, "meter-change") == 0 && leat_span_eq(e->asset, asset) && made_from(point, e->point) &&
	    !compares(point, e->point);
}
