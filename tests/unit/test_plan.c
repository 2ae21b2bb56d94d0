/* The plan of the next stops: which tasks, in what order, with which parts, how much oil and nitrogen. */
#define TASKS_HEAD "task,asset,every,condition,needs,crew,duration,parts\n"
#define FINDINGS_HEAD "time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message,p10\n"
#include <math.h>

#include "due_pass.h"

#include "judge/plan_private.h"

struct plan_pass {
	struct due_pass d;
	struct table_file stops_file, parts_file;
	struct leat_stops stops;
	struct leat_parts parts;
	struct leat_plan_form form;
	struct latest_of read;
	struct leat_levels levels;
	struct leat_plan *plan;
	char *text;			/* as CSV */
};

/* The levels among the readings, which the engine of due tasks has read to their end: they are read again. */
static void
plan_levels(struct plan_pass *p, const struct due_made *m)
{
	struct latest_of l;
	struct leat_error err = { 0 };
	struct leat_reading r;

	latest_open(&l, m->rows != NULL ? m->rows : "", NULL);
	leat_levels_init(&p->levels, l.in, &p->d.points, p->d.np, time_of(m->now));
	while (leat_readings_next(l.in, &r, &err) == LEAT_READINGS_ROW)
		assert_int_equal(leat_levels_take(&p->levels, &r, &err), 0);
	p->read = l;
}

static void
plan_run(struct plan_pass *p, const struct due_made *m, const char *stops, const char *parts, double crew)
{
	struct leat_error err = { 0 };
	struct leat_out out;
	size_t size = 0;
	FILE *f;

	memset(p, 0, sizeof(*p));
	due_pass_run(&p->d, m);
	p->stops_file = due_pass_file("start,end,asset,kind\n", stops);
	p->parts_file = due_pass_file("part,stock,lead_time\n", parts);
	if (leat_stops_read(&p->stops, p->stops_file.path, leat_nameplate_zone(p->d.np), NULL, &err) != 0 ||
	    leat_parts_read(&p->parts, p->parts_file.path, NULL, &err) != 0)
		fail_msg("%s:%ld %s", err.column, err.line, err.text);
	plan_levels(p, m);
	p->form = (struct leat_plan_form){ .levels = &p->levels, .due = p->d.due, .of = &p->d.due->form, .stops = &p->stops, .parts = &p->parts,
		.crew = crew, .isolate_s = 3600, .drum_l = 208 };
	p->plan = leat_plan_new(&p->form, &err);
	assert_non_null(p->plan);
	f = open_memstream(&p->text, &size);
	assert_non_null(f);
	leat_out_init(&out, f);
	leat_plan_write(p->plan, &out);
	assert_int_equal(leat_out_flush(&out), 0);
	fclose(f);
	assert_null(strstr(p->text, "nan"));
}

static void
plan_close(struct plan_pass *p)
{
	free(p->text);
	leat_plan_free(p->plan);
	leat_levels_free(&p->levels);
	latest_close(&p->read);
	leat_parts_free(&p->parts);
	leat_stops_free(&p->stops);
	table_file_drop(&p->stops_file);
	table_file_drop(&p->parts_file);
	due_pass_close(&p->d);
}

static const struct leat_plan_task *
plan_task(const struct plan_pass *p, const char *name, size_t *at)
{
	const struct leat_plan_stop *s;

	for (size_t i = 0; (s = leat_plan_stop_at(p->plan, i)) != NULL; i++)
		for (size_t k = 0; k < s->count; k++)
			if (leat_span_is(s->task[k].item->task->name, name)) {
				if (at != NULL)
					*at = k;
				return &s->task[k];
			}
	return NULL;
}

/* The quantity of the row of that kind and name, of the mill; -1 when there is none. */
static double
plan_quantity(const struct plan_pass *p, const char *mill, const char *row, const char *name)
{
	struct leat_span rest = leat_span_of(p->text), line, field;
	double value;

	while (leat_span_next(&rest, '\n', &line)) {
		struct leat_span fields[8];
		size_t n = 0;

		while (n < 8 && leat_span_next(&line, ',', &field))
			fields[n++] = field;
		if (n == 8 && leat_span_is(fields[0], mill) && leat_span_is(fields[3], row) && leat_span_is(fields[4], name))
			return leat_double_parse(fields[7], &value) == 0 ? value : -1;
	}
	return -1;
}

#define LOGGED(time, task) time ",NM,note," task ",,,,,,kt,x\n"
#define STOPS "2025-11-10 06:00,2025-11-10 14:00,NM,planned\n2025-11-20 06:00,2025-11-20 14:00,NM,unplanned\n" \
	"2025-12-22 06:00,2025-12-22 14:00,*M,planned\n2026-02-02 06:00,2026-02-02 14:00,,\n"

