/*
 * Oil: viscosity against temperature after ASTM D341, blends, density against temperature, grades of ISO 3448.
 *
 * Kinematic viscosities in mm2/s, temperatures in degC, densities in kg/m3.  The equation of D341 is a straight line
 *
 *	log10(log10 Z) = A - B log10 T,	Z = nu + 0.7 + exp(-1.47 - 1.84 nu - 0.51 nu^2),	T in kelvin
 *
 * through two measured points; above 5 mm2/s Z is nu + 0.7 to all digits that matter.  It holds for oils that flow freely:
 * not below about 0 degC, nor near the pour point.
 */
#ifndef LEAT_PHYSICS_OIL_H
#define LEAT_PHYSICS_OIL_H

#include "base/error.h"

#define LEAT_OIL_VISCOSITY_MIN 0.3	/* mm2/s: below it the equation is not used (its lower end is 0.21, from memory) */
#define LEAT_OIL_HEAT_KJ_KGK 1.95	/* specific heat of mineral oil at 50 degC (handbook value; common practice) */

/* The constants of one oil. */
struct leat_oil {
	double a, b;
};

/* The oil that has these two viscosities at these two temperatures.  0, or -1 when it does not get thinner as it gets
 * warmer, or a viscosity is below LEAT_OIL_VISCOSITY_MIN, or a number is not finite. */
int leat_oil_between(struct leat_oil *oil, double first_c, double first_mm2_s, double second_c, double second_mm2_s)
    LEAT_MUST_USE;

/* The oil moved so that it has that viscosity at that temperature.  B, how fast it thins, stays: it is a property of the
 * kind of base oil, while mixing, shearing and ageing shift the level.  0, or -1 as above. */
int leat_oil_through(struct leat_oil *oil, double temp_c, double viscosity_mm2_s) LEAT_MUST_USE;

/* Its viscosity in mm2/s; NaN at or below absolute zero. */
double leat_oil_viscosity(const struct leat_oil *oil, double temp_c);

/* The temperature in degC at which it has that viscosity; NaN below LEAT_OIL_VISCOSITY_MIN. */
double leat_oil_temperature(const struct leat_oil *oil, double viscosity_mm2_s);

/* The viscosity of a mixture, from those of its parts at one temperature and their shares by volume, which need not add up
 * to 1.  log10(log10 Z) is taken as additive (common practice for mineral oils of one kind; ASTM D7152 blends so, from
 * memory).  NaN when a viscosity is below LEAT_OIL_VISCOSITY_MIN, a share negative, or all are 0. */
double leat_oil_blend(const double *viscosity_mm2_s, const double *share, size_t parts);

/* Density at temp_c from that at 15 degC, for lubricating oils after API MPMS 11.1 (ASTM D1250, tables 53D and 54D):
 * rho15 exp(-a d (1 + 0.8 a d)), a = 0.6278/rho15 per K, d = temp_c - 15.  The standard's rounding steps are left out. */
double leat_oil_density(double density_15_kg_m3, double temp_c);

/* How much oil warms up that is throttled by pressure_bar: all of the work stays in it as heat. */
double leat_oil_throttled_k(double pressure_bar, double density_kg_m3);

/* A grade of ISO 3448: viscosity at 40 degC, limits 10 % either side of the midpoint. */
struct leat_oil_grade {
	double midpoint_mm2_s, min_mm2_s, max_mm2_s;
};

/* The grade named "VG 46", "ISO VG 46" or "46", capitals and blanks as they come.  0, or -1 when there is none. */
int leat_oil_grade_find(struct leat_span name, struct leat_oil_grade *grade) LEAT_MUST_USE;

#endif
