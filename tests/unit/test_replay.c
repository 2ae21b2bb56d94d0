/*
 * Past nights against faults and works: activations, detection, false alarms, forecasts; counted by hand.
 */
#include <unistd.h>

#include "base/zone.h"
#include "judge/replay.h"
#include "unit.h"

#define HEADER "time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message,p10,p50,p90\n"

#define LEAT_FINDINGS_TEST "time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message,explains,mode,runner_up\n"

static struct leat_zone *zone;
static char folder[] = "/tmp/leat-replay-XXXXXX";

/* Writes a file of the test's folder and gives its path, good until the next. */
static const char *
file_of(const char *name, const char *text)
{
	static char path[256];
	FILE *file;

	snprintf(path, sizeof(path), "%s/%s", folder, name);
	file = fopen(path, "w");
	assert_non_null(file);
	assert_true(fputs(text, file) >= 0);
	assert_int_equal(fclose(file), 0);
	return path;
}

static struct leat_time
at(const char *text)
{
	struct leat_time t;

	assert_int_equal(leat_time_parse(leat_span_of(text), &t), 0);
	return t;
}

/* A night of January 2025 (33: 2 February) at 04:30 with these rows. */
static void
night(struct leat_replay *replay, int day, const char *rows)
{
	struct leat_findings findings = { 0 };
	struct leat_error err;
	char text[4096], time[40];

	snprintf(text, sizeof(text), HEADER "%s", rows);
	snprintf(time, sizeof(time), "2025-%02d-%02dT04:30:00Z", day > 31 ? 2 : 1, day > 31 ? day - 31 : day);
	assert_int_equal(leat_findings_read(&findings, file_of("night.csv", text), &err), 0);
	assert_int_equal(findings.rejected, 0);
	assert_int_equal(leat_replay_take(replay, at(time), &findings), 0);
	leat_findings_free(&findings);
}

static void
reads_book(struct leat_logbook *book, const char *lines)
{
	char text[2048];
	struct leat_table_lines none = { 0 };
	struct leat_error err;

	snprintf(text, sizeof(text), LEAT_LOGBOOK_HEADER "\n%s", lines);
	assert_int_equal(leat_logbook_text(book, "logbook.csv", leat_span_of(text), zone, LEAT_TIME_NONE, &none, &err), 0);
}

/* The cell of the row that has these texts in its columns rule and asset. */
static struct leat_span
cell(const struct leat_buf *page, const char *rule, const char *asset, const char *column)
{
	struct leat_span rest = leat_buf_span(page), line, head, name, field;
	struct leat_span header;

	assert_true(leat_span_next(&rest, '\n', &header));
	while (leat_span_next(&rest, '\n', &line)) {
		struct leat_span found = { 0 }, l = line;
		bool fits = true, has = false;

		head = header;
		while (leat_span_next(&head, ',', &name) && leat_span_next(&l, ',', &field)) {
			fits = fits && (!leat_span_is(name, "rule") || leat_span_is(field, rule));
			fits = fits && (!leat_span_is(name, "asset") || leat_span_is(field, asset));
			if (leat_span_is(name, column)) {
				found = field;
				has = true;
			}
		}
		if (fits && has)
			return found;
	}
	print_error("no row '%s' '%s'\n%.*s", rule, asset, (int)page->len, page->data);
	fail();
	return rest;
}

static void
score(struct leat_replay *replay, int (*rows)(struct leat_replay *, struct leat_span, struct leat_tabular *),
    const char *header, struct leat_buf *page)
{
	static struct leat_out out;
	struct leat_tabular t = { 0 };
	char *text = NULL;
	size_t len = 0;
	FILE *file = open_memstream(&text, &len);

	assert_non_null(file);
	leat_tabular_begin(&t, header);
	assert_int_equal(rows(replay, LEAT_SPAN(""), &t), 0);
	leat_out_init(&out, file);
	leat_tabular_write(&t, &out, false);
	assert_int_equal(leat_out_flush(&out), 0);
	fclose(file);
	leat_buf_reset(page);
	assert_int_equal(leat_buf_add(page, text, len), 0);
	free(text);
	leat_tabular_free(&t);
}