/* By hand.  The crew of four has 32 h on 10 November; the following stop is on 22 December, the one after on 2 February.
 * Forced: law, 4 h, with the drive and the pressure locked, 2 h more.  small is 2.25 days late on 22 December and adds 1 h;
 * big is 32 days late and takes 26 h, 1.24 days an hour: small comes first, its forerunner with it (1 h), and then there is
 * no room for big, which would just have fitted.  share needs nothing that is not locked already, lock does. */
static void
test_choice(void **state)
{
	const struct due_made made = { .now = "2025-11-03T05:30:00Z", .tasks =
	    "law,NM,P1Y,,depressurised law,2 fitters,PT2H,\n" "big,NM,P1Y,,stop,4,PT390M,\n" "small,NM,P1Y,,stop first,fitter,PT1H,\n"
	    "first,NM,P2Y,,stop,fitter,PT1H,\n" "share,NM,P1Y,,depressurised,1,PT2H,\n"
	    "lock,NM,P1Y,,depressurised lock:water,1,PT1H,\n" "far,NM,P1Y,,stop,1,PT1H,\n" "run,NM,P1M,,running,1,PT1H,\n"
	    "never,NM,P5Y,,stop,1,PT1H,\n",
	    .book = LOGGED("2024-11-20 08:00", "big") LOGGED("2024-12-01 08:00", "law") LOGGED("2024-12-20 08:00", "small")
	    LOGGED("2024-12-20 07:00", "first") LOGGED("2025-01-15 08:00", "share") LOGGED("2025-01-15 08:01", "lock")
	    LOGGED("2025-03-15 08:01", "far") LOGGED("2025-03-15 08:02", "run") };
	const struct leat_plan_stop *s;
	struct plan_pass p;
	size_t first, small;

	(void)state;
	plan_run(&p, &made, STOPS, "", 4);
	s = leat_plan_stop_at(p.plan, 0);
	due_time(s->stop->start, "2025-11-10T06:00:00Z");
	due_time(s->following, "2025-12-22T06:00:00Z");
	due_time(s->after, "2026-02-02T06:00:00Z");
	assert_int_equal(plan_task(&p, "law", NULL)->choice, LEAT_PLAN_FORCED);
	assert_int_equal(plan_task(&p, "small", &small)->choice, LEAT_PLAN_DUE);
	unit_close(plan_task(&p, "small", NULL)->value, 2.25, 1e-9);
	assert_int_equal(plan_task(&p, "first", &first)->choice, LEAT_PLAN_BEFORE);
	assert_true(first < small);
	assert_int_equal(plan_task(&p, "big", NULL)->choice, LEAT_PLAN_NO_ROOM);
	assert_int_equal(plan_task(&p, "share", NULL)->choice, LEAT_PLAN_SHARED);
	assert_int_equal(plan_task(&p, "lock", NULL)->choice, LEAT_PLAN_WAITS);
	assert_int_equal(plan_task(&p, "far", NULL)->choice, LEAT_PLAN_WAITS);
	assert_int_equal(plan_task(&p, "never", NULL)->choice, LEAT_PLAN_UNKNOWN);
	assert_null(plan_task(&p, "run", NULL));
	assert_int_equal(s->taken, 4);
	/* 4 + 2 of isolations + 1 + 1 + 2. */
	unit_close(s->used_h, 10, 1e-9);
	unit_close(s->room_h, 32, 1e-9);
	unit_close(plan_quantity(&p, "NM", "stop", "planned"), 10, 1e-9);
	plan_close(&p);
	/* With two more people there is room for all that is due: 48 h. */
	plan_run(&p, &made, STOPS, "", 6);
	assert_int_equal(plan_task(&p, "big", NULL)->choice, LEAT_PLAN_DUE);
	plan_close(&p);
}

/* Whether limits are reached before the following stop says the P10 date, also of a finding that is no alert yet; what is
 * due after it waits.  An alarm is forced. */
