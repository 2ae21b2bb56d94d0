/*
 * The rounds of leat-card: the sheet of tomorrow, and the check of one that was typed back.
 */
#ifndef LEAT_CMD_FRONT_ROUND_H
#define LEAT_CMD_FRONT_ROUND_H

#include "front_tables.h"
#include "tell/words.h"

struct front_round {
	const char *assets;	/* pattern of the assets that are read by hand */
	const char *sheet;	/* the one to be checked; NULL: the sheet of tomorrow is printed */
	const char *findings;	/* of a night, NULL: none */
	bool csv, html;
	struct leat_calendar *cal;	/* its now is set by the last reading under --now data */
};

/* Reads the operands, does it and accounts for it. */
void front_round(const struct front_round *round, int argc, char *const argv[]);

#endif
