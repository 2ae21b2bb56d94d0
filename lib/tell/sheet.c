/* Sheets of paper in text; sheet_html.c has the other form. */
#include "tell/sheet_private.h"

#include <stdio.h>
#include <stdlib.h>

static void
end_blocks(struct leat_sheet *s)
{
	if (s->html)
		sheet_html_end_blocks(s);
	s->list = s->table = false;
}

/* Adds a text to the line, its glue kept; glued: its blanks hold too. */
static void
add(struct leat_sheet *s, struct leat_span text, bool glued)
{
	struct leat_span part;
	bool first = true;

	while (leat_span_next(&text, LEAT_TEXT_GLUE[0], &part)) {
		if (!first)
			leat_text_add(&s->text, LEAT_TEXT_GLUE);
		if (glued)
			leat_text_add_glued(&s->text, part);
		else
			leat_text_add_plain(&s->text, part);
		first = false;
	}
}

static void
repeat(struct leat_sheet *s, char c, size_t count)
{
	for (; count > 0; count--)
		sheet_put(s, &c, 1);
}

void
sheet_put(struct leat_sheet *s, const char *bytes, size_t len)
{
	if (!s->text.failed && leat_buf_add(&s->text.page, bytes, len) != 0)
		s->text.failed = true;
}

void
leat_sheet_begin(struct leat_sheet *s, const char *title)
{
	s->text.width = LEAT_SHEET_WIDTH;
	if (s->html)
		sheet_html_begin(s, title);
}

void
leat_sheet_end(struct leat_sheet *s)
{
	end_blocks(s);
	if (s->html)
		sheet_html_finish(s);
}

void
leat_sheet_page(struct leat_sheet *s, const char *kind, struct leat_span name, struct leat_span title)
{
	size_t taken = strlen(kind) + leat_text_columns(name);

	end_blocks(s);
	if (s->html) {
		sheet_html_page(s, kind, name, title);
	} else {
		if (s->pages > 0)
			sheet_put(s, "\f", 1);
		leat_text_add(&s->text, "%s", kind);
		/* Two blanks at least; a name too long for that goes on in the next line. */
		for (size_t i = taken; i < LEAT_SHEET_WIDTH - 2; i++)
			leat_text_add(&s->text, LEAT_TEXT_GLUE);
		leat_text_add(&s->text, taken < LEAT_SHEET_WIDTH - 2 ? LEAT_TEXT_GLUE LEAT_TEXT_GLUE : " ");
		add(s, name, true);
		leat_text_end(&s->text, 0, 4);
		add(s, title, false);
		leat_text_end(&s->text, 0, 4);
		repeat(s, '=', LEAT_SHEET_WIDTH);
		sheet_put(s, "\n", 1);
	}
	s->pages++;
}

void
leat_sheet_heading(struct leat_sheet *s, const char *heading)
{
	end_blocks(s);
	if (s->html) {
		sheet_html_line(s, "h2", leat_span_of(heading));
		return;
	}
	sheet_put(s, "\n", 1);
	for (const char *c = heading; *c != '\0'; c++) {
		char upper = (char)(*c >= 'a' && *c <= 'z' ? *c - 'a' + 'A' : *c);

		sheet_put(s, &upper, 1);
	}
	sheet_put(s, "\n", 1);
}

void
leat_sheet_paragraph(struct leat_sheet *s, struct leat_span text)
{
	end_blocks(s);
	if (s->html) {
		sheet_html_line(s, "p", text);
		return;
	}
	add(s, text, false);
	leat_text_end(&s->text, 2, 2);
}

void
leat_sheet_item(struct leat_sheet *s, int number, bool box, struct leat_span text)
{
	if (s->html) {
		sheet_html_item(s, number, box, text);
		s->list = true;
		s->table = false;
		return;
	}
	if (s->table)
		sheet_put(s, "\n", 1);
	s->table = false;
	if (number > 0)
		leat_text_add(&s->text, number < 10 ? LEAT_TEXT_GLUE "%d" LEAT_TEXT_GLUE : "%d" LEAT_TEXT_GLUE, number);
	else if (!box)
		leat_text_add(&s->text, "-" LEAT_TEXT_GLUE);
	if (box)
		leat_text_add(&s->text, "[" LEAT_TEXT_GLUE "]" LEAT_TEXT_GLUE);
	add(s, text, false);
	leat_text_end(&s->text, 2, number > 0 ? 9 : box ? 6 : 4);
}

void
leat_sheet_remark(struct leat_sheet *s, const char *label, struct leat_span text)
{
	if (s->html) {
		sheet_html_remark(s, label, text);
		return;
	}
	leat_text_add(&s->text, "%s:" LEAT_TEXT_GLUE, label);
	add(s, text, false);
	leat_text_end(&s->text, 9, 11);
}

