/*
 * Pumps that wear or stay sound, 400 days of 2025 and 2026, read every ten minutes of four hours of the day, as a travelling
 * recorder would.
 *
 * The clearance of a worn pump grows evenly with its running hours, so that the slot flow grows as a cube; of some it
 * grows faster from a day on.  Oil, season, weather, stops, noise and the slow error of the meter differ from pump to
 * pump.  truth.csv says when the drain flow at 160 bar and 50 degC reached twice its value at the beginning.
 */
#include <inttypes.h>
#include <math.h>
#include <stdlib.h>

#include "files.h"
#include "pumps.h"
#include "sim.h"

#define PI 3.14159265358979323846
#define DAYS 400
#define DAY_S 86400
#define BEGIN 1735689600		/* 2025-01-01 in UTC */
#define RECORD_FROM (8 * 3600)
#define RECORD_TO (12 * 3600)
#define STEP_S 600
#define PUMP_BAR 160.0

struct pump {
	struct sim_random random;
	double control_lpm, slot_new, root, per_hour, faster;
	int worn_from, faster_from;	/* days; DAYS: never */
	double tank_c, meter, bleed_error;
	int stopped_until;		/* day */
	int64_t alert, alarm;		/* 0: not reached */
};

/* ISO VG 46 by ASTM D341, in mm2/s. */
static double
viscosity(double celsius)
{
	return pow(10, pow(10, 9.41799 - 3.68444 * log10(celsius + 273.15))) - 0.7;
}

static double
reference_lpm(const struct pump *p)
{
	return p->control_lpm + p->root * p->root * p->root;
}

static void
pump_new(struct pump *p, uint64_t seed, int number)
{
	double days, end;

	p->random.state = seed * 7919u + (uint64_t)number * 104729u;
	p->control_lpm = 0.4 + 0.2 * sim_uniform(&p->random);
	p->slot_new = 0.9 + 0.8 * sim_uniform(&p->random);
	p->root = cbrt(p->slot_new);
	p->meter = p->per_hour = 0;
	p->worn_from = p->faster_from = DAYS;
	p->faster = 1;
	p->stopped_until = 0;
	p->alert = p->alarm = 0;
	/* Two of three wear: twice the drain flow after so many days of it. */
	if (number % 3 == 0)
		return;
	p->worn_from = 60 + (int)(140 * sim_uniform(&p->random));
	days = 80 + 240 * sim_uniform(&p->random);
	end = cbrt(p->slot_new + reference_lpm(p));
	p->per_hour = (end - p->root) / (days * 24 * 0.82);
	if (number % 3 == 2 && sim_uniform(&p->random) < 0.5) {
		p->faster_from = p->worn_from + (int)(0.4 * days);
		p->faster = 1.5 + sim_uniform(&p->random);
	}
}

static void
row(FILE *file, int64_t sec, int number, const char *point, const char *value, const char *unit)
{
	struct sim_clock c = sim_clock_utc(sec);

	fprintf(file, "%04d-%02d-%02dT%02d:%02d:%02dZ,P%03d%s,%s,%s,good\n", c.year, c.month, c.day, c.hour, c.minute,
	    c.second, number, point, value, unit);
}

static void
read_pump(FILE *file, struct pump *p, int number, int64_t sec, bool running)
{
	double drain_c = p->tank_c + 0.059 * PUMP_BAR, flow = 0;
	char text[32], *end;

	if (running)
		flow = p->control_lpm + p->root * p->root * p->root * viscosity(50) / viscosity(drain_c);
	flow = running ? flow * (1 + p->meter) + 0.06 * sim_normal(&p->random) : 0;
	row(file, sec, number, "/pump-a,pump-running", running ? "on" : "off", "");
	end = put_number(text, flow > 0 ? flow : 0, 2, '.');
	*end = '\0';
	row(file, sec, number, "/pump-a,drain-flow", text, "L/min");
	end = put_number(text, p->tank_c + 0.15 * sim_normal(&p->random), 1, '.');
	*end = '\0';
	row(file, sec, number, ",oil-temperature", text, "degC");
}

