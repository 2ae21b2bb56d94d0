/*
 * Tables that end the nightly report in HTML: all that stands, what cannot be told and why, what is due.
 */
#include "tell/nightly_private.h"

#include <stdlib.h>

#include "tell/group.h"

/* Days ahead that the due list shows of what is in order. */
#define AHEAD 30

/* Rows of one table: a flood must not make a page, or a mail, that nobody can take. */
#define ROWS 1000u

/* Items of one table, in its order. */
struct rows {
	const struct leat_item **item;
	size_t count, more;		/* shown, and left out */
};

static int
cmp_standing(const void *pa, const void *pb)
{
	const struct leat_item *a = *(const struct leat_item *const *)pa, *b = *(const struct leat_item *const *)pb;
	int d = a->shelved - b->shelved;

	if (d == 0)
		d = leat_item_rank(a) - leat_item_rank(b);
	if (d == 0)
		d = leat_cost_cmp(a->cost, b->cost);
	/* Items lie in the order of mill, asset, point and rule. */
	return d != 0 ? d : (a > b) - (a < b);
}

static int
cmp_due(const void *pa, const void *pb)
{
	const struct leat_item *a = *(const struct leat_item *const *)pa, *b = *(const struct leat_item *const *)pb;
	int d = leat_time_cmp(a->row->due, b->row->due);

	return d != 0 ? d : (a > b) - (a < b);
}

static bool
stands(const struct leat_item *item, const struct leat_calendar *cal)
{
	(void)cal;
	return item->open && item->row->status != LEAT_STATUS_UNKNOWN;
}

static bool
cannot_tell(const struct leat_item *item, const struct leat_calendar *cal)
{
	(void)cal;
	return item->open && item->row->status == LEAT_STATUS_UNKNOWN;
}

static bool
is_due(const struct leat_item *item, const struct leat_calendar *cal)
{
	if (leat_time_is_none(item->row->due) || (!item->open && item->row->status != LEAT_STATUS_OK))
		return false;
	return item->open || leat_calendar_date(cal, item->row->due) <= leat_calendar_date(cal, cal->now) + AHEAD;
}

static int
choose(struct rows *rows, const struct leat_report *r, bool (*fits)(const struct leat_item *, const struct leat_calendar *),
    int (*cmp)(const void *, const void *))
{
	rows->count = 0;
	rows->item = malloc((r->tonight.count + 1) * sizeof(struct leat_item *));
	if (rows->item == NULL)
		return leat_error_memory(r->err);
	for (size_t i = 0; i < r->tonight.count; i++) {
		if (fits(&r->tonight.item[i], &r->n->cal))
			rows->item[rows->count++] = &r->tonight.item[i];
	}
	qsort(rows->item, rows->count, sizeof(*rows->item), cmp);
	rows->more = rows->count > ROWS ? rows->count - ROWS : 0;
	rows->count -= rows->more;
	return 0;
}

/* Begins a table; head ends in NULL. */
static void
begin(struct leat_page *p, const char *title, const char *const *head)
{
	leat_page_section(p, title);
	leat_page_markup(p, "<div class=\"wide\">\n<table class=\"list\">\n<thead><tr>");
	for (; *head != NULL; head++) {
		leat_page_markup(p, "<th scope=\"col\">");
		leat_page_markup(p, *head);
		leat_page_markup(p, "</th>");
	}
	leat_page_markup(p, "</tr></thead>\n<tbody>\n");
}

static void
end(struct leat_page *p, const struct rows *rows)
{
	leat_page_markup(p, "</tbody>\n</table>\n</div>\n");
	if (rows->more == 0)
		return;
	leat_text_add(&p->text, "%zu more, not shown", rows->more);
	leat_page_line(p, LEAT_PAGE_NOTE);
}

/* A cell with the line in the making. */
static void
cell(struct leat_page *p, const char *class)
{
	leat_page_markup(p, "<td");
	if (class != NULL) {
		leat_page_markup(p, " class=\"");
		leat_page_markup(p, class);
		leat_page_markup(p, "\"");
	}
	leat_page_markup(p, ">");
	leat_page_words(p);
	leat_page_markup(p, "</td>");
}

/* Ends a cell of what is said with the rule's name, for who looks it up. */
static void
said_cell(struct leat_page *p, const struct leat_item *item)
{
	leat_page_markup(p, "<td class=\"said\">");
	leat_page_words(p);
	if (item->cost != NULL && item->cost != item->row) {
		leat_text_add(&p->text, "waiting costs ");
		leat_nightly_add_cost(&p->text, item->cost);
		leat_page_markup(p, "<br>");
		leat_page_words(p);
	}
	leat_text_add(&p->text, "rule" LEAT_TEXT_GLUE);
	leat_text_add_plain(&p->text, item->row->rule);
	leat_page_markup(p, "<br><small>");
	leat_page_words(p);
	leat_page_markup(p, "</small></td>");
}

