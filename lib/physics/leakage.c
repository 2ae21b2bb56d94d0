/* Leakage of a pressed circuit that has no flow meter. */
#include <math.h>

#include "physics/accumulator.h"
#include "physics/leakage.h"
#include "physics/nitrogen.h"

double
leat_leakage_balance(double pump_lpm, double on_s, double off_s)
{
	return on_s > 0 && off_s > 0 ? pump_lpm * on_s / (on_s + off_s) : NAN;
}

int
leat_leakage_two_slopes(double pump_lpm, double rise_bar_min, double fall_bar_min, double n, double *leakage_lpm,
    double *compliance_l_bar)
{
	if (!(pump_lpm > 0) || !(rise_bar_min > 0) || !(fall_bar_min > 0) || !(n >= 1))
		return -1;
	*compliance_l_bar = pump_lpm / (fall_bar_min + rise_bar_min / n);
	*leakage_lpm = *compliance_l_bar * fall_bar_min;
	return 0;
}

int
leat_gas_stiffer(double pressure_bar, double temp_c, double air_bara, double on_s, double lag_s, double *n)
{
	double mol_l, x = on_s / lag_s, kept = x > 1e-9 ? -expm1(-x) / x : 1;

	if (!(on_s >= 0) || !(lag_s > 0) ||
	    leat_nitrogen_density(pressure_bar + air_bara, temp_c + LEAT_ZERO_C_K, &mol_l) != 0)
		return -1;
	*n = 1 + (leat_nitrogen_heat_ratio(mol_l, temp_c + LEAT_ZERO_C_K) - 1) * kept;
	return 0;
}

#define PATH_STEPS 16		/* of the path of pressure; 64 change the amount by less than 1e-5 */
#define TENSION_K 0.01		/* for the change of pressure with temperature at constant density */

/* What a state gives of changes: the pressure's with density and temperature, and how much a denser gas warms by itself. */
struct gas_state {
	double stiffness, tension, ratio, warming;
};

static struct gas_state
state_at(double mol_l, double temp_k)
{
	struct gas_state s = { .stiffness = leat_nitrogen_stiffness(mol_l, temp_k) };
	double warmer = leat_nitrogen_pressure_bara(mol_l, temp_k + TENSION_K);
	double colder = leat_nitrogen_pressure_bara(mol_l, temp_k - TENSION_K);

	s.ratio = leat_nitrogen_heat_ratio(mol_l, temp_k);
	s.tension = (warmer - colder) / (2 * TENSION_K);
	/* Without heat exchange dp = ratio stiffness dr = stiffness dr + tension dT. */
	s.warming = (s.ratio - 1) * s.stiffness / s.tension;
	return s;
}

/* Takes a gas of density r and temperature k through one step of pressure and time. */
static void
step(double *r, double *k, double step_bar, double step_s, double shell_k, double lag_s)
{
	double x = step_s / lag_s, given = -expm1(-x), kept = x > 1e-9 ? given / x : 1, dr = 0, dk = 0;

	/* Twice: from the beginning of the step, and from its middle. */
	for (int half = 0; half < 2; half++) {
		struct gas_state s = state_at(*r + dr / 2, *k + dk / 2);
		double heat_k = (shell_k - *k) * given;

		/* dp = stiffness dr + tension dT, and dT by a heat that comes evenly and goes by the lag. */
		dr = (step_bar - s.tension * heat_k) / (s.stiffness + s.tension * s.warming * kept);
		dk = s.warming * dr * kept + heat_k;
	}
	*r += dr;
	*k += dk;
}

/* The densities before and after, from low to high, of a gas that begins at begin_k. */
static int
press(const struct leat_filling *f, double begin_k, double *begin, double *end)
{
	double k = begin_k;

	if (leat_nitrogen_density(f->low_bar + f->air_bara, begin_k, begin) != 0 || !(f->high_bar > f->low_bar) ||
	    !(f->high_bar + f->air_bara < LEAT_NITROGEN_PRESSURE_MAX_BARA))
		return -1;
	*end = *begin;
	for (int i = 0; i < PATH_STEPS; i++)
		step(end, &k, (f->high_bar - f->low_bar) / PATH_STEPS, f->on_s / PATH_STEPS, f->shell_c + LEAT_ZERO_C_K, f->lag_s);
	return 0;
}

/* By how much a mol gives way. */
static int
give_way(const struct leat_filling *f, double begin_k, double *l_per_mol)
{
	double begin, end;

	if (press(f, begin_k, &begin, &end) != 0)
		return -1;
	*l_per_mol = 1 / begin - 1 / end;
	return *l_per_mol > 0 ? 0 : -1;
}

/* How warm the gas begins: the last filling warmed it, of which little is left, and the leakage let it expand since. */
static double
begin_k(const struct leat_filling *f, double amount_mol)
{
	double shell_k = f->shell_c + LEAT_ZERO_C_K, mol_l, off_s = f->cycle_s - f->on_s, left = exp(-off_s / f->lag_s);
	struct gas_state s;

	if (leat_nitrogen_density(f->low_bar + f->air_bara, shell_k, &mol_l) != 0)
		return NAN;
	s = state_at(mol_l, shell_k);
	/* In volumes of gas: what came in at once, and what leaves within a time constant. */
	return shell_k + s.warming * mol_l * mol_l / amount_mol *
	    (f->input_l * left - f->leakage_lpm / 60 * f->lag_s * (1 - left));
}

