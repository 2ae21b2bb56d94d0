/*
 * What the compiled-in lists hold, for the scripts that hold the man pages to them.
 *
 *	dump_names points		name, facts and meaning of every point, separated by TAB
 *	dump_names properties		the same of every property
 *	dump_names events		the same of every event of the logbook
 *	dump_names columns TABLE	the columns of a works table, one a line
 *	dump_names read TABLE FILE	reads FILE as that table; its fault on stderr, status 1
 */
#include <stdio.h>
#include <string.h>

#include "judge/confirms.h"
#include "stream/limits.h"
#include "stream/modes.h"
#include "stream/nameplate.h"
#include "stream/oil_rules.h"
#include "stream/precharges.h"
#include "stream/points.h"
#include "stream/shelved.h"
#include "stream/sources.h"
#include "stream/trends.h"
#include "upkeep/logbook.h"

static void
dump_points(void)
{
	static const char *const kinds[] = { "analogue", "step", "switch", "word" };
	const struct leat_point_info *p;

	for (size_t i = 0; (p = leat_point_at(i)) != NULL; i++) {
		char hold[40] = "until changed";

		if (p->hold_s > 0)
			leat_duration_words(hold, p->hold_s);
		printf("%s\t%s%s%s, %s\t%s\n", p->name, p->unit, p->unit[0] != '\0' ? ", " : "", kinds[p->kind], hold,
		    p->meaning);
	}
}

static void
dump_properties(void)
{
	const struct leat_property *p;

	for (size_t i = 0; (p = leat_property_at(i)) != NULL; i++)
		printf("%s\t%s%s%s, %s%s\t%s\n", p->name, p->belongs, p->unit[0] != '\0' ? ", " : "", p->unit,
		    p->fallback != NULL ? "default " : "no default", p->fallback != NULL ? p->fallback : "", p->meaning);
}

static const char *
event_needs(unsigned needs)
{
	switch (needs) {
	case LEAT_NEEDS_POINT:
		return ", needs point";
	case LEAT_NEEDS_VALUE:
		return ", needs found or left";
	case LEAT_NEEDS_LEFT:
		return ", needs left";
	case LEAT_NEEDS_ITEM:
		return ", needs item";
	case LEAT_NEEDS_NOTE:
		return ", needs note";
	default:
		return needs == 0 ? "" : ", needs what has no words";
	}
}

static void
dump_events(void)
{
	const struct leat_event *e;

	for (size_t i = 0; (e = leat_event_at(i)) != NULL; i++)
		printf("%s\t%s%s%s%s\t%s\n", e->name, e->point != NULL ? e->point : "no point", event_needs(e->needs),
		    e->resets != NULL ? ", renews " : "", e->resets != NULL ? e->resets : "", e->meaning);
}

/* Reads path as the named table: 0, -1 with err, or 1 for a table that does not exist. */
static int
read_table(const char *table, const char *path, struct leat_error *err)
{
	struct leat_confirms confirms;
	struct leat_limits limits;
	struct leat_logbook book;
	struct leat_modes modes;
	struct leat_nameplate *np;
	struct leat_oil_rules oil;
	struct leat_precharges curve;
	struct leat_points points;
	struct leat_shelves shelves;
	struct leat_sources sources;
	struct leat_trends trends;
	int result = 1;

	if (strcmp(table, "confirm") == 0 && (result = leat_confirms_read(&confirms, path, NULL, err)) == 0)
		leat_confirms_free(&confirms);
	if (strcmp(table, "limits") == 0 && (result = leat_limits_read(&limits, path, NULL, err)) == 0)
		leat_limits_free(&limits);
	if (strcmp(table, "logbook") == 0 && (result = leat_logbook_sheet(&book, path, NULL, err)) == 0)
		leat_logbook_free(&book);
	if (strcmp(table, "modes") == 0 && (result = leat_modes_read(&modes, path, NULL, err)) == 0)
		leat_modes_free(&modes);
	if (strcmp(table, "nameplate") == 0) {
		np = leat_nameplate_read(path, NULL, err);
		result = np != NULL ? 0 : -1;
		leat_nameplate_free(np);
	}
	if (strcmp(table, "precharge") == 0 && (result = leat_precharges_read(&curve, path, NULL, err)) == 0)
		leat_precharges_free(&curve);
	if (strcmp(table, "oil") == 0 && (result = leat_oil_rules_read(&oil, path, NULL, err)) == 0)
		leat_oil_rules_free(&oil);
	if (strcmp(table, "points") == 0 && (result = leat_points_read(&points, path, NULL, err)) == 0)
		leat_points_free(&points);
	if (strcmp(table, "shelved") == 0 && (result = leat_shelves_read(&shelves, path, NULL, NULL, err)) == 0)
		leat_shelves_free(&shelves);
	if (strcmp(table, "sources") == 0 && (result = leat_sources_read(&sources, path, NULL, err)) == 0)
		leat_sources_free(&sources);
	if (strcmp(table, "trends") == 0 && (result = leat_trends_read(&trends, path, NULL, err)) == 0)
		leat_trends_free(&trends);
	return result;
}

/* The columns as a user sees them: in the message about an empty file, "... (a, b, c)". */
static int
dump_columns(const char *table)
{
	struct leat_error err = { 0 };
	char *from;

	if (read_table(table, "/dev/null", &err) != -1 || (from = strrchr(err.text, '(')) == NULL)
		return 1;
	for (char *name = from + 1; *name != '\0';) {
		size_t len = strcspn(name, ",)");

		printf("%.*s\n", (int)len, name);
		name += len + strspn(name + len, ",) ");
	}
	return 0;
}

int
main(int argc, char *argv[])
{
	struct leat_error err = { 0 };
	char text[1024];
	int result;

	if (argc == 2 && strcmp(argv[1], "points") == 0)
		dump_points();
	else if (argc == 2 && strcmp(argv[1], "properties") == 0)
		dump_properties();
	else if (argc == 2 && strcmp(argv[1], "events") == 0)
		dump_events();
	else if (argc == 3 && strcmp(argv[1], "columns") == 0)
		return dump_columns(argv[2]);
	else if (argc == 4 && strcmp(argv[1], "read") == 0) {
		result = read_table(argv[2], argv[3], &err);
		if (result != 0)
			fprintf(stderr, "%s\n", result < 0 ? leat_error_format(&err, text, sizeof(text)) : "no such table");
		return result != 0;
	} else {
		fprintf(stderr, "usage: dump_names points | properties | events | columns TABLE | read TABLE FILE\n");
		return 2;
	}
	return 0;
}
