/* trends.csv: reading and checking the rows. */
#include "stream/trends.h"

enum column {
	ASSET, POINT, WHEN, CLOCK, MODEL, BASELINE, ALERT, ALARM, UNIT, WINDOW, RULE, ADVICE, SOURCE, COLUMNS
};

static const char *const columns[COLUMNS] = {
	"asset", "point", "when", "clock", "model", "baseline", "alert", "alarm", "unit", "window", "rule", "advice", "source"
};

const struct leat_table_form leat_trends_form = { "trends", columns, COLUMNS, 2 };

/* What points were when new.  Left out is what only looks alike: the slot flow of a new pump lacks the control bleed, a
 * clean element lacks its housing, and a bore as measured is not yet at 20 degC. */
static const struct {
	const char *point, *property;
} as_new[] = {
	{ "acid-number", "oil-acid-number" },
	{ "cooler-ua", "as-new-ua" },
	{ "drain-flow-corrected", "as-new-drain-flow" },
	{ "precharge-20", "precharge" },
	{ "seal-leakage", "as-new-leakage" },
	{ "viscosity-100", "oil-viscosity-100" },
	{ "viscosity-40", "oil-viscosity-40" },
	{ "zinc", "oil-zinc" }
};

const char *
leat_trend_as_new(struct leat_span point)
{
	for (size_t i = 0; i < sizeof(as_new) / sizeof(as_new[0]); i++)
		if (leat_span_is(point, as_new[i].point))
			return as_new[i].property;
	return NULL;
}

static int
take_clock(const struct leat_table *t, size_t i, struct leat_trend_row *row, struct leat_error *err)
{
	struct leat_span cell = leat_table_cell(t, i, CLOCK);

	if (leat_span_is(cell, "running-hours"))
		row->clock = LEAT_CLOCK_RUNNING;
	else if (leat_span_is(cell, "ageing-hours"))
		row->clock = LEAT_CLOCK_AGEING;
	else if (cell.len > 0 && !leat_span_is(cell, "calendar"))
		return leat_table_fault(t, i, CLOCK, err, "not a clock: calendar, running-hours or ageing-hours");
	return 0;
}

static int
take_model(const struct leat_table *t, size_t i, struct leat_trend_row *row, struct leat_error *err)
{
	struct leat_span cell = leat_table_cell(t, i, MODEL);

	if (leat_span_is(cell, "cube-root"))
		row->model = LEAT_MODEL_CUBE_ROOT;
	else if (leat_span_is(cell, "exponential"))
		row->model = LEAT_MODEL_EXPONENTIAL;
	else if (leat_span_is(cell, "step"))
		row->model = LEAT_MODEL_STEP;
	else if (cell.len > 0 && !leat_span_is(cell, "linear"))
		return leat_table_fault(t, i, MODEL, err, "not a model: linear, cube-root, exponential or step");
	return 0;
}

/* A step is measured from the value before it, so it has no baseline, and the cell can stay empty. */
static int
take_baseline(const struct leat_table *t, size_t i, struct leat_trend_row *row, struct leat_error *err)
{
	struct leat_span cell = leat_table_cell(t, i, BASELINE);
	bool step = row->model == LEAT_MODEL_STEP;

	if (leat_span_is(cell, "none") || (step && cell.len == 0))
		row->baseline = LEAT_BASELINE_NONE;
	else if (leat_span_is(cell, "as-new"))
		row->baseline = LEAT_BASELINE_AS_NEW;
	else if (cell.len > 0 && leat_table_parse_number(t, cell, &row->baseline_value) == 0)
		row->baseline = LEAT_BASELINE_NUMBER;
	else if (cell.len > 0 && !leat_span_is(cell, "first"))
		return leat_table_fault(t, i, BASELINE, err, "not a baseline: first, as-new, none or a number");
	if (step && row->baseline != LEAT_BASELINE_NONE)
		return leat_table_fault(t, i, BASELINE, err, "a step is measured from the value before it: leave this empty");
	return 0;
}

static int
take_window(const struct leat_table *t, size_t i, struct leat_trend_row *row, struct leat_error *err)
{
	struct leat_span cell = leat_table_cell(t, i, WINDOW);
	struct leat_duration *d = &row->window;

	if (cell.len == 0)
		return 0;
	if (leat_duration_parse(cell, d) != 0 || !(d->months > 0 || d->days > 0 || d->seconds > 0))
		return leat_table_fault(t, i, WINDOW, err, "not a duration such as PT2H, P14D or P6M");
	row->has_window = true;
	return 0;
}

/* "2.7", or a multiple of the baseline such as "1.5x". */
static int
take_bound(const struct leat_table *t, size_t i, enum column column, bool *has, double *out, bool *multiple,
    struct leat_error *err)
{
	struct leat_span cell = leat_table_cell(t, i, column);

	if (cell.len == 0)
		return 0;
	*multiple = leat_span_ends(cell, "x");
	cell.len -= *multiple;
	if (leat_table_parse_number(t, leat_span_trim(cell), out) != 0)
		return leat_table_fault(t, i, column, err, "neither a number nor a multiple of the baseline such as 1.5x");
	if (*multiple && *out <= 0)
		return leat_table_fault(t, i, column, err, "a multiple above zero is due");
	if (*multiple && *out == 1)
		return leat_table_fault(t, i, column, err, "this is the baseline itself");
	*has = true;
	return 0;
}

