/*
 * The head of the nightly text: what was found, how far the data reach, what it is compared with.
 */
#include "tell/nightly_private.h"

void
leat_nightly_count_words(struct leat_text *t, bool *any, size_t count, const char *one, const char *many)
{
	if (count == 0)
		return;
	leat_text_add(t, "%s%zu" LEAT_TEXT_GLUE "%s", *any ? ", " : "", count, count == 1 ? one : many);
	*any = true;
}

void
leat_nightly_put_verdict(struct leat_report *r)
{
	struct leat_text *t = &r->page.text;
	bool any = false;

	leat_words_date(t, &r->n->cal, leat_calendar_day(&r->n->cal, r->n->cal.now), true);
	leat_text_add(t, ": ");
	leat_nightly_count_words(t, &any, r->count.alarm, "alarm", "alarms");
	leat_nightly_count_words(t, &any, r->count.alert, "alert", "alerts");
	leat_nightly_count_words(t, &any, r->count.unknown, CANNOT_TELL, CANNOT_TELL);
	leat_nightly_count_words(t, &any, r->count.overdue, "overdue", "overdue");
	if (!any)
		leat_text_add(t, r->news ? "no alarms, no alerts" : "all that was judged is in order");
	any = true;
	leat_nightly_count_words(t, &any, r->count.shelved, "shelved", "shelved");
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
void
leat_nightly_put_reach(struct leat_report *r)
{
	const struct leat_nightly *n = r->n;
	struct leat_span last = { NULL, 0 };
	size_t i;

	if (!n->reach_known) {
		leat_text_add(&r->page.text, "How far the data reach is not known.");
		leat_page_line(&r->page, LEAT_PAGE_HEAD);
		return;
	}
	for (i = 0; i < n->reaches; i++) {
		add_mill(&r->page.text, n->reach[i].mill);
		if (i + 1 == n->reaches || minute_of(n->reach[i].last) != minute_of(n->reach[i + 1].last))
			add_reach(&r->page.text, &n->cal, n->reach[i].last);
	}
	for (i = 0; i < r->tonight.count; i++) {
		const struct leat_item *item = &r->tonight.item[i];

		if (!lacks_data(n, item) || leat_span_eq(item->mill, last))
			continue;
		add_mill(&r->page.text, item->mill);
		add_reach(&r->page.text, &n->cal, LEAT_TIME_NONE);
		last = item->mill;
	}
	if (r->page.text.line.len == 0)
		leat_text_add(&r->page.text, "No data at all");
	leat_text_add(&r->page.text, ".");
	leat_page_line(&r->page, LEAT_PAGE_HEAD);
}

void
leat_nightly_put_seen(struct leat_report *r)
{
	const struct leat_nightly *n = r->n;
	struct leat_text *t = &r->page.text;
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
	leat_page_line(&r->page, LEAT_PAGE_HEAD);
}
