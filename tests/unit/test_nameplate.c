/* The properties, and nameplate.csv: which row holds when. */
#include "base/number.h"
#include "stream/nameplate.h"
#include "table_file.h"
#include "unit.h"

static struct leat_time
at(const char *text)
{
	struct leat_time t = LEAT_TIME_NONE;

	assert_int_equal(leat_time_parse(leat_span_of(text), &t), 0);
	return t;
}

static void
test_properties(void **state)
{
	const struct leat_property *p;
	size_t count = 0;
	double number;

	(void)state;
	for (; (p = leat_property_at(count)) != NULL; count++) {
		assert_ptr_equal(leat_property_find(leat_span_of(p->name)), p);
		assert_true(strlen(p->meaning) > 0 && strlen(p->belongs) > 0);
		if (p->unit[0] == '\0')
			continue;
		assert_non_null(leat_unit_find(leat_span_of(p->unit)));
		assert_string_equal(leat_unit_find(leat_span_of(p->unit))->name, p->unit);
		if (p->fallback != NULL)
			assert_int_equal(leat_double_parse(leat_span_of(p->fallback), &number), 0);
	}
	assert_true(count > 45);
	assert_null(leat_property_at(count + 1));
	assert_null(leat_property_find(LEAT_SPAN("set-presure")));
}

/* The French fixture: 122.5 bar from 2025-01-01 and 12.75 MPa from 13 April 06:30, both local to Paris. */
static void
test_dates(void **state)
{
	static const struct {
		const char *asset, *time;
		int got;
		double value;
	} cases[] = {
		{ "NM", "2024-12-31T22:59:59Z", -1, 0 },
		{ "NM", "2024-12-31T23:00:00Z", 0, 122.5 },
		{ "NM", "2025-04-13T04:29:59Z", 0, 122.5 },
		{ "NM", "2025-04-13T04:30:00Z", 0, 127.5 },
		{ "NM/pump-a", "2025-06-01T00:00:00Z", 0, 127.5 },
		{ "NM/cyl-1/plane-2", "2025-06-01T00:00:00Z", 0, 127.5 },
		{ "MM", "2025-06-01T00:00:00Z", -1, 0 }
	};
	struct leat_error err = { 0 };
	bool absent = true;
	struct leat_nameplate *np = leat_nameplate_read("testdata/tables/good-french-nameplate.csv", &absent, &err);
	double value;

	(void)state;
	assert_non_null(np);
	assert_false(absent);
	assert_string_equal(leat_zone_name(leat_nameplate_zone(np)), "Europe/Paris");
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		value = 0;
		assert_int_equal(leat_nameplate_number(np, leat_span_of(cases[i].asset), "set-pressure", at(cases[i].time),
		    &value), cases[i].got);
		unit_close(value, cases[i].value, 1e-9);
	}
	/* 2.46 m3/h are 41 L/min. */
	assert_int_equal(leat_nameplate_number(np, LEAT_SPAN("NM/pump-a"), "rated-flow", at("2025-06-01T00:00:00Z"),
	    &value), 0);
	unit_close(value, 41, 1e-9);
	unit_span(leat_nameplate_word(np, LEAT_SPAN("NM"), "set-pressure", at("2025-02-01T00:00:00Z")), "122,5");
	leat_nameplate_free(np);
}

static void
test_precedence(void **state)
{
	static const char text[] =
	    "asset,property,value,unit,from\n"
	    ",warm-from,35,degC,\n"
	    "NM,warm-from,42,degC,2025-03-01\n"
	    ",run-up,PT15M,,\n"
	    "NM/pump-a,run-up,PT5M,,\n"
	    ",oil-grade,VG 46,,\n";
	struct table_file f = table_file_text(text);
	struct leat_error err = { 0 };
	struct leat_nameplate *np = leat_nameplate_read(f.path, NULL, &err);
	struct leat_time before = at("2025-02-28T23:59:59Z"), after = at("2025-03-01T00:00:00Z");
	double value = 0;

	(void)state;
	assert_non_null(np);
	assert_int_equal(leat_nameplate_number(np, LEAT_SPAN("NM"), "warm-from", before, &value), 0);
	unit_close(value, 35, 0);
	assert_int_equal(leat_nameplate_number(np, LEAT_SPAN("NM"), "warm-from", after, &value), 0);
	unit_close(value, 42, 0);
	assert_int_equal(leat_nameplate_number(np, LEAT_SPAN("NMX"), "warm-from", after, &value), 0);
	unit_close(value, 35, 0);
	unit_span(leat_nameplate_word(np, LEAT_SPAN("NM/pump-a"), "run-up", after), "PT5M");
	unit_span(leat_nameplate_word(np, LEAT_SPAN("NM/pump-b"), "run-up", after), "PT15M");
	unit_span(leat_nameplate_word(np, LEAT_SPAN(""), "oil-grade", after), "VG 46");
	/* A word is no number, and an unknown property is neither. */
	assert_int_equal(leat_nameplate_number(np, LEAT_SPAN("NM"), "oil-grade", after, &value), -1);
	assert_int_equal(leat_nameplate_number(np, LEAT_SPAN("NM"), "no-such", after, &value), -1);
	unit_span(leat_nameplate_word(np, LEAT_SPAN("NM"), "no-such", after), "");
	leat_nameplate_free(np);
	table_file_drop(&f);
}

