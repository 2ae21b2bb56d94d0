/*
 * Units: lib/base/units.c and its tables.
 */
#include "unit.h"

#include <math.h>

#include "base/number.h"
#include "base/units.h"

static const struct leat_unit *
unit(const char *name)
{
	const struct leat_unit *u = leat_unit_find(leat_span_of(name));

	if (u == NULL)
		fail_msg("no unit '%s'", name);
	return u;
}

/* Spellings of more than one unit: asked for, never guessed (common practice knows them all). */
static void
unclear_spellings_find_nothing(void **state)
{
	static const char *const unclear[] = { "gpm", "GPM", "gal/min", "ton", "tph", "atm", "MBAR", "mpa", "Nm3/h" };
	static const char *const clear[] = { "US gpm", "bar", "mbar", "MPa", "t/h", "", "raw" };

	(void)state;
	for (size_t i = 0; i < sizeof(unclear) / sizeof(unclear[0]); i++) {
		assert_true(leat_unit_unclear(leat_span_of(unclear[i])));
		assert_null(leat_unit_find(leat_span_of(unclear[i])));
	}
	for (size_t i = 0; i < sizeof(clear) / sizeof(clear[0]); i++)
		assert_false(leat_unit_unclear(leat_span_of(clear[i])));
}

static void
every_unit_finds_itself(void **state)
{
	const struct leat_unit *u;
	size_t i;

	(void)state;
	for (i = 0; (u = leat_unit_at(i)) != NULL; i++) {
		if (leat_unit_find(leat_span_of(u->name)) != u)
			fail_msg("%s", u->name);
		if (u->num <= 0 || u->den <= 0 || u->offset_den <= 0 || u->name[0] == '\0' || u->dimension[0] == '\0' ||
		    u->meaning[0] == '\0')
			fail_msg("%s: a field is wrong", u->name);
	}
	assert_true(i > 100);
	assert_null(leat_unit_at(SIZE_MAX));
}

static void
spellings_are_sorted_and_found(void **state)
{
	const struct leat_unit *u = NULL;
	const char *text, *last = "";
	size_t i;

	(void)state;
	for (i = 0; (text = leat_unit_spelling(i, &u)) != NULL; i++) {
		if (strcmp(last, text) >= 0)
			fail_msg("'%s' does not follow '%s'", text, last);
		if (leat_unit_find(leat_span_of(text)) != u)
			fail_msg("'%s' does not find '%s'", text, u->name);
		if (strlen(text) > 32 || strpbrk(text, " ^*") != NULL)
			fail_msg("'%s' can never be found after the clean-up", text);
		last = text;
	}
	assert_true(i > 400);
}

static void
foreign_spellings(void **state)
{
	static const struct {
		const char *text, *name;
	} cases[] = {
		{ "\302\260C", "degC" }, { "\302\272C", "degC" }, { "\342\204\203", "degC" }, { "deg C", "degC" },
		{ "C", "degC" }, { "DEGC", "degC" }, { "\302\260F", "degF" }, { "\342\204\211", "degF" },
		{ "\302\260K", "degK" }, { "K", "K" }, { "\342\204\252", "K" }, { "\316\224\302\260C", "K" },
		{ "delta K", "K" }, { "l/min", "L/min" }, { "L / min", "L/min" }, { "lpm", "L/min" }, { "LPM", "L/min" },
		{ "Bar", "bar" }, { "BAR", "bar" }, { "barg", "bar" }, { "bar(g)", "bar" }, { "bar g", "bar" },
		{ "bar\302\240g", "bar" }, { "bar (g)", "bar" }, { "barG", "bar" }, { "BARG", "bar" },
		{ "bar\303\274", "bar" }, { "[bar]", "bar" }, { "(bar)", "bar" }, { "bar gauge", "bar" },
		{ "bar(a)", "bara" }, { "bar a", "bara" }, { "BARA", "bara" }, { "bar abs", "bara" },
		{ "bar abs.", "bara" }, { "[bar(a)]", "bara" }, { "kPa(g)", "kPa" }, { "kPag", "kPa" },
		{ "kPa(a)", "kPaa" }, { "kPa abs", "kPaa" }, { "psig", "psi" }, { "PSIG", "psi" }, { "PSIA", "psia" },
		{ "psi(a)", "psia" }, { "N/mm\302\262", "MPa" }, { "kN/m^2", "kPa" }, { "kg/cm\302\262", "kgf/cm2" },
		{ "kg/cm2g", "kgf/cm2" }, { "at", "kgf/cm2" }, { "ata", "kgf/cm2a" }, { "in. Hg", "inHg" },
		{ "cSt", "mm2/s" }, { "mm\302\262/s", "mm2/s" }, { "mm^2/s", "mm2/s" }, { "ppm", "mg/kg" },
		{ "m\302\263/h", "m3/h" }, { "m3/hr", "m3/h" }, { "\302\265m", "um" }, { "\316\274m", "um" },
		{ "micron", "um" }, { "rpm", "r/min" }, { "min\342\201\273\302\271", "1/min" }, { "US gpm", "galUS/min" },
		{ "gal (US)/min", "galUS/min" }, { "imp gal/min", "galUK/min" }, { "mg KOH/g", "mgKOH/g" },
		{ "mPa\302\267s", "mPa.s" }, { "mPa s", "mPa.s" }, { "cP", "mPa.s" }, { "kW h", "kWh" }, { "kW*h", "kWh" },
		{ "tonnes/h", "t/h" }, { "mm/s RMS", "mm/s" }, { "particles / mL", "1/mL" }, { "% RH", "%" },
		{ "thou", "mil" }, { "mil", "mil" }, { "hrs", "h" }, { " bar ", "bar" }
	};
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		assert_string_equal(unit(cases[i].text)->name, cases[i].name);
}

