/* tasks.csv, stops.csv, parts.csv, precharge.csv and logbook.csv: rows against rows and against other tables. */
#include <sys/stat.h>

#include <stdio.h>
#include <stdlib.h>

#include "judge/proof_private.h"
#include "upkeep/needs.h"

static void
check_asset(struct leat_proof *p, const struct leat_table *t, size_t row, size_t column)
{
	const char *near;

	if (!proof_doubtful(p, leat_table_cell(t, row, column), &near))
		return;
	if (near != NULL)
		proof_cell(p, false, t, row, column, "neither in points.csv nor in nameplate.csv, did you mean '%s'?", near);
	else
		proof_cell(p, false, t, row, column, "of no mill of points.csv or nameplate.csv");
}

/* Is the name in that column of a table?  If not, hint (of PROOF_HINT bytes) says what is nearly the same there. */
static bool
is_named(const struct leat_proof *p, enum leat_proof_which which, const char *column, struct leat_span name, char *hint)
{
	const struct leat_table *t = p->table[which];

	hint[0] = '\0';
	for (size_t row = 0; t != NULL && row < leat_table_rows(t); row++) {
		struct leat_span cell = leat_table_cell(t, row, proof_column(t, column));
		struct leat_nearest nearest = { .word = name };
		char text[100];

		if (leat_span_eq(cell, name))
			return true;
		if (cell.len >= sizeof(text) || hint[0] != '\0')
			continue;
		memcpy(text, cell.ptr, cell.len);
		text[cell.len] = '\0';
		leat_nearest_offer(&nearest, text);
		proof_hint(hint, nearest.name);
	}
	return false;
}

static void
tell_name(struct leat_proof *p, const struct leat_table *t, size_t row, size_t column, struct leat_span name,
    const char *what, const char *hint)
{
	proof_cell(p, false, t, row, column, "'%.*s' is %s%s", (int)name.len, name.ptr, what, hint);
}

/* A procedure that is not there is found missing on the day of the work, so it is told; the table can be read. */
static void
check_procedure(struct leat_proof *p, const struct leat_table *t, size_t row, size_t column)
{
	struct leat_span cell = leat_table_cell(t, row, column);
	char path[4096];
	struct stat st;
	bool whole = cell.ptr[0] == '/';
	int len = snprintf(path, sizeof(path), "%s%s%.*s", whole || p->works == NULL ? "" : p->works,
	    whole || p->works == NULL ? "" : "/", (int)cell.len, cell.ptr);

	if (len > 0 && (size_t)len < sizeof(path) && stat(path, &st) == 0 && S_ISREG(st.st_mode))
		return;
	proof_cell(p, false, t, row, column, "no such file in the works folder");
}

static void
check_rules(struct leat_proof *p, const struct leat_table *t, size_t row, const char *name)
{
	size_t column = proof_column(t, name);
	struct leat_span rest = leat_table_cell(t, row, column), rule, status;
	char hint[PROOF_HINT];
	const char *near;

	while (leat_rules_next(&rest, &rule, &status))
		if (!proof_rule_known(p, rule, &near))
			tell_name(p, t, row, column, rule, "no rule of limits.csv, trends.csv, oil.csv or the shipped ones",
			    proof_hint(hint, near));
}

/* Does the task of that name come, by what rows need, behind the other?  seen has the rows that were looked at. */
static bool
comes_behind(const struct leat_table *t, struct leat_span task, struct leat_span other, bool *seen)
{
	for (size_t row = 0; row < leat_table_rows(t); row++) {
		struct leat_span rest = leat_table_cell(t, row, proof_column(t, "needs")), word, name;
		enum leat_need need;
		double number;

		if (seen[row] || !leat_span_eq(leat_table_cell(t, row, proof_column(t, "task")), task))
			continue;
		seen[row] = true;
		while (leat_needs_next(&rest, &word))
			if (leat_need_word(word, &need, &name, &number) == 0 && need == LEAT_NEED_TASK &&
			    (leat_span_eq(name, other) || comes_behind(t, name, other, seen)))
				return true;
	}
	return false;
}

