/* Rounds: lines, readings, and what is usual. */
#include "upkeep/round.h"

#include <math.h>
#include <stdlib.h>

#include "base/units.h"
#include "stats/order.h"

#define NO_LINE UINT32_MAX

static const struct leat_unit *
unit_of(const struct leat_point *row, struct leat_span point)
{
	const struct leat_point_info *info = leat_point_find(point);

	if (row != NULL && row->unit != NULL)
		return row->unit;
	return info != NULL && info->unit[0] != '\0' ? leat_unit_find(leat_span_of(info->unit)) : NULL;
}

static uint32_t
number_of(const struct leat_round *round, struct leat_span asset, struct leat_span point)
{
	uint32_t a = leat_names_get(&round->names, asset), p = leat_names_get(&round->names, point);

	return a == LEAT_NAME_NONE || p == LEAT_NAME_NONE ? NO_LINE : leat_pairs_get(&round->series, a, p);
}

struct leat_round_line *
leat_round_find(const struct leat_round *round, struct leat_span asset, struct leat_span point)
{
	uint32_t n = number_of(round, asset, point);

	return n == NO_LINE || n >= round->count ? NULL : &round->line[n];
}

struct leat_round_line *
leat_round_add(struct leat_round *round, struct leat_span asset, struct leat_span point)
{
	struct leat_round_line *line = leat_round_find(round, asset, point);
	uint32_t a, p;

	if (line != NULL)
		return line;
	a = leat_names_put(&round->names, asset);
	p = leat_names_put(&round->names, point);
	if (a == LEAT_NAME_NONE || p == LEAT_NAME_NONE ||
	    leat_grow(&round->line, &round->cap, round->count + 1, sizeof(*round->line)) != 0 ||
	    leat_pairs_put(&round->series, a, p) != round->count)
		return NULL;
	line = &round->line[round->count++];
	*line = (struct leat_round_line){ .asset = round->names.name[a], .point = round->names.name[p] };
	line->row = round->points != NULL ? leat_points_series(round->points, asset, point) : NULL;
	line->unit = unit_of(line->row, point);
	return line;
}

int
leat_round_regular(struct leat_round *round, const struct leat_points *points, struct leat_span assets,
    struct leat_error *err)
{
	round->points = points;
	for (size_t i = 0; i < points->count; i++) {
		const struct leat_point *row = &points->row[i];
		struct leat_round_line *line;

		if (!leat_glob(assets, row->asset))
			continue;
		line = leat_round_add(round, row->asset, row->point);
		if (line == NULL)
			return leat_error_memory(err);
		line->row = row;
		line->unit = unit_of(row, row->point);
	}
	return 0;
}

/* A regular line of the mill that reads the point serves as well: a second one would ask for the same twice. */
static struct leat_round_line *
line_of_mill(struct leat_round *round, struct leat_span asset, struct leat_span point)
{
	for (size_t i = 0; i < round->count; i++)
		if (leat_span_eq(leat_asset_mill(round->line[i].asset), leat_asset_mill(asset)) &&
		    leat_span_eq(round->line[i].point, point))
			return &round->line[i];
	return NULL;
}

/* The asset of the mill at which points.csv has the point: the finding's own, one beside it, else the first below. */
static struct leat_span
asset_with(const struct leat_round *round, struct leat_span asset, struct leat_span point)
{
	struct leat_span at = asset, parent;

	for (size_t i = 0; round->points != NULL && i <= round->points->count; i++) {
		if (leat_points_series(round->points, at, point) != NULL)
			return at;
		if (!leat_asset_parent(at, &parent))
			break;
		at = parent;
	}
	for (size_t i = 0; round->points != NULL && i < round->points->count; i++)
		if (leat_span_eq(round->points->row[i].point, point) &&
		    leat_span_eq(leat_asset_mill(round->points->row[i].asset), leat_asset_mill(asset)))
			return round->points->row[i].asset;
	return asset;
}

