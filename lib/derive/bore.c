/* Cylinders measured at stops: taking in the readings. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "derive/bore_private.h"
#include "derive/works_day.h"
#include "physics/bore.h"
#include "stream/quantity.h"

#define HINT 128

void
leat_bores_init(struct leat_bores *b)
{
	b->made = (struct leat_made){ .in = b->in, .out = b->out, .copy = b->copy, .explain = b->explain, .what = b->what };
	b->time = LEAT_TIME_NONE;
}

double
leat_bores_plate(const struct leat_bores *b, struct leat_span asset, const char *property)
{
	double value;

	return leat_nameplate_number(b->np, asset, property, b->time, &value) == 0 ? value : NAN;
}

size_t
leat_bores_planes(const struct leat_bores *b, const struct leat_bores_cylinder *c)
{
	double planes = leat_bores_plate(b, c->asset, "bore-planes");

	return planes >= 1 && planes <= LEAT_BORES_PLANES ? (size_t)planes : LEAT_BORES_PLANES;
}

double
leat_bores_new(const struct leat_bores *b, const struct leat_bores_cylinder *c, bool *nominal)
{
	double as_new_mm = leat_bores_plate(b, c->asset, "as-new-bore");

	*nominal = isnan(as_new_mm);
	return *nominal ? leat_bores_plate(b, c->asset, "bore") : as_new_mm;
}

/* The last part of an asset; *parent gets what is before it. */
static struct leat_span
last_part(struct leat_span asset, struct leat_span *parent)
{
	if (!leat_asset_parent(asset, parent)) {
		*parent = leat_span_make("", 0);
		return asset;
	}
	return leat_span_make(asset.ptr + parent->len + 1, asset.len - parent->len - 1);
}

/* Takes "/plane-2/x" or "/plane-2" off an asset: the plane from 1, 0 where it names none; *direction 0, 1 or 2: none. */
static uint8_t
cut_plane(struct leat_span *asset, uint8_t *direction)
{
	struct leat_span whole = *asset, above, part = last_part(whole, &above), cylinder;

	*direction = leat_span_is(part, "x") ? 0 : leat_span_is(part, "y") ? 1 : 2;
	if (*direction < 2)
		part = last_part(above, &cylinder);
	else
		cylinder = above;
	if (cylinder.len == 0 || part.len != strlen("plane-N") || !leat_span_starts(part, "plane-") ||
	    part.ptr[part.len - 1] < '1' || part.ptr[part.len - 1] > '0' + LEAT_BORES_PLANES)
		return 0;
	*asset = cylinder;
	return (uint8_t)(part.ptr[part.len - 1] - '0');
}

static enum leat_bores_role
role_of(const struct leat_reading *r)
{
	static const char *const made[] = {
		"bore-wear", "bore-wear-rate", "bore-ovality", "bore-taper", "seal-leakage-ratio", "seal-leakage-spread"
	};
	bool mill = leat_span_eq(r->asset, leat_asset_mill(r->asset));

	for (size_t i = 0; i < sizeof(made) / sizeof(made[0]); i++)
		if (leat_span_is(r->point, made[i]))
			return LEAT_BORES_ROLE_MADE;
	if (leat_span_is(r->point, "oil-temperature"))
		return mill ? LEAT_BORES_ROLE_TANK : LEAT_BORES_ROLE_OIL;
	if (leat_span_is(r->point, "running-hours"))
		return mill ? LEAT_BORES_ROLE_HOURS : LEAT_BORES_ROLE_OTHER;
	return leat_span_is(r->point, "bore-diameter") ? LEAT_BORES_ROLE_DIAMETER :
	    leat_span_is(r->point, "ring-temperature") ? LEAT_BORES_ROLE_RING :
	    leat_span_is(r->point, "bore-temperature") ? LEAT_BORES_ROLE_BORE :
	    leat_span_is(r->point, "seal-leakage") ? LEAT_BORES_ROLE_LEAK : LEAT_BORES_ROLE_OTHER;
}

static int
find_mill(struct leat_bores *b, struct leat_span asset, uint32_t *number)
{
	size_t count = b->mill_names.count;

	*number = leat_names_put(&b->mill_names, leat_asset_mill(asset));
	if (*number == LEAT_NAME_NONE || leat_grow(&b->mill, &b->mill_cap, b->mill_names.count, sizeof(*b->mill)) != 0)
		return -1;
	if (*number >= count)
		b->mill[*number].hours_at = LEAT_TIME_NONE;
	return 0;
}

