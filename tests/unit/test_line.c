#include "unit.h"

#include <math.h>

#include "noise.h"
#include "stats/line.h"
#include "stats/slopes.h"

#define MOST 39u
#define KINDS_X 4u
#define KINDS_Y 9u

static int
compare(const void *a, const void *b)
{
	double p = *(const double *)a, q = *(const double *)b;

	return (p > q) - (p < q);
}

/* Even, with many ties, anywhere, seconds of today. */
static double
make_x(uint64_t *seed, unsigned kind, size_t i)
{
	switch (kind) {
	case 0: return (double)i;
	case 1: return random_below(seed, 7);
	case 2: return noise_even(seed) * 100;
	default: return (double)i * 0.1 + 1.7e9;
	}
}

/* Few values, noise, on one line, nearly so, large with few decimals, wild by 17 powers of ten ... */
static double
make_y(uint64_t *seed, unsigned kind, size_t i, double x, double far)
{
	switch (kind) {
	case 0: return random_below(seed, 3);
	case 1: return noise_normal(seed);
	case 2: return 0.1 * x;
	case 3: return 3 * x + (random_below(seed, 9) == 0);
	case 4: return far + floor(10 * noise_normal(seed)) / 10;
	case 5: return 0.01 * random_below(seed, 20);
	case 6: return x * 0.3 + 1e-16 * noise_normal(seed);
	case 7: return far + 0.1 * (double)i + 1e-9 * noise_normal(seed);
	default: return noise_normal(seed) * (random_below(seed, 9) == 0 ? 1e17 : 1);
	}
}

/* All slopes in order.  Returns how many. */
static size_t
all_slopes(const double *x, const double *y, size_t n, double *slope)
{
	size_t count = 0;

	for (size_t i = 0; i < n; i++)
		for (size_t j = 0; j < n; j++)
			if (x[i] < x[j])
				slope[count++] = (y[j] - y[i]) / (x[j] - x[i]);
	qsort(slope, count, sizeof(*slope), compare);
	return count;
}

/* Some ranks of a case, with so much room for slopes: everything but the smallest is then narrowed, not listed. */
static void
ranks_of(uint64_t *seed, const double *x, const double *y, size_t n, size_t room, const double *slope, size_t count)
{
	struct leat_slopes s;

	assert_int_equal(leat_slopes_init(&s, x, y, n, NULL), 0);
	assert_int_equal(s.pairs, count);
	if (room > 0)
		s.room = room;
	for (int q = 0; q < 4 && count > 0; q++) {
		uint64_t rank = q == 0 ? (count + 1) / 2 : q == 1 ? count / 2 + 1 : 1 + random_below(seed, (unsigned)count);
		double got;

		assert_int_equal(leat_slopes_select(&s, rank, &got, NULL), 0);
		if (got != slope[rank - 1])
			print_error("n %zu room %zu rank %u of %zu: %.17g, not %.17g\n", n, room, (unsigned)rank, count, got,
			    slope[rank - 1]);
		assert_true(got == slope[rank - 1]);
	}
	leat_slopes_free(&s);
}

static void
slopes_are_those_of_sorting_all(void **state)
{
	uint64_t seed = 11;
	double x[MOST + 1], y[MOST + 1], slope[MOST * (MOST + 1) / 2];

	(void)state;
	for (unsigned turn = 0; turn < 6000; turn++) {
		size_t n = 2 + random_below(&seed, MOST - 1), count;
		unsigned kind_x = random_below(&seed, KINDS_X), kind_y = random_below(&seed, KINDS_Y);
		double far = random_below(&seed, 2) == 0 ? 1e9 : -3e5;

		for (size_t i = 0; i < n; i++) {
			x[i] = make_x(&seed, kind_x, i);
			y[i] = make_y(&seed, kind_y, i, x[i], far);
		}
		count = all_slopes(x, y, n, slope);
		ranks_of(&seed, x, y, n, 8, slope, count);
		ranks_of(&seed, x, y, n, 16 + random_below(&seed, 40), slope, count);
		ranks_of(&seed, x, y, n, 0, slope, count);
	}
}

/* More points than are listed. */
static void
larger_sets_too(void **state)
{
	enum { N = 900 };
	static double x[N], y[N], slope[(size_t)N * (N - 1) / 2];
	uint64_t seed = 5;

	(void)state;
	for (unsigned kind_x = 0; kind_x < KINDS_X; kind_x++)
		for (unsigned kind_y = 0; kind_y < KINDS_Y - 1; kind_y++) {
			size_t count;

			for (size_t i = 0; i < N; i++) {
				x[i] = make_x(&seed, kind_x, i);
				y[i] = make_y(&seed, kind_y, i, x[i], 1e9);
			}
			count = all_slopes(x, y, N, slope);
			ranks_of(&seed, x, y, N, 0, slope, count);
			ranks_of(&seed, x, y, N, 2000, slope, count);
		}
}

