/* The check engine: readings in. */
#include <stdio.h>
#include <stdlib.h>

#include "stream/check_private.h"

struct leat_check *
leat_check_new(const struct leat_check_form *form)
{
	struct leat_check *check = calloc(1, sizeof(*check));

	if (check == NULL)
		return NULL;
	check->form = *form;
	check->time = check->now = check->since = LEAT_TIME_NONE;
	check->matched = calloc(form->limits->count + 1, sizeof(*check->matched));
	if (check->matched == NULL) {
		free(check);
		return NULL;
	}
	leat_current_init(&check->current, form->in, form->points);
	return check;
}

void
leat_check_free(struct leat_check *check)
{
	if (check == NULL)
		return;
	for (size_t i = 0; i < check->rules; i++)
		leat_check_rule_free(&check->rule[i]);
	free(check->rule);
	free(check->series);
	free(check->pending);
	free(check->matched);
	leat_current_free(&check->current);
	free(check);
}

struct leat_span
leat_check_asset(const struct leat_check *check, const struct leat_check_series *s)
{
	return leat_readings_assets(check->form.in)->name[s->asset_id];
}

struct leat_span
leat_check_point(const struct leat_check *check, const struct leat_check_series *s)
{
	return leat_readings_points(check->form.in)->name[s->point_id];
}

/* More rules on one point than any works has would be a mistake in the table's globs; all of them still count. */
#define RULES_AT_ONCE 64

/* A row for many points with a unit is meant for those of its dimension alone.  A point of no known name and without a
 * unit could be anything. */
static bool
fits(const struct leat_limit *limit, bool named, const struct leat_reading *r)
{
	const struct leat_unit *unit;

	if (limit->unit == NULL || leat_span_find(limit->rule.point, '*') == limit->rule.point.len)
		return true;
	if (r->unit.len == 0)
		return named;
	unit = leat_unit_find(r->unit);
	return unit != NULL && leat_unit_same_dimension(unit, limit->unit);
}

/* Finds out once which rows rule a series. */
static int
resolve(struct leat_check *check, const struct leat_reading *r)
{
	const struct leat_limits *limits = check->form.limits;
	struct leat_check_series *s = &check->series[r->series];
	size_t some[RULES_AT_ONCE], *index = some, found;
	int result = 0;

	*s = (struct leat_check_series){
		.resolved = true, .asset_id = r->asset_id, .point_id = r->point_id, .rule = check->rules, .first = r->time,
		.last = LEAT_TIME_NONE, .hold_s = check->current.latest[r->series].hold_s,
		.until_changed = check->current.latest[r->series].until_changed, .named = leat_point_find(r->point) != NULL
	};
	check->count.series++;
	leat_rule_matched(&limits->table, r->asset, r->point, check->matched);
	found = leat_limits_for(limits, r->asset, r->point, some, RULES_AT_ONCE);
	if (found > RULES_AT_ONCE) {
		index = malloc(found * sizeof(*index));
		if (index == NULL)
			return -1;
		found = leat_limits_for(limits, r->asset, r->point, index, found);
	}
	if (leat_grow(&check->rule, &check->rule_cap, check->rules + found, sizeof(*check->rule)) != 0)
		result = -1;
	for (size_t i = 0; i < found && result == 0; i++) {
		if (!fits(&limits->row[index[i]], s->named, r))
			continue;
		result = leat_check_rule_begin(check, &check->rule[check->rules], &limits->row[index[i]], r->series);
		check->rules++;
		s->rules++;
	}
	check->count.ruled += s->rules > 0;
	if (index != some)
		free(index);
	return result;
}

/* The unit that the row's numbers are in; NULL: none is known. */
static const struct leat_unit *
limit_unit(const struct leat_limit *limit, struct leat_span point)
{
	const struct leat_point_info *info = leat_point_find(point);

	if (limit->unit != NULL || info == NULL)
		return limit->unit;
	return leat_unit_find(leat_span_of(info->unit));
}

static int
cannot_compare(const struct leat_check *check, const struct leat_reading *r, const struct leat_limit *limit,
    const struct leat_unit *unit, struct leat_error *err)
{
	leat_error_set(err, "'%.*s' of '%.*s' cannot be compared with the '%s' of %s:%ld", (int)r->point.len, r->point.ptr,
	    (int)r->asset.len, r->asset.ptr, unit->name, limit->rule.file, limit->rule.line);
	leat_error_at(err, leat_readings_source(check->form.in, r->source), r->line);
	leat_error_column(err, LEAT_SPAN("unit"));
	return leat_error_value(err, r->unit);
}

