/*
 * What a historian has left of a signal: deadband, held values, straight lines.
 */
#include "stream/survey_trace.h"

#include <math.h>
#include <string.h>

#define TO_OCTAVE 8
#define LEAST_OCTAVE (-20)
/* Changes count that follow the one before within so many of the shortest usual intervals. */
#define NEAR_STEPS 3.5
/* A hole is one when the changes above its edge are so many times denser than those below. */
#define EDGE_CONTRAST 5.0
#define EDGE_SHARE 0.05		/* of all changes lie in the octave above the edge */
/* Of several edges that is taken above which the changes are densest within this share of its size, against those below;
 * as if some of all lay below in any case, so that few changes at the bottom of the hole do not count for much. */
#define EDGE_WIDTH 0.25
#define EDGE_BLUR 0.02
#define LEAST_CHANGES 40
/* Twice a step of the instrument is at least this share of all changes, and what lies between at most this share of it. */
#define GRID_SHARE 0.05
/* Of the values are repeated, or of the intervals are uneven: then something is left out. */
#define THINNED_SHARE 0.05
#define UNEVEN_SHARE 0.15
/* Of the values are repeated, though those that change leap: they are held, by whatever rule. */
#define HELD_SHARE 0.5
/* A line is told from noise where the value moves by so many last digits a step. */
#define LINE_DIGITS 4.0
#define LINE_SHARE 0.5
#define LEAST_LINES 40
/* A switch has its two states, and words for no state. */
#define SWITCH_VALUES 4
/* A list of changes has at least so many, and at most this share of them is none. */
#define LEAST_EVENTS 10
#define EVENT_REPEATS 0.05

/* In order of their width; 0: every sample by itself. */
static const double widths[LEAT_TRACE_WAVES] = { 0, 60, 300, 900, 3600 };

int
leat_trace_class(double size, int to_octave, int least, int classes)
{
	int octave, class;
	/* What was written as 0.5 comes as 0.49999999 from a difference. */
	double mantissa = frexp(size * (1 + 1e-6), &octave);

	class = (octave - 1 - least) * to_octave + (int)((mantissa * 2 - 1) * to_octave);
	if (class < 0)
		return 0;
	return class < classes ? class : classes - 1;
}

double
leat_trace_class_start(int class, int to_octave, int least)
{
	return ldexp(1 + (double)(class % to_octave) / to_octave, least + class / to_octave);
}

static double
last_digit(const struct leat_trace *trace)
{
	return pow(10, -trace->decimals);
}

/* The interval that so many of 20 are shorter than; -1 when there is none. */
static double
interval_of(const struct leat_survey_tag *tag, int twentieths)
{
	long long before = 0;

	for (int i = 0; i < LEAT_SURVEY_CLASSES && tag->intervals > 0; i++) {
		before += tag->interval[i].count;
		if (before * 20 >= tag->intervals * twentieths)
			return (double)tag->interval[i].least;
	}
	return -1;
}

/* What follows within a few of the shortest usual intervals is near; but not what comes after the longest usual one, when
 * the value is kept whether it changed or not. */
static double
near_of(const struct leat_survey_tag *tag)
{
	double near_s = NEAR_STEPS * interval_of(tag, 1), longest_s = interval_of(tag, 19);

	return longest_s > 1.5 * interval_of(tag, 1) && near_s > 0.9 * longest_s ? 0.9 * longest_s : near_s;
}

static void
take_change(struct leat_trace *trace, struct leat_time time, double difference)
{
	struct leat_trace_change *c;
	float size = (float)fabs(difference);

	if (!trace->bad_since) {
		c = &trace->change[leat_trace_class((double)size, TO_OCTAVE, LEAST_OCTAVE, LEAT_TRACE_CHANGES)];
		if (c->all == 0 || size < c->least)
			c->least = size;
		if (c->all < UINT32_MAX)
			c->all++;
		trace->changes++;
		if (leat_time_diff(time, trace->changed) <= trace->near_s) {
			if (c->near == 0 || size < c->least_near)
				c->least_near = size;
			if (c->near < UINT32_MAX)
				c->near++;
			trace->near_changes++;
		}
	}
	trace->changed = time;
}

/* Does the value go on along the line of the two before?  Each is rounded, so the second difference of a line is at most
 * two last digits. */
static void
take_line(struct leat_trace *trace, double interval_s, double difference)
{
	double digit;

	if (interval_s == trace->interval_s && !trace->bad_since && difference != 0) {
		digit = last_digit(trace);
		if (fabs(difference) >= LINE_DIGITS * digit || fabs(trace->slope_step) >= LINE_DIGITS * digit) {
			if (fabs(difference - trace->slope_step) <= 2.01 * digit)
				trace->lines++;
			else
				trace->bends++;
		}
	}
	trace->slope_step = difference;
	trace->interval_s = interval_s;
}

