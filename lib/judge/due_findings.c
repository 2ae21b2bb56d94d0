/* Findings of leat-due. */
#include <stdio.h>

#include "judge/due_private.h"

static const char *const trigger_name[] = { "every", "hours", "starts", "condition", "" };

struct writer {
	struct leat_due *due;
	const struct leat_shelves *shelves;
	struct leat_out *out;
};

static void
write_one(struct writer *w, const struct leat_due_item *item, struct leat_time until, const char *message)
{
	struct leat_due *due = w->due;
	char rule[300];
	struct leat_finding f = {
		.time = item->time, .asset = item->asset, .point = LEAT_SPAN("-"), .status = item->status, .since = item->since,
		.until = until, .due = item->due, .shelved = LEAT_TIME_NONE, .message = leat_span_of(message)
	};

	snprintf(rule, sizeof(rule), "task-%.*s", (int)item->task->name.len, item->task->name.ptr);
	f.rule = leat_span_of(rule);
	if (w->shelves != NULL)
		f.shelved = leat_shelves_until(w->shelves, f.asset, f.point, f.rule, due->now);
	due->count.written++;
	due->count.found += f.status != LEAT_STATUS_OK && leat_time_is_none(f.shelved);
	leat_finding_write(w->out, &f, false);
	leat_out_char(w->out, ',');
	leat_out_field(w->out, item->task->name);
	leat_out_char(w->out, ',');
	leat_out_text(w->out, leat_due_stage_name(item->stage));
	leat_out_char(w->out, ',');
	leat_out_time(w->out, item->last);
	leat_out_char(w->out, ',');
	leat_out_text(w->out, trigger_name[item->by]);
	leat_out_char(w->out, ',');
	leat_out_time(w->out, item->late);
	leat_out_char(w->out, '\n');
}

/* What was due by a finding until within the window. */
static bool
write_condition_ended(struct writer *w, const struct leat_due_item *item)
{
	struct leat_due_item before = *item;
	char message[LEAT_DUE_TEXT], rule[100];
	struct leat_time until = LEAT_TIME_NONE;
	const struct leat_finding *f = leat_due_was_open(w->due, item, &until);

	if (f == NULL)
		return false;
	before.stage = LEAT_DUE_DUE;
	before.by = LEAT_DUE_CONDITION;
	before.status = f->status;
	before.since = f->since;
	before.time = leat_time_cmp(f->time, until) < 0 ? f->time : until;
	before.due = f->due;
	before.late = LEAT_TIME_NONE;
	leat_mask(rule, sizeof(rule), f->rule);
	snprintf(message, sizeof(message), "%.*s: was due, because %s was at %s, %s", (int)item->task->title.len,
	    item->task->title.ptr, rule, leat_status_name(f->status),
	    leat_time_cmp(until, item->last) == 0 ? "and was done" : "which is over");
	write_one(w, &before, until, message);
	return true;
}

/* What was due, or could not be told, until it was done within the window. */
static void
write_ended(struct writer *w, const struct leat_due_item *item)
{
	struct leat_due_item before = *item;
	char message[LEAT_DUE_TEXT];
	struct leat_civil d;
	int len;

	if (item->stage >= LEAT_DUE_DUE || write_condition_ended(w, item) || leat_time_is_none(item->last) ||
	    leat_time_cmp(item->last, w->due->since) < 0)
		return;
	leat_due_judge(w->due, &before, item->last, false);
	if (before.stage == LEAT_DUE_UNKNOWN && item->status == LEAT_STATUS_OK && !w->due->form.all) {
		leat_due_words(message, w->due, item);
		write_one(w, item, LEAT_TIME_NONE, message);
	}
	if (before.stage < LEAT_DUE_DUE)
		return;
	d = leat_zone_civil(leat_nameplate_zone(w->due->form.np), item->last);
	len = snprintf(message, sizeof(message), "%.*s: was %s, done %04d-%02d-%02d", (int)item->task->title.len,
	    item->task->title.ptr, leat_due_stage_name(before.stage), d.year, d.month, d.day);
	if (item->entry != NULL && item->entry->who.len > 0 && len > 0 && (size_t)len < sizeof(message))
		snprintf(message + len, sizeof(message) - (size_t)len, " by %.*s", (int)item->entry->who.len, item->entry->who.ptr);
	write_one(w, &before, item->last, message);
}

/* What had nothing to judge says so: a row that fits no asset, or the table as a whole. */
static void
write_lack(struct writer *w, struct leat_span asset, const char *rule, const char *message)
{
	struct leat_finding f = {
		.time = w->due->now, .asset = asset, .point = LEAT_SPAN("-"), .rule = leat_span_of(rule),
		.status = LEAT_STATUS_UNKNOWN, .since = LEAT_TIME_NONE, .until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE,
		.shelved = LEAT_TIME_NONE, .message = leat_span_of(message)
	};

	w->due->form.warn(message);
	if (w->shelves != NULL)
		f.shelved = leat_shelves_until(w->shelves, f.asset, f.point, f.rule, w->due->now);
	w->due->count.written++;
	w->due->count.found += leat_time_is_none(f.shelved);
	leat_finding_write(w->out, &f, false);
	leat_out_text(w->out, ",,,,,\n");
}

static void
write_unmatched(struct writer *w)
{
	const struct leat_tasks *tasks = w->due->form.tasks;

	for (size_t i = 0; i < tasks->count; i++) {
		const struct leat_task *task = &tasks->row[i];
		char rule[300], message[512];

		if (w->due->matched[i])
			continue;
		w->due->count.unmatched++;
		snprintf(rule, sizeof(rule), "task-%.*s", (int)task->name.len, task->name.ptr);
		snprintf(message, sizeof(message), "%s:%ld fits no asset that the works knows: '%.*s'", task->file, task->line,
		    (int)task->asset.len, task->asset.ptr);
		write_lack(w, task->asset, rule, message);
	}
}

void
leat_due_findings(struct leat_due *due, const struct leat_shelves *shelves, struct leat_out *out)
{
	struct writer w = { due, shelves, out };
	char message[LEAT_DUE_TEXT];

	leat_findings_write_header(out, LEAT_DUE_COLUMNS);
	if (due->form.tasks->count == 0)
		write_lack(&w, LEAT_SPAN("-"), "tasks", "nothing was judged: tasks.csv names no task");
	write_unmatched(&w);
	for (size_t i = 0; i < due->items; i++) {
		const struct leat_due_item *item = &due->item[i];

		write_ended(&w, item);
		if (item->status == LEAT_STATUS_OK && !due->form.all)
			continue;
		leat_due_words(message, due, item);
		write_one(&w, item, LEAT_TIME_NONE, message);
	}
}
