/* Gates: the grammar, Kleene's logic, and what makes a value unknown. */
#include "latest_of.h"
#include "stream/gate.h"
#include "unit.h"

static enum leat_truth
eval(struct latest_of *l, const char *text, const char *asset, const char *now)
{
	struct leat_error err = { 0 };
	struct leat_gate *gate = leat_gate_compile(leat_span_of(text), &err);
	enum leat_truth truth;

	if (gate == NULL)
		fail_msg("%s: %s", text, err.text);
	unit_span(leat_gate_text(gate), text);
	truth = leat_gate_eval(gate, &l->current, leat_names_get(leat_readings_assets(l->in), leat_span_of(asset)),
	    time_of(now));
	leat_gate_free(gate);
	return truth;
}

#define NOW "2025-11-03T04:10:00Z"

static const char rows[] =
    "2025-11-03T02:00:00Z,NM,feed-rate,210,t/h,good\n"
    "2025-11-03T04:10:00Z,NM,t,on,,good\n"
    "2025-11-03T04:10:00Z,NM,f,off,,good\n"
    "2025-11-03T04:10:00Z,NM,state,grinding,,good\n"
    "2025-11-03T04:10:00Z,MM,state,unknown,,good\n"
    "2025-11-03T04:10:00Z,NM,oil-temperature,104,degF,good\n"
    "2025-11-03T04:10:00Z,NM,pressure,121.5,bar,good\n"
    "2025-11-03T04:10:00Z,NM,head-pressure,,bar,bad\n"
    "2025-11-03T04:10:00Z,NM,iso4406,18/16/13,,good\n"
    "2025-11-03T04:10:00Z,NM,strain,0.25,mm,good\n"
    "2025-11-03T04:10:00Z,NM,plain,0.25,,good\n"
    "2025-11-03T04:10:00Z,NM/pump-a,pump-running,on,,good\n"
    "2025-11-03T04:10:00Z,NM/pump-a,drain-flow,1.8,L/min,good\n"
    "2025-11-03T04:10:00Z,NM/pump-b,pump-running,0,,good\n"
    "2025-11-03T04:10:00Z,NM/cyl-2/plane-1,bore-diameter,320.01,mm,good\n";

/* Source: S. C. Kleene, Introduction to Metamathematics (1952), section 64, the strong three-valued tables.  In the
 * sample t is true, f false, and u has no reading. */
static void
test_kleene(void **state)
{
	static const struct {
		const char *text;
		enum leat_truth truth;
	} cases[] = {
		{ "t", LEAT_TRUE }, { "f", LEAT_FALSE }, { "u", LEAT_UNKNOWN },
		{ "!t", LEAT_FALSE }, { "!f", LEAT_TRUE }, { "!u", LEAT_UNKNOWN },
		{ "t & t", LEAT_TRUE }, { "t & f", LEAT_FALSE }, { "t & u", LEAT_UNKNOWN },
		{ "f & t", LEAT_FALSE }, { "f & f", LEAT_FALSE }, { "f & u", LEAT_FALSE },
		{ "u & t", LEAT_UNKNOWN }, { "u & f", LEAT_FALSE }, { "u & u", LEAT_UNKNOWN },
		{ "t | t", LEAT_TRUE }, { "t | f", LEAT_TRUE }, { "t | u", LEAT_TRUE },
		{ "f | t", LEAT_TRUE }, { "f | f", LEAT_FALSE }, { "f | u", LEAT_UNKNOWN },
		{ "u | t", LEAT_TRUE }, { "u | f", LEAT_UNKNOWN }, { "u | u", LEAT_UNKNOWN }
	};
	struct latest_of l;

	(void)state;
	latest_all(&l, rows, NULL);
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		if (eval(&l, cases[i].text, "NM", NOW) != cases[i].truth)
			fail_msg("%s", cases[i].text);
	latest_close(&l);
}

