/* Procedures: what stands within an item, and its blanks against the rules of the logbook. */
#include "upkeep/procedure_private.h"

#include <stdio.h>

#include "base/number.h"
#include "stream/nameplate.h"
#include "stream/nearest.h"

#define NAME_MAX_BYTES 200u

/* The item at hand, and where a fault in it stands. */
struct cursor {
	struct leat_procedure_reading *r;
	struct leat_procedure_item *item;
	struct leat_span text;
	bool marks;
	bool faulty;		/* a fault was told, and what follows from it need not be */
};

static long
line_of(const struct cursor *c, struct leat_span part)
{
	long line = c->item->line;

	for (const char *p = c->text.ptr; p < part.ptr; p++)
		line += *p == '\n';
	return line;
}

#define FAULT(c, part, ...) \
	((c)->faulty = true, procedure_fault((c)->r, line_of((c), (part)), (part), __VA_ARGS__))

/* Without outer blanks and line ends. */
static struct leat_span
trim(struct leat_span s)
{
	while (s.len > 0 && (s.ptr[0] == ' ' || s.ptr[0] == '\n'))
		s = leat_span_make(s.ptr + 1, s.len - 1);
	while (s.len > 0 && (s.ptr[s.len - 1] == ' ' || s.ptr[s.len - 1] == '\n'))
		s.len--;
	return s;
}

bool
leat_procedure_word(struct leat_span *rest, struct leat_span *word)
{
	*rest = trim(*rest);
	*word = leat_span_make(rest->ptr, 0);
	while (word->len < rest->len && rest->ptr[word->len] != ' ' && rest->ptr[word->len] != '\n')
		word->len++;
	*rest = leat_span_make(rest->ptr + word->len, rest->len - word->len);
	return word->len > 0;
}

static void
add_piece(struct cursor *c, struct leat_pieces *pieces, struct leat_piece piece)
{
	if (leat_grow(&pieces->piece, &pieces->cap, pieces->count + 1, sizeof(*pieces->piece)) != 0)
		c->r->out_of_memory = true;
	else
		pieces->piece[pieces->count++] = piece;
}

static void
add_text(struct cursor *c, struct leat_pieces *pieces, const char *from, const char *to)
{
	if (to > from)
		add_piece(c, pieces, (struct leat_piece){ .kind = LEAT_PIECE_TEXT, .text = { from, (size_t)(to - from) } });
}

/* nameplate:[CHILD:]PROPERTY [95%], what is behind the first colon. */
static void
nameplate_piece(struct cursor *c, struct leat_pieces *pieces, struct leat_span body)
{
	struct leat_nearest nearest = { 0 };
	struct leat_piece piece = { .kind = LEAT_PIECE_NAMEPLATE, .share = 1 };
	const struct leat_property *property;
	struct leat_span rest = body, name, share;
	size_t colon;

	leat_procedure_word(&rest, &name);
	colon = leat_span_find(name, ':');
	piece.text = name;
	if (colon < name.len) {
		piece.child = leat_span_make(name.ptr, colon);
		piece.text = leat_span_make(name.ptr + colon + 1, name.len - colon - 1);
	}
	if (leat_procedure_word(&rest, &share) && (share.ptr[share.len - 1] != '%' ||
	    leat_double_parse(leat_span_make(share.ptr, share.len - 1), &piece.share) != 0 || !(piece.share > 0))) {
		FAULT(c, share, "not a share of the property such as 95%%");
		return;
	}
	if (share.len > 0)
		piece.share /= 100;
	property = leat_property_find(piece.text);
	nearest.word = piece.text;
	for (size_t i = 0; property == NULL && leat_property_at(i) != NULL; i++)
		leat_nearest_offer(&nearest, leat_property_at(i)->name);
	if (property == NULL && nearest.name != NULL)
		FAULT(c, piece.text, "no property of leat-nameplate(7), did you mean '%s'?", nearest.name);
	else if (property == NULL)
		FAULT(c, piece.text, "no property of leat-nameplate(7)");
	else if (share.len > 0 && property->unit[0] == '\0')
		FAULT(c, share, "a share of a property that is no number");
	else
		add_piece(c, pieces, piece);
}

