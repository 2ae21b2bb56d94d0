/*
 * Figures of alarm performance: cases counted by hand, and floods against a plain model that looks at every second.
 */
#include "base/number.h"
#include "judge/alarm_load.h"
#include "unit.h"

static const struct leat_time start = { 1740787200, 0 };	/* 2025-03-01T00:00:00Z */

struct episode {
	double at_s, length_s;		/* length < 0: still open */
	const char *asset;
};

/* The value of a measure, of an asset or of all (""). */
static double
value_of(const struct leat_tabular *t, const char *measure, const char *asset)
{
	for (size_t row = 1; row < t->cells / t->columns; row++) {
		struct leat_span cell[7];
		double value;

		for (size_t k = 0; k < 7; k++) {
			size_t i = row * t->columns + k, from = i > 0 ? t->at[i - 1] : 0;

			cell[k] = leat_span_make(t->text.data + from, t->at[i] - from);
		}
		if (!leat_span_is(cell[0], measure) || !leat_span_is(cell[1], asset))
			continue;
		assert_int_equal(leat_double_parse(cell[4], &value), 0);
		return value;
	}
	print_error("no '%s' of '%s'\n", measure, asset);
	fail();
	return 0;
}

static void
tells(struct leat_tabular *t, const struct episode *e, size_t count, double until_s)
{
	struct leat_findings all = { 0 };

	all.item = calloc(count + 1, sizeof(*all.item));
	assert_non_null(all.item);
	for (size_t i = 0; i < count; i++) {
		struct leat_finding *f = &all.item[all.count++];

		f->asset = leat_span_of(e[i].asset);
		f->point = LEAT_SPAN("p");
		f->rule = LEAT_SPAN("r");
		f->status = i % 2 == 0 ? LEAT_STATUS_ALERT : LEAT_STATUS_ALARM;
		f->time = f->since = leat_time_add(start, e[i].at_s);
		f->until = e[i].length_s < 0 ? LEAT_TIME_NONE : leat_time_add(f->since, e[i].length_s);
	}
	leat_tabular_begin(t, LEAT_LOAD_COLUMNS);
	assert_int_equal(leat_alarm_load(&all, start, leat_time_add(start, until_s), t), 0);
	free(all.item);
}

static void
test_by_hand(void **state)
{
	static const struct episode e[] = {
		/* Three in 30 minutes to the second: a bout; the fourth keeps it up. */
		{ 0, 60, "A" }, { 900, 60, "A" }, { 1800, 60, "A" }, { 2700, 700, "A" },
		/* A second too slow: none. */
		{ 0, 3600, "B" }, { 900, 600, "B" }, { 1801, 599, "B" },
		/* Longer than a day, and exactly a day; one that stands to the end. */
		{ 5000, 86401, "C" }, { 200000, 86400, "C" }, { 250000, -1, "D" },
		/* Past the end. */
		{ 400000, 5, "E" }
	};
	struct leat_tabular t = { 0 };

	(void)state;
	tells(&t, e, sizeof(e) / sizeof(e[0]), 4 * 86400.0);
	unit_close(value_of(&t, "annunciations", ""), 10, 0);
	unit_close(value_of(&t, "alarms", ""), 5, 0);
	unit_close(value_of(&t, "per-day", ""), 2.5, 0);
	unit_close(value_of(&t, "chattering", ""), 1, 0);
	unit_close(value_of(&t, "chatters", "A"), 1, 0);
	unit_close(value_of(&t, "fleeting", ""), 4, 0);
	unit_close(value_of(&t, "flees", "B"), 1, 0);
	unit_close(value_of(&t, "stale", ""), 2, 0);
	unit_close(value_of(&t, "stands", "C"), 1, 0);
	unit_close(value_of(&t, "stands", "D"), 1, 0);
	unit_close(value_of(&t, "top", "A"), 4, 0);
	unit_close(value_of(&t, "top-share", "B"), 30, 0);
	unit_close(value_of(&t, "busiest-hour", ""), 7, 0);
	unit_close(value_of(&t, "busiest-day", ""), 8, 0);
	unit_close(value_of(&t, "floods", ""), 0, 0);
	leat_tabular_free(&t);
}

/* At each second: how many came in the 10 minutes up to it. */
static size_t
within(const struct episode *e, size_t count, long second)
{
	size_t n = 0;

	for (size_t i = 0; i < count; i++)
		n += e[i].at_s <= (double)second && e[i].at_s > (double)second - 600;
	return n;
}

static void
test_floods(void **state)
{
	static struct episode e[400];
	unsigned long random = 12345;

	(void)state;
	for (int round = 0; round < 40; round++) {
		struct leat_tabular t = { 0 };
		size_t count = 0, floods = 0;
		long second = 0, end = 20000, in_flood = 0, begun = 0;
		bool flood = false;

		while (count < 400 && second < end) {
			random = (random * 1103515245 + 12345) % 2147483648u;
			/* Bursts and pauses; never two at one second. */
			second += 1 + (long)((random >> 8) % (unsigned long)(round % 2 ? 100 : (random >> 20) % 6 == 0 ? 1500 : 60));
			e[count++] = (struct episode){ (double)second, 30, "A" };
		}
		for (second = 0; second <= end + 700; second++) {
			size_t n = within(e, count, second);

			if (!flood && n > 10) {
				flood = true;
				floods++;
				/* It began with the first of those. */
				for (size_t i = 0; i < count; i++)
					if (e[i].at_s > (double)second - 600) {
						begun = (long)e[i].at_s;
						break;
					}
			} else if (flood && n < 5) {
				flood = false;
				in_flood += second - begun;
			}
		}
		assert_false(flood);
		tells(&t, e, count, (double)end + 700);
		unit_close(value_of(&t, "floods", ""), (double)floods, 0);
		unit_close(value_of(&t, "flood-share", ""), 100.0 * (double)in_flood / ((double)end + 700), 0.00051);
		leat_tabular_free(&t);
	}
}

static void
test_nothing(void **state)
{
	struct leat_tabular t = { 0 };

	(void)state;
	tells(&t, NULL, 0, 86400);
	unit_close(value_of(&t, "annunciations", ""), 0, 0);
	unit_close(value_of(&t, "floods", ""), 0, 0);
	leat_tabular_free(&t);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_by_hand), cmocka_unit_test(test_floods), cmocka_unit_test(test_nothing)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
