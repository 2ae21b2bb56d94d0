/* The states of the mills of a stream: when they are said, and what must not matter.  The rules themselves have their own
 * test. */
#include "derive/state.h"
#include "random.h"

#define PASS_FILTER struct leat_states states
#include "filter_pass.h"

static void
pass_open(struct pass *p, const char *plate, const char *rows)
{
	pass_begin(p, plate, rows);
	p->states = (struct leat_states){ .in = p->l.in, .np = p->np, .out = &p->out };
	leat_states_init(&p->states);
}

static void
pass_run(struct pass *p, bool only)
{
	struct leat_reading r;

	leat_readings_pass_to(p->l.in, !only ? &p->out : NULL);
	while (pass_next(p, &r))
		pass_took(p, leat_states_take(&p->states, &r, &p->err), &r, !only);
	pass_ended(p, p->status < 0 ? -1 : leat_states_end(&p->states, &p->err));
}

static void
pass_close(struct pass *p)
{
	leat_states_free(&p->states);
	pass_free(p);
}

#define PLATE "asset,property,value,unit,from\n,set-pressure,125,bar,\n,precharge,75,bar,\n"

static void
expect(const char *name, const char *plate, const char *rows, const char *want)
{
	struct pass p;

	pass_open(&p, plate, rows);
	pass_run(&p, true);
	if (p.status < 0)
		fail_msg("%s: %s", name, p.err.text);
	if (strcmp(p.text, want) != 0) {
		print_error("%s:\n%sexpected:\n%s", name, p.text, want);
		fail();
	}
	pass_close(&p);
}

#define D "2025-11-03T"
#define P(t, v) D t "Z,NM,pressure," v ",bar,good\n"
#define M(t, v) D t "Z,NM,mill-running," v ",,good\n"
#define SAID(t, v) D t "Z,NM,state," v ",,good\n"

static void
stamps(void **state)
{
	(void)state;
	expect("the end of the run-up lies between two rows", PLATE,
	    P("04:00:00", "120") M("04:00:00", "on") P("04:12:00", "120") P("04:13:00", "120"),
	    SAID("04:00:00", "run-up") SAID("04:10:00", "grinding"));
	expect("not yet known at the end of the stream", PLATE,
	    P("04:00:00", "120") M("04:00:00", "on") P("04:09:59", "120"), SAID("04:00:00", "run-up"));
	expect("the hold of the pressure ends, and a row at that instant saves it", PLATE,
	    P("04:00:00", "120") M("04:00:00", "off") P("04:15:00", "120") M("04:30:00", "off") M("04:31:00", "off"),
	    SAID("04:00:00", "no-load") SAID("04:15:00", "no-load") SAID("04:30:00", "unknown"));
	expect("a gap of the mill is one unknown, at the end of its switches", PLATE,
	    P("04:00:00", "0.4") M("04:00:00", "off") D "05:00:00Z,MM,level,1,mm,good\n" D "05:40:00Z,MM,level,1,mm,good\n"
	    P("06:00:00", "0.4"), SAID("04:00:00", "off") SAID("04:15:00", "unknown") SAID("06:00:00", "off"));
	expect("repeats stand at readings, 10 min or more apart", PLATE,
	    P("04:00:00", "0.4") M("04:00:00", "off") P("04:09:00", "0.4") P("04:11:00", "0.4") P("04:20:00", "0.4")
	    P("04:21:00", "0.4"), SAID("04:00:00", "off") SAID("04:11:00", "off") SAID("04:21:00", "off"));
	expect("a bad reading says nothing", PLATE,
	    P("04:00:00", "0.4") M("04:00:00", "off") D "04:05:00Z,NM,pressure,99,bar,bad\n" P("04:06:00", "0.4"),
	    SAID("04:00:00", "off"));
	expect("fractions of a second", PLATE,
	    P("04:00:00.25", "120") M("04:00:00.25", "on") P("04:12:00", "120"),
	    SAID("04:00:00.25", "run-up") SAID("04:10:00.25", "grinding"));
	expect("the nameplate changes between two rows", PLATE "NM,set-pressure,300,bar,2025-11-03T04:05:00Z\n",
	    P("04:00:00", "120") M("04:00:00", "on") P("04:08:00", "120"),
	    SAID("04:00:00", "run-up") SAID("04:05:00", "no-load"));
	expect("a set point of zero is none", PLATE,
	    P("04:00:00", "40") M("04:00:00", "on") D "04:00:00Z,NM,pressure-setpoint,0,bar,good\n", SAID("04:00:00", "no-load"));
	expect("states of others pass, of this mill do not", PLATE,
	    D "03:00:00Z,NM,state,off,,good\n" P("04:00:00", "120") M("04:00:00", "on") D "04:00:30Z,NM,state,off,,good\n"
	    P("04:01:00", "120"), SAID("04:00:00", "run-up"));
}

