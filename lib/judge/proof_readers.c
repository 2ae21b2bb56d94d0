/*
 * The table of readers: by whom each works table is read, or of what types its columns are, and what is checked against
 * what.  A table that gets a reader gives up its types here for a make.
 */
#include "judge/proof_private.h"

static int
make_nameplate(struct leat_proof *p, struct leat_table *t, struct leat_error *err)
{
	p->nameplate = leat_nameplate_make(t, err);
	return p->nameplate != NULL ? 0 : -1;
}

static int
make_sources(struct leat_proof *p, struct leat_table *t, struct leat_error *err)
{
	return leat_sources_make(&p->sources, t, err);
}

static int
make_points(struct leat_proof *p, struct leat_table *t, struct leat_error *err)
{
	return leat_points_make(&p->points, t, err);
}

static int
make_limits(struct leat_proof *p, struct leat_table *t, struct leat_error *err)
{
	return leat_limits_make(&p->limits, t, err);
}

static int
make_trends(struct leat_proof *p, struct leat_table *t, struct leat_error *err)
{
	return leat_trends_make(&p->trends, t, err);
}

static int
make_confirm(struct leat_proof *p, struct leat_table *t, struct leat_error *err)
{
	return leat_confirms_make(&p->confirms, t, err);
}

static int
make_modes(struct leat_proof *p, struct leat_table *t, struct leat_error *err)
{
	return leat_modes_make(&p->modes, t, err);
}

static int
make_oil(struct leat_proof *p, struct leat_table *t, struct leat_error *err)
{
	return leat_oil_rules_make(&p->oil, t, err);
}

static int
make_precharges(struct leat_proof *p, struct leat_table *t, struct leat_error *err)
{
	return leat_precharges_make(&p->precharges, t, err);
}

static int
make_tasks(struct leat_proof *p, struct leat_table *t, struct leat_error *err)
{
	return leat_tasks_make(&p->tasks, t, err);
}

static int
make_stops(struct leat_proof *p, struct leat_table *t, struct leat_error *err)
{
	return leat_stops_make(&p->stops, t, leat_nameplate_zone(p->nameplate), err);
}

static int
make_parts(struct leat_proof *p, struct leat_table *t, struct leat_error *err)
{
	return leat_parts_make(&p->parts, t, err);
}

static int
make_shelved(struct leat_proof *p, struct leat_table *t, struct leat_error *err)
{
	return leat_shelves_make(&p->shelves, t, leat_nameplate_zone(p->nameplate), err);
}

/* A line that was cut is left out by night with a warning; any other at fault ends the commands that read the book. */
static void
broken_entry(void *user, const struct leat_error *err, bool cut)
{
	struct leat_proof *p = user;

	p->count[p->which].rows++;
	proof_tell(p, !cut, err);
}

int
proof_read_logbook(struct leat_proof *p, const char *path, bool *absent, struct leat_error *err)
{
	struct leat_table_lines lines = { broken_entry, p };
	int result = leat_logbook_read(&p->logbook, path, leat_nameplate_zone(p->nameplate), LEAT_TIME_NONE, &lines, absent,
	    err);

	if (result != 0)
		return -1;
	p->count[p->which].rows += (long long)p->logbook.count;
	p->table[p->which] = p->logbook.table;
	for (size_t i = 0; i < p->logbook.count; i++) {
		struct leat_log_entry *e = &p->logbook.entry[i];

		leat_log_entry_complete(e, &p->points);
		if (e->point.len > 0 && leat_log_entry_value(e).len > 0)
			proof_know_series(p, e->asset, e->point);
	}
	return 0;
}

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define FORM(name, required) static const struct leat_table_form name##_form = { #name, name##_columns, \
	COUNT(name##_columns), required }

static const char *const pairs_columns[] = { "first", "second", "asset", "point", "within" };
FORM(pairs, 2);
static const struct leat_proof_cell pairs_cells[COUNT(pairs_columns)] = {
	{ PROOF_TEXT, true }, { PROOF_TEXT, true }, { PROOF_ASSET, false }, { PROOF_TEXT, false }, { PROOF_DURATION, false }
};

const struct leat_proof_reader proof_readers[PROOF_TABLES] = {
	[PROOF_NAMEPLATE] = { "nameplate", &leat_nameplate_form, make_nameplate, NULL, proof_cross_nameplate },
	[PROOF_SOURCES] = { "sources", &leat_sources_form, make_sources, NULL, proof_cross_sources },
	[PROOF_POINTS] = { "points", &leat_points_form, make_points, NULL, proof_cross_points },
	[PROOF_LIMITS] = { "limits", &leat_limits_form, make_limits, NULL, proof_cross_limits },
	[PROOF_TRENDS] = { "trends", &leat_trends_form, make_trends, NULL, proof_cross_trends },
	[PROOF_CONFIRM] = { "confirm", &leat_confirms_form, make_confirm, NULL, NULL },
	[PROOF_OIL] = { "oil", &leat_oil_rules_form, make_oil, NULL, proof_cross_oil },
	[PROOF_MODES] = { "modes", &leat_modes_form, make_modes, NULL, proof_cross_modes },
	[PROOF_PAIRS] = { "pairs", &pairs_form, NULL, pairs_cells, NULL },
	[PROOF_PRECHARGE] = { "precharge", &leat_precharges_form, make_precharges, NULL, proof_cross_precharge },
	[PROOF_TASKS] = { "tasks", &leat_tasks_form, make_tasks, NULL, proof_cross_tasks },
	[PROOF_STOPS] = { "stops", &leat_stops_form, make_stops, NULL, proof_cross_stops },
	[PROOF_PARTS] = { "parts", &leat_parts_form, make_parts, NULL, NULL },
	[PROOF_LOGBOOK] = { "logbook", NULL, NULL, NULL, proof_cross_logbook },
	[PROOF_SHELVED] = { "shelved", &leat_shelves_form, make_shelved, NULL, proof_cross_shelved }
};
