/*
 * Oils that mix in a tank: the share of another oil, what top-ups thin, and the volume at 20 degC.
 */
#ifndef LEAT_PHYSICS_OIL_MIX_H
#define LEAT_PHYSICS_OIL_MIX_H

/* How much the volume of mineral oil grows with its temperature, 1/K (common practice; API MPMS 11.1 gives 7.2e-4 for an
 * oil of 870 kg/m3). */
#define LEAT_OIL_EXPANSION_PER_K 7e-4
#define LEAT_OIL_VOLUME_AT_C 20.0

/* The share by volume, 0..1, of an oil of viscosity other in one of viscosity fresh that makes the mixture mixed, by the
 * rule of leat_oil_blend; all at one temperature.  NaN where no share does: mixed does not lie between the two, or a
 * viscosity is below LEAT_OIL_VISCOSITY_MIN. */
double leat_oil_mixed_share(double fresh_mm2_s, double other_mm2_s, double mixed_mm2_s);

/* The midpoint in mm2/s of the next grade of ISO 3448 above (up) or below an oil of that viscosity at 40 degC, its own grade
 * left out; 0 when there is none.  *number gets its name. */
double leat_oil_next_grade(double viscosity_40, int up, int *number);

/* What is left of a content, as a share, when topup_l of fresh oil makes up for as much lost from volume_l.  NaN where a
 * volume is. */
double leat_oil_kept(double volume_l, double topup_l);

/* The share by volume, 0..1, of fresh oil that brings a content, which mixes in proportion, from now to target.  0 where it
 * is there already, fresh oil and target lying on one side of it; NaN where fresh oil does not get it there. */
double leat_oil_renewal_share(double now, double fresh, double target);

/* The volume at 20 degC of volume_l at temp_c. */
double leat_oil_volume_20(double volume_l, double temp_c);

#endif