int
leat_gas_amount_of_filling(const struct leat_filling *f, double *amount_mol)
{
	double begin = f->shell_c + LEAT_ZERO_C_K, one;

	if (!(f->input_l > 0) || !(f->on_s > 0) || !(f->lag_s > 0) || !(f->cycle_s > f->on_s) || !(f->leakage_lpm >= 0))
		return -1;
	/* The amount changes with where the gas begins, a little. */
	for (int i = 0; i < 3; i++) {
		if (give_way(f, begin, &one) != 0)
			return -1;
		*amount_mol = f->input_l / one;
		begin = begin_k(f, *amount_mol);
	}
	return isfinite(*amount_mol) ? 0 : -1;
}

int
leat_gas_filling_of_amount(const struct leat_filling *f, double amount_mol, double *input_l)
{
	struct leat_filling own = *f;
	double one;

	if (!(amount_mol > 0) || !(f->on_s > 0) || !(f->lag_s > 0) || !(f->cycle_s > f->on_s) || !(f->leakage_lpm >= 0) ||
	    give_way(f, f->shell_c + LEAT_ZERO_C_K, &one) != 0)
		return -1;
	for (int i = 0; i < 3; i++) {
		own.input_l = amount_mol * one;
		if (give_way(f, begin_k(&own, amount_mol), &one) != 0)
			return -1;
	}
	*input_l = amount_mol * one;
	return isfinite(*input_l) ? 0 : -1;
}

int
leat_gas_settling(const struct leat_filling *f, double amount_mol, double *drop_bar)
{
	double begin, end;

	if (!(f->input_l > 0) || !(f->on_s > 0) || !(f->lag_s > 0) || !(f->cycle_s > f->on_s) || !(f->leakage_lpm >= 0) ||
	    !(amount_mol > 0) || press(f, begin_k(f, amount_mol), &begin, &end) != 0)
		return -1;
	*drop_bar = f->high_bar + f->air_bara - leat_nitrogen_pressure_bara(end, f->shell_c + LEAT_ZERO_C_K);
	return isfinite(*drop_bar) ? 0 : -1;
}

int
leat_gas_density_along(const double *time_s, const double *pressure_bar, size_t n, double shell_c, double lag_s,
    double air_bara, double *mol_l)
{
	double r, k = shell_c + LEAT_ZERO_C_K;

	if (n < 2 || !(lag_s > 0) || leat_nitrogen_density(pressure_bar[0] + air_bara, k, &r) != 0)
		return -1;
	for (size_t i = 1; i < n; i++) {
		double change = pressure_bar[i] - pressure_bar[i - 1];
		/* Steps of at most 4 bar, so that a few samples do as well as many. */
		int parts = 1 + (int)fmin(fabs(change) / 4, 100);

		for (int part = 0; part < parts; part++)
			step(&r, &k, change / parts, (time_s[i] - time_s[i - 1]) / parts, shell_c + LEAT_ZERO_C_K, lag_s);
	}
	*mol_l = r;
	return r > 0 && k > LEAT_NITROGEN_TEMP_MIN_C + LEAT_ZERO_C_K ? 0 : -1;
}

int
leat_leakage_holding(const struct leat_holding *h, double *leakage_lpm, double *compliance_l_bar, double *by_heat_lpm)
{
	double gas_l = 0, gas_l_bar = 0, compliance, heat;

	if (!(h->oil_l >= 0) || !(h->amount_mol >= 0))
		return -1;
	if (h->amount_mol > 0 &&
	    (leat_gas_volume(h->amount_mol, h->pressure_bar, h->temp_c, h->air_bara, &gas_l) != 0 ||
	    leat_gas_compliance(h->amount_mol, h->pressure_bar, h->temp_c, h->air_bara, &gas_l_bar) != 0))
		return -1;
	compliance = gas_l_bar + h->oil_l / LEAT_OIL_STIFFNESS_BAR;
	heat = (gas_l / (h->temp_c + LEAT_ZERO_C_K) + LEAT_OIL_EXPANSION_PER_K * h->oil_l) * h->warming_k_h / 60;
	*leakage_lpm = compliance * h->fall_bar_min + heat;
	if (compliance_l_bar != NULL)
		*compliance_l_bar = compliance;
	if (by_heat_lpm != NULL)
		*by_heat_lpm = heat;
	return isfinite(*leakage_lpm) ? 0 : -1;
}

int
leat_gas_shells_open(double oil_l, double amount_mol, double shell_l, double pressure_bar, double temp_c, double air_bara,
    double *shells)
{
	double gas_l;

	if (!(oil_l >= 0) || !(shell_l > 0) || leat_gas_volume(amount_mol, pressure_bar, temp_c, air_bara, &gas_l) != 0)
		return -1;
	*shells = (oil_l + gas_l) / shell_l;
	return 0;
}