static int
find_cylinder(struct leat_bores *b, struct leat_span asset, uint32_t mill, uint32_t *number)
{
	size_t count = b->cylinder_names.count, at = count;
	struct leat_bores_cylinder *c;

	*number = leat_names_put(&b->cylinder_names, asset);
	if (*number == LEAT_NAME_NONE ||
	    leat_grow(&b->cylinder, &b->cylinder_cap, b->cylinder_names.count, sizeof(*b->cylinder)) != 0 ||
	    leat_grow(&b->order, &b->order_cap, b->cylinder_names.count, sizeof(*b->order)) != 0)
		return -1;
	if (*number < count)
		return 0;
	c = &b->cylinder[*number];
	c->asset = b->cylinder_names.name[*number];
	c->mill = mill;
	c->day_end = c->leak_from = c->leak_at = c->leak_end = LEAT_TIME_NONE;
	/* By name: the order of the rows must not hang on that of the stream. */
	for (; at > 0 && leat_span_cmp(b->cylinder[b->order[at - 1]].asset, c->asset) > 0; at--)
		b->order[at] = b->order[at - 1];
	b->order[at] = *number;
	return 0;
}

static void
warn_of(struct leat_bores *b, const struct leat_reading *r, const char *what)
{
	char text[512];

	if (b->warn == NULL)
		return;
	snprintf(text, sizeof(text), "%.*s of '%.*s' is not used: %s", (int)r->point.len, r->point.ptr,
	    (int)(r->asset.len < 256 ? r->asset.len : 256), r->asset.ptr, what);
	b->warn(text);
}

/* Finds out once what a series is. */
static int
resolve(struct leat_bores *b, const struct leat_reading *r)
{
	struct leat_bores_series *s;
	struct leat_span asset = r->asset, parent;
	uint32_t plane;

	if (leat_grow(&b->series, &b->series_cap, (size_t)r->series + 1, sizeof(*b->series)) != 0)
		return -1;
	s = &b->series[r->series];
	if (s->role != LEAT_BORES_ROLE_NEW)
		return 0;
	s->role = (uint8_t)role_of(r);
	if (s->role == LEAT_BORES_ROLE_OTHER || s->role == LEAT_BORES_ROLE_MADE)
		return 0;
	if (find_mill(b, asset, &s->mill) != 0)
		return -1;
	if (s->role < LEAT_BORES_ROLE_OIL)
		return 0;
	if (s->role == LEAT_BORES_ROLE_LEAK) {
		if (leat_span_starts(last_part(asset, &parent), "position-") && parent.len > 0)
			asset = parent;
		return find_cylinder(b, asset, s->mill, &s->cylinder);
	}
	s->plane = cut_plane(&asset, &s->direction);
	s->odd = s->role == LEAT_BORES_ROLE_DIAMETER && (s->plane == 0 || s->direction > 1);
	if (s->odd) {
		warn_of(b, r, "it is of no place such as CYLINDER/plane-1/x");
		return 0;
	}
	if (find_cylinder(b, asset, s->mill, &s->cylinder) != 0)
		return -1;
	if (s->plane > 0) {
		plane = leat_names_put(&b->plane_names, leat_span_make(r->asset.ptr, asset.len + strlen("/plane-N")));
		if (plane == LEAT_NAME_NONE)
			return -1;
		b->cylinder[s->cylinder].plane[s->plane - 1] = b->plane_names.name[plane];
	}
	return 0;
}

/* The cylinder of a series, and that it has readings at this instant; a works' day that is over is put behind. */
static struct leat_bores_cylinder *
touch(struct leat_bores *b, const struct leat_bores_series *s)
{
	struct leat_bores_cylinder *c = &b->cylinder[s->cylinder];
	struct leat_time start;

	if (leat_time_is_none(c->day_end) || leat_time_cmp(b->time, c->day_end) > 0) {
		if (c->latest.has)
			c->before = c->latest;
		c->latest.has = c->made = c->changed = false;
		memset(c->point, 0, sizeof(c->point));
		memset(c->ring, 0, sizeof(c->ring));
		memset(c->bore, 0, sizeof(c->bore));
		c->points = 0;
		leat_works_day_ending(b->np, b->time, &start, &c->day_end);
	}
	c->touched = b->touched = true;
	return c;
}

/* Gives a temperature to the places measured without one, and to those measured at its own time. */
static void
give_heat(struct leat_bores_cylinder *c, const struct leat_bores_heat *heat, size_t plane, bool ring)
{
	for (size_t i = 0; i < LEAT_BORES_PLANES; i++) {
		const struct leat_bores_heat *own = ring ? &c->ring[i + 1] : &c->bore[i + 1];

		if (plane > 0 ? plane != i + 1 : own->has)
			continue;
		for (int d = 0; d < 2; d++) {
			struct leat_bores_point *p = &c->point[i][d];
			struct leat_bores_heat *its = ring ? &p->ring : &p->bore;

			if (p->has && (!its->has || (its->oil && !heat->oil) || leat_time_cmp(p->time, heat->time) == 0)) {
				*its = *heat;
				c->changed = c->made;
			}
		}
	}
}

