/* The nitrogen of accumulators: single rules, case by case.  What holds for any stream is in test_precharge_stream.c. */
#include "base/mem.h"
#include "precharge_pass.h"

#define T(time) "2025-11-03T" time "Z,"
#define DAY_END "2025-11-04T06:00:00Z,"
/* Off for half an hour. */
#define OFF T("07:00:00") "NM,pressure,120,bar,good\n" T("07:00:00") "NM,state,grinding,,good\n" \
	T("07:05:00") "NM,pressure,0.1,bar,good\n" T("07:05:00") "NM,state,off,,good\n" T("07:15:00") "NM,pressure,0.1,bar,good\n" \
	T("07:25:00") "NM,pressure,0.1,bar,good\n" T("07:35:00") "NM,pressure,0.1,bar,good\n"
#define GAS(bar, unit) T("07:35:00") "NM/accu-1,gas-pressure," bar "," unit ",good\n"
#define HEAT(value, unit) T("07:35:00") "NM/accu-1,gas-temperature," value "," unit ",good\n"
#define LAST "2025-11-04T06:00:00Z,NM,level,600,mm,good\n"
#define READ T("07:35:00") "NM/accu-1,"

struct wanted {
	const char *name;
	struct gas_in in;
	const char *key;		/* of the row */
	double value;
	const char *quality;		/* "": no row */
	double tolerance;
};

static void
expect(const struct wanted *w, size_t count)
{
	for (size_t i = 0; i < count; i++, w++) {
		struct leat_error err = { 0 };
		struct gas_in in = w->in;
		char key[96], *text;

		in.only = true;
		text = gas_pass(&in, &err);
		if (text == NULL)
			fail_msg("%s: %s", w->name, err.text);
		snprintf(key, sizeof(key), "%s,", w->key);
		unit_row(w->name, text, key, w->value, w->tolerance, w->quality);
		free(text);
	}
}

#define ROWS(bar, temp) ROWS_HEADER OFF GAS(bar, "bar") HEAT(temp, "degC")
#define PLATE(set) PLATE_HEADER "NM,precharge," set ",bar,\nNM,shell-volume,50,L,\nNM,shells,6,,\n"

/* Against the reference equation of nitrogen (Span et al., J. Phys. Chem. Ref. Data 29 (2000) 1361), worked out apart from this
 * code; the fit may be 0.2 % off. */
static void
test_reference(void **state)
{
	const struct wanted cases[] = {
		{ "90 bar at 40 degC", { .rows = ROWS("90", "40") }, READ "precharge-20", 83.134, "good", 0.15 },
		{ "116.954 bar at 60 degC", { .rows = ROWS("116.954", "60") }, READ "precharge-20", 100, "good", 0.2 },
		{ "238.528 bar at 60 degC", { .rows = ROWS("238.528", "60") }, READ "precharge-20", 200, "good", 0.4 },
		{ "87.200 bar at -10 degC", { .rows = ROWS("87.200", "-10") }, READ "precharge-20", 100, "good", 0.2 },
		{ "88 bar at 35 degC", { .rows = ROWS("88", "35") }, READ "precharge-20", 82.867, "good", 0.15 },
		/* 16.635 % of the gas that made 100 bar are gone; an ideal gas would say 16.169. */
		{ "what is left of 100 bar", { .rows = ROWS("88", "35"), .plate = PLATE("100") }, READ "gas-share", 100 - 16.635, "good",
		    0.15 },
		{ "75 bar at 8 degC", { .rows = ROWS("75", "8") }, READ "precharge-20", 78.9, "good", 0.15 },
		/* Six shells of 50 L take 927 mol from 0 to 75 bar at 20 degC; one takes 0.11 of 225 mol from 63 to 75 bar. */
		{ "six shells by one gauge", { .rows = ROWS_HEADER OFF T("07:35:00") "NM,gas-pressure,0,bar,good\n" T("07:35:00")
		    "NM,gas-temperature,20,degC,good\n", .plate = PLATE("75") }, T("07:35:00") "NM,gas-to-fill", 927, "good", 0.005 * 927 },
		{ "to fill", { .rows = ROWS("63", "20"), .plate = PLATE("75") }, READ "gas-to-fill", 0.11 * 225, "good", 1.2 },
	};

	(void)state;
	expect(cases, sizeof(cases) / sizeof(cases[0]));
}

