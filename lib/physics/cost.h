/*
 * What low grinding pressure and leakage cost: force that is missing, feed that is not ground, power that is throttled away.
 *
 * A mill that is limited by its grinding pressure takes feed as the pressing force allows.  About its working point the feed
 * changes by a share m of a relative change of the force: m 0.7, 0.5 to 1 among mills (common practice).  Feed also falls
 * with moist or hard material and worn rollers; what is computed here is the share of the force alone.
 */
#ifndef LEAT_PHYSICS_COST_H
#define LEAT_PHYSICS_COST_H

/* Shaft power in kW that a flow in L/min carries, or loses, over a pressure difference in bar: Q dp / 600, which follows
 * from the units (1 L/min over 1 bar is 1/600 kW). */
double leat_cost_power_kw(double flow_lpm, double dp_bar);

/* The pressing force in any unit that stays the same from call to call: of the cylinder (lib/physics/force.h) where the head
 * pressure (bar gauge) and a possible cylinder (mm) are given; else the pressure itself, which leaves the counter force
 * out. */
double leat_cost_force(double pressure_bar, double head_bar, double bore_mm, double rod_mm);

/* Without the head pressure the missing share of the force is taken too small: 10 bar on the head side take 13 % of what
 * cylinders of 320/200 mm press at 125 bar, so that a share is up to so many times what the pressures alone say (common
 * practice: counter pressures of 5 to 15 bar). */
#define LEAT_COST_BLIND 1.2

/* Feed in t/h that is lost while feed_tph is ground with the share missing (0..1) of the force: the feed at full force times
 * m times that share.  The feed at full force is feed_tph / (1 - m missing).  0 where nothing is missing; NaN where the
 * feed would be lost altogether. */
double leat_cost_lost_tph(double feed_tph, double missing, double m);

/* Energy in kWh that fixed auxiliaries (kW) take while lost tonnes are made up at full feed (t/h). */
double leat_cost_makeup_kwh(double lost_t, double full_tph, double auxiliaries_kw);

#endif
