/*
 * Sister comparison: the same point of the same part of several mills, by the median of their last days; odd is what lies far
 * from the median of the machines by their median distance from it.
 *
 * With few machines a median distance is coarse: of three it is the nearer neighbour's, which may be next to nothing by
 * chance.  So it is never taken smaller than what the machine's own days scatter, nor than what machines of one kind differ
 * by when new.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "judge/diagnose_private.h"
#include "stats/order.h"
#include "stream/points.h"

/* Is it a point that a row of modes.csv has compared?  1, 0, or -1: memory. */
static int
is_compared(struct leat_diagnose *d, const struct leat_reading *r)
{
	const struct leat_modes *modes = d->form.modes;
	signed char *known;

	if (leat_grow(&d->compared, &d->compared_cap, (size_t)r->point_id + 1, sizeof(*d->compared)) != 0)
		return -1;
	known = &d->compared[r->point_id];
	if (*known == 0) {
		*known = -1;
		for (size_t i = 0; i < modes->rows && *known < 0; i++)
			if (leat_span_is(modes->row[i].rule, "odd-one-out") && leat_glob(modes->row[i].point, r->point))
				*known = 1;
	}
	return *known > 0;
}

/* The series of the reading, new if need be; NULL: memory. */
static struct sister *
series_of(struct leat_diagnose *d, const struct leat_reading *r, uint32_t *id)
{
	uint32_t asset = leat_names_put(&d->names, r->asset), point = leat_names_put(&d->names, r->point);
	struct leat_span mill = leat_asset_mill(r->asset);
	char kind[512];
	int len;

	if (asset == LEAT_NAME_NONE || point == LEAT_NAME_NONE)
		return NULL;
	*id = leat_pairs_put(&d->series, asset, point);
	if (*id == LEAT_NAME_NONE || leat_grow(&d->sister, &d->sister_cap, (size_t)*id + 1, sizeof(*d->sister)) != 0)
		return NULL;
	if (*id < d->sisters)
		return &d->sister[*id];
	d->sisters = (size_t)*id + 1;
	/* Of one kind is what has the same name within its mill. */
	len = snprintf(kind, sizeof(kind), "%.*s %.*s", (int)(r->asset.len - mill.len), r->asset.ptr + mill.len, (int)r->point.len,
	    r->point.ptr);
	d->sister[*id] = (struct sister){ .asset = d->names.name[asset], .point = d->names.name[point],
		.unit = leat_unit_find(r->unit),
		.kind = leat_names_put(&d->kinds, leat_span_make(kind, len < (int)sizeof(kind) ? (size_t)len : sizeof(kind) - 1)) };
	return d->sister[*id].kind != LEAT_NAME_NONE ? &d->sister[*id] : NULL;
}

int
leat_diagnose_take(struct leat_diagnose *d, const struct leat_reading *r, struct leat_error *err)
{
	double age_s = leat_time_diff(d->form.now, r->time), value;
	int compared = is_compared(d, r);
	struct sister *s;
	uint32_t id;

	if (compared < 0 || diagnose_newest(d, r) != 0)
		return leat_error_memory(err);
	if (compared == 0 || age_s > LEAT_SISTERS_DAYS * 86400)
		return 0;
	if (age_s < 0) {
		d->count.later_readings++;
		return 0;
	}
	if (r->quality != LEAT_GOOD || leat_reading_number(r, &value) != 0) {
		d->count.unlike++;
		return 0;
	}
	s = series_of(d, r, &id);
	if (s == NULL || leat_grow(&d->value, &d->value_cap, d->values + 1, sizeof(*d->value)) != 0)
		return leat_error_memory(err);
	if (s->unit != leat_unit_find(r->unit)) {
		d->count.unlike++;
		return 0;
	}
	d->value[d->values++] = (struct sister_value){ id, r->time, value };
	d->count.readings++;
	return 0;
}

void
leat_diagnose_as_of(struct leat_diagnose *d, struct leat_time now)
{
	size_t kept = 0;

	d->form.now = now;
	for (size_t i = 0; i < d->values; i++)
		if (leat_time_diff(now, d->value[i].time) <= LEAT_SISTERS_DAYS * 86400)
			d->value[kept++] = d->value[i];
	d->values = kept;
}

static int
cmp_values(const void *a, const void *b)
{
	const struct sister_value *x = a, *y = b;

	if (x->series != y->series)
		return x->series < y->series ? -1 : 1;
	return leat_time_cmp(y->time, x->time);
}

/* The median and the spread of each series' days. */
static int
find_middles(struct leat_diagnose *d)
{
	double *work = calloc(2 * d->values + 1, sizeof(*work));

	if (work == NULL)
		return -1;
	for (size_t i = 0; i < d->sisters; i++)
		d->sister[i].middle = NAN;
	if (d->values > 0)
		qsort(d->value, d->values, sizeof(*d->value), cmp_values);
	for (size_t i = 0, n; i < d->values; i += n) {
		struct sister *s = &d->sister[d->value[i].series];

		for (n = 0; i + n < d->values && d->value[i + n].series == d->value[i].series; n++)
			work[n] = d->value[i + n].value;
		s->days = n;
		s->noise = leat_mad(work, n, work + d->values);
		s->middle = leat_median(work, n);
	}
	free(work);
	return 0;
}

