/*
 * leat-diagnose: findings to the failures that are likely behind them.
 */
#include <stdlib.h>

#include "front_judge.h"
#include "judge/diagnose.h"

enum { BLIND = FRONT_OWN, RANKING };

static const char help[] =
    "Usage: leat-diagnose [-aehqV] [--blind] [--explain[=ASSET/MODE]] [-f FILE]\n"
    "                     [--max-rejects N|N%] [--modes FILE] [--nameplate FILE]\n"
    "                     [--now TIME] [--print-defaults] [--ranking] [-r FILE]\n"
    "                     [--shelved FILE] [--since TIME] [--summary] [-w DIR]\n"
    "                     [FILE ...]\n"
    "       leat-diagnose --nights DIR [--from TIME] [--night-time HH:MM]\n"
    "                     [--until TIME] [OPTION ...] [FILE ...]\n"
    "Puts the findings of a night together to the failures that are likely behind\n"
    "them, with what speaks for each, against it, and what to read.  Give findings of\n"
    "all judges, with their ok rows.  With -f or --nights, FILEs are readings, to\n"
    "compare sisters.\n"
    "\n"
    " -a, --all                    print ok rows too\n"
    "     --blind                  print instead which failures could not be seen\n"
    " -e, --exit-status            status 1 when something not shelved is found\n"
    "     --explain[=ASSET/MODE]   print instead how each score came about\n"
    " -f, --findings FILE          the findings; may be given again\n"
    "     --from TIME              of past nights the first\n"
    " -h, --help                   print this text\n"
    "     --max-rejects N|N%       rejected readings allowed (5%)\n"
    "     --modes FILE             take the failure modes from FILE\n"
    "     --nameplate FILE         take the nameplate from FILE\n"
    "     --night-time HH:MM       local time of day of past nights (05:30)\n"
    "     --nights DIR             diagnose the nights of the judges in DIR, into it\n"
    "     --now TIME               judge as at TIME (the clock), or data\n"
    "     --print-defaults         print the shipped modes.csv\n"
    " -q, --quiet                  no notes on standard error\n"
    "     --ranking                print instead every candidate, by rank\n"
    " -r, --rejects FILE           write rejected readings to FILE\n"
    "     --shelved FILE           take what is shelved from FILE\n"
    "     --since TIME             what ended since TIME still counts (P1D before now)\n"
    "     --summary                account for what was read, on standard error\n"
    "     --until TIME             of past nights the last\n"
    " -V, --version                print the version\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n";

static struct leat_findings findings;
static struct front_judge front = { .nights = FRONT_NIGHTS_NONE };
static bool blind, defaults, ranking, named;

static void
parse(int argc, char *argv[])
{
	static const struct option longs[] = {
		{ "all", no_argument, NULL, 'a' },
		{ "blind", no_argument, NULL, BLIND },
		{ "exit-status", no_argument, NULL, 'e' },
		{ "explain", optional_argument, NULL, FRONT_EXPLAIN },
		{ "findings", required_argument, NULL, 'f' },
		{ "from", required_argument, NULL, FRONT_FROM },
		{ "help", no_argument, NULL, 'h' },
		{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
		{ "modes", required_argument, NULL, FRONT_MODES },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "night-time", required_argument, NULL, FRONT_NIGHT_TIME },
		{ "nights", required_argument, NULL, FRONT_NIGHTS },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "print-defaults", no_argument, NULL, FRONT_PRINT_DEFAULTS },
		{ "quiet", no_argument, NULL, 'q' },
		{ "ranking", no_argument, NULL, RANKING },
		{ "rejects", required_argument, NULL, 'r' },
		{ "shelved", required_argument, NULL, FRONT_SHELVED },
		{ "since", required_argument, NULL, FRONT_SINCE },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "until", required_argument, NULL, FRONT_UNTIL },
		{ "version", no_argument, NULL, 'V' },
		{ "works", required_argument, NULL, 'w' },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":aef:hqr:Vw:", longs, NULL)) != -1) {
		switch (c) {
		case BLIND:
			blind = true;
			break;
		case FRONT_PRINT_DEFAULTS:
			defaults = true;
			break;
		case RANKING:
			ranking = true;
			break;
		case 'f':
			front_findings(&findings, optarg);
			named = true;
			break;
		default:
			if (!front_nights_option(&front.nights, c, optarg))
				front_option(c, argv);
		}
	}
	if (named && front.nights.folder != NULL)
		front_misuse("options '--findings' and '--nights' exclude each other: those of each night are taken");
	if (blind + ranking + front_opt.explain > 1)
		front_misuse("of '--blind', '--explain' and '--ranking' no more than one");
}

/* Without -f the operands are the findings, or standard input is. */
static void
read_operands(char *const file[], int count)
{
	int i = 0;

	if (named || front.nights.folder != NULL)
		return;
	do
		front_findings(&findings, count > 0 ? file[i] : "-");
	while (++i < count);
}

