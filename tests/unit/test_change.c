#include "unit.h"

#include <math.h>

#include "noise.h"
#include "stats/change.h"

static double
sign(double v)
{
	return (v > 0) - (v < 0);
}

/* Pettitt's U, from its definition over all pairs. */
static void
k_is_that_of_all_pairs(void **state)
{
	double y[80];
	uint64_t seed = 6;

	(void)state;
	for (int turn = 0; turn < 500; turn++) {
		size_t n = 2 + random_below(&seed, 79), at = 0;
		struct leat_change c;
		double most = 0;

		for (size_t i = 0; i < n; i++)
			y[i] = turn % 2 == 0 ? noise_normal(&seed) : random_below(&seed, 6);
		for (size_t t = 1; t < n; t++) {
			double u = 0;

			for (size_t i = 0; i < t; i++)
				for (size_t j = t; j < n; j++)
					u += sign(y[i] - y[j]);
			if (fabs(u) > most) {
				most = fabs(u);
				at = t;
			}
		}
		assert_int_equal(leat_change_pettitt(y, n, &c, NULL), 0);
		unit_close(c.k, most, 0);
		if (most > 0)
			assert_int_equal(c.at, at);
		assert_true(c.p >= 0 && c.p <= 1);
	}
}

static void
pettitt_refuses(void **state)
{
	static const double y[] = { 1, NAN };
	struct leat_change c;
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_change_pettitt(y, 1, &c, &err), -1);
	assert_int_equal(leat_change_pettitt(y, 2, &c, &err), -1);
	assert_string_equal(err.text, "value 2 is not a number");
}

static void
charts_watch_both_sides(void **state)
{
	struct leat_cusum c = { .target = 10, .k = 0.5, .h = 4 };
	struct leat_ewma e = { .lambda = 0.2, .target = 10, .sigma = 1, .width = 3, .z = 10 };
	int steps = 0;

	(void)state;
	assert_int_equal(leat_cusum_step(&c, NAN), 0);
	while (leat_cusum_step(&c, 9) == 0)
		steps++;
	assert_int_equal(steps, 8);
	unit_close(c.low, 4.5, 1e-12);
	assert_int_equal(leat_ewma_step(&e, NAN), 0);
	unit_close(e.z, 10, 0);
	assert_int_equal(leat_ewma_step(&e, 6), 0);
	assert_int_equal(leat_ewma_step(&e, 6), -1);
}

/* 2.8 = 1.96 + 0.84: the normal quantiles of 97.5 and 80 %. */
static void
smallest_changes(void **state)
{
	(void)state;
	unit_close(leat_detectable(0.06, 7), 0.0898, 0.0001);
}

/* What a series may be made of. */
struct made {
	const char *name;
	double ratio;		/* of the values after the step; 1: none */
	double wear;		/* of the cube root, over the whole series */
	double bend;		/* added to the slope in the last third */
	double found_least, found_most;	/* per cent */
};

static void
make(uint64_t *seed, const struct made *m, size_t n, double r, size_t at, double *x, double *y)
{
	double e = noise_normal(seed);

	for (size_t i = 0; i < n; i++) {
		double t = (double)i / (double)n;

		x[i] = (double)i;
		y[i] = pow(1.2164 + m->wear * t, 3) + (t > 2 / 3.0 ? m->bend * (t - 2 / 3.0) : 0) + 0.06 * e;
		if (random_below(seed, 20) == 0)
			y[i] += random_below(seed, 2) == 0 ? 0.5 : -0.5;
		if (i >= at)
			y[i] *= m->ratio;
		e = noise_next(seed, e, r);
	}
}

/* Drain flows of 1.8 L/min with noise of 0.06 and wild values in twenty: a re-scaled meter is told from wear, even
 * wear that speeds up. */
