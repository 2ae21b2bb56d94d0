/* Shared by the files of the pictures. */
#ifndef LEAT_TELL_PICTURE_PRIVATE_H
#define LEAT_TELL_PICTURE_PRIVATE_H

#include "tell/picture.h"

/* Times inside are seconds since 1970 as a double, which holds them to less than a microsecond. */
#define PICTURE_WORDS 12u		/* distinct words of a series that are drawn */
#define PICTURE_EVENTS 4096u
#define PICTURE_LEVELS 12u		/* level lines of a panel */

/* Black on white in print: each text has a contrast of 4.5 and more, each line that says something 3 and more, by the formula
 * of the Web Content Accessibility Guidelines 2.1 (1.4.3 and 1.4.11).  The grid and the ground of gaps only help. */
#define INK "#1a1a1a"
#define SOFT "#555555"
#define CURVE "#12467f"
#define ALARM "#8f1414"
#define ALERT "#7a4a00"
#define GRID "#dcdcdc"
#define GROUND "#e8e8e8"
#define STRIP "#767676"
#define FAN "#cfdcea"

struct picture_dot {
	double t, v;
	bool uncertain;
};

/* What falls into one column. */
struct picture_bin {
	bool used;
	bool broken;			/* nothing is known between the dot before and its first */
	double until;			/* where what is known after its last dot ends; INFINITY: with the next dot */
	struct picture_dot first, last, low, high;
	uint32_t words;			/* bits of the words met */
};

/* The columns of a series.  A column is width seconds wide, a power of two, and begins at a multiple of it. */
struct picture_bins {
	struct picture_bin *bin;
	size_t cap, count, most;
	int64_t base;			/* number of the first column */
	double width;
	bool started;
	double last_t;			/* of the last reading put */
	bool cut;			/* a break is pending ... */
	double cut_at;			/* ... from here on */
	double hold_s;			/* 0: until changed */
	long long drawn, uncertain;
	struct leat_names words;	/* of word series: number is index */
};

/* Adds a later column to one; either may be unused. */
void picture_bin_merge(struct picture_bin *into, const struct picture_bin *b);

/* 0, or -1 when memory is out. */
int picture_bins_put(struct picture_bins *b, double t, double v, bool uncertain, uint32_t words);
void picture_bins_break(struct picture_bins *b, double t);
void picture_bins_free(struct picture_bins *b);
/* The word's number; PICTURE_WORDS when there are too many.  LEAT_NAME_NONE when memory is out. */
uint32_t picture_bins_word(struct picture_bins *b, struct leat_span word);

struct picture_level {
	enum leat_picture_line line;
	double value;
	bool shown;			/* within the value axis */
	double y;			/* of its label, once placed */
};

struct picture_axis {
	double low, high;		/* of the plot */
	double step;			/* between ticks */
	int decimals;
	int power;			/* ticks are shown divided by ten to it */
};

struct picture_panel {
	char *asset, *point;		/* owned */
	enum leat_kind kind;
	bool guess;			/* kind is decided by the first reading */
	const struct leat_unit *unit;
	uint8_t unit_len;		/* the text for which conversion is ready */
	char unit_text[15];
	bool converts;			/* it can be converted */
	struct leat_conversion conversion;
	struct picture_bins bins;
	struct picture_level level[PICTURE_LEVELS];
	size_t levels;
	struct leat_picture_fan fan;
	bool has_fan;
	/* Of the layout. */
	double *renewed;		/* when something else began to be measured, in order; owned */
	size_t renewals;
	struct picture_axis axis;
	size_t head_rows, event_rows;
	struct picture_strip *strip;
	double top, plot_top, plot_height, height;
};

struct picture_strip {
	char *mill;			/* owned */
	struct picture_bins bins;
};

struct picture_event {
	double t;
	char *asset, *label;		/* owned */
	bool heavy;
	bool first;			/* of the heavy ones, its label comes before others */
	const struct leat_event *kind;	/* of an entry of the logbook; NULL: none */
	char *point;			/* that it names; owned */
};

struct leat_picture {
	struct leat_picture_form form;
	char *title;			/* owned */
	struct picture_panel **panel;	/* each owned */
	size_t panels, panel_cap;
	struct picture_strip **strip;
	size_t strips, strip_cap;
	struct picture_event *event;
	size_t events, event_cap, events_lost;	/* lost: the oldest of too many */
	bool suits;			/* the width was not given */
	bool failed;			/* memory was out */
	size_t columns;			/* bins of a series at most */
	/* Of the layout. */
	double start, end;		/* of the time axis */
	double data_end;
	double width, height, left, right;	/* left and right edge of the plots */
	bool any_uncertain;
};

