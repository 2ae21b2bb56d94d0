/* oil.csv: reading, faults, which row rules, and the shipped rows. */
#include "stream/oil_rules.h"
#include "table_file.h"

#define HEAD "asset,point,when,low_alert,high_alert,high_alarm,unit,own,least,fresh,verdict,confirm,needed,max_age,rule\n"

static int
read_rows(struct leat_oil_rules *rules, const char *rows, struct leat_error *err)
{
	char text[1024];
	struct table_file f;
	int result;

	snprintf(text, sizeof(text), HEAD "%s", rows);
	f = table_file_text(text);
	*err = (struct leat_error){ 0 };
	result = leat_oil_rules_read(rules, f.path, NULL, err);
	table_file_drop(&f);
	return result;
}

static void
test_row(void **state)
{
	struct leat_oil_rules rules;
	struct leat_error err;
	const struct leat_oil_rule *row;

	(void)state;
	assert_int_equal(read_rows(&rules, "NM/*,zinc-share,acid-number-rise<0.3,60,,,%,both,20,100,renew,2,yes,P60D,zn\n"
	    "*,water-content,,,200,500,mg/kg,,,,dry,,,,\n*,zinc-share,,,,,,,,,,,,,additive\n", &err), 0);
	row = &rules.row[0];
	assert_true(row->level.has[LEAT_LOW_ALERT] && !row->level.has[LEAT_HIGH_ALERT] && row->has_fresh && row->needed);
	unit_close(row->level.value[LEAT_LOW_ALERT], 60, 0);
	unit_close(row->fresh, 100, 0);
	unit_close(row->least, 20, 0);
	unit_close(row->max_age_s, 60 * 86400.0, 0);
	assert_int_equal(row->own, LEAT_OIL_OWN_LOW | LEAT_OIL_OWN_HIGH);
	assert_int_equal(row->cure, LEAT_OIL_RENEW);
	assert_int_equal(row->confirm, 2);
	assert_non_null(row->rule.when);
	row = &rules.row[1];
	unit_close(row->max_age_s, 45 * 86400.0, 0);
	assert_int_equal(row->confirm, 1);
	assert_true(!row->needed && row->own == 0 && !row->rule.off);
	unit_span(row->rule.name, "oil");
	assert_true(rules.row[2].rule.off);
	leat_oil_rules_free(&rules);
}

