/*
 * The set of forms of a text is found by a short cut; here it is compared with reading the text under each of them.
 */
#include "unit.h"

#include <string.h>

#include "base/foreign.h"
#include "random.h"

#define ROUNDS 300000

static const char *const seeds[] = {
	"2025-02-03T04:05:06Z", "2025/02/03 04:05", "2025.02.03 4:05:06,789", "20250203T040506", "20250203040506",
	"03/02/2025 4:05 PM", "3.2.25 04:05:06", "Mon 03/02/2025 12:00 a.m.", "03-Feb-2025 04:05", "Feb 3, 2025",
	"3 February 2025 24:00:00", "1738555506", "1738555506.25", "1738555506250", "45691.1702083", "45691", "101.7",
	"04:05:06.789", "12:05 AM", "-101,7", "<5", "1 234,5", "NM.PGR", "Good", "0x40", "12.5 bar", ("\xc2\xa0" "04:05"),
	"Monday, 3 February 2025", "2025-02-03 04:05+0100", "1.234.567", "20250203", "00:00", "1e5", "61", "73050.5"
};

static const char letters[] = "0123456789012345678901234567890123456789.,:-/ T ZAPMaepm+<";

static unsigned
one_by_one(struct leat_span text)
{
	struct leat_foreign ignored;
	unsigned set = 0;

	for (unsigned bit = LEAT_FORM_ISO; bit <= LEAT_FORM_CLOCK; bit <<= 1)
		if (leat_foreign_parse(text, (enum leat_form)bit, &ignored) == 0)
			set |= bit;
	return set;
}

/* Changes, takes out or puts in a byte. */
static size_t
mutate(uint64_t *seed, char *text, size_t len)
{
	size_t at = len > 0 ? random_below(seed, (unsigned)len) : 0;
	char byte = letters[random_below(seed, sizeof(letters) - 1)];

	switch (random_below(seed, 3)) {
	case 0:
		if (len > 0)
			text[at] = byte;
		return len;
	case 1:
		if (len == 0)
			return 0;
		memmove(text + at, text + at + 1, len - at - 1);
		return len - 1;
	default:
		memmove(text + at + 1, text + at, len - at);
		text[at] = byte;
		return len + 1;
	}
}

static void
short_cut_loses_nothing(void **state)
{
	uint64_t seed = 20250203;
	char text[64];
	size_t len;
	unsigned times = 0;

	(void)state;
	for (long i = 0; i < ROUNDS; i++) {
		const char *from = seeds[random_below(&seed, sizeof(seeds) / sizeof(seeds[0]))];

		len = strlen(from);
		memcpy(text, from, len);
		for (unsigned n = random_below(&seed, 4); n > 0; n--)
			len = mutate(&seed, text, len);
		times += leat_foreign_forms(leat_span_make(text, len)) != 0;
		if (leat_foreign_forms(leat_span_make(text, len)) != one_by_one(leat_span_make(text, len)))
			fail_msg("'%.*s': %u, one by one %u", (int)len, text,
			    leat_foreign_forms(leat_span_make(text, len)), one_by_one(leat_span_make(text, len)));
	}
	/* The texts are near enough to times for the comparison to mean something. */
	assert_true(times > ROUNDS / 5);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(short_cut_loses_nothing),
	};

	return cmocka_run_group_tests_name("foreign_forms", tests, NULL, NULL);
}
