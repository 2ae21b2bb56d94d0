/* The works' days of a stream. */
#include "derive/works_day.h"

void
leat_works_day_ending(const struct leat_nameplate *np, struct leat_time t, struct leat_time *start, struct leat_time *end)
{
	struct leat_grid grid = { .zone = leat_nameplate_zone(np), .days = 1 };
	/* The nameplate's reader has seen to the form HH:MM. */
	const char *p = leat_nameplate_word(np, leat_span_make("", 0), "day-start", t).ptr;
	struct leat_time before = t;

	grid.day_start = ((p[0] - '0') * 10 + p[1] - '0') * 3600 + ((p[3] - '0') * 10 + p[4] - '0') * 60;
	if (before.nsec-- == 0) {
		before.sec--;
		before.nsec = 999999999;
	}
	leat_grid_period(&grid, before, start, end);
}
