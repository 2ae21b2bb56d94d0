/*
 * Leakage and gas of each mill of a stream, from its charging cycles, its holding tests and its stops: lib/physics/leakage.h
 * fed with readings, the nameplate and the logbook.
 *
 * A mill is an asset with 'pressure'.  Its charging valve (or, where none is read, its pumps that start and stop) tells the
 * cycles; a whole cycle goes from one opening to the next.  It counts while the mill grinds or holds its pressure, at one
 * set point, all inputs known, and only where the switching times are known well enough: a valve that is read once a minute
 * and opens for 15 s tells nothing, and is refused.  Nothing looks into the future: the day's values are written at its end,
 * those of a holding test or a stop when that is over.
 *
 * Memory: 128 bytes for each cycle of a day and mill, and about 50 kB a mill.
 */
#ifndef LEAT_DERIVE_LEAKAGE_H
#define LEAT_DERIVE_LEAKAGE_H

#include "derive/bank_loss.h"
#include "physics/oil.h"
#include "stream/mills.h"
#include "stream/nameplate.h"
#include "upkeep/logbook.h"

/* Why a cycle is refused; the first that applies. */
enum leat_leak_reason {
	LEAT_LEAK_STATE,	/* the mill did not grind or hold its pressure all the time */
	LEAT_LEAK_GAP,		/* charging, state or pressure not known for a while */
	LEAT_LEAK_SETPOINT,	/* the set point moved */
	LEAT_LEAK_UNCERTAIN,	/* a reading of that quality */
	LEAT_LEAK_WARMING,	/* too soon after the mill began to grind: the shells still warm up, which hides leakage */
	LEAT_LEAK_SHORT,	/* switching times not known well enough */
	LEAT_LEAK_PUMP,		/* no pump is known to run, or its flow is not known */
	LEAT_LEAK_HEAT,		/* the oil temperature is read and was not known */
	LEAT_LEAK_ODD,		/* far from the other cycles of the day: a charge is missing from the list */
	LEAT_LEAK_ADMITTED	/* not refused; also the number of reasons */
};

/* What the nameplate says of a mill.  NaN: not given. */
struct leat_leak_plate {
	double set_bar, above_bar, below_bar, lag_s, air_bara;
	double precharge_bar, shells, shell_l, tank_m2, pressed_oil_l;
	double reference_c, reference_mm2_s;	/* of the viscosity; the latter NaN: no oil given */
	double least_s, least_percent, settled_s;
	double fresh_40_mm2_s, fresh_100_mm2_s;
	struct leat_oil fresh;
	struct leat_time until;			/* LEAT_TIME_NONE: for good */
};

/* An admitted cycle. */
struct leat_leak_cycle {
	double on_s, cycle_s, pump_lpm, leakage_lpm;
	double doubt_s;			/* how well its switching times are known */
	double bar, temp_c, viscosity_mm2_s;	/* means; NaN: not known, or not corrected for */
	double reference_lpm;			/* the leakage at reference pressure and viscosity */
	double rise_bar, middle_bar, n;		/* rise by this in on_s about that pressure; NaN: not known */
	double amount_mol;			/* of the gas, by the filling; NaN: not known */
	double fall_bar_min, fall_weight;	/* late fall of the pressure; weight 0: not known ... */
	double fall_bar;		/* ... about this pressure */
	double drop_bar, drop_weight;	/* by which it settled after the filling, by the late fall; weight 0: not known ... */
	double settling_bar;		/* ... and what the cooling gas explains of that */
};

/* Sums of a straight line. */
struct leat_leak_line {
	long n;
	double x, y, xx, xy;
};

struct leat_leak_day {
	struct leat_leak_cycle *cycle;
	size_t cycles, cap;
	long refused[LEAT_LEAK_ADMITTED];
	double grinding_s, hold_s, watched_s;	/* watched: of both, charging known */
	long openings;				/* while grinding */
	double counted_s;			/* grinding with charging known */
	int common_s;				/* all edges of the day lie on multiples of this; 0: none seen yet ... */
	int64_t edge_first;			/* ... the first of them */
	long edges;
	double starts, starts_s;		/* by a counter, and the grinding in which it counted them */
	double drain_lpm;			/* the last that was taken off the pump's flow; NaN: none */
};

