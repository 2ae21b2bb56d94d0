/*
 * One line of the nightly text: who, what, value against limit, since when, do by when, and what to do.
 */
#include "tell/nightly_private.h"

#include "base/number.h"
#include "stream/check.h"
#include "tell/group.h"

/* Members that a folded line names before it counts the rest. */
#define NAMED 12

const char *
leat_nightly_status(enum leat_status status)
{
	static const char *const word[] = { "ok", "alert", "ALARM", "cannot tell" };

	return word[status];
}

static void
add_quantity(struct leat_text *t, struct leat_span value, struct leat_span unit)
{
	leat_text_add_glued(t, value);
	if (unit.len > 0 && !leat_span_is(unit, "1")) {
		leat_text_add(t, LEAT_TEXT_GLUE);
		leat_text_add_glued(t, unit);
	}
}

/* Adds "66.2 degC, over 65 degC". */
static void
add_value(struct leat_text *t, const struct leat_finding *f)
{
	double value, limit;

	add_quantity(t, f->value, f->unit);
	if (f->limit.len == 0)
		return;
	if (leat_double_parse(f->value, &value) != 0 || leat_double_parse(f->limit, &limit) != 0) {
		leat_text_add(t, ", limit ");
		leat_text_add_glued(t, f->limit);
		return;
	}
	leat_text_add(t, value > limit ? ", over " : value < limit ? ", under " : ", at its limit of ");
	add_quantity(t, f->limit, f->unit);
}

static void
add_rule(struct leat_text *t, struct leat_span rule)
{
	char word[64];
	size_t i, len = rule.len < sizeof(word) ? rule.len : sizeof(word);

	for (i = 0; i < len; i++)
		word[i] = rule.ptr[i] == '-' ? ' ' : rule.ptr[i];
	leat_text_add_plain(t, leat_span_make(word, len));
}

/* The row whose numbers an item shows. */
static const struct leat_finding *
shown_row(const struct leat_item *item)
{
	return item->episodes > 1 && item->worst != NULL ? item->worst : item->row;
}

/* Does the line itself hold the message, for want of a value against a limit?  About data the message says it better, and
 * of a diagnosis it says how sure that is. */
static bool
shows_message(const struct leat_finding *f)
{
	return f->message.len > 0 && (f->value.len == 0 || f->explains.len > 0 || leat_rule_is_data(f->rule));
}

void
leat_nightly_cut_message(const struct leat_finding *f, struct leat_span *what, struct leat_span *advice)
{
	static const char lead[] = "cannot tell: ";
	struct leat_span rest = f->message;

	*advice = leat_span_make("", 0);
	if (!leat_span_next(&rest, ';', what))
		*what = *advice;
	if (rest.ptr != NULL)
		*advice = leat_span_trim(rest);
	/* The status has said so already. */
	if (leat_span_starts(*what, lead)) {
		what->ptr += sizeof(lead) - 1;
		what->len -= sizeof(lead) - 1;
	}
}

/* Could the byte belong to the name of a point, or quote it? */
static bool
is_name_byte(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_' || c == '\'';
}

/* Where a message names the point as a word of its own; text.len when it does not. */
static size_t
find_name(struct leat_span text, struct leat_span point)
{
	size_t i;

	for (i = 0; point.len > 1 && i + point.len <= text.len; i++) {
		if (memcmp(text.ptr + i, point.ptr, point.len) == 0 && (i == 0 || !is_name_byte(text.ptr[i - 1])) &&
		    (i + point.len == text.len || !is_name_byte(text.ptr[i + point.len])))
			return i;
	}
	return text.len;
}

/* Adds a message with the trade's words in place of the point's name.  False, and nothing added, when it is not named. */
static bool
add_message_of(struct leat_text *t, struct leat_span text, struct leat_span point)
{
	size_t at = find_name(text, point), end = at + point.len;

	if (at == text.len)
		return false;
	leat_words_message(t, leat_span_make(text.ptr, at));
	leat_text_add(t, at > 0 && text.ptr[at - 1] == ' ' ? " " : "");
	leat_words_point(t, point);
	leat_text_add(t, end < text.len && text.ptr[end] == ' ' ? " " : "");
	leat_words_message(t, leat_span_trim(leat_span_make(text.ptr + end, text.len - end)));
	return true;
}

