/* Differential pressure of a filter element. */
#include <math.h>

#include "physics/element.h"

double
leat_element_shown_bar(const struct leat_element_reference *ref, double element_bar, double flow_lpm,
    double viscosity_mm2_s)
{
	double flow = flow_lpm / ref->flow_lpm;

	return ref->housing_bar * flow * flow + element_bar * flow * (viscosity_mm2_s / ref->viscosity_mm2_s);
}

double
leat_element_dp_bar(const struct leat_element_reference *ref, double shown_bar, double flow_lpm, double viscosity_mm2_s)
{
	double flow = flow_lpm / ref->flow_lpm;

	return (shown_bar - ref->housing_bar * flow * flow) * (ref->viscosity_mm2_s / viscosity_mm2_s) / flow;
}

double
leat_element_bypass_share(const struct leat_element_reference *ref, double element_bar, double bypass_bar)
{
	double left = bypass_bar - ref->housing_bar;

	return left > 0 ? element_bar / left : NAN;
}
