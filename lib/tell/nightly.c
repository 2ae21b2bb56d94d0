/*
 * The nightly text: head, sections, cautions.
 */
#include "tell/nightly.h"

#include <stdlib.h>

#include "tell/group.h"
#include "tell/nightly_private.h"
#include "tell/score.h"

static void
count_items(struct leat_report *r)
{
	size_t i;

	for (i = 0; i < r->tonight.count; i++) {
		const struct leat_item *item = &r->tonight.item[i];

		r->count.shelved += item->open && item->shelved;
		r->count.found += item->found;
		if (item->section == LEAT_SECTION_STANDING && item->head == NULL && item->row->status == LEAT_STATUS_UNKNOWN)
			r->untold++;
		else if (item->section == LEAT_SECTION_STANDING && item->head == NULL)
			r->standing++;
		if (item->section != LEAT_SECTION_NONE && item->section != LEAT_SECTION_SHELVED)
			r->news = true;
		/* What is explained stands below its cause, which counts. */
		if (!item->open || item->shelved || item->head != NULL)
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

/* How many of the lines left out are what, and how to see them. */
static void
put_left_out(struct leat_report *r, const struct leat_lines *lines, const bool *shown, enum leat_page_line kind)
{
	struct leat_text *t = &r->page.text;
	size_t i, of[4] = { 0 };
	bool any = false;

	for (i = 0; i < lines->count; i++) {
		if (!shown[i])
			of[lines->line[i].rank]++;
	}
	leat_nightly_count_words(t, &any, of[0], "ALARM", "ALARM");
	leat_nightly_count_words(t, &any, of[1], "alert", "alerts");
	leat_nightly_count_words(t, &any, of[2], CANNOT_TELL, CANNOT_TELL);
	leat_nightly_count_words(t, &any, of[3], "cleared", "cleared");
	leat_text_add(t, " more, not shown: give --lines" LEAT_TEXT_GLUE "%zu", lines->count);
	if (r->n->file != NULL) {
		leat_text_add(t, ", or see ");
		leat_text_add_plain(t, leat_span_of(r->n->file));
	}
	leat_page_line(&r->page, kind);
}

/* Below what is listed of a section: what is not, since it stands unchanged. */
static void
put_standing(struct leat_report *r, size_t count, const char *one, const char *many)
{
	struct leat_text *t = &r->page.text;
	bool any = false;

	leat_nightly_count_words(t, &any, count, one, many);
	leat_text_add(t, "; listed on %ss", leat_weekday_name(r->n->week_day));
	leat_page_line(&r->page, LEAT_PAGE_NOTE);
}

static void
put_unread(struct leat_report *r)
{
	const struct leat_findings *f = r->n->tonight;
	struct leat_text *t = &r->page.text;
	char text[1024];

	leat_page_finding(&r->page, LEAT_MARK_UNKNOWN);
	leat_text_add(t, "works cannot tell: %ld row%s of tonight's findings cannot be read and %s missing here; first ",
	    f->rejected, f->rejected == 1 ? "" : "s", f->rejected == 1 ? "is" : "are");
	leat_error_format(&f->first_rejected, text, sizeof(text));
	leat_text_add_plain(t, leat_span_of(text));
	leat_page_line(&r->page, LEAT_PAGE_FINDING);
}

static int put_lines(struct leat_report *r, const struct leat_lines *lines, const struct leat_item *head);

/* What stands below the head of a line. */
static int
put_members(struct leat_report *r, const struct leat_item *head)
{
	struct leat_lines lines = { 0 };
	int result;

	if (leat_fold_members(&lines, &r->tonight, head, r->err) != 0)
		return -1;
	leat_page_members(&r->page);
	result = put_lines(r, &lines, head);
	leat_page_members_end(&r->page);
	leat_lines_free(&lines);
	return result;
}

/* Puts the lines of a section, or those that stand below head. */
static int
put_lines(struct leat_report *r, const struct leat_lines *lines, const struct leat_item *head)
{
	bool *shown = calloc(lines->count + 1, sizeof(*shown));
	size_t i, left;
	int result = 0;

	if (shown == NULL)
		return leat_error_memory(r->err);
	left = leat_lines_choose(lines, r->n->lines, shown);
	for (i = 0; i < lines->count && result == 0; i++) {
		const struct leat_item *first = lines->order[lines->line[i].first];

		if (!shown[i])
			continue;
		if (leat_nightly_line(r, lines, i, head))
			r->advised = true;
		leat_nightly_pictures(r, lines, i);
		if (first->members > 0)
			result = put_members(r, first);
	}
	if (left > 0)
		put_left_out(r, lines, shown, head != NULL ? LEAT_PAGE_MEMBER_NOTE : LEAT_PAGE_NOTE);
	free(shown);
	return result;
}

static int
put_section(struct leat_report *r, enum leat_section section)
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
		leat_page_section(&r->page,
		    section == LEAT_SECTION_NEW && r->n->earlier_status != LEAT_EARLIER_READ ? "FOUND" : title[section]);
		if (unread)
			put_unread(r);
		result = put_lines(r, &lines, NULL);
		if (standing)
			put_standing(r, r->standing, "alert stands unchanged", "alerts stand unchanged");
		if (untold)
			put_standing(r, r->untold, "has not been judged for days", "have not been judged for days");
	}
	leat_lines_free(&lines);
	return result;
}

