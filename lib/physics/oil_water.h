/*
 * Water in oil: how much it dissolves, what falls out when it cools, how long drying takes.
 *
 * Water contents in mg/kg, temperatures in degC.  The logarithm of what a mineral oil dissolves goes in a straight line
 * with 1/T.  Fresh mineral hydraulic oils dissolve 200 to 300 mg/kg at 20 degC (published trade articles); aged oils more:
 * a point measured on the oil in use is better than any default.
 */
#ifndef LEAT_PHYSICS_OIL_WATER_H
#define LEAT_PHYSICS_OIL_WATER_H

#include "base/error.h"

/* log10 S = a - b/T, T in kelvin. */
struct leat_oil_water {
	double a, b_k;
};

/* Through 200 mg/kg at 20 degC and 550 mg/kg at 60 degC (common practice for fresh mineral oil). */
#define LEAT_OIL_WATER_DEFAULT ((struct leat_oil_water){ 5.960, 1072.7 })

/* The line through two measured points.  0, or -1 when one is not above 0, or it would dissolve less as it warms. */
int leat_oil_water_between(struct leat_oil_water *oil, double first_c, double first_mg_kg, double second_c,
    double second_mg_kg) LEAT_MUST_USE;
/* The default's slope through one measured point.  0, or -1. */
int leat_oil_water_through(struct leat_oil_water *oil, double temp_c, double mg_kg) LEAT_MUST_USE;

/* What the oil dissolves; NaN at or below absolute zero. */
double leat_oil_water_saturation(const struct leat_oil_water *oil, double temp_c);

/* Litres of water that are free at temp_c in volume_l of oil of that density with so much water in all: 0 when all is
 * dissolved.  A litre of water weighs 1 kg. */
double leat_oil_water_free_l(const struct leat_oil_water *oil, double content_mg_kg, double temp_c, double volume_l,
    double density_kg_m3);

/* Drying: a dehydrator takes rate_l_per_h litres of water an hour out of oil at saturation, and proportionally less from
 * drier oil, down to floor_mg_kg, which it never gets below. */
struct leat_oil_drying {
	double volume_l, density_kg_m3;
	double saturation_mg_kg;	/* at the temperature of drying */
	double rate_l_per_h;
	double floor_mg_kg;		/* below the target, or it is never reached */
	double ingress_l_per_h;		/* water that goes on coming in */
};

/* Hours from one content to another, lower one; INFINITY when it is never reached.  Above saturation the rate is that at
 * saturation. */
double leat_oil_drying_h(const struct leat_oil_drying *drying, double from_mg_kg, double to_mg_kg);

#endif
