/*
 * Works tables as commands open them: from their option, else from the works folder, else empty.
 *
 * Each ends the program with status 2 after a message when the table cannot be read or has a fault.  A table that is
 * absent from the works folder is empty and named under --summary; one that an option names must be there.
 */
#ifndef LEAT_CMD_FRONT_TABLES_H
#define LEAT_CMD_FRONT_TABLES_H

#include "front.h"
#include "base/period.h"
#include "judge/confirms.h"
#include "stream/finding.h"
#include "stream/limits.h"
#include "stream/modes.h"
#include "stream/nameplate.h"
#include "stream/oil_rules.h"
#include "stream/points.h"
#include "stream/precharges.h"
#include "stream/shelved.h"
#include "stream/trends.h"
#include "upkeep/logbook.h"
#include "upkeep/stops.h"
#include "upkeep/tasks.h"

void front_confirms(struct leat_confirms *confirms);
/* Adds the findings of a file.  Rows that are none are left out, and said once. */
void front_findings(struct leat_findings *findings, const char *path);
void front_limits(struct leat_limits *limits);
/* Entries later than now are left out.  A line that was cut is left out with a warning, since no writing of it was ever
 * confirmed; any other line at fault ends the program. */
void front_logbook(struct leat_logbook *book, const struct leat_zone *zone, struct leat_time now);
void front_modes(struct leat_modes *modes);
struct leat_nameplate *front_nameplate(void);
/* Sets zone and beginning of the day of a grid by the nameplate, which the caller frees after the grid: those of the works,
 * without it UTC and midnight. */
struct leat_nameplate *front_works_days(struct leat_grid *grid);
void front_oil_rules(struct leat_oil_rules *rules);
void front_parts(struct leat_parts *parts);
void front_points(struct leat_points *points);
void front_precharges(struct leat_precharges *curves);
void front_shelves(struct leat_shelves *shelves, const struct leat_zone *zone);
void front_stops(struct leat_stops *stops, const struct leat_zone *zone);
void front_tasks(struct leat_tasks *tasks);
void front_trends(struct leat_trends *trends);

#endif
