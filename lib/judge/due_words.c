/* What leat-due says about an item. */
#include "judge/due_private.h"
#include "upkeep/needs.h"

/* What a list of tasks that come first must leave: one more of them, and how to do it safely. */
#define ADVICE_TEXT 500

#define add(dst, ...) leat_append(dst, LEAT_DUE_TEXT, __VA_ARGS__)

static void
add_date(char *dst, const struct leat_due *due, struct leat_time t)
{
	struct leat_civil d = leat_zone_civil(leat_nameplate_zone(due->form.np), t);

	add(dst, " %04d-%02d-%02d", d.year, d.month, d.day);
}

static void
add_span(char *dst, struct leat_span text)
{
	char masked[160];

	add(dst, "%s", leat_mask(masked, sizeof(masked), text));
}

static void
add_last(char *dst, const struct leat_due *due, const struct leat_due_item *item)
{
	if (item->renewed) {
		add(dst, "the item is new since");
		add_date(dst, due, item->base);
		return;
	}
	if (!leat_time_is_none(item->last)) {
		add(dst, "last logged");
		add_date(dst, due, item->last);
		/* At one of several assets below: the one that was left out longest. */
		if (item->entry->asset.len > item->asset.len) {
			add(dst, " at ");
			add_span(dst, item->entry->asset);
		}
		return;
	}
	add(dst, "never logged");
	if (!leat_time_is_none(due->first_entry)) {
		add(dst, " since the logbook begins on");
		add_date(dst, due, due->first_entry);
	}
}

static void
add_interval(char *dst, const struct leat_due_item *item, const struct leat_due_trigger *t)
{
	char words[64];

	switch (item->by) {
	case LEAT_DUE_EVERY:
		add(dst, ", every %s", leat_interval_words(words, &item->task->every.length));
		break;
	case LEAT_DUE_HOURS: case LEAT_DUE_STARTS:
		add(dst, ", %s%.0f", t->at_least ? "at least " : "", t->done);
		if (t->high - t->low >= 1)
			add(dst, " (%.0f to %.0f)", t->low, t->high);
		add(dst, " of %.0f %s", t->limit, item->by == LEAT_DUE_HOURS ? "running hours" : "starts");
		break;
	case LEAT_DUE_CONDITION: case LEAT_DUE_TRIGGERS:
		break;
	}
}

/* Tasks that come first and were not done since this one was. */
static void
add_before(char *dst, const struct leat_due *due, const struct leat_due_item *item)
{
	struct leat_span rest = item->task->needs, word, name;
	enum leat_need need;
	double litres;

	while (leat_needs_next(&rest, &word)) {
		if (leat_need_word(word, &need, &name, &litres) != 0 || need != LEAT_NEED_TASK)
			continue;
		for (size_t i = 0; i < due->items; i++) {
			const struct leat_due_item *first = &due->item[i];

			if (first != item && leat_span_eq(first->task->name, name) && leat_asset_kin(first->asset, item->asset) &&
			    (leat_time_is_none(first->last) || leat_time_cmp(first->last, item->last) <= 0)) {
				if (strlen(dst) > LEAT_DUE_TEXT - ADVICE_TEXT) {
					add(dst, "first others, then ");
					return;
				}
				add(dst, "first ");
				add_span(dst, name);
				add(dst, ", then ");
				break;
			}
		}
	}
}

static void
add_advice(char *dst, const struct leat_due *due, const struct leat_due_item *item)
{
	const struct leat_task *task = item->task;
	bool pressure = leat_task_needs(task, "depressurised"), stop = leat_task_needs(task, "stop");

	add(dst, "; ");
	add_before(dst, due, item);
	if (pressure)
		add(dst, "do it at a stop, pressure let off and locked out by the works' rules, and log it as ");
	else if (stop)
		add(dst, "do it at a stop, locked out by the works' rules, and log it as ");
	else
		add(dst, "do it and log it as ");
	add_span(dst, task->name);
}

static void
add_due_words(char *dst, const struct leat_due *due, const struct leat_due_item *item)
{
	const struct leat_due_trigger *t = &item->trigger[item->by];

	if (item->by == LEAT_DUE_CONDITION) {
		add(dst, "due, because ");
		add_span(dst, item->open->rule);
		add(dst, " is at %s", leat_status_name(item->open->status));
		if (!leat_span_eq(item->open->asset, item->asset)) {
			add(dst, " at ");
			add_span(dst, item->open->asset);
		}
		if (!leat_time_is_none(item->last)) {
			add(dst, ", ");
			add_last(dst, due, item);
		}
		return;
	}
	add(dst, "%s", item->stage == LEAT_DUE_MISSED ? "left out altogether" : leat_due_stage_name(item->stage));
	if (item->stage == LEAT_DUE_OVERDUE && !leat_time_is_none(t->late)) {
		add(dst, " since");
		add_date(dst, due, t->late);
	}
	add(dst, ", ");
	add_last(dst, due, item);
	add_interval(dst, item, t);
}

static void
add_rest_words(char *dst, const struct leat_due *due, const struct leat_due_item *item)
{
	const struct leat_due_trigger *t = item->by < LEAT_DUE_TRIGGERS ? &item->trigger[item->by] : NULL;

	if (item->stage == LEAT_DUE_WAIVED) {
		add(dst, "waived, for ");
		add_span(dst, item->waiver->rule);
		add(dst, " is %s", leat_status_name(item->waiver->status));
	} else if (t != NULL && !leat_time_is_none(t->due)) {
		add(dst, "due");
		add_date(dst, due, t->due);
	} else if (t != NULL && item->by == LEAT_DUE_CONDITION) {
		add(dst, "due on condition only, which is not so");
	} else {
		add(dst, "no date can be foretold");
	}
	add(dst, ", ");
	add_last(dst, due, item);
	if (t != NULL)
		add_interval(dst, item, t);
}

void
leat_due_words(char *dst, const struct leat_due *due, const struct leat_due_item *item)
{
	dst[0] = '\0';
	if (item->stage == LEAT_DUE_UNKNOWN)
		add(dst, "cannot tell: ");
	add_span(dst, item->task->title);
	add(dst, ": ");
	if (item->stage == LEAT_DUE_UNKNOWN && item->by == LEAT_DUE_TRIGGERS) {
		add(dst, "never due, for tasks.csv gives it no every, hours, starts or condition; fill in the interval that law, maker or "
		    "practice demands");
		return;
	}
	if (item->stage == LEAT_DUE_UNKNOWN) {
		const char *lack = item->trigger[item->by].lack;

		add_last(dst, due, item);
		if (strncmp(lack, "never logged", strlen("never logged")) != 0)
			add(dst, ", and %s", lack);
		add_interval(dst, item, &item->trigger[item->by]);
		if (leat_time_is_none(item->last))
			add(dst, "; log when it was last done, as %.*s", (int)item->task->name.len, item->task->name.ptr);
		return;
	}
	if (item->stage < LEAT_DUE_DUE) {
		add_rest_words(dst, due, item);
		return;
	}
	add_due_words(dst, due, item);
	add_advice(dst, due, item);
}
