/*
 * The viscosity index of an oil after ASTM D2270 (ISO 2909): how little it thins as it gets warmer.
 */
#ifndef LEAT_PHYSICS_VISCOSITY_INDEX_H
#define LEAT_PHYSICS_VISCOSITY_INDEX_H

#include "base/error.h"

/* Kinematic viscosity at 100 degC in mm2/s below which the index is not defined. */
#define LEAT_VISCOSITY_INDEX_MIN 2.0

/* Kinematic viscosities in mm2/s: at 100 degC, and at 40 degC of the oils of index 0 and 100 that have it. */
struct leat_viscosity_index_row {
	double at_100, low, high;
};
#define LEAT_VISCOSITY_INDEX_ROWS 311
extern const struct leat_viscosity_index_row leat_viscosity_index_table[LEAT_VISCOSITY_INDEX_ROWS];

/* The row for any viscosity at 100 degC: by the table up to 70 mm2/s, beyond by the equations of the standard.  0, or -1
 * below LEAT_VISCOSITY_INDEX_MIN. */
int leat_viscosity_index_row(double at_100_mm2_s, struct leat_viscosity_index_row *row) LEAT_MUST_USE;

/* The index from the viscosities at 40 and 100 degC, not rounded (the standard reports whole numbers).  0, or -1 where it
 * is not defined: below LEAT_VISCOSITY_INDEX_MIN, or thicker at 100 degC than at 40. */
int leat_viscosity_index(double at_40_mm2_s, double at_100_mm2_s, double *index) LEAT_MUST_USE;

#endif
