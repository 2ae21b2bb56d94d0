/*
 * leat-hours: running hours and starts of mills and pumps, added to the readings.
 */
#include "derive/hours.h"
#include "front_filter.h"
#include "tell/words.h"

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

static int
take(void *hours, const struct leat_reading *r, struct leat_error *err)
{
	return leat_hours_take(hours, r, err);
}

static void
count(struct front_filter *f, struct leat_hours *hours)
{
	if (front_filter_run(f, take, hours) == 0)
		leat_hours_end(hours);
	if (hours->items == 0)
		front_warn("nothing counted: no readings named mill-running or pump-running");
	front_filter_account(f);
	front_summary("items: %zu; log entries: %zu, %lld later than now left out; rows added: %lld, earlier ones replaced: %lld",
	    hours->items, hours->book->count, hours->book->later, hours->added, hours->replaced);
}

/* The works' days, as the nameplate has them at its end: they only say when rows are repeated. */
static struct leat_grid
works_days(const struct front_filter *f)
{
	struct leat_grid day = { .zone = leat_nameplate_zone(f->np), .days = 1 };
	struct leat_time at = leat_time_is_none(f->now) ? (struct leat_time){ INT64_MAX / 4, 0 } : f->now;
	int start;

	if (leat_calendar_day_start(leat_nameplate_word(f->np, leat_span_make("", 0), "day-start", at), &start) != 0)
		front_misuse("nameplate: day-start is no time of day such as 06:00");
	day.day_start = start;
	return day;
}

int
main(int argc, char *argv[])
{
	struct front_filter f = { .name = "leat-hours", .help = help, .with_logbook = true };
	struct leat_hours hours = { .warn = front_warn_text };

	front_filter_options(&f, argc, argv);
	front_filter_open(&f, argc, argv);
	hours.in = f.in;
	hours.np = f.np;
	hours.points = &f.points;
	hours.book = &f.book;
	hours.day = works_days(&f);
	hours.out = f.out;
	hours.explain = f.explain;
	hours.what = f.what;
	leat_hours_init(&hours);
	count(&f, &hours);
	leat_hours_free(&hours);
	return front_filter_close(&f);
}
