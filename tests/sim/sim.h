/*
 * The simulator of works: a model of the machine of its own, faults with a known truth, and exports in foreign forms.
 *
 * It links nothing of lib/, so that a test of leat against its data is no circle.  All is deterministic: equal seeds give
 * equal bytes wherever the mathematical library rounds alike.
 *
 * The works are invented.  Machine data: three double-acting cylinders, six 50 L bladder accumulators, a pump of 41 L/min,
 * 1200 L tank, ISO VG 46 oil.
 */
#ifndef SIM_H
#define SIM_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

/* SplitMix64 (Steele, Lea, Flood 2014), public domain construction; one stream for each use. */
struct sim_random {
	uint64_t state;
};

double sim_uniform(struct sim_random *r);			/* 0 <= u < 1 */
double sim_normal(struct sim_random *r);			/* mean 0, standard deviation 1 */

/* The signals of one mill at one minute, in the order of the exports. */
enum sim_signal {
	SIM_PGR, SIM_PSP, SIM_PHD, SIM_QDR, SIM_TTK, SIM_TCI, SIM_TCO, SIM_TWI, SIM_TWO,
	SIM_DPF, SIM_LTK, SIM_VCH, SIM_PMP, SIM_MIL, SIM_MKW, SIM_TPH, SIM_VIB,
	SIM_SIGNALS
};

struct sim_column {
	const char *name;	/* "PGR" */
	const char *unit;
	int decimals;		/* as the historian writes it; 0 with is_switch for states */
	bool is_switch;
	double deadband;	/* of the compressing historian */
};
extern const struct sim_column sim_columns[SIM_SIGNALS];

/* From sec (Unix time) on, until the end of the run or the given end, something is so. */
struct sim_span {
	int64_t from, to;
};

/* One mill: what it is, what befalls it, and where it stands. */
struct sim_mill {
	const char *name;
	double set_point;		/* bar gauge */
	double leak;			/* internal leakage at 125 bar and 50 degC, L/min */
	struct sim_span stop[16];	/* drive and pump off */
	int stops;
	struct sim_span hot[4];		/* cooling water short: share of the cooler's conductance left */
	double hot_share[4];
	int hots;
	struct sim_span frozen;		/* tank thermometer gives one value only */
	double dp_clean;		/* bar at 50 degC with a new element */
	double dp_growth_per_day;	/* share of the clean value */
	int64_t element_new;

	/* State. */
	struct sim_random random;
	double p_bar, gas_c, tank_c, bed;
	double frozen_c;
	bool charging;
	double value[SIM_SIGNALS];
};

/* Brings a mill to its state at sec; call once before stepping. */
void sim_mill_start(struct sim_mill *m, int64_t sec, uint64_t seed);
/* Goes on by one minute, which begins at sec, and fills value[]. */
void sim_mill_minute(struct sim_mill *m, int64_t sec);

/* Local clock of the invented works: UTC+1, summer time by the European rule (last Sundays of March and October, at
 * 01:00 UTC; Directive 2000/84/EC). */
int sim_east(int64_t sec);
struct sim_clock {
	int year, month, day, hour, minute, second;
};
struct sim_clock sim_local(int64_t sec);
int64_t sim_utc(int year, int month, int day, int hour, int minute);	/* of that local time, the first if it is twice */

/* Exports: one file a day and mill.  cut: the file ends in the middle of a line of that minute; 0: whole. */
enum sim_form {
	SIM_WIDE_POINT,		/* comma, decimal point, ISO local stamps, UTF-8 with BOM, CRLF, preamble */
	SIM_WIDE_COMMA,		/* semicolon, decimal comma, dotted dates, Windows-1252, unit row */
	SIM_LONG_QUALITY	/* compressed, tag/time/value/quality, month first with AM and PM */
};
struct sim_export {
	FILE *file;
	enum sim_form form;
	const struct sim_mill *mill;
	bool due[SIM_SIGNALS];
	double last[SIM_SIGNALS];
	int64_t last_sec[SIM_SIGNALS];
	struct sim_random random;
};
void sim_export_begin(struct sim_export *x);
void sim_export_minute(struct sim_export *x, int64_t sec);
void sim_export_cut(struct sim_export *x);

#endif