static void
steps_are_told_from_wear(void **state)
{
	static const struct made made[] = {
		{ "level", 1, 0, 0, 0, 3 },
		{ "wear", 1, 0.4, 0, 0, 3 },
		{ "wear that speeds up", 1, 0, 3, 0, 10 },
		{ "litres to gallons", 0.2642, 0, 0, 95, 100 },
		{ "litres to gallons, with wear", 0.2642, 0.4, 0, 95, 100 },
		{ "a fifth more", 1.2, 0, 0, 55, 100 },
	};
	static const double r[] = { 0, 0.5, 0.7 };
	static const size_t count[] = { 60, 120, 300 };
	double x[300], y[300];
	uint64_t seed = 8;

	(void)state;
	for (size_t c = 0; c < sizeof(made) / sizeof(made[0]); c++) {
		int found = 0, dated = 0, turns = 0;
		double ratio = 0;

		for (size_t k = 0; k < 3; k++)
			for (size_t a = 0; a < 3; a++)
				for (int turn = 0; turn < 60; turn++, turns++) {
					size_t n = count[k], at = n / 5 + random_below(&seed, (unsigned)(n * 3 / 5));
					struct leat_step s;

					make(&seed, &made[c], n, r[a], at, x, y);
					assert_int_equal(leat_change_step(x, y, n, &s, NULL), 0);
					found += s.found;
					dated += s.found && s.at + 1 >= at && s.at <= at + 1;
					ratio += s.found ? s.ratio : 0;
				}
		print_message("%s: found %.1f %%, to the day %.1f %%, ratio %.4f\n", made[c].name, 100.0 * found / turns,
		    100.0 * dated / turns, found > 0 ? ratio / found : NAN);
		assert_true(100.0 * found / turns >= made[c].found_least);
		assert_true(100.0 * found / turns <= made[c].found_most);
		if (made[c].ratio != 1) {
			assert_true(dated >= 0.97 * found);
			unit_close(ratio / found, made[c].ratio, 0.01 * made[c].ratio);
		}
	}
}

static void
plain_steps(void **state)
{
	double x[40], y[40];
	struct leat_step s;
	struct leat_error err;

	(void)state;
	for (size_t i = 0; i < 40; i++) {
		x[i] = (double)i;
		y[i] = i < 17 ? 2 : 5;
	}
	assert_int_equal(leat_change_step(x, y, 40, &s, NULL), 0);
	assert_true(s.found);
	assert_int_equal(s.at, 17);
	unit_close(s.before, 2, 1e-9);
	unit_close(s.after, 5, 1e-9);
	unit_close(s.size, 3, 1e-9);
	unit_close(s.ratio, 2.5, 1e-9);
	for (size_t i = 0; i < 40; i++)
		y[i] = 2;
	assert_int_equal(leat_change_step(x, y, 40, &s, NULL), 0);
	assert_false(s.found);
	assert_int_equal(leat_change_step(x, y, 11, &s, &err), -1);
	assert_string_equal(err.text, "a step needs 12 values or more");
	for (size_t i = 0; i < 40; i++)
		x[i] = 1;
	assert_int_equal(leat_change_step(x, y, 40, &s, &err), -1);
	assert_string_equal(err.text, "a step needs values at different times");
}

/* A straight line has no step, however steep, long or far from 0: what rounds its values to 52 binary digits is none, nor what
 * makes them even at its ends.  The step of a billionth is one, and so is one of a tenth of the climb of a value. */
static void
lines_without_noise(void **state)
{
	double x[300], y[300];
	struct leat_step s;

	(void)state;
	for (size_t n = 12; n <= 300; n += 7)
		for (int steep = -10; steep < 10; steep++)
			for (int far = 0; far < 3; far++) {
				for (size_t i = 0; i < n; i++) {
					x[i] = (double)i + 10000.3 * far;
					y[i] = 5 + pow(1.7, steep) * x[i];
				}
				assert_int_equal(leat_change_step(x, y, n, &s, NULL), 0);
				if (s.found)
					fail_msg("%zu values that climb by %g: a step of %g", n, pow(1.7, steep), s.size);
			}
	for (int small = 0; small < 2; small++) {
		double size = small ? 1e-9 : 0.1;

		for (size_t i = 0; i < 80; i++)
			y[i] = 5 + (small ? 0 : (double)i) + (i >= 50 ? size : 0);
		for (size_t i = 0; i < 80; i++)
			x[i] = (double)i;
		assert_int_equal(leat_change_step(x, y, 80, &s, NULL), 0);
		assert_true(s.found);
		assert_int_equal(s.at, 50);
		unit_close(s.size, size, 1e-6 * size);
	}
}

