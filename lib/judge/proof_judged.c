/* limits.csv, trends.csv, oil.csv, modes.csv and shelved.csv against what the works knows. */
#include <stdio.h>

#include "derive/sampling_point.h"
#include "judge/proof_private.h"

/* A row that judges, as far as its unit is concerned. */
struct judging {
	const struct leat_rule_table *table;
	size_t row;
	const struct leat_unit *unit;
};

/* Is the row among those that rule this series?  A row that another outranks never meets its readings. */
static bool
rules(const struct judging *j, struct leat_span asset, struct leat_span point)
{
	size_t index[64], max = sizeof(index) / sizeof(index[0]), found = leat_rule_for(j->table, asset, point, index, max);

	for (size_t i = 0; i < found && i < max; i++)
		if (index[i] == j->row)
			return true;
	return false;
}

/* The first reading of another dimension would end the run.  Points of leat-points(7) cannot have one. */
static void
check_units(struct leat_proof *p, const struct leat_table *t, const struct judging *j)
{
	const struct leat_rule *rule = leat_rule_at(j->table, j->row);

	if (j->unit == NULL || rule->off || proof_is_glob(rule->point))
		return;
	for (size_t i = 0; i < p->points.count; i++) {
		const struct leat_point *own = &p->points.row[i];
		struct leat_span asset = own->asset;

		if (j->table == &p->oil.table)
			(void)leat_sampling_bottle(&asset);
		if (own->unit == NULL || leat_unit_same_dimension(own->unit, j->unit) ||
		    !leat_span_eq(own->point, rule->point) || !leat_glob(rule->asset, asset) || !rules(j, asset, own->point))
			continue;
		proof_cell(p, true, t, j->row, proof_column(t, "unit"),
		    "a unit of another dimension than the '%s' that this point has in points.csv line %ld", own->unit->name,
		    own->line);
		return;
	}
}

/* Does anything fit the row, and can its gate be answered? */
static void
check_fit(struct leat_proof *p, const struct leat_table *t, size_t row)
{
	size_t asset = proof_column(t, "asset"), point = proof_column(t, "point"), when = proof_column(t, "when");

	if (proof_fits(p, t, row, asset, point))
		proof_gate(p, t, row, when, leat_table_cell(t, row, asset), leat_table_cell(t, row, point));
}

/* The works' rows are the first of the limits and of the trends, in order, and those at fault are in neither. */
void
proof_cross_limits(struct leat_proof *p, const struct leat_table *t)
{
	for (size_t row = 0; row < leat_table_rows(t); row++) {
		check_units(p, t, &(struct judging){ &p->limits.table, row, p->limits.row[row].unit });
		check_fit(p, t, row);
	}
}

void
proof_cross_trends(struct leat_proof *p, const struct leat_table *t)
{
	for (size_t row = 0; row < leat_table_rows(t); row++) {
		check_units(p, t, &(struct judging){ &p->trends.table, row, p->trends.row[row].unit });
		check_fit(p, t, row);
	}
}

/* Results come under their sampling point, whose bottles points.csv may name. */
static bool
bottles_fit(const struct leat_proof *p, const struct leat_rule *rule)
{
	char below[512];
	int len = snprintf(below, sizeof(below), "%.*s/bottle-*", (int)rule->asset.len, rule->asset.ptr);

	return len > 0 && (size_t)len < sizeof(below) && proof_series_fits(p, leat_span_make(below, (size_t)len), rule->point);
}

void
proof_cross_oil(struct leat_proof *p, const struct leat_table *t)
{
	for (size_t row = 0; row < leat_table_rows(t); row++) {
		const struct leat_oil_rule *r = &p->oil.row[row];

		check_units(p, t, &(struct judging){ &p->oil.table, row, r->unit });
		if (!bottles_fit(p, &r->rule))
			check_fit(p, t, row);
		else
			proof_gate(p, t, row, proof_column(t, "when"), r->rule.asset, r->rule.point);
	}
}

/* A symptom that no finding can ever show, for no judge has such a rule. */
void
proof_cross_modes(struct leat_proof *p, const struct leat_table *t)
{
	char hint[PROOF_HINT];
	const char *near;

	for (size_t row = 0; row < leat_table_rows(t); row++) {
		const struct leat_mode_row *r = &p->modes.row[row];

		if (!r->has_weight)
			continue;
		if (!proof_rule_known(p, r->rule, &near))
			proof_cell(p, false, t, row, proof_column(t, "rule"), "no finding comes under this rule%s", proof_hint(hint, near));
		if (proof_knows_points(p) && !proof_asset_fits(p, r->asset)) {
			near = proof_is_glob(r->asset) ? NULL : proof_near_asset(p, r->asset);
			proof_cell(p, false, t, row, proof_column(t, "asset"),
			    "no asset of points.csv, nameplate.csv or logbook.csv is this one%s", proof_hint(hint, near));
		}
	}
}

/* Findings are of assets, of '-' and of the sources of exports. */
static bool
shelf_asset_known(const struct leat_proof *p, struct leat_span asset)
{
	if (leat_span_is(asset, "-") || proof_asset_fits(p, asset))
		return true;
	for (size_t i = 0; i < p->sources_named.count; i++)
		if (leat_glob(asset, p->sources_named.name[i]))
			return true;
	return false;
}

static void
check_shelf_names(struct leat_proof *p, const struct leat_table *t, size_t row, const struct leat_shelf *shelf)
{
	size_t asset = proof_column(t, "asset"), point = proof_column(t, "point"), rule = proof_column(t, "rule");
	char hint[PROOF_HINT];
	const char *near;

	if (!proof_rule_known(p, shelf->rule, &near))
		proof_cell(p, false, t, row, rule, "no finding comes under this rule%s", proof_hint(hint, near));
	if (!proof_knows_points(p))
		return;
	if (!shelf_asset_known(p, shelf->asset)) {
		near = proof_is_glob(shelf->asset) ? NULL : proof_near_asset(p, shelf->asset);
		proof_cell(p, false, t, row, asset, "no asset of points.csv, nameplate.csv or logbook.csv is this one%s",
		    proof_hint(hint, near));
	} else if (!leat_span_is(shelf->point, "-") && leat_glob_weight(shelf->point) > 0 &&
	    proof_asset_fits(p, shelf->asset) && !proof_series_fits(p, shelf->asset, shelf->point)) {
		near = leat_point_find(shelf->point) != NULL ? NULL : proof_near_point(p, shelf->point);
		proof_cell(p, false, t, row, point, "the asset has no such point%s", proof_hint(hint, near));
	}
}

void
proof_cross_shelved(struct leat_proof *p, const struct leat_table *t)
{
	size_t until = proof_column(t, "until");
	double days = 7;

	if (leat_nameplate_number(p->nameplate, leat_span_make("", 0), "shelve-days", p->now, &days) != 0)
		days = 7;
	for (size_t row = 0; row < leat_table_rows(t); row++) {
		const struct leat_shelf *shelf = &p->shelves.row[row];

		if (leat_glob_weight(shelf->asset) + leat_glob_weight(shelf->point) + leat_glob_weight(shelf->rule) == 0)
			proof_cell(p, false, t, row, proof_column(t, "asset"), "this row shelves every finding");
		if (leat_time_cmp(shelf->until, p->now) <= 0) {
			proof_cell(p, false, t, row, until, "this shelf has ended: the row can go");
			continue;
		}
		if (leat_time_diff(shelf->until, p->now) > days * 86400)
			proof_cell(p, false, t, row, until, "more than the %g days for which the works shelves (shelve-days)", days);
		check_shelf_names(p, t, row, shelf);
	}
}
