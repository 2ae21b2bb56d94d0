/* The last knee of a broken line: found where it was made, and not found in straight lines. */
#include <math.h>

#include "unit.h"

#include "random.h"
#include "stats/knee.h"

#define MOST 300

static double x[MOST], y[MOST];

static double
noise(uint64_t *state)
{
	double sum = -6;

	for (int i = 0; i < 12; i++)
		sum += (double)random_below(state, 100000) / 100000;
	return sum;
}

/* Level 1 up to the knee, then slope by the unit of x; noise of deviation sd, correlated by r. */
static void
make(size_t n, size_t knee, double slope, double sd, double r, uint64_t seed)
{
	double e = 0;

	for (size_t i = 0; i < n; i++) {
		e = r * e + sqrt(1 - r * r) * noise(&seed);
		x[i] = 20000 + (double)i;
		y[i] = 1 + (i > knee ? slope * (double)(i - knee) : 0) + sd * e;
	}
}

static size_t
last_knee(size_t n)
{
	struct leat_error err;
	size_t from = SIZE_MAX;

	assert_int_equal(leat_knee_last(x, y, n, &from, &err), 0);
	return from;
}

static void
test_found(void **state)
{
	(void)state;
	for (uint64_t seed = 1; seed <= 20; seed++) {
		make(200, 120, 0.01, 0.02, 0, seed);
		assert_in_range(last_knee(200), 108, 132);
		make(200, 120, -0.01, 0.02, 0.5, seed);
		assert_in_range(last_knee(200), 100, 140);
	}
}

static void
test_twice(void **state)
{
	(void)state;
	make(240, 80, 0.005, 0.01, 0, 7);
	for (size_t i = 161; i < 240; i++)
		y[i] += 0.015 * (double)(i - 160);
	assert_in_range(last_knee(240), 150, 170);
}

static void
test_straight(void **state)
{
	size_t found = 0, tried = 0;

	(void)state;
	for (uint64_t seed = 1; seed <= 400; seed++, tried++) {
		make(60 + seed % 240, 0, seed % 3 == 0 ? 0.01 : 0, 0.05, seed % 2 == 0 ? 0.5 : 0, 1000 + seed);
		found += last_knee(60 + seed % 240) != 0;
	}
	/* Chance bends one line in fifty at most. */
	assert_true(found * 50 <= tried);
}

static void
test_odd(void **state)
{
	(void)state;
	assert_int_equal(last_knee(0), 0);
	make(21, 0, 0, 0, 0, 1);
	assert_int_equal(last_knee(1), 0);
	assert_int_equal(last_knee(21), 0);
	/* Equal values, and two wild ones. */
	make(100, 0, 0, 0, 0, 1);
	assert_int_equal(last_knee(100), 0);
	make(100, 0, 0.01, 0.01, 0, 3);
	y[50] = y[51] = 50;
	assert_int_equal(last_knee(100), 0);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_found),
		cmocka_unit_test(test_twice),
		cmocka_unit_test(test_straight),
		cmocka_unit_test(test_odd),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
