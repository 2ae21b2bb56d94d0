/*
 * Calculators: where every operand is a number with an optional unit, it is a calculation and no stream is read.  A file
 * named 2500 is ./2500.
 */
#ifndef LEAT_CMD_FRONT_CALC_H
#define LEAT_CMD_FRONT_CALC_H

#include "base/units.h"
#include "front.h"

/* One operand: "2500", "90bar", "40 degC", "250000/100mL" (as 1/100mL). */
struct front_quantity {
	const char *text;		/* as given */
	double value;
	const struct leat_unit *unit;	/* NULL: it has none */
};

/* Is it a calculation?  At least one operand, and every one is a quantity. */
bool front_calculates(int argc, char *const argv[]);

/* Reads one of its operands.  A unit with more than one meaning, such as gpm, is misuse. */
struct front_quantity front_quantity(const char *operand);

/* Its value in unit, which is that of a bare number.  Another dimension is misuse. */
double front_quantity_in(const struct front_quantity *quantity, const struct leat_unit *unit);

/* Both at once, by the name of a unit of leat-units(7). */
double front_operand(const char *operand, const char *unit);

/* Prints what was calculated. */
void front_print(const char *fmt, ...) LEAT_PRINTF(1, 2);

#endif
