/* How the judgements of the check engine came about, for a person who redoes them. */
#include <stdio.h>

#include "stream/check_private.h"

#define LINE 1400

static void
line(struct leat_out *out, const char *label, const char *text)
{
	char head[24];

	snprintf(head, sizeof(head), "  %-12s", label);
	leat_out_text(out, head);
	leat_out_text(out, text);
	leat_out_char(out, '\n');
}

static void
limit_part(char *dst, size_t size, const char *name, double value, const char *unit)
{
	char number[LEAT_NUMBER_MAX];
	size_t len = strlen(dst);

	leat_check_plain(number, value, 6);
	snprintf(dst + len, size - len, "%s%s %.64s%s%s", len > 0 ? ", " : "", name, number,
	    unit[0] != '\0' ? " " : "", unit);
}

/* "low alert 112.5 bar, ..., back 2.5 bar inside, on delay 10 min, off delay 10 min". */
static void
explain_limits(struct leat_out *out, const struct leat_check_rule *rule, const struct leat_check_verdict *v,
    const char *unit)
{
	const struct leat_limit *limit = rule->limit;
	char text[LINE] = "", words[40];
	size_t len;

	for (int i = 0; i < 2; i++) {
		const struct leat_episode_form *form = v->signal[i] != NULL ? &v->signal[i]->form : NULL;

		if (form == NULL || v->kind == LEAT_CHECK_AGE || v->kind == LEAT_CHECK_FLAT)
			continue;
		if (form->has_alert)
			limit_part(text, sizeof(text), v->kind == LEAT_CHECK_RATE ? "alert faster than" : form->side < 0 ?
			    "alert under" : "alert over", form->alert, unit);
		if (form->has_alarm)
			limit_part(text, sizeof(text), form->side < 0 ? "alarm under" : "alarm over", form->alarm, unit);
		if (form->deadband > 0 && (i == 1 || v->signal[1] == NULL))
			limit_part(text, sizeof(text), "back inside by", form->deadband, unit);
	}
	len = strlen(text);
	if (v->kind == LEAT_CHECK_AGE || v->kind == LEAT_CHECK_FLAT) {
		leat_duration_words(words, v->kind == LEAT_CHECK_AGE ? limit->max_age_s : limit->max_flat_s);
		snprintf(text, sizeof(text), "alert when %s for longer than %s",
		    v->kind == LEAT_CHECK_AGE ? "no valid reading came" : "judged and unchanged", words);
	} else {
		leat_duration_words(words, limit->on_delay_s);
		snprintf(text + len, sizeof(text) - len, ", on delay %s", words);
		len = strlen(text);
		leat_duration_words(words, limit->off_delay_s);
		snprintf(text + len, sizeof(text) - len, ", off delay %s", words);
	}
	line(out, "limits", text);
}

static void
explain_row(struct leat_out *out, const struct leat_check_rule *rule)
{
	const struct leat_limit *limit = rule->limit;
	char text[LINE], source[400];

	leat_mask(source, sizeof(source), limit->rule.source);
	snprintf(text, sizeof(text), "%.200s:%ld%s%s", limit->rule.file, limit->rule.line, source[0] != '\0' ? ", after: " : "",
	    source);
	line(out, "row", text);
}

static void
explain_evidence(struct leat_out *out, const struct leat_check_series *s, const struct leat_check_rule *rule,
    const struct leat_check_verdict *v)
{
	char text[LINE], when[400], hold[40], judged[40], idle[40], gap[40], gate[40];

	leat_duration_words(hold, s->hold_s);
	leat_duration_words(judged, v->judged_s);
	leat_duration_words(idle, v->idle_s);
	leat_duration_words(gap, v->gap_s);
	leat_duration_words(gate, v->gate_s);
	snprintf(text, sizeof(text), "%lld valid, %lld bad; a reading holds %s%s", s->valid, s->bad,
	    s->until_changed ? "until changed" : "for ", s->until_changed ? "" : hold);
	line(out, "readings", text);
	if (rule->limit->rule.when != NULL) {
		leat_mask(when, sizeof(when), leat_gate_text(rule->limit->rule.when));
		snprintf(text, sizeof(text), "'%s' true at %lld readings, false at %lld, unknown at %lld", when, rule->judged,
		    rule->idle, rule->untold);
		line(out, "gate", text);
	}
	snprintf(text, sizeof(text), "%s judged, %s not to be judged, %s without readings, %s with unknown gate",
	    judged, idle, gap, gate);
	line(out, "time", text);
}

