/*
 * Episodes to items, items to lines.
 */
#include "tell/fold.h"

#include <stdlib.h>

#include "base/number.h"
#include "stream/points.h"
#include "tell/group.h"

double
leat_finding_excess(const struct leat_finding *f)
{
	double value, limit;

	if (leat_double_parse(f->value, &value) != 0 || leat_double_parse(f->limit, &limit) != 0)
		return -1;
	return value > limit ? value - limit : limit - value;
}

static int
status_rank(enum leat_status status)
{
	static const int rank[] = {
		[LEAT_STATUS_ALARM] = 0, [LEAT_STATUS_ALERT] = 1, [LEAT_STATUS_UNKNOWN] = 2, [LEAT_STATUS_OK] = 3
	};

	return rank[status];
}

int
leat_item_rank(const struct leat_item *item)
{
	return item->open ? status_rank(item->row->status) : status_rank(LEAT_STATUS_OK);
}

static int
cmp_identity(const struct leat_finding *a, const struct leat_finding *b)
{
	int d = leat_span_cmp(leat_asset_mill(a->asset), leat_asset_mill(b->asset));

	if (d == 0)
		d = leat_span_cmp(a->asset, b->asset);
	if (d == 0)
		d = leat_span_cmp(a->point, b->point);
	return d != 0 ? d : leat_span_cmp(a->rule, b->rule);
}

/* Identity, then age: rows of one identity in the order of their episodes, the ok row without one first. */
static int
cmp_rows(const void *pa, const void *pb)
{
	const struct leat_finding *a = *(const struct leat_finding *const *)pa;
	const struct leat_finding *b = *(const struct leat_finding *const *)pb;
	int d = cmp_identity(a, b);

	if (d == 0)
		d = leat_time_cmp(a->since, b->since);
	if (d == 0)
		d = leat_time_cmp(a->until, b->until);
	if (d == 0)
		d = status_rank(b->status) - status_rank(a->status);
	return d != 0 ? d : leat_time_cmp(a->time, b->time);
}

static bool
has_ended(const struct leat_finding *f, struct leat_time now)
{
	return !leat_time_is_none(f->until) && leat_time_cmp(f->until, now) <= 0;
}

static bool
is_open(const struct leat_finding *f, struct leat_time now)
{
	return f->status != LEAT_STATUS_OK && !has_ended(f, now);
}

static bool
is_shelved(const struct leat_finding *f, struct leat_time now)
{
	return !leat_time_is_none(f->shelved) && leat_time_cmp(f->shelved, now) > 0;
}

static double
length_s(const struct leat_finding *f, struct leat_time now)
{
	if (leat_time_is_none(f->since))
		return 0;
	return leat_time_diff(has_ended(f, now) ? f->until : now, f->since);
}

/* Takes one more row of its identity into the item.  An open row rules over one that has ended, a graver open one over
 * another; they can be two when two judges share a rule. */
static void
take_row(struct leat_item *item, const struct leat_finding *f, struct leat_time now)
{
	bool open = is_open(f, now), episode = open || has_ended(f, now);
	bool rules = open ? !item->open || status_rank(f->status) < status_rank(item->row->status) : !item->open;

	if (episode && (item->worst == NULL || leat_finding_excess(f) >= leat_finding_excess(item->worst)))
		item->worst = f;
	if (!episode && (item->ok == NULL || leat_time_cmp(f->time, item->ok->time) >= 0))
		item->ok = f;
	if (item->row == NULL || rules) {
		item->row = f;
		item->since = f->since;
		item->until = open ? LEAT_TIME_NONE : f->until;
		item->open = open;
		item->shelved = is_shelved(f, now);
	}
	if (f->status != LEAT_STATUS_OK && !is_shelved(f, now))
		item->found = true;
	if (!episode)
		return;
	if (item->episodes++ == 0)
		item->first = f->since;
	if (!open && leat_time_cmp(f->until, item->ended) > 0)
		item->ended = f->until;
	item->total_s += length_s(f, now);
}

static bool
is_later(const struct leat_finding *f, struct leat_time now)
{
	return leat_time_cmp(f->time, now) > 0 || (!leat_time_is_none(f->since) && leat_time_cmp(f->since, now) > 0);
}

static bool
same_row(const struct leat_finding *a, const struct leat_finding *b)
{
	return cmp_identity(a, b) == 0 && leat_time_cmp(a->since, b->since) == 0 && leat_time_cmp(a->until, b->until) == 0 &&
	    a->status == b->status;
}

