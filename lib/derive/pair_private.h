/*
 * Between pair.c (which readings meet) and pair_write.c (what comes out).
 */
#ifndef LEAT_DERIVE_PAIR_PRIVATE_H
#define LEAT_DERIVE_PAIR_PRIVATE_H

#include "derive/pair.h"

/* How the second came to its value. */
enum leat_pair_way {
	LEAT_PAIR_EQUAL,	/* read at the same time */
	LEAT_PAIR_HELD,		/* its reading before */
	LEAT_PAIR_NEXT,		/* its next reading */
	LEAT_PAIR_LINE		/* on a line between both */
};

/* Writes difference and ratio, stamped so.  0, or -1 with err: out of memory, or units of different dimensions. */
int leat_pairing_write(struct leat_pairing *pairing, struct leat_pair_state *state, const struct leat_pair_value *first,
    const struct leat_pair_value *second, enum leat_pair_way way, struct leat_time stamp, struct leat_error *err);

#endif
