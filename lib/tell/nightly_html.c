/*
 * What the nightly report has in HTML beyond its text: the scoreboard as a table with bars, and pictures.
 */
#include "tell/nightly_private.h"

#include "base/number.h"
#include "tell/score.h"

/* Pictures of one line of several findings. */
#define PICTURES 4
/* And so many of the others are named. */
#define NAMED 12

struct board {
	struct leat_report *r;
	size_t rows;
};

static void
take_score(void *context, struct leat_span mill, const char *share)
{
	struct board *board = context;
	struct leat_page *p = &board->r->page;
	struct leat_span words = leat_buf_span(&p->text.line);
	double percent;
	char width[512];

	if (board->rows++ == 0) {
		leat_page_section(p, "PRESSURE HELD, share of grinding time");
		leat_page_markup(p, "<div class=\"wide\">\n<table class=\"score\">\n<thead><tr><th scope=\"col\">mill</th>"
		    "<th scope=\"col\" class=\"number\">held</th>");
		leat_page_markup(p, p->form == LEAT_PAGE_HTML ? "<th scope=\"col\"><span aria-hidden=\"true\">0 to 100 %</span></th>" : "");
		leat_page_markup(p, "<th scope=\"col\">remarks</th></tr></thead>\n<tbody>\n");
	}
	leat_page_markup(p, "<tr><th scope=\"row\">");
	leat_page_text(p, mill);
	leat_page_markup(p, "</th><td class=\"number\">");
	leat_page_markup(p, share);
	leat_page_markup(p, share[0] != '\0' ? "&nbsp;%</td>" : "</td>");
	if (p->form == LEAT_PAGE_HTML && leat_double_parse(leat_span_of(share), &percent) == 0) {
		/* Drawn, for browsers print no grounds. */
		snprintf(width, sizeof(width), "<td><svg class=\"bar\" viewBox=\"0 0 102 12\" width=\"102\" height=\"12\" "
		    "aria-hidden=\"true\"><rect x=\".5\" y=\".5\" width=\"101\" height=\"11\" fill=\"none\" "
		    "stroke=\"currentColor\"/><rect x=\"1\" y=\"1\" width=\"%.2f\" height=\"10\" fill=\"currentColor\"/></svg></td>",
		    percent);
		leat_page_markup(p, width);
	} else if (p->form == LEAT_PAGE_HTML)
		leat_page_markup(p, "<td></td>");
	if (leat_span_starts(words, ", "))
		words = leat_span_make(words.ptr + 2, words.len - 2);
	leat_page_markup(p, "<td>");
	leat_page_text(p, words);
	leat_page_markup(p, "</td></tr>\n");
	leat_buf_reset(&p->text.line);
}

void
leat_nightly_put_score(struct leat_report *r)
{
	struct board board = { .r = r };

	leat_score_each(&r->page.text, &r->n->cal, &r->tonight, take_score, &board);
	if (board.rows > 0)
		leat_page_markup(&r->page, "</tbody>\n</table>\n</div>\n");
}

/* Puts the picture, or a word on why there is none.  A failure is kept. */
static void
put_picture(struct leat_report *r, const struct leat_item *item)
{
	struct leat_page *p = &r->page;
	size_t at = p->text.page.len;
	enum leat_gallery_has has;

	leat_page_markup(p, "<figure>");
	if (p->text.failed)
		return;
	has = leat_gallery_picture(r->n->gallery, item->row->asset, item->row->point, &p->text.page);
	switch (has) {
	case LEAT_GALLERY_FAILED:
		p->text.failed = true;
		break;
	case LEAT_GALLERY_NONE:
		p->text.page.len = at;
		break;
	case LEAT_GALLERY_BEFORE:
		p->text.page.len = at;
		leat_page_markup(p, "<p class=\"note\">Its picture stands above.</p>\n");
		break;
	case LEAT_GALLERY_LEFT_OUT:
		p->text.page.len = at;
		leat_text_add(&p->text, "Its picture is left out: a page has %u at most, of the gravest findings.", LEAT_GALLERY_MOST);
		leat_page_line(p, LEAT_PAGE_REMARK);
		break;
	case LEAT_GALLERY_FULL:
		p->text.page.len = at;
		leat_text_add(&p->text, "Its picture is left out: the page has %u MB of pictures, so that a mail takes it.",
		    LEAT_GALLERY_BYTES / 1000000);
		leat_page_line(p, LEAT_PAGE_REMARK);
		break;
	case LEAT_GALLERY_PUT:
	case LEAT_GALLERY_PUT_PART:
		leat_page_markup(p, "</figure>\n");
		break;
	}
	if (has == LEAT_GALLERY_PUT_PART) {
		leat_text_add(&p->text, "More of its parts have readings than are drawn here.");
		leat_page_line(p, LEAT_PAGE_REMARK);
	}
}

/* Is it of another series than the item before it? */
static bool
is_another(struct leat_item *const *item, size_t i)
{
	return i == 0 || !leat_span_eq(item[i]->row->asset, item[i - 1]->row->asset) ||
	    !leat_span_eq(item[i]->row->point, item[i - 1]->row->point);
}

/* Names the series that have readings and no picture here. */
static void
name_rest(struct leat_report *r, struct leat_item *const *item, size_t from, size_t count)
{
	struct leat_page *p = &r->page;
	size_t named = 0, more = 0;

	for (size_t i = from; i < count; i++) {
		if (!is_another(item, i) || !leat_gallery_has(r->n->gallery, item[i]->row->asset, item[i]->row->point))
			continue;
		if (named == NAMED) {
			more++;
			continue;
		}
		leat_text_add(&p->text, named++ == 0 ? "No pictures here of " : ", ");
		leat_nightly_add_asset(&p->text, item[i]->row->asset);
		leat_text_add(&p->text, " ");
		leat_words_point(&p->text, item[i]->row->point);
	}
	if (named == 0)
		return;
	if (more > 0)
		leat_text_add(&p->text, " and %zu more", more);
	leat_text_add(&p->text, ".");
	leat_page_line(p, LEAT_PAGE_REMARK);
}

void
leat_nightly_pictures(struct leat_report *r, const struct leat_lines *lines, size_t index)
{
	const struct leat_line *line = &lines->line[index];
	struct leat_item *const *item = lines->order + line->first;

	if (r->page.form != LEAT_PAGE_HTML || r->n->gallery == NULL)
		return;
	for (size_t i = 0; i < line->count && i < PICTURES; i++) {
		if (is_another(item, i))
			put_picture(r, item[i]);
	}
	name_rest(r, item, PICTURES, line->count);
}
