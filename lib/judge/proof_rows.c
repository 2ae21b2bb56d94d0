/* Rows that judge readings: can anything fit them, and can their conditions ever be answered? */
#include <stdio.h>

#include "judge/proof_private.h"
#include "physics/mill_state.h"

bool
proof_fits(struct leat_proof *p, const struct leat_table *t, size_t row, size_t asset_column, size_t point_column)
{
	struct leat_span asset = leat_table_cell(t, row, asset_column), point = leat_table_cell(t, row, point_column);
	char hint[PROOF_HINT];
	const char *near;

	/* Tags without a row of points.csv are points of the asset '-', whatever they are called. */
	if (!proof_knows_points(p) || leat_span_is(asset, "-"))
		return true;
	if (asset.len == 0 || point.len == 0)
		return false;
	if (!proof_asset_fits(p, asset)) {
		near = proof_is_glob(asset) ? NULL : proof_near_asset(p, asset);
		proof_cell(p, false, t, row, asset_column, "no asset of points.csv, nameplate.csv or logbook.csv is this one%s",
		    proof_hint(hint, near));
		return false;
	}
	if (proof_series_fits(p, asset, point))
		return true;
	near = proof_is_glob(point) || leat_point_find(point) != NULL ? NULL : proof_near_point(p, point);
	if (near != NULL)
		proof_cell(p, false, t, row, point_column, "no asset that fits the row has this point, did you mean '%s'?", near);
	else
		proof_cell(p, false, t, row, point_column, "no asset that fits the row has this point in points.csv or logbook.csv");
	return false;
}

/* Has the asset, or a parent of it, the operand? */
static bool
answers(const struct leat_proof *p, struct leat_span asset, const struct leat_gate_operand *o)
{
	char path[512];

	do {
		int len = snprintf(path, sizeof(path), "%.*s%s%.*s", (int)asset.len, asset.ptr, o->child.len > 0 ? "/" : "",
		    (int)o->child.len, o->child.ptr);

		if (len > 0 && (size_t)len < sizeof(path) && proof_has(p, leat_span_make(path, (size_t)len), o->point))
			return true;
	} while (leat_asset_parent(asset, &asset));
	return false;
}

/* Can the operand be answered for any asset that the row fits? */
static bool
answered(const struct leat_proof *p, struct leat_span asset, struct leat_span point, const struct leat_gate_operand *o)
{
	bool any = false;

	for (size_t i = 0; i < p->series.count; i++) {
		struct leat_span name = p->names.name[p->series.pair[i] >> 32];

		if (!leat_glob(asset, name) || !leat_glob(point, p->names.name[p->series.pair[i] & UINT32_MAX]))
			continue;
		any = true;
		if (answers(p, name, o))
			return true;
	}
	/* What filters compute comes at any asset. */
	for (size_t i = 0; !any && i < p->assets.count; i++)
		if (leat_glob(asset, p->assets.name[i]) && answers(p, p->assets.name[i], o))
			return true;
	return false;
}

static const char *
near_state(struct leat_span word, bool *known)
{
	struct leat_nearest nearest = { .word = word };

	*known = false;
	for (int i = LEAT_MILL_UNKNOWN; i <= LEAT_MILL_HOLD; i++) {
		const char *name = leat_mill_state_name((enum leat_mill_state)i);

		*known = *known || leat_span_is(word, name);
		leat_nearest_offer(&nearest, name);
	}
	return nearest.name;
}

/* A word that the point never has makes a comparison that is always the same. */
static void
check_word(struct leat_proof *p, const struct leat_table *t, size_t row, size_t column, const struct leat_gate_operand *o)
{
	const struct leat_point_info *info = leat_point_find(o->point);
	char hint[PROOF_HINT];
	const char *near;
	bool known;

	if (info == NULL || (o->word.len == 0 && !o->is_number))
		return;
	if (leat_span_is(o->point, "state")) {
		near = near_state(o->word, &known);
		if (o->is_number)
			proof_cell(p, false, t, row, column, "'state' has words, not numbers");
		else if (!known)
			proof_cell(p, false, t, row, column, "'state' is never '%.*s'%s", (int)o->word.len, o->word.ptr,
			    proof_hint(hint, near));
	} else if (info->kind == LEAT_KIND_SWITCH && o->word.len > 0 && !o->is_switch_word)
		proof_cell(p, false, t, row, column, "'%s' is on or off, never '%.*s'", info->name, (int)o->word.len, o->word.ptr);
	else if ((info->kind == LEAT_KIND_ANALOGUE || info->kind == LEAT_KIND_STEP) && o->word.len > 0)
		proof_cell(p, false, t, row, column, "'%s' has numbers, never '%.*s'", info->name, (int)o->word.len, o->word.ptr);
}

/* Units of points that are the works' own; those of leat-points(7) are the gate's own matter. */
static void
check_unit(struct leat_proof *p, const struct leat_table *t, size_t row, size_t column, const struct leat_gate_operand *o)
{
	if (o->unit == NULL || leat_point_find(o->point) != NULL)
		return;
	for (size_t i = 0; i < p->points.count; i++) {
		const struct leat_point *own = &p->points.row[i];

		if (!leat_span_eq(own->point, o->point) || own->unit == NULL || leat_unit_same_dimension(own->unit, o->unit))
			continue;
		proof_cell(p, false, t, row, column, "'%.*s' is in %s (points.csv line %ld), which cannot be compared with %s",
		    (int)o->point.len, o->point.ptr, own->unit->name, own->line, o->unit->name);
		return;
	}
}

void
proof_gate(struct leat_proof *p, const struct leat_table *t, size_t row, size_t column, struct leat_span asset,
    struct leat_span point)
{
	struct leat_span text = leat_table_cell(t, row, column);
	struct leat_gate *gate = text.len > 0 ? leat_gate_compile(text, NULL) : NULL;
	struct leat_gate_operand o;

	for (size_t i = 0; gate != NULL && leat_gate_operand(gate, i, &o); i++) {
		char hint[PROOF_HINT];
		const char *near;

		check_word(p, t, row, column, &o);
		check_unit(p, t, row, column, &o);
		if (!proof_knows_points(p) || leat_span_is(asset, "-") || answered(p, asset, point, &o))
			continue;
		near = leat_point_find(o.point) != NULL ? NULL : proof_near_point(p, o.point);
		proof_cell(p, false, t, row, column, "no asset that fits the row has '%.*s%s%.*s', nor has a parent of one%s",
		    (int)o.child.len, o.child.ptr, o.child.len > 0 ? ":" : "", (int)o.point.len, o.point.ptr,
		    proof_hint(hint, near));
	}
	leat_gate_free(gate);
}
