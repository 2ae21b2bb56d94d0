/* A round sheet that was typed back: taking it, and what is told. */
#include "judge/typed.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/number.h"
#include "base/units.h"

/* The judging of one sheet. */
struct judging {
	const struct leat_typed *typed;
	leat_typed_found *found;
	void *user;
};

int
leat_typed_take(struct leat_typed *typed, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_round_line *line = leat_round_add(typed->round, r->asset, r->point);
	struct leat_typed_value v = { .time = r->time, .quality = r->quality, .unit = leat_unit_find(r->unit) };
	uint32_t text = leat_names_put(&typed->texts, r->value), unit = leat_names_put(&typed->texts, r->unit);

	if (line == NULL || text == LEAT_NAME_NONE || unit == LEAT_NAME_NONE ||
	    leat_grow(&typed->value, &typed->cap, typed->count + 1, sizeof(*typed->value)) != 0)
		return leat_error_memory(err);
	v.line = (size_t)(line - typed->round->line);
	v.text = typed->texts.name[text];
	v.unit_text = typed->texts.name[unit];
	v.number = line->unit != NULL && leat_double_parse(r->value, &v.value) == 0;
	if (v.number && v.unit != NULL && !leat_unit_same_dimension(v.unit, line->unit)) {
		leat_error_set(err, "unit of %.*s/%.*s is of another dimension than '%s'", (int)r->asset.len, r->asset.ptr,
		    (int)r->point.len, r->point.ptr, line->unit->name);
		return leat_error_value(err, r->unit);
	}
	if (v.unit == NULL)
		v.unit = line->unit;
	if (v.number)
		v.value = leat_unit_convert(v.unit, line->unit, v.value);
	typed->value[typed->count++] = v;
	return 0;
}

static const struct leat_round_line *
line_of(const struct judging *j, const struct leat_typed_value *v)
{
	return &j->typed->round->line[v->line];
}

/* Numbers as sheets have them: at most four digits. */
static const char *
number(char *dst, double value)
{
	size_t len = leat_number_significant(dst, value, 4);

	if (leat_number_decimals(leat_span_make(dst, len)) > 0)
		leat_number_trim(dst, len);
	return dst;
}

static void
tell(const struct judging *j, const struct leat_typed_value *v, struct leat_time since, enum leat_status status,
    const char *rule, const char *limit, const char *message)
{
	const struct leat_round_line *line = line_of(j, v);
	struct leat_finding f = {
		.time = v->time, .asset = line->asset, .point = line->point, .rule = leat_span_of(rule), .status = status,
		.value = v->text, .unit = v->number ? leat_span_of(v->unit->name) : leat_span_of(""),
		.limit = leat_span_of(limit), .since = since, .until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE,
		.shelved = LEAT_TIME_NONE, .message = leat_span_of(message)
	};

	j->found(j->user, &f);
}

/* How far a value may lie beside the span and still be usual: half of its last digit. */
static double
half_digit(struct leat_span text)
{
	return 0.5 * pow(10, -leat_number_decimals(text));
}

static bool
is_usual(const struct leat_round_usual *u, double value, double slack)
{
	return value >= u->low - slack && value <= u->high + slack;
}

/* Farther outside than the span is wide. */
static bool
is_far(const struct leat_round_usual *u, double value, double slack)
{
	double width = fmax(u->high - u->low, 2 * slack);

	return value < u->low - width - slack || value > u->high + width + slack;
}

