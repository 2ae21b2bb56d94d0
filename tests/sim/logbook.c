/*
 * The logbook of the works: what its people wrote, which is not always what they did.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "files.h"
#include "gas.h"
#include "works.h"

struct entry *
log_add(struct works *w, int64_t sec, const char *asset, const char *event, const char *task, const char *note)
{
	static const char *const people[] = { "ab", "kt", "mr", "sl" };
	struct entry *e = &w->entry[w->entries < ENTRIES ? w->entries++ : ENTRIES - 1];

	*e = (struct entry){ .sec = sec };
	snprintf(e->asset, sizeof(e->asset), "%s", asset);
	snprintf(e->event, sizeof(e->event), "%s", event);
	snprintf(e->task, sizeof(e->task), "%s", task);
	snprintf(e->who, sizeof(e->who), "%s", people[(sec / 3600) % 4]);
	snprintf(e->note, sizeof(e->note), "%s", note);
	return e;
}

void
log_value(struct entry *e, const char *point, double found, double left, int decimals, const char *unit)
{
	snprintf(e->point, sizeof(e->point), "%s", point);
	if (!isnan(found))
		snprintf(e->found, sizeof(e->found), "%.*f", decimals, found);
	if (!isnan(left))
		snprintf(e->left, sizeof(e->left), "%.*f", decimals, left);
	snprintf(e->unit, sizeof(e->unit), "%s", unit);
}

/* The gauge reading of a shell with no oil in it, at its temperature. */
static double
gauge(const struct works *w, int mill, int shell, int64_t sec, double celsius)
{
	double density = w->precharge_density * condition_shell(w, mill, shell, sec);

	return gas_exact(density, celsius + 273.15).p_bar - CHARGE_ATM_BAR;
}

/* What a pyrometer shows two hours after the stop. */
static double
shell_temperature(const struct works *w, int64_t sec)
{
	double hall = condition_hall(w, sec);

	return floor(hall + 2.5 + 0.35 * (46 - hall));
}

/* Gas pressure and shell temperature of all accumulators of a mill. */
static void
gas_check(struct works *w, int mill, int64_t sec, const char *note)
{
	double celsius = shell_temperature(w, sec);
	struct sim_random r = { w->seed + (uint64_t)sec };

	for (int i = 0; i < SHELLS; i++) {
		char asset[24];
		struct entry *e;

		snprintf(asset, sizeof(asset), "%s/accu-%d", w->mill[mill].name, i + 1);
		e = log_add(w, sec + 120 * i, asset, "gas-reading", "gas-check", note);
		log_value(e, "gas-temperature", celsius, NAN, 0, "degC");
		e = log_add(w, sec + 120 * i, asset, "gas-reading", "gas-check", note);
		log_value(e, "gas-pressure", gauge(w, mill, i, sec, celsius) + 0.15 * sim_normal(&r), NAN, 1, "bar");
	}
}

static void
gas_fill(struct works *w, int64_t sec, const char *note, const char *task)
{
	double celsius = shell_temperature(w, sec);
	struct entry *e = log_add(w, sec, "MM/accu-4", "gas-fill", task, note);

	log_value(e, "gas-pressure", gauge(w, MM, 3, sec - 3600, celsius), gauge(w, MM, 3, sec + 60, celsius), 1, "bar");
	e = log_add(w, sec, "MM/accu-4", "gas-reading", task, note);
	log_value(e, "gas-temperature", celsius, NAN, 0, "degC");
}

static void
gas_work(struct works *w)
{
	const struct faults *f = &w->faults;
	struct entry *e;

	gas_check(w, MM, f->gas.reading[0] - 7200, "");
	gas_check(w, MM, f->gas.reading[1] - 7200, "accu 4 low again");
	gas_fill(w, f->gas.topped, "topped up", "gas-fill");
	gas_fill(w, f->gas.renewed, "valve core renewed and filled", "gas-fill");
	for (int mill = 0; mill < MILLS; mill++) {
		int64_t last = w->begin - 60 * DAY_S;

		for (int i = 0; i < w->mill[mill].stops; i++) {
			int64_t from = w->mill[mill].stop[i].from + 7200;

			/* About every eleven weeks; at NM the check of the spring is missed. */
			if (!w->mill[mill].planned[i] || from < last + 75 * DAY_S ||
			    (mill == MM && from > f->gas.from - 10 * DAY_S && from < f->gas.renewed + 30 * DAY_S) ||
			    (mill == NM && from > sim_utc(2025, 3, 25, 0, 0) && from < sim_utc(2025, 7, 1, 0, 0)))
				continue;
			gas_check(w, mill, from, "");
			last = from;
		}
	}
	e = log_add(w, f->loaded_gauge, "NM/accu-2", "gas-reading", "gas-check", "mill running");
	log_value(e, "gas-pressure", 121, NAN, 0, "bar");
}

