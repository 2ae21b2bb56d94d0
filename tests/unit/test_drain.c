/* Corrected case drain flow: which minutes count, whose meter it is, and what comes out.  The formula and the oil have tests
 * of their own. */
#include "drain_pass.h"

static double
nu(double temp_c)
{
	struct leat_oil oil;

	assert_int_equal(leat_oil_between(&oil, 40, 46, 100, 6.8), 0);
	return leat_oil_viscosity(&oil, temp_c);
}

struct wanted {
	const char *name;
	struct day day;
	double corrected;		/* NaN: none */
	const char *quality;		/* of it; "": no row */
	double coverage;
};

static void
expect(const struct wanted *w)
{
	char *rows = day_rows(&w->day), quality[16];
	struct pass p;
	double value;

	pass_open(&p, w->day.plate != NULL ? w->day.plate : PLATE, rows);
	pass_run(&p, true);
	if (p.status < 0)
		fail_msg("%s: %s", w->name, p.err.text);
	unit_row(w->name, p.text, FLOW, w->corrected, 0.00051, w->quality);
	value = value_of(p.text, SHARE, quality);
	if (w->quality[0] != '\0' && !(fabs(value - w->coverage) <= 0.0051))
		fail_msg("%s: coverage %.2f, expected %.2f", w->name, value, w->coverage);
	pass_close(&p);
	free(rows);
}

