/*
 * Cleanliness codes and classes against published tables and printed examples.
 *
 * ISO 4406:1999 Table 1 as reproduced in a lube source handbook (Petro-Canada, glossary) and a filter catalogue (Schroeder,
 * appendix p. 128), equal in all rows.  AS4059 Table 2 and its ways of writing: Schroeder p. 16
 * and a second public copy.  NAS 1638 (January 1964): Swift-JB, comparison of NAS 1638 and ISO 4406, and a second copy.
 * The source of each example stands beside it.
 */
#include <math.h>

#include "base/units.h"
#include "physics/cleanliness.h"
#include "unit.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define NONE (-1.0)

/* ISO 4406:1999 Table 1: up to and including so many particles per mL, for 0 to 28. */
static const double iso_up_to[] = {
	0.01, 0.02, 0.04, 0.08, 0.16, 0.32, 0.64, 1.3, 2.5, 5, 10, 20, 40, 80, 160, 320, 640, 1300, 2500, 5000, 10000, 20000,
	40000, 80000, 160000, 320000, 640000, 1300000, 2500000
};

static void
test_scale_both_sides(void **state)
{
	(void)state;
	assert_int_equal(COUNT(iso_up_to), LEAT_ISO4406_LAST + 1);
	for (int n = 0; n <= LEAT_ISO4406_LAST; n++) {
		double limit = iso_up_to[n];

		assert_int_equal(leat_iso4406_number(limit), n);
		assert_int_equal(leat_iso4406_number(nextafter(limit, 0)), n);
		assert_int_equal(leat_iso4406_number(nextafter(limit, INFINITY)), n + 1);
		assert_int_equal(leat_iso4406_number(limit * 1.001), n + 1);
		unit_close(leat_iso4406_limit(n), limit, 0);
	}
	assert_int_equal(leat_iso4406_number(0), 0);
	assert_int_equal(leat_iso4406_number(1e12), LEAT_ISO4406_OVER);
}

/* The same limits as a laboratory may print them: per 100 mL and per litre. */
static void
test_scale_in_other_units(void **state)
{
	static const struct {
		const char *name;
		double ml;
	} units[] = { { "1/100mL", 100 }, { "1/L", 1000 } };
	const struct leat_unit *per_ml = leat_unit_find(LEAT_SPAN("1/mL"));

	(void)state;
	for (size_t u = 0; u < COUNT(units); u++) {
		const struct leat_unit *unit = leat_unit_find(leat_span_of(units[u].name));

		for (int n = 0; n <= LEAT_ISO4406_LAST; n++) {
			double whole = round(iso_up_to[n] * units[u].ml);

			assert_int_equal(leat_iso4406_number(leat_unit_convert(unit, per_ml, whole)), n);
			assert_int_equal(leat_iso4406_number(leat_unit_convert(unit, per_ml, whole * 1.0001)), n + 1);
		}
	}
}

static void
test_iso_examples(void **state)
{
	static const struct {
		const char *source;
		double basis_ml, count[3];
		const char *code;
	} examples[] = {
		{ "Micron Scientific, ISO 4406 triple code", 100, { 300000, 50000, 700 }, "19/16/10" },
		{ "Blackstone Laboratories, sample report", 1, { NONE, 244, 26 }, "-/15/12" },
		{ "E. Zabawski, Understanding ISO codes", 1, { 3471, NONE, NONE }, "19/-/-" },
		{ "GPM Hydraulic, Understanding ISO 4406", 1, { 50, NONE, NONE }, "13/-/-" },
		{ "standard's example 22/18/13, upper ends", 1, { 40000, 2500, 80 }, "22/18/13" },
		{ "lower ends of 22/18/13: the class below", 1, { 20000, 1300, 40 }, "21/17/12" },
		{ "standard's example 14/12/>=7, upper ends", 1, { 160, 40, 1.3 }, "14/12/7" },
		{ "Filter Solutions UK, 18/16/13, upper ends", 1, { 2500, 640, 80 }, "18/16/13" },
		{ "Learn Oil Analysis, 20/19/15, lower ends", 100, { 500001, 250001, 16001 }, "20/19/15" },
		{ "table: nothing counted", 1, { 0, 0, 0 }, "0/0/0" },
		{ "table: its ends", 1, { 2500000, 1300000, 0.01 }, "28/27/0" },
		{ "Parker Handbook of Hydraulic Filtration p. 12", 1, { 5000, 640, 80 }, "19/16/13" },
		{ "Construction Equipment, ISO 4406 basics", 1, { 1300, 320, 10 }, "17/15/10" },
		{ "table", 1, { 39.9, 19.9, 5.0 }, "12/11/9" },
		{ "table, low end", 1, { 0.64, 0.32, 0.16 }, "6/5/4" },
		{ "the same per 100 mL", 100, { 64.0, 32, 16 }, "6/5/4" }
	};

	(void)state;
	for (size_t i = 0; i < COUNT(examples); i++) {
		struct leat_iso4406 code = { .few = { false, false, false } };
		char text[LEAT_ISO4406_MAX];

		for (int k = 0; k < 3; k++)
			code.number[k] = leat_iso4406_number(examples[i].count[k] / examples[i].basis_ml);
		leat_iso4406_write(text, &code);
		if (strcmp(text, examples[i].code) != 0)
			fail_msg("%s: %s, expected %s", examples[i].source, text, examples[i].code);
	}
}

