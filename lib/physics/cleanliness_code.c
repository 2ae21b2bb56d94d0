/* The code of ISO 4406 as text: written, read, and recognised where a spreadsheet took it for a date. */
#include "physics/cleanliness.h"

#define DATE "a date: a spreadsheet has turned a code such as 12/10/08 into it; type the code again, as text"

static bool
is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static size_t
write_number(char *dst, int number)
{
	size_t len = 0;

	if (number >= 10)
		dst[len++] = (char)('0' + number / 10);
	dst[len++] = (char)('0' + number % 10);
	return len;
}

static size_t
write_place(char *dst, int number, bool few)
{
	size_t len = 0;

	if (number < 0) {
		*dst = number == LEAT_ISO4406_TOO_MANY ? '*' : '-';
		return 1;
	}
	if (number > LEAT_ISO4406_LAST) {
		dst[len++] = '>';
		number = LEAT_ISO4406_LAST;
	} else if (few) {
		dst[len++] = '>';
		dst[len++] = '=';
	}
	return len + write_number(dst + len, number);
}

size_t
leat_iso4406_write(char *dst, const struct leat_iso4406 *code)
{
	size_t len = 0;

	for (int i = 0; i < LEAT_ISO4406_PLACES; i++) {
		if (i > 0)
			dst[len++] = '/';
		len += write_place(dst + len, code->number[i], code->few[i]);
	}
	dst[len] = '\0';
	return len;
}

/* One place.  0, or -1. */
static int
read_place(struct leat_span text, int *number, bool *few)
{
	bool over = false;

	text = leat_span_trim(text);
	*few = false;
	if (leat_span_is(text, "-") || leat_span_is(text, "*")) {
		*number = *text.ptr == '*' ? LEAT_ISO4406_TOO_MANY : LEAT_ISO4406_NOT_COUNTED;
		return 0;
	}
	if (leat_span_starts(text, ">=")) {
		*few = true;
		text = leat_span_trim(leat_span_make(text.ptr + 2, text.len - 2));
	} else if (leat_span_starts(text, ">")) {
		over = true;
		text = leat_span_trim(leat_span_make(text.ptr + 1, text.len - 1));
	}
	if (text.len < 1 || text.len > 2 || !is_digit(text.ptr[0]) || !is_digit(text.ptr[text.len - 1]))
		return -1;
	*number = text.len == 2 ? (text.ptr[0] - '0') * 10 + text.ptr[1] - '0' : text.ptr[0] - '0';
	if (*number > LEAT_ISO4406_LAST || (over && *number != LEAT_ISO4406_LAST))
		return -1;
	*number += over;
	return 0;
}

/* Reads 1 to 4 digits or a word of letters off the front: the length of the number, -1 for a word, 0 for neither. */
static int
date_part(struct leat_span *text, int *number)
{
	size_t len = 0;

	*number = 0;
	while (len < text->len && is_digit(text->ptr[len])) {
		if (len < 4)
			*number = *number * 10 + text->ptr[len] - '0';
		len++;
	}
	if (len == 0) {
		/* Bytes of other letters, as in an accented name of a month, belong to it. */
		while (len < text->len && ((unsigned char)text->ptr[len] >= 0x80 ||
		    ((text->ptr[len] | 0x20) >= 'a' && (text->ptr[len] | 0x20) <= 'z')))
			len++;
		*text = leat_span_make(text->ptr + len, text->len - len);
		return len >= 3 && len <= 12 ? -1 : 0;
	}
	*text = leat_span_make(text->ptr + len, text->len - len);
	return len <= 4 ? (int)len : 0;
}

/* Drops the marks between two parts of a date: "." "/" "-" " " ". " and so on.  False where there is none. */
static bool
date_mark(struct leat_span *text)
{
	size_t len = 0;

	while (len < text->len && len < 2 && strchr("./- ", text->ptr[len]) != NULL)
		len++;
	*text = leat_span_make(text->ptr + len, text->len - len);
	return len > 0;
}

/* Days since 1900 of the years 1954 to 2119, as spreadsheets show a date in a cell of numbers. */
static bool
is_serial(struct leat_span text)
{
	struct leat_span rest = text;
	size_t point = leat_span_find(text, '.');

	if (point == text.len)
		point = leat_span_find(text, ',');
	rest.len = point;
	if (rest.len != 5 || rest.ptr[0] < '2' || rest.ptr[0] > '7')
		return false;
	for (size_t i = 0; i < text.len; i++)
		if (i != point && !is_digit(text.ptr[i]))
			return false;
	return true;
}

/* Could it be the day or month of a date, or its year in two or four digits? */
static bool
date_number(int length, int number)
{
	return length == 4 ? number >= 1900 && number <= 2119 : length == 1 || length == 2;
}

bool
leat_iso4406_date(struct leat_span text)
{
	int length[3] = { 0 }, number[3] = { 0 }, parts = 0, words = 0;
	struct leat_span rest = text = leat_span_trim(text);
	bool month = false;

	if (is_serial(text))
		return true;
	while (parts < 3) {
		length[parts] = date_part(&rest, &number[parts]);
		if (length[parts] == 0 || (length[parts] > 0 && !date_number(length[parts], number[parts])))
			return false;
		words += length[parts] < 0;
		month = month || length[parts] < 0 || (length[parts] < 3 && number[parts] >= 1 && number[parts] <= 12);
		parts++;
		if (rest.len == 0 || *rest.ptr == 'T' || !date_mark(&rest))
			break;
	}
	/* A time of day may follow.  Of three numbers of two digits at most, only slashes make a code. */
	if (rest.len > 0 && !is_digit(*rest.ptr) && *rest.ptr != 'T')
		return false;
	if (!month || words > 1 || parts < 2 || (parts == 2 && words == 0))
		return false;
	return words == 1 || length[0] == 4 || length[2] == 4 || rest.len > 0 || leat_span_find(text, '/') == text.len;
}

int
leat_iso4406_parse(struct leat_span text, struct leat_iso4406 *code, const char **why)
{
	struct leat_span rest = leat_span_trim(text), place;
	int places = 0, numbers = 0;

	while (places < LEAT_ISO4406_PLACES && leat_span_next(&rest, '/', &place)) {
		if (read_place(place, &code->number[places], &code->few[places]) != 0)
			goto bad;
		numbers += code->number[places] != LEAT_ISO4406_NOT_COUNTED;
		places++;
	}
	if (rest.ptr != NULL || places < 2 || numbers == 0)
		goto bad;
	if (places == 2) {
		for (int i = 2; i > 0; i--) {
			code->number[i] = code->number[i - 1];
			code->few[i] = code->few[i - 1];
		}
		code->number[0] = LEAT_ISO4406_NOT_COUNTED;
		code->few[0] = false;
	}
	return 0;
bad:
	*why = leat_iso4406_date(text) ? DATE : "not a cleanliness code such as 18/16/13";
	return -1;
}