static void
test_values(void **state)
{
	static const struct {
		const char *asset, *text;
		enum leat_truth truth;
	} cases[] = {
		/* Precedence and brackets. */
		{ "NM", "t | t & f", LEAT_TRUE },
		{ "NM", "(t | t) & f", LEAT_FALSE },
		{ "NM", "!t | t", LEAT_TRUE },
		{ "NM", "!(t | t)", LEAT_FALSE },
		{ "NM", "!!t", LEAT_TRUE },
		{ "NM", "!f & !f & !f | f", LEAT_TRUE },
		/* Words. */
		{ "NM", "state=grinding", LEAT_TRUE },
		{ "NM", "state != grinding", LEAT_FALSE },
		{ "NM", "state=off", LEAT_FALSE },
		{ "NM", "!(state=off)", LEAT_TRUE },
		{ "NM", "!state=off", LEAT_TRUE },
		{ "NM", "state!=off", LEAT_TRUE },
		{ "NM", "state=hold", LEAT_FALSE },
		{ "NM", "state=Grinding", LEAT_FALSE },
		{ "NM", "iso4406=18/16/13", LEAT_TRUE },
		{ "NM", "iso4406=18/16/14", LEAT_FALSE },
		{ "NM", "state", LEAT_UNKNOWN },
		{ "MM", "state=grinding", LEAT_UNKNOWN },
		{ "MM", "state!=off", LEAT_UNKNOWN },
		{ "MM", "state=unknown", LEAT_TRUE },
		{ "MM", "state!=unknown", LEAT_FALSE },
		{ "NM", "state=unknown", LEAT_FALSE },
		{ "NM", "state > 3", LEAT_UNKNOWN },
		{ "NM", "pressure=off", LEAT_FALSE },
		{ "NM", "pressure=grinding", LEAT_UNKNOWN },
		/* Numbers; 104 degF are 40 degC. */
		{ "NM", "pressure>121.4", LEAT_TRUE },
		{ "NM", "pressure>121.5", LEAT_FALSE },
		{ "NM", "pressure>=121.5", LEAT_TRUE },
		{ "NM", "pressure<121.5", LEAT_FALSE },
		{ "NM", "pressure<=121.5", LEAT_TRUE },
		{ "NM", "pressure=121.5 bar", LEAT_TRUE },
		{ "NM", "pressure!=121.5bar", LEAT_FALSE },
		{ "NM", "pressure > 12.1 MPa", LEAT_TRUE },
		{ "NM", "pressure > 12.2MPa", LEAT_FALSE },
		{ "NM", "oil-temperature>=40 degC", LEAT_TRUE },
		{ "NM", "oil-temperature=40", LEAT_TRUE },
		{ "NM", "oil-temperature>40", LEAT_FALSE },
		{ "NM", "oil-temperature<=40\xc2\xb0" "C", LEAT_TRUE },
		{ "NM", "oil-temperature>-5", LEAT_TRUE },
		{ "NM", "strain > 200 um", LEAT_TRUE },
		{ "NM", "strain > 0.2", LEAT_TRUE },
		{ "NM", "strain > 0.2 bar", LEAT_UNKNOWN },
		{ "NM", "plain > 0.2", LEAT_TRUE },
		{ "NM", "plain > 0.2 mm", LEAT_UNKNOWN },
		/* Switches by word and by number. */
		{ "NM", "t=on & f=off & t=1 & f=0 & t!=off", LEAT_TRUE },
		{ "NM/pump-b", "pump-running=off", LEAT_TRUE },
		{ "NM/pump-b", "pump-running=on", LEAT_FALSE },
		/* Parents and children. */
		{ "NM/pump-a", "state=grinding & pump-running", LEAT_TRUE },
		{ "NM", "pump-a:pump-running", LEAT_TRUE },
		{ "NM", "pump-a : pump-running = off", LEAT_FALSE },
		{ "NM", "pump-b:pump-running", LEAT_FALSE },
		{ "NM", "pump-c:pump-running", LEAT_UNKNOWN },
		{ "NM/pump-b", "pump-a:drain-flow > 1.5 L/min", LEAT_TRUE },
		{ "NM", "pump-running", LEAT_UNKNOWN },
		{ "NM", "cyl-2/plane-1:bore-diameter>320", LEAT_TRUE },
		/* Missing, bad and stale. */
		{ "NM", "level>400", LEAT_UNKNOWN },
		{ "NM", "head-pressure>1", LEAT_UNKNOWN },
		{ "NM", "feed-rate>100", LEAT_UNKNOWN },
		{ "NM", "state=grinding & level>400", LEAT_UNKNOWN },
		{ "NM", "state=off & level>400", LEAT_FALSE },
		{ "NM", "state=grinding | level>400", LEAT_TRUE }
	};
	struct latest_of l;

	(void)state;
	latest_all(&l, rows, NULL);
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		if (eval(&l, cases[i].text, cases[i].asset, NOW) != cases[i].truth)
			fail_msg("%s: %s", cases[i].asset, cases[i].text);
	latest_close(&l);
}

