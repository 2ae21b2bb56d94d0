/*
 * Cleaning a tank by its off-line filter.
 */
#include <math.h>

#include "physics/clean_up.h"

#define ML_PER_L 1000.0

double
leat_filter_efficiency(double beta)
{
	return beta >= 1 ? 1 - 1 / beta : NAN;
}

/* Litres a minute that come out of the filter free of particles. */
static double
cleaned_lpm(const struct leat_clean_up *c)
{
	return c->flow_lpm * c->service * leat_filter_efficiency(c->beta);
}

double
leat_clean_up_floor(const struct leat_clean_up *c)
{
	return c->ingress_per_min > 0 ? c->ingress_per_min / (cleaned_lpm(c) * ML_PER_L) : 0;
}

double
leat_clean_up_after(const struct leat_clean_up *c, double from_per_ml, double minutes)
{
	double rest = leat_clean_up_floor(c);

	return rest + (from_per_ml - rest) * exp(-cleaned_lpm(c) / c->volume_l * minutes);
}

double
leat_clean_up_min(const struct leat_clean_up *c, double from_per_ml, double to_per_ml)
{
	double rest = leat_clean_up_floor(c);

	if (from_per_ml <= to_per_ml)
		return 0;
	if (to_per_ml <= rest)
		return INFINITY;
	return c->volume_l / cleaned_lpm(c) * log((from_per_ml - rest) / (to_per_ml - rest));
}

double
leat_clean_up_flow_lpm(const struct leat_clean_up *c, double to_per_ml)
{
	return c->ingress_per_min / (c->service * leat_filter_efficiency(c->beta) * ML_PER_L * to_per_ml / 2);
}
