/*
 * The reference equation of nitrogen, and a table of it for the many steps of a year.
 */
#include <math.h>

#include "gas.h"

/* Constants of the paper. */
#define R_J 8.31451
#define T_CRITICAL 126.192
#define RHO_CRITICAL 11.1839

#define TERMS 36
/* A term n delta^d tau^t, times exp(-delta^l) where l > 0; the last four have a bell of both in its place. */
static const struct term {
	double n;
	int d;
	double t;
	int l;
} term[TERMS] = {
	{ 0.924803575275, 1, 0.25, 0 },
	{ -0.492448489428, 1, 0.875, 0 },
	{ 0.661883336938, 2, 0.5, 0 },
	{ -1.92902649201, 2, 0.875, 0 },
	{ -0.0622469309629, 3, 0.375, 0 },
	{ 0.349943957581, 3, 0.75, 0 },
	{ 0.564857472498, 1, 0.5, 1 },
	{ -1.61720005987, 1, 0.75, 1 },
	{ -0.481395031883, 1, 2, 1 },
	{ 0.421150636384, 3, 1.25, 1 },
	{ -0.0161962230825, 3, 3.5, 1 },
	{ 0.172100994165, 4, 1, 1 },
	{ 0.00735448924933, 6, 0.5, 1 },
	{ 0.0168077305479, 6, 3, 1 },
	{ -0.00107626664179, 7, 0, 1 },
	{ -0.0137318088513, 7, 2.75, 1 },
	{ 0.000635466899859, 8, 0.75, 1 },
	{ 0.00304432279419, 8, 2.5, 1 },
	{ -0.0435762336045, 1, 4, 2 },
	{ -0.0723174889316, 2, 6, 2 },
	{ 0.0389644315272, 3, 6, 2 },
	{ -0.021220136391, 4, 3, 2 },
	{ 0.00408822981509, 5, 3, 2 },
	{ -5.51990017984e-05, 8, 6, 2 },
	{ -0.0462016716479, 4, 16, 3 },
	{ -0.00300311716011, 5, 11, 3 },
	{ 0.0368825891208, 5, 15, 3 },
	{ -0.0025585684622, 8, 12, 3 },
	{ 0.00896915264558, 3, 12, 4 },
	{ -0.0044151337035, 5, 7, 4 },
	{ 0.00133722924858, 6, 4, 4 },
	{ 0.000264832491957, 9, 16, 4 },
	{ 19.6688194015, 1, 0, -1 },
	{ -20.911560073, 1, 1, -1 },
	{ 0.0167788306989, 3, 2, -1 },
	{ 2627.67566274, 2, 3, -1 },
};
static const struct bell {
	double phi, beta, gamma;
} bell[4] = { { 20, 325, 1.16 }, { 20, 325, 1.16 }, { 15, 300, 1.13 }, { 25, 275, 1.25 } };

/* -tau^2 of the second derivative of the ideal part: the heat capacity of the dilute gas over R. */
static double
ideal_cv(double tau)
{
	double x = 26.65788 * tau, e = exp(-x);

	return 2.5 + 2 * 1.934819e-4 / tau + 6 * 1.247742e-5 / (tau * tau) - 12 * 6.678326e-8 / (tau * tau * tau) +
	    1.012941 * x * x * e / ((1 - e) * (1 - e));
}

struct gas_state
gas_exact(double mol_per_l, double kelvin)
{
	double delta = mol_per_l / RHO_CRITICAL, tau = T_CRITICAL / kelvin;
	double by_delta = 0, by_both = 0, by_tau_twice = 0;

	for (int i = 0; i < TERMS; i++) {
		const struct term *k = &term[i];
		double value = k->n * pow(delta, k->d) * pow(tau, k->t), of_delta = k->d, of_tau = k->t, bend = k->t;

		if (k->l > 0) {
			double power = pow(delta, k->l);

			value *= exp(-power);
			of_delta -= k->l * power;
		} else if (k->l < 0) {
			const struct bell *b = &bell[i - (TERMS - 4)];

			value *= exp(-b->phi * (delta - 1) * (delta - 1) - b->beta * (tau - b->gamma) * (tau - b->gamma));
			of_delta -= 2 * b->phi * delta * (delta - 1);
			of_tau -= 2 * b->beta * tau * (tau - b->gamma);
			bend += 2 * b->beta * tau * tau;
		}
		by_delta += value * of_delta;
		by_both += value * of_delta * of_tau;
		by_tau_twice += value * (of_tau * of_tau - bend);
	}
	/* mol/L times J/mol is kPa; a hundredth of it is bar. */
	return (struct gas_state){
		.p_bar = mol_per_l * R_J * kelvin * (1 + by_delta) / 100,
		.dp_dt = mol_per_l * R_J * (1 + by_delta - by_both) / 100,
		.cv = R_J * (ideal_cv(tau) - by_tau_twice),
	};
}

#define RHO_FIRST 1.5
#define RHO_STEP 0.04
#define RHOS 264
#define T_FIRST 240.0
#define T_STEP 4.0
#define TS 36
static struct gas_state table[RHOS][TS];

void
gas_prepare(void)
{
	for (int i = 0; i < RHOS; i++)
		for (int j = 0; j < TS; j++)
			table[i][j] = gas_exact(RHO_FIRST + RHO_STEP * i, T_FIRST + T_STEP * j);
}

/* The grid line below a value, and how far beyond it the value is. */
static int
line_below(double value, double first, double step, int lines, double *part)
{
	double at = (value - first) / step;
	int i;

	at = at < 0 ? 0 : at > lines - 1.001 ? lines - 1.001 : at;
	i = (int)at;
	*part = at - i;
	return i;
}

static double
between(double a, double b, double c, double d, double x, double y)
{
	return (a * (1 - x) + b * x) * (1 - y) + (c * (1 - x) + d * x) * y;
}

struct gas_state
gas_quick(double mol_per_l, double kelvin)
{
	double x, y;
	int i = line_below(mol_per_l, RHO_FIRST, RHO_STEP, RHOS, &x), j = line_below(kelvin, T_FIRST, T_STEP, TS, &y);
	const struct gas_state *a = &table[i][j], *b = &table[i + 1][j], *c = &table[i][j + 1], *d = &table[i + 1][j + 1];

	return (struct gas_state){
		.p_bar = between(a->p_bar, b->p_bar, c->p_bar, d->p_bar, x, y),
		.dp_dt = between(a->dp_dt, b->dp_dt, c->dp_dt, d->dp_dt, x, y),
		.cv = between(a->cv, b->cv, c->cv, d->cv, x, y),
	};
}

double
gas_density(double p_bar, double kelvin)
{
	double low = 0, high = 25;

	while (high - low > 1e-10) {
		double mid = (low + high) / 2;

		if (gas_exact(mid, kelvin).p_bar < p_bar)
			low = mid;
		else
			high = mid;
	}
	return (low + high) / 2;
}
