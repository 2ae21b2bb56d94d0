/* How full the tanks are. */
#include <math.h>
#include <stdlib.h>

#include "judge/levels.h"
#include "stream/quantity.h"

#define DAY_S 86400.0

void
leat_levels_init(struct leat_levels *levels, struct leat_readings *in, const struct leat_points *points,
    const struct leat_nameplate *np, struct leat_time now)
{
	*levels = (struct leat_levels){ .in = in, .np = np, .now = now };
	leat_current_init(&levels->current, in, points);
}

void
leat_levels_free(struct leat_levels *levels)
{
	leat_current_free(&levels->current);
	free(levels->mill);
}

static struct leat_levels_mill *
mill_of(struct leat_levels *levels, struct leat_span asset)
{
	struct leat_span name = leat_asset_mill(asset);

	for (size_t i = 0; i < levels->mills; i++)
		if (leat_span_eq(levels->mill[i].name, name))
			return &levels->mill[i];
	if (leat_grow(&levels->mill, &levels->cap, levels->mills + 1, sizeof(*levels->mill)) != 0)
		return NULL;
	levels->mill[levels->mills] = (struct leat_levels_mill){ .name = name };
	return &levels->mill[levels->mills++];
}

/* Whose level is that of the hydraulic tank: other vessels of a mill are none of ours. */
static bool
is_of_tank(struct leat_span asset)
{
	struct leat_span mill = leat_asset_mill(asset), part = leat_span_make(asset.ptr + mill.len, asset.len - mill.len);

	return part.len == 0 || leat_span_is(part, "/tank") || leat_span_is(part, "/round");
}

static void
add(struct leat_level_list *list, const struct leat_level *level)
{
	list->item[list->taken++ % LEAT_LEVELS_KEPT] = *level;
}

static int
take_level(struct leat_levels *levels, const struct leat_reading *r, struct leat_span asset, struct leat_error *err)
{
	struct leat_level level = { .time = r->time, .pressure_bar = NAN };
	struct leat_levels_mill *mill;
	bool uncertain = false;
	double set_bar;
	int found = leat_quantity_of(r, leat_unit_find(LEAT_SPAN("mm")), &level.level_mm, err);

	if (found <= 0 || r->quality != LEAT_GOOD)
		return found < 0 ? -1 : 0;
	if ((mill = mill_of(levels, asset)) == NULL)
		return leat_error_memory(err);
	if (leat_quantity_valid(&levels->current, leat_current_at(&levels->current, mill->name, LEAT_SPAN("pressure")),
	    leat_unit_find(LEAT_SPAN("bar")), r->time, &level.pressure_bar, &uncertain, err) != 0)
		return -1;
	if (uncertain)
		level.pressure_bar = NAN;
	if (!leat_span_eq(asset, mill->name))
		add(&mill->below, &level);
	else if (leat_nameplate_number(levels->np, mill->name, "set-pressure", r->time, &set_bar) == 0 &&
	    level.pressure_bar >= LEAT_LEVELS_PRESSING * set_bar)
		add(&mill->pressing, &level);
	else
		add(&mill->other, &level);
	return 0;
}

int
leat_levels_take(struct leat_levels *levels, const struct leat_reading *r, struct leat_error *err)
{
	bool level = leat_span_is(r->point, "level");
	struct leat_span asset;

	if ((!level && !leat_span_is(r->point, "pressure")) ||
	    (!leat_time_is_none(levels->now) && leat_time_cmp(r->time, levels->now) > 0))
		return 0;
	asset = leat_readings_assets(levels->in)->name[r->asset_id];
	if (level)
		return is_of_tank(asset) ? take_level(levels, r, asset, err) : 0;
	return leat_current_put(&levels->current, r) == 0 ? 0 : leat_error_memory(err);
}

/* The items of a list that were read within so many days before now, and of these within a day before the newest. */
static size_t
fresh_of(const struct leat_level_list *list, struct leat_time now, struct leat_level *out, struct leat_time *last)
{
	size_t kept = list->taken < LEAT_LEVELS_KEPT ? list->taken : LEAT_LEVELS_KEPT, n = 0;
	struct leat_time newest;

	if (kept == 0)
		return 0;
	newest = list->item[(list->taken - 1) % LEAT_LEVELS_KEPT].time;
	if (leat_time_is_none(*last) || leat_time_cmp(newest, *last) > 0)
		*last = newest;
	if (leat_time_diff(now, newest) > LEAT_LEVELS_STALE_DAYS * DAY_S)
		return 0;
	for (size_t i = list->taken - kept; i < list->taken; i++)
		if (leat_time_diff(newest, list->item[i % LEAT_LEVELS_KEPT].time) <= DAY_S)
			out[n++] = list->item[i % LEAT_LEVELS_KEPT];
	return n;
}

size_t
leat_levels_of(const struct leat_levels *levels, struct leat_span mill, struct leat_time now,
    struct leat_level list[LEAT_LEVELS_KEPT], struct leat_time *last)
{
	*last = LEAT_TIME_NONE;
	for (size_t i = 0; i < levels->mills; i++) {
		const struct leat_levels_mill *m = &levels->mill[i];
		const struct leat_level_list *const order[] = { &m->pressing, &m->other, &m->below };
		struct leat_level one[LEAT_LEVELS_KEPT];
		size_t n = 0;

		if (!leat_span_eq(m->name, mill))
			continue;
		for (size_t k = 0; k < sizeof(order) / sizeof(order[0]); k++) {
			size_t more = fresh_of(order[k], now, one, last);

			if (n == 0 && more > 0) {
				memcpy(list, one, more * sizeof(*one));
				n = more;
			}
		}
		return n;
	}
	return 0;
}
