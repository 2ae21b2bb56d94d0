/*
 * Samples of an export to values of readings.
 */
#include "stream/convert.h"

#include <math.h>

static const struct {
	const char *text;
	bool on;
} switch_words[] = {
	{ "false", false }, { "off", false }, { "on", true }, { "running", true }, { "stopped", false },
	{ "true", true },
};

/* The kind of a name of the works' own follows from its row: a map of states makes it a word. */
static enum leat_kind
kind_of(const struct leat_point *row, struct leat_span tag)
{
	const struct leat_point_info *info = leat_point_find(row != NULL ? row->point : tag);

	if (info != NULL)
		return info->kind;
	return row != NULL && row->states.len > 0 && row->unit == NULL ? LEAT_KIND_WORD : LEAT_KIND_ANALOGUE;
}

static bool
is_worded(enum leat_kind kind)
{
	return kind == LEAT_KIND_SWITCH || kind == LEAT_KIND_WORD;
}

/* The unit behind the first value of a tag that has none in the header or in points.csv. */
static const struct leat_unit *
unit_behind(const struct leat_export_form *form, const struct leat_sample *first)
{
	char number[LEAT_NUMBER_MAX];
	struct leat_span unit;
	size_t len;

	if (leat_export_cell(form, first->value, number, &len, &unit) == LEAT_CELL_TEXT)
		return NULL;
	return leat_unit_find(unit);
}

static void
two_units(const char *text, const struct leat_convert *c, const struct leat_unit *said,
    const struct leat_sample *first, struct leat_error *err)
{
	const struct leat_unit *table = c->row->source_unit != NULL ? c->row->source_unit : c->unit;

	leat_error_set(err, "the export says '%s', points.csv:%ld says '%s': %s", said->name, c->row->line,
	    table->name, text);
	leat_error_column(err, first->tag);
}

/* Settles between the unit that the export names and those of points.csv. */
static enum leat_convert_status
choose_units(struct leat_convert *c, const struct leat_export_form *form, const struct leat_sample *first,
    struct leat_error *err)
{
	const struct leat_unit *said = leat_unit_find(first->unit);
	const struct leat_point *row = c->row;

	if (row == NULL || row->unit == NULL) {
		c->unit = c->from = said != NULL ? said : unit_behind(form, first);
		return LEAT_CONVERT_READY;
	}
	if (row->source_unit == NULL && leat_unit_unclear(first->unit)) {
		leat_error_set(err, "the unit in the export can mean more than one: give source_unit in points.csv:%ld", row->line);
		leat_error_column(err, first->tag);
		leat_error_value(err, first->unit);
		return LEAT_CONVERT_STOP;
	}
	c->unit = row->unit;
	c->from = row->source_unit != NULL ? row->source_unit : said != NULL ? said : row->unit;
	if (said != NULL && !leat_unit_same_dimension(said, c->unit)) {
		two_units("these cannot be converted", c, said, first, err);
		return LEAT_CONVERT_STOP;
	}
	if (leat_conversion_init(&c->conversion, c->from, c->unit) != 0) {
		leat_error_set(err, "'%s' cannot be converted to '%s'", c->from->name, c->unit->name);
		leat_error_column(err, first->tag);
		return LEAT_CONVERT_STOP;
	}
	if (said != NULL && said != c->from) {
		two_units("points.csv is taken", c, said, first, err);
		return LEAT_CONVERT_CONTRADICTED;
	}
	return LEAT_CONVERT_READY;
}

enum leat_convert_status
leat_convert_prepare(struct leat_convert *c, const struct leat_point *row, const struct leat_export_form *form,
    const struct leat_sample *first, struct leat_error *err)
{
	enum leat_convert_status status;
	char number[LEAT_NUMBER_MAX];
	struct leat_span unit;
	size_t len;

	memset(c, 0, sizeof(*c));
	c->row = row;
	c->kind = kind_of(row, first->tag);
	if (is_worded(c->kind))
		return LEAT_CONVERT_READY;
	c->conversion.same = true;
	status = choose_units(c, form, first, err);
	c->said_len = first->unit.len < sizeof(c->said) ? first->unit.len : 0;
	if (c->said_len > 0)
		memcpy(c->said, first->unit.ptr, c->said_len);
	c->texts = row == NULL && leat_export_cell(form, first->value, number, &len, &unit) == LEAT_CELL_TEXT;
	c->copied = c->conversion.same && (row == NULL || (!row->has_scale && !row->has_min && !row->has_max));
	return status;
}

static void
make_bad(struct leat_converted *out, enum leat_convert_note note)
{
	out->quality = LEAT_BAD;
	out->note = note;
}

static void
make_uncertain(struct leat_converted *out)
{
	if (out->quality > LEAT_UNCERTAIN)
		out->quality = LEAT_UNCERTAIN;
}

