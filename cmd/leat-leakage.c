/*
 * leat-leakage: internal leakage of each mill's pressure circuit and the gas of its accumulators, added to the readings.
 */
#include <stdlib.h>

#include "derive/leakage.h"
#include "front_derive.h"
#include "front_tables.h"

enum { ONLY = FRONT_OWN };

static const char help[] =
    "Usage: leat-leakage [-hqV] [--explain[=ASSET/POINT]] [--findings FILE]\n"
    "                    [--logbook FILE] [--max-rejects N|N%] [--nameplate FILE]\n"
    "                    [--now TIME] [--only] [--points FILE] [-r FILE] [--summary]\n"
    "                    [-w DIR] [FILE ...]\n"
    "Adds to readings how much oil each mill loses while it holds pressure, how often it\n"
    "charges and how much gas its accumulators hold, by the cycles of the charging valve,\n"
    "by holding tests and by the tank's level at stops.\n"
    "\n"
    "     --explain[=ASSET/POINT]  print instead how each value came about\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    " -h, --help                   print this text\n"
    "     --logbook FILE           take line-ups, top-ups and pump changes from FILE\n"
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
take(void *leaks, const struct leat_reading *r, struct leat_error *err)
{
	return leat_leaks_take(leaks, r, err);
}

static void
derive(struct leat_leaks *leaks, bool only)
{
	struct leat_error err;
	bool failed = false;

	if (!leaks->explain)
		leat_readings_write_header(leaks->out, leaks->in);
	if (front_derive(leaks->in, take, leaks, !leaks->explain && !only) != 0)
		failed = true;
	else if (leat_leaks_end(leaks, front_opt.now_data ? LEAT_TIME_NONE : front_now(), &err) != 0) {
		failed = true;
		front_error(&err);
	}
	/* A reader that has left need not be told. */
	if (!failed && leaks->charged == 0 && leaks->tests == 0 && leaks->out->errnum == 0)
		front_warn("no leakage: no mill has readings named pressure, state, and charging or pump-running");
	front_derive_end(leaks->in);
	front_summary("mills that charge: %zu; days: %lld; holding tests: %lld; stops with a level: %lld; rows added: %lld, "
	    "earlier ones replaced: %lld", leaks->charged, leaks->days, leaks->tests, leaks->stops, leaks->added,
	    leaks->replaced);
}

static void
parse(int argc, char *argv[], bool *only)
{
	static const struct option longs[] = {
		{ "explain", optional_argument, NULL, FRONT_EXPLAIN },
		{ "findings", required_argument, NULL, FRONT_FINDINGS },
		{ "help", no_argument, NULL, 'h' },
		{ "logbook", required_argument, NULL, FRONT_LOGBOOK },
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
		if (c == ONLY)
			*only = true;
		else
			front_option(c, argv);
	}
}

int
main(int argc, char *argv[])
{
	struct leat_leaks leaks = { .warn = warn };
	struct leat_logbook book;
	struct leat_points points;
	struct leat_nameplate *np;
	bool only = false;

	front_start("leat-leakage", help);
	parse(argc, argv, &only);
	front_works_check();
	front_points(&points);
	np = front_nameplate();
	front_logbook(&book, leat_nameplate_zone(np), front_opt.now_data ? LEAT_TIME_NONE : front_now());
	leaks.in = front_readings(argc, argv);
	leaks.np = np;
	leaks.points = &points;
	leaks.book = &book;
	leaks.out = front_stdout();
	leaks.explain = front_opt.explain;
	leaks.what = leat_span_of(front_opt.explain_what);
	leat_leaks_init(&leaks);
	derive(&leaks, only);
	leat_leaks_free(&leaks);
	leat_readings_close(leaks.in);
	leat_logbook_free(&book);
	leat_nameplate_free(np);
	leat_points_free(&points);
	return front_end();
}