#define LEAT_LEAK_EARLY_DAYS 95		/* that are kept for the early outflow */

/* The oil that flowed out early after the fillings of a day, and what leaked. */
struct leat_leak_early {
	struct leat_time at;
	double l, weight;			/* l NaN: not known */
	double lpm, cycle_min;			/* at reference; NaN: not known */
};

/* A pump of a mill. */
struct leat_leak_pump {
	struct leat_span asset;
	uint32_t running, drain;		/* series; LEAT_NAME_NONE: none */
	double drain_lpm, slow_lpm;		/* at reference viscosity, smoothed over an hour, and 300 of them; NaN: none yet */
	double day_lpm;				/* the same over a day, of all that was read ... */
	bool fell;				/* ... which tells a meter that fell away and has not come back */
	double pump_bar;			/* smoothed likewise; NaN: not read */
	struct leat_time drain_at;
};

/* The cycle that is running. */
struct leat_leak_run {
	int phase;				/* 0: none; 1: open; 2: shut */
	struct leat_time opened, shut, last;
	double doubt_s;				/* how well the worst edge is known */
	bool broken[LEAT_LEAK_ADMITTED];
	double bar_s, bar_known_s, heat_s, heat_known_s, setpoint_bar;
	struct leat_leak_line rise, fall, bent;	/* bent: of one over the square of the pressure, like fall */
	double rise_bar_sum;
	size_t pump;				/* that ran; SIZE_MAX: the mill's own plate */
	bool pump_known;
};

#define LEAT_LEAK_SAMPLES 1024

/* A holding test that is running. */
struct leat_leak_hold {
	bool on;
	struct leat_time from;
	size_t n, stride, skip;
	double minute[LEAT_LEAK_SAMPLES], bar[LEAT_LEAK_SAMPLES], temp_c[LEAT_LEAK_SAMPLES];
	bool uncertain;
	bool by_shell;				/* temperatures are those of the shells */
};

#define LEAT_LEAK_BLEED 512

/* The pressure while oil is let off, the newest last. */
struct leat_leak_bleed {
	size_t n;
	struct leat_time from;			/* the first; times are seconds from there */
	double time_s[LEAT_LEAK_BLEED], bar[LEAT_LEAK_BLEED];
	bool done;				/* this bleed-down has been looked at */
	double coarse_s;			/* steps of the last that was too coarse; 0: none */
};

#define LEAT_LEAK_PARTS 15		/* that are shut off in tests of a mill */
#define LEAT_LEAK_TESTS 32		/* that are kept */

/* Holding tests of a mill with parts shut off, the newest last. */
struct leat_leak_tests {
	struct {
		struct leat_time at;
		uint32_t shut;			/* by number of the part */
		double lpm;
		enum leat_quality quality;
	} test[LEAT_LEAK_TESTS];
	size_t tests;
	struct leat_span part[LEAT_LEAK_PARTS];	/* their names, owned by the logbook */
	size_t parts;
};

/* The tank before and during a stop. */
struct leat_leak_stop {
	struct leat_time grinding_since, before_at;	/* LEAT_TIME_NONE: not grinding */
	double before_l, before_bar, before_c;		/* smoothed over an hour of grinding */
	double before_s;				/* how long it has been smoothed */
	bool off;
	struct leat_time off_since;
	double off_l, off_c;
	long off_n;
};

