/*
 * Text for people: lines of a stated width, composed piece by piece, wrapped between words and never inside a number.
 *
 * Widths are columns of a fixed-pitch screen: a combining character takes none, an East Asian wide one takes two (Unicode
 * Standard Annex 11), whatever the locale.
 */
#ifndef LEAT_TELL_TEXT_H
#define LEAT_TELL_TEXT_H

#include "base/mem.h"

/* A blank at which no line is broken, to keep a number and its unit together; written out as a plain blank. */
#define LEAT_TEXT_GLUE "\037"

/* A page in the making.  Zeroed but for width it is a valid empty one.  A failure of memory is kept in failed and later
 * calls do nothing, so that callers need not test each. */
struct leat_text {
	struct leat_buf page;	/* lines that are done, each ending in LF; owned */
	struct leat_buf line;	/* the line in the making, not yet wrapped; owned */
	size_t width;		/* columns, at least 20 */
	bool failed;
};

/* Adds text of our own to the line.  A blank is where the line may break. */
void leat_text_add(struct leat_text *t, const char *fmt, ...) LEAT_PRINTF(2, 3);

/* Adds somebody else's text: control bytes and malformed UTF-8 become '?', and runs of blanks become one. */
void leat_text_add_plain(struct leat_text *t, struct leat_span text);

/* The same with its blanks glued. */
void leat_text_add_glued(struct leat_text *t, struct leat_span text);

/* Wraps the line onto the page and empties it: the first row begins at column first, further rows at column rest.  A
 * word wider than a row is broken after one of '/,;-_' or, failing that, anywhere but inside a run of digits, points and
 * signs: a number is never cut, even where it runs over the width. */
void leat_text_end(struct leat_text *t, size_t first, size_t rest);

/* Adds lines of our own to the page as they are; text ends in LF. */
void leat_text_verbatim(struct leat_text *t, const char *text);

void leat_text_free(struct leat_text *t);

/* Columns that well-formed UTF-8 takes; a malformed byte counts as one. */
size_t leat_text_columns(struct leat_span text);

#endif
