/*
 * leat-trend: slow changes of readings, and when they reach a limit; or the line through two columns of numbers.
 */
#include "front_judge.h"
#include "front_line.h"
#include "front_tables.h"
#include "judge/trend.h"

enum { AHEAD = FRONT_OWN, X, Y };

static const char help[] =
    "Usage: leat-trend [-aehqV] [--ahead DURATION] [--explain[=ASSET/POINT]]\n"
    "                  [--findings FILE] [--logbook FILE] [--max-rejects N|N%]\n"
    "                  [--nameplate FILE] [--now TIME] [--points FILE]\n"
    "                  [--print-defaults] [-r FILE] [--shelved FILE] [--since TIME]\n"
    "                  [--summary] [--trends FILE] [-w DIR] [FILE ...]\n"
    "       leat-trend [-q] [--max-rejects N|N%] [-r FILE] [--summary] --x NAME --y NAME\n"
    "                  [FILE ...]\n"
    "Judges slow changes of readings against a baseline: findings, with a range of\n"
    "dates at which a limit is reached.  With --x and --y: prints the robust line\n"
    "through two columns of a CSV file.\n"
    "\n"
    "     --ahead DURATION         tell limits that are reached within it (P60D)\n"
    " -a, --all                    print ok rows too\n"
    " -e, --exit-status            status 1 when something not shelved is found\n"
    "     --explain[=ASSET/POINT]  print instead how each judgement came about\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    " -h, --help                   print this text\n"
    "     --logbook FILE           take the logbook from FILE\n"
    "     --max-rejects N|N%       rejected rows allowed (5%)\n"
    "     --nameplate FILE         take the nameplate from FILE\n"
    "     --now TIME               the moment to judge from (the clock), or data\n"
    "     --points FILE            take the points from FILE\n"
    "     --print-defaults         print the shipped trends\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --shelved FILE           take what is shelved from FILE\n"
    "     --since TIME             print episodes that ended since TIME (P1D before now)\n"
    "     --summary                account for what was read, on standard error\n"
    "     --trends FILE            take the trends from FILE\n"
    " -V, --version                print the version\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n"
    "     --x NAME                 the column that goes along\n"
    "     --y NAME                 the column that is fitted\n";

static bool print_defaults;
static double ahead_s = 60 * 86400.0;
static const char *column_x, *column_y;

static void
warn(const char *text)
{
	front_warn("%s", text);
}

static void
account(const struct leat_trend *trend, struct leat_readings *in)
{
	struct leat_trend_count count = leat_trend_counted(trend);

	front_judge_end(in, count.later, count.found);
	front_summary("%lld judged, %lld where the gate was not true, %lld not good or no number", count.kept, count.idle,
	    count.lesser);
	front_summary("%zu judgements of %zu series; %zu shipped rows matched nothing; %zu findings, %zu not shelved and not ok",
	    count.judged, count.series, count.unmatched_shipped, count.written, count.found);
}

static int
take(void *trend, const struct leat_reading *r, struct leat_error *err)
{
	return leat_trend_take(trend, r, err);
}

/* Reads all; 0, or -1 after a message. */
static int
judge(struct leat_trend *trend, struct leat_readings *in)
{
	struct leat_error err;

	if (front_judge_read(in, take, trend) != 0)
		return -1;
	if (leat_trend_end(trend, &err) != 0) {
		front_error(&err);
		return -1;
	}
	return front_judge_dated(leat_trend_now(trend)) ? 0 : -1;
}

static void
tell(struct leat_trend *trend, const struct leat_shelves *shelves)
{
	struct leat_out *out = front_stdout();
	struct leat_error err;

	if (front_opt.explain) {
		front_judge_explained(leat_trend_explain(trend, out, leat_span_of(front_opt.explain_what)));
		return;
	}
	if (leat_trend_findings(trend, shelves, out, &err) != 0)
		front_error(&err);
}

static void
take_ahead(const char *text)
{
	struct leat_duration d;

	if (leat_duration_parse(leat_span_of(text), &d) != 0 || leat_duration_seconds(&d, &ahead_s) != 0)
		front_misuse("option '--ahead': not a duration such as P60D: '%s'", text);
}

static void
parse(int argc, char *argv[])
{
	static const struct option longs[] = {
		{ "ahead", required_argument, NULL, AHEAD },
		{ "all", no_argument, NULL, 'a' },
		{ "exit-status", no_argument, NULL, 'e' },
		{ "explain", optional_argument, NULL, FRONT_EXPLAIN },
		{ "findings", required_argument, NULL, FRONT_FINDINGS },
		{ "help", no_argument, NULL, 'h' },
		{ "logbook", required_argument, NULL, FRONT_LOGBOOK },
		{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "points", required_argument, NULL, FRONT_POINTS },
		{ "print-defaults", no_argument, NULL, FRONT_PRINT_DEFAULTS },
		{ "quiet", no_argument, NULL, 'q' },
		{ "rejects", required_argument, NULL, 'r' },
		{ "shelved", required_argument, NULL, FRONT_SHELVED },
		{ "since", required_argument, NULL, FRONT_SINCE },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "trends", required_argument, NULL, FRONT_TRENDS },
		{ "version", no_argument, NULL, 'V' },
		{ "works", required_argument, NULL, 'w' },
		{ "x", required_argument, NULL, X },
		{ "y", required_argument, NULL, Y },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":aehqr:Vw:", longs, NULL)) != -1) {
		if (c == AHEAD)
			take_ahead(optarg);
		else if (c == FRONT_PRINT_DEFAULTS)
			print_defaults = true;
		else if (c == X)
			column_x = optarg;
		else if (c == Y)
			column_y = optarg;
		else
			front_option(c, argv);
	}
	if ((column_x == NULL) != (column_y == NULL))
		front_misuse("option '%s' needs '%s' beside it", column_x != NULL ? "--x" : "--y", column_x != NULL ? "--y" : "--x");
}

static void
run(int argc, char *argv[])
{
	struct leat_trend_form form = { .warn = warn, .ahead_s = ahead_s };
	struct leat_trends trends;
	struct leat_points points;
	struct leat_shelves shelves;
	struct leat_logbook book;
	struct leat_nameplate *np;
	struct leat_trend *trend;

	front_works_check();
	front_trends(&trends);
	front_points(&points);
	np = front_nameplate();
	front_shelves(&shelves, leat_nameplate_zone(np));
	form.now = front_opt.now_data ? LEAT_TIME_NONE : front_now();
	front_logbook(&book, leat_nameplate_zone(np), form.now);
	form.in = front_readings(argc, argv);
	form.trends = &trends;
	form.points = &points;
	form.np = np;
	form.book = &book;
	form.since = front_opt.since;
	form.since_time = front_opt.since_time;
	form.all = front_opt.all;
	trend = leat_trend_new(&form);
	if (trend == NULL)
		front_misuse("out of memory");
	if (judge(trend, form.in) == 0)
		tell(trend, &shelves);
	account(trend, form.in);
	leat_trend_free(trend);
	leat_readings_close(form.in);
	leat_logbook_free(&book);
	leat_shelves_free(&shelves);
	leat_nameplate_free(np);
	leat_points_free(&points);
	leat_trends_free(&trends);
}

int
main(int argc, char *argv[])
{
	front_start("leat-trend", help);
	parse(argc, argv);
	if (print_defaults)
		leat_out_text(front_stdout(), leat_trends_defaults());
	else if (column_x != NULL)
		front_line(column_x, column_y, argc - optind, argv + optind);
	else
		run(argc, argv);
	return front_end();
}
