/*
 * The shipped trends.csv: what is known in the trade about slow changes, whatever the machine.
 *
 * Left out on purpose: what has no number in the trade (drift of a transmitter against the round sheet), what follows the
 * season (pumps charge twice as often with oil of 65 degC as with one of 43: internal-leakage is freed of that), and what is
 * judged as a level (viscosity against the fresh oil, an element that is open).
 */
#include "stream/trends.h"

static const char defaults[] =
	"asset,point,when,clock,model,baseline,alert,alarm,unit,window,rule,advice,source\n"
	"*,drain-flow-corrected,,running-hours,cube-root,first,1.5x,2x,,,pump-wear,\"Order a pump and plan its change before "
	    "the date; lock out and let the pressure off by the works' rules first, the oil is hot.\",\"a doubling of the drain "
	    "flow is wear: fluid-power trade articles; 1.5 and 2 times the pump's own baseline: common practice; clearance grows "
	    "evenly, so the cube root of its leakage does\"\n"
	"*,drain-flow-corrected,,,step,none,,1.25x,,,pump-jump,\"Compare drain temperature and a hand measurement: a pump that "
	    "fails warms its drain, a meter does not; keep clear of hot oil.\",\"common practice: a jump of more than 25 % within "
	    "7 days is an alarm at any level\"\n"
	"*,internal-leakage,,,,first,2x,4x,,,leakage,\"Find the leak by shutting off parts one by one; rollers and accumulators "
	    "store energy: follow the works' lock-out rules.\",common practice: 2 and 4 times the mill's own baseline\n"
	"*,gas-compliance,,,,first,0.95x,0.9x,,,gas-compliance,\"Read the precharge at the next stop, oil side open to tank; "
	    "look for a shut accumulator valve. Nitrogen only, by trained hands.\",\"common practice: below 95 % of the baseline "
	    "alert, below 90 % alarm\"\n"
	"*,gas-amount,,,,first,0.95x,0.9x,,,gas-loss,\"Look for the leak at gas valve and bladder; let the oil side down before "
	    "any work, refill with nitrogen only, by trained hands.\",\"common practice: below 95 % of what was filled alert, "
	    "below 90 % alarm\"\n"
	"*,cooler-ua,,,,as-new,0.75x,0.6x,,,cooler-fouling,\"Clean the cooler before the warm season; shut off and drain both "
	    "sides first, cleaning acid burns.\",\"common practice: below 75 % of the clean cooler alert, below 60 % alarm\"\n"
	"*,bypass-share,,running-hours,exponential,none,80,100,%,,element-loading,\"Order elements and plan the change before the "
	    "date; shut the filter off, depressurise it and lock out by the works' rules first.\",\"common practice: change at 80 % "
	    "of what opens the bypass; the logarithm of the differential pressure is what is fitted\"\n"
	"*,cooler-index,,,,first,1.3x,1.6x,,,cooler-fouling,\"Clean the cooler before the warm season; shut off and drain both "
	    "sides first, cleaning acid burns.\",\"where no flow is known: a counterflow cooler of usual size loses so much at "
	    "75 % and 60 % of its clean conductance (worked out); the shares are common practice\"\n"
	"*,heat-unexplained,,,,first,1.3x,,,P30D,hidden-heat,\"Look for oil throttled where nobody sees it: relief valve, bypasses, "
	    "charging valve, by a hand pyrometer on their returns; hot oil burns.\",\"common practice: 30 % above its baseline, "
	    "by the line of 30 days\"\n"
	"*,seal-leakage,,running-hours,,as-new,5x,10x,,,piston-seal,\"Plan new seals for the next stop and measure the bore "
	    "then; block the roller and let all pressure off by the works' rules first.\",\"common practice: 5 and 10 times the "
	    "as-new leakage\"\n"
	"*,bore-wear,,running-hours,,none,,0.1,mm,,bore-wear,\"Hone or sleeve the cylinder or take the oversize set at the next "
	    "stop: new seals do not last in a worn bore; lift only by the works' rules.\",\"common practice: 0.1 mm on the "
	    "diameter\"\n"
	"*,acid-number-rise,,ageing-hours,,none,0.5,1.0,mgKOH/g,,acid-number,\"Confirm by a second sample, then plan the oil "
	    "change; let the oil cool, keep it off the skin and out of the drains.\",\"common practice: 0.5 mgKOH/g above the "
	    "fresh oil alert, 1.0 alarm; oxidation goes with the ageing of the oil\"\n"
	"*,zinc,,running-hours,,as-new,0.6x,,,,additive-loss,\"Confirm by a second sample and compare with the delivered batch; "
	    "then plan a partial or full oil change.\",\"common practice: below 60 % of the fresh oil's\"\n";

const char *
leat_trends_defaults(void)
{
	return defaults;
}