/* What does not say which unit it means, or means none, is refused: a guess would be wrong by a fifth or a thousand. */
static void
unclear_spellings_find_none(void **state)
{
	static const char *const cases[] = {
		"", " ", "[]", "gal", "gal/min", "gpm", "GPM", "ton", "tph", "TPH", "ton/h", "atm", "MBAR", "mpa", "mw",
		"Nm3/h", "scfm", "state", "on", "-", "n/a", "bar/", "barbar", "bargg", "baraa", "ba", "degCC", "kgg", "kg(a)",
		"K(a)", "ma(a)", "SUS", "L/min/x", "a", "(a)", "g)", "\260C", "bar\003", "mm/s peak", "ppmv", "1 bar",
		"mWSa", "a very long text that can be no unit at all, whatever it says about bar"
	};
	char text[4096];
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		if (leat_unit_find(leat_span_of(cases[i])) != NULL)
			fail_msg("'%s' found %s", cases[i], leat_unit_find(leat_span_of(cases[i]))->name);
	}
	assert_null(leat_unit_find(leat_span_make(NULL, 0)));
	assert_null(leat_unit_find(leat_span_make("bar\0", 4)));
	assert_null(leat_unit_find(leat_span_make("bar\0\0\0\0\0", 8)));
	/* Signs that grow when they are made plain, up to and past the limit; nothing may be written beyond. */
	for (i = 0; i + 2 < sizeof(text); i += 2)
		memcpy(text + i, "\316\224", 2);
	for (i = 0; i < sizeof(text) - 2; i += 2)
		assert_null(leat_unit_find(leat_span_make(text, i)));
	memset(text, ' ', sizeof(text));
	assert_null(leat_unit_find(leat_span_make(text, sizeof(text))));
	memcpy(text + 2000, "bar", 3);
	assert_string_equal(leat_unit_find(leat_span_make(text, sizeof(text)))->name, "bar");
}

static void
dimensions_do_not_mix(void **state)
{
	static const char *const pairs[][2] = {
		{ "bar", "bara" }, { "degC", "K" }, { "degF", "deltadegF" }, { "mg/kg", "%" }, { "1", "1/mL" },
		{ "mm2/s", "mPa.s" }, { "L/min", "L" }, { "kg", "kgf" }, { "bar", "bar/min" }, { "kW", "kWh" }
	};
	char dst[LEAT_NUMBER_MAX];
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(pairs) / sizeof(pairs[0]); i++) {
		assert_false(leat_unit_same_dimension(unit(pairs[i][0]), unit(pairs[i][1])));
		assert_true(isnan(leat_unit_convert(unit(pairs[i][0]), unit(pairs[i][1]), 1)));
		assert_int_equal(leat_unit_convert_text(unit(pairs[i][0]), unit(pairs[i][1]), LEAT_SPAN("1"), dst), 0);
	}
	assert_true(leat_unit_same_dimension(unit("bar"), unit("psi")));
	assert_true(leat_unit_same_dimension(unit("%"), unit("1")));
	assert_true(leat_unit_same_dimension(unit("%"), unit("%")));
}

