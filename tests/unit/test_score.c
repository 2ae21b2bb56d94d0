/*
 * The scoreboard of the nightly text: who missed, why, against which night, and that no line is too wide.
 */
#include "findings_night.h"

#include "stream/points.h"
#include "tell/nightly.h"
#include "tell/score.h"

#define SHARE "pressure-attainment", "low-attainment"

/* Findings in which shares have their unit, all have a message, and episodes are as old as their beginning. */
static void
make(struct leat_findings *all, const struct made *m, size_t count, const char *message)
{
	make_findings(all, m, count);
	for (size_t i = 0; i < count; i++) {
		if (leat_span_is(all->item[i].point, "pressure-attainment"))
			all->item[i].unit = LEAT_SPAN("%");
		if (m[i].since != NEVER)
			all->item[i].time = made_time(m[i].since);
		all->item[i].message = leat_span_of(message);
	}
}

static void
writes(const struct made *tonight, size_t count, const struct made *before, size_t befores, const char *message,
    const char *expected)
{
	struct leat_text t = { .width = LEAT_NIGHTLY_WIDTH };
	struct leat_findings a = { 0 }, b = { 0 };
	struct leat_items earlier = { 0 }, items = { 0 };
	struct leat_error err;

	make(&a, before, befores, NULL);
	make(&b, tonight, count, message);
	assert_int_equal(leat_items_make(&earlier, &a, cal.now, NULL, &err), 0);
	assert_int_equal(leat_items_make(&items, &b, cal.now, NULL, &err), 0);
	leat_compare(&items, befores > 0 ? &earlier : NULL, &cal, false);
	leat_score_write(&t, &cal, &items);
	assert_false(t.failed);
	unit_span(leat_buf_span(&t.page), expected);
	leat_text_free(&t);
	leat_items_free(&earlier);
	leat_items_free(&items);
	made_free(&a);
	made_free(&b);
}

#define TITLE "\nPRESSURE HELD, share of grinding time\n"
#define OK LEAT_STATUS_OK
#define ALERT LEAT_STATUS_ALERT
#define ALARM LEAT_STATUS_ALARM
#define UNKNOWN LEAT_STATUS_UNKNOWN

