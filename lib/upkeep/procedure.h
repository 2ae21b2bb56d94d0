/*
 * Procedures: how a job is done, as a plain text file of the works, leat-works(5).
 *
 * A heading stands in the first column and ends in a colon, what belongs to it is indented; '- ' begins an item, an empty
 * line ends one, and a line that begins with '#' is a remark.  Within an item
 *
 *	{asset} {mill}			the names of those the card is for
 *	{nameplate:[CHILD:]PROPERTY}	its number from nameplate.csv, {nameplate:PROPERTY 95%} a share of it
 *	[accept: TEXT]			what must be so before the next step
 *	[by: WHO]			who alone may do it
 *	[log: EVENT]			the entry of the logbook that is due, with what is to be filled in:
 *	{[found|left] POINT [UNIT]}	a measurement, {item} a serial number, {note} words
 *	[each: NAME ...]		assets below that of the card, each with an entry; a..b counts: accu-1..6
 *
 * Every blank is checked by the rules of the logbook itself: what a card asks for can be logged.
 */
#ifndef LEAT_UPKEEP_PROCEDURE_H
#define LEAT_UPKEEP_PROCEDURE_H

#include "upkeep/logbook.h"

enum leat_procedure_section {
	LEAT_PROCEDURE_PURPOSE, LEAT_PROCEDURE_STATE, LEAT_PROCEDURE_ISOLATIONS, LEAT_PROCEDURE_CAUTIONS,
	LEAT_PROCEDURE_TOOLS, LEAT_PROCEDURE_PARTS, LEAT_PROCEDURE_STEPS, LEAT_PROCEDURE_AFTER, LEAT_PROCEDURE_CONFIRMED,
	LEAT_PROCEDURE_SECTIONS
};

enum leat_piece_kind { LEAT_PIECE_TEXT, LEAT_PIECE_ASSET, LEAT_PIECE_MILL, LEAT_PIECE_NAMEPLATE };

struct leat_piece {
	enum leat_piece_kind kind;
	struct leat_span text;		/* the words; of a nameplate piece the property */
	struct leat_span child;		/* of a nameplate piece: a name below the asset or its mill; may be empty */
	double share;			/* of a nameplate piece: what it is multiplied by */
};

struct leat_pieces {
	struct leat_piece *piece;
	size_t count, cap;
};

enum leat_blank_kind { LEAT_BLANK_POINT, LEAT_BLANK_ITEM, LEAT_BLANK_NOTE };

struct leat_blank {
	enum leat_blank_kind kind;
	struct leat_span point;
	const struct leat_unit *unit;	/* NULL: words */
	bool found, left;		/* which of the two is to be filled in */
};

struct leat_procedure_item {
	long line;
	struct leat_pieces words, accept;	/* accept: none where the item has no limit */
	struct leat_span by, each;
	const struct leat_event *event;		/* NULL: nothing is logged */
	struct leat_blank *blank;
	size_t blanks, blank_cap;
};

struct leat_procedure_items {
	struct leat_procedure_item *item;
	size_t count, cap;
};

/* Spans point into text; blanks and line ends between words may be several. */
struct leat_procedure {
	struct leat_procedure_items section[LEAT_PROCEDURE_SECTIONS];
	struct leat_buf text;
};

/* Is told every fault of a file, with its line. */
struct leat_procedure_faults {
	void (*fault)(void *user, const struct leat_error *err);
	void *user;
};

/* Reads the file; points are the works' own, for blanks (may be NULL).  0, or -1: it cannot be read or has faults, each of
 * which was told. */
int leat_procedure_read(struct leat_procedure *p, const char *path, const struct leat_points *points,
    const struct leat_procedure_faults *faults) LEAT_MUST_USE;
/* The same of bytes in memory; name is for messages. */
int leat_procedure_text(struct leat_procedure *p, const char *name, struct leat_span text, const struct leat_points *points,
    const struct leat_procedure_faults *faults) LEAT_MUST_USE;
void leat_procedure_free(struct leat_procedure *p);

/* The next keyword of the section Cautions; *rest begins as that of the item.  false at its end. */
bool leat_procedure_word(struct leat_span *rest, struct leat_span *word);

/* Names of an [each: ...]: dst, of size bytes, gets them one after another.  1, 0 at the end, -1 for a count that is none,
 * runs backwards or over 99, and for a name that does not fit.  Zero the struct and set rest. */
struct leat_each {
	struct leat_span rest, before, behind;
	long now, last;			/* now > last: the next word is due */
	bool counting;
};
int leat_each_next(struct leat_each *each, char *dst, size_t size) LEAT_MUST_USE;

/* The entry of the logbook that a blank is for; blank NULL: one without a measurement.  What a person fills in is left
 * empty.  asset is borrowed. */
struct leat_log_entry leat_procedure_entry(const struct leat_procedure_item *item, const struct leat_blank *blank,
    struct leat_span asset);

/* Has the item a blank of that kind? */
bool leat_procedure_asks(const struct leat_procedure_item *item, enum leat_blank_kind kind);

#endif
