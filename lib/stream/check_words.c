/* The messages of leat-check: one plain sentence each, with the numbers and the row's advice. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "stream/check_private.h"
#include "stream/rule_row.h"

#define HOUR_S 3600.0

/* Texts of streams are cut to what a sentence bears. */
#define NAME_SHOWN 80

/* Beyond those decimals a limit was converted, and so many digits say enough. */
#define CONVERTED_DIGITS 6

void
leat_check_plain(char *dst, double value, int most)
{
	double back;

	for (int decimals = 0; decimals <= most; decimals++) {
		size_t len = leat_number_fixed(dst, value, decimals);

		if (leat_double_parse(leat_span_make(dst, len), &back) == 0 &&
		    fabs(back - value) <= 1e-11 * fmax(1, fabs(value)))
			return;
	}
	leat_number_significant(dst, value, CONVERTED_DIGITS);
}

void
leat_check_unit(char *dst, const struct leat_check_series *s, enum leat_check_kind kind)
{
	const char *unit = s->unit != NULL ? s->unit->name : "";

	if (kind == LEAT_CHECK_AGE || kind == LEAT_CHECK_FLAT)
		unit = "h";
	else if (kind == LEAT_CHECK_RATE && (strcmp(unit, "degC") == 0 || strcmp(unit, "degK") == 0))
		unit = "K";
	else if (kind == LEAT_CHECK_RATE && unit[0] == '\0')
		unit = "1";
	snprintf(dst, LEAT_CHECK_UNIT, "%s%s", unit, kind == LEAT_CHECK_RATE ? "/min" : "");
}

void
leat_check_worst(char *dst, const struct leat_episode_record *record, enum leat_check_kind kind)
{
	if (kind == LEAT_CHECK_LEVEL)
		leat_number_fixed(dst, record->worst, record->decimals);
	else if (kind == LEAT_CHECK_RATE)
		leat_number_significant(dst, record->worst, 3);
	else
		leat_number_fixed(dst, record->held_s / HOUR_S, 2);
}

double
leat_check_passed(const struct leat_check_rule *rule, const struct leat_check_signal *signal,
    enum leat_check_kind kind, enum leat_status status)
{
	if (kind == LEAT_CHECK_AGE)
		return rule->limit->max_age_s / HOUR_S;
	if (kind == LEAT_CHECK_FLAT)
		return rule->limit->max_flat_s / HOUR_S;
	if (status == LEAT_STATUS_ALARM || !signal->form.has_alert)
		return signal->form.alarm;
	return signal->form.alert;
}

/* A number and its unit, "66.0 degC". */
static void
with_unit(char *dst, size_t size, const char *number, const char *unit)
{
	snprintf(dst, size, "%.64s%s%s", number, unit[0] != '\0' ? " " : "", unit);
}

static void
add(char *dst, const char *text)
{
	size_t len = strlen(dst);

	snprintf(dst + len, LEAT_CHECK_TEXT - len, "%s", text);
}

void
leat_check_add_advice(char *dst, const struct leat_limit *limit)
{
	leat_rule_add_advice(dst, LEAT_CHECK_TEXT, limit->rule.advice);
}

/* "for 3 h 10 min", where the evidence is thinner than the time: "for 3 min judged within 18 h", or "in one
 * reading". */
static void
add_length(char *dst, const struct leat_episode_record *record, bool is_open)
{
	double whole_s = leat_time_diff(record->until, record->since);
	char held[40], whole[40], text[160];

	leat_duration_words(held, record->held_s);
	leat_duration_words(whole, whole_s);
	if (record->count > 1)
		snprintf(text, sizeof(text), " in %ld episodes, for %s together", record->count, held);
	else if (whole_s <= 0)
		snprintf(text, sizeof(text), " in one reading");
	else if (record->held_s <= 0)
		snprintf(text, sizeof(text), " in readings over %s", whole);
	else if (whole_s - record->held_s > 60 + 0.1 * record->held_s)
		snprintf(text, sizeof(text), " for %s judged within %s", held, whole);
	else
		snprintf(text, sizeof(text), " for %s", held);
	add(dst, text);
	if (is_open)
		add(dst, " so far");
}

