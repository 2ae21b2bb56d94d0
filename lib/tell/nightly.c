/*
 * The nightly text: head, sections, cautions.
 */
#include "tell/nightly.h"

#include <stdlib.h>

#include "tell/nightly_private.h"
#include "tell/score.h"

/* Everything while a report is made. */
struct report {
	const struct leat_nightly *n;
	struct leat_items tonight, earlier;
	struct leat_text text;
	struct leat_nightly_count count;
	size_t standing;	/* alerts that stand unchanged and are not listed tonight, ... */
	size_t untold;		/* ... and judgements that could not be made for days */
	bool news;		/* something that breaks the silence */
	bool advised;		/* a line told somebody to do something */
	struct leat_error *err;
};

static void
count_items(struct report *r)
{
	size_t i;

	for (i = 0; i < r->tonight.count; i++) {
		const struct leat_item *item = &r->tonight.item[i];

		r->count.shelved += item->open && item->shelved;
		r->count.found += item->found;
		if (item->section == LEAT_SECTION_STANDING && item->row->status == LEAT_STATUS_UNKNOWN)
			r->untold++;
		else if (item->section == LEAT_SECTION_STANDING)
			r->standing++;
		if (item->section != LEAT_SECTION_NONE && item->section != LEAT_SECTION_SHELVED)
			r->news = true;
		if (!item->open || item->shelved)
			continue;
		r->count.alarm += item->row->status == LEAT_STATUS_ALARM;
		r->count.alert += item->row->status == LEAT_STATUS_ALERT;
		r->count.unknown += item->row->status == LEAT_STATUS_UNKNOWN;
		r->count.overdue += leat_item_overdue(item, &r->n->cal);
	}
	for (i = 0; i < r->earlier.count; i++) {
		if (r->earlier.item[i].section == LEAT_SECTION_GONE)
			r->news = true;
	}
	if (r->n->tonight->rejected > 0 || r->n->earlier_status == LEAT_EARLIER_UNREADABLE)
		r->news = true;
	r->count.later = r->tonight.later;
}

/* Adds "3 alarms", with a comma before it when counts stand there already.  Nothing for none. */
static void
add_count(struct leat_text *t, bool *any, size_t count, const char *one, const char *many)
{
	if (count == 0)
		return;
	leat_text_add(t, "%s%zu" LEAT_TEXT_GLUE "%s", *any ? ", " : "", count, count == 1 ? one : many);
	*any = true;
}

#define CANNOT_TELL "cannot" LEAT_TEXT_GLUE "tell"

static void
put_verdict(struct report *r)
{
	struct leat_text *t = &r->text;
	bool any = false;

	leat_words_date(t, &r->n->cal, leat_calendar_day(&r->n->cal, r->n->cal.now), true);
	leat_text_add(t, ": ");
	add_count(t, &any, r->count.alarm, "alarm", "alarms");
	add_count(t, &any, r->count.alert, "alert", "alerts");
	add_count(t, &any, r->count.unknown, CANNOT_TELL, CANNOT_TELL);
	add_count(t, &any, r->count.overdue, "overdue", "overdue");
	if (!any)
		leat_text_add(t, r->news ? "no alarms, no alerts" : "all that was judged is in order");
	any = true;
	add_count(t, &any, r->count.shelved, "shelved", "shelved");
	leat_text_end(t, 0, 0);
}

/* Adds the name of a mill, as one of several. */
static void
add_mill(struct leat_text *t, struct leat_span mill)
{
	if (t->line.len > 0)
		leat_text_add(t, ", ");
	if (mill.len > 0 && !leat_span_is(mill, "-"))
		leat_text_add_glued(t, mill);
	else
		leat_text_add(t, "all");
}

