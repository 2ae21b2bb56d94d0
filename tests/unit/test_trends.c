/* trends.csv: what rows say, which of them rules, which are refused, and the shipped ones. */
#include "stream/nameplate.h"
#include "stream/points.h"
#include "stream/trends.h"
#include "table_file.h"
#include "unit.h"

#define HEADER "asset,point,when,clock,model,baseline,alert,alarm,unit,window,rule\n"

static void
read_text(struct leat_trends *trends, const char *text)
{
	struct table_file f = table_file_text(text);
	struct leat_error err = { 0 };

	if (leat_trends_read(trends, f.path, NULL, &err) != 0)
		fail_msg("line %ld: column %s: %s", err.line, err.column, err.text);
	table_file_drop(&f);
}

/* The row that rules asset and point under a rule; NULL when none does. */
static const struct leat_trend_row *
ruling(const struct leat_trends *trends, const char *asset, const char *point, const char *rule)
{
	const struct leat_trend_row *found = NULL;
	size_t index[16], count;

	count = leat_trends_for(trends, leat_span_of(asset), leat_span_of(point), index, 16);
	assert_true(count <= 16);
	for (size_t i = 0; i < count; i++) {
		if (!leat_span_is(trends->row[index[i]].rule.name, rule))
			continue;
		assert_null(found);
		found = &trends->row[index[i]];
	}
	return found;
}

static void
test_german(void **state)
{
	const struct leat_trend_row *row;
	struct leat_trends trends;
	struct leat_error err = { 0 };
	bool absent = true;

	(void)state;
	if (leat_trends_read(&trends, "testdata/tables/good-german-trends.csv", &absent, &err) != 0)
		fail_msg("line %ld: column %s: %s", err.line, err.column, err.text);
	assert_false(absent);
	row = &trends.row[0];
	assert_non_null(row->rule.when);
	unit_span(leat_gate_text(row->rule.when), "state=grinding");
	assert_int_equal(row->clock, LEAT_CLOCK_RUNNING);
	assert_int_equal(row->model, LEAT_MODEL_CUBE_ROOT);
	assert_int_equal(row->baseline, LEAT_BASELINE_NUMBER);
	unit_close(row->baseline_value, 1.8, 0);
	assert_true(row->has_alert && row->has_alarm && !row->multiple && !row->falling && !row->rule.off && !row->rule.shipped);
	unit_close(row->alert, 2.5, 0);
	unit_close(row->alarm, 3.2, 0);
	assert_string_equal(row->unit->name, "L/min");
	assert_true(row->has_window);
	assert_int_equal(row->window.months, 6);
	unit_span(row->rule.name, "pump-wear");
	unit_span(row->rule.advice, "Pumpe pr\xc3\xbc" "fen");
	unit_span(row->rule.source, "Pr\xc3\xbc" "fblatt");
	assert_int_equal(row->rule.line, 2);
	assert_string_equal(row->rule.file, "testdata/tables/good-german-trends.csv");
	row = &trends.row[1];
	assert_int_equal(row->baseline, LEAT_BASELINE_AS_NEW);
	assert_true(row->multiple && row->falling && !row->has_window && row->rule.when == NULL && row->unit == NULL);
	unit_close(row->alert, 0.8, 0);
	unit_close(row->alarm, 0.7, 0);
	row = &trends.row[2];
	assert_int_equal(row->model, LEAT_MODEL_STEP);
	assert_int_equal(row->baseline, LEAT_BASELINE_NONE);
	assert_true(row->multiple && row->falling && !row->has_alert && row->has_alarm);
	assert_true(trends.row[3].rule.off);
	leat_trends_free(&trends);
}