static void
take_number(struct leat_trace *trace, const struct leat_survey_tag *tag, struct leat_time time)
{
	double difference = tag->value - trace->value, interval_s = leat_time_diff(time, trace->time);

	if (tag->last_decimals > trace->decimals)
		trace->decimals = tag->last_decimals;
	if (trace->count > 0) {
		trace->repeated += difference == 0;
		take_line(trace, interval_s, difference);
		if (difference != 0)
			take_change(trace, time, difference);
	} else {
		trace->changed = time;
		trace->quarter_at = trace->day = INT64_MIN;
	}
	for (int i = 0; i < LEAT_TRACE_WAVES; i++) {
		if (trace->count > 0 && interval_s > LEAT_TRACE_GAP_S)
			leat_trace_wave_gap(&trace->wave[i]);
		leat_trace_wave_take(&trace->wave[i], widths[i], time, tag->value);
	}
	leat_trace_day_take(trace, time, tag->value);
	trace->bad_since = false;
	trace->time = time;
	trace->value = tag->value;
	trace->count++;
}

static void
take_grid(struct leat_trace *trace, struct leat_time time)
{
	int64_t a = time.sec - trace->stamp.sec, b = trace->grid_s, rest;

	if (trace->grid_s > 0 && a % trace->grid_s == 0)
		return;
	while (b != 0) {
		rest = a % b;
		a = b;
		b = rest;
	}
	trace->grid_s = a;
}

void
leat_trace_take(struct leat_trace *trace, const struct leat_survey_tag *tag, struct leat_time time)
{
	bool later = trace->samples == 0 || leat_time_cmp(time, trace->stamp) > 0;

	if (!later) {
		trace->behind++;
		return;
	}
	if (trace->samples > 0)
		take_grid(trace, time);
	/* Intervals are known better as they come; later it is enough to look now and then. */
	if (trace->samples % 4096 == 16 || trace->samples == 128 || trace->samples == 512)
		trace->near_s = near_of(tag);
	if (tag->distincts <= SWITCH_VALUES && trace->samples > 0 && leat_time_cmp(tag->since, time) == 0)
		leat_trace_turn_take(trace, time);
	if (tag->last_number)
		take_number(trace, tag, time);
	else
		trace->bad_since = true;
	trace->stamp = time;
	trace->samples++;
}

struct edge {
	double size;			/* -1: there is none */
	double score;
};

/* How the changes lie about the size at which class i begins. */
static void
weigh_edge(const struct leat_trace *trace, bool near, int i, long long below, struct edge *best)
{
	const struct leat_trace_change *c = trace->change;
	double size = (double)(near ? c[i].least_near : c[i].least), digits = floor(size / last_digit(trace) + 0.5);
	double changes = (double)(near ? trace->near_changes : trace->changes), beyond, score;
	long long at = 0, above = 0, here;

	for (int j = i; j < i + TO_OCTAVE && j < LEAT_TRACE_CHANGES; j++) {
		here = near ? c[j].near : c[j].all;
		above += here;
		if ((double)(near ? c[j].least_near : c[j].least) < size * (1 + EDGE_WIDTH) - 1e-6 * size)
			at += here;
	}
	if (digits < 2 || (double)above < EDGE_SHARE * changes)
		return;
	/* So many values lie below the edge, and so many in the octave above it. */
	beyond = ((double)below + 0.5) / (digits - 1);
	if ((double)above / digits < EDGE_CONTRAST * beyond)
		return;
	score = (double)at / ceil(EDGE_WIDTH * digits - 1e-6) / (beyond + EDGE_BLUR * changes / digits);
	if (score > best->score)
		*best = (struct edge){ size, score };
}

/* The edge of the hole that a deadband leaves among the changes, near ones or all; -1 when there is none. */
static double
edge_of(const struct leat_trace *trace, bool near)
{
	struct edge best = { -1, 0 };
	long long below = 0, here;

	if ((near ? trace->near_changes : trace->changes) < LEAST_CHANGES)
		return -1;
	for (int i = 0; i < LEAT_TRACE_CHANGES; i++) {
		here = near ? trace->change[i].near : trace->change[i].all;
		if (here > 0)
			weigh_edge(trace, near, i, below, &best);
		below += here;
	}
	return best.size;
}

static double
deadband_of(const struct leat_trace *trace)
{
	double near = edge_of(trace, true), all = edge_of(trace, false);

	return near < 0 || (all >= 0 && all < near) ? all : near;
}

/* Do the values lie on multiples of the smallest usual change?  Then that is a step of the instrument: twice the step is
 * usual too, but next to nothing between them. */
