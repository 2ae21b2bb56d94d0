/*
 * leat-state: the operating state of each mill, added to the readings.
 */
#include "derive/state.h"
#include "front_filter.h"

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

static int
take(void *states, const struct leat_reading *r, struct leat_error *err)
{
	return leat_states_take(states, r, err);
}

static void
make_states(struct front_filter *f, struct leat_states *states)
{
	struct leat_error err;
	size_t mills;

	if (front_filter_run(f, take, states) == 0 && leat_states_end(states, &err) != 0)
		front_error(&err);
	mills = leat_states_mills(states);
	if (mills == 0)
		front_warn("no state made: no mill has readings named pressure, mill-running or mill-power");
	front_filter_account(f);
	front_summary("mills: %zu; states added: %lld for a change, %lld repeats; earlier states replaced: %lld", mills,
	    states->changes, states->repeats, states->replaced);
}

int
main(int argc, char *argv[])
{
	struct front_filter f = { .name = "leat-state", .help = help };
	struct leat_states states = { .warn = front_warn_text };

	front_filter_options(&f, argc, argv);
	front_filter_open(&f, argc, argv);
	states.in = f.in;
	states.np = f.np;
	states.points = &f.points;
	states.out = f.out;
	states.explain = f.explain;
	states.what = f.what;
	leat_states_init(&states);
	make_states(&f, &states);
	leat_states_free(&states);
	return front_filter_close(&f);
}
