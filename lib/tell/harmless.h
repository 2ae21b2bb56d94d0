/*
 * Findings as CSV for a spreadsheet, which would run a cell that begins like a formula.
 *
 * After OWASP, 'CSV Injection': every text is quoted, and one that begins with = + - @, TAB, CR or LF, or with a full-width
 * form of those signs, gets an apostrophe before it.  So does a piece of a text behind a comma, semicolon, TAB or quote,
 * since a spreadsheet of another country cuts a line at other marks.  Blanks before the sign, of any kind or no width, and a
 * byte order mark make no difference.  A number that is no more than that stays as it is, and a lone '-', which names
 * nothing.
 */
#ifndef LEAT_TELL_HARMLESS_H
#define LEAT_TELL_HARMLESS_H

#include "stream/finding.h"

/* Adds a text as one quoted field, made harmless.  0, or -1 when memory is out. */
int leat_harmless_field(struct leat_buf *buf, struct leat_span text) LEAT_MUST_USE;

/* So many are enough for a spreadsheet, and for a mail. */
#define LEAT_HARMLESS_MOST 20000u

/* Adds the findings up to now with the columns of leat-findings(5) and those of cause and cost, where one of them has any.
 * Those beyond LEAT_HARMLESS_MOST are left out, and a last row, of rule copy-cut and status unknown, says how many.
 * The file begins with a byte order mark, by which spreadsheets know UTF-8 (common practice); lines end in LF.  0, or -1
 * when memory is out. */
int leat_harmless_findings(struct leat_buf *buf, const struct leat_findings *findings, struct leat_time now) LEAT_MUST_USE;

#endif
