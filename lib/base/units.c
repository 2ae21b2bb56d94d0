/*
 * Units: finding and converting.
 */
#include "base/units.h"

#include <math.h>

#include "base/number.h"
#include "base/units_table.h"

#define TEXT_LIMIT 32		/* no spelling is longer */

/* Up to eight bytes as one number, so that the frequent names cost one switch. */
#define KEY2(a, b) ((uint64_t)(a) | (uint64_t)(b) << 8)
#define KEY4(a, b, c, d) (KEY2(a, b) | KEY2(c, d) << 16)
#define KEY8(a, b, c, d, e, f, g, h) (KEY4(a, b, c, d) | KEY4(e, f, g, h) << 32)

static const struct leat_unit *
find_frequent(struct leat_span name)
{
	enum leat_unit_index unit;
	uint64_t key = 0;
	size_t i;

	/* Else "bar" with a NUL behind it would have the key of "bar". */
	if (name.ptr[name.len - 1] == '\0')
		return NULL;
	for (i = 0; i < name.len; i++)
		key |= (uint64_t)(unsigned char)name.ptr[i] << (8 * i);
	switch (key) {
	case '1':
		unit = U_ONE;
		break;
	case '%':
		unit = U_PERCENT;
		break;
	case 'K':
		unit = U_K;
		break;
	case 'h':
		unit = U_H;
		break;
	case KEY2('m', 'm'):
		unit = U_MM;
		break;
	case KEY2('k', 'W'):
		unit = U_KW;
		break;
	case KEY4('b', 'a', 'r', 0):
		unit = U_BAR;
		break;
	case KEY4('t', '/', 'h', 0):
		unit = U_T_PER_H;
		break;
	case KEY4('d', 'e', 'g', 'C'):
		unit = U_DEGC;
		break;
	case KEY4('m', 'm', '/', 's'):
		unit = U_MM_PER_S;
		break;
	case KEY8('L', '/', 'm', 'i', 'n', 0, 0, 0):
		unit = U_L_PER_MIN;
		break;
	default:
		return NULL;
	}
	return &leat_unit_table[unit];
}

/* As leat_span_cmp, without measuring the spelling first: most differ within two bytes. */
static int
compare(struct leat_span text, const char *spelling)
{
	size_t i;

	for (i = 0; i < text.len; i++) {
		unsigned char a = (unsigned char)text.ptr[i], b = (unsigned char)spelling[i];

		if (a != b || b == 0)
			return a < b ? -1 : 1;
	}
	return spelling[i] == '\0' ? 0 : -1;
}

static const struct leat_unit *
find_spelling(struct leat_span text)
{
	size_t low = 0, high = leat_unit_spelling_count, middle;
	int order;

	while (low < high) {
		middle = low + (high - low) / 2;
		order = compare(text, leat_unit_spellings[middle].text);
		if (order == 0)
			return &leat_unit_table[leat_unit_spellings[middle].unit];
		if (order < 0)
			high = middle;
		else
			low = middle + 1;
	}
	return NULL;
}

/* Signs that people and programs put into units, and what they mean in plain letters. */
static const struct {
	const char *sign, *plain;
} plain_signs[] = {
	{ " ", "" }, { "\t", "" }, { "^", "" }, { "*", "." },
	{ "\302\240", "" },		/* U+00A0 no-break blank */
	{ "\342\200\257", "" },		/* U+202F narrow no-break blank */
	{ "\342\200\211", "" },		/* U+2009 thin blank */
	{ "\302\260", "deg" },		/* U+00B0 degree sign */
	{ "\302\272", "deg" },		/* U+00BA masculine ordinal, typed for it */
	{ "\342\204\203", "degC" },	/* U+2103 */
	{ "\342\204\211", "degF" },	/* U+2109 */
	{ "\342\204\252", "K" },	/* U+212A kelvin sign */
	{ "\302\265", "u" },		/* U+00B5 micro sign */
	{ "\316\274", "u" },		/* U+03BC Greek mu */
	{ "\302\271", "1" },		/* U+00B9 superscripts */
	{ "\302\262", "2" },		/* U+00B2 */
	{ "\302\263", "3" },		/* U+00B3 */
	{ "\342\201\273", "-" },	/* U+207B */
	{ "\302\267", "." },		/* U+00B7 middle dot */
	{ "\342\213\205", "." },	/* U+22C5 dot operator */
	{ "\316\224", "delta" },	/* U+0394 Greek delta */
	{ "\342\210\206", "delta" }	/* U+2206 increment */
};

