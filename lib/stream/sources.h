/*
 * sources.csv: pins for each kind of export, by file name.
 */
#ifndef LEAT_STREAM_SOURCES_H
#define LEAT_STREAM_SOURCES_H

#include "base/foreign.h"
#include "stream/input.h"
#include "stream/table.h"

enum leat_shape { LEAT_SHAPE_AUTO, LEAT_SHAPE_WIDE, LEAT_SHAPE_LONG, LEAT_SHAPE_PAIRED };

/* One row.  What is empty in the table is found from evidence. */
struct leat_source {
	struct leat_span source;	/* name */
	struct leat_span files;		/* glob over the file's name, with or without its folder */
	enum leat_shape shape;
	char separator;			/* 0: found; the table says ',' ';' '|' or the words comma semicolon tab pipe */
	char decimal;			/* '.' or ','; 0: found; words point, comma */
	enum leat_form dates;		/* 0: found */
	struct leat_zone *zone;		/* owned; NULL: of the works */
	enum leat_encoding encoding;	/* LEAT_ENCODING_AUTO: found */
	struct leat_span quality;	/* "words", "opc", "ua", or "" : found; "uncertain" marks all its rows uncertain */
	bool prefer_last;		/* of differing readings the later one is taken */
	long line;
};

struct leat_sources {
	struct leat_source *row;
	size_t count, cap;
	struct leat_table *table;
};

int leat_sources_read(struct leat_sources *sources, const char *path, bool *absent, struct leat_error *err) LEAT_MUST_USE;
/* The same from a table that was read by this form (NULL: none).  Taken over when it succeeds; else still the caller's. */
extern const struct leat_table_form leat_sources_form;
int leat_sources_make(struct leat_sources *sources, struct leat_table *table, struct leat_error *err) LEAT_MUST_USE;
/* The first row whose glob matches the path or its last part, or NULL. */
const struct leat_source *leat_sources_for(const struct leat_sources *sources, const char *path);
/* The byte that a word of the table, or the byte itself, stands for; 0 when it is none of them. */
char leat_separator_find(struct leat_span word);
char leat_decimal_find(struct leat_span word);
const char *leat_shape_name(enum leat_shape shape);
int leat_shape_find(struct leat_span word);	/* -1 when unknown */
void leat_sources_free(struct leat_sources *sources);

#endif
