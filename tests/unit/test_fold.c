/*
 * Flood control: episodes to items, items to lines.
 */
#include "findings.h"

#include "tell/fold.h"

#define NOW 1770	/* 05:30 on the next day */

static void
make_items(struct leat_items *items, struct leat_findings *all, const struct made *m, size_t count)
{
	struct leat_error err;

	make_findings(all, m, count);
	assert_int_equal(leat_items_make(items, all, made_time(NOW), NULL, &err), 0);
	for (size_t i = 0; i < items->count; i++)
		items->item[i].section = LEAT_SECTION_NEW;
}

static void
test_episodes(void **state)
{
	static const struct made m[] = {
		{ "NM", "pressure", "low", LEAT_STATUS_OK, "100", "101", 60, 70, NEVER, NEVER },
		{ "NM", "pressure", "low", LEAT_STATUS_ALARM, "99", "101", 1760, NEVER, NEVER, NEVER },
		{ "NM", "pressure", "low", LEAT_STATUS_OK, "93", "101", 120, 150, NEVER, NEVER },
		{ "NM", "pressure", "high", LEAT_STATUS_OK, "120", "140", NEVER, NEVER, NEVER, NEVER }
	};
	struct leat_findings all = { 0 };
	struct leat_items items = { 0 };
	const struct leat_item *item;

	(void)state;
	make_items(&items, &all, m, 4);
	assert_int_equal(items.count, 2);
	item = &items.item[0];
	unit_span(item->row->rule, "high");
	assert_false(item->open);
	assert_int_equal(item->episodes, 0);
	assert_null(item->worst);
	item = &items.item[1];
	unit_span(item->row->value, "99");
	unit_span(item->worst->value, "93");
	assert_true(item->open);
	assert_int_equal(item->episodes, 3);
	unit_close(item->total_s, (10 + 30 + 10) * 60, 0);
	assert_int_equal(leat_time_cmp(item->first, made_time(60)), 0);
	assert_int_equal(leat_time_cmp(item->since, made_time(1760)), 0);
	assert_true(leat_time_is_none(item->until));
	leat_items_free(&items);
	made_free(&all);
}

static void
test_rows_out_of_order_and_twice(void **state)
{
	static const struct made m[] = {
		{ "NM", "pressure", "low", LEAT_STATUS_OK, "93", "101", 120, 150, NEVER, NEVER },
		{ "NM", "pressure", "low", LEAT_STATUS_OK, "93", "101", 120, 150, NEVER, NEVER },
		{ "NM", "pressure", "low", LEAT_STATUS_OK, "100", "101", 60, 70, NEVER, NEVER }
	};
	struct leat_findings all = { 0 };
	struct leat_items items = { 0 };

	(void)state;
	make_items(&items, &all, m, 3);
	assert_int_equal(items.count, 1);
	assert_int_equal(items.item[0].episodes, 2);
	assert_int_equal(leat_time_cmp(items.item[0].until, made_time(150)), 0);
	leat_items_free(&items);
	made_free(&all);
}

static void
test_later_than_now(void **state)
{
	static const struct made m[] = {
		{ "NM", "pressure", "low", LEAT_STATUS_ALARM, "93", "101", NOW + 1, NEVER, NEVER, NEVER },
		{ "NM", "level", "low", LEAT_STATUS_ALARM, "93", "101", 60, NEVER, NEVER, NOW },
		{ "NM", "vibration", "low", LEAT_STATUS_ALARM, "93", "101", 60, NEVER, NEVER, NOW + 1 }
	};
	struct leat_findings all = { 0 };
	struct leat_items items = { 0 };

	(void)state;
	make_items(&items, &all, m, 3);
	assert_int_equal(items.count, 2);
	assert_int_equal(items.later, 1);
	assert_false(items.item[0].shelved);
	assert_true(items.item[1].shelved);
	leat_items_free(&items);
	made_free(&all);
}

/* Two judges of one rule: the graver rules. */
static void
test_two_open(void **state)
{
	static const struct made m[] = {
		{ "NM", "pressure", "low", LEAT_STATUS_ALARM, "93", "101", 60, NEVER, NEVER, NEVER },
		{ "NM", "pressure", "low", LEAT_STATUS_ALERT, "104", "106", 90, NEVER, NEVER, NEVER }
	};
	struct leat_findings all = { 0 };
	struct leat_items items = { 0 };

	(void)state;
	make_items(&items, &all, m, 2);
	assert_int_equal(items.count, 1);
	assert_int_equal(items.item[0].row->status, LEAT_STATUS_ALARM);
	assert_int_equal(leat_item_rank(&items.item[0]), 0);
	leat_items_free(&items);
	made_free(&all);
}

