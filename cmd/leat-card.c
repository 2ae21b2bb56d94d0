/*
 * leat-card: job cards of tasks, and the sheets of rounds.
 */
#include <sys/stat.h>

#include <stdlib.h>

#include "front_round.h"
#include "stream/nearest.h"
#include "tell/card.h"
#include "upkeep/needs.h"

enum { ASSETS = FRONT_OWN, CHECK_ROUND, CSV, HTML, ROUND, STOP };

static struct {
	const char *assets, *sheet, *stop, *findings;
	bool csv, html, round;
} opt = { .assets = "*/round" };

static const char help[] =
    "Usage: leat-card [-hqV] [--csv | --html] [-f FILE] [--nameplate FILE]\n"
    "                 [--now TIME] [--parts FILE] [--points FILE] [--summary]\n"
    "                 [--tasks FILE] [-w DIR] TASK [ASSET]\n"
    "       leat-card --stop START [--stops FILE] ... [ASSET]\n"
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

/* The works as cards need it. */
struct works {
	struct leat_tasks tasks;
	struct leat_parts parts;
	struct leat_points points;
	struct leat_findings findings;
	struct leat_stops stops;
	struct leat_nameplate *np;
	struct leat_calendar cal;
	const struct leat_stop *stop;	/* NULL: none */
	struct leat_sheet sheet;
	size_t cards;
};

static void
tell_fault(void *user, const struct leat_error *err)
{
	(void)user;
	front_error(err);
}

/* The procedure of a task: the file that its row names, else procedures/TASK.txt where there is one.  true: it was read. */
static bool
read_procedure(struct leat_procedure *procedure, const struct works *w, const struct leat_task *task, struct leat_buf *name)
{
	const struct leat_procedure_faults faults = { tell_fault, NULL };
	struct leat_buf path = { 0 };
	struct stat st;
	bool named = task->procedure.len > 0, read = false;
	int made = named ? leat_buf_add_span(name, task->procedure) :
	    leat_buf_printf(name, "procedures/%.*s.txt", (int)task->name.len, task->name.ptr);

	if (made != 0 || (front_opt.works != NULL && name->data[0] != '/' && leat_buf_printf(&path, "%s/", front_opt.works) != 0) ||
	    leat_buf_add_span(&path, leat_buf_span(name)) != 0 || leat_buf_add(&path, "", 1) != 0)
		front_fail("out of memory");
	else if (named || stat(path.data, &st) == 0)
		read = leat_procedure_read(procedure, path.data, &w->points, &faults) == 0;
	if (!read)
		leat_buf_reset(name);
	leat_buf_free(&path);
	return read;
}

/* Parts of the cell: "element*2 seal". */
static struct leat_card_part *
take_parts(const struct works *w, const struct leat_task *task, size_t *count)
{
	struct leat_span rest = task->parts, word;
	struct leat_card_part *part = NULL;
	size_t cap = 0;

	*count = 0;
	while (leat_needs_next(&rest, &word)) {
		struct leat_card_part p = { .need = 1 };
		const struct leat_part *row;

		if (leat_needs_count(word, &p.part, &p.need) != 0)
			p.part = word;
		row = leat_parts_find(&w->parts, p.part);
		p.known = row != NULL;
		p.title = row != NULL ? row->title : leat_span_make("", 0);
		p.has_stock = row != NULL && row->has_stock;
		p.stock = p.has_stock ? row->stock : 0;
		if (leat_grow(&part, &cap, *count + 1, sizeof(*part)) != 0) {
			front_fail("out of memory");
			break;
		}
		part[(*count)++] = p;
	}
	return part;
}

/* What is open at the asset, above or below it, and not due dates of tasks. */
static const struct leat_finding **
take_findings(const struct works *w, struct leat_span asset, size_t *count)
{
	const struct leat_finding **open = calloc(w->findings.count + 1, sizeof(struct leat_finding *));

	*count = 0;
	if (open == NULL)
		front_fail("out of memory");
	for (size_t i = 0; open != NULL && i < w->findings.count; i++) {
		const struct leat_finding *f = &w->findings.item[i];

		if (f->status != LEAT_STATUS_OK && leat_time_is_none(f->until) && leat_time_cmp(f->time, w->cal.now) <= 0 &&
		    leat_asset_kin(f->asset, asset) && !leat_span_starts(f->rule, "task-"))
			open[(*count)++] = f;
	}
	return open;
}

