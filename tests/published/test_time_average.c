/*
 * Means over time against published and worked ones.
 *
 * Source of the intervals of 5 s: OPC 10000-13 (OPC UA Part 13, Aggregates) 1.04, annex A.5.2, TimeAverage2, Historian1.
 * The raw data of that historian stand in its annex A.1 and are given here from memory; they agree with every value of
 * A.5.2: a value each 10 s from 12:00:10 (10) to 12:01:30 (90), that of 12:00:40 bad, that of 12:01:10 uncertain.
 *
 * The worked example of an hour (common practice: a pressure that fell at once and then stood) is the reason why readings
 * are not averaged as they come.
 */
#include "stats/weighted.h"
#include "unit.h"

/* Seconds after 12:00:00, value. */
static const struct {
	int s;
	double value;
	bool bad;
} raw[] = {
	{ 10, 10, false }, { 20, 20, false }, { 30, 30, false }, { 40, 40, true }, { 50, 50, false }, { 60, 60, false },
	{ 70, 70, false }, { 80, 80, false }, { 90, 90, false }
};

/* Start of an interval of 5 s, published mean; intervals without one are BadNoData there. */
static const struct {
	int s;
	double mean;
} published[] = {
	{ 10, 12.5 }, { 15, 17.5 }, { 20, 22.5 }, { 25, 27.5 }, { 30, 30 }, { 35, 30 }, { 50, 52.5 }, { 55, 57.5 }, { 60, 62.5 },
	{ 65, 67.5 }, { 70, 72.5 }, { 75, 77.5 }, { 80, 82.5 }, { 85, 87.5 }
};

/* The part of a piece from a to b within an interval. */
static void
add_part(struct leat_weighted *w, int start, int a, double from, int b, double to)
{
	int low = a > start ? a : start, high = b < start + 5 ? b : start + 5;

	if (high > low)
		assert_int_equal(leat_weighted_add(w, high - low, from + (to - from) * (low - a) / (b - a),
		    from + (to - from) * (high - a) / (b - a)), 0);
}

static void
test_part_13(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof(published) / sizeof(published[0]); i++) {
		struct leat_weighted w = { 0 };

		for (size_t k = 0; k + 1 < sizeof(raw) / sizeof(raw[0]); k++)
			if (!raw[k].bad)
				add_part(&w, published[i].s, raw[k].s, raw[k].value, raw[k + 1].s,
				    raw[k + 1].bad ? raw[k].value : raw[k + 1].value);
		unit_close(w.seconds, 5, 0);
		unit_close(leat_weighted_mean(&w), published[i].mean, 1e-12);
	}
}

static void
test_hour(void **state)
{
	struct leat_weighted sloped = { 0 }, stepped = { 0 };

	(void)state;
	assert_int_equal(leat_weighted_add(&sloped, 600, 120, 120), 0);
	assert_int_equal(leat_weighted_add(&sloped, 60, 120, 110), 0);
	assert_int_equal(leat_weighted_add(&sloped, 2940, 110, 110), 0);
	unit_close(leat_weighted_mean(&sloped), 111.75, 1e-12);
	assert_int_equal(leat_weighted_add(&stepped, 600, 120, 120), 0);
	assert_int_equal(leat_weighted_add(&stepped, 60, 120, 120), 0);
	assert_int_equal(leat_weighted_add(&stepped, 2940, 110, 110), 0);
	unit_close(leat_weighted_mean(&stepped), 111.83, 0.005);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_part_13),
		cmocka_unit_test(test_hour),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