static void
test_conditions(void **state)
{
	static const struct { const char *finding; enum leat_plan_choice choice; } rows[] = {
		{ "wear,alert,,,,2025-11-01T00:00:00Z,,2026-03-01T00:00:00Z,,x,2025-12-10T00:00:00Z", LEAT_PLAN_DUE },
		{ "wear,ok,,,,,,,,x,2025-12-10T00:00:00Z", LEAT_PLAN_DUE }, { "wear,ok,,,,,,,,x,2026-03-10T00:00:00Z", LEAT_PLAN_WAITS },
		{ "wear,alert,,,,2025-11-01T00:00:00Z,,,,x,2026-03-10T00:00:00Z", LEAT_PLAN_WAITS },
		{ "wear,alarm,,,,2025-11-01T00:00:00Z,,,,x,", LEAT_PLAN_FORCED },
		{ "wear,ok,,,,2025-10-01T00:00:00Z,2025-10-20T00:00:00Z,,,x,2025-12-10T00:00:00Z", LEAT_PLAN_WAITS },
		{ "wear,alert,,,,2025-11-01T00:00:00Z,,,,x,", LEAT_PLAN_DUE }, { "other,alarm,,,,2025-11-01T00:00:00Z,,,,x,", LEAT_PLAN_WAITS }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		char finding[200];
		const struct due_made made = { .now = "2025-11-03T05:30:00Z", .findings = finding,
			.tasks = "pump,NM/pump-a,,wear,depressurised,2,PT4H,pump\n" };
		struct plan_pass p;

		snprintf(finding, sizeof(finding), "2025-11-03T05:00:00Z,NM/pump-a,drain-flow,%s\n", rows[i].finding);
		plan_run(&p, &made, STOPS, "pump,0,P12W\n", 4);
		if (plan_task(&p, "pump", NULL)->choice != rows[i].choice)
			fail_msg("%s: choice %d", rows[i].finding, plan_task(&p, "pump", NULL)->choice);
		plan_close(&p);
	}
}

/* Both are due by themselves, and the one that is named comes first all the same; two that name each other end nothing. */
static void
test_order(void **state)
{
	struct due_made made = { .now = "2025-11-03T05:30:00Z", .book = LOGGED("2025-08-01 08:00", "fill") LOGGED("2025-08-20 08:00", "look"),
		.tasks = "fill,NM,P3M,,depressurised nitrogen look,1,PT1H,\n" "look,NM,P3M,,depressurised,1,PT2H,\n" };
	struct plan_pass p;
	size_t fill, look;

	(void)state;
	plan_run(&p, &made, STOPS, "", 4);
	assert_int_equal(plan_task(&p, "fill", &fill)->choice, LEAT_PLAN_DUE);
	assert_int_equal(plan_task(&p, "look", &look)->choice, LEAT_PLAN_DUE);
	assert_true(look < fill);
	plan_close(&p);
	made.tasks = "fill,NM,P3M,,depressurised nitrogen look,1,PT1H,\n" "look,NM,P3M,,depressurised fill,1,PT2H,\n";
	plan_run(&p, &made, STOPS, "", 4);
	assert_int_equal(leat_plan_stop_at(p.plan, 0)->taken, 2);
	plan_close(&p);
}

/* Two mills want the last one; the later stop must order.  Lead times by the calendar, months too. */
static void
test_parts(void **state)
{
	const struct due_made made = { .now = "2025-11-03T05:30:00Z", .book = LOGGED("2024-11-20 08:00", "a") LOGGED("2024-11-21 08:00", "b")
		"2024-11-20 08:00,MM,note,a,,,,,,kt,x\n",
	    .tasks = "a,?M,P1Y,,stop,1,PT1H,element*2 ring\n" "b,NM,P1Y,,stop,1,PT1H,element*1.5|gasket|wire\n" };
	struct plan_pass p;

	(void)state;
	plan_run(&p, &made, "2025-11-10 06:00,2025-11-10 14:00,NM,\n2025-12-31 06:00,2025-12-31 14:00,MM,\n",
	    "element,4,P14D\nring,0,P14D\ngasket,,P7D\nunused,0,P1D\n", 4);
	unit_close(plan_quantity(&p, "NM", "part", "element"), 3.5, 1e-9);
	unit_close(plan_quantity(&p, "MM", "part", "element"), 2, 1e-9);
	assert_non_null(strstr(p.text, "part,element,NM,enough,3.500,1,,4 in stock"));
	assert_non_null(strstr(p.text, "part,element,MM,order,2,1,2025-12-17T00:00:00Z,1.5 more to be ordered by 2025-12-17"));
	assert_non_null(strstr(p.text, "part,ring,NM,late,1,1,2025-10-27T00:00:00Z,\"1 more to be ordered by 2025-10-27, which is past: "
	    "ordered today it comes 2025-11-17, 7 days after the stop begins\""));
	assert_non_null(strstr(p.text, "part,gasket,NM,unknown,"));
	assert_non_null(strstr(p.text, "part,wire,NM,unknown,1,1,,no part of parts.csv"));
	assert_null(strstr(p.text, "unused"));
	plan_close(&p);
	/* A month before 31 March is the last of February. */
	plan_run(&p, &made, "2026-03-31 06:00,2026-03-31 14:00,*,\n", "ring,0,P1M\n", 4);
	assert_non_null(strstr(p.text, "part,ring,MM,order,1,1,2026-02-28T00:00:00Z,1 more to be ordered by 2026-02-28"));
	plan_close(&p);
}

