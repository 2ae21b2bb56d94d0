/* Coolers: which spells count, and what a works' day says.  Formulas and swings have tests of their own. */
#include "cooler_pass.h"

#include "physics/oil.h"

#define N NAN
#define OPEN .oil_in = 52, .oil_out = 47.2, .water_in = 22, .water_out = 24.8, .tank = N, .air = N
#define PART .oil_in = 44, .oil_out = 26, .water_in = 10, .water_out = 12.8, .tank = N, .air = N
#define ROW(name) "Z,NM/cooler," name ","

/* The plain formulas. */
static double
capacity(double lpm, double density, double heat)
{
	return lpm / 1000 / 60 * density * heat;
}

static double
conductance(double duty, double a, double b)
{
	return duty * log(a / b) / (a - b);
}

struct wanted {
	const char *name;
	struct day day;
	const char *series;
	double value;		/* NaN: none */
	const char *quality;	/* "": no row */
	double within;
};

static void
expect(const struct wanted *w)
{
	char *rows = day_rows(&w->day);
	struct pass p;

	pass_open(&p, w->day.plate != NULL ? w->day.plate : PLATE, rows);
	pass_run(&p, true);
	if (p.status < 0)
		fail_msg("%s: %s", w->name, p.err.text);
	unit_row(w->name, p.text, w->series, w->value, w->within, w->quality);
	pass_close(&p);
	free(rows);
}

static void
all(const struct wanted *cases, size_t count)
{
	for (size_t i = 0; i < count; i++)
		expect(&cases[i]);
}

#define ALL(cases) all(cases, sizeof(cases) / sizeof((cases)[0]))