void
leat_sheet_end_list(struct leat_sheet *s)
{
	end_blocks(s);
}

void
leat_sheet_table(struct leat_sheet *s, const size_t *width, size_t columns, const char *const *head)
{
	struct leat_span cell[LEAT_SHEET_COLUMNS];

	s->columns = columns < LEAT_SHEET_COLUMNS ? columns : LEAT_SHEET_COLUMNS;
	for (size_t i = 0; i < s->columns; i++) {
		s->width[i] = width[i];
		cell[i] = leat_span_of(head != NULL ? head[i] : "");
	}
	if (s->html)
		sheet_html_table(s, head);
	else if (head != NULL)
		leat_sheet_row(s, cell);
	s->table = true;
}

/* Bytes of the text that fit into width columns: up to a blank or behind a '/' or '-' where there is one. */
static size_t
fitting(struct leat_span text, size_t width)
{
	size_t best = 0, len = 0;

	if (leat_text_columns(text) <= width)
		return text.len;
	while (len < text.len) {
		size_t next = len + 1;

		while (next < text.len && ((unsigned char)text.ptr[next] & 0xc0u) == 0x80u)
			next++;
		if (leat_text_columns(leat_span_make(text.ptr, next)) > width)
			break;
		if (strchr("/-", text.ptr[len]) != NULL)
			best = next;
		else if (next < text.len && text.ptr[next] == ' ')
			best = next;
		len = next;
	}
	return best > 0 ? best : len > 0 ? len : text.len;
}

/* One line of a cell; *rest is what is left of it.  The last column is not filled up. */
static void
put_cell(struct leat_sheet *s, struct leat_span *rest, size_t width, bool last)
{
	size_t len = fitting(*rest, width), columns = leat_text_columns(leat_span_make(rest->ptr, len));

	sheet_put(s, rest->ptr, len);
	*rest = leat_span_trim(leat_span_make(rest->ptr + len, rest->len - len));
	if (!last)
		repeat(s, ' ', (columns < width ? width - columns : 0) + 1);
}

/* Texts of cells without controls, each a copy that the caller frees. */
static char *
plain(struct leat_sheet *s, struct leat_span text)
{
	char *copy = malloc(text.len + 1);

	if (copy == NULL) {
		s->text.failed = true;
		return NULL;
	}
	memcpy(copy, text.ptr, text.len);
	for (size_t i = 0; i < text.len; i++)
		if (copy[i] == LEAT_TEXT_GLUE[0] || copy[i] == '\n')
			copy[i] = ' ';
	copy[text.len] = '\0';
	for (size_t i = 0; i < text.len; i++)
		if ((unsigned char)copy[i] < ' ' || copy[i] == 127 || (!leat_utf8_valid(text) && (unsigned char)copy[i] > 127))
			copy[i] = '?';
	return copy;
}

void
leat_sheet_row(struct leat_sheet *s, const struct leat_span *cell)
{
	struct leat_span rest[LEAT_SHEET_COLUMNS];
	char *text[LEAT_SHEET_COLUMNS] = { NULL };
	bool more = true;

	if (s->html) {
		sheet_html_row(s, cell);
		return;
	}
	for (size_t i = 0; i < s->columns; i++) {
		if (cell[i].ptr != NULL)
			text[i] = plain(s, cell[i]);
		rest[i] = leat_span_of(text[i]);
	}
	for (bool first = true; more && !s->text.failed; first = false) {
		more = false;
		repeat(s, ' ', LEAT_SHEET_WIDTH - 80 + 2);
		for (size_t i = 0; i < s->columns; i++) {
			if (first && cell[i].ptr == NULL) {
				repeat(s, '_', s->width[i]);
				if (i + 1 < s->columns)
					sheet_put(s, " ", 1);
			} else {
				put_cell(s, &rest[i], s->width[i], i + 1 == s->columns);
			}
			more = more || rest[i].len > 0;
		}
		while (s->text.page.len > 0 && s->text.page.data[s->text.page.len - 1] == ' ')
			s->text.page.len--;
		sheet_put(s, "\n", 1);
	}
	for (size_t i = 0; i < s->columns; i++)
		free(text[i]);
}

void
leat_sheet_lines(struct leat_sheet *s, int count)
{
	for (; count > 0; count--) {
		if (s->html) {
			end_blocks(s);
			sheet_html_rule(s);
			continue;
		}
		repeat(s, ' ', 2);
		repeat(s, '_', LEAT_SHEET_WIDTH - 2);
		sheet_put(s, "\n", 1);
	}
}

void
leat_sheet_free(struct leat_sheet *s)
{
	leat_text_free(&s->text);
}
