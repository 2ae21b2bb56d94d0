/*
 * leat-card: job cards of tasks, and the sheets of rounds.
 */
#include <stdlib.h>

#include "front_card.h"
#include "front_round.h"

enum { ASSETS = FRONT_OWN, CHECK_ROUND, CSV, HTML, PLAN, ROUND, STOP };

static struct {
	const char *assets, *sheet, *stop, *plan, *findings;
	bool csv, html, round;
} opt = { .assets = "*/round" };

static const char help[] =
    "Usage: leat-card [-hqV] [--csv | --html] [-f FILE] [--nameplate FILE]\n"
    "                 [--now TIME] [--parts FILE] [--points FILE] [--summary]\n"
    "                 [--tasks FILE] [-w DIR] TASK [ASSET]\n"
    "       leat-card --stop START [--plan FILE] [--stops FILE] ... [MILL]\n"
    "       leat-card --round [--assets GLOB] [--csv | --html] [-f FILE] ... [FILE ...]\n"
    "       leat-card --check-round SHEET [-e] ... [FILE ...]\n"
    "Prints the job card of a task, the cards of a stop, or tomorrow's round sheet;\n"
    "checks a round sheet that was typed back.\n"
    "\n"
    "     --assets GLOB         assets whose points are read by hand (*/round)\n"
    "     --check-round SHEET   tell what looks mistyped in the readings of SHEET\n"
    "     --csv                 print an empty sheet for typing back\n"
    " -e, --exit-status         status 1 when something looks mistyped\n"
    " -f, --findings FILE       findings of the night\n"
    " -h, --help                print this text\n"
    "     --html                print one page of HTML, for A4 paper\n"
    "     --limits FILE         take the limits from FILE\n"
    "     --max-rejects N|N%    rejected rows allowed (5%)\n"
    "     --nameplate FILE      take the nameplate from FILE\n"
    "     --now TIME            the moment to go by (the clock), or data\n"
    "     --parts FILE          take the parts from FILE\n"
    "     --plan FILE           the tasks that a plan of leat-due --stops takes in\n"
    "     --points FILE         take the points from FILE\n"
    " -q, --quiet               no notes on standard error\n"
    " -r, --rejects FILE        write rejected rows to FILE\n"
    "     --round               print tomorrow's round sheet\n"
    "     --stop START          print the cards of all tasks of the stop that begins then\n"
    "     --stops FILE          take the stops from FILE\n"
    "     --summary             account for what was read, on standard error\n"
    "     --tasks FILE          take the tasks from FILE\n"
    " -V, --version             print the version\n"
    " -w, --works DIR           the works folder (LEAT_WORKS)\n";

static void
parse(int argc, char *argv[])
{
	static const struct option longs[] = {
		{ "assets", required_argument, NULL, ASSETS },
		{ "check-round", required_argument, NULL, CHECK_ROUND },
		{ "csv", no_argument, NULL, CSV },
		{ "exit-status", no_argument, NULL, 'e' },
		{ "findings", required_argument, NULL, 'f' },
		{ "help", no_argument, NULL, 'h' },
		{ "html", no_argument, NULL, HTML },
		{ "limits", required_argument, NULL, FRONT_LIMITS },
		{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "parts", required_argument, NULL, FRONT_PARTS },
		{ "plan", required_argument, NULL, PLAN },
		{ "points", required_argument, NULL, FRONT_POINTS },
		{ "quiet", no_argument, NULL, 'q' },
		{ "rejects", required_argument, NULL, 'r' },
		{ "round", no_argument, NULL, ROUND },
		{ "stop", required_argument, NULL, STOP },
		{ "stops", required_argument, NULL, FRONT_STOPS },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "tasks", required_argument, NULL, FRONT_TASKS },
		{ "version", no_argument, NULL, 'V' },
		{ "works", required_argument, NULL, 'w' },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":ef:hqr:Vw:", longs, NULL)) != -1) {
		switch (c) {
		case ASSETS: opt.assets = optarg; break;
		case CHECK_ROUND: opt.sheet = optarg; break;
		case CSV: opt.csv = true; break;
		case HTML: opt.html = true; break;
		case PLAN: opt.plan = optarg; break;
		case ROUND: opt.round = true; break;
		case STOP: opt.stop = optarg; break;
		case 'f': opt.findings = optarg; break;
		default: front_option(c, argv);
		}
	}
	if ((opt.stop != NULL || opt.plan != NULL) + (opt.sheet != NULL) + opt.round > 1)
		front_misuse("options '--stop' or '--plan', '--round' and '--check-round' exclude each other");
	if (opt.csv && opt.html)
		front_misuse("options '--csv' and '--html' exclude each other");
	if (opt.sheet != NULL && (opt.csv || opt.html))
		front_misuse("option '--check-round' prints findings, without '--csv' and '--html'");
}

int
main(int argc, char *argv[])
{
	struct leat_calendar cal = { .now = LEAT_TIME_NONE };
	struct leat_nameplate *np;

	front_start("leat-card", help);
	parse(argc, argv);
	front_works_check();
	np = front_nameplate();
	cal.zone = leat_nameplate_zone(np);
	if (!front_opt.now_data)
		cal.now = front_now();
	if (leat_calendar_day_start(leat_nameplate_word(np, leat_span_make("", 0), "day-start", cal.now), &cal.day_start_s) != 0)
		front_misuse("nameplate: day-start is no time of day");
	if (opt.round || opt.sheet != NULL) {
		struct front_round round = { .assets = opt.assets, .sheet = opt.sheet, .findings = opt.findings, .csv = opt.csv,
			.html = opt.html, .cal = &cal };

		front_round(&round, argc, argv);
	} else {
		struct front_cards cards = { .stop = opt.stop, .plan = opt.plan, .findings = opt.findings, .csv = opt.csv,
			.html = opt.html, .np = np, .cal = &cal };

		front_cards(&cards, argc - optind, argv + optind);
	}
	leat_nameplate_free(np);
	return front_end();
}
