/*
 * The job cards of leat-card: of one task, of the tasks of a stop, of a plan.
 */
#ifndef LEAT_CMD_FRONT_CARD_H
#define LEAT_CMD_FRONT_CARD_H

#include "front_tables.h"
#include "tell/words.h"

struct front_cards {
	const char *stop;	/* the start of a stop; NULL: none */
	const char *plan;	/* file of leat-due --stops; NULL: none */
	const char *findings;	/* of a night; NULL: none */
	bool csv, html;
	const struct leat_nameplate *np;
	const struct leat_calendar *cal;
};

/* Takes the operands, a task and an asset, or with a stop or a plan a mill; prints the cards and accounts for them. */
void front_cards(const struct front_cards *form, int count, char *const operand[]);

#endif