static int
want(struct leat_round *round, const struct leat_finding *f, struct leat_span point, enum leat_round_when when,
    struct leat_error *err)
{
	struct leat_span asset = asset_with(round, f->asset, point);
	struct leat_round_line *line = line_of_mill(round, f->asset, point);
	struct leat_buf text = { 0 };
	uint32_t rule, wants;

	if (line == NULL)
		line = leat_round_add(round, asset, point);
	if (line == NULL)
		return leat_error_memory(err);
	if (line->rule.len > 0)
		return 0;
	if (leat_buf_printf(&text, "%.*s/%.*s", (int)f->asset.len, f->asset.ptr, (int)f->point.len, f->point.ptr) != 0) {
		leat_buf_free(&text);
		return leat_error_memory(err);
	}
	wants = leat_names_put(&round->names, leat_buf_span(&text));
	rule = leat_names_put(&round->names, f->rule);
	leat_buf_free(&text);
	if (wants == LEAT_NAME_NONE || rule == LEAT_NAME_NONE)
		return leat_error_memory(err);
	line->wants = round->names.name[wants];
	line->rule = round->names.name[rule];
	line->when = when;
	return 0;
}

int
leat_round_finding(struct leat_round *round, const struct leat_finding *f, struct leat_error *err)
{
	enum leat_round_when when;
	const char *need;

	if (f->status != LEAT_STATUS_UNKNOWN || !leat_time_is_none(f->until))
		return 0;
	for (size_t i = 0; (need = leat_round_need(f->point, i, &when)) != NULL; i++)
		if (want(round, f, leat_span_of(need), when, err) != 0)
			return -1;
	return 0;
}

/* Older ones go once they are half of all, when nobody said from when they count. */
static void
prune(struct leat_round_line *line)
{
	struct leat_time from = leat_time_add(line->sample[line->samples - 1].time, -LEAT_ROUND_DAYS * 86400);
	size_t old = 0;

	while (old < line->samples && leat_time_cmp(line->sample[old].time, from) < 0)
		old++;
	memmove(line->sample, line->sample + old, (line->samples - old) * sizeof(*line->sample));
	line->samples -= old;
}

static int
keep(struct leat_round *round, struct leat_round_line *line, const struct leat_reading *r, struct leat_error *err)
{
	const struct leat_unit *unit = leat_unit_find(r->unit);
	double value;

	if (r->quality != LEAT_GOOD || line->unit == NULL || leat_reading_number(r, &value) != 0)
		return 0;
	if (unit != NULL && !leat_unit_same_dimension(unit, line->unit)) {
		leat_error_set(err, "unit of %.*s/%.*s is of another dimension than '%s'", (int)r->asset.len, r->asset.ptr,
		    (int)r->point.len, r->point.ptr, line->unit->name);
		leat_error_value(err, r->unit);
		return -1;
	}
	if (unit != NULL)
		value = leat_unit_convert(unit, line->unit, value);
	if (line->samples == line->cap && line->samples > 0 && leat_time_is_none(round->from))
		prune(line);
	if (leat_grow(&line->sample, &line->cap, line->samples + 1, sizeof(*line->sample)) != 0)
		return leat_error_memory(err);
	line->sample[line->samples++] = (struct leat_round_sample){ r->time, value };
	return 0;
}

static int
change(struct leat_round *round, const struct leat_reading *r, size_t which, int grinding, struct leat_error *err)
{
	uint32_t mill = leat_names_put(&round->mills, leat_asset_mill(r->asset));
	struct leat_round_mill *m;

	if (mill == LEAT_NAME_NONE || leat_grow(&round->mill, &round->mill_cap, (size_t)mill + 1, sizeof(*round->mill)) != 0)
		return leat_error_memory(err);
	m = &round->mill[mill];
	if (m->count[which] > 0 && m->change[which][m->count[which] - 1].grinding == grinding)
		return 0;
	if (leat_grow(&m->change[which], &m->cap[which], m->count[which] + 1, sizeof(**m->change)) != 0)
		return leat_error_memory(err);
	m->change[which][m->count[which]++] = (struct leat_round_change){ r->time, (signed char)grinding };
	return 0;
}

