/*
 * What a historian has left of a signal: regular cycles, from turning points at several widths of averaging.
 */
#include <math.h>

#include "stream/survey_trace.h"

#define AMPLITUDE_TO_OCTAVE 4
#define AMPLITUDE_LEAST (-20)
#define PERIOD_TO_OCTAVE 4
#define PERIOD_LEAST 0
/* A turn is one when the signal comes back by so many times its usual change. */
#define NOISE_TIMES 3.0
/* The usual change is followed by steps of this size, which settle at the median. */
#define NOISE_STEP 1.03
#define SETTLE 24		/* changes before the first turn */
#define LEAST_PERIODS 8
#define SPREAD 0.5		/* of the periods, quartile to quartile, against their median */
#define FILLED 0.25		/* of the hours */
#define LONGEST_S 21600.0	/* what is longer is the day's, not the machine's */

static void
count_class(uint16_t *class)
{
	if (*class < UINT16_MAX)
		(*class)++;
}

static void
take_high(struct leat_trace_wave *w)
{
	double period_s;

	if (w->has_low && w->high > w->low) {
		count_class(&w->amplitude[leat_trace_class(w->high - w->low, AMPLITUDE_TO_OCTAVE, AMPLITUDE_LEAST,
		    LEAT_TRACE_AMPLITUDES)]);
		w->amplitudes++;
	}
	period_s = w->has_high ? leat_time_diff(w->high_at, w->last_high) : 0;
	if (period_s > 0) {
		count_class(&w->period[leat_trace_class(period_s, PERIOD_TO_OCTAVE, PERIOD_LEAST, LEAT_TRACE_PERIODS)]);
		w->periods++;
	}
	w->last_high = w->high_at;
	w->has_high = true;
}

static void
take_turns(struct leat_trace_wave *w, struct leat_time time, double value)
{
	double threshold = NOISE_TIMES * w->noise;

	if (w->direction >= 0 && value > w->high) {
		w->high = value;
		w->high_at = time;
	}
	if (w->direction <= 0 && value < w->low) {
		w->low = value;
		w->low_at = time;
	}
	if (w->changes < SETTLE)
		return;
	if (w->direction >= 0 && w->high - value >= threshold && threshold > 0) {
		if (w->direction > 0)
			take_high(w);
		w->direction = -1;
		w->low = value;
		w->low_at = time;
	} else if (w->direction <= 0 && value - w->low >= threshold && threshold > 0) {
		w->has_low = w->direction < 0;
		w->direction = 1;
		w->high = value;
		w->high_at = time;
	}
}

static void
take_mean(struct leat_trace_wave *w, struct leat_time time, double value)
{
	double size;

	if (!w->has_last) {
		w->high = w->low = value;
		w->high_at = w->low_at = time;
		w->direction = 0;
	} else {
		size = fabs(value - w->last);
		if (size > 0) {
			if (w->changes++ == 0)
				w->noise = size;
			else
				w->noise *= size > w->noise ? NOISE_STEP : 1 / NOISE_STEP;
		}
		take_turns(w, time, value);
	}
	w->has_last = true;
	w->last = value;
}

void
leat_trace_wave_take(struct leat_trace_wave *w, double width_s, struct leat_time time, double value)
{
	int64_t width = (int64_t)width_s;

	if (width == 0) {
		take_mean(w, time, value);
		return;
	}
	if (w->count > 0 && time.sec >= w->bin_end) {
		take_mean(w, (struct leat_time){ w->bin_end - width / 2, 0 }, w->sum / (double)w->count);
		w->count = 0;
		w->sum = 0;
	}
	if (w->count == 0)
		w->bin_end = time.sec - ((time.sec % width) + width) % width + width;
	w->sum += value;
	w->count++;
}

void
leat_trace_wave_gap(struct leat_trace_wave *w)
{
	w->has_last = w->has_low = w->has_high = false;
	w->count = 0;
	w->sum = 0;
}

void
leat_trace_turn_take(struct leat_trace *trace, struct leat_time time)
{
	double spell_s;

	if (trace->turns > 0) {
		spell_s = leat_time_diff(time, trace->turned);
		count_class(&trace->spell[leat_trace_class(spell_s, PERIOD_TO_OCTAVE, PERIOD_LEAST, LEAT_TRACE_PERIODS)]);
	}
	if (trace->turns > 1) {
		spell_s = leat_time_diff(time, trace->turned_before);
		count_class(&trace->round[leat_trace_class(spell_s, PERIOD_TO_OCTAVE, PERIOD_LEAST, LEAT_TRACE_PERIODS)]);
	}
	trace->turned_before = trace->turned;
	trace->turned = time;
	trace->turns++;
}

/* The size below which a share of the counts lies, evenly spread within its class. */
static double
quantile(const uint16_t *count, int classes, double share, int to_octave, int least)
{
	double all = 0, before = 0, from, to;
	int i;

	for (i = 0; i < classes; i++)
		all += count[i];
	for (i = 0; i < classes - 1 && before + count[i] < share * all; i++)
		before += count[i];
	from = leat_trace_class_start(i, to_octave, least);
	to = leat_trace_class_start(i + 1, to_octave, least);
	return count[i] > 0 ? from + (to - from) * (share * all - before) / count[i] : from;
}

bool
leat_trace_wave_regular(const struct leat_trace_wave *w, double hours, double *cycle, double *cycle_s)
{
	double low, high;

	if (w->periods < LEAST_PERIODS || w->amplitudes < LEAST_PERIODS)
		return false;
	low = quantile(w->period, LEAT_TRACE_PERIODS, 0.25, PERIOD_TO_OCTAVE, PERIOD_LEAST);
	high = quantile(w->period, LEAT_TRACE_PERIODS, 0.75, PERIOD_TO_OCTAVE, PERIOD_LEAST);
	*cycle_s = quantile(w->period, LEAT_TRACE_PERIODS, 0.5, PERIOD_TO_OCTAVE, PERIOD_LEAST);
	*cycle = quantile(w->amplitude, LEAT_TRACE_AMPLITUDES, 0.5, AMPLITUDE_TO_OCTAVE, AMPLITUDE_LEAST);
	return *cycle_s <= LONGEST_S && high - low <= SPREAD * *cycle_s &&
	    (double)w->periods * *cycle_s >= FILLED * hours * 3600;
}

void
leat_trace_turn_judge(const struct leat_trace *trace, struct leat_trace_result *r)
{
	if (trace->turns < LEAST_PERIODS)
		return;
	/* Short and long spells take turns: half of all are the short ones, and a quarter is the middle of those. */
	r->short_s = quantile(trace->spell, LEAT_TRACE_PERIODS, 0.25, PERIOD_TO_OCTAVE, PERIOD_LEAST);
	r->cycle_s = quantile(trace->round, LEAT_TRACE_PERIODS, 0.5, PERIOD_TO_OCTAVE, PERIOD_LEAST);
}
