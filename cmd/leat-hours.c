/*
 * leat-hours: running hours and starts of mills and pumps, added to the readings.
 */
#include <stdlib.h>

#include "derive/hours.h"
#include "front_derive.h"
#include "front_tables.h"
#include "tell/words.h"

enum { ONLY = FRONT_OWN };

static const char help[] =
    "Usage: leat-hours [-hqV] [--explain[=ASSET/POINT]] [--findings FILE]\n"
    "                  [--logbook FILE] [--max-rejects N|N%] [--nameplate FILE]\n"
    "                  [--now TIME] [--only] [--points FILE] [-r FILE] [--summary]\n"
    "                  [-w DIR] [FILE ...]\n"
    "Adds to readings the running hours and starts of each mill and pump, with bounds.\n"
    "\n"
    "     --explain[=ASSET/POINT]  print instead how each count came about\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    " -h, --help                   print this text\n"
    "     --logbook FILE           take the logged counters from FILE\n"
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
take(void *hours, const struct leat_reading *r, struct leat_error *err)
{
	return leat_hours_take(hours, r, err);
}

static void
count(struct leat_hours *hours, bool only)
{
	if (!hours->explain)
		leat_readings_write_header(hours->out, hours->in);
	if (front_derive(hours->in, take, hours, !only && !hours->explain) == 0)
		leat_hours_end(hours);
	if (hours->items == 0)
		front_warn("nothing counted: no readings named mill-running or pump-running");
	front_derive_end(hours->in);
	front_summary("items: %zu; log entries: %zu, %lld later than now left out; rows added: %lld, earlier ones replaced: %lld",
	    hours->items, hours->book->count, hours->book->later, hours->added, hours->replaced);
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

/* The works' days, as the nameplate has them at its end: they only say when rows are repeated. */
static struct leat_grid
works_days(const struct leat_nameplate *np)
{
	struct leat_grid day = { .zone = leat_nameplate_zone(np), .days = 1 };
	struct leat_time at = front_opt.now_data ? (struct leat_time){ INT64_MAX / 4, 0 } : front_now();

	int start;

	if (leat_calendar_day_start(leat_nameplate_word(np, leat_span_make("", 0), "day-start", at), &start) != 0)
		front_misuse("nameplate: day-start is no time of day such as 06:00");
	day.day_start = start;
	return day;
}

int
main(int argc, char *argv[])
{
	struct leat_hours hours = { .warn = warn };
	struct leat_logbook book;
	struct leat_points points;
	struct leat_nameplate *np;
	bool only = false;

	front_start("leat-hours", help);
	parse(argc, argv, &only);
	front_works_check();
	front_points(&points);
	np = front_nameplate();
	front_logbook(&book, leat_nameplate_zone(np), front_opt.now_data ? LEAT_TIME_NONE : front_now());
	hours.in = front_readings(argc, argv);
	hours.np = np;
	hours.points = &points;
	hours.book = &book;
	hours.day = works_days(np);
	hours.out = front_stdout();
	hours.explain = front_opt.explain;
	hours.what = leat_span_of(front_opt.explain_what);
	leat_hours_init(&hours);
	count(&hours, only);
	leat_hours_free(&hours);
	leat_readings_close(hours.in);
	leat_logbook_free(&book);
	leat_nameplate_free(np);
	leat_points_free(&points);
	return front_end();
}
