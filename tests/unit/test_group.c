/*
 * Cause and cost: what stands below what, and what comes first.
 */
#include "findings_night.h"
#include "random.h"

#include "tell/group.h"

#define MANY 24u

/* Items of the findings under one section. */
static void
make_items(struct leat_items *items, const struct leat_findings *all, enum leat_section section)
{
	struct leat_error err;

	assert_int_equal(leat_items_make(items, all, cal.now, NULL, &err), 0);
	for (size_t i = 0; i < items->count; i++)
		items->item[i].section = section;
}

static struct leat_item *
item_of(struct leat_items *items, const char *rule)
{
	for (size_t i = 0; i < items->count; i++) {
		if (leat_span_is(items->item[i].row->rule, rule))
			return &items->item[i];
	}
	fail_msg("no item of rule %s", rule);
	return NULL;
}

static void
group(struct leat_items *items)
{
	struct leat_error err;

	assert_int_equal(leat_group(items, &err), 0);
}

#define ROW(asset, point, rule, status) { asset, point, rule, status, "2", "1", 60, NEVER, NEVER, NEVER }

static const struct made pump[] = {
	ROW("NM/pump-a", "", "likely-wear", LEAT_STATUS_ALERT), ROW("NM/pump-a", "drain-flow", "pump-wear", LEAT_STATUS_ALARM),
	ROW("NM", "copper", "copper", LEAT_STATUS_ALERT), ROW("NM", "level", "low", LEAT_STATUS_ALERT),
	ROW("NM", "pressure", "cost-of-waiting", LEAT_STATUS_OK)
};

static void
test_identities(void **state)
{
	struct leat_span rest = LEAT_SPAN("NM/a b copper high; NM - likely-x;;x;MM level low ");
	struct leat_finding f = { 0 };

	(void)state;
	assert_true(leat_explained_next(&rest, &f));
	unit_span(f.asset, "NM/a b");
	unit_span(f.point, "copper");
	unit_span(f.rule, "high");
	assert_true(leat_explained_next(&rest, &f));
	unit_span(f.point, "-");
	assert_true(leat_explained_next(&rest, &f));
	unit_span(f.asset, "MM");
	unit_span(f.rule, "low");
	assert_false(leat_explained_next(&rest, &f));
}

static void
test_explained_moves(void **state)
{
	struct leat_findings all = { 0 };
	struct leat_items items = { 0 };
	const struct leat_item *head;

	(void)state;
	make_findings(&all, pump, 5);
	all.item[0].explains = LEAT_SPAN("NM/pump-a drain-flow pump-wear;NM copper copper;NM absent absent");
	make_items(&items, &all, LEAT_SECTION_STILL);
	item_of(&items, "cost-of-waiting")->section = LEAT_SECTION_NONE;
	group(&items);
	head = item_of(&items, "likely-wear");
	assert_int_equal(head->members, 2);
	assert_int_equal(head->gravest, 0);
	assert_ptr_equal(item_of(&items, "pump-wear")->head, head);
	assert_ptr_equal(item_of(&items, "copper")->head, head);
	assert_null(item_of(&items, "low")->head);
	leat_items_free(&items);
	made_free(&all);
}

/* News stays news, what is overdue stays where it is, and both lead to their cause. */
static void
test_news_stays(void **state)
{
	struct leat_findings all = { 0 };
	struct leat_items items = { 0 };
	const struct leat_item *head;

	(void)state;
	make_findings(&all, pump, 4);
	all.item[0].explains = LEAT_SPAN("NM/pump-a drain-flow pump-wear;NM copper copper;NM level low");
	make_items(&items, &all, LEAT_SECTION_STILL);
	item_of(&items, "copper")->section = LEAT_SECTION_NEW;
	item_of(&items, "low")->section = LEAT_SECTION_OVERDUE;
	group(&items);
	head = item_of(&items, "likely-wear");
	assert_int_equal(head->members, 1);
	assert_null(item_of(&items, "copper")->head);
	assert_ptr_equal(item_of(&items, "copper")->cause, head);
	assert_null(item_of(&items, "low")->head);
	assert_ptr_equal(item_of(&items, "low")->cause, head);
	leat_items_free(&items);
	made_free(&all);
}

