/*
 * leat-replay: what past nights told against what then happened, how much a person was asked by it, what would ask less,
 * and the figures of each month.
 */
#include <stdlib.h>
#include <sys/stat.h>

#include "front_nights.h"
#include "front_tables.h"
#include "judge/alarm_load.h"
#include "judge/monthly.h"
#include "judge/replay.h"
#include "judge/steady.h"
#include "tell/nights.h"

enum { ALARMS = FRONT_OWN, COMPARE, DIAGNOSES, EVENTS, FORECASTS, LOSSES, MONTHLY, SUGGEST, TEXT, TRUTH, WITHIN };

/* SCORES is without an option. */
enum mode { SCORES, OF_ALARMS, OF_DIAGNOSES, OF_EVENTS, OF_FORECASTS, OF_MONTHS, OF_SUGGESTIONS };

static struct {
	enum mode mode;
	const char *name;		/* the option that asked for the mode */
	bool compare, people;
	const char *truth;
	double within_s;
	struct leat_time from, until;
	int night_s;
} opt = { .within_s = 90 * 86400.0, .from = { INT64_MIN, 0 }, .until = { INT64_MIN, 0 }, .night_s = FRONT_NIGHT_TIME_S };

static struct leat_night_files losses;

static const char help[] =
    "Usage: leat-replay [-hqV] [--compare] [--diagnoses | --events | --forecasts]\n"
    "                   [--from TIME] [--logbook FILE] [--nameplate FILE]\n"
    "                   [--night-time HH:MM] [--now TIME] [--summary] [--tasks FILE]\n"
    "                   [--text] [--trends FILE] [--truth FILE] [--until TIME]\n"
    "                   [--within DURATION] [-w DIR] NIGHTS ...\n"
    "       leat-replay --alarms [-hqV] [--from TIME] [--summary] [--text]\n"
    "                   [--until TIME] [FILE ...]\n"
    "       leat-replay --monthly | --suggest [-hqV] [--findings FILE] [--limits FILE]\n"
    "                   [--logbook FILE] [--max-rejects N|N%] [--nameplate FILE]\n"
    "                   [--losses NIGHTS] [--now TIME] [--points FILE] [-r FILE]\n"
    "                   [--stops FILE] [--summary] [--text] [-w DIR] [FILE ...]\n"
    "Holds past nights of the judges (files or folders of findings) against logbook and\n"
    "known faults: detection, lead, false alarms, forecasts.  Or tells how much the\n"
    "episodes of leat-check ask of a person, deadbands and delays that would ask less,\n"
    "and the figures of each month.\n"
    "\n"
    "     --alarms            alarm performance of the episodes in FILE\n"
    "     --compare           score each of NIGHTS by itself, side by side\n"
    "     --diagnoses         score past diagnoses of failures\n"
    "     --events            list faults and works, and what told them first\n"
    "     --findings FILE     write findings about the data itself to FILE\n"
    "     --forecasts         score past forecasts\n"
    "     --from TIME         nights, or episodes, from TIME on\n"
    " -h, --help              print this text\n"
    "     --limits FILE       take the limits from FILE\n"
    "     --logbook FILE      take the logbook from FILE\n"
    "     --losses NIGHTS     months: add up what leat-loss told; may be given again\n"
    "     --max-rejects N|N%  rejected rows allowed (5%)\n"
    "     --monthly           figures of each mill and month from readings\n"
    "     --nameplate FILE    take the nameplate from FILE\n"
    "     --night-time HH:MM  local time of day of the nights (05:30)\n"
    "     --now TIME          leave out what is later (the clock), or data\n"
    "     --points FILE       take the points from FILE\n"
    " -q, --quiet             no notes on standard error\n"
    " -r, --rejects FILE      write rejected rows to FILE\n"
    "     --stops FILE        take the stops from FILE\n"
    "     --suggest           rows of limits.csv with deadbands and delays by the readings\n"
    "     --summary           account for what was read, on standard error\n"
    "     --tasks FILE        take the tasks from FILE\n"
    "     --text              columns for people in place of CSV\n"
    "     --trends FILE       take the trends from FILE\n"
    "     --truth FILE        faults known otherwise: time,asset,rule,end,what,mode\n"
    "     --until TIME        nights, or episodes, up to TIME\n"
    " -V, --version           print the version\n"
    "     --within DURATION   a work is announced by what stood so long before (P90D)\n"
    " -w, --works DIR         the works folder (LEAT_WORKS)\n";