#define ROW(asset, rule, status, since, until) \
	"2025-01-05T00:00:00Z," asset ",p," rule "," status ",1,,2," since "," until ",,,m,,,\n"

/* Nights that tell one beginning, or follow each other, are one activation; another beginning after a pause is a second. */
static void
test_activations(void **state)
{
	struct leat_replay_form form = { .within_s = 30 * 86400.0 };
	struct leat_replay *replay = leat_replay_new(&form);
	struct leat_buf page = { 0 };

	(void)state;
	night(replay, 5, ROW("A", "r", "alert", "2025-01-04T20:30:00Z", ""));
	night(replay, 6, ROW("A", "r", "alert", "2025-01-04T20:30:00Z", ""));
	/* The beginning is told anew, the next night: the same. */
	night(replay, 7, ROW("A", "r", "alarm", "2025-01-06T20:30:00Z", ""));
	night(replay, 8, ROW("A", "r", "unknown", "", ""));
	night(replay, 9, "");
	night(replay, 10, ROW("A", "r", "ok", "", ""));
	/* One that ended between two nights counts, and once. */
	night(replay, 11, ROW("A", "r", "alert", "2025-01-10T06:30:00Z", "2025-01-10T08:30:00Z"));
	night(replay, 12, ROW("A", "r", "alert", "2025-01-10T06:30:00Z", "2025-01-10T08:30:00Z"));
	assert_int_equal(leat_replay_nights(replay), 8);
	score(replay, leat_replay_scores, LEAT_REPLAY_SCORES, &page);
	unit_span(cell(&page, "r", "A", "activations"), "2");
	unit_span(cell(&page, "r", "A", "judged"), "7");
	unit_span(cell(&page, "r", "A", "unknown"), "1");
	unit_span(cell(&page, "r", "A", "active"), "3");
	/* 4 Jan 20:30 to 7 Jan 04:30 are 56 h, and two more. */
	unit_span(cell(&page, "r", "A", "hours"), "58");
	/* The last is younger than the time allowed for a work. */
	unit_span(cell(&page, "r", "A", "false"), "0");
	unit_span(cell(&page, "r", "A", "undecided"), "2");
	leat_buf_free(&page);
	leat_replay_free(replay);
}

/* A fault is found by what was first told while it lasted; what stood before it is no finding of it, and false. */
static void
test_faults(void **state)
{
	struct leat_faults faults;
	struct leat_replay_form form = { .within_s = 30 * 86400.0, .faults = &faults };
	struct leat_replay *replay;
	struct leat_buf page = { 0 };
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_faults_read(&faults, file_of("truth.csv", "time,asset,rule,end,what\n"
	    "2025-01-08T04:30:00Z,A A/*,r x-*,2025-01-10T04:30:00Z,worn\n2025-01-20T00:00:00Z,B,r,,late\n"), zone, &err), 0);
	replay = leat_replay_new(&form);
	night(replay, 6, ROW("A", "r", "alert", "2025-01-06T00:00:00Z", ""));
	night(replay, 8, "");
	night(replay, 9, "");
	night(replay, 10, ROW("A/b", "x-1", "alert", "2025-01-09T12:00:00Z", "") ROW("C", "r", "alarm", "2025-01-09T12:00:00Z", ""));
	/* Within a week of the end still belongs to it, after that no more. */
	night(replay, 16, ROW("A/c", "x-1", "alert", "2025-01-15T12:00:00Z", ""));
	night(replay, 18, ROW("A/d", "x-1", "alert", "2025-01-17T12:00:00Z", ""));
	score(replay, leat_replay_scores, LEAT_REPLAY_SCORES, &page);
	unit_span(cell(&page, "r", "A", "false"), "1");
	unit_span(cell(&page, "r", "A", "found"), "0");
	unit_span(cell(&page, "r", "A", "missed"), "1");
	unit_span(cell(&page, "x-1", "A/b", "found"), "1");
	unit_span(cell(&page, "x-1", "A/b", "delay"), "2.0");
	unit_span(cell(&page, "x-1", "A/b", "false"), "0");
	unit_span(cell(&page, "x-1", "A/c", "false"), "0");
	unit_span(cell(&page, "x-1", "A/d", "false"), "1");
	unit_span(cell(&page, "x-1", "A/c", "found"), "1");
	unit_span(cell(&page, "x-1", "A/d", "found"), "0");
	unit_span(cell(&page, "r", "C", "false"), "1");
	/* Counted once over all; the fault at B began after the last night. */
	unit_span(cell(&page, "*", "*", "faults"), "1");
	unit_span(cell(&page, "*", "*", "found"), "1");
	unit_span(cell(&page, "*", "*", "false"), "3");
	score(replay, leat_replay_events, LEAT_REPLAY_EVENTS, &page);
	unit_span(cell(&page, "x-1", "A A/*", "first_seen"), "2025-01-10T04:30:00Z");
	leat_buf_free(&page);
	leat_replay_free(replay);
	leat_faults_free(&faults);
}