struct leat_leak_mill {
	bool begun, has_switch;
	long restarts;				/* openings while grinding after a while of standing */
	struct leat_leak_plate plate;
	struct leat_oil oil;
	double lab_mm2_s;
	struct leat_time lab_time;
	bool oil_due;				/* oil must be set by both */
	struct leat_leak_pump *pump;
	size_t pumps, pump_cap;
	size_t resolved;			/* current.seen when pumps were looked up */
	struct leat_time last;			/* looked at last */
	int state;				/* enum leat_leak_state of leakage_private.h */
	struct leat_time state_lost, charge_lost;	/* LEAT_TIME_NONE: known */
	int charge;				/* 1, 0, or -1: not known; the last that was known is */
	int charge_before;
	double bar, temp_c, gas_c, setpoint_bar;	/* NaN: not known */
	bool uncertain;
	/* The rhythm of the switch's rows. */
	struct leat_time row_last, repeat_at;
	bool row_repeated;
	double repeat_s;
	int repeat_votes;
	bool exact;				/* it has moved off the steps of its rows */
	bool told_pump, told_gas;		/* what lacks has been told */
	bool gas_told;				/* its fillings have told the gas, or may */
	struct leat_leak_run run;
	struct leat_time settled_from;		/* the gas has settled from then on */
	struct leat_leak_hold hold;
	struct leat_leak_stop stop;
	struct leat_leak_bleed bleed;
	double knee_mol;			/* of the last knee; NaN: none yet */
	struct leat_time knee_time;
	struct leat_leak_day day;
	double amount_mol;			/* of the last day that told one; NaN: none yet, or gas was filled in */
	bool gas_filled;			/* since the mill ground last */
	struct leat_time amount_time;
	struct leat_leak_tests tests;
	struct leat_leak_early early[LEAT_LEAK_EARLY_DAYS];	/* the newest last */
	size_t early_days;
	struct leat_bank_loss by_filling, by_level;
	struct leat_time loss_since;		/* the gas or what tells it was changed last; LEAT_TIME_NONE: never */
	/* A counter of openings: what it showed last, and the grinding since, and for how long nobody knew what the mill did. */
	double counter, counter_s, counter_lost_s;
	struct leat_time counter_at;
	size_t next_entry, next_line_up, next_loss;	/* of the logbook */
	struct leat_span line_up;		/* parts that are shut off, as logged */
};

/* Private: what a series is. */
struct leat_leak_series {
	uint8_t role;
};

struct leat_leaks {
	/* The user sets these before leat_leaks_init; all are borrowed. */
	struct leat_readings *in;
	const struct leat_nameplate *np;
	const struct leat_points *points;
	const struct leat_logbook *book;
	struct leat_out *out;			/* takes the rows or explanations */
	bool explain;
	struct leat_span what;			/* explain this mill or point only: "NM", "NM/gas-compliance"; empty: all */
	void (*warn)(const char *text);		/* is told of what the user should mend; may be NULL */

	/* What was done. */
	long long replaced, added, days, tests, stops;
	size_t charged;				/* mills with a charging valve or pumps */

	/* Private. */
	struct leat_current current;
	struct leat_mills mills;
	struct leat_leak_mill *own;		/* by number of the mill */
	size_t own_cap;
	struct leat_leak_series *series;
	size_t series_cap;
	const struct leat_unit *bar_unit, *lpm, *degc, *mm, *mm2_s, *one;
	struct leat_time last;			/* of the rows taken last, or LEAT_TIME_NONE */
	struct leat_time day_start, day_end;
};

void leat_leaks_init(struct leat_leaks *leaks);

/* Takes a reading in, after writing the rows that belong before it.  1: the reading stays in the stream; 0: it is one that
 * is made here, and must be left out; -1 with err: out of memory, or a unit of another dimension. */
int leat_leaks_take(struct leat_leaks *leaks, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* At the end of the stream: writes the days that end up to the last reading, or up to now where that is later and not
 * LEAT_TIME_NONE.  0, or -1 with err. */
int leat_leaks_end(struct leat_leaks *leaks, struct leat_time now, struct leat_error *err) LEAT_MUST_USE;

void leat_leaks_free(struct leat_leaks *leaks);

#endif
