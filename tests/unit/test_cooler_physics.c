/* Heat between two streams: limits, inverses, balances. */
#include "unit.h"

#include <math.h>

#include "physics/cooler.h"
#include "random.h"

/* 0 to 1. */
static double
share(uint64_t *seed)
{
	return random_below(seed, 100001) / 100000.0;
}

static void
test_lmtd(void **state)
{
	(void)state;
	unit_close(leat_lmtd_k(20, 20), 20, 1e-12);
	/* The limit form joins the formula without a step. */
	unit_close(leat_lmtd_k(20, 20 * (1 + 0.99e-4)), leat_lmtd_k(20 * (1 + 0.99e-4), 20), 1e-9);
	unit_close(leat_lmtd_k(20 * (1 + 1.01e-4), 20) - leat_lmtd_k(20 * (1 + 0.99e-4), 20), 20 * 1e-6, 1e-9);
	/* Far between the arithmetic and the geometric mean. */
	unit_close(leat_lmtd_k(30, 10), 20 / log(3), 1e-12);
	assert_true(isnan(leat_lmtd_k(0, 10)) && isnan(leat_lmtd_k(10, -1)) && isnan(leat_lmtd_k(NAN, 1)));
}

/* What goes out of one formula comes back by the other, for all arrangements; counterflow is best, parallel flow worst,
 * and more conductance never carries less. */
static void
test_both_ways(void **state)
{
	uint64_t seed = 7;

	(void)state;
	for (int i = 0; i < 2000; i++) {
		double ua = 0.05 + 2 * share(&seed), oil = 0.2 + 3 * share(&seed);
		double water = i % 9 == 0 ? oil : 0.2 + 3 * share(&seed), carried[4], least = fmin(oil, water);
		double oil_c = 35 + 40 * share(&seed), water_c = 30 * share(&seed);

		for (enum leat_cooler_flow flow = LEAT_COOLER_COUNTER; flow <= LEAT_COOLER_SHELL; flow++) {
			double duty = leat_cooler_duty_kw(flow, ua, oil, water, oil_c, water_c);
			struct leat_cooler_ends ends = { oil_c, oil_c - duty / oil, water_c, water_c + duty / water };

			carried[flow] = duty;
			if (ua / least < 3)
				unit_close(leat_cooler_ua(flow, &ends, duty), ua, 2e-6 * ua);
			unit_close(leat_cooler_warmest_water(flow, ua, oil, water, oil_c, duty), water_c, 1e-9);
			assert_true(leat_cooler_duty_kw(flow, ua * 1.01, oil, water, oil_c, water_c) >= duty);
			assert_true(duty <= least * (oil_c - water_c) * (1 + 1e-12));
		}
		assert_true(carried[LEAT_COOLER_COUNTER] >= carried[LEAT_COOLER_SHELL] - 1e-12);
		assert_true(carried[LEAT_COOLER_SHELL] >= carried[LEAT_COOLER_PARALLEL] - 1e-12);
	}
}

static void
test_refused(void **state)
{
	const struct leat_cooler_ends hot = { 50, 45, 52, 54 }, crossed = { 50, 30, 20, 40 }, still = { 50, 50, 20, 20 };
	enum leat_cooler_flow flow;

	(void)state;
	assert_true(isnan(leat_cooler_ua(LEAT_COOLER_COUNTER, &hot, 5)));
	assert_true(isnan(leat_cooler_ua(LEAT_COOLER_COUNTER, &still, 5)));
	/* Oil comes out colder than the water: parallel flow cannot do that. */
	assert_true(isnan(leat_cooler_ua(LEAT_COOLER_PARALLEL, &crossed, 5)));
	assert_false(isnan(leat_cooler_ua(LEAT_COOLER_COUNTER, &crossed, 5)));
	assert_true(isnan(leat_cooler_effectiveness(LEAT_COOLER_COUNTER, -1, 0.5)));
	assert_true(isnan(leat_cooler_effectiveness(LEAT_COOLER_COUNTER, 1, 1.1)));
	assert_true(isnan(leat_cooler_warmest_water(LEAT_COOLER_COUNTER, 0.3, 0, 2, 60, 9)));
	assert_int_equal(leat_cooler_flow_find(LEAT_SPAN("cross"), &flow), 0);
	assert_int_equal(flow, LEAT_COOLER_CROSS);
	assert_int_equal(leat_cooler_flow_find(LEAT_SPAN("counterflow"), &flow), -1);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_lmtd), cmocka_unit_test(test_both_ways), cmocka_unit_test(test_refused)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
