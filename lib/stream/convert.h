/*
 * One sample of an export made one value of a reading: state words, detection limits, scale and offset, units, the
 * instrument's range.
 *
 *	a number where one is due	as written; scaled and converted when points.csv says so
 *	<5 or >24			the value, uncertain
 *	text where a number is due	no value, bad
 *	a number out of the range	no value, bad
 *	text of a switch or word	what the states map of points.csv says; without a map the usual words of a
 *					switch (on off true false 1 0 running stopped), and any text for a word
 *	a text that is in no map	no value, bad
 *	text of a tag without a row	as it is, where the first cell of the tag was text too: no number is due
 *	a cell that may be cut		uncertain, as is one whose time is a guess
 *
 * A bad reading carries no value, whatever the export had there.
 */
#ifndef LEAT_STREAM_CONVERT_H
#define LEAT_STREAM_CONVERT_H

#include "base/number.h"
#include "base/units.h"
#include "stream/export.h"
#include "stream/points.h"
#include "stream/reading.h"

#define LEAT_CONVERT_WORD_MAX 128	/* bytes of a state or code; a longer text is none */
#define LEAT_CONVERT_UNIT_MAX 32

/* What is known of one tag of one export; prepared once. */
struct leat_convert {
	const struct leat_point *row;		/* borrowed; NULL: the tag passes under its own name */
	enum leat_kind kind;
	const struct leat_unit *unit;		/* of the readings; NULL: none */
	const struct leat_unit *from;		/* of the export's plain numbers; NULL: as unit */
	struct leat_conversion conversion;	/* from -> unit */
	char said[LEAT_CONVERT_UNIT_MAX];	/* the unit as the export writes it */
	size_t said_len;
	bool texts;				/* without a row, and the first cell was text: a state */
	bool copied;				/* plain numbers stay as they are: no scale, conversion or range */
};

enum leat_convert_status {
	LEAT_CONVERT_STOP = -1,		/* units of different dimensions: err says which */
	LEAT_CONVERT_READY = 0,
	LEAT_CONVERT_CONTRADICTED = 1	/* the export names another unit than points.csv, which is taken: err */
};

/* Prepares from the row of points.csv (or NULL) and the first sample of the tag: its unit, in the export's header or
 * behind the number, is the unit of the export where points.csv has no source_unit. */
enum leat_convert_status leat_convert_prepare(struct leat_convert *convert, const struct leat_point *row,
    const struct leat_export_form *form, const struct leat_sample *first, struct leat_error *err) LEAT_MUST_USE;

enum leat_convert_note {
	LEAT_NOTE_NONE,
	LEAT_NOTE_LIMIT,	/* beyond a detection limit */
	LEAT_NOTE_TEXT,		/* a text that means nothing here: to be counted and told */
	LEAT_NOTE_RANGE		/* outside the instrument's range */
};

struct leat_converted {
	struct leat_span value;		/* borrowed: of text, of the sample, or of points.csv; empty when bad */
	enum leat_quality quality;
	enum leat_convert_note note;
	double step;			/* a scaled or converted number: the precision of its source, in the unit
					 * of the reading; 0: the value's own last digit */
	char text[LEAT_NUMBER_MAX];
};

/* Converts one sample whose quality cell was read as quality. */
void leat_convert_sample(const struct leat_convert *convert, const struct leat_export_form *form,
    const struct leat_sample *sample, enum leat_quality quality, struct leat_converted *out);

#endif
