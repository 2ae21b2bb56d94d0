/*
 * Eight bytes at a time: lib/base/word.h, held to the same work done byte by byte and to the C library.
 *
 * Texts lie at the end of their memory, so that the sanitizers see a read or a write past it.
 */
#include "unit.h"

#include <ctype.h>

#include "base/word.h"
#include "random.h"

#define ROUNDS 200000

static const char bytes_of_interest[] = "0123456789.,;-+ /:\"\n\x80\xff\x7f\xb0";

static char
random_byte(uint64_t *seed)
{
	if (random_below(seed, 8) == 0)
		return (char)random_below(seed, 256);
	return random_below(seed, 2) == 0 ? (char)('0' + random_below(seed, 10)) :
	    bytes_of_interest[random_below(seed, sizeof(bytes_of_interest) - 1)];
}

/* Fills the last len bytes of a block of its own. */
static char *
random_text(uint64_t *seed, size_t len)
{
	char *text = malloc(len > 0 ? len : 1);

	assert_non_null(text);
	for (size_t i = 0; i < len; i++)
		text[i] = random_byte(seed);
	return text;
}

static void
short_words(void **state)
{
	uint64_t seed = 1;

	(void)state;
	for (int round = 0; round < ROUNDS; round++) {
		size_t len = 1 + random_below(&seed, 8), digits = 0;
		char *text = random_text(&seed, len), padded[9] = "";
		uint64_t word = leat_word_short(text, len);

		for (size_t i = 0; i < 8; i++)
			assert_int_equal(word >> (8 * i) & 0xFF, i < len ? (unsigned char)text[i] : 0);
		memcpy(padded, text, len);
		assert_true(leat_word_load(padded) == word);
		leat_word_store(padded, word);
		assert_memory_equal(padded, text, len);
		for (size_t i = 0; i < len; i++)
			digits += isdigit((unsigned char)text[i]) != 0;
		assert_int_equal(leat_word_are_digits(leat_word_digits(word, len)), digits == len);
		if (digits == len)
			assert_int_equal(leat_word_number(leat_word_digits(word, len)), strtoul(padded, NULL, 10));
		free(text);
	}
}

static void
marks(void **state)
{
	uint64_t seed = 2;

	(void)state;
	for (int round = 0; round < ROUNDS; round++) {
		char *text = random_text(&seed, 8), c = random_byte(&seed), rest[8] = "";
		const char *first = memchr(text, c, 8);
		uint64_t word = leat_word_load(text), all = leat_word_all_equal(word, c);
		unsigned limit = 1 + random_below(&seed, 128);
		size_t below = 0;

		for (size_t i = 0; i < 8; i++)
			assert_int_equal(all >> (8 * i) & 0xFF, text[i] == c ? 0x80 : 0);
		assert_int_equal(leat_word_equal(word, c) != 0, first != NULL);
		if (first != NULL) {
			size_t at = (size_t)(first - text);

			assert_int_equal(leat_word_first(leat_word_equal(word, c)), at);
			memcpy(rest, text, at);
			memcpy(rest + at, text + at + 1, 7 - at);
			assert_true(leat_word_cut(word, leat_word_equal(word, c)) == leat_word_load(rest));
		}
		while (below < 8 && (unsigned char)text[below] >= limit)
			below++;
		assert_int_equal(leat_word_below(word, (unsigned char)limit) != 0, below < 8);
		if (below < 8)
			assert_int_equal(leat_word_first(leat_word_below(word, (unsigned char)limit)), below);
		free(text);
	}
}

static void
texts_of_any_length(void **state)
{
	uint64_t seed = 3;

	(void)state;
	for (int round = 0; round < ROUNDS; round++) {
		size_t len = random_below(&seed, 80);
		char *text = random_text(&seed, len), *copy = malloc(len + 1);

		assert_non_null(copy);
		copy[len] = '~';
		leat_word_copy(copy, text, len);
		assert_memory_equal(copy, text, len);
		assert_int_equal(copy[len], '~');
		copy = realloc(copy, len > 0 ? len : 1);
		assert_non_null(copy);
		assert_true(leat_word_same(text, copy, len));
		if (len > 0) {
			copy[random_below(&seed, (unsigned)len)] ^= (char)(1 << random_below(&seed, 7));
			assert_false(leat_word_same(text, copy, len));
		}
		free(text);
		free(copy);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(short_words),
		cmocka_unit_test(marks),
		cmocka_unit_test(texts_of_any_length)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
