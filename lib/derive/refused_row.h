/*
 * A row of the stream that a derive filter turns away: it goes to the rejects in place of the stream.
 */
#ifndef LEAT_DERIVE_REFUSED_ROW_H
#define LEAT_DERIVE_REFUSED_ROW_H

#include "stream/reading.h"

/* Is told of the row, as it stands, and why. */
typedef void leat_refused_row_fn(const struct leat_error *err, struct leat_span row);

/* Tells tell (may be NULL) that the row's value is refused.  0, or -1 with err when memory is out. */
int leat_refuse_value(struct leat_readings *in, const struct leat_reading *r, const char *why, leat_refused_row_fn *tell,
    struct leat_error *err) LEAT_MUST_USE;

#endif
