/*
 * The force of a double-acting cylinder that pulls its rod in: the rod side presses the roller, the head side lifts.
 *
 * Force is pressure times area on either side; friction of the seals, a few per cent, is left out.
 */
#ifndef LEAT_PHYSICS_FORCE_H
#define LEAT_PHYSICS_FORCE_H

/* Is it a cylinder: bore and rod above 0, the rod smaller than the bore (mm)?  NaN is none. */
int leat_force_possible(double bore_mm, double rod_mm);

/* The area of the whole bore, and of the ring that the rod leaves of it, in mm2. */
double leat_force_head_area_mm2(double bore_mm);
double leat_force_ring_area_mm2(double bore_mm, double rod_mm);

/* The net pressing force in kN of the pressures on the rod side and on the head side (bar gauge); below 0 the rollers
 * are lifted. */
double leat_force_kn(double pressure_bar, double head_bar, double bore_mm, double rod_mm);

#endif