/* 241 minutes are on; the first 30 are needed to know that the tank is steady (25 minutes known), the first 15 to settle. */
static void
test_gates(void **state)
{
	const double at_594 = 2.2 * nu(59.4) / nu(50), share = 100 * 217 / 241.0;
	const struct wanted cases[] = {
		{ "steady", { STEADY }, at_594, "good", share },
		{ "a settling time of two hours", { STEADY, .plate = PLATE ",pump-settling,2,h,\n" }, at_594, "good", 100 * 121 / 241.0 },
		{ "no drain temperature: 5.9 K in 100 bar above the tank", { DAY(240, 2.2, 160, NAN, 50) },
		    2.2 * nu(50 + leat_oil_throttled_k(160, 870)) / nu(50), "good", share },
		{ "no tank temperature: the drain tells of warmth", { DAY(240, 2.2, 160, 55, NAN) }, 2.2 * nu(55) / nu(50),
		    "good", share },
		{ "no temperature at all", { DAY(240, 2.2, 160, NAN, NAN) }, NAN, "bad", 0 },
		{ "cold", { DAY(240, 2.2, 160, 59.4, 39.9) }, NAN, "bad", 0 },
		{ "cold by the maker's word", { STEADY, .plate = PLATE ",warm-from,51,degC,\n" }, NAN, "bad", 0 },
		{ "warming by 2.9 K/h", { DAY(240, 2.2, 160, 59.4, 44), .tank_k_h = 2.9 }, at_594, "good", share },
		{ "warming by 3.1 K/h", { DAY(240, 2.2, 160, 59.4, 44), .tank_k_h = 3.1 }, NAN, "bad", 0 },
		{ "cooling by 3.1 K/h", { DAY(240, 2.2, 160, 59.4, 60), .tank_k_h = -3.1 }, NAN, "bad", 0 },
		{ "thin oil in the tank", { DAY(240, 2.2, 160, 59.4, 61.5) }, NAN, "bad", 0 },
		{ "thick oil in the tank", { STEADY, .plate = PLATE ",drain-viscosity-max,29,mm2/s,\n" }, NAN, "bad", 0 },
		{ "pressure 10 % off", { DAY(240, 2.2, 144, 59.4, 50) }, at_594 * 160 / 144, "good", share },
		{ "pressure farther off", { DAY(240, 2.2, 143.9, 59.4, 50) }, NAN, "bad", 0 },
		{ "no pressure, and no compensator in the nameplate", { DAY(240, 2.2, NAN, 59.4, 50) }, NAN, "bad", 0 },
		{ "a reading of uncertain quality", { STEADY, .quality = "uncertain" }, NAN, "bad", 0 },
		{ "no flow but bad readings", { STEADY, .quality = "bad" }, NAN, "bad", 0 },
		{ "no reference pressure", { STEADY, .plate = HEAD OIL }, NAN, "bad", 0 },
		{ "no oil", { STEADY, .plate = HEAD PUMP }, NAN, "bad", 0 },
		{ "the oil by its grade", { STEADY, .plate = HEAD PUMP ",oil-grade,VG 46,,\n,oil-viscosity-100,6.8,mm2/s,\n" }, at_594,
		    "good", share },
		{ "no meter", { DAY(240, NAN, 160, 59.4, 50) }, NAN, "", 0 },
		{ "too few minutes", { DAY(52, 2.2, 160, 59.4, 50) }, NAN, "bad", 100 * 29 / 53.0 },
		{ "just enough", { DAY(53, 2.2, 160, 59.4, 50) }, at_594, "good", 100 * 30 / 54.0 },
		{ "too small a share", { STEADY, .plate = PLATE ",pump-settling,121,min,\n" }, at_594, "uncertain", 100 * 120 / 241.0 },
		{ "enough by the works' word", { STEADY, .plate = PLATE ",pump-settling,121,min,\n,coverage-least,40,%,\n" }, at_594,
		    "good", 100 * 120 / 241.0 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		expect(&cases[i]);
}

/* Where there is no pump pressure, the control tells it. */
static void
test_control(void **state)
{
	const double at_594 = 2.2 * nu(59.4) / nu(50), share = 100 * 217 / 241.0;
	const char *plate = PLATE ",compensator-pressure,152,bar,\n";
	const struct wanted cases[] = {
		{ "the valve is shut", { DAY(240, 2.2, NAN, 59.4, 50), .plate = plate, .bleed = 1000 }, at_594 * 160 / 152, "good", share },
		{ "neither valve nor grinding pressure", { DAY(240, 2.2, NAN, 59.4, 50), .plate = plate }, at_594 * 160 / 152,
		    "good", share },
		{ "no valve, and a grinding pressure far off", { DAY(240, 2.2, NAN, 59.4, 50), .plate = plate,
		    .more = "2025-11-03T06:00:00Z,NM,pressure,120,bar,good\n" }, NAN, "bad", 0 },
		{ "shut, and no compensator", { DAY(240, 2.2, NAN, 59.4, 50), .bleed = 1000 }, NAN, "bad", 0 },
		{ "open from the 30th minute on: grinding pressure far below", { DAY(59, 2.2, NAN, 59.4, 50), .plate = plate,
		    .bleed = 30, .more = "2025-11-03T06:00:00Z,NM,pressure,120,bar,good\n" }, NAN, "bad", 100 * 6 / 60.0 },
		/* Of 241 minutes each tenth moves the valve; the first 24 are refused before it is asked. */
		{ "read, with a valve that moves", { STEADY, .bleed = 10 }, at_594, "good", 100 * (217 - 22) / 241.0 },
	};
	struct wanted grinding = { "no valve: the pump is at grinding pressure", { DAY(14, 2.2, NAN, 59.4, 50), .step = 1,
	    .plate = PLATE ",warm-rate,1000,K/h,\n" }, NAN, "bad", 0 };

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		expect(&cases[i]);
	expect(&grinding);
}

/* A bleed is taken out at the pressure of the reading and put back at the reference. */
static void
test_bleed(void **state)
{
	struct day day = { DAY(240, 2.2, 150, 59.4, 50), .plate = PLATE ",control-bleed,0.5,L/min,\n" };
	double slot = (2.2 - 0.5 * sqrt(150 / 160.0)) * 160 / 150 * nu(59.4) / nu(50);
	char *rows = day_rows(&day), quality[16];
	struct pass p;

	(void)state;
	pass_open(&p, day.plate, rows);
	pass_run(&p, true);
	assert_int_equal(p.status, 0);
	unit_close(value_of(p.text, SLOT, quality), slot, 0.00051);
	unit_close(value_of(p.text, FLOW, quality), slot + 0.5, 0.00051);
	pass_close(&p);
	free(rows);
}

/* The oil as the laboratory found it last, from any part of the mill; another oil begins anew. */
static void
test_laboratory(void **state)
{
	static const struct { const char *name, *plate, *more; double nu40; } cases[] = {
		{ "none", PLATE, NULL, 46 },
		{ "of a sample", PLATE, "2025-11-01T06:00:00Z,NM/sample-return/bottle-2,viscosity-40,50,mm2/s,good\n", 50 },
		{ "the last", PLATE, "2025-10-01T06:00:00Z,NM/sample-return,viscosity-40,50,mm2/s,good\n"
		    "2025-11-01T06:00:00Z,NM/sample-off-line,viscosity-40,48,cSt,good\n", 48 },
		{ "uncertain", PLATE, "2025-11-01T06:00:00Z,NM/sample-return,viscosity-40,50,mm2/s,uncertain\n", 46 },
		{ "of another mill", PLATE, "2025-11-01T06:00:00Z,MM/sample-return,viscosity-40,50,mm2/s,good\n", 46 },
		{ "of the oil before", HEAD PUMP ",oil-viscosity-40,32,mm2/s,\n,oil-viscosity-100,6.8,mm2/s,\n"
		    ",oil-viscosity-40,46,mm2/s,2025-11-02T06:00:00Z\n",
		    "2025-11-01T06:00:00Z,NM/sample-return,viscosity-40,50,mm2/s,good\n", 46 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct day day = { STEADY, .more = cases[i].more };
		char *rows = day_rows(&day), quality[16];
		struct leat_oil oil;
		struct pass p;

		assert_int_equal(leat_oil_between(&oil, 40, 46, 100, 6.8), 0);
		assert_int_equal(leat_oil_through(&oil, 40, cases[i].nu40), 0);
		pass_open(&p, cases[i].plate, rows);
		pass_run(&p, true);
		if (p.status != 0)
			fail_msg("%s: %s", cases[i].name, p.err.text);
		unit_close(value_of(p.text, FLOW, quality), 2.2 * leat_oil_viscosity(&oil, 59.4) / nu(50), 0.00051);
		pass_close(&p);
		free(rows);
	}
}

/* Whose drain a meter shows. */
static void
test_meters(void **state)
{
	static const char own[] = PLATE "NM/pump-a,drain-meter,own,,\n";
	static const struct { const char *name, *plate, *a, *b, *meter; double flow; bool for_a, for_b; } cases[] = {
		{ "pump A runs", PLATE, "on", "off", "NM/pump-a", 2.2, true, false },
		{ "pump B runs on the meter of A", PLATE, "off", "on", "NM/pump-a", 2.2, false, true },
		{ "which is A's own", own, "off", "on", "NM/pump-a", 2.2, false, false },
		{ "which shows nothing", PLATE, "off", "on", "NM/pump-a", 0, false, false },
		{ "both run", PLATE, "on", "on", "NM/pump-a", 2.2, false, false },
		{ "both run, and it is A's own", own, "on", "on", "NM/pump-a", 2.2, true, false },
		{ "the mill's meter, A runs", PLATE, "on", "off", "NM", 2.2, true, false },
		{ "the mill's meter, B runs", PLATE, "off", "on", "NM", 2.2, false, true },
		{ "the mill's meter, both run", PLATE, "on", "on", "NM", 2.2, false, false },
		{ "a round sheet's reading", PLATE, "on", "off", "NM/round", 2.2, false, false },
		{ "pump A runs dry: its own meter shows nothing", PLATE, "on", "off", "NM/pump-a", 0, true, false },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_buf text = { 0 };
		char quality[2][16];
		struct pass p;
		double a, b;

		for (int m = 0; m <= 120; m++)
			assert_int_equal(leat_buf_printf(&text,
			    "2025-11-03T%02d:%02d:00Z,NM/pump-a,pump-running,%s,,good\n2025-11-03T%02d:%02d:00Z,NM/pump-b,pump-running,%s,,good\n"
			    "2025-11-03T%02d:%02d:00Z,%s,drain-flow,%.2f,L/min,good\n2025-11-03T%02d:%02d:00Z,NM,pump-pressure,160,bar,good\n"
			    "2025-11-03T%02d:%02d:00Z,NM,oil-temperature,50,degC,good\n", 6 + m / 60, m % 60, cases[i].a, 6 + m / 60, m % 60,
			    cases[i].b, 6 + m / 60, m % 60, cases[i].meter, cases[i].flow, 6 + m / 60, m % 60, 6 + m / 60, m % 60), 0);
		assert_int_equal(leat_buf_printf(&text, "2025-11-04T06:00:00Z,NM,level,600,mm,good\n"), 0);
		assert_int_equal(leat_buf_add(&text, "", 1), 0);
		pass_open(&p, cases[i].plate, text.data);
		pass_run(&p, true);
		assert_int_equal(p.status, 0);
		a = value_of(p.text, FLOW, quality[0]);
		b = value_of(p.text, "2025-11-04T06:00:00Z,NM/pump-b,drain-flow-corrected,", quality[1]);
		if (isnan(a) == cases[i].for_a || isnan(b) == cases[i].for_b)
			fail_msg("%s: A %g %s, B %g %s", cases[i].name, a, quality[0], b, quality[1]);
		pass_close(&p);
		leat_buf_free(&text);
	}
}

/* A pump of known wear shows it whatever the pressure, temperature and step of the readings; and it is the median. */
static void
test_known_wear(void **state)
{
	uint64_t seed = 7;

	(void)state;
	for (int i = 0; i < 60; i++) {
		double slot = 0.5 + random_below(&seed, 5000) / 1e3, bleed = random_below(&seed, 800) / 1e3;
		double pressure = 145 + random_below(&seed, 300) / 10.0, drain_c = 48 + random_below(&seed, 180) / 10.0;
		struct day day = { .minutes = 300, .step = 1 + (int)random_below(&seed, 10), .pressure = pressure, .drain_c = drain_c,
			.tank_c = 50, .flow = bleed * sqrt(pressure / 160) + slot * pressure / 160 * nu(50) / nu(drain_c) };
		char plate[256], quality[16], *rows = day_rows(&day);
		struct pass p;

		snprintf(plate, sizeof(plate), PLATE ",control-bleed,%.3f,L/min,\n", bleed);
		pass_open(&p, plate, rows);
		pass_run(&p, true);
		assert_int_equal(p.status, 0);
		/* The reading has four decimals, the result three. */
		unit_close(value_of(p.text, SLOT, quality), slot, 0.0008);
		unit_close(value_of(p.text, FLOW, quality), slot + bleed, 0.0008);
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
		cmocka_unit_test(test_control),
		cmocka_unit_test(test_bleed),
		cmocka_unit_test(test_laboratory),
		cmocka_unit_test(test_meters),
		cmocka_unit_test(test_known_wear),
	};

	return cmocka_run_group_tests_name("drain", tests, NULL, NULL);
}
