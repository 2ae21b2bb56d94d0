/* Filter elements: the lives of elements, by the logbook. */
#include <math.h>

#include "derive/element_private.h"
#include "derive/works_day.h"
#include "stats/order.h"

/* The minutes from what was counted last, or from the change, to t. */
static double
uncounted_min(const struct leat_elements_filter *filter, const struct leat_elements_life *life, struct leat_time t)
{
	struct leat_time from = filter->known_at;

	if (!leat_time_is_none(life->since) && (leat_time_is_none(from) || leat_time_cmp(from, life->since) < 0))
		from = life->since;
	return leat_time_is_none(from) ? 0 : fmax(0, leat_time_diff(t, from) / LEAT_MINUTE_S);
}

void
leat_elements_count(struct leat_elements_filter *filter, struct leat_time minute, bool on, double flow_lpm)
{
	struct leat_elements_life *life = &filter->life;
	double gap_min = uncounted_min(filter, life, minute) - 1;
	double share = leat_time_is_none(filter->known_at) || filter->ran == on ? on : 0.5;

	if (on)
		filter->flow_lpm = flow_lpm;
	if (gap_min > 0) {
		life->unseen_min += share * gap_min;
		if (share > 0)
			life->litres += share * gap_min * filter->flow_lpm;
	}
	life->known_min++;
	life->run_min += on;
	if (on)
		life->litres += flow_lpm;
	filter->known_at = minute;
	filter->ran = on;
}

double
leat_elements_hours(const struct leat_elements_filter *filter, const struct leat_elements_life *life, struct leat_time until,
    double *litres, enum leat_quality *quality)
{
	double elapsed_min = leat_time_diff(until, life->since) / LEAT_MINUTE_S, known_min = (double)life->known_min;
	/* Of a gap that has not ended it is known what was before. */
	double tail_min = filter->ran ? uncounted_min(filter, life, until) : 0;

	*quality = life->known_min == 0 ? LEAT_BAD : 100 * known_min < filter->plate.least_percent * elapsed_min ? LEAT_UNCERTAIN :
	    LEAT_GOOD;
	*litres = life->litres + (tail_min > 0 ? tail_min * filter->flow_lpm : 0);
	return ((double)life->run_min + life->unseen_min + tail_min) / 60;
}

/* The element that served until t is finished: its life against the median of those before it. */
static void
finish(struct leat_elements_filter *filter, struct leat_time t)
{
	struct leat_elements_finished *done = &filter->finished;
	double some[LEAT_ELEMENT_LIVES], litres;
	size_t n = filter->finished_lives < LEAT_ELEMENT_LIVES ? filter->finished_lives : LEAT_ELEMENT_LIVES;

	*done = (struct leat_elements_finished){ .there = true, .life = filter->life, .until = t, .ratio = NAN, .median = NAN,
		.before = n };
	done->hours = leat_elements_hours(filter, &filter->life, t, &litres, &done->quality);
	/* Of one that nobody saw there is nothing to be told. */
	done->there = done->quality != LEAT_BAD;
	for (size_t i = 0; i < n; i++)
		some[i] = filter->lives[i];
	if (n > 0)
		done->median = leat_median(some, n);
	if ((double)n >= filter->plate.lives_least && done->median > 0)
		done->ratio = done->hours / done->median;
	if (done->quality == LEAT_GOOD)
		filter->lives[filter->finished_lives++ % LEAT_ELEMENT_LIVES] = done->hours;
}

/* What the element showed before the change: in the minutes of the day so far, else on the last good day. */
static double
shown_before(struct leat_elements_filter *filter)
{
	struct leat_elements_value value;

	leat_elements_median(filter, &filter->day, &value);
	return value.minute != NULL && value.quality != LEAT_BAD ? value.minute->element_bar : filter->last_bar;
}

static void
change(struct leat_elements *elements, struct leat_elements_filter *filter, const struct leat_log_entry *e)
{
	struct leat_elements_life *life = &filter->life;
	struct leat_time day_start;
	bool same = !leat_time_is_none(life->since) && leat_time_cmp(e->time, life->day_end) <= 0;

	if (!same) {
		if (!leat_time_is_none(life->since))
			finish(filter, e->time);
		filter->before_bar = shown_before(filter);
		filter->before_time = e->time;
		elements->changes++;
	}
	*life = (struct leat_elements_life){ .since = e->time, .line = e->line };
	leat_works_day_ending(elements->np, e->time, &day_start, &life->day_end);
	filter->last_bar = NAN;
	filter->fresh = true;
	leat_elements_empty_day(&filter->day);
}

void
leat_elements_take_entries(struct leat_elements *elements, struct leat_elements_filter *filter, struct leat_time t)
{
	const struct leat_logbook *book = elements->book;

	if (book == NULL)
		return;
	for (; filter->entry < book->count && leat_time_cmp(book->entry[filter->entry].time, t) <= 0; filter->entry++) {
		const struct leat_log_entry *e = &book->entry[filter->entry];

		if (strcmp(e->event->name, "filter-change") == 0 && leat_asset_within(e->asset, filter->asset))
			change(elements, filter, e);
	}
}
