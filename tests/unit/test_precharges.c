/* precharge.csv: which curve is an asset's, and what it says. */
#include "stream/precharges.h"
#include "table_file.h"

static void
test_curves(void **state)
{
	static const char table[] = "asset;grinding_pressure;precharge;unit\nNM;140;84,5;bar\nNM;100;60,5;bar\nNM;120;70;bar\n"
	    "NM/accu-2;10;5;MPa\n;100;50;bar\n;150;80;bar\n";
	static const struct {
		const char *asset;
		double grinding_bar;
		enum leat_precharge_found found;
		double precharge_bar;
		double lower_bar, upper_bar;
	} cases[] = {
		{ "NM", 100, LEAT_PRECHARGE_FOUND, 60.5, 100, 100 }, { "NM", 110, LEAT_PRECHARGE_FOUND, 65.25, 100, 120 },
		{ "NM", 120, LEAT_PRECHARGE_FOUND, 70, 120, 120 }, { "NM", 130, LEAT_PRECHARGE_FOUND, 77.25, 120, 140 },
		{ "NM", 140, LEAT_PRECHARGE_FOUND, 84.5, 140, 140 }, { "NM", 140.1, LEAT_PRECHARGE_OUTSIDE, 0, 100, 140 },
		{ "NM", 99.9, LEAT_PRECHARGE_OUTSIDE, 0, 100, 140 }, { "NM/accu-1", 110, LEAT_PRECHARGE_FOUND, 65.25, 100, 120 },
		/* A shell's own curve, even where it does not reach the pressure. */
		{ "NM/accu-2", 100, LEAT_PRECHARGE_FOUND, 50, 100, 100 }, { "NM/accu-2", 110, LEAT_PRECHARGE_OUTSIDE, 0, 100, 100 },
		{ "NM/accu-2/valve", 100, LEAT_PRECHARGE_FOUND, 50, 100, 100 }, { "NM/accu-22", 110, LEAT_PRECHARGE_FOUND, 65.25, 100, 120 },
		{ "MM/accu-1", 125, LEAT_PRECHARGE_FOUND, 65, 100, 150 }, { "N", 125, LEAT_PRECHARGE_FOUND, 65, 100, 150 },
	};
	struct table_file f = table_file_text(table);
	struct leat_precharges curves;
	struct leat_precharge_point point;
	struct leat_error err;
	bool absent;

	(void)state;
	assert_int_equal(leat_precharges_read(&curves, f.path, &absent, &err), 0);
	assert_false(absent);
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		enum leat_precharge_found found = leat_precharges_at(&curves, leat_span_of(cases[i].asset), cases[i].grinding_bar, &point);

		if (found != cases[i].found)
			fail_msg("%s at %.1f bar: %d", cases[i].asset, cases[i].grinding_bar, found);
		unit_close(point.lower->grinding_bar, cases[i].lower_bar, 1e-9);
		unit_close(point.upper->grinding_bar, cases[i].upper_bar, 1e-9);
		if (found == LEAT_PRECHARGE_FOUND)
			unit_close(point.precharge_bar, cases[i].precharge_bar, 1e-9);
	}
	leat_precharges_free(&curves);
	table_file_drop(&f);
}

static void
test_absent(void **state)
{
	struct leat_precharges curves;
	struct leat_precharge_point point;
	struct leat_error err;
	bool absent;

	(void)state;
	assert_int_equal(leat_precharges_read(&curves, "/nonexistent/precharge.csv", &absent, &err), 0);
	assert_true(absent);
	assert_int_equal(leat_precharges_at(&curves, LEAT_SPAN("NM"), 120, &point), LEAT_PRECHARGE_NO_CURVE);
	leat_precharges_free(&curves);
}

static void
test_faults(void **state)
{
	static const struct { const char *rows, *column; } cases[] = {
		{ "NM,100,60,bar\nNM,100,61,bar\n", "grinding_pressure" }, { "NM,100,60,bar\nNM,10,61,MPa\n", "grinding_pressure" },
		{ "NM,0,60,bar\n", "grinding_pressure" }, { "NM,100,-1,bar\n", "precharge" }, { "NM,100,,bar\n", "precharge" },
		{ "NM,100,60,bara\n", "unit" }, { "NM,100,60,degC\n", "unit" }, { "N*,100,60,bar\n", "asset" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		char text[128];
		struct leat_precharges curves;
		struct leat_error err = { 0 };
		struct table_file f;

		snprintf(text, sizeof(text), "asset,grinding_pressure,precharge,unit\n%s", cases[i].rows);
		f = table_file_text(text);
		if (leat_precharges_read(&curves, f.path, NULL, &err) == 0)
			fail_msg("%s", cases[i].rows);
		if (strcmp(err.column, cases[i].column) != 0)
			fail_msg("%s: column '%s' %s", cases[i].rows, err.column, err.text);
		table_file_drop(&f);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_curves), cmocka_unit_test(test_absent), cmocka_unit_test(test_faults)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
