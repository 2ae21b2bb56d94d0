/* Two points beside each other: what must hold for any stream.  The single rules are the golden cases of leat-pair. */
#include "derived_rows.h"
#include "derive/pair.h"

static char *
pass(const char *rows, size_t len, double within_s)
{
	struct table_file file = table_file_bytes(rows, len);
	char *path = file.path, *text = NULL;
	size_t size = 0;
	struct leat_error err = { 0 };
	struct leat_couples couples = { 0 };
	struct leat_pairing pairing = { .couples = &couples };
	static const char *const operands[][2] = {
		{ "NM/pressure", "NM/round-pressure" }, { "NM/round-pressure", "MM/pressure" }, { "MM/pressure", "NM/pressure-setpoint" }
	};
	FILE *stream = open_memstream(&text, &size);
	static struct leat_out out;
	struct leat_reading r;
	enum leat_readings_status status;
	int kept;

	for (size_t i = 0; i < 3; i++) {
		struct leat_couple c = { .within_s = within_s };

		for (size_t k = 0; k < 2; k++)
			assert_true(leat_couple_operand(leat_span_of(operands[i][k]), &c.asset_of[k], &c.point_of[k]));
		c.asset = c.asset_of[0];
		c.point = c.point_of[0];
		assert_int_equal(leat_couples_add(&couples, &c, &err), 0);
	}
	pairing.in = leat_readings_open(&path, 1, &err);
	assert_true(stream != NULL && pairing.in != NULL);
	leat_out_init(&out, stream);
	pairing.out = &out;
	assert_int_equal(leat_pairing_init(&pairing, &err), 0);
	leat_readings_write_header(&out, pairing.in);
	while ((status = leat_readings_next(pairing.in, &r, &err)) == LEAT_READINGS_ROW) {
		kept = leat_pairing_take(&pairing, &r, &err);
		assert_true(kept >= 0);
		if (kept > 0)
			leat_readings_copy(&out, pairing.in, &r);
	}
	assert_int_equal(status, LEAT_READINGS_END);
	assert_int_equal(leat_pairing_end(&pairing, LEAT_TIME_NONE, &err), 0);
	leat_pairing_free(&pairing);
	leat_readings_close(pairing.in);
	leat_couples_free(&couples);
	assert_int_equal(leat_out_flush(&out), 0);
	fclose(stream);
	table_file_drop(&file);
	return text;
}

/* A second pass changes nothing, what comes out is in order of time, and no result stands twice. */
static void
test_twice(void **state)
{
	static const double within[] = { 0, 60, 600 };
	uint64_t seed = 5;

	(void)state;
	for (int i = 0; i < 150; i++) {
		char *rows = random_rows(&seed, 200);
		char *once = pass(rows, strlen(rows), within[i % 3]), *line, *next;
		char *twice = pass(once, strlen(once), within[i % 3]);

		assert_string_equal(once, twice);
		for (line = strstr(once, ".difference"); line != NULL; line = strstr(line + 1, ".difference")) {
			const char *start = line;
			size_t len;

			while (start[-1] != '\n')
				start--;
			len = (size_t)(line - start) + strlen(".difference");
			for (next = strstr(line + 1, ".difference"); next != NULL; next = strstr(next + 1, ".difference"))
				assert_true(strncmp(next + strlen(".difference") - len, start, len) != 0);
		}
		free(rows);
		free(once);
		free(twice);
	}
}

static void
test_cut(void **state)
{
	static const double within[] = { 0, 60, 600 };
	uint64_t seed = 31;

	(void)state;
	for (int i = 0; i < 300; i++) {
		char *rows = random_rows(&seed, 150), *whole, *part, *cut = rows, last[21];

		for (unsigned line = 2 + random_below(&seed, 140); line > 0; line--)
			cut = strchr(cut, '\n') + 1;
		memcpy(last, cut, 20);
		last[20] = '\0';
		whole = pass(rows, strlen(rows), within[i % 3]);
		part = pass(rows, rows_up_to(rows, last), within[i % 3]);
		whole[rows_up_to(whole, last)] = '\0';
		assert_string_equal(whole, part);
		free(rows);
		free(whole);
		free(part);
	}
}

static void
test_operands(void **state)
{
	static const struct {
		const char *text, *asset, *point;
	} cases[] = {
		{ "NM/pressure", "NM", "pressure" }, { "NM/cyl-1/pressure", "NM/cyl-1", "pressure" }, { "-/X.1", "-", "X.1" },
		{ "pressure", NULL, NULL }, { "/pressure", NULL, NULL }, { "NM/", NULL, NULL }, { "", NULL, NULL }, { "/", NULL, NULL }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_span asset, point;

		if (leat_couple_operand(leat_span_of(cases[i].text), &asset, &point) != (cases[i].asset != NULL))
			fail_msg("'%s'", cases[i].text);
		if (cases[i].asset == NULL)
			continue;
		unit_span(asset, cases[i].asset);
		unit_span(point, cases[i].point);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_twice),
		cmocka_unit_test(test_cut),
		cmocka_unit_test(test_operands),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
