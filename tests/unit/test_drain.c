/* Corrected case drain flow of a stream: which minutes count, whose meter it is, and what must not matter.  The formula and
 * the oil have tests of their own. */
#include "latest_of.h"

#include <math.h>

#include "derive/drain.h"
#include "random.h"

/* One pass: readings as text in, the readings with the added rows out. */
struct pass {
	struct table_file plate_file;
	struct latest_of l;		/* for its readings only */
	struct leat_nameplate *np;
	struct leat_drain drain;
	struct leat_out out;
	FILE *file;
	char *text;
	size_t size;
	int status;
	struct leat_error err;
};

static char warned[512];

static void
warn(const char *text)
{
	snprintf(warned, sizeof(warned), "%s", text);
}

static void
pass_open(struct pass *p, const char *plate, const char *rows)
{
	memset(p, 0, sizeof(*p));
	warned[0] = '\0';
	p->plate_file = table_file_text(plate);
	p->np = leat_nameplate_read(p->plate_file.path, NULL, &p->err);
	if (p->np == NULL)
		fail_msg("%s", p->err.text);
	latest_open(&p->l, rows, NULL);
	p->file = open_memstream(&p->text, &p->size);
	assert_non_null(p->file);
	leat_out_init(&p->out, p->file);
	p->drain = (struct leat_drain){ .in = p->l.in, .np = p->np, .out = &p->out, .warn = warn };
	leat_drain_init(&p->drain);
}

static void
pass_run(struct pass *p, bool only)
{
	struct leat_reading r;

	while (p->status >= 0 && leat_readings_next(p->l.in, &r, &p->err) == LEAT_READINGS_ROW) {
		p->status = leat_drain_take(&p->drain, &r, &p->err);
		if (p->status > 0 && !only)
			leat_readings_copy(&p->out, p->l.in, &r);
	}
	if (p->status >= 0)
		p->status = leat_drain_end(&p->drain, LEAT_TIME_NONE, &p->err);
	assert_int_equal(leat_out_flush(&p->out), 0);
}

static void
pass_close(struct pass *p)
{
	leat_drain_free(&p->drain);
	leat_nameplate_free(p->np);
	latest_close(&p->l);
	table_file_drop(&p->plate_file);
	fclose(p->file);
	free(p->text);
}

/* Nothing is warm, settled or within a band by default here, so that each case asks for what it tests. */
#define HEAD "asset,property,value,unit,from\n"
#define OIL ",oil-viscosity-40,46,mm2/s,\n,oil-viscosity-100,6.8,mm2/s,\n"
#define PUMP ",reference-pressure,160,bar,\n"
#define PLATE HEAD OIL PUMP

/* A day of a pump by the minute, from 07:00 on: what the case changes of it. */
struct day {
	const char *plate;
	int minutes, step;		/* rows each so many minutes; 0: 1 */
	double flow, pressure, drain_c, tank_c;	/* NaN: not read */
	double tank_k_h;		/* the tank warms */
	const char *quality;		/* of the flow; NULL: good */
	int bleed;			/* valve moves every so many minutes; 0: there is none */
	const char *other;		/* pump-b: "on", "off"; NULL: there is none */
	const char *more;		/* further rows, at the beginning */
	bool by_second;
};