/* Under --now data: the last time that a finding names.  False, after a message, where none does. */
static bool
set_now(void)
{
	struct leat_time last = LEAT_TIME_NONE;

	for (size_t i = 0; i < findings.count; i++)
		if (leat_time_is_none(last) || leat_time_cmp(findings.item[i].time, last) > 0)
			last = findings.item[i].time;
	if (leat_time_is_none(last)) {
		front_fail("option '--now data': no finding in the input");
		return false;
	}
	front_set_now(last);
	return true;
}

static int
take(void *diagnose, const struct leat_reading *r, struct leat_error *err)
{
	return leat_diagnose_take(diagnose, r, err);
}

static void
as_of(void *diagnose, struct leat_time now)
{
	leat_diagnose_as_of(diagnose, now);
}

/* Readings, and of a past night what the judges found then.  0, or -1: there is nothing to tell. */
static int
read_all(struct leat_diagnose *d)
{
	if (front.in == NULL)
		return 0;
	if (front_judge_read_nights(&front, take, d) != 0)
		return -1;
	if (front.nights.in_child) {
		front_nights_findings(&front.nights, &findings);
		leat_diagnose_since(d, front_since());
	}
	return front_failed() ? -1 : 0;
}

static void
judge(struct leat_diagnose *d)
{
	struct leat_out *out = front_stdout();
	struct leat_error err;
	int result;

	if (read_all(d) != 0)
		return;
	result = leat_diagnose_end(d, &err);
	if (result == 0 && front_opt.explain)
		front_judge_explained(leat_diagnose_explain(d, out, leat_span_of(front_opt.explain_what)));
	else if (result == 0 && blind)
		result = leat_diagnose_blind(d, out, &err);
	else if (result == 0 && ranking)
		leat_diagnose_ranking(d, out);
	else if (result == 0)
		result = leat_diagnose_findings(d, out, &err);
	if (result != 0)
		front_error(&err);
}

static void
account(const struct leat_diagnose *d)
{
	struct leat_diagnose_count count = leat_diagnose_counted(d);
	bool nights = front.nights.folder != NULL && !front.nights.in_child;

	if (nights) {
		front_judge_end(front.in, 0, 0);
		return;
	}
	front_summary("findings: %zu read, %ld rejected, %zu later than now left out, %zu of an earlier diagnosis left out",
	    findings.count, findings.rejected, count.later, count.own);
	front_summary("%zu identities of %zu mills, %zu open; %zu candidates, %zu more left out", count.facts, count.mills,
	    count.open, count.candidates - count.crowded, count.crowded);
	front_summary("%zu failures likely, %zu of them said in full by one finding; %zu open findings explained", count.diagnoses,
	    count.plain, count.explained);
	if (count.open == 0 && count.ended == 0 && count.fine == 0)
		front_warn("nothing is diagnosed: no finding says that anything was judged");
	else if (count.fine == 0)
		front_note("no finding says that anything is in order: give those of judges with --all, for what is absent tells as much");
	if (front.in != NULL) {
		front_judge_end(front.in, count.later_readings, 0);
		front_summary("%lld readings of sisters, %lld not compared; %zu series compared, %zu odd", count.readings, count.unlike,
		    count.sisters, count.odd);
	}
	front_summary("%zu findings, %zu not shelved and not ok", count.written, count.found);
	if (front_opt.exit_status && count.found > 0)
		front_raise(FRONT_FOUND);
}

static void
run(int argc, char *argv[])
{
	struct leat_diagnose_form form = { .findings = &findings, .all = front_opt.all };
	struct leat_shelves shelves;
	struct leat_modes modes;
	struct leat_diagnose *d = NULL;
	bool nights = front.nights.folder != NULL;

	front_works_check();
	front_modes(&modes);
	front.np = front_nameplate();
	front_shelves(&shelves, leat_nameplate_zone(front.np));
	front_nights_begin(&front.nights, front.np);
	read_operands(argv + optind, argc - optind);
	if (nights || (named && optind < argc))
		front.in = front_readings(argc, argv);
	form.modes = &modes;
	form.shelves = &shelves;
	if (nights || !front_opt.now_data || set_now()) {
		form.now = nights ? LEAT_TIME_NONE : front_now();
		form.since = nights ? LEAT_TIME_NONE : front_since();
		d = leat_diagnose_new(&form);
		if (d == NULL)
			front_misuse("out of memory");
		judge(d);
		account(d);
	}
	if (front.nights.in_child)
		front_nights_leave(&front.nights);
	leat_diagnose_free(d);
	leat_readings_close(front.in);
	leat_shelves_free(&shelves);
	leat_nameplate_free(front.np);
	leat_modes_free(&modes);
}

int
main(int argc, char *argv[])
{
	front.as_of = as_of;
	front.nights.after = front_judges;
	front_start("leat-diagnose", help);
	parse(argc, argv);
	if (defaults)
		leat_out_text(front_stdout(), leat_modes_defaults());
	else
		run(argc, argv);
	leat_findings_free(&findings);
	return front_end();
}
