/*
 * leat-confirm: do the data bear out what the logbook says was done, and the reverse.
 */
#include "front_judge.h"
#include "judge/confirm.h"

static const char help[] =
    "Usage: leat-confirm [-aehqV] [--confirm FILE] [--explain[=ASSET/POINT]]\n"
    "                    [--findings FILE] [--logbook FILE] [--max-rejects N|N%]\n"
    "                    [--nameplate FILE] [--now TIME] [--points FILE]\n"
    "                    [--print-defaults] [-r FILE] [--shelved FILE] [--summary]\n"
    "                    [-w DIR] [FILE ...]\n"
    "       leat-confirm --nights DIR [--from TIME] [--night-time HH:MM]\n"
    "                    [--until TIME] [OPTION ...] [FILE ...]\n"
    "Judges by readings whether the work that the logbook has was really done, and asks\n"
    "for work that the readings show and the logbook lacks.  Prints findings.\n"
    "\n"
    " -a, --all                    print what is confirmed too\n"
    "     --confirm FILE           take what the data must show from FILE\n"
    " -e, --exit-status            end with 1 when something is found\n"
    "     --explain[=ASSET/POINT]  print instead how each judgement came about\n"
    "     --findings FILE          write findings about the data itself to FILE\n"
    "     --from TIME              past nights from TIME on (the first reading)\n"
    " -h, --help                   print this text\n"
    "     --logbook FILE           take the logbook from FILE\n"
    "     --max-rejects N|N%       rejected rows allowed (5%)\n"
    "     --nameplate FILE         take the nameplate from FILE\n"
    "     --night-time HH:MM       local time of day of past nights (05:30)\n"
    "     --nights DIR             judge all past nights at once, into DIR\n"
    "     --now TIME               judge as at TIME (the clock), or data\n"
    "     --points FILE            take the points from FILE\n"
    "     --print-defaults         print the shipped confirm.csv\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --shelved FILE           take the shelved findings from FILE\n"
    "     --summary                account for what was read, on standard error\n"
    "     --until TIME             past nights up to TIME (the last reading)\n"
    " -V, --version                print the version\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n";

static const struct option own[] = {
	{ "confirm", required_argument, NULL, FRONT_CONFIRM },
	{ NULL, 0, NULL, 0 }
};

static int
take(void *confirm, const struct leat_reading *r, struct leat_error *err)
{
	return leat_confirm_take(confirm, r, err);
}

static void
as_of(void *confirm, struct leat_time now)
{
	leat_confirm_as_of(confirm, now);
}

static void
judge(struct front_judge *f, struct leat_confirm *confirm)
{
	struct leat_error err;

	if (front_judge_read_nights(f, take, confirm) != 0)
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
		leat_confirm_findings(confirm, &f->shelves, front_stdout());
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
run(struct front_judge *f, int argc, char *argv[])
{
	struct leat_confirm_form form = { .all = front_opt.all };
	struct leat_confirms confirms;
	struct leat_confirm *confirm;

	front_works_check();
	front_confirms(&confirms);
	front_judge_open(f, argc, argv);
	form.in = f->in;
	form.confirms = &confirms;
	form.points = &f->points;
	form.np = f->np;
	form.book = &f->book;
	form.now = f->now;
	confirm = leat_confirm_new(&form);
	if (confirm == NULL)
		front_misuse("out of memory");
	judge(f, confirm);
	account(confirm, f->in);
	leat_confirm_free(confirm);
	front_judge_close(f);
	leat_confirms_free(&confirms);
}

int
main(int argc, char *argv[])
{
	struct front_judge f = { .name = "leat-confirm", .help = help, .own = own, .with_logbook = true,
		.as_of = as_of };

	front_judge_options(&f, argc, argv);
	if (f.print_defaults)
		leat_out_text(front_stdout(), leat_confirms_defaults());
	else
		run(&f, argc, argv);
	return front_end();
}
