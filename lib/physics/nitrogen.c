/* Nitrogen as a real gas. */
#include "physics/nitrogen.h"

#include <math.h>

#define GAS_CONSTANT 8.314462618	/* J/(mol K), CODATA 2018, exact */
#define PA_PER_BAR 1e5
#define L_PER_M3 1000.0

/* Coefficients of the fit in the density r (mol/L) and t = 300 K / T:
 *
 *	Z = 1 + r (b0 + b1 t + b2 t^2) + r^2 (c0 + c1 t) + d r^3
 */
#define FIT_T_K 300.0
#define B0 .045937
#define B1 (-.04258)
#define B2 (-.0071145)
#define C0 .00063742
#define C1 .00039158
#define D .000059097
#define IDEAL_CV 2.503			/* of the gas constant: two atoms, and the little that their vibration adds at 300 K */

/* Newton's steps from the ideal gas; 6 reach the last bits anywhere in the range. */
#define STEPS 12
#define CLOSE_ENOUGH 1e-13

double
leat_atmosphere_bara(double altitude_m)
{
	double height = altitude_m < -500 ? -500 : altitude_m > 11000 ? 11000 : altitude_m;

	return 1.01325 * pow(1 - 2.2558e-5 * height, 5.2559);
}

static double
second_coefficient(double temp_k)
{
	double t = FIT_T_K / temp_k;

	return B0 + (B1 + B2 * t) * t;
}

static double
third_coefficient(double temp_k)
{
	return C0 + C1 * FIT_T_K / temp_k;
}

double
leat_nitrogen_z(double density_mol_l, double temp_k)
{
	double r = density_mol_l;

	return 1 + r * (second_coefficient(temp_k) + r * (third_coefficient(temp_k) + r * D));
}

/* Bar per mol/L of an ideal gas. */
static double
ideal_factor(double temp_k)
{
	return L_PER_M3 * GAS_CONSTANT * temp_k / PA_PER_BAR;
}

double
leat_nitrogen_pressure_bara(double density_mol_l, double temp_k)
{
	return density_mol_l * ideal_factor(temp_k) * leat_nitrogen_z(density_mol_l, temp_k);
}

/* Written so that a NaN is outside. */
static bool
in_range(double pressure_bara, double temp_k)
{
	return pressure_bara > 0 && pressure_bara <= LEAT_NITROGEN_PRESSURE_MAX_BARA &&
	    temp_k >= LEAT_NITROGEN_TEMP_MIN_C + LEAT_ZERO_C_K && temp_k <= LEAT_NITROGEN_TEMP_MAX_C + LEAT_ZERO_C_K;
}

int
leat_nitrogen_density(double pressure_bara, double temp_k, double *density_mol_l)
{
	double b, c, target, r;

	if (!in_range(pressure_bara, temp_k))
		return -1;
	b = second_coefficient(temp_k);
	c = third_coefficient(temp_k);
	target = pressure_bara / ideal_factor(temp_k);
	r = target;
	for (int i = 0; i < STEPS; i++) {
		double miss = r * (1 + r * (b + r * (c + r * D))) - target;
		double slope = 1 + r * (2 * b + r * (3 * c + r * 4 * D));
		double step = miss / slope;

		r -= step;
		if (fabs(step) <= CLOSE_ENOUGH * r)
			break;
	}
	*density_mol_l = r;
	return 0;
}

double
leat_nitrogen_stiffness(double density_mol_l, double temp_k)
{
	double r = density_mol_l;

	return ideal_factor(temp_k) * (1 + r * (2 * second_coefficient(temp_k) + r * (3 * third_coefficient(temp_k) + r * 4 * D)));
}

double
leat_nitrogen_heat_ratio(double density_mol_l, double temp_k)
{
	double r = density_mol_l, t = FIT_T_K / temp_k;
	/* Bar per kelvin at constant density. */
	double tension = L_PER_M3 * GAS_CONSTANT / PA_PER_BAR * r * (1 + r * (B0 - B2 * t * t + r * (C0 + r * D)));
	/* cv is that of the ideal gas less the integral of T (d2p/dT2)/r^2 over the density: of the fit the term of B2 alone is
	 * not straight in T.  In J/(mol K). */
	double cv = GAS_CONSTANT * (IDEAL_CV - 2 * B2 * t * t * r);
	double more = PA_PER_BAR / L_PER_M3 * temp_k * tension * tension / (r * r * leat_nitrogen_stiffness(r, temp_k));

	return 1 + more / cv;
}

double
leat_nitrogen_isentropic_exponent(double density_mol_l, double temp_k)
{
	return leat_nitrogen_heat_ratio(density_mol_l, temp_k) * leat_nitrogen_stiffness(density_mol_l, temp_k) * density_mol_l /
	    leat_nitrogen_pressure_bara(density_mol_l, temp_k);
}

int
leat_nitrogen_warmed(double pressure_bar, double from_c, double to_c, double air_bara, double *out_bar)
{
	double density, pressure_bara;

	if (leat_nitrogen_density(pressure_bar + air_bara, from_c + LEAT_ZERO_C_K, &density) != 0)
		return -1;
	pressure_bara = leat_nitrogen_pressure_bara(density, to_c + LEAT_ZERO_C_K);
	if (!in_range(pressure_bara, to_c + LEAT_ZERO_C_K))
		return -1;
	*out_bar = pressure_bara - air_bara;
	return 0;
}
