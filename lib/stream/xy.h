/*
 * Two columns of numbers of a CSV file, for calculations that need no readings.
 */
#ifndef LEAT_STREAM_XY_H
#define LEAT_STREAM_XY_H

#include "stream/rows.h"

struct leat_xy {
	double *x, *y;			/* owned */
	size_t count, x_cap, y_cap;
};

/* Takes one row.  1; 0 with err when a cell is missing or no number; -1 with err when memory is out. */
int leat_xy_take(struct leat_xy *xy, const struct leat_row *row, const int column[2], struct leat_error *err) LEAT_MUST_USE;
void leat_xy_free(struct leat_xy *xy);

#endif
