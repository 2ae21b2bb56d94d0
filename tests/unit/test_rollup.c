/* Rolling up a stream: what must hold for any.  The single rules are the golden cases of leat-rollup. */
#include "derived_rows.h"
#include "derive/rollup.h"

/* One pass over rows; what comes out must be freed. */
static char *
pass(const char *rows, size_t len, const char *when, const char *every)
{
	struct table_file file = table_file_bytes(rows, len);
	char *path = file.path, *text = NULL;
	size_t size = 0;
	struct leat_error err = { 0 };
	struct leat_rollup rollup = { .quantile = { 0.5 }, .quantiles = 1, .fixed_start = true };
	FILE *stream = open_memstream(&text, &size);
	static struct leat_out out;
	struct leat_reading r;
	enum leat_readings_status status;
	struct leat_zone *zone = leat_zone_open(LEAT_SPAN("UTC"), &err);
	int kept;

	rollup.in = leat_readings_open(&path, 1, &err);
	assert_true(stream != NULL && zone != NULL && rollup.in != NULL);
	leat_out_init(&out, stream);
	rollup.out = &out;
	rollup.grid.zone = zone;
	assert_int_equal(leat_grid_length(&rollup.grid, leat_span_of(every)), 0);
	if (when != NULL && (rollup.gate = leat_gate_compile(leat_span_of(when), &err)) == NULL)
		fail_msg("%s", err.text);
	leat_rollup_init(&rollup);
	leat_rollup_write_header(&rollup);
	while ((status = leat_readings_next(rollup.in, &r, &err)) == LEAT_READINGS_ROW) {
		kept = leat_rollup_take(&rollup, &r, &err);
		assert_true(kept >= 0);
		if (kept > 0)
			leat_readings_copy(&out, rollup.in, &r);
	}
	assert_int_equal(status, LEAT_READINGS_END);
	assert_int_equal(leat_rollup_end(&rollup, LEAT_TIME_NONE, false, &err), 0);
	leat_rollup_free(&rollup);
	leat_gate_free(rollup.gate);
	leat_readings_close(rollup.in);
	leat_zone_free(zone);
	assert_int_equal(leat_out_flush(&out), 0);
	fclose(stream);
	table_file_drop(&file);
	return text;
}

static const struct {
	const char *when, *every;
} ways[] = {
	{ NULL, "PT10M" }, { "mill-running", "PT1H" }, { "pressure > 115 & mill-running = on", "PT30M" }, { "!mill-running", "PT5M" }
};

/* A second pass changes nothing, and what comes out is in order of time. */
static void
test_twice(void **state)
{
	uint64_t seed = 11;

	(void)state;
	for (int i = 0; i < 100; i++) {
		char *rows = random_rows(&seed, 200);
		char *once = pass(rows, strlen(rows), ways[i % 4].when, ways[i % 4].every);
		char *twice = pass(once, strlen(once), ways[i % 4].when, ways[i % 4].every);

		assert_string_equal(once, twice);
		assert_non_null(strstr(once, "pressure.mean"));
		free(rows);
		free(once);
		free(twice);
	}
}

/* Nothing looks into the future: cut the input after any time, and up to then the same comes out. */
static void
test_cut(void **state)
{
	uint64_t seed = 23;

	(void)state;
	for (int i = 0; i < 200; i++) {
		char *rows = random_rows(&seed, 200), *whole, *part, *cut = rows, last[21];

		for (unsigned line = 2 + random_below(&seed, 198); line > 0; line--)
			cut = strchr(cut, '\n') + 1;
		memcpy(last, strncmp(cut, "20", 2) == 0 ? cut : rows + strlen(ROWS_HEADER), 20);
		last[20] = '\0';
		whole = pass(rows, strlen(rows), ways[i % 4].when, ways[i % 4].every);
		part = pass(rows, rows_up_to(rows, last), ways[i % 4].when, ways[i % 4].every);
		whole[rows_up_to(whole, last)] = '\0';
		assert_string_equal(whole, part);
		free(rows);
		free(whole);
		free(part);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_twice),
		cmocka_unit_test(test_cut),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
