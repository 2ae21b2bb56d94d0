/*
 * Between the files of tell/card.h.
 */
#ifndef LEAT_TELL_CARD_PRIVATE_H
#define LEAT_TELL_CARD_PRIVATE_H

#include "tell/card.h"

/* The text of pieces, the numbers of the nameplate put in, at the end of words, which the caller empties. */
void card_words(struct leat_sheet *s, struct leat_buf *words, const struct leat_card *card,
    const struct leat_pieces *pieces);

/* Calls row for every entry that an item's blanks are for: blank is NULL for one without measurement, and last of each
 * asset come serial number and words, if asked for. */
typedef void card_entry_fn(void *user, const struct leat_procedure_item *item, const struct leat_blank *blank,
    struct leat_span asset);
void card_entries(const struct leat_card *card, const struct leat_procedure_item *item, card_entry_fn *fn, void *user);

#endif