static char *
day_rows(const struct day *d)
{
	struct leat_buf text = { 0 };
	int step = d->step > 0 ? d->step : 1;

	if (d->more != NULL)
		assert_int_equal(leat_buf_printf(&text, "%s", d->more), 0);
	for (int s = 0; s <= d->minutes * 60; s += d->by_second ? 1 : step * 60) {
		char t[48];

		snprintf(t, sizeof(t), "2025-11-03T%02d:%02d:%02dZ,NM", 7 + s / 3600, s / 60 % 60, s % 60);
		assert_int_equal(leat_buf_printf(&text, "%s/pump-a,pump-running,on,,good\n", t), 0);
		if (d->other != NULL)
			assert_int_equal(leat_buf_printf(&text, "%s/pump-b,pump-running,%s,,good\n", t, d->other), 0);
		if (!isnan(d->flow))
			assert_int_equal(leat_buf_printf(&text, "%s/pump-a,drain-flow,%.4f,L/min,%s\n", t, d->flow,
			    d->quality != NULL ? d->quality : "good"), 0);
		if (!isnan(d->pressure))
			assert_int_equal(leat_buf_printf(&text, "%s/pump-a,pump-pressure,%.3f,bar,good\n", t, d->pressure), 0);
		if (!isnan(d->drain_c))
			assert_int_equal(leat_buf_printf(&text, "%s/pump-a,drain-temperature,%.3f,degC,good\n", t, d->drain_c), 0);
		if (!isnan(d->tank_c))
			assert_int_equal(leat_buf_printf(&text, "%s,oil-temperature,%.3f,degC,good\n", t, d->tank_c +
			    d->tank_k_h * s / 3600), 0);
		if (d->bleed > 0)
			assert_int_equal(leat_buf_printf(&text, "%s,charging,%s,,good\n", t, s / 60 / d->bleed % 2 ? "on" : "off"), 0);
	}
	/* Without a stop the last values would be held for a quarter of an hour. */
	assert_int_equal(leat_buf_printf(&text, "2025-11-03T%02d:%02d:00Z,NM/pump-a,pump-running,off,,good\n"
	    "2025-11-04T06:00:00Z,NM,level,600,mm,good\n", 7 + (d->minutes + 1) / 60, (d->minutes + 1) % 60), 0);
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	return text.data;
}

/* The value of a point in the output, NaN when it has none; *quality its word. */
static double
value_of(const char *text, const char *series, char quality[16])
{
	const char *row = strstr(text, series), *end;
	double value;

	quality[0] = '\0';
	if (row == NULL)
		return NAN;
	row += strlen(series);
	for (end = strchr(row, '\n'); end[-1] != ','; end--)
		continue;
	sscanf(end, "%15[a-z]", quality);
	return sscanf(row, "%lf", &value) == 1 ? value : NAN;
}

#define FLOW "2025-11-04T06:00:00Z,NM/pump-a,drain-flow-corrected,"
#define SLOT "2025-11-04T06:00:00Z,NM/pump-a,slot-flow,"
#define SHARE "2025-11-04T06:00:00Z,NM/pump-a,drain-flow-corrected.coverage,"

static double
nu(double temp_c)
{
	struct leat_oil oil;

	assert_int_equal(leat_oil_between(&oil, 40, 46, 100, 6.8), 0);
	return leat_oil_viscosity(&oil, temp_c);
}

/* The steady pump that most cases vary. */
#define DAY(minutes_, flow_, pressure_, drain_, tank_) \
	.minutes = (minutes_), .flow = (flow_), .pressure = (pressure_), .drain_c = (drain_), .tank_c = (tank_)
#define STEADY DAY(240, 2.2, 160, 59.4, 50)

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
	value = value_of(p.text, FLOW, quality);
	if (strcmp(quality, w->quality) != 0 || isnan(value) != isnan(w->corrected) || fabs(value - w->corrected) > 0.00051)
		fail_msg("%s: %.4f %s, expected %.4f %s\n%s", w->name, value, quality, w->corrected, w->quality, p.text);
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

/* Readings by the second give what those by the minute do, and need no more memory for the day. */
static void
test_by_second(void **state)
{
	struct day day = { DAY(120, 2.2, 160, 59.4, 50) };
	char quality[16], *rows;
	struct pass p[2];
	size_t cap[2];

	(void)state;
	for (int i = 0; i < 2; i++) {
		day.by_second = i == 1;
		rows = day_rows(&day);
		pass_open(&p[i], PLATE, rows);
		pass_run(&p[i], true);
		assert_int_equal(p[i].status, 0);
		cap[i] = p[i].drain.pump[0].day.cap;
		free(rows);
	}
	unit_close(value_of(p[1].text, FLOW, quality), value_of(p[0].text, FLOW, quality), 0);
	assert_string_equal(p[0].text, p[1].text);
	assert_int_equal(cap[0], cap[1]);
	pass_close(&p[0]);
	pass_close(&p[1]);
}

