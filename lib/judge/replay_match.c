/* Faults and works, and which activations belong to them. */
#include <stdlib.h>
#include <string.h>

#include "judge/replay_private.h"
#include "judge/trend_private.h"
#include "upkeep/renewal.h"

enum column { TIME, ASSET, RULE, END, WHAT, MODE, COLUMNS };

static const char *const columns[COLUMNS] = { "time", "asset", "rule", "end", "what", "mode" };

static const struct leat_table_form form = { "truth", columns, COLUMNS, 3 };

static int
take_row(struct leat_faults *faults, size_t i, const struct leat_zone *zone, struct leat_error *err)
{
	struct leat_table *t = faults->table;
	struct leat_fault *row;
	int given;

	if (leat_grow(&faults->row, &faults->cap, faults->count + 1, sizeof(*faults->row)) != 0)
		return leat_error_memory(err);
	row = &faults->row[faults->count];
	row->time = row->end = LEAT_TIME_NONE;
	given = leat_table_time(t, i, TIME, zone, &row->time, err);
	if (given < 0 || leat_table_time(t, i, END, zone, &row->end, err) < 0)
		return -1;
	if (given == 0)
		return leat_table_fault(t, i, TIME, err, "empty: a value is due");
	if (!leat_time_is_none(row->end) && leat_time_cmp(row->end, row->time) < 0)
		return leat_table_fault(t, i, END, err, "a fault must not end before its 'time'");
	row->asset = leat_table_cell(t, i, ASSET);
	row->rule = leat_table_cell(t, i, RULE);
	row->what = leat_table_cell(t, i, WHAT);
	row->mode = leat_table_cell(t, i, MODE);
	if (row->asset.len == 0 || row->rule.len == 0)
		return leat_table_fault(t, i, row->asset.len == 0 ? ASSET : RULE, err, "empty: a value is due");
	faults->count++;
	return 0;
}

static int
by_time(const void *a, const void *b)
{
	const struct leat_fault *x = a, *y = b;
	int order = leat_time_cmp(x->time, y->time);

	/* The spans lie in one block, in the order of their lines. */
	return order != 0 ? order : (x->asset.ptr > y->asset.ptr) - (x->asset.ptr < y->asset.ptr);
}

int
leat_faults_read(struct leat_faults *faults, const char *path, const struct leat_zone *zone, struct leat_error *err)
{
	bool absent = false;

	memset(faults, 0, sizeof(*faults));
	faults->table = leat_table_read(path, &form, &absent, err);
	if (faults->table == NULL) {
		if (absent) {
			leat_error_set(err, "no such table");
			leat_error_value(err, leat_span_of(path));
		}
		return -1;
	}
	for (size_t i = 0; i < leat_table_rows(faults->table); i++) {
		if (take_row(faults, i, zone, err) != 0) {
			leat_faults_free(faults);
			return -1;
		}
	}
	if (faults->count > 1)
		qsort(faults->row, faults->count, sizeof(*faults->row), by_time);
	return 0;
}

void
leat_faults_free(struct leat_faults *faults)
{
	free(faults->row);
	leat_table_free(faults->table);
	memset(faults, 0, sizeof(*faults));
}

bool
leat_replay_fits(struct leat_span patterns, struct leat_span text)
{
	struct leat_span one;

	while (leat_span_word(&patterns, "", &one))
		if (leat_glob(one, text))
			return true;
	return false;
}

bool
leat_replay_shows(const struct leat_fault *fault, const struct leat_replay_item *item)
{
	return leat_replay_fits(fault->asset, item->asset) && leat_replay_fits(fault->rule, item->rule);
}

/* Does the condition of a task name the rule? */
static bool
names_rule(struct leat_span condition, struct leat_span rule)
{
	struct leat_span one, status;

	while (leat_rules_next(&condition, &one, &status))
		if (leat_span_eq(one, rule))
			return true;
	return false;
}

struct leat_span
leat_replay_task(struct leat_span rule)
{
	return leat_span_starts(rule, "task-") ? leat_span_make(rule.ptr + 5, rule.len - 5) : LEAT_SPAN("");
}

/* Half a day: what is logged of one work in several lines. */
#define SAME_WORK_S (12 * 3600.0)

bool
leat_replay_repeats(const struct leat_logbook *book, size_t i)
{
	const struct leat_log_entry *e = &book->entry[i];

	for (size_t k = i; k-- > 0 && leat_time_diff(e->time, book->entry[k].time) <= SAME_WORK_S;) {
		const struct leat_log_entry *b = &book->entry[k];

		if (leat_span_eq(b->asset, e->asset) && (b->event == e->event || (e->task.len > 0 && leat_span_eq(b->task, e->task))))
			return true;
	}
	return false;
}

bool
leat_replay_worked(const struct leat_replay *replay, const struct leat_log_entry *e, const struct leat_replay_item *item)
{
	const struct leat_tasks *tasks = replay->form.tasks;

	if (!leat_asset_within(item->asset, e->asset) && !leat_asset_within(e->asset, item->asset))
		return false;
	if (leat_replay_task(item->rule).len > 0)
		return leat_span_eq(leat_replay_task(item->rule), e->task);
	for (size_t i = 0; e->task.len > 0 && tasks != NULL && i < tasks->count; i++)
		if (leat_span_eq(tasks->row[i].name, e->task) && names_rule(tasks->row[i].condition, item->rule))
			return true;
	/* A new baseline or meter is no work on the machine. */
	return strcmp(e->event->name, "baseline") != 0 && strcmp(e->event->name, "meter-change") != 0 &&
	    leat_log_renews(e, item->asset, item->point);
}