static void
test_gates(void **state)
{
	const double oil = capacity(60, leat_oil_density(870, 52), 1.95) * 4.8, water = capacity(40, 997.8, 4.18) * 2.8;
	const double both = conductance((oil + water) / 2, 27.2, 25.2), alone = conductance(oil, 27.2, 25.2);
	const struct wanted cases[] = {
		{ "open", { OPEN }, ROW("cooler-ua"), both, "good", 1e-4 },
		{ "duty", { OPEN }, ROW("cooler-duty"), (oil + water) / 2, "good", 2e-3 },
		{ "balance", { OPEN }, ROW("cooler-balance"), 200 * (oil - water) / (oil + water), "good", 0.06 },
		{ "coverage: the first minute is a spell of its own", { OPEN }, ROW("cooler-ua.coverage"), 100 * 360 / 361.0, "good",
		    6e-3 },
		{ "approach", { OPEN }, ROW("cooler-approach"), 25.2, "good", 1e-6 },
		{ "effectiveness", { OPEN }, ROW("cooler-effectiveness"), 16, "good", 1e-6 },
		{ "with a duty there is no index", { OPEN }, ROW("cooler-index"), N, "", 0 },
		{ "not grinding", { OPEN, .state = "no-load" }, ROW("cooler-ua"), N, "", 0 },
		{ "uncertain", { OPEN, .quality = "uncertain" }, ROW("cooler-ua"), N, "bad", 0 },
		{ "warming by 2.9 K/h", { OPEN, .k_h = 2.9, .minutes = 61 }, ROW("cooler-ua.coverage"), 100 * 60 / 62.0, "good", 6e-3 },
		{ "warming by 3.1 K/h", { OPEN, .k_h = 3.1 }, ROW("cooler-ua"), N, "bad", 0 },
		{ "cooling by 3.1 K/h", { OPEN, .k_h = -3.1, .minutes = 40 }, ROW("cooler-ua"), N, "bad", 0 },
		{ "cold by the maker's word", { OPEN, .plate = PLATE ",warm-from,53,degC,\n" }, ROW("cooler-ua"), N, "bad", 0 },
		{ "at full opening and the margin", { OPEN, .plate = PLATE ",thermostat-margin,5,K,\n" }, ROW("cooler-ua"), both,
		    "good", 1e-4 },
		{ "a hair below", { OPEN, .plate = PLATE ",thermostat-margin,5.01,K,\n" }, ROW("cooler-ua"), N, "bad", 0 },
		{ "no thermostat", { OPEN, .plate = PLATE_HEAD FLOWS }, ROW("cooler-ua"), both, "uncertain", 1e-4 },
		{ "oil and water do not agree", { .oil_in = 52, .oil_out = 47.2, .water_in = 22, .water_out = 24.2, .tank = N, .air = N },
		    ROW("cooler-ua"), N, "bad", 0 },
		{ "but by the works' word they do", { .oil_in = 52, .oil_out = 47.2, .water_in = 22, .water_out = 24.2, .tank = N, .air = N,
		    .plate = PLATE ",cooler-balance-limit,30,%,\n" }, ROW("cooler-ua"),
		    conductance((oil + water / 2.8 * 2.2) / 2, 27.8, 25.2), "good", 1e-4 },
		{ "one side: no water flow", { OPEN, .plate = PLATE_HEAD VALVE "NM/cooler,cooler-oil-flow,60,L/min,\n" }, ROW("cooler-ua"),
		    alone, "good", 1e-4 },
		{ "one side: no outlet of the water", { .oil_in = 52, .oil_out = 47.2, .water_in = 22, .water_out = N, .tank = N,
		    .air = N },
		    ROW("cooler-ua"), conductance(oil, 30 - oil / capacity(40, 997.8, 4.18), 25.2), "good", 1e-4 },
		{ "the oil is not cooled", { .oil_in = 52, .oil_out = 51.5, .water_in = 22, .water_out = 22.3, .tank = N, .air = N },
		    ROW("cooler-ua"), N, "bad", 0 },
		{ "20 min are too few", { OPEN, .minutes = 20 }, ROW("cooler-ua"), N, "bad", 0 },
		{ "40 are enough", { OPEN, .minutes = 40 }, ROW("cooler-ua"), both, "good", 1e-4 },
		{ "by the tank, where no inlet is read", { .oil_in = N, .oil_out = 47.2, .water_in = 22, .water_out = 24.8, .tank = 52,
		    .air = N }, ROW("cooler-ua"), both, "good", 1e-4 },
		{ "a row each 10 min", { OPEN, .step = 10 }, ROW("cooler-ua"), both, "good", 1e-4 },
		{ "no flow at all: none", { OPEN, .plate = PLATE_HEAD VALVE }, ROW("cooler-ua"), N, "", 0 },
		{ "but the approach", { OPEN, .plate = PLATE_HEAD VALVE }, ROW("cooler-approach"), 25.2, "good", 1e-6 }
	};

	(void)state;
	ALL(cases);
}

/* Part open: no conductance, a bound by the water side, and the share of the oil. */
static void
test_part_open(void **state)
{
	const double water_kw_k = capacity(40, 999.7, 4.18), duty = water_kw_k * 2.8, bound = conductance(duty, 31.2, 16);
	const double oil_kw_k = capacity(60, leat_oil_density(870, 44), 1.95), ratio = oil_kw_k / water_kw_k;
	const double e = exp(-bound / oil_kw_k * (1 - ratio)), effect = (1 - e) / (1 - ratio * e);
	const struct wanted cases[] = {
		{ "not observable", { PART }, ROW("cooler-ua"), N, "bad", 0 },
		{ "at least", { PART }, ROW("cooler-ua.low"), bound, "good", 1e-4 },
		{ "duty by the water", { PART }, ROW("cooler-duty"), duty, "good", 2e-3 },
		{ "no balance to compare", { PART }, ROW("cooler-balance"), N, "", 0 },
		{ "share", { PART }, ROW("thermostat-share"), 100 * duty / (oil_kw_k * 18), "good", 0.06 },
		{ "the warmest water by the bound", { PART }, ROW("warmest-water.low"), 60 - duty / (effect * oil_kw_k), "good", 0.051 },
		{ "and as nothing else is known", { PART }, ROW("warmest-water"), 60 - duty / (effect * oil_kw_k), "uncertain", 0.051 },
		{ "oil alone: nothing", { PART, .plate = PLATE_HEAD VALVE "NM/cooler,cooler-oil-flow,60,L/min,\n" }, ROW("cooler-duty"), N,
		    "bad", 0 },
		{ "approach is left out", { PART }, ROW("cooler-approach"), N, "", 0 },
		{ "stuck open: below 42 and cooled", { .oil_in = 41, .oil_out = 36, .water_in = 10, .water_out = 12.8, .tank = N,
		    .air = N },
		    ROW("thermostat-stuck-open"), 100, "good", 0 },
		{ "not stuck: below 42 and not cooled", { .oil_in = 41, .oil_out = 40.5, .water_in = 10, .water_out = 10.1, .tank = N,
		    .air = N }, ROW("thermostat-stuck-open"), 0, "good", 0 },
		{ "stuck shut", { .oil_in = 55, .oil_out = 54.5, .water_in = 10, .water_out = 10.1, .tank = N, .air = N },
		    ROW("thermostat-stuck-shut"), 100, "good", 0 },
		{ "open", { OPEN }, ROW("thermostat-stuck-shut"), 0, "good", 0 }
	};

	(void)state;
	ALL(cases);
}

