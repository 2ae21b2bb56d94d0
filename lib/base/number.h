/*
 * Exact decimal numbers.
 *
 * A value that is only copied keeps its text.  This module is for the rest: reading a decimal strictly, comparing two
 * at their stated precision, and writing a computed value with a stated number of digits, without binary noise.
 * "nan", "inf", hexadecimal and octal spellings are not numbers; leading zeros are decimal.
 */
#ifndef LEAT_BASE_NUMBER_H
#define LEAT_BASE_NUMBER_H

#include <stdint.h>

#include "base/error.h"
#include "base/span.h"

/* coefficient * 10^-scale.  "52.30" is 5230, scale 2, digits 4; "1.5e3" is 15, scale -2, digits 2. */
struct leat_number {
	int64_t coefficient;	/* at most 18 digits; further digits are rounded away */
	int scale;		/* digits after the point; negative: zeros before it; within -400..400 */
	int digits;		/* significant digits as written, at least 1 */
};

/* Reads [+-]digits[.digits][(e|E)[+-]digits], or [+-].digits, the whole span, no blanks.  0, or -1 when it is not a
 * number in that form, or not below 1e300 in size, or its scale is out of range (no struct leat_error: the caller
 * knows where it was).  A nineteenth digit of 5 or more rounds the coefficient away from zero. */
int leat_number_parse(struct leat_span text, struct leat_number *out) LEAT_MUST_USE;

/* The nearest double (correctly rounded for coefficients up to 2^53 and |scale| <= 22, otherwise within 1 ulp). */
double leat_number_value(const struct leat_number *num);

/* Reads text straight to a double; 0 or -1 as leat_number_parse. */
int leat_double_parse(struct leat_span text, double *out) LEAT_MUST_USE;

/* The same, and what leat_number_decimals says of text, which it says of what is no number too. */
int leat_double_decimals(struct leat_span text, double *out, int *decimals) LEAT_MUST_USE;

/* Whole number within min..max, decimal digits with optional sign only.  0 or -1. */
int leat_int_parse(struct leat_span text, int64_t min, int64_t max, int64_t *out) LEAT_MUST_USE;

/* Do two readings of one thing agree: equal after rounding (half away from zero) to the coarser of their precisions?
 * 83.1 and 83.14 agree; 83.1 and 83.2 do not. */
bool leat_number_agree(const struct leat_number *a, const struct leat_number *b);

/* Digits after the point of a decimal as written, at most 9; 0 where there is an exponent. */
int leat_number_decimals(struct leat_span text);

#define LEAT_NUMBER_MAX 424	/* bytes that hold any number written below, with its NUL */

/* Writes value in plain decimal notation (never an exponent) with exactly decimals digits after the point (0..17),
 * rounded half to even on the decimal expansion of the double; "-0.0" becomes "0.0".  Ends in NUL; dst has
 * LEAT_NUMBER_MAX bytes.  value must be finite and below 1e300.  Returns the length. */
size_t leat_number_fixed(char *dst, double value, int decimals);

/* As leat_number_fixed with that many significant digits (1..17): 3 digits of 0.04567 are 0.0457, of 98765 are 98800,
 * of 0 are 0.00. */
size_t leat_number_significant(char *dst, double value, int digits);

/* Takes the zeros behind the point off a number that was written, and the point when nothing follows it: 1.500 becomes 1.5,
 * 20.0 becomes 20.  Returns the length. */
size_t leat_number_trim(char *text, size_t len);

/* Writes num in plain decimal notation with its own precision: 1.5e3 becomes 1500, 5230/2 becomes 52.30. */
size_t leat_number_plain(char *dst, const struct leat_number *num);

#endif