/* Shipped defaults, each common practice or a convention that its meaning names. */
static void
test_defaults(void **state)
{
	static const struct {
		const char *property;
		double value;
	} numbers[] = {
		{ "altitude", 0 }, { "warm-from", 40 }, { "starts-per-hour", 6 }, { "control-bleed", 0 },
		{ "reference-temperature", 50 }, { "bypass-dp", 2.5 }
	};
	struct leat_error err = { 0 };
	bool absent = false;
	struct leat_nameplate *np = leat_nameplate_read("testdata/tables/none.csv", &absent, &err);
	struct leat_time now = at("2025-03-01T00:00:00Z");
	double value = 0;

	(void)state;
	assert_non_null(np);
	assert_true(absent);
	assert_string_equal(leat_zone_name(leat_nameplate_zone(np)), "UTC");
	for (size_t i = 0; i < sizeof(numbers) / sizeof(numbers[0]); i++) {
		assert_int_equal(leat_nameplate_number(np, LEAT_SPAN("NM"), numbers[i].property, now, &value), 0);
		unit_close(value, numbers[i].value, 0);
	}
	unit_span(leat_nameplate_word(np, LEAT_SPAN("NM"), "run-up", now), "PT10M");
	unit_span(leat_nameplate_word(np, LEAT_SPAN("NM"), "day-start", now), "06:00");
	unit_span(leat_nameplate_word(np, LEAT_SPAN("NM"), "zone", now), "UTC");
	assert_int_equal(leat_nameplate_number(np, LEAT_SPAN("NM"), "set-pressure", now, &value), -1);
	unit_span(leat_nameplate_word(np, LEAT_SPAN("NM"), "oil-grade", now), "");
	leat_nameplate_free(np);
}

#define BAD(file, rest) \
	{ "testdata/tables/bad-" file "-nameplate.csv", "testdata/tables/bad-" file "-nameplate.csv:" rest }

static void
test_bad(void **state)
{
	static const struct {
		const char *path, *error;
	} cases[] = {
		BAD("property", "2: column 'property': unknown property, did you mean 'set-pressure'? "
		    "(leat-nameplate(7) lists all): 'set-presure'"),
		BAD("unit", "2: column 'unit': a unit of another dimension than this property's 'bar': 'L'"),
		BAD("word-unit", "2: column 'unit': this property has no unit: 'min'"),
		BAD("duration", "2: column 'value': not a duration such as PT10M: '10'"),
		BAD("clock", "2: column 'value': not a time of day such as 06:00: '6am'"),
		BAD("date", "2: column 'from': not a date or time such as 2025-04-13, 13.4.2025 06:30 or "
		    "2025-04-13T04:30:00Z: '03/04/2025'"),
		BAD("negative", "2: column 'value': less than zero: '-125'"),
		BAD("zone-date", "2: column 'from': the zone holds always: leave the date empty: '2025-03-01'"),
		BAD("twice", "3: column 'property': this asset has the property from the same date already in line 2: "
		    "'set-pressure'"),
		BAD("gap", "3: column 'from': this local time never was: the clocks were put forward past it: "
		    "'2025-03-30 02:30'")
	};
	struct leat_error err = { 0 };

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		memset(&err, 0, sizeof(err));
		assert_null(leat_nameplate_read(cases[i].path, NULL, &err));
		unit_error(&err, cases[i].error);
	}
	memset(&err, 0, sizeof(err));
	assert_null(leat_nameplate_read("testdata/tables/bad-zone-nameplate.csv", NULL, &err));
	assert_int_equal(err.line, 2);
	assert_string_equal(err.column, "value");
	assert_string_equal(err.value, "Europe/Nowhere");
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_properties),
		cmocka_unit_test(test_dates),
		cmocka_unit_test(test_precedence),
		cmocka_unit_test(test_defaults),
		cmocka_unit_test(test_bad)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
