/*
 * Text spans: a pointer and a length into somebody else's bytes.  A span owns nothing and need not end in NUL; whoever
 * hands one out says how long it stays valid.
 */
#ifndef LEAT_BASE_SPAN_H
#define LEAT_BASE_SPAN_H

#include <stdbool.h>
#include <stddef.h>
#include <string.h>

struct leat_span {
	const char *ptr;	/* may be NULL when len is 0 */
	size_t len;		/* bytes */
};

/* A span over a string literal. */
#define LEAT_SPAN(lit) ((struct leat_span){ (lit), sizeof(lit) - 1 })

static inline struct leat_span
leat_span_make(const char *ptr, size_t len)
{
	return (struct leat_span){ ptr, len };
}

/* A span over a C string; NULL gives the empty span. */
static inline struct leat_span
leat_span_of(const char *s)
{
	return (struct leat_span){ s, s != NULL ? strlen(s) : 0 };
}

static inline bool
leat_span_eq(struct leat_span a, struct leat_span b)
{
	return a.len == b.len && (a.len == 0 || memcmp(a.ptr, b.ptr, a.len) == 0);
}

/* Equal to a C string, byte for byte. */
static inline bool
leat_span_is(struct leat_span a, const char *s)
{
	return leat_span_eq(a, leat_span_of(s));
}

/* Equal when ASCII letters are compared without case; other bytes compare as they are. */
bool leat_span_is_nocase(struct leat_span a, const char *s);

/* Byte order; a prefix sorts before the longer text.  Less than, equal to or greater than 0. */
int leat_span_cmp(struct leat_span a, struct leat_span b);

bool leat_span_starts(struct leat_span a, const char *prefix);
bool leat_span_ends(struct leat_span a, const char *suffix);

/* The index of the first byte c, or a.len when there is none. */
size_t leat_span_find(struct leat_span a, char c);

/* Without leading and trailing blanks and tabs. */
struct leat_span leat_span_trim(struct leat_span a);

/* As leat_span_trim, and no-break blanks too (U+00A0, U+202F, U+2009 in UTF-8). */
struct leat_span leat_span_trim_wide(struct leat_span a);

/* Takes the text before the first sep off *rest and returns it; *rest is what follows the separator.  Returns false
 * when *rest was exhausted (rest->ptr == NULL): "a,,b," gives a, "", b, "" and then false. */
bool leat_span_next(struct leat_span *rest, char sep, struct leat_span *token);

/* The next of words that blanks or any of the bytes in marks separate, taken off *rest; false when there is none. */
bool leat_span_word(struct leat_span *rest, const char *marks, struct leat_span *word);

/* Shell-like pattern: '*' any text including '/', '?' one byte, all else itself. */
bool leat_glob(struct leat_span pattern, struct leat_span text);

/* How specific a pattern is, for row precedence: bytes that are not wildcards, and above all others no wildcard. */
int leat_glob_weight(struct leat_span pattern);

/* Well-formed UTF-8 without NUL (RFC 3629: no overlong form, no surrogate, nothing over U+10FFFF). */
bool leat_utf8_valid(struct leat_span a);

/* Would the one well-formed character that a holds disturb a terminal, a log or the text around it?  Controls C0, DEL and C1
 * (U+0080..U+009F), line and paragraph separators, marks and overrides of the writing direction (Unicode Standard Annex #9),
 * which let a text read otherwise than it is written, and U+FFFE and U+FFFF, which are no characters. */
bool leat_utf8_disturbs(struct leat_span a);

/* Copies text for a message into dst of size bytes: what disturbs and malformed UTF-8 become '?', a text that does not
 * fit ends in "...".  Always ends in NUL.  Returns dst. */
char *leat_mask(char *dst, size_t size, struct leat_span a);

/* FNV-1a hash of the bytes, continued from seed (0 to start). */
unsigned long leat_span_hash(struct leat_span a, unsigned long seed);

#endif
