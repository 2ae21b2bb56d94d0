/*
 * Thirty days of the demo works, 2025-10-06 to 2025-11-04, one file a day and mill, and the truth in truth.csv.
 *
 * The faults (truth.csv has them with times):
 *   NM	cooling water short: oil past the alert level on 11-03, past the alarm level on 11-04
 *   MM	cold start on 11-03 at 12 degC with a high filter dp that is no fault; a short hot spell on 11-03; the export
 *	of 11-04 dies in the middle of a line at 14:23
 *   SM	tank thermometer frozen from 11-02; filter element loaded, dp past its alert level on 11-04
 */
#include <inttypes.h>

#include "demo.h"
#include "files.h"

static int64_t
at(int month, int day, int hour, int minute)
{
	return sim_utc(2025, month, day, hour, minute);
}

static void
add_stop(struct sim_mill *m, int64_t from, int64_t to)
{
	m->stop[m->stops++] = (struct sim_span){ from, to };
}

static void
add_hot(struct sim_mill *m, int64_t from, int64_t to, double share)
{
	m->hot_share[m->hots] = share;
	m->hot[m->hots++] = (struct sim_span){ from, to };
}

/* The three mills, with one or two stops a week each. */
static void
describe(struct sim_mill mill[3])
{
	struct sim_mill *nm = &mill[0], *mm = &mill[1], *sm = &mill[2];

	*nm = (struct sim_mill){ .name = "NM", .set_point = 125, .leak = 0.34, .dp_clean = 0.45, .dp_growth_per_day = 0.03 };
	*mm = (struct sim_mill){ .name = "MM", .set_point = 118, .leak = 0.34, .dp_clean = 0.45, .dp_growth_per_day = 0.03 };
	*sm = (struct sim_mill){ .name = "SM", .set_point = 132, .leak = 0.34, .dp_clean = 0.45, .dp_growth_per_day = 0.42 };
	nm->element_new = at(10, 2, 9, 0);
	mm->element_new = at(9, 27, 9, 0);
	sm->element_new = at(10, 27, 9, 0);
	for (int week = 0; week < 4; week++) {
		add_stop(nm, at(10, 7 + 7 * week, 6, 0), at(10, 7 + 7 * week, 10, 20));
		add_stop(mm, at(10, 9 + 7 * week, 13, 0), at(10, 9 + 7 * week, 17, 45));
		add_stop(sm, at(10, 8 + 7 * week, 22, 0), at(10, 9 + 7 * week, 3, 10));
	}
	add_stop(mm, at(11, 2, 18, 0), at(11, 3, 5, 30));
	add_hot(nm, at(11, 3, 10, 0), at(11, 3, 22, 0), 0.26);
	add_hot(nm, at(11, 4, 9, 0), at(11, 5, 0, 0), 0.21);
	add_hot(mm, at(11, 3, 12, 0), at(11, 3, 16, 30), 0.22);
	sm->frozen = (struct sim_span){ at(11, 2, 9, 40), at(11, 5, 0, 0) };
}

/* All days of one mill. */
static void
run(struct sim_mill *m, enum sim_form form, const char *folder, uint64_t seed, int64_t cut)
{
	struct sim_export x = { .form = form, .mill = m, .random = { seed ^ 0x5eed } };
	int64_t sec = at(10, 6, 0, 0), end = at(11, 5, 0, 0);

	sim_mill_start(m, sec, seed);
	while (sec < end) {
		struct sim_clock day = sim_local(sec);
		char name[64];

		snprintf(name, sizeof(name), "%s_%04d-%02d-%02d.csv", m->name, day.year, day.month, day.day);
		x.file = file_create(folder, name);
		sim_export_begin(&x);
		for (; sec < end && sim_local(sec).day == day.day; sec += 60) {
			sim_mill_minute(m, sec);
			if (cut == 0 || sec < cut)
				sim_export_minute(&x, sec);
		}
		if (cut != 0 && sec > cut)
			sim_export_cut(&x);
		file_finish(x.file);
	}
}

static void
truth_row(FILE *file, const char *mill, const char *what, int64_t from, int64_t to)
{
	fprintf(file, "%s,%s,%" PRId64 ",%" PRId64 "\n", mill, what, from, to);
}

static void
truth(const char *folder, const struct sim_mill mill[3], int64_t cut)
{
	FILE *file = file_create(folder, "truth.csv");

	fprintf(file, "mill,what,from,to\n");
	truth_row(file, "NM", "cooling water short", mill[0].hot[0].from, mill[0].hot[0].to);
	truth_row(file, "NM", "cooling water short", mill[0].hot[1].from, mill[0].hot[1].to);
	truth_row(file, "MM", "cold start (no fault)", mill[1].stop[4].to, mill[1].stop[4].to + 7200);
	truth_row(file, "MM", "cooling water short", mill[1].hot[0].from, mill[1].hot[0].to);
	truth_row(file, "MM", "export cut", cut, at(11, 5, 0, 0));
	truth_row(file, "SM", "tank thermometer frozen", mill[2].frozen.from, mill[2].frozen.to);
	truth_row(file, "SM", "filter element loaded", at(11, 4, 12, 0), at(11, 5, 0, 0));
	file_finish(file);
}

void
demo_write(const char *folder)
{
	struct sim_mill mill[3];
	int64_t cut = at(11, 4, 14, 23);

	describe(mill);
	run(&mill[0], SIM_WIDE_POINT, folder, 11, 0);
	run(&mill[1], SIM_LONG_QUALITY, folder, 22, cut);
	run(&mill[2], SIM_WIDE_COMMA, folder, 33, 0);
	truth(folder, mill, cut);
}
