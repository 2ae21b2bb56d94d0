/*
 * The simulator of works: a model of the machine of its own, faults with a known truth, and exports in foreign forms.
 * What both of its works share: random numbers and the clock.
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

/* From sec (Unix time) on, until the end of the run or the given end, something is so. */
struct sim_span {
	int64_t from, to;
};

/* Local clock of the invented works: UTC+1, summer time by the European rule (last Sundays of March and October, at
 * 01:00 UTC; Directive 2000/84/EC). */
int sim_east(int64_t sec);
struct sim_clock {
	int year, month, day, hour, minute, second;
};
struct sim_clock sim_clock_utc(int64_t sec);
struct sim_clock sim_local(int64_t sec);
int64_t sim_utc(int year, int month, int day, int hour, int minute);	/* of that local time, the first if it is twice */

#endif