static void
set_mode(enum mode mode, const char *name)
{
	if (opt.name != NULL && opt.mode != mode)
		front_misuse("options '%s' and '%s' exclude each other", opt.name, name);
	opt.mode = mode;
	opt.name = name;
}

static struct leat_time
take_time(const char *option)
{
	struct leat_time t;

	if (leat_time_parse(leat_span_of(optarg), &t) != 0)
		front_misuse("option '%s': not an RFC 3339 time such as 2025-12-20T05:30:00Z: '%s'", option, optarg);
	return t;
}

static void
take_within(void)
{
	struct leat_duration d;

	if (leat_duration_parse(leat_span_of(optarg), &d) != 0 || leat_duration_seconds(&d, &opt.within_s) != 0)
		front_misuse("option '--within': not a duration such as P90D: '%s'", optarg);
}

static void
take_losses(void)
{
	struct leat_error err;

	if (leat_night_files_add(&losses, optarg, &err) != 0) {
		front_error(&err);
		exit(front_end());
	}
}

static void
take_option(int code, char *argv[])
{
	switch (code) {
	case ALARMS: set_mode(OF_ALARMS, "--alarms"); break;
	case COMPARE: opt.compare = true; break;
	case DIAGNOSES: set_mode(OF_DIAGNOSES, "--diagnoses"); break;
	case EVENTS: set_mode(OF_EVENTS, "--events"); break;
	case FORECASTS: set_mode(OF_FORECASTS, "--forecasts"); break;
	case FRONT_FROM: opt.from = take_time("--from"); break;
	case FRONT_NIGHT_TIME:
		if (leat_calendar_day_start(leat_span_of(optarg), &opt.night_s) != 0)
			front_misuse("option '--night-time': not a time of day such as 05:30: '%s'", optarg);
		break;
	case FRONT_UNTIL: opt.until = take_time("--until"); break;
	case LOSSES: take_losses(); break;
	case MONTHLY: set_mode(OF_MONTHS, "--monthly"); break;
	case SUGGEST: set_mode(OF_SUGGESTIONS, "--suggest"); break;
	case TEXT: opt.people = true; break;
	case TRUTH: opt.truth = optarg; break;
	case WITHIN: take_within(); break;
	default: front_option(code, argv);
	}
}

static void
parse(int argc, char *argv[])
{
	static const struct option longs[] = {
		{ "alarms", no_argument, NULL, ALARMS },
		{ "compare", no_argument, NULL, COMPARE },
		{ "diagnoses", no_argument, NULL, DIAGNOSES },
		{ "events", no_argument, NULL, EVENTS },
		{ "findings", required_argument, NULL, FRONT_FINDINGS },
		{ "forecasts", no_argument, NULL, FORECASTS },
		{ "from", required_argument, NULL, FRONT_FROM },
		{ "help", no_argument, NULL, 'h' },
		{ "limits", required_argument, NULL, FRONT_LIMITS },
		{ "logbook", required_argument, NULL, FRONT_LOGBOOK },
		{ "losses", required_argument, NULL, LOSSES },
		{ "max-rejects", required_argument, NULL, FRONT_MAX_REJECTS },
		{ "monthly", no_argument, NULL, MONTHLY },
		{ "nameplate", required_argument, NULL, FRONT_NAMEPLATE },
		{ "night-time", required_argument, NULL, FRONT_NIGHT_TIME },
		{ "now", required_argument, NULL, FRONT_CLOCK },
		{ "points", required_argument, NULL, FRONT_POINTS },
		{ "quiet", no_argument, NULL, 'q' },
		{ "rejects", required_argument, NULL, 'r' },
		{ "stops", required_argument, NULL, FRONT_STOPS },
		{ "suggest", no_argument, NULL, SUGGEST },
		{ "summary", no_argument, NULL, FRONT_SUMMARY },
		{ "tasks", required_argument, NULL, FRONT_TASKS },
		{ "text", no_argument, NULL, TEXT },
		{ "trends", required_argument, NULL, FRONT_TRENDS },
		{ "truth", required_argument, NULL, TRUTH },
		{ "until", required_argument, NULL, FRONT_UNTIL },
		{ "version", no_argument, NULL, 'V' },
		{ "within", required_argument, NULL, WITHIN },
		{ "works", required_argument, NULL, 'w' },
		{ NULL, 0, NULL, 0 }
	};
	int c;

	while ((c = getopt_long(argc, argv, ":hqr:Vw:", longs, NULL)) != -1)
		take_option(c, argv);
	if (losses.count > 0 && opt.mode != OF_MONTHS)
		front_misuse("option '--losses' goes with '--monthly'");
}

