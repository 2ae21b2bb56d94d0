/*
 * Cause and cost.
 */
#include "tell/group.h"

#include <stdlib.h>

#include "base/number.h"

/* One finding names another. */
struct link {
	struct leat_item *from, *to;
};

/* All links, by who names. */
struct links {
	struct link *item;
	size_t count, cap;
};

static struct leat_span
cut_last_word(struct leat_span *text)
{
	struct leat_span word;
	size_t at = text->len;

	while (at > 0 && text->ptr[at - 1] != ' ')
		at--;
	word = leat_span_make(text->ptr + at, text->len - at);
	*text = leat_span_trim(leat_span_make(text->ptr, at));
	return word;
}

bool
leat_explained_next(struct leat_span *rest, struct leat_finding *identity)
{
	struct leat_span one;

	while (leat_span_next(rest, ';', &one)) {
		one = leat_span_trim(one);
		identity->rule = cut_last_word(&one);
		identity->point = cut_last_word(&one);
		identity->asset = one;
		if (identity->point.len > 0 && identity->asset.len > 0)
			return true;
	}
	return false;
}

bool
leat_finding_cost(const struct leat_finding *f, double *low, double *high)
{
	bool has_low, has_high;

	if (f == NULL || f->per_day_unit.len == 0)
		return false;
	has_low = leat_double_parse(f->per_day_low, low) == 0;
	has_high = leat_double_parse(f->per_day_high, high) == 0;
	if (!has_low && !has_high)
		return false;
	if (!has_low)
		*low = *high;
	if (!has_high)
		*high = *low;
	/* What costs nothing is no reason to come first. */
	return *low >= 0 && *high >= *low && *high > 0;
}

struct leat_span
leat_finding_cost_unit(const struct leat_finding *f)
{
	struct leat_span unit = f->per_day_unit;

	if (leat_span_ends(unit, "/d"))
		unit.len -= 2;
	return unit;
}

int
leat_cost_cmp(const struct leat_finding *a, const struct leat_finding *b)
{
	double low_a, low_b, high_a, high_b;
	bool has_a = leat_finding_cost(a, &low_a, &high_a), has_b = leat_finding_cost(b, &low_b, &high_b);
	int d;

	if (!has_a || !has_b)
		return has_b - has_a;
	d = leat_span_cmp(a->per_day_unit, b->per_day_unit);
	if (d == 0)
		d = (high_a < high_b) - (high_a > high_b);
	return d != 0 ? d : (low_a < low_b) - (low_a > low_b);
}

static bool
is_price(const struct leat_item *item)
{
	double low, high;

	return leat_finding_cost(item->row, &low, &high);
}

static bool
takes_part(const struct leat_item *item)
{
	return item->open && !item->shelved;
}

/* What prices may be in order itself. */
static bool
may_name(const struct leat_item *item)
{
	return item->row->explains.len > 0 &&
	    (takes_part(item) || (item->row->status == LEAT_STATUS_OK && item->episodes == 0 && is_price(item)));
}

/* A ';' within a name stands in the list as %3B. */
static int
decode(struct leat_buf *buf, struct leat_span name, struct leat_span *plain)
{
	size_t begin = buf->len;

	for (size_t i = 0; i < name.len; i++) {
		bool coded = leat_span_starts(leat_span_make(name.ptr + i, name.len - i), "%3B");

		if (leat_buf_add(buf, coded ? ";" : name.ptr + i, 1) != 0)
			return -1;
		i += coded ? 2 : 0;
	}
	*plain = leat_span_make(buf->data + begin, buf->len - begin);
	return 0;
}

/* The item of an identity; an empty asset or point may stand there as '-'. */
static struct leat_item *
find(const struct leat_items *items, struct leat_finding identity)
{
	const struct leat_span none = { "", 0 };
	const struct leat_span asset = identity.asset, point = identity.point;
	const struct leat_item *found = NULL;

	for (int i = 0; i < 4 && found == NULL; i++) {
		if (((i & 1) && !leat_span_is(point, "-")) || ((i & 2) && !leat_span_is(asset, "-")))
			continue;
		identity.point = (i & 1) ? none : point;
		identity.asset = (i & 2) ? none : asset;
		found = leat_items_find(items, &(struct leat_item){ .row = &identity });
	}
	return found == NULL ? NULL : &items->item[found - items->item];
}

/* Links what an item names. */
static int
link_all_of(struct links *links, struct leat_items *items, struct leat_item *from, struct leat_buf *names)
{
	struct leat_span rest = from->row->explains;
	struct leat_finding identity = { 0 };

	/* Enough for all three, so that none moves. */
	if (leat_buf_reserve(names, rest.len + 1) != 0)
		return -1;
	while (leat_explained_next(&rest, &identity)) {
		struct leat_item *to;

		leat_buf_reset(names);
		if (decode(names, identity.asset, &identity.asset) != 0 || decode(names, identity.point, &identity.point) != 0 ||
		    decode(names, identity.rule, &identity.rule) != 0)
			return -1;
		to = find(items, identity);
		if (to == NULL || to == from || !takes_part(to))
			continue;
		if (leat_grow(&links->item, &links->cap, links->count + 1, sizeof(*links->item)) != 0)
			return -1;
		links->item[links->count++] = (struct link){ from, to };
	}
	return 0;
}