/* What stands for the sign or byte at the start of text, which is *taken bytes long. */
static struct leat_span
plain_text(struct leat_span text, size_t *taken)
{
	size_t i;

	for (i = 0; i < sizeof(plain_signs) / sizeof(plain_signs[0]); i++) {
		if (plain_signs[i].sign[0] == text.ptr[0] && leat_span_starts(text, plain_signs[i].sign)) {
			*taken = strlen(plain_signs[i].sign);
			return leat_span_of(plain_signs[i].plain);
		}
	}
	*taken = 1;
	return leat_span_make(text.ptr, 1);
}

/* Writes text without blanks and with plain signs into dst of TEXT_LIMIT bytes; an empty span when it does not fit. */
static struct leat_span
clean(struct leat_span text, char *dst)
{
	struct leat_span plain;
	size_t len = 0, taken;

	while (text.len > 0) {
		plain = plain_text(text, &taken);
		if (len + plain.len > TEXT_LIMIT)
			return leat_span_make(dst, 0);
		if (plain.len > 0)
			memcpy(dst + len, plain.ptr, plain.len);
		len += plain.len;
		text = leat_span_make(text.ptr + taken, text.len - taken);
	}
	/* "[bar]" and "(bar)", as a header or a row of units has it. */
	if (len > 2 && ((dst[0] == '[' && dst[len - 1] == ']') || (dst[0] == '(' && dst[len - 1] == ')')))
		return leat_span_make(dst + 1, len - 2);
	return leat_span_make(dst, len);
}

/* Longer marks first, so that "(a)" is not taken for a unit that ends in "(a" and so on. */
static const struct {
	const char *mark;
	bool absolute;
} pressure_marks[] = {
	{ "(gauge)", false }, { "gauge", false }, { "(g)", false }, { "(G)", false }, { "-g", false },
	{ "g", false }, { "G", false },
	{ "(abs.)", true }, { "(abs)", true }, { "abs.", true }, { "abs", true }, { "(a)", true }, { "(A)", true },
	{ "-a", true }, { "a", true }, { "A", true }
};

/* A pressure with a mark of its own: "barg", "kPa(a)", "psi abs". */
static const struct leat_unit *
find_marked(struct leat_span text)
{
	const struct leat_unit *unit;
	char name[TEXT_LIMIT];
	size_t i, len;

	for (i = 0; i < sizeof(pressure_marks) / sizeof(pressure_marks[0]); i++) {
		if (!leat_span_ends(text, pressure_marks[i].mark))
			continue;
		unit = find_spelling(leat_span_make(text.ptr, text.len - strlen(pressure_marks[i].mark)));
		if (unit == NULL || strcmp(unit->dimension, "pressure") != 0)
			continue;
		if (!pressure_marks[i].absolute)
			return unit;
		len = strlen(unit->name);
		memcpy(name, unit->name, len);
		name[len++] = 'a';
		return find_spelling(leat_span_make(name, len));
	}
	return NULL;
}

const struct leat_unit *
leat_unit_find(struct leat_span name)
{
	const struct leat_unit *unit;
	char text[TEXT_LIMIT];

	if (name.len == 0)
		return NULL;
	if (name.len <= 8 && (unit = find_frequent(name)) != NULL)
		return unit;
	if ((unit = find_spelling(name)) != NULL)
		return unit;
	name = clean(name, text);
	if (name.len == 0)
		return NULL;
	if ((unit = find_spelling(name)) != NULL)
		return unit;
	return find_marked(name);
}

