/* Filter elements: changes by the logbook, lives, and what the new element shows. */
#include "element_pass.h"

#define DAY_S 86400
#define BEGIN 1762128000	/* 2025-11-03T00:00:00Z */

/* A run of a filter, a row of each point every ten minutes. */
struct run {
	int days;
	double (*element)(double day);	/* of its dirt at the reference */
	bool (*stands)(double day);	/* NULL: the loop always runs */
	int gap_from, gap_to;		/* days without any row */
};

static char *
run_rows(const struct run *run)
{
	struct leat_buf text = { 0 };
	char t[LEAT_TIME_MAX];

	for (int s = 0; s <= run->days * DAY_S; s += 600) {
		double day = (double)s / DAY_S;
		bool on = run->stands == NULL || !run->stands(day);

		if (day > run->gap_from && day < run->gap_to)
			continue;
		leat_time_write(t, (struct leat_time){ BEGIN + s, 0 });
		assert_int_equal(leat_buf_printf(&text, "%s,NM/pump-a,pump-running,%s,,good\n%s,NM,oil-temperature,50,degC,good\n"
		    "%s,NM/filter,filter-dp,%.4f,bar,good\n", t, on ? "on" : "off", t, t, on ? shown(run->element(day), 25, nu(50)) : 0), 0);
	}
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	return text.data;
}

/* The entry of a change, days after the beginning. */
static void
add_entry(struct leat_buf *text, double day, const char *asset, const char *event)
{
	char t[LEAT_TIME_MAX];

	leat_time_write(t, (struct leat_time){ BEGIN + (int64_t)(day * DAY_S), 0 });
	assert_int_equal(leat_buf_printf(text, "%s,%s,%s,,,,,,,ab,done\n", t, asset, event), 0);
}

static double
steady(double day)
{
	(void)day;
	return 0.8;
}

#define LIFE "NM/filter,element-life,"
#define LIFE_RATIO "NM/filter,element-life-ratio,"
#define CHANGE_RATIO "NM/filter,element-change-ratio,"
#define HOURS "NM/filter,element-hours,"
#define LITRES "NM/filter,element-litres,"

/* Runs it with the entries. */
static void
pass_of(struct pass *p, const struct run *run, const char *plate, struct leat_buf *entries)
{
	char *rows = run_rows(run);

	assert_int_equal(leat_buf_add(entries, "", 1), 0);
	pass_open(p, plate, entries->data, rows);
	pass_run(p, true);
	if (p->status != 0)
		fail_msg("%s", p->err.text);
	leat_buf_free(entries);
	free(rows);
}

/* Lives of 4, 5, 3, 6, 1, 2 and 5 days after a first element of which nobody knows how old it is.  The first day of the stream
 * begins at its first minute, at 00:00, and the loop always runs. */
static void
test_lives(void **state)
{
	static const int life[] = { 4, 5, 3, 6, 1, 2, 5 };
	/* Median of those before, up to five: 4; 4.5; 4; 4.5; 4; 3; needed are three. */
	static const double ratio[] = { 0, 0, 0, 6 / 4.0, 1 / 4.5, 2 / 4.0, 5 / 3.0 };
	struct run run = { .days = 30, .element = steady };
	struct leat_buf entries = { 0 };
	double day = 2.4;
	char quality[16];
	struct pass p;

	(void)state;
	add_entry(&entries, day, "NM/filter", "filter-change");
	for (size_t i = 0; i < 7; i++)
		add_entry(&entries, day += life[i], "NM/filter", "filter-change");
	pass_of(&p, &run, PLATE, &entries);
	assert_int_equal(p.elements.changes, 8);
	for (int i = 0; i < 7; i++) {
		unit_close(nth_value_of(p.text, LIFE, i, quality), 24.0 * life[i], 0.051);
		assert_string_equal(quality, "good");
		if (i >= 3)
			unit_close(nth_value_of(p.text, LIFE_RATIO, i - 3, quality), ratio[i], 0.0011);
	}
	assert_true(isnan(nth_value_of(p.text, LIFE, 7, quality)));
	assert_true(isnan(nth_value_of(p.text, LIFE_RATIO, 4, quality)));
	pass_close(&p);
}