static void
test_faults(void **state)
{
	static const struct { const char *row, *column, *text; } faults[] = {
		{ "*,water-content,,,200,100,mg/kg,,,,dry,1,,,r\n", "high_alarm", "must not lie below 'high_alert'" },
		{ "*,water-content,,200,200,,mg/kg,,,,dry,1,,,r\n", "high_alert", "must lie above 'low_alert'" },
		{ "*,water-content,,,200,,bar,,,,dry,1,,,r\n", "unit", "a unit of another dimension than this point's 'mg/kg'" },
		{ "*,iron,,,,,mg/kg,high,,,look,1,,,r\n", "least", "own limits need a least distance above zero" },
		{ "*,iron,,,,,mg/kg,high,0,,look,1,,,r\n", "least", "own limits need a least distance above zero" },
		{ "*,iron,,,20,,mg/kg,,3,,look,1,,,r\n", "least", "of no use without 'own'" },
		{ "*,iron,,,20,,mg/kg,upwards,3,,look,1,,,r\n", "own", "'low', 'high', 'both' or nothing is due" },
		{ "*,zinc-share,,60,,,%,,,60,renew,1,,,r\n", "fresh", "fresh oil must lie within the limits" },
		{ "*,iron,,,20,,mg/kg,,,,keep,1,,,r\n", "verdict", "'look', 'clean', 'dry' or 'renew' is due" },
		{ "*,iron,,,20,,mg/kg,,,,,1,,,r\n", "verdict", "'look', 'clean', 'dry' or 'renew' is due" },
		{ "*,iron,,,20,,mg/kg,,,,look,0,,,r\n", "confirm", "a whole number from 1 to 9 is due" },
		{ "*,iron,,,20,,mg/kg,,,,look,1.5,,,r\n", "confirm", "a whole number from 1 to 9 is due" },
		{ "*,iron,,,20,,mg/kg,,,,look,1,maybe,,r\n", "needed", "'yes', 'no' or nothing is due" },
		{ "*,iron,,,20,,mg/kg,,,,look,1,,P0D,r\n", "max_age", "a duration longer than zero is due" },
		{ "*,iso4406,,,20,,,,,,clean,1,,,r\n", "point", "this point has words, not numbers" },
		{ "*,iron,,,20,,mg/kg,,,,look,1,,,a b\n", "rule", "a rule's name has letters, digits, '-', '_' and '.' only" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(faults) / sizeof(faults[0]); i++) {
		struct leat_oil_rules rules;
		struct leat_error err;

		print_message("%s", faults[i].row);
		assert_int_equal(read_rows(&rules, faults[i].row, &err), -1);
		assert_string_equal(err.column, faults[i].column);
		assert_string_equal(err.text, faults[i].text);
		assert_int_equal(err.line, 2);
	}
}

static const struct leat_oil_rule *
ruling(const struct leat_oil_rules *rules, const char *asset, const char *point, const char *rule)
{
	size_t index[32], found = leat_oil_rules_for(rules, leat_span_of(asset), leat_span_of(point), index, 32);

	for (size_t i = 0; i < found && i < 32; i++)
		if (leat_span_is(rules->row[index[i]].rule.name, rule))
			return &rules->row[index[i]];
	return NULL;
}

static void
test_precedence(void **state)
{
	struct leat_oil_rules rules;
	struct leat_error err;

	(void)state;
	assert_int_equal(read_rows(&rules, "NM/*,water-content,,,150,,mg/kg,,,,dry,1,,,wet-oil\n"
	    "SM/*,water-content,,,,,,,,,,,,,wet-oil\n", &err), 0);
	unit_close(ruling(&rules, "NM/sample-return", "water-content", "wet-oil")->level.value[LEAT_HIGH_ALERT], 150, 0);
	unit_close(ruling(&rules, "MM/sample-return", "water-content", "wet-oil")->level.value[LEAT_HIGH_ALERT], 200, 0);
	assert_null(ruling(&rules, "SM/sample-return", "water-content", "wet-oil"));
	leat_oil_rules_free(&rules);
}

static void
test_shipped(void **state)
{
	struct leat_oil_rules rules;
	struct leat_error err = { 0 };
	bool absent = false;

	(void)state;
	assert_int_equal(leat_oil_rules_read(&rules, "testdata/tables/none.csv", &absent, &err), 0);
	assert_true(absent);
	for (size_t i = 0; i < rules.count; i++) {
		const struct leat_oil_rule *row = &rules.row[i];

		assert_true(row->rule.shipped && row->rule.source.len > 0 && (row->rule.off || row->rule.advice.len > 0));
		assert_non_null(leat_point_find(row->rule.point));
		/* What is not reversible is never decided by one result. */
		assert_true(row->cure != LEAT_OIL_RENEW || (row->confirm >= 2 && row->has_fresh));
	}
	/* The filter's outlet shows the filter, and metals have no limit that fits all machines. */
	assert_null(ruling(&rules, "NM/sample-off-line", "iso4406-above-target", "code-above-target"));
	assert_non_null(ruling(&rules, "NM/sample-return", "iso4406-above-target", "code-above-target"));
	for (size_t n = 0; n < LEAT_RULE_LEVELS; n++)
		assert_false(ruling(&rules, "NM/sample-return", "iron.per-1000h", "iron")->level.has[n]);
	leat_oil_rules_free(&rules);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_row), cmocka_unit_test(test_faults), cmocka_unit_test(test_precedence),
		cmocka_unit_test(test_shipped)
	};

	return cmocka_run_group_tests_name("oil_rules", tests, NULL, NULL);
}