static void
test_gate(void **state)
{
#define LOADED(bar, mill) ROWS_HEADER T("07:35:00") "NM,pressure,120,bar,good\n" T("07:35:00") "NM,state," mill ",,good\n" \
	GAS(bar, "bar") HEAT("20", "degC")
	const struct wanted cases[] = {
		{ "off", { .rows = ROWS("75", "20") }, READ "precharge-20", 75, "good", 0.005 },
		{ "the oil pressure", { .rows = LOADED("121", "grinding") }, READ "precharge-20", NAN, "bad", 0 },
		{ "another pressure", { .rows = LOADED("75", "grinding") }, READ "precharge-20", NAN, "bad", 0 },
		{ "pressure, though off", { .rows = LOADED("75", "off") }, READ "precharge-20", NAN, "bad", 0 },
		{ "no pressure, but not off", { .rows = ROWS_HEADER T("07:35:00") "NM,pressure,0.1,bar,good\n" T("07:35:00")
		    "NM,state,no-load,,good\n" GAS("75", "bar") HEAT("20", "degC") }, READ "precharge-20", NAN, "bad", 0 },
		{ "no state, no pressure", { .rows = ROWS_HEADER GAS("75", "bar") HEAT("20", "degC") }, READ "precharge-20", 75,
		    "uncertain", 0.005 },
		{ "no state, 4.9 bar", { .rows = ROWS_HEADER T("07:35:00") "NM,pressure,0.49,MPa,good\n" GAS("75", "bar")
		    HEAT("20", "degC") }, READ "precharge-20", 75, "good", 0.005 },
		{ "no state, 5.1 bar", { .rows = ROWS_HEADER T("07:35:00") "NM,pressure,0.51,MPa,good\n" GAS("75", "bar")
		    HEAT("20", "degC") }, READ "precharge-20", NAN, "bad", 0 },
		{ "off for too short a time", { .rows = ROWS("75", "20"), .plate = PLATE_HEADER "NM,gas-settling,31,min,\n" },
		    READ "precharge-20", 75, "uncertain", 0.005 },
		{ "off for just long enough", { .rows = ROWS("75", "20"), .plate = PLATE_HEADER "NM,gas-settling,30,min,\n" },
		    READ "precharge-20", 75, "good", 0.005 },
		/* The state lapses from 07:40 to 07:46, a quarter of an hour after the last sign of life. */
		{ "a lapse of the state", { .rows = ROWS_HEADER T("07:00:00") "NM,pressure,120,bar,good\n" T("07:00:00")
		    "NM,state,grinding,,good\n" T("07:05:00") "NM,state,off,,good\n" T("07:25:00") "NM,pressure,0.1,bar,good\n"
		    T("07:46:00") "NM,pressure,0.1,bar,good\n" T("07:46:00") "NM/accu-1,gas-pressure,75,bar,good\n"
		    T("07:46:00") "NM/accu-1,gas-temperature,20,degC,good\n" }, T("07:46:00") "NM/accu-1,precharge-20", 75, "good",
		    0.005 },
		{ "another unit", { .rows = ROWS_HEADER OFF GAS("7.5", "MPa") HEAT("68", "degF") }, READ "precharge-20", 75, "good",
		    0.005 },
		{ "empty", { .rows = ROWS("0", "20") }, READ "precharge-20", 0, "good", 0.005 },
		{ "outside", { .rows = ROWS("360", "20") }, READ "precharge-20", NAN, "bad", 0 },
		{ "no gas reading", { .rows = ROWS_HEADER OFF HEAT("20", "degC") }, READ "precharge-20", NAN, "", 0 },
	};

	(void)state;
	expect(cases, sizeof(cases) / sizeof(cases[0]));
}