static void
take_heat(struct leat_bores *b, const struct leat_bores_series *s, const struct leat_reading *r, double temp_c)
{
	struct leat_bores_heat heat = { true, s->role == LEAT_BORES_ROLE_OIL, temp_c, r->quality, r->time };
	bool ring = s->role == LEAT_BORES_ROLE_RING;
	struct leat_bores_cylinder *c = touch(b, s);
	struct leat_bores_heat *own = ring ? &c->ring[s->plane] : &c->bore[s->plane];

	if (heat.oil && s->plane == 0)
		c->oil = heat;
	if (own->has && heat.oil && !own->oil)
		return;
	*own = heat;
	give_heat(c, own, s->plane, ring);
}

/* 1, or 0 when the diameter was rejected; -1. */
static int
take_diameter(struct leat_bores *b, const struct leat_bores_series *s, const struct leat_reading *r, double read_mm,
    struct leat_error *err)
{
	struct leat_bores_cylinder *c = &b->cylinder[s->cylinder];
	struct leat_bores_point *p = &c->point[s->plane - 1][s->direction];
	const struct leat_unit *unit = r->unit.len > 0 ? leat_unit_find(r->unit) : NULL, *mm = leat_unit_find(LEAT_SPAN("mm"));
	double unit_mm = unit != NULL ? leat_unit_convert(unit, mm, 1) : 1, new_mm, most_mm;
	bool nominal;
	char why[HINT + 128], hint[HINT];
	int len;

	new_mm = leat_bores_new(b, c, &nominal);
	most_mm = leat_bores_plate(b, c->asset, "bore-wear-most");
	if (!(read_mm > 0) || fabs(read_mm - new_mm) > most_mm) {
		len = snprintf(why, sizeof(why), "more than %g mm off the %s bore of %.3f mm", most_mm, nominal ? "nominal" : "as-new",
		    new_mm);
		if (isnan(new_mm))
			len = snprintf(why, sizeof(why), "no diameter");
		else if (leat_bores_slip(hint, sizeof(hint), r->value, unit_mm, new_mm, most_mm))
			snprintf(why + len, sizeof(why) - (size_t)len, " (%s)", hint);
		b->rejected++;
		return leat_refuse_value(b->in, r, why, b->reject, err);
	}
	c = touch(b, s);
	c->points += !p->has;
	c->changed = c->made;
	*p = (struct leat_bores_point){ .has = true, .read_mm = read_mm, .quality = r->quality, .time = r->time };
	if (unit_mm == 1 && r->value.len < sizeof(p->typed))
		memcpy(p->typed, r->value.ptr, r->value.len);
	p->ring = c->ring[s->plane].has ? c->ring[s->plane] : c->ring[0];
	p->bore = c->bore[s->plane].has ? c->bore[s->plane] : c->bore[0];
	return 1;
}

static int
take_leak(struct leat_bores *b, const struct leat_bores_series *s, const struct leat_reading *r, double mlpm)
{
	struct leat_bores_cylinder *c = touch(b, s);
	struct leat_span asset = leat_readings_assets(b->in)->name[r->asset_id];
	/* No test outlasts its works' day, of 25 hours at most. */
	double pause_s = fmin(fmax(leat_bores_plate(b, c->asset, "leak-test-pause"), 0), 25) * 3600;
	size_t i = 0;

	while (i < c->leaks && !leat_span_eq(c->leak[i].asset, asset))
		i++;
	if (leat_grow(&c->leak, &c->leak_cap, i + 1, sizeof(*c->leak)) != 0)
		return -1;
	c->leak[i] = (struct leat_bores_leak){ asset, mlpm, r->quality };
	if (c->leaks == 0)
		c->leak_from = r->time;
	if (i == c->leaks)
		c->leaks++;
	c->leak_at = c->leak_end = r->time;
	c->leak_end.sec += (int64_t)pause_s;
	if (leat_time_cmp(c->leak_end, c->day_end) > 0)
		c->leak_end = c->day_end;
	return 0;
}

