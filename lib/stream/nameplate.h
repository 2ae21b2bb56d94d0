/*
 * nameplate.csv: properties of the works, mills and their parts, each from a date on, with shipped defaults.
 */
#ifndef LEAT_STREAM_NAMEPLATE_H
#define LEAT_STREAM_NAMEPLATE_H

#include "stream/table.h"

/* One property of leat-nameplate(7). */
struct leat_property {
	const char *name;
	const char *unit;	/* in which values are handed out; "" for words */
	const char *fallback;	/* shipped default in that unit, or NULL when none makes sense */
	const char *belongs;	/* "works", "mill", "pump", ... */
	const char *meaning;	/* for leat-nameplate(7), with the authority of the default */
};

const struct leat_property *leat_property_find(struct leat_span name);
const struct leat_property *leat_property_at(size_t index);

struct leat_nameplate;

/* Reads nameplate.csv (an absent file gives the defaults alone; *absent set).  Local dates are read in the zone that the
 * table itself names.  An unknown property, a wrong dimension, two rows with one asset, property and date are faults.
 * NULL with err. */
struct leat_nameplate *leat_nameplate_read(const char *path, bool *absent, struct leat_error *err);
/* The same from a table that was read by this form (NULL: none).  Taken over when it succeeds; else still the caller's. */
extern const struct leat_table_form leat_nameplate_form;
struct leat_nameplate *leat_nameplate_make(struct leat_table *table, struct leat_error *err);
void leat_nameplate_free(struct leat_nameplate *np);

/* The zone of the works (UTC when the table has none); borrowed. */
const struct leat_zone *leat_nameplate_zone(const struct leat_nameplate *np);
/* Does a row give that zone?  Stamps of foreign exports are not read in a zone that nobody named. */
bool leat_nameplate_zone_given(const struct leat_nameplate *np);

/* The value that holds at time for the asset, else for its nearest parent, else for the works, else the shipped default;
 * in the property's unit.  0, or -1 when there is none or it is a word. */
int leat_nameplate_number(const struct leat_nameplate *np, struct leat_span asset, const char *property,
    struct leat_time time, double *out) LEAT_MUST_USE;
/* The same as text; an empty span when there is none. */
struct leat_span leat_nameplate_word(const struct leat_nameplate *np, struct leat_span asset, const char *property,
    struct leat_time time);

/* The asset of a row; false past the last.  The same asset may come again. */
bool leat_nameplate_asset(const struct leat_nameplate *np, size_t row, struct leat_span *asset);

/* Does any row give the property to the asset, to a parent of it, to the works, or to anything below it? */
bool leat_nameplate_below(const struct leat_nameplate *np, struct leat_span asset, struct leat_span property);

/* The first date after time from which any row holds: until then all answers stay.  LEAT_TIME_NONE when none follows. */
struct leat_time leat_nameplate_next(const struct leat_nameplate *np, struct leat_time time);

#endif