static int
take_rows(struct leat_items *items, const struct leat_finding **row, size_t count, struct leat_time now)
{
	struct leat_item *item = NULL;
	size_t i;

	for (i = 0; i < count; i++) {
		if (i > 0 && same_row(row[i], row[i - 1]))
			continue;
		if (item == NULL || cmp_identity(item->row, row[i]) != 0) {
			if (leat_grow(&items->item, &items->cap, items->count + 1, sizeof(*items->item)) != 0)
				return -1;
			item = &items->item[items->count++];
			*item = (struct leat_item){ .mill = leat_asset_mill(row[i]->asset), .first = LEAT_TIME_NONE,
				.since = LEAT_TIME_NONE, .until = LEAT_TIME_NONE, .ended = LEAT_TIME_NONE,
				.section = LEAT_SECTION_NONE };
		}
		take_row(item, row[i], now);
	}
	return 0;
}

static bool
is_told(const struct leat_finding *f, struct leat_time now, const struct leat_window *window)
{
	const struct leat_item *earlier;

	if (window == NULL || !has_ended(f, now))
		return false;
	if (window->earlier == NULL)
		return leat_time_cmp(f->until, window->since) < 0;
	earlier = leat_items_find(window->earlier, &(struct leat_item){ .row = f });
	if (earlier != NULL)
		return leat_time_cmp(f->until, earlier->ended) <= 0;
	return leat_time_cmp(f->until, window->since) < 0 && leat_time_cmp(f->until, window->unknown_since) < 0;
}

int
leat_items_make(struct leat_items *items, const struct leat_findings *rows, struct leat_time now,
    const struct leat_window *window, struct leat_error *err)
{
	const struct leat_finding **row = malloc((rows->count + 1) * sizeof(struct leat_finding *));
	size_t i, count = 0;
	int result;

	if (row == NULL)
		return leat_error_memory(err);
	for (i = 0; i < rows->count; i++) {
		if (is_later(&rows->item[i], now))
			items->later++;
		else if (!is_told(&rows->item[i], now, window))
			row[count++] = &rows->item[i];
	}
	qsort(row, count, sizeof(*row), cmp_rows);
	result = take_rows(items, row, count, now);
	free(row);
	return result == 0 ? 0 : leat_error_memory(err);
}

static int
cmp_items(const void *pa, const void *pb)
{
	const struct leat_item *a = pa, *b = pb;

	return cmp_identity(a->row, b->row);
}

const struct leat_item *
leat_items_find(const struct leat_items *items, const struct leat_item *like)
{
	if (items->count == 0)
		return NULL;
	return bsearch(like, items->item, items->count, sizeof(*items->item), cmp_items);
}

void
leat_items_free(struct leat_items *items)
{
	free(items->item);
	*items = (struct leat_items){ 0 };
}

/* The minute in which an item began; -1 for those whose start is not known. */
static int64_t
minute_of(const struct leat_item *item)
{
	return leat_time_is_none(item->since) ? -1 : item->since.sec / 60;
}

/* What was known of an item the night before, as a rank; 4 for nothing. */
static int
earlier_rank(const struct leat_item *item)
{
	return item->earlier != NULL && item->earlier->open ? leat_item_rank(item->earlier) : 4;
}

bool
leat_item_by_rule(const struct leat_item *item)
{
	bool untold = item->open && item->row->status == LEAT_STATUS_UNKNOWN && !leat_time_is_none(item->since);
	bool in_order = !item->open && item->episodes == 0;

	return leat_span_is(item->row->point, "-") || !(untold || in_order);
}

/* The rank of an item and all below it. */
static int
group_rank(const struct leat_item *item)
{
	return item->members > 0 ? item->gravest : leat_item_rank(item);
}

/* What must be equal for two items to share a line: all that the line says once.  Repeated episodes keep a line of their
 * own. */
static int
cmp_cause(const struct leat_item *a, const struct leat_item *b)
{
	int d = a->first_rank - b->first_rank;

	if (d == 0)
		d = leat_cost_cmp(a->top, b->top);
	if (d == 0)
		d = a->mill_rank - b->mill_rank;
	if (d == 0)
		d = leat_span_cmp(a->mill, b->mill);
	if (d == 0)
		d = group_rank(a) - group_rank(b);
	if (d == 0)
		d = leat_item_rank(a) - leat_item_rank(b);
	if (d == 0)
		d = b->lost - a->lost;
	if (d != 0 || a->lost)
		return d;
	d = status_rank(a->row->status) - status_rank(b->row->status);
	if (d == 0 && minute_of(a) != minute_of(b))
		d = minute_of(a) < minute_of(b) ? -1 : 1;
	if (d == 0)
		d = leat_item_by_rule(a) - leat_item_by_rule(b);
	if (d == 0 && leat_item_by_rule(a))
		d = leat_span_cmp(a->row->rule, b->row->rule);
	if (d == 0)
		d = leat_time_cmp(a->row->due, b->row->due);
	if (d == 0)
		d = leat_time_cmp(a->row->shelved, b->row->shelved);
	if (d == 0)
		d = earlier_rank(a) - earlier_rank(b);
	if (d == 0)
		d = a->unshelved - b->unshelved;
	return d != 0 ? d : (a->episodes > 1) - (b->episodes > 1);
}

