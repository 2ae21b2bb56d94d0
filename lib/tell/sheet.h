/*
 * Sheets of paper: one page after another in text or in HTML, by the same calls.
 *
 * Text is SHEET_WIDTH columns wide, blanks are underscores, and a form feed parts the pages.  HTML is one file that needs
 * no other: black on white, for A4 paper through a browser's print.  Nothing is told by colour.  Texts are UTF-8 of
 * anybody: controls become '?', and what HTML would take for itself is escaped (HTML Living Standard, section 13.3).
 * Line ends within a text are blanks; LEAT_TEXT_GLUE is a blank at which no line is broken.
 */
#ifndef LEAT_TELL_SHEET_H
#define LEAT_TELL_SHEET_H

#include "tell/text.h"

#define LEAT_SHEET_WIDTH 80u
#define LEAT_SHEET_COLUMNS 8u

/* A zeroed struct but for html is a valid empty one.  A failure of memory is kept in text.failed. */
struct leat_sheet {
	bool html;
	struct leat_text text;	/* its page is what was written so far */
	size_t pages;
	bool list, table;	/* private */
	size_t columns;		/* private: of the table */
	size_t width[LEAT_SHEET_COLUMNS];
};

/* The head of the file, and its end. */
void leat_sheet_begin(struct leat_sheet *s, const char *title);
void leat_sheet_end(struct leat_sheet *s);

/* A new page: kind ("Job card") on the left, name on the right, a title below. */
void leat_sheet_page(struct leat_sheet *s, const char *kind, struct leat_span name, struct leat_span title);
void leat_sheet_heading(struct leat_sheet *s, const char *heading);
void leat_sheet_paragraph(struct leat_sheet *s, struct leat_span text);
/* An item of a list, with its mark: a number above 0, else a dash; box: to be ticked. */
void leat_sheet_item(struct leat_sheet *s, int number, bool box, struct leat_span text);
/* A further line of the item: "Accept: 0 bar". */
void leat_sheet_remark(struct leat_sheet *s, const char *label, struct leat_span text);

/* Ends the list: what follows does not belong to its last item. */
void leat_sheet_end_list(struct leat_sheet *s);

/* A table, of the item before it while a list is open: columns of so many text columns, 78 in all at most with one blank
 * between; head NULL: none.  A cell whose ptr is NULL is a blank to be filled in. */
void leat_sheet_table(struct leat_sheet *s, const size_t *width, size_t columns, const char *const *head);
void leat_sheet_row(struct leat_sheet *s, const struct leat_span *cell);

#define LEAT_SHEET_BLANK ((struct leat_span){ NULL, 0 })
#define LEAT_SHEET_NOTHING ((struct leat_span){ "", 0 })

/* Empty lines to write on. */
void leat_sheet_lines(struct leat_sheet *s, int count);

void leat_sheet_free(struct leat_sheet *s);

#endif
