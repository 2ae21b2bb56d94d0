/* confirm.csv: reading and checking the rows, and the shipped ones. */
#include "judge/confirms.h"

#include <math.h>
#include <stdlib.h>

#include "stream/rule_row.h"

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

static struct leat_rule_key
key_of(const void *of)
{
	const struct leat_confirm_row *row = of;

	return (struct leat_rule_key){ row->asset, row->point, row->rule, row->asset_weight, row->point_weight, row->shipped,
		row->off, row->line };
}

static struct leat_rule_rows
rows_of(const struct leat_confirms *confirms)
{
	return (struct leat_rule_rows){ confirms->row, confirms->count, sizeof(*confirms->row), key_of };
}

static int
take_names(const struct leat_table *t, size_t i, struct leat_confirm_row *row, struct leat_error *err)
{
	static const struct leat_rule_columns names = { ASSET, POINT, RULE };
	struct leat_span event = leat_table_cell(t, i, EVENT);
	struct leat_rule_key key;

	if ((row->event = leat_event_find(event)) == NULL)
		return leat_table_fault(t, i, EVENT, err, event.len == 0 ? "empty" : "no event of leat-log(1)");
	if (leat_rule_take(&key, t, i, &names, row->event->name, err) != 0)
		return -1;
	row->asset = key.asset;
	row->point = key.point;
	row->rule = key.rule;
	row->asset_weight = key.asset_weight;
	row->point_weight = key.point_weight;
	row->line = key.line;
	row->file = leat_table_file(t);
	row->advice = leat_table_cell(t, i, ADVICE);
	row->source = leat_table_cell(t, i, SOURCE);
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
	row->off = isnan(row->low) && isnan(row->high);
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
	const struct leat_point_info *point = leat_rule_point(row->point);

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
take_row(void *of, const struct leat_table *t, size_t i, bool shipped, struct leat_error *err)
{
	struct leat_confirms *confirms = of;
	struct leat_confirm_row *row;
	struct leat_rule_rows rows;
	struct leat_rule_key key;

	if (leat_grow(&confirms->row, &confirms->cap, confirms->count + 1, sizeof(*confirms->row)) != 0)
		return leat_error_memory(err);
	row = &confirms->row[confirms->count];
	*row = (struct leat_confirm_row){ .shipped = shipped, .within_s = WITHIN_S };
	if (take_names(t, i, row, err) != 0 || take_measure(t, i, row, err) != 0 || take_bounds(t, i, row, err) != 0 ||
	    take_unit(t, i, row, err) != 0 || leat_table_duration(t, i, WITHIN, &row->within_s, err) < 0)
		return -1;
	if (!(row->within_s > 0))
		return leat_table_fault(t, i, WITHIN, err, "a duration longer than zero is due");
	rows = rows_of(confirms);
	key = key_of(row);
	if (leat_rule_twice(&rows, &key, t, i, RULE, err) != 0)
		return -1;
	confirms->count++;
	return 0;
}

int
leat_confirms_make(struct leat_confirms *confirms, struct leat_table *works, struct leat_error *err)
{
	memset(confirms, 0, sizeof(*confirms));
	if (leat_rule_tables(&confirms->shipped, "shipped confirm", leat_confirms_defaults(), works, &leat_confirms_form,
	    take_row, confirms, err) != 0) {
		leat_confirms_free(confirms);
		return -1;
	}
	confirms->works = works;
	return 0;
}

int
leat_confirms_read(struct leat_confirms *confirms, const char *path, bool *absent, struct leat_error *err)
{
	struct leat_table *works;

	memset(confirms, 0, sizeof(*confirms));
	if (leat_table_optional(&works, path, &leat_confirms_form, absent, err) == 0 &&
	    leat_confirms_make(confirms, works, err) == 0)
		return 0;
	leat_table_free(works);
	return -1;
}

void
leat_confirms_free(struct leat_confirms *confirms)
{
	free(confirms->row);
	leat_table_free(confirms->works);
	leat_table_free(confirms->shipped);
	memset(confirms, 0, sizeof(*confirms));
}

size_t
leat_confirms_for(const struct leat_confirms *confirms, struct leat_span asset, struct leat_span point, size_t *index,
    size_t max)
{
	struct leat_rule_rows rows = rows_of(confirms);

	return leat_rule_for(&rows, asset, point, index, max);
}
