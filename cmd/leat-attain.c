/*
 * leat-attain: whether each mill held its grinding pressure, day by day, added to the readings.
 */
#include "derive/attain.h"
#include "front_filter.h"

enum { PARTIAL = FRONT_OWN };

static const struct option own[] = { { "partial", no_argument, NULL, PARTIAL }, { NULL, 0, NULL, 0 } };

static bool partial;	/* --partial, the only option of its own */

static const char help[] =
    "Usage: leat-attain [-hqV] [--explain[=ASSET/POINT]] [--findings FILE]\n"
    "                   [--logbook FILE] [--max-rejects N|N%] [--nameplate FILE]\n"
    "                   [--now TIME] [--only] [--partial] [--points FILE] [-r FILE]\n"
    "                   [--summary] [-w DIR] [FILE ...]\n"
    "Adds to readings how each mill held its grinding pressure in each works' day,\n"
    "from its pressure, its set point and the state that leat-state adds.\n"
    "\n"
    "     --explain[=ASSET/POINT]  print instead how each day's values came about\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    " -h, --help                   print this text\n"
    "     --logbook FILE           take the pressures that were set from FILE\n"
    "     --max-rejects N|N%       rejected rows allowed (5%)\n"
    "     --nameplate FILE         take the nameplate from FILE\n"
    "     --now TIME               leave out later rows (the clock), or data\n"
    "     --only                   print the added rows alone\n"
    "     --partial                the day that is still running too\n"
    "     --points FILE            take the points from FILE\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --summary                account for what was read, on standard error\n"
    " -V, --version                print the version\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n";

static int
take(void *attain, const struct leat_reading *r, struct leat_error *err)
{
	return leat_attain_take(attain, r, err);
}

/* Says what cannot be told of any mill, or of some. */
static void
tell(const struct leat_attain *attain)
{
	if (attain->pressed == 0)
		front_warn("nothing to tell: no mill has readings named pressure");
	else if (attain->stated == 0)
		front_warn("nothing to tell: no mill has readings named state; run leat-state first");
	else if (attain->stated < attain->pressed)
		front_warn("of %zu mills with a pressure %zu have no readings named state and are left out",
		    attain->pressed, attain->pressed - attain->stated);
	for (int lack = 0; lack < LEAT_ATTAIN_LACKS; lack++)
		if (attain->lack[lack] > 0)
			front_note("%s (%zu of %zu mills)", leat_attain_lack_words((enum leat_attain_lack)lack),
			    attain->lack[lack], attain->stated);
}

static void
follow(struct front_filter *f, struct leat_attain *attain)
{
	struct leat_error err;
	int status;

	if (leat_attain_init(attain) != 0) {
		leat_error_memory(&err);
		front_error(&err);
		return;
	}
	status = front_filter_run(f, take, attain);
	if (status == 0 && leat_attain_end(attain, f->now, partial, &err) != 0)
		front_error(&err);
	/* A reader that has left need not be told. */
	if (status == 0 && attain->out->errnum == 0)
		tell(attain);
	front_filter_account(f);
	front_summary("mills: %zu; days: %lld; log entries: %zu, %lld later than now left out", attain->stated, attain->days,
	    attain->book->count, attain->book->later);
	front_summary("rows added: %lld, earlier ones replaced: %lld", attain->added, attain->replaced);
}

static void
take_option(int code)
{
	partial = code == PARTIAL;
}

int
main(int argc, char *argv[])
{
	struct front_filter f = { .name = "leat-attain", .help = help, .own = own, .option = take_option, .with_logbook = true };
	struct leat_attain attain = { 0 };

	front_filter_options(&f, argc, argv);
	front_filter_open(&f, argc, argv);
	attain.in = f.in;
	attain.np = f.np;
	attain.points = &f.points;
	attain.book = &f.book;
	attain.out = f.out;
	attain.explain = f.explain;
	attain.what = f.what;
	follow(&f, &attain);
	leat_attain_free(&attain);
	return front_filter_close(&f);
}
