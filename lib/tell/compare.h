/*
 * Tonight's findings against those of an earlier night: in which section of the report each belongs.
 *
 * Nothing is kept between nights but the findings themselves, so every rule here is a function of the two nights and of
 * now, and a rerun of an old night says the same again.
 */
#ifndef LEAT_TELL_COMPARE_H
#define LEAT_TELL_COMPARE_H

#include "tell/fold.h"
#include "tell/words.h"

#define LEAT_OLD_S (7 * 86400.0)	/* common practice: a mail that repeats itself is not read */

/* Fills in section, earlier and unshelved of tonight's items, and sets to LEAT_SECTION_GONE those of the earlier night
 * that were open and are absent tonight (all others of the earlier night are LEAT_SECTION_NONE).  earlier is NULL where
 * there is no night to compare with: then nothing is still, worse, cleared or gone.  list_standing: alerts that stand
 * unchanged, and what cannot be told for longer than LEAT_OLD_S, are listed, not only counted.
 *
 * The start of an episode that was open in the earlier night is taken from there when it is earlier: tonight's data may
 * not reach back so far. */
void leat_compare(struct leat_items *tonight, struct leat_items *earlier, const struct leat_calendar *cal,
    bool list_standing);

/* Has it grown worse: from alert to alarm, or, under the same status, limit and unit, half as far again beyond its limit
 * and by at least 2 % of the limit.  A smaller rise of the worst value of a long episode is no news. */
bool leat_item_worse(const struct leat_item *item, const struct leat_item *earlier);

/* Has its do-by date passed?  The date itself is not past yet. */
bool leat_item_overdue(const struct leat_item *item, const struct leat_calendar *cal);

#endif