/* The pump may reach its limit from 20 January on, and waits for the stop of 22 December; with a lead time of 12 weeks it had to
 * be ordered by 29 September, with one of 4 weeks by 24 November; with one of 3 days it need not be ordered before the
 * stop after this one.  What is in stock need not at all. */
static void
test_parts_ahead(void **state)
{
	static const struct { const char *parts, *told; } rows[] = {
		{ "pump,0,P12W\n", "part,pump,NM,late,1,1,2025-09-29T00:00:00Z,\"1 more to be ordered by 2025-09-29, which is past: ordered "
		    "today it comes 2026-01-26, 35 days after the stop begins; for pump, which waits for the stop of 2025-12-22\"" },
		{ "pump,0,P4W\n", "part,pump,NM,order,1,1,2025-11-24T00:00:00Z,\"1 more to be ordered by 2025-11-24; for pump, which "
		    "waits for the stop of 2025-12-22\"" },
		{ "pump,1,P12W\n", NULL }, { "pump,0,\n", NULL }, { "pump,,P12W\n", NULL }
	};
	const struct due_made made = { .now = "2025-11-03T05:30:00Z",
		.findings = "2025-11-03T05:00:00Z,NM/pump-a,drain-flow,wear,ok,,,,,,,,x,2026-01-20T00:00:00Z\n",
		.tasks = "pump,NM/pump-a,,wear,depressurised,2,PT4H,pump\n" };
	struct plan_pass p;

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		plan_run(&p, &made, STOPS, rows[i].parts, 4);
		assert_int_equal(plan_task(&p, "pump", NULL)->choice, LEAT_PLAN_WAITS);
		if (rows[i].told == NULL ? strstr(p.text, ",part,") != NULL : strstr(p.text, rows[i].told) == NULL)
			fail_msg("%s%s", rows[i].parts, p.text);
		plan_close(&p);
	}
	/* A stop that is nearer to the date is the last chance: 6 January, with 3 days until the 3rd, which is after 22 December. */
	plan_run(&p, &made, STOPS "2026-01-06 06:00,2026-01-06 14:00,NM,\n", "pump,0,P3D\n", 4);
	assert_null(strstr(p.text, ",part,"));
	plan_close(&p);
	plan_run(&p, &made, STOPS "2026-01-06 06:00,2026-01-06 14:00,NM,\n", "pump,0,P4W\n", 4);
	assert_non_null(strstr(p.text, "part,pump,NM,order,1,1,2025-12-09T00:00:00Z,\"1 more to be ordered by 2025-12-09; for pump, which "
	    "waits for the stop of 2026-01-06"));
	plan_close(&p);
}

/* What is due in five years waits for a stop that no table has yet: nothing is to be ordered for it now. */
static void
test_parts_in_years(void **state)
{
	struct due_made made = { .now = "2025-11-03T05:30:00Z", .book = LOGGED("2024-11-20 08:00", "a"),
	    .tasks = "a,NM,P6Y,,stop,1,PT1H,hose-set\n" };
	struct plan_pass p;

	(void)state;
	plan_run(&p, &made, STOPS, "hose-set,0,P4W\n", 4);
	assert_null(strstr(p.text, ",part,"));
	plan_close(&p);
	/* Due on 20 November 2026, 42 days before are 9 October; with a lead time of 18 months it must be ordered before the following stop. */
	made.tasks = "a,NM,P2Y,,stop,1,PT1H,hose-set\n";
	plan_run(&p, &made, STOPS, "hose-set,0,P18M\n", 4);
	assert_non_null(strstr(p.text, "part,hose-set,NM,late,1,1,2025-04-09T00:00:00Z,"));
	plan_close(&p);
}

#define PLATE "NM,tank-volume,1900,L,\nNM,tank-area,1.2,m2,\nNM,set-pressure,125,bar,\nNM,precharge,75,bar,\n" \
	"NM,shell-volume,50,L,\nNM,shells,6,,\n"

/* Worked figures of the trade: 1900 L are 11 drums of new and 10 of waste oil; six shells of 50 L at 75 bar hold 95.6 L of oil at
 * 125 bar and 48 degC, 80 mm of a tank of 1.2 m2; one takes 0.11 of a bottle from 63 to 75
 * bar.  From empty they take 927 mol, 4.1 bottles. */
