/*
 * Tonight's findings against those of an earlier night.
 */
#include "findings_night.h"

/* A case: one identity, before and tonight.  ABSENT stands for no row. */
enum kind { ABSENT, GOOD, ENDED, ENDED_LATE, ALERT, ALARM, WORSE, TELL, TELL_OLD, SHELVED, SHELF_ENDS, DUE };

static struct made
row_of(enum kind kind, bool data)
{
	struct made m = { "NM", "pressure", data ? "stale" : "high", LEAT_STATUS_ALERT, "110", "100", 60, NEVER, NEVER, NEVER };

	switch (kind) {
	case ABSENT:
		break;
	case GOOD:
		m.status = LEAT_STATUS_OK;
		m.since = NEVER;
		break;
	case ENDED:
		m.status = LEAT_STATUS_OK;
		m.until = 90;
		break;
	case ENDED_LATE:
		m.status = LEAT_STATUS_OK;
		m.since = 1600;
		m.until = 1700;
		break;
	case ALERT:
		break;
	case ALARM:
		m.status = LEAT_STATUS_ALARM;
		break;
	case WORSE:
		m.value = "115";
		break;
	case TELL:
	case TELL_OLD:
		m.status = LEAT_STATUS_UNKNOWN;
		m.value = "";
		/* Seven days and a minute before now, against 29 hours. */
		m.since = kind == TELL_OLD ? NOW - 7 * 1440 - 1 : m.since;
		break;
	case SHELVED:
		m.shelved = NOW + 1;
		break;
	case SHELF_ENDS:
		m.shelved = NOW - 1;
		break;
	case DUE:
		m.due = 100;
		break;
	}
	return m;
}

static enum leat_section
section_of(enum kind before, enum kind tonight, bool data, bool list)
{
	struct leat_findings a = { 0 }, b = { 0 };
	struct leat_items earlier = { 0 }, items = { 0 };
	struct made ma = row_of(before, data), mb = row_of(tonight, data);
	enum leat_section section;
	struct leat_error err;

	make_findings(&a, &ma, before != ABSENT);
	make_findings(&b, &mb, tonight != ABSENT);
	assert_int_equal(leat_items_make(&earlier, &a, cal.now, NULL, &err), 0);
	assert_int_equal(leat_items_make(&items, &b, cal.now, NULL, &err), 0);
	leat_compare(&items, &earlier, &cal, list);
	section = tonight == ABSENT ? earlier.item[0].section : items.item[0].section;
	leat_items_free(&earlier);
	leat_items_free(&items);
	made_free(&a);
	made_free(&b);
	return section;
}