static void
test_lines(void **state)
{
	static const struct made m[] = {
		/* One cause: equal mill, rule, status and minute. */
		{ "NM/accu-2", "gas-pressure", "gas-loss", LEAT_STATUS_ALERT, "60", "63", 600, NEVER, NEVER, NEVER },
		{ "NM/accu-1", "gas-pressure", "gas-loss", LEAT_STATUS_ALERT, "60", "63", 600, NEVER, NEVER, NEVER },
		/* Another minute, another rule, another mill, another status. */
		{ "NM/accu-3", "gas-pressure", "gas-loss", LEAT_STATUS_ALERT, "60", "63", 601, NEVER, NEVER, NEVER },
		{ "NM/accu-1", "gas-pressure", "gas-rate", LEAT_STATUS_ALERT, "60", "63", 600, NEVER, NEVER, NEVER },
		{ "AM/accu-1", "gas-pressure", "gas-loss", LEAT_STATUS_ALERT, "60", "63", 600, NEVER, NEVER, NEVER },
		{ "NM/accu-4", "gas-pressure", "gas-loss", LEAT_STATUS_ALARM, "60", "63", 600, NEVER, NEVER, NEVER },
		/* Twice: never folded with others. */
		{ "NM/accu-5", "gas-pressure", "gas-loss", LEAT_STATUS_ALERT, "60", "63", 600, NEVER, NEVER, NEVER },
		{ "NM/accu-5", "gas-pressure", "gas-loss", LEAT_STATUS_OK, "60", "63", 10, 20, NEVER, NEVER }
	};
	static const struct {
		const char *asset;
		size_t count;
	} expected[] = {
		{ "NM/accu-4", 1 }, { "NM/accu-1", 2 }, { "NM/accu-5", 1 }, { "NM/accu-1", 1 }, { "NM/accu-3", 1 }, { "AM/accu-1", 1 }
	};
	struct leat_findings all = { 0 };
	struct leat_items items = { 0 };
	struct leat_lines lines = { 0 };
	struct leat_error err;
	bool shown[6];

	(void)state;
	make_items(&items, &all, m, sizeof(m) / sizeof(m[0]));
	assert_int_equal(leat_fold(&lines, &items, LEAT_SECTION_NEW, &err), 0);
	assert_int_equal(lines.count, 6);
	for (size_t i = 0; i < lines.count; i++) {
		unit_span(lines.order[lines.line[i].first]->row->asset, expected[i].asset);
		assert_int_equal(lines.line[i].count, expected[i].count);
	}
	assert_int_equal(leat_lines_choose(&lines, 2, shown), 4);
	for (size_t i = 0; i < lines.count; i++)
		assert_int_equal(shown[i], i < 2);
	assert_int_equal(leat_lines_choose(&lines, 6, shown), 0);
	leat_lines_free(&lines);
	assert_int_equal(leat_fold(&lines, &items, LEAT_SECTION_STILL, &err), 0);
	assert_int_equal(lines.count, 0);
	leat_lines_free(&lines);
	leat_items_free(&items);
	made_free(&all);
}

/* What is lost with the data of its mill is one line, whatever the rules and the minutes; other mills have their own. */
static void
test_lost(void **state)
{
	static const struct made m[] = {
		{ "NM", "pressure", "low", LEAT_STATUS_UNKNOWN, "", "", 600, NEVER, NEVER, NEVER },
		{ "NM", "level", "slow", LEAT_STATUS_UNKNOWN, "", "", 610, NEVER, NEVER, NEVER },
		{ "NM/filter", "filter-dp", "clogged", LEAT_STATUS_UNKNOWN, "", "", 605, NEVER, NEVER, NEVER },
		{ "NM", "vibration", "shaking", LEAT_STATUS_UNKNOWN, "", "", 100, NEVER, NEVER, NEVER },
		{ "MM", "pressure", "low", LEAT_STATUS_UNKNOWN, "", "", 600, NEVER, NEVER, NEVER }
	};
	struct leat_findings all = { 0 };
	struct leat_items items = { 0 };
	struct leat_lines lines = { 0 };
	struct leat_error err;

	(void)state;
	make_items(&items, &all, m, sizeof(m) / sizeof(m[0]));
	for (size_t i = 0; i < items.count; i++)
		items.item[i].lost = !leat_span_is(items.item[i].row->point, "vibration");
	assert_int_equal(leat_fold(&lines, &items, LEAT_SECTION_NEW, &err), 0);
	assert_int_equal(lines.count, 3);
	unit_span(lines.order[0]->mill, "MM");
	assert_int_equal(lines.line[1].count, 3);
	unit_span(lines.order[lines.line[2].first]->row->point, "vibration");
	leat_lines_free(&lines);
	leat_items_free(&items);
	made_free(&all);
}