static void
status_cell(struct leat_page *p, const struct leat_item *item)
{
	leat_page_markup(p, "<tr><td class=\"date\">");
	leat_page_mark(p, (enum leat_page_mark)leat_item_rank(item));
	leat_text_add(&p->text, "%s%s", leat_nightly_status(item->row->status), item->shelved ? ", shelved" : "");
	leat_page_words(p);
	leat_page_markup(p, "</td>");
}

static void
asset_cell(struct leat_page *p, const struct leat_item *item)
{
	leat_page_markup(p, "<th scope=\"row\">");
	leat_nightly_add_asset(&p->text, item->row->asset);
	leat_page_words(p);
	leat_page_markup(p, "</th>");
}

static void
since_cell(struct leat_report *r, const struct leat_item *item)
{
	if (!leat_time_is_none(item->since))
		leat_words_time(&r->page.text, &r->n->cal, item->since);
	cell(&r->page, "date since");
}

static void
due_cell(struct leat_report *r, const struct leat_item *item)
{
	if (!leat_time_is_none(item->row->due))
		leat_words_date(&r->page.text, &r->n->cal, leat_calendar_date(&r->n->cal, item->row->due), false);
	cell(&r->page, "date due");
}

static void
put_standing(struct leat_report *r, const struct rows *rows)
{
	static const char *const head[] = { "status", "asset", "finding", "since", "due", NULL };
	struct leat_page *p = &r->page;

	if (rows->count == 0)
		return;
	begin(p, "ALL THAT STANDS", head);
	for (size_t i = 0; i < rows->count; i++) {
		const struct leat_item *item = rows->item[i];

		status_cell(p, item);
		asset_cell(p, item);
		leat_nightly_add_what(&p->text, item);
		said_cell(p, item);
		since_cell(r, item);
		due_cell(r, item);
		leat_page_markup(p, "</tr>\n");
	}
	end(p, rows);
}

static void
put_untold(struct leat_report *r, const struct rows *rows)
{
	static const char *const head[] = { "asset", "what", "why", "since", NULL };
	struct leat_page *p = &r->page;

	if (rows->count == 0)
		return;
	begin(p, "ALL THAT CANNOT BE TOLD", head);
	for (size_t i = 0; i < rows->count; i++) {
		const struct leat_item *item = rows->item[i];
		struct leat_span what, advice;

		leat_page_markup(p, "<tr>");
		asset_cell(p, item);
		leat_words_point(&p->text, item->row->point);
		cell(p, NULL);
		leat_nightly_cut_message(item->row, &what, &advice);
		leat_words_message(&p->text, what);
		said_cell(p, item);
		since_cell(r, item);
		leat_page_markup(p, "</tr>\n");
	}
	end(p, rows);
}

static void
put_due(struct leat_report *r, const struct rows *rows)
{
	static const char *const head[] = { "due", "in", "status", "asset", "what", NULL };
	struct leat_page *p = &r->page;

	if (rows->count == 0)
		return;
	begin(p, "WHAT IS DUE", head);
	for (size_t i = 0; i < rows->count; i++) {
		const struct leat_item *item = rows->item[i];
		int64_t days = leat_calendar_date(&r->n->cal, item->row->due) - leat_calendar_date(&r->n->cal, r->n->cal.now);

		leat_page_markup(p, "<tr>");
		due_cell(r, item);
		if (days == 0)
			leat_text_add(&p->text, "today");
		else
			leat_text_add(&p->text, "%lld" LEAT_TEXT_GLUE "day%s%s", (long long)(days < 0 ? -days : days),
			    days == 1 || days == -1 ? "" : "s", days < 0 ? LEAT_TEXT_GLUE "ago" : "");
		cell(p, "number");
		leat_text_add(&p->text, "%s%s", leat_nightly_status(item->row->status), item->shelved ? ", shelved" : "");
		cell(p, "date");
		asset_cell(p, item);
		leat_nightly_add_what(&p->text, item);
		cell(p, "said");
		leat_page_markup(p, "</tr>\n");
	}
	end(p, rows);
}

int
leat_nightly_tables(struct leat_report *r)
{
	static const struct {
		bool (*fits)(const struct leat_item *, const struct leat_calendar *);
		int (*cmp)(const void *, const void *);
		void (*put)(struct leat_report *, const struct rows *);
	} table[] = {
		{ is_due, cmp_due, put_due }, { stands, cmp_standing, put_standing }, { cannot_tell, cmp_standing, put_untold }
	};

	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++) {
		struct rows rows;

		if (choose(&rows, r, table[i].fits, table[i].cmp) != 0)
			return -1;
		table[i].put(r, &rows);
		free(rows.item);
	}
	return 0;
}
