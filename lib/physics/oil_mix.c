/* Oils that mix in a tank. */
#include "physics/oil_mix.h"

#include <math.h>
#include <stdio.h>

#include "physics/oil.h"

#define ROUNDING 1e-9

/* log10(log10 Z), on which blends are means: the constant A of an oil that does not thin at all. */
static double
ordinate(double viscosity_mm2_s)
{
	struct leat_oil oil = { 0, 0 };

	return leat_oil_through(&oil, LEAT_OIL_VOLUME_AT_C, viscosity_mm2_s) == 0 ? oil.a : NAN;
}

double
leat_oil_mixed_share(double fresh_mm2_s, double other_mm2_s, double mixed_mm2_s)
{
	double fresh = ordinate(fresh_mm2_s), share = (ordinate(mixed_mm2_s) - fresh) / (ordinate(other_mm2_s) - fresh);

	/* An oil that is one of the two may miss it by rounding. */
	if (!(share >= -ROUNDING && share <= 1 + ROUNDING))
		return NAN;
	return share < 0 ? 0 : share > 1 ? 1 : share;
}

double
leat_oil_next_grade(double viscosity_40, int up, int *number)
{
	static const int numbers[] = {
		2, 3, 5, 7, 10, 15, 22, 32, 46, 68, 100, 150, 220, 320, 460, 680, 1000, 1500, 2200, 3200
	};
	struct leat_oil_grade grade;
	double best = 0;
	char name[16];

	for (size_t i = 0; i < sizeof(numbers) / sizeof(numbers[0]); i++) {
		size_t len = (size_t)snprintf(name, sizeof(name), "%d", numbers[i]);

		if (leat_oil_grade_find(leat_span_make(name, len), &grade) != 0)
			continue;
		if (up ? grade.min_mm2_s <= viscosity_40 || best > 0 : grade.max_mm2_s >= viscosity_40)
			continue;
		best = grade.midpoint_mm2_s;
		*number = numbers[i];
	}
	return best;
}

double
leat_oil_renewal_share(double now, double fresh, double target)
{
	double share = (now - target) / (now - fresh);

	if (now == target)
		return 0;
	if (!isfinite(share) || share > 1 + ROUNDING)
		return NAN;
	/* Below 0 it is beyond the target already. */
	return share < 0 ? 0 : share > 1 ? 1 : share;
}

double
leat_oil_kept(double volume_l, double topup_l)
{
	return topup_l >= volume_l ? 0 : 1 - topup_l / volume_l;
}

double
leat_oil_volume_20(double volume_l, double temp_c)
{
	return volume_l / (1 + LEAT_OIL_EXPANSION_PER_K * (temp_c - LEAT_OIL_VOLUME_AT_C));
}
