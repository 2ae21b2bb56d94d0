/* The operating state of a mill.  The rules and their numbers are common practice of the trade. */
#include "unit.h"

#include <math.h>

#include "physics/mill_state.h"

#define MINUTE 60
#define AIR_BARA 1.01325

/* A mill standing cold and depressurised, with every signal there. */
static struct leat_mill_inputs
standing(void)
{
	return (struct leat_mill_inputs){
		.now = { 1000000, 0 }, .pressure_bar = 0.4, .setpoint_bar = 125, .tolerance_bar = NAN,
		.drive = LEAT_MILL_SWITCH_OFF, .power_kw = NAN, .rated_power_kw = NAN, .pump = LEAT_MILL_SWITCH_OFF,
		.charging = LEAT_MILL_SWITCH_OFF, .precharge_bar = 75, .gas_c = 20, .air_bara = AIR_BARA, .run_up_s = 600
	};
}

static void
expect(const char *name, const struct leat_mill_result *result, enum leat_mill_state state)
{
	if (result->state == state)
		return;
	print_error("%s: %s, expected %s\n", name, leat_mill_state_name(result->state), leat_mill_state_name(state));
	fail();
}

static struct leat_mill_result
step(struct leat_mill_memory *memory, struct leat_mill_inputs *in, int minutes)
{
	struct leat_mill_result result;

	in->now.sec += minutes * MINUTE;
	leat_mill_state_step(memory, in, &result);
	return result;
}

#define ON LEAT_MILL_SWITCH_ON
#define OFF LEAT_MILL_SWITCH_OFF
#define LOST LEAT_MILL_LOST
#define ABSENT LEAT_MILL_ABSENT

