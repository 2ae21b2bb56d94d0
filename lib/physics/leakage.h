/*
 * Leakage of a pressed circuit that has no flow meter, from what its pump and its gas spring do.
 *
 * A charging valve (or a pump that starts and stops) fills the accumulators from a lower to an upper pressure, and the
 * leakage empties them again.  Over a whole cycle, which ends at the pressure and the gas temperature at which it began, all
 * oil that was pumped in has leaked away: the gas cancels.
 *
 *	leakage = pump flow * on / (on + off)
 *
 * Rise and late fall of the pressure tell leakage from gas.  While the pump fills, the gas has no time to give off its heat
 * and is stiffer than later by cp/cv (about 1.5 to 1.6 at the pressures of mills; 1.4 is the ideal gas, 1 would take a
 * leakage of 0.34 L/min for one of 0.21):
 *
 *	leakage + compliance * rise / n = pump flow,	leakage = compliance * fall
 *
 * Pressures are bar gauge, flows L/min, rates bar/min, temperatures degC, times seconds.  Functions that return double give
 * NaN for what is no cycle.
 */
#ifndef LEAT_PHYSICS_LEAKAGE_H
#define LEAT_PHYSICS_LEAKAGE_H

#include "base/error.h"

/* Bulk modulus of mineral oil with the little air that a tank leaves in it, bar (common practice). */
#define LEAT_OIL_STIFFNESS_BAR 14000.0
/* By how much oil expands with a kelvin (mineral oil; handbook value, common practice). */
#define LEAT_OIL_EXPANSION_PER_K 7e-4
/* After so many time constants a gas has its shell's temperature: 0.7 % of the step is left. */
#define LEAT_GAS_SETTLED_LAGS 5.0
/* A cycle of at least so many of them shows the fall of pressure of a settled gas, and so its compliance. */
#define LEAT_GAS_SLOW_CYCLE_LAGS 10.0

/* Leakage over whole cycles: on_s and off_s above 0. */
double leat_leakage_balance(double pump_lpm, double on_s, double off_s);

/* Leakage and isothermal compliance of rise and late fall, both above 0, n at least 1.  0, or -1. */
int leat_leakage_two_slopes(double pump_lpm, double rise_bar_min, double fall_bar_min, double n, double *leakage_lpm,
    double *compliance_l_bar) LEAT_MUST_USE;

/* How much stiffer than isothermal nitrogen is while it is pressed on_s long: 1 + (cp/cv - 1) f, the heat leaving with the
 * time constant lag_s, f = (1 - exp(-x)) / x, x = on_s / lag_s.  cp/cv at once, 1 for ever.  0, or -1 outside the range of
 * the equation of state. */
int leat_gas_stiffer(double pressure_bar, double temp_c, double air_bara, double on_s, double lag_s, double *n)
    LEAT_MUST_USE;

/* One filling: input_l of oil raised the pressure from low_bar to high_bar in on_s, cycle_s after the one before, while
 * leakage_lpm left.  The gas gives its heat to a shell of shell_c with the time constant lag_s. */
struct leat_filling {
	double input_l, low_bar, high_bar;
	double on_s, cycle_s, leakage_lpm;
	double shell_c, lag_s, air_bara;
};

/* The amount of gas in mol that takes it so: input_l divided by what a mol gives way along the path, by the energy balance
 * of a real gas, n cv dT = -T (dp/dT) dV + n cv (Tshell - T) / lag dt.  The gas begins as warm as the last filling and the
 * expansion since have left it.  0, or -1 outside the range of the equation of state. */
int leat_gas_amount_of_filling(const struct leat_filling *f, double *amount_mol) LEAT_MUST_USE;

/* The other way round: how much oil in L an amount of gas takes in such a filling, input_l being disregarded. */
int leat_gas_filling_of_amount(const struct leat_filling *f, double amount_mol, double *input_l) LEAT_MUST_USE;

/* By how much the pressure falls after a filling of that amount of gas while the gas cools down to its shell, when no oil
 * leaves; input_l and leakage_lpm tell only how warm it began.  0, or -1 outside the range of the equation of state. */
int leat_gas_settling(const struct leat_filling *f, double amount_mol, double *drop_bar) LEAT_MUST_USE;

/* The density in mol/L that a gas has at the last of n pressures (bar gauge, at rising times in s), when it had its shell's
 * temperature at the first.  Gas that empties a bank in minutes is colder than its shell by then, and its pressure lower than
 * the precharge.  0, or -1 outside the range of the equation of state, or for fewer than two pressures. */
int leat_gas_density_along(const double *time_s, const double *pressure_bar, size_t n, double shell_c, double lag_s,
    double air_bara, double *mol_l) LEAT_MUST_USE;

/* A holding test: what is shut in, and how pressure and temperature changed.  The gas must have settled. */
struct leat_holding {
	double amount_mol;		/* nitrogen; 0: the accumulators are shut off */
	double oil_l;			/* under pressure */
	double pressure_bar, temp_c, air_bara;
	double fall_bar_min;		/* of the pressure: positive when it falls */
	double warming_k_h;		/* of gas and oil */
};

/* The leakage in L/min: compliance times fall, and what the warming pressed out besides (cooling mimics leakage).
 * *compliance_l_bar, and *by_heat_lpm, its part by the warming, may be NULL.  0, or -1 outside the range of the
 * equation of state. */
int leat_leakage_holding(const struct leat_holding *h, double *leakage_lpm, double *compliance_l_bar, double *by_heat_lpm)
    LEAT_MUST_USE;

/* How many shells take part in a bank that holds oil_l of oil and has amount_mol of gas in the shells that take part: shut
 * shells hold no oil.  Lost gas makes a bank hold more oil, a shut shell less, and both make it stiffer.  0, or -1. */
int leat_gas_shells_open(double oil_l, double amount_mol, double shell_l, double pressure_bar, double temp_c,
    double air_bara, double *shells) LEAT_MUST_USE;

#endif