/* Prints what was made of the input, unless that failed. */
static void
print(struct leat_tabular *t, int result)
{
	if (result != 0 || t->failed)
		front_fail("out of memory");
	else if (!front_failed())
		leat_tabular_write(t, front_stdout(), opt.people);
	leat_tabular_free(t);
}

/* The instant of the night that a file is of. */
static struct leat_time
night_of(const struct leat_nameplate *np, int64_t day)
{
	struct leat_calendar cal = { .zone = leat_nameplate_zone(np) };
	struct leat_time night = front_night_instant(&cal, day + 1, opt.night_s);

	if (leat_calendar_day_start(leat_nameplate_word(np, leat_span_make("", 0), "day-start", night), &cal.day_start_s) != 0)
		front_misuse("nameplate: day-start is no time of day such as 06:00");
	/* Before the works' day begins, the night belongs to the one that ends. */
	return opt.night_s < cal.day_start_s ? night : front_night_instant(&cal, day, opt.night_s);
}

static bool
within(struct leat_time t, struct leat_time until)
{
	return (leat_time_is_none(opt.from) || leat_time_cmp(t, opt.from) >= 0) &&
	    (leat_time_is_none(until) || leat_time_cmp(t, until) <= 0);
}

/* Reads one file; 0, or -1 after a message. */
static int
read_findings(const char *path, struct leat_findings *findings)
{
	struct leat_error err;

	if (leat_findings_read(findings, path, &err) != 0) {
		front_error(&err);
		return -1;
	}
	if (findings->rejected > 0) {
		front_error(&findings->first_rejected);
		return -1;
	}
	return 0;
}

static int
take_nights(struct leat_replay *replay, const struct leat_night_files *files, const struct leat_nameplate *np)
{
	struct leat_time until = leat_time_is_none(opt.until) ? front_now() : opt.until;
	size_t later = 0, rows = 0;

	for (size_t i = 0; i < files->count; i++) {
		struct leat_time night = night_of(np, files->item[i].day);
		struct leat_findings findings = { 0 };
		int result;

		if (!within(night, until)) {
			later++;
			continue;
		}
		result = read_findings(files->item[i].path, &findings);
		if (result == 0 && leat_replay_take(replay, night, &findings) != 0) {
			front_fail("out of memory");
			result = -1;
		}
		rows += findings.count;
		leat_findings_free(&findings);
		if (result != 0)
			return -1;
	}
	front_summary("%zu files of nights, %zu left out by their time; %zu nights, %zu findings", files->count, later,
	    leat_replay_nights(replay), rows);
	if (leat_replay_nights(replay) == 0)
		front_fail("no night: nothing to replay");
	return leat_replay_nights(replay) > 0 ? 0 : -1;
}

/* What nights are scored to: the columns that say what a row is about, and the first that says how it went, which is not how
 * many nights had a word on it. */
