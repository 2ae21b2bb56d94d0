/* Works tables as commands open them. */
#include <stdlib.h>

#include "front_tables.h"
#include "tell/words.h"

/* What follows the reading of a table. */
static void
opened(enum front_code code, bool good, bool absent, const struct leat_error *err)
{
	const char *path = front_table(code);

	if (good && absent && front_opt.table[code - FRONT_TABLE] != NULL) {
		front_fail("no such table: '%s'", path);
		exit(front_end());
	}
	if (!good) {
		front_error(err);
		exit(front_end());
	}
	if (absent && path != NULL)
		front_absent(path);
}

/* No path at all is an absent file too. */
static const char *
path_of(enum front_code code)
{
	const char *path = front_table(code);

	return path != NULL ? path : "";
}

void
front_confirms(struct leat_confirms *confirms)
{
	struct leat_error err = { 0 };
	bool absent = false;
	int result = leat_confirms_read(confirms, path_of(FRONT_CONFIRM), &absent, &err);

	opened(FRONT_CONFIRM, result == 0, absent, &err);
}

void
front_limits(struct leat_limits *limits)
{
	struct leat_error err = { 0 };
	bool absent = false;
	int result = leat_limits_read(limits, path_of(FRONT_LIMITS), &absent, &err);

	opened(FRONT_LIMITS, result == 0, absent, &err);
}

/* user counts the lines that end the program. */
static void
broken_line(void *user, const struct leat_error *err, bool cut)
{
	char text[1024];

	if (cut) {
		front_warn("%s: left out", leat_error_format(err, text, sizeof(text)));
		return;
	}
	front_error(err);
	++*(size_t *)user;
}

void
front_findings(struct leat_findings *findings, const char *path)
{
	struct leat_error err;
	long before = findings->rejected;

	if (leat_findings_read(findings, path, &err) != 0) {
		front_error(&err);
		exit(front_end());
	}
	if (findings->rejected > 0 && before == 0)
		front_error(&findings->first_rejected);
}

void
front_logbook(struct leat_logbook *book, const struct leat_zone *zone, struct leat_time now)
{
	struct leat_error err = { 0 };
	bool absent = false;
	size_t broken = 0;
	struct leat_table_lines lines = { broken_line, &broken };
	int result = leat_logbook_read(book, path_of(FRONT_LOGBOOK), zone, now, &lines, &absent, &err);

	opened(FRONT_LOGBOOK, result == 0, absent, &err);
	if (broken > 0)
		exit(front_end());
}

void
front_modes(struct leat_modes *modes)
{
	struct leat_error err = { 0 };
	bool absent = false;
	int result = leat_modes_read(modes, path_of(FRONT_MODES), &absent, &err);

	opened(FRONT_MODES, result == 0, absent, &err);
}

struct leat_nameplate *
front_nameplate(void)
{
	struct leat_error err = { 0 };
	bool absent = false;
	struct leat_nameplate *np = leat_nameplate_read(path_of(FRONT_NAMEPLATE), &absent, &err);

	opened(FRONT_NAMEPLATE, np != NULL, absent, &err);
	return np;
}

struct leat_nameplate *
front_works_days(struct leat_grid *grid)
{
	struct leat_nameplate *np = front_nameplate();
	/* The end of all years: what holds now, wherever the clock stands. */
	struct leat_time now = front_opt.now_data ? (struct leat_time){ INT64_C(253402300799), 0 } : front_now();
	int start = 0;

	grid->zone = leat_nameplate_zone(np);
	if (front_table(FRONT_NAMEPLATE) != NULL && leat_calendar_day_start(leat_nameplate_word(np, leat_span_make("", 0),
	    "day-start", now), &start) != 0)
		front_misuse("nameplate: day-start is no time of day such as 06:00");
	grid->day_start = start;
	return np;
}

void
front_oil_rules(struct leat_oil_rules *rules)
{
	struct leat_error err = { 0 };
	bool absent = false;
	int result = leat_oil_rules_read(rules, path_of(FRONT_OIL), &absent, &err);

	opened(FRONT_OIL, result == 0, absent, &err);
}

void
front_parts(struct leat_parts *parts)
{
	struct leat_error err = { 0 };
	bool absent = false;
	int result = leat_parts_read(parts, path_of(FRONT_PARTS), &absent, &err);

	opened(FRONT_PARTS, result == 0, absent, &err);
}

void
front_points(struct leat_points *points)
{
	struct leat_error err = { 0 };
	bool absent = false;
	int result = leat_points_read(points, path_of(FRONT_POINTS), &absent, &err);

	opened(FRONT_POINTS, result == 0, absent, &err);
}

void
front_precharges(struct leat_precharges *curves)
{
	struct leat_error err = { 0 };
	bool absent = false;
	int result = leat_precharges_read(curves, path_of(FRONT_PRECHARGES), &absent, &err);

	opened(FRONT_PRECHARGES, result == 0, absent, &err);
}

void
front_shelves(struct leat_shelves *shelves, const struct leat_zone *zone)
{
	struct leat_error err = { 0 };
	bool absent = false;
	int result = leat_shelves_read(shelves, path_of(FRONT_SHELVED), zone, &absent, &err);

	opened(FRONT_SHELVED, result == 0, absent, &err);
}

void
front_stops(struct leat_stops *stops, const struct leat_zone *zone)
{
	struct leat_error err = { 0 };
	bool absent = false;
	int result = leat_stops_read(stops, path_of(FRONT_STOPS), zone, &absent, &err);

	opened(FRONT_STOPS, result == 0, absent, &err);
}

void
front_tasks(struct leat_tasks *tasks)
{
	struct leat_error err = { 0 };
	bool absent = false;
	int result = leat_tasks_read(tasks, path_of(FRONT_TASKS), &absent, &err);

	opened(FRONT_TASKS, result == 0, absent, &err);
}

void
front_trends(struct leat_trends *trends)
{
	struct leat_error err = { 0 };
	bool absent = false;
	int result = leat_trends_read(trends, path_of(FRONT_TRENDS), &absent, &err);

	opened(FRONT_TRENDS, result == 0, absent, &err);
}