static void
explain_episode(struct leat_out *out, const struct leat_check_verdict *v, const struct leat_episode_record *record,
    bool is_open, const char *unit)
{
	char text[LINE], since[LEAT_TIME_MAX], reached[LEAT_TIME_MAX], until[LEAT_TIME_MAX], closed[LEAT_TIME_MAX];
	char worst[LEAT_NUMBER_MAX], held[40], count[64] = "";

	leat_time_write(since, record->since);
	leat_time_write(reached, record->reached);
	leat_time_write(until, record->until);
	leat_duration_words(held, record->held_s);
	leat_check_worst(worst, record, v->kind);
	if (record->count > 1)
		snprintf(count, sizeof(count), ", %ld episodes folded into one", record->count);
	if (!is_open)
		leat_time_write(closed, record->closed);
	snprintf(text, sizeof(text), "from %s, %s reached at %s, last evidence %s, %s judged, worst %.64s%s%s%s, %s%s", since,
	    leat_status_name(record->status), reached, until, held, worst, unit[0] != '\0' ? " " : "", unit, count,
	    is_open ? "open" : "over, known at ", is_open ? "" : closed);
	line(out, "episode", text);
}

static void
explain_verdict(struct leat_out *out, const struct leat_check *check, const struct leat_check_rule *rule,
    const struct leat_check_verdict *v)
{
	char text[LEAT_CHECK_TEXT];

	if (v->stale)
		leat_check_stale_words(text, check, rule, v);
	else if (v->lack != LEAT_LACK_NONE)
		leat_check_lack_words(text, check, rule, v);
	else if (v->ok)
		leat_check_ok_words(text, check, rule, v);
	else
		snprintf(text, sizeof(text), "%s", v->open ? "an episode is open" : "there was nothing to judge");
	line(out, "at the end", text);
}

static void
explain_rule(struct leat_out *out, const struct leat_check *check, const struct leat_check_rule *rule,
    const struct leat_check_verdict *v)
{
	const struct leat_check_series *s = &check->series[rule->series];
	char unit[LEAT_CHECK_UNIT], slug[LEAT_CHECK_SLUG];

	leat_check_unit(unit, s, v->kind);
	leat_check_slug(slug, rule->limit, v->kind);
	leat_out_span(out, leat_check_asset(check, s));
	leat_out_char(out, '/');
	leat_out_span(out, leat_check_point(check, s));
	leat_out_char(out, ' ');
	leat_out_text(out, slug);
	leat_out_char(out, '\n');
	explain_row(out, rule);
	explain_limits(out, rule, v, unit);
	explain_evidence(out, s, rule, v);
	for (int i = 0; i < 2; i++) {
		const struct leat_check_signal *signal = v->signal[i];

		for (size_t n = 0; signal != NULL && n < signal->overs; n++)
			if (check->form.all || leat_time_cmp(signal->over[n].closed, check->since) >= 0)
				explain_episode(out, v, &signal->over[n], false, unit);
		if (signal != NULL && signal->episode.open)
			explain_episode(out, v, &signal->episode.now, true, unit);
	}
	explain_verdict(out, check, rule, v);
}

/* Does "ASSET/POINT" match the pattern? */
static bool
asked_for(const struct leat_check *check, const struct leat_check_series *s, struct leat_span what)
{
	struct leat_span asset = leat_check_asset(check, s), point = leat_check_point(check, s);
	char name[512];

	if (what.len == 0)
		return true;
	snprintf(name, sizeof(name), "%.*s/%.*s", (int)asset.len, asset.ptr, (int)point.len, point.ptr);
	return leat_glob(what, leat_span_of(name));
}

size_t
leat_check_explain(struct leat_check *check, struct leat_out *out, struct leat_span what)
{
	struct leat_check_verdict v;
	size_t explained = 0;

	for (size_t i = 0; i < check->rules; i++) {
		const struct leat_check_rule *rule = &check->rule[i];

		if (!asked_for(check, &check->series[rule->series], what))
			continue;
		for (int kind = 0; kind < LEAT_CHECK_KINDS; kind++) {
			if (!leat_check_verdict(check, rule, (enum leat_check_kind)kind, &v))
				continue;
			explain_rule(out, check, rule, &v);
			explained++;
		}
	}
	return explained;
}
