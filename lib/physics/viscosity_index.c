/*
 * The viscosity index.
 */
#include <math.h>

#include "physics/viscosity_index.h"

int
leat_viscosity_index_row(double at_100_mm2_s, struct leat_viscosity_index_row *row)
{
	const struct leat_viscosity_index_row *table = leat_viscosity_index_table;
	size_t low = 0, high = LEAT_VISCOSITY_INDEX_ROWS - 1;
	double y = at_100_mm2_s, part;

	if (!(y >= LEAT_VISCOSITY_INDEX_MIN) || isinf(y))
		return -1;
	row->at_100 = y;
	if (y > table[high].at_100) {
		row->low = 0.8353 * y * y + 14.67 * y - 216;
		row->high = 0.1684 * y * y + 11.85 * y - 97;
		return 0;
	}
	while (high - low > 1) {
		size_t middle = (low + high) / 2;

		if (table[middle].at_100 <= y)
			low = middle;
		else
			high = middle;
	}
	part = (y - table[low].at_100) / (table[high].at_100 - table[low].at_100);
	row->low = table[low].low + part * (table[high].low - table[low].low);
	row->high = table[low].high + part * (table[high].high - table[low].high);
	return 0;
}

int
leat_viscosity_index(double at_40_mm2_s, double at_100_mm2_s, double *index)
{
	struct leat_viscosity_index_row row;
	double u = at_40_mm2_s, n;

	if (leat_viscosity_index_row(at_100_mm2_s, &row) != 0 || !(u >= at_100_mm2_s) || isinf(u))
		return -1;
	if (u >= row.high) {
		*index = 100 * (row.low - u) / (row.low - row.high);
		return 0;
	}
	n = (log10(row.high) - log10(u)) / log10(at_100_mm2_s);
	*index = (pow(10, n) - 1) / 0.00715 + 100;
	return 0;
}
