#include "unit.h"

#include <math.h>

#include "noise.h"
#include "stats/forecast.h"

#define TURNS 100
#define CELL (9.0 / 256)	/* dates are known to a 256th of the time to the horizon */

/* How the forecasts of one kind of series came out. */
struct score {
	int asked, given, held, early, late, beyond;
	double off[TURNS];	/* days between p50 and the truth */
	int offs;
};

static int
compare(const void *a, const void *b)
{
	double p = *(const double *)a, q = *(const double *)b;

	return (p > q) - (p < q);
}

/* The forecast of one limit, of the smooth path. */
static int
reach(const double *x, const double *y, size_t n, double limit, int direction, struct leat_forecast *f, struct leat_error *err)
{
	const double limits[LEAT_FORECAST_LIMITS] = { limit, NAN };
	struct leat_forecast out[LEAT_FORECAST_LIMITS];
	int status = leat_forecast_reach(x, y, n, limits, direction, 0, out, err);

	assert_false(out[1].trend);
	*f = out[0];
	return status;
}

/* One series of n days that rises by snr deviations of its noise, seen ahead days before it reaches the limit. */
static void
play(uint64_t *seed, size_t n, double r, double snr, int ahead, struct score *s)
{
	double x[300], y[300], slope = snr / (double)n, e = noise_normal(seed), truth = (double)n - 1 + ahead;
	int direction = random_below(seed, 2) == 0 ? 1 : -1;
	struct leat_forecast f;

	for (size_t i = 0; i < n; i++) {
		x[i] = (double)i;
		y[i] = slope * x[i] + e;
		if (random_below(seed, 20) == 0)
			y[i] += (random_below(seed, 2) == 0 ? 8 : -8) * (1 + noise_even(seed));
		y[i] *= direction;
		e = noise_next(seed, e, r);
	}
	assert_int_equal(reach(x, y, n, direction * slope * truth, direction, &f, NULL), 0);
	s->asked++;
	if (!f.trend)
		return;
	assert_true(f.p10 <= f.p50 && f.p50 <= f.p90);
	s->given++;
	s->held += f.p10 <= truth && truth <= f.p90;
	s->early += f.p90 < truth;
	s->late += truth < f.p10;
	s->beyond += f.beyond;
	if (!f.beyond)
		s->off[s->offs++] = fabs(f.p50 - truth);
}

/* The limit is reached between P10 and P90 in 80 % of all forecasts and some more, since a straight line is the simplest
 * of all ways that are thought of: 30 to 300 days of daily values, noise
 * from a fifteenth to half of the rise, neighbours correlated by up to 0.7, one value in twenty wild, 60, 30 and 14
 * days ahead. */
static void
ranges_hold_the_truth(void **state)
{
	static const size_t count[] = { 30, 60, 100, 300 };
	static const double r[] = { 0, 0.3, 0.5, 0.7 }, snr[] = { 2, 5, 15 };
	static const int ahead[] = { 60, 30, 14 };
	uint64_t seed = 17;
	int given = 0, held = 0, early = 0, late = 0, group_given = 0, group_held = 0;

	(void)state;
	print_message("days  r    rise/noise  ahead  given  held   too early  too late  beyond  P50 off by\n");
	for (size_t i = 0; i < 4 * 4 * 3 * 3; i++) {
		struct score s = { 0 };
		size_t n = count[i / 36];
		int days = ahead[i % 3];

		if ((size_t)days >= n)
			continue;
		for (int turn = 0; turn < TURNS; turn++)
			play(&seed, n, r[i / 9 % 4], snr[i / 3 % 3], days, &s);
		qsort(s.off, (size_t)s.offs, sizeof(s.off[0]), compare);
		print_message("%4zu  %.1f  %10.0f  %5d  %4.0f %%  %4.1f %%  %7.1f %%  %6.1f %%  %4.1f %%  %.1f d\n", n,
		    r[i / 9 % 4], snr[i / 3 % 3], days, 100.0 * s.given / s.asked, 100.0 * s.held / s.given,
		    100.0 * s.early / s.given, 100.0 * s.late / s.given, 100.0 * s.beyond / s.given, s.off[s.offs / 2]);
		given += s.given;
		held += s.held;
		early += s.early;
		late += s.late;
		/* All series of one length and one r make a group; 14 days ahead comes last in it. */
		group_given += s.given;
		group_held += s.held;
		if (i % 9 == 8) {
			assert_true(100.0 * group_held / group_given >= 72 && 100.0 * group_held / group_given <= 94);
			group_given = group_held = 0;
		}
	}
	print_message("all: %.1f %% of %d held, %.1f %% too early, %.1f %% too late\n", 100.0 * held / given, given,
	    100.0 * early / given, 100.0 * late / given);
	assert_true(100.0 * held / given >= 76 && 100.0 * held / given <= 89);
}