static void
test_fillings(void **state)
{
	struct due_made made = { .now = "2025-11-03T05:30:00Z", .plate = PLATE, .findings =
	    "2025-11-03T05:00:00Z,NM,acid-number,acid,alarm,,,,2025-11-01T00:00:00Z,,,,x,\n",
	    .tasks = "oil,NM,,acid,depressurised renew,2,PT8H,\n" "gas,NM,,acid,depressurised nitrogen:empty,1,PT2H,\n"
	    "cooler,NM/cooler,,acid,depressurised drain:40,1,PT2H,\n" };
	struct plan_pass p;

	(void)state;
	made.findings = "2025-11-03T05:00:00Z,NM,acid-number,acid,alarm,,,,2025-11-01T00:00:00Z,,,,x,\n"
	    "2025-11-03T05:00:00Z,NM/cooler,cooler-ua,acid,alarm,,,,2025-11-01T00:00:00Z,,,,x,\n";
	plan_run(&p, &made, STOPS, "", 4);
	unit_close(plan_quantity(&p, "NM", "oil", "renewed"), 1900, 0);
	unit_close(plan_quantity(&p, "NM", "oil", "new-oil"), 2090, 0);
	unit_close(plan_quantity(&p, "NM", "oil", "new-drums"), 11, 0);
	unit_close(plan_quantity(&p, "NM", "oil", "waste-drums"), 10, 0);
	unit_close(plan_quantity(&p, "NM", "oil", "drained"), 40, 0);
	unit_close(plan_quantity(&p, "NM", "oil", "returned"), 95.6, 95.6 * 0.005);
	assert_non_null(strstr(p.text, "80 mm of level"));
	unit_close(plan_quantity(&p, "NM", "nitrogen", "amount"), 927, 927 * 0.005);
	unit_close(plan_quantity(&p, "NM", "nitrogen", "bottles"), 5, 0);
	assert_non_null(strstr(p.text, "4.1"));
	plan_close(&p);
	/* Five are as they should be, the sixth was read at 63 bar; a reading of 121 bar under load is passed over. */
	made.tasks = "gas,NM,,acid,depressurised nitrogen,1,PT2H,\n";
	made.book = "2025-10-01 08:00,NM/accu-1,gas-reading,gas-check,gas-pressure,75,,bar,,kt,\n"
	    "2025-10-01 08:00,NM/accu-2,gas-reading,gas-check,gas-pressure,7.5,,MPa,,kt,\n"
	    "2025-10-01 08:00,NM/accu-3,gas-reading,gas-check,gas-pressure,75,,bar,,kt,\n"
	    "2025-10-01 08:00,NM/accu-4,gas-reading,gas-check,gas-pressure,60,75,bar,,kt,\n"
	    "2025-10-01 08:00,NM/accu-5,gas-reading,gas-check,gas-pressure,75,,bar,,kt,\n"
	    "2025-10-01 08:00,NM/accu-6,gas-reading,gas-check,gas-pressure,63,,bar,,kt,\n"
	    "2025-10-02 08:00,NM/accu-6,gas-reading,gas-check,gas-pressure,121,,bar,,kt,running\n";
	plan_run(&p, &made, STOPS, "", 4);
	assert_non_null(strstr(p.text, "0.11 of them"));
	assert_null(strstr(p.text, "never read"));
	plan_close(&p);
	/* Without a nameplate nothing is guessed. */
	made.plate = "";
	plan_run(&p, &made, STOPS, "", 4);
	assert_non_null(strstr(p.text, "nitrogen,bottles,NM,,,,,cannot be told"));
	assert_non_null(strstr(p.text, "oil,returned,NM,,,,,"));
	plan_close(&p);
}

#define FULL "NM,tank-full-level,700,mm,\n"
#define AT(time, level, pressure) "2025-11-03T" time "Z,NM,pressure," pressure ",bar,good\n" \
	"2025-11-03T" time "Z,NM,level," level ",mm,good\n"
#define GAS(accu, bar) "2025-10-01 08:00,NM/accu-" accu ",gas-reading,gas-check,gas-pressure," bar ",,bar,,kt,\n"
#define ALL_GAS(bar) GAS("1", bar) GAS("2", bar) GAS("3", bar) GAS("4", bar) GAS("5", bar) GAS("6", bar)