/* What a gate found for an asset is looked up again when a nearer series comes. */
static void
test_memory(void **state)
{
	static const char later[] =
	    "2025-11-03T04:00:00Z,NM,oil-temperature,47,degC,good\n"
	    "2025-11-03T04:00:00Z,NM/pump-a,pump-running,on,,good\n"
	    "2025-11-03T04:01:00Z,NM/pump-a,oil-temperature,51,degC,good\n"
	    "2025-11-03T04:02:00Z,NM/pump-a,oil-temperature,49,degC,good\n";
	static const enum leat_truth after[] = { LEAT_FALSE, LEAT_FALSE, LEAT_TRUE, LEAT_FALSE };
	struct leat_gate *gate = leat_gate_compile(LEAT_SPAN("oil-temperature > 50"), NULL);
	struct latest_of l;

	(void)state;
	assert_non_null(gate);
	latest_open(&l, later, NULL);
	for (size_t i = 0; i < 4; i++) {
		uint32_t asset;

		assert_true(latest_next(&l));
		asset = leat_names_get(leat_readings_assets(l.in), i == 0 ? LEAT_SPAN("NM") : LEAT_SPAN("NM/pump-a"));
		assert_int_equal(leat_gate_eval(gate, &l.current, asset, time_of("2025-11-03T04:03:00Z")), after[i]);
	}
	latest_close(&l);
	leat_gate_free(gate);
}