static void
check_first(struct leat_proof *p, const struct leat_table *t, size_t row, size_t needs, struct leat_span name)
{
	struct leat_span task = leat_table_cell(t, row, proof_column(t, "task"));
	bool *seen = calloc(leat_table_rows(t), sizeof(*seen));
	char hint[PROOF_HINT];

	if (!is_named(p, PROOF_TASKS, "task", name, hint))
		tell_name(p, t, row, needs, name, "no word of leat-works(5) for what a task needs, and no task", hint);
	else if (leat_span_eq(name, task) || (seen != NULL && comes_behind(t, name, task, seen)))
		tell_name(p, t, row, needs, name, "a task that itself comes behind this one: neither can be first", "");
	free(seen);
}

static void
check_lists(struct leat_proof *p, const struct leat_table *t, size_t row)
{
	size_t parts = proof_column(t, "parts"), needs = proof_column(t, "needs");
	struct leat_span rest, word, name;
	char hint[PROOF_HINT];
	enum leat_need need;
	double number;

	check_rules(p, t, row, "condition");
	check_rules(p, t, row, "waive");
	rest = leat_table_cell(t, row, parts);
	while (leat_needs_next(&rest, &word))
		if (leat_needs_count(word, &name, &number) == 0 && !is_named(p, PROOF_PARTS, "part", name, hint))
			tell_name(p, t, row, parts, name, "no part of parts.csv", hint);
	rest = leat_table_cell(t, row, needs);
	while (leat_needs_next(&rest, &word))
		if (leat_need_word(word, &need, &name, &number) == 0 && need == LEAT_NEED_TASK)
			check_first(p, t, row, needs, name);
	if (leat_table_cell(t, row, proof_column(t, "procedure")).len > 0)
		check_procedure(p, t, row, proof_column(t, "procedure"));
}

void
proof_cross_tasks(struct leat_proof *p, const struct leat_table *t)
{
	static const char *const triggers[] = { "every", "hours", "starts", "condition" };
	size_t task = proof_column(t, "task"), asset = proof_column(t, "asset");

	for (size_t row = 0; row < leat_table_rows(t); row++) {
		bool due = false;

		check_asset(p, t, row, asset);
		for (size_t i = 0; i < sizeof(triggers) / sizeof(triggers[0]); i++)
			due = due || leat_table_cell(t, row, proof_column(t, triggers[i])).len > 0;
		if (!due)
			proof_cell(p, false, t, row, task, "never due: it has no every, hours, starts or condition");
		check_lists(p, t, row);
		proof_task_cautions(p, t, row);
	}
}

/* Both ends of a stop; false when one is missing or at fault, which is told already. */
static bool
stop_of(const struct leat_proof *p, const struct leat_table *t, size_t row, struct leat_time *start, struct leat_time *end)
{
	const struct leat_zone *zone = leat_nameplate_zone(p->nameplate);

	return leat_table_time(t, row, proof_column(t, "start"), zone, start, NULL) == 1 &&
	    leat_table_time(t, row, proof_column(t, "end"), zone, end, NULL) == 1;
}

void
proof_cross_stops(struct leat_proof *p, const struct leat_table *t)
{
	size_t asset = proof_column(t, "asset");
	struct leat_time start, end, other_start, other_end;

	for (size_t row = 0; row < leat_table_rows(t); row++) {
		check_asset(p, t, row, asset);
		if (!stop_of(p, t, row, &start, &end))
			continue;
		for (size_t other = 0; other < row; other++) {
			if (!leat_span_eq(leat_table_cell(t, other, asset), leat_table_cell(t, row, asset)) ||
			    !stop_of(p, t, other, &other_start, &other_end) || leat_time_cmp(other_end, other_start) <= 0 ||
			    leat_time_cmp(start, other_end) >= 0 || leat_time_cmp(other_start, end) >= 0)
				continue;
			proof_cell(p, false, t, row, proof_column(t, "start"), "overlaps the stop of line %ld", leat_table_line(t, other));
			break;
		}
	}
}

