/* What works tables and findings tell a picture. */
#include <math.h>
#include <stdlib.h>

#include "tell/picture_private.h"
#include "upkeep/renewal.h"

int
leat_picture_limits(struct leat_picture *p, const struct leat_limits *limits)
{
	for (uint32_t i = 0; i < p->panels; i++) {
		size_t index[16];
		size_t count = leat_limits_for(limits, leat_span_of(p->panel[i]->asset), leat_span_of(p->panel[i]->point), index, 16);

		for (size_t k = 0; k < count && k < 16; k++) {
			const struct leat_limit *l = &limits->row[index[k]];

			if ((l->has_low_alarm && leat_picture_level(p, i, LEAT_PICTURE_ALARM, l->low_alarm, l->unit) != 0) ||
			    (l->has_low_alert && leat_picture_level(p, i, LEAT_PICTURE_ALERT, l->low_alert, l->unit) != 0) ||
			    (l->has_high_alert && leat_picture_level(p, i, LEAT_PICTURE_ALERT, l->high_alert, l->unit) != 0) ||
			    (l->has_high_alarm && leat_picture_level(p, i, LEAT_PICTURE_ALARM, l->high_alarm, l->unit) != 0))
				return -1;
		}
	}
	return 0;
}

/* The trend row by which the finding was made; NULL when none is known. */
static const struct leat_trend_row *
trend_row(const struct leat_trends *trends, const struct leat_finding *f)
{
	size_t index[16], count = trends != NULL ? leat_trends_for(trends, f->asset, f->point, index, 16) : 0;

	for (size_t i = 0; i < count && i < 16; i++)
		if (leat_span_eq(trends->row[index[i]].rule.name, f->rule))
			return &trends->row[index[i]];
	return NULL;
}

static double
converted(const struct leat_unit *from, const struct leat_unit *to, double value)
{
	return from != NULL && to != NULL ? leat_unit_convert(from, to, value) : value;
}

/* What a row of trends.csv makes of the baseline: its limits, and the forecast of the farther one. */
static int
trend(struct leat_picture *p, uint32_t panel, const struct leat_finding *f, const struct leat_trend_row *row)
{
	const struct leat_unit *own = p->panel[panel]->unit;
	double times = row->multiple ? f->baseline : 1, limit = times * (row->has_alarm ? row->alarm : row->alert);
	struct leat_picture_fan fan = { .level = converted(row->unit, own, f->baseline * f->ratio),
		.limit = converted(row->unit, own, limit), .early = f->early, .likely = f->likely, .late = f->late };

	if (row->model == LEAT_MODEL_STEP)
		return 0;
	if (row->has_alert && leat_picture_level(p, panel, LEAT_PICTURE_ALERT, times * row->alert, row->unit) != 0)
		return -1;
	if (row->has_alarm && leat_picture_level(p, panel, LEAT_PICTURE_ALARM, times * row->alarm, row->unit) != 0)
		return -1;
	leat_picture_forecast(p, panel, &fan);
	return 0;
}

static int
finding(struct leat_picture *p, uint32_t panel, const struct leat_finding *f, const struct leat_trends *trends)
{
	const struct leat_trend_row *row = trend_row(trends, f);
	const struct leat_unit *unit = leat_unit_find(f->unit);
	double limit;

	/* The limit of a rate or a time is none of the value. */
	if ((f->status == LEAT_STATUS_ALERT || f->status == LEAT_STATUS_ALARM) && leat_double_parse(f->limit, &limit) == 0 &&
	    unit != NULL && p->panel[panel]->unit != NULL && leat_unit_same_dimension(unit, p->panel[panel]->unit) &&
	    leat_picture_level(p, panel, f->status == LEAT_STATUS_ALARM ? LEAT_PICTURE_ALARM : LEAT_PICTURE_ALERT, limit,
	    unit) != 0)
		return -1;
	if (isnan(f->baseline))
		return row != NULL && !row->multiple ? trend(p, panel, f, row) : 0;
	if (leat_picture_level(p, panel, LEAT_PICTURE_BASELINE, f->baseline, row != NULL ? row->unit : unit) != 0)
		return -1;
	return row != NULL ? trend(p, panel, f, row) : 0;
}

int
leat_picture_findings(struct leat_picture *p, const struct leat_findings *findings, const struct leat_trends *trends)
{
	for (size_t i = 0; i < findings->count; i++) {
		const struct leat_finding *f = &findings->item[i];

		if (!leat_time_is_none(f->until))
			continue;
		for (uint32_t k = 0; k < p->panels; k++)
			if (leat_span_is(f->asset, p->panel[k]->asset) && leat_span_is(f->point, p->panel[k]->point) &&
			    finding(p, k, f, trends) != 0)
				return -1;
	}
	return 0;
}

static int
by_time(const void *a, const void *b)
{
	const double *x = a, *y = b;

	return (*x > *y) - (*x < *y);
}

int
picture_find_renewals(const struct leat_picture *p, struct picture_panel *panel)
{
	if (p->events == 0 || panel->kind != LEAT_KIND_ANALOGUE)
		return 0;
	free(panel->renewed);
	panel->renewals = 0;
	panel->renewed = malloc(p->events * sizeof(*panel->renewed));
	if (panel->renewed == NULL)
		return -1;
	for (size_t i = 0; i < p->events; i++) {
		const struct picture_event *e = &p->event[i];
		struct leat_log_entry entry = { .event = e->kind };

		if (e->kind == NULL)
			continue;
		entry.asset = leat_span_of(e->asset);
		entry.point = leat_span_of(e->point);
		if (leat_log_renews(&entry, leat_span_of(panel->asset), leat_span_of(panel->point)))
			panel->renewed[panel->renewals++] = e->t;
	}
	qsort(panel->renewed, panel->renewals, sizeof(*panel->renewed), by_time);
	return 0;
}
