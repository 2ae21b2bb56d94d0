/*
 * Private to rows.c: cutting one record into fields.
 *
 * rows.c finds where a record ends and tests that it is well-formed; here it is only split: a plain record, without a
 * quote, directly, and every other by libcsv.  Both give equal fields for every record; fuzz_split.c holds them to it.
 */
#ifndef LEAT_STREAM_SPLITTER_H
#define LEAT_STREAM_SPLITTER_H

#include "base/error.h"
#include "base/span.h"

/* A whole record without its line end. */
struct leat_record {
	struct leat_span bytes;
	bool quoted;		/* holds a quote */
	bool blanks;		/* holds a blank or TAB */
};

/* Fields of the last record; they point into its bytes where these are plain, else into memory of the splitter. */
struct leat_fields {
	struct leat_span *field;	/* owned by the splitter */
	size_t count;			/* may be more than LEAT_FIELD_LIMIT: then only so many are stored */
};

enum leat_split {
	LEAT_SPLIT_DONE,
	LEAT_SPLIT_BAD,		/* no record after RFC 4180 */
	LEAT_SPLIT_MEMORY
};

struct leat_splitter;

/* direct: plain records are split directly; else libcsv splits all.  NULL when memory is out. */
struct leat_splitter *leat_splitter_new(char separator, bool direct);
enum leat_split leat_splitter_split(struct leat_splitter *splitter, const struct leat_record *record,
    struct leat_fields *fields);
void leat_splitter_free(struct leat_splitter *splitter);

#endif
