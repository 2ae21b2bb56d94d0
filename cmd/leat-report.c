/*
 * leat-report: findings to the text that a person reads in the morning.
 */
#include <stdlib.h>
#include <string.h>

#include "front.h"
#include "front_tables.h"
#include "tell/nights.h"
#include "tell/nightly.h"
#include "tell/reach.h"

enum { ALWAYS = FRONT_OWN, LINES, PREVIOUS, PRINT_DAY, READINGS, WEEK_DAY };

static struct {
	bool always, print_day;
	size_t lines;
	int week_day;
	const char *readings, *previous;
} opt = { .lines = 10 };

static const char help[] =
    "Usage: leat-report [-ehqV] [--always] [--lines N] [--nameplate FILE] [--now TIME]\n"
    "                   [--previous DIR] [--print-day] [--readings FILE] [--since TIME]\n"
    "                   [--summary] [--week-day DAY] [-w DIR] [FILE ...]\n"
    "Findings to the nightly text: new, worse, still, cleared, what cannot be told.\n"
    "\n"
    "     --always         print a report even when there is nothing to say\n"
    " -e, --exit-status    status 1 when something not shelved is alert, alarm or unknown\n"
    " -h, --help           print this text\n"
    "     --lines N        show N lines of each section, the gravest first (10)\n"
    "     --nameplate FILE take zone and start of day from FILE\n"
    "     --now TIME       the moment to look from (the clock), or data\n"
    "     --previous DIR   compare with the newest earlier night in DIR\n"
    "     --print-day      print the works' day and the weekday of the report, nothing else\n"
    " -q, --quiet          no notes on standard error\n"
    "     --readings FILE  say how far the readings in FILE reach\n"
    "     --since TIME     tell episodes that ended since TIME (P1D before now)\n"
    "     --summary        account for what was read, on standard error\n"
    " -V, --version        print the version\n"
    "     --week-day DAY   the day on which standing alerts are listed (mon)\n"
    " -w, --works DIR      the works folder (LEAT_WORKS)\n";

/* Adds the findings of all operands; standard input when there is none. */
static void
read_findings(struct leat_findings *tonight, char *const file[], int count)
{
	struct leat_error err;
	int i = 0;

	do {
		if (leat_findings_read(tonight, count > 0 ? file[i] : "-", &err) != 0) {
			front_error(&err);
			exit(front_end());
		}
	} while (++i < count);
	if (tonight->rejected > 0)
		front_error(&tonight->first_rejected);
	front_summary("%zu findings read, %ld rows rejected", tonight->count, tonight->rejected);
}

/* How far the readings reach.  The report is worth having without, so a failure is said and counted: then false. */
static bool
read_reach(struct leat_reaches *reaches)
{
	struct leat_time now = front_opt.now_data ? LEAT_TIME_NONE : front_now();
	struct leat_error err;

	if (opt.readings == NULL)
		return false;
	if (leat_reach_read(reaches, opt.readings, now, &err) != 0) {
		front_error(&err);
		return false;
	}
	if (reaches->rejected > 0)
		front_note("%s: %lld rows are no readings", opt.readings, reaches->rejected);
	return true;
}

/* Under --now data: the last time that the readings or, without them, the findings name; where they name none, the clock. */
static void
set_now(const struct leat_findings *tonight, struct leat_time last)
{
	size_t i;

	for (i = 0; opt.readings == NULL && i < tonight->count; i++) {
		if (leat_time_is_none(last) || leat_time_cmp(tonight->item[i].time, last) > 0)
			last = tonight->item[i].time;
	}
	front_opt.now_given = !leat_time_is_none(last);
	if (front_opt.now_given)
		front_set_now(last);
}

static void
set_calendar(struct leat_calendar *cal, const struct leat_nameplate *np)
{
	struct leat_span start;

	cal->now = front_now();
	cal->zone = leat_nameplate_zone(np);
	start = leat_nameplate_word(np, leat_span_make("", 0), "day-start", cal->now);
	if (leat_calendar_day_start(start, &cal->day_start_s) != 0)
		front_misuse("nameplate: day-start is no time of day such as 06:00");
}

static void
read_earlier(struct leat_nightly *n, struct leat_findings *earlier)
{
	static char fault[1024];
	struct leat_error err;
	char *path = NULL;
	int found;

	if (opt.previous == NULL)
		return;
	found = leat_nights_before(opt.previous, leat_calendar_day(&n->cal, n->cal.now), &n->earlier_day, &path, &err);
	if (found > 0 && leat_findings_read(earlier, path, &err) != 0)
		found = -1;
	n->earlier = earlier;
	n->earlier_status = found < 0 ? LEAT_EARLIER_UNREADABLE : found > 0 ? LEAT_EARLIER_READ : LEAT_EARLIER_NONE;
	if (found < 0) {
		n->earlier_fault = leat_error_format(&err, fault, sizeof(fault));
		front_warn("%s", fault);
	}
	if (found > 0)
		front_summary("compared with %s: %zu findings, %ld rows rejected", path, earlier->count, earlier->rejected);
	free(path);
}

