/*
 * Thirteen months of an invented works with the mills NM, MM and SM, 2025-01-01 to 2026-01-31 in its local time.
 *
 * plan.c and faults.c say beforehand what befalls the mills; condition.c says how worn, leaking or dirty what is at a time;
 * machine.c runs a mill through it minute by minute; instruments.c reads it; the others write files.
 * Seed 1 has the dates and sizes that the documentation of the demo gives; any other seed moves them.
 */
#ifndef WORKS_H
#define WORKS_H

#include "charge.h"
#include "sim.h"

#define DAY_S 86400
#define MILLS 3
enum { NM, MM, SM };
#define SHELLS 6
#define STOPS 400
#define OUTAGES 6
#define SHELLS_L 300.0
#define PRECHARGE_BAR 75.0
#define COMPENSATOR_BAR 160.0
#define PUMP_LPM 41.0

/* A fault: when it begins and is put right, how large it is.  What the dates and the size mean stands beside each. */
struct faults {
	struct { int64_t from, faster, changed; double per_hour, factor; } wear;	/* NM pump A: cube root of the slot flow */
	struct { int64_t from, topped, renewed, reading[2]; double month; } gas;	/* MM accumulator 4: share lost a month */
	struct { int64_t from, middle, set; double leak_lpm, bore_mm; } seal;		/* SM cylinder 2: leakage when worn out */
	struct { int64_t from, to, cleaned, claimed; double share; } fouling;		/* NM, MM cooler: share of UA left */
	struct { int64_t from, to; double days; } ingress;				/* SM element life in days */
	struct { int64_t from, changed; double dp_bar; } collapse;			/* NM element */
	struct { int64_t from, isolated, dried; double ppm_day, free_l; } tube;	/* MM cooler tube: water */
	struct { struct sim_span when; double celsius; } frozen;			/* SM tank thermometer */
	struct { struct sim_span when; double bar; } drift;				/* NM pressure transmitter, at the end */
	struct { int64_t from, logged; double factor; } meter;			/* MM drain flow in other units */
	struct { struct sim_span when; double kelvin, period_s; } hunting;		/* SM thermostat */
	struct { int64_t from; double above_bar, lpm; } weep;				/* NM relief valve: leakage 2 bar above */
	struct { struct sim_span when; double bar; } low_set;				/* SM set point */
	struct { int64_t at; double litres, share; } wrong_oil;			/* MM: viscosity grows by the share */
	struct sim_span missing_rounds;						/* NM */
	int64_t doubled_export;							/* a day of SM that is exported twice */
	int64_t loaded_gauge;								/* NM precharge read under load */
	/* What looks like a fault and is none. */
	int64_t cold_morning[2];							/* MM, SM: end of a cold stop */
	struct { struct sim_span when; double bar; } trial;				/* NM set point raised */
	struct sim_span standby;							/* MM runs on pump B */
	int64_t dirty_valve;								/* NM: the first bottle of that sample */
};

/* What one mill is. */
struct mill {
	const char *name;
	double set_bar, control_lpm, slot_lpm, slot_b_lpm, leak_lpm, ua, dp_clean, heat_kw, lost_l_per_day;
	struct sim_span stop[STOPS];
	bool planned[STOPS];
	int stops;
	struct sim_span outage[OUTAGES];
};

#define ENTRIES 600
struct entry {
	int64_t sec;
	char asset[24], event[24], task[32], point[24], found[16], left[16], unit[12], item[16], who[8], note[96];
};

struct works {
	uint64_t seed;
	int64_t begin, end;
	double precharge_density;	/* of nitrogen at the precharge and 20 degC, mol/L */
	struct faults faults;
	struct mill mill[MILLS];
	struct entry entry[ENTRIES];
	int entries;
};

/* One mill as it runs. */
struct machine {
	const struct mill *mill;
	int number;			/* NM, MM or SM */
	struct sim_random random;
	struct charge charge;
	int stop;			/* the stop that goes on or comes next */
	bool mill_on, pump_on, pressing, bleeding;
	double set_bar, tank_c, wall_c, cooler_in_c, cooler_out_c, water_in_c, water_out_c;
	double slot_root;		/* cube root of the slot flow of pump A, L/min */
	double loading;			/* logarithm of the loading of the element */
	double loading_per_h;
	double oil_l;			/* at 20 degC, with what the accumulators hold */
	double leak_lpm, drain_lpm, drain_c, pump_bar, dp_bar;
	double bed_bar, slow_mm;
	struct charge_switches switches;	/* of the last minute */
};

/* The signals of one mill, in the order of the exports. */
enum works_signal {
	W_PGR, W_PSP, W_PHD, W_PPO, W_QDR, W_TDR, W_TTK, W_TCI, W_TCO, W_TWI, W_TWO, W_TAM, W_DPF, W_LTK,
	W_VCH, W_PMP, W_PMB, W_MIL, W_MKW, W_TPH, W_VIB,
	W_SIGNALS
};
struct works_column {
	const char *name, *unit;	/* the degree sign in Windows-1252 */
	int decimals;
	bool is_switch;
	double deadband;
};
extern const struct works_column works_columns[W_SIGNALS];

/* plan.c: everything that is settled before the first minute. */
void works_plan(struct works *w, uint64_t seed);
void faults_plan(struct works *w, struct sim_random *random);
bool within(const struct sim_span *s, int64_t sec);

/* condition.c: how things stand at a time. */
double weather_ambient(const struct works *w, int64_t sec);
double weather_water(const struct works *w, int64_t sec);
double condition_set(const struct works *w, int mill, int64_t sec);
double condition_leak(const struct works *w, int mill, int64_t sec);		/* at set pressure and 48 degC, L/min */
double condition_shell(const struct works *w, int mill, int shell, int64_t sec);	/* share of the gas that is left */
double condition_ua(const struct works *w, int mill, int64_t sec);		/* kW/K */
double condition_viscosity(const struct works *w, int mill, int64_t sec, double celsius);
double condition_water_ppm(const struct works *w, int mill, int64_t sec);
double condition_free_water(const struct works *w, int mill, int64_t sec);	/* at the bottom of the tank, L */
double condition_offset(const struct works *w, int mill, int64_t sec);		/* of the pressure transmitter, bar */
double condition_hall(const struct works *w, int64_t sec);

/* machine.c */
void machine_start(struct machine *m, const struct works *w, int mill);
/* Sets what begins at sec, before the instruments are read; then runs the minute.  Work on the machine is logged. */
void machine_begin(struct machine *m, const struct works *w, int64_t sec);
void machine_run(struct machine *m, struct works *w, int64_t sec);
double machine_level(const struct machine *m, const struct works *w, int64_t sec);	/* mm */

/* instruments.c */
void instruments_read(struct machine *m, const struct works *w, int64_t sec, double value[W_SIGNALS]);

/* logbook.c: work that no machine reports, and the sheet. */
struct entry *log_add(struct works *w, int64_t sec, const char *asset, const char *event, const char *task, const char *note);
void log_value(struct entry *e, const char *point, double found, double left, int decimals, const char *unit);
void logbook_plan(struct works *w);
void logbook_write(struct works *w, const char *folder);

/* The other files. */
void truth_write(const struct works *w, const char *folder);
void stops_write(const struct works *w, const char *folder);
void laboratory_write(const struct works *w, const char *folder, const struct sim_span *days);

#endif