/* The maker's curve of an asset rises with the grinding pressure, and the gas is filled to less than that. */
void
proof_cross_precharge(struct leat_proof *p, const struct leat_table *t)
{
	size_t asset = proof_column(t, "asset"), x = proof_column(t, "grinding_pressure"), y = proof_column(t, "precharge");

	for (size_t row = 0; row < leat_table_rows(t); row++) {
		double pressure, gas, other_pressure, other_gas;

		check_asset(p, t, row, asset);
		if (leat_table_number(t, row, x, &pressure, NULL) != 1 || leat_table_number(t, row, y, &gas, NULL) != 1 || gas <= 0)
			continue;
		if (gas >= pressure)
			proof_cell(p, false, t, row, y, "not below the grinding pressure");
		for (size_t other = 0; other < row; other++) {
			if (!leat_span_eq(leat_table_cell(t, other, asset), leat_table_cell(t, row, asset)) ||
			    leat_table_number(t, other, x, &other_pressure, NULL) != 1 ||
			    leat_table_number(t, other, y, &other_gas, NULL) != 1)
				continue;
			if ((pressure > other_pressure) == (gas > other_gas))
				continue;
			proof_cell(p, false, t, row, y, "the curve falls between this line and line %ld", leat_table_line(t, other));
			break;
		}
	}
}

static void
tell_entry(struct leat_proof *p, const struct leat_table *t, const struct leat_log_entry *e, const char *column,
    struct leat_span value, const char *text)
{
	struct leat_error err = { 0 };

	leat_error_set(&err, "%s", text);
	leat_error_column(&err, leat_span_of(column));
	leat_error_value(&err, value);
	leat_error_at(&err, leat_table_file(t), e->line);
	proof_tell(p, false, &err);
}

static void
check_entry_names(struct leat_proof *p, const struct leat_table *t, const struct leat_log_entry *e)
{
	char text[256], hint[PROOF_HINT];
	const char *near;

	if (proof_doubtful(p, e->asset, &near) && proof_first(p, e->asset)) {
		if (near != NULL)
			snprintf(text, sizeof(text), "neither in points.csv nor in nameplate.csv, did you mean '%.150s'?", near);
		else
			snprintf(text, sizeof(text), "of no mill of points.csv or nameplate.csv");
		tell_entry(p, t, e, "asset", e->asset, text);
	}
	if (e->task.len == 0 || p->table[PROOF_TASKS] == NULL || is_named(p, PROOF_TASKS, "task", e->task, hint) ||
	    !proof_first(p, e->task))
		return;
	snprintf(text, sizeof(text), "no task of tasks.csv%s", hint);
	tell_entry(p, t, e, "task", e->task, text);
}

/* What the commands read by night is a fault already; what leat-log would not have written is told here. */
void
proof_cross_logbook(struct leat_proof *p, const struct leat_table *t)
{
	struct leat_log_rules rules = { LEAT_TIME_NONE, &p->points };

	for (size_t i = 0; i < p->logbook.count; i++) {
		const struct leat_log_entry *e = &p->logbook.entry[i];
		struct leat_error err = { 0 };
		char time[LEAT_TIME_MAX];

		if (leat_time_cmp(e->time, p->now) > 0)
			tell_entry(p, t, e, "time", leat_span_make(time, leat_time_write(time, e->time)),
			    "later than now: not used until then");
		if (leat_log_entry_check(e, &rules, &err) != 0) {
			leat_error_at(&err, leat_table_file(t), e->line);
			proof_tell(p, false, &err);
		}
		check_entry_names(p, t, e);
	}
}
