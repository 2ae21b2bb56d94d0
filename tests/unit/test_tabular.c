/* A table of text: as CSV, for people, sorted, and only what differs. */
#include <math.h>

#include "tell/tabular.h"
#include "unit.h"

static void
writes(const struct leat_tabular *t, bool people, const char *expected)
{
	static struct leat_out out;
	char *text = NULL;
	size_t len = 0;
	FILE *file = open_memstream(&text, &len);

	assert_non_null(file);
	leat_out_init(&out, file);
	leat_tabular_write(t, &out, people);
	assert_int_equal(leat_out_flush(&out), 0);
	fclose(file);
	unit_span(leat_span_make(text, len), expected);
	free(text);
}

static void
fill(struct leat_tabular *t)
{
	leat_tabular_begin(t, "set,rule,value,none");
	leat_tabular_text(t, "b");
	leat_tabular_text(t, "long, name");
	leat_tabular_number(t, 2.5, 2);
	leat_tabular_number(t, NAN, 2);
	leat_tabular_text(t, "a");
	leat_tabular_text(t, "x");
	leat_tabular_count(t, 12345);
	leat_tabular_number(t, INFINITY, 0);
}

static void
test_write(void **state)
{
	struct leat_tabular t = { 0 };

	(void)state;
	fill(&t);
	writes(&t, false, "set,rule,value,none\nb,\"long, name\",2.50,\na,x,12345,\n");
	/* Numbers to the right, an empty column left out, no blanks at line ends. */
	writes(&t, true, "set  rule        value\nb    long, name   2.50\na    x           12345\n");
	leat_tabular_free(&t);
	leat_tabular_begin(&t, "time,what");
	leat_tabular_time(&t, (struct leat_time){ 1740787261, 0 });
	leat_tabular_text(&t, "\303\274ber");
	leat_tabular_time(&t, LEAT_TIME_NONE);
	leat_tabular_text(&t, "none");
	writes(&t, false, "time,what\n2025-03-01T00:01:01Z,\303\274ber\n,none\n");
	writes(&t, true, "time              what\n2025-03-01T00:01  \303\274ber\n                  none\n");
	leat_tabular_free(&t);
	leat_tabular_begin(&t, "only,header");
	writes(&t, false, "only,header\n");
	writes(&t, true, "only  header\n");
	leat_tabular_free(&t);
}

static void
row(struct leat_tabular *t, const char *a, const char *b, const char *c)
{
	leat_tabular_text(t, a);
	leat_tabular_text(t, b);
	leat_tabular_text(t, c);
}

static void
test_beside(void **state)
{
	struct leat_tabular t = { 0 };

	(void)state;
	leat_tabular_begin(&t, "set,rule,value");
	row(&t, "A", "q", "1");
	row(&t, "A", "r", "2");
	row(&t, "A", "s", "3");
	row(&t, "B", "p", "9");
	row(&t, "B", "q", "1");
	row(&t, "B", "r", "4");
	assert_int_equal(leat_tabular_sort(&t, 1, 2), 0);
	writes(&t, false, "set,rule,value\nB,p,9\nA,q,1\nB,q,1\nA,r,2\nB,r,4\nA,s,3\n");
	assert_int_equal(leat_tabular_keep_differing(&t, 1, 2, 2), 0);
	writes(&t, false, "set,rule,value\nB,p,9\nA,r,2\nB,r,4\nA,s,3\n");
	leat_tabular_free(&t);
}

int
main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_write), cmocka_unit_test(test_beside) };

	return cmocka_run_group_tests(tests, NULL, NULL);
}
