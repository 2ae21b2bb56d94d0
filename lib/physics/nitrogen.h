/*
 * Nitrogen as a real gas, and the gas precharge of accumulators at a temperature other than that of the reading.
 *
 * A fit of the compression factor after Span, Lemmon, Jacobsen, Wagner and Yokozeki (J. Phys. Chem. Ref. Data 29
 * (2000) 1361): from -20 to 90 degC and up to 350 bar absolute its density lies within 0.3 % of that reference
 * equation, which tests/published/test_nitrogen.c checks.  An ideal gas would be 5 to 19 % off in volume at 200 to
 * 350 bar.
 */
#ifndef LEAT_PHYSICS_NITROGEN_H
#define LEAT_PHYSICS_NITROGEN_H

#include "base/error.h"

/* Where the fit holds. */
#define LEAT_NITROGEN_TEMP_MIN_C (-20.0)
#define LEAT_NITROGEN_TEMP_MAX_C 90.0
#define LEAT_NITROGEN_PRESSURE_MAX_BARA 350.0

#define LEAT_GAS_CONSTANT_BAR_L 0.08314462618	/* bar L/(mol K), CODATA 2018 */
#define LEAT_ZERO_C_K 273.15		/* 0 degC in kelvin, by definition */

/* Pressure of the air in bar absolute at a height of altitude_m metres above the sea (ICAO standard atmosphere, ISO
 * 2533).  Meant for -500..11000 m; beyond that the nearer end. */
double leat_atmosphere_bara(double altitude_m);

/* Compression factor Z = p/(rho R T) at density_mol_l (mol/L) and temp_k (K).  No check of the range. */
double leat_nitrogen_z(double density_mol_l, double temp_k);

/* Pressure in bar absolute at density_mol_l (mol/L) and temp_k (K).  No check of the range. */
double leat_nitrogen_pressure_bara(double density_mol_l, double temp_k);

/* Density in mol/L at pressure_bara (bar absolute) and temp_k (K).  0, or -1 outside the range above. */
int leat_nitrogen_density(double pressure_bara, double temp_k, double *density_mol_l) LEAT_MUST_USE;

/* How the pressure changes at density_mol_l and temp_k: with the density at constant temperature, in bar per mol/L. */
double leat_nitrogen_stiffness(double density_mol_l, double temp_k);

/* cp/cv, and the exponent n of p v^n = constant along a change without heat exchange, of which an ideal gas would have 1.4
 * for both.  At 45 degC and 60 to 200 bar absolute within 1.5 % of the reference equation, which
 * tests/published/test_accumulator.c checks; no check was made elsewhere. */
double leat_nitrogen_heat_ratio(double density_mol_l, double temp_k);
double leat_nitrogen_isentropic_exponent(double density_mol_l, double temp_k);

/* The gauge pressure in bar that a constant amount of gas in a constant volume shows at to_c degC when it shows
 * pressure_bar (bar gauge) at from_c degC, the air having air_bara bar absolute.  So the precharge that was set at 20
 * degC becomes the precharge at working temperature, and a reading becomes one at 20 degC.  0, or -1 outside the
 * range. */
int leat_nitrogen_warmed(double pressure_bar, double from_c, double to_c, double air_bara, double *out_bar)
    LEAT_MUST_USE;

#endif
