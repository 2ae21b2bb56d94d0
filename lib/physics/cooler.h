/*
 * A cooler with two streams, oil and water: heat conductance from temperatures, and what it can do at others.
 *
 * Temperatures in degC, differences in K, heat in kW, conductance UA and heat capacity flows in kW/K.  The relations of
 * effectiveness and number of transfer units (eps-NTU) are those of Kays and London, Compact Heat Exchangers, as any
 * textbook of heat transfer gives them; from memory.  Effectiveness is the share of the heat that the stream with the
 * smaller capacity flow would give or take if it reached the inlet temperature of the other.  The conductance is taken as
 * the same at all temperatures: in truth thin oil carries heat better.
 */
#ifndef LEAT_PHYSICS_COOLER_H
#define LEAT_PHYSICS_COOLER_H

#include "base/error.h"
#include "base/span.h"

#define LEAT_WATER_HEAT_KJ_KGK 4.18	/* of water, 10 to 50 degC within 0.3 %: handbook value, from memory */

enum leat_cooler_flow {
	LEAT_COOLER_COUNTER,	/* counterflow: plates, concentric tubes */
	LEAT_COOLER_PARALLEL,	/* both streams in one direction */
	LEAT_COOLER_CROSS,	/* crossflow, neither stream mixed: ribbed tubes in air; the usual approximation, within 0.01 */
	LEAT_COOLER_SHELL	/* one shell pass and two, four ... tube passes */
};

/* "counter", "parallel", "cross", "shell".  0, or -1 for another word. */
int leat_cooler_flow_find(struct leat_span word, enum leat_cooler_flow *flow) LEAT_MUST_USE;

/* Mean temperature difference between those at both ends: (a - b)/ln(a/b), and a where both are equal.  NaN when one is not
 * above 0. */
double leat_lmtd_k(double a_k, double b_k);

/* Density of water in kg/m3, 0 to 100 degC: Thiesen's formula, within 0.1 %. */
double leat_water_density(double temp_c);

/* Heat capacity flow of a stream in kW/K. */
double leat_stream_kw_k(double flow_lpm, double density_kg_m3, double heat_kj_kgk);

/* Effectiveness at so many transfer units UA/C_min (0 or more) and the ratio C_min/C_max (0..1); NaN outside. */
double leat_cooler_effectiveness(enum leat_cooler_flow flow, double units, double ratio);

/* How many units give that effectiveness; NaN when none do. */
double leat_cooler_units(enum leat_cooler_flow flow, double effectiveness, double ratio);

/* The four temperatures. */
struct leat_cooler_ends {
	double oil_in_c, oil_out_c, water_in_c, water_out_c;
};

/* Conductance that carries duty_kw between these: in counterflow duty/LMTD, otherwise by the number of units.  NaN when heat
 * would flow from cold to hot, or the arrangement cannot reach these temperatures. */
double leat_cooler_ua(enum leat_cooler_flow flow, const struct leat_cooler_ends *ends, double duty_kw);

/* Heat it carries from oil to water by their inlet temperatures. */
double leat_cooler_duty_kw(enum leat_cooler_flow flow, double ua_kw_k, double oil_kw_k, double water_kw_k, double oil_in_c,
    double water_in_c);

/* The warmest water with which it carries load_kw out of oil that enters at limit_c: the summer it can stand. */
double leat_cooler_warmest_water(enum leat_cooler_flow flow, double ua_kw_k, double oil_kw_k, double water_kw_k,
    double limit_c, double load_kw);

/* Heat of a flow throttled from pressure to nothing: L/min times bar over 600. */
double leat_throttled_kw(double flow_lpm, double pressure_bar);

#endif