static void
test_sections(void **state)
{
	static const struct {
		const char *name;
		enum kind before, tonight;
		bool data, list;
		enum leat_section section;
	} cases[] = {
		{ "new alert", ABSENT, ALERT, false, false, LEAT_SECTION_NEW },
		{ "new after an ok", GOOD, ALARM, false, false, LEAT_SECTION_NEW },
		{ "new after one that ended", ENDED, ALARM, false, false, LEAT_SECTION_NEW },
		{ "came and went", ABSENT, ENDED, false, false, LEAT_SECTION_NEW },
		{ "came again and went", ENDED, ENDED_LATE, false, false, LEAT_SECTION_NEW },
		{ "told before", ENDED, ENDED, false, false, LEAT_SECTION_NONE },
		{ "risen to alarm", ALERT, ALARM, false, false, LEAT_SECTION_WORSE },
		{ "half as far again", ALERT, WORSE, false, false, LEAT_SECTION_WORSE },
		{ "eased to alert", ALARM, ALERT, false, false, LEAT_SECTION_STILL },
		{ "alarm stands", ALARM, ALARM, false, false, LEAT_SECTION_STILL },
		{ "alert stands", ALERT, ALERT, false, false, LEAT_SECTION_STANDING },
		{ "alert stands, its day", ALERT, ALERT, false, true, LEAT_SECTION_STILL },
		{ "cleared by an end", ALARM, ENDED, false, false, LEAT_SECTION_CLEARED },
		{ "cleared by ok", ALARM, GOOD, false, false, LEAT_SECTION_CLEARED },
		{ "absent is not cleared", ALARM, ABSENT, false, false, LEAT_SECTION_GONE },
		{ "absent after ok", GOOD, ABSENT, false, false, LEAT_SECTION_NONE },
		{ "absent after its end", ENDED, ABSENT, false, false, LEAT_SECTION_NONE },
		{ "cannot tell", ABSENT, TELL, false, false, LEAT_SECTION_UNKNOWN },
		{ "cannot tell any more", ALARM, TELL, false, false, LEAT_SECTION_UNKNOWN },
		{ "cannot tell, still", TELL, TELL, false, false, LEAT_SECTION_UNKNOWN },
		{ "told again", TELL, ALARM, false, false, LEAT_SECTION_NEW },
		{ "past its date", ALARM, DUE, false, false, LEAT_SECTION_OVERDUE },
		{ "data", ABSENT, ALERT, true, false, LEAT_SECTION_DATA },
		{ "cannot tell, for days", TELL_OLD, TELL_OLD, false, false, LEAT_SECTION_STANDING },
		{ "cannot tell, for days, the weekday", TELL_OLD, TELL_OLD, false, true, LEAT_SECTION_UNKNOWN },
		{ "cannot tell, for days, alert before", ALERT, TELL_OLD, false, false, LEAT_SECTION_UNKNOWN },
		{ "data cannot tell", ABSENT, TELL, true, false, LEAT_SECTION_UNKNOWN },
		{ "data alert stands", ALERT, ALERT, true, false, LEAT_SECTION_STANDING },
		{ "data unknown stands", TELL, TELL, true, false, LEAT_SECTION_UNKNOWN },
		{ "data cleared", TELL, GOOD, true, false, LEAT_SECTION_CLEARED },
		{ "shelved", ALARM, SHELVED, false, false, LEAT_SECTION_SHELVED },
		{ "off the shelf", SHELVED, ALERT, false, false, LEAT_SECTION_STILL },
		{ "its shelf has ended by now", SHELF_ENDS, ALERT, false, false, LEAT_SECTION_STILL },
		{ "shelved and absent", SHELVED, ABSENT, false, false, LEAT_SECTION_GONE },
		{ "in order", ABSENT, GOOD, false, false, LEAT_SECTION_NONE }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		enum leat_section got = section_of(cases[i].before, cases[i].tonight, cases[i].data, cases[i].list);

		if (got != cases[i].section)
			fail_msg("%s: section %d, expected %d", cases[i].name, (int)got, (int)cases[i].section);
	}
}

static void
test_worse(void **state)
{
	static const struct {
		const char *before, *tonight, *limit;
		bool worse;
	} cases[] = {
		{ "110", "115", "100", true },		/* half as far again: 10 to 15 */
		{ "110", "114.9", "100", false },
		{ "100.1", "101", "100", false },	/* ten times as far, and 0.9 % of the limit */
		{ "100.1", "102.1", "100", true },
		{ "90", "85", "100", true },		/* below a low limit */
		{ "90", "95", "100", false },
		{ "100", "100", "100", false },
		{ "-10", "-15", "0", true },
		{ "on", "off", "100", false },
		{ "110", "", "100", false },
		{ "18/16/13", "20/18/15", "17/15/12", false }
	};
	struct made m[2] = {
		{ "NM", "pressure", "high", LEAT_STATUS_ALERT, "", "", 60, NEVER, NEVER, NEVER },
		{ "NM", "pressure", "high", LEAT_STATUS_ALERT, "", "", 60, NEVER, NEVER, NEVER }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_findings all = { 0 };
		struct leat_item before = { 0 }, tonight = { 0 };

		m[0].value = cases[i].before;
		m[1].value = cases[i].tonight;
		m[0].limit = m[1].limit = cases[i].limit;
		make_findings(&all, m, 2);
		before.row = &all.item[0];
		tonight.row = &all.item[1];
		if (leat_item_worse(&tonight, &before) != cases[i].worse)
			fail_msg("%s to %s at %s", cases[i].before, cases[i].tonight, cases[i].limit);
		made_free(&all);
	}
}

