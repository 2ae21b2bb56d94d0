/* Numbers of readings in the unit that a filter works in. */
#include <math.h>

#include "latest_of.h"
#include "stream/quantity.h"
#include "unit.h"

/* By itself and as the latest of its series a reading says the same; but that one of quality bad is never the latest. */
static void
test_both(void **state)
{
	static const struct {
		const char *row;
		int got;
		double bar;
		const char *err;
	} cases[] = {
		{ "12.5,MPa,good", 1, 125, NULL }, { "125,bar,uncertain", 1, 125, NULL }, { "125,,good", 1, 125, NULL },
		{ "-3,bar,good", 1, -3, NULL }, { "high,bar,good", 0, 0, NULL }, { ",bar,bad", 0, 0, NULL },
		{ "40,degC,good", -1, 0, "'pressure' of 'NM' comes in 'degC', where 'bar' or a unit of its dimension is due" },
		{ "40,furlong,good", -1, 0, "'pressure' of 'NM' comes in 'furlong', where 'bar' or a unit of its dimension is due" },
	};
	const struct leat_unit *bar = leat_unit_find(LEAT_SPAN("bar"));

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_error err = { 0 };
		struct leat_reading r;
		struct latest_of l;
		char rows[128];
		double value;
		int got;

		snprintf(rows, sizeof(rows), "2025-11-03T04:00:00Z,NM,pressure,%s\n", cases[i].row);
		latest_open(&l, rows, NULL);
		assert_int_equal(leat_readings_next(l.in, &r, &err), LEAT_READINGS_ROW);
		assert_int_equal(leat_current_put(&l.current, &r), 0);
		for (int latest = 0; latest < 2; latest++) {
			got = latest ? leat_quantity_latest(&l.current, r.series, bar, &value, &err) :
			    leat_quantity_of(&r, bar, &value, &err);
			if (got != cases[i].got)
				fail_msg("%s: %d", cases[i].row, got);
			if (got > 0)
				unit_close(value, cases[i].bar, 1e-12);
			if (got < 0)
				assert_string_equal(err.text, cases[i].err);
		}
		latest_close(&l);
	}
}

/* A thermometer that has shown tenths and then the same for 12 h, read by the minute, is frozen (common practice, as the shipped
 * limits.csv has it); one of whole degrees, one that is read by hand, a pressure and one that moves again are not. */
static void
test_frozen(void **state)
{
	static const struct {
		const char *point, *first, *then, *unit;
		int every_min, hours;
		bool moves, doubtful;
	} cases[] = {
		{ "oil-temperature", "47.9", "48.7", "degC", 1, 13, false, true },
		{ "oil-temperature", "47.9", "48", "degC", 1, 13, false, true },
		{ "oil-temperature", "117.9", "118", "degF", 10, 13, false, true },
		{ "oil-temperature", "47.9", "48.7", "degC", 1, 11, false, false },
		{ "oil-temperature", "47.9", "48.7", "degC", 1, 13, true, false },
		{ "oil-temperature", "47", "48", "degC", 1, 13, false, false },
		{ "oil-temperature", "47.0", "48.0", "degC", 1, 13, false, false },
		{ "oil-temperature", "47.9", "48.7", "degC", 30, 20, false, false },
		{ "pressure", "121.9", "120.1", "bar", 1, 13, false, false },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		const struct leat_unit *unit = leat_unit_find(leat_span_of(cases[i].unit[0] == 'b' ? "bar" : "degC"));
		struct leat_buf rows = { 0 };
		struct leat_error err = { 0 };
		bool doubtful = false;
		struct latest_of l;
		double value;

		for (int min = 0; min <= cases[i].hours * 60; min += cases[i].every_min) {
			bool first = min == 0 || (cases[i].moves && min == cases[i].hours * 60);

			assert_int_equal(leat_buf_printf(&rows, "2025-11-03T%02d:%02d:00Z,SM,%s,%s,%s,good\n", min / 60, min % 60,
			    cases[i].point, first ? cases[i].first : cases[i].then, cases[i].unit), 0);
		}
		latest_all(&l, rows.data, NULL);
		assert_int_equal(leat_quantity_valid(&l.current, l.last.series, unit, l.last.time, &value, &doubtful, &err), 0);
		if (doubtful != cases[i].doubtful)
			fail_msg("case %zu: %d", i, doubtful);
		latest_close(&l);
		leat_buf_free(&rows);
	}
}

int
main(void)
{
	static const struct CMUnitTest tests[] = { cmocka_unit_test(test_both), cmocka_unit_test(test_frozen) };

	return cmocka_run_group_tests_name("quantity", tests, NULL, NULL);
}
