/*
 * leat-check: readings against limits, one finding an episode.
 */
#include "front_judge.h"
#include "front_proof.h"
#include "stream/check.h"

static const char help[] =
    "Usage: leat-check [-aehqV] [--explain[=ASSET/POINT]] [--findings FILE]\n"
    "                  [--limits FILE] [--max-rejects N|N%] [--nameplate FILE]\n"
    "                  [--now TIME] [--points FILE] [--print-defaults] [-r FILE]\n"
    "                  [--shelved FILE] [--since TIME] [--summary] [-w DIR] [FILE ...]\n"
    "       leat-check --nights DIR [--from TIME] [--night-time HH:MM]\n"
    "                  [--until TIME] [OPTION ...] [FILE ...]\n"
    "       leat-check --tables [-eq] [--now TIME] [--summary] -w DIR\n"
    "Judges readings by limits, rates, stale and frozen signals: findings.\n"
    "\n"
    " -a, --all                    print ok rows and every episode too\n"
    " -e, --exit-status            status 1 when something not shelved is found\n"
    "     --explain[=ASSET/POINT]  print instead how each judgement came about\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    "     --from TIME              past nights from TIME on (the first reading)\n"
    " -h, --help                   print this text\n"
    "     --limits FILE            take the limits from FILE\n"
    "     --max-rejects N|N%       rejected rows allowed (5%)\n"
    "     --nameplate FILE         take the works' zone from FILE\n"
    "     --night-time HH:MM       local time of day of past nights (05:30)\n"
    "     --nights DIR             judge all past nights at once, into DIR\n"
    "     --now TIME               the moment to judge from (the clock), or data\n"
    "     --points FILE            take the points from FILE\n"
    "     --print-defaults         print the shipped limits\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --shelved FILE           take what is shelved from FILE\n"
    "     --since TIME             print episodes that ended since TIME (P1D before now)\n"
    "     --summary                account for what was read, on standard error\n"
    "     --tables                 check the tables of the works folder, read no readings\n"
    "     --until TIME             past nights up to TIME (the last reading)\n"
    " -V, --version                print the version\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n";

enum { TABLES = FRONT_OWN };

static const struct option own[] = {
	{ "limits", required_argument, NULL, FRONT_LIMITS },
	{ "since", required_argument, NULL, FRONT_SINCE },
	{ "tables", no_argument, NULL, TABLES },
	{ NULL, 0, NULL, 0 }
};

static bool tables;

static void
found(void *user, const struct leat_finding *f)
{
	leat_finding_write(user, f, true);
}

static void
account(const struct leat_check *check, struct leat_readings *in)
{
	struct leat_readings_count rows = leat_readings_counted(in);
	struct leat_check_count count = leat_check_counted(check);

	front_judge_end(in, count.later, count.found);
	front_summary("%lld judged, %lld of quality bad, %lld of points without a row", rows.rows - count.later - count.bad -
	    count.unjudged, count.bad, count.unjudged);
	front_summary("%zu of %zu series have a row; %zu shipped rows matched nothing; %zu findings, %zu not shelved and not ok",
	    count.ruled, count.series, count.unmatched_shipped, count.written, count.found);
}

static int
take(void *check, const struct leat_reading *r, struct leat_error *err)
{
	return leat_check_take(check, r, err);
}

static void
as_of(void *check, struct leat_time now)
{
	leat_check_as_of(check, now);
}

/* Reads all; 0, or -1 after a message. */
static int
judge(struct front_judge *f, struct leat_check *check)
{
	struct leat_error err;

	if (front_judge_read_nights(f, take, check) != 0)
		return -1;
	if (leat_check_end(check, &err) != 0) {
		front_error(&err);
		return -1;
	}
	return front_judge_dated(leat_check_now(check)) ? 0 : -1;
}

static void
tell(struct leat_check *check, const struct leat_shelves *shelves)
{
	struct leat_out *out = front_stdout();
	struct leat_error err;

	if (front_opt.explain) {
		front_judge_explained(leat_check_explain(check, out, leat_span_of(front_opt.explain_what)));
		return;
	}
	leat_findings_write_header(out, NULL);
	if (leat_check_findings(check, shelves, found, out, &err) != 0)
		front_error(&err);
}

static bool
take_option(int code)
{
	tables = tables || code == TABLES;
	return code == TABLES;
}

static void
run(struct front_judge *f, int argc, char *argv[])
{
	struct leat_check_form form = { .warn = front_warn_text };
	struct leat_limits limits;
	struct leat_check *check;

	front_works_check();
	front_limits(&limits);
	front_judge_open(f, argc, argv);
	form.in = f->in;
	form.limits = &limits;
	form.points = &f->points;
	form.now = f->now;
	form.since = front_opt.since;
	form.since_time = front_opt.since_time;
	form.all = front_opt.all;
	check = leat_check_new(&form);
	if (check == NULL)
		front_misuse("out of memory");
	if (judge(f, check) == 0)
		tell(check, &f->shelves);
	account(check, f->in);
	leat_check_free(check);
	front_judge_close(f);
	leat_limits_free(&limits);
}

int
main(int argc, char *argv[])
{
	struct front_judge f = { .name = "leat-check", .help = help, .own = own, .option = take_option, .as_of = as_of };

	front_judge_options(&f, argc, argv);
	if (f.print_defaults)
		leat_out_text(front_stdout(), leat_limits_defaults());
	else if (tables)
		front_proof(argc - optind);
	else
		run(&f, argc, argv);
	return front_end();
}