/* One instant without a past: every rule, and every lack. */
static void
single_instants(void **state)
{
	static const struct {
		const char *name;
		double pressure_bar, setpoint_bar;
		enum leat_mill_switch drive, pump, charging;
		double power_kw, rated_power_kw, precharge_bar, gas_c;
		enum leat_mill_state want;
		enum leat_mill_reason reason;
	} row[] = {
		{ "depressurised", .4, 125, OFF, OFF, OFF, NAN, NAN, 75, 20, LEAT_MILL_OFF, LEAT_MILL_NO_OIL_PRESSURE },
		{ "off at just under 5 bar", 4.99, 125, OFF, OFF, OFF, NAN, NAN, 75, 20, LEAT_MILL_OFF, LEAT_MILL_NO_OIL_PRESSURE },
		{ "not off at 5 bar", 5, 125, OFF, OFF, OFF, NAN, NAN, 75, 20, LEAT_MILL_NO_LOAD, LEAT_MILL_NONE_OF_THESE },
		{ "pump on without pressure", .4, 125, OFF, ON, OFF, NAN, NAN, 75, 20, LEAT_MILL_NO_LOAD, LEAT_MILL_NONE_OF_THESE },
		{ "no pump signal, no pressure", .4, 125, OFF, ABSENT, ABSENT, NAN, NAN, 75, 20, LEAT_MILL_OFF,
		    LEAT_MILL_NO_OIL_PRESSURE },
		{ "pump signal lost, no pressure", .4, 125, OFF, LOST, OFF, NAN, NAN, 75, 20, LEAT_MILL_UNKNOWN, LEAT_MILL_NO_PUMP },
		{ "drive on without pressure, pump off", .4, 125, ON, OFF, OFF, NAN, NAN, 75, 20, LEAT_MILL_OFF,
		    LEAT_MILL_NO_OIL_PRESSURE },
		{ "drive on, half the set point is not above it", 62.5, 125, ON, ON, OFF, NAN, NAN, 75, 20, LEAT_MILL_NO_LOAD,
		    LEAT_MILL_NONE_OF_THESE },
		{ "drive on and pressed", 62.6, 125, ON, ON, OFF, NAN, NAN, 75, 20, LEAT_MILL_RUN_UP, LEAT_MILL_BOTH_HOLD },
		{ "pressed by power", 120, 125, ABSENT, ON, OFF, 201, 1000, 75, 20, LEAT_MILL_RUN_UP, LEAT_MILL_BOTH_HOLD },
		{ "20 % of the power is not above it", 120, 125, ABSENT, ON, OFF, 200, 1000, 75, 20, LEAT_MILL_HOLD,
		    LEAT_MILL_SHUT_IN },
		{ "the running switch rules over the power", 120, 125, OFF, ON, ABSENT, 900, 1000, 75, 20, LEAT_MILL_NO_LOAD,
		    LEAT_MILL_NONE_OF_THESE },
		{ "held by a pump that stands", 120, 125, OFF, OFF, ABSENT, NAN, NAN, 75, 20, LEAT_MILL_HOLD, LEAT_MILL_SHUT_IN },
		{ "held by a shut valve", 120, 125, OFF, ON, OFF, NAN, NAN, 75, 20, LEAT_MILL_HOLD, LEAT_MILL_SHUT_IN },
		{ "held by a shut valve, pump lost", 120, 125, OFF, LOST, OFF, NAN, NAN, 75, 20, LEAT_MILL_HOLD, LEAT_MILL_SHUT_IN },
		{ "below 1.1 of the precharge", 82.4, 125, OFF, OFF, OFF, NAN, NAN, 75, 20, LEAT_MILL_NO_LOAD,
		    LEAT_MILL_NONE_OF_THESE },
		{ "above 1.1 of the precharge", 82.6, 125, OFF, OFF, OFF, NAN, NAN, 75, 20, LEAT_MILL_HOLD, LEAT_MILL_SHUT_IN },
		/* 75 bar at 20 degC is 83.55 bar at 48 degC, so the limit moves to 91.9 bar (Span et al. 2000). */
		{ "warm gas, below", 91.8, 125, OFF, OFF, OFF, NAN, NAN, 75, 48, LEAT_MILL_NO_LOAD, LEAT_MILL_NONE_OF_THESE },
		{ "warm gas, above", 92, 125, OFF, OFF, OFF, NAN, NAN, 75, 48, LEAT_MILL_HOLD, LEAT_MILL_SHUT_IN },
		{ "no gas temperature: as at 20 degC", 82.6, 125, OFF, OFF, OFF, NAN, NAN, 75, NAN, LEAT_MILL_HOLD,
		    LEAT_MILL_SHUT_IN },
		{ "no precharge: half the set point, below", 62.5, 125, OFF, OFF, OFF, NAN, NAN, NAN, 48, LEAT_MILL_NO_LOAD,
		    LEAT_MILL_NONE_OF_THESE },
		{ "no precharge: half the set point, above", 62.6, 125, OFF, OFF, OFF, NAN, NAN, NAN, 48, LEAT_MILL_HOLD,
		    LEAT_MILL_SHUT_IN },
		{ "neither precharge nor set point", 62.6, NAN, OFF, OFF, OFF, NAN, NAN, NAN, 48, LEAT_MILL_UNKNOWN,
		    LEAT_MILL_NO_SETPOINT },
		{ "neither pump nor valve signal: hold is not seen", 120, 125, OFF, ABSENT, ABSENT, NAN, NAN, 75, 20,
		    LEAT_MILL_NO_LOAD, LEAT_MILL_NONE_OF_THESE },
		{ "valve open", 100, 125, OFF, ON, ON, NAN, NAN, 75, 20, LEAT_MILL_PUMP_UP, LEAT_MILL_VALVE_OPEN },
		{ "valve open, no pump signal", 100, 125, OFF, ABSENT, ON, NAN, NAN, 75, 20, LEAT_MILL_PUMP_UP, LEAT_MILL_VALVE_OPEN },
		{ "valve open, drive on, not yet pressed", 40, 125, ON, ON, ON, NAN, NAN, 75, 20, LEAT_MILL_PUMP_UP,
		    LEAT_MILL_VALVE_OPEN },
		{ "valve open, pump off", 100, 125, OFF, OFF, ON, NAN, NAN, 75, 20, LEAT_MILL_HOLD, LEAT_MILL_SHUT_IN },
		{ "valve lost", 100, 125, OFF, ON, LOST, NAN, NAN, 75, 20, LEAT_MILL_UNKNOWN, LEAT_MILL_NO_VALVE },
		{ "pump lost", 100, 125, OFF, LOST, ABSENT, NAN, NAN, 75, 20, LEAT_MILL_UNKNOWN, LEAT_MILL_NO_PUMP },
		{ "no pressure", NAN, 125, ON, ON, ON, NAN, NAN, 75, 20, LEAT_MILL_UNKNOWN, LEAT_MILL_NO_PRESSURE },
		{ "drive lost", 120, 125, LOST, ON, ON, 900, 1000, 75, 20, LEAT_MILL_UNKNOWN, LEAT_MILL_NO_DRIVE },
		{ "no drive and no power", 120, 125, ABSENT, ON, ON, NAN, 1000, 75, 20, LEAT_MILL_UNKNOWN, LEAT_MILL_NO_POWER },
		{ "no rated power", 120, 125, ABSENT, ON, ON, 900, NAN, 75, 20, LEAT_MILL_UNKNOWN, LEAT_MILL_NO_RATED_POWER },
		{ "drive on, no set point", 120, NAN, ON, ON, OFF, NAN, NAN, 75, 20, LEAT_MILL_UNKNOWN, LEAT_MILL_NO_SETPOINT },
		{ "off needs no set point", .4, NAN, OFF, OFF, OFF, NAN, NAN, NAN, 20, LEAT_MILL_OFF, LEAT_MILL_NO_OIL_PRESSURE },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(row) / sizeof(row[0]); i++) {
		struct leat_mill_inputs in = standing();
		struct leat_mill_memory memory;
		struct leat_mill_result result;
		char words[LEAT_MILL_WORDS_MAX];

		leat_mill_memory_init(&memory);
		in.pressure_bar = row[i].pressure_bar;
		in.setpoint_bar = row[i].setpoint_bar;
		in.drive = row[i].drive;
		in.pump = row[i].pump;
		in.charging = row[i].charging;
		in.power_kw = row[i].power_kw;
		in.rated_power_kw = row[i].rated_power_kw;
		in.precharge_bar = row[i].precharge_bar;
		in.gas_c = row[i].gas_c;
		result = step(&memory, &in, 0);
		expect(row[i].name, &result, row[i].want);
		if (result.reason != row[i].reason) {
			print_error("%s: reason %d, expected %d\n", row[i].name, result.reason, row[i].reason);
			fail();
		}
		leat_mill_state_words(words, &in, &result);
		assert_true(words[0] != '\0');
		assert_null(strstr(words, "nan"));
	}
}