/* What empty cells mean, and on which side of its beginning a row judges. */
static void
test_sides(void **state)
{
	static const struct {
		const char *cells;	/* clock to alarm */
		enum leat_trend_baseline baseline;
		bool multiple, falling;
	} cases[] = {
		{ ",,,1.5x,2x", LEAT_BASELINE_FIRST, true, false },
		{ "calendar,linear,first,1.5x,1.5x", LEAT_BASELINE_FIRST, true, false },
		{ ",,,,0.75x", LEAT_BASELINE_FIRST, true, true },
		{ ",,,0.9 x,0.8x", LEAT_BASELINE_FIRST, true, true },
		{ ",,as-new,2x,", LEAT_BASELINE_AS_NEW, true, false },
		{ ",,3,1.5x,", LEAT_BASELINE_NUMBER, true, false },
		{ ",,3,2.5,2", LEAT_BASELINE_NUMBER, false, true },
		{ ",,3,,2", LEAT_BASELINE_NUMBER, false, true },
		{ ",,3,4,5", LEAT_BASELINE_NUMBER, false, false },
		{ ",,none,4,5", LEAT_BASELINE_NONE, false, false },
		{ ",,none,5,4", LEAT_BASELINE_NONE, false, true },
		{ ",,none,,4", LEAT_BASELINE_NONE, false, false },
		{ ",,first,5,4", LEAT_BASELINE_FIRST, false, true },
		{ ",step,,1.25x,1.5x", LEAT_BASELINE_NONE, true, false },
		{ ",step,none,0.75x,", LEAT_BASELINE_NONE, true, true }
	};
	struct leat_trends trends;
	char text[256];

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		const struct leat_trend_row *row;

		snprintf(text, sizeof(text), HEADER "NM/pump-a,drain-flow-corrected,,%s,,,\n", cases[i].cells);
		read_text(&trends, text);
		row = &trends.row[0];
		if (row->baseline != cases[i].baseline || row->multiple != cases[i].multiple || row->falling != cases[i].falling)
			fail_msg("%s: baseline %d, multiple %d, falling %d", cases[i].cells, (int)row->baseline, row->multiple,
			    row->falling);
		assert_int_equal(row->clock, LEAT_CLOCK_CALENDAR);
		unit_span(row->rule.name, "trend");
		leat_trends_free(&trends);
	}
}

/* As in limits.csv: of one rule the works' row, then the more specific, then the later; a row without limits switches its
 * rule off where it rules. */
static void
test_precedence(void **state)
{
	static const char text[] =
	    "asset,point,alarm,rule\n"
	    "*,level,1.1x,r\n"				/* 2 */
	    "NM/*,level,1.2x,r\n"			/* 3 */
	    "NM/tank,l*,1.3x,r\n"			/* 4 */
	    "*,level,1.4x,other\n"			/* 5 */
	    "NM/*,drain-flow-corrected,3x,pump-wear\n"	/* 6: before the shipped row */
	    "NM/pump-b,drain-flow-corrected,,pump-wear\n" /* 7: off, though 6 fits too */
	    "SM/*,drain-flow-corrected,,pump-jump\n";	/* 8: switches the shipped row off */
	static const struct {
		const char *asset, *point, *rule;
		long line;		/* 0: none; -1: a shipped row */
	} cases[] = {
		{ "MM", "level", "r", 2 }, { "NM/pit", "level", "r", 3 }, { "NM/tank", "level", "r", 4 },
		{ "NM/tank", "level", "other", 5 }, { "NM/pump-a", "drain-flow-corrected", "pump-wear", 6 },
		{ "NM/pump-a", "drain-flow-corrected", "pump-jump", -1 },
		{ "NM/pump-b", "drain-flow-corrected", "pump-wear", 0 },
		{ "SM/pump-a", "drain-flow-corrected", "pump-jump", 0 },
		{ "SM/pump-a", "drain-flow-corrected", "pump-wear", -1 }, { "SM", "vibration", "trend", 0 }
	};
	struct leat_trends trends;
	size_t index[1] = { 99 };

	(void)state;
	read_text(&trends, text);
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		const struct leat_trend_row *row = ruling(&trends, cases[i].asset, cases[i].point, cases[i].rule);
		long line = row == NULL ? 0 : row->rule.shipped ? -1 : row->rule.line;

		if (line != cases[i].line)
			fail_msg("%s %s %s: line %ld, not %ld", cases[i].asset, cases[i].point, cases[i].rule, line,
			    cases[i].line);
	}
	assert_int_equal(leat_trends_for(&trends, LEAT_SPAN("NM/tank"), LEAT_SPAN("level"), index, 1), 2);
	assert_int_equal(leat_trends_for(&trends, LEAT_SPAN("NM/tank"), LEAT_SPAN("level"), NULL, 0), 2);
	leat_trends_free(&trends);
}

