/*
 * leat-oil: water, viscosity, additives, ageing and balance of the oil, and how long cleaning and drying take, added to the
 * readings.
 */
#include <stdlib.h>

#include "derive/oil.h"
#include "front_derive.h"
#include "front_tables.h"

enum { ONLY = FRONT_OWN };

static const char help[] =
    "Usage: leat-oil [-hqV] [--explain[=ASSET/POINT]] [--findings FILE] [--logbook FILE]\n"
    "                [--max-rejects N|N%] [--nameplate FILE] [--now TIME] [--only]\n"
    "                [--points FILE] [-r FILE] [--summary] [-w DIR] [FILE ...]\n"
    "Adds to readings what the samples say of the oil (water, viscosity, acid number,\n"
    "additives, rates of metals, time to clean and to dry it), how much it has aged, and\n"
    "where it goes.\n"
    "\n"
    "     --explain[=ASSET/POINT]  print instead how each value came about\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    " -h, --help                   print this text\n"
    "     --logbook FILE           take the oil changes from FILE\n"
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
take(void *oil, const struct leat_reading *r, struct leat_error *err)
{
	return leat_oils_take(oil, r, err);
}

static void
derive(struct leat_oils *oil)
{
	struct leat_error err;

	if (!oil->explain)
		leat_readings_write_header(oil->out, oil->in);
	if (front_derive(oil->in, take, oil, oil->copy) == 0 && leat_oils_end(oil, &err) != 0)
		front_error(&err);
	front_derive_end(oil->in);
	front_summary("samples: %lld; works' days: %lld; log entries: %zu, %lld later than now left out; rows added: %lld, earlier "
	    "ones replaced: %lld", oil->samples, oil->days, oil->book->count, oil->book->later, oil->added, oil->replaced);
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
	struct leat_oils oil = { .warn = warn };
	struct leat_logbook book;
	struct leat_points points;
	struct leat_nameplate *np;
	bool only = false;

	front_start("leat-oil", help);
	parse(argc, argv, &only);
	front_works_check();
	front_points(&points);
	np = front_nameplate();
	front_logbook(&book, leat_nameplate_zone(np), front_opt.now_data ? LEAT_TIME_NONE : front_now());
	oil.in = front_readings(argc, argv);
	oil.np = np;
	oil.points = &points;
	oil.book = &book;
	oil.out = front_stdout();
	oil.copy = !only && !front_opt.explain;
	oil.explain = front_opt.explain;
	oil.what = leat_span_of(front_opt.explain_what);
	if (leat_oils_init(&oil) == 0)
		derive(&oil);
	else
		front_fail("out of memory");
	leat_oils_free(&oil);
	leat_readings_close(oil.in);
	leat_logbook_free(&book);
	leat_nameplate_free(np);
	leat_points_free(&points);
	return front_end();
}