static void
test_heat(void **state)
{
#define OIL T("07:30:00") "NM,oil-temperature,40,degC,good\n"
#define OIL_OFF T("07:05:00") "NM,state,off,,good\n" T("07:15:00") "NM,pressure,0.1,bar,good\n" T("07:25:00") \
	"NM,pressure,0.1,bar,good\n" OIL T("07:35:00") "NM,pressure,0.1,bar,good\n"
	const struct wanted cases[] = {
		{ "the oil's", { .rows = ROWS_HEADER OIL_OFF GAS("90", "bar") }, READ "precharge-20", 83.134, "uncertain", 0.15 },
		{ "the air's", { .rows = ROWS_HEADER OFF T("07:35:00") "NM,ambient-temperature,40,degC,good\n" GAS("90", "bar") },
		    READ "precharge-20", 83.134, "uncertain", 0.15 },
		{ "a neighbour's", { .rows = ROWS_HEADER OIL_OFF T("07:35:00") "NM/accu-2,gas-temperature,20,degC,good\n"
		    GAS("90", "bar") }, READ "precharge-20", 90, "good", 0.005 },
		{ "another mill's", { .rows = ROWS_HEADER OIL_OFF T("07:35:00") "MM/accu-2,gas-temperature,20,degC,good\n"
		    GAS("90", "bar") }, READ "precharge-20", 83.134, "uncertain", 0.15 },
		{ "its own, though later", { .rows = ROWS_HEADER OIL_OFF GAS("90", "bar")
		    T("08:35:00") "NM/accu-1,gas-temperature,20,degC,good\n" }, T("08:35:00") "NM/accu-1,precharge-20", 90, "good", 0.005 },
		{ "its own, too late", { .rows = ROWS_HEADER OIL_OFF GAS("90", "bar")
		    T("08:35:01") "NM/accu-1,gas-temperature,20,degC,good\n" }, T("08:35:01") "NM/accu-1,precharge-20", NAN, "", 0 },
		{ "none", { .rows = ROWS_HEADER OFF GAS("90", "bar") }, READ "precharge-20", NAN, "bad", 0 },
		{ "an uncertain one", { .rows = ROWS_HEADER OFF GAS("90", "bar") T("07:35:00")
		    "NM/accu-1,gas-temperature,20,degC,uncertain\n" }, READ "precharge-20", 90, "uncertain", 0.005 },
	};

	(void)state;
	expect(cases, sizeof(cases) / sizeof(cases[0]));
}

/* 75 bar, then 73 after 61 days = 2.0041 months: by the density of real gas 2.64 % less, of which 0.3 % went by gauging. */
#define AT(day, bar) day "T07:20:00Z,NM,state,off,,good\n" day "T07:30:00Z,NM,pressure,0.1,bar,good\n" \
	day "T07:40:00Z,NM/accu-1,gas-pressure," bar ",bar,good\n" day "T07:40:00Z,NM/accu-1,gas-temperature,20,degC,good\n"
#define STEADY PLATE_HEADER "NM,gauging-loss,0,%,\n"