/* A diagnosis that is not listed comes out with what it explains; alone it stays where it is. */
static void
test_unlisted_diagnosis(void **state)
{
	for (int listed = 0; listed < 2; listed++) {
		struct leat_findings all = { 0 };
		struct leat_items items = { 0 };

		(void)state;
		make_findings(&all, pump, 2);
		all.item[0].explains = LEAT_SPAN("NM/pump-a drain-flow pump-wear");
		make_items(&items, &all, LEAT_SECTION_STANDING);
		if (listed)
			item_of(&items, "pump-wear")->section = LEAT_SECTION_STILL;
		group(&items);
		assert_int_equal(item_of(&items, "likely-wear")->section, listed ? LEAT_SECTION_STILL : LEAT_SECTION_STANDING);
		assert_int_equal(item_of(&items, "likely-wear")->members, listed);
		leat_items_free(&items);
		made_free(&all);
	}
}

static void
test_cost(void **state)
{
	struct leat_findings all = { 0 };
	struct leat_items items = { 0 };

	(void)state;
	make_findings(&all, pump, 5);
	all.item[0].explains = LEAT_SPAN("NM/pump-a drain-flow pump-wear");
	all.item[4].explains = LEAT_SPAN("NM/pump-a drain-flow pump-wear;NM level low");
	all.item[4].since = LEAT_TIME_NONE;
	all.item[4].per_day_low = LEAT_SPAN("3");
	all.item[4].per_day_high = LEAT_SPAN("5");
	all.item[4].per_day_unit = LEAT_SPAN("t/d");
	make_items(&items, &all, LEAT_SECTION_STILL);
	item_of(&items, "cost-of-waiting")->section = LEAT_SECTION_NONE;
	group(&items);
	assert_ptr_equal(item_of(&items, "pump-wear")->cost, &all.item[4]);
	assert_ptr_equal(item_of(&items, "low")->cost, &all.item[4]);
	assert_null(item_of(&items, "copper")->cost);
	/* The diagnosis has none of its own, and comes with that of what it explains. */
	assert_null(item_of(&items, "likely-wear")->cost);
	assert_ptr_equal(item_of(&items, "likely-wear")->top, &all.item[4]);
	/* What says the cost and is in order itself is listed nowhere. */
	assert_null(item_of(&items, "cost-of-waiting")->head);
	unit_span(leat_finding_cost_unit(&all.item[4]), "t");
	leat_items_free(&items);
	made_free(&all);
}

static struct leat_finding
cost_of(const char *low, const char *high, const char *unit)
{
	return (struct leat_finding){ .per_day_low = leat_span_of(low), .per_day_high = leat_span_of(high),
		.per_day_unit = leat_span_of(unit) };
}

static void
test_cost_order(void **state)
{
	const struct leat_finding rising[] = {
		cost_of("5", "9", "EUR/d"), cost_of("1", "9", "EUR/d"), cost_of("8", "8", "EUR/d"), cost_of("", "0.5", "EUR/d"),
		cost_of("900", "", "kWh/d"), cost_of("0", "2", "t/d"), cost_of("0", "0", "t/d")
	};
	static const char *const none[][3] = {
		{ "", "", "t/d" }, { "1", "2", "" }, { "x", "y", "t" }, { "3", "2", "t" }, { "-1", "2", "t" }, { "0", "0", "t" }
	};

	(void)state;
	for (size_t i = 0; i + 1 < sizeof(rising) / sizeof(rising[0]); i++) {
		assert_true(leat_cost_cmp(&rising[i], &rising[i + 1]) < 0);
		assert_true(leat_cost_cmp(&rising[i + 1], &rising[i]) > 0);
	}
	for (size_t i = 0; i < sizeof(none) / sizeof(none[0]); i++) {
		struct leat_finding f = cost_of(none[i][0], none[i][1], none[i][2]);
		double low, high;

		assert_false(leat_finding_cost(&f, &low, &high));
		assert_int_equal(leat_cost_cmp(&f, NULL), 0);
	}
}

