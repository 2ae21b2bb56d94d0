/* Sheets of paper in HTML: one file, black on white, A4. */
#include "tell/sheet_private.h"

#include <stdio.h>

#include "tell/html.h"

/* Paper sizes and page breaks after CSS Paged Media (W3C). */
static const char style[] =
	"@page { size: A4 portrait; margin: 14mm 13mm }\n"
	"html { color: #000; background: #fff }\n"
	"body { font: 10pt/1.3 sans-serif; margin: 0 auto; max-width: 184mm; overflow-wrap: anywhere }\n"
	"section + section { break-before: page; page-break-before: always }\n"
	"header { border-bottom: 1.5pt solid #000; margin-bottom: 2mm }\n"
	"header p { display: flex; justify-content: space-between; margin: 0; font-weight: bold }\n"
	"h1 { font-size: 14pt; margin: 1mm 0 }\n"
	"h2 { font-size: 10.5pt; margin: 3.5mm 0 1mm; text-transform: uppercase; break-after: avoid }\n"
	"p { margin: 1mm 0 }\n"
	"ul { list-style: none; margin: 1mm 0; padding: 0 }\n"
	"li { margin: 1mm 0; padding-left: 7mm; text-indent: -7mm; break-inside: avoid }\n"
	"li > * { text-indent: 0 }\n"
	".n { display: inline-block; min-width: 7mm; font-weight: bold }\n"
	".box { display: inline-block; width: 3.2mm; height: 3.2mm; line-height: 3.2mm; overflow: hidden;"
	" border: .8pt solid #000; margin-right: 2.5mm; vertical-align: -.4mm }\n"
	".note { display: block; margin: .5mm 0 0 }\n"
	"table { border-collapse: collapse; width: 100%; margin: 1mm 0 2mm }\n"
	"th, td { border: .6pt solid #000; padding: .8mm 1.5mm; text-align: left; vertical-align: top; font-size: 9.5pt }\n"
	"tr, h2 + table { break-inside: avoid }\n"
	"td.blank { height: 6mm }\n"
	"hr { border: 0; border-bottom: .6pt solid #000; height: 8mm; margin: 0 }\n";

static void
put(struct leat_sheet *s, const char *markup)
{
	sheet_put(s, markup, strlen(markup));
}

static void
put_text(struct leat_sheet *s, struct leat_span text)
{
	if (!s->text.failed && leat_html_text(&s->text.page, text) != 0)
		s->text.failed = true;
}

void
sheet_html_begin(struct leat_sheet *s, const char *title)
{
	put(s, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>");
	put_text(s, leat_span_of(title));
	put(s, "</title>\n<style>\n");
	put(s, style);
	put(s, "</style>\n</head>\n<body>\n");
}

/* A table within an item belongs to it; the item is open until the next one. */
void
sheet_html_end_blocks(struct leat_sheet *s)
{
	if (s->table)
		put(s, "</tbody></table>\n");
	if (s->list)
		put(s, "</li>\n</ul>\n");
}

void
sheet_html_finish(struct leat_sheet *s)
{
	put(s, s->pages > 0 ? "</section>\n</body>\n</html>\n" : "</body>\n</html>\n");
}

void
sheet_html_page(struct leat_sheet *s, const char *kind, struct leat_span name, struct leat_span title)
{
	put(s, s->pages > 0 ? "</section>\n<section>\n<header>\n<p><span>" : "<section>\n<header>\n<p><span>");
	put_text(s, leat_span_of(kind));
	put(s, "</span> <span>");
	put_text(s, name);
	put(s, "</span></p>\n<h1>");
	put_text(s, title);
	put(s, "</h1>\n</header>\n");
}

void
sheet_html_line(struct leat_sheet *s, const char *tag, struct leat_span text)
{
	put(s, "<");
	put(s, tag);
	put(s, ">");
	put_text(s, text);
	put(s, "</");
	put(s, tag);
	put(s, ">\n");
}

void
sheet_html_item(struct leat_sheet *s, int number, bool box, struct leat_span text)
{
	char mark[24];

	if (s->table)
		put(s, "</tbody></table>\n");
	put(s, s->list ? "</li>\n<li>" : "<ul>\n<li>");
	if (number > 0) {
		snprintf(mark, sizeof(mark), "%d", number);
		put(s, "<span class=\"n\">");
		put(s, mark);
		put(s, "</span>");
	} else if (!box) {
		put(s, "<span class=\"n\">&ndash;</span>");
	}
	if (box)
		put(s, "<span class=\"box\">&nbsp;</span>");
	put_text(s, text);
}

void
sheet_html_remark(struct leat_sheet *s, const char *label, struct leat_span text)
{
	put(s, "\n<span class=\"note\"><b>");
	put_text(s, leat_span_of(label));
	put(s, ":</b> ");
	put_text(s, text);
	put(s, "</span>");
}

void
sheet_html_table(struct leat_sheet *s, const char *const *head)
{
	size_t all = 0;

	for (size_t i = 0; i < s->columns; i++)
		all += s->width[i];
	put(s, s->table ? "</tbody></table>\n<table>\n<colgroup>" : "\n<table>\n<colgroup>");
	for (size_t i = 0; i < s->columns; i++) {
		char column[48];

		snprintf(column, sizeof(column), "<col style=\"width:%zu%%\">", s->width[i] * 100 / (all > 0 ? all : 1));
		put(s, column);
	}
	put(s, "</colgroup>\n");
	if (head != NULL) {
		put(s, "<thead><tr>");
		for (size_t i = 0; i < s->columns; i++) {
			put(s, "<th scope=\"col\">");
			put_text(s, leat_span_of(head[i]));
			put(s, "</th>");
		}
		put(s, "</tr></thead>\n");
	}
	put(s, "<tbody>\n");
}

void
sheet_html_row(struct leat_sheet *s, const struct leat_span *cell)
{
	put(s, "<tr>");
	for (size_t i = 0; i < s->columns; i++) {
		put(s, cell[i].ptr == NULL ? "<td class=\"blank\">" : "<td>");
		put_text(s, cell[i]);
		put(s, "</td>");
	}
	put(s, "</tr>\n");
}

void
sheet_html_rule(struct leat_sheet *s)
{
	put(s, "<hr>\n");
}
