/*
 * How each judgement of leat-trend came about, so that a person can redo it by hand.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "judge/trend_private.h"
#include "upkeep/renewal.h"

#define SHOWN 400	/* daily values that are listed, the newest */

static const char *
stamp(char dst[LEAT_TIME_MAX], struct leat_time t)
{
	if (leat_time_is_none(t))
		return "none";
	leat_time_write(dst, t);
	return dst;
}

static void
explain_segment(struct leat_out *out, const struct leat_trend_case *c)
{
	char t[LEAT_TIME_MAX];
	const struct leat_trend_watch *w = c->watch;

	leat_out_line(out, "  readings: %lld taken, %lld where the gate was not true, %lld not good or no number", w->daily.kept,
	    w->idle,
	    w->lesser);
	if (c->reset != NULL)
		leat_out_line(out, "  renewed: %s at %s (line %ld of the logbook%s%.*s); values count from 24 h later",
		    c->reset->event->name,
		    stamp(t, c->reset->time), c->reset->line, c->reset->item.len > 0 ? ", item " : "", (int)c->reset->item.len,
		    c->reset->item.ptr != NULL ? c->reset->item.ptr : "");
	for (size_t i = 0; i < c->scales; i++)
		leat_out_line(out, "  meter changed: values before %s times %.4f (meter-change, line %ld of the logbook)",
		    stamp(t, c->scale[i].at), c->scale[i].ratio, c->scale[i].entry->line);
	if (c->step.found)
		leat_out_line(out, "  step at %s: %.6g to %.6g, ratio %.4f%s%s", stamp(t, c->step.at), c->step.before, c->step.after,
		    c->step.ratio, c->step.factor != NULL ? ", " : "", c->step.factor != NULL ? c->step.factor : "");
	leat_out_line(out, "  daily values (median of a works' day): %zu, on %.0f %% of the days", c->n, 100 * c->coverage);
}

/* The baselines of the items before: each as it was when that item was renewed. */
static int
explain_earlier(struct leat_trend *trend, struct leat_out *out, const struct leat_trend_case *c)
{
	const struct leat_logbook *book = trend->form.book;
	char t[LEAT_TIME_MAX], a[LEAT_TIME_MAX], b[LEAT_TIME_MAX];

	for (size_t i = 0; c->reset != NULL && i < book->count; i++) {
		const struct leat_log_entry *e = &book->entry[i];
		struct leat_trend_case before;

		if (leat_time_cmp(e->time, c->reset->time) > 0 ||
		    !leat_log_renews(e, leat_trend_asset(trend, c->watch), leat_trend_point(trend, c->watch)))
			continue;
		if (leat_trend_case_begin(trend, c->watch, leat_time_add(e->time, -1), &before) != 0) {
			leat_trend_case_free(&before);
			return -1;
		}
		if (before.baseline_n > 0 && before.has_baseline)
			leat_out_line(out, "  earlier baseline: %.6g %s, median of the first %zu daily values, %s to %s; until %s at %s",
			    before.baseline, leat_trend_unit(c), before.baseline_n, stamp(a, before.time[0]),
			    stamp(b, before.time[before.baseline_n - 1]), e->event->name, stamp(t, e->time));
		leat_trend_case_free(&before);
	}
	return 0;
}

static void
explain_limits(struct leat_out *out, const struct leat_trend_case *c)
{
	const char *unit = leat_trend_unit(c);

	char a[LEAT_TIME_MAX], b[LEAT_TIME_MAX];

	if (c->has_baseline && c->baseline_n > 0)
		leat_out_line(out, "  baseline: %.6g %s, median of the first %zu daily values, %s to %s", c->baseline, unit, c->baseline_n,
		    stamp(a, c->time[0]), stamp(b, c->time[c->baseline_n - 1]));
	else if (c->has_baseline)
		leat_out_line(out, "  baseline: %.6g %s, %s", c->baseline, unit,
		    c->watch->row->baseline == LEAT_BASELINE_NUMBER ? "from trends.csv" : "from the nameplate");
	else
		leat_out_line(out, "  baseline: none");
	if (!isnan(c->alert))
		leat_out_line(out, "  alert limit: %.6g %s", c->alert, unit);
	if (!isnan(c->alarm))
		leat_out_line(out, "  alarm limit: %.6g %s", c->alarm, unit);
	leat_out_line(out, "  level: %.6g %s, median of the last %d", c->level, unit, LEAT_TREND_LEVEL);
}

static void
explain_forecast(struct leat_out *out, const struct leat_trend_case *c, const char *name, const struct leat_forecast *f,
    bool late)
{
	char a[LEAT_TIME_MAX], b[LEAT_TIME_MAX], d[LEAT_TIME_MAX];
	struct leat_time date[3];

	if (!f->trend) {
		leat_out_line(out, "  %s limit: no trend towards it at 90 %%, so no date", name);
		return;
	}
	if (!leat_trend_dates(c, f, date)) {
		leat_out_line(out, "  %s limit: beyond once the span that was fitted, so no date", name);
		return;
	}
	leat_out_line(out, "  %s limit: x P10 %.7g, P50 %.7g, P90 %.7g; dates %s, %s, %s%s", name, f->p10, f->p50, f->p90,
	    stamp(a, date[0]), stamp(b, date[1]), stamp(d, date[2]),
	    late ? "; by a longer line that is less steep, so the latest there can be" : "");
}

