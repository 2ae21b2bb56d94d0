/* Shared by the files of the nightly text. */
#ifndef LEAT_TELL_NIGHTLY_PRIVATE_H
#define LEAT_TELL_NIGHTLY_PRIVATE_H

#include "tell/nightly.h"

#define CANNOT_TELL "cannot" LEAT_TEXT_GLUE "tell"

/* Everything while a report is made. */
struct leat_report {
	const struct leat_nightly *n;
	struct leat_items tonight, earlier;
	struct leat_page page;
	struct leat_nightly_count count;
	size_t standing;	/* alerts that stand unchanged and are not listed tonight, ... */
	size_t untold;		/* ... and judgements that could not be made for days */
	bool news;		/* something that breaks the silence */
	bool advised;		/* a line told somebody to do something */
	struct leat_error *err;
};

/* Adds "3 alarms", with a comma before it when counts stand there already.  Nothing for none. */
void leat_nightly_count_words(struct leat_text *t, bool *any, size_t count, const char *one, const char *many);

/* The head: the verdict stays in the line in the making, for it is the title of the page. */
void leat_nightly_put_verdict(struct leat_report *r);
void leat_nightly_put_reach(struct leat_report *r);
void leat_nightly_put_seen(struct leat_report *r);

/* Puts one line of a section with its advice below, or one of those that stand below head: these advise only where they are
 * graver than it, whose advice goes for all of them.  True when it advised something. */
bool leat_nightly_line(struct leat_report *r, const struct leat_lines *lines, size_t index, const struct leat_item *head);

/* Of the words of a line: "alarm" and so on as they stand in it, what was found, and since when. */
const char *leat_nightly_status(enum leat_status status);
void leat_nightly_add_asset(struct leat_text *t, struct leat_span asset);
void leat_nightly_add_what(struct leat_text *t, const struct leat_item *item);
/* "3 to 5 t a day". */
void leat_nightly_add_cost(struct leat_text *t, const struct leat_finding *cost);
/* Cuts a message at its first semicolon: what is, and what to do. */
void leat_nightly_cut_message(const struct leat_finding *f, struct leat_span *what, struct leat_span *advice);

/* In HTML alone: the scoreboard, pictures of a line's series, tables of all that stands, what cannot be told, what is due. */
void leat_nightly_put_score(struct leat_report *r);
void leat_nightly_pictures(struct leat_report *r, const struct leat_lines *lines, size_t index);
int leat_nightly_tables(struct leat_report *r) LEAT_MUST_USE;

#endif
