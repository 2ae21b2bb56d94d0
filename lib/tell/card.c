/* Job cards: the sections in the order in which a job needs them. */
#include "tell/card_private.h"

#include <stdarg.h>
#include <stdio.h>

#include "base/number.h"
#include "tell/cautions.h"
#include "upkeep/needs.h"

/* The card in the making. */
struct making {
	struct leat_sheet *s;
	const struct leat_card *card;
	struct leat_buf words;		/* scratch */
};

static void
reset(struct making *m)
{
	leat_buf_reset(&m->words);
}

static void
say(struct making *m, const char *fmt, ...)
{
	char text[512];
	va_list ap;
	int len;

	va_start(ap, fmt);
	len = vsnprintf(text, sizeof(text), fmt, ap);
	va_end(ap);
	if (len < 0 || leat_buf_add(&m->words, text, (size_t)len < sizeof(text) ? (size_t)len : sizeof(text) - 1) != 0)
		m->s->text.failed = true;
}

static void
say_span(struct making *m, struct leat_span text)
{
	if (leat_buf_add_span(&m->words, text) != 0)
		m->s->text.failed = true;
}

/* A date and clock in the works' zone, as sheets have them. */
static void
say_time(struct making *m, struct leat_time t)
{
	struct leat_text text = { .width = LEAT_SHEET_WIDTH };

	leat_words_date(&text, m->card->cal, leat_calendar_date(m->card->cal, t), true);
	leat_text_add(&text, " ");
	leat_words_clock(&text, m->card->cal, t);
	if (text.failed)
		m->s->text.failed = true;
	say_span(m, leat_buf_span(&text.line));
	leat_text_free(&text);
}

static struct leat_span
words(const struct making *m)
{
	return m->words.len > 0 ? leat_buf_span(&m->words) : LEAT_SHEET_NOTHING;
}

/* What of it is for the eye: the words of needs.h that name a state. */
static void
say_needs(struct making *m)
{
	struct leat_span rest = m->card->needs, word, what;
	enum leat_need need;
	double litres;
	bool any = false;

	while (leat_needs_next(&rest, &word)) {
		if (leat_need_word(word, &need, &what, &litres) != 0)
			continue;
		say(m, "%s", any ? ", " : "");
		any = true;
		if (need == LEAT_NEED_TASK)
			say(m, "first the task %.*s", (int)what.len, what.ptr);
		else if (need == LEAT_NEED_LOCK)
			say(m, "locked: %.*s", (int)what.len, what.ptr);
		else if (need == LEAT_NEED_LAW)
			say(m, "due by law");
		else if (need == LEAT_NEED_SAFETY)
			say(m, "due for safety");
		else
			say_span(m, word);
	}
}

static void
field(struct making *m, const char *label, struct leat_span text)
{
	struct leat_span cell[2] = { leat_span_of(label), text };

	if (text.len > 0)
		leat_sheet_row(m->s, cell);
}

static void
head(struct making *m)
{
	static const size_t width[] = { 14, 63 };
	const struct leat_card *c = m->card;
	char text[40];

	reset(m);
	say(m, "%.*s  %.*s", (int)c->task.len, c->task.ptr, (int)c->asset.len, c->asset.ptr);
	leat_sheet_page(m->s, "JOB CARD", words(m), c->title.len > 0 ? c->title : c->task);
	leat_sheet_table(m->s, width, 2, NULL);
	field(m, "Task", c->task);
	field(m, "Asset", c->asset);
	if (!leat_time_is_none(c->start)) {
		reset(m);
		say_time(m, c->start);
		say(m, " to ");
		say_time(m, c->end);
		field(m, "Stop", words(m));
	}
	reset(m);
	say_needs(m);
	field(m, "Needs", words(m));
	field(m, "Crew", c->crew);
	if (c->duration_s > 0) {
		leat_duration_words(text, c->duration_s);
		field(m, "Time", leat_span_of(text));
	}
	field(m, "Source", c->source);
	field(m, "Procedure", c->procedure_name);
	reset(m);
	say_time(m, c->cal->now);
	say(m, ", by the tables of that hour");
	field(m, "Card made", words(m));
}

static void
findings(struct making *m)
{
	if (m->card->findings == 0)
		return;
	leat_sheet_heading(m->s, "Open findings");
	for (size_t i = 0; i < m->card->findings; i++) {
		const struct leat_finding *f = m->card->finding[i];

		reset(m);
		say(m, "%s, %.*s: ", leat_status_name(f->status), (int)f->asset.len, f->asset.ptr);
		say_span(m, f->message);
		leat_sheet_item(m->s, 0, false, words(m));
	}
}