static void
other_dimension(void **state)
{
	struct pass p;

	(void)state;
	pass_open(&p, PLATE, D "04:00:00Z,NM,pressure,50,degC,good\n" P("04:01:00", "1"));
	pass_run(&p, true);
	assert_int_equal(p.status, -1);
	assert_non_null(strstr(p.err.text, "'pressure' of 'NM' comes in 'degC'"));
	pass_close(&p);
}

/* Random signals of two mills with gaps, bad rows and states of another making. */
static void
random_rows(struct leat_buf *rows, uint64_t *seed)
{
	static const char *const point[] = {
		"pressure", "mill-running", "pump-running", "charging", "mill-power", "pressure-setpoint", "oil-temperature", "state",
		"vibration"
	};
	unsigned at = 0;

	for (int i = 0; i < 150; i++) {
		unsigned n = random_below(seed, 9);
		const char *mill = random_below(seed, 3) == 0 ? "MM" : "NM";
		char value[16];

		at += random_below(seed, 4) == 0 ? 0 : random_below(seed, 12) == 0 ? 3000 : random_below(seed, 400);
		if (n == 0 || n >= 4)
			snprintf(value, sizeof(value), n == 7 ? "hold" : "%u", random_below(seed, 140));
		else
			snprintf(value, sizeof(value), random_below(seed, 2) == 0 ? "on" : "off");
		assert_int_equal(leat_buf_printf(rows, "2025-11-%02uT%02u:%02u:%02uZ,%s%s,%s,%s,%s,%s\n", 3 + at / 86400,
		    at / 3600 % 24, at / 60 % 60, at % 60, mill, n == 2 && random_below(seed, 2) == 0 ? "/pump-b" : "", point[n],
		    value, n == 0 || n == 5 ? "bar" : n == 4 ? "kW" : n == 6 ? "degC" : n == 8 ? "mm/s" : "",
		    random_below(seed, 15) == 0 ? "bad" : "good"), 0);
	}
	assert_int_equal(leat_buf_add(rows, "", 1), 0);
}

/* No mill is said to be in two states at one time.  The states of random_rows are all hold; those before a mill is known
 * pass, and are none of ours. */
static void
one_at_a_time(const char *text)
{
	struct leat_span rest = leat_span_of(text), line;
	char last[2][32] = { "", "" };

	while (leat_span_next(&rest, '\n', &line)) {
		int mill = line.len > 22 && line.ptr[21] == 'M' ? 1 : 0;

		if (line.len < 30 || !leat_span_starts(leat_span_make(line.ptr + 23, line.len - 23), ",state,") ||
		    leat_span_ends(line, ",hold,,good"))
			continue;
		assert_true(strncmp(last[mill], line.ptr, 20) != 0);
		memcpy(last[mill], line.ptr, 20);
	}
}

/* A second pass over what a first one wrote changes no byte, and time never goes back. */
static void
twice_is_once(void **state)
{
	uint64_t seed = 99;
	long long said = 0;

	(void)state;
	for (int trial = 0; trial < 200; trial++) {
		struct leat_buf rows = { 0 };
		struct pass once, twice;

		random_rows(&rows, &seed);
		pass_open(&once, PLATE ",rated-power,100,kW,\n", rows.data);
		pass_run(&once, false);
		assert_int_equal(once.status, 0);
		pass_open(&twice, PLATE ",rated-power,100,kW,\n", once.text);
		pass_run(&twice, false);
		/* The reader stops when time goes back. */
		assert_int_equal(twice.status, 0);
		assert_int_equal(leat_readings_next(twice.l.in, &(struct leat_reading){ 0 }, &twice.err), LEAT_READINGS_END);
		assert_string_equal(once.text, twice.text);
		one_at_a_time(once.text);
		said += once.states.changes + once.states.repeats;
		assert_true(twice.states.replaced >= once.states.changes + once.states.repeats);
		pass_close(&twice);
		pass_close(&once);
		leat_buf_free(&rows);
	}
	assert_true(said > 2000);
}

/* Nothing looks into the future: what is said of a stream that is cut is said of the whole one too. */
static void
cut_anywhere(void **state)
{
	uint64_t seed = 5;

	(void)state;
	for (int trial = 0; trial < 200; trial++) {
		struct leat_buf rows = { 0 };
		struct pass whole, part;

		random_rows(&rows, &seed);
		pass_open(&whole, PLATE, rows.data);
		pass_run(&whole, true);
		rows_cut(rows.data, random_below(&seed, (unsigned)rows.len - 1));
		pass_open(&part, PLATE, rows.data);
		pass_run(&part, true);
		assert_true(strncmp(whole.text, part.text, strlen(part.text)) == 0);
		pass_close(&part);
		pass_close(&whole);
		leat_buf_free(&rows);
	}
}

int
main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(stamps), cmocka_unit_test(other_dimension), cmocka_unit_test(twice_is_once),
		cmocka_unit_test(cut_anywhere),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
