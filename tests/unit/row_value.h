/*
 * The values of rows of a readings text.
 */
#ifndef LEAT_TESTS_ROW_VALUE_H
#define LEAT_TESTS_ROW_VALUE_H

#include <math.h>

#include "unit.h"

/* The value of the n-th row, from 0 on, that has key, which ends before the value as in "NM,pressure,": NaN when there is none
 * or it has no value.  *quality its word, "" when there is no row. */
static inline double
nth_value_of(const char *text, const char *key, int n, char quality[16])
{
	const char *row = strstr(text, key), *end;
	double value;

	quality[0] = '\0';
	for (int i = 0; i < n && row != NULL; i++)
		row = strstr(row + 1, key);
	if (row == NULL)
		return NAN;
	row += strlen(key);
	end = strchr(row, '\n');
	assert_non_null(end);
	while (end[-1] != ',')
		end--;
	sscanf(end, "%15[a-z]", quality);
	return sscanf(row, "%lf", &value) == 1 ? value : NAN;
}

static inline double
value_of(const char *text, const char *key, char quality[16])
{
	return nth_value_of(text, key, 0, quality);
}

/* Has the row of key in text that value, NaN for none, and that quality, "" where there is to be no row?  name is the case's. */
static inline void
unit_row(const char *name, const char *text, const char *key, double expected, double within, const char *quality)
{
	char got[16];
	double value = value_of(text, key, got);

	if (strcmp(got, quality) != 0 || isnan(value) != isnan(expected) || fabs(value - expected) > within)
		fail_msg("%s: %s %.5f %s, expected %.5f %s\n%s", name, key, value, got, expected, quality, text);
}

#endif
