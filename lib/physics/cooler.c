/* Heat between two streams. */
#include <math.h>

#include "physics/cooler.h"

/* Far above what a cooler has: where effectiveness has reached its end for every ratio. */
#define UNITS_MAX 1e4

int
leat_cooler_flow_find(struct leat_span word, enum leat_cooler_flow *flow)
{
	static const char *const name[] = {
		[LEAT_COOLER_COUNTER] = "counter", [LEAT_COOLER_PARALLEL] = "parallel", [LEAT_COOLER_CROSS] = "cross",
		[LEAT_COOLER_SHELL] = "shell"
	};

	for (size_t i = 0; i < sizeof(name) / sizeof(name[0]); i++) {
		if (leat_span_is(word, name[i])) {
			*flow = i;
			return 0;
		}
	}
	return -1;
}

double
leat_lmtd_k(double a_k, double b_k)
{
	double x;

	if (!(a_k > 0) || !(b_k > 0))
		return NAN;
	/* With d = a/b - 1, b d/log1p(d); near equal ends its series, whose next term is below 1e-13. */
	x = a_k / b_k - 1;
	return fabs(x) < 1e-4 ? b_k * (1 + x / 2 - x * x / 12 + x * x * x / 24) : b_k * x / log1p(x);
}

double
leat_water_density(double temp_c)
{
	/* Thiesen's form with 3.98 degC as the densest; constants from memory, checked against handbook densities. */
	double t = temp_c - 3.9863;

	return 999.97 * (1 - t * t * (temp_c + 288.9414) / (508929.2 * (temp_c + 68.12963)));
}

double
leat_stream_kw_k(double flow_lpm, double density_kg_m3, double heat_kj_kgk)
{
	return flow_lpm / 60000 * density_kg_m3 * heat_kj_kgk;
}

static double
counter(double units, double ratio)
{
	double left = 1 - ratio, e;

	/* Equal streams: the limit of the formula, which loses all digits near it. */
	if (units * left < 1e-7)
		return units / (1 + units);
	e = expm1(-units * left);
	return -e / (left - ratio * e);
}

static double
shell(double units, double ratio)
{
	double root = sqrt(1 + ratio * ratio), e = exp(-units * root);

	return units <= 0 ? 0 : 2 / (1 + ratio + root * (1 + e) / (1 - e));
}

double
leat_cooler_effectiveness(enum leat_cooler_flow flow, double units, double ratio)
{
	if (!(units >= 0) || !(ratio >= 0) || !(ratio <= 1))
		return NAN;
	if (ratio < 1e-9)
		return -expm1(-units);
	switch (flow) {
	case LEAT_COOLER_COUNTER:
		return counter(units, ratio);
	case LEAT_COOLER_PARALLEL:
		return -expm1(-units * (1 + ratio)) / (1 + ratio);
	case LEAT_COOLER_CROSS:
		return -expm1(pow(units, 0.22) / ratio * expm1(-ratio * pow(units, 0.78)));
	case LEAT_COOLER_SHELL:
		return shell(units, ratio);
	}
	return NAN;
}

double
leat_cooler_units(enum leat_cooler_flow flow, double effectiveness, double ratio)
{
	double low = 0, high = UNITS_MAX;

	if (!(effectiveness >= 0) || !(effectiveness < leat_cooler_effectiveness(flow, high, ratio)))
		return NAN;
	for (int i = 0; i < 200 && high - low > 1e-14 * high; i++) {
		double middle = (low + high) / 2;

		*(leat_cooler_effectiveness(flow, middle, ratio) < effectiveness ? &low : &high) = middle;
	}
	return (low + high) / 2;
}

double
leat_cooler_ua(enum leat_cooler_flow flow, const struct leat_cooler_ends *ends, double duty_kw)
{
	double oil_k = ends->oil_in_c - ends->oil_out_c, water_k = ends->water_out_c - ends->water_in_c;
	double far_k = ends->oil_in_c - ends->water_in_c, larger = fmax(oil_k, water_k);

	if (!(duty_kw > 0) || !(oil_k > 0) || !(water_k > 0) || !(far_k > 0))
		return NAN;
	if (flow == LEAT_COOLER_COUNTER)
		return duty_kw / leat_lmtd_k(ends->oil_in_c - ends->water_out_c, ends->oil_out_c - ends->water_in_c);
	/* The stream that changes more has the smaller capacity flow, duty/larger. */
	return leat_cooler_units(flow, larger / far_k, fmin(oil_k, water_k) / larger) * duty_kw / larger;
}

/* Heat in kW for each kelvin between the inlets. */
static double
per_k(enum leat_cooler_flow flow, double ua_kw_k, double oil_kw_k, double water_kw_k)
{
	double least = fmin(oil_kw_k, water_kw_k), most = fmax(oil_kw_k, water_kw_k);

	if (!(least > 0) || !(ua_kw_k >= 0))
		return NAN;
	return leat_cooler_effectiveness(flow, ua_kw_k / least, least / most) * least;
}

double
leat_cooler_duty_kw(enum leat_cooler_flow flow, double ua_kw_k, double oil_kw_k, double water_kw_k, double oil_in_c,
    double water_in_c)
{
	return per_k(flow, ua_kw_k, oil_kw_k, water_kw_k) * (oil_in_c - water_in_c);
}

double
leat_cooler_warmest_water(enum leat_cooler_flow flow, double ua_kw_k, double oil_kw_k, double water_kw_k, double limit_c,
    double load_kw)
{
	return limit_c - load_kw / per_k(flow, ua_kw_k, oil_kw_k, water_kw_k);
}

double
leat_throttled_kw(double flow_lpm, double pressure_bar)
{
	return flow_lpm * pressure_bar / 600;
}