static void
test_faults(void **state)
{
	static const struct {
		const char *text, *error;
	} cases[] = {
		{ "", "an empty condition" },
		{ "  ", "an empty condition" },
		{ "state=", "a number or word is due at the end: 'state='" },
		{ "state=grinding &", "a point name is due at the end: 'state=grinding &'" },
		{ "state=grinding & )", "a point name is due at character 18: 'state=grinding & )'" },
		{ "(state=grinding", "')' or an operator is due at the end: '(state=grinding'" },
		{ "state=grinding)", "')' without its '(' at character 15: 'state=grinding)'" },
		{ "state grinding", "'&', '|' or the end is due at character 7: 'state grinding'" },
		{ "state==grinding", "one '=' too many at character 7: 'state==grinding'" },
		{ "t && f", "one '&' too many at character 4: 't && f'" },
		{ "t || f", "one '|' too many at character 4: 't || f'" },
		{ "40 < oil-temperature", "a point name is due on the left, not a number at character 1: "
		    "'40 < oil-temperature'" },
		{ "state>grinding", "a number is due (words are compared with = and != only) at character 7: "
		    "'state>grinding'" },
		{ "oil-temperature>40 degX", "unknown unit at character 20: 'oil-temperature>40 degX'" },
		{ "oil-temperature>40degX", "no number with a known unit at character 17: 'oil-temperature>40degX'" },
		{ "oil-temperature>40 bar", "a unit of another dimension than the point's at character 17: "
		    "'oil-temperature>40 bar'" },
		{ "pump-running=1 bar", "a unit for a point that has none at character 14: 'pump-running=1 bar'" },
		{ "pump-a:", "a point name is due after ':' at the end: 'pump-a:'" },
		{ "\xc3\xb6l>1 & ", "a point name is due at the end: '\xc3\xb6l>1 & '" },
		{ "\xc3\xb6l>1 & &", "one '&' too many at character 8: '\xc3\xb6l>1 & &'" },
		{ "<3", "a point name is due at character 1: '<3'" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_error err = { 0 };

		assert_null(leat_gate_compile(leat_span_of(cases[i].text), &err));
		unit_error(&err, cases[i].error);
	}
}

/* Brackets may go 64 deep, and a full stack gives the right value. */
static void
test_depth(void **state)
{
	struct leat_buf text = { 0 };
	struct leat_error err = { 0 };
	struct latest_of l;

	(void)state;
	latest_all(&l, rows, NULL);
	for (int depth = 64; depth <= 65; depth++) {
		leat_buf_reset(&text);
		for (int i = 0; i < depth; i++)
			assert_int_equal(leat_buf_printf(&text, "f | t & ("), 0);
		assert_int_equal(leat_buf_printf(&text, "f | t & t"), 0);
		for (int i = 0; i < depth; i++)
			assert_int_equal(leat_buf_printf(&text, ")"), 0);
		assert_int_equal(leat_buf_add(&text, "", 1), 0);
		if (depth == 64) {
			assert_int_equal(eval(&l, text.data, "NM", NOW), LEAT_TRUE);
			continue;
		}
		assert_null(leat_gate_compile(leat_span_of(text.data), &err));
		assert_string_equal(err.text, "more than 64 brackets and negations within each other at character 585");
	}
	latest_close(&l);
	leat_buf_free(&text);
}

static void
test_length(void **state)
{
	struct leat_buf text = { 0 };
	struct leat_error err = { 0 };

	(void)state;
	assert_int_equal(leat_buf_printf(&text, "t"), 0);
	while (text.len <= 4096)
		assert_int_equal(leat_buf_printf(&text, "&t"), 0);
	assert_null(leat_gate_compile(leat_buf_span(&text), &err));
	assert_string_equal(err.text, "a condition longer than 4096 bytes");
	leat_buf_free(&text);
}

/* Until when a value stays: the first operand that runs out, of those that are valid at all. */
static void
test_until(void **state)
{
	static const struct {
		const char *text, *until;
	} cases[] = {
		/* A pressure holds for 15 min, a temperature for an hour, a feed rate of two hours ago no more. */
		{ "pressure > 100", "2025-11-03T04:25:00Z" },
		{ "oil-temperature > 30", "2025-11-03T05:10:00Z" },
		{ "pressure > 100 & oil-temperature > 30", "2025-11-03T04:25:00Z" },
		{ "feed-rate > 100 | oil-temperature > 30", "2025-11-03T05:10:00Z" },
		{ "feed-rate > 100", NULL }, { "u", NULL }, { "head-pressure > 1", NULL }
	};
	struct latest_of l;

	(void)state;
	latest_all(&l, rows, NULL);
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_gate *gate = leat_gate_compile(leat_span_of(cases[i].text), NULL);
		struct leat_time until;

		assert_non_null(gate);
		until = leat_gate_until(gate, &l.current, leat_names_get(leat_readings_assets(l.in), LEAT_SPAN("NM")), time_of(NOW));
		if (cases[i].until == NULL ? !leat_time_is_none(until) : leat_time_cmp(until, time_of(cases[i].until)) != 0)
			fail_msg("%s", cases[i].text);
		leat_gate_free(gate);
	}
	latest_close(&l);
}

