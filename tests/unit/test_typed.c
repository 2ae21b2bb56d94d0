/* Round sheets: what is usual, what a person reads, and what looks mistyped. */
#include <math.h>

#include "judge/typed.h"
#include "unit.h"

#define DAY 86400

struct told {
	int count;
	char rule[32][40];
	struct leat_time time[32];
	char message[32][512];
};

static void
note(void *user, const struct leat_finding *f)
{
	struct told *told = user;

	assert_true(told->count < 32);
	snprintf(told->rule[told->count], sizeof(told->rule[0]), "%.*s", (int)f->rule.len, f->rule.ptr);
	snprintf(told->message[told->count], sizeof(told->message[0]), "%.*s", (int)f->message.len, f->message.ptr);
	told->time[told->count++] = f->time;
}

/* A reading; series numbers are those of the order of names here. */
static struct leat_reading
reading(int64_t sec, const char *asset, const char *point, const char *value, const char *unit)
{
	static struct leat_names names;
	char key[128];

	snprintf(key, sizeof(key), "%s %s", asset, point);
	return (struct leat_reading){ .time = { sec, 0 }, .asset = leat_span_of(asset), .point = leat_span_of(point),
		.value = leat_span_of(value), .unit = leat_span_of(unit), .quality = LEAT_GOOD,
		.series = leat_names_put(&names, leat_span_of(key)) };
}

static void
history(struct leat_round *round, int64_t sec, const char *point, const char *value, const char *unit)
{
	struct leat_reading r = reading(sec, strcmp(point, "state") == 0 ? "NM" : "NM/round", point, value, unit);

	assert_int_equal(leat_round_take(round, &r, NULL), 0);
}

static void
typed(struct leat_typed *sheet, int64_t sec, const char *point, const char *value, const char *unit)
{
	struct leat_reading r = reading(sec, "NM/round", point, value, unit);

	assert_int_equal(leat_typed_take(sheet, &r, NULL), 0);
}

/* Thirty days, three rounds a day: pressure 118 .. 127 in no order, temperature 44 .. 48. */
static void
month(struct leat_round *round, bool with_state)
{
	static const int order[] = { 3, 7, 0, 9, 5, 2, 8, 1, 6, 4 };
	char text[16];

	round->from = LEAT_TIME_NONE;
	for (int i = 0; i < 90; i++) {
		snprintf(text, sizeof(text), "%d", 118 + order[i * 7 % 10]);
		if (with_state)
			history(round, i * DAY / 3, "state", "grinding", "");
		history(round, i * DAY / 3, "pressure", text, "bar");
		snprintf(text, sizeof(text), "%d", 44 + order[i * 3 % 10] / 2);
		history(round, i * DAY / 3, "oil-temperature", text, "degC");
	}
}

static struct told
judge(struct leat_typed *sheet)
{
	struct told told = { 0 };

	assert_int_equal(leat_typed_judge(sheet, NULL, note, &told, NULL), 0);
	return told;
}

/* One value on the thirty-first day, beside an ordinary temperature. */
static void
one_value(void **state)
{
	static const struct {
		const char *value, *unit, *rule, *says;
	} cases[] = {
		{ "125", "bar", NULL, NULL }, { "130", "bar", NULL, NULL }, { "118", "bar", NULL, NULL },
		{ "152", "bar", "typed-swapped", "it is 125" },		/* the trade's own example */
		{ "142", "bar", "typed-swapped", "it is 124" },
		{ "99", "bar", NULL, NULL },				/* far off, and no slip makes it */
		{ "12.4", "bar", "typed-unit", "in MPa" },		/* 1 MPa is 10 bar */
		{ "1780", "bar", "typed-unit", "in psi" },		/* 1780 psi / 14.504 is 122.7 bar */
		{ "12300", "bar", "typed-unit", "in kPa" },
		{ "12.4", "MPa", NULL, NULL },				/* said as it is */
		{ "0", "bar", NULL, NULL }, { "3", "bar", NULL, NULL }	/* the mill is at rest */
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_round round = { .count = 0 };
		struct leat_typed sheet = { .round = &round };
		struct told told;

		typed(&sheet, 30 * DAY, "pressure", cases[i].value, cases[i].unit);
		typed(&sheet, 30 * DAY, "oil-temperature", "46", "degC");
		month(&round, false);
		told = judge(&sheet);
		if (cases[i].rule == NULL ? told.count != 0 : told.count != 1 || strcmp(told.rule[0], cases[i].rule) != 0 ||
		    strstr(told.message[0], cases[i].says) == NULL)
			fail_msg("%s %s: %d told: %s: %s", cases[i].value, cases[i].unit, told.count, told.rule[0], told.message[0]);
		leat_typed_free(&sheet);
		leat_round_free(&round);
	}
}

