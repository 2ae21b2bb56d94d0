/*
 * Pictures: readings over time as SVG 1.1, one panel a series, one time axis for all.
 *
 * Panels are fed one reading at a time, in order of time.  Of each column of pixels the first, the last, the lowest and the
 * highest reading are kept (M4 aggregation: Jugel, Jerzak, Hackenbroich and Markl, VLDB 2014), so that no peak is hidden and
 * memory is per series: the columns are doubled in width whenever the period outgrows them.
 *
 *	p = leat_picture_new(&form);
 *	panel = leat_picture_panel(p, &series);		each series once
 *	leat_picture_put(p, panel, &reading);		each reading
 *	leat_picture_line(), _fan(), _event(), _state()	before or after the readings, in any order
 *	leat_picture_write(p, out);
 *
 * Nothing is told by colour alone: limits differ by dash, weight and label, uncertain readings are dotted, states have
 * heights.  The same calls give the same bytes.  Texts are UTF-8 of anybody: what XML cannot hold becomes '?'.  There are no
 * ids, styles, scripts or references in the output, so that any number of pictures can stand within one HTML page.
 */
#ifndef LEAT_TELL_PICTURE_H
#define LEAT_TELL_PICTURE_H

#include "base/zone.h"
#include "stream/finding.h"
#include "stream/limits.h"
#include "stream/points.h"
#include "stream/reading.h"
#include "stream/trends.h"
#include "upkeep/logbook.h"

/* Set zone; the rest may be zero, but for the times: LEAT_TIME_NONE where they are not known. */
struct leat_picture_form {
	const struct leat_zone *zone;	/* of the works; borrowed */
	struct leat_time from, to;	/* the time axis; LEAT_TIME_NONE: the first and the last reading.  Readings outside are
					 * left out; fans may carry the axis on beyond to */
	struct leat_time now;		/* where fans begin and what holds is drawn to; LEAT_TIME_NONE: the last reading */
	double thinned_s;		/* the readings were thinned (stream/thin.h) by periods of so many seconds: what lies so
					 * close is no gap; 0: they were not */
	unsigned width, height;		/* pixels of the whole, within LEAT_PICTURE_SIDE_; 0: what suits */
	struct leat_span title;		/* of the whole; may be empty.  Copied */
	bool spark;			/* small, without axes: the curve, the last value and the range */
	bool within;			/* to stand within an HTML page: without the XML declaration */
	bool sort;			/* panels in order of mill, asset and point, not of first sight */
	size_t most;			/* panels at most; 0: LEAT_PICTURE_MOST */
};

#define LEAT_PICTURE_SIDE_LEAST 40u
#define LEAT_PICTURE_SIDE_MOST 20000u
#define LEAT_PICTURE_MOST 24u

/* One panel.  Its spans are copied. */
struct leat_picture_series {
	struct leat_span asset, point;
	enum leat_kind kind;		/* analogue: straight lines; step: level until the next; switch and word: lanes */
	const struct leat_unit *unit;	/* NULL: that of its first reading that is a number */
	double hold_s;			/* longer without a reading is a gap; 0: it holds until changed, and only
					 * leat_picture_break makes gaps */
};

struct leat_picture;

/* NULL when memory is out.  Free with leat_picture_free. */
struct leat_picture *leat_picture_new(const struct leat_picture_form *form);
void leat_picture_free(struct leat_picture *p);

/* A new panel.  LEAT_PICTURE_FULL when there are as many as may be: then the series is left out and counted.
 * LEAT_PICTURE_FAILED when memory is out. */
uint32_t leat_picture_panel(struct leat_picture *p, const struct leat_picture_series *series);
#define LEAT_PICTURE_FULL (UINT32_MAX - 1)
#define LEAT_PICTURE_FAILED UINT32_MAX

/* The same with kind and hold as leat-points(7) and points.csv (NULL: none) have them. */
uint32_t leat_picture_panel_of(struct leat_picture *p, struct leat_span asset, struct leat_span point,
    const struct leat_points *points);

