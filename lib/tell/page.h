/*
 * The page of a report, in text or in HTML by the same calls: the same words, composed in text.line.
 *
 * HTML is one file that needs no other: no script, no reference outside, styles in its head, light and dark by what the
 * reader's system asks for, A4 when printed.  Nothing is told by colour alone: each finding has its word and a mark of its
 * own shape, and a bar whose pattern tells the status.  What is in it of anybody's is escaped (leat_html_text).  The form
 * for mail is the same without pictures, tables of all findings and most of the styles, since mail programs show HTML each
 * in its own way and many of them no drawings (common practice).
 */
#ifndef LEAT_TELL_PAGE_H
#define LEAT_TELL_PAGE_H

#include "tell/text.h"

enum leat_page_form {
	LEAT_PAGE_TEXT,
	LEAT_PAGE_HTML,
	LEAT_PAGE_MAIL		/* HTML for the body of a mail */
};

/* What a line is. */
enum leat_page_line {
	LEAT_PAGE_HEAD,		/* below the title */
	LEAT_PAGE_FINDING,
	LEAT_PAGE_ADVICE,	/* of the finding above it */
	LEAT_PAGE_REMARK,	/* likewise */
	LEAT_PAGE_MEMBER,	/* a finding that stands below another */
	LEAT_PAGE_MEMBER_ADVICE,
	LEAT_PAGE_MEMBER_NOTE,	/* of all that stands below another */
	LEAT_PAGE_NOTE,		/* of the section */
	LEAT_PAGE_LINES
};

/* The mark of a finding. */
enum leat_page_mark {
	LEAT_MARK_ALARM,
	LEAT_MARK_ALERT,
	LEAT_MARK_UNKNOWN,
	LEAT_MARK_OVER,
	LEAT_MARKS
};

/* Zeroed but for form and text.width it is a valid empty one.  A failure of memory is kept in text.failed. */
struct leat_page {
	enum leat_page_form form;
	struct leat_text text;
	enum leat_page_mark mark;			/* private: of the finding in the making */
	bool begun, section, finding, members, item;	/* private: a section has begun; what is open */
};

/* Ends the line in the making as the title of the page, below the works' name (empty: none). */
void leat_page_title(struct leat_page *p, struct leat_span works);
void leat_page_end(struct leat_page *p);

/* A section; lines of findings follow. */
void leat_page_section(struct leat_page *p, const char *title);
/* A finding with all its lines; text marks only those below another, and only with a dash. */
void leat_page_finding(struct leat_page *p, enum leat_page_mark mark);
/* What stands below the finding, until leat_page_members_end. */
void leat_page_members(struct leat_page *p);
void leat_page_members_end(struct leat_page *p);

/* Ends the line in the making. */
void leat_page_line(struct leat_page *p, enum leat_page_line kind);

/* Cautions of our own: a title and indented lines, each ending in LF.  In HTML a section, and a paragraph ends with the
 * line that ends in a full stop. */
void leat_page_cautions(struct leat_page *p, const char *lines);

/* HTML alone.  Adds markup of our own; adds the line in the making, escaped, and empties it. */
void leat_page_markup(struct leat_page *p, const char *markup);
void leat_page_words(struct leat_page *p);
void leat_page_text(struct leat_page *p, struct leat_span text);

/* Adds the mark itself. */
void leat_page_mark(struct leat_page *p, enum leat_page_mark mark);

/* The style sheet of the form; private to the page and to what tests its colours. */
const char *leat_page_style(enum leat_page_form form);

void leat_page_free(struct leat_page *p);

#endif
