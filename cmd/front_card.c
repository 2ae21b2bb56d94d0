/* The job cards of leat-card: which tasks, and what each card has. */
#include "front_card.h"

#include <sys/stat.h>

#include <stdlib.h>

#include "stream/nearest.h"
#include "tell/card.h"
#include "upkeep/needs.h"

/* The works as cards need it. */
struct works {
	const struct front_cards *form;
	struct leat_tasks tasks;
	struct leat_parts parts;
	struct leat_points points;
	struct leat_findings findings;
	struct leat_stops stops;
	const struct leat_nameplate *np;
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
	if (!front_failed() && w->form->csv)
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
	if (w->form->findings == NULL || is_due(w, task, asset))
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
	for (size_t i = 0; w->form->findings != NULL && i < w->findings.count; i++) {
		struct leat_span asset = w->findings.item[i].asset;

		if (leat_span_eq(leat_asset_mill(asset), mill) && leat_glob(task->asset, asset))
			stop_card(w, task, asset, done);
	}
	if (w->form->findings != NULL)
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
	if (leat_table_parse_time(leat_span_of(w->form->stop), zone, &start, &why) != 0)
		front_misuse("option '--stop': %s: '%s'", why, w->form->stop);
	for (size_t i = 0; i < w->stops.count; i++) {
		struct leat_span mill = leat_asset_mill(w->stops.row[i].asset);

		if (leat_time_cmp(w->stops.row[i].start, start) == 0 &&
		    (only.len == 0 || mill.len == 0 || leat_glob(mill, only))) {
			w->stop = &w->stops.row[i];
			stop_mills(w, only);
		}
	}
	if (w->stop == NULL)
		front_misuse("option '--stop': no stop of stops.csv begins then: '%s'", w->form->stop);
	if (w->form->findings == NULL)
		front_note("no findings of leat-due are given: the cards are those of all tasks that need a stop");
	if (w->cards == 0 && !front_failed())
		front_warn("no task is due in that stop");
}

/* The columns of a plan of leat-due. */
enum plan_column { MILL, START, END, ROW, NAME, ASSET, CHOICE, PLAN_COLUMNS };
static const char *const plan_columns[] = {
	"mill", "start", "end", "row", "name", "asset", "choice", "quantity", "unit", "by", "message"
};
static const struct leat_table_form plan_form = {
	"plan", plan_columns, sizeof(plan_columns) / sizeof(plan_columns[0]), PLAN_COLUMNS
};

/* Does the plan take the task of that row into its stop? */
static bool
is_taken(const struct leat_table *t, size_t row)
{
	static const char *const taken[] = { "forced", "before", "due", "shared" };

	for (size_t i = 0; i < sizeof(taken) / sizeof(taken[0]); i++)
		if (leat_span_is(leat_table_cell(t, row, ROW), "task") && leat_span_is(leat_table_cell(t, row, CHOICE), taken[i]))
			return true;
	return false;
}

/* One row: true where its stop is the one asked for. */
static bool
plan_row(struct works *w, const struct leat_table *t, size_t row, struct leat_time start, struct leat_span only)
{
	struct leat_stop stop = { .start = LEAT_TIME_NONE };
	const struct leat_task *task;
	struct leat_error err = { 0 };

	if (leat_table_time(t, row, START, leat_nameplate_zone(w->np), &stop.start, &err) < 0 ||
	    leat_table_time(t, row, END, leat_nameplate_zone(w->np), &stop.end, &err) < 0) {
		front_error(&err);
		return false;
	}
	if (leat_time_is_none(stop.start) || (!leat_time_is_none(start) && leat_time_cmp(start, stop.start) != 0) ||
	    (only.len > 0 && !leat_span_eq(only, leat_table_cell(t, row, MILL))))
		return false;
	if (!is_taken(t, row))
		return true;
	task = task_for(&w->tasks, leat_table_cell(t, row, NAME), leat_table_cell(t, row, ASSET));
	if (task == NULL) {
		leat_table_fault(t, row, NAME, &err, "no task of tasks.csv for this asset");
		front_error(&err);
		return true;
	}
	w->stop = &stop;
	print_card(w, task, leat_table_cell(t, row, ASSET));
	w->stop = NULL;
	return true;
}

/* The tasks that the plan of leat-due takes into a stop, in its order; without --stop those of all its stops. */
static void
cards_of_plan(struct works *w, struct leat_span only)
{
	struct leat_time start = LEAT_TIME_NONE;
	struct leat_error err = { 0 };
	struct leat_table *t = leat_table_read(w->form->plan, &plan_form, NULL, &err);
	const char *why = "";
	bool any = false;

	if (t == NULL) {
		front_error(&err);
		return;
	}
	if (w->form->stop != NULL &&
	    leat_table_parse_time(leat_span_of(w->form->stop), leat_nameplate_zone(w->np), &start, &why) != 0)
		front_misuse("option '--stop': %s: '%s'", why, w->form->stop);
	for (size_t row = 0; row < leat_table_rows(t); row++)
		any = plan_row(w, t, row, start, only) || any;
	leat_table_free(t);
	if (!any && !front_failed())
		front_fail("no such stop in the plan '%s'", w->form->plan);
	else if (w->cards == 0 && !front_failed())
		front_warn("the plan takes no task into that stop");
}

void
front_cards(const struct front_cards *form, int count, char *const operand[])
{
	struct works w = { .form = form, .np = form->np, .cal = *form->cal, .sheet = { .html = form->html } };
	struct leat_error err = { 0 };
	bool stop = form->stop != NULL || form->plan != NULL;

	if (front_opt.now_data)
		front_misuse("option '--now': 'data' is for rounds; a card reads none");
	if (count > (stop ? 1 : 2) || (count == 0 && !stop))
		front_misuse(stop ? "one operand at most: the mill" : "operands are a task and, where it has several, an asset");
	front_tasks(&w.tasks);
	front_parts(&w.parts);
	front_points(&w.points);
	if (form->findings != NULL && leat_findings_read(&w.findings, form->findings, &err) != 0)
		front_error(&err);
	leat_sheet_begin(&w.sheet, "Job cards");
	if (form->csv)
		leat_out_text(front_stdout(), LEAT_LOGBOOK_HEADER "\n");
	if (!front_failed() && form->plan != NULL)
		cards_of_plan(&w, leat_span_of(count > 0 ? operand[0] : NULL));
	else if (!front_failed() && stop)
		cards_of_stop(&w, leat_span_of(count > 0 ? operand[0] : NULL));
	else if (!front_failed())
		card_of(&w, leat_span_of(operand[0]), leat_span_of(count > 1 ? operand[1] : NULL));
	leat_sheet_end(&w.sheet);
	if (w.sheet.text.failed)
		front_fail("out of memory");
	if (!front_failed() && !form->csv)
		leat_out_span(front_stdout(), leat_buf_span(&w.sheet.text.page));
	front_summary("%zu card%s", w.cards, w.cards == 1 ? "" : "s");
	leat_sheet_free(&w.sheet);
	leat_findings_free(&w.findings);
	leat_points_free(&w.points);
	leat_parts_free(&w.parts);
	leat_stops_free(&w.stops);
	leat_tasks_free(&w.tasks);
}
