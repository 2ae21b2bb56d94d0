/*
 * Bladder accumulators: gas volume, oil held and compliance of a bank, and the amount of nitrogen from any of them.
 *
 * Real gas (physics/nitrogen.h), in equilibrium with its shell: right after a fast change of pressure the gas is warmer or
 * colder than that, and only some time constants later do these hold.  Pressures are bar gauge, temperatures degC, volumes
 * litres, air_bara the pressure of the air.
 */
#ifndef LEAT_PHYSICS_ACCUMULATOR_H
#define LEAT_PHYSICS_ACCUMULATOR_H

#include "base/error.h"

/* All functions return 0, or -1 where a state lies outside the range of the equation of state or is no state at all. */

/* The amount in mol in volume_l at that pressure and temperature: of shells without oil, volume_l is theirs. */
int leat_gas_amount(double pressure_bar, double temp_c, double volume_l, double air_bara, double *amount_mol) LEAT_MUST_USE;

/* The volume in litres that the amount takes. */
int leat_gas_volume(double amount_mol, double pressure_bar, double temp_c, double air_bara, double *volume_l) LEAT_MUST_USE;

/* How much the volume gives way, in L/bar, at constant temperature. */
int leat_gas_compliance(double amount_mol, double pressure_bar, double temp_c, double air_bara, double *l_per_bar)
    LEAT_MUST_USE;

/* The amount in mol that has that compliance. */
int leat_gas_amount_of_compliance(double l_per_bar, double pressure_bar, double temp_c, double air_bara,
    double *amount_mol) LEAT_MUST_USE;

/* The amount in mol that leaves room for oil_l of oil in shells of shells_l. */
int leat_gas_amount_of_oil(double oil_l, double shells_l, double pressure_bar, double temp_c, double air_bara,
    double *amount_mol) LEAT_MUST_USE;

#define LEAT_NITROGEN_KG_PER_MOL 0.02801348	/* molar mass used by the reference equation (Span et al. 2000) */

/* Gas bottles: how much one gives from one pressure down to another, at temp_c. */
int leat_gas_bottle(double bottle_l, double full_bar, double left_bar, double temp_c, double air_bara,
    double *amount_mol) LEAT_MUST_USE;

#endif
