/*
 * leat-loss: what low grinding pressure, leakage and waiting cost; and as a calculator.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "front_calc.h"
#include "front_judge.h"
#include "judge/loss.h"
#include "physics/cost.h"
#include "physics/force.h"

enum { DAYS = FRONT_OWN, FIT };

static const char help[] =
    "Usage: leat-loss [-aehqV] [--days N] [--explain[=ASSET/POINT]] [-f FILE]\n"
    "                 [--logbook FILE] [--max-rejects N|N%] [--nameplate FILE]\n"
    "                 [--now TIME] [--points FILE] [-r FILE] [--shelved FILE]\n"
    "                 [--stops FILE] [--summary] [-w DIR] [FILE ...]\n"
    "       leat-loss --nights DIR [--from TIME] [--night-time HH:MM] [--until TIME]\n"
    "                 [OPTION ...] [FILE ...]\n"
    "       leat-loss --fit [OPTION ...] [FILE ...]\n"
    "       leat-loss FLOW PRESSURE\n"
    "       leat-loss AGREED PRESSURE [HEAD BORE ROD] [FEED]\n"
    "Tells from readings what low grinding pressure and leakage cost: tonnes of feed,\n"
    "kilowatt-hours and money, as ranges; and, with the findings of the night, what each\n"
    "day of waiting costs.  Prints findings.\n"
    "\n"
    " -a, --all                    print ok rows too\n"
    "     --days N                 works' days that are added up, 1 to 30 (30)\n"
    " -e, --exit-status            status 1 when something not shelved is found\n"
    "     --explain[=ASSET/POINT]  print instead how each number came about\n"
    " -f, --findings FILE          tell what waiting costs of these; may be given again\n"
    "     --fit                    print instead nameplate rows: how the feed follows\n"
    "                              the force in these readings\n"
    "     --from TIME              of past nights the first\n"
    " -h, --help                   print this text\n"
    "     --logbook FILE           take the pressures that were set from FILE\n"
    "     --max-rejects N|N%       rejected rows allowed (5%)\n"
    "     --nameplate FILE         take the nameplate from FILE\n"
    "     --night-time HH:MM       local time of day of past nights (05:30)\n"
    "     --nights DIR             judge past nights, with what DIR has found then, into it\n"
    "     --now TIME               the moment to judge from (the clock), or data\n"
    "     --points FILE            take the points from FILE\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --shelved FILE           take what is shelved from FILE\n"
    "     --stops FILE             take the stops from FILE\n"
    "     --summary                account for what was read, on standard error\n"
    "     --until TIME             of past nights the last\n"
    " -V, --version                print the version\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n";

static struct leat_loss_form form = { .days = LEAT_LOSS_DAYS };
static struct leat_findings findings;
static struct front_judge front = { .with_logbook = true, .nights = FRONT_NIGHTS_NONE };

/* Rows that are none are left out, and said. */
static void
take_findings(const char *path)
{
	form.findings = &findings;
	front_findings(&findings, path);
}

/* An option of this command alone; false for any other. */
static bool
take_own(int c)
{
	switch (c) {
	case DAYS:
		form.days = (int)front_int("--days", optarg, 1, LEAT_LOSS_DAYS);
		return true;
	case FIT:
		form.fit = true;
		return true;
	case 'f':
		take_findings(optarg);
		return true;
	default:
		return front_nights_option(&front.nights, c, optarg);
	}
}

static void
parse(int argc, char *argv[])
{
	static const struct option longs[] = {
		{ "all", no_argument, NULL, 'a' },
		{ "days", required_argument, NULL, DAYS },
		{ "exit-status", no_argument, NULL, 'e' },
		{ "explain", optional_argument, NULL, FRONT_EXPLAIN },
		{ "findings", required_argument, NULL, 'f' },
		{ "fit", no_argument, NULL, FIT },
		{ "from", required_argument, NULL, FRONT_FROM },
		{ "help", no_argument, NULL, 'h' },
		{ "logbook", required_argument, NULL, FRONT_LOGBOOK },
		{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "night-time", required_argument, NULL, FRONT_NIGHT_TIME },
		{ "nights", required_argument, NULL, FRONT_NIGHTS },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "points", required_argument, NULL, FRONT_POINTS },
		{ "quiet", no_argument, NULL, 'q' },
		{ "rejects", required_argument, NULL, 'r' },
		{ "shelved", required_argument, NULL, FRONT_SHELVED },
		{ "stops", required_argument, NULL, FRONT_STOPS },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "until", required_argument, NULL, FRONT_UNTIL },
		{ "version", no_argument, NULL, 'V' },
		{ "works", required_argument, NULL, 'w' },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":aef:hqr:Vw:", longs, NULL)) != -1)
		if (!take_own(c))
			front_option(c, argv);
	if (front.nights.folder != NULL && form.fit)
		front_misuse("options '--fit' and '--nights' exclude each other");
	if (front.nights.folder != NULL && form.findings != NULL)
		front_misuse("options '--findings' and '--nights' exclude each other: those of each night are taken");
}

/* The power of a leak. */
static void
calculate_leak(char *const argv[])
{
	double kw = leat_cost_power_kw(front_operand(argv[0], "L/min"), front_operand(argv[1], "bar"));

	front_print("%.4f kW\n", kw);
	front_print("%.2f to %.2f kWh a day at a pump motor of %.0f to %.0f %%\n", kw * 2400 / LEAT_LOSS_EFFICIENCY_HIGH,
	    kw * 2400 / LEAT_LOSS_EFFICIENCY_LOW, LEAT_LOSS_EFFICIENCY_HIGH, LEAT_LOSS_EFFICIENCY_LOW);
}

