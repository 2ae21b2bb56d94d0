/* The engine of leat-due: readings in, items judged. */
#include <stdlib.h>

#include "judge/due_private.h"

struct leat_due *
leat_due_new(const struct leat_due_form *form)
{
	struct leat_due *due = calloc(1, sizeof(*due));

	if (due == NULL)
		return NULL;
	due->matched = calloc(form->tasks->count + 1, sizeof(*due->matched));
	if (due->matched == NULL) {
		free(due);
		return NULL;
	}
	due->form = *form;
	due->now = due->since = due->last_reading = LEAT_TIME_NONE;
	due->first_entry = form->book->count > 0 ? form->book->entry[0].time : LEAT_TIME_NONE;
	return due;
}

void
leat_due_free(struct leat_due *due)
{
	if (due == NULL)
		return;
	leat_due_history_free(due);
	free(due->seen);
	free(due->matched);
	free(due->item);
	free(due);
}

int
leat_due_take(struct leat_due *due, const struct leat_reading *r, struct leat_error *err)
{
	if (!leat_time_is_none(due->form.now) && leat_time_cmp(r->time, due->form.now) > 0) {
		due->count.later++;
		return 0;
	}
	due->last_reading = r->time;
	if (leat_grow(&due->seen, &due->seen_cap, (size_t)r->asset_id + 1, sizeof(*due->seen)) != 0)
		return leat_error_memory(err);
	due->seen[r->asset_id] = true;
	return leat_due_history_take(due, r, err);
}

void
leat_due_as_of(struct leat_due *due, struct leat_time now)
{
	due->form.now = now;
}

void
leat_due_found(struct leat_due *due, const struct leat_findings *findings)
{
	due->form.findings = findings;
}

int
leat_due_end(struct leat_due *due, struct leat_error *err)
{
	due->now = leat_time_is_none(due->form.now) ? due->last_reading : due->form.now;
	if (leat_time_is_none(due->now))
		return 0;
	due->book = leat_logbook_as_of(due->form.book, due->now);
	due->form.book = &due->book;
	due->since = !leat_time_is_none(due->form.since_time) ? due->form.since_time :
	    leat_time_shift(due->now, &due->form.since, -1);
	if (leat_time_cmp(due->first_entry, due->now) > 0)
		due->first_entry = LEAT_TIME_NONE;
	if (leat_due_items_make(due) != 0)
		return leat_error_memory(err);
	for (size_t i = 0; i < due->items; i++) {
		leat_due_judge(due, &due->item[i], due->now, true);
		due->count.stage[due->item[i].stage]++;
	}
	return 0;
}

struct leat_time
leat_due_now(const struct leat_due *due)
{
	return due->now;
}

const struct leat_due_item *
leat_due_item_at(const struct leat_due *due, size_t index)
{
	return index < due->items ? &due->item[index] : NULL;
}

struct leat_due_count
leat_due_counted(const struct leat_due *due)
{
	return due->count;
}
