/*
 * Quality as exports write it, read as good, uncertain or bad.
 *
 * Three kinds are known:
 *
 *	words	Good, Bad, Uncertain, Questionable, Substituted, Manual ... and symbolic codes that begin with one of
 *		these words (BadNotConnected, "Good, non-specific")
 *	opc	OPC Data Access quality: 0..63 bad, 64..127 uncertain, 192..255 good; 128..191 is reserved, taken as
 *		bad.  Of a number up to 65535 the low byte counts, the high one is the vendor's.
 *	ua	OPC UA status codes: the two highest of 32 bits are the severity, 00 good, 01 uncertain, 10 bad; 11 is
 *		reserved and taken as bad.  Decimal or 0x hexadecimal.
 *
 * Which kind a file uses must be known before its numbers can be read: 0 is bad in one kind and good in another.
 *
 * Sources: OPC Data Access, quality flags (QQSSSSLL and the vendor's byte; from memory); OPC UA part 4, 7.39
 * StatusCode and part 8, annex on the mapping of the older codes (from memory); the words are common practice.
 */
#ifndef LEAT_STREAM_QUALITY_WORDS_H
#define LEAT_STREAM_QUALITY_WORDS_H

#include "base/error.h"
#include "stream/reading.h"

enum leat_quality_kind {
	LEAT_QUALITY_UNDECIDED,
	LEAT_QUALITY_WORDS,
	LEAT_QUALITY_OPC,
	LEAT_QUALITY_UA
};

/* "words", "opc", "ua"; find gives LEAT_QUALITY_UNDECIDED for any other text. */
const char *leat_quality_kind_name(enum leat_quality_kind kind);
enum leat_quality_kind leat_quality_kind_find(struct leat_span word);

/* What the quality cells of a file speak for; zero it before the first cell. */
struct leat_quality_evidence {
	long long words;	/* known words */
	long long classic;	/* numbers 1..255 */
	long long status;	/* numbers over 65535, or written in hexadecimal */
	long long zero;		/* 0 alone: bad in one kind, good in the other */
	long long other;	/* anything else */
};

/* Takes one cell in; empty cells say nothing. */
void leat_quality_note(struct leat_quality_evidence *evidence, struct leat_span text);

/* The kind that most cells speak for; LEAT_QUALITY_WORDS when there is no evidence at all.  LEAT_QUALITY_UNDECIDED
 * with err when nothing but zeros, or as many numbers of one kind as of the other, leave it open. */
enum leat_quality_kind leat_quality_decide(const struct leat_quality_evidence *evidence, struct leat_error *err);

/* Reads one cell (outer blanks ignored; an empty cell is good).  A text that the kind does not know is uncertain, and
 * *known becomes false. */
enum leat_quality leat_quality_read(enum leat_quality_kind kind, struct leat_span text, bool *known);

#endif
