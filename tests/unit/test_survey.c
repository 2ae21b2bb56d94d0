/*
 * stream/survey*.c: step, gaps, frozen spells, kinds and drafts.  The median and the count of gaps are checked
 * against sorted intervals, which take memory that a survey does not have.
 */
#include "random.h"
#include "stream/survey.h"
#include "unit.h"

#define MOST 4000

static const struct leat_export_form form = { .decimal = '.' };

static void
take(struct leat_survey *survey, double at, const char *value)
{
	struct leat_sample s = { .tag = LEAT_SPAN("A"), .value = leat_span_of(value) };

	s.time = leat_time_add((struct leat_time){ 1738555200, 0 }, at);
	assert_int_equal(leat_survey_take(survey, &form, &s), 0);
}

static int
compare(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;

	return x < y ? -1 : x > y;
}

/* Intervals of many lengths: the step is within 8 % of the median, and exact where the export is regular. */
static void
test_step(void **state)
{
	static double interval[MOST];
	uint64_t seed = 1;
	int round, i, n, gaps;

	(void)state;
	for (round = 0; round < 60; round++) {
		struct leat_survey survey = { NULL, 0 };
		double at = 0, step, median, least, most;
		long long counted;
		bool exact;

		n = 2 + (int)random_below(&seed, MOST - 2);
		take(&survey, 0, "1");
		for (i = 0; i < n; i++) {
			interval[i] = round < 10 ? (round + 1) * 0.25 : 0.05 * (1 + random_below(&seed, 1u << (round % 16)));
			if (random_below(&seed, 50) == 0)
				interval[i] *= 40;
			at += interval[i];
			take(&survey, at, "1");
		}
		qsort(interval, (size_t)n, sizeof(interval[0]), compare);
		median = interval[(n - 1) / 2];
		step = leat_survey_step(&survey.tag[0], &exact);
		if (round < 10)
			unit_close(step, median, 1e-6);
		unit_close(step, median, exact ? median * 1e-5 : median * 0.08);
		/* Gaps to the same precision: between those of a limit 16 % higher and one 16 % lower. */
		counted = leat_survey_gaps(&survey.tag[0]);
		least = most = 0;
		for (i = 0; i < n; i++) {
			least += interval[i] > LEAT_SURVEY_GAP * step * 1.16;
			most += interval[i] > LEAT_SURVEY_GAP * step * 0.84;
		}
		gaps = (int)counted;
		assert_true(gaps >= least && gaps <= most);
		unit_close(survey.tag[0].longest_s, interval[n - 1], 1e-5);
		leat_survey_free(&survey);
	}
}

/* The same from a walk over all values: the longest spell in which the value does not change. */
static void
test_frozen(void **state)
{
	static const struct {
		const char *name;
		const char *values;		/* one letter a value, a minute apart */
		double frozen_s;
	} cases[] = {
		{ "one value", "a", 0 },
		{ "always new", "abcdef", 0 },
		{ "at the beginning", "aaab", 120 },
		{ "at the end", "abbbb", 180 },
		{ "the longer of two", "aabcccd", 120 },
		{ "back to an old value", "abababa", 0 },
	};
	size_t i, j;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_survey survey = { NULL, 0 };

		for (j = 0; cases[i].values[j] != '\0'; j++)
			take(&survey, 60.0 * (double)j, (char[]){ cases[i].values[j], '\0' });
		if (survey.tag[0].frozen_s != cases[i].frozen_s)
			fail_msg("%s: %g s", cases[i].name, survey.tag[0].frozen_s);
		leat_survey_free(&survey);
	}
}

/* A tag by the pattern of its values, repeated: likely kind, map of states, typical decimals. */
static const struct kind_case {
	const char *name;
	const char *value[6];
	int times;
	enum leat_survey_kind kind;
	const char *states;
	int decimals;
} kind_cases[] = {
	{ "analogue", { "1.5", "1.7", "1.6" }, 50, LEAT_SURVEY_ANALOGUE, "", 1 },
	{ "most have two decimals", { "1.50", "1.7", "1.65" }, 50, LEAT_SURVEY_ANALOGUE, "", 2 },
	{ "constant", { "120" }, 50, LEAT_SURVEY_STEP, "", 0 },
	{ "too short to say", { "120" }, 5, LEAT_SURVEY_ANALOGUE, "", 0 },
	{ "nought and one", { "0", "1" }, 50, LEAT_SURVEY_SWITCH, "1=on|0=off", 0 },
	{ "nought only", { "0" }, 50, LEAT_SURVEY_STEP, "", 0 },
	{ "clear words", { "Running", "Stopped" }, 50, LEAT_SURVEY_SWITCH, "Running=on|Stopped=off", -1 },
	{ "clear words, off first", { "AUS", "Ein" }, 50, LEAT_SURVEY_SWITCH, "AUS=off|Ein=on", -1 },
	{ "words of a valve", { "Open", "Closed" }, 50, LEAT_SURVEY_SWITCH, "Open=|Closed=", -1 },
	{ "two words for one state", { "Running", "On" }, 50, LEAT_SURVEY_SWITCH, "Running=|On=", -1 },
	{ "one clear word", { "Running" }, 50, LEAT_SURVEY_SWITCH, "Running=on", -1 },
	{ "one word that says nothing", { "Grinding" }, 50, LEAT_SURVEY_WORD, "", -1 },
	{ "three words", { "Auto", "Manual", "Local" }, 50, LEAT_SURVEY_WORD, "", -1 },
	{ "codes", { "18/16/13", "18/15/13" }, 50, LEAT_SURVEY_WORD, "", -1 },
	{ "a text among numbers", { "1.5", "1.6", "1.7", "No Data" }, 50, LEAT_SURVEY_ANALOGUE, "", 1 },
	{ "detection limits", { "<5", "6.5", "<5" }, 50, LEAT_SURVEY_ANALOGUE, "", 1 },
};

