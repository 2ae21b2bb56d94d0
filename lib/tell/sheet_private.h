/*
 * Between the files of tell/sheet.h.
 */
#ifndef LEAT_TELL_SHEET_PRIVATE_H
#define LEAT_TELL_SHEET_PRIVATE_H

#include "tell/sheet.h"

void sheet_put(struct leat_sheet *s, const char *bytes, size_t len);

void sheet_html_begin(struct leat_sheet *s, const char *title);
void sheet_html_finish(struct leat_sheet *s);
void sheet_html_end_blocks(struct leat_sheet *s);
void sheet_html_page(struct leat_sheet *s, const char *kind, struct leat_span name, struct leat_span title);
void sheet_html_line(struct leat_sheet *s, const char *tag, struct leat_span text);
void sheet_html_item(struct leat_sheet *s, int number, bool box, struct leat_span text);
void sheet_html_remark(struct leat_sheet *s, const char *label, struct leat_span text);
void sheet_html_table(struct leat_sheet *s, const char *const *head);
void sheet_html_row(struct leat_sheet *s, const struct leat_span *cell);
void sheet_html_rule(struct leat_sheet *s);

#endif
