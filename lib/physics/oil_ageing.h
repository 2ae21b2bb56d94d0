/*
 * Ageing of oil by temperature: hours at 50 degC that age it as much.
 *
 * Oxidation goes about twice as fast for every 10 K (published trade articles; from the law of Arrhenius for the usual
 * mineral oils): 2^((T - 50)/10) hours for each hour at T.
 */
#ifndef LEAT_PHYSICS_OIL_AGEING_H
#define LEAT_PHYSICS_OIL_AGEING_H

#define LEAT_OIL_AGEING_REFERENCE_C 50.0
#define LEAT_OIL_AGEING_DOUBLES_K 10.0

/* How many times faster than at 50 degC. */
double leat_oil_ageing_rate(double temp_c);

/* Hours at 50 degC of a stretch of so many hours in which the temperature went in a straight line. */
double leat_oil_ageing_h(double hours, double from_c, double to_c);

#endif