/* The mill's own state or drive: 0 state, 1 drive, -1 another reading. */
static int
tells_state(const struct leat_reading *r)
{
	if (leat_span_is(r->point, "state"))
		return 0;
	return leat_span_is(r->point, "mill-running") ? 1 : -1;
}

static int
take_state(struct leat_round *round, const struct leat_reading *r, int which, struct leat_error *err)
{
	int grinding;

	if (r->quality == LEAT_BAD || (which == 0 && leat_span_is(r->value, "unknown")))
		grinding = -1;
	else if (which == 0)
		grinding = leat_span_is(r->value, "grinding");
	else
		grinding = leat_span_is(r->value, "on") || leat_span_is(r->value, "1");
	return change(round, r, (size_t)which, grinding, err);
}

int
leat_round_take(struct leat_round *round, const struct leat_reading *r, struct leat_error *err)
{
	int which;
	uint32_t n;

	if (leat_grow(&round->of_series, &round->of_series_cap, (size_t)r->series + 1, sizeof(*round->of_series)) != 0)
		return leat_error_memory(err);
	n = round->of_series[r->series];
	if (n == 0) {
		n = number_of(round, r->asset, r->point);
		n = n == NO_LINE ? NO_LINE : n + 1;
		round->of_series[r->series] = n;
	}
	which = tells_state(r);
	if (which >= 0)
		return take_state(round, r, which, err);
	if (n == NO_LINE || (!leat_time_is_none(round->from) && leat_time_cmp(r->time, round->from) < 0))
		return 0;
	return keep(round, &round->line[n - 1], r, err);
}

static int
grinding_at(const struct leat_round_change *change, size_t count, struct leat_time time)
{
	size_t low = 0, high = count;

	while (low < high) {
		size_t middle = low + (high - low) / 2;

		if (leat_time_cmp(change[middle].time, time) <= 0)
			low = middle + 1;
		else
			high = middle;
	}
	return low == 0 ? -1 : change[low - 1].grinding;
}

int
leat_round_grinding(const struct leat_round *round, struct leat_span asset, struct leat_time time, double pressure_bar)
{
	uint32_t mill = leat_names_get(&round->mills, leat_asset_mill(asset));

	for (size_t which = 0; mill != LEAT_NAME_NONE && which < 2; which++) {
		int known = grinding_at(round->mill[mill].change[which], round->mill[mill].count[which], time);

		if (known >= 0)
			return known;
	}
	if (isnan(pressure_bar))
		return -1;
	return pressure_bar >= LEAT_ROUND_OFF_BAR;
}

/* The pressure in bar that was read at the asset at that very time; NaN: none. */
static double
pressure_at(const struct leat_round *round, struct leat_span asset, struct leat_time time)
{
	const struct leat_round_line *line = leat_round_find(round, asset, LEAT_SPAN("pressure"));
	size_t low = 0, high = line != NULL ? line->samples : 0;

	while (low < high) {
		size_t middle = low + (high - low) / 2;

		if (leat_time_cmp(line->sample[middle].time, time) < 0)
			low = middle + 1;
		else
			high = middle;
	}
	if (line == NULL || low >= line->samples || leat_time_cmp(line->sample[low].time, time) != 0)
		return NAN;
	return leat_unit_convert(line->unit, leat_unit_find(LEAT_SPAN("bar")), line->sample[low].value);
}

/* The limits at the asset, else at its nearest parent that has any. */
static void
from_limits(const struct leat_limits *limits, const struct leat_round_line *line, struct leat_round_usual *usual)
{
	struct leat_span asset = line->asset, parent;
	size_t index[16], count;

	for (bool more = true; more; asset = parent) {
		count = leat_limits_for(limits, asset, line->point, index, 16);
		for (size_t i = 0; i < count && i < 16; i++) {
			const struct leat_limit *l = &limits->row[index[i]];
			const struct leat_unit *unit = l->unit != NULL ? l->unit : unit_of(NULL, line->point);

			if (!l->has_low_alert && !l->has_high_alert)
				continue;
			if (unit == NULL || line->unit == NULL || !leat_unit_same_dimension(unit, line->unit))
				continue;
			if (l->has_low_alert && !usual->has_low) {
				usual->has_low = true;
				usual->low = leat_unit_convert(unit, line->unit, l->low_alert);
			}
			if (l->has_high_alert && !usual->has_high) {
				usual->has_high = true;
				usual->high = leat_unit_convert(unit, line->unit, l->high_alert);
			}
			usual->source = LEAT_ROUND_LIMITS;
		}
		more = usual->source == LEAT_ROUND_NOTHING && leat_asset_parent(asset, &parent);
	}
}

