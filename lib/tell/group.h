/*
 * Cause and cost: which findings another one explains, and what waiting with them costs.
 *
 * Both stand in the findings themselves (columns explains and per_day_low, per_day_high, per_day_unit of
 * leat-findings(5)).  A finding that explains others and prices nothing is a diagnosis: what it explains moves below it.
 * One that prices lays its cost on what it names, and moves below it too where it is to be listed at all.
 */
#ifndef LEAT_TELL_GROUP_H
#define LEAT_TELL_GROUP_H

#include "tell/fold.h"

/* Sets head, members, gravest, cost, top and cause of tonight's items, whose sections are known (leat_compare).
 *
 * Only what is open and not shelved explains or is explained.  A finding moves below its diagnosis unless it is news and
 * its diagnosis is not (a NEW finding stays under NEW, and one that is WORSE under WORSE), or overdue: then it stays where
 * it is, with cause set.  A diagnosis that stands unlisted is listed under STILL where something that it explains is
 * listed.  What several diagnoses explain is below the first of them, by section, status and name.  0, or -1 with err when
 * memory is out. */
int leat_group(struct leat_items *items, struct leat_error *err) LEAT_MUST_USE;

/* Takes the next identity off a list "ASSET POINT RULE;ASSET POINT RULE" as it stands there: the last two words are point and
 * rule.  False at its end; what is no identity is skipped. */
bool leat_explained_next(struct leat_span *rest, struct leat_finding *identity);

/* Does the finding say what waiting costs, and is it more than nothing?  low and high are the least and the most of it in a
 * day, in the unit. */
bool leat_finding_cost(const struct leat_finding *f, double *low, double *high);
/* That unit, without the day that it is of: kWh of kWh/d. */
struct leat_span leat_finding_cost_unit(const struct leat_finding *f);

/* Less than 0 when waiting with a costs more than with b.  Costs in one unit come by their most and then their least, costs
 * in several units by the names of those, for nothing makes them equal; what has no cost comes last. */
int leat_cost_cmp(const struct leat_finding *a, const struct leat_finding *b);

#endif
