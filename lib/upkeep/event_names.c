/* The events of leat-log(1).  tests/suite/names-pages.sh holds the page to this list. */
#include "upkeep/event.h"

static const struct leat_event events[] = {
	{ "pressure-setting", "pressure-setpoint", LEAT_NEEDS_LEFT, false, NULL, "a pressure was set: as found, as left" },
	{ "oil-temperature", "oil-temperature", LEAT_NEEDS_VALUE, false, NULL, "the oil temperature was read by hand" },
	{ "filter-change", NULL, 0, false, "the element", "a filter element was changed" },
	{ "top-up", "top-up", LEAT_NEEDS_LEFT, false, NULL, "oil was filled in: the amount as left" },
	{ "drained", "drained", LEAT_NEEDS_LEFT, false, NULL, "oil or water was drained off: the amount as left" },
	{ "oil-change", NULL, 0, false, "the oil", "the oil was changed" },
	{ "gas-reading", "gas-pressure", LEAT_NEEDS_VALUE, false, NULL,
	    "the gas of an accumulator was read; the shell's temperature is an entry of its own at the same time" },
	{ "gas-fill", "gas-pressure", LEAT_NEEDS_LEFT, false, "the gas", "nitrogen was filled in or let off" },
	{ "seal-change", NULL, 0, false, "the cylinder", "seals of a cylinder were changed" },
	{ "bore-gauging", "bore-diameter", LEAT_NEEDS_VALUE, false, NULL,
	    "the bore of a cylinder was gauged at one place; the temperatures of ring and bore are entries of their own at the "
	    "same time" },
	{ "leak-test", "seal-leakage", LEAT_NEEDS_VALUE, false, NULL,
	    "the leakage past a piston seal was measured at one position of the stroke" },
	{ "pump-change", NULL, LEAT_NEEDS_ITEM, true, "the pump", "a pump was changed: the serial number of the new one" },
	{ "meter-change", NULL, LEAT_NEEDS_POINT, false, NULL,
	    "an instrument or counter was changed: the last reading of the old one as found, the first of the new one as "
	    "left" },
	{ "line-up", NULL, 0, false, NULL,
	    "parts of a mill were shut off for a holding test: their names below the mill as the item, such as cyl-1 cyl-3; none: "
	    "all are open" },
	{ "cleaning", NULL, 0, false, NULL, "something was cleaned, such as a cooler or a tank" },
	{ "sampling", NULL, 0, false, NULL, "an oil sample was drawn" },
	{ "cooling-water-blockage", NULL, 0, false, NULL, "the cooling water was found blocked or throttled" },
	{ "baseline", NULL, 0, false, "the asset, or the point that is named", "what is measured from here on counts as new" },
	{ "note", NULL, LEAT_NEEDS_NOTE, false, NULL, "anything else, in words" }
};

const struct leat_event *
leat_event_at(size_t index)
{
	return index < sizeof(events) / sizeof(events[0]) ? &events[index] : NULL;
}

const struct leat_event *
leat_event_find(struct leat_span name)
{
	for (size_t i = 0; i < sizeof(events) / sizeof(events[0]); i++)
		if (leat_span_is(name, events[i].name))
			return &events[i];
	return NULL;
}