/* Walls of 5.6 m2 at 12 W/(m2 K): 0.0672 kW/K; a tank of 1200 L warming by 2 K/h takes up about 1.1 kW. */
static void
test_heat(void **state)
{
#define WALLS "NM,tank-wall-area,5.6,m2,\n"
#define TANK .oil_in = 52, .oil_out = 47.2, .water_in = 22, .water_out = 24.8, .tank = 52, .air = 20
#define DRAIN "2025-07-14T00:00:00Z,NM/pump-a,pump-running,on,,good\n"
	const double oil = capacity(60, leat_oil_density(870, 52), 1.95), water = capacity(40, 997.8, 4.18);
	const double duty = (oil * 4.8 + water * 2.8) / 2, ratio = oil / water, ua = conductance(duty, 27.2, 25.2);
	const double e = exp(-ua / oil * (1 - ratio)), effect = (1 - e) / (1 - ratio * e);
	const struct wanted cases[] = {
		{ "walls", { TANK, .plate = PLATE WALLS }, ROW("heat-walls"), 0.0672 * 32, "good", 1e-3 },
		{ "no area", { TANK }, ROW("heat-walls"), N, "", 0 },
		{ "nothing known", { TANK, .plate = PLATE WALLS }, ROW("heat-unexplained"), N, "", 0 },
		{ "the limit: walls now less walls at 60 in 35 degC", { TANK, .plate = PLATE WALLS }, ROW("warmest-water"),
		    60 - (duty + 0.0672 * (32 - 25)) / (effect * oil), "good", 0.051 },
		{ "without walls", { TANK }, ROW("warmest-water"), 60 - duty / (effect * oil), "good", 0.051 },
		{ "headroom", { TANK, .plate = PLATE "NM,summer-water,20,degC,\n" }, ROW("summer-headroom"),
		    40 - duty / (effect * oil), "good", 0.051 },
		{ "a lower limit", { TANK, .plate = PLATE "NM,oil-temperature-limit,55,degC,\n" }, ROW("warmest-water"),
		    55 - duty / (effect * oil), "good", 0.051 },
		{ "band", { TANK }, "Z,NM,oil-band-share,", 100, "good", 0 },
		{ "above the band", { TANK, .plate = PLATE "NM,oil-band-high,51.9,degC,\n" }, "Z,NM,oil-band-share,", 0, "good", 0 },
		{ "2 K above the limit for 361 min", { TANK, .plate = PLATE "NM,oil-temperature-limit,50,degC,\n" }, "Z,NM,oil-degree-hours,",
		    2 * 361 / 60.0, "good", 6e-3 },
		{ "time above it", { TANK, .plate = PLATE "NM,oil-temperature-limit,50,degC,\n" }, "Z,NM,oil-hot-time,", 361, "good", 0 }
	};

	(void)state;
	ALL(cases);
}