static int
make_links(struct links *links, struct leat_items *items)
{
	struct leat_buf names = { 0 };
	int result = 0;

	for (size_t i = 0; i < items->count && result == 0; i++) {
		if (may_name(&items->item[i]))
			result = link_all_of(links, items, &items->item[i], &names);
	}
	leat_buf_free(&names);
	return result;
}

static void
lay_costs(const struct links *links)
{
	for (size_t i = 0; i < links->count; i++) {
		const struct link *link = &links->item[i];

		if (is_price(link->from) && leat_cost_cmp(link->from->row, link->to->cost) < 0)
			link->to->cost = link->from->row;
	}
}

/* How much a section is news; -1 where it is not to be moved. */
static int
staleness(enum leat_section section)
{
	switch (section) {
	case LEAT_SECTION_NEW:
		return 0;
	case LEAT_SECTION_WORSE:
		return 1;
	case LEAT_SECTION_STILL:
	case LEAT_SECTION_OVERDUE:
		return 2;
	case LEAT_SECTION_UNKNOWN:
	case LEAT_SECTION_DATA:
		return 3;
	case LEAT_SECTION_STANDING:
		return 4;
	default:
		return -1;
	}
}

/* May item stand below head? */
static bool
may_move(const struct leat_item *item, const struct leat_item *head)
{
	return item != head && item->head == NULL && item->members == 0 && item->section != LEAT_SECTION_OVERDUE &&
	    staleness(item->section) >= staleness(head->section);
}

static void
move(struct leat_item *item, struct leat_item *head)
{
	int rank = leat_item_rank(item);

	if (head->members++ == 0)
		head->gravest = leat_item_rank(head);
	if (rank < head->gravest)
		head->gravest = rank;
	if (leat_cost_cmp(item->cost, head->top) < 0)
		head->top = item->cost;
	item->head = head;
}

/* A diagnosis comes before others by section, then status, then name, which is the order of the items. */
static int
cmp_links(const void *pa, const void *pb)
{
	const struct link *a = pa, *b = pb;
	int d = is_price(a->from) - is_price(b->from);

	if (d == 0)
		d = staleness(a->from->section) - staleness(b->from->section);
	if (d == 0)
		d = leat_item_rank(a->from) - leat_item_rank(b->from);
	if (d == 0 && a->from != b->from)
		d = a->from < b->from ? -1 : 1;
	return d != 0 ? d : (a->to > b->to) - (a->to < b->to);
}

/* What stands unlisted comes out where something that it explains is listed: nobody is to read a sign without its cause. */
static void
wake(const struct links *links)
{
	for (size_t i = 0; i < links->count; i++) {
		const struct link *link = &links->item[i];

		if (!is_price(link->from) && link->from->section == LEAT_SECTION_STANDING &&
		    link->to->section != LEAT_SECTION_STANDING && staleness(link->to->section) >= 0)
			link->from->section = LEAT_SECTION_STILL;
	}
}

/* Moves all that is explained below its diagnosis, and what that explains in its turn too. */
static void
move_explained(const struct links *links)
{
	bool moved = true;

	for (size_t i = 0; i < links->count; i++) {
		const struct link *link = &links->item[i];

		if (is_price(link->from) || link->from->head != NULL || link->from->section == LEAT_SECTION_STANDING ||
		    staleness(link->from->section) < 0)
			continue;
		if (may_move(link->to, link->from))
			move(link->to, link->from);
		else if (link->to->head == NULL && link->to->cause == NULL)
			link->to->cause = link->from;
	}
	while (moved) {
		moved = false;
		for (size_t i = 0; i < links->count; i++) {
			const struct link *link = &links->item[i];
			struct leat_item *head = link->from->head;

			if (is_price(link->from) || head == NULL || !may_move(link->to, head))
				continue;
			move(link->to, head);
			moved = true;
		}
	}
}

/* Moves what prices below the first that it names and that is listed. */
static void
move_prices(const struct links *links)
{
	for (size_t i = 0; i < links->count; i++) {
		const struct link *link = &links->item[i];
		struct leat_item *head = link->to->head != NULL ? link->to->head : link->to;

		if (is_price(link->from) && takes_part(link->from) && head->section != LEAT_SECTION_STANDING &&
		    staleness(head->section) >= 0 && may_move(link->from, head))
			move(link->from, head);
	}
}

int
leat_group(struct leat_items *items, struct leat_error *err)
{
	struct links links = { 0 };
	int result = make_links(&links, items);

	if (result == 0 && links.count > 0) {
		lay_costs(&links);
		wake(&links);
		qsort(links.item, links.count, sizeof(*links.item), cmp_links);
		for (size_t i = 0; i < items->count; i++)
			items->item[i].top = items->item[i].cost;
		move_explained(&links);
		move_prices(&links);
	}
	free(links.item);
	return result == 0 ? 0 : leat_error_memory(err);
}