static void
oil_work(struct works *w)
{
	const struct faults *f = &w->faults;
	struct entry *e = log_add(w, f->wear.changed, "NM/pump-a", "pump-change", "change-pump", "drain flow too high");

	snprintf(e->item, sizeof(e->item), "P-2217");
	e = log_add(w, f->seal.set, "SM/cyl-2", "seal-change", "change-seals", "seal set and scraper, bore measured warm");
	snprintf(e->item, sizeof(e->item), "Z-0458");
	e = log_add(w, f->seal.set + 1800, "SM/cyl-2/plane-2/x", "note", "measure-bore",
	    "bore at 41 degC, ring gauge at 20 degC");
	log_value(e, "bore-diameter", 320 + f->seal.bore_mm + 11.5e-6 * 320 * 21, NAN, 3, "mm");
	e = log_add(w, f->seal.set + 1800, "SM/cyl-2", "note", "measure-bore", "ring gauge");
	log_value(e, "ring-temperature", 20, NAN, 0, "degC");
	e = log_add(w, f->seal.set + 1800, "SM/cyl-2", "note", "measure-bore", "bore");
	log_value(e, "oil-temperature", 41, NAN, 0, "degC");
	log_add(w, f->fouling.cleaned, "NM/cooler", "cleaning", "clean-cooler", "water side cleaned");
	log_add(w, f->fouling.claimed, "MM/cooler", "cleaning", "clean-cooler", "water side cleaned");
	e = log_add(w, f->tube.isolated, "MM", "drained", "drain-water", "water at the bottom, cooler tube plugged");
	log_value(e, "drained", NAN, f->tube.free_l, 0, "L");
	log_add(w, f->tube.dried, "MM", "cleaning", "dry-oil", "dehydrator taken away");
	e = log_add(w, f->meter.logged, "MM/pump-a", "meter-change", "change-meter", "drain meter was changed a week ago");
	log_value(e, "drain-flow", NAN, NAN, 0, "");
	e = log_add(w, f->drift.when.to, "NM", "meter-change", "calibrate", "pressure transmitter replaced");
	log_value(e, "pressure", NAN, NAN, 0, "");
	for (int mill = 0; mill < MILLS; mill++)
		for (int month = 0; month < 13; month++) {
			int year = 2025 + month / 12, number = month % 12 + 1;

			if (number > 3 && number < 11)
				continue;
			e = log_add(w, sim_utc(year, number, 20, 9, 0), w->mill[mill].name, "drained", "drain-water", "condensate");
			log_value(e, "drained", NAN, 1.5, 1, "L");
		}
}

/* The monthly samples at two points, and the one out of turn, which is no monthly one. */
static void
samples(struct works *w)
{
	static const char *const points[] = { "sample-return", "sample-off-line" };

	for (int mill = 0; mill < MILLS; mill++)
		for (int month = -1; month < 14; month++)
			for (int i = 0; i < 2; i++) {
				int64_t sec = month < 13 ? sim_utc(2025 + (month + 12) / 12 - 1, (month + 12) % 12 + 1, 12, 9, 30 + 5 * mill) :
				    w->faults.tube.isolated - 1800;
				char asset[32];

				if (month == 13 && mill != MM)
					continue;
				snprintf(asset, sizeof(asset), "%s/%s", w->mill[mill].name, points[i]);
				log_add(w, sec, asset, "sampling", month < 13 ? "sample-oil" : "", month < 13 ? "" : "out of turn");
			}
}

