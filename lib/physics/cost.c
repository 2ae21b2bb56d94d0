/* What low grinding pressure and leakage cost. */
#include <math.h>

#include "physics/cost.h"
#include "physics/force.h"

double
leat_cost_power_kw(double flow_lpm, double dp_bar)
{
	return flow_lpm * dp_bar / 600;
}

double
leat_cost_force(double pressure_bar, double head_bar, double bore_mm, double rod_mm)
{
	if (isnan(head_bar) || !leat_force_possible(bore_mm, rod_mm))
		return pressure_bar;
	return leat_force_kn(pressure_bar, head_bar, bore_mm, rod_mm);
}

double
leat_cost_lost_tph(double feed_tph, double missing, double m)
{
	double lost = m * missing;

	if (!(missing > 0))
		return isnan(missing) ? NAN : 0;
	return lost < 1 ? feed_tph * lost / (1 - lost) : NAN;
}

double
leat_cost_makeup_kwh(double lost_t, double full_tph, double auxiliaries_kw)
{
	return full_tph > 0 ? auxiliaries_kw * (lost_t / full_tph) : NAN;
}