/* What became of a reading. */
enum leat_picture_taken {
	LEAT_PICTURE_OUT_OF_MEMORY = -1,
	LEAT_PICTURE_TAKEN,
	LEAT_PICTURE_OUTSIDE,		/* of from..to */
	LEAT_PICTURE_BAD,		/* not drawn: it ends the line */
	LEAT_PICTURE_NO_NUMBER,		/* a text where numbers are drawn, such as a cleanliness code */
	LEAT_PICTURE_UNIT		/* of another dimension than the panel's */
};

/* Takes a reading; its unit is converted to that of the panel. */
enum leat_picture_taken leat_picture_put(struct leat_picture *p, uint32_t panel, const struct leat_reading *r);
/* The same of a number in the panel's unit. */
enum leat_picture_taken leat_picture_number(struct leat_picture *p, uint32_t panel, struct leat_time time, double value,
    enum leat_quality quality);

/* From that time to the next reading nothing is known of the panel: the mill was silent. */
void leat_picture_break(struct leat_picture *p, uint32_t panel, struct leat_time time);

/* The state of a mill, drawn as a strip below the panels of that mill; r is a reading of its point `state`.  0, or -1 when
 * memory is out. */
int leat_picture_state(struct leat_picture *p, const struct leat_reading *r) LEAT_MUST_USE;

enum leat_picture_line {
	LEAT_PICTURE_BASELINE,
	LEAT_PICTURE_ALERT,
	LEAT_PICTURE_ALARM
};

/* A level line in the panel's unit (unit NULL) or another of its dimension, which is converted; one of another dimension, or
 * that is there already, is not drawn.  0, or -1 when memory is out. */
int leat_picture_level(struct leat_picture *p, uint32_t panel, enum leat_picture_line line, double value,
    const struct leat_unit *unit) LEAT_MUST_USE;

/* A forecast: from the level now to the limit at three dates.  early and likely may be LEAT_TIME_NONE: late alone is the
 * latest date there can be. */
struct leat_picture_fan {
	double level, limit;		/* in the panel's unit; level NaN: the last reading */
	struct leat_time early, likely, late;	/* P10, P50, P90 */
};
void leat_picture_forecast(struct leat_picture *p, uint32_t panel, const struct leat_picture_fan *fan);

/* A mark in the panels of the asset; a heavy one also in those of what is below it and of what it belongs to, and they get
 * their labels first.  The texts are copied.  0, or -1 when memory is out. */
int leat_picture_event(struct leat_picture *p, struct leat_span asset, struct leat_time time, struct leat_span label,
    bool heavy) LEAT_MUST_USE;
/* The same of an entry of the logbook, in words: heavy where something was done to the machine, light where something was
 * read, topped up or noted.  Curves of what it renews (upkeep/renewal.h) begin anew there. */
int leat_picture_entry(struct leat_picture *p, const struct leat_log_entry *e) LEAT_MUST_USE;
/* Events that were left out: those given first, where there are more than a picture takes. */
size_t leat_picture_events_lost(const struct leat_picture *p);

/* Limits of limits.csv and the shipped ones that rule the panels.  0, or -1 when memory is out. */
int leat_picture_limits(struct leat_picture *p, const struct leat_limits *limits) LEAT_MUST_USE;

/* Baselines, limits and forecasts of findings about the panels that are open at now; trends (NULL: none) say which limit a
 * forecast is of.  0, or -1 when memory is out. */
int leat_picture_findings(struct leat_picture *p, const struct leat_findings *findings, const struct leat_trends *trends)
    LEAT_MUST_USE;

/* Writes the picture; nothing may be put to it afterwards.  0, or -1 when memory is out; what out cannot write it keeps
 * itself. */
int leat_picture_write(struct leat_picture *p, struct leat_out *out) LEAT_MUST_USE;

/* Writes it again, as wide as that or narrower than it was made, for screens of another width. */
int leat_picture_write_wide(struct leat_picture *p, unsigned width, struct leat_out *out) LEAT_MUST_USE;

#endif
