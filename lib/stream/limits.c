/* limits.csv: reading and checking the rows. */

#include "stream/limits.h"

enum column {
	ASSET, POINT, WHEN, LOW_ALARM, LOW_ALERT, HIGH_ALERT, HIGH_ALARM, UNIT, DEADBAND, ON_DELAY, OFF_DELAY, MAX_RATE,
	MAX_AGE, MAX_FLAT, RULE, ADVICE, SOURCE, COLUMNS
};

static const char *const columns[COLUMNS] = {
	"asset", "point", "when", "low_alarm", "low_alert", "high_alert", "high_alarm", "unit", "deadband", "on_delay",
	"off_delay", "max_rate", "max_age", "max_flat", "rule", "advice", "source"
};

const struct leat_table_form leat_limits_form = { "limits", columns, COLUMNS, 2 };

static int
take_duration(const struct leat_table *t, size_t i, enum column column, bool *has, double *out,
    struct leat_error *err)
{
	int got = leat_table_duration(t, i, column, out, err);

	*has = got == 1;
	if (got == 1 && *out <= 0 && (column == MAX_AGE || column == MAX_FLAT))
		return leat_table_fault(t, i, column, err, "a duration longer than zero is due");
	return got < 0 ? -1 : 0;
}

/* "5/min", "300/h", "2/s", or a bare number a minute. */
static int
take_rate(const struct leat_table *t, size_t i, struct leat_limit *row, struct leat_error *err)
{
	struct leat_span cell = leat_table_cell(t, i, MAX_RATE);
	size_t slash = leat_span_find(cell, '/');
	struct leat_span per = leat_span_make(cell.ptr + slash, cell.len - slash);
	double minutes = 1;

	if (cell.len == 0)
		return 0;
	if (leat_span_is(per, "/s"))
		minutes = 1.0 / 60;
	else if (leat_span_is(per, "/h"))
		minutes = 60;
	else if (per.len > 0 && !leat_span_is(per, "/min"))
		return leat_table_fault(t, i, MAX_RATE, err, "not a rate such as 5/min, 300/h or 2/s");
	if (leat_table_parse_number(t, leat_span_trim(leat_span_make(cell.ptr, slash)), &row->max_rate_per_min) != 0)
		return leat_table_fault(t, i, MAX_RATE, err, "not a rate such as 5/min, 300/h or 2/s");
	if (row->max_rate_per_min <= 0)
		return leat_table_fault(t, i, MAX_RATE, err, "a rate above zero is due");
	row->max_rate_per_min /= minutes;
	row->has_max_rate = true;
	return 0;
}

static int
take_levels(const struct leat_table *t, size_t i, struct leat_limit *row, struct leat_error *err)
{
	struct leat_rule_levels levels;

	if (leat_rule_levels_take(&levels, t, i, LOW_ALARM, err) != 0)
		return -1;
	row->has_low_alarm = levels.has[LEAT_LOW_ALARM];
	row->low_alarm = levels.value[LEAT_LOW_ALARM];
	row->has_low_alert = levels.has[LEAT_LOW_ALERT];
	row->low_alert = levels.value[LEAT_LOW_ALERT];
	row->has_high_alert = levels.has[LEAT_HIGH_ALERT];
	row->high_alert = levels.value[LEAT_HIGH_ALERT];
	row->has_high_alarm = levels.has[LEAT_HIGH_ALARM];
	row->high_alarm = levels.value[LEAT_HIGH_ALARM];
	return 0;
}

