/*
 * The findings stream: lib/stream/finding.c.
 */
#include "unit.h"

#include <unistd.h>

#include "stream/finding.h"

#define HEADER "time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message"

static char path[64];

static int
make_path(void **state)
{
	int fd;

	(void)state;
	snprintf(path, sizeof(path), "/tmp/leat-finding-XXXXXX");
	fd = mkstemp(path);
	return fd < 0 ? -1 : close(fd);
}

static int
remove_path(void **state)
{
	(void)state;
	return unlink(path);
}

static int
read_text(struct leat_findings *all, const char *text, struct leat_error *err)
{
	FILE *file = fopen(path, "w");

	assert_non_null(file);
	assert_int_equal(fwrite(text, 1, strlen(text), file), strlen(text));
	assert_int_equal(fclose(file), 0);
	memset(err, 0, sizeof(*err));
	return leat_findings_read(all, path, err);
}

static void
findings_are_read(void **state)
{
	struct leat_findings all = { 0 };
	struct leat_error err;
	const struct leat_finding *f;

	(void)state;
	assert_int_equal(read_text(&all,
	    HEADER ",extra\r\n"
	    "2025-02-03T04:05:06Z,NM,pressure,limit,alarm,66.2,bar,80,2025-02-03T04:00:00Z,2025-02-03T04:10:00Z,,"
	    "2025-03-01T00:00:00Z,\"pressure is low, find out why\",x\r\n"
	    "\r\n"
	    HEADER ",extra\r\n"
	    "2025-02-03T04:05:07Z,MM,,due,unknown,,,,,,2025-02-10T00:00:00Z,,,\r\n", &err), 0);
	assert_int_equal(all.rejected, 0);
	assert_int_equal(all.count, 2);
	f = &all.item[0];
	assert_int_equal(f->time.sec, 1738555506);
	unit_span(f->asset, "NM");
	unit_span(f->point, "pressure");
	unit_span(f->rule, "limit");
	assert_int_equal(f->status, LEAT_STATUS_ALARM);
	unit_span(f->value, "66.2");
	unit_span(f->unit, "bar");
	unit_span(f->limit, "80");
	assert_int_equal(f->since.sec, 1738555200);
	assert_int_equal(f->until.sec, 1738555800);
	assert_true(leat_time_is_none(f->due));
	assert_int_equal(f->shelved.sec, 1740787200);
	unit_span(f->message, "pressure is low, find out why");
	f = &all.item[1];
	unit_span(f->point, "");
	assert_int_equal(f->status, LEAT_STATUS_UNKNOWN);
	assert_true(leat_time_is_none(f->since));
	assert_true(leat_time_is_none(f->until));
	assert_int_equal(f->due.sec, 1739145600);
	/* A second file is added to the first. */
	assert_int_equal(read_text(&all, "message,shelved,due,until,since,limit,unit,value,status,rule,point,asset,time\n"
	    "m,,,,,,,,ok,r,p,SM,2025-02-03T04:05:08Z\n", &err), 0);
	assert_int_equal(all.count, 3);
	unit_span(all.item[0].message, "pressure is low, find out why");
	unit_span(all.item[2].asset, "SM");
	assert_int_equal(all.item[2].status, LEAT_STATUS_OK);
	leat_findings_free(&all);
	assert_int_equal(all.count, 0);
	leat_findings_free(&all);
}

