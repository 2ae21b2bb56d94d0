/* Corrected case drain flow: the edges of a stream, of the nameplate and of what readings may say. */
#include "drain_pass.h"

/* Two hours and a bit of a mill with two pumps, one row a minute of each series. */
struct series {
	const char *name, *unit, *quality;
	double value, per_min;		/* NaN: the word */
	const char *word;
};

static char *
two_pumps(const struct series *series, size_t count, const char *more)
{
	struct leat_buf text = { 0 };

	assert_int_equal(leat_buf_printf(&text, "%s", more), 0);
	for (int m = 0; m <= 120; m++) {
		for (size_t i = 0; i < count; i++) {
			const struct series *s = &series[i];
			char value[24];

			snprintf(value, sizeof(value), "%.3f", s->value + s->per_min * m);
			assert_int_equal(leat_buf_printf(&text, "2025-11-03T%02d:%02d:00Z,NM%s,%s,%s,%s\n", 7 + m / 60, m % 60, s->name,
			    s->word != NULL ? s->word : value, s->unit, s->quality != NULL ? s->quality : "good"), 0);
		}
	}
	assert_int_equal(leat_buf_printf(&text, "2025-11-03T09:01:00Z,NM/pump-a,pump-running,off,,good\n"
	    "2025-11-03T09:01:00Z,NM/pump-b,pump-running,off,,good\n2025-11-04T06:00:00Z,NM,level,600,mm,good\n"), 0);
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	return text.data;
}

#define RUNS(pump, is) { .name = "/" pump ",pump-running", .unit = "", .word = (is) }
#define READ(name_, unit_, value_) { .name = (name_), .unit = (unit_), .value = (value_) }
#define SHARE_B "2025-11-04T06:00:00Z,NM/pump-b,drain-flow-corrected.coverage,"

/* A meter becomes the pump's own at a date within the stream: until then the other pump's minutes count. */
static void
test_meter_by_date(void **state)
{
	static const struct series series[] = {
		RUNS("pump-a", "off"), RUNS("pump-b", "on"), READ("/pump-a,drain-flow", "L/min", 2.2),
		READ(",pump-pressure", "bar", 160), READ(",oil-temperature", "degC", 50)
	};
	char *rows = two_pumps(series, 5, ""), quality[16];
	struct pass once, twice;

	(void)state;
	pass_open(&once, PLATE "NM/pump-a,drain-meter,own,,2025-11-03T08:20:00Z\n", rows);
	pass_run(&once, false);
	assert_int_equal(once.status, 0);
	/* 80 minutes, of which 24 pass until the tank is known for long enough. */
	unit_close(value_of(once.text, SHARE_B, quality), 100 * 56 / 80.0, 0.0051);
	pass_open(&twice, PLATE "NM/pump-a,drain-meter,own,,2025-11-03T08:20:00Z\n", once.text);
	pass_run(&twice, false);
	assert_string_equal(twice.text, once.text);
	pass_close(&twice);
	pass_close(&once);
	free(rows);
}

/* Without a tank temperature each pump's own drain tells its warmth: that of the other, which stands and cools, does not. */
static void
test_warmth_of_its_own(void **state)
{
	static const struct series series[] = {
		RUNS("pump-a", "off"), RUNS("pump-b", "on"), READ("/pump-a,drain-flow", "L/min", 0),
		READ("/pump-b,drain-flow", "L/min", 2.2), READ(",pump-pressure", "bar", 160),
		{ .name = "/pump-a,drain-temperature", .unit = "degC", .value = 60, .per_min = -0.2 },
		READ("/pump-b,drain-temperature", "degC", 55)
	};
	char *rows = two_pumps(series, 7, ""), quality[16];
	struct pass p;

	(void)state;
	pass_open(&p, PLATE, rows);
	pass_run(&p, true);
	assert_int_equal(p.status, 0);
	unit_close(value_of(p.text, SHARE_B, quality), 100 * 97 / 121.0, 0.0051);
	pass_close(&p);
	free(rows);
}

