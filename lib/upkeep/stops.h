/*
 * stops.csv: when mills stand or stood, planned or not; parts.csv: what is in stock.
 */
#ifndef LEAT_UPKEEP_STOPS_H
#define LEAT_UPKEEP_STOPS_H

#include "stream/table.h"

struct leat_stop {
	struct leat_time start, end;
	struct leat_span asset;		/* a mill or a pattern of mills; empty: all */
	struct leat_span kind;		/* "planned" where the table says nothing */
	long line;
};

struct leat_stops {
	struct leat_stop *row;		/* by start */
	size_t count, cap;
	struct leat_table *table;
};

/* Times without offset are local to zone.  A stop that ends before it starts is refused.  0, or -1 with err. */
int leat_stops_read(struct leat_stops *stops, const char *path, const struct leat_zone *zone, bool *absent,
    struct leat_error *err) LEAT_MUST_USE;
/* The same from a table that was read by this form (NULL: none).  Taken over when it succeeds; else still the caller's. */
extern const struct leat_table_form leat_stops_form;
int leat_stops_make(struct leat_stops *stops, struct leat_table *table, const struct leat_zone *zone,
    struct leat_error *err) LEAT_MUST_USE;
void leat_stops_free(struct leat_stops *stops);

/* Is it a stop of the mill that is planned? */
bool leat_stop_planned(const struct leat_stop *stop, struct leat_span mill);

struct leat_part {
	struct leat_span part, title;
	bool has_stock, has_lead;
	double stock;
	struct leat_duration lead;	/* months too: by the calendar */
	double price;			/* 0: not given */
	long line;
};

struct leat_parts {
	struct leat_part *row;
	size_t count, cap;
	struct leat_table *table;
};

int leat_parts_read(struct leat_parts *parts, const char *path, bool *absent, struct leat_error *err) LEAT_MUST_USE;
extern const struct leat_table_form leat_parts_form;
int leat_parts_make(struct leat_parts *parts, struct leat_table *table, struct leat_error *err) LEAT_MUST_USE;
void leat_parts_free(struct leat_parts *parts);

/* The row of that name; NULL when there is none. */
const struct leat_part *leat_parts_find(const struct leat_parts *parts, struct leat_span name);

#endif