/* Makes the report and prints it. */
static void
report(struct leat_nightly *n)
{
	struct leat_nightly_count count;
	struct leat_buf page = { 0 };
	struct leat_error err;

	if (leat_nightly_write(n, &page, &count, &err) != 0)
		front_error(&err);
	leat_out_bytes(front_stdout(), page.data, page.len);
	front_summary("%zu alarms, %zu alerts, %zu cannot tell, %zu shelved; %zu rows later than now left out", count.alarm,
	    count.alert, count.unknown, count.shelved, count.later);
	if (front_opt.exit_status && count.found > 0)
		front_raise(FRONT_FOUND);
	leat_buf_free(&page);
}

/* The works' day, under which a night's findings are kept, and the weekday of the date, on which the report is read. */
static void
print_day(const struct leat_calendar *cal)
{
	const char *weekday = leat_weekday_name(leat_weekday(leat_calendar_date(cal, cal->now)));
	char line[64];
	int y, m, d;

	leat_civil_from_days(leat_calendar_day(cal, cal->now), &y, &m, &d);
	snprintf(line, sizeof(line), "%04d-%02d-%02d %c%.2s\n", y, m, d, *weekday - 'A' + 'a', weekday + 1);
	leat_out_text(front_stdout(), line);
}

static void
parse(int argc, char *argv[])
{
	static const struct option longs[] = {
		{ "always", no_argument, NULL, ALWAYS },
		{ "exit-status", no_argument, NULL, 'e' },
		{ "help", no_argument, NULL, 'h' },
		{ "lines", required_argument, NULL, LINES },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "previous", required_argument, NULL, PREVIOUS },
		{ "print-day", no_argument, NULL, PRINT_DAY },
		{ "quiet", no_argument, NULL, 'q' },
		{ "readings", required_argument, NULL, READINGS },
		{ "since", required_argument, NULL, FRONT_SINCE },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "version", no_argument, NULL, 'V' },
		{ "week-day", required_argument, NULL, WEEK_DAY },
		{ "works", required_argument, NULL, 'w' },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":ehqVw:", longs, NULL)) != -1) {
		switch (c) {
		case ALWAYS:
			opt.always = true;
			break;
		case LINES:
			opt.lines = (size_t)front_int("--lines", optarg, 1, 1000000);
			break;
		case PREVIOUS:
			opt.previous = optarg;
			break;
		case PRINT_DAY:
			opt.print_day = true;
			break;
		case READINGS:
			opt.readings = optarg;
			break;
		case WEEK_DAY:
			opt.week_day = leat_weekday_find(leat_span_of(optarg));
			if (opt.week_day < 0)
				front_misuse("option '--week-day': not a weekday such as mon: '%s'", optarg);
			break;
		default:
			front_option(c, argv);
		}
	}
}

int
main(int argc, char *argv[])
{
	struct leat_findings tonight = { 0 }, earlier = { 0 };
	struct leat_reaches reaches = { .last = LEAT_TIME_NONE };
	struct leat_nightly n = { .tonight = &tonight };
	struct leat_nameplate *np;

	front_start("leat-report", help);
	parse(argc, argv);
	front_works_check();
	np = front_nameplate();
	if (opt.print_day) {
		set_calendar(&n.cal, np);
		print_day(&n.cal);
		leat_nameplate_free(np);
		return front_end();
	}
	read_findings(&tonight, argv + optind, argc - optind);
	if (read_reach(&reaches)) {
		n.reach_known = true;
		n.reach = reaches.reach;
		n.reaches = reaches.count;
	}
	if (front_opt.now_data)
		set_now(&tonight, reaches.last);
	set_calendar(&n.cal, np);
	read_earlier(&n, &earlier);
	n.file = argc - optind == 1 && strcmp(argv[optind], "-") != 0 ? argv[optind] : NULL;
	n.since = front_since();
	n.lines = opt.lines;
	n.week_day = opt.week_day;
	n.always = opt.always;
	report(&n);
	leat_findings_free(&tonight);
	leat_findings_free(&earlier);
	leat_reach_free(&reaches);
	leat_nameplate_free(np);
	return front_end();
}