bool
leat_unit_unclear(struct leat_span text)
{
	static const char *const spellings[] = {
		"gal", "gals", "gallon", "gallons", "gal/min", "gal/h", "gpm", "gph", "gpd", "ton", "tons", "ton/h", "tons/h",
		"tph", "atm"
	};

	text = leat_span_trim_wide(text);
	for (size_t i = 0; i < sizeof(spellings) / sizeof(spellings[0]); i++)
		if (leat_span_is_nocase(text, spellings[i]))
			return true;
	/* Milli or mega: the case of the first letter alone would tell, and it does not stand as it is usual. */
	return leat_span_is(text, "MBAR") || leat_span_is(text, "mpa") ||
	    leat_span_is_nocase(text, "Nm3/h") || leat_span_is_nocase(text, "Nm3");
}

const struct leat_unit *
leat_unit_at(size_t index)
{
	return index < U_COUNT ? &leat_unit_table[index] : NULL;
}

const char *
leat_unit_spelling(size_t index, const struct leat_unit **unit)
{
	if (index >= leat_unit_spelling_count)
		return NULL;
	*unit = &leat_unit_table[leat_unit_spellings[index].unit];
	return leat_unit_spellings[index].text;
}

bool
leat_unit_same_dimension(const struct leat_unit *a, const struct leat_unit *b)
{
	return a == b || strcmp(a->dimension, b->dimension) == 0;
}

static int64_t
common_factor(int64_t a, int64_t b)
{
	int64_t rest;

	while (b != 0) {
		rest = a % b;
		a = b;
		b = rest;
	}
	return a;
}

int
leat_conversion_init(struct leat_conversion *c, const struct leat_unit *from, const struct leat_unit *to)
{
	int64_t nums, dens;

	memset(c, 0, sizeof(*c));
	c->times = c->over = 1;
	if (!leat_unit_same_dimension(from, to))
		return -1;
	c->same = from == to;
	if (c->same)
		return 0;
	/* (from->num * to->den) / (from->den * to->num), with all that cancels taken out first, so that bar to kPa is
	 * an exact 100 and mbar to bar divides by an exact 1000. */
	nums = common_factor(from->num, to->num);
	dens = common_factor(from->den, to->den);
	c->times = (double)(from->num / nums) * (double)(to->den / dens);
	c->over = (double)(from->den / dens) * (double)(to->num / nums);
	c->before = (double)from->offset_num / (double)from->offset_den;
	c->after = (double)to->offset_num / (double)to->offset_den;
	return 0;
}

double
leat_conversion_value(const struct leat_conversion *c, double value)
{
	return c->same ? value : (value + c->before) * c->times / c->over - c->after;
}

double
leat_unit_convert(const struct leat_unit *from, const struct leat_unit *to, double value)
{
	struct leat_conversion c;

	if (leat_conversion_init(&c, from, to) != 0)
		return NAN;
	return leat_conversion_value(&c, value);
}

size_t
leat_conversion_text(const struct leat_conversion *c, struct leat_span text, char *dst)
{
	struct leat_number num;
	double value;

	if (leat_number_parse(text, &num) != 0)
		return 0;
	if (c->same) {
		if (text.len >= LEAT_NUMBER_MAX)
			return 0;
		memcpy(dst, text.ptr, text.len);
		dst[text.len] = '\0';
		return text.len;
	}
	value = leat_conversion_value(c, leat_number_value(&num));
	if (!(fabs(value) < 1e300))
		return 0;
	if (num.coefficient == 0 || c->before != c->after)
		return leat_number_fixed(dst, value, (num.scale > 0 ? num.scale : 0) + 2);
	return leat_number_significant(dst, value, num.digits < 13 ? num.digits + 2 : 15);
}

size_t
leat_unit_convert_text(const struct leat_unit *from, const struct leat_unit *to, struct leat_span text, char *dst)
{
	struct leat_conversion c;

	if (leat_conversion_init(&c, from, to) != 0)
		return 0;
	return leat_conversion_text(&c, text, dst);
}
