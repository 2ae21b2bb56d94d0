/*
 * What every unit test needs: cmocka with its includes in order, and comparisons that cmocka lacks.
 */
#ifndef LEAT_TESTS_UNIT_H
#define LEAT_TESTS_UNIT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/span.h"

/* cmocka compares floating numbers as float; this compares as double with an absolute tolerance that the test states.
 * Written so that NaN never passes. */
#define unit_close(actual, expected, tolerance) \
	unit_close_at((actual), (expected), (tolerance), #actual, __FILE__, __LINE__)

static inline void
unit_close_at(double actual, double expected, double tolerance, const char *what, const char *file, int line)
{
	double gap = actual > expected ? actual - expected : expected - actual;

	if (gap <= tolerance)
		return;
	print_error("%s: %.17g, expected %.17g within %.3g\n", what, actual, expected, tolerance);
	_fail(file, line);
}

/* Compares a span with a C string, showing both when they differ. */
#define unit_span(actual, expected) unit_span_at((actual), (expected), __FILE__, __LINE__)

static inline void
unit_span_at(struct leat_span actual, const char *expected, const char *file, int line)
{
	if (leat_span_is(actual, expected))
		return;
	print_error("'%.*s', expected '%s'\n", (int)actual.len, actual.ptr != NULL ? actual.ptr : "", expected);
	_fail(file, line);
}

#endif