/* 10 to the power of -scale. */
static double
last_digit(int scale)
{
	static const double small[] = { 1, 0.1, 0.01, 0.001, 1e-4, 1e-5, 1e-6 };

	if (scale >= 0 && scale < (int)(sizeof(small) / sizeof(small[0])))
		return small[scale];
	return pow(10, -scale);
}

/* As conversion writes: two digits more than the source has, so that nothing is lost and no noise is shown.  With an
 * offset the digits of the value say nothing; there the size of the source's last digit does. */
static size_t
write_scaled(char *dst, const struct leat_number *num, double value, double step, bool shifted)
{
	int decimals = (num->scale > 0 ? num->scale : 0) + 2;

	if (!shifted && num->coefficient != 0)
		return leat_number_significant(dst, value, num->digits < 13 ? num->digits + 2 : 15);
	if (shifted)
		decimals = (int)ceil(-log10(step)) + 2;
	return leat_number_fixed(dst, value, decimals < 0 ? 0 : decimals > 15 ? 15 : decimals);
}

/* Scales and converts the number, which was read from out->text.  0 when the result is no number of a sane size. */
static size_t
write_number(const struct leat_convert *c, const struct leat_conversion *conversion, bool scaled,
    const struct leat_number *num, struct leat_converted *out)
{
	bool shifted = !conversion->same && conversion->before != conversion->after;
	double value = leat_number_value(num);
	char text[LEAT_NUMBER_MAX];
	size_t len;

	out->step = last_digit(num->scale);
	if (!conversion->same)
		out->step *= fabs(conversion->times / conversion->over);
	if (!scaled) {
		len = leat_conversion_text(conversion, leat_span_of(out->text), text);
		memcpy(out->text, text, len);
		return len;
	}
	value = value * c->row->scale + c->row->offset;
	if (!conversion->same)
		value = leat_conversion_value(conversion, value);
	out->step *= fabs(c->row->scale);
	if (!(fabs(value) < 1e15) || !(out->step > 1e-300))
		return 0;
	return write_scaled(out->text, num, value, out->step, shifted || c->row->offset != 0);
}

/* Which unit a single cell is in: behind the number, else in its own unit cell.  False when it cannot be brought to the
 * unit of the readings: a text that is no unit, and not what the tag's first cell said either, may mean any. */
static bool
cell_conversion(const struct leat_convert *c, const struct leat_sample *s, struct leat_span behind,
    struct leat_conversion *own)
{
	struct leat_span text = behind.len > 0 ? behind : s->unit;
	const struct leat_unit *unit = leat_unit_find(text);

	if (unit == NULL)
		return behind.len == 0 && c->row != NULL && c->row->source_unit != NULL;
	return c->unit != NULL && leat_conversion_init(own, unit, c->unit) == 0;
}

static bool
in_range(const struct leat_point *row, const struct leat_converted *out, size_t len)
{
	double value;

	if (row == NULL || (!row->has_min && !row->has_max))
		return true;
	if (leat_double_parse(leat_span_make(out->text, len), &value) != 0)
		return false;
	return (!row->has_min || value >= row->min) && (!row->has_max || value <= row->max);
}

/* A number that is not simply copied. */
static void
convert_number(const struct leat_convert *c, const struct leat_sample *s, struct leat_span behind,
    struct leat_converted *out, size_t len)
{
	struct leat_conversion own = c->conversion;
	bool scaled = c->row != NULL && c->row->has_scale && behind.len == 0;
	struct leat_number num;

	if (behind.len > 0 || (s->unit.len > 0 && !leat_span_eq(s->unit, leat_span_make(c->said, c->said_len)))) {
		if (!cell_conversion(c, s, behind, &own)) {
			make_bad(out, LEAT_NOTE_TEXT);
			return;
		}
	}
	if (scaled || !own.same) {
		len = leat_number_parse(leat_span_make(out->text, len), &num) == 0 ?
		    write_number(c, &own, scaled, &num, out) : 0;
	}
	if (len == 0) {
		make_bad(out, LEAT_NOTE_TEXT);
		return;
	}
	if (!in_range(c->row, out, len)) {
		make_bad(out, LEAT_NOTE_RANGE);
		return;
	}
	out->value = leat_span_make(out->text, len);
}

/* Does the text say that there is no value?  No state of a plant is named so.  Common practice of historians and
 * spreadsheets; so is a text that has neither a letter nor a digit, as "--". */