#define BAD(file, rest) { "testdata/tables/bad-" file "-trends.csv", "testdata/tables/bad-" file "-trends.csv:" rest }

static void
test_bad(void **state)
{
	static const struct {
		const char *path, *error;
	} cases[] = {
		BAD("clock", "2: column 'clock': not a clock: calendar, running-hours or ageing-hours: 'hours'"),
		BAD("model", "2: column 'model': not a model: linear, cube-root, exponential or step: 'cubic'"),
		BAD("baseline", "2: column 'baseline': not a baseline: first, as-new, none or a number: 'frist'"),
		BAD("kinds", "2: column 'alarm': a multiple is due, as in 'alert': '3.2'"),
		BAD("bound", "2: column 'alarm': neither a number nor a multiple of the baseline such as 1.5x: 'two'"),
		BAD("side", "2: column 'alarm': must not lie above 'alert', which is below the baseline: '0.75x'"),
		BAD("both-sides", "2: column 'alarm': must not lie below 'alert', which is above the baseline: '0.5x'"),
		BAD("number-side", "2: column 'alarm': must not lie below 'alert', which is above the baseline: '2.0'"),
		BAD("one", "2: column 'alert': this is the baseline itself: '1x'"),
		BAD("negative", "2: column 'alert': a multiple above zero is due: '-1.5x'"),
		BAD("zero", "2: column 'baseline': multiples need a baseline above zero: '0'"),
		BAD("none", "2: column 'alert': a multiple needs a baseline: '1.5x'"),
		BAD("as-new", "2: column 'baseline': no property of leat-nameplate(7) says what this point was when new: "
		    "'as-new'"),
		BAD("cube-root", "2: column 'model': only a leakage flow grows so: this point is none: 'cube-root'"),
		BAD("step", "2: column 'alarm': a step is judged by its share of the value before: write a multiple such as "
		    "1.25x: '3.2'"),
		BAD("step-baseline", "2: column 'baseline': a step is measured from the value before it: leave this empty: "
		    "'first'"),
		BAD("window", "2: column 'window': not a duration such as PT2H, P14D or P6M: '60 days'"),
		BAD("unit", "2: column 'unit': a unit of another dimension than this point's 'L/min': 'bar'"),
		BAD("word", "2: column 'point': this point has words, not numbers: 'state'"),
		BAD("switch", "2: column 'point': this point is on or off: only a share of time such as its '.on' has a trend: "
		    "'pump-running'"),
		BAD("gate", "2: column 'when': a point name is due at the end: 'state=grinding &'"),
		BAD("rule", "2: column 'rule': a rule's name has letters, digits, '-', '_' and '.' only: 'pump wear'"),
		BAD("twice", "3: column 'rule': line 2 has this asset, point and rule: name one of the rules otherwise: 'trend'"),
		BAD("asset", "2: column 'asset': empty: write an asset, a pattern, or * for all")
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_trends trends;
		struct leat_error err = { 0 };

		if (leat_trends_read(&trends, cases[i].path, NULL, &err) != -1)
			fail_msg("%s was read", cases[i].path);
		unit_error(&err, cases[i].error);
	}
}

