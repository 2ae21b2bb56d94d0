/*
 * stream/survey_trace.c, survey_wave.c, survey_days.c: deadband, cycles and the smallest change that is seen, of series
 * that are made and compressed here, by another program than the one under test: what went in is known.
 */
#include <math.h>

#include "random.h"
#include "stream/survey_trace.h"
#include "unit.h"

#define MOST 40000
#define STEP_S 60

struct made {
	struct leat_survey survey;
	struct leat_trace trace;
	struct leat_trace_result found;
};

static const struct leat_export_form form = { .decimal = '.' };

static void
put(struct made *m, double at_s, const char *text)
{
	struct leat_sample s = { .tag = LEAT_SPAN("A"), .value = leat_span_of(text) };

	s.time = leat_time_add((struct leat_time){ 1738540800, 0 }, at_s);
	assert_int_equal(leat_survey_take(&m->survey, &form, &s), 0);
	leat_trace_take(&m->trace, &m->survey.tag[0], s.time);
}

static void
put_number(struct made *m, double at_s, double value, int decimals)
{
	char text[64];

	snprintf(text, sizeof(text), "%.*f", decimals, value);
	put(m, at_s, text);
}

static void
finish(struct made *m)
{
	leat_trace_judge(&m->trace, &m->survey.tag[0], &m->found);
	leat_survey_free(&m->survey);
}

/* The sum of twelve uniform numbers less six has mean 0 and deviation 1 and is normal to the eye. */
static double
normal(uint64_t *seed)
{
	double sum = -6;

	for (int i = 0; i < 12; i++)
		sum += (random_below(seed, 1000000) + 0.5) / 1e6;
	return sum;
}

enum shape { SAW, SINE, NOISE };
enum store { ALL, HELD, CHANGED, LINES };

static void
make(double *value, int count, enum shape shape, double height, double cycle_s, double noise, uint64_t seed)
{
	double turn;

	for (int i = 0; i < count; i++) {
		turn = fmod(i * (double)STEP_S, cycle_s) / cycle_s;
		value[i] = 100 + noise * normal(&seed);
		if (shape == SAW)
			value[i] += height * (1 - turn);
		else if (shape == SINE)
			value[i] += height / 2 * sin(2 * acos(-1) * turn);
	}
}

/* Keeps a value that has moved by more than the deadband, or after ten minutes; hands out those, or one each step. */
static void
store_changes(struct made *m, const double *value, int count, double deadband, bool held, int decimals)
{
	double kept = value[0];
	int at = 0;

	for (int i = 0; i < count; i++) {
		bool keep = i == 0 || fabs(value[i] - kept) > deadband || i - at >= 10;

		if (keep) {
			kept = value[i];
			at = i;
		}
		if (keep || held)
			put_number(m, i * (double)STEP_S, kept, decimals);
	}
}

/* A swinging door: a line from the last kept point must pass within the deviation of all that follow; hands out the line
 * at each step. */
static void
store_lines(struct made *m, const double *value, int count, double deviation, int decimals)
{
	double least = -1e30, most = 1e30;
	int from = 0;

	for (int i = 1; i < count; i++) {
		double low = (value[i] - deviation - value[from]) / (i - from);
		double high = (value[i] + deviation - value[from]) / (i - from);

		if (low <= most && high >= least && i + 1 < count) {
			least = low > least ? low : least;
			most = high < most ? high : most;
			continue;
		}
		for (int k = from; k < i - 1; k++)
			put_number(m, k * (double)STEP_S,
			    value[from] + (value[i - 1] - value[from]) * (k - from) / (i - 1 - from), decimals);
		from = i - 1;
		least = value[i] - deviation - value[from];
		most = value[i] + deviation - value[from];
	}
}