/* Schroeder p. 16, Blackstone Laboratories, and cells of the tables. */
static void
test_class_examples(void **state)
{
	static const struct {
		const char *source;
		double per_100ml[LEAT_PARTICLES];	/* cumulative, NONE: not counted */
		const char *as4059, *nas1638;
	} examples[] = {
		{ "Blackstone report: 244 and 26 per mL, NAS 7", { NONE, 24400, 2600, NONE, NONE, NONE }, NULL, "7" },
		{ "Schroeder p. 16: class 6B", { NONE, 19500, NONE, NONE, NONE, NONE }, "6B", NULL },
		{ "Schroeder p. 16: 7B/6C/5D", { NONE, 38900, 3460, 306, NONE, NONE }, "7B/6C/5D", NULL },
		{ "NAS 1638: 14000/2500/400/60/5", { NONE, 16965, 2965, 465, 65, 5 }, NULL, "6" },
		{ "NAS 1638: 900/178/33/2/0", { NONE, 1113, 213, 35, 2, 0 }, NULL, "3" },
		{ "NAS 1638: 125/22/4/1/0", { NONE, 152, 27, 5, 1, 0 }, NULL, "00" },
		{ "NAS 1638: 1024001/1/1/1/1", { NONE, 1024005, 4, 3, 2, 1 }, NULL, ">12" },
		{ "AS4059 class 5, all sizes", { 25000, 9730, 1730, 306, 53, 8 }, "5A/5B/5C/5D/5E/5F", NULL },
		{ "AS4059", { 60000, 15000, 3000, 500, 100, 10 }, "7A/6B/6C/6D/6E/6F", NULL },
		{ "AS4059 class 000", { 195, 76, 14, 3, 1, 0 }, "000A/000B/000C/000D/000E/000F", NULL }
	};

	(void)state;
	for (size_t i = 0; i < COUNT(examples); i++) {
		double per_ml[LEAT_PARTICLES];
		int band[LEAT_NAS1638_BANDS];
		char text[LEAT_AS4059_MAX];
		unsigned has = 0;

		for (int k = 0; k < LEAT_PARTICLES; k++) {
			per_ml[k] = examples[i].per_100ml[k] / 100;
			has |= examples[i].per_100ml[k] >= 0 ? 1u << k : 0;
		}
		leat_as4059_write(text, per_ml, has);
		if (examples[i].as4059 != NULL && strcmp(text, examples[i].as4059) != 0)
			fail_msg("%s: %s, expected %s", examples[i].source, text, examples[i].as4059);
		if (examples[i].nas1638 != NULL)
			assert_string_equal(leat_nas1638_name(leat_nas1638_class(per_ml, has, band)), examples[i].nas1638);
	}
}

/* Every row of the tables in the reference pack, where it is at hand: each cell and its upper side. */
static int
each_row(const char *name, void (*row)(int number, const char *title, const double *cell, int cells))
{
	char path[128], line[1024];
	FILE *file;
	int rows = 0;

	snprintf(path, sizeof(path), "../shared/reference/%s", name);
	file = fopen(path, "r");
	if (file == NULL) {
		print_message("skip %s: no ../shared/reference\n", name);
		return -1;
	}
	assert_non_null(fgets(line, sizeof(line), file));
	while (fgets(line, sizeof(line), file) != NULL) {
		double cell[8];
		int cells = 0;
		char *p = line, *end;

		p[strcspn(p, ",")] = '\0';
		for (p += strlen(p) + 1; cells < 8; p = end + 1) {
			cell[cells] = strtod(p, &end);
			if (end == p || *end != ',')
				break;
			cells++;
		}
		row(rows++, line, cell, cells);
	}
	fclose(file);
	return rows;
}

