/*
 * leat-confirm: do the data bear out what the logbook says was done, and the reverse.
 */
#include "front_judge.h"
#include "front_tables.h"
#include "judge/confirm.h"

static const char help[] =
    "Usage: leat-confirm [-aehqV] [--confirm FILE] [--explain[=ASSET/POINT]]\n"
    "                    [--findings FILE] [--logbook FILE] [--max-rejects N|N%]\n"
    "                    [--nameplate FILE] [--now TIME] [--points FILE]\n"
    "                    [--print-defaults] [-r FILE] [--shelved FILE] [--summary]\n"
    "                    [-w DIR] [FILE ...]\n"
    "Judges by readings whether the work that the logbook has was really done, and asks\n"
    "for work that the readings show and the logbook lacks.  Prints findings.\n"
    "\n"
    " -a, --all                    print what is confirmed too\n"
    "     --confirm FILE           take what the data must show from FILE\n"
    " -e, --exit-status            end with 1 when something is found\n"
    "     --explain[=ASSET/POINT]  print instead how each judgement came about\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    " -h, --help                   print this text\n"
    "     --logbook FILE           take the logbook from FILE\n"
    "     --max-rejects N|N%       rejected rows allowed (5%)\n"
    "     --nameplate FILE         take the nameplate from FILE\n"
    "     --now TIME               judge as at TIME (the clock), or data\n"
    "     --points FILE            take the points from FILE\n"
    "     --print-defaults         print the shipped confirm.csv\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --shelved FILE           take the shelved findings from FILE\n"
    "     --summary                account for what was read, on standard error\n"
    " -V, --version                print the version\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n";

static bool print_defaults;

static int
take(void *confirm, const struct leat_reading *r, struct leat_error *err)
{
	return leat_confirm_take(confirm, r, err);
}

static void
judge(struct leat_confirm *confirm, struct leat_readings *in, const struct leat_shelves *shelves)
{
	struct leat_error err;

	if (front_judge_read(in, take, confirm) != 0)
		return;
	if (leat_confirm_end(confirm, &err) != 0) {
		front_error(&err);
		return;
	}
	if (!front_judge_dated(leat_confirm_now(confirm)))
		return;
	if (front_opt.explain)
		front_judge_explained(leat_confirm_explain(confirm, front_stdout(), leat_span_of(front_opt.explain_what)));
	else
		leat_confirm_findings(confirm, shelves, front_stdout());
}

static void
account(const struct leat_confirm *confirm, const struct leat_readings *in)
{
	struct leat_confirm_count count = leat_confirm_counted(confirm);

	if (count.series == 0 && !front_failed() && front_stdout()->errnum == 0)
		front_warn("no work judged: no reading is of a point in confirm.csv or in the shipped rows; run the derive filters "
		    "first");
	front_judge_end(in, count.later, count.found);
	front_summary("log entries: %zu; of the newest of each work with a row %zu judged, %zu without a reading that could show it",
	    count.entries, count.judged, count.untold);
	front_summary("%zu series by which work is judged; %zu findings, %zu not shelved and not ok", count.series, count.written,
	    count.found);
}

static void
parse(int argc, char *argv[])
{
	static const struct option longs[] = {
		{ "all", no_argument, NULL, 'a' },
		{ "confirm", required_argument, NULL, FRONT_CONFIRM },
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
	struct leat_confirm_form form = { .all = front_opt.all };
	struct leat_confirms confirms;
	struct leat_points points;
	struct leat_shelves shelves;
	struct leat_logbook book;
	struct leat_nameplate *np;
	struct leat_confirm *confirm;

	front_works_check();
	front_confirms(&confirms);
	front_points(&points);
	np = front_nameplate();
	front_shelves(&shelves, leat_nameplate_zone(np));
	form.now = front_opt.now_data ? LEAT_TIME_NONE : front_now();
	front_logbook(&book, leat_nameplate_zone(np), form.now);
	form.in = front_readings(argc, argv);
	form.confirms = &confirms;
	form.points = &points;
	form.np = np;
	form.book = &book;
	confirm = leat_confirm_new(&form);
	if (confirm == NULL)
		front_misuse("out of memory");
	judge(confirm, form.in, &shelves);
	account(confirm, form.in);
	leat_confirm_free(confirm);
	leat_readings_close(form.in);
	leat_logbook_free(&book);
	leat_shelves_free(&shelves);
	leat_nameplate_free(np);
	leat_points_free(&points);
	leat_confirms_free(&confirms);
}

int
main(int argc, char *argv[])
{
	front_start("leat-confirm", help);
	parse(argc, argv);
	if (print_defaults)
		leat_out_text(front_stdout(), leat_confirms_defaults());
	else
		run(argc, argv);
	return front_end();
}
