/*
 * leat-state: the operating state of each mill, added to the readings.
 */
#include <stdlib.h>

#include "derive/state.h"
#include "front_derive.h"
#include "front_tables.h"

enum { ONLY = FRONT_OWN };

static const char help[] =
    "Usage: leat-state [-hqV] [--explain[=ASSET/POINT]] [--findings FILE]\n"
    "                  [--max-rejects N|N%] [--nameplate FILE] [--now TIME] [--only]\n"
    "                  [--points FILE] [-r FILE] [--summary] [-w DIR] [FILE ...]\n"
    "Adds to readings the state of each mill: off, no-load, pump-up, run-up,\n"
    "grinding, hold or unknown.\n"
    "\n"
    "     --explain[=ASSET/POINT]  print instead why each state was entered\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
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
take(void *states, const struct leat_reading *r, struct leat_error *err)
{
	return leat_states_take(states, r, err);
}

static void
make_states(struct leat_states *states, bool only)
{
	struct leat_error err;
	size_t mills;

	if (!states->explain)
		leat_readings_write_header(states->out, states->in);
	if (front_derive(states->in, take, states, !only && !states->explain) == 0 && leat_states_end(states, &err) != 0)
		front_error(&err);
	mills = leat_states_mills(states);
	if (mills == 0)
		front_warn("no state made: no mill has readings named pressure, mill-running or mill-power");
	front_derive_end(states->in);
	front_summary("mills: %zu; states added: %lld for a change, %lld repeats; earlier states replaced: %lld", mills,
	    states->changes, states->repeats, states->replaced);
}

static void
parse(int argc, char *argv[], bool *only)
{
	static const struct option longs[] = {
		{ "explain", optional_argument, NULL, FRONT_EXPLAIN },
		{ "findings", required_argument, NULL, FRONT_FINDINGS },
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
		if (c == ONLY)
			*only = true;
		else
			front_option(c, argv);
	}
}

int
main(int argc, char *argv[])
{
	struct leat_states states = { .warn = warn };
	struct leat_points points;
	struct leat_nameplate *np;
	bool only = false;

	front_start("leat-state", help);
	parse(argc, argv, &only);
	front_works_check();
	front_points(&points);
	np = front_nameplate();
	states.in = front_readings(argc, argv);
	states.np = np;
	states.points = &points;
	states.out = front_stdout();
	states.explain = front_opt.explain;
	states.what = leat_span_of(front_opt.explain_what);
	leat_states_init(&states);
	make_states(&states, only);
	leat_states_free(&states);
	leat_readings_close(states.in);
	leat_nameplate_free(np);
	leat_points_free(&points);
	return front_end();
}
