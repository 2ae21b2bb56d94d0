/*
 * The scoreboard of the nightly text: how each mill held its grinding pressure, and why it did not.
 */
#ifndef LEAT_TELL_SCORE_H
#define LEAT_TELL_SCORE_H

#include "tell/nightly.h"
#include "tell/text.h"

/* The rule whose findings hold the share of the grinding time in which a mill was at its pressure. */
#define LEAT_SCORE_RULE "low-attainment"

/* Writes one line for all mills where every one held its pressure, else a line for each; nothing where no finding is of
 * LEAT_SCORE_RULE.  The causes are those open findings of the same mill whose rules say so; shelved ones too. */
void leat_score_write(struct leat_text *t, const struct leat_nightly *n);

#endif