static int
put_report(struct leat_report *r)
{
	int section;

	leat_nightly_put_verdict(r);
	leat_page_title(&r->page, r->n->works);
	leat_nightly_put_reach(r);
	leat_nightly_put_seen(r);
	if (r->page.form == LEAT_PAGE_TEXT)
		leat_score_write(&r->page.text, &r->n->cal, &r->tonight);
	else
		leat_nightly_put_score(r);
	for (section = LEAT_SECTION_NEW; section <= LEAT_SECTION_SHELVED; section++) {
		if (put_section(r, (enum leat_section)section) != 0)
			return -1;
	}
	if (r->page.form == LEAT_PAGE_HTML && leat_nightly_tables(r) != 0)
		return -1;
	if (r->advised)
		leat_page_cautions(&r->page, leat_cautions_report());
	leat_page_end(&r->page);
	return r->page.text.failed ? leat_error_memory(r->err) : 0;
}

/* What cannot be told because the data of its mill have ended is one thing to read.  Points end a little apart: the last
 * reading of one may be bad, and compressed data skip some. */
#define LOST_WITHIN_S 3600.0

static void
mark_lost(struct leat_report *r)
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
prepare(struct leat_report *r)
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
	if (leat_group(&r->tonight, r->err) != 0)
		return -1;
	mark_lost(r);
	count_items(r);
	return 0;
}

int
leat_nightly_write(const struct leat_nightly *n, enum leat_page_form form, struct leat_buf *page,
    struct leat_nightly_count *count, struct leat_error *err)
{
	struct leat_report r = { .n = n, .page = { .form = form, .text.width = LEAT_NIGHTLY_WIDTH }, .err = err };
	int result = prepare(&r);

	if (result == 0 && (r.news || n->always))
		result = put_report(&r);
	if (result == 0 && r.page.text.page.len > 0 && leat_buf_add(page, r.page.text.page.data, r.page.text.page.len) != 0)
		result = leat_error_memory(err);
	if (count != NULL)
		*count = r.count;
	leat_page_free(&r.page);
	leat_items_free(&r.tonight);
	leat_items_free(&r.earlier);
	return result;
}

int
leat_nightly_verdict(const struct leat_nightly *n, struct leat_buf *buf, struct leat_error *err)
{
	struct leat_report r = { .n = n, .page = { .text.width = LEAT_NIGHTLY_WIDTH }, .err = err };
	int result = prepare(&r);

	if (result == 0) {
		leat_nightly_put_verdict(&r);
		for (size_t i = 0; i < r.page.text.line.len; i++) {
			if (r.page.text.line.data[i] == LEAT_TEXT_GLUE[0])
				r.page.text.line.data[i] = ' ';
		}
		if (r.page.text.failed || leat_buf_add_span(buf, leat_buf_span(&r.page.text.line)) != 0)
			result = leat_error_memory(err);
	}
	leat_page_free(&r.page);
	leat_items_free(&r.tonight);
	leat_items_free(&r.earlier);
	return result;
}
