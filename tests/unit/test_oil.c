/* Oil: what must hold for any oil.  Published values have their own test. */
#include "unit.h"

#include <math.h>

#include "physics/oil.h"
#include "random.h"

static double
between(uint64_t *seed, double low, double high)
{
	return low + (high - low) * random_below(seed, 1000001) / 1e6;
}

static void
test_between(void **state)
{
	static const struct { const char *name; double t1, nu1, t2, nu2; int status; } cases[] = {
		{ "an oil", 40, 46, 100, 6.8, 0 },
		{ "warmer first", 100, 6.8, 40, 46, 0 },
		{ "thicker when warm", 40, 6.8, 100, 46, -1 },
		{ "equally thick", 40, 46, 100, 46, -1 },
		{ "one temperature", 40, 46, 40, 6.8, -1 },
		{ "too thin", 40, 0.2, 100, 0.1, -1 },
		{ "nothing", 40, NAN, 100, 6.8, -1 },
		{ "no end", 40, INFINITY, 100, 6.8, -1 },
		{ "below absolute zero", -300, 46, 100, 6.8, -1 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_oil oil;

		if (leat_oil_between(&oil, cases[i].t1, cases[i].nu1, cases[i].t2, cases[i].nu2) != cases[i].status)
			fail_msg("%s", cases[i].name);
	}
}

/* The oil has the viscosities it was made from, is thinner the warmer it is, and its temperature is found back. */
static void
test_any_oil(void **state)
{
	uint64_t seed = 46;

	(void)state;
	for (int i = 0; i < 5000; i++) {
		double nu40 = between(&seed, 8, 700), nu100 = nu40 / between(&seed, 3, 8), before = INFINITY;
		struct leat_oil oil;

		if (nu100 < 2)
			continue;
		assert_int_equal(leat_oil_between(&oil, 40, nu40, 100, nu100), 0);
		unit_close(leat_oil_viscosity(&oil, 40) / nu40, 1, 1e-9);
		unit_close(leat_oil_viscosity(&oil, 100) / nu100, 1, 2e-4);
		for (double temp_c = 0; temp_c <= 100; temp_c += 5) {
			double nu = leat_oil_viscosity(&oil, temp_c);

			assert_true(nu < before);
			before = nu;
			if (nu > 8)
				unit_close(leat_oil_temperature(&oil, nu), temp_c, 1e-6);
		}
	}
}

/* A laboratory value moves the level and keeps the slope. */
static void
test_through(void **state)
{
	struct leat_oil fresh, used;

	(void)state;
	assert_int_equal(leat_oil_between(&fresh, 40, 46, 100, 6.8), 0);
	used = fresh;
	assert_int_equal(leat_oil_through(&used, 40, 46), 0);
	unit_close(used.a, fresh.a, 1e-12);
	assert_int_equal(leat_oil_through(&used, 40, 50), 0);
	unit_close(leat_oil_viscosity(&used, 40), 50, 1e-9);
	unit_close(used.b, fresh.b, 0);
	assert_true(leat_oil_viscosity(&used, 60) > leat_oil_viscosity(&fresh, 60));
	/* Thicker by 8.7 % at 40 degC, by less where it is thin. */
	assert_true(leat_oil_viscosity(&used, 60) / leat_oil_viscosity(&fresh, 60) < 50.0 / 46);
	assert_int_equal(leat_oil_through(&used, 40, 0), -1);
	assert_int_equal(leat_oil_through(&used, 40, NAN), -1);
	assert_true(isnan(leat_oil_viscosity(&used, -274)));
	assert_true(isnan(leat_oil_temperature(&used, 0)));
}

static void
test_blend(void **state)
{
	const double nu[] = { 46, 100 }, same[] = { 46, 46 }, thin[] = { 46, 0.1 };
	const double all_first[] = { 1, 0 }, some[] = { 1140, 60 }, negative[] = { 1, -1 }, nothing[] = { 0, 0 };

	(void)state;
	unit_close(leat_oil_blend(nu, all_first, 2), 46, 1e-9);
	unit_close(leat_oil_blend(same, some, 2), 46, 1e-9);
	/* 60 L of VG 100 in 1200 L of VG 46: by hand log10 log10 46.7 = 0.222538, log10 log10 100.7 = 0.301688, so
	 * 10^10^(0.95 x 0.222538 + 0.05 x 0.301688) - 0.7 = 47.67, 3.6 % more. */
	unit_close(leat_oil_blend(nu, some, 2), 47.67, 0.01);
	assert_true(isnan(leat_oil_blend(thin, some, 2)));
	assert_true(isnan(leat_oil_blend(nu, negative, 2)));
	assert_true(isnan(leat_oil_blend(nu, nothing, 2)));
	assert_true(isnan(leat_oil_blend(nu, some, 0)));
}

static void
test_grade_names(void **state)
{
	static const struct { const char *name; double midpoint; } cases[] = {
		{ "VG 46", 46 }, { "ISO VG 46", 46 }, { "vg46", 46 }, { "ISO-VG-46", 46 }, { "46", 46 }, { "VG 5", 4.6 },
		{ "VG 47", 0 }, { "VG", 0 }, { "", 0 }, { "HM 46", 0 }, { "46 degC", 0 }, { "VG 4600000000000000000000", 0 },
		{ "VG 46.5", 0 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_oil_grade grade = { 0 };

		if (leat_oil_grade_find(leat_span_of(cases[i].name), &grade) != (cases[i].midpoint > 0 ? 0 : -1))
			fail_msg("'%s'", cases[i].name);
		unit_close(grade.midpoint_mm2_s, cases[i].midpoint, 0);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_between),
		cmocka_unit_test(test_any_oil),
		cmocka_unit_test(test_through),
		cmocka_unit_test(test_blend),
		cmocka_unit_test(test_grade_names),
	};

	return cmocka_run_group_tests_name("oil", tests, NULL, NULL);
}
