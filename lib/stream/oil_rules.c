/* oil.csv: reading and checking the rows. */

#include "stream/oil_rules.h"

enum column {
	ASSET, POINT, WHEN, LOW_ALARM, LOW_ALERT, HIGH_ALERT, HIGH_ALARM, UNIT, OWN, LEAST, FRESH, VERDICT, CONFIRM, NEEDED,
	MAX_AGE, RULE, ADVICE, SOURCE, COLUMNS
};

static const char *const columns[COLUMNS] = {
	"asset", "point", "when", "low_alarm", "low_alert", "high_alert", "high_alarm", "unit", "own", "least", "fresh",
	"verdict", "confirm", "needed", "max_age", "rule", "advice", "source"
};

const struct leat_table_form leat_oil_rules_form = { "oil", columns, COLUMNS, 2 };

/* A sample a month, and half a month for the laboratory (common practice). */
#define MAX_AGE_S (45 * 86400.0)

static const char *const cure_names[] = {
	[LEAT_OIL_LOOK] = "look", [LEAT_OIL_CLEAN] = "clean", [LEAT_OIL_DRY] = "dry", [LEAT_OIL_RENEW] = "renew"
};

const char *
leat_oil_cure_name(enum leat_oil_cure cure)
{
	return cure_names[cure];
}

static int
take_own(const struct leat_table *t, size_t i, struct leat_oil_rule *row, struct leat_error *err)
{
	static const char *const sides[] = { "", "low", "high", "both" };
	int side = leat_table_word(t, i, OWN, sides, 4), least = leat_table_number(t, i, LEAST, &row->least, err);

	if (side < 0)
		return leat_table_fault(t, i, OWN, err, "'low', 'high', 'both' or nothing is due");
	row->own = (unsigned)side;
	if (least < 0)
		return -1;
	if (side == 0 && least == 1)
		return leat_table_fault(t, i, LEAST, err, "of no use without 'own'");
	if (side > 0 && (least == 0 || row->least <= 0))
		return leat_table_fault(t, i, LEAST, err, "own limits need a least distance above zero");
	return 0;
}

/* Fresh oil lies within the limits, or no oil could ever pass. */
static int
take_fresh(const struct leat_table *t, size_t i, struct leat_oil_rule *row, struct leat_error *err)
{
	const struct leat_rule_levels *l = &row->level;
	int got = leat_table_number(t, i, FRESH, &row->fresh, err);

	if (got < 0)
		return -1;
	row->has_fresh = got == 1;
	for (size_t n = 0; got == 1 && n < LEAT_RULE_LEVELS; n++)
		if (l->has[n] && (n <= LEAT_LOW_ALERT ? row->fresh <= l->value[n] : row->fresh >= l->value[n]))
			return leat_table_fault(t, i, FRESH, err, "fresh oil must lie within the limits");
	return 0;
}

static int
take_words(const struct leat_table *t, size_t i, struct leat_oil_rule *row, struct leat_error *err)
{
	static const char *const needed[] = { "", "no", "yes" };
	int cure = leat_table_word(t, i, VERDICT, cure_names, 4), need = leat_table_word(t, i, NEEDED, needed, 3), got;
	double confirm = 1;

	if (cure < 0 && (!row->rule.off || leat_table_cell(t, i, VERDICT).len > 0))
		return leat_table_fault(t, i, VERDICT, err, "'look', 'clean', 'dry' or 'renew' is due");
	if (need < 0)
		return leat_table_fault(t, i, NEEDED, err, "'yes', 'no' or nothing is due");
	row->cure = cure < 0 ? LEAT_OIL_LOOK : (enum leat_oil_cure)cure;
	row->needed = need == 2;
	got = leat_table_number(t, i, CONFIRM, &confirm, err);
	if (got < 0)
		return -1;
	if (!(confirm >= 1 && confirm <= LEAT_OIL_CONFIRM_MAX) || confirm != (double)(int)confirm)
		return leat_table_fault(t, i, CONFIRM, err, "a whole number from 1 to 9 is due");
	row->confirm = (int)confirm;
	return 0;
}

static int
take_rest(const struct leat_table *t, size_t i, struct leat_oil_rule *row, struct leat_error *err)
{
	const struct leat_point_info *info = leat_rule_point(row->rule.point);

	if (leat_table_unit(t, i, UNIT, &row->unit, err) < 0)
		return -1;
	row->max_age_s = MAX_AGE_S;
	if (leat_table_duration(t, i, MAX_AGE, &row->max_age_s, err) < 0)
		return -1;
	if (row->max_age_s <= 0)
		return leat_table_fault(t, i, MAX_AGE, err, "a duration longer than zero is due");
	if (info != NULL && info->kind == LEAT_KIND_WORD && !row->rule.off)
		return leat_table_fault(t, i, POINT, err, "this point has words, not numbers");
	return leat_rule_unit(info, row->unit, t, i, UNIT, err);
}

static int
take_row(void *of, const struct leat_table *t, size_t i, struct leat_error *err)
{
	struct leat_oil_rule *row = of;

	if (leat_rule_take(&row->rule, t, i, "oil", err) != 0 || leat_rule_levels_take(&row->level, t, i, LOW_ALARM, err) != 0 ||
	    take_own(t, i, row, err) != 0 || take_fresh(t, i, row, err) != 0)
		return -1;
	row->rule.off = row->own == 0;
	for (size_t n = 0; n < LEAT_RULE_LEVELS; n++)
		row->rule.off = row->rule.off && !row->level.has[n];
	return take_words(t, i, row, err) != 0 || take_rest(t, i, row, err) != 0 ? -1 : 0;
}

static const struct leat_rule_form form = {
	&leat_oil_rules_form, "shipped oil rules", leat_oil_rules_defaults, sizeof(struct leat_oil_rule), take_row
};

/* Shows the rows of the table with their type, and passes on what came of it. */
static int
typed(struct leat_oil_rules *rules, int result)
{
	rules->row = rules->table.row;
	rules->count = rules->table.count;
	return result;
}

int
leat_oil_rules_make(struct leat_oil_rules *rules, struct leat_table *works, struct leat_error *err)
{
	return typed(rules, leat_rule_table_make(&rules->table, &form, works, err));
}

int
leat_oil_rules_read(struct leat_oil_rules *rules, const char *path, bool *absent, struct leat_error *err)
{
	return typed(rules, leat_rule_table_read(&rules->table, &form, path, absent, err));
}

void
leat_oil_rules_free(struct leat_oil_rules *rules)
{
	leat_rule_table_free(&rules->table);
	(void)typed(rules, 0);
}

size_t
leat_oil_rules_for(const struct leat_oil_rules *rules, struct leat_span asset, struct leat_span point, size_t *index,
    size_t max)
{
	return leat_rule_for(&rules->table, asset, point, index, max);
}
