/*
 * leat-attain: whether each mill held its grinding pressure, day by day, added to the readings.
 */
#include <stdlib.h>

#include "derive/attain.h"
#include "front_derive.h"
#include "front_tables.h"

enum { ONLY = FRONT_OWN, PARTIAL };

static struct {
	bool only, partial;
} opt;

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
follow(struct leat_attain *attain)
{
	struct leat_error err;
	int status;

	if (leat_attain_init(attain) != 0) {
		leat_error_memory(&err);
		front_error(&err);
		return;
	}
	if (!attain->explain)
		leat_readings_write_header(attain->out, attain->in);
	status = front_derive(attain->in, take, attain, !opt.only && !attain->explain);
	if (status == 0 && leat_attain_end(attain, front_opt.now_data ? LEAT_TIME_NONE : front_now(), opt.partial,
	    &err) != 0)
		front_error(&err);
	/* A reader that has left need not be told. */
	if (status == 0 && attain->out->errnum == 0)
		tell(attain);
	front_derive_end(attain->in);
	front_summary("mills: %zu; days: %lld; log entries: %zu, %lld later than now left out", attain->stated, attain->days,
	    attain->book->count, attain->book->later);
	front_summary("rows added: %lld, earlier ones replaced: %lld", attain->added, attain->replaced);
}

static void
parse(int argc, char *argv[])
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
		{ "partial", no_argument, NULL, PARTIAL },
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
			opt.only = true;
		else if (c == PARTIAL)
			opt.partial = true;
		else
			front_option(c, argv);
	}
}

int
main(int argc, char *argv[])
{
	struct leat_attain attain = { 0 };
	struct leat_logbook book;
	struct leat_points points;
	struct leat_nameplate *np;

	front_start("leat-attain", help);
	parse(argc, argv);
	front_works_check();
	front_points(&points);
	np = front_nameplate();
	front_logbook(&book, leat_nameplate_zone(np), front_opt.now_data ? LEAT_TIME_NONE : front_now());
	attain.in = front_readings(argc, argv);
	attain.np = np;
	attain.points = &points;
	attain.book = &book;
	attain.out = front_stdout();
	attain.explain = front_opt.explain;
	attain.what = leat_span_of(front_opt.explain_what);
	follow(&attain);
	leat_attain_free(&attain);
	leat_readings_close(attain.in);
	leat_logbook_free(&book);
	leat_nameplate_free(np);
	leat_points_free(&points);
	return front_end();
}
