/*
 * Statistics against published results; the data and their sources are in statistics_data.h.
 */
#include "unit.h"

#include <math.h>

#include "stats/change.h"
#include "stats/kendall.h"
#include "stats/least.h"
#include "stats/line.h"
#include "stats/order.h"
#include "statistics_data.h"

#define COUNT(a) (sizeof(a) / sizeof((a)[0]))

/* Certified values hold to so many parts of themselves. */
static void
certified(double actual, double value, double parts)
{
	unit_close(actual, value, fabs(value) * parts);
}

static void
norris(void **state)
{
	double column[2 * COUNT(norris_x)];
	struct leat_least l;
	size_t n = COUNT(norris_x);

	(void)state;
	for (size_t i = 0; i < n; i++) {
		column[i] = 1;
		column[n + i] = norris_x[i];
	}
	assert_int_equal(leat_least_fit(column, norris_y, n, 2, NULL, &l, NULL), 0);
	certified(l.coefficient[0], -0.262323073774029, 1e-11);
	certified(l.coefficient[1], 1.00211681802045, 1e-13);
	certified(l.error[0], 0.232818234301152, 1e-11);
	certified(l.error[1], 0.429796848199937e-3, 1e-11);
	certified(l.deviation, 0.884796396144373, 1e-11);
	certified(l.squares, 26.6173985294224, 1e-11);
}

static void
pontius(void **state)
{
	double column[3 * COUNT(pontius_x)];
	struct leat_least l;
	size_t n = COUNT(pontius_x);

	(void)state;
	for (size_t i = 0; i < n; i++) {
		column[i] = 1;
		column[n + i] = pontius_x[i];
		column[2 * n + i] = pontius_x[i] * pontius_x[i];
	}
	assert_int_equal(leat_least_fit(column, pontius_y, n, 3, NULL, &l, NULL), 0);
	certified(l.coefficient[0], 0.673565789473684e-3, 1e-10);
	certified(l.coefficient[1], 0.732059160401003e-6, 1e-12);
	certified(l.coefficient[2], -0.316081871345029e-14, 1e-10);
	certified(l.error[0], 0.107938612033077e-3, 1e-10);
	certified(l.error[1], 0.157817399981659e-9, 1e-10);
	certified(l.error[2], 0.486652849992036e-16, 1e-10);
	certified(l.deviation, 0.205177424076185e-3, 1e-10);
}

/* Seven columns that nearly make up each other. */
static void
longley(void **state)
{
	static const double value[] = { -3482258.63459582, 15.0618722713733, -0.358191792925910e-1, -2.02022980381683,
		-1.03322686717359, -0.511041056535807e-1, 1829.15146461355 };
	static const double error[] = { 890420.383607373, 84.9149257747669, 0.334910077722432e-1, 0.488399681651699,
		0.214274163161675, 0.226073200069370, 455.478499142212 };
	size_t n = COUNT(longley_y);
	double column[7 * COUNT(longley_y)];
	struct leat_least l;

	(void)state;
	for (size_t i = 0; i < n; i++)
		column[i] = 1;
	memcpy(column + n, longley_x, sizeof(longley_x));
	assert_int_equal(leat_least_fit(column, longley_y, n, 7, NULL, &l, NULL), 0);
	for (size_t t = 0; t < 7; t++) {
		certified(l.coefficient[t], value[t], 1e-8);
		certified(l.error[t], error[t], 1e-8);
	}
	certified(l.squares, 836424.055505915, 1e-9);
}

static void
cusum_of_the_handbook(void **state)
{
	struct leat_cusum c = { .target = 325, .k = 0.3175, .h = 4.1959 };

	(void)state;
	for (size_t i = 0; i < COUNT(cusum_x); i++) {
		int signal = leat_cusum_step(&c, cusum_x[i]);

		unit_close(c.high, cusum_high[i], 0.005 + 1e-9);
		unit_close(c.low, cusum_low[i], 0.005 + 1e-9);
		assert_int_equal(signal, i + 1 >= 14 ? 1 : 0);
	}
}

static void
ewma_of_the_handbook(void **state)
{
	struct leat_ewma e = { .lambda = 0.3, .target = 50, .sigma = 2.0539, .width = 3, .z = 50 };

	(void)state;
	unit_close(50 + leat_ewma_reach(&e), 52.5884, 0.0001);
	unit_close(50 - leat_ewma_reach(&e), 47.4115, 0.0002);
	for (size_t i = 0; i < COUNT(ewma_x); i++) {
		assert_int_equal(leat_ewma_step(&e, ewma_x[i]), 0);
		unit_close(e.z, ewma_z[i], 0.005 + 1e-9);
	}
}

