/* Drums and bottles. */
#include <math.h>

#include "physics/accumulator.h"
#include "physics/fill_plan.h"

/* Far less than a drop: products of decimals must not ask for a drum more. */
#define NOTHING 1e-9

double
leat_new_oil_l(double volume_l)
{
	return volume_l * (1 + LEAT_FLUSH_SHARE);
}

double
leat_drums(double volume_l, double drum_l, double share)
{
	return volume_l > 0 ? ceil(volume_l / (drum_l * share) - NOTHING) : 0;
}

int
leat_bottles(double amount_mol, double precharge_bar, double air_bara, double *bottles)
{
	double left_bar = fmax(LEAT_BOTTLE_LEFT_BAR, precharge_bar + LEAT_BOTTLE_ABOVE_BAR), each;

	if (left_bar >= LEAT_BOTTLE_FULL_BAR ||
	    leat_gas_bottle(LEAT_BOTTLE_L, LEAT_BOTTLE_FULL_BAR, left_bar, 20, air_bara, &each) != 0)
		return -1;
	*bottles = amount_mol / each;
	return 0;
}
