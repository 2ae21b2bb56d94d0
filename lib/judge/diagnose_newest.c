/* How new the readings are by which a symptom is judged: what was read before the trouble began tells nothing of it. */
#include "judge/diagnose_private.h"
#include "stream/points.h"

int
diagnose_newest(struct leat_diagnose *d, const struct leat_reading *r)
{
	struct newest *n;

	if (leat_grow(&d->newest, &d->newest_cap, (size_t)r->series + 1, sizeof(*d->newest)) != 0)
		return -1;
	for (; d->series_seen <= r->series; d->series_seen++)
		d->newest[d->series_seen] = (struct newest){ LEAT_NAME_NONE, LEAT_NAME_NONE, LEAT_TIME_NONE };
	n = &d->newest[r->series];
	if (n->asset == LEAT_NAME_NONE) {
		n->asset = leat_names_put(&d->names, r->asset);
		n->point = leat_names_put(&d->names, r->point);
		if (n->asset == LEAT_NAME_NONE || n->point == LEAT_NAME_NONE)
			return -1;
	}
	if (r->quality != LEAT_BAD && leat_time_cmp(r->time, d->form.now) <= 0)
		n->time = r->time;
	return 0;
}

static int
put(struct leat_diagnose *d, uint32_t asset, const struct newest *n)
{
	uint32_t id = asset == LEAT_NAME_NONE ? LEAT_NAME_NONE : leat_pairs_put(&d->places, asset, n->point);
	size_t known = d->place_cap;

	if (id == LEAT_NAME_NONE || leat_grow(&d->place, &d->place_cap, (size_t)id + 1, sizeof(*d->place)) != 0)
		return -1;
	for (; known < d->place_cap; known++)
		d->place[known] = LEAT_TIME_NONE;
	if (leat_time_is_none(d->place[id]) || leat_time_cmp(n->time, d->place[id]) > 0)
		d->place[id] = n->time;
	return 0;
}

int
diagnose_places(struct leat_diagnose *d)
{
	for (size_t i = 0; i < d->series_seen; i++) {
		const struct newest *n = &d->newest[i];

		if (n->asset == LEAT_NAME_NONE || leat_time_is_none(n->time))
			continue;
		/* The mill's own readings are both. */
		if (put(d, n->asset, n) != 0 || put(d, leat_names_put(&d->names, leat_asset_mill(d->names.name[n->asset])), n) != 0)
			return -1;
	}
	return 0;
}

struct leat_time
diagnose_last(const struct leat_diagnose *d, struct leat_span asset, struct leat_span point)
{
	uint32_t name = leat_names_get(&d->names, point);
	const struct leat_span of[] = { asset, leat_asset_mill(asset) };

	for (size_t i = 0; i < sizeof(of) / sizeof(of[0]) && name != LEAT_NAME_NONE; i++) {
		uint32_t where = leat_names_get(&d->names, of[i]);
		uint32_t id = where == LEAT_NAME_NONE ? LEAT_NAME_NONE : leat_pairs_get(&d->places, where, name);

		if (id != LEAT_NAME_NONE)
			return d->place[id];
	}
	return LEAT_TIME_NONE;
}
