/* Diameters that were mistyped. */
#include <math.h>
#include <stdio.h>

#include "base/number.h"
#include "derive/bore_private.h"

#define INCH_MM 25.4

static bool
near(double value_mm, double expected_mm, double allowed_mm)
{
	return fabs(value_mm - expected_mm) <= allowed_mm;
}

static bool
digit(char c)
{
	return c >= '0' && c <= '9';
}

/* 302.15 for 320.15. */
static bool
swapped(char *hint, size_t size, struct leat_span typed, double unit_mm, double expected_mm, double allowed_mm)
{
	char text[LEAT_BORES_TYPED];
	double value;

	if (typed.len >= sizeof(text))
		return false;
	for (size_t i = 0; i < typed.len; i++) {
		size_t next = i + 1 < typed.len && typed.ptr[i + 1] == '.' ? i + 2 : i + 1;

		if (next >= typed.len || !digit(typed.ptr[i]) || !digit(typed.ptr[next]) || typed.ptr[i] == typed.ptr[next])
			continue;
		memcpy(text, typed.ptr, typed.len);
		text[i] = typed.ptr[next];
		text[next] = typed.ptr[i];
		if (leat_double_parse(leat_span_make(text, typed.len), &value) == 0 &&
		    near(value * unit_mm, expected_mm, allowed_mm)) {
			snprintf(hint, size, "two digits changed places? %.*s", (int)typed.len, text);
			return true;
		}
	}
	return false;
}

bool
leat_bores_slip(char *hint, size_t size, struct leat_span typed, double unit_mm, double expected_mm, double allowed_mm)
{
	static const double factors[] = { 0.001, 0.01, 0.1, 10, 100, 1000 };
	double number;

	if (leat_double_parse(typed, &number) != 0)
		return false;
	if (swapped(hint, size, typed, unit_mm, expected_mm, allowed_mm))
		return true;
	if (near(number * INCH_MM, expected_mm, allowed_mm) && unit_mm != INCH_MM) {
		snprintf(hint, size, "in inches? %.3f mm", number * INCH_MM);
		return true;
	}
	if (near(number, expected_mm, allowed_mm) && unit_mm != 1) {
		snprintf(hint, size, "in mm, and the unit wrong?");
		return true;
	}
	for (size_t i = 0; i < sizeof(factors) / sizeof(factors[0]); i++)
		if (near(number * unit_mm * factors[i], expected_mm, allowed_mm)) {
			snprintf(hint, size, "the decimal mark moved? %.3f mm", number * unit_mm * factors[i]);
			return true;
		}
	if (fabs(number * unit_mm) <= allowed_mm) {
		snprintf(hint, size, "what the gauge showed against its ring alone? add the ring");
		return true;
	}
	return false;
}
