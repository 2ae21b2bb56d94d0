/*
 * Leakage and gas against cycles of a bank of six 50 L shells, 75 bar(g) at 20 degC, that were worked out apart from this code
 * with the reference equation of nitrogen (Span et al., J. Phys. Chem. Ref. Data 29 (2000) 1361): shells at 48 degC, pump
 * 39 L/min, 120 to 130 bar(g), thermal lag 120 s, n cv dT = -T (dp/dT) dV + n cv (Tshell - T) / lag dt.
 */
#include <math.h>

#include "unit.h"

#include "physics/accumulator.h"
#include "physics/leakage.h"
#include "physics/nitrogen.h"

#define AIR 1.01325

static double
bank(double share)
{
	double amount;

	assert_int_equal(leat_gas_amount(75, 20, 300, AIR, &amount), 0);
	return share * amount;
}

static const struct cycle {
	double leakage_lpm, gas, period_min, on_s, slope_bar_min, from_slope;
} cycle[] = {
	{ 0.34, 1, 30.1, 15.75, 0.2048, 1.66 },
	{ 0.34, 0.9, 27.05, 14.15, 0.2276, 1.49 },
	{ 1.5, 1, 6.95, 16.05, NAN, 1.47 },
};

static void
test_balance(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof(cycle) / sizeof(cycle[0]); i++)
		unit_close(leat_leakage_balance(39, cycle[i].on_s, 60 * cycle[i].period_min - cycle[i].on_s), cycle[i].leakage_lpm,
		    0.01 * cycle[i].leakage_lpm);
	assert_true(isnan(leat_leakage_balance(39, 0, 100)));
	assert_true(isnan(leat_leakage_balance(39, 10, 0)));
}

/* The fillings tell the gas, also where cycles are so short that the fall of pressure says 12 % too little. */
static void
test_filling(void **state)
{
	double amount, input;

	(void)state;
	for (size_t i = 0; i < sizeof(cycle) / sizeof(cycle[0]); i++) {
		const struct cycle *c = &cycle[i];
		struct leat_filling f = { (39 - c->leakage_lpm) * c->on_s / 60, 120, 130, c->on_s, 60 * c->period_min, c->leakage_lpm,
			48, 120, AIR };

		assert_int_equal(leat_gas_amount_of_filling(&f, &amount), 0);
		unit_close(amount / bank(c->gas), 1, 0.01);
		/* And back: such a bank takes what went in. */
		assert_int_equal(leat_gas_filling_of_amount(&f, bank(c->gas), &input), 0);
		unit_close(input, f.input_l, 0.01 * f.input_l);
		if (!isnan(c->slope_bar_min))
			unit_close(c->leakage_lpm / c->slope_bar_min, c->from_slope, 0.01 * c->from_slope);
	}
}

/* 120 to 130 bar(g) at once takes 9.98 L of oil, the gas warms to 55.6 degC and falls back to 126.3 bar(g). */
static void
test_at_once(void **state)
{
	struct leat_filling f = { 9.98, 120, 130, 0.01, 1e7, 0, 48, 1e5, AIR };
	double amount, low, then_bar;

	(void)state;
	assert_int_equal(leat_gas_amount_of_filling(&f, &amount), 0);
	unit_close(amount / bank(1), 1, 0.005);
	assert_int_equal(leat_gas_volume(bank(1), 120, 48, AIR, &low), 0);
	then_bar = leat_nitrogen_pressure_bara(bank(1) / (low - 9.98), 48 + LEAT_ZERO_C_K) - AIR;
	unit_close(then_bar, 126.3, 0.1);
	/* Slowly it is isothermal. */
	f = (struct leat_filling){ low, 120, 130, 1e6, 2e6, 0, 48, 1, AIR };
	assert_int_equal(leat_gas_volume(bank(1), 130, 48, AIR, &then_bar), 0);
	f.input_l = low - then_bar;
	assert_int_equal(leat_gas_amount_of_filling(&f, &amount), 0);
	unit_close(amount / bank(1), 1, 1e-4);
}

