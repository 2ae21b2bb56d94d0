/*
 * The thirty days of the demo works: a small model with an ideal gas, for exports whose faults show in limits alone.
 */
#ifndef DEMO_H
#define DEMO_H

#include "sim.h"

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

/* Writes the thirty days below a folder; ends the program when it cannot. */
void demo_write(const char *folder);

#endif
