/* Flow through narrow slots, and the case drain flow made comparable. */
#include "physics/slot_flow.h"

#include <math.h>

#define PI 3.14159265358979323846

double
leat_slot_flow_lpm(const struct leat_drain_reference *ref, double flow_lpm, double pressure_bar, double viscosity_mm2_s)
{
	double share = pressure_bar / ref->pressure_bar;

	return (flow_lpm - ref->bleed_lpm * sqrt(share)) / share * (viscosity_mm2_s / ref->viscosity_mm2_s);
}

double
leat_drain_corrected_lpm(const struct leat_drain_reference *ref, double flow_lpm, double pressure_bar,
    double viscosity_mm2_s)
{
	return ref->bleed_lpm + leat_slot_flow_lpm(ref, flow_lpm, pressure_bar, viscosity_mm2_s);
}

double
leat_slot_ring_lpm(double diameter_mm, double clearance_um, double eccentricity, double length_mm, double pressure_bar,
    double viscosity_mm2_s, double density_kg_m3)
{
	double clearance_m = clearance_um * 1e-6, viscosity_pa_s = viscosity_mm2_s * 1e-6 * density_kg_m3;
	double m3_s = PI * diameter_mm * 1e-3 * clearance_m * clearance_m * clearance_m * pressure_bar * 1e5 /
	    (12 * viscosity_pa_s * length_mm * 1e-3) * (1 + 1.5 * eccentricity * eccentricity);

	return m3_s * 60000;
}
