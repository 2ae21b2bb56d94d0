/*
 * The page of a report.
 */
#include "tell/page.h"

#include "tell/html.h"

/* The column at which a line of text begins, and its further rows. */
static const struct {
	size_t first, rest;
	const char *class;	/* of its paragraph in HTML */
} lines[LEAT_PAGE_LINES] = {
	[LEAT_PAGE_HEAD] = { 0, 0, "head" },
	[LEAT_PAGE_FINDING] = { 2, 6, "what" },
	[LEAT_PAGE_ADVICE] = { 6, 6, "advice" },
	[LEAT_PAGE_REMARK] = { 6, 6, "note" },
	[LEAT_PAGE_MEMBER] = { 6, 10, "what" },
	[LEAT_PAGE_MEMBER_ADVICE] = { 10, 10, "advice" },
	[LEAT_PAGE_MEMBER_NOTE] = { 6, 10, "note" },
	[LEAT_PAGE_NOTE] = { 2, 6, "note" }
};

/* Signs of one column that differ in shape; the word stands beside them. */
static const struct {
	const char *class, *sign;
} marks[LEAT_MARKS] = {
	[LEAT_MARK_ALARM] = { "alarm", "\xe2\x96\xb2" },	/* a filled triangle */
	[LEAT_MARK_ALERT] = { "alert", "\xe2\x97\x86" },	/* a filled diamond */
	[LEAT_MARK_UNKNOWN] = { "unknown", "?" },
	[LEAT_MARK_OVER] = { "over", "\xe2\x9c\x93" }		/* a tick */
};

static void
put(struct leat_page *p, const char *bytes, size_t len)
{
	if (!p->text.failed && leat_buf_add(&p->text.page, bytes, len) != 0)
		p->text.failed = true;
}

void
leat_page_markup(struct leat_page *p, const char *markup)
{
	put(p, markup, strlen(markup));
}

static void
put_text(struct leat_page *p, struct leat_span text)
{
	if (!p->text.failed && leat_html_text(&p->text.page, text) != 0)
		p->text.failed = true;
}

/* Is there a date such as 2025-12-31 at the head of text? */
static bool
is_date(struct leat_span text)
{
	static const char form[] = "dddd-dd-dd";

	for (size_t i = 0; form[i] != '\0'; i++) {
		if (i == text.len || (form[i] == 'd' ? text.ptr[i] < '0' || text.ptr[i] > '9' : text.ptr[i] != form[i]))
			return false;
	}
	return true;
}

/* A browser breaks lines behind hyphens, which would part a date. */
void
leat_page_text(struct leat_page *p, struct leat_span text)
{
	const size_t date = strlen("2025-12-31");
	size_t from = 0;

	for (size_t i = 0; i + date <= text.len; i++) {
		if (!is_date(leat_span_make(text.ptr + i, text.len - i)))
			continue;
		put_text(p, leat_span_make(text.ptr + from, i - from));
		leat_page_markup(p, "<span class=\"date\">");
		put_text(p, leat_span_make(text.ptr + i, date));
		leat_page_markup(p, "</span>");
		from = i + date;
		i = from - 1;
	}
	put_text(p, leat_span_make(text.ptr + from, text.len - from));
}

void
leat_page_words(struct leat_page *p)
{
	leat_page_text(p, leat_buf_span(&p->text.line));
	leat_buf_reset(&p->text.line);
}

void
leat_page_mark(struct leat_page *p, enum leat_page_mark mark)
{
	leat_page_markup(p, "<span class=\"mark ");
	leat_page_markup(p, marks[mark].class);
	leat_page_markup(p, "\" aria-hidden=\"true\">");
	leat_page_markup(p, marks[mark].sign);
	leat_page_markup(p, "</span> ");
}

/* With plain blanks: a title is no text that breaks. */
static void
put_plain(struct leat_page *p, struct leat_span text)
{
	while (text.len > 0) {
		size_t n = leat_span_find(text, LEAT_TEXT_GLUE[0]);

		put_text(p, leat_span_make(text.ptr, n));
		if (n < text.len)
			leat_page_markup(p, " ");
		n += n < text.len;
		text = leat_span_make(text.ptr + n, text.len - n);
	}
}

void
leat_page_title(struct leat_page *p, struct leat_span works)
{
	if (p->form == LEAT_PAGE_TEXT) {
		leat_text_end(&p->text, 0, 0);
		return;
	}
	leat_page_markup(p, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
	    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
	    "<meta name=\"color-scheme\" content=\"light dark\">\n<title>");
	if (works.len > 0) {
		put_text(p, works);
		leat_page_markup(p, ": ");
	}
	put_plain(p, leat_buf_span(&p->text.line));
	leat_page_markup(p, "</title>\n<style>\n");
	leat_page_markup(p, leat_page_style(p->form));
	leat_page_markup(p, "</style>\n</head>\n<body>\n<main>\n<header>\n");
	if (works.len > 0) {
		leat_page_markup(p, "<p class=\"works\">");
		leat_page_text(p, works);
		leat_page_markup(p, "</p>\n");
	}
	leat_page_markup(p, "<h1>");
	leat_page_words(p);
	leat_page_markup(p, "</h1>\n");
	p->section = true;
}