/* The flow fell when the first dam at Aswan was begun: after 1898, the 28th year (Cobb 1978). */
static void
the_nile_changed_after_1898(void **state)
{
	double year[COUNT(nile)];
	struct leat_change c;
	struct leat_step s;

	(void)state;
	for (size_t i = 0; i < COUNT(nile); i++)
		year[i] = 1871 + (double)i;
	assert_int_equal(leat_change_pettitt(nile, COUNT(nile), &c, NULL), 0);
	assert_int_equal(c.at, 28);
	assert_true(c.p < 0.0001);
	assert_true(c.before > c.after);
	/* No more can be asked of a step of less than two deviations than to be the best candidate. */
	assert_int_equal(leat_change_step(year, nile, COUNT(nile), &s, NULL), 0);
	assert_int_equal(s.at, 28);
	assert_true(s.size < 0);
}

/* S, its variance with ties and Z of a long series with ties, computed with R 4.2.2; the line with SciPy 1.10.1. */
static void
the_nile_falls(void **state)
{
	double year[COUNT(nile)], sorted[COUNT(nile)];
	struct leat_kendall k;
	struct leat_line l;

	(void)state;
	for (size_t i = 0; i < COUNT(nile); i++)
		year[i] = 1871 + (double)i;
	assert_int_equal(leat_kendall(year, nile, COUNT(nile), false, &k, NULL), 0);
	unit_close(k.s, -1387, 0);
	unit_close(k.variance, 112728.3333, 0.0001);
	unit_close(k.z, -4.128067, 0.000001);
	assert_int_equal(leat_line_fit(year, nile, COUNT(nile), 0.95, 1, &l, NULL), 0);
	unit_close(l.slope, -2.6, 0);
	unit_close(l.slope_low, -3.627907, 0.000001);
	unit_close(l.slope_high, -1.428571, 0.000001);
	/* SciPy's intercept is median y - slope * median x; ours is the median of y - slope * x. */
	memcpy(sorted, nile, sizeof(nile));
	unit_close(leat_median(sorted, COUNT(nile)) - l.slope * 1920.5, 5886.8, 0.001);
}

/* J. Little, College of the Holy Cross: the Mann-Kendall test by hand; one pair is tied. */
static void
kendall_by_hand(void **state)
{
	static const double y[] = { 12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7 };
	double x[COUNT(y)];
	struct leat_kendall k;

	(void)state;
	for (size_t i = 0; i < COUNT(y); i++)
		x[i] = (double)i;
	assert_int_equal(leat_kendall(x, y, COUNT(y), false, &k, NULL), 0);
	unit_close(k.s, 54, 0);
	unit_close(k.variance, 332.6667, 0.0001);
	unit_close(k.z, 2.905837, 0.000001);
	unit_close(k.p / 2, 0.0018, 0.00005);
}

/* From the tests of SciPy: the two conventions of an intercept differ. */
static void
line_of_three_points(void **state)
{
	static const double x[] = { 0, 1, 2 }, y[] = { 0, 1, 1 };
	struct leat_line l;

	(void)state;
	assert_int_equal(leat_line_fit(x, y, 3, 0.9, 1, &l, NULL), 0);
	unit_close(l.slope, 0.5, 0);
	unit_close(l.intercept, 0.0, 0);
}

/* Clearances that wear evenly leak with the cube: 1.8 L/min at 0 h and 2.7 at 4000 h reach 3.6 at 7184 h (laminar
 * flow through a slot; computed by hand). */
static void
clearance_by_the_cube_root(void **state)
{
	const double x[] = { 0, 4000 }, y[] = { cbrt(1.8), cbrt(2.7) };
	struct leat_line l;

	(void)state;
	assert_int_equal(leat_line_fit(x, y, 2, 0.9, 1, &l, NULL), 0);
	unit_close((cbrt(3.6) - l.intercept) / l.slope, 7184, 0.5);
}

/* NIST/SEMATECH e-Handbook 1.3.5.17.1, one wild value; the modified z is that of Iglewicz and Hoaglin (1993). */
static void
spread_beside_a_wild_value(void **state)
{
	double v[] = { 199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57 }, work[COUNT(v)], middle;

	(void)state;
	unit_close(leat_mad(v, COUNT(v), work), 1.475187, 0.000001);
	middle = leat_median(v, COUNT(v));
	unit_close(middle, 201.37, 1e-12);
	unit_close((245.57 - middle) / 0.995 * 0.6745, 29.9627, 0.0001);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(norris),
		cmocka_unit_test(pontius),
		cmocka_unit_test(longley),
		cmocka_unit_test(cusum_of_the_handbook),
		cmocka_unit_test(ewma_of_the_handbook),
		cmocka_unit_test(the_nile_changed_after_1898),
		cmocka_unit_test(the_nile_falls),
		cmocka_unit_test(kendall_by_hand),
		cmocka_unit_test(line_of_three_points),
		cmocka_unit_test(clearance_by_the_cube_root),
		cmocka_unit_test(spread_beside_a_wild_value),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
