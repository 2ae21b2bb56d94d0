/*
 * What the columns of a long shape hold: tags, values, quality, units.
 *
 * Nothing is taken from the names of columns.  A column of tags is one of texts without which a time would come
 * twice, or that changes from row to row; a column of states beside one of numbers is not, and what could be either
 * is an error.
 */
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/units.h"
#include "stream/export_private.h"

#define DISTINCT_MOST 512

/* Common words for states; texts that are all such words are no tags.  Common practice. */
static const char *const state_words[] = {
	"active", "alarm", "auto", "automatic", "closed", "disabled", "down", "enabled", "false", "fault",
	"grinding", "hand", "high", "idle", "inactive", "load", "local", "low", "man", "manual", "no", "no-load",
	"normal", "off", "ok", "on", "open", "opened", "ready", "remote", "run", "running", "standby", "start",
	"started", "starting", "stop", "stopped", "stopping", "tripped", "true", "unload", "up", "yes",
	"aus", "ein", "auf", "zu", "betrieb", "halt", "steht", "l\xc3\xa4uft", "gest\xc3\xb6rt", "ja", "nein",
	"marche", "arr\xc3\xaat", "ouvert", "ferm\xc3\xa9", "oui", "non", "marcha", "paro", "abierto", "cerrado", "si"
};

static const char *const quality_words[] = {
	"bad", "calculated", "good", "invalid", "manual", "ok", "questionable", "stale", "substituted", "suspect",
	"uncertain", "valid", "g", "b", "u", "q", "s"
};

struct column {
	size_t filled, numbers;
	size_t units, states, qualities, quality_codes;
	size_t judged;			/* texts that are quality and no tag: words that stand alone */
	size_t high_codes;		/* of those, 192 and above */
	size_t classic_codes;		/* of those, the ones that the classic coding defines */
	size_t status_codes;		/* of those, 0 and the ones with a severity */
	size_t counted;			/* whole numbers each one more than the one before */
	struct leat_names texts;	/* up to DISTINCT_MOST */
};

static bool
in_list(struct leat_span text, const char *const *list, size_t count)
{
	size_t i;

	for (i = 0; i < count; i++)
		if (leat_span_is_nocase(text, list[i]))
			return true;
	return false;
}

/* "Good, raw" and "Bad (no data)" begin with the word that counts. */
static struct leat_span
first_word(struct leat_span text)
{
	size_t len = 0;

	while (len < text.len && ((text.ptr[len] | 0x20) >= 'a' && (text.ptr[len] | 0x20) <= 'z'))
		len++;
	return leat_span_make(text.ptr, len);
}

static bool
is_quality_word(struct leat_span text)
{
	return in_list(first_word(text), quality_words, sizeof(quality_words) / sizeof(quality_words[0]));
}

/* "Good" and "Bad (no data)" are no tags; "B-101" and "S 1" may be. */
static bool
is_no_tag(struct leat_span text)
{
	struct leat_span word = first_word(text);

	return is_quality_word(text) && word.len > 1 &&
	    (word.len == text.len || strchr(" ,;(", text.ptr[word.len]) != NULL);
}

/* 0..255 in the classic coding; with bits 31 and 30 as severity, decimal or hexadecimal, in the newer one. */
static bool
is_quality_code(struct leat_span text, int64_t *code)
{
	if (leat_span_starts(text, "0x") || leat_span_starts(text, "0X")) {
		*code = 192;
		return text.len == 10;
	}
	if (leat_int_parse(text, 0, UINT32_MAX, code) != 0)
		return false;
	return *code <= 255 || *code >= 0x40000000;
}

/* After OPC Data Access, quality flags; from memory. */
bool
leat_export_classic_code(int64_t code)
{
	static const uint8_t defined[] = { 0, 4, 8, 12, 16, 20, 24, 28, 32, 64, 68, 80, 84, 88, 192, 216 };
	size_t i;

	for (i = 0; i < sizeof(defined); i++)
		if ((code & ~INT64_C(3)) == defined[i])
			return true;
	return false;
}

/* What a text could be, found once for each different text. */
enum { COULD_BE_UNIT = 1, COULD_BE_STATE = 2, COULD_BE_QUALITY = 4, NO_TAG = 8 };