/* The force that is missing, and the feed. */
static void
calculate_feed(int argc, char *const argv[])
{
	bool cylinder = argc >= 5, feed = argc == 3 || argc == 6;
	double head = cylinder ? front_operand(argv[2], "bar") : NAN, bore = cylinder ? front_operand(argv[3], "mm") : NAN;
	double rod = cylinder ? front_operand(argv[4], "mm") : NAN, full, now, tph;

	if (cylinder && !leat_force_possible(bore, rod))
		front_misuse("a rod of %g mm is not one of a bore of %g mm", rod, bore);
	full = leat_cost_force(front_operand(argv[0], "bar"), head, bore, rod);
	now = leat_cost_force(front_operand(argv[1], "bar"), head, bore, rod);
	if (!(full > 0) || now < 0)
		front_misuse("no pressing force at these pressures");
	front_print("%.2f %% of the force is missing\n", 100 * (1 - now / full));
	if (!feed)
		return;
	tph = front_operand(argv[argc - 1], "t/h");
	front_print("%.2f to %.2f t/h of feed lost where the pressure limits the mill (m %.1f to %.1f)\n",
	    leat_cost_lost_tph(tph, 1 - now / full, LEAT_LOSS_M_LOW),
	    leat_cost_lost_tph(tph, (1 - now / full) * (cylinder ? 1 : LEAT_COST_BLIND), LEAT_LOSS_M_HIGH), LEAT_LOSS_M_LOW,
	    LEAT_LOSS_M_HIGH);
}

static void
calculate(int argc, char *const argv[])
{
	struct front_quantity first = front_quantity(argv[0]);
	bool flow = first.unit != NULL && leat_unit_same_dimension(first.unit, leat_unit_find(LEAT_SPAN("L/min")));

	if (flow && argc == 2)
		calculate_leak(argv);
	else if (!flow && argc != 4 && argc >= 2 && argc <= 6)
		calculate_feed(argc, argv);
	else
		front_misuse("a flow and a pressure are due, or two pressures, with head pressure, bore and rod, and feed");
}

static int
take(void *loss, const struct leat_reading *r, struct leat_error *err)
{
	return leat_loss_take(loss, r, err);
}

static void
tell(struct leat_loss *loss, const struct leat_shelves *shelves)
{
	struct leat_out *out = front_stdout();
	int status = 0;

	if (form.fit)
		status = leat_loss_fit(loss, out, front_warn_text);
	else if (front_opt.explain)
		front_judge_explained(leat_loss_explain(loss, out, leat_span_of(front_opt.explain_what)));
	else
		status = leat_loss_findings(loss, shelves, out);
	if (status != 0)
		front_fail("out of memory");
}

static void
as_of(void *loss, struct leat_time now)
{
	leat_loss_as_of(loss, now);
}

static void
judge(struct leat_loss *loss, const struct leat_shelves *shelves)
{
	struct leat_error err;

	if (front_judge_read_nights(&front, take, loss) != 0)
		return;
	if (front.nights.in_child) {
		leat_loss_night(loss, &front.book, front_nights_findings(&front.nights, &findings) > 0 ? &findings : NULL);
		if (front_failed())
			return;
	}
	if (leat_loss_end(loss, &err) != 0) {
		front_error(&err);
		return;
	}
	if (front_judge_dated(leat_loss_now(loss)))
		tell(loss, shelves);
}

static void
account(const struct leat_loss *loss)
{
	struct leat_loss_count count = leat_loss_counted(loss);

	/* What was judged the nights have said. */
	if (front.nights.folder != NULL && !front.nights.in_child) {
		front_judge_end(form.in, count.later, 0);
		return;
	}
	/* A reader that has left need not be told. */
	if (count.mills == 0 && !front_failed() && leat_out_flush(front_stdout()) == 0)
		front_warn("nothing to tell: no mill has readings named state and pressure; run leat-state first");
	else if (count.days == 0 && !front_failed() && leat_out_flush(front_stdout()) == 0)
		front_warn("nothing to tell: no works' day is over");
	front_judge_end(form.in, count.later, count.found);
	front_summary("mills: %zu; leaks with daily values: %zu; works' days: %zu", count.mills, count.leaks, count.days);
	front_summary("findings read: %zu, %ld rejected; %zu open ones have a cost, of %zu nothing is known", findings.count,
	    findings.rejected, count.waiting, count.uncosted);
	front_summary("%zu findings, %zu not shelved and not ok", count.written, count.found);
}

static void
run(int argc, char *argv[])
{
	struct front_judge *f = &front;
	struct leat_stops stops;
	struct leat_loss *loss;

	front_works_check();
	front_judge_open(f, argc, argv);
	front_stops(&stops, leat_nameplate_zone(f->np));
	form.in = f->in;
	form.points = &f->points;
	form.np = f->np;
	form.book = &f->book;
	form.stops = &stops;
	form.now = f->now;
	form.all = front_opt.all;
	loss = leat_loss_new(&form);
	if (loss == NULL)
		front_misuse("out of memory");
	judge(loss, &f->shelves);
	account(loss);
	leat_loss_free(loss);
	leat_stops_free(&stops);
	front_judge_close(f);
}

int
main(int argc, char *argv[])
{
	front.as_of = as_of;
	front.nights.after = front_judges;
	front.nights.alone = true;
	front_start("leat-loss", help);
	parse(argc, argv);
	if (form.fit && front_opt.explain)
		front_misuse("--explain and --fit exclude each other");
	if (front_calculates(argc, argv))
		calculate(argc - optind, argv + optind);
	else
		run(argc, argv);
	leat_findings_free(&findings);
	return front_end();
}