/* Other faults, a row each, and rows that look like them and are good. */
static void
test_rows(void **state)
{
	static const struct {
		const char *row, *fault;	/* NULL: none */
	} cases[] = {
		{ "NM,drain-flow-corrected,,,,,2,3x,,,", "a number is due and no multiple, as in 'alert'" },
		{ "NM,drain-flow-corrected,,,,,1.5X,,,,", "neither a number nor a multiple of the baseline such as 1.5x" },
		{ "NM,drain-flow-corrected,,,,,0x,,,,", "a multiple above zero is due" },
		{ "NM,drain-flow-corrected,,,,1.8,1.8,,,,", "this is the baseline itself" },
		{ "NM,drain-flow-corrected,,,,1.8,1.5,1.6,,,", "must not lie above 'alert', which is below the baseline" },
		{ "NM,pressure-deviation,,,,-2,1.5x,,,,", "multiples need a baseline above zero" },
		{ "NM,pressure-deviation,,,,0,3,5,,,", NULL },
		{ "NM,drain-flow-corrected,,,step,,1.25x,0.75x,,,", "must not lie below 'alert', which is above the baseline" },
		{ "NM,drain-flow-corrected,,,step,1.8,1.25x,,,,", "a step is measured from the value before it: leave this empty" },
		{ "NM,drain-*,,,,as-new,1.5x,,,,", NULL },
		{ "NM,own-flow,,,cube-root,,1.5x,,,,", NULL },
		{ "NM,own-flow,,,cube-root,,1.5x,,mL/min,,", NULL },
		{ "NM,own-flow,,,cube-root,,1.5x,,bar,,", "only a leakage flow grows so: this point is none" },
		{ "NM,drain-flow.ratio,,,cube-root,,1.5x,,,,", "only a leakage flow grows so: this point is none" },
		{ "NM,pump-running.on,,,,,1.5x,,,,", NULL },
		{ "NM,drain-flow-corrected,,,,,1.5x,,,P0D,", "not a duration such as PT2H, P14D or P6M" },
		{ "NM,drain-flow-corrected,,,,,1.5x,,,P14D,", NULL },
		{ "NM,drain-flow-corrected,,,,,1.5x,,gal/min,,", "unknown unit (leat-units(7) lists all)" },
		{ "NM,,,,,,1.5x,,,,", "empty: write a point, a pattern, or * for all" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_trends trends;
		struct leat_error err = { 0 };
		struct table_file f;
		char text[256];
		int result;

		snprintf(text, sizeof(text), HEADER "%s\n", cases[i].row);
		f = table_file_text(text);
		result = leat_trends_read(&trends, f.path, NULL, &err);
		table_file_drop(&f);
		if (result == 0)
			leat_trends_free(&trends);
		if (result != (cases[i].fault != NULL ? -1 : 0) || strcmp(err.text, cases[i].fault != NULL ? cases[i].fault : "") != 0)
			fail_msg("%s: '%s'", cases[i].row, err.text);
	}
}

/* A property says what a point was when new only where both are of one dimension. */
static void
test_as_new(void **state)
{
	const struct leat_point_info *point;
	size_t found = 0;

	(void)state;
	for (size_t i = 0; (point = leat_point_at(i)) != NULL; i++) {
		const char *name = leat_trend_as_new(leat_span_of(point->name));
		const struct leat_property *property;

		if (name == NULL)
			continue;
		found++;
		property = leat_property_find(leat_span_of(name));
		assert_non_null(property);
		assert_true(leat_unit_same_dimension(leat_unit_find(leat_span_of(point->unit)),
		    leat_unit_find(leat_span_of(property->unit))));
		/* A shipped default would be another machine's value. */
		assert_null(property->fallback);
	}
	assert_int_equal(found, 8);
	assert_string_equal(leat_trend_as_new(LEAT_SPAN("drain-flow-corrected")), "as-new-drain-flow");
	assert_null(leat_trend_as_new(LEAT_SPAN("slot-flow")));
	assert_null(leat_trend_as_new(LEAT_SPAN("drain-flow-corrected.ratio")));
	assert_null(leat_trend_as_new(LEAT_SPAN("")));
}

/* Common practice, as the row's source says. */
static void
test_shipped(void **state)
{
	static const struct {
		const char *point, *rule;
		double alert, alarm;	/* 0: none */
		enum leat_trend_baseline baseline;
		bool falling;
	} cases[] = {
		{ "drain-flow-corrected", "pump-wear", 1.5, 2, LEAT_BASELINE_FIRST, false },
		{ "drain-flow-corrected", "pump-jump", 0, 1.25, LEAT_BASELINE_NONE, false },
		{ "internal-leakage", "leakage", 2, 4, LEAT_BASELINE_FIRST, false },
		{ "gas-compliance", "gas-compliance", 0.95, 0.9, LEAT_BASELINE_FIRST, true },
		{ "gas-amount", "gas-loss", 0.95, 0.9, LEAT_BASELINE_FIRST, true },
		{ "cooler-ua", "cooler-fouling", 0.75, 0.6, LEAT_BASELINE_AS_NEW, true },
		{ "bypass-share", "element-loading", 80, 100, LEAT_BASELINE_NONE, false },
		{ "cooler-index", "cooler-fouling", 1.3, 1.6, LEAT_BASELINE_FIRST, false },
		{ "heat-unexplained", "hidden-heat", 1.3, 0, LEAT_BASELINE_FIRST, false },
		{ "seal-leakage", "piston-seal", 5, 10, LEAT_BASELINE_AS_NEW, false },
		{ "bore-wear", "bore-wear", 0, 0.1, LEAT_BASELINE_NONE, false },
		{ "acid-number-rise", "acid-number", 0.5, 1.0, LEAT_BASELINE_NONE, false },
		{ "zinc", "additive-loss", 0.6, 0, LEAT_BASELINE_AS_NEW, true }
	};
	struct leat_trends trends;
	struct leat_error err = { 0 };
	bool absent = false;

	(void)state;
	if (leat_trends_read(&trends, "testdata/tables/none.csv", &absent, &err) != 0)
		fail_msg("line %ld: column %s: %s", err.line, err.column, err.text);
	assert_true(absent);
	assert_int_equal(trends.count, sizeof(cases) / sizeof(cases[0]));
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		const struct leat_trend_row *row = ruling(&trends, "NM/part", cases[i].point, cases[i].rule);

		assert_non_null(row);
		assert_true(row->rule.shipped && !row->rule.off && row->rule.advice.len > 0 && row->rule.source.len > 0);
		assert_true(row->has_alert == (cases[i].alert > 0) && row->has_alarm == (cases[i].alarm > 0));
		unit_close(row->has_alert ? row->alert : 0, cases[i].alert, 0);
		unit_close(row->has_alarm ? row->alarm : 0, cases[i].alarm, 0);
		assert_int_equal(row->baseline, cases[i].baseline);
		assert_int_equal(row->falling, cases[i].falling);
		assert_non_null(leat_point_find(row->rule.point));
		/* Without a unit the numbers are in that of the point: shipped numbers name it. */
		assert_true(row->multiple || row->unit != NULL);
	}
	assert_int_equal(ruling(&trends, "NM/pump-a", "drain-flow-corrected", "pump-wear")->model, LEAT_MODEL_CUBE_ROOT);
	assert_int_equal(ruling(&trends, "NM/pump-a", "drain-flow-corrected", "pump-wear")->clock, LEAT_CLOCK_RUNNING);
	leat_trends_free(&trends);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_german),
		cmocka_unit_test(test_sides),
		cmocka_unit_test(test_precedence),
		cmocka_unit_test(test_bad),
		cmocka_unit_test(test_rows),
		cmocka_unit_test(test_as_new),
		cmocka_unit_test(test_shipped)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
