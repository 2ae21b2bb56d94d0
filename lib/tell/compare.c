/*
 * Which section an item belongs to.
 */
#include "tell/compare.h"

#include "base/number.h"

bool
leat_item_overdue(const struct leat_item *item, const struct leat_calendar *cal)
{
	if (!item->open || leat_time_is_none(item->row->due))
		return false;
	return leat_calendar_date(cal, item->row->due) < leat_calendar_date(cal, cal->now);
}

bool
leat_item_worse(const struct leat_item *item, const struct leat_item *earlier)
{
	const struct leat_finding *a = item->row, *b = earlier->row;
	double now, before, limit;

	if (a->status == LEAT_STATUS_ALARM && b->status == LEAT_STATUS_ALERT)
		return true;
	if (a->status != b->status || !leat_span_eq(a->limit, b->limit) || !leat_span_eq(a->unit, b->unit))
		return false;
	if (leat_double_parse(a->limit, &limit) != 0)
		return false;
	now = leat_finding_excess(a);
	before = leat_finding_excess(b);
	if (now < 0 || before < 0)
		return false;
	return now >= 1.5 * before && now - before >= 0.02 * (limit < 0 ? -limit : limit) && now > before;
}

/* An episode that is over: news unless the earlier night has told its end. */
static enum leat_section
section_of_ended(const struct leat_item *item)
{
	const struct leat_item *earlier = item->earlier;

	if (earlier != NULL && earlier->open)
		return LEAT_SECTION_CLEARED;
	if (item->episodes == 0)
		return LEAT_SECTION_NONE;
	if (item->shelved)
		return LEAT_SECTION_SHELVED;
	if (earlier != NULL && !leat_time_is_none(earlier->until) && leat_time_cmp(item->until, earlier->until) <= 0)
		return LEAT_SECTION_NONE;
	return LEAT_SECTION_NEW;
}

static enum leat_section
section_of_open(const struct leat_item *item, const struct leat_calendar *cal, bool list_standing)
{
	const struct leat_item *earlier = item->earlier;
	bool known = earlier != NULL && earlier->open;
	bool unchanged = known && !item->unshelved && earlier->row->status == item->row->status;
	bool old = !leat_time_is_none(item->since) && leat_time_diff(cal->now, item->since) > LEAT_OLD_S;
	bool quiet = unchanged && !list_standing &&
	    (item->row->status == LEAT_STATUS_ALERT || (item->row->status == LEAT_STATUS_UNKNOWN && old));

	if (item->shelved)
		return LEAT_SECTION_SHELVED;
	if (leat_item_overdue(item, cal))
		return LEAT_SECTION_OVERDUE;
	/* A signal that cannot be told to be frozen is no fault of the data. */
	if (leat_rule_is_data(item->row->rule) &&
	    !(item->row->status == LEAT_STATUS_UNKNOWN && leat_rule_is_signal(item->row->rule)))
		return quiet ? LEAT_SECTION_STANDING : LEAT_SECTION_DATA;
	if (item->row->status == LEAT_STATUS_UNKNOWN)
		return quiet ? LEAT_SECTION_STANDING : LEAT_SECTION_UNKNOWN;
	if (!known || earlier->row->status == LEAT_STATUS_UNKNOWN)
		return LEAT_SECTION_NEW;
	if (leat_item_worse(item, earlier))
		return LEAT_SECTION_WORSE;
	return quiet ? LEAT_SECTION_STANDING : LEAT_SECTION_STILL;
}

/* A row has shelved only while its shelf lasts: that the earlier one's is over by now is what is to be told. */
static bool
was_shelved(const struct leat_item *earlier)
{
	return earlier != NULL && earlier->open && !leat_time_is_none(earlier->row->shelved);
}

/* Where no end stands between them, tonight's episode is the one that the earlier night saw: its start may lie before
 * tonight's data. */
static void
carry_start(struct leat_item *item)
{
	const struct leat_item *earlier = item->earlier;

	if (!item->open || item->episodes != 1 || earlier == NULL || !earlier->open || leat_time_is_none(earlier->since))
		return;
	if (!leat_time_is_none(item->since) && leat_time_cmp(item->since, earlier->since) <= 0)
		return;
	item->since = item->first = earlier->since;
}

void
leat_compare(struct leat_items *tonight, struct leat_items *earlier, const struct leat_calendar *cal,
    bool list_standing)
{
	size_t i;

	for (i = 0; i < tonight->count; i++) {
		struct leat_item *item = &tonight->item[i];

		item->earlier = earlier != NULL ? leat_items_find(earlier, item) : NULL;
		item->unshelved = item->open && !item->shelved && was_shelved(item->earlier);
		carry_start(item);
		item->section = item->open ? section_of_open(item, cal, list_standing) : section_of_ended(item);
	}
	for (i = 0; earlier != NULL && i < earlier->count; i++) {
		struct leat_item *item = &earlier->item[i];

		item->section = item->open && leat_items_find(tonight, item) == NULL ? LEAT_SECTION_GONE : LEAT_SECTION_NONE;
	}
}