static void
converted_texts(void **state)
{
	static const struct {
		const char *from, *to, *text, *expected;
	} cases[] = {
		/* The source's significant digits plus two. */
		{ "mbar", "bar", "52.30", "0.0523000" },
		{ "bar", "kPa", "52.30", "5230.00" },
		{ "MPa", "bar", "18.5", "185.00" },
		{ "psi", "bar", "3000", "206.843" },
		{ "m3/h", "L/min", "1.2", "20.00" },
		{ "kW", "W", "1.5e3", "1500000" },
		{ "bar", "bara", "1", "" },
		/* Decimals plus two where the value is 0 or there is an offset. */
		{ "psi", "bar", "0.0", "0.000" },
		{ "psi", "bar", "-0", "0.00" },
		{ "degF", "degC", "140", "60.00" },
		{ "degF", "degC", "140.0", "60.000" },
		{ "degC", "degF", "-40.5", "-40.900" },
		{ "degK", "degC", "273.15", "0.0000" },
		{ "degC", "degK", "-3e1", "243.15" },
		{ "deltadegF", "K", "9", "5.00" },
		/* One unit: the text itself. */
		{ "bar", "bar", "52.30", "52.30" },
		{ "bar", "BAR", "+052.30", "+052.30" },
		{ "bar", "bar", "1.5e3", "1.5e3" },
		/* Two units of one size. */
		{ "cm3", "mL", "12", "12.00" },
		/* No more digits than a double has. */
		{ "bar", "kPa", "1.2345678901234567", "123.456789012346" },
		{ "bar", "kPa", "hot", "" },
		{ "bar", "bar", "hot", "" },
		{ "bar", "kPa", "", "" },
		{ "bar", "bar", "nan", "" },
		{ "MPa", "Pa", "9e299", "" }
	};
	char dst[LEAT_NUMBER_MAX], big[600];
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		strcpy(dst, "");
		assert_int_equal(leat_unit_convert_text(unit(cases[i].from), unit(cases[i].to), leat_span_of(cases[i].text),
		    dst), strlen(cases[i].expected));
		assert_string_equal(dst, cases[i].expected);
	}
	memset(big, '0', sizeof(big));
	assert_int_equal(leat_unit_convert_text(unit("bar"), unit("bar"), leat_span_make(big, sizeof(big)), dst), 0);
}

/* All pairs of one dimension, there and back, and through a third unit. */
static void
conversions_are_consistent(void **state)
{
	const struct leat_unit *a, *b, *c;
	size_t i, j, k;
	double there, value = 123.456;

	(void)state;
	for (i = 0; (a = leat_unit_at(i)) != NULL; i++) {
		for (j = 0; (b = leat_unit_at(j)) != NULL; j++) {
			if (!leat_unit_same_dimension(a, b))
				continue;
			there = leat_unit_convert(a, b, value);
			unit_close(leat_unit_convert(b, a, there), value, 1e-11);
			for (k = 0; (c = leat_unit_at(k)) != NULL; k++) {
				if (leat_unit_same_dimension(a, c)) {
					unit_close(leat_unit_convert(b, c, there) / leat_unit_convert(a, c, value), 1,
					    1e-12);
				}
			}
		}
	}
}

/* Where both factors are powers of ten the result is the nearest double, so no noise shows at any number of digits. */
static void
decimal_conversions_have_no_noise(void **state)
{
	static const char *const pairs[][3] = {
		{ "mbar", "bar", "e-3" }, { "bar", "mbar", "e3" }, { "bar", "MPa", "e-1" }, { "MPa", "bar", "e1" },
		{ "kPa", "bar", "e-2" }, { "mL/min", "L/min", "e-3" }, { "um", "mm", "e-3" }, { "%", "1", "e-2" },
		{ "1/100mL", "1/mL", "e-2" }, { "kg/h", "t/h", "e-3" }
	};
	char text[32];
	size_t i;
	int n;

	(void)state;
	for (i = 0; i < sizeof(pairs) / sizeof(pairs[0]); i++) {
		for (n = 1; n < 100000; n += 7) {
			snprintf(text, sizeof(text), "%d%s", n, pairs[i][2]);
			if (leat_unit_convert(unit(pairs[i][0]), unit(pairs[i][1]), n) != strtod(text, NULL))
				fail_msg("%d %s in %s", n, pairs[i][0], pairs[i][1]);
		}
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_unit_finds_itself),
		cmocka_unit_test(spellings_are_sorted_and_found),
		cmocka_unit_test(foreign_spellings),
		cmocka_unit_test(unclear_spellings_find_none),
		cmocka_unit_test(dimensions_do_not_mix),
		cmocka_unit_test(converted_texts),
		cmocka_unit_test(unclear_spellings_find_nothing),
		cmocka_unit_test(conversions_are_consistent),
		cmocka_unit_test(decimal_conversions_have_no_noise)
	};

	return cmocka_run_group_tests_name("units", tests, NULL, NULL);
}
