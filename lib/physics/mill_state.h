/*
 * The operating state of a mill's hydraulics, derived from its readings.
 *
 * The rules and their numbers are common practice of the trade.  In the order in which they are asked:
 *
 *	unknown		an input that decides is missing, bad or stale: always the pressure and the drive
 *	run-up		drive on and pressure above half the set point, for less than the run-up time
 *	grinding	the same for at least the run-up time, whatever the pump does meanwhile
 *	off		pump off and pressure below 5 bar
 *	pump-up		charging valve open and pump not off; or, where no valve is known to be shut, from a start of the
 *			pump until the pressure reaches the upper switching point, 30 min at the longest
 *	hold		pump off or charging valve shut, and pressure above 1.1 times the precharge at gas temperature
 *	no-load		none of these: pump on with the rollers raised or the drive off, or a pressure on its way down
 *
 * The drive is on by its running switch; where there is none, by its power above 20 % of the rated power.
 */
#ifndef LEAT_PHYSICS_MILL_STATE_H
#define LEAT_PHYSICS_MILL_STATE_H

#include "base/instant.h"

enum leat_mill_state {
	LEAT_MILL_UNKNOWN,
	LEAT_MILL_OFF,
	LEAT_MILL_NO_LOAD,
	LEAT_MILL_PUMP_UP,
	LEAT_MILL_RUN_UP,
	LEAT_MILL_GRINDING,
	LEAT_MILL_HOLD
};

/* "unknown", "off", "no-load", "pump-up", "run-up", "grinding", "hold". */
const char *leat_mill_state_name(enum leat_mill_state state);

#define LEAT_MILL_OFF_BELOW_BAR 5.0	/* gauge */
#define LEAT_MILL_DRIVE_SHARE 0.2	/* of the rated power */
#define LEAT_MILL_GRINDING_SHARE 0.5	/* of the set point */
#define LEAT_MILL_HOLD_SHARE 1.1	/* of the precharge at gas temperature */
#define LEAT_MILL_TOLERANCE_BAR 3.0	/* pressure tolerance where none is given: this or ... */
#define LEAT_MILL_TOLERANCE_SHARE 0.03	/* ... this share of the set point, the larger */
#define LEAT_MILL_PUMP_UP_MAX_S 1800.0	/* a start of the pump counts no longer than this */

enum leat_mill_switch {
	LEAT_MILL_ABSENT,	/* there is no such signal */
	LEAT_MILL_LOST,		/* there is one, but its value is missing, bad or stale */
	LEAT_MILL_SWITCH_OFF,
	LEAT_MILL_SWITCH_ON
};

/* What is known at one instant.  A number that is missing, bad, stale or not given is NaN.  Pressures are bar
 * gauge. */
struct leat_mill_inputs {
	struct leat_time now;
	double pressure_bar;
	double setpoint_bar;		/* the set point read, else the agreed set pressure */
	double tolerance_bar;		/* upper switching point less set point; NaN: the usual */
	enum leat_mill_switch drive;	/* its running switch */
	double power_kw, rated_power_kw; /* looked at where drive is absent */
	enum leat_mill_switch pump;	/* on when any of several is */
	enum leat_mill_switch charging;	/* charging valve: on is open */
	double precharge_bar;		/* at 20 degC; NaN: half the set point serves for the hold rule */
	double gas_c;			/* degC, estimated by the oil; NaN: 20 degC; held within -20..90 degC */
	double air_bara;		/* pressure of the air */
	double run_up_s;		/* at least 0 */
};

/* What must be remembered from one instant to the next. */
struct leat_mill_memory {
	struct leat_time both_since;	/* drive on and pressure up; LEAT_TIME_NONE: not now */
	struct leat_time lost_since;	/* within that time, since when it cannot be told; LEAT_TIME_NONE: it can */
	struct leat_time pump_start;	/* a start of the pump that still counts; LEAT_TIME_NONE: none */
	bool pump_known, pump_on;	/* the last that was known of the pump */
};

void leat_mill_memory_init(struct leat_mill_memory *memory);

enum leat_mill_reason {
	LEAT_MILL_NO_PRESSURE,		/* the reasons for unknown, by what is lacking */
	LEAT_MILL_NO_DRIVE,		/* the running switch is lost */
	LEAT_MILL_NO_POWER,		/* no running switch, and no power either */
	LEAT_MILL_NO_RATED_POWER,
	LEAT_MILL_NO_SETPOINT,
	LEAT_MILL_NO_PUMP,		/* the pump's switch is lost */
	LEAT_MILL_NO_VALVE,		/* the charging valve's switch is lost */
	LEAT_MILL_BOTH_HOLD,		/* run-up, grinding */
	LEAT_MILL_NO_OIL_PRESSURE,	/* off */
	LEAT_MILL_VALVE_OPEN,		/* pump-up */
	LEAT_MILL_PUMP_STARTED,		/* pump-up */
	LEAT_MILL_SHUT_IN,		/* hold */
	LEAT_MILL_NONE_OF_THESE		/* no-load */
};

struct leat_mill_result {
	enum leat_mill_state state;
	enum leat_mill_reason reason;
	double limit_bar;		/* the pressure that decided was compared with this; NaN: none was */
	double precharge_bar;		/* at gas temperature, where the hold rule used it, else NaN */
	struct leat_time since;		/* both_since or pump_start where the reason has one, else LEAT_TIME_NONE */
	struct leat_time next;		/* when the state changes by itself if the inputs stay; LEAT_TIME_NONE: never */
};

/* One instant.  Instants must not go back.  A spell of unknown that is no longer than the run-up time does not
 * interrupt grinding: the run-up begins anew after a longer one. */
void leat_mill_state_step(struct leat_mill_memory *memory, const struct leat_mill_inputs *in,
    struct leat_mill_result *out);

#define LEAT_MILL_WORDS_MAX 1024	/* bytes that hold any explanation, with its NUL */

/* The rule that decided, with its numbers, for a person to follow: "drive on, pressure 124.3 bar above 62.5 bar
 * (0.5 of set point 125.0 bar), for 3 min of 10 min run-up".  Ends in NUL; dst has LEAT_MILL_WORDS_MAX bytes. */
void leat_mill_state_words(char *dst, const struct leat_mill_inputs *in, const struct leat_mill_result *result);

#endif
