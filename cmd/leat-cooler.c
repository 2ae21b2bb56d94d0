/*
 * leat-cooler: what each oil cooler does and could do, its thermostat, and the heat of the tank, added to the readings.
 */
#include "derive/cooler.h"
#include "front_filter.h"

static const char help[] =
    "Usage: leat-cooler [-hqV] [--explain[=ASSET/POINT]] [--findings FILE]\n"
    "                   [--max-rejects N|N%] [--nameplate FILE] [--now TIME]\n"
    "                   [--only] [--points FILE] [-r FILE] [--summary] [-w DIR]\n"
    "                   [FILE ...]\n"
    "Adds to readings, for each works' day, the heat conductance of each oil cooler,\n"
    "the warmest water it can stand, whether its thermostat hunts or sticks, the heat\n"
    "that nothing explains, and how warm the tank was.\n"
    "\n"
    "     --explain[=ASSET/POINT]  print instead how each day's value came about\n"
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
take(void *coolers, const struct leat_reading *r, struct leat_error *err)
{
	return leat_coolers_take(coolers, r, err);
}

static void
judge(struct front_filter *f, struct leat_coolers *coolers)
{
	struct leat_error err;

	if (front_filter_run(f, take, coolers) == 0 && leat_coolers_end(coolers, f->now, &err) != 0)
		front_error(&err);
	/* A reader that has left need not be told. */
	if (coolers->coolers == 0 && coolers->out->errnum == 0)
		front_warn("no cooler: no readings named oil-in-temperature or oil-out-temperature");
	front_filter_account(f);
	front_summary("coolers: %zu; days: %lld; rows added: %lld, earlier ones replaced: %lld", coolers->coolers, coolers->days,
	    coolers->added, coolers->replaced);
}

int
main(int argc, char *argv[])
{
	struct front_filter f = { .name = "leat-cooler", .help = help };
	struct leat_coolers coolers = { .warn = front_warn_text };

	front_filter_options(&f, argc, argv);
	front_filter_open(&f, argc, argv);
	coolers.in = f.in;
	coolers.np = f.np;
	coolers.points = &f.points;
	coolers.out = f.out;
	coolers.explain = f.explain;
	coolers.what = f.what;
	if (leat_coolers_init(&coolers) == 0)
		judge(&f, &coolers);
	else
		front_fail("out of memory");
	leat_coolers_free(&coolers);
	return front_filter_close(&f);
}