/* What is promised of a gate ends with each turn of what it looks at, and with nothing else. */
static void
test_watch(void **state)
{
	static const struct {
		const char *row;
		bool turn;
	} steps[] = {
		{ "2025-11-03T00:00:00Z,NM,state,grinding,,good\n", true },		/* a new series */
		{ "2025-11-03T00:01:00Z,NM,state,grinding,,good\n", false },
		{ "2025-11-03T00:02:00Z,NM,state,grinding,,uncertain\n", false },
		{ "2025-11-03T00:03:00Z,NM,pressure,120,bar,good\n", true },		/* might be nearer */
		{ "2025-11-03T00:04:00Z,NM,pressure,130,bar,good\n", false },
		{ "2025-11-03T00:05:00Z,NM,state,off,,good\n", true },
		{ "2025-11-03T00:06:00Z,NM,state,off,,bad\n", true },
		{ "2025-11-03T00:07:00Z,NM,state,off,,good\n", true },
		{ "2025-11-03T01:00:00Z,NM,state,off,,good\n", true }			/* after a silence of the mill */
	};
	struct leat_gate *gate = leat_gate_compile(LEAT_SPAN("state=grinding"), NULL);
	struct leat_gate *number = leat_gate_compile(LEAT_SPAN("state=grinding & pressure>100"), NULL);
	struct leat_time until = { INT64_MAX, 0 };
	struct leat_buf text = { 0 };
	struct latest_of l;
	uint32_t asset;

	(void)state;
	for (size_t i = 0; i < sizeof(steps) / sizeof(steps[0]); i++)
		assert_int_equal(leat_buf_printf(&text, "%s", steps[i].row), 0);
	latest_open(&l, text.data, NULL);
	for (size_t i = 0; i < sizeof(steps) / sizeof(steps[0]); i++) {
		size_t turns = l.current.turns;

		assert_true(latest_next(&l));
		if ((l.current.turns != turns) != steps[i].turn)
			fail_msg("%s", steps[i].row);
		asset = leat_names_get(leat_readings_assets(l.in), LEAT_SPAN("NM"));
		assert_true(leat_gate_watch(gate, &l.current, asset, l.last.time, &until));
		/* A state holds until changed, but only so long after a bad reading. */
		assert_true((until.sec != INT64_MAX) == (i >= 6));
	}
	assert_false(leat_gate_watch(number, &l.current, asset, l.last.time, &until));
	leat_gate_free(gate);
	leat_gate_free(number);
	leat_buf_free(&text);
	latest_close(&l);
}

static void
test_operands(void **state)
{
	static const struct {
		const char *child, *point, *word, *unit;
		bool is_switch_word, is_number;
	} want[] = {
		{ "", "state", "grinding", NULL, false, false },
		{ "pump-a", "pump-running", "ON", NULL, true, false },
		{ "", "oil-temperature", "", "degC", false, true },
		{ "", "pressure", "", NULL, false, true },
		{ "", "charging", "", NULL, false, false }
	};
	struct leat_error err = { 0 };
	struct leat_gate *gate = leat_gate_compile(
	    LEAT_SPAN("state=grinding & (pump-a:pump-running=ON | oil-temperature>40degC) & !(pressure<5 | charging)"), &err);
	struct leat_gate_operand operand;

	(void)state;
	assert_non_null(gate);
	for (size_t i = 0; i < sizeof(want) / sizeof(want[0]); i++) {
		assert_true(leat_gate_operand(gate, i, &operand));
		unit_span(operand.child, want[i].child);
		unit_span(operand.point, want[i].point);
		unit_span(operand.word, want[i].word);
		assert_int_equal(operand.is_switch_word, want[i].is_switch_word);
		assert_int_equal(operand.is_number, want[i].is_number);
		assert_int_equal(operand.unit != NULL, want[i].unit != NULL);
		if (want[i].unit != NULL)
			assert_string_equal(operand.unit->name, want[i].unit);
	}
	assert_false(leat_gate_operand(gate, sizeof(want) / sizeof(want[0]), &operand));
	leat_gate_free(gate);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_kleene),
		cmocka_unit_test(test_values),
		cmocka_unit_test(test_memory),
		cmocka_unit_test(test_faults),
		cmocka_unit_test(test_depth),
		cmocka_unit_test(test_length),
		cmocka_unit_test(test_until),
		cmocka_unit_test(test_watch),
		cmocka_unit_test(test_operands)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