static bool
says_nothing(struct leat_span text)
{
	static const char *const word[] = {
		"#div/0!", "#n/a", "#name?", "#null!", "#num!", "#ref!", "#value!", "(null)", "+inf", "-inf", "-infinity",
		"-nan", "bad", "bad input", "bad value", "comm fail", "i/o timeout", "inf", "infinity", "n/a", "nan", "no data",
		"no value", "null"
	};

	for (size_t i = 0; i < sizeof(word) / sizeof(word[0]); i++)
		if (leat_span_is_nocase(text, word[i]))
			return true;
	for (size_t i = 0; i < text.len; i++) {
		unsigned char c = (unsigned char)text.ptr[i];

		if ((c >= '0' && c <= '9') || ((c | 0x20) >= 'a' && (c | 0x20) <= 'z') || c >= 0x80)
			return false;
	}
	return true;
}

/* A text as a state or code. */
static void
take_text(const struct leat_sample *s, struct leat_converted *out)
{
	if (!says_nothing(s->value) && s->value.len <= LEAT_CONVERT_WORD_MAX && leat_field_fault(s->value) == NULL)
		out->value = s->value;
	else
		make_bad(out, LEAT_NOTE_TEXT);
}

static void
convert_quantity(const struct leat_convert *c, const struct leat_export_form *form, const struct leat_sample *s,
    struct leat_converted *out)
{
	struct leat_span behind;
	size_t len;

	switch (leat_export_cell(form, s->value, out->text, &len, &behind)) {
	case LEAT_CELL_TEXT:
		if (c->texts)
			take_text(s, out);
		else if (c->row == NULL || !leat_point_state(c->row, s->value, &out->value))
			make_bad(out, LEAT_NOTE_TEXT);
		return;
	case LEAT_CELL_BELOW:
	case LEAT_CELL_ABOVE:
		make_uncertain(out);
		out->note = LEAT_NOTE_LIMIT;
		break;
	case LEAT_CELL_NUMBER:
		break;
	}
	if (c->copied && behind.len == 0 && (s->unit.len == 0 ||
	    leat_span_eq(s->unit, leat_span_make(c->said, c->said_len))))
		out->value = leat_span_make(out->text, len);
	else
		convert_number(c, s, behind, out, len);
}

/* A whole number in its shortest form, so that "1", "1.0" and "1,00" are one key of a map.  0 when it is none. */
static size_t
whole_number(const struct leat_export_form *form, struct leat_span cell, char *dst)
{
	struct leat_number num;
	struct leat_span unit;
	size_t len;

	if (leat_export_cell(form, cell, dst, &len, &unit) != LEAT_CELL_NUMBER || unit.len > 0 ||
	    leat_number_parse(leat_span_make(dst, len), &num) != 0)
		return 0;
	for (; num.scale > 0; num.scale--) {
		if (num.coefficient % 10 != 0)
			return 0;
		num.coefficient /= 10;
	}
	return leat_number_plain(dst, &num);
}

static bool
usual_word(struct leat_span text, struct leat_span *word)
{
	for (size_t i = 0; i < sizeof(switch_words) / sizeof(switch_words[0]); i++) {
		if (leat_span_is_nocase(text, switch_words[i].text)) {
			*word = switch_words[i].on ? LEAT_SPAN("on") : LEAT_SPAN("off");
			return true;
		}
	}
	return false;
}

static void
convert_word(const struct leat_convert *c, const struct leat_export_form *form, const struct leat_sample *s,
    struct leat_converted *out)
{
	struct leat_span whole;

	if (c->row != NULL && c->row->states.len > 0) {
		if (leat_point_state(c->row, s->value, &out->value))
			return;
		whole = leat_span_make(out->text, whole_number(form, s->value, out->text));
		if (whole.len == 0 || !leat_point_state(c->row, whole, &out->value))
			make_bad(out, LEAT_NOTE_TEXT);
		return;
	}
	if (c->kind == LEAT_KIND_SWITCH) {
		if (usual_word(s->value, &out->value))
			return;
		whole = leat_span_make(out->text, whole_number(form, s->value, out->text));
		if (leat_span_is(whole, "1"))
			out->value = LEAT_SPAN("on");
		else if (leat_span_is(whole, "0"))
			out->value = LEAT_SPAN("off");
		else
			make_bad(out, LEAT_NOTE_TEXT);
		return;
	}
	take_text(s, out);
}

void
leat_convert_sample(const struct leat_convert *c, const struct leat_export_form *form, const struct leat_sample *s,
    enum leat_quality quality, struct leat_converted *out)
{
	out->quality = quality;
	out->note = LEAT_NOTE_NONE;
	out->step = 0;
	if (s->cut || s->guessed)
		make_uncertain(out);
	if (is_worded(c->kind))
		convert_word(c, form, s, out);
	else
		convert_quantity(c, form, s, out);
	if (out->quality == LEAT_BAD)
		out->value = leat_span_make(NULL, 0);
}
