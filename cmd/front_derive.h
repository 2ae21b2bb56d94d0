/*
 * What every derive filter does alike: readings in, those not later than now to the filter, copied on where it keeps them.
 */
#ifndef LEAT_CMD_FRONT_DERIVE_H
#define LEAT_CMD_FRONT_DERIVE_H

#include "front.h"

/* What the filter does with one reading: more than 0 when the row is to be copied, 0 when it was replaced, -1 with err. */
typedef int front_take(void *filter, const struct leat_reading *r, struct leat_error *err);

/* Reads in to its end.  copy: rows that take keeps go to standard output.  0, or -1 when take failed (reported). */
int front_derive(struct leat_readings *in, front_take *take, void *filter, bool copy);

/* After it: says under --summary what was read, and compares the rejects with what is allowed. */
void front_derive_end(const struct leat_readings *in);

#endif
