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

int
main(void)
{
	static const struct CMUnitTest tests[] = { cmocka_unit_test(test_both) };

	return cmocka_run_group_tests_name("quantity", tests, NULL, NULL);
}