static bool
nights(double day)
{
	return day - floor(day) >= 0.75;
}

/* Hours with flow count, not those of the calendar; what nobody saw counts as what was before and after. */
static void
test_hours(void **state)
{
	static const struct { const char *name; bool (*stands)(double); int from, to; double hours; const char *quality; } cases[] = {
		{ "always on", NULL, 0, 0, 192, "good" },
		{ "a quarter off", nights, 0, 0, 144, "good" },
		{ "a quarter off, two days unseen, on before and after", nights, 5, 7, 156, "good" },
		{ "on, five days unseen", NULL, 4, 9, 192, "uncertain" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct run run = { .days = 14, .element = steady, .stands = cases[i].stands, .gap_from = cases[i].from,
			.gap_to = cases[i].to };
		struct leat_buf entries = { 0 };
		char quality[16];
		struct pass p;
		double hours;

		add_entry(&entries, 2.4, "NM/filter", "filter-change");
		add_entry(&entries, 10.4, "NM/filter", "filter-change");
		pass_of(&p, &run, PLATE, &entries);
		hours = value_of(p.text, LIFE, quality);
		if (!(fabs(hours - cases[i].hours) <= 3) || strcmp(quality, cases[i].quality) != 0)
			fail_msg("%s: %.1f h %s", cases[i].name, hours, quality);
		/* The first day's end after the change is 06:00 on the next day: 20.4 h. */
		hours = value_of(p.text, HOURS, quality);
		unit_close(hours, cases[i].stands != NULL ? 14.4 : 20.4, 0.051);
		unit_close(value_of(p.text, LITRES, quality), hours * 1500, 100);
		pass_close(&p);
	}
}

static double
saw(double day)
{
	/* Grows from 0.4 to 1.6 bar in eight days, and is renewed 2.4 days after the beginning. */
	return 0.4 * pow(4, fmod(day + 5.6, 8) / 8);
}

/* The value of the day of a change is that of the new element alone, and is compared with that of the old one. */
static void
test_change(void **state)
{
	struct run run = { .days = 12, .element = saw };
	struct leat_buf entries = { 0 };
	char quality[16];
	struct pass p;

	(void)state;
	add_entry(&entries, 2.4, "NM/filter", "filter-change");
	add_entry(&entries, 10.4, "NM/filter/element-1", "filter-change");
	pass_of(&p, &run, PLATE, &entries);
	/* Works' days end at 06:00: the old one was seen for 3.6 h of its day, the new one for 20.4 h; in the middle of them the one
	 * is 7.925 d old, the other 0.425. */
	unit_close(value_of(p.text, CHANGE_RATIO, quality), pow(4, (0.425 - 7.925) / 8), 0.002);
	unit_close(nth_value_of(p.text, CHANGE_RATIO, 1, quality), pow(4, (0.425 - 7.925) / 8), 0.002);
	unit_close(nth_value_of(p.text, RATIO, 2, quality), pow(4, 7.35 / 8), 0.01);
	unit_close(nth_value_of(p.text, RATIO, 3, quality), pow(4, 0.425 / 8), 0.002);
	assert_true(isnan(nth_value_of(p.text, CHANGE_RATIO, 2, quality)));
	pass_close(&p);
}

/* Entries that are no change of this filter's element, and one that is told twice. */
static void
test_entries(void **state)
{
	static const struct { const char *name, *asset, *event; double day; int changes, lives; } cases[] = {
		{ "none other", "NM/breather", "filter-change", 4.4, 1, 0 },
		{ "of the mill", "NM", "filter-change", 4.4, 1, 0 },
		{ "of another mill", "MM/filter", "filter-change", 4.4, 1, 0 },
		{ "of a name that begins alike", "NM/filter-2", "filter-change", 4.4, 1, 0 },
		{ "cleaned", "NM/filter", "cleaning", 4.4, 1, 0 },
		{ "told twice", "NM/filter", "filter-change", 2.6, 1, 0 },
		{ "the day after", "NM/filter", "filter-change", 3.4, 2, 1 },
		{ "before the first row", "NM/filter", "filter-change", -3, 2, 0 },
		{ "after the last row", "NM/filter", "filter-change", 20, 1, 0 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct run run = { .days = 8, .element = saw };
		struct leat_buf entries = { 0 };
		char quality[16];
		struct pass p;
		double first;

		add_entry(&entries, 2.4, "NM/filter", "filter-change");
		add_entry(&entries, cases[i].day, cases[i].asset, cases[i].event);
		pass_of(&p, &run, PLATE, &entries);
		first = value_of(p.text, CHANGE_RATIO, quality);
		if (p.elements.changes != cases[i].changes ||
		    !isnan(value_of(p.text, LIFE, quality)) != (cases[i].lives > 0 || cases[i].day < 0) || isnan(first))
			fail_msg("%s: %lld changes, ratio %g\n%s", cases[i].name, p.elements.changes, first, p.text);
		pass_close(&p);
	}
}

static double
not_done(double day)
{
	/* The second change is in the logbook alone. */
	return 0.4 * pow(4, (day < 2.4 ? day + 5.6 : day - 2.4) / 8);
}

static double
collapsed(double day)
{
	return day < 2.4 ? 1.5 : day < 6.4 ? 0.5 : day < 8.4 ? 0.52 : 0.1;
}

/* Without a clean-dp the elements themselves say what a clean one shows; and what is not done does not fall. */
static void
test_own_clean(void **state)
{
	const char *plate = HEAD OIL "NM/filter,loop-flow,25,L/min,\n";
	struct run run = { .days = 9, .element = not_done };
	struct leat_buf entries = { 0 };
	char quality[16];
	struct pass p;

	(void)state;
	add_entry(&entries, 2.4, "NM/filter", "filter-change");
	add_entry(&entries, 7.4, "NM/filter", "filter-change");
	pass_of(&p, &run, PLATE, &entries);
	unit_close(nth_value_of(p.text, CHANGE_RATIO, 1, quality), pow(4, 0.5 / 8), 0.002);
	unit_close(nth_value_of(p.text, RATIO, 8, quality), pow(4, 5.425 / 8), 0.005);
	pass_close(&p);

	run = (struct run){ .days = 11, .element = collapsed };
	entries = (struct leat_buf){ 0 };
	add_entry(&entries, 2.4, "NM/filter", "filter-change");
	add_entry(&entries, 6.4, "NM/filter", "filter-change");
	pass_of(&p, &run, plate, &entries);
	/* No element is known in the first two days; then 0.6 with the housing's 0.1, then 0.62: 0.2 is a third of them. */
	unit_close(value_of(p.text, RATIO, quality), 1, 0.001);
	unit_close(nth_value_of(p.text, RATIO, 4, quality), 0.62 / 0.61, 0.001);
	unit_close(nth_value_of(p.text, RATIO, 7, quality), 0.2 / 0.61, 0.001);
	pass_close(&p);
}

/* A second pass changes nothing. */
static void
test_again(void **state)
{
	struct run run = { .days = 20, .element = saw, .stands = nights, .gap_from = 6, .gap_to = 8 };
	struct leat_buf entries = { 0 }, same = { 0 };
	struct pass first, second;
	char *rows = run_rows(&run), *body;

	(void)state;
	for (int i = 0; i < 3; i++)
		add_entry(&entries, 2.4 + 8 * i, "NM/filter", "filter-change");
	assert_int_equal(leat_buf_add(&entries, "", 1), 0);
	assert_int_equal(leat_buf_add(&same, entries.data, entries.len), 0);
	pass_open(&first, PLATE, entries.data, rows);
	pass_run(&first, false);
	assert_int_equal(first.status, 0);
	assert_true(first.elements.added > 80);
	body = first.text;
	pass_open(&second, PLATE, same.data, body);
	pass_run(&second, false);
	assert_int_equal(second.status, 0);
	assert_string_equal(second.text, body);
	assert_int_equal(second.elements.replaced, first.elements.added);
	pass_close(&second);
	pass_close(&first);
	leat_buf_free(&entries);
	leat_buf_free(&same);
	free(rows);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_lives),
		cmocka_unit_test(test_hours),
		cmocka_unit_test(test_change),
		cmocka_unit_test(test_entries),
		cmocka_unit_test(test_own_clean),
		cmocka_unit_test(test_again),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