/* Ten minutes of run-up, measured in time whatever the steps; a pump-up in grinding stays grinding. */
static void
run_up_and_grinding(void **state)
{
	(void)state;
	for (int minutes = 1; minutes <= 10; minutes++) {
		struct leat_mill_inputs in = standing();
		struct leat_mill_memory memory;
		struct leat_mill_result result;

		leat_mill_memory_init(&memory);
		in.drive = in.pump = ON;
		in.pressure_bar = 120;
		result = step(&memory, &in, 0);
		expect("begin", &result, LEAT_MILL_RUN_UP);
		assert_int_equal(result.next.sec, in.now.sec + 600);
		for (int passed = minutes; passed < 10; passed += minutes) {
			result = step(&memory, &in, minutes);
			expect("on the way", &result, LEAT_MILL_RUN_UP);
		}
		in.now = result.next;
		result = step(&memory, &in, 0);
		expect("at its end", &result, LEAT_MILL_GRINDING);
		in.charging = ON;
		result = step(&memory, &in, 1);
		expect("pump-up in grinding", &result, LEAT_MILL_GRINDING);
		in.charging = OFF;
		in.drive = OFF;
		result = step(&memory, &in, 1);
		expect("stopped", &result, LEAT_MILL_HOLD);
		in.drive = ON;
		result = step(&memory, &in, 1);
		expect("run-up begins anew", &result, LEAT_MILL_RUN_UP);
	}
}

/* A short loss of a signal does not send a grinding mill back to run-up; a long one does. */
static void
lost_signal_in_grinding(void **state)
{
	static const struct {
		int minutes;
		enum leat_mill_state after;
	} row[] = { { 1, LEAT_MILL_GRINDING }, { 10, LEAT_MILL_GRINDING }, { 11, LEAT_MILL_RUN_UP } };

	(void)state;
	for (size_t i = 0; i < sizeof(row) / sizeof(row[0]); i++) {
		struct leat_mill_inputs in = standing();
		struct leat_mill_memory memory;
		struct leat_mill_result result;

		leat_mill_memory_init(&memory);
		in.drive = in.pump = ON;
		in.pressure_bar = 120;
		step(&memory, &in, 0);
		result = step(&memory, &in, 10);
		expect("grinding", &result, LEAT_MILL_GRINDING);
		in.pressure_bar = NAN;
		result = step(&memory, &in, 1);
		expect("lost", &result, LEAT_MILL_UNKNOWN);
		in.pressure_bar = 120;
		result = step(&memory, &in, row[i].minutes);
		expect("back", &result, row[i].after);
	}
}