/* Adds "data to today 05:28" behind the mills of which that is true. */
static void
add_reach(struct leat_text *t, const struct leat_calendar *cal, struct leat_time last)
{
	double old;

	if (leat_time_is_none(last)) {
		leat_text_add(t, LEAT_TEXT_GLUE "no" LEAT_TEXT_GLUE "data");
		return;
	}
	old = leat_time_diff(cal->now, last);
	leat_text_add(t, LEAT_TEXT_GLUE "data to ");
	leat_words_time(t, cal, last);
	/* An hour or two is how exports come; more is worth a word. */
	if (old > 2 * 3600) {
		leat_text_add(t, " (");
		leat_words_length(t, old);
		leat_text_add(t, LEAT_TEXT_GLUE "ago)");
	}
}

static int64_t
minute_of(struct leat_time t)
{
	return leat_time_is_none(t) ? INT64_MIN : t.sec / 60;
}

/* Is it a mill of which readings are due and none were seen?  A pattern, the works itself and the name of an export are
 * none. */
static bool
lacks_data(const struct leat_nightly *n, const struct leat_item *item)
{
	size_t i;

	if (!item->open || item->mill.len == 0 || leat_span_is(item->mill, "-") || leat_span_find(item->mill, '*') < item->mill.len)
		return false;
	if (!leat_span_starts(item->row->rule, "source-") &&
	    (leat_span_is(item->row->point, "-") || (leat_rule_is_data(item->row->rule) && !leat_rule_is_signal(item->row->rule))))
		return false;
	for (i = 0; i < n->reaches; i++) {
		if (leat_span_eq(n->reach[i].mill, item->mill))
			return false;
	}
	return true;
}

/* Mills that readings were seen of, then mills that only the findings name. */
static void
put_reach(struct report *r)
{
	const struct leat_nightly *n = r->n;
	struct leat_span last = { NULL, 0 };
	size_t i;

	if (!n->reach_known) {
		leat_text_add(&r->text, "How far the data reach is not known.");
		leat_text_end(&r->text, 0, 0);
		return;
	}
	for (i = 0; i < n->reaches; i++) {
		add_mill(&r->text, n->reach[i].mill);
		if (i + 1 == n->reaches || minute_of(n->reach[i].last) != minute_of(n->reach[i + 1].last))
			add_reach(&r->text, &n->cal, n->reach[i].last);
	}
	for (i = 0; i < r->tonight.count; i++) {
		const struct leat_item *item = &r->tonight.item[i];

		if (!lacks_data(n, item) || leat_span_eq(item->mill, last))
			continue;
		add_mill(&r->text, item->mill);
		add_reach(&r->text, &n->cal, LEAT_TIME_NONE);
		last = item->mill;
	}
	if (r->text.line.len == 0)
		leat_text_add(&r->text, "No data at all");
	leat_text_add(&r->text, ".");
	leat_text_end(&r->text, 0, 0);
}

static void
put_seen(struct report *r)
{
	const struct leat_nightly *n = r->n;
	struct leat_text *t = &r->text;
	struct leat_civil c = leat_zone_civil(n->cal.zone, n->cal.now);
	int east = leat_zone_offset(n->cal.zone, n->cal.now.sec) / 60;

	leat_text_add(t, "Seen ");
	leat_words_date(t, &n->cal, leat_calendar_date(&n->cal, n->cal.now), false);
	leat_text_add(t, LEAT_TEXT_GLUE "%02d:%02d (UTC%c%02d:%02d)", c.hour, c.minute, east < 0 ? '-' : '+',
	    (east < 0 ? -east : east) / 60, (east < 0 ? -east : east) % 60);
	switch (n->earlier_status) {
	case LEAT_EARLIER_NOT_ASKED:
		leat_text_add(t, ", not compared with an earlier night.");
		break;
	case LEAT_EARLIER_NONE:
		leat_text_add(t, "; no earlier night to compare with.");
		break;
	case LEAT_EARLIER_UNREADABLE:
		leat_text_add(t, "; no earlier night to compare with: ");
		leat_text_add_plain(t, leat_span_of(n->earlier_fault));
		leat_text_add(t, ".");
		break;
	case LEAT_EARLIER_READ:
		leat_text_add(t, ", compared with works' day ");
		leat_words_date(t, &n->cal, n->earlier_day, false);
		if (n->earlier->rejected > 0)
			leat_text_add(t, ", of which %ld row%s cannot be read", n->earlier->rejected,
			    n->earlier->rejected == 1 ? "" : "s");
		leat_text_add(t, ".");
		break;
	}
	leat_text_end(t, 0, 0);
}

