/* limits.csv: what rows say, which of them rules, which are refused, and the shipped ones. */
#include "stream/limits.h"
#include "table_file.h"
#include "unit.h"

static void
read_text(struct leat_limits *limits, const char *text)
{
	struct table_file f = table_file_text(text);
	struct leat_error err = { 0 };

	if (leat_limits_read(limits, f.path, NULL, &err) != 0)
		fail_msg("line %ld: column %s: %s", err.line, err.column, err.text);
	table_file_drop(&f);
}

/* The row that rules asset and point under a rule; NULL when none does. */
static const struct leat_limit *
ruling(const struct leat_limits *limits, const char *asset, const char *point, const char *rule)
{
	const struct leat_limit *found = NULL;
	size_t index[64], count;

	count = leat_limits_for(limits, leat_span_of(asset), leat_span_of(point), index, 64);
	assert_true(count <= 64);
	for (size_t i = 0; i < count; i++) {
		if (!leat_span_is(limits->row[index[i]].rule.name, rule))
			continue;
		assert_null(found);
		found = &limits->row[index[i]];
	}
	return found;
}

static void
test_german(void **state)
{
	const struct leat_limit *row;
	struct leat_limits limits;
	struct leat_error err = { 0 };
	bool absent = true;

	(void)state;
	assert_int_equal(leat_limits_read(&limits, "testdata/tables/good-german-limits.csv", &absent, &err), 0);
	assert_false(absent);
	row = &limits.row[0];
	assert_true(row->has_low_alarm && row->has_low_alert && !row->has_high_alert && !row->has_high_alarm);
	unit_close(row->low_alarm, 108, 0);
	unit_close(row->low_alert, 112.5, 0);
	unit_close(row->deadband, 2.5, 0);
	unit_close(row->on_delay_s, 600, 0);
	unit_close(row->off_delay_s, 600, 0);
	assert_non_null(row->rule.when);
	unit_span(leat_gate_text(row->rule.when), "state=grinding");
	unit_span(row->rule.advice, "Ladeventil pr\xc3\xbc" "fen");
	assert_string_equal(row->unit->name, "bar");
	assert_false(row->rule.shipped);
	assert_int_equal(row->rule.line, 2);
	assert_string_equal(row->rule.file, "testdata/tables/good-german-limits.csv");
	row = &limits.row[1];
	assert_null(row->rule.when);
	unit_close(row->high_alarm, 65.5, 0);
	assert_string_equal(row->unit->name, "degC");
	assert_true(row->has_max_rate);
	unit_close(row->max_rate_per_min, 5, 0);
	leat_limits_free(&limits);
}

static void
test_rates_and_ages(void **state)
{
	static const struct {
		const char *cell;
		double per_min;
	} rates[] = {
		{ "5", 5 }, { "5/min", 5 }, { "300/h", 5 }, { "2/s", 120 }, { "0.5 /min", 0.5 }, { "1.5/h", 0.025 }
	};
	struct leat_limits limits;
	char text[128];

	(void)state;
	for (size_t i = 0; i < sizeof(rates) / sizeof(rates[0]); i++) {
		snprintf(text, sizeof(text), "asset,point,max_rate,rule\nNM,oil-temperature,%s,fast\n", rates[i].cell);
		read_text(&limits, text);
		unit_close(limits.row[0].max_rate_per_min, rates[i].per_min, 1e-12);
		leat_limits_free(&limits);
	}
	read_text(&limits, "asset,point,max_age,max_flat\nNM,level,P1D,PT2H\n");
	unit_close(limits.row[0].max_age_s, 86400, 0);
	unit_close(limits.row[0].max_flat_s, 7200, 0);
	unit_span(limits.row[0].rule.name, "limit");
	leat_limits_free(&limits);
}

