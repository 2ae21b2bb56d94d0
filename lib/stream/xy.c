/*
 * Two columns of numbers.
 */
#include <stdlib.h>

#include "base/number.h"
#include "stream/xy.h"

int
leat_xy_take(struct leat_xy *xy, const struct leat_row *row, const int column[2], struct leat_error *err)
{
	double value[2];

	for (int i = 0; i < 2; i++) {
		struct leat_span cell = (size_t)column[i] < row->count ? row->field[column[i]] : leat_span_make("", 0);

		if (leat_double_parse(leat_span_trim(cell), &value[i]) == 0)
			continue;
		leat_error_set(err, "not a number");
		leat_error_value(err, cell);
		return 0;
	}
	if (leat_grow(&xy->x, &xy->x_cap, xy->count + 1, sizeof(*xy->x)) != 0 ||
	    leat_grow(&xy->y, &xy->y_cap, xy->count + 1, sizeof(*xy->y)) != 0)
		return leat_error_memory(err);
	xy->x[xy->count] = value[0];
	xy->y[xy->count++] = value[1];
	return 1;
}

void
leat_xy_free(struct leat_xy *xy)
{
	free(xy->x);
	free(xy->y);
	*xy = (struct leat_xy){ 0 };
}
