/*
 * The sorter against the C library's qsort: same rows, in order, equal times in the order in which they were put.
 */
#include "unit.h"

#include <signal.h>
#include <sys/resource.h>

#include "stream/sorter.h"
#include "stream/spill.h"

#define SMALLEST (64u * 1024u)

/* A row to put: its time and its place in the order of puts. */
struct item {
	struct leat_time time;
	uint32_t place;
	uint32_t len;		/* bytes of the row */
};

/* A small generator of its own, so that every run of the test is the same (constants of Numerical Recipes). */
static uint32_t
chance(uint32_t *state)
{
	*state = *state * 1664525u + 1013904223u;
	return *state >> 8;
}

static int
item_cmp(const void *a, const void *b)
{
	const struct item *x = a, *y = b;
	int cmp = leat_time_cmp(x->time, y->time);

	return cmp != 0 ? cmp : x->place < y->place ? -1 : x->place > y->place;
}

/* The row's bytes follow from its place, so that a row can be told from every other and checked to its end. */
static void
fill(char *row, const struct item *item)
{
	memset(row, 'a' + (int)(item->place % 26), item->len);
	if (item->len >= sizeof(item->place))
		memcpy(row, &item->place, sizeof(item->place));
}

/* Puts all items, takes them out again and compares with qsort.  Returns how many runs were spilled. */
static size_t
check(struct item *item, size_t count, size_t memory, size_t longest)
{
	char *row = malloc(longest + 1);
	struct leat_error err;
	struct leat_sorter *s = leat_sorter_new(memory, "/tmp", &err);
	struct leat_time time;
	struct leat_span got;
	size_t spilled;

	assert_non_null(row);
	assert_non_null(s);
	for (size_t i = 0; i < count; i++) {
		fill(row, &item[i]);
		assert_int_equal(leat_sorter_put(s, item[i].time, row, item[i].len, &err), 0);
	}
	qsort(item, count, sizeof(*item), item_cmp);
	for (size_t i = 0; i < count; i++) {
		assert_int_equal(leat_sorter_next(s, &time, &got, &err), 1);
		assert_int_equal(leat_time_cmp(time, item[i].time), 0);
		fill(row, &item[i]);
		assert_int_equal(got.len, item[i].len);
		assert_true(leat_span_eq(got, leat_span_make(row, item[i].len)));
	}
	assert_int_equal(leat_sorter_next(s, &time, &got, &err), 0);
	assert_int_equal(leat_sorter_next(s, &time, &got, &err), 0);
	spilled = leat_sorter_spilled(s);
	leat_sorter_free(s);
	free(row);
	return spilled;
}

static struct item *
random_items(size_t count, uint32_t seed, uint32_t times, uint32_t longest)
{
	struct item *item = calloc(count, sizeof(*item));

	assert_non_null(item);
	for (size_t i = 0; i < count; i++) {
		item[i].time.sec = (int64_t)(chance(&seed) % times) - (int64_t)(times / 2);
		item[i].time.nsec = (int32_t)(chance(&seed) % 3) * 250000000;
		item[i].place = (uint32_t)i;
		item[i].len = chance(&seed) % (longest + 1);
	}
	return item;
}

static void
test_in_memory(void **state)
{
	(void)state;
	for (uint32_t count = 0; count < 40; count++) {
		struct item *item = random_items(count, count + 1, 5, 30);

		assert_int_equal(check(item, count, SMALLEST, 30), 0);
		free(item);
	}
}

static void
test_spills(void **state)
{
	static const struct {
		size_t count;
		uint32_t times, longest;
	} table[] = {
		{ 5000, 1000000, 40 },
		{ 20000, 50, 40 },	/* mostly equal times: stable across runs */
		{ 60000, 100000, 60 },	/* more runs than are read at once from so little memory */
		{ 300, 100, 9000 },	/* rows longer than a read buffer */
	};

	(void)state;
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++) {
		struct item *item = random_items(table[i].count, (uint32_t)i + 7, table[i].times, table[i].longest);
		size_t spilled = check(item, table[i].count, SMALLEST, table[i].longest);

		assert_true(spilled > 1);
		if (i == 2)
			assert_true(spilled > SMALLEST / LEAT_SPILL_BUFFER_MIN);
		free(item);
	}
}

