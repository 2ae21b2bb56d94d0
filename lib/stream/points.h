/*
 * Points: what the names of leat-points(7) mean, and points.csv, which ties foreign tags to them.
 */
#ifndef LEAT_STREAM_POINTS_H
#define LEAT_STREAM_POINTS_H

#include "stream/table.h"

enum leat_kind {
	LEAT_KIND_ANALOGUE,	/* a measured quantity: straight line between samples */
	LEAT_KIND_STEP,		/* a number that holds until changed: set point, counter */
	LEAT_KIND_SWITCH,	/* on / off */
	LEAT_KIND_WORD		/* state or code */
};

/* One point name of leat-points(7). */
struct leat_point_info {
	const char *name;
	const char *unit;	/* in which readings carry it; "" for words */
	enum leat_kind kind;
	double hold_s;		/* how long a value stays valid by default, seconds; 0: until changed (heartbeat) */
	const char *meaning;	/* for leat-points(7) */
};

/* NULL when the name is not in leat-points(7).  A roll-up suffix (.mean, .min ...) is looked through. */
const struct leat_point_info *leat_point_find(struct leat_span name);
const struct leat_point_info *leat_point_at(size_t index);	/* NULL past the end */

/* Is it a name of leat-points(7) that a filter computes from other readings, or a statistic rolled up over a period? */
bool leat_point_derived(struct leat_span name);

/* One row of points.csv. */
struct leat_point {
	struct leat_span tag, asset, point;	/* tag may be empty: a point promised under its own name */
	const struct leat_unit *unit;		/* of the readings; NULL for words */
	const struct leat_unit *source_unit;	/* of the export; NULL: as unit */
	bool has_scale;				/* value * scale + offset, in the source unit, before conversion */
	double scale, offset;
	bool has_min, has_max;			/* instrument range in unit; outside is bad */
	double min, max;
	struct leat_span states;		/* "Running=on|Stopped=off" */
	double hold_s;				/* < 0: the point's default */
	long line;
};

struct leat_points {
	struct leat_table *table;	/* owns the spans; NULL when there is no points.csv */
	struct leat_point *row;
	size_t count, cap;
	struct leat_names tags;		/* tag -> number; by_tag[number] -> row index */
	size_t *by_tag;
	size_t by_tag_cap;
};

/* Reads points.csv at path.  An absent file gives an empty table (0; *absent set).  Twice the same tag, or twice the
 * same asset and point without tag, is a fault.  0, or -1 with err. */
int leat_points_read(struct leat_points *points, const char *path, bool *absent, struct leat_error *err) LEAT_MUST_USE;
/* The same from a table that was read by this form (NULL: none).  Taken over when it succeeds; else still the caller's. */
extern const struct leat_table_form leat_points_form;
int leat_points_make(struct leat_points *points, struct leat_table *table, struct leat_error *err) LEAT_MUST_USE;
const struct leat_point *leat_points_tag(const struct leat_points *points, struct leat_span tag);
/* The row without tag of which this is asset/point, as sheets of rounds have it for a tag; NULL when there is none. */
const struct leat_point *leat_points_named(const struct leat_points *points, struct leat_span name);
const struct leat_point *leat_points_series(const struct leat_points *points, struct leat_span asset, struct leat_span point);

/* Hold in seconds of a series: points.csv, else the point's default, else 15 min.  0: until changed. */
double leat_points_hold(const struct leat_points *points, struct leat_span asset, struct leat_span point);

/* The word that the row's states map gives for a foreign text (compared without case); false when it is not in it. */
bool leat_point_state(const struct leat_point *row, struct leat_span text, struct leat_span *word);
void leat_points_free(struct leat_points *points);

/* The mill of an asset: the path up to its first '/'. */
struct leat_span leat_asset_mill(struct leat_span asset);
/* The parent of an asset; false when it has none. */
bool leat_asset_parent(struct leat_span asset, struct leat_span *parent);
/* Is a the same as b, or does it lie below it? */
bool leat_asset_within(struct leat_span a, struct leat_span b);
/* Is one of the two the other, or does it lie below it?  Everything lies below an empty one. */
bool leat_asset_kin(struct leat_span a, struct leat_span b);

#endif
