/*
 * leat-leakage: internal leakage of each mill's pressure circuit and the gas of its accumulators, added to the readings.
 */
#include "derive/leakage.h"
#include "front_filter.h"

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

static int
take(void *leaks, const struct leat_reading *r, struct leat_error *err)
{
	return leat_leaks_take(leaks, r, err);
}

static void
derive(struct front_filter *f, struct leat_leaks *leaks)
{
	struct leat_error err;

	if (front_filter_run(f, take, leaks) == 0 && leat_leaks_end(leaks, f->now, &err) != 0)
		front_error(&err);
	/* A reader that has left need not be told. */
	if (leaks->charged == 0 && leaks->tests == 0 && leaks->out->errnum == 0 && !front_failed())
		front_warn("no leakage: no mill has readings named pressure, state, and charging, or pump-running of a pump that "
		    "starts and stops");
	front_filter_account(f);
	front_summary("mills that charge: %zu; days: %lld; holding tests: %lld; stops with a level: %lld; rows added: %lld, "
	    "earlier ones replaced: %lld", leaks->charged, leaks->days, leaks->tests, leaks->stops, leaks->added,
	    leaks->replaced);
}

int
main(int argc, char *argv[])
{
	struct front_filter f = { .name = "leat-leakage", .help = help, .with_logbook = true };
	struct leat_leaks leaks = { .warn = front_warn_text };

	front_filter_options(&f, argc, argv);
	front_filter_open(&f, argc, argv);
	leaks.in = f.in;
	leaks.np = f.np;
	leaks.points = &f.points;
	leaks.book = &f.book;
	leaks.out = f.out;
	leaks.explain = f.explain;
	leaks.what = f.what;
	leat_leaks_init(&leaks);
	derive(&f, &leaks);
	leat_leaks_free(&leaks);
	return front_filter_close(&f);
}