/* What cannot be told since one minute is one line whatever the rules; an alert keeps to its rule. */
static void
test_untold(void **state)
{
	static const struct made m[] = {
		{ "NM", "pressure", "frozen-pressure", LEAT_STATUS_UNKNOWN, "", "", 60, NEVER, NEVER, NEVER },
		{ "NM", "pressure", "low", LEAT_STATUS_UNKNOWN, "", "", 60, NEVER, NEVER, NEVER },
		{ "NM", "pressure", "other", LEAT_STATUS_UNKNOWN, "", "", 61, NEVER, NEVER, NEVER },
		{ "NM", "pressure", "p", LEAT_STATUS_ALERT, "1", "2", 60, NEVER, NEVER, NEVER },
		{ "NM", "pressure", "q", LEAT_STATUS_ALERT, "1", "2", 60, NEVER, NEVER, NEVER },
		{ "NM", "-", "source-cut", LEAT_STATUS_UNKNOWN, "", "", 60, NEVER, NEVER, NEVER },
		{ "NM", "-", "source-failed", LEAT_STATUS_UNKNOWN, "", "", 60, NEVER, NEVER, NEVER },
		{ "NM", "level", "x", LEAT_STATUS_OK, "", "", NEVER, NEVER, NEVER, NEVER },
		{ "NM", "level", "y", LEAT_STATUS_OK, "", "", NEVER, NEVER, NEVER, NEVER }
	};
	struct leat_findings all = { 0 };
	struct leat_items items = { 0 };
	struct leat_lines lines = { 0 };
	struct leat_error err;

	(void)state;
	make_items(&items, &all, m, 9);
	assert_int_equal(leat_fold(&lines, &items, LEAT_SECTION_NEW, &err), 0);
	assert_int_equal(lines.count, 7);
	for (size_t i = 0; i < lines.count; i++) {
		const struct leat_item *item = lines.order[lines.line[i].first];
		bool folds = leat_span_is(item->row->rule, "frozen-pressure") || leat_span_is(item->row->rule, "x");

		assert_int_equal(lines.line[i].count, folds ? 2 : 1);
	}
	leat_lines_free(&lines);
	leat_items_free(&items);
	made_free(&all);
}

/* An episode that ended before the window has been told. */
static void
test_ended_before(void **state)
{
	static const struct made m[] = {
		{ "NM", "pressure", "low", LEAT_STATUS_ALARM, "93", "101", 10, 99, NEVER, NEVER },
		{ "NM", "pressure", "low", LEAT_STATUS_ALARM, "95", "101", 50, 100, NEVER, NEVER },
		{ "NM", "level", "low", LEAT_STATUS_ALARM, "95", "101", 50, NEVER, NEVER, NEVER }
	};
	struct leat_findings all = { 0 };
	struct leat_items items = { 0 };
	struct leat_error err;

	(void)state;
	make_findings(&all, m, 3);
	assert_int_equal(leat_items_make(&items, &all, made_time(NOW), &(struct leat_window){ .since = made_time(100) }, &err), 0);
	assert_int_equal(items.count, 2);
	assert_int_equal(items.item[1].episodes, 1);
	unit_span(items.item[1].worst->value, "95");
	assert_true(items.item[1].found && !items.item[1].open);
	leat_items_free(&items);
	made_free(&all);
}

