/*
 * Fuzzing the reading and writing of RFC 3339 against timegm and gmtime_r of the C library: a text of that form is taken
 * exactly when the library's calendar has its date and clock, and both name the same second.
 */
#define _DEFAULT_SOURCE		/* timegm */

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/instant.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);
size_t fuzz_make(uint64_t *state, uint8_t *bytes);

#define TEXT_MAX 48

static void
require(bool holds)
{
	if (!holds)
		abort();
}

/* Does the text begin with the form, in which 0 stands for any digit? */
static bool
begins(const char *text, const char *form)
{
	for (; *form != '\0'; text++, form++) {
		if (*form == '0' ? *text < '0' || *text > '9' : *text != *form)
			return false;
	}
	return true;
}

static int
number(const char *text, int count)
{
	int value = 0;

	for (; count > 0; count--)
		value = value * 10 + (*text++ - '0');
	return value;
}

/* The seconds of a text without a leap second; false where it is no time. */
static bool
model(char *text, int64_t *sec, int *nsec)
{
	struct tm tm, back;
	char *rest = text + 19;
	int offset = 0, unit = 100000000;
	time_t t;

	if (text[10] == 't' || text[10] == ' ')
		text[10] = 'T';
	if (!begins(text, "0000-00-00T00:00:00"))
		return false;
	memset(&tm, 0, sizeof(tm));
	tm.tm_year = number(text, 4) - 1900;
	tm.tm_mon = number(text + 5, 2) - 1;
	tm.tm_mday = number(text + 8, 2);
	tm.tm_hour = number(text + 11, 2);
	tm.tm_min = number(text + 14, 2);
	tm.tm_sec = number(text + 17, 2);
	back = tm;
	t = timegm(&back);
	/* What the calendar had to set right is no date or clock. */
	if (back.tm_year != tm.tm_year || back.tm_mon != tm.tm_mon || back.tm_mday != tm.tm_mday || back.tm_hour != tm.tm_hour ||
	    back.tm_min != tm.tm_min || back.tm_sec != tm.tm_sec || tm.tm_year < 1 - 1900)
		return false;
	*nsec = 0;
	if (*rest == '.') {
		if (!begins(++rest, "0"))
			return false;
		for (; begins(rest, "0"); rest++, unit /= 10) {
			if (unit == 0)
				return false;
			*nsec += (*rest - '0') * unit;
		}
	}
	if (begins(rest, "+00:00") || begins(rest, "-00:00")) {
		if (rest[6] != '\0' || number(rest + 1, 2) > 23 || number(rest + 4, 2) > 59)
			return false;
		offset = (number(rest + 1, 2) * 60 + number(rest + 4, 2)) * (*rest == '-' ? -60 : 60);
	} else if (strcmp(rest, "Z") != 0 && strcmp(rest, "z") != 0) {
		return false;
	}
	*sec = (int64_t)t - offset;
	return *sec >= INT64_C(-62135596800) && *sec <= INT64_C(253402300799);
}

static void
check_written(struct leat_time t)
{
	char ours[LEAT_TIME_MAX], theirs[LEAT_TIME_MAX + 40];
	time_t sec = (time_t)t.sec;
	struct tm tm;
	size_t len = leat_time_write(ours, t);

	require(gmtime_r(&sec, &tm) != NULL);
	snprintf(theirs, sizeof(theirs), "%04d-%02d-%02dT%02d:%02d:%02d.%09d", tm.tm_year + 1900, tm.tm_mon + 1, tm.tm_mday,
	    tm.tm_hour, tm.tm_min, tm.tm_sec, (int)t.nsec);
	for (len = strlen(theirs); theirs[len - 1] == '0'; len--)
		theirs[len - 1] = '\0';
	if (theirs[len - 1] == '.')
		theirs[--len] = '\0';
	strcpy(theirs + len, "Z");
	require(strcmp(ours, theirs) == 0);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	char text[TEXT_MAX + 1];
	struct leat_time t;
	int64_t sec;
	bool taken;
	int nsec;

	if (size > TEXT_MAX || memchr(data, '\0', size) != NULL)
		return 0;
	memset(text, '\0', sizeof(text));
	memcpy(text, data, size);
	/* The library has no leap seconds. */
	if (size >= 19 && memcmp(text + 17, "60", 2) == 0)
		return 0;
	taken = leat_time_parse(leat_span_make((const char *)data, size), &t) == 0;
	require(taken == model(text, &sec, &nsec));
	if (taken) {
		require(t.sec == sec && t.nsec == nsec);
		check_written(t);
	}
	return 0;
}

/* Mostly a time, now and then one that the calendar does not have, or with something odd in it. */
size_t
fuzz_make(uint64_t *state, uint8_t *bytes)
{
	static const char odd[16] = "0019-::TtzZ .+-\x80";
	uint64_t a, b;
	size_t len;

	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	a = *state >> 4;
	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	b = *state >> 4;
	memcpy(bytes, "0000-00-00T00:00:00", 19);
	for (size_t i = 0; i < 4; i++)
		bytes[i] = (uint8_t)('0' + (a >> 4 * i & 15) % 10);
	/* Months to 12, days to 32, hours to 24, minutes and seconds to 63. */
	bytes[5] = (uint8_t)('0' + (a >> 16 & 15) % 13 / 10);
	bytes[6] = (uint8_t)('0' + (a >> 16 & 15) % 13 % 10);
	bytes[8] = (uint8_t)('0' + (a >> 20 & 63) % 33 / 10);
	bytes[9] = (uint8_t)('0' + (a >> 20 & 63) % 33 % 10);
	bytes[11] = (uint8_t)('0' + (a >> 26 & 31) % 25 / 10);
	bytes[12] = (uint8_t)('0' + (a >> 26 & 31) % 25 % 10);
	bytes[14] = (uint8_t)('0' + (a >> 31 & 63) % 61 / 10);
	bytes[15] = (uint8_t)('0' + (a >> 31 & 63) % 61 % 10);
	bytes[17] = (uint8_t)('0' + (a >> 37 & 63) % 60 / 10);
	bytes[18] = (uint8_t)('0' + (a >> 37 & 63) % 60 % 10);
	len = 19;
	if ((b & 3) == 0) {
		bytes[len++] = '.';
		for (uint64_t i = (b >> 2 & 15) % 11; i > 0; i--)
			bytes[len++] = (uint8_t)('0' + (b >> 3 * i & 15) % 10);
	}
	if ((b >> 36 & 3) != 0)
		bytes[len++] = 'Z';
	else
		len += (size_t)sprintf((char *)bytes + len, "%c%02d:%02d", b >> 38 & 1 ? '+' : '-', (int)((b >> 39 & 31) % 25),
		    (int)((b >> 44 & 63) % 61));
	if ((b >> 50 & 3) == 0)
		bytes[(b >> 52) % len] = (uint8_t)odd[b >> 32 & 15];
	return len;
}