/* Pump 41 L/min, fall 0.2411 and rise 46.716 bar/min, n 1.62: 0.340 L/min and 1.41 L/bar; n = 1 reads 0.2105. */
static void
test_two_slopes(void **state)
{
	double leakage, compliance, n;

	(void)state;
	assert_int_equal(leat_leakage_two_slopes(41, 46.716, 0.2411, 1.62, &leakage, &compliance), 0);
	unit_close(leakage, 0.340, 0.0017);
	unit_close(compliance, 1.41, 0.007);
	assert_int_equal(leat_leakage_two_slopes(41, 46.716, 0.2411, 1, &leakage, &compliance), 0);
	unit_close(leakage, 0.2105, 0.0005);
	assert_int_equal(leat_leakage_two_slopes(41, 46.716, 0.2411, 0.9, &leakage, &compliance), -1);
	assert_int_equal(leat_leakage_two_slopes(41, 0, 0.2411, 1.5, &leakage, &compliance), -1);
	/* cp/cv is 1.54 at 100 bar(a) and 45 degC at once; three minutes are half of the way to isothermal. */
	assert_int_equal(leat_gas_stiffer(100 - AIR, 45, AIR, 0, 120, &n), 0);
	unit_close(n, 1.54, 0.01);
	assert_int_equal(leat_gas_stiffer(100 - AIR, 45, AIR, 1e7, 120, &n), 0);
	unit_close(n, 1, 1e-4);
}

/* 135 to 125 bar(g) in 42 min at one temperature: 14.17 L, 0.337 L/min.  In the middle of them the bank gives way by the
 * chord's compliance within the curve of it. */
static void
test_holding(void **state)
{
	struct leat_holding h = { bank(1), 0, 130, 48, AIR, 10 / 42.0, 0 };
	double leakage, compliance, heat;

	(void)state;
	assert_int_equal(leat_leakage_holding(&h, &leakage, &compliance, &heat), 0);
	unit_close(leakage, 0.337, 0.01 * 0.337);
	unit_close(compliance, 1.414, 0.005 * 1.414);
	unit_close(heat, 0, 0);
	/* Gas that cools by 5 K/h mimics 0.05 L/min: what is left is what leaks. */
	h.warming_k_h = -5;
	assert_int_equal(leat_leakage_holding(&h, &leakage, NULL, &heat), 0);
	unit_close(heat, -0.05, 0.003);
	unit_close(leakage, 0.337 + heat, 0.004);
	/* 150 L of oil alone give way by 0.011 L/bar (common practice). */
	h = (struct leat_holding){ 0, 150, 130, 48, AIR, 1, 0 };
	assert_int_equal(leat_leakage_holding(&h, &leakage, &compliance, NULL), 0);
	unit_close(compliance, 0.011, 0.0005);
	unit_close(leakage, 0.011, 0.0005);
	h.oil_l = -1;
	assert_int_equal(leat_leakage_holding(&h, &leakage, NULL, NULL), -1);
}

/* At 125 bar(g) and 48 degC the whole bank holds 95.6 L, with one shell shut 79.7 L, with 10 % of the gas lost 116.1 L. */
static void
test_shells(void **state)
{
	double shells;

	(void)state;
	assert_int_equal(leat_gas_shells_open(95.6, bank(1), 50, 125, 48, AIR, &shells), 0);
	unit_close(shells, 6, 0.03);
	assert_int_equal(leat_gas_shells_open(79.7, bank(5 / 6.0), 50, 125, 48, AIR, &shells), 0);
	unit_close(shells, 5, 0.03);
	assert_int_equal(leat_gas_shells_open(116.1, bank(0.9), 50, 125, 48, AIR, &shells), 0);
	unit_close(shells, 6, 0.03);
	assert_int_equal(leat_gas_shells_open(-1, bank(0.9), 50, 125, 48, AIR, &shells), -1);
}

/* At once from 120 to 130 bar(g) it falls back to 126.3, from 125 to 135 to 131.3: 3.7 bar each, and no leakage.  A slow
 * filling gives its heat away on the way. */
static void
test_settling(void **state)
{
	struct leat_filling f = { 9.98, 120, 130, 0.01, 1e6, 0, 48, 120, AIR };
	double drop, before;

	(void)state;
	assert_int_equal(leat_gas_settling(&f, bank(1), &drop), 0);
	unit_close(drop, 3.7, 0.1);
	f.low_bar = 125;
	f.high_bar = 135;
	assert_int_equal(leat_gas_settling(&f, bank(1), &drop), 0);
	unit_close(drop, 3.7, 0.1);
	for (f.on_s = 1; f.on_s < 5000; f.on_s *= 2) {
		before = drop;
		assert_int_equal(leat_gas_settling(&f, bank(1), &drop), 0);
		assert_true(drop > 0 && drop < before);
	}
	assert_true(drop < 0.2);
	assert_int_equal(leat_gas_settling(&f, 0, &drop), -1);
	f.high_bar = 120;
	assert_int_equal(leat_gas_settling(&f, bank(1), &drop), -1);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_balance),
		cmocka_unit_test(test_filling),
		cmocka_unit_test(test_at_once),
		cmocka_unit_test(test_two_slopes),
		cmocka_unit_test(test_holding),
		cmocka_unit_test(test_shells),
		cmocka_unit_test(test_settling),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