/* A night of January 2025 with rows of leat-diagnose, and of what they explain. */
static void
diagnosed(struct leat_replay *replay, int day, const char *rows)
{
	struct leat_findings findings = { 0 };
	struct leat_error err;
	char text[4096], time[40];

	snprintf(text, sizeof(text), LEAT_FINDINGS_TEST "%s", rows);
	snprintf(time, sizeof(time), "2025-01-%02dT04:30:00Z", day);
	assert_int_equal(leat_findings_read(&findings, file_of("night.csv", text), &err), 0);
	assert_int_equal(findings.rejected, 0);
	assert_int_equal(leat_replay_take(replay, at(time), &findings), 0);
	leat_findings_free(&findings);
}

#define TOLD(asset, mode, status, explains, runner) \
	"2025-01-05T00:00:00Z," asset ",,likely-" mode "," status ",80,%,,,,,,m," explains "," mode "," runner "\n"
#define SHOWN(asset, rule) "2025-01-05T00:00:00Z," asset ",p," rule ",alert,1,,2,,,,,m,,,\n"

/* Nights of two faults and a mill without: each counted by hand. */
static void
test_diagnoses(void **state)
{
	struct leat_faults faults;
	struct leat_replay_form form = { .within_s = 30 * 86400.0, .faults = &faults };
	struct leat_replay *replay;
	struct leat_buf page = { 0 };
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_faults_read(&faults, file_of("truth.csv", "time,asset,rule,end,what,mode\n"
	    "2025-01-05T00:00:00Z,A A/*,r x-*,2025-01-10T04:30:00Z,worn,wear tear\n"
	    "2025-01-05T00:00:00Z,B,r,,weeps,weep\n2025-01-05T00:00:00Z,D,r,,hidden,hide\n"
	    "2025-01-05T00:00:00Z,E,r,,unscored,\n"), zone, &err), 0);
	replay = leat_replay_new(&form);
	/* Before the fault began: what stands since then is neither right nor wrong, and false. */
	diagnosed(replay, 4, TOLD("A", "old", "alert", "A p r", "wear") SHOWN("A", "r"));
	diagnosed(replay, 5, TOLD("A", "old", "alert", "A p r", "wear") SHOWN("A", "r"));
	/* One that is wrong, with the right one behind it. */
	diagnosed(replay, 6, TOLD("A", "old", "alert", "A p r", "wear") TOLD("A/b", "rust", "alert", "A/b p x-1", "wear")
	    SHOWN("A", "r") SHOWN("A/b", "x-1"));
	/* By its second name; beside it one that is wrong, which the better outweighs. */
	diagnosed(replay, 7, TOLD("A/b", "rust", "alert", "A/b p x-1", "wear") TOLD("A/b", "tear", "alarm", "A p r", "")
	    SHOWN("A/b", "x-1"));
	/* One finding says it.  At B only the wrong one, whose runner-up is wrong too; C has no fault. */
	diagnosed(replay, 8, TOLD("A/b", "wear", "ok", "A/b p x-1", "") TOLD("B", "rust", "alert", "B p r;B p q", "wear")
	    TOLD("C", "rust", "alert", "C p r", "") SHOWN("A/b", "x-1") SHOWN("B", "r") SHOWN("C", "r"));
	/* The next night is the same case of C, and E's fault is none that is scored, but known. */
	diagnosed(replay, 9, TOLD("C", "rust", "alert", "C p r", "") TOLD("E", "rust", "alert", "E p r", "") TOLD("D", "hide", "ok", "", "")
	    SHOWN("A/b", "x-1") SHOWN("B", "r") SHOWN("C", "r") SHOWN("E", "r"));
	score(replay, leat_replay_diagnoses, LEAT_REPLAY_DIAGNOSES, &page);
	unit_span(leat_buf_span(&page), "nights,mode,faults,right,plain,second,wrong,untold,unseen,delay,nights_right,nights_plain,"
	    "nights_second,nights_wrong,nights_untold,taken_for,told,false,mill_months,false_per_month\n"
	    ",hide,1,0,0,0,0,0,1,,0,0,0,0,0,,0,0,0.8,0.000\n"
	    ",old,0,0,0,0,0,0,0,,0,0,0,0,0,,1,1,0.8,1.268\n"
	    /* The 6th is second, the 7th right, the 8th plain: of as many the worse; the 9th is shown and untold.  rust at A/b, B,
	     * C and E; C alone is false. */
	    ",rust,0,0,0,0,0,0,0,,0,0,0,0,0,,4,1,0.8,1.268\n"
	    ",tear,0,0,0,0,0,0,0,,0,0,0,0,0,,1,0,0.8,0.000\n"
	    ",wear,1,0,0,1,0,0,0,2.2,1,1,1,0,1,rust 1,0,0,0.8,0.000\n"
	    ",weep,1,0,0,0,1,0,0,,0,0,0,1,1,rust 1,0,0,0.8,0.000\n"
	    ",*,3,0,0,1,1,0,1,2.2,1,1,1,1,2,rust 2,6,2,0.8,2.536\n");
	score(replay, leat_replay_events, LEAT_REPLAY_EVENTS, &page);
	unit_span(cell(&page, "x-1", "A A/*", "diagnosis"), "second");
	unit_span(cell(&page, "x-1", "A A/*", "taken_for"), "rust");
	unit_span(cell(&page, "x-1", "A A/*", "first_right"), "2025-01-07T04:30:00Z");
	unit_span(cell(&page, "r", "E", "diagnosis"), "");
	unit_span(cell(&page, "", "C", "what"), "rust");
	unit_span(cell(&page, "", "C", "end"), "2025-01-09T04:30:00Z");
	/* What is diagnosed is in no other score. */
	score(replay, leat_replay_scores, LEAT_REPLAY_SCORES, &page);
	assert_int_equal(leat_buf_add(&page, "", 1), 0);
	assert_null(strstr(page.data, "likely"));
	leat_buf_free(&page);
	leat_replay_free(replay);
	leat_faults_free(&faults);
}

