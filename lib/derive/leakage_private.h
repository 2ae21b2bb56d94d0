/*
 * Between leakage.c (the stream and the flow of time), leakage_look.c (a mill at one instant), leakage_cycle.c (charging
 * cycles), leakage_day.c (what a day of them comes to), leakage_early.c (what flows out after fillings), leakage_loss.c (how
 * fast gas is lost), leakage_stop.c (holding tests, and the tank's level at stops),
 * leakage_line_up.c (which part leaks), leakage_knee.c, leakage_plate.c (what is known beside readings) and leakage_write.c
 * (results).
 */
#ifndef LEAT_DERIVE_LEAKAGE_PRIVATE_H
#define LEAT_DERIVE_LEAKAGE_PRIVATE_H

#include "derive/leakage.h"

enum {
	LEAT_LEAK_PRESSURE, LEAT_LEAK_SLOT_STATE, LEAT_LEAK_SET, LEAT_LEAK_TANK, LEAT_LEAK_CHARGING, LEAT_LEAK_LEVEL,
	LEAT_LEAK_GAS, LEAT_LEAK_COUNTER
};

enum leat_leak_state {
	LEAT_LEAK_UNKNOWN, LEAT_LEAK_OFF, LEAT_LEAK_OTHER, LEAT_LEAK_GRINDING, LEAT_LEAK_HOLD
};

extern const struct leat_mills_form leat_leak_form;

/* What an instant of a mill has.  Numbers are NaN where not known. */
struct leat_leak_instant {
	struct leat_time at;
	enum leat_leak_state state;
	int charge;				/* 1, 0, -1 */
	struct leat_time charge_row;		/* its row */
	bool charge_fresh;			/* which is of this instant */
	double bar, setpoint_bar, temp_c, gas_c, level_mm, counter;
	bool bar_fresh, level_fresh, counter_fresh;
	bool uncertain, heat_uncertain;		/* pressure, charging; a temperature */
	bool level_uncertain;
};

/* Looks at a mill at an instant after whose rows nothing more of it comes.  0, or -1 with err. */
int leat_leak_look(struct leat_leaks *leaks, struct leat_mill *mill, struct leat_time at, struct leat_time seen,
    struct leat_error *err);

/* A property of the nameplate as a number; NaN: not given. */
double leat_leak_number(const struct leat_leaks *leaks, struct leat_span asset, const char *property, struct leat_time at);

/* The nameplate of a mill; the oil after the last laboratory value. */
void leat_leak_read_plate(const struct leat_leaks *leaks, struct leat_leak_mill *own, struct leat_span mill,
    struct leat_time at);
void leat_leak_set_oil(const struct leat_leaks *leaks, struct leat_leak_mill *own, struct leat_span mill);

/* Looks up the pumps of a mill and their meters.  0, or -1 when memory is out. */
int leat_leak_pumps(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill);

/* Takes the drain flows of an instant.  0, or -1 with err. */
int leat_leak_take_drains(struct leat_leaks *leaks, struct leat_leak_mill *own, struct leat_time at, struct leat_time seen,
    struct leat_error *err);

/* What a pump delivers at a pressure, in L/min; NaN: not known.  *drain_lpm: what its drain takes of it, NaN: not known. */
double leat_leak_pump_flow(const struct leat_leaks *leaks, const struct leat_leak_mill *own, const struct leat_mill *mill,
    size_t pump, double bar, struct leat_time at, double *drain_lpm);

/* Follows the cycles.  0, or -1 when memory is out. */
int leat_leak_cycle(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_instant *now, struct leat_time seen);

/* Follows holding tests and stops, and writes their rows when they are over.  0, or -1 when memory is out. */
int leat_leak_stops(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_instant *now);

/* Follows the pressure while oil is let off, and looks for the knee when it is gone. */
void leat_leak_knee(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_instant *now);

/* Takes what a holding test found, with the parts that were shut off, and writes what all of them together tell of each
 * part. */
void leat_leak_locate(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill, struct leat_time at,
    double lpm, enum leat_quality quality);
/* Is a part whose name begins so shut off? */
bool leat_leak_is_shut(struct leat_span line_up, const char *part);

/* The compliance at the reference of a gas amount. */
double leat_leak_compliance(const struct leat_leak_mill *own, double amount_mol);
/* The leakage at reference pressure and viscosity; *viscosity NaN: not corrected for. */
double leat_leak_reference(const struct leat_leak_mill *own, double lpm, double bar, double temp_c, double *viscosity_mm2_s);
/* The gas as set, in mol; NaN: not given. */
double leat_leak_amount_as_set(const struct leat_leak_mill *own);

/* A late fall in bar/min that is less is none: of a pressure that stands still the rounding of its readings would tell a
 * leakage (common practice: 0.03 bar in half an hour is less than any transmitter tells). */
#define LEAT_LEAK_FALL_LEAST 0.001

/* What a day comes to. */
struct leat_leak_result {
	size_t cycles;
	double on_s, cycle_s, leakage_lpm, reference_lpm, error_lpm;
	double rate_bar_min, amount_mol, compliance, amount_error_mol;
	size_t filled;				/* cycles that tell the gas */
	double slope_bar_min, slope_compliance, slope_bar, slope_error;
	double late_lpm, late_reference_lpm, excess_percent, excess_error_percent;
	size_t slow;				/* cycles that tell the slope */
	double drop_bar, settling_bar, drop_error_bar; /* by which the pressure settled, and by which the gas explains it */
	double early_l, early_weight;		/* the oil of the rest; NaN: not known ... */
	size_t early;				/* ... by so many cycles */
	double bar, temp_c, viscosity_mm2_s;
	double frequency, duty, coverage;
	double resolvable_cycle_s, resolvable_on_s;
	enum leat_quality quality, gas_quality, frequency_quality, excess_quality;
	bool by_counter;			/* leakage and frequency are a counter's, with fillings of ... */
	double filling_l;			/* ... so much oil */
};

/* Takes a counter of openings. */
void leat_leak_count(struct leat_leak_mill *own, const struct leat_leak_instant *now);
/* What a counter of openings tells where no cycle counts: leakage of the gas that each filling takes.  False: nothing. */
bool leat_leak_by_counter(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    struct leat_leak_result *r);

/* Sums a day up; refuses odd cycles.  0, or -1 when memory is out. */
int leat_leak_sum_up(struct leat_leak_mill *own, struct leat_leak_result *result);

/* Writes the rows, or the explanation, of a mill's day, and empties it.  0, or -1 when memory is out. */
int leat_leak_write_day(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill);

/* Writes one row. */
void leat_leak_row(struct leat_leaks *leaks, struct leat_span asset, struct leat_time at, const char *point, double value,
    int decimals, const char *unit, enum leat_quality quality);

/* Is a point of the mill to be explained? */
bool leat_leak_asked(const struct leat_leaks *leaks, struct leat_span mill, const char *const *point, size_t points);
/* A line of an explanation. */
void leat_leak_line(struct leat_leaks *leaks, const char *label, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* The loss of the bank: takes what a stop told, whose oil left the bank from that time on; takes the day's gas, and writes
 * what both come to.  0, or -1 when memory is out. */
void leat_leak_note_level(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    struct leat_time from, struct leat_time at, double amount_mol);
int leat_leak_write_loss(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_result *r);

/* Takes the oil that flowed out early after the day's fillings, and writes what a month of it comes to. */
void leat_leak_write_early(struct leat_leaks *leaks, struct leat_leak_mill *own, const struct leat_mill *mill,
    const struct leat_leak_result *r);

#endif
