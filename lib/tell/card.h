/*
 * Job cards: one task at one asset, on paper.
 *
 * A card has what it is for, the state that the job needs, what is locked, cautions, tools, parts, steps with their limits
 * and the blanks of the logbook, the test after work, what will show in the data, and who signs.  Cautions come from
 * tell/cautions.h alone.
 */
#ifndef LEAT_TELL_CARD_H
#define LEAT_TELL_CARD_H

#include "stream/finding.h"
#include "stream/nameplate.h"
#include "tell/sheet.h"
#include "tell/words.h"
#include "upkeep/procedure.h"

struct leat_card_part {
	struct leat_span part, title;	/* title: empty where parts.csv has none */
	double need;			/* how many the job takes */
	bool known, has_stock;
	double stock;
};

/* All is borrowed. */
struct leat_card {
	struct leat_span task, asset, title;
	struct leat_span needs;			/* as tasks.csv has it, upkeep/needs.h */
	struct leat_span cautions;		/* keywords, besides those of the procedure */
	struct leat_span crew, source;
	double duration_s;			/* 0: not given */
	const struct leat_card_part *part;
	size_t parts;
	const struct leat_procedure *procedure;	/* NULL: none */
	struct leat_span procedure_name;	/* of its file; empty: none */
	const struct leat_nameplate *nameplate;
	struct leat_time start, end;		/* of the stop; LEAT_TIME_NONE: none */
	const struct leat_finding *const *finding;	/* what is open at the asset */
	size_t findings;
	const struct leat_calendar *cal;
};

/* A keyword of the card or its procedure that no passage has; empty: all have one. */
struct leat_span leat_card_caution_unknown(const struct leat_card *card);

/* Adds the card as a page of its own.  A failure of memory shows in s->text.failed. */
void leat_card_write(struct leat_sheet *s, const struct leat_card *card);

/* The blanks of the card as rows of a logbook, LEAT_LOGBOOK_HEADER, in which time, values and who are still empty. */
void leat_card_csv(struct leat_out *out, const struct leat_card *card);

#endif