/* So many runs that those of one pass are too many again. */
static void
test_passes(void **state)
{
	const size_t at_once = SMALLEST / LEAT_SPILL_BUFFER_MIN;
	size_t count = 300000;
	struct item *item = random_items(count, 99, 4000, 80);

	(void)state;
	assert_true(check(item, count, SMALLEST, 80) > at_once * at_once);
	free(item);
}

static void
test_rows_beyond_memory(void **state)
{
	uint32_t len[] = { 10, SMALLEST, 3 * SMALLEST, 0, SMALLEST - 36, SMALLEST - 37, 20, 1000000, 5 };
	struct item item[sizeof(len) / sizeof(len[0])];
	size_t count = sizeof(len) / sizeof(len[0]);

	(void)state;
	for (size_t i = 0; i < count; i++)
		item[i] = (struct item){ { 100 - (int64_t)(i / 2), 0 }, (uint32_t)i, len[i] };
	assert_true(check(item, count, 1, 1000000) >= 4);
}

/* The forms that exports come in: in order, backwards, a block for each tag. */
static void
test_patterns(void **state)
{
	size_t count = 8000;
	struct item *item = calloc(count, sizeof(*item));

	(void)state;
	assert_non_null(item);
	for (int pattern = 0; pattern < 3; pattern++) {
		for (size_t i = 0; i < count; i++) {
			int64_t sec = pattern == 0 ? (int64_t)i : pattern == 1 ? -(int64_t)i : (int64_t)(i % 1000);

			item[i] = (struct item){ { sec, 0 }, (uint32_t)i, 12 };
		}
		check(item, count, SMALLEST, 12);
	}
	free(item);
}

static int
put_until_error(struct leat_sorter *s, struct leat_error *err)
{
	char row[100] = "";

	for (int64_t i = 0; i < 100000; i++) {
		if (leat_sorter_put(s, (struct leat_time){ -i, 0 }, row, sizeof(row), err) != 0)
			return -1;
	}
	return 0;
}

static void
test_no_folder(void **state)
{
	struct leat_error err = { .line = 0 };
	struct leat_sorter *s = leat_sorter_new(SMALLEST, "/nowhere/at/all", &err);

	(void)state;
	assert_non_null(s);
	assert_int_equal(put_until_error(s, &err), -1);
	assert_string_equal(err.text, "cannot make a temporary file in '/nowhere/at/all': no such file or directory");
	leat_sorter_free(s);
}

/* A limit on the size of files stands in for a full disk. */
static void
test_full_disk(void **state)
{
	struct leat_error err = { .line = 0 };
	struct leat_sorter *s = leat_sorter_new(SMALLEST, "/tmp", &err);
	struct rlimit old, small;
	int put;

	(void)state;
	assert_non_null(s);
	signal(SIGXFSZ, SIG_IGN);
	assert_int_equal(getrlimit(RLIMIT_FSIZE, &old), 0);
	small = old;
	small.rlim_cur = 300000;
	assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
	put = put_until_error(s, &err);
	assert_int_equal(setrlimit(RLIMIT_FSIZE, &old), 0);
	assert_int_equal(put, -1);
	assert_string_equal(err.text, "cannot write a temporary file in '/tmp': file too large");
	leat_sorter_free(s);
}

static void
test_nothing_put(void **state)
{
	struct leat_error err;
	struct leat_sorter *s = leat_sorter_new(SMALLEST, "/nowhere/at/all", &err);
	struct leat_time time;
	struct leat_span row;

	(void)state;
	assert_non_null(s);
	assert_int_equal(leat_sorter_next(s, &time, &row, &err), 0);
	leat_sorter_free(s);
	leat_sorter_free(NULL);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_in_memory),
		cmocka_unit_test(test_spills),
		cmocka_unit_test(test_passes),
		cmocka_unit_test(test_rows_beyond_memory),
		cmocka_unit_test(test_patterns),
		cmocka_unit_test(test_no_folder),
		cmocka_unit_test(test_full_disk),
		cmocka_unit_test(test_nothing_put),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
