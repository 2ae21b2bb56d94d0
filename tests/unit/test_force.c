/* The force of a cylinder. */
#include <math.h>

#include "physics/force.h"
#include "unit.h"

static void
test_areas(void **state)
{
	/* Areas of tables of cylinders with the bores and rods of ISO 3320, in cm2, rounded as those tables print them (from
	 * memory; each is pi/4 d2). */
	static const struct { double bore, rod, head, ring; } cases[] = {
		{ 320, 200, 804.2, 490.1 }, { 320, 220, 804.2, 424.1 }, { 250, 160, 490.9, 289.8 }, { 200, 140, 314.2, 160.2 },
		{ 100, 70, 78.54, 40.06 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		unit_close(leat_force_head_area_mm2(cases[i].bore) / 100, cases[i].head, 0.06);
		unit_close(leat_force_ring_area_mm2(cases[i].bore, cases[i].rod) / 100, cases[i].ring, 0.06);
	}
}

static void
test_force(void **state)
{
	(void)state;
	/* The vector of the trade practice: 125 bar on the rod side, 10 bar on the head, 320/200 mm. */
	unit_close(leat_force_kn(125, 10, 320, 200), 532, 0.5);
	/* 0.1 N/mm2 is a bar by definition: 100 bar on 10 000 mm2 are 100 kN. */
	unit_close(leat_force_kn(100, 0, 2 * sqrt(10000 / 3.14159265358979), 1e-9), 100, 1e-6);
	unit_close(leat_force_kn(0, 10, 320, 200), -80.4, 0.05);
	/* 125 to 115 bar at 10 bar counter-pressure is 9 % of the force. */
	unit_close(1 - leat_force_kn(115, 10, 320, 200) / leat_force_kn(125, 10, 320, 200), 0.092, 0.001);
}

static void
test_possible(void **state)
{
	(void)state;
	assert_true(leat_force_possible(320, 200));
	assert_false(leat_force_possible(200, 200));
	assert_false(leat_force_possible(200, 0));
	assert_false(leat_force_possible(NAN, 200));
	assert_false(leat_force_possible(320, NAN));
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_areas), cmocka_unit_test(test_force), cmocka_unit_test(test_possible)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
