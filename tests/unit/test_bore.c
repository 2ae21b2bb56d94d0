/* Bores and seals: a gauge, a ring and a bore that each grow by themselves; and diameters that were mistyped. */
#include "unit.h"

#include <math.h>

#include "derive/bore.h"
#include "physics/bore.h"
#include "random.h"

static double
between(uint64_t *seed, double low, double high)
{
	return low + (high - low) * random_below(seed, 1000001) / 1e6;
}

/* The ring has its size at 20 degC, as the bore has; the gauge shows how much larger the warm bore is than the warm ring. */
static void
test_gauge(void **state)
{
	uint64_t seed = 5;

	(void)state;
	for (int i = 0; i < 2000; i++) {
		double at_20 = between(&seed, 200, 400), ring_20 = at_20 + between(&seed, -0.3, 0.3);
		double ring_c = between(&seed, 10, 40), bore_c = ring_c + between(&seed, -30, 30);
		double ring = ring_20 * (1 + 11.5e-6 * (ring_c - 20)), bore = at_20 * (1 + 11.5e-6 * (bore_c - 20));
		double read = ring_20 + (bore - ring);

		unit_close(leat_bore_at_20_mm(read, bore_c, ring_c), at_20, 0.0003);
	}
	unit_close(leat_bore_uncertainty_mm(0.01, 320), sqrt(0.01 * 0.01 + 0.005152 * 0.005152), 1e-9);
}

static void
test_seals(void **state)
{
	double before = 0;
	uint64_t seed = 6;

	(void)state;
	for (double bore = 200; bore <= 400; bore += 0.5) {
		assert_true(leat_seal_as_new_mlpm(bore) > before);
		before = leat_seal_as_new_mlpm(bore);
	}
	for (int i = 0; i < 1000; i++) {
		double best = between(&seed, 0, 5), worst = best + between(&seed, 0, 20), as_new = between(&seed, 0.5, 3);
		double spread = leat_seal_spread(worst, best, as_new);

		assert_true(spread >= 1);
		if (worst <= as_new)
			unit_close(spread, 1, 0);
		if (best >= as_new)
			unit_close(spread, worst / best, 1e-12);
	}
	unit_close(leat_seal_spread(9, 0, 1.8), 5, 1e-12);
	unit_close(leat_bore_ovality_mm(320.01, 320.05), leat_bore_ovality_mm(320.05, 320.01), 0);
}

static void
test_slips(void **state)
{
	static const struct { const char *typed; double unit_mm; const char *hint; } cases[] = {
		{ "302.15", 1, "two digits changed places? 320.15" },
		{ "321.05", 1, "two digits changed places? 320.15" },	/* over the point */
		{ "230.15", 1, "two digits changed places? 320.15" },
		{ "12.604", 1, "in inches? 320.142 mm" },
		{ "320.15", 25.4, "in mm, and the unit wrong?" },
		{ "3201.5", 1, "the decimal mark moved? 320.150 mm" },
		{ "32015", 1, "the decimal mark moved? 320.150 mm" },
		{ "0.32015", 1, "the decimal mark moved? 320.150 mm" },
		{ "0.147", 1, "what the gauge showed against its ring alone? add the ring" },
		{ "345", 1, NULL }, { "", 1, NULL }, { "abc", 1, NULL }, { "12345678901234567890123456.5", 1, NULL }
	};
	char hint[96];

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		bool any = leat_bores_slip(hint, sizeof(hint), leat_span_of(cases[i].typed), cases[i].unit_mm, 320, 0.5);

		if (any != (cases[i].hint != NULL))
			fail_msg("'%s': %s", cases[i].typed, any ? hint : "nothing");
		if (any)
			assert_string_equal(hint, cases[i].hint);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_gauge),
		cmocka_unit_test(test_seals),
		cmocka_unit_test(test_slips)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
