/* Which assets a row of tasks.csv means, and when its task was last done there. */
#include <stdlib.h>

#include "judge/due_private.h"

static bool
is_pattern(struct leat_span asset)
{
	return leat_span_find(asset, '*') < asset.len || leat_span_find(asset, '?') < asset.len;
}

static int
add_item(struct leat_due *due, const struct leat_task *task, struct leat_span asset)
{
	for (size_t i = 0; i < due->items; i++)
		if (due->item[i].task == task && leat_span_eq(due->item[i].asset, asset))
			return 0;
	if (leat_grow(&due->item, &due->item_cap, due->items + 1, sizeof(*due->item)) != 0)
		return -1;
	memset(&due->item[due->items], 0, sizeof(*due->item));
	due->item[due->items].task = task;
	due->item[due->items++].asset = asset;
	return 0;
}

/* Adds the asset, or the uppermost of its parents that fits the pattern too. */
static int
offer(struct leat_due *due, const struct leat_task *task, struct leat_span asset)
{
	struct leat_span fits = leat_span_make("", 0), up = asset;

	if (asset.len == 0 || leat_span_is(asset, "-"))
		return 0;
	do {
		if (leat_glob(task->asset, up))
			fits = up;
	} while (leat_asset_parent(up, &up));
	return fits.len > 0 ? add_item(due, task, fits) : 0;
}

/* Every asset that the works knows now: from its tables, its logbook and the readings. */
static int
expand(struct leat_due *due, const struct leat_task *task)
{
	const struct leat_due_form *form = &due->form;
	const struct leat_names *assets = leat_readings_assets(form->in);
	struct leat_span asset;

	for (size_t i = 0; leat_nameplate_asset(form->np, i, &asset); i++)
		if (offer(due, task, asset) != 0)
			return -1;
	for (size_t i = 0; i < form->points->count; i++)
		if (offer(due, task, form->points->row[i].asset) != 0)
			return -1;
	for (size_t i = 0; i < form->book->count; i++)
		if (offer(due, task, form->book->entry[i].asset) != 0)
			return -1;
	for (size_t i = 0; i < assets->count && i < due->seen_cap; i++)
		if (due->seen[i] && offer(due, task, assets->name[i]) != 0)
			return -1;
	return 0;
}

static int
by_place(const void *a, const void *b)
{
	const struct leat_due_item *x = a, *y = b;
	const struct leat_finding fx = { .asset = x->asset, .rule = x->task->name };
	const struct leat_finding fy = { .asset = y->asset, .rule = y->task->name };

	return leat_finding_cmp(&fx, &fy);
}

/* Does another row with the same task rule the asset?  The one whose asset is more specific does, of equals the later. */
static bool
overruled(const struct leat_due *due, const struct leat_due_item *item)
{
	int weight = leat_glob_weight(item->task->asset);

	for (size_t i = 0; i < due->items; i++) {
		const struct leat_due_item *other = &due->item[i];
		int others = leat_glob_weight(other->task->asset);

		if (other->task != item->task && leat_span_eq(other->asset, item->asset) &&
		    leat_span_eq(other->task->name, item->task->name) &&
		    (others > weight || (others == weight && other->task->line > item->task->line)))
			return true;
	}
	return false;
}

int
leat_due_items_make(struct leat_due *due)
{
	bool *out;
	size_t kept = 0;

	for (size_t i = 0; i < due->form.tasks->count; i++) {
		const struct leat_task *task = &due->form.tasks->row[i];
		size_t before = due->items;

		if (is_pattern(task->asset) ? expand(due, task) : add_item(due, task, task->asset))
			return -1;
		due->matched[i] = due->items > before;
	}
	out = calloc(due->items + 1, sizeof(*out));
	if (out == NULL)
		return -1;
	for (size_t i = 0; i < due->items; i++)
		out[i] = overruled(due, &due->item[i]);
	for (size_t i = 0; i < due->items; i++)
		if (!out[i])
			due->item[kept++] = due->item[i];
	free(out);
	due->items = kept;
	if (due->items > 1)
		qsort(due->item, due->items, sizeof(*due->item), by_place);
	return 0;
}

static bool
counts(const struct leat_log_entry *e, struct leat_time at, bool until)
{
	int order = leat_time_cmp(e->time, at);

	return order < 0 || (until && order == 0);
}

/* The latest entry of the task that covers the asset: at it, or at a parent. */
static const struct leat_log_entry *
latest_of(const struct leat_due *due, const struct leat_due_item *item, struct leat_span asset, struct leat_time at,
    bool until)
{
	const struct leat_logbook *book = due->form.book;

	for (size_t i = book->count; i > 0; i--) {
		const struct leat_log_entry *e = &book->entry[i - 1];

		if (counts(e, at, until) && leat_span_eq(e->task, item->task->name) && leat_asset_within(asset, e->asset))
			return e;
	}
	return NULL;
}

void
leat_due_last(const struct leat_due *due, struct leat_due_item *item, struct leat_time at, bool until)
{
	const struct leat_logbook *book = due->form.book;
	const struct leat_log_entry *oldest = NULL;
	struct leat_time renewal = LEAT_TIME_NONE;

	/* Of each asset below at which it was ever logged the latest, and of these the oldest: one of six is not all. */
	for (size_t i = 0; i < book->count; i++) {
		const struct leat_log_entry *e = &book->entry[i], *latest;

		if (!counts(e, at, until) || !leat_span_eq(e->task, item->task->name) || !leat_asset_within(e->asset, item->asset))
			continue;
		latest = latest_of(due, item, e->asset, at, until);
		if (oldest == NULL || leat_time_cmp(latest->time, oldest->time) < 0)
			oldest = latest;
	}
	if (oldest == NULL)
		oldest = latest_of(due, item, item->asset, at, until);
	for (size_t i = 0; i < book->count; i++)
		if (book->entry[i].event->renews && counts(&book->entry[i], at, until) &&
		    leat_asset_within(item->asset, book->entry[i].asset) && leat_time_cmp(book->entry[i].time, renewal) > 0)
			renewal = book->entry[i].time;
	item->entry = oldest;
	item->last = oldest != NULL ? oldest->time : LEAT_TIME_NONE;
	item->renewed = leat_time_cmp(renewal, item->last) > 0;
	item->base = item->renewed ? renewal : item->last;
}