/* Two neighbouring digits in each other's place, of the text as typed: the first such text that would be usual, in dst. */
static bool
swapped(const struct leat_typed_value *v, const struct leat_round_line *line, const struct leat_round_usual *u, char *dst,
    size_t size)
{
	double value, slack = half_digit(v->text);

	if (v->text.len == 0 || v->text.len >= size)
		return false;
	for (size_t i = 0; i < v->text.len; i++) {
		size_t k = i + 1;

		while (k < v->text.len && v->text.ptr[k] == '.')
			k++;
		if (k >= v->text.len || v->text.ptr[i] < '0' || v->text.ptr[i] > '9' || v->text.ptr[k] < '0' ||
		    v->text.ptr[k] > '9' || v->text.ptr[i] == v->text.ptr[k])
			continue;
		memcpy(dst, v->text.ptr, v->text.len);
		dst[v->text.len] = '\0';
		dst[i] = v->text.ptr[k];
		dst[k] = v->text.ptr[i];
		if (leat_double_parse(leat_span_of(dst), &value) == 0 &&
		    is_usual(u, leat_unit_convert(v->unit, line->unit, value), slack))
			return true;
	}
	return false;
}

/* The unit in which the number as typed would be usual, or where its point would have to stand: words in dst. */
static bool
other_unit(const struct leat_typed_value *v, const struct leat_round_line *line, const struct leat_round_usual *u, char *dst,
    size_t size)
{
	static const struct { double times; const char *words; } place[] = {
		{ 10, "one place to the right" }, { 0.1, "one place to the left" },
		{ 100, "two places to the right" }, { 0.01, "two places to the left" }
	};
	const struct leat_unit *unit;
	double typed = leat_unit_convert(line->unit, v->unit, v->value), slack;
	char text[LEAT_NUMBER_MAX];

	/* One digit fits into too many units. */
	if (fabs(typed) < 20 * half_digit(v->text))
		return false;
	for (size_t i = 0; (unit = leat_unit_at(i)) != NULL; i++) {
		double value = leat_unit_same_dimension(unit, line->unit) ? leat_unit_convert(unit, line->unit, typed) : NAN;

		if (isnan(value) || value == v->value)
			continue;
		slack = fabs(leat_unit_convert(unit, line->unit, half_digit(v->text)) - leat_unit_convert(unit, line->unit, 0));
		if (!is_usual(u, value, slack))
			continue;
		snprintf(dst, size, "in %.20s it would be %.40s %.20s, which is usual", unit->name, number(text, value), line->unit->name);
		return true;
	}
	for (size_t i = 0; i < sizeof(place) / sizeof(place[0]); i++) {
		if (!is_usual(u, v->value * place[i].times, half_digit(v->text) * place[i].times))
			continue;
		snprintf(dst, size, "with its point %s it would be %.40s %.20s, which is usual", place[i].words,
		    number(text, v->value * place[i].times), line->unit->name);
		return true;
	}
	return false;
}

static void
usual_words(char *dst, size_t size, const struct leat_round_usual *u, const struct leat_round_line *line)
{
	char low[LEAT_NUMBER_MAX], high[LEAT_NUMBER_MAX];

	snprintf(dst, size, "usual is %.40s to %.40s %.20s", number(low, u->low), number(high, u->high), line->unit->name);
}

/* Beyond the instrument's range, with the slip that would explain it, if one does.  Returns whether it is. */
static bool
outside(const struct judging *j, const struct leat_typed_value *v, const struct leat_round_usual *u)
{
	const struct leat_round_line *line = line_of(j, v);
	const struct leat_point *row = line->row;
	char message[700], limit[LEAT_NUMBER_MAX], other[256] = "", hint[300] = "";
	bool low = row != NULL && row->has_min && v->value < row->min, high = row != NULL && row->has_max && v->value > row->max;

	if (!low && !high)
		return false;
	if (u->has_low && u->has_high && swapped(v, line, u, other, sizeof(other)))
		snprintf(hint, sizeof(hint), "; with two digits swapped it is %s", other);
	else if (u->has_low && u->has_high && other_unit(v, line, u, other, sizeof(other)))
		snprintf(hint, sizeof(hint), "; %s", other);
	number(limit, low ? row->min : row->max);
	snprintf(message, sizeof(message), "%.*s was typed, and the instrument ends at %.40s %s%s; look at the sheet and type it "
	    "again.", (int)v->text.len, v->text.ptr, limit, line->unit->name, hint);
	tell(j, v, v->time, LEAT_STATUS_ALERT, "typed-outside", limit, message);
	return true;
}

