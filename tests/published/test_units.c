/*
 * Unit factors and conversions against published values.
 *
 * Sources: the SI brochure of the BIPM (tables 6 and 8) and NIST Special Publication 811, appendix B, both from memory;
 * the values for psi, kgf/cm2, inHg, the gallons, in3, ft3 and mil were also cross-checked with the database of the
 * program units 2.22.  units-database.sh beside this file compares every factor with the installed database.
 */
#include "unit.h"

#include "base/units.h"

static const struct leat_unit *
unit(const char *name)
{
	const struct leat_unit *u = leat_unit_find(leat_span_of(name));

	if (u == NULL)
		fail_msg("no unit '%s'", name);
	return u;
}

/* One of the first unit in the second, as a ratio of whole numbers. */
static void
factors(void **state)
{
	static const struct {
		const char *from, *to;
		double num, den;
		const char *source;
	} cases[] = {
		{ "bar", "Pa", 100000, 1, "SI brochure, table 8" },
		{ "MPa", "Pa", 1000000, 1, "SI prefix" },
		{ "kgf/cm2", "Pa", 98066.5, 1, "exact, standard gravity 9.80665 m/s2 (CGPM 1901)" },
		{ "at", "bar", 0.980665, 1, "exact; not the standard atmosphere of 101325 Pa" },
		{ "psi", "Pa", 8896443230521, 1290320000, "exact: 4.4482216152605 N / (0.0254 m)^2" },
		{ "psi", "kPa", 6.894757293168361, 1, "the same, in decimals" },
		{ "mmHg", "Pa", 133.322387415, 1, "conventional: 13595.1 kg/m3 * 9.80665 m/s2 * 0.001 m" },
		{ "inHg", "Pa", 3386.388640341, 1, "conventional, 0 degC: 25.4 mmHg" },
		{ "mH2O", "Pa", 9806.65, 1, "NIST SP 811: metre of water, conventional (from memory)" },
		{ "inH2O", "Pa", 249.08891, 1, "NIST SP 811: inch of water, conventional 249.0889 (from memory)" },
		{ "galUS/min", "L/min", 3.785411784, 1, "exact, 231 in3" },
		{ "galUK/min", "L/min", 4.54609, 1, "exact" },
		{ "in3/min", "L/min", 0.016387064, 1, "exact" },
		{ "ft3/min", "L/min", 28.316846592, 1, "exact" },
		{ "m3/h", "L/min", 50, 3, "exact" },
		{ "galUS", "L", 3.785411784, 1, "exact, 231 in3" },
		{ "galUK", "L", 4.54609, 1, "exact" },
		{ "in3", "mL", 16.387064, 1, "exact" },
		{ "in", "mm", 25.4, 1, "exact" },
		{ "mil", "um", 25.4, 1, "exact; a thousandth of an inch, not a millimetre" },
		{ "ft", "m", 0.3048, 1, "exact" },
		{ "lb", "kg", 0.45359237, 1, "exact" },
		{ "tonUS", "kg", 907.18474, 1, "exact, 2000 lb" },
		{ "lbf", "N", 4.4482216152605, 1, "exact" },
		{ "hp", "W", 745.69987158227022, 1, "exact, 550 ft lbf/s" },
		{ "PS", "W", 735.49875, 1, "exact, 75 kgf m/s" },
		{ "mm2/s", "m2/s", 1e-6, 1, "exact; the centistokes" },
		{ "mPa.s", "Pa.s", 0.001, 1, "exact; the centipoise" },
		{ "kWh", "MJ", 3.6, 1, "exact, SI brochure" },
		{ "psi/deltadegF", "bar/K", 0.1241056312770305, 1, "1.8 psi/bar" },
		{ "deltadegF", "K", 5, 9, "a difference: without the 32" },
		{ "d", "s", 86400, 1, "SI brochure, table 8" }
	};
	double got, expected;
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		got = leat_unit_convert(unit(cases[i].from), unit(cases[i].to), 1);
		expected = cases[i].num / cases[i].den;
		if (!(got / expected > 1 - 5e-16 && got / expected < 1 + 5e-16))
			fail_msg("%s in %s: %.17g, %.17g by %s", cases[i].from, cases[i].to, got, expected,
			    cases[i].source);
	}
	/* The exact ratio itself. */
	assert_true(unit("psi")->num == 8896443230521 && unit("psi")->den == 1290320000);
}

/* Worked conversions, with the digits of the source. */
static void
worked_examples(void **state)
{
	static const struct {
		const char *id;
		double value;
		const char *from, *to;
		double expected, tolerance;
	} cases[] = {
		{ "U01", 3000, "psi", "bar", 206.842718795, 5e-10 },
		{ "U02", 250, "bar", "psi", 3625.943443255, 5e-10 },
		{ "U03", 10, "galUS/min", "L/min", 37.85411784, 5e-14 },
		{ "U04", 140, "degF", "degC", 60, 1e-13 },
		{ "U05", -40, "degF", "degC", -40, 1e-13 },
		{ "U06", 29.92, "inHg", "hPa", 1013.20748119, 5e-9 },
		{ "U07", 200, "kgf/cm2", "bar", 196.133, 5e-13 },
		{ "U08", 0.0012, "in", "um", 30.48, 5e-14 },
		{ "U16", 210, "degF", "degC", 98.888888889, 5e-10 },
		{ "0 degC", 0, "degC", "degK", 273.15, 0 },
		{ "0 K", 0, "degK", "degF", -459.67, 1e-13 },
		{ "steam point", 212, "degF", "degC", 100, 1e-13 }
	};
	double mL_per_min;
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		unit_close(leat_unit_convert(unit(cases[i].from), unit(cases[i].to), cases[i].value), cases[i].expected,
		    cases[i].tolerance);
	}
	/* U17: 1.5 in3 a revolution at 1800 revolutions a minute. */
	mL_per_min = leat_unit_convert(unit("in3/r"), unit("mL/r"), 1.5) * 1800;
	unit_close(leat_unit_convert(unit("mL/min"), unit("galUS/min"), mL_per_min), 11.688311688, 5e-10);
}

/* The converted text never shows a digit that the exact product does not have. */
static void
texts_round_the_exact_product(void **state)
{
	static const struct {
		const char *text, *from, *to, *expected;
	} cases[] = {
		{ "3000", "psi", "bar", "206.843" },		/* 206.842718795 */
		{ "250.0", "bar", "psi", "3625.94" },		/* 3625.943443255 */
		{ "29.92", "inHg", "hPa", "1013.21" },		/* 1013.20748119 */
		{ "210.0", "degF", "degC", "98.889" },		/* 98.888888889 */
		{ "0.0012", "in", "um", "30.48" },
		{ "200", "kgf/cm2", "bar", "196.13" }		/* 196.133 */
	};
	char dst[512];
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		leat_unit_convert_text(unit(cases[i].from), unit(cases[i].to), leat_span_of(cases[i].text), dst);
		assert_string_equal(dst, cases[i].expected);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(factors),
		cmocka_unit_test(worked_examples),
		cmocka_unit_test(texts_round_the_exact_product)
	};

	return cmocka_run_group_tests_name("published units", tests, NULL, NULL);
}