/* [found|left] POINT [UNIT], item or note. */
static void
blank(struct cursor *c, struct leat_span body)
{
	struct leat_procedure_item *item = c->item;
	struct leat_blank b = { .kind = LEAT_BLANK_POINT };
	struct leat_span rest = body, word;

	leat_procedure_word(&rest, &word);
	b.found = leat_span_is(word, "found");
	b.left = leat_span_is(word, "left");
	if (b.found || b.left)
		leat_procedure_word(&rest, &word);
	b.point = word;
	if (!b.found && !b.left && (leat_span_is(word, "item") || leat_span_is(word, "note")))
		b.kind = leat_span_is(word, "item") ? LEAT_BLANK_ITEM : LEAT_BLANK_NOTE;
	if (b.kind == LEAT_BLANK_POINT && leat_procedure_word(&rest, &word)) {
		b.unit = leat_unit_find(word);
		if (b.unit == NULL) {
			FAULT(c, word, "unknown unit (leat-units(7) lists all)");
			return;
		}
	}
	if (trim(rest).len > 0 || b.point.len == 0) {
		FAULT(c, body, "not a blank such as {gas-pressure bar}, {left top-up L}, {item} or {note}");
		return;
	}
	if (leat_grow(&item->blank, &item->blank_cap, item->blanks + 1, sizeof(*item->blank)) != 0)
		c->r->out_of_memory = true;
	else
		item->blank[item->blanks++] = b;
}

static void
braces(struct cursor *c, struct leat_pieces *pieces, struct leat_span body)
{
	if (leat_span_is(body, "asset"))
		add_piece(c, pieces, (struct leat_piece){ .kind = LEAT_PIECE_ASSET });
	else if (leat_span_is(body, "mill"))
		add_piece(c, pieces, (struct leat_piece){ .kind = LEAT_PIECE_MILL });
	else if (leat_span_starts(body, "nameplate:"))
		nameplate_piece(c, pieces, leat_span_make(body.ptr + 10, body.len - 10));
	else if (!c->marks)
		FAULT(c, body, "a blank belongs to Steps or After work");
	else if (pieces != &c->item->words)
		FAULT(c, body, "a blank within a limit");
	else
		blank(c, body);
}

/* Text with braces, up to end; text begins where plain words do. */
static void
words(struct cursor *c, struct leat_pieces *pieces, struct leat_span text)
{
	const char *from = text.ptr, *end = text.ptr + text.len;

	for (const char *p = from; p < end; p++) {
		const char *close;

		if (*p == '}' || *p == ']') {
			FAULT(c, leat_span_make(p, 1), "closed and never opened");
			return;
		}
		if (*p != '{')
			continue;
		close = memchr(p, '}', (size_t)(end - p));
		if (close == NULL) {
			FAULT(c, leat_span_make(p, (size_t)(end - p)), "a brace that does not close");
			return;
		}
		add_text(c, pieces, from, p);
		braces(c, pieces, trim(leat_span_make(p + 1, (size_t)(close - p - 1))));
		from = close + 1;
		p = close;
	}
	add_text(c, pieces, from, end);
}

static void
log_mark(struct cursor *c, struct leat_span body)
{
	struct leat_nearest nearest = { .word = body };

	if (c->item->event != NULL) {
		FAULT(c, body, "a second entry of the logbook in one item: make it an item of its own");
		return;
	}
	c->item->event = leat_event_find(body);
	for (size_t i = 0; c->item->event == NULL && leat_event_at(i) != NULL; i++)
		leat_nearest_offer(&nearest, leat_event_at(i)->name);
	if (c->item->event == NULL && nearest.name != NULL)
		FAULT(c, body, "unknown event of the logbook, did you mean '%s'?", nearest.name);
	else if (c->item->event == NULL)
		FAULT(c, body, "unknown event of the logbook (leat-log(1) lists all)");
}

