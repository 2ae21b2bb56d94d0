/*
 * The known name nearest to a mistyped one, for messages that suggest it.
 */
#ifndef LEAT_STREAM_NEAREST_H
#define LEAT_STREAM_NEAREST_H

#include "base/span.h"

/* Collects the nearest of the names offered.  Set word; zero the rest. */
struct leat_nearest {
	struct leat_span word;		/* what was written; borrowed */
	const char *name;		/* the nearest so far, borrowed; NULL: none is near */
	size_t distance;		/* its distance from word when name is set */
};

/* Offers one known name.  Near is at most a third of the longer text's bytes inserted, dropped, replaced or swapped
 * with their neighbour; ASCII case, '_' and '-' count as equal.  Of equally near names the first offered stays. */
void leat_nearest_offer(struct leat_nearest *nearest, const char *name);

#endif
