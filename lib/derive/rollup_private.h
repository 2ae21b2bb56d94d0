/*
 * Between rollup.c (the flow of time), rollup_count.c (one series) and rollup_write.c (results).
 */
#ifndef LEAT_DERIVE_ROLLUP_PRIVATE_H
#define LEAT_DERIVE_ROLLUP_PRIVATE_H

#include "derive/rollup.h"

/* The name without its suffix when it is a statistic of a point, such as pressure.mean. */
bool leat_rollup_statistic(struct leat_span name, struct leat_span *base, struct leat_span *suffix);

/* Takes what is known of a series at its first reading.  0, or -1 when memory is out. */
int leat_rollup_prepare(struct leat_rollup *rollup, const struct leat_reading *r);

/* Notes a reading for the end of its instant.  0, or -1 with err. */
int leat_rollup_note(struct leat_rollup *rollup, const struct leat_reading *r, struct leat_error *err);

/* Counts the value that holds, up to an instant. */
int leat_rollup_hold(struct leat_rollup *rollup, struct leat_rollup_series *s, struct leat_time until);

/* Counts up to the reading that was noted, and takes it over. */
int leat_rollup_apply(struct leat_rollup *rollup, struct leat_rollup_series *s);

/* Writes what came out for a series of the period from rollup->start to end; nothing when there was nothing of it. */
int leat_rollup_write(struct leat_rollup *rollup, uint32_t series, struct leat_time end);

#endif
