/* ISO 4406: scale numbers and what is done with them.  The sources stand in the header. */
#include <math.h>

#include "physics/cleanliness.h"

const int leat_particle_um[LEAT_PARTICLES] = { 4, 6, 14, 21, 38, 70 };
const int leat_particle_microscope_um[LEAT_PARTICLES] = { 1, 5, 15, 25, 50, 100 };

/* Up to and including so many particles per mL. */
static const double limit[LEAT_ISO4406_LAST + 1] = {
	0.01, 0.02, 0.04, 0.08, 0.16, 0.32, 0.64, 1.3, 2.5, 5, 10, 20, 40, 80, 160, 320, 640, 1300, 2500, 5000, 10000, 20000,
	40000, 80000, 160000, 320000, 640000, 1300000, 2500000
};

int
leat_iso4406_number(double per_ml)
{
	int number = 0;

	if (!(per_ml >= 0) || isinf(per_ml))
		return LEAT_ISO4406_NOT_COUNTED;
	while (number <= LEAT_ISO4406_LAST && per_ml > limit[number])
		number++;
	return number;
}

double
leat_iso4406_limit(int number)
{
	if (number < 0)
		return 0;
	return number <= LEAT_ISO4406_LAST ? limit[number] : INFINITY;
}

bool
leat_iso4406_rises(const struct leat_iso4406 *code)
{
	int least = LEAT_ISO4406_OVER;

	for (int i = 0; i < LEAT_ISO4406_PLACES; i++) {
		if (code->number[i] < 0)
			continue;
		if (code->number[i] > least)
			return true;
		least = code->number[i];
	}
	return false;
}

bool
leat_particles_rise(const double per_ml[LEAT_PARTICLES], unsigned has)
{
	double least = INFINITY;

	for (int size = 0; size < LEAT_PARTICLES; size++) {
		if ((has & 1u << size) == 0)
			continue;
		/* Equal counts in two units may differ in the last digit. */
		if (per_ml[size] > least * (1 + 1e-12))
			return true;
		least = per_ml[size];
	}
	return false;
}

int
leat_iso4406_above(const struct leat_iso4406 *code, const struct leat_iso4406 *target, int *above)
{
	int places = 0;

	*above = 0;
	for (int i = 0; i < LEAT_ISO4406_PLACES; i++) {
		if (code->number[i] < 0 || target->number[i] < 0)
			continue;
		if (places == 0 || code->number[i] - target->number[i] > *above)
			*above = code->number[i] - target->number[i];
		places++;
	}
	return places;
}