#define DUE(status, since, until) \
	"2025-01-05T00:00:00Z,A/b,-,task-oil," status ",,,," since "," until ",,,m,,,\n"

/* Tasks: one that is done after it was told, one that was done already, one that nobody does; what was due and done between two
 * nights; a sum of their own. */
static void
test_tasks(void **state)
{
	struct leat_faults faults;
	struct leat_logbook book;
	struct leat_replay_form form = { .within_s = 2 * 86400.0, .book = &book, .faults = &faults };
	struct leat_replay *replay;
	struct leat_buf page = { 0 };
	struct leat_error err;

	(void)state;
	reads_book(&book, "2025-01-02T08:00:00Z,A,oil-change,oil,,,,,,ab,\n2025-01-15T08:00:00Z,A,oil-change,oil,,,,,,ab,\n"
	    "2025-01-16T02:00:00Z,A,note,grease,,,,,,ab,so\n2025-01-20T08:00:00Z,A/b,oil-change,oil,,,,,,ab,\n"
	    "2025-01-24T08:00:00Z,B,oil-change,oil,,,,,,ab,\n");
	assert_int_equal(book.count, 5);
	assert_int_equal(leat_faults_read(&faults, file_of("truth.csv", "time,asset,rule,end,what\n"
	    "2025-01-05T20:00:00Z,A/b,task-oil,2025-01-10T04:30:00Z,not done\n2025-01-26T00:00:00Z,A/b,task-oil,,not done again\n"
	    "2025-01-05T20:00:00Z,A,r,,a fault\n"), zone, &err), 0);
	replay = leat_replay_new(&form);
	/* The day it is due, told hours before the fault is dated; the work comes after ten days, more than is allowed a finding. */
	night(replay, 5, DUE("alert", "2025-01-04T23:00:00Z", ""));
	night(replay, 6, DUE("alert", "2025-01-04T23:00:00Z", ""));
	night(replay, 8, DUE("ok", "", ""));
	/* Due on the 18th, done between two nights, and told as over. */
	night(replay, 21, DUE("alert", "2025-01-18T23:00:00Z", "2025-01-20T08:00:00Z"));
	score(replay, leat_replay_scores, LEAT_REPLAY_SCORES, &page);
	unit_span(cell(&page, "task-oil", "A/b", "activations"), "2");
	unit_span(cell(&page, "task-oil", "A/b", "found"), "1");
	unit_span(cell(&page, "task-oil", "A/b", "false"), "0");
	unit_span(cell(&page, "task-oil", "A/b", "undecided"), "0");
	leat_replay_free(replay);
	replay = leat_replay_new(&form);
	night(replay, 6, ROW("A", "r", "alert", "2025-01-06T00:00:00Z", ""));
	/* Due on the 14th, done on the 15th, and told on the 16th all the same. */
	night(replay, 16, DUE("alert", "2025-01-14T00:00:00Z", ""));
	night(replay, 18, DUE("ok", "", ""));
	/* Nobody does it. */
	night(replay, 31, DUE("alert", "2025-01-26T23:00:00Z", ""));
	score(replay, leat_replay_scores, LEAT_REPLAY_SCORES, &page);
	unit_span(cell(&page, "task-oil", "A/b", "false"), "1");
	unit_span(cell(&page, "task-oil", "A/b", "works"), "2");
	unit_span(cell(&page, "task-*", "*", "faults"), "2");
	unit_span(cell(&page, "task-*", "*", "found"), "1");
	unit_span(cell(&page, "task-*", "*", "false"), "1");
	/* Of the rest neither tasks nor their faults and works. */
	unit_span(cell(&page, "*", "*", "faults"), "1");
	unit_span(cell(&page, "*", "*", "found"), "1");
	unit_span(cell(&page, "*", "*", "works"), "0");
	unit_span(cell(&page, "*", "*", "false"), "0");
	leat_buf_free(&page);
	leat_replay_free(replay);
	leat_faults_free(&faults);
	leat_logbook_free(&book);
}

