/* Drums and bottles against worked figures of the trade. */
#include "unit.h"

#include "physics/accumulator.h"
#include "physics/fill_plan.h"
#include "physics/nitrogen.h"

#define SEA_LEVEL_BARA 1.01325

/* Common practice, by hand: 1900 L and a tenth are 2090 L, 10.05 drums of 208 L; of waste 1900 / 197.6 is 9.6. */
static void
test_drums(void **state)
{
	(void)state;
	unit_close(leat_drums(leat_new_oil_l(1900), LEAT_DRUM_L, 1), 11, 0);
	unit_close(leat_drums(1900, LEAT_DRUM_L, LEAT_WASTE_SHARE), 10, 0);
	unit_close(leat_drums(0, LEAT_DRUM_L, 1), 0, 0);
	unit_close(leat_drums(0.1, LEAT_DRUM_L, 1), 1, 0);
	/* What is full to the brim asks for no drum more, whatever the arithmetic of decimals leaves behind. */
	for (int n = 1; n <= 60; n++) {
		unit_close(leat_drums(n * 197.6, LEAT_DRUM_L, LEAT_WASTE_SHARE), n, 0);
		unit_close(leat_drums(leat_new_oil_l(n * 200 / 1.1), 200, 1), n, 0);
		unit_close(leat_drums(n * 200 + 0.5, 200, 1), n + 1, 0);
	}
}

/* Worked with the reference equation of nitrogen (Span et al. 2000): a bottle of 50 L gives 225 mol from 200 to 80 bar; 6 shells
 * of 50 L take 927 mol to 75 bar, 4.1 bottles; one of them takes 0.11 of a bottle from 63 to 75 bar.  From empty: the
 * shells hold gas at the pressure of the air already.  Gauge, 20 degC. */
static void
test_bottles(void **state)
{
	double amount, there, bottles;

	(void)state;
	assert_int_equal(leat_gas_amount(75, 20, 300, SEA_LEVEL_BARA, &amount), 0);
	assert_int_equal(leat_gas_amount(0, 20, 300, SEA_LEVEL_BARA, &there), 0);
	amount -= there;
	unit_close(amount, 927, 927 * 0.005);
	assert_int_equal(leat_bottles(amount, 75, SEA_LEVEL_BARA, &bottles), 0);
	unit_close(bottles, 4.1, 0.05);
	unit_close(amount / bottles, 225, 225 * 0.005);
	assert_int_equal(leat_gas_amount(75, 20, 50, SEA_LEVEL_BARA, &amount), 0);
	assert_int_equal(leat_gas_amount(63, 20, 50, SEA_LEVEL_BARA, &there), 0);
	assert_int_equal(leat_bottles(amount - there, 75, SEA_LEVEL_BARA, &bottles), 0);
	unit_close(bottles, 0.11, 0.005);
}

/* A bottle must stay above what it fills: higher precharges leave less to use, and over 195 bar nothing. */
static void
test_high_precharge(void **state)
{
	double low, high, bottles;

	(void)state;
	assert_int_equal(leat_bottles(225, 75, SEA_LEVEL_BARA, &low), 0);
	assert_int_equal(leat_bottles(225, 120, SEA_LEVEL_BARA, &high), 0);
	assert_true(high > low);
	assert_int_equal(leat_bottles(225, 195, SEA_LEVEL_BARA, &bottles), -1);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_drums), cmocka_unit_test(test_bottles), cmocka_unit_test(test_high_precharge)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
