/* Tables whose rows name assets, points and a rule. */
#include <stdio.h>
#include <stdlib.h>

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

/* The column of that name, or how many there are. */
static size_t
column_of(const struct leat_table *t, const char *name)
{
	const struct leat_table_form *form = leat_table_form_of(t);
	size_t column = 0;

	while (column < form->columns && strcmp(form->column[column], name) != 0)
		column++;
	return column;
}

int
leat_rule_take(struct leat_rule *rule, const struct leat_table *t, size_t i, const char *fallback, struct leat_error *err)
{
	size_t asset = column_of(t, "asset"), point = column_of(t, "point"), name = column_of(t, "rule");

	rule->asset = leat_table_cell(t, i, asset);
	rule->point = leat_table_cell(t, i, point);
	rule->name = leat_table_cell(t, i, name);
	rule->advice = leat_table_cell(t, i, column_of(t, "advice"));
	rule->source = leat_table_cell(t, i, column_of(t, "source"));
	rule->asset_weight = leat_glob_weight(rule->asset);
	rule->point_weight = leat_glob_weight(rule->point);
	if (rule->asset.len == 0)
		return leat_table_fault(t, i, asset, err, "empty: write an asset, a pattern, or * for all");
	if (rule->point.len == 0)
		return leat_table_fault(t, i, point, err, "empty: write a point, a pattern, or * for all");
	if (rule->name.len == 0)
		rule->name = leat_span_of(fallback);
	if (!is_slug(rule->name))
		return leat_table_fault(t, i, name, err, "a rule's name has letters, digits, '-', '_' and '.' only");
	return 0;
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

const struct leat_rule *
leat_rule_at(const struct leat_rule_table *rules, size_t i)
{
	return (const struct leat_rule *)((const char *)rules->row + i * rules->form->size);
}

static bool
is_same(const struct leat_rule *a, const struct leat_rule *b)
{
	return leat_span_eq(a->name, b->name) && leat_span_eq(a->point, b->point) && leat_span_eq(a->asset, b->asset);
}

/* Has the same table such a row already? */
static int
check_twice(const struct leat_rule_table *rules, const struct leat_rule *rule, const struct leat_table *t, size_t i,
    struct leat_error *err)
{
	char text[128];

	for (size_t j = 0; j < rules->count; j++) {
		const struct leat_rule *other = leat_rule_at(rules, j);

		if (other->shipped != rule->shipped || !is_same(other, rule))
			continue;
		snprintf(text, sizeof(text), "line %ld has this asset, point and rule: name one of the rules otherwise",
		    other->line);
		return leat_table_fault(t, i, column_of(t, "rule"), err, text);
	}
	return 0;
}

/* The last thing of a row, so that nothing has to be undone where the row is at fault. */
static int
take_gate(struct leat_rule *rule, const struct leat_table *t, size_t i, struct leat_error *err)
{
	size_t column = column_of(t, "when");
	struct leat_span text = column < leat_table_form_of(t)->columns ? leat_table_cell(t, i, column) : LEAT_SPAN("");
	struct leat_error why = { 0 };

	if (text.len == 0)
		return 0;
	rule->when = leat_gate_compile(text, &why);
	return rule->when != NULL ? 0 : leat_table_fault(t, i, column, err, why.text);
}

static int
take_row(void *of, const struct leat_table *t, size_t i, bool shipped, struct leat_error *err)
{
	struct leat_rule_table *rules = of;
	struct leat_rule *rule;

	if (leat_grow(&rules->row, &rules->cap, rules->count + 1, rules->form->size) != 0)
		return leat_error_memory(err);
	rule = (struct leat_rule *)((char *)rules->row + rules->count * rules->form->size);
	rule->shipped = shipped;
	rule->line = leat_table_line(t, i);
	rule->file = leat_table_file(t);
	if (rules->form->take(rule, t, i, err) != 0 || check_twice(rules, rule, t, i, err) != 0 ||
	    take_gate(rule, t, i, err) != 0)
		return -1;
	rules->count++;
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

int
leat_rule_table_make(struct leat_rule_table *rules, const struct leat_rule_form *form, struct leat_table *works,
    struct leat_error *err)
{
	*rules = (struct leat_rule_table){ .form = form };
	if (leat_rule_tables(&rules->shipped, form->shipped_name, form->shipped(), works, form->table, take_row, rules,
	    err) != 0) {
		leat_rule_table_free(rules);
		return -1;
	}
	rules->works = works;
	return 0;
}

int
leat_rule_table_read(struct leat_rule_table *rules, const struct leat_rule_form *form, const char *path, bool *absent,
    struct leat_error *err)
{
	struct leat_table *works;

	memset(rules, 0, sizeof(*rules));
	if (leat_table_optional(&works, path, form->table, absent, err) == 0 &&
	    leat_rule_table_make(rules, form, works, err) == 0)
		return 0;
	leat_table_free(works);
	return -1;
}

void
leat_rule_table_free(struct leat_rule_table *rules)
{
	for (size_t i = 0; i < rules->count; i++)
		leat_gate_free(leat_rule_at(rules, i)->when);
	free(rules->row);
	leat_table_free(rules->works);
	leat_table_free(rules->shipped);
	memset(rules, 0, sizeof(*rules));
}

/* Does a rule where both match? */
static bool
outranks(const struct leat_rule *a, const struct leat_rule *b)
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
matches(const struct leat_rule *rule, struct leat_span asset, struct leat_span point)
{
	return leat_glob(rule->point, point) && leat_glob(rule->asset, asset);
}

/* Is there a row of the same rule that matches too, and rules before this one? */
static bool
outranked(const struct leat_rule_table *rules, const struct leat_rule *rule, struct leat_span asset, struct leat_span point)
{
	for (size_t j = 0; j < rules->count; j++) {
		const struct leat_rule *other = leat_rule_at(rules, j);

		if (leat_span_eq(other->name, rule->name) && outranks(other, rule) && matches(other, asset, point))
			return true;
	}
	return false;
}

size_t
leat_rule_for(const struct leat_rule_table *rules, struct leat_span asset, struct leat_span point, size_t *index, size_t max)
{
	size_t found = 0;

	for (size_t i = 0; i < rules->count; i++) {
		const struct leat_rule *rule = leat_rule_at(rules, i);

		if (rule->off || !matches(rule, asset, point) || outranked(rules, rule, asset, point))
			continue;
		if (found < max)
			index[found] = i;
		found++;
	}
	return found;
}

void
leat_rule_matched(const struct leat_rule_table *rules, struct leat_span asset, struct leat_span point, bool *matched)
{
	for (size_t i = 0; i < rules->count; i++)
		if (matches(leat_rule_at(rules, i), asset, point))
			matched[i] = true;
}

bool
leat_rule_stands_for_shipped(const struct leat_rule_table *rules, const struct leat_rule *rule)
{
	for (size_t i = 0; i < rules->count; i++)
		if (leat_rule_at(rules, i)->shipped && is_same(leat_rule_at(rules, i), rule))
			return true;
	return false;
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