static int
take_numbers(const struct leat_table *t, size_t i, struct leat_limit *row, struct leat_error *err)
{
	bool ignored;

	if (leat_table_number(t, i, DEADBAND, &row->deadband, err) < 0 || leat_table_unit(t, i, UNIT, &row->unit, err) < 0 ||
	    take_duration(t, i, ON_DELAY, &ignored, &row->on_delay_s, err) != 0 ||
	    take_duration(t, i, OFF_DELAY, &ignored, &row->off_delay_s, err) != 0 ||
	    take_duration(t, i, MAX_AGE, &row->has_max_age, &row->max_age_s, err) != 0 ||
	    take_duration(t, i, MAX_FLAT, &row->has_max_flat, &row->max_flat_s, err) != 0)
		return -1;
	return take_rate(t, i, row, err);
}

static int
check_deadband(const struct leat_table *t, size_t i, const struct leat_limit *row, struct leat_error *err)
{
	bool low = row->has_low_alarm || row->has_low_alert, high = row->has_high_alert || row->has_high_alarm;
	double bottom = row->has_low_alert ? row->low_alert : row->low_alarm;
	double top = row->has_high_alert ? row->high_alert : row->high_alarm;

	if (leat_table_cell(t, i, DEADBAND).len == 0)
		return 0;
	if (row->deadband < 0)
		return leat_table_fault(t, i, DEADBAND, err, "a deadband cannot be negative");
	if (!low && !high)
		return leat_table_fault(t, i, DEADBAND, err, "a deadband needs a low or high limit in its row");
	if (low && high && row->deadband >= top - bottom)
		return leat_table_fault(t, i, DEADBAND, err, "as wide as the band between the limits: nothing would clear");
	return 0;
}

/* What the row asks of a point of leat-points(7) must fit it. */
static int
check_point(const struct leat_table *t, size_t i, const struct leat_limit *row, struct leat_error *err)
{
	static const enum column numbers[] = { LOW_ALARM, LOW_ALERT, HIGH_ALERT, HIGH_ALARM, MAX_RATE };
	const struct leat_point_info *info = leat_rule_point(row->rule.point);

	for (size_t n = 0; info != NULL && info->kind == LEAT_KIND_WORD && n < sizeof(numbers) / sizeof(numbers[0]); n++)
		if (leat_table_cell(t, i, numbers[n]).len > 0)
			return leat_table_fault(t, i, numbers[n], err, "this point has words, not numbers");
	return leat_rule_unit(info, row->unit, t, i, UNIT, err);
}

static int
take_row(void *of, const struct leat_table *t, size_t i, struct leat_error *err)
{
	struct leat_limit *row = of;

	if (leat_rule_take(&row->rule, t, i, "limit", err) != 0 || take_levels(t, i, row, err) != 0 ||
	    take_numbers(t, i, row, err) != 0 || check_deadband(t, i, row, err) != 0 || check_point(t, i, row, err) != 0)
		return -1;
	row->rule.off = !(row->has_low_alarm || row->has_low_alert || row->has_high_alert || row->has_high_alarm ||
	    row->has_max_rate || row->has_max_age || row->has_max_flat);
	return 0;
}

static const struct leat_rule_form form = {
	&leat_limits_form, "shipped limits", leat_limits_defaults, sizeof(struct leat_limit), take_row
};

/* Shows the rows of the table with their type, and passes on what came of it. */
static int
typed(struct leat_limits *limits, int result)
{
	limits->row = limits->table.row;
	limits->count = limits->table.count;
	return result;
}

int
leat_limits_make(struct leat_limits *limits, struct leat_table *works, struct leat_error *err)
{
	return typed(limits, leat_rule_table_make(&limits->table, &form, works, err));
}

int
leat_limits_read(struct leat_limits *limits, const char *path, bool *absent, struct leat_error *err)
{
	return typed(limits, leat_rule_table_read(&limits->table, &form, path, absent, err));
}

void
leat_limits_free(struct leat_limits *limits)
{
	leat_rule_table_free(&limits->table);
	(void)typed(limits, 0);
}

size_t
leat_limits_for(const struct leat_limits *limits, struct leat_span asset, struct leat_span point, size_t *index,
    size_t max)
{
	return leat_rule_for(&limits->table, asset, point, index, max);
}