/* How many of the lines left out are what, and how to see them. */
static void
put_left_out(struct report *r, const struct leat_lines *lines, const bool *shown)
{
	struct leat_text *t = &r->text;
	size_t i, of[4] = { 0 };
	bool any = false;

	for (i = 0; i < lines->count; i++) {
		if (!shown[i])
			of[lines->line[i].rank]++;
	}
	add_count(t, &any, of[0], "ALARM", "ALARM");
	add_count(t, &any, of[1], "alert", "alerts");
	add_count(t, &any, of[2], CANNOT_TELL, CANNOT_TELL);
	add_count(t, &any, of[3], "cleared", "cleared");
	leat_text_add(t, " more, not shown: give --lines" LEAT_TEXT_GLUE "%zu", lines->count);
	if (r->n->file != NULL) {
		leat_text_add(t, ", or see ");
		leat_text_add_plain(t, leat_span_of(r->n->file));
	}
	leat_text_end(t, 2, 6);
}

static void
put_title(struct report *r, const char *title)
{
	leat_text_verbatim(&r->text, "\n");
	leat_text_verbatim(&r->text, title);
	leat_text_verbatim(&r->text, "\n");
}

/* Below what is listed of a section: what is not, since it stands unchanged. */
static void
put_standing(struct report *r, size_t count, const char *one, const char *many)
{
	struct leat_text *t = &r->text;
	bool any = false;

	add_count(t, &any, count, one, many);
	leat_text_add(t, " unchanged; listed on %ss", leat_weekday_name(r->n->week_day));
	leat_text_end(t, 2, 6);
}

static void
put_unread(struct report *r)
{
	const struct leat_findings *f = r->n->tonight;
	char text[1024];

	leat_text_add(&r->text, "works cannot tell: %ld row%s of tonight's findings cannot be read and %s missing here; first ",
	    f->rejected, f->rejected == 1 ? "" : "s", f->rejected == 1 ? "is" : "are");
	leat_error_format(&f->first_rejected, text, sizeof(text));
	leat_text_add_plain(&r->text, leat_span_of(text));
	leat_text_end(&r->text, 2, 6);
}

/* Prints the lines of a section; extra lines of its own come last. */
static int
put_lines(struct report *r, const struct leat_lines *lines)
{
	bool *shown = calloc(lines->count + 1, sizeof(*shown));
	size_t i, left;

	if (shown == NULL)
		return leat_error_memory(r->err);
	left = leat_lines_choose(lines, r->n->lines, shown);
	for (i = 0; i < lines->count; i++) {
		if (shown[i] && leat_nightly_line(&r->text, r->n, lines, i))
			r->advised = true;
	}
	if (left > 0)
		put_left_out(r, lines, shown);
	free(shown);
	return 0;
}

