/*
 * stream/export_cell.c: numbers as exports write them.
 *
 * That the decimal marker is a point or a comma, and that digits are grouped by threes with a blank: the SI brochure
 * (BIPM, 9th edition), 5.4.4, from memory.  Grouping by point, comma and apostrophe: common practice.
 */
#include "unit.h"

#include "random.h"
#include "stream/export_private.h"

static const struct cell_case {
	const char *name;
	char decimal, thousands;
	const char *cell;
	enum leat_cell kind;
	const char *text;
	const char *unit;
} cell_cases[] = {
	{ "whole", '.', 0, "101", LEAT_CELL_NUMBER, "101", "" },
	{ "digits stay as written", '.', 0, "0052.300", LEAT_CELL_NUMBER, "0052.300", "" },
	{ "comma", ',', 0, "52,30", LEAT_CELL_NUMBER, "52.30", "" },
	{ "negative", ',', 0, "-0,5", LEAT_CELL_NUMBER, "-0.5", "" },
	{ "minus of typography", ',', 0, "\xe2\x88\x92" "3,5", LEAT_CELL_NUMBER, "-3.5", "" },
	{ "that minus alone", ',', 0, "\xe2\x88\x92", LEAT_CELL_TEXT, "", "" },
	{ "plus", '.', 0, "+5.25", LEAT_CELL_NUMBER, "5.25", "" },
	{ "no digit before the mark", '.', 0, "-.5", LEAT_CELL_NUMBER, "-0.5", "" },
	{ "no digit behind the mark", ',', 0, "5,", LEAT_CELL_NUMBER, "5", "" },
	{ "three decimals", ',', '.', "1,234", LEAT_CELL_NUMBER, "1.234", "" },
	{ "no decimal mark found", 0, 0, "7", LEAT_CELL_NUMBER, "7", "" },
	{ "point parts thousands", ',', '.', "1.234", LEAT_CELL_NUMBER, "1234", "" },
	{ "point parts millions", ',', '.', "-1.234.567,8", LEAT_CELL_NUMBER, "-1234567.8", "" },
	{ "comma parts thousands", '.', ',', "12,345", LEAT_CELL_NUMBER, "12345", "" },
	{ "blank", ',', ' ', "1 234,5", LEAT_CELL_NUMBER, "1234.5", "" },
	{ "no-break blank", ',', ' ', "1\302\240234,5", LEAT_CELL_NUMBER, "1234.5", "" },
	{ "narrow no-break blank", '.', ' ', "1\342\200\257234", LEAT_CELL_NUMBER, "1234", "" },
	{ "thin blank", '.', ' ', "1\342\200\211234", LEAT_CELL_NUMBER, "1234", "" },
	{ "apostrophe", '.', '\'', "12'345.6", LEAT_CELL_NUMBER, "12345.6", "" },
	{ "curved apostrophe", '.', '\'', "12\342\200\231345.6", LEAT_CELL_NUMBER, "12345.6", "" },
	{ "thousands without doubt though not established", ',', 0, "1.234,5", LEAT_CELL_NUMBER, "1234.5", "" },
	{ "blank without doubt", '.', 0, "1 234", LEAT_CELL_NUMBER, "1234", "" },
	{ "doubtful thousands not established", ',', 0, "1.234", LEAT_CELL_TEXT, "", "" },
	{ "another thousands mark", '.', '\'', "1,234.5", LEAT_CELL_TEXT, "", "" },
	{ "point where the mark is a comma", ',', 0, "101.7", LEAT_CELL_TEXT, "", "" },
	{ "comma where the mark is a point", '.', 0, "101,7", LEAT_CELL_TEXT, "", "" },
	{ "point decimal where point parts thousands", ',', '.', "0.123", LEAT_CELL_TEXT, "", "" },
	{ "two decimal marks", '.', 0, "1.2.3", LEAT_CELL_TEXT, "", "" },
	{ "groups under the other form", '.', 0, "1.234.567", LEAT_CELL_TEXT, "", "" },
	{ "group of two", '.', ',', "1,23,456", LEAT_CELL_TEXT, "", "" },
	{ "first group of four", '.', ',', "1234,567.8", LEAT_CELL_TEXT, "", "" },
	{ "two numbers", '.', 0, "12 34", LEAT_CELL_TEXT, "", "" },
	{ "exponent", '.', 0, "1.5e3", LEAT_CELL_NUMBER, "1500", "" },
	{ "exponent with comma", ',', 0, "1,234E-2", LEAT_CELL_NUMBER, "0.01234", "" },
	{ "exponent beyond all measure", '.', 0, "1e999", LEAT_CELL_TEXT, "", "" },
	{ "below", '.', 0, "<5", LEAT_CELL_BELOW, "5", "" },
	{ "below with blank and unit", ',', 0, "< 0,5 mg/kg", LEAT_CELL_BELOW, "0.5", "mg/kg" },
	{ "above", '.', 0, ">24", LEAT_CELL_ABOVE, "24", "" },
	{ "not above", '.', 0, "<=5", LEAT_CELL_BELOW, "5", "" },
	{ "unit", '.', 0, "101.7 bar", LEAT_CELL_NUMBER, "101.7", "bar" },
	{ "unit without blank", ',', 0, "45,5\302\260C", LEAT_CELL_NUMBER, "45.5", "\302\260C" },
	{ "percent", '.', 0, "80%", LEAT_CELL_NUMBER, "80", "%" },
	{ "unit behind thousands", ',', ' ', "2 450 kW", LEAT_CELL_NUMBER, "2450", "kW" },
	{ "unit that begins with a digit", '.', 0, "12 1/min", LEAT_CELL_NUMBER, "12", "1/min" },
	{ "unknown unit", '.', 0, "12 apples", LEAT_CELL_TEXT, "", "" },
	{ "outer blanks", '.', 0, " 5.5 ", LEAT_CELL_NUMBER, "5.5", "" },
	{ "empty", '.', 0, "", LEAT_CELL_TEXT, "", "" },
	{ "blank only", '.', 0, " ", LEAT_CELL_TEXT, "", "" },
	{ "sign only", '.', 0, "-", LEAT_CELL_TEXT, "", "" },
	{ "mark only", '.', 0, ".", LEAT_CELL_TEXT, "", "" },
	{ "limit only", '.', 0, "<", LEAT_CELL_TEXT, "", "" },
	{ "not a number", '.', 0, "nan", LEAT_CELL_TEXT, "", "" },
	{ "infinity", '.', 0, "-inf", LEAT_CELL_TEXT, "", "" },
	{ "hexadecimal", '.', 0, "0x1F", LEAT_CELL_TEXT, "", "" },
	{ "hexadecimal float", '.', 0, "0x1p3", LEAT_CELL_TEXT, "", "" },
	{ "not detected", '.', 0, "ND", LEAT_CELL_TEXT, "", "" },
	{ "spreadsheet error", '.', 0, "#N/A", LEAT_CELL_TEXT, "", "" },
	{ "too narrow a column", '.', 0, "####", LEAT_CELL_TEXT, "", "" },
	{ "state", '.', 0, "Running", LEAT_CELL_TEXT, "", "" },
	{ "date", '.', 0, "03.02.2025", LEAT_CELL_TEXT, "", "" },
};