/* Case drain and leakage are what is known; in a spell of constant readings the remainder closes the balance. */
static void
test_balance(void **state)
{
	struct day day = { OPEN, .minutes = 240, .plate = PLATE "NM,tank-volume,1200,L,\n" WALLS };
	struct leat_buf text = { 0 };
	char *rows, quality[16];
	const char *line;
	struct pass p;
	double known, walls, rest, duty;

	(void)state;
	day.tank = 52;
	day.air = 20;
	day.k_h = 0.9;
	rows = day_rows(&day);
	/* A pump's meter beside each row of the state; a round sheet repeats it, and is not a pump. */
	for (line = rows; *line != '\0'; line = strchr(line, '\n') + 1) {
		assert_int_equal(leat_buf_add(&text, line, (size_t)(strchr(line, '\n') + 1 - line)), 0);
		if (strstr(line, ",state,") == NULL || strstr(line, ",state,") > strchr(line, '\n'))
			continue;
		assert_int_equal(leat_buf_printf(&text, "%.20s,NM/pump-a,pump-running,on,,good\n%.20s,NM/pump-a,drain-flow,3,L/min,good\n"
		    "%.20s,NM/pump-a,pump-pressure,160,bar,good\n%.20s,NM/round,drain-flow,9,L/min,good\n%.20s,NM,pressure,120,bar,good\n"
		    "%.20s,NM,internal-leakage,0.5,L/min,good\n", line, line, line, line, line, line), 0);
	}
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	pass_open(&p, day.plate, text.data);
	pass_run(&p, true);
	assert_true(p.status >= 0);
	known = value_of(p.text, ROW("heat-known"), quality);
	walls = value_of(p.text, ROW("heat-walls"), quality);
	duty = value_of(p.text, ROW("cooler-duty"), quality);
	rest = value_of(p.text, ROW("heat-unexplained"), quality);
	unit_close(known, 3 * 160 / 600.0 + 0.5 * 120 / 600, 5e-4);
	/* 1200 L of 848 kg/m3 and 1.95 kJ/(kg K), 0.9 K/h. */
	unit_close(rest, duty + walls + 1.2 * leat_oil_density(870, 53.8) * 1.95 * 0.9 / 3600 - known, 5e-3);
	pass_close(&p);
	/* Without any flow the index by what is known; half of the day's warming is 1.8 K. */
	pass_open(&p, PLATE_HEAD VALVE, text.data);
	pass_run(&p, true);
	unit_close(value_of(p.text, ROW("cooler-index"), quality), (53.8 - 22) / known, 0.01);
	assert_string_equal(quality, "good");
	pass_close(&p);
	leat_buf_free(&text);
	free(rows);
}

/* The last conductance observed serves where the thermostat is part open, and its lower bound where that is higher. */
static void
test_remembered(void **state)
{
	struct day open = { OPEN, .step = 10 }, part = { PART, .step = 10 };
	char *first = day_rows(&open), *second = day_rows(&part), quality[16], *p;
	struct leat_buf text = { 0 };
	struct pass a;
	double value, oil, water, ua, load, least, ratio, e;

	(void)state;
	while ((p = strstr(second, "2025-07-14")) != NULL)
		p[9] = '5';
	assert_int_equal(leat_buf_printf(&text, "%s%s", first, strchr(second, '\n') + 1), 0);
	pass_open(&a, PLATE, text.data);
	pass_run(&a, true);
	ua = value_of(a.text, ROW("cooler-ua"), quality);
	p = strstr(a.text, "2025-07-15T06:00:00Z,NM/cooler,warmest-water,");
	assert_non_null(p);
	value = value_of(p - 1, ROW("warmest-water"), quality);
	assert_string_equal(quality, "uncertain");
	oil = capacity(60, leat_oil_density(870, 44), 1.95);
	water = capacity(40, 999.7, 4.18);
	load = water * 2.8;
	least = fmin(oil, water);
	ratio = least / fmax(oil, water);
	ua = fmax(ua, conductance(load, 31.2, 16));
	e = exp(-ua / least * (1 - ratio));
	unit_close(value, 60 - load / ((1 - e) / (1 - ratio * e) * least), 0.051);
	pass_close(&a);
	leat_buf_free(&text);
	free(first);
	free(second);
}