static void
bad_rows_are_counted(void **state)
{
	static const struct {
		const char *row, *message;
	} cases[] = {
		{ "2025-02-03T04:05:06Z,NM,p,r,bad,,,,,,,,m\n", ":2: column 'status': not ok, alert, alarm or unknown: 'bad'" },
		{ "2025-02-03T04:05:06Z,NM,p,r,,,,,,,,,m\n", ":2: column 'status': not ok, alert, alarm or unknown: ''" },
		{ "2025-02-03T04:05:06Z,NM,p,,ok,,,,,,,,m\n", ":2: column 'rule': empty name: ''" },
		{ ",NM,p,r,ok,,,,,,,,m\n",
		    ":2: column 'time': not a time (RFC 3339, such as 2026-01-31T23:59:59Z): ''" },
		{ "2025-02-03T04:05:06Z,NM,p,r,ok,,,,yesterday,,,,m\n",
		    ":2: column 'since': not a time (RFC 3339, such as 2026-01-31T23:59:59Z): 'yesterday'" },
		{ "2025-02-03T04:05:06Z,NM,p,r,ok,,,,,,,x,m\n",
		    ":2: column 'shelved': not a time (RFC 3339, such as 2026-01-31T23:59:59Z): 'x'" },
		{ "2025-02-03T04:05:06Z,NM,p,r,ok,,,,,,,,m\xFF\n", ":2: column 'message': malformed UTF-8: 'm?'" },
		{ "2025-02-03T04:05:06Z,NM,p,r,ok,,,,,,,,\"m\nn\"\n", ":2: column 'message': control character: 'm?n'" },
		{ "2025-02-03T04:05:06Z,NM,p,r,ok\n", ":2: 5 fields where the header has 13" },
		{ "2025-02-03T04:05:06Z,NM,p,r,ok,,,,,,,,m", ":2: last line is cut: it has no line end" },
		{ "2025-02-03T04:05:06Z,NM,p,r,ok,,,,,,,,a\"b\n",
		    ":2: stray quote: a field with a quote is quoted as a whole and its quotes are doubled" }
	};
	char text[1024], *at;
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_findings all = { 0 };
		struct leat_error err;

		snprintf(text, sizeof(text), "%s\n%s", HEADER, cases[i].row);
		assert_int_equal(read_text(&all, text, &err), 0);
		assert_int_equal(all.count, 0);
		assert_int_equal(all.rejected, 1);
		leat_error_format(&all.first_rejected, text, sizeof(text));
		at = strstr(text, path);
		assert_ptr_equal(at, text);
		assert_string_equal(text + strlen(path), cases[i].message);
		leat_findings_free(&all);
	}
}

static void
files_that_are_none(void **state)
{
	static const struct {
		const char *text, *message;
	} cases[] = {
		{ "", "is empty: a findings stream has at least its header" },
		{ "time,asset,point,value,unit,quality\n", "a readings stream where findings are due" },
		{ "time,asset,point,rule\n", "no column 'status'; the header has: time, asset, point, rule" },
		{ HEADER, "the header is cut: it has no line end" },
		{ HEADER ",rule\n", "column 'rule' comes twice in the header" }
	};
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_findings all = { 0 };
		struct leat_error err;

		assert_int_equal(read_text(&all, cases[i].text, &err), -1);
		assert_non_null(strstr(err.text, cases[i].message));
		assert_int_equal(all.count, 0);
		leat_findings_free(&all);
	}
}

/* Texts of thousands of findings stay where they are while more come. */
static void
texts_do_not_move(void **state)
{
	struct leat_findings all = { 0 };
	struct leat_buf text = { 0 };
	struct leat_error err;
	struct leat_span first;
	char expected[32];
	size_t i;

	(void)state;
	assert_int_equal(leat_buf_printf(&text, "%s\n", HEADER), 0);
	for (i = 0; i < 20000; i++)
		assert_int_equal(leat_buf_printf(&text, "2025-02-03T04:05:06Z,NM,p%zu,r,alert,,,,,,,,message %zu\n", i, i), 0);
	/* One text longer than a block. */
	assert_int_equal(leat_buf_printf(&text, "2025-02-03T04:05:06Z,NM,%0100000d,r,alert,,,,,,,,m\n", 7), 0);
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	assert_int_equal(read_text(&all, text.data, &err), 0);
	first = all.item[0].message;
	assert_int_equal(read_text(&all, text.data, &err), 0);
	assert_ptr_equal(all.item[0].message.ptr, first.ptr);
	assert_int_equal(all.count, 2 * 20001);
	for (i = 0; i < all.count; i++) {
		if (i % 20001 == 20000) {
			assert_int_equal(all.item[i].point.len, 100000);
			continue;
		}
		snprintf(expected, sizeof(expected), "message %zu", i % 20001);
		unit_span(all.item[i].message, expected);
	}
	leat_findings_free(&all);
	leat_buf_free(&text);
}

