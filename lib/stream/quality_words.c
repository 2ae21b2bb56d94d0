/*
 * Quality as exports write it.
 */
#include "stream/quality_words.h"

#include "base/number.h"

static const char *const kind_name[] = { "", "words", "opc", "ua" };

const char *
leat_quality_kind_name(enum leat_quality_kind kind)
{
	return kind_name[kind];
}

enum leat_quality_kind
leat_quality_kind_find(struct leat_span word)
{
	for (int i = LEAT_QUALITY_WORDS; i <= LEAT_QUALITY_UA; i++) {
		if (leat_span_is_nocase(word, kind_name[i]))
			return (enum leat_quality_kind)i;
	}
	return LEAT_QUALITY_UNDECIDED;
}

/* A substituted or hand-made value was not measured at that moment: it is never part of a baseline, so it is
 * uncertain.  Common practice. */
static const struct {
	const char *word;
	enum leat_quality quality;
} words[] = {
	{ "bad", LEAT_BAD },
	{ "comm fail", LEAT_BAD },
	{ "disconnected", LEAT_BAD },
	{ "error", LEAT_BAD },
	{ "estimated", LEAT_UNCERTAIN },
	{ "fail", LEAT_BAD },
	{ "failed", LEAT_BAD },
	{ "fault", LEAT_BAD },
	{ "good", LEAT_GOOD },
	{ "interpolated", LEAT_UNCERTAIN },
	{ "invalid", LEAT_BAD },
	{ "manual", LEAT_UNCERTAIN },
	{ "no data", LEAT_BAD },
	{ "normal", LEAT_GOOD },
	{ "not connected", LEAT_BAD },
	{ "ok", LEAT_GOOD },
	{ "out of service", LEAT_BAD },
	{ "questionable", LEAT_UNCERTAIN },
	{ "stale", LEAT_UNCERTAIN },
	{ "substituted", LEAT_UNCERTAIN },
	{ "suspect", LEAT_UNCERTAIN },
	{ "timeout", LEAT_BAD },
	{ "uncertain", LEAT_UNCERTAIN },
	{ "valid", LEAT_GOOD },
};

static bool
is_upper(char c)
{
	return c >= 'A' && c <= 'Z';
}

static bool
is_lower(char c)
{
	return c >= 'a' && c <= 'z';
}

/* Does the text begin with word and then with something else than the rest of a longer word: "BadNotConnected",
 * "GOOD (192)", "Good, non-specific", but not "badly"? */
static bool
begins_with(struct leat_span text, const char *word)
{
	size_t len = strlen(word);

	if (text.len <= len || !leat_span_is_nocase(leat_span_make(text.ptr, len), word))
		return false;
	if (is_upper(text.ptr[len]))
		return is_lower(text.ptr[len - 1]);
	return !is_lower(text.ptr[len]) && (unsigned char)text.ptr[len] < 0x80;
}

static int
read_word(struct leat_span text)
{
	for (size_t i = 0; i < sizeof(words) / sizeof(words[0]); i++) {
		if (leat_span_is_nocase(text, words[i].word))
			return words[i].quality;
	}
	if (begins_with(text, "bad"))
		return LEAT_BAD;
	if (begins_with(text, "good"))
		return LEAT_GOOD;
	if (begins_with(text, "uncertain"))
		return LEAT_UNCERTAIN;
	return -1;
}

static int
hex_digit(char c)
{
	if (c >= '0' && c <= '9')
		return c - '0';
	if (c >= 'a' && c <= 'f')
		return c - 'a' + 10;
	if (c >= 'A' && c <= 'F')
		return c - 'A' + 10;
	return -1;
}

/* A whole number of at most 32 bits, decimal ("192", "192.0" as spreadsheets write it) or 0x hexadecimal; -1 when it
 * is neither.  Decimal negative numbers are the same bits in a signed column. */
