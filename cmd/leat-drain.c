/*
 * leat-drain: case drain flow of each pump at reference pressure and viscosity, added to the readings.
 */
#include "derive/drain.h"
#include "front_filter.h"

enum { FIT = FRONT_OWN };

static const struct option own[] = { { "fit", optional_argument, NULL, FIT }, { NULL, 0, NULL, 0 } };

static int fit_hours;	/* --fit: 0 without it */

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

static int
take(void *drain, const struct leat_reading *r, struct leat_error *err)
{
	return leat_drain_take(drain, r, err);
}

static void
correct(struct front_filter *f, struct leat_drain *drain)
{
	struct leat_error err;

	if (fit_hours > 0)
		leat_out_text(drain->out, "asset,property,value,unit,from,source,note\n");
	if (front_filter_run(f, take, drain) == 0 && leat_drain_end(drain, f->now, &err) != 0)
		front_error(&err);
	/* A reader that has left need not be told. */
	if (drain->metered == 0 && drain->out->errnum == 0)
		front_warn("nothing corrected: no pump has readings named pump-running and drain-flow");
	front_filter_account(f);
	front_summary("pumps with a drain meter: %zu; days: %lld; rows added: %lld, earlier ones replaced: %lld", drain->metered,
	    drain->days, drain->added, drain->replaced);
}

static void
take_option(int code)
{
	int64_t hours = LEAT_DRAIN_FIT_HOURS;

	if (code == FIT && optarg != NULL && leat_int_parse(leat_span_of(optarg), LEAT_DRAIN_FIT_HOURS_MIN,
	    LEAT_DRAIN_FIT_HOURS_MAX, &hours) != 0)
		front_misuse("--fit: whole hours from %d to %d are due: '%s'", LEAT_DRAIN_FIT_HOURS_MIN,
		    LEAT_DRAIN_FIT_HOURS_MAX, optarg);
	fit_hours = (int)hours;
}

int
main(int argc, char *argv[])
{
	struct front_filter f = { .name = "leat-drain", .help = help, .own = own, .option = take_option };
	struct leat_drain drain = { .warn = front_warn_text };

	front_filter_options(&f, argc, argv);
	if (fit_hours > 0 && front_opt.explain)
		front_misuse("--explain and --fit exclude each other");
	f.in_place = fit_hours > 0;
	front_filter_open(&f, argc, argv);
	drain.in = f.in;
	drain.np = f.np;
	drain.points = &f.points;
	drain.out = f.out;
	drain.fit_hours = fit_hours;
	drain.explain = f.explain;
	drain.what = f.what;
	leat_drain_init(&drain);
	correct(&f, &drain);
	leat_drain_free(&drain);
	return front_filter_close(&f);
}
