/* How each oil verdict came about, so that a person can redo it by hand. */
#include <math.h>
#include <stdio.h>

#include "judge/verdict_private.h"

static void
add_level(char *dst, size_t size, const char *name, double value)
{
	size_t len = strlen(dst);

	snprintf(dst + len, size - len, "%s%s %.6g", len > 0 ? ", " : "", name, value);
}

/* The limits of the row, and the own ones with the results that made them. */
static void
explain_limits(struct leat_out *out, const struct leat_oil_rule *row, const struct leat_verdict_result *r)
{
	static const char *const level[LEAT_RULE_LEVELS] = { "alarm under", "alert under", "alert over", "alarm over" };
	char text[256] = "";

	for (size_t i = 0; i < LEAT_RULE_LEVELS; i++)
		if (row->level.has[i])
			add_level(text, sizeof(text), level[i], row->level.value[i]);
	leat_out_line(out, "    limits: %s (%s:%ld)", text[0] != '\0' ? text : "none of the row", row->rule.file, row->rule.line);
	if (row->own == 0)
		return;
	if (r->own_n < LEAT_VERDICT_OWN)
		leat_out_line(out, "    own limits: none, %zu results before it and %u are needed", r->own_n, LEAT_VERDICT_OWN);
	else
		leat_out_line(out, "    own limits%s: median %.6g and spread %.6g (1.48 median distances) of %zu results before it; alert "
		    "at %.6g from the median, alarm at %.6g (%g and %g spreads, at least %.6g and half as much again)",
		    row->own == LEAT_OIL_OWN_LOW ? " downwards" : row->own == LEAT_OIL_OWN_HIGH ? " upwards" : "", r->median,
		    r->spread, r->own_n, fmax(LEAT_VERDICT_ALERT_SPREADS * r->spread, row->least),
		    fmax(LEAT_VERDICT_ALARM_SPREADS * r->spread, 1.5 * row->least), LEAT_VERDICT_ALERT_SPREADS,
		    LEAT_VERDICT_ALARM_SPREADS, row->least);
}

static void
explain_evidence(const struct leat_verdict *v, struct leat_out *out, const struct leat_verdict_evidence *e)
{
	const struct leat_oil_rule *row = e->watch != NULL ? e->watch->row : e->key->row;
	struct leat_span sample;
	char text[256], time[LEAT_TIME_MAX];

	if (e->watch == NULL) {
		leat_out_line(out, "  %.*s: no result of %.*s%s", (int)row->rule.name.len, row->rule.name.ptr, (int)e->key->point.len,
		    e->key->point.ptr, row->needed ? ", which is needed" : "");
		return;
	}
	sample = v->samples.name[e->watch->sample];
	leat_verdict_result_words(text, sizeof(text), e, false);
	leat_time_write(time, e->result->time);
	leat_out_line(out, "  %.*s: %s, %s at %.*s%s%s", (int)row->rule.name.len, row->rule.name.ptr, text, time,
	    (int)sample.len, sample.ptr,
	    e->result->idle ? ", not judged: its condition was not true" :
	    e->result->unlimited ? ", not judged: no limits" : "", e->stale ? row->needed ?
	    ", too old, and it is needed" : ", too old" : "");
	explain_limits(out, row, e->result);
	if (e->beyond)
		leat_out_line(out, "    %s: beyond in %d sampling%s one after the other for certain, confirm %d: %s",
		    leat_oil_cure_name(row->cure), e->times, e->times == 1 ? "" : "s", row->confirm,
		    e->confirmed ? "it is sure" : "to be confirmed");
}

static void
explain_share(struct leat_out *out, const struct leat_verdict *v, const struct leat_verdict_case *c)
{
	const struct leat_verdict_evidence *e = c->share_by;
	double margin = 0;

	if (e == NULL)
		return;
	if (!e->watch->row->has_fresh ||
	    leat_nameplate_number(v->form.np, leat_verdict_tank_name(v, c->tank), "renewal-margin", c->at, &margin) != 0) {
		leat_out_line(out, "  renewal: the row has no value of fresh oil, so no mixture can be reckoned");
		return;
	}
	leat_out_line(out,
	    "  renewal: %.*s of fresh oil %.6g, limit %.6g, renewal-margin %.6g %%: target %.6g, from %.6g by %.4f of "
	    "fresh oil%s; renewal-most %.6g %%", (int)e->watch->point.len, e->watch->point.ptr, e->watch->row->fresh,
	    e->result->bound, margin, e->watch->row->fresh + (1 - margin / 100) * (e->result->bound - e->watch->row->fresh),
	    e->result->value, c->share, leat_span_is(e->watch->point, "viscosity-shift") ?
	    ", log10 log10 (viscosity + 0.7) being additive" : "", 100 * c->most);
}

static void
explain_tank(struct leat_verdict *v, struct leat_out *out, const struct leat_verdict_case *c)
{
	struct leat_span name = leat_verdict_tank_name(v, c->tank);
	char time[LEAT_TIME_MAX];

	leat_out_line(out, "%.*s %s: %s, %s", (int)name.len, name.ptr, LEAT_VERDICT_RULE, leat_oil_verdict_name(c->verdict),
	    leat_status_name(c->status));
	if (c->changed != NULL) {
		leat_time_write(time, c->changed->time);
		leat_out_line(out, "  oil changed at %s (line %ld of the logbook): results before are not those of this oil", time,
		    c->changed->line);
	}
	for (size_t i = 0; i < c->count; i++)
		explain_evidence(v, out, &c->evidence[i]);
	explain_share(out, v, c);
	if (!leat_time_is_none(c->valid_until)) {
		leat_time_write(time, c->valid_until);
		leat_out_line(out, "  valid until %s, when the first result that is needed is too old", time);
	}
}

size_t
leat_verdict_explain(struct leat_verdict *v, struct leat_out *out, struct leat_span what)
{
	size_t explained = 0;

	for (uint32_t i = 0; i < v->tanks.count; i++) {
		struct leat_span name = leat_verdict_tank_name(v, i);
		char whole[512];
		int len = snprintf(whole, sizeof(whole), "%.*s/%s", (int)name.len, name.ptr, LEAT_VERDICT_RULE);

		if (len > 0 && (size_t)len < sizeof(whole) && what.len > 0 && !leat_glob(what, name) &&
		    !leat_glob(what, leat_span_make(whole, (size_t)len)))
			continue;
		explain_tank(v, out, &v->tank[i]);
		explained++;
	}
	return explained;
}
