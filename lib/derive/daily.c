/*
 * Readings become daily values.
 */
#include "derive/daily.h"

#include <math.h>
#include <stdlib.h>

#include "stats/order.h"

void
leat_daily_init(struct leat_daily *daily)
{
	*daily = (struct leat_daily){ .last = LEAT_TIME_NONE, .hours = NAN, .day_end = LEAT_TIME_NONE };
}

void
leat_daily_free(struct leat_daily *daily)
{
	free(daily->day);
	free(daily->buffer);
	leat_daily_init(daily);
}

int
leat_daily_close(struct leat_daily *daily)
{
	if (daily->buffered == 0)
		return 0;
	if (leat_grow(&daily->day, &daily->cap, daily->days + 1, sizeof(*daily->day)) != 0)
		return -1;
	daily->day[daily->days++] = (struct leat_day){
		daily->last, leat_median(daily->buffer, daily->buffered), daily->hours
	};
	daily->buffered = 0;
	daily->skip = daily->skipped = 0;
	return 0;
}

static void
thin_out(struct leat_daily *daily)
{
	for (size_t i = 0; i < LEAT_DAILY_BUFFER / 2; i++)
		daily->buffer[i] = daily->buffer[2 * i];
	daily->buffered = LEAT_DAILY_BUFFER / 2;
	daily->skip = 2 * daily->skip + 1;
}

int
leat_daily_add(struct leat_daily *daily, const struct leat_nameplate *np, struct leat_time time, double value, double hours)
{
	struct leat_time start, end;

	if (leat_time_is_none(daily->day_end) || leat_time_cmp(time, daily->day_end) > 0) {
		if (leat_daily_close(daily) != 0)
			return -1;
		leat_works_day_ending(np, time, &start, &end);
		daily->day_end = end;
	}
	if (daily->buffer == NULL && (daily->buffer = malloc(LEAT_DAILY_BUFFER * sizeof(*daily->buffer))) == NULL)
		return -1;
	daily->last = time;
	daily->hours = hours;
	daily->kept++;
	if (daily->skipped < daily->skip) {
		daily->skipped++;
		return 0;
	}
	daily->skipped = 0;
	if (daily->buffered == LEAT_DAILY_BUFFER)
		thin_out(daily);
	daily->buffer[daily->buffered++] = value;
	return 0;
}
