/* Regular swings of a temperature. */
#include "unit.h"

#include <math.h>

#include "derive/cooler_swing.h"
#include "random.h"
#include "stats/order.h"

#define PI 3.14159265358979323846

static const struct leat_swing_rule usual = { 0.5, 15, 30 };

/* About normal. */
static double
noise(uint64_t *seed)
{
	double sum = -6;

	for (int i = 0; i < 12; i++)
		sum += random_below(seed, 100001) / 100000.0;
	return sum;
}

struct wave {
	double period_min, amplitude_k, noise_k, drift_k_h, deadband_k;
	int minutes, step;		/* step: minutes between readings, which hold meanwhile */
	double jitter;			/* of the phase, in cycles a minute */
	int pump_ups;			/* minutes between them; 0: none */
};

static void
run(struct leat_swing *swing, const struct leat_swing_rule *rule, const struct wave *w, uint64_t seed)
{
	double phase = 0, held = NAN;
	int step = w->step > 0 ? w->step : 1, last = 0;

	leat_swing_init(swing);
	leat_swing_day(swing);
	/* From an hour of the clock on. */
	for (int m = 0; m < w->minutes; m++) {
		double value = 40 + w->amplitude_k * sin(2 * PI * phase) + w->noise_k * noise(&seed) + w->drift_k_h * m / 60;

		phase += 1 / w->period_min + w->jitter * noise(&seed);
		if (m % step == 0 && (isnan(held) || fabs(value - held) >= w->deadband_k)) {
			if (!isnan(held))
				leat_swing_step(swing, 60.0 * (m - last));
			last = m;
			held = value;
		}
		if (w->pump_ups > 0 && m % w->pump_ups == 0)
			leat_swing_pump_up(swing, 6000 + m);
		leat_swing_put(swing, rule, 6000 + m, held);
	}
}

static double
median_of(const struct leat_swing *swing, bool period)
{
	double x[LEAT_SWING_HOURS];

	for (size_t i = 0; i < swing->regulars; i++)
		x[i] = period ? swing->regular[i].period_min : swing->regular[i].amplitude_k;
	return leat_median(x, swing->regulars);
}

