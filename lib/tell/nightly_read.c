/*
 * What a nightly report looks from: the works' calendar, and the night before.
 */
#include "tell/nightly.h"

#include "tell/nights.h"

int
leat_nightly_calendar(struct leat_calendar *cal, const struct leat_nameplate *np, struct leat_time now,
    struct leat_error *err)
{
	const struct leat_span works = { "", 0 };

	cal->now = now;
	cal->zone = leat_nameplate_zone(np);
	if (leat_calendar_day_start(leat_nameplate_word(np, works, "day-start", now), &cal->day_start_s) != 0)
		return leat_error_set(err, "nameplate: day-start is no time of day such as 06:00");
	return 0;
}

void
leat_nightly_earlier(struct leat_nightly *n, const char *folder, struct leat_findings *findings, char fault[1024],
    char **path)
{
	struct leat_error err;
	int found = leat_nights_before(folder, leat_calendar_day(&n->cal, n->cal.now), &n->earlier_day, path, &err);

	if (found > 0 && leat_findings_read(findings, *path, &err) != 0)
		found = -1;
	n->earlier = findings;
	n->earlier_status = found < 0 ? LEAT_EARLIER_UNREADABLE : found > 0 ? LEAT_EARLIER_READ : LEAT_EARLIER_NONE;
	if (found < 0)
		n->earlier_fault = leat_error_format(&err, fault, 1024);
}