static void
test_loss(void **state)
{
	const char *two = ROWS_HEADER AT("2025-09-03", "75") AT("2025-11-03", "73");
	const char *wild = ROWS_HEADER AT("2025-07-03", "75") AT("2025-08-03", "75") AT("2025-09-03", "80") AT("2025-10-03", "75")
	    AT("2025-11-03", "75");
	const char *rose = ROWS_HEADER AT("2025-07-03", "70") AT("2025-09-03", "75") AT("2025-11-03", "73");
	const char *old = ROWS_HEADER AT("2023-07-03", "78") AT("2024-09-03", "75") AT("2024-11-04", "75") AT("2025-11-03", "75");
#define LOSS T("07:40:00") "NM/accu-1,gas-loss-month"
#define BOOK LEAT_LOGBOOK_HEADER "\n"
	const struct wanted cases[] = {
		/* ln(73/75) = -2.7 % is ln of the pressure; Z makes 2.63 % of it. */
		{ "two readings", { .rows = two, .plate = STEADY }, LOSS, 1.34, "good", 0.051 },
		{ "less the gauging", { .rows = two }, LOSS, 1.19, "good", 0.051 },
		{ "over too short a time", { .rows = two, .plate = PLATE_HEADER "NM,gas-loss-least,62,d,\n" }, LOSS, NAN, "", 0 },
		/* Slopes of 0, 4 up, 4 down and 2 either way: the median is 0. */
		{ "a wild one", { .rows = wild, .plate = STEADY "NM,gas-rise,8,%,\n" }, LOSS, 0, "good", 0.051 },
		{ "filled without a word", { .rows = rose, .plate = STEADY }, LOSS, 1.34, "good", 0.051 },
		{ "a rise that is none", { .rows = rose, .plate = STEADY "NM,gas-rise,8,%,\n" }, LOSS, -1.0, "good", 0.3 },
		{ "filled by the logbook", { .rows = two, .book = BOOK
		    "2025-10-01T07:40:00Z,NM/accu-1,gas-fill,,gas-pressure,,75,bar,,ab,\n" }, LOSS, NAN, "", 0 },
		{ "a filling of the bank", { .rows = two, .book = BOOK "2025-10-01T07:40:00Z,NM,gas-fill,,gas-pressure,,75,bar,,ab,\n" },
		    LOSS, NAN, "", 0 },
		{ "of another shell", { .rows = two, .plate = STEADY, .book = BOOK
		    "2025-10-01T07:40:00Z,NM/accu-12,gas-fill,,gas-pressure,,75,bar,,ab,\n" }, LOSS, 1.34, "good", 0.051 },
		{ "found before the filling", { .rows = ROWS_HEADER AT("2025-09-03", "75") AT("2025-11-03", "75"), .plate = STEADY,
		    .book = BOOK "2025-11-03T07:40:00Z,NM/accu-1,gas-fill,,gas-pressure,7.3,7.5,MPa,,ab,\n" }, LOSS, 1.34, "good", 0.051 },
		{ "older than a year", { .rows = old, .plate = STEADY }, LOSS, 0, "good", 0.051 },
		{ "refused ones do not count", { .rows = ROWS_HEADER AT("2025-09-03", "75")
		    "2025-10-03T07:40:00Z,NM,pressure,120,bar,good\n2025-10-03T07:40:00Z,NM/accu-1,gas-pressure,119,bar,good\n"
		    AT("2025-11-03", "73"), .plate = STEADY }, LOSS, 1.34, "good", 0.051 },
	};

	(void)state;
	expect(cases, sizeof(cases) / sizeof(cases[0]));
}