static int
take_bounds(const struct leat_table *t, size_t i, struct leat_trend_row *row, struct leat_error *err)
{
	bool alert = false, alarm = false;

	if (take_bound(t, i, ALERT, &row->has_alert, &row->alert, &alert, err) != 0 ||
	    take_bound(t, i, ALARM, &row->has_alarm, &row->alarm, &alarm, err) != 0)
		return -1;
	if (row->has_alert && row->has_alarm && alert != alarm)
		return leat_table_fault(t, i, ALARM, err, alert ? "a multiple is due, as in 'alert'" :
		    "a number is due and no multiple, as in 'alert'");
	row->multiple = alert || alarm;
	row->rule.off = !row->has_alert && !row->has_alarm;
	return 0;
}

/* Multiples need something that they are multiples of.  A step has it: the value before. */
static int
check_multiples(const struct leat_table *t, size_t i, const struct leat_trend_row *row, struct leat_error *err)
{
	enum column column = row->has_alert ? ALERT : ALARM;

	if (row->rule.off)
		return 0;
	if (row->model == LEAT_MODEL_STEP && !row->multiple)
		return leat_table_fault(t, i, column, err,
		    "a step is judged by its share of the value before: write a multiple such as 1.25x");
	if (row->model == LEAT_MODEL_STEP || !row->multiple)
		return 0;
	if (row->baseline == LEAT_BASELINE_NONE)
		return leat_table_fault(t, i, column, err, "a multiple needs a baseline");
	if (row->baseline == LEAT_BASELINE_NUMBER && row->baseline_value <= 0)
		return leat_table_fault(t, i, BASELINE, err, "multiples need a baseline above zero");
	return 0;
}

/* Settles the direction from what is given: limits lie on one side of where the row begins, the alarm beyond the alert.
 * Where it begins is known for multiples and for a number as baseline; else the alarm says it. */
static int
check_side(const struct leat_table *t, size_t i, struct leat_trend_row *row, struct leat_error *err)
{
	bool has_begin = row->multiple || row->baseline == LEAT_BASELINE_NUMBER;
	double begin = row->multiple ? 1 : row->baseline_value;
	double first = row->has_alert ? row->alert : row->alarm;

	if (row->rule.off)
		return 0;
	if (has_begin && first == begin)
		return leat_table_fault(t, i, row->has_alert ? ALERT : ALARM, err, "this is the baseline itself");
	if (has_begin)
		row->falling = first < begin;
	else
		row->falling = row->has_alert && row->has_alarm && row->alarm < row->alert;
	if (row->has_alert && row->has_alarm && (row->falling ? row->alarm > row->alert : row->alarm < row->alert))
		return leat_table_fault(t, i, ALARM, err, row->falling ? "must not lie above 'alert', which is below the baseline" :
		    "must not lie below 'alert', which is above the baseline");
	return 0;
}

static int
check_point(const struct leat_table *t, size_t i, const struct leat_trend_row *row, struct leat_error *err)
{
	const struct leat_point_info *info = leat_rule_point(row->rule.point);
	const struct leat_unit *unit = row->unit;

	if (info != NULL && info->kind == LEAT_KIND_WORD)
		return leat_table_fault(t, i, POINT, err, "this point has words, not numbers");
	if (info != NULL && info->kind == LEAT_KIND_SWITCH)
		return leat_table_fault(t, i, POINT, err, "this point is on or off: only a share of time such as its '.on' has a trend");
	if (leat_rule_unit(info, unit, t, i, UNIT, err) != 0)
		return -1;
	if (row->baseline == LEAT_BASELINE_AS_NEW && !leat_rule_is_glob(row->rule.point) &&
	    leat_trend_as_new(row->rule.point) == NULL)
		return leat_table_fault(t, i, BASELINE, err, "no property of leat-nameplate(7) says what this point was when new");
	if (row->model != LEAT_MODEL_CUBE_ROOT)
		return 0;
	if (unit == NULL && info != NULL)
		unit = leat_unit_find(leat_span_of(info->unit));
	if ((unit == NULL && info == NULL) || (unit != NULL && strcmp(unit->dimension, "flow") == 0))
		return 0;
	return leat_table_fault(t, i, MODEL, err, "only a leakage flow grows so: this point is none");
}

static int
take_row(void *of, const struct leat_table *t, size_t i, struct leat_error *err)
{
	struct leat_trend_row *row = of;

	return leat_rule_take(&row->rule, t, i, "trend", err) != 0 || take_clock(t, i, row, err) != 0 ||
	    take_model(t, i, row, err) != 0 || take_baseline(t, i, row, err) != 0 || take_bounds(t, i, row, err) != 0 ||
	    leat_table_unit(t, i, UNIT, &row->unit, err) < 0 || take_window(t, i, row, err) != 0 ||
	    check_multiples(t, i, row, err) != 0 || check_side(t, i, row, err) != 0 || check_point(t, i, row, err) != 0 ? -1 : 0;
}

static const struct leat_rule_form form = {
	&leat_trends_form, "shipped trends", leat_trends_defaults, sizeof(struct leat_trend_row), take_row
};

/* Shows the rows of the table with their type, and passes on what came of it. */
static int
typed(struct leat_trends *trends, int result)
{
	trends->row = trends->table.row;
	trends->count = trends->table.count;
	return result;
}

int
leat_trends_make(struct leat_trends *trends, struct leat_table *works, struct leat_error *err)
{
	return typed(trends, leat_rule_table_make(&trends->table, &form, works, err));
}

int
leat_trends_read(struct leat_trends *trends, const char *path, bool *absent, struct leat_error *err)
{
	return typed(trends, leat_rule_table_read(&trends->table, &form, path, absent, err));
}

void
leat_trends_free(struct leat_trends *trends)
{
	leat_rule_table_free(&trends->table);
	(void)typed(trends, 0);
}

size_t
leat_trends_for(const struct leat_trends *trends, struct leat_span asset, struct leat_span point, size_t *index,
    size_t max)
{
	return leat_rule_for(&trends->table, asset, point, index, max);
}
