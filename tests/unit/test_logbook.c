/* logbook.csv: reading, checking and writing entries. */
#include "table_file.h"
#include "upkeep/log_write.h"

static struct leat_time
at(const char *text)
{
	struct leat_time t = LEAT_TIME_NONE;

	assert_int_equal(leat_time_parse(leat_span_of(text), &t), 0);
	return t;
}

struct told {
	int lines, cut;
	long last;
};

static void
note(void *user, const struct leat_error *err, bool cut)
{
	struct told *told = user;

	told->lines++;
	told->cut += cut;
	told->last = err->line;
}

#define HEADER LEAT_LOGBOOK_HEADER "\n"
#define GOOD(t) t ",NM,note,,,,,,,me,x\n"

static void
lines_apart(void **state)
{
	static const struct {
		const char *name, *text;
		size_t entries;
		int lines, cut;
	} cases[] = {
		{ "good", HEADER GOOD("2025-11-01T00:00:00Z") GOOD("2025-11-02T00:00:00Z"), 2, 0, 0 },
		{ "bom and crlf", "\xEF\xBB\xBF" LEAT_LOGBOOK_HEADER "\r\n2025-11-01T00:00:00Z,NM,note,,,,,,,me,x\r\n", 1, 0, 0 },
		{ "cut", HEADER GOOD("2025-11-01T00:00:00Z") "2025-11-02T0", 1, 1, 1 },
		{ "cut at its end", HEADER "2025-11-01T00:00:00Z,NM,note,,,,,,,me,x", 0, 1, 1 },
		{ "cut within", HEADER "2025-11-02T0\n" GOOD("2025-11-01T00:00:00Z"), 1, 1, 1 },
		{ "cut in a quote", HEADER "2025-11-02T00:00:00Z,NM,note,,,,,,,me,\"ab\n" GOOD("2025-11-01T00:00:00Z"), 1, 1, 1 },
		{ "cut in a character", HEADER "2025-11-02T00:00:00Z,NM,note,,,,,,,me,\xC3\n" GOOD("2025-11-01T00:00:00Z"), 1, 1, 0 },
		{ "at fault", HEADER "soon,NM,note,,,,,,,me,x\n" GOOD("2025-11-01T00:00:00Z"), 1, 1, 0 },
		{ "cells of a line at fault", HEADER "2025-11-02T00:00:00Z,NM,note,,,5,6,,,,\xC3\n" GOOD("2025-11-01T00:00:00Z"), 1, 1, 0 },
		{ "nothing", "", 0, 0, 0 },
		{ "not begun", "time,asset,ev", 0, 0, 0 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct told told = { 0, 0, 0 };
		struct leat_table_lines lines = { note, &told };
		struct leat_logbook book;
		struct leat_error err = { 0 };

		if (leat_logbook_text(&book, "book", leat_span_of(cases[i].text), NULL, LEAT_TIME_NONE, &lines, &err) != 0)
			fail_msg("%s: %s", cases[i].name, err.text);
		if (book.count != cases[i].entries || told.lines != cases[i].lines || told.cut != cases[i].cut)
			fail_msg("%s: %zu entries, %d lines, %d cut", cases[i].name, book.count, told.lines, told.cut);
		if (book.count > 0) {
			unit_span(book.entry[0].who, "me");
			unit_span(book.entry[0].found, "");
		}
		leat_logbook_free(&book);
	}
}

static void
order_and_now(void **state)
{
	struct leat_logbook book;
	struct leat_error err = { 0 };

	(void)state;
	assert_int_equal(leat_logbook_text(&book, "book", LEAT_SPAN(HEADER GOOD("2025-11-03T00:00:00Z")
	    GOOD("2025-11-01T00:00:00Z") GOOD("2025-11-01T00:00:00Z") GOOD("2025-11-02T00:00:01Z")), NULL,
	    at("2025-11-02T00:00:00Z"), NULL, &err), 0);
	assert_int_equal(book.count, 2);
	assert_int_equal(book.later, 2);
	assert_int_equal(book.entry[0].line, 3);
	assert_int_equal(book.entry[1].line, 4);
	leat_logbook_free(&book);
	assert_int_equal(leat_logbook_text(&book, "book", LEAT_SPAN("some,other,file\n1,2,3\n"), NULL, LEAT_TIME_NONE, NULL,
	    &err), -1);
}

/* A line that is written reads as what was written. */
static void
there_and_back(void **state)
{
	static const char *const notes[] = { "plain", "comma, in it", "\"quoted\"", "ends in blank \"", "K\xC3\xBChler", "=1+1", "'" };
	struct leat_error err = { 0 };

	(void)state;
	for (size_t i = 0; i < sizeof(notes) / sizeof(notes[0]); i++) {
		struct leat_log_entry e = { .time = at("2025-11-01T05:06:07.5Z"), .event = leat_event_find(LEAT_SPAN("top-up")),
		    .asset = LEAT_SPAN("NM"), .left = LEAT_SPAN("12.50"), .who = LEAT_SPAN("a, b"),
		    .note = leat_span_of(notes[i]) };
		struct leat_buf text = { 0 };
		struct leat_logbook book;

		leat_log_entry_complete(&e, NULL);
		assert_int_equal(leat_log_entry_check(&e, &(struct leat_log_rules){ LEAT_TIME_NONE, NULL }, &err), 0);
		assert_int_equal(leat_buf_add(&text, HEADER, sizeof(HEADER) - 1), 0);
		assert_int_equal(leat_log_entry_line(&text, &e), 0);
		assert_int_equal(leat_logbook_text(&book, "book", leat_buf_span(&text), NULL, LEAT_TIME_NONE, NULL, &err), 0);
		assert_int_equal(book.count, 1);
		assert_int_equal(leat_time_cmp(book.entry[0].time, e.time), 0);
		unit_span(book.entry[0].point, "top-up");
		unit_span(book.entry[0].left, "12.50");
		assert_string_equal(book.entry[0].unit->name, "L");
		unit_span(book.entry[0].who, "a, b");
		unit_span(book.entry[0].note, notes[i]);
		leat_logbook_free(&book);
		leat_buf_free(&text);
	}
}

/* Every event can be logged with what it needs, and not without. */
static void
needs(void **state)
{
	const struct leat_event *event;
	struct leat_log_rules rules = { at("2025-11-02T00:00:00Z"), NULL };
	struct leat_error err = { 0 };

	(void)state;
	for (size_t i = 0; (event = leat_event_at(i)) != NULL; i++) {
		struct leat_log_entry e = { .time = at("2025-11-03T00:00:00Z"), .event = event, .asset = LEAT_SPAN("NM"),
		    .who = LEAT_SPAN("me") };

		leat_log_entry_complete(&e, NULL);
		assert_int_equal(leat_log_entry_check(&e, &rules, &err), event->needs == 0 ? 0 : -1);
		e.item = LEAT_SPAN("S-1");
		e.note = LEAT_SPAN("words");
		if (event->needs & LEAT_NEEDS_POINT)
			e.point = LEAT_SPAN("drain-flow");
		if (e.point.len > 0)
			e.left = LEAT_SPAN("5");
		if (leat_log_entry_check(&e, &rules, &err) != 0)
			fail_msg("%s: %s: %s", event->name, err.column, err.text);
		e.time = at("2025-11-03T00:00:01Z");
		assert_int_equal(leat_log_entry_check(&e, &rules, &err), -1);
		assert_string_equal(err.column, "time");
	}
	assert_null(leat_event_find(LEAT_SPAN("topup")));
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(lines_apart), cmocka_unit_test(order_and_now), cmocka_unit_test(there_and_back),
		cmocka_unit_test(needs)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