/* From the start of the pump to the upper switching point, 30 min at the longest. */
static void
pump_start(void **state)
{
	struct leat_mill_inputs in = standing();
	struct leat_mill_memory memory;
	struct leat_mill_result result;

	(void)state;
	leat_mill_memory_init(&memory);
	in.charging = ABSENT;
	in.pump = ON;
	result = step(&memory, &in, 0);
	expect("a pump first seen running has not started", &result, LEAT_MILL_NO_LOAD);
	in.pump = OFF;
	result = step(&memory, &in, 1);
	expect("stopped", &result, LEAT_MILL_OFF);
	in.pump = ON;
	result = step(&memory, &in, 1);
	expect("started", &result, LEAT_MILL_PUMP_UP);
	in.pressure_bar = 128.7;
	result = step(&memory, &in, 1);
	expect("below 125 + 3 % bar", &result, LEAT_MILL_PUMP_UP);
	in.pressure_bar = 128.75;
	result = step(&memory, &in, 1);
	expect("at the upper switching point", &result, LEAT_MILL_NO_LOAD);
	in.pressure_bar = 120;
	result = step(&memory, &in, 1);
	expect("does not come back by itself", &result, LEAT_MILL_NO_LOAD);
	in.pump = OFF;
	step(&memory, &in, 1);
	in.pump = ON;
	in.tolerance_bar = 5;
	in.pressure_bar = 129.9;
	result = step(&memory, &in, 1);
	expect("own tolerance", &result, LEAT_MILL_PUMP_UP);
	result = step(&memory, &in, 29);
	expect("29 min on", &result, LEAT_MILL_PUMP_UP);
	result = step(&memory, &in, 1);
	expect("30 min on", &result, LEAT_MILL_NO_LOAD);
}

/* Without a set point a pump-up cannot be told; it is over after 30 min all the same, and that moment is given. */
static void
pump_start_without_set_point(void **state)
{
	struct leat_mill_inputs in = standing();
	struct leat_mill_memory memory;
	struct leat_mill_result result;

	(void)state;
	leat_mill_memory_init(&memory);
	in.charging = ABSENT;
	in.setpoint_bar = NAN;
	step(&memory, &in, 0);
	in.pump = ON;
	in.pressure_bar = 60;
	result = step(&memory, &in, 1);
	expect("started", &result, LEAT_MILL_UNKNOWN);
	assert_int_equal(result.next.sec, in.now.sec + 1800);
	result = step(&memory, &in, 30);
	expect("over", &result, LEAT_MILL_NO_LOAD);
}

/* A shut valve contradicts a pump-up; an open one makes it. */
static void
pump_start_with_valve(void **state)
{
	struct leat_mill_inputs in = standing();
	struct leat_mill_memory memory;
	struct leat_mill_result result;

	(void)state;
	leat_mill_memory_init(&memory);
	step(&memory, &in, 0);
	in.pump = ON;
	result = step(&memory, &in, 1);
	expect("valve shut", &result, LEAT_MILL_NO_LOAD);
	in.charging = ON;
	result = step(&memory, &in, 1);
	expect("valve open", &result, LEAT_MILL_PUMP_UP);
	in.charging = LOST;
	result = step(&memory, &in, 1);
	expect("valve lost after a start", &result, LEAT_MILL_PUMP_UP);
}

static void
words(void **state)
{
	struct leat_mill_inputs in = standing();
	struct leat_mill_memory memory;
	struct leat_mill_result result;
	char text[LEAT_MILL_WORDS_MAX];

	(void)state;
	leat_mill_memory_init(&memory);
	in.pressure_bar = 95;
	in.gas_c = 48;
	result = step(&memory, &in, 0);
	leat_mill_state_words(text, &in, &result);
	assert_string_equal(text, "mill-running off, pump off, charging valve shut, pressure 95.0 bar above 91.9 bar "
	    "(1.1 of precharge 83.6 bar at 48 degC)");
	in.drive = ABSENT;
	in.power_kw = 3000;
	in.rated_power_kw = 5000;
	step(&memory, &in, 0);
	result = step(&memory, &in, 12);
	leat_mill_state_words(text, &in, &result);
	assert_string_equal(text, "mill-power 3000 kW above 1000 kW (20 % of rated), pressure 95.0 bar above 62.5 bar (0.5 of "
	    "set point 125.0 bar), both for 12 min, at least the run-up of 10 min");
}

int
main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(single_instants), cmocka_unit_test(run_up_and_grinding),
		cmocka_unit_test(lost_signal_in_grinding), cmocka_unit_test(pump_start),
		cmocka_unit_test(pump_start_with_valve), cmocka_unit_test(pump_start_without_set_point),
		cmocka_unit_test(words),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