/* Against what is usual. */
static void
against_usual(const struct judging *j, const struct leat_typed_value *v, const struct leat_round_usual *u)
{
	const struct leat_round_line *line = line_of(j, v);
	char other[256], usual[160], message[640], limit[LEAT_NUMBER_MAX];
	double slack = half_digit(v->text);
	const char *end = number(limit, v->value > u->high ? u->high : u->low);

	if (!u->has_low || !u->has_high || !is_far(u, v->value, slack))
		return;
	usual_words(usual, sizeof(usual), u, line);
	if (swapped(v, line, u, other, sizeof(other))) {
		snprintf(message, sizeof(message), "%.*s was typed and %s; with two digits swapped it is %s; look at the sheet and "
		    "type it again.", (int)v->text.len, v->text.ptr, usual, other);
		tell(j, v, v->time, LEAT_STATUS_ALERT, "typed-swapped", end, message);
	} else if (other_unit(v, line, u, other, sizeof(other))) {
		snprintf(message, sizeof(message), "%.*s was typed and %s; %s; look at the sheet and type it again.",
		    (int)v->text.len, v->text.ptr, usual, other);
		tell(j, v, v->time, LEAT_STATUS_ALERT, "typed-unit", end, message);
	}
}

/* The pressure in bar that the sheet has of the asset at that time; NaN: none. */
static double
pressure_with(const struct judging *j, const struct leat_typed_value *v)
{
	for (size_t i = 0; i < j->typed->count; i++) {
		const struct leat_typed_value *p = &j->typed->value[i];

		if (p->number && p->quality != LEAT_BAD && leat_time_cmp(p->time, v->time) == 0 &&
		    leat_span_is(line_of(j, p)->point, "pressure") && leat_span_eq(line_of(j, p)->asset, line_of(j, v)->asset))
			return leat_unit_convert(line_of(j, p)->unit, leat_unit_find(LEAT_SPAN("bar")), p->value);
	}
	return NAN;
}

/* Five times the same, unless the point repeats itself so often that this is no wonder. */
static void
same(const struct judging *j, const struct leat_typed_value *v, const struct leat_round_usual *u, size_t run,
    struct leat_time since)
{
	char message[512];

	if (run != LEAT_TYPED_SAME || u->readings < LEAT_ROUND_LEAST ||
	    pow(u->repeats, LEAT_TYPED_SAME - 1) >= LEAT_TYPED_SAME_CHANCE)
		return;
	snprintf(message, sizeof(message), "%.*s was typed %u times in a row; in the 30 days before, %.0f %% of the readings were "
	    "equal to the one before; ask whether the gauge was read.", (int)v->text.len, v->text.ptr, LEAT_TYPED_SAME,
	    100 * u->repeats);
	tell(j, v, since, LEAT_STATUS_ALERT, "typed-same", "", message);
}

/* Cells that gave no value: words, or numbers that leat-normalise has taken as bad, being beyond the instrument. */
static void
unread(const struct judging *j, size_t line)
{
	const struct leat_typed_value *first = NULL;
	char message[256];
	size_t count = 0;

	for (size_t i = 0; i < j->typed->count; i++) {
		const struct leat_typed_value *v = &j->typed->value[i];

		if (v->line != line || v->text.len > 0)
			continue;
		first = first != NULL ? first : v;
		count++;
	}
	if (count == 0)
		return;
	snprintf(message, sizeof(message), "%zu value%s no number, or beyond the instrument: nothing is known of %s; look at the "
	    "sheet.", count, count == 1 ? " is" : "s are", count == 1 ? "it" : "them");
	tell(j, first, first->time, LEAT_STATUS_UNKNOWN, "typed-unread", "", message);
}