/* A pump change is announced by what stood before it; two lines of one work are one; the next one needs a telling of its
 * own. */
static void
test_works(void **state)
{
	struct leat_logbook book = { 0 };
	struct leat_replay_form form = { .within_s = 10 * 86400.0, .book = &book };
	struct leat_replay *replay;
	struct leat_buf page = { 0 };

	(void)state;
	reads_book(&book, "2025-01-12T08:30:00Z,A/pump-a,pump-change,,,,,,s2,ab,\n"
	    "2025-01-12T10:30:00Z,A/pump-a,pump-change,,,,,,s2,ab,again\n2025-01-20T04:30:00Z,A/pump-a,pump-change,,,,,,s3,ab,\n");
	assert_int_equal(book.count, 3);
	replay = leat_replay_new(&form);
	night(replay, 5, ROW("A/pump-a", "w", "alert", "2025-01-04T20:30:00Z", "")
	    ROW("A/pump-b", "w", "alert", "2025-01-04T20:30:00Z", ""));
	night(replay, 11, ROW("A/pump-a", "w", "alert", "2025-01-04T20:30:00Z", ""));
	night(replay, 21, "");
	score(replay, leat_replay_scores, LEAT_REPLAY_SCORES, &page);
	unit_span(cell(&page, "w", "A/pump-a", "works"), "2");
	unit_span(cell(&page, "w", "A/pump-a", "warned"), "1");
	unit_span(cell(&page, "w", "A/pump-a", "lead"), "7.2");
	unit_span(cell(&page, "w", "A/pump-a", "false"), "0");
	/* The other pump was never touched, and the time for it is over. */
	unit_span(cell(&page, "w", "A/pump-b", "works"), "0");
	unit_span(cell(&page, "w", "A/pump-b", "false"), "1");
	leat_buf_free(&page);
	leat_replay_free(replay);
	leat_logbook_free(&book);
}