/* The limits of a series in the unit of its first valid reading. */
static int
learn_unit(struct leat_check *check, struct leat_check_series *s, const struct leat_reading *r,
    struct leat_error *err)
{
	s->unit_known = true;
	s->unit = check->current.latest[r->series].unit;
	for (size_t i = s->rule; i < s->rule + s->rules; i++) {
		struct leat_check_rule *rule = &check->rule[i];
		const struct leat_unit *unit = limit_unit(rule->limit, r->point);
		char text[512];

		if (!leat_check_has_level(rule->limit) && !rule->limit->has_max_rate)
			continue;
		if (rule->limit->unit != NULL && r->unit.len == 0 && s->unit == NULL) {
			s->unit = unit;
			snprintf(text, sizeof(text), "'%.*s' of '%.*s' comes without a unit: taken as '%s' after %s:%ld",
			    (int)r->point.len, r->point.ptr, (int)r->asset.len, r->asset.ptr, unit->name,
			    rule->limit->rule.file, rule->limit->rule.line);
			check->form.warn(text);
		}
		if (unit != NULL && (s->unit != NULL ? !leat_unit_same_dimension(unit, s->unit) : r->unit.len > 0))
			return cannot_compare(check, r, rule->limit, unit, err);
		leat_check_rule_unit(rule, unit != NULL ? unit : s->unit, s->unit);
	}
	return 0;
}

/* A later reading in a unit that the first one's cannot be made of. */
static int
check_unit(const struct leat_check *check, const struct leat_check_series *s, const struct leat_reading *r,
    struct leat_error *err)
{
	const struct leat_unit *unit = check->current.latest[r->series].unit;

	if (unit == s->unit || unit == NULL || s->unit == NULL || leat_unit_same_dimension(unit, s->unit))
		return 0;
	leat_error_set(err, "'%.*s' of '%.*s' came in '%s' before, and '%s' cannot be converted", (int)r->point.len,
	    r->point.ptr, (int)r->asset.len, r->asset.ptr, s->unit->name, unit->name);
	leat_error_at(err, leat_readings_source(check->form.in, r->source), r->line);
	leat_error_column(err, LEAT_SPAN("unit"));
	return leat_error_value(err, r->unit);
}

/* The same of a value that is converted: the precision of its source counts. */
static int
converted_decimals(const struct leat_unit *from, const struct leat_unit *to, struct leat_span value)
{
	char text[LEAT_NUMBER_MAX];

	return leat_number_decimals(leat_span_make(text, leat_unit_convert_text(from, to, value, text)));
}

/* The reading in force as a number in the unit of the series: a switch is 1 or 0. */
static bool
number_of(const struct leat_check *check, const struct leat_check_series *s, const struct leat_latest *latest,
    double *number)
{
	int on;

	if (!latest->is_number) {
		on = leat_latest_switch(&check->current, latest);
		*number = on;
		return on >= 0;
	}
	*number = latest->number;
	if (latest->unit != s->unit && latest->unit != NULL && s->unit != NULL)
		*number = leat_unit_convert(latest->unit, s->unit, latest->number);
	return true;
}

/* Takes all rules of a series through its valid reading at check->time. */
static int
step_rules(struct leat_check *check, struct leat_check_series *s, double passed_s, bool same)
{
	for (size_t i = s->rule; i < s->rule + s->rules; i++)
		if (leat_check_rule_step(check, &check->rule[i], s, passed_s, same) != 0)
			return -1;
	return 0;
}

/* Counts the valid reading of a series at check->time where it is a number of a calm stretch.  False where it is not, or
 * may not be. */
static inline bool
pass_calmly(const struct leat_check *check, struct leat_check_series *s, const struct leat_latest *latest)
{
	if (!latest->is_number || latest->unit != s->unit || !leat_check_calm_holds(check, s, latest->number))
		return false;
	s->changes += latest->number != s->number;
	s->number = latest->number;
	s->word = LEAT_NAME_NONE;
	s->decimals = s->pending_decimals;
	s->last = check->time;
	s->valid++;
	return true;
}

