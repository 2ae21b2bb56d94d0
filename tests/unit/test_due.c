/* The due engine: dates, running hours, conditions, and what cannot be told. */
#include "due_pass.h"
#include "random.h"

struct look {
	const char *now;
	enum leat_due_stage stage;
	enum leat_status status;
};

/* The first item of the tasks at each moment. */
static void
look_all(struct due_made made, const struct look *look, size_t count, const char *due, const char *late)
{
	for (size_t i = 0; i < count; i++) {
		struct due_pass p;
		const struct leat_due_item *item;

		made.now = look[i].now;
		due_pass_run(&p, &made);
		item = leat_due_item_at(p.due, 0);
		assert_non_null(item);
		if (item->stage != look[i].stage || item->status != look[i].status)
			fail_msg("at %s: %s, %s", look[i].now, leat_due_stage_name(item->stage), leat_status_name(item->status));
		due_time(item->due, due);
		due_time(item->late, late);
		due_pass_close(&p);
	}
}

#define LOOK(made, look, due, late) look_all(made, look, sizeof(look) / sizeof((look)[0]), due, late)

/* A month after 31 January 2025 is 28 February; a tenth of its 28 days is two whole days, so that it is overdue on 3 March.
 * The days begin at midnight of the works, an hour before that of UTC. */
static void
test_month_end(void **state)
{
	const struct due_made made = { .tasks = "look,NM,P1M,,,,,,\n", .plate = CET,
		.book = "2025-01-31 23:30,NM,note,look,,,,,,kt,x\n" };
	static const struct look look[] = {
		{ "2025-02-13T22:59:59Z", LEAT_DUE_LATER, LEAT_STATUS_OK }, { "2025-02-13T23:00:00Z", LEAT_DUE_UPCOMING, LEAT_STATUS_OK },
		{ "2025-02-27T22:59:59Z", LEAT_DUE_UPCOMING, LEAT_STATUS_OK }, { "2025-02-27T23:00:00Z", LEAT_DUE_DUE, LEAT_STATUS_ALERT },
		{ "2025-03-02T22:59:59Z", LEAT_DUE_DUE, LEAT_STATUS_ALERT },
		{ "2025-03-02T23:00:00Z", LEAT_DUE_OVERDUE, LEAT_STATUS_ALERT },
		/* Due again on 31 March, when summer time has begun, and a tenth of those 31 days is three: left out on 4 April. */
		{ "2025-04-03T21:59:59Z", LEAT_DUE_OVERDUE, LEAT_STATUS_ALERT },
		{ "2025-04-03T22:00:00Z", LEAT_DUE_MISSED, LEAT_STATUS_ALARM }
	};

	(void)state;
	LOOK(made, look, "2025-02-27T23:00:00Z", "2025-03-02T23:00:00Z");
}

/* When it is left out altogether: due a second time, counted from the day it was done and not from a date that a short month
 * has cut.  The dates are those that RFC 7529 gives with SKIP=BACKWARD (4.1: 31 January, 28 February, 31 March, 30 April; its
 * example from memory), each with no tolerance, and so left out a day later. */