static void
print_card(struct works *w, const struct leat_task *task, struct leat_span asset)
{
	struct leat_procedure procedure = { .text = { .data = NULL } };
	struct leat_buf name = { 0 };
	struct leat_card card = {
		.task = task->name, .asset = asset, .title = task->title, .needs = task->needs, .cautions = task->cautions,
		.crew = task->crew, .source = task->source, .duration_s = task->duration_s, .nameplate = w->np,
		.start = w->stop != NULL ? w->stop->start : LEAT_TIME_NONE, .end = w->stop != NULL ? w->stop->end : LEAT_TIME_NONE,
		.cal = &w->cal
	};
	struct leat_card_part *part = take_parts(w, task, &card.parts);
	const struct leat_finding **open = take_findings(w, asset, &card.findings);
	struct leat_span unknown;

	if (read_procedure(&procedure, w, task, &name)) {
		card.procedure = &procedure;
		card.procedure_name = leat_buf_span(&name);
	} else if (!front_failed()) {
		front_warn("task '%.*s' has no procedure: its card has empty lines for the steps", (int)task->name.len,
		    task->name.ptr);
	}
	card.part = part;
	card.finding = open;
	unknown = leat_card_caution_unknown(&card);
	if (unknown.len > 0)
		front_fail("task '%.*s': no caution has this name (leat-works(5) lists all): '%.*s'", (int)task->name.len,
		    task->name.ptr, (int)unknown.len, unknown.ptr);
	if (!front_failed() && opt.csv)
		leat_card_csv(front_stdout(), &card);
	else if (!front_failed())
		leat_card_write(&w->sheet, &card);
	w->cards++;
	leat_procedure_free(&procedure);
	leat_buf_free(&name);
	free(part);
	free(open);
}

static bool
is_glob(struct leat_span text)
{
	return leat_span_find(text, '*') < text.len || leat_span_find(text, '?') < text.len;
}

/* The row of the task that rules the asset: the most specific of those that fit. */
static const struct leat_task *
task_for(const struct leat_tasks *tasks, struct leat_span name, struct leat_span asset)
{
	const struct leat_task *best = NULL;

	for (size_t i = 0; i < tasks->count; i++) {
		const struct leat_task *t = &tasks->row[i];

		if (leat_span_eq(t->name, name) && leat_glob(t->asset, asset) &&
		    (best == NULL || leat_glob_weight(t->asset) > leat_glob_weight(best->asset)))
			best = t;
	}
	return best;
}

/* The one row of the task, where no asset is given; misuse where there are several or it is for several. */
static const struct leat_task *
only_task(const struct leat_tasks *tasks, struct leat_span name)
{
	struct leat_nearest nearest = { .word = name };
	const struct leat_task *only = NULL;
	char *text;

	for (size_t i = 0; i < tasks->count; i++) {
		if (leat_span_eq(tasks->row[i].name, name)) {
			if (only != NULL)
				front_misuse("task '%.*s' is for several assets: name the one", (int)name.len, name.ptr);
			only = &tasks->row[i];
		}
	}
	if (only != NULL && is_glob(only->asset))
		front_misuse("task '%.*s' is for '%.*s': name the asset", (int)name.len, name.ptr, (int)only->asset.len,
		    only->asset.ptr);
	for (size_t i = 0; only == NULL && i < tasks->count; i++) {
		text = leat_strndup(tasks->row[i].name);
		if (text == NULL)
			front_misuse("out of memory");
		leat_nearest_offer(&nearest, text);
		if (nearest.name == text)
			front_misuse("no task of tasks.csv, did you mean '%s'?: '%.*s'", text, (int)name.len, name.ptr);
		free(text);
	}
	if (only == NULL)
		front_misuse("no task of tasks.csv: '%.*s'", (int)name.len, name.ptr);
	return only;
}

