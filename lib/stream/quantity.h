/*
 * The number of a reading in the unit that a filter works in.
 *
 * Both return 1; 0 for what is no number; -1 with err, which names asset and point, for a unit of another dimension.  A
 * reading without unit is in that unit.
 */
#ifndef LEAT_STREAM_QUANTITY_H
#define LEAT_STREAM_QUANTITY_H

#include "base/units.h"
#include "stream/current.h"

/* Of a reading; 0 for one of quality bad too. */
int leat_quantity_of(const struct leat_reading *r, const struct leat_unit *unit, double *value, struct leat_error *err)
    LEAT_MUST_USE;

/* Of the latest reading of a series, valid or not. */
int leat_quantity_latest(const struct leat_current *current, uint32_t series, const struct leat_unit *unit, double *value,
    struct leat_error *err) LEAT_MUST_USE;

/* Is what a series shows in doubt: of uncertain quality, or a temperature that is frozen (leat_latest_is_frozen)? */
bool leat_quantity_doubtful(const struct leat_latest *latest, const struct leat_unit *unit);

/* What a series shows while it is valid at an instant; NaN where it shows no number, or is none.  *uncertain becomes true
 * where that is in doubt.  0, or -1 with err as above. */
int leat_quantity_valid(const struct leat_current *current, uint32_t series, const struct leat_unit *unit,
    struct leat_time at, double *value, bool *uncertain, struct leat_error *err) LEAT_MUST_USE;

#endif
