/*
 * Drums and bottles: how many a filling of oil or nitrogen takes.
 *
 * Common practice: new oil has a tenth more for flushing, waste drums are filled to 95 %, and of a nitrogen bottle of 50 L at
 * 200 bar what is above 80 bar can be used, or above the precharge where that is higher.
 */
#ifndef LEAT_PHYSICS_FILL_PLAN_H
#define LEAT_PHYSICS_FILL_PLAN_H

#include "base/error.h"

#define LEAT_DRUM_L 208.0		/* common practice: the steel drum of 55 US gallons */
#define LEAT_FLUSH_SHARE 0.10
#define LEAT_WASTE_SHARE 0.95
#define LEAT_BOTTLE_L 50.0
#define LEAT_BOTTLE_FULL_BAR 200.0
#define LEAT_BOTTLE_LEFT_BAR 80.0
#define LEAT_BOTTLE_ABOVE_BAR 5.0	/* by which a bottle must stay above what it fills */

/* The new oil that a volume takes with what is flushed away, in litres. */
double leat_new_oil_l(double volume_l);
/* Whole drums that hold volume_l litres, each filled to share of drum_l; 0 for none. */
double leat_drums(double volume_l, double drum_l, double share);
/* Bottles that give amount_mol at 20 degC to accumulators of that precharge, not rounded.  0, or -1 outside the range of the
 * equation of state, or where no bottle fills to that precharge. */
int leat_bottles(double amount_mol, double precharge_bar, double air_bara, double *bottles) LEAT_MUST_USE;

#endif
