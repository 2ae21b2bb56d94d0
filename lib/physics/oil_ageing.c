/*
 * Ageing of oil by temperature.
 */
#include <math.h>

#include "physics/oil_ageing.h"

double
leat_oil_ageing_rate(double temp_c)
{
	return exp2((temp_c - LEAT_OIL_AGEING_REFERENCE_C) / LEAT_OIL_AGEING_DOUBLES_K);
}

double
leat_oil_ageing_h(double hours, double from_c, double to_c)
{
	/* The mean of an exponential over a straight line; at equal ends its limit, which the quotient loses to rounding. */
	double k = log(2) / LEAT_OIL_AGEING_DOUBLES_K, span = k * (to_c - from_c);
	double mean = fabs(span) < 1e-6 ? 1 + span / 2 : expm1(span) / span;

	return hours * leat_oil_ageing_rate(from_c) * mean;
}