/* Where a new step is, in a few values written down: worked out by hand from the rules in change.h. */
static void
fresh_steps(void **state)
{
	static const struct {
		const char *what;
		double y[24];
		size_t n, at;			/* at 0: none */
		double before, after;
	} rows[] = {
		{ "three values follow", { 10, 11, 10, 9, 10, 11, 10, 9, 10, 10, 4, 4, 4.5 }, 13, 10, 10, 4 },
		{ "two follow", { 10, 11, 10, 9, 10, 11, 10, 9, 10, 10, 10, 4, 4 }, 13, 0, 0, 0 },
		{ "nine come before", { 10, 11, 10, 9, 10, 11, 10, 9, 10, 4, 4, 4.5 }, 12, 0, 0, 0 },
		{ "one came back", { 10, 11, 10, 9, 10, 11, 10, 9, 10, 10, 4, 8, 4 }, 13, 0, 0, 0 },
		{ "eleven follow", { 10, 11, 10, 9, 10, 11, 10, 9, 10, 10, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4 }, 21, 10, 10, 4 },
		{ "twelve follow", { 10, 11, 10, 9, 10, 11, 10, 9, 10, 10, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4 }, 22, 0, 0, 0 },
		/* The MAD of the ten is 1, as a deviation 1.4826: eight are 11.9. */
		{ "within the noise", { 21, 23, 21, 23, 21, 23, 21, 23, 21, 23, 10.5, 10.5, 10.5 }, 13, 0, 0, 0 },
		{ "beyond the noise", { 21, 23, 21, 23, 21, 23, 21, 23, 21, 23, 9.5, 9.5, 9.5 }, 13, 10, 22, 9.5 },
		{ "wear that speeds up", { 1, 1, 1, 1, 1, 1.1, 1.2, 1.4, 1.7, 2.1, 2.6, 3.3, 4.3 }, 13, 0, 0, 0 },
		{ "on its way", { 10, 10, 10, 10, 10, 10, 10, 10, 10, 7, 4, 4, 4 }, 13, 0, 0, 0 },
		/* A clogged element grew from 1.9 to 3.7, and a new one is in: of what it grew by 0.2 a day nothing is noise. */
		{ "a new element", { 1.9, 2.1, 2.3, 2.5, 2.7, 2.9, 3.1, 3.3, 3.5, 3.7, 1, 1, 1 }, 13, 10, 2.8, 1 },
		/* As far off in the direction of the growth, that is not enough. */
		{ "it grows, and jumps", { 1.9, 2.1, 2.3, 2.5, 2.7, 2.9, 3.1, 3.3, 3.5, 3.7, 4.6, 4.6, 4.6 }, 13, 0, 0, 0 },
		{ "nothing changes", { 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5 }, 13, 0, 0, 0 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		struct leat_step s;
		bool found = leat_change_fresh(rows[i].y, rows[i].n, &s);

		if (found != (rows[i].at > 0) || s.found != found)
			fail_msg("%s: %s", rows[i].what, found ? "found" : "not found");
		if (!found)
			continue;
		assert_int_equal(s.at, rows[i].at);
		unit_close(s.before, rows[i].before, 1e-12);
		unit_close(s.after, rows[i].after, 1e-12);
		unit_close(s.size, rows[i].after - rows[i].before, 1e-12);
		unit_close(s.ratio, rows[i].after / rows[i].before, 1e-12);
	}
}

/* How often a step is seen on the third day, and how often chance makes one of a fifth or more, in values with noise. */
static void
fresh_steps_by_chance(void **state)
{
	int found = 0, chance = 0, turns = 20000;
	uint64_t seed = 4;

	(void)state;
	for (int turn = 0; turn < turns; turn++) {
		double y[13];
		struct leat_step s;

		for (size_t i = 0; i < 13; i++)
			y[i] = 1.8 * (1 + 0.02 * noise_normal(&seed));
		chance += leat_change_fresh(y, 13, &s) && (s.ratio <= 0.8 || s.ratio >= 1.2);
		for (size_t i = 10; i < 13; i++)
			y[i] *= 0.6;
		found += leat_change_fresh(y, 13, &s) && s.at == 10;
	}
	print_message("a step to 0.6: %.2f %%, by chance: %.4f %%\n", 100.0 * found / turns, 100.0 * chance / turns);
	assert_true(found >= 0.97 * turns);
	assert_int_equal(chance, 0);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(k_is_that_of_all_pairs),
		cmocka_unit_test(pettitt_refuses),
		cmocka_unit_test(charts_watch_both_sides),
		cmocka_unit_test(smallest_changes),
		cmocka_unit_test(plain_steps),
		cmocka_unit_test(lines_without_noise),
		cmocka_unit_test(fresh_steps), cmocka_unit_test(fresh_steps_by_chance),
		cmocka_unit_test(steps_are_told_from_wear),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