/* All values of one line, in order of time. */
static int
judge_line(const struct judging *j, size_t line, const struct leat_limits *limits, struct leat_error *err)
{
	const struct leat_typed_value *before = NULL, *first_unjudged = NULL;
	struct leat_time since = LEAT_TIME_NONE;
	size_t run = 0, unjudged = 0;
	char message[256];

	for (size_t i = 0; i < j->typed->count; i++) {
		const struct leat_typed_value *v = &j->typed->value[i];
		struct leat_round_usual u;
		int grinding;

		if (v->line != line || !v->number)
			continue;
		if (leat_round_usual_at(j->typed->round, line_of(j, v), v->time, limits, &u, err) != 0)
			return -1;
		grinding = leat_round_grinding(j->typed->round, line_of(j, v)->asset, v->time, pressure_with(j, v));
		/* At rest a value repeats itself; not that of grinding, though. */
		if (outside(j, v, &u) || v->quality == LEAT_BAD ||
		    (grinding == 0 && (before == NULL || before->value != v->value))) {
			before = NULL;
			continue;
		}
		if (before == NULL || before->value != v->value) {
			run = 0;
			since = v->time;
		}
		same(j, v, &u, ++run, since);
		before = v;
		if (grinding == 0)
			continue;
		if (u.source == LEAT_ROUND_NOTHING || !u.has_low || !u.has_high) {
			first_unjudged = first_unjudged != NULL ? first_unjudged : v;
			unjudged++;
			continue;
		}
		against_usual(j, v, &u);
	}
	if (unjudged == 0)
		return 0;
	snprintf(message, sizeof(message), "What is usual here is not known: fewer than %u readings in the 30 days before and no "
	    "limits; swapped digits and wrong units cannot be told of %zu value%s.",
	    LEAT_ROUND_LEAST, unjudged, unjudged == 1 ? "" : "s");
	tell(j, first_unjudged, first_unjudged->time, LEAT_STATUS_UNKNOWN, "typed-unjudged", "", message);
	return 0;
}

/* Rounds at the asset of a line, its first one, that follow each other within a minute: nobody walks so fast. */
static void
minutes(const struct judging *j, size_t line)
{
	struct leat_span asset = j->typed->round->line[line].asset;
	struct leat_time before = LEAT_TIME_NONE, first = LEAT_TIME_NONE;
	size_t run = 0;
	struct leat_finding f = {
		.asset = asset, .point = LEAT_SPAN("-"), .rule = LEAT_SPAN("typed-minute"), .status = LEAT_STATUS_ALERT,
		.until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE, .shelved = LEAT_TIME_NONE, .message =
		LEAT_SPAN("Three rounds follow each other within a minute each; ask when they were walked, and whether they were.")
	};

	for (size_t i = 0; i < line; i++)
		if (leat_span_eq(j->typed->round->line[i].asset, asset))
			return;
	for (size_t i = 0; i < j->typed->count; i++) {
		const struct leat_typed_value *v = &j->typed->value[i];

		if (!leat_span_eq(line_of(j, v)->asset, asset) || leat_time_cmp(v->time, before) == 0)
			continue;
		if (leat_time_is_none(before) || leat_time_diff(v->time, before) > LEAT_TYPED_MINUTE_S) {
			first = v->time;
			run = 0;
		}
		before = v->time;
		if (++run != LEAT_TYPED_ROUNDS)
			continue;
		f.time = v->time;
		f.since = first;
		j->found(j->user, &f);
	}
}

int
leat_typed_judge(const struct leat_typed *typed, const struct leat_limits *limits, leat_typed_found *found, void *user,
    struct leat_error *err)
{
	struct judging j = { typed, found, user };

	for (size_t line = 0; line < typed->round->count; line++) {
		if (judge_line(&j, line, limits, err) != 0)
			return -1;
		unread(&j, line);
		minutes(&j, line);
	}
	return 0;
}

void
leat_typed_free(struct leat_typed *typed)
{
	free(typed->value);
	leat_names_free(&typed->texts);
	memset(typed, 0, sizeof(*typed));
}
