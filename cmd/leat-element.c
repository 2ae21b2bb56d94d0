/*
 * leat-element: differential pressure of filter elements at reference flow and viscosity, and how long elements serve,
 * added to the readings.
 */
#include "derive/element.h"
#include "front_filter.h"

static const char help[] =
    "Usage: leat-element [-hqV] [--explain[=ASSET/POINT]] [--findings FILE]\n"
    "                    [--logbook FILE] [--max-rejects N|N%] [--nameplate FILE]\n"
    "                    [--now TIME] [--only] [--points FILE] [-r FILE] [--summary]\n"
    "                    [-w DIR] [FILE ...]\n"
    "Adds to readings the differential pressure of each filter's element, corrected to its\n"
    "reference flow and viscosity, as the median of each works' day, how near it is to\n"
    "what opens the bypass, and how long elements serve.\n"
    "\n"
    "     --explain[=ASSET/POINT]  print instead how each day's value came about\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    " -h, --help                   print this text\n"
    "     --logbook FILE           take the changes of elements from FILE\n"
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
take(void *elements, const struct leat_reading *r, struct leat_error *err)
{
	return leat_elements_take(elements, r, err);
}

static void
derive(struct front_filter *f, struct leat_elements *elements)
{
	struct leat_error err;

	if (front_filter_run(f, take, elements) == 0 && leat_elements_end(elements, f->now, &err) != 0)
		front_error(&err);
	/* A reader that has left need not be told. */
	if (elements->filters == 0 && elements->out->errnum == 0)
		front_warn("nothing corrected: no filter that has readings named filter-dp has a clean-dp or loop-flow in the nameplate");
	front_filter_account(f);
	front_summary("filters: %zu; days: %lld; changes of elements: %lld; log entries: %zu, %lld later than now left out; rows "
	    "added: %lld, earlier ones replaced: %lld", elements->filters, elements->days, elements->changes,
	    elements->book->count, elements->book->later, elements->added, elements->replaced);
}

int
main(int argc, char *argv[])
{
	struct front_filter f = { .name = "leat-element", .help = help, .with_logbook = true };
	struct leat_elements elements = { .warn = front_warn_text };

	front_filter_options(&f, argc, argv);
	front_filter_open(&f, argc, argv);
	elements.in = f.in;
	elements.np = f.np;
	elements.points = &f.points;
	elements.book = &f.book;
	elements.out = f.out;
	elements.explain = f.explain;
	elements.what = f.what;
	leat_elements_init(&elements);
	derive(&f, &elements);
	leat_elements_free(&elements);
	return front_filter_close(&f);
}
