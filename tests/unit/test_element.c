/* Filter elements: which minutes count, whether the loop runs, and what comes out of a day. */
#include "element_pass.h"

/* A day by the minute, from 07:00 UTC on: what the case changes of it. */
struct day {
	const char *plate;		/* NULL: PLATE */
	int minutes;
	double dp, flow, tank_c;	/* NaN: not read */
	double tank_k_h;		/* the tank warms */
	const char *quality;		/* of the differential pressure; NULL: good */
	const char *more;		/* further rows, at the beginning */
	const char *pump;		/* asset and value of the switch; NULL: none */
};

#define PUMP_ON "NM/pump-a,pump-running,on"
#define DAY(minutes_, dp_, flow_, tank_, pump_) \
	.minutes = (minutes_), .dp = (dp_), .flow = (flow_), .tank_c = (tank_), .pump = (pump_)
#define STEADY DAY(240, 1.1, NAN, 50, PUMP_ON)

static char *
day_rows(const struct day *d)
{
	struct leat_buf text = { 0 };

	if (d->more != NULL)
		assert_int_equal(leat_buf_printf(&text, "%s", d->more), 0);
	for (int m = 0; m <= d->minutes; m++) {
		char t[32];

		snprintf(t, sizeof(t), "2025-11-03T%02d:%02d:00Z,", 7 + m / 60, m % 60);
		if (d->pump != NULL)
			assert_int_equal(leat_buf_printf(&text, "%s%s,,good\n", t, d->pump), 0);
		if (!isnan(d->flow))
			assert_int_equal(leat_buf_printf(&text, "%sNM/filter,oil-flow,%.4f,L/min,good\n", t, d->flow), 0);
		if (!isnan(d->dp))
			assert_int_equal(leat_buf_printf(&text, "%sNM/filter,filter-dp,%.5f,bar,%s\n", t, d->dp,
			    d->quality != NULL ? d->quality : "good"), 0);
		if (!isnan(d->tank_c))
			assert_int_equal(leat_buf_printf(&text, "%sNM,oil-temperature,%.4f,degC,good\n", t,
			    d->tank_c + d->tank_k_h * m / 60), 0);
	}
	/* Without a stop the last values would be held for a quarter of an hour. */
	if (d->pump != NULL)
		assert_int_equal(leat_buf_printf(&text, "2025-11-03T%02d:%02d:00Z,%.*s,off,,good\n", 7 + (d->minutes + 1) / 60,
		    (d->minutes + 1) % 60, (int)(strrchr(d->pump, ',') - d->pump), d->pump), 0);
	if (!isnan(d->flow))
		assert_int_equal(leat_buf_printf(&text, "2025-11-03T%02d:%02d:00Z,NM/filter,oil-flow,0,L/min,good\n",
		    7 + (d->minutes + 1) / 60, (d->minutes + 1) % 60), 0);
	assert_int_equal(leat_buf_printf(&text, "2025-11-04T06:00:00Z,NM,level,600,mm,good\n"), 0);
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	return text.data;
}

struct wanted {
	const char *name;
	struct day day;
	double element;			/* NaN: none */
	const char *quality;		/* of it; "": no row */
	double coverage;
};

static void
expect(const struct wanted *w)
{
	char *rows = day_rows(&w->day), quality[16];
	struct pass p;
	double value;

	pass_open(&p, w->day.plate != NULL ? w->day.plate : PLATE, NULL, rows);
	pass_run(&p, true);
	if (p.status < 0)
		fail_msg("%s: %s", w->name, p.err.text);
	unit_row(w->name, p.text, DP, w->element, 0.00051, w->quality);
	value = value_of(p.text, COVERAGE, quality);
	if (w->quality[0] != '\0' && !(fabs(value - w->coverage) <= 0.0051))
		fail_msg("%s: coverage %.2f, expected %.2f", w->name, value, w->coverage);
	pass_close(&p);
	free(rows);
}

