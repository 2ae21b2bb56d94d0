/*
 * Nitrogen after the reference equation of state: R. Span, E. W. Lemmon, R. T Jacobsen, W. Wagner, A. Yokozeki,
 * J. Phys. Chem. Ref. Data 29 (2000) 1361-1433.  Pressures are absolute, in bar; densities in mol/L.
 */
#ifndef GAS_H
#define GAS_H

struct gas_state {
	double p_bar;
	double dp_dt;		/* at constant density, bar/K */
	double cv;		/* J/(mol K) */
};

/* By the equation itself. */
struct gas_state gas_exact(double mol_per_l, double kelvin);
/* By a table of the equation, which gas_prepare makes: 1.5 to 12 mol/L, 240 to 380 K, clamped to that range.
 * The table is within 0.001 bar of the equation below 8 mol/L. */
void gas_prepare(void);
struct gas_state gas_quick(double mol_per_l, double kelvin);
/* Density at a pressure and temperature. */
double gas_density(double p_bar, double kelvin);

#endif