static void
card_of(struct works *w, struct leat_span name, struct leat_span asset)
{
	const struct leat_task *task;

	if (asset.len == 0) {
		task = only_task(&w->tasks, name);
		print_card(w, task, task->asset);
		return;
	}
	if (is_glob(asset))
		front_misuse("an asset's own name is due, without * and ?: '%.*s'", (int)asset.len, asset.ptr);
	task = task_for(&w->tasks, name, asset);
	if (task == NULL) {
		for (size_t i = 0; i < w->tasks.count; i++)
			if (leat_span_eq(w->tasks.row[i].name, name))
				front_misuse("task '%.*s' is not for this asset: '%.*s'", (int)name.len, name.ptr, (int)asset.len,
				    asset.ptr);
		only_task(&w->tasks, name);
		return;
	}
	print_card(w, task, asset);
}

/* Is a finding of leat-due open for that task and asset: due, overdue or not known? */
static bool
is_due(const struct works *w, const struct leat_task *task, struct leat_span asset)
{
	for (size_t i = 0; i < w->findings.count; i++) {
		const struct leat_finding *f = &w->findings.item[i];

		if (f->status != LEAT_STATUS_OK && leat_time_is_none(f->until) && leat_span_starts(f->rule, "task-") &&
		    leat_span_eq(leat_span_make(f->rule.ptr + 5, f->rule.len - 5), task->name) && leat_span_eq(f->asset, asset))
			return true;
	}
	return false;
}

static bool
needs_stop(const struct leat_task *task)
{
	return leat_task_needs(task, "stop") || leat_task_needs(task, "depressurised");
}

/* One asset of a stop's task, once. */
static void
stop_card(struct works *w, const struct leat_task *task, struct leat_span asset, struct leat_names *done)
{
	struct leat_buf key = { 0 };
	size_t known = done->count;

	if (leat_buf_printf(&key, "%.*s %.*s", (int)task->name.len, task->name.ptr, (int)asset.len, asset.ptr) != 0 ||
	    leat_names_put(done, leat_buf_span(&key)) == LEAT_NAME_NONE)
		front_fail("out of memory");
	leat_buf_free(&key);
	if (done->count == known || task_for(&w->tasks, task->name, asset) != task)
		return;
	if (opt.findings == NULL || is_due(w, task, asset))
		print_card(w, task, asset);
}

/* The assets of a mill that a row's pattern fits: the mill itself, what points.csv and the findings name. */
static void
stop_task(struct works *w, const struct leat_task *task, struct leat_span mill, struct leat_names *done)
{
	if (!is_glob(task->asset)) {
		if (leat_span_eq(leat_asset_mill(task->asset), mill))
			stop_card(w, task, task->asset, done);
		return;
	}
	for (size_t i = 0; opt.findings != NULL && i < w->findings.count; i++) {
		struct leat_span asset = w->findings.item[i].asset;

		if (leat_span_eq(leat_asset_mill(asset), mill) && leat_glob(task->asset, asset))
			stop_card(w, task, asset, done);
	}
	if (opt.findings != NULL)
		return;
	if (leat_span_is(task->asset, "*")) {
		stop_card(w, task, mill, done);
		return;
	}
	for (size_t i = 0; i < w->points.count; i++) {
		struct leat_span asset = w->points.row[i].asset;

		if (leat_span_eq(leat_asset_mill(asset), mill) && leat_glob(task->asset, asset))
			stop_card(w, task, asset, done);
	}
}