/* "oil temperature 66.2 degC, over 65 degC", or the message where that says it better. */
void
leat_nightly_add_what(struct leat_text *t, const struct leat_item *item)
{
	const struct leat_finding *f = shown_row(item);
	bool named = f->point.len > 0 && !leat_span_is(f->point, "-");
	struct leat_span what, advice;

	leat_nightly_cut_message(f, &what, &advice);
	if (shows_message(f) && add_message_of(t, what, f->point))
		return;
	leat_words_point(t, f->point);
	if (f->value.len > 0 && !shows_message(f)) {
		leat_text_add(t, named ? (item->episodes > 1 ? " worst " : " ") : "");
		add_value(t, f);
		return;
	}
	leat_text_add(t, named ? ": " : "");
	if (shows_message(f))
		leat_words_message(t, what);
	else
		add_rule(t, f->rule);
}

void
leat_nightly_add_asset(struct leat_text *t, struct leat_span asset)
{
	if (asset.len == 0 || leat_span_is(asset, "-") || leat_span_is(asset, "*"))
		leat_text_add(t, "works");
	else
		leat_text_add_glued(t, asset);
}

static bool
same_place(const struct leat_item *a, const struct leat_item *b)
{
	return leat_span_eq(a->row->asset, b->row->asset) && leat_span_eq(a->row->point, b->row->point);
}

static bool
all_of_one_place(struct leat_item *const *item, size_t count)
{
	for (size_t i = 1; i < count; i++)
		if (!same_place(item[i], item[0]))
			return false;
	return true;
}

static bool
all_of_one_rule(struct leat_item *const *item, size_t count)
{
	for (size_t i = 1; i < count; i++)
		if (!leat_span_eq(item[i]->row->rule, item[0]->row->rule))
			return false;
	return true;
}

/* Adds the members of a folded line: each asset when it changes, each point with its value.  Several rules of one point
 * name it once. */
static void
add_members(struct leat_text *t, struct leat_item *const *item, size_t count)
{
	size_t i, named = 0, left = 0;
	bool values = item[0]->episodes > 0 && item[0]->row->value.len > 0 && !shows_message(item[0]->row);

	for (i = 0; i < count; i++) {
		if (i > 0 && same_place(item[i], item[i - 1]))
			continue;
		if (named >= NAMED) {
			left++;
			continue;
		}
		if (named++ > 0)
			leat_text_add(t, values ? "; " : ", ");
		if (i == 0 || !leat_span_eq(item[i]->row->asset, item[i - 1]->row->asset)) {
			leat_nightly_add_asset(t, item[i]->row->asset);
			leat_text_add(t, leat_span_is(item[i]->row->point, "-") ? "" : " ");
		}
		leat_words_point(t, item[i]->row->point);
		if (values) {
			leat_text_add(t, " ");
			add_value(t, item[i]->row);
		}
	}
	if (left > 0)
		leat_text_add(t, " and %zu more", left);
}

/* Adds "20 times since today 01:10, 3 h 10 min in all".  Beyond what the judge keeps apart the count is a lower bound and
 * the length is not known. */
static void
add_repeats(struct leat_text *t, const struct leat_calendar *cal, const struct leat_item *item)
{
	leat_text_add(t, "%s%zu" LEAT_TEXT_GLUE "times", item->episodes >= LEAT_CHECK_KEPT ? "at least " : "", item->episodes);
	if (leat_time_is_none(item->first))
		return;
	leat_text_add(t, " since ");
	leat_words_time(t, cal, item->first);
	if (item->episodes >= LEAT_CHECK_KEPT)
		return;
	leat_text_add(t, ", ");
	leat_words_length(t, item->total_s);
	leat_text_add(t, " in all");
}

/* Adds "since today 04:10 (1 h 20 min)" or "from Mon 3 Feb 22:10 to today 04:20 (6 h 10 min)" behind a separator. */
static void
add_times(struct leat_text *t, const struct leat_calendar *cal, const struct leat_item *item, const char *separator)
{
	if (item->episodes < 2 && leat_time_is_none(item->since))
		return;
	leat_text_add(t, "%s", separator);
	if (item->episodes > 1) {
		add_repeats(t, cal, item);
		return;
	}
	leat_text_add(t, item->open ? "since " : "from ");
	leat_words_time(t, cal, item->since);
	if (!item->open) {
		leat_text_add(t, " to ");
		if (leat_calendar_date(cal, item->since) == leat_calendar_date(cal, item->until))
			leat_words_clock(t, cal, item->until);
		else
			leat_words_time(t, cal, item->until);
	}
	leat_text_add(t, " (");
	leat_words_length(t, leat_time_diff(item->open ? cal->now : item->until, item->since));
	leat_text_add(t, ")");
}