/* Judges the valid reading of a series at check->time. */
static int
judge(struct leat_check *check, struct leat_check_series *s, const struct leat_latest *latest)
{
	bool first = leat_time_is_none(s->last), same, is_number, calm;
	double number, passed_s = first ? 0 : leat_time_diff(check->time, s->last);

	is_number = number_of(check, s, latest, &number);
	same = !first && is_number == s->is_number && (is_number ? number == s->number : latest->word == s->word);
	calm = is_number && leat_check_calm_holds(check, s, number);
	if (!calm)
		leat_check_calm_settle(check, s);
	s->changes += !first && !same;
	s->is_number = is_number;
	s->number = number;
	s->word = latest->is_number ? LEAT_NAME_NONE : latest->word;
	s->decimals = s->pending_decimals;
	if (!calm && step_rules(check, s, passed_s, same) != 0)
		return -1;
	s->last = check->time;
	s->valid++;
	if (!calm)
		leat_check_calm_begin(check, s);
	return 0;
}

/* Judges what came at check->time, now that all of it is in. */
static int
judge_instant(struct leat_check *check)
{
	for (size_t i = 0; i < check->pendings; i++) {
		struct leat_check_series *s = &check->series[check->pending[i]];

		const struct leat_latest *latest = &check->current.latest[check->pending[i]];

		s->pending = false;
		if (!pass_calmly(check, s, latest) && judge(check, s, latest) != 0)
			return -1;
	}
	check->pendings = 0;
	return 0;
}

/* Notes a valid reading for judging. */
static int
note(struct leat_check *check, struct leat_check_series *s, const struct leat_reading *r, struct leat_error *err)
{
	const struct leat_unit *unit = check->current.latest[r->series].unit;

	if (!s->unit_known ? learn_unit(check, s, r, err) != 0 : check_unit(check, s, r, err) != 0)
		return -1;
	s->pending_decimals = check->current.latest[r->series].decimals;
	if (unit != s->unit && unit != NULL && s->unit != NULL)
		s->pending_decimals = converted_decimals(unit, s->unit, r->value);
	if (s->pending)
		return 0;
	if (check->pendings == check->pending_cap &&
	    leat_grow(&check->pending, &check->pending_cap, check->pendings + 1, sizeof(*check->pending)) != 0)
		return leat_error_memory(err);
	s->pending = true;
	check->pending[check->pendings++] = r->series;
	return 0;
}

int
leat_check_take(struct leat_check *check, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_check_series *s;

	if (!leat_time_is_none(check->form.now) && leat_time_cmp(r->time, check->form.now) > 0) {
		check->count.later++;
		return 0;
	}
	if (leat_time_cmp(r->time, check->time) != 0) {
		if (judge_instant(check) != 0)
			return leat_error_memory(err);
		check->time = r->time;
	}
	if (leat_current_put(&check->current, r) != 0 || (r->series >= check->series_cap &&
	    leat_grow(&check->series, &check->series_cap, (size_t)r->series + 1, sizeof(*check->series)) != 0))
		return leat_error_memory(err);
	s = &check->series[r->series];
	if (!s->resolved && resolve(check, r) != 0)
		return leat_error_memory(err);
	if (r->quality == LEAT_BAD) {
		s->bad++;
		check->count.bad++;
		return 0;
	}
	if (s->rules > 0)
		return note(check, s, r, err);
	check->count.unjudged++;
	return 0;
}

void
leat_check_as_of(struct leat_check *check, struct leat_time now)
{
	check->form.now = now;
}

int
leat_check_end(struct leat_check *check, struct leat_error *err)
{
	if (judge_instant(check) != 0)
		return leat_error_memory(err);
	for (size_t i = 0; i < check->series_cap; i++)
		leat_check_calm_settle(check, &check->series[i]);
	check->now = leat_time_is_none(check->form.now) ? check->time : check->form.now;
	check->since = !leat_time_is_none(check->form.since_time) ? check->form.since_time :
	    leat_time_shift(check->now, &check->form.since, -1);
	return 0;
}

struct leat_time
leat_check_now(const struct leat_check *check)
{
	return check->now;
}

struct leat_check_count
leat_check_counted(const struct leat_check *check)
{
	return check->count;
}
