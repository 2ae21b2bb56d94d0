/*
 * leat-report: findings to the text that a person reads in the morning.
 */
#include <stdlib.h>
#include <string.h>

#include "front.h"
#include "front_tables.h"
#include "tell/nightly_mail.h"
#include "tell/reach.h"

enum { ALWAYS = FRONT_OWN, FROM, HTML, LINES, MAIL, PICTURES, PREVIOUS, PRINT_DAY, READINGS, TO, WEEK_DAY };

static struct {
	bool always, print_day, html, mail;
	size_t lines;
	int week_day;
	const char *readings, *previous, *pictures, *from, *to;
} opt = { .lines = 10 };

static const char help[] =
    "Usage: leat-report [-ehqV] [--always] [--html | --mail --from ADDRESS --to ADDRESS]\n"
    "                   [--lines N] [--logbook FILE] [--nameplate FILE] [--now TIME]\n"
    "                   [--pictures FILE] [--previous DIR] [--print-day] [--readings FILE]\n"
    "                   [--since TIME] [--summary] [--week-day DAY] [-w DIR] [FILE ...]\n"
    "Findings to the nightly text: new, worse, still, cleared, what cannot be told.\n"
    "\n"
    "     --always         print a report even when there is nothing to say\n"
    " -e, --exit-status    status 1 when something not shelved is alert, alarm or unknown\n"
    "     --from ADDRESS   whom the mail is from\n"
    " -h, --help           print this text\n"
    "     --html           print the report in HTML, one file with all that is in it\n"
    "     --lines N        show N lines of each section, the gravest first (10)\n"
    "     --logbook FILE   take what was done, to mark it in pictures, from FILE\n"
    "     --mail           print the report as a mail for sendmail -t\n"
    "     --nameplate FILE take zone and start of day from FILE\n"
    "     --now TIME       the moment to look from (the clock), or data\n"
    "     --pictures FILE  draw the series of findings by the readings in FILE\n"
    "     --previous DIR   compare with the newest earlier night in DIR\n"
    "     --print-day      print the works' day and the weekday of the report, nothing else\n"
    " -q, --quiet          no notes on standard error\n"
    "     --readings FILE  say how far the readings in FILE reach\n"
    "     --since TIME     tell episodes that ended since TIME (P1D before now)\n"
    "     --summary        account for what was read, on standard error\n"
    "     --to ADDRESS     whom the mail is to; several with commas between\n"
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
	struct leat_error err;

	if (leat_nightly_calendar(cal, np, front_now(), &err) != 0)
		front_misuse("%s", err.text);
}

static void
read_earlier(struct leat_nightly *n, struct leat_findings *earlier)
{
	static char fault[1024];
	char *path = NULL;

	if (opt.previous == NULL)
		return;
	leat_nightly_earlier(n, opt.previous, earlier, fault, &path);
	if (n->earlier_status == LEAT_EARLIER_UNREADABLE)
		front_warn("%s", fault);
	if (n->earlier_status == LEAT_EARLIER_READ)
		front_summary("compared with %s: %zu findings, %ld rows rejected", path, earlier->count, earlier->rejected);
	free(path);
}

/* The report is worth having without pictures, so a failure is said and counted: then NULL. */
static struct leat_gallery *
read_pictures(const struct leat_nightly *n)
{
	const struct leat_gallery_form form = { .zone = n->cal.zone, .now = n->cal.now, .since = n->since };
	struct leat_gallery *gallery = opt.pictures != NULL ? leat_gallery_new(&form) : NULL;
	long long rejected = 0;
	struct leat_error err;
	char text[1024];

	if (opt.pictures == NULL)
		return NULL;
	if (gallery == NULL)
		leat_error_memory(&err);
	if (gallery == NULL || leat_gallery_findings(gallery, n->tonight, &err) != 0 ||
	    leat_gallery_read(gallery, opt.pictures, &rejected, &err) != 0) {
		front_error(&err);
		leat_gallery_free(gallery);
		return NULL;
	}
	if (rejected > 0)
		front_note("%s: %lld rows are no readings", opt.pictures, rejected);
	/* Marks of what was done are worth a word when they are missing, no more. */
	if (front_table(FRONT_LOGBOOK) != NULL && leat_gallery_logbook(gallery, front_table(FRONT_LOGBOOK), &err) != 0)
		front_warn("%s", leat_error_format(&err, text, sizeof(text)));
	return gallery;
}

