/*
 * Bladder accumulators.
 */
#include <math.h>

#include "physics/accumulator.h"
#include "physics/nitrogen.h"

static int
density(double pressure_bar, double temp_c, double air_bara, double *mol_l)
{
	return leat_nitrogen_density(pressure_bar + air_bara, temp_c + LEAT_ZERO_C_K, mol_l);
}

int
leat_gas_amount(double pressure_bar, double temp_c, double volume_l, double air_bara, double *amount_mol)
{
	double mol_l;

	if (!(volume_l > 0) || density(pressure_bar, temp_c, air_bara, &mol_l) != 0)
		return -1;
	*amount_mol = mol_l * volume_l;
	return 0;
}

int
leat_gas_volume(double amount_mol, double pressure_bar, double temp_c, double air_bara, double *volume_l)
{
	double mol_l;

	if (!(amount_mol > 0) || density(pressure_bar, temp_c, air_bara, &mol_l) != 0)
		return -1;
	*volume_l = amount_mol / mol_l;
	return 0;
}

/* V = N/r, so -dV/dp = N/(r^2 dp/dr): this per mole. */
static int
compliance_per_mol(double pressure_bar, double temp_c, double air_bara, double *l_per_bar)
{
	double mol_l;

	if (density(pressure_bar, temp_c, air_bara, &mol_l) != 0)
		return -1;
	*l_per_bar = 1 / (mol_l * mol_l * leat_nitrogen_stiffness(mol_l, temp_c + LEAT_ZERO_C_K));
	return 0;
}

int
leat_gas_compliance(double amount_mol, double pressure_bar, double temp_c, double air_bara, double *l_per_bar)
{
	double one;

	if (!(amount_mol > 0) || compliance_per_mol(pressure_bar, temp_c, air_bara, &one) != 0)
		return -1;
	*l_per_bar = amount_mol * one;
	return 0;
}

int
leat_gas_amount_of_compliance(double l_per_bar, double pressure_bar, double temp_c, double air_bara, double *amount_mol)
{
	double one;

	if (!(l_per_bar > 0) || compliance_per_mol(pressure_bar, temp_c, air_bara, &one) != 0)
		return -1;
	*amount_mol = l_per_bar / one;
	return 0;
}

int
leat_gas_amount_of_oil(double oil_l, double shells_l, double pressure_bar, double temp_c, double air_bara,
    double *amount_mol)
{
	if (!(oil_l >= 0))
		return -1;
	return leat_gas_amount(pressure_bar, temp_c, shells_l - oil_l, air_bara, amount_mol);
}

int
leat_gas_bottle(double bottle_l, double full_bar, double left_bar, double temp_c, double air_bara, double *amount_mol)
{
	double full, left;

	if (!(full_bar > left_bar) || leat_gas_amount(full_bar, temp_c, bottle_l, air_bara, &full) != 0 ||
	    leat_gas_amount(left_bar, temp_c, bottle_l, air_bara, &left) != 0)
		return -1;
	*amount_mol = full - left;
	return 0;
}
