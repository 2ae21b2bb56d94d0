/* What a works knows: its assets, the points they have, and the rules under which findings come. */
#include <stdio.h>

#include "judge/proof_private.h"

static uint32_t
put(struct leat_proof *p, struct leat_names *names, struct leat_span text)
{
	uint32_t number = leat_names_put(names, text);

	if (number == LEAT_NAME_NONE)
		p->out_of_memory = true;
	return number;
}

static void
know_asset(struct leat_proof *p, struct leat_span asset)
{
	if (asset.len == 0)
		return;
	do {
		put(p, &p->assets, asset);
	} while (leat_asset_parent(asset, &asset));
}

/* Pairs are numbered by one table of names for both, so that a series needs no declared asset. */
void
proof_know_series(struct leat_proof *p, struct leat_span asset, struct leat_span point)
{
	uint32_t a = put(p, &p->names, asset), b = put(p, &p->names, point);

	if (a != LEAT_NAME_NONE && b != LEAT_NAME_NONE && leat_pairs_put(&p->series, a, b) == LEAT_NAME_NONE)
		p->out_of_memory = true;
}

void
proof_learn(struct leat_proof *p, const struct leat_table *t)
{
	size_t asset = proof_column(t, "asset"), point = proof_column(t, "point");

	for (size_t row = 0; row < leat_table_rows(t); row++) {
		struct leat_span name = leat_table_cell(t, row, asset);

		know_asset(p, name);
		if (p->which == PROOF_POINTS && name.len > 0 && leat_table_cell(t, row, point).len > 0)
			proof_know_series(p, name, leat_table_cell(t, row, point));
	}
}

bool
proof_knows_points(const struct leat_proof *p)
{
	return p->count[PROOF_POINTS].rows > 0 && !p->lines_lost;
}

bool
proof_is_glob(struct leat_span text)
{
	return leat_span_find(text, '*') < text.len || leat_span_find(text, '?') < text.len;
}

/* Without its roll-up suffix. */
static struct leat_span
without_suffix(struct leat_span point)
{
	return leat_span_make(point.ptr, leat_span_find(point, '.'));
}

bool
proof_asset_fits(const struct leat_proof *p, struct leat_span glob)
{
	for (size_t i = 0; i < p->assets.count; i++)
		if (leat_glob(glob, p->assets.name[i]))
			return true;
	for (size_t i = 0; i < p->series.count; i++)
		if (leat_glob(glob, p->names.name[p->series.pair[i] >> 32]))
			return true;
	return false;
}

/* Does the pattern fit the name of a point that filters compute?  Those come at any asset. */
static bool
fits_derived(struct leat_span glob)
{
	const struct leat_point_info *info;

	for (size_t i = 0; (info = leat_point_at(i)) != NULL; i++)
		if (leat_point_derived(leat_span_of(info->name)) && leat_glob(glob, leat_span_of(info->name)))
			return true;
	return false;
}

bool
proof_series_fits(const struct leat_proof *p, struct leat_span asset, struct leat_span point)
{
	struct leat_span base = without_suffix(point);

	for (size_t i = 0; i < p->series.count; i++) {
		struct leat_span name = p->names.name[p->series.pair[i] & UINT32_MAX];

		if (leat_glob(asset, p->names.name[p->series.pair[i] >> 32]) &&
		    (leat_glob(point, name) || (base.len < point.len && leat_glob(base, name))))
			return true;
	}
	return (fits_derived(point) || (base.len < point.len && fits_derived(base))) && proof_asset_fits(p, asset);
}

bool
proof_has(const struct leat_proof *p, struct leat_span asset, struct leat_span point)
{
	struct leat_span base = without_suffix(point);
	uint32_t a = leat_names_get(&p->names, asset), b = leat_names_get(&p->names, point);
	uint32_t c = leat_names_get(&p->names, base);

	if (a != LEAT_NAME_NONE && b != LEAT_NAME_NONE && leat_pairs_get(&p->series, a, b) != LEAT_NAME_NONE)
		return true;
	if (a != LEAT_NAME_NONE && c != LEAT_NAME_NONE && base.len < point.len && leat_point_derived(point) &&
	    leat_pairs_get(&p->series, a, c) != LEAT_NAME_NONE)
		return true;
	return leat_point_derived(base) && leat_names_get(&p->assets, asset) != LEAT_NAME_NONE;
}

bool
proof_has_below(const struct leat_proof *p, struct leat_span asset)
{
	for (size_t i = 0; i < p->series.count; i++)
		if (leat_asset_within(p->names.name[p->series.pair[i] >> 32], asset))
			return true;
	return false;
}

/* Names that differ in nothing but what follows their last '-', such as pump-a and pump-b, are of a kind, no slip. */
static bool
of_a_kind(struct leat_span a, struct leat_span b)
{
	size_t i = a.len, j = b.len;

	while (i > 0 && a.ptr[i - 1] != '-' && a.ptr[i - 1] != '/')
		i--;
	while (j > 0 && b.ptr[j - 1] != '-' && b.ptr[j - 1] != '/')
		j--;
	return i > 0 && i == j && a.ptr[i - 1] == '-' && memcmp(a.ptr, b.ptr, i) == 0;
}