/* What is reckoned of a day is told the night after: not false where the work was done in between, but no warning; two days after
 * is too late.  With faults given, too, what stands at the end of an item that is renewed may announce the next work. */
static void
test_late(void **state)
{
	struct leat_logbook book = { 0 };
	struct leat_faults faults;
	struct leat_replay_form form = { .within_s = 10 * 86400.0, .book = &book, .faults = &faults };
	struct leat_replay *replay;
	struct leat_buf page = { 0 };
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_faults_read(&faults, file_of("truth.csv", "time,asset,rule\n2025-01-08T04:30:00Z,X,r\n"), zone,
	    &err), 0);
	reads_book(&book, "2025-01-12T08:30:00Z,A/pump-a,pump-change,,,,,,s2,ab,\n2025-01-12T08:30:00Z,B/pump-a,pump-change,,,,,,s2,ab,\n");
	replay = leat_replay_new(&form);
	night(replay, 12, "");
	night(replay, 13, ROW("A/pump-a", "w", "alert", "2025-01-12T05:00:00Z", "2025-01-12T20:00:00Z"));
	night(replay, 14, ROW("B/pump-a", "w", "alert", "2025-01-12T05:00:00Z", "2025-01-13T20:00:00Z"));
	night(replay, 15, ROW("A/pump-a", "v", "alert", "2025-01-12T09:00:00Z", "2025-01-12T20:00:00Z"));
	night(replay, 25, ROW("C/pump-a", "v", "alert", "2025-01-24T05:00:00Z", ""));
	night(replay, 26, ROW("A/pump-a", "v", "alert", "2025-01-25T05:00:00Z", "") ROW("C/pump-a", "v", "alert",
	    "2025-01-24T05:00:00Z", "") ROW("B/pump-a", "v", "alert", "2025-01-25T05:00:00Z", "2025-01-25T20:00:00Z"));
	score(replay, leat_replay_scores, LEAT_REPLAY_SCORES, &page);
	unit_span(cell(&page, "w", "A/pump-a", "false"), "0");
	unit_span(cell(&page, "w", "A/pump-a", "warned"), "0");
	unit_span(cell(&page, "w", "B/pump-a", "false"), "1");
	/* Of v the first began after the work, and the second stands; that of B is over, and C has never been renewed. */
	unit_span(cell(&page, "v", "A/pump-a", "false"), "1");
	unit_span(cell(&page, "v", "A/pump-a", "undecided"), "1");
	unit_span(cell(&page, "v", "B/pump-a", "false"), "1");
	unit_span(cell(&page, "v", "C/pump-a", "false"), "1");
	leat_buf_free(&page);
	leat_replay_free(replay);
	leat_faults_free(&faults);
	leat_logbook_free(&book);
}

#define FORECAST(p10, p50, p90) \
	"2025-01-05T00:00:00Z,A/pump-a,p,w,alert,,,,2025-01-01T00:00:00Z,,,,m," p10 "," p50 "," p90 "\n"
/* The level is there on 1 February, and the line was two and a half days before. */
#define REACHED "2025-02-01T16:30:00Z,A/pump-a,p,w,alarm,9,,8,2025-01-01T00:00:00Z,,,,m,,,\n"