/* "pressure was too low for 50 min, at worst 107.5 bar, alarm limit 108 bar". */
static void
passed_words(char *dst, const char *point, const struct leat_check_signal *signal,
    const struct leat_episode_record *record, enum leat_check_kind kind, bool is_open, const char *worst,
    const char *limit)
{
	size_t len;

	if (kind == LEAT_CHECK_RATE)
		snprintf(dst, LEAT_CHECK_TEXT, "%s %s too fast", point, is_open ? "has changed" : "changed");
	else
		snprintf(dst, LEAT_CHECK_TEXT, "%s %s too %s", point, is_open ? "has been" : "was",
		    signal->form.side > 0 ? "high" : "low");
	add_length(dst, record, is_open);
	len = strlen(dst);
	snprintf(dst + len, LEAT_CHECK_TEXT - len, ", at worst %s, %s limit %s", worst,
	    leat_status_name(record->status), limit);
}

/* Flat: the value that stood, where it is a number. */
static void
flat_words(char *dst, const char *point, const struct leat_check_series *s, const struct leat_episode_record *record)
{
	char number[LEAT_NUMBER_MAX], unit[LEAT_CHECK_UNIT], value[160];

	leat_number_fixed(number, record->worst, record->decimals);
	leat_check_unit(unit, s, LEAT_CHECK_LEVEL);
	with_unit(value, sizeof(value), number, unit);
	if (s->is_number)
		snprintf(dst, LEAT_CHECK_TEXT, "%s stood at %s without any change", point, value);
	else
		snprintf(dst, LEAT_CHECK_TEXT, "%s stood without any change", point);
}

void
leat_check_episode_words(char *dst, const struct leat_check *check, const struct leat_check_rule *rule,
    const struct leat_check_signal *signal, const struct leat_episode_record *record, enum leat_check_kind kind,
    bool is_open)
{
	const struct leat_check_series *s = &check->series[rule->series];
	char point[NAME_SHOWN], number[LEAT_NUMBER_MAX], unit[LEAT_CHECK_UNIT], worst[160], limit[160], text[200];
	char ago[40];

	leat_mask(point, sizeof(point), leat_check_point(check, s));
	leat_check_unit(unit, s, kind);
	leat_check_worst(number, record, kind);
	with_unit(worst, sizeof(worst), number, unit);
	leat_check_plain(number, leat_check_passed(rule, signal, kind, record->status), 6);
	with_unit(limit, sizeof(limit), number, unit);
	if (kind == LEAT_CHECK_LEVEL || kind == LEAT_CHECK_RATE) {
		passed_words(dst, point, signal, record, kind, is_open, worst, limit);
	} else {
		if (kind == LEAT_CHECK_FLAT)
			flat_words(dst, point, s, record);
		else
			snprintf(dst, LEAT_CHECK_TEXT, "no valid %s came", point);
		add_length(dst, record, is_open);
	}
	if (kind == LEAT_CHECK_FLAT || kind == LEAT_CHECK_AGE) {
		leat_duration_words(ago, kind == LEAT_CHECK_AGE ? rule->limit->max_age_s : rule->limit->max_flat_s);
		snprintf(text, sizeof(text), ", longer than %s", ago);
		add(dst, text);
	}
	if (is_open && leat_time_diff(check->time, rule->last_judged) > s->hold_s) {
		leat_duration_words(ago, leat_time_diff(check->time, rule->last_judged));
		snprintf(text, sizeof(text), ", last judged %s before the end of the data", ago);
		add(dst, text);
	}
	leat_check_add_advice(dst, rule->limit);
}

void
leat_check_stale_words(char *dst, const struct leat_check *check, const struct leat_check_rule *rule,
    const struct leat_check_verdict *v)
{
	const struct leat_check_series *s = &check->series[rule->series];
	char point[NAME_SHOWN], age[40], allowed[40];

	leat_mask(point, sizeof(point), leat_check_point(check, s));
	leat_duration_words(age, v->age_s);
	leat_duration_words(allowed, rule->limit->max_age_s);
	snprintf(dst, LEAT_CHECK_TEXT, "no valid %s for %s, longer than %s", point, age, allowed);
	leat_check_add_advice(dst, rule->limit);
}

/* Is a name one of the words of a gate's text? */
static bool
gate_names(struct leat_span text, const char *name)
{
	static const char letters[] = "abcdefghijklmnopqrstuvwxyz0123456789-";
	size_t len = strlen(name), i;

	for (i = 0; i + len <= text.len; i++) {
		bool begins = i == 0 || strchr(letters, text.ptr[i - 1]) == NULL;
		bool ends = i + len == text.len || strchr(letters, text.ptr[i + len]) == NULL;

		if (begins && ends && memcmp(text.ptr + i, name, len) == 0)
			return true;
	}
	return false;
}

