/*
 * Differential pressure of a filter element made comparable.
 *
 * The housing is a resistance that goes with the square of the flow and hardly with the viscosity; through the element oil
 * flows in layers, so that its part goes with flow and viscosity (the two parts of ISO 3968; element laminar and housing
 * turbulent after Schroeder, Hydraulic and Lube Filtration):
 *
 *	dp = housing (Q / Qref)^2 + element (Q / Qref) (nu / nuref)
 *
 * housing and element being the parts at the reference flow Qref and viscosity nuref.  So the dirt in an element shows as
 * soon as cold oil and a throttled loop are taken out.  The change of density, about 1.5 % in 20 K, is left out.
 *
 * Pressures in bar, flows in L/min, kinematic viscosities in mm2/s.
 */
#ifndef LEAT_PHYSICS_ELEMENT_H
#define LEAT_PHYSICS_ELEMENT_H

struct leat_element_reference {
	double flow_lpm;		/* above 0 */
	double viscosity_mm2_s;		/* above 0 */
	double housing_bar;		/* of the housing at the reference flow, 0 or more */
};

/* What the filter shows whose element has element_bar at the reference; flow and viscosity above 0. */
double leat_element_shown_bar(const struct leat_element_reference *ref, double element_bar, double flow_lpm,
    double viscosity_mm2_s);

/* The other way: the part of the element at the reference, when the filter shows shown_bar.  Below 0 when the filter shows
 * less than the housing alone. */
double leat_element_dp_bar(const struct leat_element_reference *ref, double shown_bar, double flow_lpm,
    double viscosity_mm2_s);

/* How near the element is to what opens the bypass at the reference: 1 when it is there.  NaN for a bypass that opens
 * below what the housing alone takes. */
double leat_element_bypass_share(const struct leat_element_reference *ref, double element_bar, double bypass_bar);

#endif