static void
test_cells(void **state)
{
	char dst[LEAT_NUMBER_MAX];
	struct leat_span unit;
	size_t i, len;

	(void)state;
	for (i = 0; i < sizeof(cell_cases) / sizeof(cell_cases[0]); i++) {
		const struct cell_case *c = &cell_cases[i];
		struct leat_export_form form = { .decimal = c->decimal, .thousands = c->thousands };

		if (leat_export_cell(&form, leat_span_of(c->cell), dst, &len, &unit) != c->kind ||
		    strcmp(dst, c->text) != 0 || len != strlen(c->text) || !leat_span_is(unit, c->unit))
			fail_msg("%s: '%s' became '%s' with unit '%.*s'", c->name, c->cell, dst, (int)unit.len,
			    unit.ptr != NULL ? unit.ptr : "");
	}
}

static const struct mark_case {
	const char *name;
	const char *cell;
	struct leat_marks marks;
} mark_cases[] = {
	{ "whole", "101", { true, 0, 0, 0 } },
	{ "one decimal", "12.3", { true, '.', 0, 0 } },
	{ "one decimal with comma", "12,3", { true, ',', 0, 0 } },
	{ "nought in front", "0.123", { true, '.', 0, 0 } },
	{ "four digits in front", "1234,567", { true, ',', 0, 0 } },
	{ "four digits behind", "1.2345", { true, '.', 0, 0 } },
	{ "doubtful", "1.234", { true, 0, 0, '.' } },
	{ "doubtful with comma", "-123,456", { true, 0, 0, ',' } },
	{ "doubtful with unit", "1.234 bar", { true, 0, 0, '.' } },
	{ "both", "1.234,5", { true, ',', '.', 0 } },
	{ "twice", "1,234,567", { true, '.', ',', 0 } },
	{ "blank and doubtful mark", "1 234.567", { true, '.', ' ', 0 } },
	{ "blank", "1 234", { true, 0, ' ', 0 } },
	{ "apostrophe", "1'234", { true, 0, '\'', 0 } },
	{ "exponent", "1.234E+05", { true, '.', 0, 0 } },
	{ "text", "auto", { false, 0, 0, 0 } },
	{ "date", "3.2.2025", { false, 0, 0, 0 } },
	{ "clock", "04:05", { false, 0, 0, 0 } },
	{ "empty", "", { false, 0, 0, 0 } },
};

