/*
 * How often each text came.
 */
#include "stream/tally.h"

#include <stdlib.h>

int
leat_tally_add(struct leat_tally *tally, struct leat_span text)
{
	uint32_t number;

	if (text.len > LEAT_TALLY_TEXT)
		text.len = LEAT_TALLY_TEXT;
	number = leat_names_get(&tally->names, text);
	if (number == LEAT_NAME_NONE && tally->names.count >= LEAT_TALLY_MAX) {
		tally->other++;
		tally->total++;
		return 0;
	}
	if (number == LEAT_NAME_NONE) {
		if (leat_grow(&tally->count, &tally->cap, tally->names.count + 1, sizeof(*tally->count)) != 0)
			return -1;
		number = leat_names_put(&tally->names, text);
		if (number == LEAT_NAME_NONE)
			return -1;
	}
	tally->count[number]++;
	tally->total++;
	return 0;
}

void
leat_tally_free(struct leat_tally *tally)
{
	leat_names_free(&tally->names);
	free(tally->count);
	memset(tally, 0, sizeof(*tally));
}