/* Most rows ask for the state of the mill; without it they can tell nothing, and the remedy is easy. */
static void
add_remedy(char *dst, const struct leat_check *check, struct leat_span when)
{
	if (leat_names_get(leat_readings_points(check->form.in), LEAT_SPAN("state")) == LEAT_NAME_NONE &&
	    gate_names(when, "state"))
		add(dst, "; run leat-state before leat-check");
}

/* What took the evidence away, by its length. */
static void
add_lacks(char *dst, const struct leat_check_rule *rule, const struct leat_check_series *s,
    const struct leat_check_verdict *v, const char *gate)
{
	char text[400], length[40];

	if (v->gap_s > 0) {
		leat_duration_words(length, v->gap_s);
		snprintf(text, sizeof(text), "; its readings were too far apart for %s", length);
		add(dst, text);
		leat_duration_words(length, s->hold_s);
		snprintf(text, sizeof(text), " (each holds for %s; 'hold' in points.csv)", length);
		add(dst, text);
	}
	if (v->gate_s > 0) {
		leat_duration_words(length, v->gate_s);
		snprintf(text, sizeof(text), "; '%s' had no answer for %s", gate, length);
		add(dst, text);
	} else if (rule->untold > 0) {
		snprintf(text, sizeof(text), "; '%s' had no answer at %lld readings", gate, rule->untold);
		add(dst, text);
	}
}

void
leat_check_lack_words(char *dst, const struct leat_check *check, const struct leat_check_rule *rule,
    const struct leat_check_verdict *v)
{
	const struct leat_check_series *s = &check->series[rule->series];
	struct leat_span when = rule->limit->rule.when != NULL ? leat_gate_text(rule->limit->rule.when) : leat_span_make("", 0);
	char point[NAME_SHOWN], gate[NAME_SHOWN], length[40];

	leat_mask(point, sizeof(point), leat_check_point(check, s));
	leat_mask(gate, sizeof(gate), when);
	leat_duration_words(length, leat_time_is_none(v->tail_since) ? v->judged_s :
	    leat_time_diff(check->time, v->tail_since));
	switch (v->lack) {
	case LEAT_LACK_READINGS:
		snprintf(dst, LEAT_CHECK_TEXT, "cannot tell: none of the %lld readings of %s is valid", s->bad,
		    point);
		break;
	case LEAT_LACK_TAIL_GAP:
		snprintf(dst, LEAT_CHECK_TEXT, "cannot tell: no valid %s in the last %s of the data", point,
		    length);
		break;
	case LEAT_LACK_TAIL_GATE:
		snprintf(dst, LEAT_CHECK_TEXT, "cannot tell: '%s' had no answer in the last %s of the data", gate,
		    length);
		break;
	default:
		snprintf(dst, LEAT_CHECK_TEXT, "cannot tell: %s was %s%s", point,
		    v->judged_s > 0 ? "judged for no more than " : "not judged", v->judged_s > 0 ? length : "");
		add_lacks(dst, rule, s, v, gate);
		break;
	}
	add_remedy(dst, check, when);
}

void
leat_check_ok_words(char *dst, const struct leat_check *check, const struct leat_check_rule *rule,
    const struct leat_check_verdict *v)
{
	static const char *const what[LEAT_CHECK_KINDS] = {
		[LEAT_CHECK_LEVEL] = "within its limits", [LEAT_CHECK_RATE] = "within its rate", [LEAT_CHECK_AGE] = "fresh",
		[LEAT_CHECK_FLAT] = "not frozen"
	};
	const struct leat_check_series *s = &check->series[rule->series];
	char point[NAME_SHOWN], length[40];

	leat_mask(point, sizeof(point), leat_check_point(check, s));
	leat_duration_words(length, v->kind == LEAT_CHECK_AGE ? v->age_s : v->judged_s);
	if (v->kind == LEAT_CHECK_AGE)
		snprintf(dst, LEAT_CHECK_TEXT, "%s is fresh: its last valid reading is %s old", point, length);
	else
		snprintf(dst, LEAT_CHECK_TEXT, "%s is %s, judged for %s in %lld readings", point, what[v->kind], length,
		    rule->judged);
}