static const struct {
	const char *header;
	int (*rows)(struct leat_replay *replay, struct leat_span set, struct leat_tabular *t);
	size_t end, went;
} scored[] = {
	[SCORES] = { LEAT_REPLAY_SCORES, leat_replay_scores, 4, 7 },
	[OF_DIAGNOSES] = { LEAT_REPLAY_DIAGNOSES, leat_replay_diagnoses, 2, 2 },
	[OF_EVENTS] = { LEAT_REPLAY_EVENTS, leat_replay_events, 5, 6 },
	[OF_FORECASTS] = { LEAT_REPLAY_FORECASTS, leat_replay_forecasts, 4, 4 }
};

/* Scores the nights of some operands. */
static void
score(const struct leat_replay_form *form, const struct leat_nameplate *np, char *const path[], int count,
    struct leat_tabular *t)
{
	struct leat_replay *replay = leat_replay_new(form);
	struct leat_night_files files = { 0 };
	struct leat_span set = opt.compare ? leat_span_of(path[0]) : leat_span_make("", 0);
	struct leat_error err;
	int result = 0;

	if (replay == NULL)
		front_misuse("out of memory");
	for (int i = 0; i < count && result == 0; i++)
		result = leat_night_files_add(&files, path[i], &err);
	leat_night_files_sort(&files);
	if (result != 0)
		front_error(&err);
	else if (take_nights(replay, &files, np) == 0) {
		result = scored[opt.mode].rows(replay, set, t);
		if (result != 0)
			front_fail("out of memory");
	}
	leat_night_files_free(&files);
	leat_replay_free(replay);
}

/* Rows of one rule and asset, or of one event, under each other; for people only where the sets differ. */
static int
set_beside(struct leat_tabular *t)
{
	size_t end = scored[opt.mode].end, went = scored[opt.mode].went;

	if (leat_tabular_sort(t, 1, end) != 0)
		return -1;
	return opt.people ? leat_tabular_keep_differing(t, 1, end, went) : 0;
}

/* Under --compare the rows of each set of nights stand beside each other. */
static void
replay(int count, char *const path[])
{
	struct leat_replay_form form = { .within_s = opt.within_s, .brief = opt.people };
	struct leat_nameplate *np = front_nameplate();
	struct leat_faults faults = { 0 };
	struct leat_logbook book = { 0 };
	struct leat_tabular t = { 0 };
	struct leat_trends trends;
	struct leat_tasks tasks;
	struct leat_error err;

	if (count == 0)
		front_misuse("no NIGHTS: name folders or files of findings");
	if (front_opt.now_data)
		front_misuse("option '--now': 'data' says nothing of nights");
	front_trends(&trends);
	front_tasks(&tasks);
	front_logbook(&book, leat_nameplate_zone(np), front_now());
	if (opt.truth != NULL && leat_faults_read(&faults, opt.truth, leat_nameplate_zone(np), &err) != 0) {
		front_error(&err);
		exit(front_end());
	}
	form.faults = opt.truth != NULL ? &faults : NULL;
	form.book = &book;
	form.tasks = &tasks;
	form.trends = &trends;
	leat_tabular_begin(&t, scored[opt.mode].header);
	for (int i = 0; i < (opt.compare ? count : 1); i++)
		score(&form, np, path + i, opt.compare ? 1 : count, &t);
	print(&t, opt.compare ? set_beside(&t) : 0);
	leat_faults_free(&faults);
	leat_logbook_free(&book);
	leat_tasks_free(&tasks);
	leat_trends_free(&trends);
	leat_nameplate_free(np);
}

static void
alarms(int count, char *const path[])
{
	struct leat_findings findings = { 0 };
	struct leat_tabular t = { 0 };
	int i = 0, result;

	do
		result = read_findings(count > 0 ? path[i] : "-", &findings);
	while (result == 0 && ++i < count);
	front_summary("%zu findings read", findings.count);
	leat_tabular_begin(&t, LEAT_LOAD_COLUMNS);
	if (result == 0)
		result = leat_alarm_load(&findings, opt.from, opt.until, &t);
	print(&t, front_failed() ? 0 : result);
	leat_findings_free(&findings);
}