/* Was it first told while the fault lasted, or soon enough after?  A task is due on a day. */
static bool
told_by(const struct leat_fault *fault, const struct leat_activation *a)
{
	double early_s = leat_replay_task(fault->rule).len > 0 ? LEAT_REPLAY_DAY_S : 0;

	return leat_time_diff(fault->time, a->first) <= early_s &&
	    (leat_time_is_none(fault->end) || leat_time_diff(a->first, fault->end) <= LEAT_REPLAY_AFTER_S);
}

const struct leat_activation *
leat_replay_found(const struct leat_fault *fault, const struct leat_replay_item *item)
{
	for (size_t i = 0; i < item->acts; i++)
		if (!item->act[i].is_denied && told_by(fault, &item->act[i]))
			return &item->act[i];
	return NULL;
}

/* From when on an activation announces the work: what ended with the same work before it does not announce the next. */
static struct leat_time
announces_from(const struct leat_replay *replay, const struct leat_log_entry *e, const struct leat_replay_item *item)
{
	const struct leat_logbook *book = replay->form.book;
	struct leat_time from = leat_time_add(e->time, -replay->form.within_s);

	for (size_t i = 0; i < book->count && leat_time_diff(e->time, book->entry[i].time) > LEAT_REPLAY_DAY_S; i++) {
		struct leat_time over = leat_time_add(book->entry[i].time, LEAT_REPLAY_DAY_S);

		if (leat_time_cmp(over, from) > 0 && leat_replay_worked(replay, &book->entry[i], item))
			from = over;
	}
	return from;
}

const struct leat_activation *
leat_replay_warned(const struct leat_replay *replay, const struct leat_log_entry *e, const struct leat_replay_item *item)
{
	struct leat_time from = announces_from(replay, e, item);

	for (size_t i = 0; i < item->acts; i++) {
		const struct leat_activation *a = &item->act[i];

		if (leat_time_cmp(a->first, e->time) <= 0 && leat_time_cmp(a->until, from) >= 0)
			return a;
	}
	return NULL;
}

bool
leat_replay_covers(const struct leat_replay *replay, struct leat_time from, struct leat_time to)
{
	return replay->nights > 0 && leat_time_cmp(from, replay->last) <= 0 &&
	    (leat_time_is_none(to) || leat_time_cmp(to, replay->first) >= 0);
}

/* A task that was told to be due announced the work when that was done later, however much; one of which the logbook had the
 * work since the day it was due was told for nothing. */
static void
match_task(const struct leat_replay *replay, struct leat_replay_item *item)
{
	const struct leat_logbook *book = replay->form.book;

	for (size_t i = 0; book != NULL && i < book->count; i++) {
		if (!leat_replay_worked(replay, &book->entry[i], item))
			continue;
		for (size_t k = 0; k < item->acts; k++) {
			struct leat_activation *a = &item->act[k];
			struct leat_time done = book->entry[i].time;

			/* What was due and done between two nights is told as over. */
			a->is_denied = a->is_denied || (a->stood && leat_time_cmp(done, a->since) > 0 && leat_time_cmp(done, a->first) <= 0);
			a->is_warning = a->is_warning || leat_time_cmp(done, a->stood ? a->first : a->since) > 0;
		}
	}
	for (size_t k = 0; k < item->acts; k++)
		item->act[k].is_true = item->act[k].is_true && !item->act[k].is_denied;
}

/* What is reckoned of a day is known when it is over: a work may have been done before the night that tells it. */
static bool
belongs_to(const struct leat_activation *a, struct leat_time work, struct leat_time from)
{
	return leat_time_cmp(a->since, work) <= 0 && leat_time_diff(a->first, work) <= LEAT_REPLAY_DAY_S &&
	    leat_time_cmp(a->until, from) >= 0;
}

bool
leat_replay_decided(const struct leat_replay *replay, const struct leat_replay_item *item, const struct leat_activation *a)
{
	const struct leat_logbook *book = replay->form.book;

	if (leat_time_diff(replay->last, a->first) > replay->form.within_s)
		return true;
	if (replay->form.faults == NULL)
		return false;
	for (size_t i = 0; book != NULL && i < book->count && leat_time_cmp(a->until, replay->last) >= 0; i++)
		if (leat_replay_worked(replay, &book->entry[i], item))
			return false;
	return true;
}

static void
match_item(struct leat_replay *replay, struct leat_replay_item *item)
{
	const struct leat_faults *faults = replay->form.faults;
	const struct leat_logbook *book = replay->form.book;

	for (size_t i = 0; faults != NULL && i < faults->count; i++) {
		if (!leat_replay_shows(&faults->row[i], item))
			continue;
		for (size_t k = 0; k < item->acts; k++)
			item->act[k].is_true = item->act[k].is_true || told_by(&faults->row[i], &item->act[k]);
	}
	if (leat_replay_task(item->rule).len > 0) {
		match_task(replay, item);
		return;
	}
	for (size_t i = 0; book != NULL && i < book->count; i++) {
		struct leat_time from;

		if (!leat_replay_worked(replay, &book->entry[i], item))
			continue;
		from = announces_from(replay, &book->entry[i], item);
		for (size_t k = 0; k < item->acts; k++) {
			struct leat_activation *a = &item->act[k];

			a->is_warning = a->is_warning || belongs_to(a, book->entry[i].time, from);
		}
	}
}

void
leat_replay_match(struct leat_replay *replay)
{
	if (replay->matched)
		return;
	replay->matched = true;
	for (size_t i = 0; i < replay->items; i++)
		match_item(replay, &replay->item[i]);
}
