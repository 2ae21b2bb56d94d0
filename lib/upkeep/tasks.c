/* tasks.csv: reading and checking the rows. */
#include <stdio.h>
#include <stdlib.h>

#include "upkeep/needs.h"
#include "upkeep/tasks.h"

enum column {
	TASK, ASSET, TITLE, EVERY, HOURS, STARTS, CONDITION, WAIVE, TOLERANCE, NEEDS, CREW, DURATION, PARTS, CAUTIONS,
	PROCEDURE, SOURCE, COLUMNS
};

static const char *const columns[COLUMNS] = {
	"task", "asset", "title", "every", "hours", "starts", "condition", "waive", "tolerance", "needs", "crew", "duration",
	"parts", "cautions", "procedure", "source"
};

const struct leat_table_form leat_tasks_form = { "tasks", columns, COLUMNS, 2 };

bool
leat_is_slug(struct leat_span text)
{
	for (size_t i = 0; i < text.len; i++) {
		char c = text.ptr[i];

		if (!((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_' ||
		    c == '.'))
			return false;
	}
	return text.len > 0;
}

bool
leat_rules_next(struct leat_span *rest, struct leat_span *rule, struct leat_span *status)
{
	struct leat_span word;
	size_t colon;

	if (!leat_needs_next(rest, &word))
		return false;
	colon = leat_span_find(word, ':');
	*rule = leat_span_make(word.ptr, colon);
	*status = colon < word.len ? leat_span_make(word.ptr + colon + 1, word.len - colon - 1) : leat_span_make("", 0);
	return true;
}

bool
leat_task_needs(const struct leat_task *task, const char *word)
{
	struct leat_span rest = task->needs, one;

	while (leat_needs_next(&rest, &one))
		if (leat_span_is(leat_span_make(one.ptr, leat_span_find(one, ':')), word))
			return true;
	return false;
}

static int
take_names(const struct leat_table *t, size_t i, struct leat_task *row, struct leat_error *err)
{
	row->name = leat_table_cell(t, i, TASK);
	row->asset = leat_table_cell(t, i, ASSET);
	row->title = leat_table_cell(t, i, TITLE);
	for (size_t column = TASK; column <= ASSET; column++)
		if (leat_table_cell(t, i, column).len == 0)
			return leat_table_fault(t, i, column, err, "empty: a value is due");
	if (!leat_is_slug(row->name))
		return leat_table_fault(t, i, TASK, err, "a name has letters, digits, '-', '_' and '.' only");
	if (row->title.len == 0)
		row->title = row->name;
	row->crew = leat_table_cell(t, i, CREW);
	row->cautions = leat_table_cell(t, i, CAUTIONS);
	row->procedure = leat_table_cell(t, i, PROCEDURE);
	row->source = leat_table_cell(t, i, SOURCE);
	row->line = leat_table_line(t, i);
	row->file = leat_table_file(t);
	return 0;
}

static int
take_every(const struct leat_table *t, size_t i, struct leat_task *row, struct leat_error *err)
{
	struct leat_span cell = leat_table_cell(t, i, EVERY);
	const char *why;

	row->has_every = cell.len > 0;
	if (row->has_every && leat_interval_parse(cell, &row->every, &why) != 0)
		return leat_table_fault(t, i, EVERY, err, why);
	return 0;
}

static int
take_count(const struct leat_table *t, size_t i, enum column column, double *out, struct leat_error *err)
{
	int got;

	*out = 0;
	got = leat_table_number(t, i, column, out, err);
	if (got == 1 && *out <= 0)
		return leat_table_fault(t, i, column, err, "a number above zero is due");
	return got < 0 ? -1 : 0;
}

static int
take_tolerance(const struct leat_table *t, size_t i, struct leat_task *row, struct leat_error *err)
{
	struct leat_span cell = leat_table_cell(t, i, TOLERANCE);

	row->tolerance_is_share = true;
	row->tolerance_share = LEAT_TASK_TOLERANCE;
	if (cell.len == 0)
		return 0;
	if (leat_duration_parse(cell, &row->tolerance) == 0 && row->tolerance.seconds <= 0) {
		row->tolerance_is_share = false;
		return 0;
	}
	if (leat_span_ends(cell, "%")) {
		cell.len--;
		if (leat_table_parse_number(t, leat_span_trim(cell), &row->tolerance_share) == 0 && row->tolerance_share >= 0 &&
		    row->tolerance_share <= 100) {
			row->tolerance_share /= 100;
			return 0;
		}
	}
	return leat_table_fault(t, i, TOLERANCE, err, "neither a share such as 10% nor a duration such as P7D");
}

/* Names of rules, each with a status behind a colon perhaps. */
static int
take_rules(const struct leat_table *t, size_t i, enum column column, struct leat_span *out, struct leat_error *err)
{
	static const char *const status[] = { "", "ok", "alert", "alarm", "unknown" };
	struct leat_span rest, rule, asked;

	rest = *out = leat_table_cell(t, i, column);
	while (leat_rules_next(&rest, &rule, &asked)) {
		bool known = false;

		for (size_t k = 0; k < sizeof(status) / sizeof(status[0]); k++)
			known = known || leat_span_is(asked, status[k]);
		if (!leat_is_slug(rule))
			return leat_table_fault(t, i, column, err,
			    "a name has letters, digits, '-', '_' and '.' only; names are separated by blanks or '|'");
		if (!known)
			return leat_table_fault(t, i, column, err, "behind a rule's colon stands ok, alert, alarm or unknown");
	}
	return 0;
}

static int
take_needs(const struct leat_table *t, size_t i, struct leat_task *row, struct leat_error *err)
{
	struct leat_span rest, word, more;
	enum leat_need need;
	double litres;

	rest = row->needs = leat_table_cell(t, i, NEEDS);
	while (leat_needs_next(&rest, &word)) {
		if (leat_need_word(word, &need, &more, &litres) != 0)
			return leat_table_fault(t, i, NEEDS, err,
			    "only lock:NAME, drain:LITRES, renew:LITRES and nitrogen:empty have a colon");
		if (need == LEAT_NEED_TASK && !leat_is_slug(more))
			return leat_table_fault(t, i, NEEDS, err,
			    "a name has letters, digits, '-', '_' and '.' only; names are separated by blanks or '|'");
	}
	if (leat_task_needs(row, "running") && (leat_task_needs(row, "stop") || leat_task_needs(row, "depressurised")))
		return leat_table_fault(t, i, NEEDS, err, "a mill cannot run and stand at once");
	return 0;
}

static int
take_work(const struct leat_table *t, size_t i, struct leat_task *row, struct leat_error *err)
{
	struct leat_span rest, word, name;
	double number;
	int got;

	row->people = 1;
	if (row->crew.len > 0 && leat_needs_crew(row->crew, &row->people) != 0)
		return leat_table_fault(t, i, CREW, err, "not a crew such as 2, fitter or 2 fitters 1 electrician");
	row->duration_s = 0;
	got = leat_table_duration(t, i, DURATION, &row->duration_s, err);
	if (got < 0)
		return -1;
	if (got == 1 && row->duration_s <= 0)
		return leat_table_fault(t, i, DURATION, err, "longer than zero is due");
	rest = row->parts = leat_table_cell(t, i, PARTS);
	while (leat_needs_next(&rest, &word))
		if (leat_needs_count(word, &name, &number) != 0 || !leat_is_slug(name))
			return leat_table_fault(t, i, PARTS, err,
			    "not names of parts such as element or element*2, separated by blanks or '|'");
	return 0;
}

static int
take_row(struct leat_tasks *tasks, const struct leat_table *t, size_t i, struct leat_error *err)
{
	struct leat_task *row;

	if (leat_grow(&tasks->row, &tasks->cap, tasks->count + 1, sizeof(*tasks->row)) != 0)
		return leat_error_memory(err);
	row = &tasks->row[tasks->count];
	memset(row, 0, sizeof(*row));
	if (take_names(t, i, row, err) != 0 || take_every(t, i, row, err) != 0 ||
	    take_count(t, i, HOURS, &row->hours, err) != 0 || take_count(t, i, STARTS, &row->starts, err) != 0 ||
	    take_rules(t, i, CONDITION, &row->condition, err) != 0 || take_rules(t, i, WAIVE, &row->waive, err) != 0 ||
	    take_tolerance(t, i, row, err) != 0 || take_needs(t, i, row, err) != 0 || take_work(t, i, row, err) != 0)
		return -1;
	for (size_t k = 0; k < tasks->count; k++) {
		char text[80];

		if (!leat_span_eq(tasks->row[k].name, row->name) || !leat_span_eq(tasks->row[k].asset, row->asset))
			continue;
		snprintf(text, sizeof(text), "line %ld has this task of the asset already", tasks->row[k].line);
		return leat_table_fault(t, i, TASK, err, text);
	}
	tasks->count++;
	return 0;
}

int
leat_tasks_make(struct leat_tasks *tasks, struct leat_table *table, struct leat_error *err)
{
	memset(tasks, 0, sizeof(*tasks));
	for (size_t i = 0; table != NULL && i < leat_table_rows(table); i++) {
		if (take_row(tasks, table, i, err) != 0) {
			leat_tasks_free(tasks);
			return -1;
		}
	}
	tasks->table = table;
	return 0;
}

int
leat_tasks_read(struct leat_tasks *tasks, const char *path, bool *absent, struct leat_error *err)
{
	struct leat_table *table;

	memset(tasks, 0, sizeof(*tasks));
	if (leat_table_optional(&table, path, &leat_tasks_form, absent, err) != 0)
		return -1;
	if (leat_tasks_make(tasks, table, err) != 0) {
		leat_table_free(table);
		return -1;
	}
	return 0;
}

void
leat_tasks_free(struct leat_tasks *tasks)
{
	free(tasks->row);
	leat_table_free(tasks->table);
	memset(tasks, 0, sizeof(*tasks));
}