/* Rows at the days at which the clock changes: of 23 and 25 hours. */
static void
test_clock_changes(void **state)
{
	static const struct { const char *day; int64_t from; int minutes; } days[] = {
		{ "2025-03-30T04:00:00Z,", 1743206400 + 5 * 3600, 23 * 60 },	/* 2025-03-29 06:00 +01:00 */
		{ "2025-10-26T05:00:00Z,", 1761350400 + 4 * 3600, 25 * 60 },	/* 2025-10-25 06:00 +02:00 */
	};

	(void)state;
	for (size_t i = 0; i < 2; i++) {
		struct leat_buf text = { 0 };
		char time[LEAT_TIME_MAX], quality[16];
		struct pass p;

		for (int m = 1; m <= days[i].minutes + 30; m++) {
			leat_time_write(time, (struct leat_time){ days[i].from + m * 60, 0 });
			assert_int_equal(leat_buf_printf(&text, "%s,NM/pump-a,pump-running,on,,good\n%s,NM/pump-a,drain-flow,2,L/min,good\n"
			    "%s,NM/pump-a,pump-pressure,160,bar,good\n%s,NM,oil-temperature,50,degC,good\n", time, time, time, time), 0);
		}
		assert_int_equal(leat_buf_add(&text, "", 1), 0);
		pass_open(&p, PLATE ",zone,\"CET-1CEST,M3.5.0,M10.5.0/3\",,\n", text.data);
		pass_run(&p, true);
		assert_int_equal(p.status, 0);
		assert_int_equal(strncmp(p.text, days[i].day, strlen(days[i].day)), 0);
		unit_close(value_of(p.text, "drain-flow-corrected.coverage,", quality), 100.0 * (days[i].minutes - 24) / days[i].minutes,
		    0.0051);
		/* The next day has not ended. */
		assert_int_equal(p.drain.days, 1);
		pass_close(&p);
		leat_buf_free(&text);
	}
}

static void
test_other_dimension(void **state)
{
	struct pass p;

	(void)state;
	pass_open(&p, PLATE, "2025-11-03T06:00:00Z,NM/pump-a,pump-running,on,,good\n"
	    "2025-11-03T06:00:00Z,NM/pump-a,drain-flow,2,bar,good\n2025-11-03T06:10:00Z,NM/pump-a,pump-running,on,,good\n");
	pass_run(&p, true);
	assert_int_equal(p.status, -1);
	assert_non_null(strstr(p.err.text, "'drain-flow' of 'NM/pump-a' comes in 'bar'"));
	pass_close(&p);
	pass_open(&p, PLATE, "2025-11-03T06:00:00Z,NM/sample-return,viscosity-40,46,bar,good\n");
	pass_run(&p, true);
	assert_int_equal(p.status, -1);
	assert_non_null(strstr(p.err.text, "'viscosity-40' of 'NM/sample-return' comes in 'bar'"));
	pass_close(&p);
}

static void
test_told_once(void **state)
{
	struct day day = { STEADY };
	char *rows = day_rows(&day);
	struct pass p;

	(void)state;
	pass_open(&p, HEAD OIL, rows);
	pass_run(&p, true);
	assert_non_null(strstr(warned, "the drain flow of 'NM/pump-a' cannot be corrected: give its 'reference-pressure'"));
	pass_close(&p);
	free(rows);
}

