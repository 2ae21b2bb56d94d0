/* Tasks as entries of a calendar. */
#include <stdarg.h>
#include <stdio.h>

#include "judge/due_calendar.h"
#include "judge/due_private.h"
#include "tell/icalendar.h"

/* LEAT_DUE_TEXT, cells of 300, and room for what comes at the end: that the works' rules come first. */
#define CALENDAR_TEXT 4096

static int LEAT_PRINTF(3, 4)
text_line(struct leat_out *out, const char *name, const char *fmt, ...)
{
	char text[CALENDAR_TEXT];
	va_list ap;
	int len;

	va_start(ap, fmt);
	len = vsnprintf(text, sizeof(text), fmt, ap);
	va_end(ap);
	if (len < 0)
		return -1;
	return leat_ical_text(out, name, leat_span_make(text, (size_t)len < sizeof(text) ? (size_t)len : sizeof(text) - 1));
}

/* "\nNAME: CELL" where the table has one. */
static void
add_cell(char *dst, size_t size, const char *name, struct leat_span cell)
{
	size_t len = strlen(dst);
	char masked[300];

	if (cell.len > 0)
		snprintf(dst + len, size - len, "\n%s: %s", name, leat_mask(masked, sizeof(masked), cell));
}

static int
description(const struct leat_due *due, const struct leat_due_item *item, struct leat_out *out)
{
	const struct leat_task *task = item->task;
	char text[CALENDAR_TEXT - 128], length[40];

	leat_due_words(text, due, item);
	add_cell(text, sizeof(text), "Needs", task->needs);
	add_cell(text, sizeof(text), "Crew", task->crew);
	if (task->duration_s > 0) {
		leat_duration_words(length, task->duration_s);
		add_cell(text, sizeof(text), "Takes", leat_span_of(length));
	}
	add_cell(text, sizeof(text), "Parts", task->parts);
	add_cell(text, sizeof(text), "Cautions", task->cautions);
	add_cell(text, sizeof(text), "Procedure", task->procedure);
	return text_line(out, "DESCRIPTION",
	    "%s\nThe works' permit and lock-out rules, local law and licensed practice come first.", text);
}

static const char *
priority(const struct leat_due_item *item)
{
	return item->status == LEAT_STATUS_ALARM ? "1" : item->status == LEAT_STATUS_ALERT ? "5" : "9";
}

static int
write_entry(const struct leat_due *due, const struct leat_due_item *item, enum leat_due_entry entry, int64_t day,
    struct leat_out *out)
{
	const char *kind = entry == LEAT_DUE_TODOS ? "VTODO" : "VEVENT";
	int64_t today = leat_zone_day(leat_nameplate_zone(due->form.np), due->now);
	bool late = item->stage >= LEAT_DUE_DUE;
	char title[300], asset[200];

	leat_mask(title, sizeof(title), item->task->title);
	leat_mask(asset, sizeof(asset), item->asset);
	leat_ical_line(out, "BEGIN", kind);
	if (text_line(out, "UID", "leat-due:%s:%.*s", asset, (int)item->task->name.len, item->task->name.ptr) != 0)
		return -1;
	leat_ical_time(out, "DTSTAMP", due->now);
	if (entry == LEAT_DUE_TODOS) {
		leat_ical_date(out, "DUE", day);
		leat_ical_line(out, "STATUS", "NEEDS-ACTION");
		leat_ical_line(out, "PRIORITY", priority(item));
	} else {
		day = day > today ? day : today;
		leat_ical_date(out, "DTSTART", day);
		leat_ical_date(out, "DTEND", day + 1);
		leat_ical_line(out, "TRANSP", "TRANSPARENT");
	}
	if (text_line(out, "SUMMARY", "%s: %s%s%s%s", asset, title, late ? " (" : "",
	    late ? leat_due_stage_name(item->stage) : "", late ? ")" : "") != 0 || description(due, item, out) != 0)
		return -1;
	leat_ical_line(out, "CATEGORIES", leat_due_stage_name(item->stage));
	leat_ical_line(out, "END", kind);
	return 0;
}

int
leat_due_calendar(const struct leat_due *due, enum leat_due_entry entry, struct leat_out *out, size_t *dateless)
{
	const struct leat_zone *zone = leat_nameplate_zone(due->form.np);
	int written = 0;

	*dateless = 0;
	for (size_t i = 0; i < due->items; i++) {
		const struct leat_due_item *item = &due->item[i];
		struct leat_time when = leat_time_is_none(item->due) ? item->since : item->due;

		/* What was never logged has no date; what a finding waives needs none. */
		if (leat_time_is_none(when) || item->stage == LEAT_DUE_UNKNOWN || item->stage == LEAT_DUE_WAIVED) {
			++*dateless;
			continue;
		}
		if (write_entry(due, item, entry, leat_zone_day(zone, when), out) != 0)
			return -1;
		written++;
	}
	return written;
}