/* Of one rule the works' row, then the more specific, then the later; other rules rule beside it. */
static void
test_precedence(void **state)
{
	static const char text[] =
	    "asset,point,high_alarm,rule\n"
	    "*,level,1,r\n"			/* 2 */
	    "NM*,level,2,r\n"			/* 3 */
	    "NM/*,level,3,r\n"			/* 4 */
	    "NM/tank,level,4,r\n"		/* 5 */
	    "NM/tank,l*,5,r\n"			/* 6 */
	    "*,*,6,r\n"				/* 7 */
	    "*,level,7,other\n"			/* 8 */
	    "?M,vib*,8,r\n"			/* 9 */
	    "M?,vib*,9,r\n"			/* 10: as specific as 9, and later */
	    "NM,oil-temperature,70,hot-oil\n"	/* 11: before the shipped row */
	    "SM*,oil-temperature,,hot-oil\n";	/* 12: switches the shipped row off */
	static const struct {
		const char *asset, *point, *rule;
		long line;
	} cases[] = {
		{ "MM", "level", "r", 2 }, { "NM", "level", "r", 3 }, { "NM/pit", "level", "r", 4 },
		{ "NM/pit/low", "level", "r", 4 }, { "NM/tank", "level", "r", 5 }, { "NM/tank", "lift-time", "r", 6 },
		{ "NM/tank", "pressure", "r", 7 }, { "NM/tank", "level", "other", 8 }, { "NM", "vibration", "r", 9 },
		{ "MM", "vibration", "r", 10 }, { "NM", "oil-temperature", "hot-oil", 11 },
		{ "SM", "oil-temperature", "hot-oil", 0 }, { "SM/pump-a", "oil-temperature", "hot-oil", 0 },
		{ "NM", "level", "hot-oil", 0 }
	};
	struct leat_limits limits;

	(void)state;
	read_text(&limits, text);
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		const struct leat_limit *row = ruling(&limits, cases[i].asset, cases[i].point, cases[i].rule);
		long line = row != NULL ? row->rule.line : 0;

		if (line != cases[i].line || (row != NULL && row->rule.shipped))
			fail_msg("%s %s %s: line %ld, not %ld", cases[i].asset, cases[i].point, cases[i].rule, line,
			    cases[i].line);
	}
	/* Where the works say nothing the shipped row rules. */
	assert_true(ruling(&limits, "MM", "oil-temperature", "hot-oil")->rule.shipped);
	assert_true(ruling(&limits, "SM", "filter-dp", "clogged-filter")->rule.shipped);
	leat_limits_free(&limits);
}

/* A row that switches off for one asset gives way to a more specific one that does not. */
static void
test_switched_off(void **state)
{
	static const char text[] =
	    "asset,point,high_alarm,rule\n"
	    "*,filter-dp,,clogged-filter\n"
	    "NM/filter-1,filter-dp,3,clogged-filter\n";
	struct leat_limits limits;

	(void)state;
	read_text(&limits, text);
	assert_true(limits.row[0].rule.off);
	assert_null(ruling(&limits, "NM/filter-2", "filter-dp", "clogged-filter"));
	unit_close(ruling(&limits, "NM/filter-1", "filter-dp", "clogged-filter")->high_alarm, 3, 0);
	leat_limits_free(&limits);
}

static void
test_index_bound(void **state)
{
	struct leat_limits limits;
	size_t index[2] = { 99, 99 };

	(void)state;
	read_text(&limits, "asset,point,high_alarm,rule\nNM,own,1,a\nNM,own,2,b\nNM,own,3,c\n");
	assert_int_equal(leat_limits_for(&limits, LEAT_SPAN("NM"), LEAT_SPAN("own"), index, 1), 3);
	assert_int_equal(index[0], 0);
	assert_int_equal(index[1], 99);
	assert_int_equal(leat_limits_for(&limits, LEAT_SPAN("NM"), LEAT_SPAN("own"), NULL, 0), 3);
	assert_int_equal(leat_limits_for(&limits, LEAT_SPAN("MM"), LEAT_SPAN("own"), index, 2), 0);
	leat_limits_free(&limits);
}

#define BAD(file, rest) { "testdata/tables/bad-" file "-limits.csv", "testdata/tables/bad-" file "-limits.csv:" rest }
#define ALL_COLUMNS "asset, point, when, low_alarm, low_alert, high_alert, high_alarm, unit, deadband, on_delay, off_delay, " \
	"max_rate, max_age, max_flat, rule, advice, source"