/* Adds what cannot be told since the data of a mill ended. */
static void
add_lost(struct leat_text *t, const struct leat_calendar *cal, struct leat_item *const *item, size_t count)
{
	struct leat_time last = item[0]->since;
	size_t i;

	for (i = 1; i < count; i++) {
		if (leat_time_cmp(item[i]->since, last) > 0)
			last = item[i]->since;
	}
	leat_nightly_add_asset(t, item[0]->mill);
	leat_text_add(t, " %s, %zu judgements, since its data ended ", leat_nightly_status(LEAT_STATUS_UNKNOWN), count);
	leat_words_time(t, cal, last);
	leat_text_add(t, " (");
	leat_words_length(t, leat_time_diff(cal->now, last));
	leat_text_add(t, "): ");
	add_members(t, item, count);
}

static void
add_due(struct leat_text *t, const struct leat_calendar *cal, const struct leat_item *item)
{
	int64_t due, days;

	if (!item->open || leat_time_is_none(item->row->due))
		return;
	due = leat_calendar_date(cal, item->row->due);
	days = leat_calendar_date(cal, cal->now) - due;
	leat_text_add(t, days > 0 ? ", was due " : ", do by ");
	leat_words_date(t, cal, due, false);
	if (days > 0)
		leat_text_add(t, " (%lld" LEAT_TEXT_GLUE "day%s ago)", (long long)days, days == 1 ? "" : "s");
}

/* Adds what has changed about the status: "(was alert)", "(was 61.0 degC)", "(shelf has ended)". */
static void
add_change(struct leat_text *t, const struct leat_item *item)
{
	const struct leat_item *earlier = item->earlier;

	if (!item->open || earlier == NULL || !earlier->open)
		return;
	if (earlier->row->status != item->row->status)
		leat_text_add(t, " (was %s)", leat_nightly_status(earlier->row->status));
	else if (item->section == LEAT_SECTION_WORSE) {
		leat_text_add(t, " (was ");
		add_quantity(t, earlier->row->value, earlier->row->unit);
		leat_text_add(t, ")");
	}
	if (item->unshelved)
		leat_text_add(t, " (its shelf has ended)");
}

/* Adds who and how grave: "NM/pump-a ALARM". */
static void
add_head(struct leat_text *t, const struct leat_item *item, struct leat_span asset)
{
	leat_nightly_add_asset(t, asset);
	if (item->row->status != LEAT_STATUS_OK)
		leat_text_add(t, " %s", leat_nightly_status(item->row->status));
	add_change(t, item);
}

/* Adds what cannot be told by several rules since the same minute: of one point with its reason, of several their names. */
static void
add_untold(struct leat_text *t, const struct leat_calendar *cal, struct leat_item *const *item, size_t count)
{
	bool one = all_of_one_place(item, count);

	add_head(t, item[0], one ? item[0]->row->asset : item[0]->mill);
	leat_text_add(t, ", %zu judgements", count);
	if (one) {
		leat_text_add(t, ": ");
		leat_nightly_add_what(t, item[0]);
	}
	add_times(t, cal, item[0], one ? ", " : " ");
	if (!one) {
		leat_text_add(t, ": ");
		add_members(t, item, count);
	}
}

/* Adds ok rows without an episode, of what was open. */
static void
add_in_order(struct leat_text *t, struct leat_item *const *item, size_t count)
{
	const struct leat_finding *f = item[0]->row;
	bool named = !leat_span_is(f->point, "-"), several = !all_of_one_place(item, count);

	leat_nightly_add_asset(t, several ? item[0]->mill : f->asset);
	leat_text_add(t, " (was %s): ", leat_nightly_status(item[0]->earlier->row->status));
	if (several) {
		leat_text_add(t, "%zu in order again", count);
		if (all_of_one_rule(item, count)) {
			leat_text_add(t, ", ");
			add_rule(t, f->rule);
		}
		leat_text_add(t, ": ");
		add_members(t, item, count);
	} else if (shows_message(f) && !named)
		leat_words_message(t, f->message);
	else {
		if (named)
			leat_words_point(t, f->point);
		else
			add_rule(t, f->rule);
		leat_text_add(t, " is in order again");
	}
}