static void
test_kinds(void **state)
{
	char states[128];
	size_t i, j;
	int k;

	(void)state;
	for (i = 0; i < sizeof(kind_cases) / sizeof(kind_cases[0]); i++) {
		const struct kind_case *c = &kind_cases[i];
		struct leat_survey survey = { NULL, 0 };
		double at = 0;

		for (k = 0; k < c->times; k++)
			for (j = 0; j < 6 && c->value[j] != NULL; j++)
				take(&survey, at += 60, c->value[j]);
		if (leat_survey_kind(&survey.tag[0]) != c->kind)
			fail_msg("%s: %s", c->name, leat_survey_kind_name(leat_survey_kind(&survey.tag[0])));
		if (strcmp(leat_survey_states(&survey.tag[0], states, sizeof(states)), c->states) != 0)
			fail_msg("%s: '%s'", c->name, states);
		if (leat_survey_decimals(&survey.tag[0]) != c->decimals)
			fail_msg("%s: %d decimals", c->name, leat_survey_decimals(&survey.tag[0]));
		leat_survey_free(&survey);
	}
}

/* A counter grows and is reset now and then; a set point stands for long. */
static void
test_grown(void **state)
{
	struct leat_survey survey = { NULL, 0 };
	char text[16];
	int i;

	(void)state;
	for (i = 0; i < 1000; i++) {
		snprintf(text, sizeof(text), "%d", i % 600 * 3);
		take(&survey, 60 * i, text);
	}
	assert_int_equal(leat_survey_kind(&survey.tag[0]), LEAT_SURVEY_COUNTER);
	assert_string_equal(survey.tag[0].min_text, "0");
	assert_string_equal(survey.tag[0].max_text, "1797");
	assert_int_equal(survey.tag[0].distincts, LEAT_SURVEY_DISTINCT);
	leat_survey_free(&survey);
	for (i = 0; i < 1000; i++) {
		snprintf(text, sizeof(text), "%d", i / 200 % 3 * 5);
		take(&survey, 60 * i, text);
	}
	assert_int_equal(leat_survey_kind(&survey.tag[0]), LEAT_SURVEY_STEP);
	assert_int_equal(survey.tag[0].distincts, 3);
	unit_close(survey.tag[0].frozen_s, 199 * 60, 1e-9);
	leat_survey_free(&survey);
}

/* Stamps that stand still or go back are counted and make no interval. */
static void
test_back(void **state)
{
	struct leat_survey survey = { NULL, 0 };
	bool exact;

	(void)state;
	take(&survey, 100, "1");
	take(&survey, 100, "2");
	take(&survey, 50, "3");
	take(&survey, 200, "4");
	assert_int_equal(survey.tag[0].same, 1);
	assert_int_equal(survey.tag[0].back, 1);
	assert_int_equal(survey.tag[0].intervals, 1);
	unit_close(leat_survey_step(&survey.tag[0], &exact), 150, 1e-6);
	unit_close(leat_time_diff(survey.tag[0].last, survey.tag[0].first), 150, 1e-9);
	leat_survey_free(&survey);
	take(&survey, 0, "1");
	unit_close(leat_survey_step(&survey.tag[0], &exact), -1, 0);
	assert_int_equal(leat_survey_gaps(&survey.tag[0]), 0);
	leat_survey_free(&survey);
}

static const struct source_case {
	const char *path;
	const char *row;
} source_cases[] = {
	{ "exports/NM_2025-11-03.csv", "NM,NM_*.csv,long,semicolon,comma,dmy,,windows-1252,," },
	{ "mill1.csv", "mill,mill*.csv,long,semicolon,comma,dmy,,windows-1252,," },
	{ "20251103T0600.txt", "export,*.txt,long,semicolon,comma,dmy,,windows-1252,," },
	{ "SM-2025-11-03_06.00.csv.gz", "SM,SM-*.csv.gz,long,semicolon,comma,dmy,,windows-1252,," },
	{ "a, b.csv", "\"a, b\",\"a, b.csv\",long,semicolon,comma,dmy,,windows-1252,," },
	{ "-", "export,export.csv,long,semicolon,comma,dmy,,windows-1252,," },
};

static void
test_sources(void **state)
{
	struct leat_export_form found = { .shape = LEAT_SHAPE_LONG, .separator = ';', .decimal = ',',
		.dates = LEAT_FORM_DMY, .encoding = LEAT_ENCODING_CP1252 };
	static struct leat_out out;
	char line[256];
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(source_cases) / sizeof(source_cases[0]); i++) {
		FILE *f = tmpfile();

		assert_non_null(f);
		leat_out_init(&out, f);
		leat_survey_draft_source(&out, source_cases[i].path, &found, "");
		assert_int_equal(leat_out_flush(&out), 0);
		rewind(f);
		assert_non_null(fgets(line, sizeof(line), f));
		line[strcspn(line, "\n")] = '\0';
		assert_string_equal(line, source_cases[i].row);
		fclose(f);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_step),
		cmocka_unit_test(test_frozen),
		cmocka_unit_test(test_kinds),
		cmocka_unit_test(test_grown),
		cmocka_unit_test(test_back),
		cmocka_unit_test(test_sources),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