static void
test_bad(void **state)
{
	static const struct {
		const char *path, *error;
	} cases[] = {
		BAD("column", "1: column 'high_alrm': unknown column, did you mean 'high_alarm'? (known: " ALL_COLUMNS ")"),
		BAD("number", "3: column 'high_alarm': not a number: 'hot'"),
		BAD("thousands", "2: column 'high_alarm': not a number (write it without thousands marks): '1.234,5'"),
		BAD("comma", "2: column 'high_alarm': not a number (a decimal comma is read where ';' or TAB separates the "
		    "columns): '65,5'"),
		BAD("twice-column", "1: column 'high_alarm': this column comes twice"),
		BAD("missing-column", "1: column 'point': this column is missing (required: asset, point)"),
		BAD("quote", "2: the quote that begins in this line does not end"),
		BAD("extra-cell", "2: field 5 stands under no column of the header: 'degC'"),
		BAD("empty", "1: the file is empty: its first line must name its columns (" ALL_COLUMNS ")"),
		BAD("header", "1: no header of a limits table: its columns are " ALL_COLUMNS),
		BAD("order", "2: column 'high_alarm': must not lie below 'high_alert': '60'"),
		BAD("band", "2: column 'high_alert': must lie above 'low_alert': '120'"),
		BAD("deadband", "2: column 'deadband': a deadband needs a low or high limit in its row: '2'"),
		BAD("negative-deadband", "2: column 'deadband': a deadband cannot be negative: '-2'"),
		BAD("wide-deadband", "2: column 'deadband': as wide as the band between the limits: nothing would clear: '10'"),
		BAD("unit", "2: column 'unit': a unit of another dimension than this point's 'degC': 'bar'"),
		BAD("no-such-unit", "2: column 'unit': unknown unit (leat-units(7) lists all): 'degX'"),
		BAD("word", "2: column 'high_alert': this point has words, not numbers: '1'"),
		BAD("gate", "2: column 'when': a point name is due at the end: 'state=grinding &'"),
		BAD("rate", "2: column 'max_rate': not a rate such as 5/min, 300/h or 2/s: '5/day'"),
		BAD("months", "2: column 'max_age': months and years differ in length: write it in days: 'P1M'"),
		BAD("delay", "2: column 'on_delay': not a duration such as PT10M, PT2H or P1D: '10 min'"),
		BAD("rule", "2: column 'rule': a rule's name has letters, digits, '-', '_' and '.' only: 'hot oil'"),
		BAD("twice", "3: column 'rule': line 2 has this asset, point and rule: name one of the rules otherwise: "
		    "'hot-oil'")
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_limits limits;
		struct leat_error err = { 0 };

		assert_int_equal(leat_limits_read(&limits, cases[i].path, NULL, &err), -1);
		unit_error(&err, cases[i].error);
	}
}

/* Common practice, except where the row's source says otherwise. */
static void
test_shipped(void **state)
{
	static const struct {
		const char *point, *rule;
		double high_alert, high_alarm;
	} cases[] = {
		{ "oil-temperature", "hot-oil", 60, 65 },
		{ "filter-dp", "clogged-filter", 2.0, 2.5 },
		{ "bypass-share", "loaded-element", 80, 100 },
		{ "bypass-time", "open-bypass", 10, 60 },
		{ "water-content", "wet-oil", 200, 500 },
		{ "water-saturation", "near-saturation", 50, 100 },
		{ "viscosity-shift", "viscosity", 10, 20 },
		{ "free-water", "free-water", 0.1, 2 },
		{ "oil-gain", "oil-gain", 10, 20 },
		{ "external-leakage.low", "oil-loss", 0.7, 2.9 }
	};
	struct leat_limits limits;
	struct leat_error err = { 0 };
	bool absent = false;

	(void)state;
	if (leat_limits_read(&limits, "testdata/tables/none.csv", &absent, &err) != 0)
		fail_msg("line %ld: column %s: %s", err.line, err.column, err.text);
	assert_true(absent);
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		const struct leat_limit *row = ruling(&limits, "NM", cases[i].point, cases[i].rule);

		assert_non_null(row);
		unit_close(row->high_alert, cases[i].high_alert, 0);
		unit_close(row->high_alarm, cases[i].high_alarm, 0);
	}
	for (size_t i = 0; i < limits.count; i++) {
		const struct leat_limit *row = &limits.row[i];

		/* A row that switches off says why, and needs no advice. */
		assert_true(row->rule.shipped && row->rule.source.len > 0 && (row->rule.off || row->rule.advice.len > 0));
		assert_true(leat_span_is(row->rule.point, "*") || leat_point_find(row->rule.point) != NULL);
	}
	/* The water of a sample is that of its tank, which has a row of its own each day. */
	assert_null(ruling(&limits, "NM/sample-return", "free-water", "free-water"));
	/* Laboratory and round-sheet points come seldom: no age is shipped for them. */
	assert_null(ruling(&limits, "NM", "viscosity-40", "stale"));
	assert_null(ruling(&limits, "NM/accu-1", "gas-pressure", "stale"));
	assert_non_null(ruling(&limits, "-", "any tag", "stale"));
	leat_limits_free(&limits);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_german),
		cmocka_unit_test(test_rates_and_ages),
		cmocka_unit_test(test_precedence),
		cmocka_unit_test(test_switched_off),
		cmocka_unit_test(test_index_bound),
		cmocka_unit_test(test_bad),
		cmocka_unit_test(test_shipped)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