static void
test_missed_month_ends(void **state)
{
	static const struct { const char *done, *every, *due, *missed; } rows[] = {
		{ "2025-01-31", "P1M", "2025-02-28", "2025-04-01" }, { "2024-01-31", "P1M", "2024-02-29", "2024-04-01" },
		{ "2024-01-30", "P1M", "2024-02-29", "2024-03-31" }, { "2025-01-28", "P1M", "2025-02-28", "2025-03-29" },
		{ "2025-03-31", "P1M", "2025-04-30", "2025-06-01" }, { "2025-08-31", "P3M", "2025-11-30", "2026-03-01" },
		{ "2024-11-30", "P3M", "2025-02-28", "2025-05-31" }, { "2023-11-30", "P3M", "2024-02-29", "2024-05-31" },
		{ "2024-02-29", "P2Y", "2026-02-28", "2028-03-01" }, { "2024-12-31", "P2M", "2025-02-28", "2025-05-01" },
		{ "2025-01-31", "P30D", "2025-03-02", "2025-04-02" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		struct leat_buf tasks = { 0 }, book = { 0 };
		struct due_made made = { .now = "2025-01-01T00:00:00Z" };
		const struct leat_due_trigger *t;
		char day[40];
		struct due_pass p;

		assert_int_equal(leat_buf_printf(&tasks, "look,NM,%s,,,,,P0D,\n", rows[i].every), 0);
		assert_int_equal(leat_buf_printf(&book, "%s 10:00,NM,note,look,,,,,,kt,x\n", rows[i].done), 0);
		snprintf(day, sizeof(day), "%sT12:00:00Z", rows[i].done);
		made.tasks = tasks.data;
		made.book = book.data;
		made.now = day;
		due_pass_run(&p, &made);
		t = &due_pass_item(&p, "NM", "look")->trigger[LEAT_DUE_EVERY];
		snprintf(day, sizeof(day), "%sT00:00:00Z", rows[i].due);
		due_time(t->due, day);
		snprintf(day, sizeof(day), "%sT00:00:00Z", rows[i].missed);
		due_time(t->missed, day);
		due_pass_close(&p);
		leat_buf_free(&tasks);
		leat_buf_free(&book);
	}
}

/* Over the changes of the clock a week has seven dates, not 168 hours. */
static void
test_clock_changes(void **state)
{
	const struct due_made spring = { .tasks = "look,NM,P1W,,,,,,\n", .plate = CET,
		.book = "2025-03-29 23:30,NM,note,look,,,,,,kt,x\n" };
	const struct due_made autumn = { .tasks = "look,NM,P1W,,,,,P0D,\n", .plate = CET,
		.book = "2025-10-25 00:10,NM,note,look,,,,,,kt,x\n" };
	static const struct look in_spring[] = { { "2025-04-04T22:00:00Z", LEAT_DUE_DUE, LEAT_STATUS_ALERT } };
	static const struct look in_autumn[] = {
		{ "2025-10-31T22:59:59Z", LEAT_DUE_UPCOMING, LEAT_STATUS_OK }, { "2025-10-31T23:00:00Z", LEAT_DUE_DUE, LEAT_STATUS_ALERT }
	};

	(void)state;
	LOOK(spring, in_spring, "2025-04-04T22:00:00Z", "2025-04-05T22:00:00Z");
	LOOK(autumn, in_autumn, "2025-10-31T23:00:00Z", "2025-11-01T23:00:00Z");
}

static void
test_leap_day(void **state)
{
	const struct due_made made = { .tasks = "look,NM,P1Y,,,,,10%,law\n", .book = "2024-02-29 10:00,NM,note,look,,,,,,kt,x\n" };
	static const struct look look[] = {
		{ "2025-02-28T00:00:00Z", LEAT_DUE_DUE, LEAT_STATUS_ALERT },
		/* 365 days: 36 whole days of tolerance.  The law does not wait: an alarm. */
		{ "2025-04-05T23:00:00Z", LEAT_DUE_DUE, LEAT_STATUS_ALERT }, { "2025-04-06T00:00:00Z", LEAT_DUE_OVERDUE, LEAT_STATUS_ALARM }
	};

	(void)state;
	LOOK(made, look, "2025-02-28T00:00:00Z", "2025-04-06T00:00:00Z");
}

/* Fixed dates stay, and what is done up to the tolerance before one is done for it. */
static void
test_fixed(void **state)
{
	static const struct { const char *done, *due; } rows[] = {
		{ "2025-02-26 08:00", "2025-03-31T00:00:00Z" }, { "2025-02-25 08:00", "2025-02-28T00:00:00Z" },
		{ "2025-02-28 08:00", "2025-03-31T00:00:00Z" }, { "2025-03-05 08:00", "2025-03-31T00:00:00Z" },
		{ "2025-01-01 08:00", "2025-01-31T00:00:00Z" }, { "2025-04-29 08:00", "2025-05-31T00:00:00Z" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		char book[128];
		struct due_made made = { .tasks = "look,NM,R/2025-01-31/P1M,,,,,,\n", .book = book, .now = "2025-05-01T00:00:00Z" };
		struct due_pass p;

		snprintf(book, sizeof(book), "%s,NM,note,look,,,,,,kt,x\n", rows[i].done);
		due_pass_run(&p, &made);
		due_time(leat_due_item_at(p.due, 0)->due, rows[i].due);
		due_pass_close(&p);
	}
}

/* What was never logged is not in order.  When the logbook itself reaches back farther than the interval, it was left out. */
static void
test_never_logged(void **state)
{
	const struct due_made empty = { .tasks = "look,NM,P1M,,,,,,\n" };
	const struct due_made begun = { .tasks = "look,NM,P1M,,,,,,\n", .book = "2025-01-10 08:00,MM,note,other,,,,,,kt,x\n" };
	static const struct look unknown[] = { { "2030-01-01T00:00:00Z", LEAT_DUE_UNKNOWN, LEAT_STATUS_UNKNOWN } };
	static const struct look before[] = { { "2025-02-09T23:59:59Z", LEAT_DUE_UNKNOWN, LEAT_STATUS_UNKNOWN } };
	static const struct look later[] = {
		{ "2025-02-10T00:00:00Z", LEAT_DUE_DUE, LEAT_STATUS_ALERT }, { "2025-02-14T00:00:00Z", LEAT_DUE_OVERDUE, LEAT_STATUS_ALERT }
	};

	(void)state;
	LOOK(empty, unknown, "none", "none");
	LOOK(begun, before, "none", "none");
	LOOK(begun, later, "2025-02-10T00:00:00Z", "2025-02-14T00:00:00Z");
}

/* A mill's gas is checked when all accumulators were, and one that was read alone is not all; an entry at the mill is. */
static void
test_parts_of_an_asset(void **state)
{
	struct due_made made = { .tasks = "gas,NM,P12W,,,,,,\nlook,*/accu-*,P12W,,,,,,\n", .now = "2025-06-01T00:00:00Z", .book =
	    "2025-02-04 08:00,NM/accu-1,note,gas,,,,,,kt,x\n2025-02-04 08:02,NM/accu-2,note,gas,,,,,,kt,x\n"
	    "2025-05-06 09:00,NM/accu-2,note,gas,,,,,,kt,x\n" };
	struct due_pass p;

	(void)state;
	due_pass_run(&p, &made);
	due_time(due_pass_item(&p, "NM", "gas")->last, "2025-02-04T08:00:00Z");
	assert_int_equal(due_pass_item(&p, "NM", "gas")->stage, LEAT_DUE_OVERDUE);
	/* The pattern means the accumulators that the works knows. */
	due_pass_item(&p, "NM/accu-1", "look");
	due_pass_item(&p, "NM/accu-2", "look");
	assert_int_equal(p.due->items, 3);
	due_pass_close(&p);
	made.book = "2025-02-04 08:00,NM/accu-1,note,gas,,,,,,kt,x\n2025-05-06 09:00,NM,note,gas,,,,,,kt,x\n";
	due_pass_run(&p, &made);
	due_time(due_pass_item(&p, "NM", "gas")->last, "2025-05-06T09:00:00Z");
	due_pass_close(&p);
}

/* Of rows with the same task the most specific rules an asset, of equals the later; the others say nothing, nor that they fit
 * nothing. */
static void
test_overruled(void **state)
{
	const struct due_made made = { .now = "2025-06-01T00:00:00Z", .not_all = true, .book =
	    "2025-05-20 08:00,NM/accu-1,note,look,,,,,,kt,x\n2025-05-20 08:00,NM/accu-2,note,look,,,,,,kt,x\n"
	    "2025-05-20 08:00,MM/accu-1,note,look,,,,,,kt,x\n", .tasks = "look,NM/accu-1,P1D,,,,,,\n" "look,*/accu-*,P2D,,,,,,\n"
	    "look,NM/accu-*,P3D,,,,,,\n" "look,*/accu?*,P4D,,,,,,\n" "look,N?/accu-1,P5D,,,,,,\n" };
	static const struct { const char *asset; int days; } rows[] = { { "NM/accu-1", 1 }, { "NM/accu-2", 3 }, { "MM/accu-1", 2 } };
	struct due_pass p;

	(void)state;
	due_pass_run(&p, &made);
	assert_int_equal(p.due->items, 3);
	assert_int_equal(p.found.count, 3);
	assert_string_equal(p.warned, "");
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++)
		assert_int_equal(due_pass_item(&p, rows[i].asset, "look")->task->every.length.days, rows[i].days);
	due_pass_close(&p);
}

/* Rows of a pump that runs evenly: hours a day from 2025-01-01 on, a reading at each midnight. */
static char *
even_hours(const char *asset, int days, double per_day, int renewed)
{
	struct leat_buf rows = { 0 };

	for (int day = 0; day < days; day++) {
		char stamp[LEAT_TIME_MAX];

		leat_time_write(stamp, (struct leat_time){ INT64_C(1735689600) + (int64_t)day * 86400, 0 });
		assert_int_equal(leat_buf_printf(&rows, "%s,%s,running-hours,%.4f,h,good\n", stamp, asset,
		    day < renewed ? 5000 + day * per_day : (day - renewed) * per_day), 0);
	}
	return rows.data;
}

/* 20 h a day: done on day 10, 70 days of readings, so 1180 of 2000 h on day 69, and 820 h more take 41 days: day 110, which
 * is 21 April.  By hand. */
static void
test_hours_ahead(void **state)
{
	char *rows = even_hours("NM/pump-a", 70, 20, 9999);
	const struct due_made made = { .tasks = "look,NM/pump-a,,2000,,,,,\n", .rows = rows, .now = "2025-03-11T06:00:00Z",
		.book = "2025-01-11 00:00,NM/pump-a,note,look,,,,,,kt,x\n" };
	struct due_pass p;
	const struct leat_due_item *item;

	(void)state;
	due_pass_run(&p, &made);
	item = leat_due_item_at(p.due, 0);
	assert_int_equal(item->stage, LEAT_DUE_LATER);
	assert_int_equal(item->by, LEAT_DUE_HOURS);
	unit_close(item->trigger[LEAT_DUE_HOURS].done, 1180, 1e-6);
	unit_close(item->trigger[LEAT_DUE_HOURS].rate, 20, 1e-9);
	due_time(item->due, "2025-04-21T00:00:00Z");
	/* 10 %: 200 h, ten days more. */
	due_time(item->late, "2025-05-01T00:00:00Z");
	due_pass_close(&p);
	free(rows);
}

/* What has come to pass is told as it did: 500 h were full 25 days after day 10 and a quarter; 10 % more 2 days 12 h later.
 * The mill's hours serve its parts. */
static void
test_hours_passed(void **state)
{
	char *rows = even_hours("NM", 70, 20, 9999);
	const struct due_made made = { .tasks = "look,NM/filter,P1Y,500,,,,,\n", .rows = rows, .now = "2025-03-11T00:00:00Z",
		.book = "2025-01-11 06:00,NM/filter,note,look,,,,,,kt,x\n" };
	struct due_pass p;
	const struct leat_due_item *item;

	(void)state;
	due_pass_run(&p, &made);
	item = leat_due_item_at(p.due, 0);
	assert_int_equal(item->by, LEAT_DUE_HOURS);
	assert_int_equal(item->stage, LEAT_DUE_MISSED);
	due_time(item->since, "2025-02-05T06:00:00Z");
	due_time(item->late, "2025-02-07T18:00:00Z");
	/* 1050 h after it: due once more and past tolerance again. */
	due_time(item->time, "2025-03-04T18:00:00Z");
	due_pass_close(&p);
	free(rows);
}

/* A pump that was changed begins anew, by hours and by date. */
static void
test_renewed(void **state)
{
	char *rows = even_hours("NM/pump-a", 70, 20, 60);
	const struct due_made made = { .tasks = "look,NM/pump-a,P1Y,400,,,,,\n", .rows = rows, .now = "2025-03-11T12:00:00Z",
		.book = "2024-06-11 00:00,NM/pump-a,note,look,,,,,,kt,x\n"
		    "2025-03-01 22:00,NM/pump-a,pump-change,change-pump,,,,,P-2,kt,x\n" };
	struct due_pass p;
	const struct leat_due_item *item;

	(void)state;
	due_pass_run(&p, &made);
	item = leat_due_item_at(p.due, 0);
	assert_true(item->renewed);
	assert_int_equal(item->stage, LEAT_DUE_UPCOMING);
	/* From the change, in the night before day 60, to day 69: 180 h; what it interpolates over that night is small. */
	unit_close(item->trigger[LEAT_DUE_HOURS].done, 180, 2);
	due_time(item->trigger[LEAT_DUE_EVERY].due, "2026-03-01T00:00:00Z");
	due_pass_close(&p);
	free(rows);
}

/* Without readings, with old ones, or with ones that begin too late, hours are not known; those that are seen are a lower
 * bound, and when that is full the task is due all the same. */
static void
test_hours_unknown(void **state)
{
	char *rows = even_hours("NM/pump-a", 30, 20, 9999);
	struct due_made made = { .tasks = "look,NM/pump-a,,2000,,,,,\n", .book = "2024-12-01 00:00,NM/pump-a,note,look,,,,,,kt,x\n",
		.now = "2025-01-30T12:00:00Z" };
	struct due_pass p;

	(void)state;
	due_pass_run(&p, &made);
	assert_int_equal(leat_due_item_at(p.due, 0)->stage, LEAT_DUE_UNKNOWN);
	due_pass_close(&p);
	made.rows = rows;
	due_pass_run(&p, &made);
	assert_int_equal(leat_due_item_at(p.due, 0)->stage, LEAT_DUE_UNKNOWN);
	assert_true(leat_due_item_at(p.due, 0)->trigger[LEAT_DUE_HOURS].at_least);
	due_pass_close(&p);
	made.tasks = "look,NM/pump-a,,500,,,,,\n";
	due_pass_run(&p, &made);
	assert_int_equal(leat_due_item_at(p.due, 0)->stage, LEAT_DUE_OVERDUE);
	due_pass_close(&p);
	made.tasks = "look,NM/pump-a,,2000,,,,,\n";
	made.book = "2025-01-10 00:00,NM/pump-a,note,look,,,,,,kt,x\n";
	made.now = "2025-02-07T12:00:00Z";
	due_pass_run(&p, &made);
	assert_int_equal(leat_due_item_at(p.due, 0)->stage, LEAT_DUE_UNKNOWN);
	due_pass_close(&p);
	free(rows);
}

/* A pump that stands uses no hours: there is no date, and it is not overdue. */
static void
test_stands(void **state)
{
	char *rows = even_hours("NM/pump-b", 70, 0, 9999);
	const struct due_made made = { .tasks = "look,NM/pump-b,,2000,,,,,\n", .rows = rows, .now = "2025-03-11T06:00:00Z",
		.book = "2025-01-11 00:00,NM/pump-b,note,look,,,,,,kt,x\n" };
	struct due_pass p;

	(void)state;
	due_pass_run(&p, &made);
	assert_int_equal(leat_due_item_at(p.due, 0)->stage, LEAT_DUE_LATER);
	due_time(leat_due_item_at(p.due, 0)->due, "none");
	due_pass_close(&p);
	free(rows);
}

static void
test_condition(void **state)
{
#define F(asset, rule, status, since, until) \
	"2025-11-03T05:00:00Z," asset ",filter-dp," rule "," status ",,,," since "," until ",,,x\n"
	static const struct { const char *findings, *book; enum leat_due_stage stage; enum leat_status status; } rows[] = {
		{ "", "", LEAT_DUE_LATER, LEAT_STATUS_OK },
		{ NULL, "", LEAT_DUE_UNKNOWN, LEAT_STATUS_UNKNOWN },
		{ F("NM/filter", "clogged", "alert", "2025-11-01T00:00:00Z", ""), "", LEAT_DUE_DUE, LEAT_STATUS_ALERT },
		{ F("NM/filter/a", "clogged", "alarm", "2025-11-01T00:00:00Z", ""), "", LEAT_DUE_DUE, LEAT_STATUS_ALARM },
		{ F("NM/filter", "clogged", "ok", "", ""), "", LEAT_DUE_LATER, LEAT_STATUS_OK },
		{ F("NM/filter", "clogged", "unknown", "", ""), "", LEAT_DUE_UNKNOWN, LEAT_STATUS_UNKNOWN },
		/* Over; of the mill as a whole; of another mill; of another rule. */
		{ F("NM/filter", "clogged", "alert", "2025-11-01T00:00:00Z", "2025-11-02T00:00:00Z"), "", LEAT_DUE_LATER, LEAT_STATUS_OK },
		{ F("NM", "clogged", "alert", "2025-11-01T00:00:00Z", ""), "", LEAT_DUE_LATER, LEAT_STATUS_OK },
		{ F("MM/filter", "clogged", "alert", "2025-11-01T00:00:00Z", ""), "", LEAT_DUE_LATER, LEAT_STATUS_OK },
		{ F("NM/filter", "clog", "alert", "2025-11-01T00:00:00Z", ""), "", LEAT_DUE_LATER, LEAT_STATUS_OK },
		/* Done after it began, and before. */
		{ F("NM/filter", "clogged", "alert", "2025-11-01T00:00:00Z", ""), "2025-11-02 08:00,NM/filter,filter-change,look,,,,,,kt,\n",
		    LEAT_DUE_LATER, LEAT_STATUS_OK },
		{ F("NM/filter", "clogged", "alert", "2025-11-01T00:00:00Z", ""), "2025-10-02 08:00,NM/filter,filter-change,look,,,,,,kt,\n",
		    LEAT_DUE_DUE, LEAT_STATUS_ALERT }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		const struct due_made made = { .tasks = "look,NM/filter,,,,clogged|other,,,\n", .findings = rows[i].findings,
			.book = rows[i].book, .now = "2025-11-03T05:30:00Z" };
		struct due_pass p;

		due_pass_run(&p, &made);
		if (leat_due_item_at(p.due, 0)->stage != rows[i].stage || leat_due_item_at(p.due, 0)->status != rows[i].status)
			fail_msg("row %zu: %s", i, leat_due_stage_name(leat_due_item_at(p.due, 0)->stage));
		due_pass_close(&p);
	}
}

/* A verdict on the mill waives the yearly oil change of its tank, while it says ok; a condition is not waived. */
static void
test_waived(void **state)
{
	struct due_made made = { .tasks = "look,NM/tank,P1Y,,,wet,verdict:ok,,\n", .now = "2025-11-03T05:30:00Z",
		.book = "2024-01-01 08:00,NM/tank,oil-change,look,,,,,,kt,\n", .findings = F("NM", "verdict", "ok", "", "") };
	struct due_pass p;

	(void)state;
	due_pass_run(&p, &made);
	assert_int_equal(leat_due_item_at(p.due, 0)->stage, LEAT_DUE_WAIVED);
	due_pass_close(&p);
	made.findings = F("NM", "verdict", "alert", "", "");
	due_pass_run(&p, &made);
	assert_int_equal(leat_due_item_at(p.due, 0)->stage, LEAT_DUE_OVERDUE);
	due_pass_close(&p);
	made.findings = F("NM", "verdict", "ok", "", "") F("NM/tank", "wet", "alert", "2025-11-02T00:00:00Z", "");
	due_pass_run(&p, &made);
	assert_int_equal(leat_due_item_at(p.due, 0)->stage, LEAT_DUE_DUE);
	assert_int_equal(leat_due_item_at(p.due, 0)->by, LEAT_DUE_CONDITION);
	due_pass_close(&p);
}

/* What was done within the window since yesterday is told as over, once.  It was left out from 4 April on, see above. */
static void
test_ended(void **state)
{
	struct due_made made = { .tasks = "look,NM,P1M,,,,,,\n", .now = "2025-04-05T05:30:00Z", .not_all = true,
		.book = "2025-01-31 08:00,NM,note,look,,,,,,kt,x\n2025-04-04 10:00,NM,note,look,,,,,,kt,x\n" };
	struct due_pass p;

	(void)state;
	due_pass_run(&p, &made);
	assert_int_equal(p.found.count, 1);
	unit_span(p.found.item[0].rule, "task-look");
	assert_int_equal(p.found.item[0].status, LEAT_STATUS_ALARM);
	due_time(p.found.item[0].since, "2025-02-28T00:00:00Z");
	due_time(p.found.item[0].until, "2025-04-04T10:00:00Z");
	due_pass_close(&p);
	made.now = "2025-04-06T05:30:00Z";
	due_pass_run(&p, &made);
	assert_int_equal(p.found.count, 0);
	due_pass_close(&p);
}

/* What a finding asked for until yesterday is told as over: by the finding's end, or by the work.  What was never logged and is
 * now is told as in order, since silence is none. */
static void
test_condition_ended(void **state)
{
	static const struct { const char *findings, *book, *until; } rows[] = {
		{ F("NM/filter", "clogged", "alert", "2025-11-01T00:00:00Z", "2025-11-02T12:00:00Z"), "", "2025-11-02T12:00:00Z" },
		{ F("NM/filter", "clogged", "alarm", "2025-11-01T00:00:00Z", ""), "2025-11-02 08:00,NM/filter,filter-change,look,,,,,,kt,\n",
		    "2025-11-02T08:00:00Z" },
		{ F("NM/filter", "clogged", "alert", "2025-11-01T00:00:00Z", "2025-11-02T12:00:00Z"),
		    "2025-11-02 08:00,NM/filter,filter-change,look,,,,,,kt,\n", "2025-11-02T08:00:00Z" },
		/* Longer ago, never so, still so. */
		{ F("NM/filter", "clogged", "alert", "2025-10-30T00:00:00Z", "2025-11-01T12:00:00Z"), "", NULL },
		{ F("NM/filter", "clogged", "ok", "", "2025-11-02T12:00:00Z"), "", NULL },
		{ F("NM/filter", "clogged", "alert", "2025-11-01T00:00:00Z", ""), "", "" }
	};
	struct due_made never = { .tasks = "look,NM,P1M,,,,,,\n", .now = "2025-11-03T05:30:00Z", .not_all = true,
		.book = "2025-11-01 08:00,NM,note,other,,,,,,kt,x\n2025-11-02 10:00,NM,note,look,,,,,,kt,x\n" };
	struct due_pass p;

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		const struct due_made made = { .tasks = "look,NM/filter,,,,clogged,,,\n", .findings = rows[i].findings,
			.book = rows[i].book, .now = "2025-11-03T05:30:00Z", .not_all = true };

		due_pass_run(&p, &made);
		assert_int_equal(p.found.count, rows[i].until != NULL);
		if (rows[i].until != NULL)
			due_time(p.found.item[0].until, rows[i].until[0] != '\0' ? rows[i].until : "none");
		due_pass_close(&p);
	}
	due_pass_run(&p, &never);
	assert_int_equal(p.found.count, 1);
	assert_int_equal(p.found.item[0].status, LEAT_STATUS_OK);
	due_pass_close(&p);
	never.now = "2025-11-04T05:30:00Z";
	due_pass_run(&p, &never);
	assert_int_equal(p.found.count, 0);
	due_pass_close(&p);
}

