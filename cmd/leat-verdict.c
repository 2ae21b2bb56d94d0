/*
 * leat-verdict: may the oil of each tank stay, or is it to be cleaned, dried, partly renewed or changed?
 */
#include "front_judge.h"
#include "judge/verdict.h"

static const char help[] =
    "Usage: leat-verdict [-aehqV] [--explain[=TANK]] [--findings FILE]\n"
    "                    [--logbook FILE] [--max-rejects N|N%] [--nameplate FILE]\n"
    "                    [--now TIME] [--oil FILE] [--points FILE] [--print-defaults]\n"
    "                    [-r FILE] [--shelved FILE] [--since TIME] [--summary] [-w DIR]\n"
    "                    [FILE ...]\n"
    "       leat-verdict --nights DIR [--from TIME] [--night-time HH:MM]\n"
    "                    [--until TIME] [OPTION ...] [FILE ...]\n"
    "Judges the oil of each tank by its samples, as leat-cleanliness and leat-oil give\n"
    "them: findings that say keep, clean, dry, renew a part, or change, and why.\n"
    "\n"
    " -a, --all               print ok rows too\n"
    " -e, --exit-status       status 1 when something not shelved is found\n"
    "     --explain[=TANK]    print instead how each verdict came about\n"
    "     --findings FILE     write findings about the data itself to FILE\n"
    "     --from TIME         past nights from TIME on (the first reading)\n"
    " -h, --help              print this text\n"
    "     --logbook FILE      take the logbook from FILE\n"
    "     --max-rejects N|N%  rejected rows allowed (5%)\n"
    "     --nameplate FILE    take the nameplate from FILE\n"
    "     --night-time HH:MM  local time of day of past nights (05:30)\n"
    "     --nights DIR        judge all past nights at once, into DIR\n"
    "     --now TIME          the moment to judge from (the clock), or data\n"
    "     --oil FILE          take the rules of the oil from FILE\n"
    "     --points FILE       take the points from FILE\n"
    "     --print-defaults    print the shipped rules\n"
    " -q, --quiet             no notes on standard error\n"
    " -r, --rejects FILE      write rejected rows to FILE\n"
    "     --shelved FILE      take what is shelved from FILE\n"
    "     --since TIME        print episodes that ended since TIME (P1D before now)\n"
    "     --summary           account for what was read, on standard error\n"
    "     --until TIME        past nights up to TIME (the last reading)\n"
    " -V, --version           print the version\n"
    " -w, --works DIR         the works folder (LEAT_WORKS)\n";

static const struct option own[] = {
	{ "oil", required_argument, NULL, FRONT_OIL },
	{ "since", required_argument, NULL, FRONT_SINCE },
	{ NULL, 0, NULL, 0 }
};

static void
account(const struct leat_verdict *verdict, struct leat_readings *in)
{
	struct leat_verdict_count count = leat_verdict_counted(verdict);

	front_judge_end(in, count.later, count.found);
	front_summary("%lld results judged, %lld where the gate was not true, %lld bad or no number", count.results, count.idle,
	    count.lesser);
	front_summary("%zu tanks, %zu rules of their sampling points; %zu shipped rows matched nothing; %zu findings, %zu not "
	    "shelved and not ok", count.tanks, count.series, count.unmatched_shipped, count.written, count.found);
}

static int
take(void *verdict, const struct leat_reading *r, struct leat_error *err)
{
	return leat_verdict_take(verdict, r, err);
}

static void
as_of(void *verdict, struct leat_time now)
{
	leat_verdict_as_of(verdict, now);
}

/* Reads all; 0, or -1 after a message. */
static int
judge(struct front_judge *f, struct leat_verdict *verdict)
{
	struct leat_error err;

	if (front_judge_read_nights(f, take, verdict) != 0)
		return -1;
	if (leat_verdict_end(verdict, &err) != 0) {
		front_error(&err);
		return -1;
	}
	return front_judge_dated(leat_verdict_now(verdict)) ? 0 : -1;
}

static void
tell(struct leat_verdict *verdict, const struct leat_shelves *shelves)
{
	struct leat_out *out = front_stdout();
	struct leat_error err;

	if (front_opt.explain) {
		front_judge_explained(leat_verdict_explain(verdict, out, leat_span_of(front_opt.explain_what)));
		return;
	}
	if (leat_verdict_findings(verdict, shelves, out, &err) != 0)
		front_error(&err);
}

static void
run(struct front_judge *f, int argc, char *argv[])
{
	struct leat_verdict_form form = { .warn = front_warn_text };
	struct leat_oil_rules rules;
	struct leat_verdict *verdict;

	front_works_check();
	front_oil_rules(&rules);
	front_judge_open(f, argc, argv);
	form.in = f->in;
	form.rules = &rules;
	form.points = &f->points;
	form.np = f->np;
	form.book = &f->book;
	form.now = f->now;
	form.since = front_opt.since;
	form.since_time = front_opt.since_time;
	form.all = front_opt.all;
	verdict = leat_verdict_new(&form);
	if (verdict == NULL)
		front_misuse("out of memory");
	if (judge(f, verdict) == 0)
		tell(verdict, &f->shelves);
	account(verdict, f->in);
	leat_verdict_free(verdict);
	front_judge_close(f);
	leat_oil_rules_free(&rules);
}

int
main(int argc, char *argv[])
{
	struct front_judge f = { .name = "leat-verdict", .help = help, .own = own, .with_logbook = true,
		.as_of = as_of };

	front_judge_options(&f, argc, argv);
	if (f.print_defaults)
		leat_out_text(front_stdout(), leat_oil_rules_defaults());
	else
		run(&f, argc, argv);
	return front_end();
}