static void
each_mark(struct cursor *c, struct leat_span body)
{
	struct leat_each each = { .rest = body };
	char name[NAME_MAX_BYTES];
	int got, names = 0;

	while ((got = leat_each_next(&each, name, sizeof(name))) > 0 && strpbrk(name, "*?:") == NULL && name[0] != '/' &&
	    name[strlen(name) - 1] != '/' && strstr(name, "//") == NULL)
		names++;
	if (got != 0 || names == 0)
		FAULT(c, body, "not names such as accu-1..6");
	else
		c->item->each = body;
}

static void
brackets(struct cursor *c, struct leat_span body)
{
	size_t colon = leat_span_find(body, ':');
	struct leat_span mark = leat_span_make(body.ptr, colon), rest = { 0 };

	if (colon < body.len)
		rest = trim(leat_span_make(body.ptr + colon + 1, body.len - colon - 1));
	if (colon == body.len || rest.len == 0)
		FAULT(c, body, "not a mark such as [accept: ...], [by: ...], [log: ...] or [each: ...]");
	else if (!c->marks)
		FAULT(c, body, "a mark belongs to Steps or After work");
	else if (leat_span_is(mark, "accept") && c->item->accept.count > 0)
		FAULT(c, body, "a second limit in one item: put both into one");
	else if (leat_span_is(mark, "accept"))
		words(c, &c->item->accept, rest);
	else if (leat_span_is(mark, "by"))
		c->item->by = rest;
	else if (leat_span_is(mark, "log"))
		log_mark(c, rest);
	else if (leat_span_is(mark, "each"))
		each_mark(c, rest);
	else
		FAULT(c, mark, "unknown mark: accept, by, log and each are known");
}

/* What a person could fill in, to ask the rules of the logbook with. */
static struct leat_span
sample_of(struct leat_span point)
{
	const struct leat_point_info *info = leat_point_find(point);

	if (info != NULL && info->kind == LEAT_KIND_SWITCH)
		return leat_span_of("on");
	if (info != NULL && info->kind == LEAT_KIND_WORD)
		return leat_span_of("18/16/13");
	return leat_span_of("1");
}

static void
check_entry(struct cursor *c, const struct leat_blank *b)
{
	const struct leat_procedure_item *item = c->item;
	struct leat_log_rules rules = { LEAT_TIME_NONE, c->r->points };
	struct leat_log_entry e = leat_procedure_entry(item, b, leat_span_of("NM"));
	struct leat_error err = { 0 };

	e.who = leat_span_of("me");
	if (b != NULL && b->found)
		e.found = sample_of(e.point);
	if (b != NULL && b->left)
		e.left = sample_of(e.point);
	if (leat_procedure_asks(item, LEAT_BLANK_ITEM))
		e.item = leat_span_of("A-1");
	if (leat_procedure_asks(item, LEAT_BLANK_NOTE))
		e.note = leat_span_of("words");
	leat_log_entry_complete(&e, c->r->points);
	if (leat_log_entry_check(&e, &rules, &err) == 0)
		return;
	procedure_fault(c->r, b != NULL ? line_of(c, b->point) : item->line, b != NULL ? b->point : leat_span_make("", 0),
	    "the logbook would not take it: %.180s", err.text);
}

static void
check_blanks(struct cursor *c)
{
	struct leat_procedure_item *item = c->item;
	size_t measured = 0;

	if (item->event == NULL) {
		if (item->blanks > 0)
			FAULT(c, item->blank[0].point, "a blank without the entry it is for: [log: EVENT] is missing");
		else if (item->each.len > 0)
			FAULT(c, item->each, "nothing is logged for each: [log: EVENT] is missing");
		return;
	}
	for (size_t i = 0; i < item->blanks; i++) {
		struct leat_blank *b = &item->blank[i];

		if (b->kind != LEAT_BLANK_POINT)
			continue;
		measured++;
		if (!b->found && !b->left) {
			b->left = (item->event->needs & LEAT_NEEDS_LEFT) != 0;
			b->found = !b->left;
		}
		for (size_t k = 0; k < i; k++) {
			if (item->blank[k].kind != LEAT_BLANK_POINT || !leat_span_eq(item->blank[k].point, b->point))
				continue;
			/* As found and as left of one point are one entry. */
			item->blank[k].found |= b->found;
			item->blank[k].left |= b->left;
			memmove(b, b + 1, (item->blanks - i - 1) * sizeof(*b));
			item->blanks--;
			i--;
			measured--;
			break;
		}
	}
	for (size_t i = 0; i < item->blanks; i++)
		if (item->blank[i].kind == LEAT_BLANK_POINT)
			check_entry(c, &item->blank[i]);
	if (measured == 0)
		check_entry(c, NULL);
}

