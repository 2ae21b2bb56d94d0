/*
 * The laboratory's sheets: each month a sample at the return line in two bottles and one behind the off-line filter.
 */
#include <math.h>
#include <stdlib.h>

#include "files.h"
#include "works.h"

enum { RETURN_1, RETURN_2, OFF_LINE, BOTTLES };
static const char *const bottle_name[BOTTLES] = { "RET.B1", "RET.B2", "OFF.B2" };

struct sample {
	const struct works *works;
	struct sim_random random;
	FILE *file;
	int mill, bottle, report;
	int64_t sec;
};

static void
row(struct sample *s, const char *what, double value, int decimals, const char *unit)
{
	struct sim_clock c = sim_local(s->sec);

	fprintf(s->file, "%s.%s.%s,", s->works->mill[s->mill].name, bottle_name[s->bottle], what);
	fprintf(s->file, "%04d-%02d-%02d %02d:%02d,%.*f,%s\n", c.year, c.month, c.day, c.hour, c.minute, decimals, value, unit);
}

static double
spread(struct sample *s, double share)
{
	return exp(share * sim_normal(&s->random));
}

/* Particles at 4 um and up in the return line, 1/mL: 18/15/12 or a code below. */
static double
particles(struct sample *s, double *filter_factor)
{
	const struct faults *f = &s->works->faults;
	double n = 1550 * spread(s, 0.25);

	*filter_factor = 2.6;
	if (s->mill == NM && s->sec >= f->collapse.from && s->sec < f->collapse.changed) {
		n *= 3;
		*filter_factor = 1.1;
	}
	if (s->mill == SM && s->sec >= f->ingress.from && s->sec < f->ingress.to + 10 * DAY_S)
		n *= 4;
	if (s->mill == NM && s->sec >= f->wear.faster && s->sec < f->wear.changed)
		n *= 1.6;
	return n;
}

static void
counts(struct sample *s, double n, double factor)
{
	if (s->bottle == OFF_LINE)
		n /= factor;
	/* What sits in a dirty sampling valve comes out with the first bottle. */
	if (s->bottle == RETURN_1)
		n *= s->mill == NM && llabs(s->sec - s->works->faults.dirty_valve) < 10 * DAY_S ? 9 : 1.15;
	row(s, "N4", n * spread(s, 0.05), 0, "1/ml");
	row(s, "N6", n * 0.15 * spread(s, 0.05), 0, "1/ml");
	row(s, "N14", n * 0.017 * spread(s, 0.08), 1, "1/ml");
}

static void
chemistry(struct sample *s)
{
	const struct works *w = s->works;
	const struct faults *f = &w->faults;
	double year = (double)(s->sec - w->begin) / 31556952;
	double iron = 12 + 4 * year, copper = 5 + year, chromium = 1, silicon = 6;
	bool wet = s->mill == MM && s->sec >= f->tube.from && s->sec < f->tube.dried + 10 * DAY_S;

	if (s->mill == NM && s->sec >= f->wear.from) {
		double days = (double)(s->sec - f->wear.from) / DAY_S, fast = (double)(s->sec - f->wear.faster) / DAY_S;

		iron += 0.04 * days + (fast > 0 ? 0.08 * fast : 0);
		copper += 0.05 * days + (fast > 0 ? 0.1 * fast : 0);
	}
	if (s->mill == SM) {
		double healthy = w->mill[SM].leak_lpm;
		double worn = (condition_leak(w, SM, s->sec) - healthy) / (f->seal.leak_lpm - healthy);

		iron += 14 * worn;
		chromium += 4 * worn;
		if (s->sec >= f->ingress.from && s->sec < f->ingress.to + 20 * DAY_S)
			silicon += 22;
	}
	row(s, "H2O", condition_water_ppm(w, s->mill, s->sec) * spread(s, 0.03), 0, "mg/kg");
	row(s, "V40", condition_viscosity(w, s->mill, s->sec, 40) * spread(s, 0.004), 1, "mm2/s");
	row(s, "V100", 6.8 * spread(s, 0.004), 2, "mm2/s");
	row(s, "AN", 0.45 + 0.12 * year + 0.015 * sim_normal(&s->random), 2, "mg KOH/g");
	row(s, "FE", iron * spread(s, 0.06), 0, "mg/kg");
	row(s, "CU", copper * spread(s, 0.06), 0, "mg/kg");
	row(s, "SN", 1.2 * spread(s, 0.1), 0, "mg/kg");
	row(s, "CR", chromium * spread(s, 0.1), 0, "mg/kg");
	row(s, "SI", silicon * spread(s, 0.08), 0, "mg/kg");
	row(s, "AL", silicon * 0.35 * spread(s, 0.1), 0, "mg/kg");
	row(s, "NA", (wet ? 14 : 2) * spread(s, 0.1), 0, "mg/kg");
	row(s, "ZN", 420 * (1 - 0.03 * year) * spread(s, 0.02), 0, "mg/kg");
}

static void
report(struct sample *s, uint64_t seed)
{
	double n, factor;

	s->random.state = seed;
	n = particles(s, &factor);
	for (s->bottle = 0; s->bottle < BOTTLES; s->bottle++) {
		counts(s, n, factor);
		if (s->bottle != RETURN_1)
			chemistry(s);
	}
}

static void
header(struct sample *s, const struct works *w, const char *folder, const char *name)
{
	s->works = w;
	s->file = file_create(folder, name);
	fputs("Sample,Taken,Result,Unit\n", s->file);
}

/* The codes of the sheet of one month went through a spreadsheet: 12/10/08 has become a date. */
static void
codes(const char *folder)
{
	FILE *file = file_create(folder, "lab_codes_2025-08.csv");

	fprintf(file, "Taken,NM.RET.B2.ISO,MM.RET.B2.ISO,SM.RET.B2.ISO,NM.NEW.ISO\n");
	fprintf(file, "2025-08-12 09:30,17/15/12,18/15/12,17/15/11,12.10.2008\n");
	file_finish(file);
}

void
laboratory_write(const struct works *w, const char *folder, const struct sim_span *days)
{
	for (int month = 0; month < 13; month++) {
		int year = 2025 + month / 12, number = month % 12 + 1;
		struct sample s = { 0 };
		char name[64];

		if (!within(days, sim_utc(year, number, 12, 9, 30)))
			continue;
		snprintf(name, sizeof(name), "lab_%04d-%02d.csv", year, number);
		header(&s, w, folder, name);
		for (s.mill = 0; s.mill < MILLS; s.mill++) {
			s.sec = sim_utc(year, number, 12, 9, 30 + 5 * s.mill);
			report(&s, w->seed * 17 + (uint64_t)(month * MILLS + s.mill));
		}
		/* A sample out of turn on the day after the water was found. */
		s.mill = MM;
		s.sec = w->faults.tube.isolated - 1800;
		if (sim_local(s.sec).month == number && sim_local(s.sec).year == year)
			report(&s, w->seed * 17 + 900);
		file_finish(s.file);
	}
	if (within(days, sim_utc(2025, 5, 12, 9, 30))) {
		/* The report of one bottle was issued again: its acid number was of another sample. */
		struct sample s = { .mill = SM, .bottle = RETURN_2, .sec = sim_utc(2025, 5, 12, 9, 40) };

		header(&s, w, folder, "lab_2025-05_revision-1.csv");
		row(&s, "AN", 0.52, 2, "mg KOH/g");
		file_finish(s.file);
	}
	if (within(days, sim_utc(2025, 8, 12, 9, 30)))
		codes(folder);
}