static const struct case_of {
	const char *name;
	enum shape shape;
	double height, cycle_s, noise;
	enum store store;
	double deadband;
	enum leat_trace_kept kept;
	double found;			/* the deadband that is to be found, within a fifth; -1: none */
	bool cycle, hides;
} cases[] = {
	{ "noise as it is", NOISE, 0, 600, 1.5, ALL, 0, LEAT_TRACE_ALL, -1, false, false },
	{ "noise held", NOISE, 0, 600, 1.5, HELD, 1, LEAT_TRACE_HELD, 1, false, false },
	{ "noise on change", NOISE, 0, 600, 1.5, CHANGED, 1, LEAT_TRACE_CHANGED, 1, false, false },
	{ "noise held coarsely", NOISE, 0, 600, 1.5, HELD, 3, LEAT_TRACE_HELD, 3, false, false },
	{ "pump-ups as they are", SAW, 10, 1800, 0.3, ALL, 0, LEAT_TRACE_ALL, -1, true, false },
	{ "pump-ups held finely", SAW, 10, 1800, 0.3, HELD, 0.5, LEAT_TRACE_HELD, 0.5, true, false },
	{ "pump-ups on change", SAW, 10, 1800, 0.3, CHANGED, 1, LEAT_TRACE_CHANGED, 1, true, false },
	{ "pump-ups held too coarsely", SAW, 10, 1800, 0.3, HELD, 3, LEAT_TRACE_HELD, 3, true, true },
	{ "short pump-ups", SAW, 10, 600, 0.3, ALL, 0, LEAT_TRACE_ALL, -1, true, false },
	{ "a wave as it is", SINE, 16, 7200, 0.1, ALL, 0, LEAT_TRACE_ALL, -1, true, false },
	{ "a wave held", SINE, 16, 7200, 0.1, HELD, 0.5, LEAT_TRACE_HELD, 0.5, true, false },
	{ "a wave on change", SINE, 16, 7200, 0.1, CHANGED, 1, LEAT_TRACE_CHANGED, 1, true, false },
	{ "a wave in lines", SINE, 16, 7200, 0.1, LINES, 0.5, LEAT_TRACE_LINES, -1, true, false },
	{ "pump-ups in lines", SAW, 10, 1800, 0.3, LINES, 1, LEAT_TRACE_LINES, -1, true, false },
};

static void
test_compressed(void **state)
{
	static double value[MOST];
	const struct case_of *c;

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		for (uint64_t seed = 1; seed <= 3; seed++) {
			struct made m = { .survey = { NULL, 0 } };

			c = &cases[i];
			make(value, MOST / 2, c->shape, c->height, c->cycle_s, c->noise, seed);
			if (c->store == LINES)
				store_lines(&m, value, MOST / 2, c->deadband, 2);
			else
				store_changes(&m, value, MOST / 2, c->store == ALL ? -1 : c->deadband, c->store != CHANGED, 2);
			finish(&m);
			if (m.found.kept != c->kept)
				fail_msg("%s: kept '%s'", c->name, leat_trace_kept_name(m.found.kept));
			if (c->found < 0 ? m.found.deadband >= 0 : fabs(m.found.deadband - c->found) > 0.2 * c->found)
				fail_msg("%s: deadband %g", c->name, m.found.deadband);
			if ((m.found.cycle > 0) != c->cycle)
				fail_msg("%s: a cycle of %g, %g s", c->name, m.found.cycle, m.found.cycle_s);
			if (c->cycle && (fabs(m.found.cycle_s - c->cycle_s) > 0.1 * c->cycle_s ||
			    fabs(m.found.cycle - c->height) > 0.25 * c->height))
				fail_msg("%s: a cycle of %g, %g s", c->name, m.found.cycle, m.found.cycle_s);
			if (leat_trace_hides_cycle(&m.found) != c->hides)
				fail_msg("%s: the cycle is %shidden", c->name, c->hides ? "not " : "");
		}
	}
}

/* An instrument that shows every third digit has a step, not a deadband. */
static void
test_grid(void **state)
{
	struct made m = { .survey = { NULL, 0 } };
	uint64_t seed = 5;

	(void)state;
	for (int i = 0; i < 5000; i++)
		put_number(&m, i * 60.0, 0.3 * floor(500 + 1.5 * normal(&seed)), 1);
	finish(&m);
	assert_int_equal(m.found.kept, LEAT_TRACE_ALL);
	unit_close(m.found.resolution, 0.3, 1e-6);
	unit_close(m.found.deadband, -1, 0);
}

/* A switch by events of the second, and the same by the minute, which misses what falls between. */
static void
test_switch(void **state)
{
	struct made events = { .survey = { NULL, 0 } }, minutes = { .survey = { NULL, 0 } };
	int i;

	(void)state;
	for (i = 0; i < 500; i++) {
		put(&events, i * 1823.0, "OPEN");
		put(&events, i * 1823.0 + 16, "CLOSED");
	}
	for (i = 0; i < 15000; i++)
		put(&minutes, i * 60.0, i * 60 % 1823 < 16 ? "OPEN" : "CLOSED");
	finish(&events);
	finish(&minutes);
	unit_close(events.found.sample_s, 1, 0);
	unit_close(events.found.short_s, 16, 3);
	unit_close(events.found.cycle_s, 1823, 180);
	unit_close(minutes.found.sample_s, 60, 1e-6);
	assert_true(minutes.found.short_s < 2 * minutes.found.sample_s);
	assert_true(minutes.found.cycle_s > 2 * 1823);
}

