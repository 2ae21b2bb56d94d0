/* Planned stops as events of a calendar. */
#include <stdio.h>

#include "judge/plan_private.h"
#include "tell/icalendar.h"

static int
describe(const struct leat_plan *plan, const struct leat_plan_stop *s, struct leat_out *out)
{
	struct leat_buf text = { 0 };
	int result = leat_buf_printf(&text, "%.1f of %.1f hours of work planned.", s->used_h, s->room_h);

	(void)plan;
	for (size_t i = 0; result == 0 && i < s->taken; i++) {
		const struct leat_due_item *item = s->task[i].item;
		char asset[200], title[200];

		result = leat_buf_printf(&text, "\n%zu. %s: %s", i + 1, leat_mask(asset, sizeof(asset), item->asset),
		    leat_mask(title, sizeof(title), item->task->title));
	}
	if (result == 0)
		result = leat_buf_printf(&text, "\nThe works' permit and lock-out rules, local law and licensed practice come first.");
	if (result == 0)
		result = leat_ical_text(out, "DESCRIPTION", leat_buf_span(&text));
	leat_buf_free(&text);
	return result;
}

int
leat_plan_calendar(const struct leat_plan *plan, struct leat_out *out)
{
	int written = 0;

	for (size_t i = 0; i < plan->stops; i++) {
		const struct leat_plan_stop *s = &plan->stop[i];
		char mill[200], text[300];
		struct leat_civil c;

		if (s->stop == NULL)
			continue;
		leat_mask(mill, sizeof(mill), s->mill);
		c = leat_civil_from_time(s->stop->start, 0);
		leat_ical_line(out, "BEGIN", "VEVENT");
		snprintf(text, sizeof(text), "leat-due:stop:%s:%04d%02d%02dT%02d%02d%02dZ", mill, c.year, c.month, c.day, c.hour,
		    c.minute, c.second);
		if (leat_ical_text(out, "UID", leat_span_of(text)) != 0)
			return -1;
		leat_ical_time(out, "DTSTAMP", plan->now);
		leat_ical_time(out, "DTSTART", s->stop->start);
		leat_ical_time(out, "DTEND", s->end);
		snprintf(text, sizeof(text), "%s: planned stop, %zu tasks", mill, s->taken);
		if (leat_ical_text(out, "SUMMARY", leat_span_of(text)) != 0 || describe(plan, s, out) != 0)
			return -1;
		leat_ical_line(out, "END", "VEVENT");
		written++;
	}
	return written;
}
