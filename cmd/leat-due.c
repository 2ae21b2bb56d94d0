/*
 * leat-due: which tasks are due, by date, running hours, starts and condition, and which go into the next stops.
 */
#include <stdlib.h>

#include "front_judge.h"
#include "judge/due_calendar.h"
#include "judge/plan.h"
#include "physics/fill_plan.h"
#include "tell/icalendar.h"

enum { AHEAD = FRONT_OWN, CREW, DRUM, ICS, ISOLATE };

static const char help[] =
    "Usage: leat-due [-aehqV] [--ahead DURATION] [--explain[=ASSET/TASK]] [-f FILE]\n"
    "                [--ics[=todo]] [--logbook FILE] [--max-rejects N|N%]\n"
    "                [--nameplate FILE] [--now TIME] [--points FILE] [-r FILE]\n"
    "                [--shelved FILE] [--since TIME] [--summary] [--tasks FILE]\n"
    "                [-w DIR] [FILE ...]\n"
    "       leat-due --nights DIR [--from TIME] [--night-time HH:MM] [--until TIME]\n"
    "                [OPTION ...] [FILE ...]\n"
    "       leat-due --stops[=FILE] [--crew N] [--drum LITRES] [--explain]\n"
    "                [--isolate DURATION] [--parts FILE] [OPTION ...] [FILE ...]\n"
    "Judges from readings, findings and logbook which tasks are due: findings.  With\n"
    "--stops: plans the next stops, with parts, oil and nitrogen.\n"
    "\n"
    "     --ahead DURATION         what is due within it is upcoming (P14D)\n"
    " -a, --all                    print ok rows too\n"
    "     --crew N                 people at a stop (4)\n"
    "     --drum LITRES            what an oil drum holds (208)\n"
    " -e, --exit-status            status 1 when something not shelved is found\n"
    "     --explain[=ASSET/TASK]   print instead how each judgement came about\n"
    " -f, --findings FILE          findings for conditions; may be given again\n"
    "     --from TIME              of past nights the first\n"
    " -h, --help                   print this text\n"
    "     --ics[=todo]             print a calendar of the tasks, or to-dos\n"
    "     --isolate DURATION       setting and proving an isolation takes (PT1H)\n"
    "     --logbook FILE           take the logbook from FILE\n"
    "     --max-rejects N|N%       rejected rows allowed (5%)\n"
    "     --nameplate FILE         take the nameplate from FILE\n"
    "     --night-time HH:MM       local time of day of past nights (05:30)\n"
    "     --nights DIR             judge past nights, with what DIR has found then, into it\n"
    "     --now TIME               the moment to judge from (the clock), or data\n"
    "     --parts FILE             take the parts from FILE\n"
    "     --points FILE            take the points from FILE\n"
    " -q, --quiet                  no notes on standard error\n"
    " -r, --rejects FILE           write rejected rows to FILE\n"
    "     --shelved FILE           take what is shelved from FILE\n"
    "     --since TIME             print episodes that ended since TIME (P1D before now)\n"
    "     --stops[=FILE]           plan the stops of the works, or of FILE\n"
    "     --summary                account for what was read, on standard error\n"
    "     --tasks FILE             take the tasks from FILE\n"
    "     --until TIME             of past nights the last\n"
    " -V, --version                print the version\n"
    " -w, --works DIR              the works folder (LEAT_WORKS)\n";

static struct leat_due_form form = { .ahead = { .days = LEAT_DUE_AHEAD_DAYS } };
static struct leat_findings findings;
static struct front_judge front = { .with_logbook = true, .nights = FRONT_NIGHTS_NONE };
static bool ics, stops;
static enum leat_due_entry entry = LEAT_DUE_EVENTS;
static struct leat_levels levels;
static struct leat_plan_form planning = { .crew = LEAT_PLAN_CREW, .isolate_s = LEAT_PLAN_ISOLATE_S, .drum_l = LEAT_DRUM_L };