/* One digit is usual in one unit or another whatever it is; 4.2 says more. */
static void
one_digit(void **state)
{
	static const struct {
		const char *value;
		int told;
	} cases[] = { { "4", 0 }, { "4.2", 1 }, { "42", 0 } };

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_round round = { .from = LEAT_TIME_NONE };
		struct leat_typed sheet = { .round = &round };
		struct told told;
		char text[16];

		typed(&sheet, 30 * DAY, "level", cases[i].value, "mm");
		for (int k = 0; k < 60; k++) {
			snprintf(text, sizeof(text), "4%d", k * 3 % 5);
			history(&round, k * DAY / 2, "level", text, "mm");
		}
		told = judge(&sheet);
		if (told.count != cases[i].told)
			fail_msg("%s: %d told: %s", cases[i].value, told.count, told.message[0]);
		leat_typed_free(&sheet);
		leat_round_free(&round);
	}
}

/* The mill at rest shows other values, whose digits may well be those of usual ones in another order. */
static void
at_rest(void **state)
{
	struct leat_round round = { .count = 0 };
	struct leat_typed sheet = { .round = &round };
	struct told told;

	(void)state;
	typed(&sheet, 30 * DAY, "pressure", "0", "bar");
	typed(&sheet, 30 * DAY, "oil-temperature", "64", "degC");
	typed(&sheet, 31 * DAY, "oil-temperature", "64", "degC");
	month(&round, true);
	/* The slip of the day before, copied at rest, is told once. */
	typed(&sheet, 32 * DAY, "oil-temperature", "64", "degC");
	history(&round, 30 * DAY - 60, "state", "off", "");
	history(&round, 31 * DAY - 60, "state", "grinding", "");
	history(&round, 32 * DAY - 60, "state", "off", "");
	told = judge(&sheet);
	assert_int_equal(told.count, 1);
	assert_string_equal(told.rule[0], "typed-swapped");
	assert_int_equal(told.time[0].sec, 31 * DAY);
	leat_typed_free(&sheet);
	leat_round_free(&round);
}

static void
runs(void **state)
{
	struct leat_round round = { .count = 0 };
	struct leat_typed sheet = { .round = &round };
	struct told told;

	(void)state;
	/* Five times the same: told at the fifth, since the first; a steady temperature is none. */
	for (int i = 0; i < 6; i++) {
		typed(&sheet, 30 * DAY + i * DAY / 3, "pressure", "124", "bar");
		typed(&sheet, 30 * DAY + i * DAY / 3, "oil-temperature", i == 3 ? "45" : "46", "degC");
	}
	/* A level that stands still half of the time is no wonder when it stands still for two days. */
	for (int i = 0; i < 6; i++)
		typed(&sheet, 30 * DAY + i * DAY / 3, "level", "590", "mm");
	month(&round, true);
	for (int i = 0; i < 90; i++)
		history(&round, i * DAY / 3, "level", i / 2 % 2 == 0 ? "590" : "595", "mm");
	told = judge(&sheet);
	assert_int_equal(told.count, 1);
	assert_string_equal(told.rule[0], "typed-same");
	assert_int_equal(told.time[0].sec, 30 * DAY + 4 * DAY / 3);
	leat_typed_free(&sheet);
	leat_round_free(&round);
}