/* Hoses are looked at at every third planned stop, rods and seals at every second; the hoses were renewed before the year. */
static void
inspections(struct works *w)
{
	for (int mill = 0; mill < MILLS; mill++) {
		const struct mill *m = &w->mill[mill];
		int64_t hoses = 0, seals = 0;

		log_add(w, w->begin - 50 * DAY_S + 36000, m->name, "note", "renew-hoses", "all hoses of the mill");
		for (int i = 0; i < m->stops; i++) {
			int64_t from = m->stop[i].from + 10800;

			if (!m->planned[i])
				continue;
			/* As was done at the last stop before the year. */
			if (hoses == 0) {
				hoses = seals = from - 42 * DAY_S;
				log_add(w, hoses, m->name, "note", "inspect-hoses", "nothing found");
				log_add(w, seals, m->name, "note", "inspect-seals", "rods dry");
			}
			if (from >= hoses + 120 * DAY_S) {
				log_add(w, from, m->name, "note", "inspect-hoses", "nothing found");
				hoses = from;
			}
			if (from >= seals + 80 * DAY_S) {
				log_add(w, from + 3600, m->name, "note", "inspect-seals", "rods dry");
				seals = from;
			}
		}
	}
}

/* What has to be done at intervals, and was: the relief valve of SM and the breather of MM are not among it. */
static void
intervals(struct works *w)
{
	struct entry *e;

	log_add(w, sim_utc(2025, 5, 20, 11, 0), "NM/relief", "note", "test-relief", "opens at 180 bar");
	log_add(w, sim_utc(2025, 6, 17, 11, 0), "MM/relief", "note", "test-relief", "opens at 181 bar");
	log_add(w, w->begin - 52 * DAY_S + 36000, "SM/relief", "note", "test-relief", "opens at 180 bar");
	for (int mill = 0; mill < MILLS; mill++)
		if (mill != MM) {
			char asset[24];

			snprintf(asset, sizeof(asset), "%s/breather", w->mill[mill].name);
			log_add(w, sim_utc(2025, 4, 9, 10, 0), asset, "filter-change", "change-breather", "");
			log_add(w, sim_utc(2025, 10, 8, 10, 0), asset, "filter-change", "change-breather", "");
		}
	e = log_add(w, w->faults.trial.when.from, "NM", "pressure-setting", "", "trial of two days");
	log_value(e, "pressure-setpoint", w->mill[NM].set_bar, w->faults.trial.bar, 0, "bar");
	e = log_add(w, w->faults.trial.when.to, "NM", "pressure-setting", "", "");
	log_value(e, "pressure-setpoint", w->faults.trial.bar, w->mill[NM].set_bar, 0, "bar");
	log_add(w, w->faults.standby.from, "MM/pump-b", "note", "change-over", "pump B on duty");
	log_add(w, w->faults.standby.to, "MM/pump-a", "note", "change-over", "pump A on duty again");
}

void
logbook_plan(struct works *w)
{
	gas_work(w);
	oil_work(w);
	intervals(w);
	samples(w);
	inspections(w);
}

static int
by_time(const void *a, const void *b)
{
	const struct entry *x = a, *y = b;
	int by_asset = strcmp(x->asset, y->asset);

	return x->sec != y->sec ? (x->sec < y->sec ? -1 : 1) : by_asset != 0 ? by_asset : strcmp(x->point, y->point);
}

void
logbook_write(struct works *w, const char *folder)
{
	FILE *file = file_create(folder, "logbook.csv");

	qsort(w->entry, (size_t)w->entries, sizeof(w->entry[0]), by_time);
	fprintf(file, "time,asset,event,task,point,found,left,unit,item,who,note\n");
	for (int i = 0; i < w->entries; i++) {
		const struct entry *e = &w->entry[i];
		struct sim_clock c = sim_local(e->sec);

		if (e->sec >= w->end)
			continue;
		fprintf(file, "%04d-%02d-%02d %02d:%02d,%s,%s,%s,%s,%s,%s,%s,%s,%s,", c.year, c.month, c.day, c.hour, c.minute,
		    e->asset, e->event, e->task, e->point, e->found, e->left, e->unit, e->item, e->who);
		fprintf(file, strchr(e->note, ',') != NULL ? "\"%s\"\n" : "%s\n", e->note);
	}
	file_finish(file);
}
