/* shelved.csv: until when a finding is put aside. */
#include "stream/shelved.h"
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
test_until(void **state)
{
	/* Local to Berlin: winter time, an hour before UTC. */
	static const struct {
		const char *asset, *point, *rule, *now, *until;
	} cases[] = {
		{ "SM/cooler", "oil-in-temperature", "stale", "2025-11-09T00:00:00Z", "2025-11-10T05:00:00Z" },
		{ "SM/cooler", "oil-in-temperature", "stale", "2025-11-10T05:00:00Z", NULL },
		{ "SM", "oil-in-temperature", "stale", "2025-11-09T00:00:00Z", NULL },
		{ "NM", "oil-temperature", "hot-oil", "2025-11-04T00:00:00Z", "2025-11-09T23:00:00Z" },
		{ "NM", "oil-temperature", "frozen-temperature", "2025-11-04T00:00:00Z", NULL },
		{ "MM", "oil-temperature", "hot-oil", "2025-11-04T00:00:00Z", NULL }
	};
	struct leat_zone *zone = leat_zone_open(LEAT_SPAN("Europe/Berlin"), NULL);
	struct leat_shelves shelves;
	struct leat_error err = { 0 };

	(void)state;
	assert_non_null(zone);
	assert_int_equal(leat_shelves_read(&shelves, "testdata/tables/good-shelved.csv", zone, NULL, &err), 0);
	assert_int_equal(shelves.count, 3);
	unit_span(shelves.row[0].who, "shift 2");
	unit_span(shelves.row[0].why, "thermometers are being replaced");
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_time until = leat_shelves_until(&shelves, leat_span_of(cases[i].asset),
		    leat_span_of(cases[i].point), leat_span_of(cases[i].rule), at(cases[i].now));
		struct leat_time expected = cases[i].until != NULL ? at(cases[i].until) : LEAT_TIME_NONE;

		if (leat_time_cmp(until, expected) != 0)
			fail_msg("%s %s %s at %s", cases[i].asset, cases[i].point, cases[i].rule, cases[i].now);
	}
	leat_shelves_free(&shelves);
	leat_zone_free(zone);
}

static void
test_bad(void **state)
{
	static const struct {
		const char *text, *error;
	} cases[] = {
		{ "asset,point,rule,until\n,*,*,2025-11-10\n", "2: column 'asset': empty: write what is shelved, or * for all" },
		{ "asset,point,rule,until\nNM,*,,2025-11-10\n", "2: column 'rule': empty: write what is shelved, or * for all" },
		{ "asset,point,rule,until\nNM,*,*,\n", "2: column 'until': empty: a shelf needs its end" },
		{ "asset,point,rule,until\nNM,*,*,soon\n", "2: column 'until': not a date or time such as 2025-04-13, "
		    "13.4.2025 06:30 or 2025-04-13T04:30:00Z: 'soon'" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct table_file f = table_file_text(cases[i].text);
		struct leat_shelves shelves;
		struct leat_error err = { 0 };
		char expected[256];

		assert_int_equal(leat_shelves_read(&shelves, f.path, NULL, NULL, &err), -1);
		snprintf(expected, sizeof(expected), "%s:%s", f.path, cases[i].error);
		unit_error(&err, expected);
		table_file_drop(&f);
	}
}

static void
test_absent(void **state)
{
	struct leat_shelves shelves;
	struct leat_error err = { 0 };
	bool absent = false;

	(void)state;
	assert_int_equal(leat_shelves_read(&shelves, "testdata/tables/none.csv", NULL, &absent, &err), 0);
	assert_true(absent);
	assert_true(leat_time_is_none(leat_shelves_until(&shelves, LEAT_SPAN("NM"), LEAT_SPAN("level"), LEAT_SPAN("low"),
	    at("2025-11-04T00:00:00Z"))));
	leat_shelves_free(&shelves);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_until),
		cmocka_unit_test(test_bad),
		cmocka_unit_test(test_absent)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