static void
scale_row(int number, const char *title, const double *cell, int cells)
{
	if (number > LEAT_ISO4406_LAST) {
		assert_string_equal(title, ">28");
		assert_int_equal(leat_iso4406_number(nextafter(cell[0], INFINITY)), LEAT_ISO4406_OVER);
		return;
	}
	assert_int_equal(atoi(title), number);
	assert_int_equal(cells, 2);
	assert_int_equal(leat_iso4406_number(cell[1]), number);
	assert_int_equal(leat_iso4406_number(nextafter(cell[0], INFINITY)), number);
	assert_int_equal(leat_iso4406_number(nextafter(cell[1], INFINITY)), number + 1);
}

/* Rows with equal limits share their lowest class. */
static void
as4059_row(int number, const char *title, const double *cell, int cells)
{
	assert_string_equal(title, leat_as4059_name(number));
	assert_int_equal(cells, LEAT_PARTICLES);
	for (int k = 0; k < cells; k++) {
		enum leat_particle size = (enum leat_particle)k;
		int class = leat_as4059_class(size, cell[k] / 100);

		unit_close(leat_as4059_limit(size, number), cell[k], 0);
		assert_true(class <= number);
		unit_close(leat_as4059_limit(size, class), cell[k], 0);
		assert_true(leat_as4059_class(size, (cell[k] + 0.01) / 100) > number);
	}
}

static void
nas1638_row(int number, const char *title, const double *cell, int cells)
{
	assert_string_equal(title, leat_nas1638_name(number));
	assert_int_equal(cells, LEAT_NAS1638_BANDS);
	for (int k = 0; k < cells; k++) {
		int class = leat_nas1638_band(k, cell[k] / 100);

		unit_close(leat_nas1638_limit(k, number), cell[k], 0);
		assert_true(class <= number);
		unit_close(leat_nas1638_limit(k, class), cell[k], 0);
		assert_true(leat_nas1638_band(k, (cell[k] + 0.01) / 100) > number);
	}
}

static void
test_whole_tables(void **state)
{
	int rows[4];

	(void)state;
	rows[0] = each_row("iso4406-scale.csv", scale_row);
	rows[1] = each_row("as4059-cumulative.csv", as4059_row);
	rows[2] = each_row("nas1638-differential.csv", nas1638_row);
	rows[3] = each_row("as4059-differential.csv", nas1638_row);
	if (rows[0] < 0)
		skip();
	assert_int_equal(rows[0], 30);
	assert_int_equal(rows[1], LEAT_AS4059_CLASSES);
	assert_int_equal(rows[2], LEAT_NAS1638_CLASSES);
	assert_int_equal(rows[3], LEAT_NAS1638_CLASSES);
}

/* AS4059 Table 2 is NAS 1638 added up from the size on, to 3 figures: the sheets say so, and each table checks the other.
 * Class 000 has no row in NAS 1638; size A none at all. */
static void
test_tables_agree(void **state)
{
	(void)state;
	for (int number = 1; number < LEAT_AS4059_CLASSES; number++) {
		double sum = 0;

		for (int k = LEAT_NAS1638_BANDS - 1; k >= 0; k--) {
			double cell = leat_as4059_limit((enum leat_particle)(k + 1), number);

			sum += leat_nas1638_limit(k, number - 1);
			/* Half a unit of the third figure, and the standard's own rounding of 77 849 and 13 849. */
			unit_close(cell / (sum > 0 ? sum : 1), sum > 0 ? 1 : 0, sum > 1000 ? 0.005 : 0);
		}
	}
}

int
main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_scale_both_sides),
		cmocka_unit_test(test_scale_in_other_units),
		cmocka_unit_test(test_iso_examples),
		cmocka_unit_test(test_class_examples),
		cmocka_unit_test(test_whole_tables),
		cmocka_unit_test(test_tables_agree),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
