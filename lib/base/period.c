/* Periods of a grid. */
#include "base/period.h"

#define HOUR 3600
#define DAY 86400

static bool
set_seconds(struct leat_grid *grid, int32_t seconds)
{
	if (seconds == DAY) {
		grid->days = 1;
		return true;
	}
	grid->seconds = seconds;
	return seconds > 0 && seconds < DAY &&
	    (seconds <= HOUR ? HOUR % seconds == 0 : seconds % HOUR == 0 && DAY % seconds == 0);
}

int
leat_grid_length(struct leat_grid *grid, struct leat_span text)
{
	static const struct { const char *word, *duration; } words[] = {
		{ "hour", "PT1H" }, { "day", "P1D" }, { "week", "P7D" }, { "month", "P1M" }, { "year", "P1Y" }
	};
	struct leat_duration d;

	grid->months = grid->days = grid->seconds = 0;
	for (size_t i = 0; i < sizeof(words) / sizeof(words[0]); i++)
		if (leat_span_is(text, words[i].word))
			text = leat_span_of(words[i].duration);
	if (leat_duration_parse(text, &d) != 0 || (d.months != 0) + (d.days != 0) + (d.seconds != 0) != 1)
		return -1;
	grid->months = d.months;
	grid->days = d.days;
	if (d.months != 0)
		return d.months <= 12 && 12 % d.months == 0 ? 0 : -1;
	if (d.days != 0)
		return d.days == 1 || d.days == 7 ? 0 : -1;
	return d.seconds <= DAY && d.seconds == (int32_t)d.seconds && set_seconds(grid, (int32_t)d.seconds) ? 0 : -1;
}

struct leat_time
leat_zone_day_instant(const struct leat_zone *zone, int64_t day, int32_t second)
{
	struct leat_civil c = { 0 };
	struct leat_time at[2], before;

	day += second / DAY;
	second %= DAY;
	leat_civil_from_days(day, &c.year, &c.month, &c.day);
	c.hour = second / HOUR;
	c.minute = second / 60 % 60;
	c.second = second % 60;
	if (leat_zone_instants(zone, &c, at) > 0)
		return at[0];
	/* The clock was put forward over it; no clock is changed by more than a day. */
	before = leat_time_from_civil(&c, 0);
	before.sec -= 2 * DAY;
	for (;;) {
		struct leat_time change = leat_zone_next_change(zone, before);
		struct leat_civil shown;
		struct leat_time reached;

		if (leat_time_is_none(change))
			return leat_time_from_civil(&c, leat_zone_offset(zone, before.sec));
		shown = leat_zone_civil(zone, change);
		reached = leat_time_from_civil(&shown, 0);
		if (leat_time_cmp(reached, leat_time_from_civil(&c, 0)) >= 0)
			return change;
		before = change;
	}
}

static struct leat_time
clock_instant(const struct leat_grid *grid, int64_t day, int32_t second)
{
	return leat_zone_day_instant(grid->zone, day, second);
}

/* The day by the calendar on which the works' day that holds t began. */
static int64_t
day_of(const struct leat_grid *grid, struct leat_time t)
{
	struct leat_civil c = leat_zone_civil(grid->zone, t);
	int64_t day = leat_days_from_civil(c.year, c.month, c.day) + 1;

	/* Two steps reach it, but for where the calendar ends. */
	for (int i = 0; i < 3 && leat_time_cmp(clock_instant(grid, day, grid->day_start), t) > 0; i++)
		day--;
	return day;
}

/* The first day of the span of months that holds day, and that of the next. */
static void
months_of(const struct leat_grid *grid, int64_t day, int64_t *first, int64_t *next)
{
	int year, month, of_month;

	leat_civil_from_days(day, &year, &month, &of_month);
	month -= (month - 1) % grid->months;
	*first = leat_days_from_civil(year, month, 1);
	month += grid->months;
	*next = leat_days_from_civil(year + (month > 12), month > 12 ? month - 12 : month, 1);
}

/* The part of the works' day that holds t. */
static void
part_of_day(const struct leat_grid *grid, int64_t day, struct leat_time t, struct leat_time *start, struct leat_time *end)
{
	struct leat_time day_end = *end;
	int32_t length = grid->seconds;

	if (length <= HOUR) {
		start->sec += (t.sec - start->sec) / length * length;
		end->sec = start->sec + length;
		if (leat_time_cmp(*end, day_end) > 0)
			*end = day_end;
		return;
	}
	for (int32_t at = length; at <= DAY; at += length) {
		*end = at == DAY ? day_end : clock_instant(grid, day, grid->day_start + at);
		if (leat_time_cmp(t, *end) < 0)
			return;
		*start = *end;
	}
}

int64_t
leat_zone_day(const struct leat_zone *zone, struct leat_time t)
{
	struct leat_civil c = leat_zone_civil(zone, t);

	return leat_days_from_civil(c.year, c.month, c.day);
}

void
leat_grid_period(const struct leat_grid *grid, struct leat_time t, struct leat_time *start, struct leat_time *end)
{
	int64_t day = day_of(grid, t), next = day + 1;

	if (grid->days == 7) {
		/* 1970-01-01 was a Thursday. */
		int64_t weekday = ((day + 3) % 7 + 7) % 7;

		day -= weekday;
		next = day + 7;
	} else if (grid->months != 0) {
		months_of(grid, day, &day, &next);
	}
	*start = clock_instant(grid, day, grid->day_start);
	*end = clock_instant(grid, next, grid->day_start);
	if (grid->seconds != 0)
		part_of_day(grid, day, t, start, end);
	/* Where the calendar ends. */
	if (leat_time_cmp(*start, t) > 0)
		*start = t;
	if (leat_time_cmp(*end, t) <= 0)
		end->sec = t.sec + DAY;
}
