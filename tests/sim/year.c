/*
 * Runs the mills through the thirteen months and writes everything.
 */
#include <stdlib.h>

#include "files.h"
#include "gas.h"
#include "history.h"
#include "rounds.h"
#include "works.h"
#include "year.h"

/* The state of a mill by the hour, for tests of what has to be found from the readings. */
static void
inside_row(FILE *file, const struct machine *m, const struct works *w, int64_t sec)
{
	double slot = m->slot_root * m->slot_root * m->slot_root;

	fprintf(file, "%lld,%s,%d,%.2f,%.2f,%.4f,%.3f,%.3f,%.4f,%.2f,%.1f\n", (long long)sec, m->mill->name, m->mill_on,
	    charge_pressure(&m->charge), m->tank_c, m->leak_lpm, m->mill->control_lpm + slot, m->charge.mol,
	    condition_ua(w, m->number, sec), m->dp_bar, machine_level(m, w, sec));
}

static void
run_mill(struct works *w, int mill, const char *folder, const struct year_options *o, FILE *inside, long counts[3])
{
	struct machine *m = malloc(sizeof(*m));
	struct history h;
	struct rounds r;

	if (m == NULL) {
		fprintf(stderr, "simulate: out of memory\n");
		exit(2);
	}
	machine_start(m, w, mill);
	history_start(&h, w, mill, folder, o->daily);
	rounds_start(&r, w, mill, folder);
	for (int64_t sec = w->begin; sec < w->end; sec += 60) {
		bool write = within(&o->days, sec);
		double value[W_SIGNALS];

		machine_begin(m, w, sec);
		instruments_read(m, w, sec, value);
		history_minute(&h, sec, value, write);
		rounds_minute(&r, m, sec, write);
		if (inside != NULL && sec % 3600 == 0)
			inside_row(inside, m, w, sec);
		machine_run(m, w, sec);
		for (int i = 0; write && i < m->switches.count; i++) {
			/* The second in which it is done, so that no reading on the minute contradicts it. */
			int64_t at = (int64_t)m->switches.one[i].at_s + 1;

			history_event(&h, sec + (at > 59 ? 59 : at), m->switches.one[i].open);
		}
	}
	history_finish(&h);
	rounds_finish(&r);
	counts[0] += h.readings;
	counts[1] += h.bad;
	counts[2] += r.rows;
	free(m);
}

void
year_write(const char *folder, const struct year_options *options)
{
	struct works *w = malloc(sizeof(*w));
	struct year_options o = *options;
	FILE *inside = o.inside ? file_create(folder, "inside.csv") : NULL;
	long counts[3] = { 0 };

	if (w == NULL) {
		fprintf(stderr, "simulate: out of memory\n");
		exit(2);
	}
	works_plan(w, o.seed);
	logbook_plan(w);
	if (o.days.from == o.days.to)
		o.days = (struct sim_span){ w->begin, w->end };
	if (inside != NULL)
		fprintf(inside, "time,mill,running,pressure,tank,leakage,drain_reference,gas_mol,ua,dp,level\n");
	for (int mill = 0; mill < MILLS; mill++)
		run_mill(w, mill, folder, &o, inside, counts);
	if (inside != NULL)
		file_finish(inside);
	logbook_write(w, folder);
	laboratory_write(w, folder, &o.days);
	stops_write(w, folder);
	truth_write(w, folder);
	printf("%ld readings (%ld bad), %ld rounds\n", counts[0], counts[1], counts[2]);
	free(w);
}
