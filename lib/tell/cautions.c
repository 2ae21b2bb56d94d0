/*
 * Cautions, word for word those of docs/cautions.md; a test compares them.
 */
#include "tell/cautions.h"
#include "tell/nightly.h"

const char *
leat_cautions_report(void)
{
	return
	    "BEFORE ANY WORK\n"
	    "  The works' permit and lock-out rules, local law and licensed practice come\n"
	    "  first; this report does not replace them.\n"
	    "  Stored energy: stop the drive, set the rollers down on stops or blocks, lock\n"
	    "  the pump off, let ALL accumulators down to tank, prove 0 bar at two gauges,\n"
	    "  wait and look again: pressure can build up behind shut valves.\n"
	    "  Gas side: dry nitrogen only, never oxygen or air; ventilate.\n"
	    "  Oil above 50 degC burns. Never feel for a leak: oil under the skin is an\n"
	    "  emergency for a surgeon at once, however small the wound looks.\n";
}

static const struct leat_caution cautions[] = {
	{ "card", "On every job card", {
	    "The works' permit and lock-out rules, local law, the machine maker's instructions and licensed "
	    "practice come first; this card does not replace them.",
	    "Where the machine is not as the card has it: stop, make it safe, ask.",
	    "A gauge on the machine outranks every number on the card."
	} },
	{ "stored-energy", "Stored energy", {
	    "The drive is stopped and locked; the rollers stand on their blocks or lie down on their stops; "
	    "the pump is locked off.",
	    "Every accumulator is let down to tank, not only the one to be worked on.",
	    "Two gauges show 0 bar. Wait, and look again: pressure can build up in a line that was shut in, "
	    "as gas or oil warms or a valve seeps. The vent stays open until the work is over.",
	    "A cylinder, a hose or a filter housing is opened only after that, and slowly at first."
	} },
	{ "nitrogen", "Nitrogen", {
	    "Dry nitrogen and nothing else. Oxygen or compressed air with oil explodes.",
	    "The bottle has a regulator and a relief valve set below what the shell may bear.",
	    "Ventilate: nitrogen in a pit or a closed room suffocates without warning.",
	    "The gas side is let down before an accumulator is taken apart or away. No welding, grinding or "
	    "drilling on a shell.",
	    "A reading that looks like the oil pressure is the oil pressure: precharge is read only with the "
	    "oil side open to tank."
	} },
	{ "oil", "Oil", {
	    "Oil above 50 degC burns the skin; tank, cooler and pipes are as hot.",
	    "Never feel for a leak by hand, nor close to a pinhole. Oil injected through the skin is a "
	    "surgical emergency even when the wound looks small: go at once, and tell them that it is an "
	    "injection of high-pressure oil.",
	    "Spilt oil is slippery, and burns beside hot gas ducts. Elements and rags are oily waste."
	} },
	{ "motor", "Motor and first start", {
	    "Connection, phase sequence and direction of rotation are an electrician's work. Jog before the "
	    "coupling is closed.",
	    "The pump case is filled with oil before the first start.",
	    "The first start bleeds air at low pressure and fills through the off-line filter."
	} },
	{ "valves", "Valves and lifting", {
	    "A relief or safety valve is set by an authorised person, and its seal is logged. It is not the "
	    "means to raise pressure.",
	    "Cylinders and pumps are lifted with rated gear by people trained for it."
	} },
	{ "running", "Running machinery", {
	    "Guards stay on, and nobody reaches past them. Sleeves, cords and rags are kept away from shafts "
	    "and couplings.",
	    "Nothing that is under pressure is loosened or tightened, and nobody stands in line with its "
	    "plugs and fittings."
	} },
	{ "tank", "Tank and cleaning", {
	    "Nobody enters a tank without the works' permit for closed spaces: air tested, ventilated, "
	    "somebody outside.",
	    "Cleaning agents are used after their safety data sheet: gloves, goggles, fresh air, no flame and "
	    "no hot surface near.",
	    "Compressed air is never blown at the skin, nor at a part in the hand.",
	    "Waste oil, wash liquid and elements go where local law sends them, never into a drain."
	} }
};

const struct leat_caution *
leat_caution_at(size_t index)
{
	return index < sizeof(cautions) / sizeof(cautions[0]) ? &cautions[index] : NULL;
}

const struct leat_caution *
leat_caution_find(struct leat_span keyword)
{
	for (size_t i = 0; i < sizeof(cautions) / sizeof(cautions[0]); i++)
		if (leat_span_is(keyword, cautions[i].keyword))
			return &cautions[i];
	return NULL;
}