/* Is the keyword in one of the two lists? */
static bool
names(const struct leat_card *card, struct leat_span keyword)
{
	struct leat_span rest = card->cautions, word;

	while (leat_procedure_word(&rest, &word))
		if (leat_span_eq(word, keyword))
			return true;
	for (size_t i = 0; card->procedure != NULL && i < card->procedure->section[LEAT_PROCEDURE_CAUTIONS].count; i++) {
		const struct leat_pieces *p = &card->procedure->section[LEAT_PROCEDURE_CAUTIONS].item[i].words;

		for (size_t k = 0; k < p->count; k++) {
			rest = p->piece[k].text;
			while (leat_procedure_word(&rest, &word))
				if (leat_span_eq(word, keyword))
					return true;
		}
	}
	return false;
}

struct leat_span
leat_card_caution_unknown(const struct leat_card *card)
{
	struct leat_span rest = card->cautions, word;

	while (leat_procedure_word(&rest, &word))
		if (leat_caution_find(word) == NULL)
			return word;
	for (size_t i = 0; card->procedure != NULL && i < card->procedure->section[LEAT_PROCEDURE_CAUTIONS].count; i++) {
		const struct leat_pieces *p = &card->procedure->section[LEAT_PROCEDURE_CAUTIONS].item[i].words;

		for (size_t k = 0; k < p->count; k++) {
			rest = p->piece[k].text;
			while (leat_procedure_word(&rest, &word))
				if (leat_caution_find(word) == NULL)
					return word;
		}
	}
	return leat_span_make("", 0);
}

/* The first passage stands on every card; of the others those that are named, and all where none is: whoever forgot to
 * name them must not thereby take them off the card. */
static void
cautions(struct making *m)
{
	const struct leat_caution *c;
	bool any = false;

	for (size_t i = 1; (c = leat_caution_at(i)) != NULL; i++)
		any = any || names(m->card, leat_span_of(c->keyword));
	leat_sheet_heading(m->s, "Cautions");
	for (size_t i = 0; (c = leat_caution_at(i)) != NULL; i++) {
		if (i > 0 && any && !names(m->card, leat_span_of(c->keyword)))
			continue;
		for (size_t k = 0; k < LEAT_CAUTION_LINES && c->line[k] != NULL; k++) {
			reset(m);
			if (i > 0 && k == 0)
				say(m, "%s: ", c->title);
			say_span(m, leat_span_of(c->line[k]));
			leat_sheet_item(m->s, 0, false, words(m));
		}
	}
}

static void
parts(struct making *m)
{
	static const char *const title[] = { "part", "what it is", "due", "in stock", "taken" };
	static const size_t width[] = { 18, 32, 6, 9, 9 };
	char need[LEAT_NUMBER_MAX], stock[LEAT_NUMBER_MAX];

	if (m->card->parts == 0)
		return;
	leat_sheet_end_list(m->s);
	leat_sheet_table(m->s, width, 5, title);
	for (size_t i = 0; i < m->card->parts; i++) {
		const struct leat_card_part *p = &m->card->part[i];
		struct leat_span cell[5] = { p->part, p->title, LEAT_SHEET_NOTHING, LEAT_SPAN("not known"), LEAT_SHEET_BLANK };

		cell[2] = leat_span_make(need, leat_number_trim(need, leat_number_fixed(need, p->need, 3)));
		if (p->has_stock)
			cell[3] = leat_span_make(stock, leat_number_trim(stock, leat_number_fixed(stock, p->stock, 3)));
		if (cell[1].len == 0)
			cell[1] = p->known ? LEAT_SHEET_NOTHING : LEAT_SPAN("not in parts.csv");
		leat_sheet_row(m->s, cell);
	}
}

/* Rows of the logbook below an item. */
static void
entry_row(void *user, const struct leat_procedure_item *item, const struct leat_blank *blank, struct leat_span asset)
{
	struct making *m = user;
	const struct leat_point_info *info;
	struct leat_span cell[5] = { asset, LEAT_SHEET_NOTHING, LEAT_SHEET_NOTHING, LEAT_SHEET_NOTHING, LEAT_SHEET_NOTHING };

	(void)item;
	if (blank == NULL)
		return;
	info = leat_point_find(blank->point);
	cell[1] = blank->point;
	cell[2] = blank->found ? LEAT_SHEET_BLANK : LEAT_SPAN("-");
	cell[3] = blank->left ? LEAT_SHEET_BLANK : LEAT_SPAN("-");
	cell[4] = leat_span_of(blank->unit != NULL ? blank->unit->name : info != NULL ? info->unit : "");
	leat_sheet_row(m->s, cell);
}

static void
entry_asset(void *user, const struct leat_procedure_item *item, const struct leat_blank *blank, struct leat_span asset)
{
	struct making *m = user;

	(void)item;
	(void)blank;
	say(m, "%s%.*s", m->words.len > 0 ? ", " : "", (int)asset.len, asset.ptr);
}

