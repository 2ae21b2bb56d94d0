/* Cells by their types, for the tables that no command reads yet. */
#include "judge/proof_private.h"

static bool
is_duration(struct leat_span cell)
{
	struct leat_duration d;

	return leat_duration_parse(cell, &d) == 0 && (d.months > 0 || d.days > 0 || d.seconds > 0);
}

static void
check_cell(struct leat_proof *p, const struct leat_table *t, size_t row, size_t column, enum leat_proof_type type)
{
	struct leat_span cell = leat_table_cell(t, row, column);

	switch (type) {
	case PROOF_TEXT: case PROOF_ASSET:
		break;
	case PROOF_DURATION:
		if (!is_duration(cell))
			proof_cell(p, true, t, row, column, "not a duration such as PT2H, P14D or P6M");
		break;
	}
}

void
proof_row_cells(struct leat_proof *p, const struct leat_table *t, size_t row, const struct leat_proof_cell *cell)
{
	for (size_t column = 0; column < leat_table_form_of(t)->columns; column++) {
		if (leat_table_cell(t, row, column).len > 0)
			check_cell(p, t, row, column, cell[column].type);
		else if (cell[column].due)
			proof_cell(p, true, t, row, column, "empty: a value is due");
	}
}
