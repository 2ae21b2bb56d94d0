/* Least squares with coefficients that are 0 or more: held to the conditions that only its solution meets, and to cases
 * worked by hand.  tests/published/nonnegative.sh holds it to SciPy. */
#include <math.h>

#include "unit.h"

#include "random.h"
#include "stats/nonnegative.h"

/* Karush, Kuhn and Tucker: no coefficient below 0, no gain from moving any of them. */
static void
test_conditions(void **state)
{
	uint64_t seed = 7;

	(void)state;
	for (int run = 0; run < 2000; run++) {
		size_t terms = 1 + random_below(&seed, 8), n = 1 + random_below(&seed, 12);
		double column[8 * 12], y[12], rest[12];
		struct leat_nonnegative fit;
		struct leat_error err;

		for (size_t i = 0; i < n; i++)
			y[i] = (double)random_below(&seed, 2001) / 1000 - 0.3;
		for (size_t t = 0; t < terms; t++) {
			for (size_t i = 0; i < n; i++)
				column[t * n + i] = random_below(&seed, 3) > 0;
			column[t * n + random_below(&seed, (unsigned)n)] = 1;
		}
		assert_int_equal(leat_nonnegative_fit(column, y, n, terms, &fit, &err), 0);
		for (size_t i = 0; i < n; i++) {
			rest[i] = y[i];
			for (size_t t = 0; t < terms; t++)
				rest[i] -= fit.coefficient[t] * column[t * n + i];
		}
		for (size_t t = 0; t < terms; t++) {
			double gain = 0;

			for (size_t i = 0; i < n; i++)
				gain += column[t * n + i] * rest[i];
			assert_true(fit.coefficient[t] >= 0);
			if (gain > 1e-8 || (fit.coefficient[t] > 1e-8 && gain < -1e-8))
				fail_msg("run %d, term %zu of %zu: coefficient %g, gain %g", run, t, terms, fit.coefficient[t], gain);
		}
	}
}

/* Three parts and the rest: all open .9; cyl-1 shut .8; cyl-2 and cyl-3 shut together .5. */
static void
test_told(void **state)
{
	const double column[] = { 1, 0, 1,  1, 1, 0,  1, 1, 0,  1, 1, 1 };	/* cyl-1, cyl-2, cyl-3, rest */
	const double y[] = { .9, .8, .5 }, alone[] = { 1, 0, 1, 1 }, nothing[] = { 1, 1, 1, 1 };
	struct leat_nonnegative fit;
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_nonnegative_fit(column, y, 3, 4, &fit, &err), 0);
	assert_true(fit.told[0]);
	unit_close(fit.coefficient[0], .1, 1e-9);
	assert_false(fit.told[1]);
	assert_false(fit.told[2]);
	unit_close(fit.coefficient[1] + fit.coefficient[2], .4, 1e-9);
	assert_true(fit.told[3]);
	assert_int_equal(fit.rank, 3);
	/* One test with cyl-2 shut alone would tell them apart; another of what was tested would not. */
	assert_true(leat_nonnegative_new(column, 3, 4, alone));
	assert_false(leat_nonnegative_new(column, 3, 4, nothing));
}

static void
test_refused(void **state)
{
	const double column[] = { 0, 0, 1, 1 }, y[] = { 1, 2 }, bad[] = { NAN, 1 };
	struct leat_nonnegative fit;
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_nonnegative_fit(column, y, 2, 2, &fit, &err), -1);
	assert_int_equal(leat_nonnegative_fit(column + 2, bad, 2, 1, &fit, &err), -1);
	assert_int_equal(leat_nonnegative_fit(column, y, 2, 0, &fit, &err), -1);
	assert_int_equal(leat_nonnegative_fit(column, y, 2, LEAT_NONNEGATIVE_TERMS + 1, &fit, &err), -1);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_conditions),
		cmocka_unit_test(test_told),
		cmocka_unit_test(test_refused),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