static void
logged(struct making *m, const struct leat_procedure_item *item)
{
	static const char *const title[] = { "asset", "point", "as found", "as left", "unit" };
	static const size_t width[] = { 26, 20, 11, 11, 6 }, wide[] = { 14, 63 };
	struct leat_span cell[2] = { LEAT_SHEET_NOTHING, LEAT_SHEET_BLANK };
	bool points = leat_procedure_asks(item, LEAT_BLANK_POINT);

	if (item->event == NULL)
		return;
	reset(m);
	if (!points && item->each.len > 0) {
		card_entries(m->card, item, entry_asset, m);
		say(m, ": ");
	}
	say(m, "%s", item->event->name);
	leat_sheet_remark(m->s, "Logbook", words(m));
	if (points) {
		leat_sheet_table(m->s, width, 5, title);
		card_entries(m->card, item, entry_row, m);
	}
	if (!leat_procedure_asks(item, LEAT_BLANK_ITEM) && !leat_procedure_asks(item, LEAT_BLANK_NOTE))
		return;
	leat_sheet_table(m->s, wide, 2, NULL);
	if (leat_procedure_asks(item, LEAT_BLANK_ITEM)) {
		cell[0] = LEAT_SPAN("serial number");
		leat_sheet_row(m->s, cell);
	}
	if (leat_procedure_asks(item, LEAT_BLANK_NOTE)) {
		cell[0] = LEAT_SPAN("note");
		leat_sheet_row(m->s, cell);
	}
}

static void
item(struct making *m, const struct leat_procedure_item *i, int number, bool box)
{
	reset(m);
	card_words(m->s, &m->words, m->card, &i->words);
	leat_sheet_item(m->s, number, box, words(m));
	if (i->by.len > 0)
		leat_sheet_remark(m->s, "Only by", i->by);
	if (i->accept.count > 0) {
		reset(m);
		card_words(m->s, &m->words, m->card, &i->accept);
		leat_sheet_remark(m->s, "Accept", words(m));
	}
	logged(m, i);
}

/* A section of the procedure; numbered: steps.  Returns whether it has any. */
static bool
section(struct making *m, enum leat_procedure_section which, const char *heading, bool numbered, bool box)
{
	const struct leat_procedure_items *items;

	if (m->card->procedure == NULL || m->card->procedure->section[which].count == 0)
		return false;
	items = &m->card->procedure->section[which];
	leat_sheet_heading(m->s, heading);
	for (size_t i = 0; i < items->count; i++) {
		if (box || numbered) {
			item(m, &items->item[i], numbered ? (int)i + 1 : 0, box);
			continue;
		}
		reset(m);
		card_words(m->s, &m->words, m->card, &items->item[i].words);
		leat_sheet_paragraph(m->s, words(m));
	}
	return true;
}

static void
signatures(struct making *m)
{
	static const char *const title[] = { "", "name", "signature", "date, time" };
	static const char *const line[] = {
		"permit and isolations in force", "work done by", "isolations off, handed back", "typed into the logbook"
	};
	static const size_t width[] = { 30, 16, 16, 13 };

	leat_sheet_heading(m->s, "Sign-off");
	leat_sheet_table(m->s, width, 4, title);
	for (size_t i = 0; i < sizeof(line) / sizeof(line[0]); i++) {
		struct leat_span cell[4] = { leat_span_of(line[i]), LEAT_SHEET_BLANK, LEAT_SHEET_BLANK, LEAT_SHEET_BLANK };

		leat_sheet_row(m->s, cell);
	}
}

void
leat_card_write(struct leat_sheet *s, const struct leat_card *card)
{
	struct making m = { .s = s, .card = card };

	head(&m);
	findings(&m);
	section(&m, LEAT_PROCEDURE_PURPOSE, "Purpose", false, false);
	section(&m, LEAT_PROCEDURE_STATE, "State required", false, false);
	cautions(&m);
	section(&m, LEAT_PROCEDURE_ISOLATIONS, "Isolations", false, true);
	section(&m, LEAT_PROCEDURE_TOOLS, "Tools", false, true);
	if (!section(&m, LEAT_PROCEDURE_PARTS, "Parts", false, true) && card->parts > 0)
		leat_sheet_heading(s, "Parts");
	parts(&m);
	if (!section(&m, LEAT_PROCEDURE_STEPS, "Steps", true, true)) {
		leat_sheet_heading(s, "Steps");
		leat_sheet_paragraph(s, LEAT_SPAN("No procedure is on file for this task: the steps, as the works has them, and what was "
		    "found and left."));
		leat_sheet_lines(s, 12);
	}
	section(&m, LEAT_PROCEDURE_AFTER, "After work", false, true);
	section(&m, LEAT_PROCEDURE_CONFIRMED, "Confirmed in the data by", false, false);
	signatures(&m);
	leat_buf_free(&m.words);
}