static const struct sister *
sister_at(const void *p)
{
	return *(const struct sister *const *)p;
}

static int
cmp_kinds(const void *a, const void *b)
{
	const struct sister *x = sister_at(a), *y = sister_at(b);
	struct leat_span mill_x = leat_asset_mill(x->asset), mill_y = leat_asset_mill(y->asset);
	int order = leat_span_cmp(x->point, y->point);

	/* By name: kinds are numbered as they come, in which a longer past has no say. */
	if (order == 0)
		order = leat_span_cmp(leat_span_make(x->asset.ptr + mill_x.len, x->asset.len - mill_x.len),
		    leat_span_make(y->asset.ptr + mill_y.len, y->asset.len - mill_y.len));
	return order != 0 ? order : leat_span_cmp(x->asset, y->asset);
}

static int
add_odd(struct leat_diagnose *d, const struct sister *s, double middle, double scale, size_t n)
{
	double z = (s->middle - middle) / scale, far = LEAT_SISTERS_ODD * scale;
	bool odd = fabs(z) > LEAT_SISTERS_ODD;
	char text[400], number[LEAT_NUMBER_MAX], asset[200], point[80];
	struct leat_finding f = { .time = d->form.now, .asset = s->asset, .point = s->point, .rule = LEAT_SPAN("odd-one-out"),
		.status = odd ? LEAT_STATUS_ALERT : LEAT_STATUS_OK, .unit = LEAT_SPAN("1"), .since = LEAT_TIME_NONE,
		.until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE, .shelved = LEAT_TIME_NONE };
	uint32_t value, message, limit;

	leat_number_fixed(number, z, 1);
	value = leat_names_put(&d->texts, leat_span_of(number));
	leat_number_fixed(number, z < 0 ? -LEAT_SISTERS_ODD : LEAT_SISTERS_ODD, 1);
	limit = leat_names_put(&d->texts, leat_span_of(number));
	snprintf(text, sizeof(text), "%s of %s is %.4g %s, %s its %zu sisters' median of %.4g; of so few %.2g off it would show%s",
	    leat_mask(point, sizeof(point), s->point), leat_mask(asset, sizeof(asset), s->asset), s->middle,
	    s->unit != NULL ? s->unit->name : "", odd ? (z > 0 ? "far above" : "far below") : "near", n, middle, far,
	    odd ? "; compare the machines, their meters and their nameplates" : "");
	message = leat_names_put(&d->texts, leat_span_of(text));
	if (value == LEAT_NAME_NONE || message == LEAT_NAME_NONE || limit == LEAT_NAME_NONE ||
	    leat_grow(&d->odd, &d->odd_cap, d->odds + 1, sizeof(*d->odd)) != 0)
		return -1;
	f.value = d->texts.name[value];
	f.limit = d->texts.name[limit];
	f.message = d->texts.name[message];
	d->odd[d->odds++] = f;
	d->count.sisters++;
	d->count.odd += odd;
	return 0;
}

/* Compares n sisters of one kind. */
static int
compare(struct leat_diagnose *d, const struct sister *const *s, size_t n, double *work)
{
	double middle, spread;

	for (size_t i = 0; i < n; i++)
		work[i] = s[i]->middle;
	spread = leat_mad(work, n, work + n);
	middle = leat_median(work, n);
	for (size_t i = 0; i < n; i++) {
		double scale = fmax(spread, fmax(s[i]->noise, LEAT_SISTERS_FLOOR * fabs(middle)));

		if (scale > 0 && add_odd(d, s[i], middle, scale, n) != 0)
			return -1;
	}
	return 0;
}

int
diagnose_sisters(struct leat_diagnose *d)
{
	const struct sister **order = calloc(d->sisters + 1, sizeof(*order));
	double *work = calloc(2 * d->sisters + 1, sizeof(*work));
	int result = order == NULL || work == NULL || find_middles(d) != 0 ? -1 : 0;
	size_t n = 0, end;

	for (size_t i = 0; result == 0 && i < d->sisters; i++)
		if (!isnan(d->sister[i].middle))
			order[n++] = &d->sister[i];
	if (n > 0)
		qsort(order, n, sizeof(*order), cmp_kinds);
	for (size_t i = 0; result == 0 && i < n; i = end) {
		size_t same = 0;

		for (end = i; end < n && order[end]->kind == order[i]->kind; end++)
			same += order[end]->unit == order[i]->unit;
		/* What has another unit would be odd for that alone. */
		if (same == end - i && same >= LEAT_SISTERS_LEAST)
			result = compare(d, order + i, same, work);
	}
	free(order);
	free(work);
	return result;
}