static void
end_readings(struct leat_readings *in)
{
	struct leat_readings_count rows = leat_readings_counted(in);

	front_summary("%lld rows read, %lld rejected, %lld repeated headers", rows.rows, rows.rejected, rows.headers);
	front_rejects_end(rows.rows + rows.rejected);
	leat_readings_close(in);
}

static struct leat_time
now(void)
{
	return front_opt.now_data ? LEAT_TIME_NONE : front_now();
}

/* What low pressure cost, night by night. */
static void
add_losses(struct leat_monthly *m)
{
	int result = 0;

	leat_night_files_sort(&losses);
	for (size_t i = 0; i < losses.count && result == 0; i++) {
		struct leat_findings findings = { 0 };

		result = read_findings(losses.item[i].path, &findings);
		if (result == 0 && leat_monthly_losses(m, &findings) != 0)
			front_fail("out of memory");
		leat_findings_free(&findings);
	}
}

static void
monthly(int argc, char *argv[])
{
	struct leat_nameplate *np = front_nameplate();
	struct leat_monthly_form form = { .np = np, .now = now() };
	struct leat_points points;
	struct leat_logbook book = { 0 };
	struct leat_stops stops;
	struct leat_monthly *m;
	struct leat_tabular t = { 0 };
	struct leat_reading r;
	struct leat_error err;
	int result = 0;

	front_points(&points);
	front_logbook(&book, leat_nameplate_zone(np), form.now);
	front_stops(&stops, leat_nameplate_zone(np));
	form.in = front_readings(argc, argv);
	form.points = &points;
	form.book = &book;
	form.stops = &stops;
	m = leat_monthly_new(&form);
	if (m == NULL)
		front_misuse("out of memory");
	while (result == 0 && front_reading(form.in, &r))
		result = leat_monthly_take(m, &r, &err);
	if (result != 0)
		front_error(&err);
	else
		add_losses(m);
	leat_tabular_begin(&t, LEAT_MONTHLY_COLUMNS);
	print(&t, leat_monthly_rows(m, &t));
	end_readings(form.in);
	leat_monthly_free(m);
	leat_night_files_free(&losses);
	leat_stops_free(&stops);
	leat_logbook_free(&book);
	leat_points_free(&points);
	leat_nameplate_free(np);
}

static void
suggest(int argc, char *argv[])
{
	struct leat_points points;
	struct leat_limits limits;
	struct leat_readings *in;
	struct leat_steady *steady;
	struct leat_tabular t = { 0 };
	struct leat_reading r;
	struct leat_error err;
	struct leat_time until = now();
	int result = 0;

	front_points(&points);
	front_limits(&limits);
	in = front_readings(argc, argv);
	steady = leat_steady_new(in, &limits, &points);
	if (steady == NULL)
		front_misuse("out of memory");
	while (result == 0 && front_reading(in, &r))
		if (leat_time_is_none(until) || leat_time_cmp(r.time, until) <= 0)
			result = leat_steady_take(steady, &r, &err);
	if (result != 0)
		front_error(&err);
	leat_tabular_begin(&t, LEAT_STEADY_COLUMNS);
	print(&t, leat_steady_rows(steady, &t));
	end_readings(in);
	leat_steady_free(steady);
	leat_limits_free(&limits);
	leat_points_free(&points);
}

int
main(int argc, char *argv[])
{
	front_start("leat-replay", help);
	parse(argc, argv);
	front_works_check();
	switch (opt.mode) {
	case OF_ALARMS: alarms(argc - optind, argv + optind); break;
	case OF_MONTHS: monthly(argc, argv); break;
	case OF_SUGGESTIONS: suggest(argc, argv); break;
	default: replay(argc - optind, argv + optind);
	}
	return front_end();
}
