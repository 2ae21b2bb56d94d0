/* nameplate.csv, sources.csv and points.csv: rows against rows, and properties against the assets they are given for. */
#include "judge/proof_private.h"

/* Points that tell what a part is. */
static const struct {
	const char *belongs, *point;
} kinds[] = {
	{ "pump", "pump-running" }, { "pump", "drain-flow" }, { "pump", "drain-temperature" },
	{ "cooler", "oil-in-temperature" }, { "cooler", "oil-out-temperature" }, { "cooler", "water-in-temperature" },
	{ "cooler", "water-out-temperature" }, { "element", "filter-dp" }
};

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* What the part is by its points, where it is one thing alone and not of that kind; NULL: it may well be. */
static const char *
other_kind(const struct leat_proof *p, struct leat_span asset, const char *belongs)
{
	const char *other = NULL;

	for (size_t i = 0; i < COUNT(kinds); i++) {
		if (!proof_has(p, asset, leat_span_of(kinds[i].point)))
			continue;
		if (strcmp(kinds[i].belongs, belongs) == 0)
			return NULL;
		other = kinds[i].belongs;
	}
	return other;
}

/* Is the property of use only beside readings of the part itself? */
static bool
needs_points(const char *belongs)
{
	return strcmp(belongs, "pump") == 0 || strcmp(belongs, "cooler") == 0 || strcmp(belongs, "element") == 0;
}

static void
check_asset(struct leat_proof *p, const struct leat_table *t, size_t row, const struct leat_property *property)
{
	size_t column = proof_column(t, "asset");
	struct leat_span asset = leat_table_cell(t, row, column), mill = leat_asset_mill(asset);
	struct leat_span due = needs_points(property->belongs) ? asset : mill;
	char hint[PROOF_HINT];
	const char *near;

	if (!proof_knows_points(p) || asset.len == 0 || proof_has_below(p, due) || !proof_first(p, due))
		return;
	near = proof_near_asset(p, asset);
	proof_cell(p, false, t, row, column, "no point of points.csv or logbook.csv is of this %s%s",
	    due.len == mill.len ? "mill" : "asset", proof_hint(hint, near));
}

static void
check_kind(struct leat_proof *p, const struct leat_table *t, size_t row, const struct leat_property *property)
{
	size_t column = proof_column(t, "property");
	struct leat_span asset = leat_table_cell(t, row, proof_column(t, "asset"));
	bool is_part = leat_span_find(asset, '/') < asset.len;
	const char *other;

	if (asset.len == 0)
		return;
	if (strcmp(property->belongs, "works") == 0)
		proof_cell(p, false, t, row, column, "a property of the works: the row counts with an empty asset only");
	else if (strcmp(property->belongs, "mill") == 0 && is_part)
		proof_cell(p, false, t, row, column, "a property of the mill, given for a part of it: the mill does not have it");
	else if (is_part && (other = other_kind(p, asset, property->belongs)) != NULL)
		proof_cell(p, false, t, row, column, "a property of a %s, but by its points the asset is a %s", property->belongs,
		    other);
}

void
proof_cross_nameplate(struct leat_proof *p, const struct leat_table *t)
{
	for (size_t row = 0; row < leat_table_rows(t); row++) {
		const struct leat_property *property = leat_property_find(leat_table_cell(t, row, proof_column(t, "property")));

		check_asset(p, t, row, property);
		check_kind(p, t, row, property);
	}
}

#define PATTERN_LENGTH 255u

/* Is there a text that both patterns fit?  Row by row from the ends: whether what is left of a and of b can meet. */
static bool
patterns_meet(struct leat_span a, struct leat_span b)
{
	bool row[2][PATTERN_LENGTH + 1];

	if (a.len > PATTERN_LENGTH || b.len > PATTERN_LENGTH)
		return false;
	for (size_t i = a.len + 1; i-- > 0;) {
		bool *now = row[i % 2], *below = row[(i + 1) % 2];

		for (size_t j = b.len + 1; j-- > 0;) {
			char x = i < a.len ? a.ptr[i] : '\0', y = j < b.len ? b.ptr[j] : '\0';

			now[j] = (i == a.len && j == b.len) ||
			    (x == '*' && (below[j] || (j < b.len && now[j + 1]))) ||
			    (y == '*' && (now[j + 1] || (i < a.len && below[j]))) ||
			    (i < a.len && j < b.len && x != '*' && y != '*' && (x == y || x == '?' || y == '?') && below[j + 1]);
		}
	}
	return row[0][0];
}

/* The first row that fits a file serves, so a special case stands before the general one; the other way round it, or some
 * of its files, never comes into its own. */
void
proof_cross_sources(struct leat_proof *p, const struct leat_table *t)
{
	size_t files = proof_column(t, "files"), name = proof_column(t, "source");

	for (size_t row = 1; row < leat_table_rows(t); row++) {
		struct leat_span glob = leat_table_cell(t, row, files);

		for (size_t first = 0; first < row; first++) {
			struct leat_span before = leat_table_cell(t, first, files), source = leat_table_cell(t, first, name);

			/* Whatever fits the first fits the second too: the special case before the general one. */
			if (leat_glob(glob, before) && !leat_glob(before, glob))
				continue;
			if (!patterns_meet(before, glob))
				continue;
			proof_cell(p, false, t, row, files, "a file can fit this pattern and that of line %ld ('%.*s'), which would serve",
			    leat_table_line(t, first), (int)source.len, source.ptr);
			break;
		}
	}
}

void
proof_cross_points(struct leat_proof *p, const struct leat_table *t)
{
	size_t column = proof_column(t, "point");

	for (size_t row = 0; row < leat_table_rows(t); row++) {
		const struct leat_point *point = &p->points.row[row];
		const char *near = NULL;

		if (leat_point_find(point->point) == NULL && proof_first(p, point->point)) {
			struct leat_nearest nearest = { .word = point->point };
			const struct leat_point_info *info;

			for (size_t i = 0; (info = leat_point_at(i)) != NULL; i++)
				leat_nearest_offer(&nearest, info->name);
			near = nearest.name;
		}
		if (near != NULL)
			proof_cell(p, false, t, row, column, "not in leat-points(7), did you mean '%s'?", near);
		for (size_t other = 0; other < row; other++) {
			const struct leat_point *first = &p->points.row[other];

			if (!leat_span_eq(first->point, point->point) || !leat_span_eq(first->asset, point->asset))
				continue;
			proof_cell(p, false, t, row, column, "line %ld gives this point of the asset too: where both have a reading for "
			    "one time, they must agree", first->line);
			break;
		}
	}
}