/* Six shells of 50 L at 75 bar hold 95.6 L of oil at 125 bar and 48 degC, 110 bar 69.4 (300 less 230.6), 135 bar 109.8 (less 190.2);
 * with 95, 90 and 80 % of their gas 105.9, 116.1 and 136.5 L at 125 bar: worked figures of the trade, to 0.5 % of the gas
 * (1 L).  What 80 % of the gas shows on the gauge at 20 degC is a density ratio: 75 bar are 76.01 absolute, 80 % of that
 * 60.81 and 59.8 on the gauge, near enough since nitrogen is all but ideal there.  The tank has 1.2 m2, full at 700 mm. */
static void
test_room(void **state)
{
	static const struct {
		const char *what, *rows, *book;
		double over_l;		/* NaN: cannot be told */
		const char *says;
	} rows[] = {
		/* 100 mm are 120 L, of which 95.6 come back. */
		{ "it fits", AT("05:00:00", "600", "125"), "", 95.6 - 120, "oil,room,NM,fits,120" },
		{ "level 60 cm, 12.5 MPa", "2025-11-03T05:00:00Z,NM,pressure,12.5,MPa,good\n2025-11-03T05:00:00Z,NM,level,60,cm,good\n", "",
		    95.6 - 120, "24 L are left over: level 600 mm at 125.0 bar, 1 reading to 2025-11-03 05:00" },
		/* 70 mm are 84 L. */
		{ "it does not", AT("05:00:00", "630", "125"), "", 95.6 - 84, "oil,drained-first,NM,,12,L,," },
		{ "at 110 bar more is in the tank", AT("05:00:00", "630", "110"), "", 69.4 - 84, "oil,room,NM,fits," },
		{ "at 135 bar less", AT("05:00:00", "600", "135"), "", 109.8 - 120, "oil,room,NM,fits," },
		{ "no pressure: all is in the tank", AT("05:00:00", "690", "0"), "", -12, "oil,room,NM,fits,107" },
		{ "the tank is over its mark", AT("05:00:00", "710", "0"), "", 12, "oil,room,NM,lacks,83" },
		{ "pressure not read", "2025-11-03T05:00:00Z,NM,level,600,mm,good\n", "", 95.6 - 120, "taken to be the set one" },
		{ "pressure too old", "2025-11-03T04:00:00Z,NM,pressure,110,bar,good\n2025-11-03T05:00:00Z,NM,level,600,mm,good\n", "",
		    95.6 - 120, "taken to be the set one" },
		{ "gas lost: 95 %", AT("05:00:00", "600", "125"), ALL_GAS("71.2"), 105.9 - 120, "gas of 6 of 6 shells as last read" },
		{ "gas lost: 90 %", AT("05:00:00", "600", "125"), ALL_GAS("67.4"), 116.1 - 120, "oil,room,NM,fits," },
		{ "gas lost: 80 %", AT("05:00:00", "600", "125"), ALL_GAS("59.8"), 136.5 - 120, "oil,room,NM,lacks," },
		{ "read under load, passed over", AT("05:00:00", "600", "125"), ALL_GAS("121"), 95.6 - 120, "gas of 0 of 6 shells" },
		{ "while it presses before while it stands", AT("03:00:00", "600", "125") AT("05:00:00", "500", "60"), "", 95.6 - 120,
		    "reading to 2025-11-03 03:00" },
		{ "the middle of three", AT("05:00:00", "600", "125") AT("05:01:00", "640", "125") AT("05:02:00", "601", "125"), "",
		    95.6 - 118.8, "level 601 mm at 125.0 bar, median of 3 readings" },
		{ "a round", "2025-11-03T05:00:00Z,NM/round,level,600,mm,good\n", "", 95.6 - 120, "room,NM,fits," },
		{ "the mill before the round", "2025-11-03T05:10:00Z,NM/round,level,690,mm,good\n" AT("05:20:00", "600", "125"), "", 95.6 - 120,
		    "room,NM,fits," },
		{ "another vessel", "2025-11-03T05:00:00Z,NM/gearbox,level,600,mm,good\n", "", NAN, "no level of its tank" },
		{ "later than now", "2025-11-03T06:00:00Z,NM,level,600,mm,good\n", "", NAN, "no level of its tank" },
		{ "bad", "2025-11-03T05:00:00Z,NM,level,600,mm,bad\n", "", NAN, "no level of its tank" },
		{ "uncertain", "2025-11-03T05:00:00Z,NM,level,600,mm,uncertain\n", "", NAN, "no level of its tank" },
		{ "of last month", "2025-10-03T05:00:00Z,NM,level,600,mm,good\n", "", NAN, "oil,room,NM,unknown,,,,cannot tell whether it "
		    "fits: its level was not read of late" },
		{ "nothing read", "", "", NAN, "no level of its tank is among the readings; read the level before" }
	};
	struct due_made made = { .now = "2025-11-03T05:30:00Z", .plate = PLATE FULL, .findings =
	    "2025-11-03T05:00:00Z,NM,acid-number,acid,alarm,,,,2025-11-01T00:00:00Z,,,,x,\n", .tasks = "a,NM,,acid,depressurised,2,PT2H,\n" };
	struct plan_pass p;

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		double room;

		made.rows = rows[i].rows;
		made.book = rows[i].book;
		plan_run(&p, &made, STOPS, "", 4);
		print_message("%s\n", rows[i].what);
		if (strstr(p.text, rows[i].says) == NULL)
			fail_msg("%s", p.text);
		room = plan_quantity(&p, "NM", "oil", "room");
		if (isnan(rows[i].over_l))
			assert_non_null(strstr(p.text, "oil,room,NM,unknown,,,,"));
		else
			unit_close(plan_quantity(&p, "NM", "oil", "returned") - room, rows[i].over_l, 1);
		assert_true((strstr(p.text, ",lacks,") != NULL) == (rows[i].over_l > 0));
		assert_true((strstr(p.text, ",drained-first,") != NULL) == (rows[i].over_l > 0));
		plan_close(&p);
	}
	/* Without the mark, or the area, nothing is guessed; nor where the pressure stays on. */
	made.rows = AT("05:00:00", "600", "125");
	made.book = "";
	made.plate = PLATE;
	plan_run(&p, &made, STOPS, "", 4);
	assert_non_null(strstr(p.text, "oil,room,NM,unknown,,,,cannot tell whether it fits: the nameplate has no tank-full-level"));
	plan_close(&p);
	made.plate = PLATE FULL;
	made.tasks = "a,NM,,acid,stop,2,PT2H,\n";
	plan_run(&p, &made, STOPS, "", 4);
	assert_null(strstr(p.text, ",room,"));
	plan_close(&p);
}