/* Puts the advice on a line of its own.  True when there is some. */
static bool
put_advice(struct leat_page *p, const struct leat_finding *f, enum leat_page_line kind)
{
	struct leat_span what, advice;

	leat_nightly_cut_message(f, &what, &advice);
	if (!leat_words_sentences(&p->text, advice))
		return false;
	leat_page_line(p, kind);
	return true;
}

void
leat_nightly_add_cost(struct leat_text *t, const struct leat_finding *cost)
{
	double low, high;

	if (!leat_finding_cost(cost, &low, &high))
		return;
	if (low < high) {
		leat_text_add_glued(t, cost->per_day_low);
		leat_text_add(t, " to ");
	}
	add_quantity(t, cost->per_day_high.len > 0 ? cost->per_day_high : cost->per_day_low, leat_finding_cost_unit(cost));
	leat_text_add(t, " a" LEAT_TEXT_GLUE "day");
}

/* Adds what it costs to wait, where that is no news of the line itself, and what explains it. */
static void
add_cause_and_cost(struct leat_text *t, const struct leat_item *item)
{
	if (item->cost != NULL && item->cost != item->row) {
		leat_text_add(t, ", waiting costs ");
		leat_nightly_add_cost(t, item->cost);
	}
	if (item->cause == NULL)
		return;
	leat_text_add(t, ", explained by ");
	leat_nightly_add_asset(t, item->cause->row->asset);
	leat_text_add(t, " ");
	add_rule(t, item->cause->row->rule);
}

/* Adds the items of a line in words. */
static void
add_line(struct leat_text *t, const struct leat_calendar *cal, struct leat_item *const *item, size_t count)
{
	if (count == 1) {
		add_head(t, item[0], item[0]->row->asset);
		leat_text_add(t, ": ");
		leat_nightly_add_what(t, item[0]);
		add_times(t, cal, item[0], ", ");
	} else if (item[0]->lost) {
		add_lost(t, cal, item, count);
	} else if (item[0]->open && !leat_item_by_rule(item[0])) {
		add_untold(t, cal, item, count);
	} else {
		add_head(t, item[0], item[0]->mill);
		leat_text_add(t, ", %zu at once", count);
		add_times(t, cal, item[0], " ");
		leat_text_add(t, ", ");
		add_rule(t, item[0]->row->rule);
		leat_text_add(t, ": ");
		add_members(t, item, count);
	}
	if (!item[0]->lost)
		add_due(t, cal, item[0]);
	add_cause_and_cost(t, item[0]);
	if (item[0]->section == LEAT_SECTION_NEW && !item[0]->open)
		leat_text_add(t, ", cleared");
	if (item[0]->section == LEAT_SECTION_SHELVED) {
		leat_text_add(t, ", shelved until ");
		leat_words_time(t, cal, item[0]->row->shelved);
	}
}

/* How the cost was reckoned, where there is room for it and no line of its own says it. */
static void
put_reckoning(struct leat_page *p, const struct leat_item *item)
{
	if (p->form != LEAT_PAGE_HTML || item->cost == NULL || item->cost->status != LEAT_STATUS_OK)
		return;
	leat_words_message(&p->text, item->cost->message);
	leat_page_line(p, LEAT_PAGE_REMARK);
}

bool
leat_nightly_line(struct leat_report *r, const struct leat_lines *lines, size_t index, const struct leat_item *head)
{
	const struct leat_line *line = &lines->line[index];
	struct leat_item *const *item = lines->order + line->first;
	enum leat_page_line kind = head == NULL ? LEAT_PAGE_FINDING : LEAT_PAGE_MEMBER;
	struct leat_text *t = &r->page.text;

	leat_page_finding(&r->page, (enum leat_page_mark)leat_item_rank(item[0]));
	if (head != NULL && r->page.form == LEAT_PAGE_TEXT)
		leat_text_add(t, "-" LEAT_TEXT_GLUE);
	if (item[0]->episodes == 0 && !item[0]->open) {
		add_in_order(t, item, line->count);
		leat_page_line(&r->page, kind);
		return false;
	}
	add_line(t, &r->n->cal, item, line->count);
	leat_page_line(&r->page, kind);
	put_reckoning(&r->page, item[0]);
	if (!item[0]->open || item[0]->section == LEAT_SECTION_SHELVED || item[0]->section == LEAT_SECTION_GONE)
		return false;
	if (head != NULL && leat_item_rank(item[0]) >= leat_item_rank(head))
		return false;
	return put_advice(&r->page, item[0]->row, head == NULL ? LEAT_PAGE_ADVICE : LEAT_PAGE_MEMBER_ADVICE);
}