static unsigned
could_be(struct leat_span text)
{
	unsigned what = leat_unit_find(text) != NULL || leat_unit_unclear(text) ? COULD_BE_UNIT : 0;

	if (in_list(text, state_words, sizeof(state_words) / sizeof(state_words[0])))
		what |= COULD_BE_STATE;
	if (is_no_tag(text))
		what |= NO_TAG;
	return is_quality_word(text) ? what | COULD_BE_QUALITY : what;
}

/* "1/ml" and "1/h" are units, though they begin as numbers with a unit behind them do. */
static bool
is_inverse(struct leat_span text)
{
	return text.len > 2 && text.ptr[0] == '1' && text.ptr[1] == '/' && leat_unit_find(text) != NULL;
}

/* Counts what the text of one cell could be.  known has a place for each of the column's different texts.  0, or
 * -1 when memory is out. */
static int
look_at_text(struct column *col, struct leat_span text, bool number, uint8_t *known)
{
	size_t before = col->texts.count;
	uint32_t id = before < DISTINCT_MOST ? leat_names_put(&col->texts, text) : leat_names_get(&col->texts, text);
	unsigned what;

	if (id == LEAT_NAME_NONE && before < DISTINCT_MOST)
		return -1;
	if (number)
		return 0;
	what = id < before ? known[id] : could_be(text);
	if (id == before)
		known[id] = (uint8_t)what;
	col->units += (what & COULD_BE_UNIT) != 0;
	col->states += (what & COULD_BE_STATE) != 0;
	col->qualities += (what & COULD_BE_QUALITY) != 0;
	col->judged += (what & NO_TAG) != 0;
	return 0;
}

/* One pass over the data rows of a column.  0, or -1 when memory is out. */
static int
look(const struct leat_sniff *sniff, const struct leat_layout *layout, size_t column, struct column *col)
{
	const struct leat_sniff_cell *c;
	struct leat_span text;
	int64_t code, last = INT64_MIN / 2;
	uint8_t known[DISTINCT_MOST + 1];
	size_t row;
	bool number;

	for (row = layout->data_row; row < sniff->rows; row++) {
		c = leat_sniff_at(sniff, row, column);
		if (c == NULL || c->len == 0 || !leat_export_is_data(sniff, layout, row))
			continue;
		text = leat_sniff_text(sniff, row, column);
		number = c->marks.number && !is_inverse(text);
		col->filled++;
		col->numbers += number;
		if (is_quality_code(text, &code)) {
			col->quality_codes++;
			col->high_codes += code >= 192;
			col->classic_codes += leat_export_classic_code(code);
			col->status_codes += code == 0 || code >= 0x40000000;
			col->counted += code == last + 1;
			last = code;
		}
		if (look_at_text(col, text, number, known) != 0)
			return -1;
	}
	return 0;
}

/* How a column of texts goes with the stamps. */
struct steps {
	size_t pairs;			/* neighbouring data rows */
	size_t changes;			/* in which the text differs */
	size_t still, still_changes;	/* with the same stamp; of those, with differing text */
	size_t back, back_changes;	/* with an earlier stamp */
};

static bool
stamp_at(const struct leat_sniff *sniff, const struct leat_layout *layout, size_t row, struct leat_time *t)
{
	const struct leat_stamp *st = &layout->stamp[0];
	const struct leat_sniff_cell *c = leat_sniff_at(sniff, row, (size_t)st->date);
	struct leat_foreign said, clock;
	unsigned bit = LEAT_FORM_ISO;

	if (c == NULL || (c->forms & layout->forms) == 0)
		return false;
	while ((c->forms & layout->forms & bit) == 0)
		bit <<= 1;
	if (leat_foreign_parse(leat_sniff_text(sniff, row, (size_t)st->date), (enum leat_form)bit, &said) != 0)
		return false;
	if (st->clock >= 0 &&
	    (leat_foreign_parse(leat_sniff_text(sniff, row, (size_t)st->clock), LEAT_FORM_CLOCK, &clock) != 0 ||
	    leat_foreign_join(&said, &clock, &said) != 0))
		return false;
	*t = said.is_instant ? said.instant : leat_time_from_civil(&said.civil, 0);
	return true;
}