static void
test_forecasts(void **state)
{
	struct leat_logbook book = { 0 };
	struct leat_replay_form form = { .within_s = 10 * 86400.0, .book = &book };
	struct leat_replay *replay = leat_replay_new(&form);
	struct leat_buf page = { 0 };

	(void)state;
	/* The line reached it on the 30th.  16 days ahead: inside, 2 d early; 15: later than told; 1: sooner than told; open ends. */
	night(replay, 14, FORECAST("2025-01-20T04:30:00Z", "2025-01-28T04:30:00Z", "2025-02-10T04:30:00Z"));
	night(replay, 15, FORECAST("2025-01-16T04:30:00Z", "2025-01-17T04:30:00Z", "2025-01-18T04:30:00Z"));
	night(replay, 29, FORECAST("2025-02-02T04:30:00Z", "2025-02-03T04:30:00Z", ""));
	/* A date that has passed is no forecast. */
	night(replay, 30, FORECAST("", "2025-01-29T04:30:00Z", ""));
	night(replay, 33, REACHED);
	score(replay, leat_replay_forecasts, LEAT_REPLAY_FORECASTS, &page);
	/* The row of 14 days is the night nearest to it. */
	unit_span(cell(&page, "w", "A/pump-a", "lead"), "14");
	unit_span(cell(&page, "w", "A/pump-a", "forecasts"), "1");
	unit_span(cell(&page, "w", "A/pump-a", "early"), "1");
	unit_span(cell(&page, "w", "A/pump-a", "error"), "13.0");
	unit_span(cell(&page, "w", "A/pump-a", "bias"), "-13.0");
	assert_non_null(strstr((leat_buf_add(&page, "", 1) == 0 ? page.data : ""), "w,A/pump-a,all,3,1,1,1,0,33,,,6.3,-3.7\n"));
	leat_buf_free(&page);
	leat_replay_free(replay);
}

/* Where the item was renewed first, a forecast whose end had not passed is undecided, and one whose end had was too early. */
static void
test_renewed(void **state)
{
	struct leat_logbook book = { 0 };
	struct leat_replay_form form = { .within_s = 10 * 86400.0, .book = &book };
	struct leat_replay *replay = leat_replay_new(&form);
	struct leat_buf page = { 0 };

	(void)state;
	reads_book(&book, "2025-01-20T04:30:00Z,A/pump-a,pump-change,,,,,,s2,ab,\n");
	night(replay, 8, FORECAST("2025-01-15T04:30:00Z", "2025-01-28T04:30:00Z", "2025-02-10T04:30:00Z"));
	/* What the level tells reaches to the 17th. */
	night(replay, 9, FORECAST("2025-01-13T04:30:00Z", "2025-01-14T04:30:00Z", "2025-01-16T04:30:00Z"));
	night(replay, 33, REACHED);
	score(replay, leat_replay_forecasts, LEAT_REPLAY_FORECASTS, &page);
	assert_non_null(strstr((leat_buf_add(&page, "", 1) == 0 ? page.data : ""), "w,A/pump-a,all,2,0,1,0,1,0,,,,\n"));
	leat_buf_free(&page);
	leat_replay_free(replay);
	leat_logbook_free(&book);
}

/* A night whose rows have the count of daily values too. */
static void
counted(struct leat_replay *replay, int day, int n, const char *row)
{
	struct leat_findings findings = { 0 };
	struct leat_error err;
	char text[4096], time[40];

	snprintf(text, sizeof(text), "time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message,p10,p50,p90,n\n"
	    "%.*s,%d\n", (int)strlen(row) - 1, row, n);
	snprintf(time, sizeof(time), "2025-%02d-%02dT04:30:00Z", day > 31 ? 2 : 1, day > 31 ? day - 31 : day);
	assert_int_equal(leat_findings_read(&findings, file_of("night.csv", text), &err), 0);
	assert_int_equal(leat_replay_take(replay, at(time), &findings), 0);
	leat_findings_free(&findings);
}

#define SEEN FORECAST("2025-01-24T04:30:00Z", "2025-01-25T04:30:00Z", "2025-01-26T04:30:00Z")

/* Values came on the nights of 10, 11, 25, 26 January and 2 February: the level of the last is of the 25th, which is inside.  By
 * days it would be of 30 January, and the forecast too early. */
