/*
 * Units and exact conversion factors.
 *
 * Factors are ratios of whole numbers to the SI unit of the dimension, after the SI brochure (BIPM) and NIST SP 811.
 * A plain pressure unit is gauge; absolute units end in 'a' (bara, psia) and are a dimension of their own, as are
 * temperature differences (K) beside temperatures (degC, degF).  leat-units(7) lists all.
 */
#ifndef LEAT_BASE_UNITS_H
#define LEAT_BASE_UNITS_H

#include <stdint.h>

#include "base/error.h"
#include "base/span.h"

struct leat_unit {
	const char *name;	/* as written in streams */
	const char *dimension;	/* slug such as "pressure", "pressure-absolute", "flow"; equal pointers are not promised */
	int64_t num, den;	/* SI value = (value + offset_num/offset_den) * num/den */
	int64_t offset_num, offset_den;
	const char *meaning;	/* one line for leat-units(7) */
};

/* The unit written so (or one of its foreign spellings such as "°C", "l/min", "Bar"); NULL when there is none, and for
 * the empty text, which words and codes carry in place of a unit.  Blanks and '^' do not count, superscripts are digits,
 * one pair of brackets around all is taken off.  A spelling that does not say which unit it means (gal/min, ton, atm)
 * finds none.  The result is static. */
const struct leat_unit *leat_unit_find(struct leat_span name);

/* Is it a spelling that is used for more than one unit, such as "gpm", "ton" or "MBAR"?  leat_unit_find knows none of
 * them; who reads a table or an export must ask which is meant. */
bool leat_unit_unclear(struct leat_span text);

/* Every unit in the order of leat-units(7); NULL past the end. */
const struct leat_unit *leat_unit_at(size_t index);

/* Every spelling that finds a unit as it stands, in byte order, the units' own names among them; NULL past the end. */
const char *leat_unit_spelling(size_t index, const struct leat_unit **unit);

bool leat_unit_same_dimension(const struct leat_unit *a, const struct leat_unit *b);

/* A conversion made ready once for many values. */
struct leat_conversion {
	bool same;			/* from and to are one unit: values and texts stay as they are */
	double before, times, over, after;	/* (value + before) * times / over - after */
};

/* 0, or -1 when the dimensions differ. */
int leat_conversion_init(struct leat_conversion *c, const struct leat_unit *from, const struct leat_unit *to)
    LEAT_MUST_USE;
double leat_conversion_value(const struct leat_conversion *c, double value);
size_t leat_conversion_text(const struct leat_conversion *c, struct leat_span text, char *dst);	/* as convert_text */

/* value in from, expressed in to; NaN when they are not of one dimension. */
double leat_unit_convert(const struct leat_unit *from, const struct leat_unit *to, double value);

/* The same for the text of a reading: the source's significant digits plus two (decimals plus two where the value is 0
 * or the units differ by an offset), but no more than 15 digits, which is what a double holds.  The text itself when
 * from == to.  dst has LEAT_NUMBER_MAX bytes, ends in NUL; returns the length, or 0 when the text is not a number, does
 * not fit, or the dimensions differ. */
size_t leat_unit_convert_text(const struct leat_unit *from, const struct leat_unit *to, struct leat_span text, char *dst);

#endif
