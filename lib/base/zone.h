/*
 * Time zones: the system's zone data (TZif, RFC 8536) read by name, POSIX TZ rules, fixed offsets.
 *
 * Nothing here looks at the environment or changes the process's zone, so one process can work in several.
 */
#ifndef LEAT_BASE_ZONE_H
#define LEAT_BASE_ZONE_H

#include "base/instant.h"

struct leat_zone;

/* name: "UTC" or "Z"; an offset "+01:00"; a name of the zone data "Europe/Berlin" (read below /usr/share/zoneinfo; a
 * name that leaves that folder is refused); or a POSIX rule "CET-1CEST,M3.5.0,M10.5.0/3", whose dates must be there.
 * "UTC+1" and the like are refused: as rules they read west, and east is what is meant.  Zones with leap seconds are
 * refused too.  NULL with err when it is none of these or cannot be read.  Free with leat_zone_free. */
struct leat_zone *leat_zone_open(struct leat_span name, struct leat_error *err);
void leat_zone_free(struct leat_zone *zone);

/* The name it was opened under; valid while the zone is. */
const char *leat_zone_name(const struct leat_zone *zone);

/* Seconds east of UTC at the instant; within -89999..93599. */
int32_t leat_zone_offset(const struct leat_zone *zone, int64_t sec);

/* The instants at which the zone's clocks show c, oldest first in at[0], at[1].  Returns how many: 0 in the gap of a
 * clock put forward, 2 in the hour that comes twice, otherwise 1. */
int leat_zone_instants(const struct leat_zone *zone, const struct leat_civil *c, struct leat_time at[2]);

/* Local date and time at the instant. */
struct leat_civil leat_zone_civil(const struct leat_zone *zone, struct leat_time t);

/* The first instant after t at which the offset changes; LEAT_TIME_NONE when there is none up to the year 9999. */
struct leat_time leat_zone_next_change(const struct leat_zone *zone, struct leat_time t);

#endif
