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

/* For what runs once a row, where the compiler would rather save space. */
#if defined(__GNUC__)
#define LEAT_INLINE inline __attribute__((always_inline))
#define LEAT_APART __attribute__((noinline))
#else
#define LEAT_INLINE inline
#define LEAT_APART
#endif

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

/* The same of the four bytes at p. */
static inline uint64_t
leat_word_half(const char *p)
{
	uint32_t half;

	memcpy(&half, p, sizeof(half));
#if __BYTE_ORDER__ == __ORDER_BIG_ENDIAN__
	half = __builtin_bswap32(half);
#endif
	return half;
}

/* The len bytes at p, 1 to 8, with zeros above them; no byte behind them is read. */
static inline uint64_t
leat_word_short(const char *p, size_t len)
{
	const unsigned char *u = (const unsigned char *)p;

	/* Both ends; where they overlap they have the same bytes. */
	if (len >= sizeof(uint32_t))
		return leat_word_half(p) | leat_word_half(p + len - sizeof(uint32_t)) << (8 * (len - sizeof(uint32_t)));
	return u[0] | (uint64_t)u[len / 2] << (8 * (len / 2)) | (uint64_t)u[len - 1] << (8 * (len - 1));
}

/* Writes the eight bytes of a word at p. */
static inline void
leat_word_store(char *p, uint64_t word)
{
#if __BYTE_ORDER__ == __ORDER_BIG_ENDIAN__
	word = __builtin_bswap64(word);
#endif
	memcpy(p, &word, sizeof(word));
}

/* memcpy(to, from, len) without a call, for texts of some ten bytes. */
static inline void
leat_word_copy(char *to, const char *from, size_t len)
{
	uint64_t word;
	uint32_t half;
	size_t i;

	if (len >= sizeof(word)) {
		for (i = 0; i + sizeof(word) < len; i += sizeof(word)) {
			memcpy(&word, from + i, sizeof(word));
			memcpy(to + i, &word, sizeof(word));
		}
		/* The last word overlaps the one before it where the length is no multiple. */
		memcpy(&word, from + len - sizeof(word), sizeof(word));
		memcpy(to + len - sizeof(word), &word, sizeof(word));
	} else if (len >= sizeof(half)) {
		uint32_t last;

		memcpy(&half, from, sizeof(half));
		memcpy(&last, from + len - sizeof(last), sizeof(last));
		memcpy(to, &half, sizeof(half));
		memcpy(to + len - sizeof(last), &last, sizeof(last));
	} else {
		for (i = 0; i < len; i++)
			to[i] = from[i];
	}
}

/* What the lowest count bytes, 1 to 8, are as digits, moved to the top, with zeros below them: no digit is above 9. */
static inline uint64_t
leat_word_digits(uint64_t word, size_t count)
{
	return (word ^ LEAT_WORD_ONES * '0') << (64 - 8 * count);
}

/* Are they digits indeed? */
static inline bool
leat_word_are_digits(uint64_t digits)
{
	/* What is 10 and more gets its top bit by the sum; a carry comes only from a byte that had it before. */
	return ((digits | (digits + LEAT_WORD_ONES * (0x7F - 9))) & LEAT_WORD_TOPS) == 0;
}

/* The number that they are, the first of them the highest: pairs are put together, then fours, then all. */
static inline uint32_t
leat_word_number(uint64_t digits)
{
	digits = digits * 10 + (digits >> 8);
	return (uint32_t)(((digits & UINT64_C(0x000000FF000000FF)) * UINT64_C(0x000F424000000064) +
	    (digits >> 16 & UINT64_C(0x000000FF000000FF)) * UINT64_C(0x0000271000000001)) >> 32);
}

/* Marks bytes below limit (1..128). */
static inline uint64_t
leat_word_below(uint64_t word, unsigned char limit)
{
	return (word - LEAT_WORD_ONES * limit) & ~word & LEAT_WORD_TOPS;
}

/* Marks all bytes equal to c and no others. */
static inline uint64_t
leat_word_all_equal(uint64_t word, char c)
{
	word ^= LEAT_WORD_ONES * (unsigned char)c;
	return ~(((word & ~LEAT_WORD_TOPS) + ~LEAT_WORD_TOPS) | word | ~LEAT_WORD_TOPS);
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

/* The word without the first byte that is marked: what stands behind it moves down over it.  marks must not be 0. */
static inline uint64_t
leat_word_cut(uint64_t word, uint64_t marks)
{
	uint64_t below = ((marks & -marks) >> 7) - 1;

	return (word & below) | (word >> 8 & ~below);
}

/* Is one of the bytes before the first of marks, which must not be 0, marked in others? */
static inline bool
leat_word_before(uint64_t others, uint64_t marks)
{
	return (others & (marks - 1) & ~marks) != 0;
}

/* 0 when the eight bytes at a and at b are the same. */
static inline uint64_t
leat_word_differ(const char *a, const char *b)
{
	return leat_word_load(a) ^ leat_word_load(b);
}

/* memcmp(a, b, len) == 0 without a call. */
static inline bool
leat_word_same(const char *a, const char *b, size_t len)
{
	if (len < sizeof(uint64_t))
		return memcmp(a, b, len) == 0;
	/* The words at the end overlap those before them, or one another, where the length is no multiple. */
	if (len <= 16)
		return (leat_word_differ(a, b) | leat_word_differ(a + len - 8, b + len - 8)) == 0;
	for (; len > 32; a += 16, b += 16, len -= 16) {
		if ((leat_word_differ(a, b) | leat_word_differ(a + 8, b + 8)) != 0)
			return false;
	}
	return (leat_word_differ(a, b) | leat_word_differ(a + 8, b + 8) | leat_word_differ(a + len - 16, b + len - 16) |
	    leat_word_differ(a + len - 8, b + len - 8)) == 0;
}

#endif
