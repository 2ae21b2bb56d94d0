/*
 * leat-verdict: may the oil of each tank stay, or is it to be cleaned, dried, partly renewed or changed?
 */
#include "front_judge.h"
#include "front_tables.h"
#include "judge/verdict.h"

static const char help[] =
    "Usage: leat-verdict [-aehqV] [--explain[=TANK]] [--findings FILE]\n"
    "                    [--logbook FILE] [--max-rejects N|N%] [--nameplate FILE]\n"
    "                    [--now TIME] [--oil FILE] [--points FILE] [--print-defaults]\n"
    "                    [-r FILE] [--shelved FILE] [--since TIME] [--summary] [-w DIR]\n"
    "                    [FILE ...]\n"
    "Judges the oil of each tank by its samples, as leat-cleanliness and leat-oil give\n"
    "them: findings that say keep, clean, dry, renew a part, or change, and why.\n"
    "\n"
    " -a, --all               print ok rows too\n"
    " -e, --exit-status       status 1 when something not shelved is found\n"
    "     --explain[=TANK]    print instead how each verdict came about\n"
    "     --findings FILE     write findings about the data itself to FILE\n"
    " -h, --help              print this text\n"
    "     --logbook FILE      take the logbook from FILE\n"
    "     --max-rejects N|N%  rejected rows allowed (5%)\n"
    "     --nameplate FILE    take the nameplate from FILE\n"
    "     --now TIME          the moment to judge from (the clock), or data\n"
    "     --oil FILE          take the rules of the oil from FILE\n"
    "     --points FILE       take the points from FILE\n"
    "     --print-defaults    print the shipped rules\n"
    " -q, --quiet             no notes on standard error\n"
    " -r, --rejects FILE      write rejected rows to FILE\n"
    "     --shelved FILE      take what is shelved from FILE\n"
    "     --since TIME        print episodes that ended since TIME (P1D before now)\n"
    "     --summary           account for what was read, on standard error\n"
    " -V, --version           print the version\n"
    " -w, --works DIR         the works folder (LEAT_WORKS)\n";

static bool print_defaults;

static void
warn(const char *text)
{
	front_warn("%s", text);
}

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

/* Reads all; 0, or -1 after a message. */
static int
judge(struct leat_verdict *verdict, struct leat_readings *in)
{
	struct leat_error err;

	if (front_judge_read(in, take, verdict) != 0)
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
parse(int argc, char *argv[])
{
	static const struct option longs[] = {
		{ "all", no_argument, NULL, 'a' },
		{ "exit-status", no_argument, NULL, 'e' },
		{ "explain", optional_argument, NULL, FRONT_EXPLAIN },
		{ "findings", required_argument, NULL, FRONT_FINDINGS },
		{ "help", no_argument, NULL, 'h' },
		{ "logbook", required_argument, NULL, FRONT_LOGBOOK },
		{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "oil", required_argument, NULL, FRONT_OIL },
		{ "points", required_argument, NULL, FRONT_POINTS },
		{ "print-defaults", no_argument, NULL, FRONT_PRINT_DEFAULTS },
		{ "quiet", no_argument, NULL, 'q' },
		{ "rejects", required_argument, NULL, 'r' },
		{ "shelved", required_argument, NULL, FRONT_SHELVED },
		{ "since", required_argument, NULL, FRONT_SINCE },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "version", no_argument, NULL, 'V' },
		{ "works", required_argument, NULL, 'w' },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":aehqr:Vw:", longs, NULL)) != -1) {
		if (c == FRONT_PRINT_DEFAULTS)
			print_defaults = true;
		else
			front_option(c, argv);
	}
}

static void
run(int argc, char *argv[])
{
	struct leat_verdict_form form = { .warn = warn };
	struct leat_oil_rules rules;
	struct leat_points points;
	struct leat_shelves shelves;
	struct leat_logbook book;
	struct leat_nameplate *np;
	struct leat_verdict *verdict;

	front_works_check();
	front_oil_rules(&rules);
	front_points(&points);
	np = front_nameplate();
	front_shelves(&shelves, leat_nameplate_zone(np));
	form.now = front_opt.now_data ? LEAT_TIME_NONE : front_now();
	front_logbook(&book, leat_nameplate_zone(np), form.now);
	form.in = front_readings(argc, argv);
	form.rules = &rules;
	form.points = &points;
	form.np = np;
	form.book = &book;
	form.since = front_opt.since;
	form.since_time = front_opt.since_time;
	form.all = front_opt.all;
	verdict = leat_verdict_new(&form);
	if (verdict == NULL)
		front_misuse("out of memory");
	if (judge(verdict, form.in) == 0)
		tell(verdict, &shelves);
	account(verdict, form.in);
	leat_verdict_free(verdict);
	leat_readings_close(form.in);
	leat_logbook_free(&book);
	leat_shelves_free(&shelves);
	leat_nameplate_free(np);
	leat_points_free(&points);
	leat_oil_rules_free(&rules);
}

int
main(int argc, char *argv[])
{
	front_start("leat-verdict", help);
	parse(argc, argv);
	if (print_defaults)
		leat_out_text(front_stdout(), leat_oil_rules_defaults());
	else
		run(argc, argv);
	return front_end();
}