static void
test_spread(void **state)
{
#define SHELL(n, bar) T("07:35:00") "NM/accu-" n ",gas-pressure," bar ",bar,good\n"
	const char *four = ROWS_HEADER OFF HEAT("20", "degC") GAS("75", "bar") SHELL("2", "74") SHELL("3", "70") SHELL("4", "73") LAST;
	const char *three = ROWS_HEADER OFF HEAT("20", "degC") GAS("75", "bar") SHELL("2", "74") SHELL("3", "70") LAST;
	const char *two = ROWS_HEADER OFF HEAT("20", "degC") GAS("75", "bar") SHELL("2", "74") LAST;
	/* Two of the bank were read before, one of them long ago. */
#define BEFORE(day, n, bar) day "T07:25:00Z,NM,pressure,0,bar,good\n" day "T07:30:00Z,NM/accu-" n ",gas-temperature,20,degC,good\n" \
	day "T07:30:00Z,NM/accu-" n ",gas-pressure," bar ",bar,good\n"
	const char *alone = ROWS_HEADER BEFORE("2025-08-20", "2", "74") BEFORE("2025-10-20", "3", "70") OFF HEAT("20", "degC")
	    GAS("75", "bar") LAST;
	const char *old = ROWS_HEADER BEFORE("2025-07-20", "2", "74") BEFORE("2025-10-20", "3", "70") OFF HEAT("20", "degC")
	    GAS("75", "bar") LAST;
	const struct wanted cases[] = {
		{ "by what was read before", { .rows = alone }, DAY_END "NM/accu-1,precharge-spread", 1, "good", 0.006 },
		{ "of these nothing is told", { .rows = alone }, DAY_END "NM/accu-3,precharge-spread", NAN, "", 0 },
		{ "by what was read too long ago", { .rows = old }, DAY_END "NM/accu-1,precharge-spread", NAN, "", 0 },
		{ "of four", { .rows = four }, DAY_END "NM/accu-3,precharge-spread", -3.5, "good", 0.006 },
		{ "of three", { .rows = three }, DAY_END "NM/accu-3,precharge-spread", -4, "good", 0.006 },
		{ "of two", { .rows = two }, DAY_END "NM/accu-2,precharge-spread", NAN, "", 0 },
	};

	(void)state;
	expect(cases, sizeof(cases) / sizeof(cases[0]));
}

/* Grinding for 40 min at 125 bar, half a day after the stop, with oil of 48 degC: 75 bar become 83.55. */
#define G(time, bar) T(time) "NM,pressure," bar ",bar,good\n"
#define GRIND T("20:00:00") "NM,state,grinding,,good\n" T("20:00:00") "NM,oil-temperature,48,degC,good\n" G("20:00:00", "125") \
	G("20:10:00", "120") G("20:20:00", "130") G("20:30:00", "125") G("20:40:00", "125") T("20:40:00") "NM,state,off,,good\n"

static void
test_day(void **state)
{
	const char *read = ROWS_HEADER OFF HEAT("20", "degC") GAS("80", "bar") SHELL("2", "70") GRIND LAST;
	const char *uncertain = ROWS_HEADER OFF HEAT("20", "degC") T("07:35:00") "NM/accu-1,gas-pressure,75,bar,uncertain\n" GRIND LAST;
	const struct wanted cases[] = {
		{ "by the nameplate", { .rows = ROWS_HEADER GRIND LAST, .plate = PLATE("75") }, DAY_END "NM,precharge-working", 83.55,
		    "good", 0.1 },
		/* The mean of 125 120 130 125 125 in straight lines is 125. */
		{ "ratio", { .rows = ROWS_HEADER GRIND LAST, .plate = PLATE("75") }, DAY_END "NM,precharge-ratio", 83.55 / 125, "good",
		    0.002 },
		{ "lowest", { .rows = ROWS_HEADER GRIND LAST, .plate = PLATE("75") }, DAY_END "NM,lowest-pressure-ratio", 120 / 83.55,
		    "good", 0.002 },
		{ "highest", { .rows = ROWS_HEADER GRIND LAST, .plate = PLATE("75") }, DAY_END "NM,highest-pressure-ratio", 130 / 83.55,
		    "good", 0.002 },
		/* Two shells were read, four have the nameplate's 76: the mean is (80 + 70 + 4 x 76) / 6 = 75.67. */
		{ "a mixed bank", { .rows = read, .plate = PLATE("76") }, DAY_END "NM,precharge-working", 83.55 * 75.667 / 75, "good",
		    0.12 },
		{ "its fullest shell", { .rows = read, .plate = PLATE("76") }, DAY_END "NM,lowest-pressure-ratio", 120 / 89.17, "good",
		    0.002 },
		{ "its emptiest shell", { .rows = read, .plate = PLATE("76") }, DAY_END "NM,highest-pressure-ratio", 130 / 77.90, "good",
		    0.002 },
		{ "an uncertain precharge", { .rows = uncertain }, DAY_END "NM,precharge-ratio", 83.55 / 125, "uncertain", 0.002 },
		{ "no precharge", { .rows = ROWS_HEADER GRIND LAST }, DAY_END "NM,precharge-ratio", NAN, "", 0 },
		{ "no oil temperature ever", { .rows = ROWS_HEADER T("20:00:00") "NM,state,grinding,,good\n" G("20:00:00", "125")
		    G("20:10:00", "125") G("20:20:00", "125") G("20:30:00", "125") G("20:40:00", "125") LAST,
		    .plate = PLATE("75") "NM,working-temperature,48,degC,\n" }, DAY_END "NM,precharge-ratio", 83.55 / 125, "good", 0.002 },
		{ "too short", { .rows = ROWS_HEADER T("20:00:00") "NM,state,grinding,,good\n" T("20:00:00")
		    "NM,oil-temperature,48,degC,good\n" G("20:00:00", "125") LAST, .plate = PLATE("75") }, DAY_END "NM,precharge-ratio",
		    NAN, "bad", 0 },
	};

	(void)state;
	expect(cases, sizeof(cases) / sizeof(cases[0]));
}