/* Random signals of a mill with two pumps: gaps, bad rows, rows of another making. */
static void
random_rows(struct leat_buf *rows, uint64_t *seed, int count)
{
	static const char *const point[] = {
		"NM/pump-a,pump-running", "NM/pump-b,pump-running", "NM,charging", "NM/pump-a,drain-flow", "NM/pump-a,pump-pressure",
		"NM,oil-temperature", "NM/sample-return,viscosity-40", "NM/pump-a,slot-flow", "NM/pump-b,drain-flow-corrected",
		"NM/pump-a,drain-flow-corrected.coverage"
	};
	static const char *const unit[] = { "", "", "", "L/min", "bar", "degC", "mm2/s", "L/min", "L/min", "%" };
	struct leat_time t = { 1762142400, 0 };

	for (int i = 0; i < count; i++) {
		unsigned n = random_below(seed, 10);
		char time[LEAT_TIME_MAX], value[24];

		if (random_below(seed, 500) == 0)
			t.sec += random_below(seed, 90000);
		t.sec += random_below(seed, 3) == 0 ? 0 : random_below(seed, 60);
		t.nsec = random_below(seed, 50) == 0 && t.nsec == 0 ? 500000000 : t.nsec;
		leat_time_write(time, t);
		if (n < 3)
			snprintf(value, sizeof(value), random_below(seed, n == 1 ? 40 : 12) == 0 ? n == 1 ? "on" : "off" : n == 1 ? "off" : "on");
		else
			snprintf(value, sizeof(value), "%.2f", n == 3 ? 2 + random_below(seed, 100) / 100.0 :
			    n == 4 ? 150.0 + random_below(seed, 20) : n == 5 ? 50 + random_below(seed, 100) / 1000.0 :
			    n == 6 ? 45.0 + random_below(seed, 3) : 3.0);
		if (random_below(seed, 15) == 0)
			assert_int_equal(leat_buf_printf(rows, "%s,%s,,%s,bad\n", time, point[n], unit[n]), 0);
		else
			assert_int_equal(leat_buf_printf(rows, "%s,%s,%s,%s,good\n", time, point[n], value, unit[n]), 0);
	}
	assert_int_equal(leat_buf_add(rows, "", 1), 0);
}

#define EASY PLATE ",warm-rate,100,K/h,\n,pump-settling,2,min,\n"

/* A second pass over what a first one wrote changes no byte, and time never goes back. */
static void
test_twice_is_once(void **state)
{
	uint64_t seed = 31;
	long long added = 0, told = 0;

	(void)state;
	for (int trial = 0; trial < 60; trial++) {
		struct leat_buf rows = { 0 };
		struct pass once, twice;

		random_rows(&rows, &seed, 2500);
		pass_open(&once, EASY, rows.data);
		pass_run(&once, false);
		assert_int_equal(once.status, 0);
		pass_open(&twice, EASY, once.text);
		pass_run(&twice, false);
		/* The reader stops when time goes back. */
		assert_int_equal(twice.status, 0);
		assert_int_equal(leat_readings_next(twice.l.in, &(struct leat_reading){ 0 }, &twice.err), LEAT_READINGS_END);
		assert_string_equal(once.text, twice.text);
		added += once.drain.added;
		told += strstr(once.text, ",NM/pump-a,drain-flow-corrected,1.") != NULL;
		pass_close(&twice);
		pass_close(&once);
		leat_buf_free(&rows);
	}
	/* Not of empty days alone. */
	assert_true(added > 500);
	assert_true(told > 20);
}

/* Nothing looks into the future: what is written of a stream that is cut is written of the whole one too. */
static void
test_cut_anywhere(void **state)
{
	uint64_t seed = 32;

	(void)state;
	for (int trial = 0; trial < 60; trial++) {
		struct leat_buf rows = { 0 };
		struct pass whole, part;
		size_t cut;

		random_rows(&rows, &seed, 1500);
		pass_open(&whole, EASY, rows.data);
		pass_run(&whole, true);
		cut = random_below(&seed, (unsigned)rows.len - 1);
		while (cut > 0 && rows.data[cut - 1] != '\n')
			cut--;
		/* Rows of one instant count together. */
		while (cut > 0) {
			size_t before = cut - 1;

			while (before > 0 && rows.data[before - 1] != '\n')
				before--;
			if (strncmp(rows.data + before, rows.data + cut, 20) != 0)
				break;
			cut = before;
		}
		rows.data[cut] = '\0';
		pass_open(&part, EASY, rows.data);
		pass_run(&part, true);
		assert_int_equal(strncmp(whole.text, part.text, strlen(part.text)), 0);
		pass_close(&part);
		pass_close(&whole);
		leat_buf_free(&rows);
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
		cmocka_unit_test(test_by_second),
		cmocka_unit_test(test_clock_changes),
		cmocka_unit_test(test_other_dimension),
		cmocka_unit_test(test_told_once),
		cmocka_unit_test(test_twice_is_once),
		cmocka_unit_test(test_cut_anywhere),
	};

	return cmocka_run_group_tests_name("drain", tests, NULL, NULL);
}
