/*
 * Coolers against published values.
 *
 * Worked examples of Incropera and DeWitt, Fundamentals of Heat and Mass Transfer (examples 11.1 and 11.3), and of Holman,
 * Heat Transfer (examples 10-4 and 10-5); values of effectiveness from the tables of Kays and London, Compact Heat
 * Exchangers; densities of water from handbooks: all from memory, to the digits remembered.  The trade practice's vector of
 * the warmest water.
 */
#include "unit.h"

#include <math.h>

#include "physics/cooler.h"

/* Oil 0.1 kg/s of 2.131 kJ/(kg K) from 100 to 60 degC, water 0.2 kg/s of 4.178 from 30: 8524 W, out at 40.2, LMTD 43.2 K. */
static void
test_incropera_oil_cooler(void **state)
{
	double oil = 0.1 * 2.131, water = 0.2 * 4.178, duty = oil * 40;
	struct leat_cooler_ends ends = { 100, 60, 30, 30 + duty / water };
	double ua = leat_cooler_ua(LEAT_COOLER_COUNTER, &ends, duty);

	(void)state;
	unit_close(duty, 8.524, 0.0005);
	unit_close(ends.water_out_c, 40.2, 0.05);
	unit_close(leat_lmtd_k(100 - 40.2, 60 - 30), 43.2, 0.1);
	unit_close(ua, 8.524 / 43.2, 0.0005);
	unit_close(leat_cooler_duty_kw(LEAT_COOLER_COUNTER, ua, oil, water, 100, 30), 8.524, 1e-9);
}

/* Gas from 300 to 100 degC heats water 1 kg/s of 4.197 from 35 to 125 in crossflow, unmixed: read off the chart 2.1
 * units for an effectiveness of 0.75 and a ratio of 0.45; a chart of that size is read to 4 %. */
static void
test_incropera_crossflow(void **state)
{
	double duty = 4.197 * 90, gas = duty / 200;
	struct leat_cooler_ends ends = { 300, 100, 35, 125 };

	(void)state;
	unit_close(gas, 1.889, 0.0005);
	unit_close(duty / (gas * (300 - 35)), 0.755, 0.0005);
	unit_close(leat_cooler_units(LEAT_COOLER_CROSS, 0.755, 0.45), 2.1, 0.04 * 2.1);
	unit_close(leat_cooler_ua(LEAT_COOLER_CROSS, &ends, duty) / gas, 2.1, 0.04 * 2.1);
}

/* Water 68 kg/min from 35 to 75 degC by oil from 110 to 75: 189.5 kW, LMTD 37.44 K, at U 320 W/(m2 K) 15.82 m2 in
 * counterflow, and with one shell and two tube passes, F read off as 0.81, 19.53 m2. */
static void
test_holman(void **state)
{
	struct leat_cooler_ends ends = { 110, 75, 35, 75 };

	(void)state;
	unit_close(leat_lmtd_k(35, 40), 37.44, 0.005);
	unit_close(leat_cooler_ua(LEAT_COOLER_COUNTER, &ends, 189.5) / 0.320, 15.82, 0.01);
	unit_close(leat_cooler_ua(LEAT_COOLER_SHELL, &ends, 189.5) / 0.320, 19.53, 0.02 * 19.53);
}

static void
test_kays_london(void **state)
{
	static const struct { enum leat_cooler_flow flow; double units, ratio, effectiveness; } rows[] = {
		{ LEAT_COOLER_COUNTER, 1, 1, 0.500 }, { LEAT_COOLER_COUNTER, 3, 1, 0.750 }, { LEAT_COOLER_COUNTER, 1, 0, 0.632 },
		{ LEAT_COOLER_COUNTER, 2, 0.5, 0.775 }, { LEAT_COOLER_PARALLEL, 1, 1, 0.432 }, { LEAT_COOLER_PARALLEL, 5, 1, 0.500 },
		{ LEAT_COOLER_CROSS, 2, 1, 0.614 }, { LEAT_COOLER_CROSS, 1, 1, 0.476 }, { LEAT_COOLER_SHELL, 1, 1, 0.463 },
		{ LEAT_COOLER_SHELL, 5, 1, 0.585 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++)
		unit_close(leat_cooler_effectiveness(rows[i].flow, rows[i].units, rows[i].ratio), rows[i].effectiveness,
		    rows[i].flow == LEAT_COOLER_CROSS ? 0.01 : 0.0025);
}

/* Crossflow, neither stream mixed, in a mesh of cells: the true solution, which the usual approximation meets within 0.01. */
static void
test_mesh(void **state)
{
	enum { N = 400 };
	static double cold[N];
	const double units[] = { 0.25, 1, 2.5 }, ratio[] = { 0.25, 0.61, 1 };

	(void)state;
	for (size_t u = 0; u < 3; u++) {
		for (size_t r = 0; r < 3; r++) {
			double step = units[u] / N, sum = 0;

			memset(cold, 0, sizeof(cold));
			/* The hot stream has the smaller capacity flow; it runs along i, the cold one along j. */
			for (int j = 0; j < N; j++) {
				double hot = 1;

				for (int i = 0; i < N; i++) {
					double q = step * (hot - cold[i]) / (1 + step * (1 + ratio[r]) / 2);

					hot -= q;
					cold[i] += q * ratio[r];
				}
				sum += hot / N;
			}
			unit_close(leat_cooler_effectiveness(LEAT_COOLER_CROSS, units[u], ratio[r]), 1 - sum, 0.01);
		}
	}
}

/* 9 kW, oil 60 L/min of 870 kg/m3 and 1.95 kJ/(kg K), water 40 L/min: .38 kW/K stand water of 32 degC, .30 of 25.7, .23 of
 * 16.6; and the heat of 1 L/min at 60 bar. */
static void
test_summer(void **state)
{
	const double ua[] = { 0.38, 0.30, 0.23 }, water_c[] = { 32.0, 25.7, 16.6 };
	double oil = leat_stream_kw_k(60, 870, 1.95), water = leat_stream_kw_k(40, 1000, 4.18);

	(void)state;
	for (size_t i = 0; i < 3; i++)
		unit_close(leat_cooler_warmest_water(LEAT_COOLER_COUNTER, ua[i], oil, water, 60, 9), water_c[i], 0.05);
	unit_close(leat_throttled_kw(1, 60), 0.1, 1e-12);
}

/* kg/m3 at 4, 20, 40, 60 and 80 degC: 999.97, 998.20, 992.2, 983.2, 971.8. */
static void
test_water(void **state)
{
	const double temp_c[] = { 4, 20, 40, 60, 80 }, density[] = { 999.97, 998.20, 992.2, 983.2, 971.8 };

	(void)state;
	for (size_t i = 0; i < 5; i++)
		unit_close(leat_water_density(temp_c[i]), density[i], 0.001 * density[i]);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_incropera_oil_cooler), cmocka_unit_test(test_incropera_crossflow),
		cmocka_unit_test(test_holman), cmocka_unit_test(test_kays_london), cmocka_unit_test(test_mesh),
		cmocka_unit_test(test_summer), cmocka_unit_test(test_water)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