/* A unit that is none of level or pressure stops. */
static void
test_room_units(void **state)
{
	static const char *const rows[] = {
		"2025-11-03T05:00:00Z,NM,level,600,bar,good\n",
		"2025-11-03T05:00:00Z,NM,pressure,600,mm,good\n2025-11-03T05:00:00Z,NM,level,600,mm,good\n"
	};

	(void)state;
	for (size_t i = 0; i < 2; i++) {
		struct table_file file = due_pass_file("asset,property,value,unit,from\n", PLATE);
		struct leat_error err = { 0 };
		struct leat_nameplate *np = leat_nameplate_read(file.path, NULL, &err);
		struct leat_points points = { 0 };
		struct leat_levels levels;
		struct leat_reading r;
		struct latest_of l;
		int status = 0;

		latest_open(&l, rows[i], NULL);
		leat_levels_init(&levels, l.in, &points, np, LEAT_TIME_NONE);
		while (status == 0 && leat_readings_next(l.in, &r, &err) == LEAT_READINGS_ROW)
			status = leat_levels_take(&levels, &r, &err);
		assert_int_equal(status, -1);
		leat_levels_free(&levels);
		latest_close(&l);
		leat_nameplate_free(np);
		table_file_drop(&file);
	}
}

/* Of a stop that has begun only what is left is room: at 10:00 UTC four hours of eight, of four people 16 hours. */
static void
test_begun(void **state)
{
	struct due_made made = { .book = LOGGED("2024-11-20 08:00", "a") LOGGED("2024-11-20 08:00", "b"),
	    .tasks = "a,NM,P1Y,,stop,3,PT4H,\n" "b,NM,P1Y,,stop,1,PT2H,\n" };
	struct plan_pass p;

	(void)state;
	made.now = "2025-11-10T05:30:00Z";
	plan_run(&p, &made, "2025-11-10 06:00,2025-11-10 14:00,NM,\n", "", 4);
	unit_close(leat_plan_stop_at(p.plan, 0)->room_h, 32, 1e-9);
	assert_int_equal(leat_plan_stop_at(p.plan, 0)->taken, 2);
	assert_non_null(strstr(p.text, "15.0 of 32.0 hours of work (4 people for 8.0 h), 2 tasks from 2025-11-10 06:00"));
	plan_close(&p);
	made.now = "2025-11-10T10:00:00Z";
	plan_run(&p, &made, "2025-11-10 06:00,2025-11-10 14:00,NM,\n", "", 4);
	unit_close(leat_plan_stop_at(p.plan, 0)->room_h, 16, 1e-9);
	/* a takes four hours and one for its isolation: more than is left. */
	assert_int_equal(leat_plan_stop_at(p.plan, 0)->taken, 1);
	assert_non_null(strstr(p.text, "3.0 of 16.0 hours of work (4 people for what is left of it, 4.0 h), 1 task in the stop that began "
	    "2025-11-10 06:00"));
	assert_int_equal(plan_task(&p, "a", NULL)->choice, LEAT_PLAN_NO_ROOM);
	plan_close(&p);
	/* The moment it ends it is over. */
	made.now = "2025-11-10T14:00:00Z";
	plan_run(&p, &made, "2025-11-10 06:00,2025-11-10 14:00,NM,\n", "", 4);
	assert_non_null(strstr(p.text, "no stop is planned"));
	plan_close(&p);
}

