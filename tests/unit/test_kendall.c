#include "unit.h"

#include <math.h>

#include "noise.h"
#include "stats/kendall.h"

static double
sign(double v)
{
	return (v > 0) - (v < 0);
}

/* S and its variance with ties in both (Kendall 1975, section 4), by all pairs and by counting equals of each
 * point. */
static void
s_is_that_of_all_pairs(void **state)
{
	double x[60], y[60];
	uint64_t seed = 2;

	(void)state;
	for (unsigned turn = 0; turn < 3000; turn++) {
		size_t n = 3 + random_below(&seed, 58);
		double s = 0, tx = 0, ty = 0, m = (double)n, variance, vx = 0, vy = 0, wx = 0, wy = 0;
		struct leat_kendall k;

		for (size_t i = 0; i < n; i++) {
			x[i] = turn % 2 == 0 ? (double)i : random_below(&seed, 12);
			y[i] = turn % 3 == 0 ? noise_normal(&seed) : random_below(&seed, 8);
		}
		for (size_t i = 0; i < n; i++) {
			double ex = 0, ey = 0;

			for (size_t j = 0; j < n; j++) {
				ex += x[i] == x[j];
				ey += y[i] == y[j];
				s += i < j ? sign(x[j] - x[i]) * sign(y[j] - y[i]) : 0;
			}
			/* Each of t equals adds its share of a sum over groups. */
			tx += (ex - 1) * (2 * ex + 5);
			ty += (ey - 1) * (2 * ey + 5);
			vx += ex - 1;
			vy += ey - 1;
			wx += (ex - 1) * (ex - 2);
			wy += (ey - 1) * (ey - 2);
		}
		variance = (m * (m - 1) * (2 * m + 5) - tx - ty) / 18 + vx * vy / (2 * m * (m - 1)) +
		    wx * wy / (9 * m * (m - 1) * (m - 2));
		assert_int_equal(leat_kendall(x, y, n, false, &k, NULL), 0);
		unit_close(k.s, s, 0);
		unit_close(k.variance, variance, 1e-9 * (1 + fabs(variance)));
	}
}

static void
order_of_points_is_free(void **state)
{
	static const double x[] = { 3, 1, 2, 5, 4 }, y[] = { 6, 2, 4, 100, 8 };
	struct leat_kendall k;

	(void)state;
	assert_int_equal(leat_kendall(x, y, 5, false, &k, NULL), 0);
	unit_close(k.s, 10, 0);
	unit_close(k.tau, 1, 1e-12);
	unit_close(k.factor, 1, 0);
	unit_close(k.z, 9 / sqrt(5 * 4 * 15 / 18.0), 1e-12);
}

static void
what_does_not_vary_has_no_trend(void **state)
{
	static const double x[] = { 1, 2, 3, 4, 5 }, y[] = { 7, 7, 7, 7, 7 }, bad[] = { 1, 2, INFINITY, 4, 5 };
	struct leat_kendall k;
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_kendall(x, y, 5, true, &k, NULL), 0);
	unit_close(k.p, 1, 0);
	unit_close(k.tau, 0, 0);
	assert_int_equal(leat_kendall(y, x, 5, true, &k, NULL), 0);
	unit_close(k.p, 1, 0);
	assert_int_equal(leat_kendall(x, y, 2, true, &k, &err), -1);
	assert_int_equal(leat_kendall(x, bad, 5, true, &k, &err), -1);
	assert_string_equal(err.text, "point 3 is not a pair of numbers");
}

/* How often there seems to be a trend at 10 % where there is none: autocorrelation must not make it much more. */
static void
false_trends(void **state)
{
	static const double r[] = { 0, 0.3, 0.5, 0.7 };
	double x[200], y[200];
	uint64_t seed = 4;

	(void)state;
	for (size_t c = 0; c < 4; c++) {
		int plain = 0, corrected = 0;

		for (int turn = 0; turn < 500; turn++) {
			struct leat_kendall k;
			double e = noise_normal(&seed);

			for (size_t i = 0; i < 200; i++) {
				x[i] = (double)i;
				y[i] = e;
				e = noise_next(&seed, e, r[c]);
			}
			assert_int_equal(leat_kendall(x, y, 200, false, &k, NULL), 0);
			plain += k.p < 0.1;
			assert_int_equal(leat_kendall(x, y, 200, true, &k, NULL), 0);
			corrected += k.p < 0.1;
			assert_true(k.factor >= 1);
		}
		print_message("false trends at 10 %% with r %.1f: %.1f %%, corrected %.1f %%\n", r[c], plain / 5.0,
		    corrected / 5.0);
		assert_in_range(corrected, 20, 90);
		if (r[c] >= 0.5)
			assert_true(plain > 2 * corrected);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(s_is_that_of_all_pairs),
		cmocka_unit_test(order_of_points_is_free),
		cmocka_unit_test(what_does_not_vary_has_no_trend),
		cmocka_unit_test(false_trends),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
