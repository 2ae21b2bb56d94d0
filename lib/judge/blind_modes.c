/* Which judgements a works' data allows: rows, and the failure modes that no judgement sees. */
#include <string.h>

#include "judge/blind.h"

void
leat_blind_write(struct leat_out *out, struct leat_span mill, const struct leat_judgement *judgement,
    const struct leat_blind_row *row)
{
	const struct leat_span cell[] = { mill, leat_span_of(judgement->name), leat_span_of(leat_blind_name(row->state)),
		leat_span_of(judgement->needs), leat_buf_span(&row->has), leat_buf_span(&row->reason),
		leat_buf_span(&row->opens), leat_span_of(judgement->modes) };
	size_t count = sizeof(cell) / sizeof(cell[0]);

	for (size_t i = 0; i < count; i++) {
		leat_out_field(out, cell[i]);
		leat_out_char(out, i + 1 < count ? ',' : '\n');
	}
}

bool
leat_judgement_sees(const struct leat_judgement *judgement, struct leat_span mode)
{
	struct leat_span rest = leat_span_of(judgement->modes), word;

	while (leat_span_next(&rest, ' ', &word))
		if (leat_span_eq(word, mode))
			return true;
	return false;
}

/* Does any judgement before the index-th, or any that is not blind, see it? */
static bool
settled(const enum leat_blind *seen, size_t index, struct leat_span mode)
{
	const struct leat_judgement *q;

	for (size_t i = 0; (q = leat_judgement_at(i)) != NULL; i++)
		if ((i < index || seen[i] > LEAT_BLIND) && leat_judgement_sees(q, mode))
			return true;
	return false;
}

int
leat_blind_modes(const enum leat_blind *seen, struct leat_buf *modes)
{
	const struct leat_judgement *q;
	struct leat_span rest, mode;

	for (size_t i = 0; (q = leat_judgement_at(i)) != NULL; i++) {
		rest = leat_span_of(q->modes);
		while (leat_span_next(&rest, ' ', &mode))
			if (mode.len > 0 && !settled(seen, i, mode) &&
			    ((modes->len > 0 && leat_buf_add(modes, ", ", 2) != 0) || leat_buf_add_span(modes, mode) != 0))
				return -1;
	}
	return 0;
}