/* What the earlier night has not seen end is told though it ended long ago; what it has, is not, though it ended late. */
static void
test_ended_unseen(void **state)
{
	static const struct made before[] = {
		{ "NM", "pressure", "low", LEAT_STATUS_ALARM, "93", "101", 10, 99, NEVER, NEVER },
		{ "NM", "pressure", "low", LEAT_STATUS_ALARM, "93", "101", 200, NEVER, NEVER, NEVER },
		{ "NM", "vibration", "high", LEAT_STATUS_OK, "3", "6", NEVER, NEVER, NEVER, NEVER }
	};
	static const struct made m[] = {
		{ "NM", "level", "low", LEAT_STATUS_ALARM, "95", "101", 50, 299, NEVER, NEVER },
		{ "NM", "level", "low", LEAT_STATUS_ALARM, "95", "101", 300, 310, NEVER, NEVER },
		{ "NM", "pressure", "low", LEAT_STATUS_ALARM, "93", "101", 10, 99, NEVER, NEVER },
		{ "NM", "pressure", "low", LEAT_STATUS_ALARM, "94", "101", 200, 210, NEVER, NEVER },
		{ "NM", "vibration", "high", LEAT_STATUS_ALERT, "7", "6", 20, 30, NEVER, NEVER }
	};
	struct leat_findings one = { 0 }, two = { 0 };
	struct leat_items earlier = { 0 }, items = { 0 };
	struct leat_window window = { .since = made_time(1000), .earlier = &earlier, .unknown_since = made_time(300) };
	struct leat_error err;

	(void)state;
	make_findings(&one, before, 3);
	make_findings(&two, m, 5);
	assert_int_equal(leat_items_make(&earlier, &one, made_time(NOW), NULL, &err), 0);
	assert_int_equal(leat_time_cmp(earlier.item[0].ended, made_time(99)), 0);
	assert_int_equal(leat_items_make(&items, &two, made_time(NOW), &window, &err), 0);
	assert_int_equal(items.count, 3);
	for (size_t i = 0; i < 3; i++)
		assert_int_equal(items.item[i].episodes, 1);
	assert_int_equal(leat_time_cmp(items.item[0].until, made_time(310)), 0);
	assert_int_equal(leat_time_cmp(items.item[1].until, made_time(210)), 0);
	assert_int_equal(leat_time_cmp(items.item[2].until, made_time(30)), 0);
	/* In the window, and told: a run that is repeated on the same day says it once. */
	window.since = made_time(0);
	leat_items_free(&items);
	assert_int_equal(leat_items_make(&items, &two, made_time(NOW), &window, &err), 0);
	assert_int_equal(items.item[1].episodes, 1);
	leat_items_free(&items);
	leat_items_free(&earlier);
	made_free(&one);
	made_free(&two);
}

/* The gravest lines are shown wherever they stand. */
static void
test_choose(void **state)
{
	struct leat_line line[] = { { 0, 1, 1 }, { 1, 1, 3 }, { 2, 1, 0 }, { 3, 1, 2 }, { 4, 1, 0 } };
	struct leat_lines lines = { NULL, line, 5 };
	bool shown[5];

	(void)state;
	assert_int_equal(leat_lines_choose(&lines, 3, shown), 2);
	assert_true(shown[0] && !shown[1] && shown[2] && !shown[3] && shown[4]);
	assert_int_equal(leat_lines_choose(&lines, 0, shown), 5);
	assert_false(shown[0] || shown[2] || shown[4]);
}

/* A thousand items of one cause are one line; a thousand causes are a thousand lines, in linear memory. */
static void
test_flood(void **state)
{
	static char name[1000][24];
	static struct made m[2000];
	struct leat_findings all = { 0 };
	struct leat_items items = { 0 };
	struct leat_lines lines = { 0 };
	struct leat_error err;

	(void)state;
	for (int i = 0; i < 1000; i++) {
		snprintf(name[i], sizeof(name[i]), "NM/part-%d", i);
		m[i] = (struct made){ name[i], "level", "stale", LEAT_STATUS_UNKNOWN, "", "", 60, NEVER, NEVER, NEVER };
		m[1000 + i] = (struct made){ name[i], "level", "low", LEAT_STATUS_ALERT, "1", "2", i, NEVER, NEVER, NEVER };
	}
	make_items(&items, &all, m, 2000);
	assert_int_equal(items.count, 2000);
	assert_int_equal(leat_fold(&lines, &items, LEAT_SECTION_NEW, &err), 0);
	assert_int_equal(lines.count, 1001);
	leat_lines_free(&lines);
	leat_items_free(&items);
	made_free(&all);
}

static void
test_nothing(void **state)
{
	struct leat_findings all = { 0 };
	struct leat_items items = { 0 };
	struct leat_lines lines = { 0 };
	struct leat_item like = { 0 };
	struct leat_error err;

	(void)state;
	make_items(&items, &all, NULL, 0);
	assert_int_equal(items.count, 0);
	assert_null(leat_items_find(&items, &like));
	assert_int_equal(leat_fold(&lines, &items, LEAT_SECTION_NEW, &err), 0);
	assert_int_equal(lines.count, 0);
	leat_lines_free(&lines);
	leat_items_free(&items);
	made_free(&all);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_episodes), cmocka_unit_test(test_rows_out_of_order_and_twice),
		cmocka_unit_test(test_later_than_now), cmocka_unit_test(test_two_open), cmocka_unit_test(test_lines),
		cmocka_unit_test(test_lost), cmocka_unit_test(test_untold),
		cmocka_unit_test(test_ended_before), cmocka_unit_test(test_ended_unseen),
		cmocka_unit_test(test_choose), cmocka_unit_test(test_flood), cmocka_unit_test(test_nothing)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