static void
test_marks(void **state)
{
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(mark_cases) / sizeof(mark_cases[0]); i++) {
		const struct mark_case *c = &mark_cases[i];
		struct leat_marks m = leat_export_marks(leat_span_of(c->cell));

		if (m.number != c->marks.number || m.decimal != c->marks.decimal || m.thousands != c->marks.thousands ||
		    m.doubtful != c->marks.doubtful)
			fail_msg("%s: '%s' became %d '%c' '%c' '%c'", c->name, c->cell, m.number, m.decimal, m.thousands,
			    m.doubtful);
	}
}

/* A plain number is looked at by a short cut, the same with a plus before it is not: both give away the same. */
static void
test_marks_of_plain_numbers(void **state)
{
	static const char bytes[] = "0123456789.,";
	uint64_t seed = 7;
	char cell[16] = "+";
	long numbers = 0;

	(void)state;
	for (long i = 0; i < 200000; i++) {
		size_t len = 1 + random_below(&seed, 9);

		for (size_t k = 1; k <= len; k++)
			cell[k] = bytes[random_below(&seed, k == 1 || random_below(&seed, 4) > 0 ? 10 : 12)];
		struct leat_marks a = leat_export_marks(leat_span_make(cell + 1, len));
		struct leat_marks b = leat_export_marks(leat_span_make(cell, len + 1));

		numbers += a.number;
		if (a.number != b.number || a.decimal != b.decimal || a.thousands != b.thousands ||
		    a.doubtful != b.doubtful)
			fail_msg("'%.*s' differs from itself with a plus", (int)len, cell + 1);
	}
	assert_true(numbers > 50000);
}

/* However long, a cell is a number that fits or a text. */
static void
test_long(void **state)
{
	struct leat_export_form form = { .decimal = '.' };
	char cell[1000], dst[LEAT_NUMBER_MAX];
	struct leat_span unit;
	size_t len, n;

	(void)state;
	memset(cell, '7', sizeof(cell));
	for (n = 1; n < sizeof(cell); n++) {
		enum leat_cell kind = leat_export_cell(&form, leat_span_make(cell, n), dst, &len, &unit);

		assert_true(kind == LEAT_CELL_NUMBER || (kind == LEAT_CELL_TEXT && n > 290));
		assert_true(len < LEAT_NUMBER_MAX);
		assert_int_equal(dst[len], '\0');
	}
}

/* -digits, -digits MARK digits: what is copied, by regular steps over the text. */
static bool
is_plain(const char *p, char decimal)
{
	static const char digits[] = "0123456789";
	size_t n;

	p += *p == '-';
	n = strspn(p, digits);
	if (n == 0)
		return false;
	p += n;
	if (*p == decimal) {
		n = strspn(++p, digits);
		return n > 0 && p[n] == '\0';
	}
	return *p == '\0';
}

/* Short cells are read in one word: random ones of any length up to and beyond it. */
static void
test_short_cells(void **state)
{
	static const char characters[] = "0123456789012345678901234567890123456789..,,--+ e'";
	uint64_t seed = 23;
	int plain = 0;

	(void)state;
	for (int round = 0; round < 500000; round++) {
		struct leat_export_form form = { .decimal = random_below(&seed, 2) ? ',' : '.' };
		size_t n = 1 + random_below(&seed, 10), len;
		char cell[12] = "", want[12], dst[LEAT_NUMBER_MAX], *exact = malloc(n);
		struct leat_span unit;
		enum leat_cell kind;

		assert_non_null(exact);
		for (size_t i = 0; i < n; i++)
			exact[i] = cell[i] = characters[random_below(&seed, sizeof(characters) - 1)];
		kind = leat_export_cell(&form, leat_span_make(exact, n), dst, &len, &unit);
		assert_int_equal(dst[len], '\0');
		if (is_plain(cell, form.decimal)) {
			memcpy(want, cell, sizeof(want));
			for (size_t i = 0; i < n; i++)
				want[i] = want[i] == ',' ? '.' : want[i];
			assert_int_equal(kind, LEAT_CELL_NUMBER);
			assert_int_equal(unit.len, 0);
			assert_string_equal(dst, want);
			plain++;
		} else if (strpbrk(cell, form.decimal == ',' ? "." : ",") == NULL) {
			/* All others change when they are written, if they are numbers at all. */
			assert_true(len == 0 || strcmp(dst, cell) != 0);
		}
		free(exact);
	}
	assert_true(plain > 50000);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_cells),
		cmocka_unit_test(test_marks),
		cmocka_unit_test(test_marks_of_plain_numbers),
		cmocka_unit_test(test_short_cells),
		cmocka_unit_test(test_long),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
