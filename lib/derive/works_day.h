/*
 * The works' days of a stream, by the zone and the day-start of the nameplate.
 */
#ifndef LEAT_DERIVE_WORKS_DAY_H
#define LEAT_DERIVE_WORKS_DAY_H

#include "base/period.h"
#include "stream/nameplate.h"

/* The works' day with *start < t <= *end: what is stamped at the end of a day belongs to that day. */
void leat_works_day_ending(const struct leat_nameplate *np, struct leat_time t, struct leat_time *start,
    struct leat_time *end);

#endif
