/*
 * Single results of the model: six shells of 50 L, 75 bar(g) at 20 degC, wall at 48 degC, pump 39 L/min, 120 to 130 bar(g).
 */
#include <stdio.h>

#include "charge.h"
#include "gas.h"
#include "vectors.h"

#define WALL_K 321.15

static struct charge
bank(double share)
{
	struct charge c = { .shells_l = 300, .lag_s = 120, .wall_k = WALL_K, .kelvin = WALL_K, .since_s = 1e4 };

	c.mol = share * 300 * gas_density(75 + CHARGE_ATM_BAR, 293.15);
	c.volume_l = charge_volume(&c, 125, WALL_K);
	return c;
}

void
vectors_gas(double p_bar, double celsius)
{
	double kelvin = celsius + 273.15, density = gas_density(p_bar + CHARGE_ATM_BAR, kelvin);
	struct gas_state s = gas_exact(density, kelvin), quick = gas_quick(density, kelvin);
	double dp_drho = (gas_exact(density * 1.0001, kelvin).p_bar - gas_exact(density * 0.9999, kelvin).p_bar) / (density * 2e-4);
	/* cp = cv + T (dp/dT)^2 / (rho^2 dp/drho), and the isentropic exponent is cp/cv rho/p dp/drho. */
	double cp = s.cv + 100 * kelvin * s.dp_dt * s.dp_dt / (density * density * dp_drho);
	struct charge c = bank(1), hot = c;
	double begin;

	/* Oil pressed in from 120 to 130 bar(g) without heat exchange, and the pressure when the heat has gone. */
	hot.lag_s = 1e12;
	hot.volume_l = charge_volume(&hot, 120, WALL_K);
	hot.kelvin = WALL_K;
	begin = hot.volume_l;
	while (charge_pressure(&hot) < 130)
		charge_flow(&hot, 39, 0.01);
	printf("density_mol_per_l %.6f\nprecharge_at_20 %.3f\npressure_error_of_table %.5f\n", density,
	    gas_exact(density, 293.15).p_bar - CHARGE_ATM_BAR, quick.p_bar - s.p_bar);
	printf("cv %.3f\ncp_over_cv %.4f\nisentropic_exponent %.4f\n", s.cv, cp / s.cv, cp / s.cv * density * dp_drho / s.p_bar);
	printf("gas_volume_l %.3f\noil_held_l %.3f\ncompliance_l_per_bar %.4f\n", charge_volume(&c, p_bar, kelvin),
	    300 - charge_volume(&c, p_bar, kelvin), charge_compliance(&c, p_bar, kelvin));
	printf("fast_120_130_l %.3f\nfast_120_130_c %.3f\nfast_120_130_then %.3f\n", begin - hot.volume_l, hot.kelvin - 273.15,
	    gas_exact(hot.mol / hot.volume_l, WALL_K).p_bar - CHARGE_ATM_BAR);
}

void
vectors_cycle(double leak_lpm, double share)
{
	struct charge c = bank(share), late;
	struct charge_valve valve = { .pump_lpm = 39, .leak_lpm = leak_lpm, .low_bar = 120, .high_bar = 130 };
	double on = 0, off = 0, high, slope;

	/* The first cycles settle the temperature. */
	charge_to_switch(&c, 1e6, &valve);
	for (int i = 0; i < 12; i++) {
		on = charge_to_switch(&c, 1e6, &valve);
		late = c;
		off = charge_to_switch(&c, 1e6, &valve);
	}
	charge_to_switch(&late, off - 120, &valve);
	high = charge_pressure(&late);
	charge_to_switch(&late, 120, &valve);
	slope = (high - charge_pressure(&late)) / 2;
	printf("period_min %.3f\non_s %.3f\nslope_bar_per_min %.4f\nbalance_lpm %.4f\ncompliance_from_slope %.4f\n",
	    (on + off) / 60, on, slope, 39 * on / (on + off), leak_lpm / slope);
}

void
vectors_bleed(double lpm, double share, int step_s)
{
	struct charge c = bank(share);

	for (int t = 0; t < 3600; t += step_s) {
		double bar = charge_pressure(&c);

		printf("%d %.3f\n", t, bar);
		if (bar <= 0)
			break;
		/* Behind the last oil of the shells only pipes give way, by next to nothing. */
		charge_flow(&c, -lpm, step_s);
	}
}