static void
end_finding(struct leat_page *p)
{
	if (p->finding)
		leat_page_markup(p, p->form == LEAT_PAGE_MAIL ? "</div>\n" : "</article>\n");
	p->finding = false;
}

static void
end_section(struct leat_page *p, bool header)
{
	end_finding(p);
	if (p->section)
		leat_page_markup(p, header ? "</header>\n" : "</section>\n");
	p->section = false;
}

void
leat_page_section(struct leat_page *p, const char *title)
{
	if (p->form == LEAT_PAGE_TEXT) {
		leat_text_verbatim(&p->text, "\n");
		leat_text_verbatim(&p->text, title);
		leat_text_verbatim(&p->text, "\n");
		return;
	}
	end_section(p, !p->begun);
	p->begun = true;
	leat_page_markup(p, "<section>\n<h2>");
	leat_page_text(p, leat_span_of(title));
	leat_page_markup(p, "</h2>\n");
	p->section = true;
}

void
leat_page_end(struct leat_page *p)
{
	if (p->form == LEAT_PAGE_TEXT)
		return;
	end_section(p, !p->begun);
	leat_page_markup(p, "</main>\n</body>\n</html>\n");
}

void
leat_page_finding(struct leat_page *p, enum leat_page_mark mark)
{
	p->mark = mark;
	if (p->form == LEAT_PAGE_TEXT)
		return;
	if (p->members) {
		leat_page_markup(p, p->item ? "</li>\n<li>\n" : "<ul>\n<li>\n");
		p->item = true;
		return;
	}
	end_finding(p);
	/* A mail program that knows no styles would show headings large. */
	leat_page_markup(p, p->form == LEAT_PAGE_MAIL ? "<div class=\"finding " : "<article class=\"");
	leat_page_markup(p, marks[mark].class);
	leat_page_markup(p, "\">\n");
	p->finding = true;
}

void
leat_page_members(struct leat_page *p)
{
	p->members = true;
	if (p->form != LEAT_PAGE_TEXT)
		leat_page_markup(p, "<div class=\"members\">\n");
}

void
leat_page_members_end(struct leat_page *p)
{
	if (p->form != LEAT_PAGE_TEXT)
		leat_page_markup(p, p->item ? "</li>\n</ul>\n</div>\n" : "</div>\n");
	p->members = p->item = false;
}

/* The line in the making, who and how grave in bold: what stands before its first colon. */
static void
put_what(struct leat_page *p)
{
	struct leat_span line = leat_buf_span(&p->text.line);
	size_t colon = leat_span_find(line, ':');

	leat_page_mark(p, p->mark);
	if (colon < line.len) {
		leat_page_markup(p, "<strong>");
		leat_page_text(p, leat_span_make(line.ptr, colon));
		leat_page_markup(p, "</strong>");
		line = leat_span_make(line.ptr + colon, line.len - colon);
	}
	leat_page_text(p, line);
	leat_buf_reset(&p->text.line);
}

void
leat_page_line(struct leat_page *p, enum leat_page_line kind)
{
	bool heading;

	if (p->form == LEAT_PAGE_TEXT) {
		leat_text_end(&p->text, lines[kind].first, lines[kind].rest);
		return;
	}
	if (kind == LEAT_PAGE_NOTE)
		end_finding(p);
	if (kind == LEAT_PAGE_MEMBER_NOTE && p->item) {
		leat_page_markup(p, "</li>\n</ul>\n");
		p->item = false;
	}
	/* Who listens to the page goes from heading to heading. */
	heading = kind == LEAT_PAGE_FINDING && p->form == LEAT_PAGE_HTML;
	leat_page_markup(p, heading ? "<h3 class=\"" : "<p class=\"");
	leat_page_markup(p, lines[kind].class);
	leat_page_markup(p, "\">");
	if (kind == LEAT_PAGE_FINDING || kind == LEAT_PAGE_MEMBER)
		put_what(p);
	else
		leat_page_words(p);
	leat_page_markup(p, heading ? "</h3>\n" : "</p>\n");
}

void
leat_page_cautions(struct leat_page *p, const char *text)
{
	struct leat_span rest = leat_span_of(text), line;
	bool open = false;

	if (p->form == LEAT_PAGE_TEXT) {
		leat_text_verbatim(&p->text, "\n");
		leat_text_verbatim(&p->text, text);
		return;
	}
	end_section(p, !p->begun);
	p->begun = p->section = true;
	leat_page_markup(p, "<section class=\"cautions\">\n<h2>");
	if (leat_span_next(&rest, '\n', &line))
		leat_page_text(p, line);
	leat_page_markup(p, "</h2>\n");
	while (leat_span_next(&rest, '\n', &line)) {
		line = leat_span_trim(line);
		if (line.len == 0)
			continue;
		leat_page_markup(p, open ? " " : "<p>");
		leat_page_text(p, line);
		open = !leat_span_ends(line, ".");
		if (!open)
			leat_page_markup(p, "</p>\n");
	}
	if (open)
		leat_page_markup(p, "</p>\n");
}

void
leat_page_free(struct leat_page *p)
{
	leat_text_free(&p->text);
}