static int
take_number(struct leat_bores *b, const struct leat_bores_series *s, const struct leat_reading *r, struct leat_error *err)
{
	/* Only points that are listed have a role. */
	const struct leat_unit *unit = leat_unit_find(leat_span_of(leat_point_find(r->point)->unit));
	struct leat_bores_mill *mill = &b->mill[s->mill];
	double value;
	int got = leat_quantity_of(r, unit, &value, err);

	if (got <= 0)
		return got < 0 ? -1 : 1;
	switch (s->role) {
	case LEAT_BORES_ROLE_HOURS:
		mill->hours = value;
		mill->hours_at = r->time;
		return 1;
	case LEAT_BORES_ROLE_TANK:
		mill->tank = (struct leat_bores_heat){ true, true, value, r->quality, r->time };
		return 1;
	case LEAT_BORES_ROLE_DIAMETER:
		return s->odd ? 1 : take_diameter(b, s, r, value, err);
	case LEAT_BORES_ROLE_LEAK:
		if (value >= 0 && take_leak(b, s, r, value) != 0)
			return leat_error_memory(err);
		return 1;
	default:
		take_heat(b, s, r, value);
		return 1;
	}
}

static bool
bore_due(const struct leat_bores_cylinder *c)
{
	return c->points > 0 && (!c->made || c->changed);
}

/* When the first of what is not yet made is due; LEAT_TIME_NONE: nothing is. */
static struct leat_time
next_due(const struct leat_bores *b)
{
	struct leat_time next = LEAT_TIME_NONE;

	for (size_t i = 0; i < b->cylinder_names.count; i++) {
		const struct leat_bores_cylinder *c = &b->cylinder[i];

		if (bore_due(c) && (leat_time_is_none(next) || leat_time_cmp(c->day_end, next) < 0))
			next = c->day_end;
		if (c->leaks > 0 && (leat_time_is_none(next) || leat_time_cmp(c->leak_end, next) < 0))
			next = c->leak_end;
	}
	return next;
}

/* Writes what is due at the instant. */
static void
finish(struct leat_bores *b)
{
	b->made.time = b->time;
	b->due = 0;
	for (size_t i = 0; i < b->cylinder_names.count; i++) {
		struct leat_bores_cylinder *c = &b->cylinder[b->order[i]];

		if (c->leaks > 0 && leat_time_cmp(c->leak_end, b->time) <= 0) {
			leat_bores_tested(b, c);
			c->leaks = 0;
		}
		if (bore_due(c) && (leat_time_cmp(c->day_end, b->time) <= 0 || (c->touched && !c->made && leat_bores_whole(b, c)))) {
			leat_bores_measured(b, c);
			c->made = true;
			c->changed = false;
		}
		c->touched = false;
		b->due += bore_due(c) || c->leaks > 0;
	}
	b->touched = false;
	leat_made_flush(&b->made);
}

/* Makes what is due before t. */
static void
catch_up(struct leat_bores *b, struct leat_time t)
{
	while (b->due > 0) {
		struct leat_time next = next_due(b);

		if (leat_time_cmp(next, t) >= 0)
			return;
		b->time = next;
		finish(b);
	}
}

static bool
something_at_time(const struct leat_bores *b)
{
	return b->touched || b->made.helds > 0 || (b->due > 0 && leat_time_cmp(next_due(b), b->time) <= 0);
}

int
leat_bores_take(struct leat_bores *b, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_bores_series *s;

	if (leat_time_is_none(b->time) || leat_time_cmp(r->time, b->time) != 0) {
		if (!leat_time_is_none(b->time) && something_at_time(b))
			finish(b);
		catch_up(b, r->time);
		b->time = r->time;
	}
	if (b->made.no_memory ||
	    ((r->series >= b->series_cap || b->series[r->series].role == LEAT_BORES_ROLE_NEW) && resolve(b, r) != 0))
		return leat_error_memory(err);
	s = &b->series[r->series];
	if (s->role == LEAT_BORES_ROLE_OTHER)
		return leat_readings_pass(b->made.in, r, 0) == 0 ? 1 : leat_error_memory(err);
	if (s->role == LEAT_BORES_ROLE_MADE)
		return leat_made_hold(&b->made, r) == 0 ? 0 : leat_error_memory(err);
	return take_number(b, s, r, err);
}

int
leat_bores_end(struct leat_bores *b, struct leat_time now, struct leat_error *err)
{
	if (!leat_time_is_none(b->time)) {
		if (something_at_time(b))
			finish(b);
		if (!leat_time_is_none(now)) {
			/* What is due at now itself, too. */
			now.sec += now.nsec == 999999999;
			now.nsec = now.nsec == 999999999 ? 0 : now.nsec + 1;
			catch_up(b, now);
		}
	}
	b->open = (long long)b->due;
	return b->made.no_memory ? leat_error_memory(err) : 0;
}

void
leat_bores_free(struct leat_bores *b)
{
	for (size_t i = 0; i < b->cylinder_names.count && i < b->cylinder_cap; i++)
		free(b->cylinder[i].leak);
	free(b->series);
	free(b->cylinder);
	free(b->mill);
	free(b->order);
	leat_names_free(&b->cylinder_names);
	leat_names_free(&b->mill_names);
	leat_names_free(&b->plane_names);
	leat_made_free(&b->made);
}