static void
account(const struct leat_due *due)
{
	struct leat_due_count count = leat_due_counted(due);

	front_judge_end(form.in, count.later, count.found);
	/* What was judged the nights have said. */
	if (front.nights.folder != NULL && !front.nights.in_child)
		return;
	front_summary("log entries: %zu, %lld later than now left out; findings read: %zu, %ld rejected", form.book->count,
	    form.book->later, findings.count, findings.rejected);
	front_summary("tasks: %zu rows, %zu of them match no asset; %zu later, %zu waived, %zu upcoming, %zu due, %zu overdue, "
	    "%zu missed, %zu unknown", form.tasks->count, count.unmatched, count.stage[LEAT_DUE_LATER],
	    count.stage[LEAT_DUE_WAIVED], count.stage[LEAT_DUE_UPCOMING], count.stage[LEAT_DUE_DUE],
	    count.stage[LEAT_DUE_OVERDUE], count.stage[LEAT_DUE_MISSED], count.stage[LEAT_DUE_UNKNOWN]);
	front_summary("%zu findings, %zu not shelved and not ok", count.written, count.found);
}

static int
take(void *due, const struct leat_reading *r, struct leat_error *err)
{
	/* How full the tanks are a plan alone asks. */
	if (stops && leat_levels_take(&levels, r, err) != 0)
		return -1;
	return leat_due_take(due, r, err);
}

static void
as_of(void *due, struct leat_time now)
{
	leat_due_as_of(due, now);
}

/* Reads all; 0, or -1 after a message. */
static int
judge(struct leat_due *due)
{
	struct leat_error err;

	if (front_judge_read_nights(&front, take, due) != 0)
		return -1;
	/* Conditions go by what the judges found that night, where they were asked. */
	if (front.nights.in_child) {
		leat_due_found(due, front_nights_findings(&front.nights, &findings) > 0 ? &findings : NULL);
		if (front_failed())
			return -1;
	}
	if (leat_due_end(due, &err) != 0) {
		front_error(&err);
		return -1;
	}
	return front_judge_dated(leat_due_now(due)) ? 0 : -1;
}

/* The plan of stops, or NULL after a message; what it is made of is in planning. */
static struct leat_plan *
make_plan(const struct leat_due *due, struct leat_stops *table, struct leat_parts *parts)
{
	struct leat_plan *plan;
	struct leat_error err;

	front_stops(table, leat_nameplate_zone(form.np));
	front_parts(parts);
	planning.due = due;
	planning.of = &form;
	planning.stops = table;
	planning.parts = parts;
	planning.levels = &levels;
	plan = leat_plan_new(&planning, &err);
	if (plan == NULL)
		front_error(&err);
	else if (leat_plan_stop_at(plan, 0) == NULL)
		front_warn("nothing to plan: no task of tasks.csv needs a stop");
	return plan;
}

static void
write_calendar(const struct leat_due *due, const struct leat_plan *plan)
{
	struct leat_out *out = front_stdout();
	size_t dateless;
	int tasks, planned;

	leat_ical_begin(out, "-//leat//leat-due//EN");
	tasks = leat_due_calendar(due, entry, out, &dateless);
	planned = plan != NULL ? leat_plan_calendar(plan, out) : 0;
	leat_ical_end(out);
	if (tasks < 0 || planned < 0)
		front_fail("out of memory");
	if (tasks == 0 && planned == 0)
		front_warn("no task has a date: the calendar is empty, and some programs refuse that");
	if (dateless > 0)
		front_note("%zu tasks without a date are left out: never logged, waived, or due on condition only", dateless);
}

static void
write_plan(const struct leat_due *due)
{
	struct leat_stops table;
	struct leat_parts parts;
	struct leat_plan *plan = make_plan(due, &table, &parts);

	if (plan != NULL && ics)
		write_calendar(due, plan);
	else if (plan != NULL && front_opt.explain)
		leat_plan_explain(plan, front_stdout());
	else if (plan != NULL)
		leat_plan_write(plan, front_stdout());
	leat_plan_free(plan);
	leat_parts_free(&parts);
	leat_stops_free(&table);
}

static void
tell(struct leat_due *due, const struct leat_shelves *shelves)
{
	struct leat_out *out = front_stdout();

	if (stops)
		write_plan(due);
	else if (ics)
		write_calendar(due, NULL);
	else if (!front_opt.explain)
		leat_due_findings(due, shelves, out);
	else
		front_judge_explained(leat_due_explain(due, out, leat_span_of(front_opt.explain_what)));
}

/* Without its findings no condition would be open: nothing is judged then.  Rows that are none are left out, and said. */
static void
take_findings(const char *path)
{
	form.findings = &findings;
	front_findings(&findings, path);
}

/* A number above zero for an option. */
static double
positive(const char *option, const char *text)
{
	double value;

	if (leat_double_parse(leat_span_of(text), &value) != 0 || value <= 0 || value > 1e6)
		front_misuse("option '%s': not a number above zero: '%s'", option, text);
	return value;
}

