/*
 * leat-trend: slow changes of readings, and when they reach a limit; or the line through two columns of numbers.
 */
#include "front_judge.h"
#include "front_line.h"
#include "judge/trend.h"

enum { AHEAD = FRONT_OWN, X, Y };

static const char help[] =
    "Usage: leat-trend [-aehqV] [--ahead DURATION] [--explain[=ASSET/POINT]]\n"
    "                  [--findings FILE] [--logbook FILE] [--max-rejects N|N%]\n"
    "                  [--nameplate FILE] [--now TIME] [--points FILE]\n"
    "                  [--print-defaults] [-r FILE] [--shelved FILE] [--since TIME]\n"
    "                  [--summary] [--trends FILE] [-w DIR] [FILE ...]\n"
    "       leat-trend --nights DIR [--from TIME] [--night-time HH:MM]\n"
    "                  [--until TIME] [OPTION ...] [FILE ...]\n"
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
    "     --from TIME              past nights from TIME on (the first reading)\n"
    " -h, --help                   print this text\n"
    "     --logbook FILE           take the logbook from FILE\n"
    "     --max-rejects N|N%       rejected rows allowed (5%)\n"
    "     --nameplate FILE         take the nameplate from FILE\n"
    "     --night-time HH:MM       local time of day of past nights (05:30)\n"
    "     --nights DIR             judge all past nights at once, into DIR\n"
    "     --now TIME               the moment to judge from (the clock), or data\n"
    "     --points FILE            take the points from FILE\n"
    "     --print-defaults         print the shipped trends\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --shelved FILE           take what is shelved from FILE\n"
    "     --since TIME             print episodes that ended since TIME (P1D before now)\n"
    "     --summary                account for what was read, on standard error\n"
    "     --trends FILE            take the trends from FILE\n"
    "     --until TIME             past nights up to TIME (the last reading)\n"
    " -V, --version                print the version\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n"
    "     --x NAME                 the column that goes along\n"
    "     --y NAME                 the column that is fitted\n";

static const struct option own[] = {
	{ "ahead", required_argument, NULL, AHEAD },
	{ "since", required_argument, NULL, FRONT_SINCE },
	{ "trends", required_argument, NULL, FRONT_TRENDS },
	{ "x", required_argument, NULL, X },
	{ "y", required_argument, NULL, Y },
	{ NULL, 0, NULL, 0 }
};

static double ahead_s = 60 * 86400.0;
static const char *column_x, *column_y;

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

static void
as_of(void *trend, struct leat_time now)
{
	leat_trend_as_of(trend, now);
}

/* Reads all; 0, or -1 after a message. */
static int
judge(struct front_judge *f, struct leat_trend *trend)
{
	struct leat_error err;

	if (front_judge_read_nights(f, take, trend) != 0)
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

static bool
take_option(int code)
{
	switch (code) {
	case AHEAD: take_ahead(optarg); return true;
	case X: column_x = optarg; return true;
	case Y: column_y = optarg; return true;
	default: return false;
	}
}

static void
run(struct front_judge *f, int argc, char *argv[])
{
	struct leat_trend_form form = { .warn = front_warn_text, .ahead_s = ahead_s };
	struct leat_trends trends;
	struct leat_trend *trend;

	front_works_check();
	front_trends(&trends);
	front_judge_open(f, argc, argv);
	form.in = f->in;
	form.trends = &trends;
	form.points = &f->points;
	form.np = f->np;
	form.book = &f->book;
	form.now = f->now;
	form.since = front_opt.since;
	form.since_time = front_opt.since_time;
	form.all = front_opt.all;
	trend = leat_trend_new(&form);
	if (trend == NULL)
		front_misuse("out of memory");
	if (judge(f, trend) == 0)
		tell(trend, &f->shelves);
	account(trend, f->in);
	leat_trend_free(trend);
	front_judge_close(f);
	leat_trends_free(&trends);
}

int
main(int argc, char *argv[])
{
	struct front_judge f = { .name = "leat-trend", .help = help, .own = own, .option = take_option, .with_logbook = true,
		.as_of = as_of };

	front_judge_options(&f, argc, argv);
	if ((column_x == NULL) != (column_y == NULL))
		front_misuse("option '%s' needs '%s' beside it", column_x != NULL ? "--x" : "--y", column_x != NULL ? "--y" : "--x");
	if (f.print_defaults)
		leat_out_text(front_stdout(), leat_trends_defaults());
	else if (column_x != NULL)
		front_line(column_x, column_y, argc - optind, argv + optind);
	else
		run(&f, argc, argv);
	return front_end();
}