/* 241 minutes run; the first 24 are needed to know that the tank is steady (25 minutes known), of them 15 to settle. */
static void
test_gates(void **state)
{
	const double share = 100 * 217 / 241.0, at_55 = 1.0 * nu(50) / nu(55);
	const struct wanted cases[] = {
		{ "steady, at the reference", { STEADY }, 1.0, "good", share },
		{ "hot oil", { DAY(240, 1.1, NAN, 55, PUMP_ON) }, at_55, "good", share },
		{ "a settling time of two hours", { STEADY, .plate = PLATE ",pump-settling,2,h,\n" }, 1.0, "good", 100 * 121 / 241.0 },
		{ "cold", { DAY(240, 1.1, NAN, 39.9, PUMP_ON) }, NAN, "bad", 0 },
		{ "warm by the works' word, and thin enough", { DAY(240, 1.1, NAN, 36, PUMP_ON), .plate = PLATE ",warm-from,30,degC,\n" },
		    1.0 * nu(50) / nu(36), "good", share },
		{ "12 degC", { DAY(240, 1.1, NAN, 12, PUMP_ON), .plate = PLATE ",warm-from,5,degC,\n" }, NAN, "bad", 0 },
		{ "too thick by the works' word", { STEADY, .plate = PLATE "NM/filter,filter-viscosity-max,29,mm2/s,\n" }, NAN, "bad", 0 },
		{ "warming by 3.1 K/h", { DAY(240, 1.1, NAN, 45, PUMP_ON), .tank_k_h = 3.1 }, NAN, "bad", 0 },
		{ "cooling by 3.1 K/h", { DAY(240, 1.1, NAN, 60, PUMP_ON), .tank_k_h = -3.1 }, NAN, "bad", 0 },
		{ "a reading of uncertain quality", { STEADY, .quality = "uncertain" }, NAN, "bad", 0 },
		{ "bad readings alone", { STEADY, .quality = "bad" }, NAN, "bad", 0 },
		{ "no temperature", { DAY(240, 1.1, NAN, NAN, PUMP_ON) }, NAN, "bad", 0 },
		{ "no oil in the nameplate", { STEADY, .plate = HEAD FILTER }, NAN, "bad", 0 },
		{ "a filter that the nameplate does not know", { STEADY, .plate = HEAD OIL }, NAN, "", 0 },
		{ "a reference of 32 mm2/s", { STEADY, .plate = PLATE "NM/filter,reference-viscosity,32,mm2/s,\n" }, 32 / nu(50), "good",
		    share },
		{ "no clean-dp: all is the element's", { STEADY, .plate = HEAD OIL "NM/filter,loop-flow,25,L/min,\n" }, 1.1, "good",
		    share },
		{ "no flow anywhere: as at the reference", { STEADY, .plate = HEAD OIL "NM/filter,clean-dp,0.5,bar,\n"
		    "NM/filter,housing-share,20,%,\n" }, 1.0, "good", share },
		{ "just enough", { DAY(53, 1.1, NAN, 50, PUMP_ON) }, 1.0, "good", 100 * 30 / 54.0 },
		{ "too few minutes", { DAY(52, 1.1, NAN, 50, PUMP_ON) }, NAN, "bad", 100 * 29 / 53.0 },
		{ "too small a share", { STEADY, .plate = PLATE ",pump-settling,121,min,\n" }, 1.0, "uncertain", 100 * 120 / 241.0 },
		/* 29.97 mm2/s at 50 degC become 32.30. */
		{ "a laboratory value", { STEADY, .more = "2025-11-01T06:00:00Z,NM/sample-return,viscosity-40,50,cSt,good\n" },
		    0.9280, "good", share },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		expect(&cases[i]);
}

/* Half the flow leaves a quarter of the housing and half of the element. */
static void
test_flow(void **state)
{
	const double share = 100 * 217 / 241.0;
	const char *no_loop = HEAD OIL "NM/filter,clean-dp,0.5,bar,\nNM/filter,housing-share,20,%,\n";
	const struct wanted cases[] = {
		{ "read, no pump", { DAY(240, 0.525, 12.5, 50, NULL) }, 1.0, "good", share },
		{ "read, and the pump's switch says otherwise", { DAY(240, 1.1, 25, 50, "NM/pump-a,pump-running,off") }, 1.0, "good",
		    share },
		{ "just enough flow", { DAY(240, 0.204, 5, 50, PUMP_ON) }, 1.0, "good", share },
		{ "too little flow is none", { DAY(240, 0.204, 4.9, 50, PUMP_ON) }, NAN, "", 0 },
		{ "enough by the works' word", { DAY(240, 0.1 * 4.9 / 25 * 4.9 / 25 + 4.9 / 25, 4.9, 50, PUMP_ON),
		    .plate = PLATE "NM/filter,loop-flow-least,10,%,\n" }, 1.0, "good", share },
		{ "read, and no flow to compare with", { DAY(240, 1.1, 25, 50, PUMP_ON), .plate = no_loop }, NAN, "bad", 0 },
		{ "of the mill as a whole: not the filter's", { STEADY, .more = "2025-11-03T06:59:00Z,NM,oil-flow,1,L/min,good\n" }, 1.0,
		    "good", share },
		{ "outdated: the nameplate's", { STEADY, .more = "2025-11-03T05:59:00Z,NM/filter,oil-flow,12.5,L/min,good\n" }, 1.0,
		    "good", share },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		expect(&cases[i]);
}

/* Whether the loop runs where its flow is not read. */
static void
test_loop(void **state)
{
	static const char loop[] = PLATE "NM/filter,loop-pump,loop-pump,,\n";
	static const struct { const char *name, *plate, *first, *second; bool runs; } cases[] = {
		{ "the only pump of the mill", PLATE, "NM/pump-a,pump-running,on", NULL, true },
		{ "off", PLATE, "NM/pump-a,pump-running,off", NULL, false },
		{ "one of two", PLATE, "NM/pump-a,pump-running,off", "NM/pump-b,pump-running,on", true },
		{ "neither of two", PLATE, "NM/pump-a,pump-running,off", "NM/pump-b,pump-running,off", false },
		{ "of another mill", PLATE, "MM/pump-a,pump-running,on", NULL, false },
		{ "the loop's own", loop, "NM/pump-a,pump-running,off", "NM/loop-pump,pump-running,on", true },
		{ "the loop's own is off", loop, "NM/pump-a,pump-running,on", "NM/loop-pump,pump-running,off", false },
		{ "the loop's own is never read: not known", loop, "NM/pump-a,pump-running,on", NULL, false },
		{ "the filter's", PLATE, "NM/pump-a,pump-running,off", "NM/filter,pump-running,on", true },
		{ "no switch at all", PLATE, "NM,level,600", NULL, false },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct day day = { DAY(240, 1.1, NAN, 50, cases[i].first) };
		char *rows = day_rows(&day), quality[16], more[128] = "";
		struct leat_buf text = { 0 };
		struct pass p;
		double value;

		if (cases[i].second != NULL)
			snprintf(more, sizeof(more), "2025-11-03T06:59:00Z,%s,,good\n", cases[i].second);
		assert_int_equal(leat_buf_printf(&text, "%s%s", more, rows), 0);
		pass_open(&p, cases[i].plate, NULL, text.data);
		pass_run(&p, true);
		assert_int_equal(p.status, 0);
		value = value_of(p.text, DP, quality);
		if (isnan(value) == cases[i].runs)
			fail_msg("%s: %g %s", cases[i].name, value, quality);
		pass_close(&p);
		leat_buf_free(&text);
		free(rows);
	}
}

/* A day with the bypass open for some of its minutes, and how near the element is to that.  Clean: 0.4 bar and 0.1 of the
 * housing; the bypass opens at 2.5, so at 2.4 of the element. */
static void
test_bypass(void **state)
{
	static const struct { const char *name; double dp, tank_c, element; const char *quality; double ratio, share, minutes; }
	    cases[] = {
		{ "clean", 0.5, 50, 0.4, "good", 1, 16.7, 0 },
		{ "at 80 %", 2.02, 50, 1.92, "good", 4.8, 80, 0 },
		{ "just shut", 2.374, 50, 2.274, "good", 5.685, 94.8, 0 },
		{ "open: at least that", 2.376, 50, 2.276, "uncertain", 5.69, 94.8, 217 },
		{ "open with thicker oil: at least less than it takes", 2.45, 41, 1.6, "uncertain", 4.0, 66.7, 217 },
		{ "gone", 0.25, 50, 0.15, "good", 0.375, 6.3, 0 },
		{ "less than the housing", 0.05, 50, -0.05, "good", -0.125, -2.1, 0 },
	};
	char quality[16];

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct day day = { DAY(240, cases[i].dp, NAN, cases[i].tank_c, PUMP_ON) };
		char *rows = day_rows(&day);
		struct pass p;
		double element;

		pass_open(&p, PLATE, NULL, rows);
		pass_run(&p, true);
		assert_int_equal(p.status, 0);
		element = value_of(p.text, DP, quality);
		if (fabs(element - cases[i].element) > (cases[i].tank_c < 50 ? 0.05 : 0.0006) || strcmp(quality, cases[i].quality) != 0)
			fail_msg("%s: %.3f %s", cases[i].name, element, quality);
		unit_close(value_of(p.text, RATIO, quality), element / 0.4, 0.0021);
		unit_close(value_of(p.text, SHARE, quality), 100 * element / 2.4, 0.051);
		unit_close(value_of(p.text, BYPASS, quality), cases[i].minutes, 0);
		assert_string_equal(quality, "good");
		pass_close(&p);
		free(rows);
	}
}

/* With enough minutes in which it is shut, those in which it is open are left out. */
static void
test_bypass_partly(void **state)
{
	struct day day = { DAY(240, NAN, NAN, 50, PUMP_ON) };
	struct leat_buf text = { 0 };
	char *rows = day_rows(&day), quality[16], *line = rows;
	struct pass p;

	(void)state;
	/* Two minutes of five are open from 09:00 on. */
	for (int m = 0; *line != '\0'; line = strchr(line, '\n') + 1) {
		assert_int_equal(leat_buf_add(&text, line, (size_t)(strchr(line, '\n') + 1 - line)), 0);
		if (strstr(line, "oil-temp") != NULL && strstr(line, "oil-temp") < strchr(line, '\n')) {
			assert_int_equal(leat_buf_printf(&text, "2025-11-03T%02d:%02d:00Z,NM/filter,filter-dp,%s,bar,good\n", 7 + m / 60, m % 60,
			    m >= 120 && m % 5 < 2 ? "2.45" : "2.1"), 0);
			m++;
		}
	}
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	pass_open(&p, PLATE, NULL, text.data);
	pass_run(&p, true);
	assert_int_equal(p.status, 0);
	unit_close(value_of(p.text, DP, quality), 2.0, 0.0006);
	assert_string_equal(quality, "good");
	/* 121 minutes from 09:00 to 11:00: 24 times five and one. */
	unit_close(value_of(p.text, BYPASS, quality), 49, 0);
	pass_close(&p);
	leat_buf_free(&text);
	free(rows);
}

/* An element of known dirt shows it whatever the flow, the temperature and the housing. */
static void
test_known_dirt(void **state)
{
	uint64_t seed = 11;

	(void)state;
	for (int i = 0; i < 60; i++) {
		double element = 0.2 + random_below(&seed, 1500) / 1e3, flow = 8 + random_below(&seed, 300) / 10.0;
		double tank = 40.2 + random_below(&seed, 200) / 10.0;
		struct day day = { .minutes = 120, .dp = shown(element, flow, nu(tank)), .flow = flow, .tank_c = tank };
		char *rows, quality[16];
		struct pass p;

		day.plate = PLATE "NM/filter,bypass-dp,100,bar,\n";
		rows = day_rows(&day);
		pass_open(&p, day.plate, NULL, rows);
		pass_run(&p, true);
		assert_int_equal(p.status, 0);
		unit_close(value_of(p.text, DP, quality), element, 0.001);
		assert_string_equal(quality, "good");
		pass_close(&p);
		free(rows);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_gates),
		cmocka_unit_test(test_flow),
		cmocka_unit_test(test_loop),
		cmocka_unit_test(test_bypass),
		cmocka_unit_test(test_bypass_partly),
		cmocka_unit_test(test_known_dirt),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
