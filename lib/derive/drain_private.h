/*
 * Between drain.c (the stream and the flow of time), drain_minute.c (one minute of a pump), drain_plate.c (what is known of
 * a pump beside readings), drain_write.c (results) and drain_fit.c.
 */
#ifndef LEAT_DERIVE_DRAIN_PRIVATE_H
#define LEAT_DERIVE_DRAIN_PRIVATE_H

#include "derive/drain.h"

/* Looks up which series serve which pump; done again when a new series has come, or the nameplate changes.  0, or -1 when
 * memory is out. */
int leat_drain_resolve(struct leat_drain *drain);

/* Reads the nameplate for a pump. */
void leat_drain_read_plate(struct leat_drain *drain, struct leat_drain_pump *pump, struct leat_time at);

/* Looks at a pump at a whole minute.  *known becomes true when it is known whether it runs.  0, or -1 with err. */
int leat_drain_look(struct leat_drain *drain, struct leat_drain_pump *pump, struct leat_time minute, bool *known,
    struct leat_error *err);

/* Writes the rows, or the explanation, of a pump's day, and empties it. */
void leat_drain_write_day(struct leat_drain *drain, struct leat_drain_pump *pump);
void leat_drain_empty_day(struct leat_drain_day *day);

/* Adds an admitted minute to the fit.  0, or -1 when memory is out. */
int leat_drain_fit_add(struct leat_drain *drain, struct leat_drain_pump *pump, const struct leat_drain_minute *m);

/* Writes the rows of the nameplate that the fit proposes.  0, or -1 when memory is out. */
int leat_drain_fit_write(struct leat_drain *drain, struct leat_drain_pump *pump);

/* Tells the user. */
void leat_drain_tell(const struct leat_drain *drain, const char *text);

#endif