/* Alarms before alerts whatever the mill, then by cost; without a cost the mills stay together. */
static void
test_line_order(void **state)
{
	static const struct made m[] = {
		{ "MM", "pressure", "a", LEAT_STATUS_ALARM, "2", "1", 10, NEVER, NEVER, NEVER },
		{ "MM", "level", "b", LEAT_STATUS_ALERT, "2", "1", 20, NEVER, NEVER, NEVER },
		{ "NM", "pressure", "c", LEAT_STATUS_ALARM, "2", "1", 30, NEVER, NEVER, NEVER },
		{ "NM", "level", "d", LEAT_STATUS_ALERT, "2", "1", 40, NEVER, NEVER, NEVER }
	};
	static const char *const order[2] = { "abcd", "cadb" };
	const struct leat_finding cheap = cost_of("1", "2", "t"), dear = cost_of("1", "3", "t");

	(void)state;
	for (int priced = 0; priced < 2; priced++) {
		struct leat_findings all = { 0 };
		struct leat_items items = { 0 };
		struct leat_lines lines = { 0 };
		struct leat_error err;

		make_findings(&all, m, 4);
		make_items(&items, &all, LEAT_SECTION_NEW);
		item_of(&items, "c")->top = priced ? &cheap : NULL;
		item_of(&items, "d")->top = priced ? &dear : NULL;
		assert_int_equal(leat_fold(&lines, &items, LEAT_SECTION_NEW, &err), 0);
		assert_int_equal(lines.count, 4);
		for (size_t i = 0; i < 4; i++)
			assert_int_equal(lines.order[lines.line[i].first]->row->rule.ptr[0], order[priced][i]);
		leat_lines_free(&lines);
		leat_items_free(&items);
		made_free(&all);
	}
}

/* Whatever explains whatever, itself and in rings too: every item is listed once, below one that is listed itself, and the
 * counts agree. */
static void
test_random(void **state)
{
	static const enum leat_section sections[] = { LEAT_SECTION_NEW, LEAT_SECTION_WORSE, LEAT_SECTION_STILL, LEAT_SECTION_UNKNOWN,
		LEAT_SECTION_OVERDUE, LEAT_SECTION_DATA, LEAT_SECTION_STANDING };
	static char name[MANY][8], explains[MANY][600];
	uint64_t seed = 11;

	(void)state;
	for (int round = 0; round < 2000; round++) {
		struct leat_findings all = { 0 };
		struct leat_items items = { 0 };
		struct made m[MANY];
		size_t below = 0, members = 0;

		for (unsigned i = 0; i < MANY; i++) {
			snprintf(name[i], sizeof(name[i]), "r%u", i);
			m[i] = (struct made)ROW("NM", "level", name[i], (enum leat_status)(1 + random_below(&seed, 3)));
		}
		make_findings(&all, m, MANY);
		for (unsigned i = 0; i < MANY; i++) {
			explains[i][0] = '\0';
			for (unsigned n = random_below(&seed, 3) == 0 ? random_below(&seed, 8) : 0; n > 0; n--)
				snprintf(explains[i] + strlen(explains[i]), sizeof(explains[i]) - strlen(explains[i]), "NM level r%u;",
				    random_below(&seed, MANY));
			all.item[i].explains = leat_span_of(explains[i]);
			if (random_below(&seed, 5) == 0) {
				all.item[i].per_day_high = LEAT_SPAN("7");
				all.item[i].per_day_unit = LEAT_SPAN("t/d");
			}
		}
		make_items(&items, &all, LEAT_SECTION_STILL);
		for (size_t i = 0; i < items.count; i++)
			items.item[i].section = sections[random_below(&seed, 7)];
		group(&items);
		for (size_t i = 0; i < items.count; i++) {
			const struct leat_item *item = &items.item[i];

			members += item->members;
			below += item->head != NULL;
			if (item->head == NULL)
				continue;
			assert_int_equal(item->members, 0);
			assert_null(item->head->head);
			assert_int_not_equal(item->section, LEAT_SECTION_OVERDUE);
			assert_int_not_equal(item->head->section, LEAT_SECTION_STANDING);
			assert_true(item->head->gravest <= leat_item_rank(item));
			if (item->section == LEAT_SECTION_NEW)
				assert_int_equal(item->head->section, LEAT_SECTION_NEW);
		}
		assert_int_equal(below, members);
		leat_items_free(&items);
		made_free(&all);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_identities), cmocka_unit_test(test_explained_moves), cmocka_unit_test(test_news_stays),
		cmocka_unit_test(test_unlisted_diagnosis), cmocka_unit_test(test_cost), cmocka_unit_test(test_cost_order),
		cmocka_unit_test(test_line_order), cmocka_unit_test(test_random)
	};

	return cmocka_run_group_tests(tests, setup, teardown);
}