static inline double
picture_seconds(struct leat_time t)
{
	return (double)t.sec + t.nsec * 1e-9;
}

static inline bool
picture_is_words(const struct picture_panel *panel)
{
	return panel->kind == LEAT_KIND_WORD || panel->kind == LEAT_KIND_SWITCH;
}

/* What stands beside numbers; nothing for a plain number or where no unit is known. */
static inline const char *
picture_unit(const struct picture_panel *panel)
{
	return panel->unit != NULL && strcmp(panel->unit->name, "1") != 0 ? panel->unit->name : "";
}

/* SVG by small pieces.  Coordinates have one digit after the point, and are cut to what a viewer can hold. */
void svg_number(struct leat_out *out, double value);
/* Text of anybody as content or attribute. */
void svg_escape(struct leat_out *out, struct leat_span text);
void svg_line(struct leat_out *out, double x1, double y1, double x2, double y2, const char *stroke, double width,
    const char *dash);
void svg_rect(struct leat_out *out, double x, double y, double width, double height, const char *fill);
enum svg_anchor { SVG_START, SVG_MIDDLE, SVG_END };
void svg_text(struct leat_out *out, double x, double y, double size, enum svg_anchor anchor, const char *fill, bool bold,
    struct leat_span text);
/* An upper bound of the width of a text in a generic sans-serif face. */
double svg_width(struct leat_span text, double size, bool bold);
/* Cuts text to a width, with three points at its end; buf is the caller's. */
struct leat_span svg_cut(struct leat_buf *buf, struct leat_span text, double size, bool bold, double width);
/* Takes off rest the words that fit into a row, one at least; nothing is left when the last was taken. */
struct leat_span svg_row(struct leat_span *rest, double size, bool bold, double width);

/* Axes. */
void picture_axis_values(struct picture_axis *axis, double low, double high, double pixels);
size_t picture_axis_label(char *dst, const struct picture_axis *axis, double value);
void picture_axis_unit(char *dst, size_t size, const struct picture_panel *panel);
void picture_time_axis(const struct leat_picture *p, struct leat_out *out, double top, double bottom, bool labels);
/* Is there an hour in the picture that comes twice, and has ticks? */
bool picture_time_repeats(const struct leat_picture *p);
/* "1 Oct 2025" by the clock of the works, of which no row breaks. */
void picture_date(char *dst, size_t size, const struct leat_zone *zone, double t);
double picture_x(const struct leat_picture *p, double t);
double picture_y(const struct picture_panel *panel, double v);

/* "Case drain flow" and "1.79". */
void picture_point_words(struct leat_buf *buf, const struct picture_panel *panel);
size_t picture_value_text(char *dst, double value);

/* What stands above a panel, and how many rows it takes; what stands below all, likewise. */
size_t picture_head_rows(const struct leat_picture *p, const struct picture_panel *panel);
void picture_head(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out);
size_t picture_note_rows(const struct leat_picture *p);
void picture_notes(const struct leat_picture *p, struct leat_out *out);

/* Parts of a panel. */
void picture_curve(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out);
/* Grounds, or the words on them. */
void picture_gaps(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out, bool words);
void picture_word_bars(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out, bool labels);
void picture_draw_strip(const struct leat_picture *p, const struct picture_strip *strip, struct leat_out *out, double top);
void picture_levels(const struct leat_picture *p, struct picture_panel *panel, struct leat_out *out);
void picture_fan(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out);
/* When the limit is reached; false where there is no forecast to be seen. */
bool picture_fan_words(const struct leat_picture *p, const struct picture_panel *panel, char *dst, size_t size);
double picture_level_width(const struct picture_panel *panel);
/* Events: how many rows of labels they need, and their drawing. */
size_t picture_event_rows(const struct leat_picture *p, const struct picture_panel *panel);
void picture_events(const struct leat_picture *p, const struct picture_panel *panel, struct leat_out *out);
/* Finds when the panel's series began to measure something else.  0, or -1 when memory is out. */
int picture_find_renewals(const struct leat_picture *p, struct picture_panel *panel) LEAT_MUST_USE;
/* "NM/pump-a, case drain flow: 132 readings ..." */
void picture_describe(const struct leat_picture *p, const struct picture_panel *panel, struct leat_buf *buf);
void picture_spark(struct leat_picture *p, struct leat_out *out);
double picture_spark_height(const struct leat_picture *p);
/* The lowest and highest value drawn; false when there is none. */
bool picture_range(const struct leat_picture *p, const struct picture_panel *panel, double *low, double *high);

#define PICTURE_HEAD_ROW 14.0
#define PICTURE_EVENT_ROW 12.0
#define PICTURE_NOTE_ROW 12.0
#define PICTURE_STRIP 12.0
#define PICTURE_LANE 15.0

#endif
