/* Thinning: memory of one period is bounded, and nothing is lost or written twice when it is divided. */
#include "stream/thin.h"
#include "unit.h"

#define ROWS 120000

static struct leat_readings *
open_text(const struct leat_buf *text)
{
	struct leat_error err = { 0 };
	struct leat_input *input = leat_input_memory("text", text->data, text->len, LEAT_ENCODING_RAW, &err);
	struct leat_readings *in = leat_readings_take(&input, 1, &err);

	assert_non_null(in);
	return in;
}

/* A switch that changes twice a second for most of a day, and a level that climbs beside it: changes are all kept, of the
 * level at least the first and the last, and rows stay in their order. */
static void
many_changes(void **state)
{
	struct leat_buf text = { 0 };
	struct leat_error err = { 0 };
	struct leat_zone *utc = leat_zone_open(LEAT_SPAN("UTC"), &err);
	struct leat_grid grid = { .zone = utc };
	struct leat_thin *thin;
	struct leat_readings *in;
	struct leat_reading r;
	static struct leat_out out;
	FILE *file = tmpfile();
	long switches = 0, levels = 0, last = -1, number;
	char line[200];

	(void)state;
	assert_int_equal(leat_buf_printf(&text, "time,asset,point,value,unit,quality,row\n"), 0);
	for (long i = 0; i < ROWS; i++) {
		long s = i / 2;

		assert_int_equal(leat_buf_printf(&text, "2025-11-03T%02ld:%02ld:%02ld.%ldZ,NM,charging,%s,,good,%ld\n", s / 3600,
		    s / 60 % 60, s % 60, i % 2 * 5, i % 2 == 0 ? "on" : "off", 2 * i), 0);
		assert_int_equal(leat_buf_printf(&text, "2025-11-03T%02ld:%02ld:%02ld.%ldZ,NM,level,%ld,mm,good,%ld\n", s / 3600,
		    s / 60 % 60, s % 60, i % 2 * 5, i, 2 * i + 1), 0);
	}
	assert_int_equal(leat_grid_length(&grid, LEAT_SPAN("P1D")), 0);
	thin = leat_thin_new(&grid);
	in = open_text(&text);
	leat_out_init(&out, file);
	while (leat_readings_next(in, &r, &err) == LEAT_READINGS_ROW)
		assert_int_equal(leat_thin_take(thin, in, &r, &out), 0);
	assert_int_equal(leat_thin_end(thin, &out), 0);
	assert_int_equal(leat_out_flush(&out), 0);
	rewind(file);
	while (fgets(line, sizeof(line), file) != NULL) {
		number = strtol(strrchr(line, ',') + 1, NULL, 10);
		assert_true(number > last);
		last = number;
		switches += strstr(line, "charging") != NULL;
		levels += strstr(line, "level") != NULL;
	}
	assert_int_equal(switches, ROWS);
	assert_int_equal(last, 2 * ROWS - 1);
	assert_true(leat_thin_divided(thin) > 0);
	/* First and last of each part; the lowest and the highest are these. */
	assert_int_equal(levels, 2 * (leat_thin_divided(thin) + 1));
	assert_int_equal(leat_thin_written(thin), switches + levels);
	fclose(file);
	leat_readings_close(in);
	leat_thin_free(thin);
	leat_zone_free(utc);
	leat_buf_free(&text);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(many_changes),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