static int
cmp_order(const void *pa, const void *pb)
{
	const struct leat_item *a = *(struct leat_item *const *)pa, *b = *(struct leat_item *const *)pb;
	int d = cmp_cause(a, b);

	return d != 0 ? d : cmp_identity(a->row, b->row);
}

/* Gives every item the gravest rank of its mill.  Items come ordered by mill. */
static void
rank_mills(struct leat_item **order, size_t count)
{
	size_t i, begin = 0;
	int rank = 0;
	bool priced = false;

	for (i = 0; i < count; i++)
		priced = priced || order[i]->top != NULL;
	for (i = 0; i < count; i++)
		order[i]->first_rank = priced ? group_rank(order[i]) : 0;

	for (i = 0; i <= count; i++) {
		if (i == count || (i > begin && !leat_span_eq(order[i]->mill, order[begin]->mill))) {
			for (; begin < i; begin++)
				order[begin]->mill_rank = rank;
		}
		if (i < count && (i == begin || group_rank(order[i]) < rank))
			rank = group_rank(order[i]);
	}
}

/* Has it a line of its own: several episodes, or findings that stand below it or elsewhere? */
static bool
stands_alone(const struct leat_item *item)
{
	return (item->episodes > 1 && !item->lost) || item->members > 0 || item->cause != NULL || item->row->explains.len > 0;
}

/* Folds the first count of lines->order. */
static void
fold(struct leat_lines *lines, size_t count)
{
	struct leat_item **order = lines->order;
	struct leat_line *line = NULL;

	rank_mills(order, count);
	qsort(order, count, sizeof(*order), cmp_order);
	for (size_t i = 0; i < count; i++) {
		if (line == NULL || stands_alone(order[i]) || stands_alone(order[i - 1]) || cmp_cause(order[i - 1], order[i]) != 0) {
			line = &lines->line[lines->count++];
			line->first = i;
			line->rank = group_rank(order[i]);
		}
		line->count++;
	}
}

static int
make_room(struct leat_lines *lines, size_t count, struct leat_error *err)
{
	lines->order = malloc((count + 1) * sizeof(*lines->order));
	lines->line = calloc(count + 1, sizeof(*lines->line));
	if (lines->order != NULL && lines->line != NULL)
		return 0;
	leat_lines_free(lines);
	return leat_error_memory(err);
}

int
leat_fold(struct leat_lines *lines, struct leat_items *items, enum leat_section section, struct leat_error *err)
{
	size_t count = 0;

	if (make_room(lines, items->count, err) != 0)
		return -1;
	for (size_t i = 0; i < items->count; i++) {
		if (items->item[i].section == section && items->item[i].head == NULL)
			lines->order[count++] = &items->item[i];
	}
	fold(lines, count);
	return 0;
}

int
leat_fold_members(struct leat_lines *lines, struct leat_items *items, const struct leat_item *head, struct leat_error *err)
{
	size_t count = 0;

	if (make_room(lines, head->members, err) != 0)
		return -1;
	for (size_t i = 0; i < items->count && count < head->members; i++) {
		if (items->item[i].head == head)
			lines->order[count++] = &items->item[i];
	}
	fold(lines, count);
	return 0;
}

void
leat_lines_free(struct leat_lines *lines)
{
	free(lines->order);
	free(lines->line);
	*lines = (struct leat_lines){ 0 };
}

size_t
leat_lines_choose(const struct leat_lines *lines, size_t limit, bool *shown)
{
	size_t i, left = limit;
	int rank;

	for (i = 0; i < lines->count; i++)
		shown[i] = false;
	for (rank = 0; rank <= status_rank(LEAT_STATUS_OK); rank++) {
		for (i = 0; i < lines->count && left > 0; i++) {
			if (lines->line[i].rank == rank) {
				shown[i] = true;
				left--;
			}
		}
	}
	return lines->count > limit ? lines->count - limit : 0;
}
