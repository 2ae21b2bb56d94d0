/* Rows that name assets, points and a rule. */
#include <stdio.h>

#include "stream/rule_row.h"

bool
leat_rule_is_glob(struct leat_span text)
{
	return leat_span_find(text, '*') < text.len || leat_span_find(text, '?') < text.len;
}

/* A slug goes through streams, file names and job numbers: letters, digits, '-', '_' and '.'. */
static bool
is_slug(struct leat_span s)
{
	for (size_t i = 0; i < s.len; i++) {
		char c = s.ptr[i];

		if (!((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_' ||
		    c == '.'))
			return false;
	}
	return true;
}

int
leat_rule_take(struct leat_rule_key *key, const struct leat_table *t, size_t i, const struct leat_rule_columns *columns,
    const char *fallback, struct leat_error *err)
{
	key->asset = leat_table_cell(t, i, columns->asset);
	key->point = leat_table_cell(t, i, columns->point);
	key->rule = leat_table_cell(t, i, columns->rule);
	key->asset_weight = leat_glob_weight(key->asset);
	key->point_weight = leat_glob_weight(key->point);
	key->line = leat_table_line(t, i);
	if (key->asset.len == 0)
		return leat_table_fault(t, i, columns->asset, err, "empty: write an asset, a pattern, or * for all");
	if (key->point.len == 0)
		return leat_table_fault(t, i, columns->point, err, "empty: write a point, a pattern, or * for all");
	if (key->rule.len == 0)
		key->rule = leat_span_of(fallback);
	if (!is_slug(key->rule))
		return leat_table_fault(t, i, columns->rule, err, "a rule's name has letters, digits, '-', '_' and '.' only");
	return 0;
}

int
leat_rule_gate(struct leat_gate **gate, const struct leat_table *t, size_t i, size_t column, struct leat_error *err)
{
	struct leat_span text = leat_table_cell(t, i, column);
	struct leat_error why = { 0 };

	*gate = NULL;
	if (text.len == 0)
		return 0;
	*gate = leat_gate_compile(text, &why);
	return *gate != NULL ? 0 : leat_table_fault(t, i, column, err, why.text);
}

const struct leat_point_info *
leat_rule_point(struct leat_span point)
{
	return leat_rule_is_glob(point) ? NULL : leat_point_find(point);
}

int
leat_rule_unit(const struct leat_point_info *point, const struct leat_unit *unit, const struct leat_table *t, size_t i,
    size_t column, struct leat_error *err)
{
	const struct leat_unit *own;
	char text[96];

	if (point == NULL || unit == NULL)
		return 0;
	own = point->unit[0] != '\0' ? leat_unit_find(leat_span_of(point->unit)) : NULL;
	if (own == NULL)
		return leat_table_fault(t, i, column, err, "this point has no unit in leat-points(7)");
	if (leat_unit_same_dimension(own, unit))
		return 0;
	snprintf(text, sizeof(text), "a unit of another dimension than this point's '%s'", own->name);
	return leat_table_fault(t, i, column, err, text);
}

int
leat_rule_levels_take(struct leat_rule_levels *levels, const struct leat_table *t, size_t i, size_t first,
    struct leat_error *err)
{
	char text[96];

	*levels = (struct leat_rule_levels){ 0 };
	for (size_t n = 0; n < LEAT_RULE_LEVELS; n++) {
		int got = leat_table_number(t, i, first + n, &levels->value[n], err);

		if (got < 0)
			return -1;
		levels->has[n] = got == 1;
	}
	for (size_t low = 0; low < LEAT_RULE_LEVELS; low++) {
		for (size_t high = low + 1; high < LEAT_RULE_LEVELS; high++) {
			bool across = low <= LEAT_LOW_ALERT && high >= LEAT_HIGH_ALERT;

			if (!levels->has[low] || !levels->has[high] ||
			    (across ? levels->value[low] < levels->value[high] : levels->value[low] <= levels->value[high]))
				continue;
			snprintf(text, sizeof(text), "must %s '%s'", across ? "lie above" : "not lie below",
			    leat_table_form_of(t)->column[first + low]);
			return leat_table_fault(t, i, first + high, err, text);
		}
	}
	return 0;
}

static struct leat_rule_key
key_at(const struct leat_rule_rows *rows, size_t i)
{
	return rows->key((const char *)rows->row + i * rows->size);
}

int
leat_rule_twice(const struct leat_rule_rows *rows, const struct leat_rule_key *key, const struct leat_table *t,
    size_t i, size_t column, struct leat_error *err)
{
	char text[128];

	for (size_t j = 0; j < rows->count; j++) {
		struct leat_rule_key other = key_at(rows, j);

		if (other.shipped != key->shipped || !leat_span_eq(other.rule, key->rule) ||
		    !leat_span_eq(other.point, key->point) || !leat_span_eq(other.asset, key->asset))
			continue;
		snprintf(text, sizeof(text), "line %ld has this asset, point and rule: name one of the rules otherwise",
		    other.line);
		return leat_table_fault(t, i, column, err, text);
	}
	return 0;
}

static int
take_all(leat_rule_take_row *take, void *rows, const struct leat_table *t, bool shipped, struct leat_error *err)
{
	for (size_t i = 0; t != NULL && i < leat_table_rows(t); i++)
		if (take(rows, t, i, shipped, err) != 0)
			return -1;
	return 0;
}

int
leat_rule_tables(struct leat_table **shipped, const char *name, const char *text, const struct leat_table *works,
    const struct leat_table_form *form, leat_rule_take_row *take, void *rows, struct leat_error *err)
{
	*shipped = leat_table_text(name, text, form, err);
	return *shipped != NULL && take_all(take, rows, works, false, err) == 0 &&
	    take_all(take, rows, *shipped, true, err) == 0 ? 0 : -1;
}

/* Does a rule where both match? */
static bool
outranks(const struct leat_rule_key *a, const struct leat_rule_key *b)
{
	if (a->shipped != b->shipped)
		return b->shipped;
	if (a->asset_weight != b->asset_weight)
		return a->asset_weight > b->asset_weight;
	if (a->point_weight != b->point_weight)
		return a->point_weight > b->point_weight;
	return a->line > b->line;
}

static bool
matches(const struct leat_rule_key *key, struct leat_span asset, struct leat_span point)
{
	return leat_glob(key->point, point) && leat_glob(key->asset, asset);
}

/* Is there a row of the same rule that matches too, and rules before this one? */
static bool
outranked(const struct leat_rule_rows *rows, const struct leat_rule_key *key, struct leat_span asset,
    struct leat_span point)
{
	for (size_t j = 0; j < rows->count; j++) {
		struct leat_rule_key other = key_at(rows, j);

		if (leat_span_eq(other.rule, key->rule) && outranks(&other, key) && matches(&other, asset, point))
			return true;
	}
	return false;
}

size_t
leat_rule_for(const struct leat_rule_rows *rows, struct leat_span asset, struct leat_span point, size_t *index, size_t max)
{
	size_t found = 0;

	for (size_t i = 0; i < rows->count; i++) {
		struct leat_rule_key key = key_at(rows, i);

		if (key.off || !matches(&key, asset, point) || outranked(rows, &key, asset, point))
			continue;
		if (found < max)
			index[found] = i;
		found++;
	}
	return found;
}

void
leat_rule_add_advice(char *dst, size_t size, struct leat_span advice)
{
	size_t at = strlen(dst);

	advice = leat_span_trim(advice);
	if (leat_span_ends(advice, "."))
		advice.len--;
	if (advice.len == 0 || at + 3 > size)
		return;
	memcpy(dst + at, "; ", 3);
	at += 2;
	leat_mask(dst + at, size - at, advice);
	/* It goes on within the sentence. */
	if (dst[at] >= 'A' && dst[at] <= 'Z' && dst[at + 1] >= 'a' && dst[at + 1] <= 'z')
		dst[at] = (char)(dst[at] - 'A' + 'a');
}
