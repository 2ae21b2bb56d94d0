/*
 * The folder of nights, and how far readings reach.
 */
#include "unit.h"

#include <errno.h>
#include <sys/stat.h>
#include <unistd.h>

#include "tell/nights.h"
#include "tell/reach.h"

static char folder[64];

static int
setup(void **state)
{
	(void)state;
	snprintf(folder, sizeof(folder), "/tmp/leat-nights-XXXXXX");
	return mkdtemp(folder) != NULL ? 0 : -1;
}

static int
teardown(void **state)
{
	(void)state;
	return rmdir(folder);
}

static char *
path_of(const char *name)
{
	static char path[160];

	snprintf(path, sizeof(path), "%s/%s", folder, name);
	return path;
}

static void
put(const char *name, const char *text)
{
	FILE *file = fopen(path_of(name), "w");

	assert_non_null(file);
	fputs(text, file);
	assert_int_equal(fclose(file), 0);
}

static void
test_nights(void **state)
{
	static const char *const name[] = {
		"2025-02-01.csv", "2025-02-03.csv", "2025-02-28.csv", "2025-02-29.csv", "2025-13-01.csv", "2025-02-02.csv.new",
		".2025-02-02.csv", "2025-2-2.csv", "latest.csv", "+025-02-02.csv"
	};
	static const struct {
		int month, day;		/* of 2025; 0: none found */
		int expect_month, expect_day;
	} cases[] = { { 2, 1, 0, 0 }, { 2, 2, 2, 1 }, { 2, 3, 2, 1 }, { 2, 4, 2, 3 }, { 3, 2, 2, 28 }, { 12, 31, 2, 28 } };
	struct leat_error err;

	(void)state;
	for (size_t i = 0; i < sizeof(name) / sizeof(name[0]); i++)
		put(name[i], "");
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		int64_t day = 0;
		char *path = NULL, expected[100];
		int found = leat_nights_before(folder, leat_days_from_civil(2025, cases[i].month, cases[i].day), &day, &path, &err);

		assert_int_equal(found, cases[i].expect_month != 0);
		if (found == 0)
			continue;
		assert_int_equal(day, leat_days_from_civil(2025, cases[i].expect_month, cases[i].expect_day));
		snprintf(expected, sizeof(expected), "%s/2025-%02d-%02d.csv", folder, cases[i].expect_month, cases[i].expect_day);
		assert_string_equal(path, expected);
		free(path);
	}
	for (size_t i = 0; i < sizeof(name) / sizeof(name[0]); i++)
		unlink(path_of(name[i]));
}

static void
test_no_folder(void **state)
{
	struct leat_error err;
	int64_t day;
	char *path = NULL;

	(void)state;
	assert_int_equal(leat_nights_before(path_of("none"), 1000000, &day, &path, &err), 0);
	put("file", "");
	assert_int_equal(leat_nights_before(path_of("file"), 1000000, &day, &path, &err), -1);
	assert_non_null(strstr(err.text, "earlier nights"));
	unlink(path_of("file"));
}

static void
check_reach(const char *now, const char *const *expected, size_t count, const char *last)
{
	struct leat_reaches reaches = { 0 };
	struct leat_time limit = LEAT_TIME_NONE;
	struct leat_error err;
	char text[LEAT_TIME_MAX];

	if (now != NULL)
		assert_int_equal(leat_time_parse(leat_span_of(now), &limit), 0);
	assert_int_equal(leat_reach_read(&reaches, path_of("r.csv"), limit, &err), 0);
	assert_int_equal(reaches.count, count);
	for (size_t i = 0; i < count; i++) {
		unit_span(reaches.reach[i].mill, expected[2 * i]);
		if (expected[2 * i + 1] == NULL) {
			assert_true(leat_time_is_none(reaches.reach[i].last));
			continue;
		}
		leat_time_write(text, reaches.reach[i].last);
		assert_string_equal(text, expected[2 * i + 1]);
	}
	leat_time_write(text, reaches.last);
	assert_string_equal(text, last);
	leat_reach_free(&reaches);
}

static void
test_reach(void **state)
{
	static const char *const all[] = { "MM", "2025-02-04T03:00:00Z", "NM", "2025-02-04T04:00:00Z", "SM", NULL };
	static const char *const early[] = { "MM", "2025-02-04T03:00:00Z", "NM", "2025-02-04T02:00:00Z" };

	(void)state;
	put("r.csv", "time,asset,point,value,unit,quality\n"
	    "2025-02-04T02:00:00Z,NM/pump-a,drain-flow,2.1,L/min,good\n"
	    "2025-02-04T03:00:00Z,MM,pressure,121,bar,uncertain\n"
	    "2025-02-04T03:30:00Z,MM,pressure,,bar,bad\n"
	    "2025-02-04T03:40:00Z,MM,state,unknown,,good\n"
	    "2025-02-04T03:50:00Z,SM,pressure,,bar,bad\n"
	    "2025-02-04T04:00:00Z,NM,level,446,mm,good\n");
	check_reach(NULL, all, 3, "2025-02-04T04:00:00Z");
	check_reach("2025-02-04T03:45:00Z", early, 2, "2025-02-04T03:40:00Z");
	unlink(path_of("r.csv"));
}

static void
test_reach_fails(void **state)
{
	struct leat_reaches reaches = { 0 };
	struct leat_error err;

	(void)state;
	assert_int_equal(leat_reach_read(&reaches, path_of("none"), LEAT_TIME_NONE, &err), -1);
	leat_reach_free(&reaches);
	put("r.csv", "time,asset,point,value,unit,quality\nnever,NM,level,446,mm,good\n");
	assert_int_equal(leat_reach_read(&reaches, path_of("r.csv"), LEAT_TIME_NONE, &err), 0);
	assert_int_equal(reaches.rejected, 1);
	assert_int_equal(reaches.count, 0);
	leat_reach_free(&reaches);
	unlink(path_of("r.csv"));
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_nights), cmocka_unit_test(test_no_folder), cmocka_unit_test(test_reach),
		cmocka_unit_test(test_reach_fails)
	};

	return cmocka_run_group_tests(tests, setup, teardown);
}