static void
test_days_without_a_value(void **state)
{
	struct leat_logbook book = { 0 };
	struct leat_replay_form form = { .within_s = 10 * 86400.0, .book = &book };
	struct leat_replay *replay = leat_replay_new(&form);
	struct leat_buf page = { 0 };

	(void)state;
	counted(replay, 10, 21, SEEN);
	counted(replay, 11, 22, FORECAST("", "", ""));
	counted(replay, 12, 22, FORECAST("", "", ""));
	counted(replay, 25, 23, FORECAST("", "", ""));
	counted(replay, 26, 24, FORECAST("", "", ""));
	counted(replay, 33, 25, REACHED);
	score(replay, leat_replay_forecasts, LEAT_REPLAY_FORECASTS, &page);
	unit_span(cell(&page, "w", "A/pump-a", "inside"), "1");
	unit_span(cell(&page, "w", "A/pump-a", "early"), "0");
	leat_buf_free(&page);
	leat_replay_free(replay);
}

/* Nothing is reached up to the last night.  Its level is of 29 January, less half a day, so that it cannot be told whether what
 * was foretold up to the 28th was too early by the half day that is allowed; what was foretold up to the 26th was. */
static void
test_not_known_to_the_end(void **state)
{
	static const char *const late[] = { "2025-01-28T04:30:00Z", "2025-01-26T04:30:00Z" };

	(void)state;
	for (int i = 0; i < 2; i++) {
		struct leat_logbook book = { 0 };
		struct leat_replay_form form = { .within_s = 10 * 86400.0, .book = &book };
		struct leat_replay *replay = leat_replay_new(&form);
		struct leat_buf page = { 0 };
		char row[256];

		snprintf(row, sizeof(row), "2025-01-05T00:00:00Z,A/pump-a,p,w,alert,,,,2025-01-01T00:00:00Z,,,,m,,2025-01-25T04:30:00Z,%s\n",
		    late[i]);
		counted(replay, 20, 20, row);
		for (int day = 27; day <= 31; day++)
			counted(replay, day, day, FORECAST("", "", ""));
		score(replay, leat_replay_forecasts, LEAT_REPLAY_FORECASTS, &page);
		unit_span(cell(&page, "w", "A/pump-a", i == 0 ? "undecided" : "early"), "1");
		leat_buf_free(&page);
		leat_replay_free(replay);
	}
}

static void
test_faults_refused(void **state)
{
	static const char *const bad[] = {
		"time,asset,rule\n,A,r\n", "time,asset,rule\n2025-01-01,,r\n", "time,asset,rule\n2025-01-01,A,\n",
		"time,asset,rule,end\n2025-01-02,A,r,2025-01-01\n", "time,asset,rule,colour\n2025-01-02,A,r,red\n", "time,asset\n"
	};
	struct leat_faults faults;
	struct leat_error err;

	(void)state;
	for (size_t i = 0; i < sizeof(bad) / sizeof(bad[0]); i++)
		assert_int_equal(leat_faults_read(&faults, file_of("truth.csv", bad[i]), zone, &err), -1);
	assert_int_equal(leat_faults_read(&faults, "/nowhere/truth.csv", zone, &err), -1);
}

static int
set_up(void **state)
{
	struct leat_error err;

	(void)state;
	zone = leat_zone_open(LEAT_SPAN("UTC"), &err);
	return zone != NULL && mkdtemp(folder) != NULL ? 0 : -1;
}

static int
tear_down(void **state)
{
	char path[256];

	(void)state;
	leat_zone_free(zone);
	snprintf(path, sizeof(path), "%s/night.csv", folder);
	unlink(path);
	snprintf(path, sizeof(path), "%s/truth.csv", folder);
	unlink(path);
	return rmdir(folder);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_activations), cmocka_unit_test(test_faults), cmocka_unit_test(test_works), cmocka_unit_test(test_late),
		cmocka_unit_test(test_forecasts), cmocka_unit_test(test_renewed), cmocka_unit_test(test_days_without_a_value),
		cmocka_unit_test(test_not_known_to_the_end), cmocka_unit_test(test_faults_refused),
		cmocka_unit_test(test_diagnoses), cmocka_unit_test(test_tasks)
	};

	return cmocka_run_group_tests(tests, set_up, tear_down);
}