/* Readings each minute by themselves would be many: a mill is followed over single ones, 1.1 of 83.55 being 91.9 bar. */
#define RUN T("20:00:00") "NM,state,grinding,,good\n" T("20:00:00") "NM,oil-temperature,48,degC,good\n" G("20:00:00", "125")
#define OIL_AGAIN T("20:50:00") "NM,oil-temperature,48,degC,good\n"

static void
test_hammer(void **state)
{
	static const struct {
		const char *name, *rows;
		int events;
		double minutes, grinding_min;
	} cases[] = {
		{ "a dip", ROWS_HEADER RUN G("20:10:00", "125") G("20:11:00", "85") G("20:12:00", "125") LAST, 1, 2 * 6.9 / 40,
		    2 * 6.9 / 40 },
		{ "not so deep", ROWS_HEADER RUN G("20:10:00", "125") G("20:11:00", "92.5") G("20:12:00", "125") LAST, 0, 0, 0 },
		{ "noise on the way up is one", ROWS_HEADER RUN G("20:10:00", "125") G("20:11:00", "91") G("20:12:00", "93")
		    G("20:13:00", "91") G("20:14:00", "125") LAST, 1, 0.9 / 34 + 0.45 + 0.45 + 0.9 / 34, 1.0 },
		{ "a stop", ROWS_HEADER RUN G("20:10:00", "125") G("20:11:00", "75") T("20:12:00") "NM,state,no-load,,good\n"
		    G("20:12:00", "20") T("20:15:00") "NM,state,off,,good\n" G("20:15:00", "0") LAST, 0, 0, 0 },
		{ "let down for longer", ROWS_HEADER RUN G("20:10:00", "125") T("20:12:00") "NM,state,no-load,,good\n"
		    G("20:12:00", "20") G("20:20:00", "20") T("20:22:01") "NM,state,grinding,,good\n" G("20:22:01", "125") LAST, 0, 0, 0 },
		{ "let down for ten minutes", ROWS_HEADER RUN G("20:10:00", "125") T("20:12:00") "NM,state,no-load,,good\n"
		    G("20:12:00", "20") G("20:20:00", "20") T("20:22:00") "NM,state,grinding,,good\n" G("20:22:00", "125") LAST, 1, 10, 0 },
		{ "off between", ROWS_HEADER RUN G("20:10:00", "125") T("20:12:00") "NM,state,no-load,,good\n"
		    G("20:12:00", "20") T("20:14:00") "NM,state,off,,good\n" T("20:15:00") "NM,state,pump-up,,good\n" G("20:15:00", "0")
		    G("20:16:00", "125") LAST, 0, 0, 0 },
		{ "a start", ROWS_HEADER T("20:00:00") "NM,state,pump-up,,good\n" T("20:00:00") "NM,oil-temperature,48,degC,good\n"
		    G("20:00:00", "0") G("20:01:00", "60") G("20:02:00", "125") LAST, 0, 0, 0 },
		{ "a start that sinks back", ROWS_HEADER T("20:00:00") "NM,state,pump-up,,good\n" T("20:00:00")
		    "NM,oil-temperature,48,degC,good\n" G("20:00:00", "0") G("20:01:00", "125") G("20:02:00", "60") G("20:03:00", "125") LAST,
		    1, 2 * 31.9 / 65, 0 },
		{ "grinding below for long", ROWS_HEADER RUN G("20:10:00", "90") G("20:20:00", "90") G("20:30:00", "90")
		    G("20:40:00", "90") T("20:41:00") "NM,state,off,,good\n" G("20:41:00", "0") LAST, 1, 31 + 10 * 1.9 / 35,
		    31 + 10 * 1.9 / 35 },
		{ "from the beginning", ROWS_HEADER T("20:00:00") "NM,state,grinding,,good\n" T("20:00:00")
		    "NM,oil-temperature,48,degC,good\n" G("20:00:00", "80") G("20:10:00", "80") T("20:11:00") "NM,state,off,,good\n"
		    G("20:11:00", "0") LAST, 1, 11, 11 },
		{ "one reading that is held", ROWS_HEADER RUN G("20:10:00", "125") G("20:11:00", "80") T("20:22:00") "NM,level,600,mm,good\n"
		    T("20:24:00") "NM,state,off,,good\n" G("20:24:00", "0") LAST, 0, 0, 0 },
		{ "one reading before a gap", ROWS_HEADER RUN G("20:10:00", "125") G("20:11:00", "80") OIL_AGAIN G("20:50:00", "125") LAST,
		    0, 0, 0 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_error err = { 0 };
		char *text = gas_pass(&(struct gas_in){ .rows = cases[i].rows, .plate = PLATE("75"), .only = true }, &err), quality[16];
		double events, minutes, grinding;

		assert_non_null(text);
		events = value_of(text, DAY_END "NM,hammer-events,", quality);
		minutes = value_of(text, DAY_END "NM,hammer-time,", quality);
		grinding = value_of(text, DAY_END "NM,hammer-grinding,", quality);
		if (!(fabs(events - cases[i].events) < 0.1) || !(fabs(minutes - cases[i].minutes) < 0.11) ||
		    !(fabs(grinding - cases[i].grinding_min) < 0.11))
			fail_msg("%s: %.0f in %.1f min, %.1f of them grinding\n%s", cases[i].name, events, minutes, grinding, text);
		free(text);
	}
}

/* A valve set to 95 bar, after grinding with 125. */
static void
test_valve(void **state)
{
#define SET_95 PLATE("75") "NM,minimum-pressure,95,bar,\n"
#define DOWN(time, state) T(time) "NM,state," state ",,good\n"
	const struct wanted cases[] = {
		{ "held", { .rows = ROWS_HEADER RUN DOWN("20:10:00", "hold") G("20:10:00", "99") G("20:19:59", "91") G("20:20:00", "93")
		    G("20:30:00", "94") LAST, .plate = SET_95 }, DAY_END "NM,unloaded-pressure", 93, "good", 0.005 },
		{ "off its setting", { .rows = ROWS_HEADER RUN DOWN("20:10:00", "no-load") G("20:10:00", "99") G("20:20:00", "88") LAST,
		    .plate = SET_95 }, DAY_END "NM,minimum-pressure-shift", -7, "good", 0.005 },
		{ "set against the gas", { .rows = ROWS_HEADER RUN T("20:05:00") "NM,oil-temperature,20,degC,good\n" G("20:10:00", "125") LAST,
		    .plate = SET_95 }, DAY_END "NM,minimum-pressure-ratio", 95 / 83.55, "good", 0.002 },
		{ "shut in", { .rows = ROWS_HEADER RUN DOWN("20:10:00", "hold") G("20:10:00", "120") G("20:20:00", "112") LAST,
		    .plate = SET_95 }, DAY_END "NM,unloaded-pressure", NAN, "", 0 },
		/* The last pressure that was sampled on the way down is not that which was ground with. */
		{ "sampled on the way", { .rows = ROWS_HEADER RUN G("20:09:00", "80") DOWN("20:10:00", "no-load") G("20:10:00", "90")
		    G("20:20:00", "90") LAST, .plate = SET_95 }, DAY_END "NM,unloaded-pressure", 90, "good", 0.005 },
		{ "after an hour", { .rows = ROWS_HEADER RUN DOWN("20:10:00", "hold") G("20:10:00", "99") G("20:20:00", "93")
		    G("20:34:00", "93") G("20:48:00", "93") G("21:02:00", "93") G("21:10:01", "85") LAST, .plate = SET_95 },
		    DAY_END "NM,unloaded-pressure", 93, "good", 0.005 },
		{ "before grinding", { .rows = ROWS_HEADER DOWN("20:00:00", "no-load") T("20:00:00") "NM,oil-temperature,48,degC,good\n"
		    G("20:00:00", "80") G("20:12:00", "80") LAST, .plate = SET_95 }, DAY_END "NM,unloaded-pressure", NAN, "", 0 },
		{ "no valve", { .rows = ROWS_HEADER RUN DOWN("20:10:00", "no-load") G("20:10:00", "99") G("20:20:00", "88") LAST,
		    .plate = PLATE("75") }, DAY_END "NM,unloaded-pressure", NAN, "", 0 },
	};

	(void)state;
	expect(cases, sizeof(cases) / sizeof(cases[0]));
}

static int
occurrences(const char *text, const char *of)
{
	int count = 0;

	for (; (text = strstr(text, of)) != NULL; text += strlen(of))
		count++;
	return count;
}

/* An instrument shows the oil pressure by the minute for twelve hours, and then, a quarter of an hour after the stop, the
 * precharge. */
static void
test_instrument(void **state)
{
	struct leat_buf rows = { 0 };
	struct leat_error err = { 0 };
	char *text, time[LEAT_TIME_MAX], quality[16];

	(void)state;
	assert_int_equal(leat_buf_printf(&rows, ROWS_HEADER), 0);
	for (int minute = 1; minute <= 1440; minute++) {
		bool runs = minute < 720;

		leat_time_write(time, (struct leat_time){ 1762149600 + minute * 60, 0 });
		if (minute == 1 || minute == 720)
			assert_int_equal(leat_buf_printf(&rows, "%s,NM,state,%s,,good\n", time, runs ? "grinding" : "off"), 0);
		assert_int_equal(leat_buf_printf(&rows, "%s,NM,pressure,%s,bar,good\n%s,NM/accu-1,gas-temperature,20,degC,good\n"
		    "%s,NM/accu-1,gas-pressure,%s,bar,good\n", time, runs ? "120" : "0.1", time, time, runs ? "119" : "75"), 0);
	}
	assert_int_equal(leat_buf_add(&rows, "", 1), 0);
	text = gas_pass(&(struct gas_in){ .rows = rows.data, .only = true }, &err);
	assert_non_null(text);
	/* Eight before it is known for an instrument. */
	assert_int_equal(occurrences(text, "accu-1,precharge-20,,bar,bad"), 8);
	/* At the stop doubtful, good a quarter of an hour later, and each hour from there on: 12 h less 15 min. */
	assert_int_equal(occurrences(text, "accu-1,precharge-20,75.00,bar,uncertain"), 1);
	assert_int_equal(occurrences(text, "accu-1,precharge-20,75.00,bar,good"), 12);
	value_of(text, "2025-11-03T18:15:00Z,NM/accu-1,precharge-20,", quality);
	assert_string_equal(quality, "good");
	leat_buf_free(&rows);
	free(text);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_reference), cmocka_unit_test(test_gate), cmocka_unit_test(test_heat), cmocka_unit_test(test_loss),
		cmocka_unit_test(test_spread), cmocka_unit_test(test_day), cmocka_unit_test(test_hammer),
		cmocka_unit_test(test_valve), cmocka_unit_test(test_instrument)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