static bool
on_grid(const struct leat_trace *trace, double step)
{
	long long twice = 0, between = 0;
	double size;

	for (int i = 0; i < LEAT_TRACE_CHANGES; i++) {
		size = (double)trace->change[i].least / step;
		twice += size >= 1.65 && size < 2.3 ? trace->change[i].all : 0;
		between += size >= 1.3 && size < 1.65 ? trace->change[i].all : 0;
	}
	return (double)twice >= GRID_SHARE * (double)trace->changes && (double)between < GRID_SHARE * (double)twice;
}

/* Do most changes pass over last digits? */
static bool
leaps(const struct leat_trace *trace)
{
	long long before = 0;

	for (int i = 0; i < LEAT_TRACE_CHANGES; i++) {
		before += trace->change[i].all;
		if (before * 2 >= trace->changes)
			return (double)trace->change[i].least > 1.5 * last_digit(trace);
	}
	return false;
}

/* The share of intervals that are not of about the step. */
static double
uneven_of(const struct leat_survey_tag *tag)
{
	bool exact;
	double step = leat_survey_step(tag, &exact);
	long long even = 0;

	if (tag->intervals == 0)
		return 0;
	for (int i = 0; i < LEAT_SURVEY_CLASSES; i++)
		if (tag->interval[i].count > 0 && (double)tag->interval[i].most > 0.8 * step &&
		    (double)tag->interval[i].least < 1.25 * step)
			even += tag->interval[i].count;
	return 1 - (double)even / (double)tag->intervals;
}

static void
judge_kept(const struct leat_trace *trace, const struct leat_survey_tag *tag, struct leat_trace_result *r)
{
	double uneven = uneven_of(tag);

	if (trace->count < LEAST_CHANGES)
		return;
	r->repeated = (double)trace->repeated / (double)(trace->count - 1);
	if (trace->lines + trace->bends >= LEAST_LINES)
		r->straight = (double)trace->lines / (double)(trace->lines + trace->bends);
	if (uneven <= UNEVEN_SHARE && r->straight > LINE_SHARE) {
		r->kept = LEAT_TRACE_LINES;
		return;
	}
	if (uneven > UNEVEN_SHARE)
		r->kept = LEAT_TRACE_CHANGED;
	else
		r->kept = LEAT_TRACE_ALL;
	/* Without anything left out, large changes are the signal's own. */
	if (uneven > UNEVEN_SHARE || r->repeated > THINNED_SHARE)
		r->deadband = deadband_of(trace);
	if (r->deadband >= 0 && on_grid(trace, r->deadband)) {
		r->resolution = r->deadband;
		r->deadband = -1;
		return;
	}
	if (r->kept == LEAT_TRACE_ALL && (r->deadband >= 0 || (r->repeated > HELD_SHARE && leaps(trace))))
		r->kept = LEAT_TRACE_HELD;
}

/* A list of changes has hardly a value that repeats the one before. */
static double
sample_of(const struct leat_trace *trace, const struct leat_survey_tag *tag)
{
	if (tag->distincts <= SWITCH_VALUES && tag->count >= LEAST_EVENTS && trace->grid_s > 0 &&
	    (double)(tag->count - 1 - tag->changes) < EVENT_REPEATS * (double)tag->count)
		return (double)trace->grid_s;
	return interval_of(tag, 1);
}

void
leat_trace_judge(struct leat_trace *trace, const struct leat_survey_tag *tag, struct leat_trace_result *r)
{
	enum leat_survey_kind kind = leat_survey_kind(tag);

	*r = (struct leat_trace_result){ .sample_s = interval_of(tag, 1), .resolution = -1, .deadband = -1,
		.repeated = -1, .straight = -1, .cycle = -1, .cycle_s = -1, .short_s = -1, .change_7d = -1, .change_30d = -1 };
	if (trace == NULL)
		return;
	r->sample_s = sample_of(trace, tag);
	if (kind == LEAT_SURVEY_SWITCH)
		leat_trace_turn_judge(trace, r);
	if (trace->count == 0 || kind != LEAT_SURVEY_ANALOGUE) {
		r->hours = leat_time_diff(tag->last, tag->first) / 3600;
		r->days = tag->last.sec / 86400 - tag->first.sec / 86400 + 1;
		return;
	}
	r->resolution = last_digit(trace);
	judge_kept(trace, tag, r);
	leat_trace_day_judge(trace, r->deadband > r->resolution ? r->deadband : r->resolution, r);
	for (int i = 0; i < LEAT_TRACE_WAVES && r->cycle < 0; i++)
		if (!leat_trace_wave_regular(&trace->wave[i], r->hours, &r->cycle, &r->cycle_s))
			r->cycle = r->cycle_s = -1;
}

const char *
leat_trace_kept_name(enum leat_trace_kept kept)
{
	static const char *const name[] = { "", "all", "held", "changes", "lines" };

	return name[kept];
}

bool
leat_trace_hides_cycle(const struct leat_trace_result *r)
{
	double step = r->deadband > r->resolution ? r->deadband : r->resolution;

	return r->cycle > 0 && step * 4 > r->cycle;
}