/* The day's weather and meter, and what the day wears off. */
static void
pump_day(struct pump *p, int day)
{
	double hours = day < p->stopped_until ? 0 : 24;
	double season = -cos(2 * PI * (day / 365.25 - 0.055));

	p->meter = 0.9 * p->meter + 0.006 * sim_normal(&p->random);
	p->tank_c = 49 + 4 * season + 1.5 * sim_normal(&p->random);
	if (day >= p->stopped_until && sim_uniform(&p->random) < 0.055)
		p->stopped_until = day + 1 + (int)(6 * sim_uniform(&p->random));
	if (day >= p->worn_from)
		p->root += p->per_hour * hours * (day >= p->faster_from ? p->faster : 1);
}

static void
note_limits(struct pump *p, int day)
{
	double fresh = p->control_lpm + p->slot_new;

	if (p->alert == 0 && reference_lpm(p) >= 1.5 * fresh)
		p->alert = BEGIN + (int64_t)day * DAY_S;
	if (p->alarm == 0 && reference_lpm(p) >= 2 * fresh)
		p->alarm = BEGIN + (int64_t)day * DAY_S;
}

static void
write_date(FILE *file, int64_t sec)
{
	struct sim_clock c = sim_clock_utc(sec);

	if (sec == 0)
		fputc(',', file);
	else
		fprintf(file, ",%04d-%02d-%02dT%02d:%02d:%02dZ", c.year, c.month, c.day, c.hour, c.minute, c.second);
}

static void
write_tables(const char *folder, const struct pump *pump, int count)
{
	FILE *plate = file_create(folder, "nameplate.csv"), *truth = file_create(folder, "truth.csv");

	fputs("asset,property,value,unit,source\n,zone,UTC,,works\n", plate);
	fputs("pump,worn_from,faster_from,alert,alarm\n", truth);
	for (int i = 0; i < count; i++) {
		const struct pump *p = &pump[i];

		/* The bleed as a fit would give it, within 10 %. */
		fprintf(plate, "P%03d,oil-viscosity-40,46,mm2/s,\nP%03d,oil-viscosity-100,6.8,mm2/s,\n", i, i);
		fprintf(plate, "P%03d/pump-a,rated-flow,41,L/min,\nP%03d/pump-a,reference-pressure,160,bar,\n", i, i);
		fprintf(plate, "P%03d/pump-a,compensator-pressure,160,bar,\nP%03d/pump-a,reference-temperature,50,degC,\n", i, i);
		fprintf(plate, "P%03d/pump-a,control-bleed,%.2f,L/min,fit\n", i, p->control_lpm * (1 + p->bleed_error));
		fprintf(truth, "P%03d", i);
		write_date(truth, p->worn_from < DAYS ? BEGIN + (int64_t)p->worn_from * DAY_S : 0);
		write_date(truth, p->faster_from < DAYS ? BEGIN + (int64_t)p->faster_from * DAY_S : 0);
		write_date(truth, p->alert);
		write_date(truth, p->alarm);
		fputc('\n', truth);
	}
	file_finish(plate);
	file_finish(truth);
}

void
pumps_write(const char *folder, int count, uint64_t seed)
{
	FILE *file = file_create(folder, "pumps.csv");
	struct pump *pump = calloc((size_t)count, sizeof(*pump));

	if (pump == NULL) {
		fputs("simulate: out of memory\n", stderr);
		exit(2);
	}
	for (int i = 0; i < count; i++) {
		pump_new(&pump[i], seed, i);
		pump[i].bleed_error = 0.2 * (sim_uniform(&pump[i].random) - 0.5);
	}
	fputs("time,asset,point,value,unit,quality\n", file);
	for (int day = 0; day < DAYS; day++) {
		for (int i = 0; i < count; i++) {
			pump_day(&pump[i], day);
			note_limits(&pump[i], day);
		}
		for (int64_t at = RECORD_FROM; at <= RECORD_TO; at += STEP_S)
			for (int i = 0; i < count; i++)
				read_pump(file, &pump[i], i, BEGIN + (int64_t)day * DAY_S + at, day >= pump[i].stopped_until);
	}
	file_finish(file);
	write_tables(folder, pump, count);
	free(pump);
}
