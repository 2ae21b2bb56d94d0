/*
 * The scoreboard of the nightly text.
 */
#include "tell/score.h"

#include "base/number.h"
#include "stream/points.h"

/* What the findings of a rule say of a pressure that was not held. */
static const struct {
	const char *rule;
	const char *cause;
} causes[] = {
	{ "low-setpoint", "set point lowered" },
	{ "pump-wear", "pump worn" },
	{ "pump-jump", "pump worn" },
	{ "leakage", "leakage" },
	{ "piston-seal", "leakage" },
	{ "relief-exceeded", "relief valve" },
	{ "near-relief", "relief valve" },
	{ "gas-loss", "gas lost" },
	{ "gas-compliance", "gas lost" },
	{ "wet-oil", "water in the oil" },
	{ "hot-oil", "hot oil" },
	{ "no-drain-flow", "no drain flow" }
};
#define CAUSES (sizeof(causes) / sizeof(causes[0]))

static bool
is_open(const struct leat_finding *f, const struct leat_nightly *n)
{
	return f->status != LEAT_STATUS_OK && leat_time_is_none(f->until) && leat_time_cmp(f->time, n->cal.now) <= 0;
}

/* Of the findings of one mill's attainment the open one counts, else the one that is in order. */
static bool
is_score(const struct leat_nightly *n, size_t i)
{
	const struct leat_finding *f = &n->tonight->item[i];
	bool open = is_open(f, n);

	if (!leat_span_is(f->rule, LEAT_SCORE_RULE) || (!open && f->status != LEAT_STATUS_OK))
		return false;
	for (size_t k = 0; k < n->tonight->count; k++) {
		const struct leat_finding *other = &n->tonight->item[k];

		if (k == i || !leat_span_is(other->rule, LEAT_SCORE_RULE) || !leat_span_eq(other->asset, f->asset))
			continue;
		if ((is_open(other, n) && (!open || k < i)) || (!open && other->status == LEAT_STATUS_OK && k < i))
			return false;
	}
	return true;
}

/* Is there an open finding of that rule, of the asset or of what belongs to its mill? */
static bool
has_cause(const struct leat_nightly *n, struct leat_span asset, const char *rule)
{
	for (size_t i = 0; i < n->tonight->count; i++) {
		const struct leat_finding *f = &n->tonight->item[i];

		if (leat_span_is(f->rule, rule) && is_open(f, n) && f->status != LEAT_STATUS_UNKNOWN &&
		    leat_span_eq(leat_asset_mill(f->asset), leat_asset_mill(asset)))
			return true;
	}
	return false;
}

static size_t
add_causes(struct leat_text *t, const struct leat_nightly *n, struct leat_span asset)
{
	size_t told = 0;

	for (size_t i = 0; i < CAUSES; i++) {
		bool said = false;

		if (!has_cause(n, asset, causes[i].rule))
			continue;
		for (size_t k = 0; k < i && !said; k++)
			said = strcmp(causes[k].cause, causes[i].cause) == 0 && has_cause(n, asset, causes[k].rule);
		if (!said)
			leat_text_add(t, "%s%s", told++ > 0 ? ", " : ": ", causes[i].cause);
	}
	return told;
}

static void
add_share(struct leat_text *t, const struct leat_finding *f)
{
	leat_text_add_glued(t, f->asset);
	leat_text_add(t, LEAT_TEXT_GLUE);
	if (f->value.len == 0) {
		leat_text_add(t, "cannot" LEAT_TEXT_GLUE "tell");
		return;
	}
	leat_text_add_glued(t, f->value);
	leat_text_add(t, LEAT_TEXT_GLUE "%%");
}

/* Did it hold its pressure, and the one that was agreed? */
static bool
held(const struct leat_nightly *n, const struct leat_finding *f)
{
	return f->status == LEAT_STATUS_OK && !has_cause(n, f->asset, "low-setpoint");
}

static void
put_mill(struct leat_text *t, const struct leat_nightly *n, const struct leat_finding *f)
{
	add_share(t, f);
	if (f->value.len > 0)
		leat_text_add(t, " of grinding time%s", f->status == LEAT_STATUS_OK ? "" : " at worst");
	if (f->status == LEAT_STATUS_OK && !held(n, f))
		leat_text_add(t, ", at a lowered set point");
	if (f->status == LEAT_STATUS_ALERT || f->status == LEAT_STATUS_ALARM) {
		leat_text_add(t, ", since ");
		leat_words_time(t, &n->cal, f->since);
		if (add_causes(t, n, f->asset) == 0)
			leat_text_add(t, ": cause not known");
	}
	leat_text_end(t, 2, 6);
}

void
leat_score_write(struct leat_text *t, const struct leat_nightly *n)
{
	size_t mills = 0, good = 0;

	for (size_t i = 0; i < n->tonight->count; i++) {
		if (!is_score(n, i))
			continue;
		mills++;
		good += held(n, &n->tonight->item[i]);
	}
	if (mills == 0)
		return;
	leat_text_add(t, good == mills ? "Pressure held: " : "Pressure held:");
	if (good < mills)
		leat_text_end(t, 0, 0);
	for (size_t i = 0, told = 0; i < n->tonight->count; i++) {
		if (!is_score(n, i))
			continue;
		if (good < mills) {
			put_mill(t, n, &n->tonight->item[i]);
			continue;
		}
		leat_text_add(t, "%s", told++ > 0 ? ", " : "");
		add_share(t, &n->tonight->item[i]);
	}
	if (good == mills) {
		leat_text_add(t, " of grinding time.");
		leat_text_end(t, 0, 0);
	}
}
