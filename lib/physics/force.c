/* The force of a cylinder. */
#include "physics/force.h"

#define PI 3.14159265358979323846
/* 1 bar is 0.1 N/mm2. */
#define KN_PER_BAR_MM2 1e-4

int
leat_force_possible(double bore_mm, double rod_mm)
{
	return rod_mm > 0 && rod_mm < bore_mm;
}

double
leat_force_head_area_mm2(double bore_mm)
{
	return PI / 4 * bore_mm * bore_mm;
}

double
leat_force_ring_area_mm2(double bore_mm, double rod_mm)
{
	return PI / 4 * (bore_mm - rod_mm) * (bore_mm + rod_mm);
}

double
leat_force_kn(double pressure_bar, double head_bar, double bore_mm, double rod_mm)
{
	return KN_PER_BAR_MM2 * (pressure_bar * leat_force_ring_area_mm2(bore_mm, rod_mm) -
	    head_bar * leat_force_head_area_mm2(bore_mm));
}