void
procedure_item(struct leat_procedure_reading *r, struct leat_procedure_item *item, struct leat_span text, bool marks)
{
	struct cursor c = { .r = r, .item = item, .text = trim(text), .marks = marks };
	const char *from = c.text.ptr, *end = c.text.ptr + c.text.len, *open, *close;

	while ((open = memchr(from, '[', (size_t)(end - from))) != NULL) {
		words(&c, &item->words, leat_span_make(from, (size_t)(open - from)));
		close = memchr(open, ']', (size_t)(end - open));
		if (close == NULL) {
			FAULT(&c, leat_span_make(open, (size_t)(end - open)), "a bracket that does not close");
			return;
		}
		brackets(&c, trim(leat_span_make(open + 1, (size_t)(close - open - 1))));
		from = close + 1;
	}
	words(&c, &item->words, leat_span_make(from, (size_t)(end - from)));
	if (item->words.count == 0 && !c.faulty)
		FAULT(&c, c.text, "an item without words");
	if (!c.faulty)
		check_blanks(&c);
}

bool
leat_procedure_asks(const struct leat_procedure_item *item, enum leat_blank_kind kind)
{
	for (size_t i = 0; i < item->blanks; i++)
		if (item->blank[i].kind == kind)
			return true;
	return false;
}

struct leat_log_entry
leat_procedure_entry(const struct leat_procedure_item *item, const struct leat_blank *b, struct leat_span asset)
{
	struct leat_log_entry e = { .time = { 0, 0 }, .event = item->event, .asset = asset };

	if (b != NULL && b->kind == LEAT_BLANK_POINT) {
		e.point = b->point;
		e.unit = b->unit;
	}
	return e;
}

/* a..b in a word: the digits on both sides of the points. */
static int
begin_count(struct leat_each *each, struct leat_span word)
{
	int64_t first, last;
	size_t at = 0, from, to;

	while (at + 1 < word.len && (word.ptr[at] != '.' || word.ptr[at + 1] != '.'))
		at++;
	if (at + 1 >= word.len) {
		each->before = word;
		each->behind = leat_span_make("", 0);
		each->now = each->last = 0;
		each->counting = false;
		return 0;
	}
	for (from = at; from > 0 && word.ptr[from - 1] >= '0' && word.ptr[from - 1] <= '9'; from--)
		;
	for (to = at + 2; to < word.len && word.ptr[to] >= '0' && word.ptr[to] <= '9'; to++)
		;
	if (leat_int_parse(leat_span_make(word.ptr + from, at - from), 0, 9999, &first) != 0 ||
	    leat_int_parse(leat_span_make(word.ptr + at + 2, to - at - 2), 0, 9999, &last) != 0 ||
	    last < first || last - first >= 99)
		return -1;
	each->before = leat_span_make(word.ptr, from);
	each->behind = leat_span_make(word.ptr + to, word.len - to);
	each->now = (long)first;
	each->last = (long)last;
	each->counting = true;
	return 0;
}

int
leat_each_next(struct leat_each *each, char *dst, size_t size)
{
	struct leat_span word;
	int len;

	if (each->before.ptr == NULL || each->now > each->last) {
		if (!leat_procedure_word(&each->rest, &word))
			return 0;
		if (begin_count(each, word) != 0)
			return -1;
	}
	if (each->counting)
		len = snprintf(dst, size, "%.*s%ld%.*s", (int)each->before.len, each->before.ptr, each->now,
		    (int)each->behind.len, each->behind.ptr);
	else
		len = snprintf(dst, size, "%.*s", (int)each->before.len, each->before.ptr);
	each->now++;
	return len > 0 && (size_t)len < size ? 1 : -1;
}
