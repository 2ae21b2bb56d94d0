/*
 * The gas spring and its charging valve: a bank of accumulators at one gas temperature, oil that leaks away and a pump
 * that brings it back between two switching points.
 *
 * Energy balance of the gas: n cv dT = -T (dp/dT)_V dV + n cv (T_wall - T) / lag dt.
 */
#ifndef CHARGE_H
#define CHARGE_H

#include <stdbool.h>

#define CHARGE_ATM_BAR 1.01325
#define CHARGE_SWITCHES 16

struct charge {
	double shells_l;	/* gas volume with no oil, L */
	double mol;		/* nitrogen in all shells */
	double lag_s;		/* thermal lag of the gas */
	double wall_k;		/* temperature of the shells */
	double volume_l;	/* of the gas */
	double kelvin;		/* of the gas */
	double since_s;		/* since the valve last switched */
	bool open;
};

/* It opens at the low pressure and shuts at the high one. */
struct charge_valve {
	double pump_lpm;	/* while open */
	double leak_lpm;	/* all the time */
	double low_bar, high_bar;
};

/* What happened to the valve within a call of charge_run. */
struct charge_switches {
	int count;
	struct {
		double at_s;	/* from the begin of the call; -1: before it */
		bool open;
	} one[CHARGE_SWITCHES];
};

/* Gauge pressure, bar; 0 when the shells hold no oil. */
double charge_pressure(const struct charge *c);
/* Gas volume at a gauge pressure and temperature, and the isothermal compliance there, L/bar. */
double charge_volume(const struct charge *c, double p_bar, double kelvin);
double charge_compliance(const struct charge *c, double p_bar, double kelvin);
/* Lets oil flow into the shells (negative: out of them) for a while at one rate; stops where they are empty. */
void charge_flow(struct charge *c, double lpm, double seconds);
/* Runs the valve between its pressures for some seconds, or until it switches; returns the seconds run. */
double charge_to_switch(struct charge *c, double seconds, const struct charge_valve *valve);
/* The same for all of the seconds, with what the valve did. */
void charge_run(struct charge *c, double seconds, const struct charge_valve *valve, struct charge_switches *switches);

#endif