/* Without a trend there is hardly ever a date. */
static void
no_trend_no_date(void **state)
{
	static const double r[] = { 0, 0.3, 0.5, 0.7 };
	double x[100], y[100];
	uint64_t seed = 23;

	(void)state;
	for (size_t c = 0; c < 4; c++) {
		int dates = 0;

		for (int turn = 0; turn < 500; turn++) {
			struct leat_forecast f;
			double e = noise_normal(&seed);

			for (size_t i = 0; i < 100; i++) {
				x[i] = (double)i;
				y[i] = e;
				e = noise_next(&seed, e, r[c]);
			}
			assert_int_equal(reach(x, y, 100, 5, 1, &f, NULL), 0);
			dates += f.trend;
			if (!f.trend)
				assert_true(isnan(f.p10) && isnan(f.p50) && isnan(f.p90) && !f.beyond);
		}
		print_message("dates without a trend, r %.1f: %.1f %%\n", r[c], dates / 5.0);
		assert_true(dates <= 50);
	}
}

static void
plain_lines(void **state)
{
	double x[10], y[10];
	struct leat_forecast f;

	(void)state;
	for (size_t i = 0; i < 10; i++) {
		x[i] = 100 + (double)i;
		y[i] = 2 + 0.5 * (double)i;
	}
	assert_int_equal(reach(x, y, 10, 8, 1, &f, NULL), 0);
	assert_true(f.trend && !f.beyond);
	unit_close(f.p10, 112, CELL);
	unit_close(f.p50, 112, CELL);
	unit_close(f.p90, 112, CELL);
	/* 118 is as far ahead as was seen. */
	assert_int_equal(reach(x, y, 10, 12, 1, &f, NULL), 0);
	assert_true(f.trend && f.beyond && isinf(f.p10) && isinf(f.p50) && isinf(f.p90));
	/* It moves the other way. */
	assert_int_equal(reach(x, y, 10, 1, -1, &f, NULL), 0);
	assert_false(f.trend);
	/* Passed already: now, and never before. */
	assert_int_equal(reach(x, y, 10, 4, 1, &f, NULL), 0);
	unit_close(f.p50, 109, CELL);
	assert_int_equal(reach(x, y, 10, -9, 1, &f, NULL), 0);
	unit_close(f.p10, 109, CELL);
	unit_close(f.p90, 109, CELL);
	for (size_t i = 0; i < 10; i++)
		y[i] = 7;
	assert_int_equal(reach(x, y, 10, 8, 1, &f, NULL), 0);
	assert_false(f.trend);
}

/* Two limits at once are each as by themselves. */
static void
limits_do_not_meddle(void **state)
{
	double x[80], y[80];
	const double limits[LEAT_FORECAST_LIMITS] = { 90, 120 };
	struct leat_forecast both[LEAT_FORECAST_LIMITS], one;
	uint64_t seed = 4;

	(void)state;
	for (size_t i = 0; i < 80; i++) {
		x[i] = (double)i;
		y[i] = x[i] + 3 * noise_normal(&seed);
	}
	assert_int_equal(leat_forecast_reach(x, y, 80, limits, 1, 0, both, NULL), 0);
	for (int i = 0; i < LEAT_FORECAST_LIMITS; i++) {
		assert_int_equal(reach(x, y, 80, limits[i], 1, &one, NULL), 0);
		assert_memory_equal(&one.p10, &both[i].p10, 3 * sizeof(double));
	}
	assert_true(both[0].p90 < both[1].p10);
}

static void
refusals(void **state)
{
	static const double x[] = { 1, 1, 1, 1, 1, 1 }, y[] = { 1, 2, 3, 4, 5, 6 };
	struct leat_forecast f;
	struct leat_error err;

	(void)state;
	assert_int_equal(reach(y, y, 5, 8, 1, &f, &err), -1);
	assert_int_equal(reach(y, y, 6, 8, 0, &f, &err), -1);
	assert_int_equal(reach(y, y, 6, INFINITY, 1, &f, &err), -1);
	assert_int_equal(reach(x, y, 6, 8, 1, &f, &err), -1);
	assert_string_equal(err.text, "a line needs two points with different x");
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(ranges_hold_the_truth),
		cmocka_unit_test(no_trend_no_date),
		cmocka_unit_test(plain_lines), cmocka_unit_test(limits_do_not_meddle),
		cmocka_unit_test(refusals),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
