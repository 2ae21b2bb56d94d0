/* How each judgement of leat-due came about. */
#include <stdio.h>

#include "judge/due_private.h"

static const char *const trigger_words[] = { "every", "hours", "starts", "condition" };

static const char *
stamp(char *dst, struct leat_time t, const char *none)
{
	if (leat_time_is_none(t))
		snprintf(dst, LEAT_TIME_MAX, "%s", none);
	else
		leat_time_write(dst, t);
	return dst;
}

static void
explain_trigger(struct leat_due *due, struct leat_out *out, const struct leat_due_item *item, int i)
{
	static const char *const unit[] = { "d", "h", "starts", "" };
	const struct leat_due_trigger *t = &item->trigger[i];
	char a[LEAT_TIME_MAX], b[LEAT_TIME_MAX], c[LEAT_TIME_MAX], words[64];

	if (!t->set)
		return;
	if (i == LEAT_DUE_CONDITION) {
		leat_out_line(out, "  condition   %.*s: %s", (int)item->task->condition.len, item->task->condition.ptr,
		    item->open != NULL ? "so" : t->lack != NULL ? t->lack : "not so");
		if (item->open != NULL)
			leat_out_line(out, "              %.*s %.*s is %s since %s", (int)item->open->asset.len, item->open->asset.ptr,
			    (int)item->open->rule.len, item->open->rule.ptr, leat_status_name(item->open->status),
			    stamp(a, item->open->since, "an unknown time"));
		return;
	}
	if (i == LEAT_DUE_EVERY)
		leat_out_line(out, "  every       %s%s, %s%.0f d of %.0f d", leat_interval_words(words, &item->task->every.length),
		    item->task->every.fixed ? " by fixed dates" : " from the last time", t->at_least ? "at least " : "", t->done,
		    t->limit);
	else
		leat_out_line(out, "  %-11s %s%.1f (%.1f to %.1f) of %.0f %s; %.2f a day over the last %.0f d", trigger_words[i],
		    t->at_least ? "at least " : "", t->done, t->low, t->high, t->limit, unit[i], t->rate, LEAT_DUE_RATE_DAYS);
	if (t->lack != NULL)
		leat_out_line(out, "              cannot be told: %s", t->lack);
	leat_out_line(out, "              due %s, past tolerance %s, left out %s: %s", stamp(a, t->due, "at no date"),
	    stamp(b, t->late, "at no date"), stamp(c, t->missed, "at no date"), leat_due_stage_name(t->stage));
	(void)due;
}

static void
explain_item(struct leat_due *due, struct leat_out *out, const struct leat_due_item *item)
{
	const struct leat_task *task = item->task;
	char a[LEAT_TIME_MAX], message[LEAT_DUE_TEXT];

	leat_out_line(out, "%.*s/%.*s (%s:%ld)", (int)item->asset.len, item->asset.ptr, (int)task->name.len, task->name.ptr,
	    task->file,
	    task->line);
	if (item->entry != NULL)
		leat_out_line(out, "  last done   %s, logged at %.*s (line %ld)", stamp(a, item->last, ""), (int)item->entry->asset.len,
		    item->entry->asset.ptr, item->entry->line);
	else
		leat_out_line(out, "  last done   never logged; the logbook begins %s", stamp(a, due->first_entry,
		    "at no date: it is empty"));
	if (item->renewed)
		leat_out_line(out, "  renewed     %s: intervals count from there", stamp(a, item->base, ""));
	if (task->tolerance_is_share)
		leat_out_line(out, "  tolerance   %.4g %% of the interval, whole days rounded down", task->tolerance_share * 100);
	for (int i = 0; i < LEAT_DUE_TRIGGERS; i++)
		explain_trigger(due, out, item, i);
	if (task->waive.len > 0)
		leat_out_line(out, "  waived by   %.*s: %s", (int)task->waive.len, task->waive.ptr, item->waiver != NULL ? "so" : "not so");
	leat_due_words(message, due, item);
	leat_out_line(out, "  so          %s (%s): %s", leat_status_name(item->status), leat_due_stage_name(item->stage), message);
}

size_t
leat_due_explain(struct leat_due *due, struct leat_out *out, struct leat_span what)
{
	size_t explained = 0;

	for (size_t i = 0; i < due->items; i++) {
		const struct leat_due_item *item = &due->item[i];
		char name[512];
		int len = snprintf(name, sizeof(name), "%.*s/%.*s", (int)item->asset.len, item->asset.ptr,
		    (int)item->task->name.len, item->task->name.ptr);

		if (what.len > 0 && !leat_glob(what, leat_span_of(name)) && !leat_glob(what, item->asset))
			continue;
		if (len > 0)
			explain_item(due, out, item);
		explained++;
	}
	return explained;
}