static size_t
depth(struct leat_span asset)
{
	size_t n = 0;

	for (size_t i = 0; i < asset.len; i++)
		n += asset.ptr[i] == '/';
	return n;
}

/* The nearest asset, known otherwise than by the name itself, that has points at it or below. */
const char *
proof_near_asset(const struct leat_proof *p, struct leat_span asset)
{
	struct leat_nearest nearest = { .word = asset };

	for (size_t i = 0; i < p->assets.count; i++) {
		struct leat_span name = p->assets.name[i];

		if (!leat_span_eq(name, asset) && depth(name) == depth(asset) && !of_a_kind(name, asset) &&
		    proof_has_below(p, name))
			leat_nearest_offer(&nearest, name.ptr);
	}
	return nearest.name;
}

const char *
proof_near_point(const struct leat_proof *p, struct leat_span point)
{
	struct leat_nearest nearest = { .word = point };
	const struct leat_point_info *info;

	for (size_t i = 0; (info = leat_point_at(i)) != NULL; i++)
		if (!leat_span_is(point, info->name))
			leat_nearest_offer(&nearest, info->name);
	for (size_t i = 0; i < p->series.count; i++) {
		struct leat_span name = p->names.name[p->series.pair[i] & UINT32_MAX];

		if (!leat_span_eq(name, point))
			leat_nearest_offer(&nearest, name.ptr);
	}
	return nearest.name;
}

bool
proof_doubtful(const struct leat_proof *p, struct leat_span asset, const char **near)
{
	struct leat_span mill = leat_asset_mill(asset);

	*near = NULL;
	if (!proof_knows_points(p) || leat_span_is(asset, "-") || asset.len == 0)
		return false;
	if (proof_is_glob(asset))
		return !proof_asset_fits(p, asset);
	if (leat_names_get(&p->assets, asset) != LEAT_NAME_NONE)
		return false;
	*near = proof_near_asset(p, asset);
	return *near != NULL || leat_names_get(&p->assets, mill) == LEAT_NAME_NONE;
}

/* Rules that belong to no row of a table: of readers about the data, of the archive, of the nightly job. */
static const char *const fixed_rules[] = {
	"archive-conflict", "archive-replaced", "diagnosis", "double-hour", "future-stamp", "missing-column", "missing-hour",
	"no-data", "no-oil-judged", "no-trend-judged", "no-work-judged", "nothing-judged", "odd-one-out", "oil-verdict",
	"rejected-rows", "source-cut", "source-failed", "source-missing", "unit-conflict", "unknown-tag", "unlogged-work"
};

static void
learn_column(struct leat_proof *p, enum leat_proof_which which, const char *column)
{
	const struct leat_table *t = p->table[which];

	for (size_t row = 0; t != NULL && row < leat_table_rows(t); row++) {
		struct leat_span rule = leat_table_cell(t, row, proof_column(t, column));

		if (rule.len > 0)
			put(p, &p->rules, rule);
	}
}

static void
learn_names(struct leat_proof *p, const struct leat_rule_table *rules)
{
	for (size_t i = 0; i < rules->count; i++)
		put(p, &p->rules, leat_rule_at(rules, i)->name);
}

void
proof_learn_rules(struct leat_proof *p)
{
	for (size_t i = 0; i < sizeof(fixed_rules) / sizeof(fixed_rules[0]); i++)
		put(p, &p->rules, leat_span_of(fixed_rules[i]));
	learn_names(p, &p->limits.table);
	learn_names(p, &p->trends.table);
	learn_names(p, &p->confirms.table);
	learn_names(p, &p->oil.table);
	for (size_t i = 0; i < p->modes.count; i++) {
		char rule[80];
		int len = snprintf(rule, sizeof(rule), "likely-%.*s", (int)p->modes.mode[i].name.len, p->modes.mode[i].name.ptr);

		put(p, &p->rules, leat_span_make(rule, (size_t)len));
	}
	learn_column(p, PROOF_TASKS, "task");
}

/* A judge adds what it judged to the rule's name: low-level-stale, drain-trend.  So such an ending is looked past. */
bool
proof_rule_known(const struct leat_proof *p, struct leat_span glob, const char **near)
{
	struct leat_nearest nearest = { .word = glob };

	*near = NULL;
	for (size_t i = 0; i < p->rules.count; i++) {
		struct leat_span rule = p->rules.name[i];

		if (leat_glob(glob, rule))
			return true;
		if (glob.len > rule.len && glob.ptr[rule.len] == '-' && memcmp(glob.ptr, rule.ptr, rule.len) == 0)
			return true;
		if (proof_is_glob(glob)) {
			char whole[128];
			static const char *const endings[] = { "-rate", "-stale", "-frozen", "-step" };

			for (size_t n = 0; n < sizeof(endings) / sizeof(endings[0]); n++) {
				int len = snprintf(whole, sizeof(whole), "%.*s%s", (int)(rule.len < 100 ? rule.len : 100), rule.ptr, endings[n]);

				if (leat_glob(glob, leat_span_make(whole, (size_t)len)))
					return true;
			}
		}
		leat_nearest_offer(&nearest, rule.ptr);
	}
	*near = nearest.name;
	return false;
}