static void
lines_and_intervals(void **state)
{
	static const double x[] = { 3, 1, 2, 5, 4 }, y[] = { 6, 2, 4, 100, 8 };
	struct leat_line l;

	(void)state;
	assert_int_equal(leat_line_fit(x, y, 5, 0.9, 1, &l, NULL), 0);
	assert_int_equal(l.pairs, 10);
	unit_close(l.slope, 2, 0);
	unit_close(l.intercept, 0, 0);
	unit_close(l.slope_low, 2, 0);
	unit_close(l.slope_high, 47, 0);
	/* Ten pairs bound nothing at 99.9 %, nor with so wide a variance. */
	assert_int_equal(leat_line_fit(x, y, 5, 0.999, 1, &l, NULL), 0);
	assert_true(isinf(l.slope_low) && l.slope_low < 0 && isinf(l.slope_high) && l.slope_high > 0);
	assert_int_equal(leat_line_fit(x, y, 5, 0.9, 9, &l, NULL), 0);
	assert_true(isinf(l.slope_low) && isinf(l.slope_high));
}

/* The interval holds the slope about as often as it says. */
static void
intervals_hold_the_slope(void **state)
{
	double x[50], y[50];
	uint64_t seed = 21;
	int held = 0;

	(void)state;
	for (int turn = 0; turn < 2000; turn++) {
		struct leat_line l;

		for (size_t i = 0; i < 50; i++) {
			x[i] = (double)i;
			y[i] = 0.3 * x[i] + noise_normal(&seed);
		}
		assert_int_equal(leat_line_fit(x, y, 50, 0.9, 1, &l, NULL), 0);
		held += l.slope_low <= 0.3 && 0.3 <= l.slope_high;
	}
	print_message("intervals at 90 %% held the slope in %.1f %%\n", held / 20.0);
	assert_in_range(held, 1760, 1860);
}

static void
a_trend_gets_steeper(void **state)
{
	double x[90], y[90];
	struct leat_line whole, newest;
	uint64_t seed = 9;
	bool faster;

	(void)state;
	for (int sign = -1; sign <= 1; sign += 2)
		for (int bent = 0; bent < 2; bent++) {
			for (size_t i = 0; i < 90; i++) {
				x[i] = (double)i;
				y[i] = sign * (0.02 * x[i] + (bent && i > 60 ? 0.08 * (x[i] - 60) : 0)) +
				    0.1 * noise_normal(&seed);
			}
			assert_int_equal(leat_line_accelerates(x, y, 90, 0.99, 1, &whole, &newest, &faster, NULL), 0);
			assert_int_equal(newest.n, 30);
			assert_int_equal(faster, bent);
		}
	assert_int_equal(leat_line_accelerates(x, y, 8, 0.9, 1, &whole, &newest, &faster, NULL), -1);
}

static void
refusals(void **state)
{
	static const double x[] = { 1, 1, 2 }, y[] = { 1, 2, NAN }, huge[] = { 0, 1e200, 2 };
	struct leat_error err;
	struct leat_line l;

	(void)state;
	assert_int_equal(leat_line_fit(x, y, 2, 0.9, 1, &l, &err), -1);
	assert_string_equal(err.text, "a line needs two points with different x");
	assert_int_equal(leat_line_fit(x, y, 0, 0.9, 1, &l, &err), -1);
	assert_int_equal(leat_line_fit(x, y, 1, 0.9, 1, &l, &err), -1);
	assert_int_equal(leat_line_fit(x, y, 3, 0.9, 1, &l, &err), -1);
	assert_string_equal(err.text, "point 3 is not a pair of numbers");
	assert_int_equal(leat_line_fit(x, x, 3, 1, 1, &l, &err), -1);
	assert_int_equal(leat_line_fit(x, x, 3, 0.9, -1, &l, &err), -1);
	assert_int_equal(leat_line_fit(x, huge, 3, 0.9, 1, &l, &err), -1);
	assert_string_equal(err.text, "point 2 is too large to compute slopes");
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(slopes_are_those_of_sorting_all),
		cmocka_unit_test(larger_sets_too),
		cmocka_unit_test(lines_and_intervals),
		cmocka_unit_test(intervals_hold_the_slope),
		cmocka_unit_test(a_trend_gets_steeper),
		cmocka_unit_test(refusals),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
