/*
 * Water in oil.
 */
#include <math.h>

#include "physics/nitrogen.h"
#include "physics/oil_water.h"

int
leat_oil_water_between(struct leat_oil_water *oil, double first_c, double first_mg_kg, double second_c,
    double second_mg_kg)
{
	double first = 1 / (first_c + LEAT_ZERO_C_K), second = 1 / (second_c + LEAT_ZERO_C_K);
	struct leat_oil_water line;

	if (!(first_mg_kg > 0) || !(second_mg_kg > 0) || !(first > 0) || !(second > 0))
		return -1;
	line.b_k = (log10(second_mg_kg) - log10(first_mg_kg)) / (first - second);
	line.a = log10(first_mg_kg) + line.b_k * first;
	if (!isfinite(line.b_k) || line.b_k <= 0)
		return -1;
	*oil = line;
	return 0;
}

int
leat_oil_water_through(struct leat_oil_water *oil, double temp_c, double mg_kg)
{
	struct leat_oil_water line = LEAT_OIL_WATER_DEFAULT;

	if (!(mg_kg > 0) || !(temp_c > -LEAT_ZERO_C_K) || isinf(mg_kg) || isinf(temp_c))
		return -1;
	line.a = log10(mg_kg) + line.b_k / (temp_c + LEAT_ZERO_C_K);
	*oil = line;
	return 0;
}

double
leat_oil_water_saturation(const struct leat_oil_water *oil, double temp_c)
{
	return temp_c > -LEAT_ZERO_C_K ? pow(10, oil->a - oil->b_k / (temp_c + LEAT_ZERO_C_K)) : NAN;
}

double
leat_oil_water_free_l(const struct leat_oil_water *oil, double content_mg_kg, double temp_c, double volume_l,
    double density_kg_m3)
{
	double over = content_mg_kg - leat_oil_water_saturation(oil, temp_c);

	/* mg/kg of volume_l times density/1000 kilograms, in kilograms of water, which are litres. */
	return over > 0 ? over * 1e-6 * volume_l * density_kg_m3 / 1000 : isnan(over) ? NAN : 0;
}

double
leat_oil_drying_h(const struct leat_oil_drying *d, double from_mg_kg, double to_mg_kg)
{
	double mass_kg = d->volume_l * d->density_kg_m3 / 1000;
	double to_content = 1e6 / mass_kg;		/* mg/kg of one litre */
	double full = d->rate_l_per_h * to_content, ingress = d->ingress_l_per_h * to_content;
	double span = d->saturation_mg_kg - d->floor_mg_kg, rest, hours = 0;

	if (from_mg_kg <= to_mg_kg)
		return 0;
	if (!(mass_kg > 0) || !(span > 0) || !(full > 0))
		return INFINITY;
	if (from_mg_kg > d->saturation_mg_kg) {
		double end = to_mg_kg > d->saturation_mg_kg ? to_mg_kg : d->saturation_mg_kg;

		if (full <= ingress)
			return INFINITY;
		hours = (from_mg_kg - end) / (full - ingress);
		from_mg_kg = end;
		if (from_mg_kg <= to_mg_kg)
			return hours;
	}
	/* dw/dt = ingress - full (w - floor)/span: towards the floor and what the ingress keeps above it. */
	rest = d->floor_mg_kg + ingress / full * span;
	if (to_mg_kg <= rest)
		return INFINITY;
	return hours + span / full * log((from_mg_kg - rest) / (to_mg_kg - rest));
}