/* Makes the report and prints it. */
static void
report(struct leat_nightly *n)
{
	struct leat_nightly_count count;
	struct leat_buf page = { 0 };
	struct leat_error err;
	int result;

	if (opt.mail)
		result = leat_nightly_mail(n, leat_span_of(opt.from), leat_span_of(opt.to), &page, &count, &err);
	else
		result = leat_nightly_write(n, opt.html ? LEAT_PAGE_HTML : LEAT_PAGE_TEXT, &page, &count, &err);
	if (result != 0)
		front_error(&err);
	else
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

/* Options that are no more than their text. */
static bool
take_text(int code, const char *text)
{
	const struct {
		int code;
		const char **text;
	} own[] = {
		{ FROM, &opt.from }, { PICTURES, &opt.pictures }, { PREVIOUS, &opt.previous }, { READINGS, &opt.readings },
		{ TO, &opt.to }
	};

	for (size_t i = 0; i < sizeof(own) / sizeof(own[0]); i++) {
		if (own[i].code == code) {
			*own[i].text = text;
			return true;
		}
	}
	return false;
}

static void
parse(int argc, char *argv[])
{
	static const struct option longs[] = {
		{ "always", no_argument, NULL, ALWAYS },
		{ "exit-status", no_argument, NULL, 'e' },
		{ "from", required_argument, NULL, FROM },
		{ "help", no_argument, NULL, 'h' },
		{ "html", no_argument, NULL, HTML },
		{ "lines", required_argument, NULL, LINES },
		{ "logbook", required_argument, NULL, FRONT_LOGBOOK },
		{ "mail", no_argument, NULL, MAIL },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "pictures", required_argument, NULL, PICTURES },
		{ "previous", required_argument, NULL, PREVIOUS },
		{ "print-day", no_argument, NULL, PRINT_DAY },
		{ "quiet", no_argument, NULL, 'q' },
		{ "readings", required_argument, NULL, READINGS },
		{ "since", required_argument, NULL, FRONT_SINCE },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "to", required_argument, NULL, TO },
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
		case HTML:
			opt.html = true;
			break;
		case LINES:
			opt.lines = (size_t)front_int("--lines", optarg, 1, 1000000);
			break;
		case MAIL:
			opt.mail = true;
			break;
		case PRINT_DAY:
			opt.print_day = true;
			break;
		case WEEK_DAY:
			opt.week_day = leat_weekday_find(leat_span_of(optarg));
			if (opt.week_day < 0)
				front_misuse("option '--week-day': not a weekday such as mon: '%s'", optarg);
			break;
		default:
			if (!take_text(c, optarg))
				front_option(c, argv);
		}
	}
}

static void
check_addresses(const char *option, const char *list, size_t most)
{
	struct leat_error err;
	char text[1024];

	if (leat_nightly_mail_check(leat_span_of(list), most, &err) != 0)
		front_misuse("option '%s': %s", option, leat_error_format(&err, text, sizeof(text)));
}

/* What goes with what, before anything is read. */
static void
check_options(void)
{
	if (opt.html && opt.mail)
		front_misuse("options '--html' and '--mail' exclude each other: a mail has both forms in it");
	if (!opt.mail && (opt.from != NULL || opt.to != NULL))
		front_misuse("options '--from' and '--to' go with '--mail'");
	if (opt.mail && (opt.from == NULL || opt.to == NULL))
		front_misuse("option '--mail' needs '--from' and '--to'");
	if (opt.pictures != NULL && !opt.html && !opt.mail)
		front_misuse("option '--pictures' goes with '--html' or '--mail'");
	if (opt.mail) {
		check_addresses("--from", opt.from, 1);
		check_addresses("--to", opt.to, LEAT_MAIL_ADDRESSES);
	}
	if (opt.pictures != NULL && opt.readings != NULL && strcmp(opt.pictures, "-") == 0 && strcmp(opt.readings, "-") == 0)
		front_misuse("standard input cannot be both '--pictures' and '--readings'");
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
	check_options();
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
	n.works = leat_nameplate_word(np, leat_span_make("", 0), "works-name", n.cal.now);
	n.gallery = read_pictures(&n);
	report(&n);
	leat_gallery_free(n.gallery);
	leat_findings_free(&tonight);
	leat_findings_free(&earlier);
	leat_reach_free(&reaches);
	leat_nameplate_free(np);
	return front_end();
}