/* The mills of a stop: its own, else all of points.csv; only the one asked for, if any. */
static void
stop_mills(struct works *w, struct leat_span only)
{
	struct leat_names mills = { 0 }, done = { 0 };
	struct leat_span asset = w->stop->asset;

	if (asset.len > 0 && !is_glob(asset))
		leat_names_put(&mills, leat_asset_mill(asset));
	for (size_t i = 0; i < w->points.count; i++) {
		struct leat_span mill = leat_asset_mill(w->points.row[i].asset);

		if ((asset.len == 0 || leat_glob(asset, mill)) && leat_names_put(&mills, mill) == LEAT_NAME_NONE)
			front_fail("out of memory");
	}
	for (size_t m = 0; m < mills.count; m++)
		for (size_t i = 0; i < w->tasks.count; i++)
			if ((only.len == 0 || leat_span_eq(only, mills.name[m])) && needs_stop(&w->tasks.row[i]))
				stop_task(w, &w->tasks.row[i], mills.name[m], &done);
	leat_names_free(&mills);
	leat_names_free(&done);
}

static void
cards_of_stop(struct works *w, struct leat_span only)
{
	const struct leat_zone *zone = leat_nameplate_zone(w->np);
	struct leat_time start;
	const char *why = "";

	front_stops(&w->stops, zone);
	if (leat_table_parse_time(leat_span_of(opt.stop), zone, &start, &why) != 0)
		front_misuse("option '--stop': %s: '%s'", why, opt.stop);
	for (size_t i = 0; i < w->stops.count; i++) {
		struct leat_span mill = leat_asset_mill(w->stops.row[i].asset);

		if (leat_time_cmp(w->stops.row[i].start, start) == 0 &&
		    (only.len == 0 || mill.len == 0 || leat_glob(mill, only))) {
			w->stop = &w->stops.row[i];
			stop_mills(w, only);
		}
	}
	if (w->stop == NULL)
		front_misuse("option '--stop': no stop of stops.csv begins then: '%s'", opt.stop);
	if (opt.findings == NULL)
		front_note("no findings of leat-due are given: the cards are those of all tasks that need a stop");
	if (w->cards == 0 && !front_failed())
		front_warn("no task is due in that stop");
}

static void
cards(struct leat_calendar *cal, struct leat_nameplate *np, int count, char *const operand[])
{
	struct works w = { .np = np, .cal = *cal, .sheet = { .html = opt.html } };
	struct leat_error err = { 0 };

	if (front_opt.now_data)
		front_misuse("option '--now': 'data' is for rounds; a card reads none");
	if (count > (opt.stop != NULL ? 1 : 2) || (count == 0 && opt.stop == NULL))
		front_misuse(opt.stop != NULL ? "one operand at most: the mill" : "operands are a task and, where it has several, "
		    "an asset");
	front_tasks(&w.tasks);
	front_parts(&w.parts);
	front_points(&w.points);
	if (opt.findings != NULL && leat_findings_read(&w.findings, opt.findings, &err) != 0)
		front_error(&err);
	leat_sheet_begin(&w.sheet, "Job cards");
	if (opt.csv)
		leat_out_text(front_stdout(), LEAT_LOGBOOK_HEADER "\n");
	if (!front_failed() && opt.stop != NULL)
		cards_of_stop(&w, leat_span_of(count > 0 ? operand[0] : NULL));
	else if (!front_failed())
		card_of(&w, leat_span_of(operand[0]), leat_span_of(count > 1 ? operand[1] : NULL));
	leat_sheet_end(&w.sheet);
	if (w.sheet.text.failed)
		front_fail("out of memory");
	if (!front_failed() && !opt.csv)
		leat_out_span(front_stdout(), leat_buf_span(&w.sheet.text.page));
	front_summary("%zu card%s", w.cards, w.cards == 1 ? "" : "s");
	leat_sheet_free(&w.sheet);
	leat_findings_free(&w.findings);
	leat_points_free(&w.points);
	leat_parts_free(&w.parts);
	leat_stops_free(&w.stops);
	leat_tasks_free(&w.tasks);
}

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
		case ROUND: opt.round = true; break;
		case STOP: opt.stop = optarg; break;
		case 'f': opt.findings = optarg; break;
		default: front_option(c, argv);
		}
	}
	if ((opt.stop != NULL) + (opt.sheet != NULL) + opt.round > 1)
		front_misuse("options '--stop', '--round' and '--check-round' exclude each other");
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
		cards(&cal, np, argc - optind, argv + optind);
	}
	leat_nameplate_free(np);
	return front_end();
}