static struct steps
take_steps(const struct leat_sniff *sniff, const struct leat_layout *layout, size_t column)
{
	struct steps s = { 0, 0, 0, 0, 0, 0 };
	struct leat_time t, last_time = LEAT_TIME_NONE;
	struct leat_span text, last = { NULL, 0 };
	size_t row;
	bool differs;
	int cmp;

	for (row = layout->data_row; row < sniff->rows; row++) {
		if (!leat_export_is_data(sniff, layout, row) || !stamp_at(sniff, layout, row, &t))
			continue;
		text = leat_sniff_text(sniff, row, column);
		if (!leat_time_is_none(last_time)) {
			differs = !leat_span_eq(text, last);
			cmp = leat_time_cmp(t, last_time);
			s.pairs++;
			s.changes += differs;
			s.still += cmp == 0;
			s.still_changes += cmp == 0 && differs;
			s.back += cmp < 0;
			s.back_changes += cmp < 0 && differs;
		}
		last_time = t;
		last = text;
	}
	return s;
}

/* A tag usually has a digit or a mark of structure in it, a word of the language does not. */
static bool
looks_like_tag(struct leat_span text)
{
	size_t i;

	for (i = 0; i < text.len; i++)
		if ((text.ptr[i] >= '0' && text.ptr[i] <= '9') || strchr("_./:-\\#", text.ptr[i]) != NULL)
			return true;
	return false;
}

/* What the order of the rows says of a column of texts. */
enum order {
	ORDER_NOTHING,
	ORDER_TAGS_OR,		/* tags, or else a text that is new in each row */
	ORDER_TAGS		/* without them stamps would come twice or go back */
};

static enum order
order_of(const struct steps *s, const struct column *col)
{
	if (s->still * 20 >= s->pairs && s->still > 0 && s->still_changes * 10 >= s->still * 9)
		return ORDER_TAGS;
	if (s->back > 0 && s->back_changes * 10 >= s->back * 9 && s->still == 0)
		return ORDER_TAGS;
	if (col->texts.count == 1)
		return looks_like_tag(col->texts.name[0]) ? ORDER_TAGS_OR : ORDER_NOTHING;
	return s->changes * 2 >= s->pairs && col->texts.count * 2 <= col->filled ? ORDER_TAGS_OR : ORDER_NOTHING;
}

/* What the columns beside the stamp are. */
struct roles {
	struct column *column;
	size_t data;			/* rows */
	int tag, value, quality, unit;
	size_t values;			/* columns that could be the value */
	enum order order;		/* of the tags */
};

static bool
is_text(const struct column *c)
{
	return c->filled > 0 && c->numbers * 2 < c->filled;
}

/* Is it quality: known words for the most part, or nothing but codes of which there are few and which are mostly
 * good, or all defined in one coding with one at least that no other number is likely to be?  A quality that is
 * missed would turn bad readings into good ones. */
static bool
is_quality(const struct column *c)
{
	if (c->filled == 0)
		return false;
	if (is_text(c) && c->qualities > 0)
		return c->qualities * 2 >= c->filled && c->texts.count <= 32;
	if (is_text(c) && c->numbers == 0)
		return c->quality_codes == c->filled;
	return c->quality_codes == c->filled && c->texts.count <= 16 && (c->high_codes * 2 >= c->filled ||
	    (c->high_codes > 0 && (c->classic_codes == c->filled || c->status_codes == c->filled)) ||
	    (c->texts.count == 1 && leat_span_is(c->texts.name[0], "0")));
}

/* Is it a row number? */
static bool
is_count(const struct column *c)
{
	return c->filled > 2 && c->counted + 1 >= c->filled;
}

static bool
could_be_tag(const struct column *c, size_t data)
{
	return is_text(c) && c->numbers == 0 && c->filled * 20 >= data * 19 && c->units < c->filled &&
	    c->states < c->filled && c->judged < c->filled;
}

/* Most of its texts are units: it is tags only where nothing else is. */
static bool
is_mostly_units(const struct column *c)
{
	return is_text(c) && c->units * 2 >= c->filled;
}

/* Picks the column of tags: the order of rows speaks first, then the one with most texts, then the first. */
static void
pick_tag(const struct leat_sniff *sniff, const struct leat_layout *layout, struct roles *r)
{
	size_t col, best_count = 0;
	struct steps steps;
	enum order order;

	for (col = 0; col < sniff->columns; col++) {
		if (layout->role[col] != LEAT_ROLE_VALUE || (int)col == r->quality ||
		    !could_be_tag(&r->column[col], r->data))
			continue;
		steps = take_steps(sniff, layout, col);
		order = order_of(&steps, &r->column[col]);
		if (r->tag >= 0 && is_mostly_units(&r->column[col]) != is_mostly_units(&r->column[r->tag])) {
			if (is_mostly_units(&r->column[col]))
				continue;
		} else if (r->tag >= 0 && (order < r->order ||
		    (order == r->order && r->column[col].texts.count <= best_count))) {
			continue;
		}
		r->tag = (int)col;
		r->order = order;
		best_count = r->column[col].texts.count;
	}
}