static void
minutes(void **state)
{
	static const struct {
		int gap;
		int told;
	} cases[] = { { 60, 1 }, { 61, 0 }, { 8 * 3600, 0 } };

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_round round = { .count = 0 };
		struct leat_typed sheet = { .round = &round };
		struct told told;

		for (int k = 0; k < 3; k++) {
			char text[16];

			snprintf(text, sizeof(text), "%d", 120 + k);
			typed(&sheet, 30 * DAY + k * cases[i].gap, "pressure", text, "bar");
			typed(&sheet, 30 * DAY + k * cases[i].gap, "oil-temperature", "45", "degC");
		}
		month(&round, true);
		told = judge(&sheet);
		assert_int_equal(told.count, cases[i].told);
		if (told.count > 0)
			assert_string_equal(told.rule[0], "typed-minute");
		leat_typed_free(&sheet);
		leat_round_free(&round);
	}
}

/* Quantiles of 0..90 are known without reckoning: the 5th percentile is 4.5, the 95th 85.5 (Hyndman and Fan 7). */
static void
usual(void **state)
{
	struct leat_round round = { .from = LEAT_TIME_NONE };
	struct leat_round_line *line = leat_round_add(&round, LEAT_SPAN("NM/round"), LEAT_SPAN("level"));
	struct leat_round_usual u;
	char text[16];

	(void)state;
	for (int i = 0; i <= 90; i++) {
		snprintf(text, sizeof(text), "%d", i * 37 % 91);
		history(&round, i * DAY / 4, "level", text, "mm");
	}
	/* Older and newer ones, bad ones, and those of another unit. */
	assert_int_equal(leat_round_usual_at(&round, line, (struct leat_time){ 23 * DAY, 0 }, NULL, &u, NULL), 0);
	assert_int_equal(u.source, LEAT_ROUND_READINGS);
	assert_int_equal(u.readings, 91);
	unit_close(u.low, 4.5, 1e-9);
	unit_close(u.high, 85.5, 1e-9);
	assert_int_equal(leat_round_usual_at(&round, line, (struct leat_time){ 4 * DAY, 0 }, NULL, &u, NULL), 0);
	assert_int_equal(u.readings, 16);
	assert_int_equal(u.source, LEAT_ROUND_NOTHING);
	assert_int_equal(leat_round_usual_at(&round, line, (struct leat_time){ 40 * DAY, 0 }, NULL, &u, NULL), 0);
	assert_int_equal(u.readings, 51);	/* from day 10 on */
	leat_round_free(&round);
}

static void
needs(void **state)
{
	static const struct {
		const char *point, *first;
		int count;
		enum leat_round_when when;
	} cases[] = {
		{ "pressure", "pressure", 1, LEAT_ROUND_ANY }, { "drain-flow-corrected", "drain-flow", 3, LEAT_ROUND_ANY },
		{ "gas-amount", "gas-pressure", 2, LEAT_ROUND_STOP }, { "cooler-ua.mean", "oil-in-temperature", 4, LEAT_ROUND_ANY },
		{ "iso4406-6um", "count-4um", 3, LEAT_ROUND_LABORATORY }, { "state", NULL, 0, LEAT_ROUND_ANY },
		{ "pump-running", NULL, 0, LEAT_ROUND_ANY }, { "-", NULL, 0, LEAT_ROUND_ANY }
	};
	const struct leat_point_info *info;
	enum leat_round_when when;
	const char *need;

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		int count = 0;

		while ((need = leat_round_need(leat_span_of(cases[i].point), (size_t)count, &when)) != NULL) {
			if (count++ == 0)
				assert_string_equal(need, cases[i].first);
			assert_int_equal(when, cases[i].when);
		}
		assert_int_equal(count, cases[i].count);
	}
	/* Whatever is needed is measured, and has a unit to be written in. */
	for (size_t i = 0; (info = leat_point_at(i)) != NULL; i++)
		for (size_t k = 0; (need = leat_round_need(leat_span_of(info->name), k, &when)) != NULL; k++) {
			assert_false(leat_point_derived(leat_span_of(need)));
			assert_non_null(leat_point_find(leat_span_of(need)));
			assert_true(leat_point_find(leat_span_of(need))->unit[0] != '\0');
		}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(one_value), cmocka_unit_test(one_digit), cmocka_unit_test(at_rest), cmocka_unit_test(runs), cmocka_unit_test(minutes),
		cmocka_unit_test(usual), cmocka_unit_test(needs)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