static void
take_isolate(const char *text)
{
	struct leat_duration d;

	if (leat_duration_parse(leat_span_of(text), &d) != 0 || leat_duration_seconds(&d, &planning.isolate_s) != 0)
		front_misuse("option '--isolate': not a duration such as PT1H: '%s'", text);
}

/* An option of this command alone; false for any other. */
static bool
take_own(int c)
{
	switch (c) {
	case AHEAD:
		if (leat_duration_parse(leat_span_of(optarg), &form.ahead) != 0)
			front_misuse("option '--ahead': not a duration such as P14D: '%s'", optarg);
		return true;
	case CREW:
		planning.crew = positive("--crew", optarg);
		return true;
	case DRUM:
		planning.drum_l = positive("--drum", optarg);
		return true;
	case ICS:
		if (optarg != NULL && strcmp(optarg, "todo") != 0)
			front_misuse("option '--ics': nothing or 'todo' is due: '%s'", optarg);
		ics = true;
		entry = optarg != NULL ? LEAT_DUE_TODOS : LEAT_DUE_EVENTS;
		return true;
	case ISOLATE:
		take_isolate(optarg);
		return true;
	case FRONT_STOPS:
		stops = true;
		if (optarg != NULL)
			front_opt.table[FRONT_STOPS - FRONT_TABLE] = optarg;
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
		{ "ahead", required_argument, NULL, AHEAD },
		{ "all", no_argument, NULL, 'a' },
		{ "crew", required_argument, NULL, CREW },
		{ "drum", required_argument, NULL, DRUM },
		{ "exit-status", no_argument, NULL, 'e' },
		{ "explain", optional_argument, NULL, FRONT_EXPLAIN },
		{ "findings", required_argument, NULL, 'f' },
		{ "from", required_argument, NULL, FRONT_FROM },
		{ "help", no_argument, NULL, 'h' },
		{ "ics", optional_argument, NULL, ICS },
		{ "isolate", required_argument, NULL, ISOLATE },
		{ "logbook", required_argument, NULL, FRONT_LOGBOOK },
		{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "night-time", required_argument, NULL, FRONT_NIGHT_TIME },
		{ "nights", required_argument, NULL, FRONT_NIGHTS },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "parts", required_argument, NULL, FRONT_PARTS },
		{ "points", required_argument, NULL, FRONT_POINTS },
		{ "quiet", no_argument, NULL, 'q' },
		{ "rejects", required_argument, NULL, 'r' },
		{ "shelved", required_argument, NULL, FRONT_SHELVED },
		{ "since", required_argument, NULL, FRONT_SINCE },
		{ "stops", optional_argument, NULL, FRONT_STOPS },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "tasks", required_argument, NULL, FRONT_TASKS },
		{ "until", required_argument, NULL, FRONT_UNTIL },
		{ "version", no_argument, NULL, 'V' },
		{ "works", required_argument, NULL, 'w' },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":aef:hqr:Vw:", longs, NULL)) != -1)
		if (!take_own(c))
			front_option(c, argv);
	if (front.nights.folder != NULL && (ics || stops))
		front_misuse("option '--nights' goes with neither '--ics' nor '--stops'");
	if (front.nights.folder != NULL && form.findings != NULL)
		front_misuse("options '--findings' and '--nights' exclude each other: those of each night are taken");
}

int
main(int argc, char *argv[])
{
	struct leat_tasks tasks;
	struct leat_due *due;

	front.as_of = as_of;
	front.nights.after = front_judges;
	front.nights.alone = true;
	front_start("leat-due", help);
	parse(argc, argv);
	front_works_check();
	front_tasks(&tasks);
	front_judge_open(&front, argc, argv);
	form.in = front.in;
	form.tasks = &tasks;
	form.points = &front.points;
	form.np = front.np;
	form.book = &front.book;
	form.now = front.now;
	form.since = front_opt.since;
	form.since_time = front_opt.since_time;
	form.all = front_opt.all;
	form.warn = front_warn_text;
	leat_levels_init(&levels, front.in, &front.points, front.np, front.now);
	due = leat_due_new(&form);
	if (due == NULL)
		front_misuse("out of memory");
	if (judge(due) == 0)
		tell(due, &front.shelves);
	account(due);
	leat_due_free(due);
	leat_levels_free(&levels);
	front_judge_close(&front);
	leat_tasks_free(&tasks);
	leat_findings_free(&findings);
	return front_end();
}
