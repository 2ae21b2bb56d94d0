/* Oil: viscosity, blends, density, grades. */
#include "physics/oil.h"

#include <math.h>

#define ZERO_C_K 273.15
#define DENSITY_K1 0.6278	/* kg/(m3 K), API MPMS 11.1, lubricating oils */
#define DENSITY_AT_C 15.0

/* log10(log10 Z) of a viscosity: the ordinate on which D341 is a line and blends are means. */
static double
ordinate(double nu)
{
	return log10(log10(nu + 0.7 + exp(-1.47 - nu * (1.84 + 0.51 * nu))));
}

/* Its inverse, which the standard gives as a fit of its own: within 0.01 % from 1 mm2/s on. */
static double
viscosity_of(double w)
{
	double x = pow(10, pow(10, w)) - 0.7;

	/* Beyond some mm2/s the correction is nothing. */
	return x > 8 ? x : x - exp(-0.7487 - x * (3.295 - x * (0.6119 - 0.3193 * x)));
}

static bool
usable(double temp_c, double nu)
{
	return isfinite(temp_c) && isfinite(nu) && temp_c > -ZERO_C_K && nu >= LEAT_OIL_VISCOSITY_MIN;
}

int
leat_oil_between(struct leat_oil *oil, double first_c, double first_mm2_s, double second_c, double second_mm2_s)
{
	double w1, w2, x1, x2;

	if (!usable(first_c, first_mm2_s) || !usable(second_c, second_mm2_s) ||
	    !((second_c - first_c) * (first_mm2_s - second_mm2_s) > 0))
		return -1;
	w1 = ordinate(first_mm2_s);
	w2 = ordinate(second_mm2_s);
	x1 = log10(first_c + ZERO_C_K);
	x2 = log10(second_c + ZERO_C_K);
	oil->b = (w1 - w2) / (x2 - x1);
	oil->a = w1 + oil->b * x1;
	return 0;
}

int
leat_oil_through(struct leat_oil *oil, double temp_c, double viscosity_mm2_s)
{
	if (!usable(temp_c, viscosity_mm2_s))
		return -1;
	oil->a = ordinate(viscosity_mm2_s) + oil->b * log10(temp_c + ZERO_C_K);
	return 0;
}

double
leat_oil_viscosity(const struct leat_oil *oil, double temp_c)
{
	return temp_c > -ZERO_C_K ? viscosity_of(oil->a - oil->b * log10(temp_c + ZERO_C_K)) : NAN;
}

double
leat_oil_temperature(const struct leat_oil *oil, double viscosity_mm2_s)
{
	if (!(viscosity_mm2_s >= LEAT_OIL_VISCOSITY_MIN))
		return NAN;
	return pow(10, (oil->a - ordinate(viscosity_mm2_s)) / oil->b) - ZERO_C_K;
}

double
leat_oil_blend(const double *viscosity_mm2_s, const double *share, size_t parts)
{
	double sum = 0, all = 0;

	for (size_t i = 0; i < parts; i++) {
		if (!(viscosity_mm2_s[i] >= LEAT_OIL_VISCOSITY_MIN) || !(share[i] >= 0))
			return NAN;
		sum += share[i] * ordinate(viscosity_mm2_s[i]);
		all += share[i];
	}
	return all > 0 ? viscosity_of(sum / all) : NAN;
}

double
leat_oil_density(double density_15_kg_m3, double temp_c)
{
	double a = DENSITY_K1 / density_15_kg_m3, d = temp_c - DENSITY_AT_C;

	return density_15_kg_m3 * exp(-a * d * (1 + 0.8 * a * d));
}

double
leat_oil_throttled_k(double pressure_bar, double density_kg_m3)
{
	/* 1 bar is 100 kJ/m3. */
	return pressure_bar * 100 / (density_kg_m3 * LEAT_OIL_HEAT_KJ_KGK);
}

int
leat_oil_grade_find(struct leat_span name, struct leat_oil_grade *grade)
{
	/* ISO 3448; the first four grades are named by rounded midpoints. */
	static const struct { int number; double midpoint; } grades[] = {
		{ 2, 2.2 }, { 3, 3.2 }, { 5, 4.6 }, { 7, 6.8 }, { 10, 10 }, { 15, 15 }, { 22, 22 }, { 32, 32 }, { 46, 46 },
		{ 68, 68 }, { 100, 100 }, { 150, 150 }, { 220, 220 }, { 320, 320 }, { 460, 460 }, { 680, 680 }, { 1000, 1000 },
		{ 1500, 1500 }, { 2200, 2200 }, { 3200, 3200 }
	};
	static const char *const prefix[] = { "ISO", "VG" };
	int number = 0;
	size_t i = 0;

	for (size_t p = 0; p < 2; p++) {
		size_t len = strlen(prefix[p]);

		while (i < name.len && (name.ptr[i] == ' ' || name.ptr[i] == '-'))
			i++;
		if (name.len - i >= len && leat_span_is_nocase(leat_span_make(name.ptr + i, len), prefix[p]))
			i += len;
	}
	while (i < name.len && (name.ptr[i] == ' ' || name.ptr[i] == '-'))
		i++;
	for (; i < name.len && name.ptr[i] >= '0' && name.ptr[i] <= '9' && number < 10000; i++)
		number = number * 10 + (name.ptr[i] - '0');
	for (size_t g = 0; i == name.len && g < sizeof(grades) / sizeof(grades[0]); g++) {
		if (grades[g].number != number)
			continue;
		grade->midpoint_mm2_s = grades[g].midpoint;
		grade->min_mm2_s = 0.9 * grades[g].midpoint;
		grade->max_mm2_s = 1.1 * grades[g].midpoint;
		return 0;
	}
	return -1;
}