/* What comes out goes in again and is the same; cut anywhere, no row of the part before changes. */
static void
test_twice(void **state)
{
	struct day day = { OPEN, .step = 5, .plate = PLATE };
	char *rows;
	struct pass once, twice;

	(void)state;
	day.tank = 52;
	rows = day_rows(&day);
	pass_open(&once, PLATE, rows);
	leat_readings_write_header(&once.out, once.l.in);
	pass_run(&once, false);
	assert_true(once.coolers.added > 15);
	pass_open(&twice, PLATE, once.text);
	leat_readings_write_header(&twice.out, twice.l.in);
	pass_run(&twice, false);
	assert_string_equal(once.text, twice.text);
	assert_int_equal(twice.coolers.replaced, once.coolers.added);
	pass_close(&twice);
	pass_close(&once);
	free(rows);
}

/* A flow that is read at the cooler is known however far the thermostat is open: both sides make the bound, or refuse it. */
static void
test_measured(void **state)
{
	const double oil = capacity(20, leat_oil_density(870, 44), 1.95) * 18, water = capacity(30, 999.7, 4.18) * 4.6;
#define METERS(at) at ",NM/cooler,water-flow,30,L/min,good\n" at ",NM/cooler,oil-flow,"
#define LATE .oil_in = 44, .oil_out = 26, .water_in = 10, .water_out = 14.6, .tank = N, .air = N, .step = 10
#define SHORT LATE, .minutes = 10, .plate = PLATE ",cooler-steady,10,min,\n,admitted-least,10,min,\n"
	const struct wanted cases[] = {
		{ "both sides", { SHORT, .more = METERS("2025-07-14T05:50:00Z") "20,L/min,good\n" }, ROW("cooler-duty"),
		    (oil + water) / 2, "good", 3e-3 },
		{ "they disagree", { SHORT, .more = METERS("2025-07-14T05:50:00Z") "30,L/min,good\n" }, ROW("cooler-ua.low"), N, "", 0 },
		{ "in another unit", { SHORT, .more = METERS("2025-07-14T05:50:00Z") "1.2,m3/h,good\n" }, ROW("cooler-ua.low"),
		    conductance((oil + water) / 2, 29.4, 16), "good", 2e-4 },
		{ "the meters' hold is over", { LATE, .minutes = 40, .more = METERS("2025-07-14T05:20:00Z") "20,L/min,good\n" },
		    ROW("cooler-ua.low"), conductance(capacity(40, 999.7, 4.18) * 4.6, 29.4, 16), "good", 1e-3 }
	};

	(void)state;
	ALL(cases);
}

/* A flow that the nameplate changes at 03:10: the spell in which that falls is two broken ones. */
static void
test_dated(void **state)
{
	const double oil = capacity(60, leat_oil_density(870, 52), 1.95) * 4.8;
	const char *plate = PLATE_HEAD VALVE "NM/cooler,cooler-oil-flow,30,L/min,2025-01-01\n"
	    "NM/cooler,cooler-oil-flow,60,L/min,2025-07-14T03:10:00Z\n";
	const struct wanted cases[] = {
		/* Spells to 00:20 ... 03:00 have half the flow, those to 03:40 ... 06:00 all of it: 9 and 8. */
		{ "coverage", { OPEN, .plate = plate }, ROW("cooler-ua.coverage"), 100 * 340 / 361.0, "good", 6e-3 },
		{ "duty", { OPEN, .plate = plate }, ROW("cooler-duty"), oil / 2, "good", 3e-3 }
	};

	(void)state;
	ALL(cases);
}