static void
test_found(void **state)
{
	static const struct wave waves[] = {
		{ 9, 3, 0, 0, 0, 600, 1, 0, 0 }, { 9, 3, 0.15, 0, 0.3, 600, 1, 0, 0 }, { 6, 1.2, 0.1, 2.5, 0, 600, 1, 0, 0 },
		{ 14, 2.5, 0.15, -2.5, 0.3, 900, 1, 0, 0 }, { 5.5, 4, 0.2, 0, 0, 600, 1, 0, 0 }, { 13, 3, 0, 0, 0, 900, 2, 0, 0 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(waves) / sizeof(waves[0]); i++) {
		const struct wave *w = &waves[i];
		struct leat_swing swing;

		run(&swing, &usual, w, 11 + i);
		print_message("%zu: %zu of %d hours, period %.2f, amplitude %.2f\n", i, swing.regulars, swing.seen,
		    median_of(&swing, true), median_of(&swing, false));
		assert_true(swing.seen >= w->minutes / 60 - 3);
		assert_true((int)swing.regulars >= swing.seen - 1);
		unit_close(median_of(&swing, true), w->period_min, 0.03 * w->period_min);
		/* Whole minutes miss the crest, noise adds to it. */
		unit_close(median_of(&swing, false), w->amplitude_k, 0.12 * w->amplitude_k + 1.6 * w->noise_k);
	}
}

static void
test_not_found(void **state)
{
	static const struct { const char *name; struct wave wave; size_t most; } cases[] = {
		{ "noise alone", { 9, 0, 0.3, 0, 0, 1440, 1, 0, 0 }, 0 },
		/* Its crossings come at random; now and then an hour of them looks regular.  The band is to be above the noise. */
		{ "more noise than the band", { 9, 0, 0.8, 0, 0, 1440, 1, 0, 0 }, 4 },
		{ "a swing within the band", { 9, 0.4, 0, 0, 0, 1440, 1, 0, 0 }, 0 },
		{ "too slow", { 17, 3, 0, 0, 0, 1440, 1, 0, 0 }, 0 },
		{ "irregular", { 9, 3, 0, 0, 0, 1440, 1, 0.25, 0 }, 2 },
		{ "a tank that warms and cools in 4 h", { 240, 4, 0.1, 0, 0, 1440, 1, 0, 0 }, 0 },
		/* 9 min read each 4 min shows 36 min or 9: it cannot be told apart, and is not told. */
		{ "too seldom read", { 9, 3, 0, 0, 0, 1440, 4, 0, 0 }, 0 },
		{ "faster than four readings", { 3.3, 3, 0, 0, 0, 1440, 1, 0, 0 }, 0 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_swing swing;

		run(&swing, &usual, &cases[i].wave, 3 + i);
		print_message("%s: %zu of %d\n", cases[i].name, swing.regulars, swing.seen);
		assert_true(swing.seen >= 20);
		assert_true(swing.regulars <= cases[i].most);
	}
}

/* The bounds of the rule. */
static void
test_rule(void **state)
{
	const struct leat_swing_rule narrow = { 4, 15, 30 }, quick = { 0.5, 8, 30 }, strict = { 0.5, 15, 0.5 };
	const struct wave wave = { 9, 3, 0.15, 0, 0.3, 600, 1, 0, 0 };
	struct leat_swing swing;

	(void)state;
	run(&swing, &narrow, &wave, 5);
	assert_int_equal(swing.regulars, 0);
	run(&swing, &quick, &wave, 5);
	assert_int_equal(swing.regulars, 0);
	run(&swing, &strict, &wave, 5);
	assert_int_equal(swing.regulars, 0);
}

/* A gap begins the window anew: two hours pass before an hour can be seen again. */
static void
test_gap(void **state)
{
	struct leat_swing swing;

	(void)state;
	leat_swing_init(&swing);
	leat_swing_day(&swing);
	for (int m = 0; m < 600; m++) {
		leat_swing_step(&swing, 60);
		if (m != 300)
			leat_swing_put(&swing, &usual, 6000 + m, 40 + 3 * sin(2 * PI * m / 9));
	}
	/* Minutes 60 to 239, and 361 to 539, are looked at: whole hours from 60, 120, 180; and 420, 480 less what no later hour
	 * ended. */
	assert_int_equal(swing.seen, 5);
	assert_int_equal(swing.regulars, 5);
}

static void
test_pump_ups(void **state)
{
	struct wave wave = { 10, 3, 0, 0, 0, 600, 1, 0, 10 };
	struct leat_swing swing;

	(void)state;
	run(&swing, &usual, &wave, 5);
	assert_true(swing.regulars >= 6);
	for (size_t i = 0; i < swing.regulars; i++)
		unit_close(swing.regular[i].pump_ups, 6, 0);
	leat_swing_day(&swing);
	assert_int_equal(swing.regulars, 0);
	assert_true(isnan(leat_swing_step_min(&swing)));
}

/* The window against a plain median of its values, at every minute of a random walk. */
static void
test_median(void **state)
{
	struct leat_swing swing;
	uint64_t seed = 9;
	double walk[600], work[LEAT_SWING_WINDOW], value = 40;

	(void)state;
	leat_swing_init(&swing);
	for (int m = 0; m < 600; m++) {
		/* Ties too. */
		value += 0.1 * ((int)random_below(&seed, 7) - 3);
		walk[m] = value;
		leat_swing_put(&swing, &usual, m, value);
		if (m + 1 < LEAT_SWING_WINDOW)
			continue;
		memcpy(work, &walk[m + 1 - LEAT_SWING_WINDOW], sizeof(work));
		unit_close(swing.before_k, walk[m - LEAT_SWING_LATE] - leat_median(work, LEAT_SWING_WINDOW), 1e-12);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_found), cmocka_unit_test(test_not_found), cmocka_unit_test(test_rule), cmocka_unit_test(test_gap),
		cmocka_unit_test(test_pump_ups), cmocka_unit_test(test_median)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
