/*
 * Readings become daily values.
 */
#include <math.h>
#include <stdlib.h>

#include "derive/works_day.h"
#include "judge/trend_private.h"
#include "stats/order.h"

int
leat_trend_close_day(struct leat_trend_watch *w)
{
	if (w->buffered == 0)
		return 0;
	if (leat_grow(&w->day, &w->cap, w->days + 1, sizeof(*w->day)) != 0)
		return -1;
	w->day[w->days++] = (struct leat_trend_day){ w->last, leat_median(w->buffer, w->buffered), w->hours };
	w->buffered = 0;
	w->skip = w->skipped = 0;
	return 0;
}

/* Lets every second reading of the running day go, so that the rest still stand for all of it. */
static void
thin_out(struct leat_trend_watch *w)
{
	for (size_t i = 0; i < LEAT_TREND_BUFFER / 2; i++)
		w->buffer[i] = w->buffer[2 * i];
	w->buffered = LEAT_TREND_BUFFER / 2;
	w->skip = 2 * w->skip + 1;
}

int
leat_trend_add(struct leat_trend *trend, struct leat_trend_watch *w, struct leat_time time, double value, double hours)
{
	struct leat_time start, end;

	if (leat_time_is_none(w->day_end) || leat_time_cmp(time, w->day_end) > 0) {
		if (leat_trend_close_day(w) != 0)
			return -1;
		leat_works_day_ending(trend->form.np, time, &start, &end);
		w->day_end = end;
	}
	if (w->buffer == NULL && (w->buffer = malloc(LEAT_TREND_BUFFER * sizeof(*w->buffer))) == NULL)
		return -1;
	w->last = time;
	w->hours = hours;
	w->kept++;
	if (w->skipped < w->skip) {
		w->skipped++;
		return 0;
	}
	w->skipped = 0;
	if (w->buffered == LEAT_TREND_BUFFER)
		thin_out(w);
	w->buffer[w->buffered++] = value;
	return 0;
}
