/* Bores of cylinders and the leakage past their piston seals. */
#include "physics/bore.h"

#include <math.h>
#include <stddef.h>

/* Industry acceptance table for elastomer-sealed cylinders, from memory. */
static const struct {
	double bore_mm, mlpm;
} as_new[] = { { 200, 0.70 }, { 220, 1.0 }, { 250, 1.1 }, { 320, 1.8 }, { 400, 2.8 } };
#define SIZES (sizeof(as_new) / sizeof(as_new[0]))

double
leat_bore_at_20_mm(double read_mm, double bore_c, double ring_c)
{
	return read_mm * (1 - LEAT_BORE_STEEL_PER_K * (bore_c - ring_c));
}

double
leat_bore_uncertainty_mm(double gauge_mm, double bore_mm)
{
	return hypot(gauge_mm, LEAT_BORE_STEEL_PER_K * bore_mm * LEAT_BORE_HEAT_K);
}

double
leat_bore_ovality_mm(double x_mm, double y_mm)
{
	return fabs(x_mm - y_mm);
}

double
leat_seal_as_new_mlpm(double bore_mm)
{
	for (size_t i = 1; i < SIZES; i++) {
		double from = as_new[i - 1].bore_mm, to = as_new[i].bore_mm;

		if (bore_mm >= from && bore_mm <= to)
			return as_new[i - 1].mlpm + (as_new[i].mlpm - as_new[i - 1].mlpm) * (bore_mm - from) / (to - from);
	}
	return NAN;
}

double
leat_seal_spread(double worst_mlpm, double best_mlpm, double as_new_mlpm)
{
	return fmax(worst_mlpm, as_new_mlpm) / fmax(best_mlpm, as_new_mlpm);
}
