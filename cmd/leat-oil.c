/*
 * leat-oil: water, viscosity, additives, ageing and balance of the oil, and how long cleaning and drying take, added to the
 * readings.
 */
#include "derive/oil.h"
#include "front_filter.h"

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

static int
take(void *oil, const struct leat_reading *r, struct leat_error *err)
{
	return leat_oils_take(oil, r, err);
}

static void
derive(struct front_filter *f, struct leat_oils *oil)
{
	struct leat_error err;

	if (front_filter_run(f, take, oil) == 0 && leat_oils_end(oil, &err) != 0)
		front_error(&err);
	front_filter_account(f);
	front_summary("samples: %lld; works' days: %lld; log entries: %zu, %lld later than now left out; rows added: %lld, earlier "
	    "ones replaced: %lld", oil->samples, oil->days, oil->book->count, oil->book->later, oil->made.added, oil->made.replaced);
}

int
main(int argc, char *argv[])
{
	struct front_filter f = { .name = "leat-oil", .help = help, .with_logbook = true };
	struct leat_oils oil = { .warn = front_warn_text };

	front_filter_options(&f, argc, argv);
	front_filter_open(&f, argc, argv);
	oil.in = f.in;
	oil.np = f.np;
	oil.points = &f.points;
	oil.book = &f.book;
	oil.out = f.out;
	oil.copy = !f.no_copy;
	oil.explain = f.explain;
	oil.what = f.what;
	if (leat_oils_init(&oil) == 0)
		derive(&f, &oil);
	else
		front_fail("out of memory");
	leat_oils_free(&oil);
	return front_filter_close(&f);
}