static int64_t
read_code(struct leat_span text, bool *hexadecimal)
{
	struct leat_number num;
	int64_t code = 0;

	*hexadecimal = text.len > 2 && text.ptr[0] == '0' && (text.ptr[1] == 'x' || text.ptr[1] == 'X');
	if (*hexadecimal) {
		if (text.len > 10)
			return -1;
		for (size_t i = 2; i < text.len; i++) {
			int digit = hex_digit(text.ptr[i]);

			if (digit < 0)
				return -1;
			code = code * 16 + digit;
		}
		return code;
	}
	if (leat_number_parse(text, &num) != 0 || num.scale < 0)
		return -1;
	for (; num.scale > 0; num.scale--) {
		if (num.coefficient % 10 != 0)
			return -1;
		num.coefficient /= 10;
	}
	if (num.coefficient < INT32_MIN || num.coefficient > UINT32_MAX)
		return -1;
	return num.coefficient & UINT32_MAX;
}

static enum leat_quality
read_classic(int64_t code)
{
	switch (code >> 6 & 3) {
	case 1:
		return LEAT_UNCERTAIN;
	case 3:
		return LEAT_GOOD;
	default:
		return LEAT_BAD;
	}
}

static enum leat_quality
read_status(int64_t code)
{
	switch (code >> 30 & 3) {
	case 0:
		return LEAT_GOOD;
	case 1:
		return LEAT_UNCERTAIN;
	default:
		return LEAT_BAD;
	}
}

void
leat_quality_note(struct leat_quality_evidence *evidence, struct leat_span text)
{
	bool hexadecimal;
	int64_t code;

	text = leat_span_trim_wide(text);
	if (text.len == 0)
		return;
	code = read_code(text, &hexadecimal);
	if (code < 0)
		(*(read_word(text) >= 0 ? &evidence->words : &evidence->other))++;
	else if (hexadecimal || code > UINT16_MAX)
		evidence->status++;
	else if (code == 0)
		evidence->zero++;
	else if (code <= UINT8_MAX)
		evidence->classic++;
	else
		evidence->other++;
}

enum leat_quality_kind
leat_quality_decide(const struct leat_quality_evidence *evidence, struct leat_error *err)
{
	long long words_seen = evidence->words, classic = evidence->classic, status = evidence->status;

	if (words_seen > 0 && words_seen >= classic + status + evidence->zero)
		return LEAT_QUALITY_WORDS;
	if (classic > status)
		return LEAT_QUALITY_OPC;
	if (status > classic)
		return LEAT_QUALITY_UA;
	if (classic + evidence->zero == 0)
		return LEAT_QUALITY_WORDS;
	if (classic == 0)
		leat_error_set(err, "every quality is 0, which is bad as an OPC number and good as an OPC UA status: "
		    "give --quality opc or --quality ua");
	else
		leat_error_set(err, "the qualities are OPC numbers as often as OPC UA status codes: give --quality "
		    "opc or --quality ua");
	return LEAT_QUALITY_UNDECIDED;
}

enum leat_quality
leat_quality_read(enum leat_quality_kind kind, struct leat_span text, bool *known)
{
	bool hexadecimal;
	int quality = -1;
	int64_t code;

	/* The two qualities that nearly every row has. */
	*known = true;
	if (text.len == 0 || (kind == LEAT_QUALITY_WORDS && leat_span_is(text, "Good")))
		return LEAT_GOOD;
	text = leat_span_trim_wide(text);
	if (text.len == 0)
		return LEAT_GOOD;
	if (kind == LEAT_QUALITY_WORDS) {
		quality = read_word(text);
	} else {
		code = read_code(text, &hexadecimal);
		if (code >= 0 && kind == LEAT_QUALITY_UA)
			quality = read_status(code);
		else if (code >= 0 && kind == LEAT_QUALITY_OPC && code <= UINT16_MAX)
			quality = read_classic(code);
	}
	*known = quality >= 0;
	return *known ? (enum leat_quality)quality : LEAT_UNCERTAIN;
}