/* A switch of uncertain quality admits nothing, and one of the other pump does not tell that it stands. */
static void
test_uncertain_switches(void **state)
{
	static const char *const name[] = { "/pump-b,pump-running", ",charging", "/pump-a,pump-running" };

	(void)state;
	for (size_t uncertain = 0; uncertain <= 3; uncertain++) {
		struct series series[] = {
			RUNS("pump-b", "on"), { .name = name[1], .unit = "", .word = "off" }, RUNS("pump-a", "off"),
			READ(",drain-flow", "L/min", 2.2), READ(",pump-pressure", "bar", 160), READ(",oil-temperature", "degC", 50)
		};
		char *rows, quality[16];
		struct pass p;

		if (uncertain < 3)
			series[uncertain].quality = "uncertain";
		rows = two_pumps(series, 6, "");
		pass_open(&p, PLATE, rows);
		pass_run(&p, true);
		assert_int_equal(p.status, 0);
		unit_close(value_of(p.text, SHARE_B, quality), uncertain < 3 ? 0 : 100 * 97 / 121.0, 0.0051);
		pass_close(&p);
		free(rows);
	}
}

/* A stream that begins where a day ends has nothing to say of that day, and leaves what was said. */
static void
test_begins_at_the_end(void **state)
{
	static const char said[] = "2025-11-03T06:00:00Z,NM/pump-a,pump-running,on,,good\n"
	    "2025-11-03T06:00:00Z,NM/pump-a,drain-flow,2.2,L/min,good\n"
	    "2025-11-03T06:00:00Z,NM/pump-a,drain-flow-corrected,3.333,L/min,good\n";
	struct day day = { STEADY, .more = said };
	char *rows = day_rows(&day), quality[16];
	struct pass p;

	(void)state;
	pass_open(&p, PLATE, rows);
	pass_run(&p, false);
	assert_int_equal(p.status, 0);
	assert_int_equal(p.drain.days, 1);
	assert_int_equal(p.drain.replaced, 0);
	unit_close(value_of(p.text, "2025-11-03T06:00:00Z,NM/pump-a,drain-flow-corrected,", quality), 3.333, 0);
	assert_null(strstr(p.text, "2025-11-03T06:00:00Z,NM/pump-a,slot-flow"));
	pass_close(&p);
	free(rows);
}

/* A zone whose days end between two whole minutes. */
static void
test_odd_seconds(void **state)
{
	struct day day = { STEADY };
	char *rows = day_rows(&day), quality[16];
	struct pass p;

	(void)state;
	pass_open(&p, PLATE ",zone,LMT-0:53:28,,\n", rows);
	pass_run(&p, true);
	assert_int_equal(p.status, 0);
	unit_close(value_of(p.text, "2025-11-04T05:07:00Z,NM/pump-a,drain-flow-corrected.coverage,", quality), 100 * 217 / 241.0,
	    0.0051);
	pass_close(&p);
	free(rows);
}

/* Every minute in which the pump ran is admitted or refused, whatever the readings say. */
static void
test_minutes_balance(void **state)
{
	static const struct { double flow, drain_c; const char *refused; } cases[] = {
		{ 2.2, -300, "217 min: flow or temperature beyond all bounds" },
		{ 2.2, -200, "217 min: flow or temperature beyond all bounds" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct day day = { DAY(240, cases[i].flow, 160, cases[i].drain_c, 50) };
		char *rows = day_rows(&day);
		struct pass p;

		pass_open(&p, PLATE, rows);
		p.drain.explain = true;
		pass_run(&p, true);
		assert_int_equal(p.status, 0);
		assert_non_null(strstr(p.text, "of them admitted 0 "));
		if (strstr(p.text, cases[i].refused) == NULL)
			fail_msg("%s", p.text);
		pass_close(&p);
		free(rows);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_meter_by_date),
		cmocka_unit_test(test_warmth_of_its_own),
		cmocka_unit_test(test_uncertain_switches),
		cmocka_unit_test(test_begins_at_the_end),
		cmocka_unit_test(test_odd_seconds),
		cmocka_unit_test(test_minutes_balance),
	};

	return cmocka_run_group_tests_name("drain, edges", tests, NULL, NULL);
}