/* Rows of a mill by chance: words, gaps, bad and uncertain readings, stops, wild values. */
static char *
chance(uint64_t *seed, int count)
{
	static const char *const point[] = { "NM/cooler,oil-in-temperature", "NM/cooler,oil-out-temperature",
		"NM/cooler,water-in-temperature", "NM/cooler,water-out-temperature", "NM,oil-temperature", "NM,ambient-temperature" };
	static const int middle[] = { 50, 45, 20, 23, 50, 15 };
	static const char *const word[] = { "grinding", "grinding", "grinding", "grinding", "off", "unknown" };
	struct leat_time t = { 1752451200, 0 };
	struct leat_buf text = { 0 };
	char time[LEAT_TIME_MAX];

	assert_int_equal(leat_buf_printf(&text, "%s", ""), 0);
	for (int i = 0; i < count; i++) {
		unsigned what = random_below(seed, 7), wild = random_below(seed, 60);
		const char *quality = random_below(seed, 50) == 0 ? "uncertain" : "good";

		t.sec += random_below(seed, 400) == 0 ? 20000 : random_below(seed, 40);
		leat_time_write(time, t);
		if (what == 6 && random_below(seed, 20) == 0)
			assert_int_equal(leat_buf_printf(&text, "%s,NM,state,%s,,good\n", time, word[random_below(seed, 6)]), 0);
		else if (what < 6 && wild == 0)
			assert_int_equal(leat_buf_printf(&text, "%s,%s,,degC,bad\n", time, point[what]), 0);
		else if (what < 6)
			assert_int_equal(leat_buf_printf(&text, "%s,%s,%s%u.%u,degC,%s\n", time, point[what], wild == 1 ? "9999" : "",
			    middle[what] + random_below(seed, 3), random_below(seed, 10), quality), 0);
	}
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	return text.data;
}

/* Nothing that is no number comes out; a second pass changes nothing; rows of ended days stay when more comes behind. */
static void
test_chance(void **state)
{
	uint64_t seed = 20250714;

	(void)state;
	for (int round = 0; round < 12; round++) {
		char *rows = chance(&seed, 6000), *cut;
		struct pass once, twice, part;

		pass_open(&once, PLATE WALLS "NM,summer-water,28,degC,\n", rows);
		leat_readings_write_header(&once.out, once.l.in);
		pass_run(&once, false);
		assert_true(once.status >= 0 && once.coolers.added > 0);
		assert_null(strstr(once.text, "nan"));
		assert_null(strstr(once.text, "inf"));
		pass_open(&twice, PLATE WALLS "NM,summer-water,28,degC,\n", once.text);
		leat_readings_write_header(&twice.out, twice.l.in);
		pass_run(&twice, false);
		assert_string_equal(once.text, twice.text);
		pass_close(&twice);
		/* Cut where half of the rows have come: what came out until then begins what comes out of all. */
		cut = strchr(rows + strlen(rows) / 2, '\n') + 1;
		*cut = '\0';
		pass_open(&part, PLATE WALLS "NM,summer-water,28,degC,\n", rows);
		leat_readings_write_header(&part.out, part.l.in);
		pass_run(&part, false);
		assert_true(strlen(part.text) < strlen(once.text));
		assert_memory_equal(part.text, once.text, strlen(part.text) - strlen(strrchr(rows, '\n')));
		pass_close(&part);
		pass_close(&once);
		free(rows);
	}
}

/* Another dimension is an error that names the row. */
static void
test_units(void **state)
{
	struct day day = { OPEN, .more = "2025-07-14T00:00:00Z,NM/cooler,water-flow,40,bar,good\n" };
	char *rows = day_rows(&day);
	struct pass p;

	(void)state;
	pass_open(&p, PLATE, rows);
	pass_run(&p, true);
	assert_int_equal(p.status, -1);
	assert_non_null(strstr(p.err.text, "'water-flow' of 'NM/cooler' comes in 'bar'"));
	pass_close(&p);
	free(rows);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_gates), cmocka_unit_test(test_part_open), cmocka_unit_test(test_heat),
		cmocka_unit_test(test_balance), cmocka_unit_test(test_remembered), cmocka_unit_test(test_twice),
		cmocka_unit_test(test_measured), cmocka_unit_test(test_dated), cmocka_unit_test(test_chance), cmocka_unit_test(test_units)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
