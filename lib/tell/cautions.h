/*
 * Cautions for job cards, word for word those of docs/cautions.md, which is their one source; a test compares them.
 */
#ifndef LEAT_TELL_CAUTIONS_H
#define LEAT_TELL_CAUTIONS_H

#include "base/span.h"

#define LEAT_CAUTION_LINES 6u

struct leat_caution {
	const char *keyword;			/* as tasks.csv and procedures name it: "stored-energy" */
	const char *title;			/* "Stored energy" */
	const char *line[LEAT_CAUTION_LINES];	/* sentences; NULL behind the last */
};

/* The first is what stands on every card; NULL past the end. */
const struct leat_caution *leat_caution_at(size_t index);
/* NULL when no passage has this keyword. */
const struct leat_caution *leat_caution_find(struct leat_span keyword);

#endif