static void
explain_line(struct leat_out *out, const struct leat_trend_case *c)
{
	const char *clock = c->watch->row->clock == LEAT_CLOCK_AGEING ? "ageing" : "running";
	const char *per = !c->by_hours ? "a day" : c->watch->row->clock == LEAT_CLOCK_AGEING ? "an ageing hour" : "a running hour";

	if (c->no_hours)
		leat_out_line(out, "  clock: calendar days, since %s hours are not known for all values", clock);
	else if (c->by_hours)
		leat_out_line(out, "  clock: %s hours, %.2f h a day of late, by the week give or take %.2f", clock, c->per_day,
		    c->per_day_sd);
	if (!c->fitted)
		return;
	if (c->watch->row->model == LEAT_MODEL_CUBE_ROOT)
		leat_out_line(out, "  model: y = cube root of (value - %.6g), %.6g being control-bleed of the nameplate", c->offset,
		    c->offset);
	if (c->watch->row->model == LEAT_MODEL_EXPONENTIAL)
		leat_out_line(out, "  model: y = natural logarithm of the value");
	leat_out_line(out, "  fitted: %zu values from number %zu on%s", c->n - c->best.from, c->best.from + 1,
	    c->accelerates ? ", the newest third, which is steeper than the whole" : "");
	leat_out_line(out, "  Theil-Sen slope: %.6g %s, 90 %% interval %.6g to %.6g; intercept %.9g (median of y - slope x)",
	    c->best.line.slope, per, c->best.line.slope_low, c->best.line.slope_high, c->best.line.intercept);
	leat_out_line(out, "  Kendall: S %.0f, tau %.3f, variance %.6g times %.3f for autocorrelation, z %.3f, p %.4f",
	    c->best.kendall.s,
	    c->best.kendall.tau, c->best.kendall.variance, c->best.kendall.factor, c->best.kendall.z, c->best.kendall.p);
	leat_out_line(out, "  noise: standard deviation %.4g, %.2f independent values in 7 days; smallest visible change "
	    "2.8 x %.4g x root(2/%.2f) = %.4g", c->sigma, c->n_eff, c->sigma, c->n_eff, c->detectable);
	if (c->best.foretold_from != c->best.from)
		leat_out_line(out, "  forecast: by %zu values from number %zu on", c->n - c->best.foretold_from,
		    c->best.foretold_from + 1);
	if (!isnan(c->alert))
		explain_forecast(out, c, "alert", &c->best.to[LEAT_TO_ALERT], c->best.late[LEAT_TO_ALERT]);
	if (!isnan(c->alarm))
		explain_forecast(out, c, "alarm", &c->best.to[LEAT_TO_ALARM], c->best.late[LEAT_TO_ALARM]);
}

static void
explain_values(struct leat_out *out, const struct leat_trend_case *c)
{
	size_t from = c->n > SHOWN ? c->n - SHOWN : 0;
	char t[LEAT_TIME_MAX];

	leat_out_line(out, "  number,time,value,x,y%s", from > 0 ? " (the newest)" : "");
	for (size_t i = from; i < c->n; i++)
		leat_out_line(out, "  %zu,%s,%.9g,%.9g,%.9g", i + 1, stamp(t, c->time[i]), c->value[i], c->x[i], c->y[i]);
}

size_t
leat_trend_explain(struct leat_trend *trend, struct leat_out *out, struct leat_span what)
{
	size_t explained = 0;

	for (size_t i = 0; i < trend->watches; i++) {
		const struct leat_trend_case *c = &trend->found[i];
		struct leat_span asset = leat_trend_asset(trend, c->watch), point = leat_trend_point(trend, c->watch);
		char name[512], message[LEAT_TREND_TEXT];

		snprintf(name, sizeof(name), "%.*s/%.*s", (int)asset.len, asset.ptr, (int)point.len, point.ptr);
		if (what.len > 0 && !leat_glob(what, leat_span_of(name)) && !leat_span_eq(what, asset))
			continue;
		explained++;
		leat_out_line(out, "%s, rule %.*s (%s:%ld)", name, (int)c->watch->row->rule.name.len, c->watch->row->rule.name.ptr,
		    c->watch->row->rule.file, c->watch->row->rule.line);
		explain_segment(out, c);
		if (explain_earlier(trend, out, c) != 0)
			leat_out_line(out, "  earlier baselines: out of memory");
		if (c->n > 0) {
			explain_limits(out, c);
			explain_line(out, c);
			explain_values(out, c);
		}
		if (c->watch->row->model != LEAT_MODEL_STEP) {
			leat_trend_words(message, trend, c);
			leat_out_line(out, "  %s: %s", leat_status_name(c->status), message);
		}
	}
	return explained;
}
