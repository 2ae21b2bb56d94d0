/* confirm.csv: reading and checking the rows, and the shipped ones. */
#include "judge/confirms.h"

#include <math.h>

enum column { EVENT, ASSET, POINT, MEASURE, LOW, HIGH, UNIT, WITHIN, RULE, ADVICE, SOURCE, COLUMNS };

static const char *const columns[COLUMNS] = {
	"event", "asset", "point", "measure", "low", "high", "unit", "within", "rule", "advice", "source"
};

const struct leat_table_form leat_confirms_form = { "confirm", columns, COLUMNS, 3 };

#define WITHIN_S (7 * 86400.0)	/* common practice: a week of running shows what was done */

static const char defaults[] =
	"event,asset,point,measure,low,high,unit,within,rule,advice,source\n"
	"cleaning,*cooler*,cooler-ua,ratio,1.15,,,P30D,cooler-cleaned,\"Ask what was cleaned and look at both sides of the "
	    "cooler; shut off and drain it first.\",\"common practice: cleaning that was worth it lifts UA by more than 15 %\"\n"
	"filter-change,*,filter-dp-corrected.ratio,value,0.8,1.5,1,,element-changed,\"See which element was fitted and whether the "
	    "bypass is shut; depressurise the filter before opening it.\",\"common practice: a new element shows 0.8 to 1.3 "
	    "times the clean one; 1.5 allows for the dirt of its first days\"\n"
	"gas-fill,*,precharge-20,ratio,1.01,,,P60D,gas-filled,\"Read the gas again with the oil side open to tank; a valve "
	    "core or bladder that leaks loses it at once. Nitrogen only, by trained hands.\",common practice: filling raises "
	    "the precharge at 20 degC\n"
	"pressure-setting,*,pressure-setpoint,left,-2,2,bar,P7D,setpoint-set,\"Ask who changed the set point since, and log "
	    "it.\",common practice: a setting that was logged is what the controller shows\n"
	"pump-change,*,drain-flow-corrected,ratio,,0.8,,P14D,pump-changed,\"Compare the serial numbers: was the right pump "
	    "changed, and is its replacement sound?\",common practice: a new pump leaks less than 0.8 times what the worn one "
	    "did\n"
	"seal-change,*,internal-leakage,ratio,,0.8,,P14D,seals-changed,\"Test each cylinder for leakage at the next stop: "
	    "another one leaks, or the bore is worn; let all pressure off first.\",common practice: new seals lower the "
	    "leakage of a circuit in which they leaked\n";

const char *
leat_confirms_defaults(void)
{
	return defaults;
}

static int
take_event(const struct leat_table *t, size_t i, struct leat_confirm_row *row, struct leat_error *err)
{
	struct leat_span cell = leat_table_cell(t, i, EVENT);

	row->event = leat_event_find(cell);
	if (row->event == NULL)
		return leat_table_fault(t, i, EVENT, err, cell.len == 0 ? "empty" : "no event of leat-log(1)");
	return 0;
}

static int
take_measure(const struct leat_table *t, size_t i, struct leat_confirm_row *row, struct leat_error *err)
{
	static const char *const names[] = {
		[LEAT_CONFIRM_RATIO] = "ratio", [LEAT_CONFIRM_DIFFERENCE] = "difference", [LEAT_CONFIRM_VALUE] = "value",
		[LEAT_CONFIRM_LEFT] = "left"
	};
	struct leat_span cell = leat_table_cell(t, i, MEASURE);

	if (cell.len == 0)
		return 0;
	for (size_t k = 0; k < sizeof(names) / sizeof(names[0]); k++)
		if (leat_span_is(cell, names[k])) {
			row->measure = (enum leat_confirm_measure)k;
			return 0;
		}
	return leat_table_fault(t, i, MEASURE, err, "not a measure: ratio, difference, value or left");
}

static int
take_bounds(const struct leat_table *t, size_t i, struct leat_confirm_row *row, struct leat_error *err)
{
	row->low = row->high = NAN;
	if (leat_table_number(t, i, LOW, &row->low, err) < 0 || leat_table_number(t, i, HIGH, &row->high, err) < 0)
		return -1;
	row->rule.off = isnan(row->low) && isnan(row->high);
	if (!isnan(row->low) && !isnan(row->high) && row->low > row->high)
		return leat_table_fault(t, i, HIGH, err, "must not lie below 'low'");
	if (row->measure == LEAT_CONFIRM_RATIO && (row->low <= 0 || row->high <= 0))
		return leat_table_fault(t, i, row->low <= 0 ? LOW : HIGH, err, "a ratio above zero is due");
	return 0;
}

/* A ratio has no unit but 1; what else is measured has the point's dimension. */
static int
take_unit(const struct leat_table *t, size_t i, struct leat_confirm_row *row, struct leat_error *err)
{
	const struct leat_point_info *point = leat_rule_point(row->rule.point);

	if (leat_table_unit(t, i, UNIT, &row->unit, err) < 0)
		return -1;
	if (point != NULL && point->kind == LEAT_KIND_WORD)
		return leat_table_fault(t, i, POINT, err, "this point has words, not numbers");
	if (row->measure == LEAT_CONFIRM_RATIO) {
		if (row->unit != NULL && strcmp(row->unit->name, "1") != 0)
			return leat_table_fault(t, i, UNIT, err, "a ratio has no unit: leave this empty");
		row->unit = NULL;
		return 0;
	}
	return leat_rule_unit(point, row->unit, t, i, UNIT, err);
}

static int
take_row(void *of, const struct leat_table *t, size_t i, struct leat_error *err)
{
	struct leat_confirm_row *row = of;

	row->within_s = WITHIN_S;
	if (take_event(t, i, row, err) != 0 || leat_rule_take(&row->rule, t, i, row->event->name, err) != 0 ||
	    take_measure(t, i, row, err) != 0 || take_bounds(t, i, row, err) != 0 || take_unit(t, i, row, err) != 0 ||
	    leat_table_duration(t, i, WITHIN, &row->within_s, err) < 0)
		return -1;
	if (!(row->within_s > 0))
		return leat_table_fault(t, i, WITHIN, err, "a duration longer than zero is due");
	return 0;
}

static const struct leat_rule_form form = {
	&leat_confirms_form, "shipped confirm", leat_confirms_defaults, sizeof(struct leat_confirm_row), take_row
};

/* Shows the rows of the table with their type, and passes on what came of it. */
static int
typed(struct leat_confirms *confirms, int result)
{
	confirms->row = confirms->table.row;
	confirms->count = confirms->table.count;
	return result;
}

int
leat_confirms_make(struct leat_confirms *confirms, struct leat_table *works, struct leat_error *err)
{
	return typed(confirms, leat_rule_table_make(&confirms->table, &form, works, err));
}

int
leat_confirms_read(struct leat_confirms *confirms, const char *path, bool *absent, struct leat_error *err)
{
	return typed(confirms, leat_rule_table_read(&confirms->table, &form, path, absent, err));
}

void
leat_confirms_free(struct leat_confirms *confirms)
{
	leat_rule_table_free(&confirms->table);
	(void)typed(confirms, 0);
}

size_t
leat_confirms_for(const struct leat_confirms *confirms, struct leat_span asset, struct leat_span point, size_t *index,
    size_t max)
{
	return leat_rule_for(&confirms->table, asset, point, index, max);
}
