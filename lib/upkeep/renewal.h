/*
 * What the entries of the logbook mean for a series: from then on it measures another thing, or by another meter.
 */
#ifndef LEAT_UPKEEP_RENEWAL_H
#define LEAT_UPKEEP_RENEWAL_H

#include "upkeep/logbook.h"

/* Does the entry renew what is measured at (asset, point)?  Of the entry its event, asset and point count. */
bool leat_log_renews(const struct leat_log_entry *e, struct leat_span asset, struct leat_span point);

/* Is it a change of the meter that measures (asset, point)? */
bool leat_log_rescales(const struct leat_log_entry *e, struct leat_span asset, struct leat_span point);

#endif