static int
put_section(struct report *r, enum leat_section section)
{
	static const char *const title[] = {
		"NEW", "WORSE", "STILL", "CLEARED", "NO LONGER JUDGED", "CANNOT TELL", "OVERDUE", "DATA", "SHELVED"
	};
	struct leat_items *items = section == LEAT_SECTION_GONE ? &r->earlier : &r->tonight;
	bool standing = section == LEAT_SECTION_STILL && r->standing > 0;
	bool untold = section == LEAT_SECTION_UNKNOWN && r->untold > 0;
	bool unread = section == LEAT_SECTION_DATA && r->n->tonight->rejected > 0;
	struct leat_lines lines = { 0 };
	int result = 0;

	if (leat_fold(&lines, items, section, r->err) != 0)
		return -1;
	if (lines.count > 0 || standing || untold || unread) {
		put_title(r, section == LEAT_SECTION_NEW && r->n->earlier_status != LEAT_EARLIER_READ ? "FOUND" : title[section]);
		if (unread)
			put_unread(r);
		result = put_lines(r, &lines);
		if (standing)
			put_standing(r, r->standing, "alert stands", "alerts stand");
		if (untold)
			put_standing(r, r->untold, CANNOT_TELL " for days", CANNOT_TELL " for days");
	}
	leat_lines_free(&lines);
	return result;
}

static int
put_report(struct report *r)
{
	int section;

	put_verdict(r);
	put_reach(r);
	put_seen(r);
	leat_score_write(&r->text, &r->n->cal, &r->tonight);
	for (section = LEAT_SECTION_NEW; section <= LEAT_SECTION_SHELVED; section++) {
		if (put_section(r, (enum leat_section)section) != 0)
			return -1;
	}
	if (r->advised) {
		leat_text_verbatim(&r->text, "\n");
		leat_text_verbatim(&r->text, leat_cautions_report());
	}
	return r->text.failed ? leat_error_memory(r->err) : 0;
}

/* What cannot be told because the data of its mill have ended is one thing to read.  Points end a little apart: the last
 * reading of one may be bad, and compressed data skip some. */
#define LOST_WITHIN_S 3600.0

static void
mark_lost(struct report *r)
{
	const struct leat_nightly *n = r->n;
	size_t i, j;

	for (i = 0, j = 0; i < r->tonight.count; i++) {
		struct leat_item *item = &r->tonight.item[i];

		/* Both are ordered by mill. */
		while (j < n->reaches && leat_span_cmp(n->reach[j].mill, item->mill) < 0)
			j++;
		if (j == n->reaches || !leat_span_eq(n->reach[j].mill, item->mill) || leat_time_is_none(item->since))
			continue;
		item->lost = item->section == LEAT_SECTION_UNKNOWN && !leat_span_is(item->row->point, "-") &&
		    leat_time_diff(n->reach[j].last, item->since) < LOST_WITHIN_S;
	}
}

/* Makes items of both nights and tells them apart. */
static int
prepare(struct report *r)
{
	const struct leat_nightly *n = r->n;
	bool compared = n->earlier_status == LEAT_EARLIER_READ;
	struct leat_window window = { .since = n->since, .unknown_since = n->since };
	int weekday = leat_weekday(leat_calendar_date(&n->cal, n->cal.now));

	if (compared) {
		if (leat_items_make(&r->earlier, n->earlier, n->cal.now, NULL, r->err) != 0)
			return -1;
		window.earlier = &r->earlier;
		window.unknown_since = leat_calendar_midnight(&n->cal, n->earlier_day);
	}
	if (leat_items_make(&r->tonight, n->tonight, n->cal.now, &window, r->err) != 0)
		return -1;
	leat_compare(&r->tonight, compared ? &r->earlier : NULL, &n->cal, weekday == n->week_day);
	mark_lost(r);
	count_items(r);
	return 0;
}

int
leat_nightly_write(const struct leat_nightly *n, struct leat_buf *page, struct leat_nightly_count *count,
    struct leat_error *err)
{
	struct report r = { .n = n, .text.width = LEAT_NIGHTLY_WIDTH, .err = err };
	int result = prepare(&r);

	if (result == 0 && (r.news || n->always))
		result = put_report(&r);
	if (result == 0 && r.text.page.len > 0 && leat_buf_add(page, r.text.page.data, r.text.page.len) != 0)
		result = leat_error_memory(err);
	*count = r.count;
	leat_text_free(&r.text);
	leat_items_free(&r.tonight);
	leat_items_free(&r.earlier);
	return result;
}