/* Picks the last column that is all quality, where another is left for the values. */
static void
pick_quality(const struct leat_sniff *sniff, const struct leat_layout *layout, struct roles *r)
{
	size_t col, others = 0, numeric = 0;
	const struct column *c;

	for (col = 0; col < sniff->columns; col++) {
		c = &r->column[col];
		if (layout->role[col] != LEAT_ROLE_VALUE || c->filled == 0)
			continue;
		others++;
		numeric += !is_text(c) && !is_count(c);
	}
	for (col = sniff->columns; col-- > 0 && others > 2;) {
		c = &r->column[col];
		if (layout->role[col] == LEAT_ROLE_VALUE && is_quality(c) && (is_text(c) || numeric > 1)) {
			r->quality = (int)col;
			return;
		}
	}
}

/* Picks quality, tag, unit and value in turn. */
static void
pick(const struct leat_sniff *sniff, const struct leat_layout *layout, struct roles *r)
{
	const struct column *c;
	size_t col;
	double share, best = -1;

	pick_quality(sniff, layout, r);
	pick_tag(sniff, layout, r);
	for (col = 0; col < sniff->columns; col++) {
		c = &r->column[col];
		if (layout->role[col] != LEAT_ROLE_VALUE || (int)col == r->quality || (int)col == r->tag ||
		    c->filled == 0)
			continue;
		if (is_mostly_units(c) && r->unit < 0) {
			r->unit = (int)col;
			continue;
		}
		r->values += !is_text(c) && !is_count(c);
		share = is_count(c) ? 0 : (double)c->numbers / (double)c->filled;
		if (share > best) {
			best = share;
			r->value = (int)col;
		}
	}
}

static int
decide(const struct leat_sniff *sniff, const struct leat_layout *layout, const struct roles *r, bool pinned,
    struct leat_error *err)
{
	char name[64];

	if (r->tag < 0 || r->value < 0)
		return 0;
	if (pinned)
		return 1;
	if (r->values > 1 && r->order != ORDER_TAGS)
		return 0;
	leat_export_title(sniff, layout, (size_t)r->tag, name, sizeof(name));
	if (r->values > 1)
		return leat_error_set(err, "'%s' holds tags, but several columns hold values: export one column of "
		    "values, or give --shape wide", name);
	if (r->order != ORDER_NOTHING)
		return 1;
	return leat_error_set(err, "'%s' holds either tags or states: give --shape long or --shape wide", name);
}

static int
assign(const struct leat_sniff *sniff, struct leat_layout *layout, const struct roles *r)
{
	size_t col;

	layout->tag = r->tag;
	layout->cell = r->value;
	layout->quality = r->quality;
	layout->unit = r->unit;
	for (col = 0; col < sniff->columns; col++)
		if (layout->role[col] == LEAT_ROLE_VALUE && (int)col != r->tag && (int)col != r->value &&
		    (int)col != r->quality && (int)col != r->unit)
			layout->role[col] = LEAT_ROLE_OTHER;
	return 1;
}

int
leat_export_roles(const struct leat_sniff *sniff, struct leat_export_form *form, struct leat_layout *layout,
    bool pinned, struct leat_error *err)
{
	struct roles r = { NULL, 0, -1, -1, -1, -1, 0, ORDER_NOTHING };
	size_t col, row;
	int found = 0;

	(void)form;
	r.column = calloc(sniff->columns + 1, sizeof(*r.column));
	if (r.column == NULL)
		return leat_error_memory(err);
	for (row = layout->data_row; row < sniff->rows; row++)
		r.data += leat_export_is_data(sniff, layout, row);
	for (col = 0; col < sniff->columns && found == 0; col++)
		if (layout->role[col] == LEAT_ROLE_VALUE)
			found = look(sniff, layout, col, &r.column[col]);
	if (found != 0) {
		leat_error_memory(err);
	} else {
		pick(sniff, layout, &r);
		found = decide(sniff, layout, &r, pinned, err);
	}
	if (found > 0)
		found = assign(sniff, layout, &r);
	for (col = 0; col < sniff->columns; col++)
		leat_names_free(&r.column[col].texts);
	free(r.column);
	return found;
}