/* One mill alone, as one row says it. */
static void
test_one_row(void **state)
{
	static const struct {
		const char *name;
		struct made row;
		const char *message, *expected;
	} cases[] = {
		{ "held", { "NM", SHARE, OK, "99.87", "", NEVER, NEVER, NEVER, NEVER }, "fine",
		    "Pressure held: NM 99.87 % of grinding time.\n" },
		{ "all of it", { "NM", SHARE, OK, "100.00", "", NEVER, NEVER, NEVER, NEVER }, "",
		    "Pressure held: NM 100.00 % of grinding time.\n" },
		{ "another rule of the point", { "NM", "pressure-attainment", "stale", ALERT, "40", "", 60, NEVER, NEVER, NEVER }, "", "" },
		{ "another point of the rule", { "NM", "pressure", "low-attainment", ALERT, "40", "", 60, NEVER, NEVER, NEVER }, "", "" },
		{ "a limit that matched nothing", { "*", SHARE, UNKNOWN, "", "", NEVER, NEVER, NEVER, NEVER }, "none", "" },
		{ "a limit of some mills that matched nothing", { "N*", SHARE, UNKNOWN, "", "", NEVER, NEVER, NEVER, NEVER }, "none", "" },
		{ "no asset", { "-", SHARE, ALERT, "90", "95", 60, NEVER, NEVER, NEVER }, "", "" },
		{ "later than now", { "NM", SHARE, ALERT, "90", "95", NOW + 1, NEVER, NEVER, NEVER }, "", "" },
		{ "alert", { "NM", SHARE, ALERT, "94.00", "95", 60, NEVER, NEVER, NEVER }, "low",
		    TITLE "  NM   94.00 %, lowest since Mon 3 Feb: cause not known\n" },
		{ "its end is later than now", { "NM", SHARE, ALERT, "94.00", "95", 60, NOW + 1, NEVER, NEVER }, "low",
		    TITLE "  NM   94.00 %, lowest since Mon 3 Feb: cause not known\n" },
		{ "since when is not known", { "NM", SHARE, ALARM, "8.5", "90", NEVER, NEVER, NEVER, NEVER }, "low",
		    TITLE "  NM     8.5 %, lowest: cause not known\n" },
		{ "shelved", { "NM", SHARE, ALARM, "80.00", "90", 60, NEVER, NEVER, NOW + 1 }, "low",
		    TITLE "  NM   80.00 %, lowest since Mon 3 Feb, shelved: cause not known\n" },
		{ "its shelf has ended", { "NM", SHARE, ALARM, "80.00", "90", 60, NEVER, NEVER, NOW - 1 }, "low",
		    TITLE "  NM   80.00 %, lowest since Mon 3 Feb: cause not known\n" },
		{ "over, and no row says ok", { "NM", SHARE, ALARM, "80.00", "90", 60, 1500, NEVER, NEVER }, "low",
		    TITLE "  NM  held again since Tue 4 Feb\n" },
		{ "held, without a share", { "NM", SHARE, OK, "", "", NEVER, NEVER, NEVER, NEVER }, "", TITLE "  NM  held\n" },
		{ "low, without a share", { "NM", SHARE, ALERT, "", "", 60, NEVER, NEVER, NEVER }, "low",
		    TITLE "  NM  low since Mon 3 Feb: cause not known\n" },
		{ "a word", { "NM", SHARE, ALERT, "low", "", 60, NEVER, NEVER, NEVER }, "low",
		    TITLE "  NM  low since Mon 3 Feb: cause not known\n" },
		{ "no share of anything", { "NM", SHARE, ALERT, "100.01", "", 60, NEVER, NEVER, NEVER }, "low",
		    TITLE "  NM  low since Mon 3 Feb: cause not known\n" },
		{ "below nothing", { "NM", SHARE, ALERT, "-0.1", "", 60, NEVER, NEVER, NEVER }, "low",
		    TITLE "  NM  low since Mon 3 Feb: cause not known\n" },
		{ "many decimals", { "NM", SHARE, ALERT, "81.2345678901234567890123456789", "", 60, NEVER, NEVER, NEVER }, "low",
		    TITLE "  NM   81.23 %, lowest since Mon 3 Feb: cause not known\n" },
		{ "an exponent", { "NM", SHARE, ALERT, "8e1", "", 60, NEVER, NEVER, NEVER }, "low",
		    TITLE "  NM   80.00 %, lowest since Mon 3 Feb: cause not known\n" },
		{ "not a number", { "NM", SHARE, OK, "nan", "", NEVER, NEVER, NEVER, NEVER }, "", TITLE "  NM  held\n" },
		{ "cannot tell, and why", { "NM", SHARE, UNKNOWN, "", "", 60, NEVER, NEVER, NEVER },
		    "cannot tell: pressure was bad; see to the sensor", TITLE "  NM  cannot tell: pressure was bad\n" },
		{ "cannot tell, other words", { "NM", SHARE, UNKNOWN, "12", "", 60, NEVER, NEVER, NEVER },
		    "no state", TITLE "  NM  cannot tell: no state\n" },
		{ "cannot tell, without words", { "NM", SHARE, UNKNOWN, "", "", 60, NEVER, NEVER, NEVER }, "",
		    TITLE "  NM  cannot tell\n" },
		{ "cannot tell, no words at all", { "NM", SHARE, UNKNOWN, "", "", 60, NEVER, NEVER, NEVER }, "cannot tell: ; x",
		    TITLE "  NM  cannot tell\n" },
		{ "cannot tell, shelved", { "NM", SHARE, UNKNOWN, "", "", 60, NEVER, NEVER, NOW + 5 }, "no state",
		    TITLE "  NM  cannot tell, shelved: no state\n" },
		{ "a name in UTF-8", { "M\303\274hle", SHARE, ALERT, "94.00", "95", 60, NEVER, NEVER, NEVER }, "low",
		    TITLE "  M\303\274hle   94.00 %, lowest since Mon 3 Feb: cause not known\n" },
		{ "a control byte", { "N\033M", SHARE, OK, "94.00", "95", NEVER, NEVER, NEVER, NEVER }, "",
		    "Pressure held: N?M 94.00 % of grinding time.\n" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		print_message("# %s\n", cases[i].name);
		writes(&cases[i].row, 1, NULL, 0, cases[i].message, cases[i].expected);
	}
}

/* What a finding of the mill says of a share of 81.20 %; NULL: nothing. */
static void
test_causes(void **state)
{
	static const struct {
		struct made row;
		const char *low, *untold;
	} cases[] = {
		{ { "NM", "setpoint-shift", "low-setpoint", ALERT, "-8.0", "-3", 60, NEVER, NEVER, NEVER }, "set point lowered", NULL },
		{ { "NM", "setpoint-shift", "low-setpoint", ALERT, "-8.0", "-3", 60, NEVER, NEVER, NOW + 9 }, "set point lowered", NULL },
		{ { "NM", "setpoint-shift", "low-setpoint", ALERT, "-8.0", "-3", 60, 70, NEVER, NEVER }, NULL, NULL },
		{ { "NM", "setpoint-shift", "low-setpoint", UNKNOWN, "", "", 60, NEVER, NEVER, NEVER }, NULL, NULL },
		{ { "NM", "setpoint-shift", "low-setpoint", OK, "0.0", "", NEVER, NEVER, NEVER, NEVER }, NULL, NULL },
		{ { "NM/pump-a", "drain-flow-corrected", "pump-wear", ALERT, "2.9", "2.7", 60, NEVER, NEVER, NEVER }, "pump worn", NULL },
		{ { "NM/pump-a", "drain-flow-corrected", "pump-wear-step", ALERT, "2.9", "", 60, NEVER, NEVER, NEVER }, NULL, NULL },
		{ { "NM/pump-a", "drain-flow-corrected", "pump-jump", ALARM, "2.9", "", 60, NEVER, NEVER, NEVER }, "pump worn", NULL },
		{ { "NM/pump-a", "drain-flow-corrected", "pump-jump", ALERT, "2.9", "", 60, NEVER, NEVER, NEVER }, NULL, NULL },
		{ { "NM", "internal-leakage", "leakage", ALARM, "0.9", "0.7", 60, NEVER, NEVER, NEVER }, "leakage", NULL },
		{ { "NM/cyl-2", "seal-leakage", "piston-seal", ALERT, "9", "5", 60, NEVER, NEVER, NEVER }, "leakage", NULL },
		{ { "NM/relief", "relief-time", "near-relief", ALERT, "9", "0", 60, NEVER, NEVER, NEVER }, "relief valve", NULL },
		{ { "NM/acc-1", "gas-amount", "gas-loss", ALERT, "9", "10", 60, NEVER, NEVER, NEVER }, "gas low", NULL },
		{ { "NM/acc-1", "precharge-deviation", "our-precharge", ALERT, "9", "10", 60, NEVER, NEVER, NEVER },
		    "precharge off target", NULL },
		{ { "NM/acc-1", "precharge-deviation", "stale", ALERT, "9", "10", 60, NEVER, NEVER, NEVER }, NULL, NULL },
		{ { "NM/acc-1", "precharge-deviation", "our-precharge-step", ALERT, "9", "10", 60, NEVER, NEVER, NEVER }, NULL, NULL },
		{ { "NM", "oil-temperature", "hot-oil", ALARM, "66", "65", 60, NEVER, NEVER, NEVER }, "hot oil", NULL },
		{ { "NM", "-", "source-missing", ALERT, "", "", 60, NEVER, NEVER, NEVER }, NULL, "no export" },
		{ { "NM", "-", "source-missing", UNKNOWN, "", "", 60, NEVER, NEVER, NEVER }, NULL, "no export" },
		{ { "NM", "-", "source-failed", ALERT, "", "", 60, NEVER, NEVER, NEVER }, NULL, "export cannot be read" },
		{ { "NM", "-", "source-cut", ALERT, "", "", 60, NEVER, NEVER, NEVER }, NULL, "export is cut short" },
		{ { "NM", "pressure", "stale", ALERT, "30", "24", 60, NEVER, NEVER, NEVER }, NULL, "pressure signal lost" },
		{ { "NM", "oil-temperature", "stale", ALERT, "30", "24", 60, NEVER, NEVER, NEVER }, NULL, NULL },
		{ { "NM", "pressure", "frozen-pressure", ALERT, "3", "2", 60, NEVER, NEVER, NEVER }, NULL, "pressure signal frozen" },
		{ { "NM", "pressure", "frozen-pressure", UNKNOWN, "", "", 60, NEVER, NEVER, NEVER }, NULL, NULL },
		{ { "NM", "grinding-hours", "idle", OK, "0.00", "", NEVER, NEVER, NEVER, NEVER }, "mill stood", "mill stood" },
		{ { "NM", "grinding-hours", "idle", ALERT, "0", "1", 60, NEVER, NEVER, NEVER }, "mill stood", "mill stood" },
		{ { "NM", "grinding-hours", "idle", ALERT, "0", "1", 60, 70, NEVER, NEVER }, NULL, NULL },
		{ { "NM", "grinding-hours", "idle", OK, "0.25", "", NEVER, NEVER, NEVER, NEVER }, NULL, NULL },
		{ { "NM", "grinding-hours", "idle", OK, "", "", NEVER, NEVER, NEVER, NEVER }, NULL, NULL },
		{ { "NM", "pressure", "some-rule", ALARM, "3", "2", 60, NEVER, NEVER, NEVER }, NULL, NULL },
		/* Of others. */
		{ { "NM2", "setpoint-shift", "low-setpoint", ALERT, "-8.0", "-3", 60, NEVER, NEVER, NEVER }, NULL, NULL },
		{ { "NM-2/pump-a", "drain-flow-corrected", "pump-wear", ALERT, "2", "1", 60, NEVER, NEVER, NEVER }, NULL, NULL },
		{ { "N", "internal-leakage", "leakage", ALERT, "2", "1", 60, NEVER, NEVER, NEVER }, NULL, NULL },
		{ { "-", "internal-leakage", "leakage", ALERT, "2", "1", 60, NEVER, NEVER, NEVER }, NULL, NULL }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct made row[2] = { { "NM", SHARE, ALARM, "81.20", "90", 60, NEVER, NEVER, NEVER }, cases[i].row };
		char expected[300];

		print_message("# %s %s\n", cases[i].row.asset, cases[i].row.rule);
		snprintf(expected, sizeof(expected), TITLE "  NM   81.20 %%, lowest since Mon 3 Feb: %s\n",
		    cases[i].low != NULL ? cases[i].low : "cause not known");
		writes(row, 2, NULL, 0, "", expected);
		row[0].status = UNKNOWN;
		snprintf(expected, sizeof(expected), TITLE "  NM  cannot tell: %s\n",
		    cases[i].untold != NULL ? cases[i].untold : "a reason");
		writes(row, 2, NULL, 0, "a reason", expected);
	}
}

/* Each cause once, in the order of the table, whatever that of the rows; a lowered set point is told though held. */
static void
test_several(void **state)
{
	static const struct made rows[] = {
		{ "NM/cyl-1", "seal-leakage", "piston-seal", ALERT, "9", "5", 60, NEVER, NEVER, NEVER },
		{ "NM", "setpoint-shift", "low-setpoint", ALERT, "-8.0", "-3", 60, NEVER, NEVER, NEVER },
		{ "NM", SHARE, ALERT, "93.1", "95", 60, NEVER, NEVER, NEVER },
		{ "NM", "internal-leakage", "leakage", ALERT, "2", "1", 60, NEVER, NEVER, NEVER },
		{ "NM/pump-b", "drain-flow-corrected", "pump-wear", ALARM, "2", "1", 60, NEVER, NEVER, NEVER },
		{ "QM", SHARE, UNKNOWN, "", "", 60, NEVER, NEVER, NEVER },
		{ "MM", SHARE, OK, "99.5", "", NEVER, NEVER, NEVER, NEVER },
		{ "SM", SHARE, OK, "99.80", "", NEVER, NEVER, NEVER, NEVER },
		{ "SM", "setpoint-shift", "low-setpoint", ALERT, "-8.0", "-3", 60, NEVER, NEVER, NEVER },
		{ "TM", SHARE, OK, "", "", NEVER, NEVER, NEVER, NEVER },
		{ "TM", "setpoint-shift", "low-setpoint", ALERT, "-8.0", "-3", 60, NEVER, NEVER, NEVER },
		{ "long-name", SHARE, ALARM, "0", "90", 60, NEVER, NEVER, NEVER }
	};

	(void)state;
	writes(rows, sizeof(rows) / sizeof(rows[0]), NULL, 0, "no state", TITLE
	    "  long-name       0 %, lowest since Mon 3 Feb: cause not known\n"
	    "  NM           93.1 %, lowest since Mon 3 Feb: set point lowered, pump worn,\n"
	    "      leakage\n"
	    "  QM         cannot tell: no state\n"
	    "  SM          99.80 %, at a lowered set point\n"
	    "  TM         held, at a lowered set point\n"
	    "  MM           99.5 %\n");
}

/* One mill in two nights. */
static void
test_two_nights(void **state)
{
	static const struct made
	    ok = { "NM", SHARE, OK, "99.10", "", NEVER, NEVER, NEVER, NEVER },
	    ok_blank = { "NM", SHARE, OK, "", "", NEVER, NEVER, NEVER, NEVER },
	    better = { "NM", SHARE, OK, "99.50", "", NEVER, NEVER, NEVER, NEVER },
	    low = { "NM", SHARE, ALARM, "82.10", "90", 1500, NEVER, NEVER, NEVER },
	    low_before = { "NM", SHARE, ALERT, "94.20", "95", 60, NEVER, NEVER, NEVER },
	    untold = { "NM", SHARE, UNKNOWN, "", "", 60, NEVER, NEVER, NEVER },
	    over = { "NM", SHARE, ALERT, "94.20", "95", 60, 1500, NEVER, NEVER },
	    other = { "MM", SHARE, OK, "98.10", "", NEVER, NEVER, NEVER, NEVER },
	    lowered = { "NM", "setpoint-shift", "low-setpoint", ALERT, "-8.0", "-3", 60, NEVER, NEVER, NEVER };
	static const struct {
		const char *name;
		const struct made *before, *tonight, *also;
		const char *expected;
	} cases[] = {
		{ "fell", &ok, &low, NULL, TITLE "  NM   82.10 %, lowest since Tue 4 Feb (was 99.10): cause not known\n" },
		{ "fell, and why", &ok, &low, &lowered,
		    TITLE "  NM   82.10 %, lowest since Tue 4 Feb (was 99.10): set point lowered\n" },
		{ "fell further", &low_before, &low, NULL,
		    TITLE "  NM   82.10 %, lowest since Mon 3 Feb (was 94.20): cause not known\n" },
		{ "the same", &low, &low, NULL, TITLE "  NM   82.10 %, lowest since Tue 4 Feb: cause not known\n" },
		{ "could not be told", &untold, &low, NULL, TITLE "  NM   82.10 %, lowest since Mon 3 Feb: cause not known\n" },
		{ "had no share", &ok_blank, &low, NULL, TITLE "  NM   82.10 %, lowest since Tue 4 Feb: cause not known\n" },
		{ "was absent", &other, &low, NULL, TITLE "  NM   82.10 %, lowest since Tue 4 Feb: cause not known\n" },
		{ "held both nights", &ok, &better, NULL, "Pressure held: NM 99.50 % of grinding time.\n" },
		{ "held again, all do", &low, &better, NULL, "Pressure held: NM 99.50 % of grinding time.\n" },
		{ "held again, an ended episode beside", &low_before, &better, &over, "Pressure held: NM 99.50 % of grinding time.\n" },
		{ "held again at a lowered set point", &low, &better, &lowered,
		    TITLE "  NM   99.50 %, held again (was 82.10), at a lowered set point\n" },
		{ "held at a lowered set point", &ok, &better, &lowered, TITLE "  NM   99.50 %, at a lowered set point\n" },
		{ "can be told again", &untold, &better, &lowered, TITLE "  NM   99.50 %, at a lowered set point\n" },
		{ "over without a row that says ok", &low_before, &over, NULL,
		    TITLE "  NM  held again since Tue 4 Feb (was 94.20)\n" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct made rows[2] = { *cases[i].tonight };

		print_message("# %s\n", cases[i].name);
		if (cases[i].also != NULL)
			rows[1] = *cases[i].also;
		writes(rows, cases[i].also != NULL ? 2 : 1, cases[i].before, 1, "", cases[i].expected);
	}
}

/* Twenty mills of all sorts with all causes and long names: no line over the width, each mill named once. */
static void
test_width(void **state)
{
	static const char *const rules[] = {
		"low-setpoint", "pump-wear", "leakage", "near-relief", "gas-loss", "hot-oil", "source-missing", "source-failed"
	};
	static char name[20][60];
	struct made rows[20 * 9];
	struct leat_findings all = { 0 };
	struct leat_items items = { 0 };
	struct leat_text t = { .width = LEAT_NIGHTLY_WIDTH };
	struct leat_span page, line;
	struct leat_error err;
	size_t count = 0, heads = 0;

	(void)state;
	for (int i = 0; i < 20; i++) {
		snprintf(name[i], sizeof(name[i]), "%.*s-%02d", 3 * i % 50, "M\303\274hle/\347\243\250 one two of the works at the river",
		    i);
		if (3 * i % 50 == 2 || !leat_utf8_valid(leat_span_of(name[i])))
			snprintf(name[i], sizeof(name[i]), "M-%02d", i);
		rows[count++] = (struct made){ name[i], SHARE, (enum leat_status)(i % 4), "81.20", "90", i % 4 ? 60 : NEVER, NEVER, NEVER,
			i % 3 ? NEVER : NOW + 5 };
		for (size_t k = 0; k < 8; k++)
			rows[count++] = (struct made){ name[i], "x", rules[k], ALARM, "1", "2", 60, NEVER, NEVER, NEVER };
	}
	make(&all, rows, count, "a rather long sentence that says why no share of the grinding time can be told; and what to do");
	assert_int_equal(leat_items_make(&items, &all, cal.now, NULL, &err), 0);
	leat_compare(&items, NULL, &cal, false);
	leat_score_write(&t, &cal, &items);
	assert_false(t.failed);
	page = leat_buf_span(&t.page);
	while (leat_span_next(&page, '\n', &line)) {
		assert_true(leat_text_columns(line) <= LEAT_NIGHTLY_WIDTH);
		heads += leat_span_starts(line, "  ") && !leat_span_starts(line, "   ");
	}
	assert_int_equal(heads, 20);
	leat_text_free(&t);
	leat_items_free(&items);
	made_free(&all);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_one_row),
		cmocka_unit_test(test_causes),
		cmocka_unit_test(test_several),
		cmocka_unit_test(test_two_nights),
		cmocka_unit_test(test_width)
	};

	return cmocka_run_group_tests(tests, setup, teardown);
}
