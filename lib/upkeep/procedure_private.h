/*
 * Between the files of upkeep/procedure.h.
 */
#ifndef LEAT_UPKEEP_PROCEDURE_PRIVATE_H
#define LEAT_UPKEEP_PROCEDURE_PRIVATE_H

#include "upkeep/procedure.h"

struct leat_procedure_reading {
	struct leat_procedure *p;
	const char *file;
	const struct leat_points *points;
	const struct leat_procedure_faults *faults;
	bool bad, out_of_memory;
};

/* Tells a fault at a line; value may be empty. */
void procedure_fault(struct leat_procedure_reading *r, long line, struct leat_span value, const char *fmt, ...)
    LEAT_PRINTF(4, 5);

/* Takes the text of an item apart, which begins at line; marks: are blanks and [log: ] to be there? */
void procedure_item(struct leat_procedure_reading *r, struct leat_procedure_item *item, struct leat_span text, bool marks);

#endif