/* The start that the earlier night knew is kept, unless an end stands between. */
static void
test_start_is_carried(void **state)
{
	static const struct made before = { "NM", "pressure", "high", LEAT_STATUS_ALARM, "110", "100", -9000, NEVER, NEVER, NEVER };
	static const struct made one = { "NM", "pressure", "high", LEAT_STATUS_ALARM, "110", "100", -7560, NEVER, NEVER, NEVER };
	static const struct made two[] = {
		{ "NM", "pressure", "high", LEAT_STATUS_OK, "110", "100", -7560, 300, NEVER, NEVER },
		{ "NM", "pressure", "high", LEAT_STATUS_ALARM, "110", "100", 400, NEVER, NEVER, NEVER }
	};
	struct leat_findings a = { 0 }, b = { 0 };
	struct leat_items earlier = { 0 }, items = { 0 };
	struct leat_error err;

	(void)state;
	make_findings(&a, &before, 1);
	assert_int_equal(leat_items_make(&earlier, &a, cal.now, NULL, &err), 0);
	make_findings(&b, &one, 1);
	assert_int_equal(leat_items_make(&items, &b, cal.now, NULL, &err), 0);
	leat_compare(&items, &earlier, &cal, false);
	assert_int_equal(leat_time_cmp(items.item[0].since, made_time(-9000)), 0);
	leat_items_free(&items);
	made_free(&b);
	make_findings(&b, two, 2);
	assert_int_equal(leat_items_make(&items, &b, cal.now, NULL, &err), 0);
	leat_compare(&items, &earlier, &cal, false);
	assert_int_equal(items.item[0].section, LEAT_SECTION_STILL);
	assert_int_equal(leat_time_cmp(items.item[0].since, made_time(400)), 0);
	leat_items_free(&items);
	leat_items_free(&earlier);
	made_free(&a);
	made_free(&b);
}

/* A do-by date has passed from the next local day on. */
static void
test_overdue(void **state)
{
	static const struct {
		int due;
		bool overdue;
	} cases[] = { { NEVER, false }, { 1439, true }, { 1440, false }, { NOW - 1, false }, { NOW + 1, false } };
	struct made m = { "NM", "pressure", "high", LEAT_STATUS_ALARM, "110", "100", 60, NEVER, NEVER, NEVER };

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_findings all = { 0 };
		struct leat_item item = { .open = true };

		m.due = cases[i].due;
		make_findings(&all, &m, 1);
		item.row = &all.item[0];
		assert_int_equal(leat_item_overdue(&item, &cal), cases[i].overdue);
		item.open = false;
		assert_false(leat_item_overdue(&item, &cal));
		made_free(&all);
	}
}

/* Without an earlier night all that is open is found, nothing is still or gone. */
static void
test_no_earlier_night(void **state)
{
	static const struct made m[] = {
		{ "NM", "pressure", "high", LEAT_STATUS_ALARM, "110", "100", -9000, NEVER, NEVER, NEVER },
		{ "NM", "level", "high", LEAT_STATUS_ALERT, "110", "100", -9000, NEVER, NEVER, NEVER }
	};
	struct leat_findings all = { 0 };
	struct leat_items items = { 0 };
	struct leat_error err;

	(void)state;
	make_findings(&all, m, 2);
	assert_int_equal(leat_items_make(&items, &all, cal.now, NULL, &err), 0);
	leat_compare(&items, NULL, &cal, false);
	assert_int_equal(items.item[0].section, LEAT_SECTION_NEW);
	assert_int_equal(items.item[1].section, LEAT_SECTION_NEW);
	leat_items_free(&items);
	made_free(&all);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_sections), cmocka_unit_test(test_worse), cmocka_unit_test(test_start_is_carried),
		cmocka_unit_test(test_overdue), cmocka_unit_test(test_no_earlier_night)
	};

	return cmocka_run_group_tests(tests, setup, teardown);
}