/* Nothing to judge, and a row that fits nothing, are said. */
static void
test_nothing(void **state)
{
	struct due_made made = { .now = "2025-04-02T05:30:00Z", .not_all = true };
	struct due_pass p;

	(void)state;
	due_pass_run(&p, &made);
	assert_int_equal(p.found.count, 1);
	assert_int_equal(p.found.item[0].status, LEAT_STATUS_UNKNOWN);
	assert_non_null(strstr(p.warned, "nothing was judged"));
	due_pass_close(&p);
	/* A row that gives no interval is no silent ok. */
	made.tasks = "look,NM,,,,,,,\n";
	due_pass_run(&p, &made);
	assert_int_equal(p.found.count, 1);
	assert_int_equal(p.found.item[0].status, LEAT_STATUS_UNKNOWN);
	due_pass_close(&p);
	made.tasks = "look,*/accu-*,P1M,,,,,,\n";
	due_pass_run(&p, &made);
	assert_int_equal(p.found.count, 1);
	unit_span(p.found.item[0].asset, "*/accu-*");
	assert_int_equal(p.found.item[0].status, LEAT_STATUS_UNKNOWN);
	due_pass_close(&p);
}

/* Random days against a plain count of days. */
static void
test_against_a_count(void **state)
{
	uint64_t seed = 20250101;

	(void)state;
	for (int i = 0; i < 300; i++) {
		int every = 1 + (int)(random_next(&seed) % 400), percent = (int)(random_next(&seed) % 30);
		int done = (int)(random_next(&seed) % 300), now = done + (int)(random_next(&seed) % 900), passed = now - done;
		int tolerance = every * percent / 100;
		enum leat_due_stage stage = passed >= 2 * every + tolerance + 1 ? LEAT_DUE_MISSED :
		    passed >= every + tolerance + 1 ? LEAT_DUE_OVERDUE : passed >= every ? LEAT_DUE_DUE :
		    passed >= every - 14 ? LEAT_DUE_UPCOMING : LEAT_DUE_LATER;
		char tasks[80], book[120], at[LEAT_TIME_MAX], stamp[LEAT_TIME_MAX];
		struct due_made made = { .tasks = tasks, .book = book, .now = at };
		struct due_pass p;

		leat_time_write(stamp, (struct leat_time){ (20089 + done) * INT64_C(86400) + 3600, 0 });
		leat_time_write(at, (struct leat_time){ (20089 + now) * INT64_C(86400) + 7200, 0 });
		snprintf(tasks, sizeof(tasks), "look,NM,P%dD,,,,,%d%%,\n", every, percent);
		snprintf(book, sizeof(book), "%s,NM,note,look,,,,,,kt,x\n", stamp);
		due_pass_run(&p, &made);
		if (leat_due_item_at(p.due, 0)->stage != stage)
			fail_msg("every %d d, tolerance %d %%, %d days passed: %s", every, percent, passed,
			    leat_due_stage_name(leat_due_item_at(p.due, 0)->stage));
		due_pass_close(&p);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_month_end), cmocka_unit_test(test_missed_month_ends), cmocka_unit_test(test_clock_changes), cmocka_unit_test(test_leap_day),
		cmocka_unit_test(test_fixed), cmocka_unit_test(test_never_logged), cmocka_unit_test(test_parts_of_an_asset),
		cmocka_unit_test(test_overruled),
		cmocka_unit_test(test_hours_ahead), cmocka_unit_test(test_hours_passed), cmocka_unit_test(test_renewed),
		cmocka_unit_test(test_hours_unknown), cmocka_unit_test(test_stands), cmocka_unit_test(test_condition),
		cmocka_unit_test(test_waived), cmocka_unit_test(test_ended), cmocka_unit_test(test_condition_ended),
		cmocka_unit_test(test_nothing),
		cmocka_unit_test(test_against_a_count)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
