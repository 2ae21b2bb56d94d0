/*
 * leat-drain: case drain flow of each pump at reference pressure and viscosity, added to the readings.
 */
#include <stdlib.h>

#include "derive/drain.h"
#include "front_derive.h"
#include "front_tables.h"

enum { FIT = FRONT_OWN, ONLY };

static const char help[] =
    "Usage: leat-drain [-hqV] [--explain[=ASSET/POINT]] [--findings FILE]\n"
    "                  [--fit[=HOURS]] [--max-rejects N|N%] [--nameplate FILE]\n"
    "                  [--now TIME] [--only] [--points FILE] [-r FILE] [--summary]\n"
    "                  [-w DIR] [FILE ...]\n"
    "Adds to readings the case drain flow of each pump, corrected to its reference\n"
    "pressure and viscosity, as the median of each works' day.\n"
    "\n"
    "     --explain[=ASSET/POINT]  print instead how each day's value came about\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    "     --fit[=HOURS]            print instead the nameplate rows that the first so many\n"
    "                              admitted hours of each pump give (200)\n"
    " -h, --help                   print this text\n"
    "     --max-rejects N|N%       rejected rows allowed (5%)\n"
    "     --nameplate FILE         take the nameplate from FILE\n"
    "     --now TIME               leave out later rows (the clock), or data\n"
    "     --only                   print the added rows alone\n"
    "     --points FILE            take the points from FILE\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --summary                account for what was read, on standard error\n"
    " -V, --version                print the version\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n";

static void
warn(const char *text)
{
	front_warn("%s", text);
}

static int
take(void *drain, const struct leat_reading *r, struct leat_error *err)
{
	return leat_drain_take(drain, r, err);
}

static void
correct(struct leat_drain *drain, bool only)
{
	bool rows = !drain->explain && drain->fit_hours == 0;
	struct leat_error err;

	if (rows)
		leat_readings_write_header(drain->out, drain->in);
	else if (drain->fit_hours > 0)
		leat_out_text(drain->out, "asset,property,value,unit,from,source,note\n");
	if (front_derive(drain->in, take, drain, rows && !only) == 0 &&
	    leat_drain_end(drain, front_opt.now_data ? LEAT_TIME_NONE : front_now(), &err) != 0)
		front_error(&err);
	/* A reader that has left need not be told. */
	if (drain->metered == 0 && drain->out->errnum == 0)
		front_warn("nothing corrected: no pump has readings named pump-running and drain-flow");
	front_derive_end(drain->in);
	front_summary("pumps with a drain meter: %zu; days: %lld; rows added: %lld, earlier ones replaced: %lld", drain->metered,
	    drain->days, drain->added, drain->replaced);
}

static void
parse_fit(struct leat_drain *drain)
{
	int64_t hours = LEAT_DRAIN_FIT_HOURS;

	if (optarg != NULL && leat_int_parse(leat_span_of(optarg), LEAT_DRAIN_FIT_HOURS_MIN,
	    LEAT_DRAIN_FIT_HOURS_MAX, &hours) != 0)
		front_misuse("--fit: whole hours from %d to %d are due: '%s'", LEAT_DRAIN_FIT_HOURS_MIN,
		    LEAT_DRAIN_FIT_HOURS_MAX, optarg);
	drain->fit_hours = (int)hours;
}

static void
parse(int argc, char *argv[], struct leat_drain *drain, bool *only)
{
	static const struct option longs[] = {
		{ "explain", optional_argument, NULL, FRONT_EXPLAIN },
		{ "findings", required_argument, NULL, FRONT_FINDINGS },
		{ "fit", optional_argument, NULL, FIT },
		{ "help", no_argument, NULL, 'h' },
		{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "only", no_argument, NULL, ONLY },
		{ "points", required_argument, NULL, FRONT_POINTS },
		{ "quiet", no_argument, NULL, 'q' },
		{ "rejects", required_argument, NULL, 'r' },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "version", no_argument, NULL, 'V' },
		{ "works", required_argument, NULL, 'w' },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":hqr:Vw:", longs, NULL)) != -1) {
		switch (c) {
		case FIT:
			parse_fit(drain);
			break;
		case ONLY:
			*only = true;
			break;
		default:
			front_option(c, argv);
		}
	}
	if (drain->fit_hours > 0 && front_opt.explain)
		front_misuse("--explain and --fit exclude each other");
}

int
main(int argc, char *argv[])
{
	struct leat_drain drain = { .warn = warn };
	struct leat_points points;
	struct leat_nameplate *np;
	bool only = false;

	front_start("leat-drain", help);
	parse(argc, argv, &drain, &only);
	front_works_check();
	front_points(&points);
	np = front_nameplate();
	drain.in = front_readings(argc, argv);
	drain.np = np;
	drain.points = &points;
	drain.out = front_stdout();
	drain.explain = front_opt.explain;
	drain.what = leat_span_of(front_opt.explain_what);
	leat_drain_init(&drain);
	correct(&drain, only);
	leat_drain_free(&drain);
	leat_readings_close(drain.in);
	leat_nameplate_free(np);
	leat_points_free(&points);
	return front_end();
}