/* A mill without a planned stop says so, and its tasks. */
static void
test_no_stop(void **state)
{
	const struct due_made made = { .now = "2025-11-03T05:30:00Z", .book = LOGGED("2024-11-20 08:00", "a"),
	    .tasks = "a,NM,P1Y,,stop,1,PT1H,element\n" };
	struct plan_pass p;

	(void)state;
	plan_run(&p, &made, "2025-11-20 06:00,2025-11-20 14:00,NM,unplanned\n2025-10-01 06:00,2025-10-01 14:00,NM,planned\n", "", 4);
	assert_non_null(strstr(p.text, "NM,,,stop,none,NM,,,,,\"no stop is planned"));
	assert_non_null(strstr(p.text, "NM,,,task,a,NM,waits,"));
	assert_null(strstr(p.text, ",part,"));
	plan_close(&p);
}

/* Random works: no more hours than there are but for what is forced, isolations are counted once, and what is taken is due
 * before the stop after the following one. */
static void
test_random(void **state)
{
	uint64_t seed = 29;

	(void)state;
	for (int run = 0; run < 60; run++) {
		struct leat_buf tasks = { 0 }, book = { 0 };
		struct due_made made = { .now = "2025-11-03T05:30:00Z" };
		const struct leat_plan_stop *s;
		struct plan_pass p;
		double used = 0;
		unsigned long long isolations = 0;

		for (int i = 0; i < 25; i++) {
			int every, ago;

			seed = seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
			every = 30 + (int)(seed >> 40) % 300;
			ago = (int)(seed >> 20 & 0xfff) % 300;
			assert_int_equal(leat_buf_printf(&tasks, "t%d,NM,P%dD,,%s%s,%d,PT%dH,\n", i, every,
			    seed >> 60 & 1 ? "depressurised" : "stop", seed >> 61 & 1 ? " lock:a" : seed >> 62 & 1 ? " lock:b" : "",
			    1 + (int)(seed >> 33) % 3, 1 + (int)(seed >> 50) % 5), 0);
			assert_int_equal(leat_buf_printf(&book, "2025-%02d-%02d 08:00,NM,note,t%d,,,,,,kt,x\n", 1 + ago / 30, 1 + ago % 28, i), 0);
		}
		made.tasks = tasks.data;
		made.book = book.data;
		plan_run(&p, &made, STOPS, "", 4);
		s = leat_plan_stop_at(p.plan, 0);
		for (size_t i = 0; i < s->taken; i++) {
			used += s->task[i].work_h;
			isolations |= s->task[i].isolations;
			assert_true(s->task[i].choice <= LEAT_PLAN_SHARED);
			assert_true(leat_time_cmp(s->task[i].date, s->after) < 0);
		}
		for (; isolations != 0; isolations &= isolations - 1)
			used += 1;
		unit_close(s->used_h, used, 1e-9);
		for (size_t i = s->taken; i < s->count; i++)
			assert_true(s->task[i].choice > LEAT_PLAN_SHARED);
		/* Whatever was left for want of room would indeed not fit. */
		for (size_t i = s->taken; i < s->count; i++)
			if (s->task[i].choice == LEAT_PLAN_NO_ROOM)
				assert_true(s->used_h + s->task[i].work_h + 4 > s->room_h);
		plan_close(&p);
		leat_buf_free(&tasks);
		leat_buf_free(&book);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_choice), cmocka_unit_test(test_conditions), cmocka_unit_test(test_order),
		cmocka_unit_test(test_parts), cmocka_unit_test(test_parts_ahead), cmocka_unit_test(test_parts_in_years),
		cmocka_unit_test(test_fillings), cmocka_unit_test(test_room), cmocka_unit_test(test_room_units),
		cmocka_unit_test(test_begun), cmocka_unit_test(test_no_stop), cmocka_unit_test(test_random)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
