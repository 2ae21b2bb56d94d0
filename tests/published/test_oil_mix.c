/*
 * Oils that mix and expand, against published figures.  Each has its source beside it.
 */
#include <math.h>

#include "unit.h"

#include "physics/oil.h"
#include "physics/oil_mix.h"

static void
test_share(void **state)
{
	static const struct { const char *name; double fresh, other, mixed, share, tolerance; } example[] = {
		/* Common practice of the trade: 10 % of VG 100 in VG 46 gives 49.4 mm2/s. */
		{ "a tenth of VG 100", 46, 100, 49.4, 0.10, 0.005 },
		/* Worked apart from this code: log10 log10 (nu + 0.7) of 46, 32 and half of each is 0.22238, 0.18104 and 0.20171, which
		 * is 38.2 mm2/s. */
		{ "half of VG 32", 46, 32, 38.2, 0.5, 0.005 },
		{ "none", 46, 100, 46, 0, 1e-12 },
		{ "all", 46, 100, 100, 1, 1e-12 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(example) / sizeof(example[0]); i++)
		unit_close(leat_oil_mixed_share(example[i].fresh, example[i].other, example[i].mixed), example[i].share,
		    example[i].tolerance);
	assert_true(isnan(leat_oil_mixed_share(46, 100, 45)));
	assert_true(isnan(leat_oil_mixed_share(46, 100, 101)));
	assert_true(isnan(leat_oil_mixed_share(46, 46, 47)));
	assert_true(isnan(leat_oil_mixed_share(46, 0.1, 40)));
	assert_true(isnan(leat_oil_mixed_share(NAN, 100, 47)));
}

/* Any share of any two oils comes back from what they blend to. */
static void
test_back(void **state)
{
	(void)state;
	for (double fresh = 10; fresh < 700; fresh *= 1.7)
		for (double other = 11; other < 700; other *= 1.9)
			for (double share = 0; share <= 1; share += 0.125) {
				double nu[2] = { fresh, other }, parts[2] = { 1 - share, share };

				unit_close(leat_oil_mixed_share(fresh, other, leat_oil_blend(nu, parts, 2)), share, 1e-6);
			}
}

/* What is left of the old and what comes with the fresh add up, for any share; and what fresh oil cannot do is not said. */
static void
test_renewal(void **state)
{
	(void)state;
	/* Worked by hand: 300 of 1200 L of oil with 0.6 renewed by oil with 0 leaves 0.45. */
	unit_close(leat_oil_renewal_share(0.6, 0, 0.45), 0.25, 1e-12);
	unit_close(leat_oil_renewal_share(55, 100, 68), 13.0 / 45, 1e-12);
	for (double now = -5; now < 9; now += 1.3)
		for (double fresh = -4; fresh < 9; fresh += 1.7)
			/* An oil that is the fresh one tells no share. */
			for (double share = fabs(now - fresh) < 1e-6 ? 2 : 0; share <= 1; share += 0.125)
				unit_close(leat_oil_renewal_share(now, fresh, now * (1 - share) + fresh * share), share, 1e-9);
	unit_close(leat_oil_renewal_share(0.3, 0, 0.4), 0, 0);
	unit_close(leat_oil_renewal_share(0.4, 0, 0.4), 0, 0);
	assert_true(isnan(leat_oil_renewal_share(0.6, 0.5, 0.4)));
	assert_true(isnan(leat_oil_renewal_share(0.6, 0.6, 0.4)));
}

/* The grades of ISO 3448: 32, 46, 68; 10 % either side of the midpoint is still the grade. */
static void
test_grades(void **state)
{
	static const struct { double viscosity; int up, number; } row[] = {
		{ 46, 1, 68 }, { 46, 0, 32 }, { 41.5, 0, 32 }, { 41.3, 0, 32 }, { 50.5, 1, 68 }, { 100, 1, 150 }, { 3200, 0, 2200 },
		{ 2.2, 1, 3 }
	};
	int number;

	(void)state;
	for (size_t i = 0; i < sizeof(row) / sizeof(row[0]); i++) {
		number = 0;
		assert_true(leat_oil_next_grade(row[i].viscosity, row[i].up, &number) > 0);
		assert_int_equal(number, row[i].number);
	}
	assert_true(leat_oil_next_grade(3200, 1, &number) == 0);
	assert_true(leat_oil_next_grade(2.2, 0, &number) == 0);
}

static void
test_volume(void **state)
{
	(void)state;
	/* Common practice of the trade: 1200 L that warm up by 25 K grow by 21 L. */
	unit_close(1200 / leat_oil_volume_20(1, 45) - 1200, 21, 0.005 * 21);
	unit_close(leat_oil_volume_20(1221, 45), 1200, 1e-9);
	/* API MPMS 11.1, lubricating oils, 870 kg/m3: that growth is up to 8 % larger between 20 and 70 degC. */
	for (double t = 25; t <= 70; t += 5)
		unit_close((1 / leat_oil_volume_20(1, t) - 1) / (leat_oil_density(870, 20) / leat_oil_density(870, t) - 1), 0.96, 0.04);
}

static void
test_kept(void **state)
{
	double kept = 1;

	(void)state;
	unit_close(leat_oil_kept(1200, 60), 0.95, 1e-12);
	assert_true(leat_oil_kept(1200, 0) == 1);
	assert_true(leat_oil_kept(1200, 1200) == 0);
	assert_true(isnan(leat_oil_kept(NAN, 60)));
	/* In many small parts it is that of a vessel that is stirred and flushed, exp(-1) (elementary mass balance). */
	for (int i = 0; i < 100000; i++)
		kept *= leat_oil_kept(1000, 0.01);
	unit_close(kept, exp(-1), 1e-5);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_share),
		cmocka_unit_test(test_back), cmocka_unit_test(test_renewal),
		cmocka_unit_test(test_grades),
		cmocka_unit_test(test_volume),
		cmocka_unit_test(test_kept),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
