/*
 * Eight bytes of text at a time, held in one number with the first byte lowest, whatever the machine's own order.
 *
 * The tests below give a number in which the top bit of a byte is set where the byte has what is asked for.  Only the
 * lowest set bit, that of the first such byte, is to be relied on: a borrow may set bits above it.
 */
#ifndef LEAT_BASE_WORD_H
#define LEAT_BASE_WORD_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#define LEAT_WORD_ONES UINT64_C(0x0101010101010101)
#define LEAT_WORD_TOPS UINT64_C(0x8080808080808080)

/* The eight bytes at p, which need not be aligned. */
static inline uint64_t
leat_word_load(const char *p)
{
	uint64_t word;

	memcpy(&word, p, sizeof(word));
#if __BYTE_ORDER__ == __ORDER_BIG_ENDIAN__
	word = __builtin_bswap64(word);
#endif
	return word;
}

/* Marks bytes below limit (1..128). */
static inline uint64_t
leat_word_below(uint64_t word, unsigned char limit)
{
	return (word - LEAT_WORD_ONES * limit) & ~word & LEAT_WORD_TOPS;
}

/* Marks bytes equal to c. */
static inline uint64_t
leat_word_equal(uint64_t word, char c)
{
	return leat_word_below(word ^ LEAT_WORD_ONES * (unsigned char)c, 1);
}

/* Which byte is the first that is marked; marks must not be 0. */
static inline size_t
leat_word_first(uint64_t marks)
{
	return (size_t)__builtin_ctzll(marks) / 8;
}

/* Is one of the bytes before the first of marks, which must not be 0, marked in others? */
static inline bool
leat_word_before(uint64_t others, uint64_t marks)
{
	return (others & (marks - 1) & ~marks) != 0;
}

/* memcmp(a, b, len) == 0 without a call. */
static inline bool
leat_word_same(const char *a, const char *b, size_t len)
{
	uint32_t first[2], last[2];
	size_t i;

	if (len < sizeof(uint64_t)) {
		if (len < sizeof(uint32_t))
			return memcmp(a, b, len) == 0;
		memcpy(&first[0], a, sizeof(uint32_t));
		memcpy(&first[1], b, sizeof(uint32_t));
		memcpy(&last[0], a + len - sizeof(uint32_t), sizeof(uint32_t));
		memcpy(&last[1], b + len - sizeof(uint32_t), sizeof(uint32_t));
		return first[0] == first[1] && last[0] == last[1];
	}
	for (i = 0; i + sizeof(uint64_t) < len; i += sizeof(uint64_t)) {
		if (leat_word_load(a + i) != leat_word_load(b + i))
			return false;
	}
	/* The last word overlaps the one before it where the length is no multiple. */
	return leat_word_load(a + len - sizeof(uint64_t)) == leat_word_load(b + len - sizeof(uint64_t));
}

#endif