int
leat_round_usual_at(const struct leat_round *round, const struct leat_round_line *line, struct leat_time before,
    const struct leat_limits *limits, struct leat_round_usual *usual, struct leat_error *err)
{
	struct leat_time from = leat_time_add(before, -LEAT_ROUND_DAYS * 86400);
	double *value = line->samples > 0 ? malloc(line->samples * sizeof(*value)) : NULL, last = NAN;
	size_t repeated = 0;

	memset(usual, 0, sizeof(*usual));
	if (line->samples > 0 && value == NULL)
		return leat_error_memory(err);
	for (size_t i = 0; i < line->samples; i++) {
		const struct leat_round_sample *s = &line->sample[i];

		if (leat_time_cmp(s->time, from) < 0 || leat_time_cmp(s->time, before) >= 0 ||
		    leat_round_grinding(round, line->asset, s->time, pressure_at(round, line->asset, s->time)) == 0)
			continue;
		value[usual->readings++] = s->value;
		repeated += s->value == last;
		last = s->value;
	}
	if (usual->readings >= LEAT_ROUND_LEAST) {
		usual->source = LEAT_ROUND_READINGS;
		usual->repeats = (double)repeated / (double)(usual->readings - 1);
		usual->has_low = usual->has_high = true;
		usual->low = leat_quantile(value, usual->readings, LEAT_ROUND_LOW);
		usual->high = leat_quantile(value, usual->readings, LEAT_ROUND_HIGH);
	} else if (limits != NULL) {
		from_limits(limits, line, usual);
	}
	free(value);
	return 0;
}

/* Lines in order: mill, regular before the others, then as they came. */
static int
by_mill(const void *a, const void *b)
{
	const struct leat_round_line *const *x = a, *const *y = b;
	int mill = leat_span_cmp(leat_asset_mill((*x)->asset), leat_asset_mill((*y)->asset));

	if (mill != 0)
		return mill;
	if ((*x)->when != (*y)->when)
		return (*x)->when < (*y)->when ? -1 : 1;
	return *x < *y ? -1 : *x > *y;
}

int
leat_round_end(struct leat_round *round, struct leat_time now, const struct leat_limits *limits, struct leat_error *err)
{
	struct leat_round_line **order, *sorted;

	for (size_t i = 0; i < round->count; i++)
		if (leat_round_usual_at(round, &round->line[i], now, limits, &round->line[i].usual, err) != 0)
			return -1;
	if (round->count == 0)
		return 0;
	order = malloc(round->count * sizeof(struct leat_round_line *));
	sorted = malloc(round->cap * sizeof(*sorted));
	if (order == NULL || sorted == NULL) {
		free(order);
		free(sorted);
		return leat_error_memory(err);
	}
	for (size_t i = 0; i < round->count; i++)
		order[i] = &round->line[i];
	qsort(order, round->count, sizeof(struct leat_round_line *), by_mill);
	for (size_t i = 0; i < round->count; i++)
		sorted[i] = *order[i];
	free(order);
	free(round->line);
	round->line = sorted;
	return 0;
}

void
leat_round_free(struct leat_round *round)
{
	for (size_t i = 0; i < round->count; i++)
		free(round->line[i].sample);
	for (size_t i = 0; i < round->mills.count; i++) {
		free(round->mill[i].change[0]);
		free(round->mill[i].change[1]);
	}
	free(round->line);
	free(round->mill);
	free(round->of_series);
	leat_names_free(&round->names);
	leat_names_free(&round->mills);
	leat_pairs_free(&round->series);
	memset(round, 0, sizeof(*round));
}
