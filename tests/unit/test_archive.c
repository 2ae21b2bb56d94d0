/*
 * The archive: months, its folder, adding and checking.  What it does to files as a whole is in tests/suite/archive.sh.
 */
#include "unit.h"

#include <sys/stat.h>
#include <unistd.h>

#include "stream/archive.h"

static char folder[64];

static int
make_folder(void **state)
{
	(void)state;
	strcpy(folder, "/tmp/leat-archive-XXXXXX");
	return mkdtemp(folder) != NULL ? 0 : -1;
}

static int
remove_folder(void **state)
{
	char command[128];

	(void)state;
	snprintf(command, sizeof(command), "rm -rf '%s'", folder);
	return system(command);
}

static void
test_months(void **state)
{
	static const struct {
		const char *time;
		int year, month;
	} table[] = {
		{ "2025-11-01T00:00:00Z", 2025, 11 },
		{ "2025-11-30T23:59:59.999999999Z", 2025, 11 },
		{ "2025-12-01T00:30:00+01:00", 2025, 11 },
		{ "2024-02-29T12:00:00Z", 2024, 2 },
		{ "1969-12-31T23:59:59Z", 1969, 12 },
		{ "0001-01-01T00:00:00Z", 1, 1 },
		{ "9999-12-31T23:59:59Z", 9999, 12 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++) {
		int month = table[i].year * 12 + table[i].month - 1;
		struct leat_time t;

		assert_int_equal(leat_time_parse(leat_span_of(table[i].time), &t), 0);
		assert_int_equal(leat_month_of(t), month);
		assert_true(leat_time_cmp(leat_month_start(month), t) <= 0);
		assert_true(leat_time_cmp(t, leat_month_start(month + 1)) < 0);
		assert_int_equal(leat_month_of(leat_month_start(month)), month);
	}
}

static void
touch(const char *name)
{
	char path[128];
	FILE *file;

	snprintf(path, sizeof(path), "%s/%s", folder, name);
	file = fopen(path, "w");
	assert_non_null(file);
	fclose(file);
}

static void
test_list(void **state)
{
	struct leat_archive a;
	struct leat_archive_list list = { 0 };
	struct leat_error err;
	char path[128];
	static const struct {
		enum leat_archive_kind kind;
		int month;
	} want[] = {
		{ LEAT_ARCHIVE_MONTH, 1999 * 12 + 11 }, { LEAT_ARCHIVE_STRAY, 0 }, { LEAT_ARCHIVE_MONTH, 2025 * 12 + 9 },
		{ LEAT_ARCHIVE_ASIDE, 2025 * 12 + 9 }, { LEAT_ARCHIVE_LEFT, 2025 * 12 + 10 }, { LEAT_ARCHIVE_STRAY, 0 },
		{ LEAT_ARCHIVE_STRAY, 0 },
	};

	(void)state;
	snprintf(path, sizeof(path), "%s/2025", folder);
	assert_int_equal(mkdir(path, 0777), 0);
	snprintf(path, sizeof(path), "%s/1999", folder);
	assert_int_equal(mkdir(path, 0777), 0);
	touch("2025/10.csv.gz"), touch("2025/10.csv.gz.damaged"), touch("2025/11.csv.gz.new"), touch("2025/13.csv.gz");
	touch("1999/12.csv.gz"), touch("2025/.hidden"), touch("200"), touch("2025/9.csv.gz");
	assert_int_equal(leat_archive_open(&a, folder, &err), 0);
	assert_int_equal(leat_archive_list(&a, &list, &err), 0);
	assert_int_equal(list.count, sizeof(want) / sizeof(want[0]));
	for (size_t i = 0; i < list.count; i++) {
		assert_int_equal(list.file[i].kind, want[i].kind);
		assert_int_equal(list.file[i].month, want[i].month);
	}
	leat_archive_list_free(&list);
	leat_archive_close(&a);
	/* A writer removes what a killed run left, and nothing else. */
	assert_int_equal(leat_archive_take(&a, folder, &err), 0);
	assert_int_equal(leat_archive_list(&a, &list, &err), 0);
	assert_int_equal(list.count, sizeof(want) / sizeof(want[0]) - 1);
	leat_archive_list_free(&list);
	leat_archive_close(&a);
}

static int aside;

static void
count_aside(const struct leat_error *err, struct leat_span raw)
{
	aside++;
	assert_true(err->line > 0 && raw.len > 0);
}

/* Adds a readings text, and commits when asked to. */
static struct leat_archive_sum
add(const char *text, bool commit)
{
	struct leat_error err = { 0 };
	struct leat_input *input = leat_input_memory("text", text, strlen(text), LEAT_ENCODING_RAW, &err);
	struct leat_archive a;
	struct leat_archiver w = { .archive = &a, .set_aside = count_aside };
	struct leat_readings *in = leat_readings_take(&input, 1, &err);
	struct leat_reading r;

	assert_non_null(in);
	w.in = in;
	assert_int_equal(leat_archive_take(&a, folder, &err), 0);
	while (leat_readings_next(in, &r, &err) == LEAT_READINGS_ROW)
		assert_int_equal(leat_archiver_put(&w, &r, &err), 0);
	assert_int_equal(leat_archiver_finish(&w, &err), 0);
	if (commit)
		assert_int_equal(leat_archiver_commit(&w, &err), 0);
	leat_archiver_free(&w);
	leat_readings_close(in);
	leat_archive_close(&a);
	return w.sum;
}

static void
fault(const struct leat_error *err)
{
	fail_msg("%s:%ld: %s", err->file, err->line, err->text);
}

static size_t
files(long long *rows)
{
	struct leat_archive_check check = { .fault = fault };
	struct leat_archive_list list = { 0 };
	struct leat_archive a;
	struct leat_error err;
	size_t count;

	assert_int_equal(leat_archive_open(&a, folder, &err), 0);
	assert_int_equal(leat_archive_list(&a, &list, &err), 0);
	for (size_t i = 0; i < list.count; i++)
		assert_int_equal(leat_archive_verify(&list.file[i], &check), 0);
	count = list.count;
	*rows = check.rows;
	leat_archive_list_free(&list);
	leat_archive_close(&a);
	return count;
}

#define HEAD "time,asset,point,value,unit,quality\n"

static void
test_adding(void **state)
{
	static const char first[] = HEAD "2025-11-30T23:00:00Z,NM,pressure,83.1,bar,good\n"
	    "2025-12-01T00:00:00Z,NM,pressure,84,bar,good\n2025-12-01T00:00:00Z,NM,pressure,84.0,bar,good\n";
	static const char second[] = HEAD "2025-12-01T00:00:00Z,MM,pressure,1,bar,good\n"
	    "2025-12-01T00:00:00Z,NM,pressure,85,bar,good\n2025-12-02T00:00:00Z,NM,pressure,1,bar,good\n"
	    "2025-12-02T00:00:00Z,NM,pressure,2,bar,good\n";
	struct leat_archive_sum sum;
	long long rows;

	(void)state;
	sum = add(first, false);
	assert_int_equal(sum.added, 2);
	assert_int_equal(files(&rows), 0);	/* nothing was committed, and nothing stays */
	sum = add(first, true);
	assert_int_equal(sum.added, 2);
	assert_int_equal(sum.repeated, 1);
	assert_int_equal(sum.changed, 2);
	assert_int_equal(files(&rows), 2);
	assert_int_equal(rows, 2);
	sum = add(first, true);
	assert_int_equal(sum.known, 2);
	assert_int_equal(sum.changed, 0);
	aside = 0;
	sum = add(second, true);
	assert_int_equal(sum.added, 1);
	assert_int_equal(sum.conflicts, 3);
	assert_int_equal(aside, 3);
	assert_int_equal(sum.rows, sum.added + sum.replaced + sum.known + sum.repeated + sum.conflicts);
	assert_int_equal(files(&rows), 2);
	assert_int_equal(rows, 3);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_months),
		cmocka_unit_test_setup_teardown(test_list, make_folder, remove_folder),
		cmocka_unit_test_setup_teardown(test_adding, make_folder, remove_folder),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
