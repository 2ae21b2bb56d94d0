/* limits.csv: reading and checking the rows. */
#include <stdio.h>
#include <stdlib.h>

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

static bool
is_glob(struct leat_span s)
{
	return leat_span_find(s, '*') < s.len || leat_span_find(s, '?') < s.len;
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

static int
take_names(const struct leat_table *t, size_t i, struct leat_limit *row, struct leat_error *err)
{
	row->asset = leat_table_cell(t, i, ASSET);
	row->point = leat_table_cell(t, i, POINT);
	row->rule = leat_table_cell(t, i, RULE);
	row->advice = leat_table_cell(t, i, ADVICE);
	row->source = leat_table_cell(t, i, SOURCE);
	row->asset_weight = leat_glob_weight(row->asset);
	row->point_weight = leat_glob_weight(row->point);
	if (row->asset.len == 0)
		return leat_table_fault(t, i, ASSET, err, "empty: write an asset, a pattern, or * for all");
	if (row->point.len == 0)
		return leat_table_fault(t, i, POINT, err, "empty: write a point, a pattern, or * for all");
	if (row->rule.len == 0)
		row->rule = LEAT_SPAN("limit");
	if (!is_slug(row->rule))
		return leat_table_fault(t, i, RULE, err, "a rule's name has letters, digits, '-', '_' and '.' only");
	return 0;
}

static int
take_when(const struct leat_table *t, size_t i, struct leat_limit *row, struct leat_error *err)
{
	struct leat_span when = leat_table_cell(t, i, WHEN);
	struct leat_error why = { 0 };

	if (when.len == 0)
		return 0;
	row->when = leat_gate_compile(when, &why);
	return row->when != NULL ? 0 : leat_table_fault(t, i, WHEN, err, why.text);
}

static int
take_number(const struct leat_table *t, size_t i, enum column column, bool *has, double *out, struct leat_error *err)
{
	int got = leat_table_number(t, i, column, out, err);

	*has = got == 1;
	return got < 0 ? -1 : 0;
}

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
take_numbers(const struct leat_table *t, size_t i, struct leat_limit *row, struct leat_error *err)
{
	bool ignored;

	if (take_number(t, i, LOW_ALARM, &row->has_low_alarm, &row->low_alarm, err) != 0 ||
	    take_number(t, i, LOW_ALERT, &row->has_low_alert, &row->low_alert, err) != 0 ||
	    take_number(t, i, HIGH_ALERT, &row->has_high_alert, &row->high_alert, err) != 0 ||
	    take_number(t, i, HIGH_ALARM, &row->has_high_alarm, &row->high_alarm, err) != 0 ||
	    take_number(t, i, DEADBAND, &ignored, &row->deadband, err) != 0 ||
	    leat_table_unit(t, i, UNIT, &row->unit, err) < 0 ||
	    take_duration(t, i, ON_DELAY, &ignored, &row->on_delay_s, err) != 0 ||
	    take_duration(t, i, OFF_DELAY, &ignored, &row->off_delay_s, err) != 0 ||
	    take_duration(t, i, MAX_AGE, &row->has_max_age, &row->max_age_s, err) != 0 ||
	    take_duration(t, i, MAX_FLAT, &row->has_max_flat, &row->max_flat_s, err) != 0)
		return -1;
	return take_rate(t, i, row, err);
}

/* Limits in order of size: none of those given may lie on the wrong side of another. */
static int
check_order(const struct leat_table *t, size_t i, const struct leat_limit *row, struct leat_error *err)
{
	const bool has[4] = { row->has_low_alarm, row->has_low_alert, row->has_high_alert, row->has_high_alarm };
	const double value[4] = { row->low_alarm, row->low_alert, row->high_alert, row->high_alarm };
	char text[96];

	for (int low = 0; low < 4; low++) {
		for (int high = low + 1; high < 4; high++) {
			bool across = low < 2 && high >= 2;

			if (!has[low] || !has[high] || (across ? value[low] < value[high] : value[low] <= value[high]))
				continue;
			snprintf(text, sizeof(text), "must %s '%s'", across ? "lie above" : "not lie below",
			    columns[LOW_ALARM + low]);
			return leat_table_fault(t, i, (enum column)(LOW_ALARM + high), err, text);
		}
	}
	return 0;
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
	const struct leat_point_info *info = is_glob(row->point) ? NULL : leat_point_find(row->point);
	const struct leat_unit *own;
	char text[96];

	if (info == NULL)
		return 0;
	if (info->kind == LEAT_KIND_WORD) {
		static const enum column numbers[] = { LOW_ALARM, LOW_ALERT, HIGH_ALERT, HIGH_ALARM, MAX_RATE };

		for (size_t n = 0; n < sizeof(numbers) / sizeof(numbers[0]); n++)
			if (leat_table_cell(t, i, numbers[n]).len > 0)
				return leat_table_fault(t, i, numbers[n], err, "this point has words, not numbers");
	}
	if (row->unit == NULL)
		return 0;
	own = info->unit[0] != '\0' ? leat_unit_find(leat_span_of(info->unit)) : NULL;
	if (own == NULL)
		return leat_table_fault(t, i, UNIT, err, "this point has no unit in leat-points(7)");
	if (leat_unit_same_dimension(own, row->unit))
		return 0;
	snprintf(text, sizeof(text), "a unit of another dimension than this point's '%s'", own->name);
	return leat_table_fault(t, i, UNIT, err, text);
}

static int
check_twice(const struct leat_limits *limits, const struct leat_table *t, size_t i, const struct leat_limit *row,
    struct leat_error *err)
{
	char text[128];

	for (size_t j = 0; j < limits->count; j++) {
		const struct leat_limit *other = &limits->row[j];

		if (other->shipped != row->shipped || !leat_span_eq(other->rule, row->rule) ||
		    !leat_span_eq(other->point, row->point) || !leat_span_eq(other->asset, row->asset))
			continue;
		snprintf(text, sizeof(text), "line %ld has this asset, point and rule: name one of the rules otherwise",
		    other->line);
		return leat_table_fault(t, i, RULE, err, text);
	}
	return 0;
}

static int
take_row(struct leat_limits *limits, const struct leat_table *t, size_t i, bool shipped, struct leat_error *err)
{
	struct leat_limit *row;

	if (leat_grow(&limits->row, &limits->cap, limits->count + 1, sizeof(*limits->row)) != 0)
		return leat_error_memory(err);
	row = &limits->row[limits->count];
	row->shipped = shipped;
	row->line = leat_table_line(t, i);
	row->file = leat_table_file(t);
	if (take_names(t, i, row, err) != 0 || take_numbers(t, i, row, err) != 0 || check_order(t, i, row, err) != 0 ||
	    check_deadband(t, i, row, err) != 0 || check_point(t, i, row, err) != 0 ||
	    check_twice(limits, t, i, row, err) != 0 || take_when(t, i, row, err) != 0)
		return -1;
	row->off = !(row->has_low_alarm || row->has_low_alert || row->has_high_alert || row->has_high_alarm ||
	    row->has_max_rate || row->has_max_age || row->has_max_flat);
	limits->count++;
	return 0;
}

static int
take_table(struct leat_limits *limits, const struct leat_table *t, bool shipped, struct leat_error *err)
{
	for (size_t i = 0; i < leat_table_rows(t); i++)
		if (take_row(limits, t, i, shipped, err) != 0)
			return -1;
	return 0;
}

int
leat_limits_make(struct leat_limits *limits, struct leat_table *works, struct leat_error *err)
{
	memset(limits, 0, sizeof(*limits));
	limits->shipped = leat_table_text("shipped limits", leat_limits_defaults(), &leat_limits_form, err);
	if (limits->shipped == NULL || (works != NULL && take_table(limits, works, false, err) != 0) ||
	    take_table(limits, limits->shipped, true, err) != 0) {
		leat_limits_free(limits);
		return -1;
	}
	limits->works = works;
	return 0;
}

int
leat_limits_read(struct leat_limits *limits, const char *path, bool *absent, struct leat_error *err)
{
	bool missing = false;
	struct leat_table *works;

	memset(limits, 0, sizeof(*limits));
	works = leat_table_read(path, &leat_limits_form, &missing, err);
	if (absent != NULL)
		*absent = missing;
	if ((works == NULL && !missing) || leat_limits_make(limits, works, err) != 0) {
		leat_table_free(works);
		return -1;
	}
	return 0;
}

void
leat_limits_free(struct leat_limits *limits)
{
	for (size_t i = 0; i < limits->count; i++)
		leat_gate_free(limits->row[i].when);
	free(limits->row);
	leat_table_free(limits->works);
	leat_table_free(limits->shipped);
	memset(limits, 0, sizeof(*limits));
}

/* Does a rule where both match? */
static bool
outranks(const struct leat_limit *a, const struct leat_limit *b)
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
matches(const struct leat_limit *row, struct leat_span asset, struct leat_span point)
{
	return leat_glob(row->point, point) && leat_glob(row->asset, asset);
}

size_t
leat_limits_for(const struct leat_limits *limits, struct leat_span asset, struct leat_span point, size_t *index,
    size_t max)
{
	size_t found = 0;

	for (size_t i = 0; i < limits->count; i++) {
		const struct leat_limit *row = &limits->row[i];
		bool rules = !row->off && matches(row, asset, point);

		for (size_t j = 0; rules && j < limits->count; j++) {
			const struct leat_limit *other = &limits->row[j];

			if (j != i && leat_span_eq(other->rule, row->rule) && outranks(other, row) &&
			    matches(other, asset, point))
				rules = false;
		}
		if (!rules)
			continue;
		if (found < max)
			index[found] = i;
		found++;
	}
	return found;
}
