/*
 * Bores and seals against published values.
 *
 * Thermal expansion of steel, all from memory: ISO 3650 (gauge blocks), (11.5 +- 1.0)e-6 1/K; Machinery's Handbook, carbon
 * steel 6.33e-6 in an inch per degree Fahrenheit; OpenStax University Physics volume 2, steel 12e-6 1/K, and its worked
 * example of a steel bridge of 1275 m between -15 and 40 degC, which grows by 0.84 m.  The guide for new seals is an
 * industry acceptance table, from memory.  Facts of the trade: 20 K on 320 mm are 0.074 mm; 0.5 mL/min are 262.8 L a year
 * and 20 drops 1 mL (common practice).
 */
#include "unit.h"

#include <math.h>

#include "base/units.h"
#include "physics/bore.h"

static void
test_coefficient(void **state)
{
	double per_k = (1000 - leat_bore_at_20_mm(1000, 21, 20)) / 1000;

	(void)state;
	unit_close(per_k, 11.5e-6, 1e-12);
	unit_close(per_k, 6.33e-6 * 9 / 5, 0.01 * per_k);
	unit_close(per_k, 12e-6, 0.05 * per_k);
}

static void
test_examples(void **state)
{
	(void)state;
	/* The bridge, at the coefficient of that book, printed with two digits. */
	unit_close((1275e3 - leat_bore_at_20_mm(1275e3, 40, -15)) / 1e3 * 12 / 11.5, 0.84, 0.005);
	unit_close(320 - leat_bore_at_20_mm(320, 40, 20), 0.074, 0.0005);
	/* A bore worn by 0.07 mm that was gauged at 41 degC with a ring of 20 degC seems worn by 0.147. */
	unit_close(leat_bore_at_20_mm(320.147, 41, 20) - 320, 0.070, 0.0005);
}

static void
test_guide(void **state)
{
	static const double table[][2] = { { 200, 0.70 }, { 220, 1.0 }, { 250, 1.1 }, { 320, 1.8 }, { 400, 2.8 } };

	(void)state;
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++)
		unit_close(leat_seal_as_new_mlpm(table[i][0]), table[i][1], 1e-12);
	assert_true(isnan(leat_seal_as_new_mlpm(199.9)));
	assert_true(isnan(leat_seal_as_new_mlpm(400.1)));
	assert_true(isnan(leat_seal_as_new_mlpm(NAN)));
}

static void
test_drops(void **state)
{
	const struct leat_unit *drop = leat_unit_find(LEAT_SPAN("drop/min")), *ml = leat_unit_find(LEAT_SPAN("mL/min"));

	(void)state;
	assert_non_null(drop);
	unit_close(leat_unit_convert(drop, ml, 20), 1, 1e-12);
	unit_close(leat_unit_convert(drop, leat_unit_find(LEAT_SPAN("L/d")), 10) * 365, 262.8, 1e-9);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_coefficient),
		cmocka_unit_test(test_examples),
		cmocka_unit_test(test_guide),
		cmocka_unit_test(test_drops)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