static void
written_findings_come_back(void **state)
{
	static struct leat_out out;
	struct leat_finding f = {
		.time = { 1738555506, 500000000 }, .asset = LEAT_SPAN("NM/pump-a"), .point = LEAT_SPAN("drain-flow"),
		.rule = LEAT_SPAN("limit"), .status = LEAT_STATUS_ALERT, .value = LEAT_SPAN("12.5"), .unit = LEAT_SPAN("L/min"),
		.limit = LEAT_SPAN("10"), .since = { 1738555200, 0 }, .until = LEAT_TIME_NONE, .due = { 1739145600, 0 },
		.shelved = LEAT_TIME_NONE, .message = LEAT_SPAN("drain flow is 12.5 L/min, \"high\"")
	};
	struct leat_findings all = { 0 };
	struct leat_error err = { 0 };
	FILE *file = fopen(path, "w");
	char got[512];
	size_t n;

	(void)state;
	assert_non_null(file);
	leat_out_init(&out, file);
	leat_findings_write_header(&out, "cycles,hours");
	leat_finding_write(&out, &f, false);
	leat_out_text(&out, ",3,4.5\n");
	assert_int_equal(leat_out_flush(&out), 0);
	fclose(file);
	file = fopen(path, "r");
	assert_non_null(file);
	n = fread(got, 1, sizeof(got), file);
	fclose(file);
	unit_span(leat_span_make(got, n), HEADER ",cycles,hours\n"
	    "2025-02-03T04:05:06.5Z,NM/pump-a,drain-flow,limit,alert,12.5,L/min,10,2025-02-03T04:00:00Z,,"
	    "2025-02-10T00:00:00Z,,\"drain flow is 12.5 L/min, \"\"high\"\"\",3,4.5\n");
	assert_int_equal(leat_findings_read(&all, path, &err), 0);
	assert_int_equal(all.count, 1);
	assert_int_equal(leat_finding_cmp(&all.item[0], &f), 0);
	unit_span(all.item[0].message, "drain flow is 12.5 L/min, \"high\"");
	assert_true(leat_time_is_none(all.item[0].until));
	leat_findings_free(&all);

	/* The plain form ends its own row. */
	file = fopen(path, "w");
	assert_non_null(file);
	leat_out_init(&out, file);
	leat_findings_write_header(&out, NULL);
	leat_finding_write(&out, &f, true);
	assert_int_equal(leat_out_flush(&out), 0);
	fclose(file);
	assert_int_equal(leat_findings_read(&all, path, &err), 0);
	assert_int_equal(all.count, 1);
	assert_int_equal(all.rejected, 0);
	leat_findings_free(&all);
}

/* Each stands before all that follow it. */
static void
order_of_findings(void **state)
{
	static const struct leat_finding order[] = {
		{ .asset = LEAT_SPAN("MM"), .point = LEAT_SPAN("z"), .rule = LEAT_SPAN("z"), .since = { 9, 0 } },
		{ .asset = LEAT_SPAN("NM"), .point = LEAT_SPAN("p"), .rule = LEAT_SPAN("a"), .since = { 9, 0 } },
		{ .asset = LEAT_SPAN("NM"), .point = LEAT_SPAN("p"), .rule = LEAT_SPAN("b"), .since = { 1, 0 } },
		{ .asset = LEAT_SPAN("NM"), .point = LEAT_SPAN("p"), .rule = LEAT_SPAN("b"), .since = { 2, 0 } },
		{ .asset = LEAT_SPAN("NM"), .point = LEAT_SPAN("q"), .rule = LEAT_SPAN("a"), .since = { 1, 0 } },
		{ .asset = LEAT_SPAN("NM/accu-1"), .point = LEAT_SPAN("a"), .rule = LEAT_SPAN("a"), .since = { 1, 0 } },
		{ .asset = LEAT_SPAN("NM-2"), .point = LEAT_SPAN("a"), .rule = LEAT_SPAN("a"), .since = { 1, 0 } }
	};
	size_t i, j, n = sizeof(order) / sizeof(order[0]);

	(void)state;
	for (i = 0; i < n; i++) {
		for (j = 0; j < n; j++) {
			int cmp = leat_finding_cmp(&order[i], &order[j]);

			assert_true(i < j ? cmp < 0 : i > j ? cmp > 0 : cmp == 0);
		}
	}
}

static void
statuses(void **state)
{
	static const char *const name[] = { "ok", "alert", "alarm", "unknown" };
	int i;

	(void)state;
	for (i = 0; i < 4; i++) {
		assert_string_equal(leat_status_name((enum leat_status)i), name[i]);
		assert_int_equal(leat_status_find(leat_span_of(name[i])), i);
	}
	assert_int_equal(leat_status_find(LEAT_SPAN("")), -1);
	assert_int_equal(leat_status_find(LEAT_SPAN("OK")), -1);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(findings_are_read),
		cmocka_unit_test(bad_rows_are_counted),
		cmocka_unit_test(files_that_are_none),
		cmocka_unit_test(texts_do_not_move),
		cmocka_unit_test(written_findings_come_back),
		cmocka_unit_test(order_of_findings),
		cmocka_unit_test(statuses)
	};

	return cmocka_run_group_tests(tests, make_path, remove_path);
}
