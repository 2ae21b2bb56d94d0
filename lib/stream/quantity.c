/* The number of a reading in the unit that a filter works in. */
#include <math.h>
#include <string.h>

#include "stream/quantity.h"

static int
misfit(struct leat_span asset, struct leat_span point, struct leat_span came, const struct leat_unit *unit,
    struct leat_error *err)
{
	return leat_error_set(err, "'%.*s' of '%.*s' comes in '%.*s', where '%s' or a unit of its dimension is due",
	    (int)point.len, point.ptr, (int)asset.len, asset.ptr, (int)came.len, came.ptr, unit->name);
}

int
leat_quantity_of(const struct leat_reading *r, const struct leat_unit *unit, double *value, struct leat_error *err)
{
	const struct leat_unit *came = r->unit.len > 0 ? leat_unit_find(r->unit) : unit;

	if (r->quality == LEAT_BAD || leat_reading_number(r, value) != 0)
		return 0;
	if (came == NULL || !leat_unit_same_dimension(came, unit))
		return misfit(r->asset, r->point, r->unit, unit, err);
	*value = leat_unit_convert(came, unit, *value);
	return 1;
}

int
leat_quantity_latest(const struct leat_current *current, uint32_t series, const struct leat_unit *unit, double *value,
    struct leat_error *err)
{
	const struct leat_latest *latest = &current->latest[series];
	uint64_t pair;
	size_t len;

	if (!latest->is_number)
		return 0;
	*value = latest->number;
	if (latest->unit == unit || latest->unit_len == 0)
		return 1;
	if (latest->unit != NULL && leat_unit_same_dimension(latest->unit, unit)) {
		*value = leat_unit_convert(latest->unit, unit, latest->number);
		return 1;
	}
	pair = leat_readings_series(current->in)->pair[series];
	len = latest->unit_len < sizeof(latest->unit_text) ? latest->unit_len : sizeof(latest->unit_text);
	return misfit(leat_readings_assets(current->in)->name[pair >> 32],
	    leat_readings_points(current->in)->name[(uint32_t)pair], leat_span_make(latest->unit_text, len), unit, err);
}

bool
leat_quantity_doubtful(const struct leat_latest *latest, const struct leat_unit *unit)
{
	return latest->quality != LEAT_GOOD || (leat_latest_is_frozen(latest) && strcmp(unit->dimension, "temperature") == 0);
}

int
leat_quantity_valid(const struct leat_current *current, uint32_t series, const struct leat_unit *unit, struct leat_time at,
    double *value, bool *uncertain, struct leat_error *err)
{
	const struct leat_latest *latest = leat_current_series(current, series, at);

	*value = NAN;
	if (latest == NULL || !latest->is_number)
		return 0;
	*uncertain = *uncertain || leat_quantity_doubtful(latest, unit);
	return leat_quantity_latest(current, series, unit, value, err) < 0 ? -1 : 0;
}