/* What went in as the deviation of days comes out in the change that can be seen: 2.8 sigma sqrt(2 / n_eff), over seeds.
 * Correlated days (first order, r = 0.6) have n_eff = n (1 - r) / (1 + r); a drift of half a deviation a day does not count. */
static void
test_days(void **state)
{
	static const double correlation[] = { 0, 0.6, 0 }, week[] = { 1.497, 2.993, 1.497 }, drift[] = { 0, 0, 0.5 };
	double sum, day;

	(void)state;
	for (int c = 0; c < 3; c++) {
		sum = 0;
		for (uint64_t seed = 1; seed <= 40; seed++) {
			struct made m = { .survey = { NULL, 0 } };
			uint64_t random = seed * 977;

			day = normal(&random);
			for (int d = 0; d < 100; d++) {
				day = correlation[c] * day + sqrt(1 - correlation[c] * correlation[c]) * normal(&random);
				for (int k = 0; k < 24; k++)
					put_number(&m, d * 86400.0 + k * 3600, 100 + day + drift[c] * d + 1e-4 * k, 4);
			}
			finish(&m);
			assert_int_equal(m.found.days, 100);
			sum += m.found.change_7d / 40;
		}
		/* It errs to the large side, because chance gives a correlation now and then. */
		unit_close(sum, 1.12 * week[c], 0.12 * week[c]);
	}
}

/* A change of that size between two weeks of independent days is told in four of five cases at the two-sided level of
 * 5 %, and none is told in one of twenty: the quantiles 1.960 and 0.842 of the normal distribution add up to 2.8. */
static void
test_meaning(void **state)
{
	int seen = 0, false_ones = 0, rounds = 4000;
	double change = 2.8 * sqrt(2.0 / 7), before, after, needed = 1.96 * sqrt(2.0 / 7);
	uint64_t seed = 11;

	(void)state;
	for (int i = 0; i < rounds; i++) {
		before = after = 0;
		for (int d = 0; d < 7; d++) {
			before += normal(&seed) / 7;
			after += normal(&seed) / 7;
		}
		seen += fabs(after + change - before) > needed;
		false_ones += fabs(after - before) > needed;
	}
	unit_close((double)seen / rounds, 0.80, 0.02);
	unit_close((double)false_ones / rounds, 0.05, 0.01);
}

/* Nothing to tell it from. */
static void
test_little(void **state)
{
	struct made none = { .survey = { NULL, 0 } }, one = none, words = none, back = none;

	(void)state;
	leat_trace_judge(NULL, &(struct leat_survey_tag){ .count = 0 }, &none.found);
	unit_close(none.found.sample_s, -1, 0);
	put(&one, 0, "5");
	finish(&one);
	assert_int_equal(one.found.kept, LEAT_TRACE_UNKNOWN);
	unit_close(one.found.sample_s, -1, 0);
	assert_int_equal(one.found.days, 1);
	unit_close(one.found.change_7d, -1, 0);
	put(&words, 0, "Auto");
	put(&words, 60, "Manual");
	put(&words, 120, "Local");
	finish(&words);
	unit_close(words.found.resolution, -1, 0);
	unit_close(words.found.deadband, -1, 0);
	/* Stamps that go back, or stand still, are left out. */
	put(&back, 600, "1");
	put(&back, 0, "2");
	put(&back, 600, "3");
	put(&back, 660, "4");
	assert_int_equal(back.trace.samples, 2);
	assert_int_equal(back.trace.behind, 2);
	finish(&back);
	unit_close(back.found.resolution, 1, 0);
}

/* Bad values between are no changes, and the first good value after them is none either. */
static void
test_bad(void **state)
{
	static double value[MOST];
	struct made m = { .survey = { NULL, 0 } };
	double kept = 0;

	(void)state;
	make(value, MOST / 2, NOISE, 0, 600, 1.5, 3);
	for (int i = 0; i < MOST / 2; i++) {
		if (i % 20 == 19) {
			put(&m, i * 60.0, "No Data");
			continue;
		}
		if (i % 20 == 0 || fabs(value[i] - kept) > 1)
			kept = value[i];
		put_number(&m, i * 60.0, kept, 1);
	}
	finish(&m);
	unit_close(m.found.deadband, 1, 0.1);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_compressed),
		cmocka_unit_test(test_grid),
		cmocka_unit_test(test_switch),
		cmocka_unit_test(test_days),
		cmocka_unit_test(test_meaning),
		cmocka_unit_test(test_little),
		cmocka_unit_test(test_bad),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
