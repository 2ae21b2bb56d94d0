/*
 * Cautions, word for word those of docs/cautions.md; a test compares them.
 */
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
