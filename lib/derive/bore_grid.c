/* The bore of a cylinder: what becomes of the diameters of one measurement. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "derive/bore_private.h"
#include "physics/bore.h"

#define TEXT 3072
#define PER_H 1000.0

/* A diameter that lies so far from the others is looked at for digits that changed places, which would bring it near. */
#define APART_MM 0.2
#define NEAR_MM 0.05

/* Why a measurement is not good, bits. */
enum { WHY_READ = 1, WHY_PLACES = 2, WHY_NOMINAL = 4, WHY_STALE = 8, WHY_TYPED = 16, WHY_SMALL = 32 };

/* What is made of a measurement. */
struct result {
	const struct leat_bores_cylinder *c;
	size_t planes, seen, without;		/* expected planes; places of them seen; seen without temperatures */
	double new_mm, largest_mm;		/* at 20 degC */
	size_t plane;				/* of the largest */
	int direction;
	bool nominal;
	unsigned why;
	enum leat_quality read;			/* of all that was read */
	char hint[160];				/* WHY_TYPED: of the place that may be mistyped */
};

static const char axis[2] = { 'x', 'y' };

static bool
has_heat(const struct leat_bores_point *p)
{
	return p->ring.has && p->bore.has;
}

static double
at_20(const struct leat_bores_point *p)
{
	return has_heat(p) ? leat_bore_at_20_mm(p->read_mm, p->bore.temp_c, p->ring.temp_c) : p->read_mm;
}

bool
leat_bores_whole(const struct leat_bores *b, const struct leat_bores_cylinder *c)
{
	size_t planes = leat_bores_planes(b, c);

	for (size_t i = 0; i < planes; i++)
		for (int d = 0; d < 2; d++)
			if (!c->point[i][d].has || !has_heat(&c->point[i][d]))
				return false;
	return true;
}

static bool
stale(const struct leat_bores *b, const struct leat_bores_cylinder *c, const struct leat_bores_point *p)
{
	double ring_s = leat_points_hold(b->points, c->asset, LEAT_SPAN("ring-temperature"));
	double bore_s = leat_points_hold(b->points, c->asset, LEAT_SPAN("bore-temperature"));

	return fabs(leat_time_diff(p->time, p->ring.time)) > ring_s || fabs(leat_time_diff(p->time, p->bore.time)) > bore_s;
}

/* The middle of all diameters but one; NaN with fewer than two. */
static double
middle_of_others(const struct leat_bores_cylinder *c, const struct leat_bores_point *but)
{
	double value[2 * LEAT_BORES_PLANES] = { 0 };
	size_t n = 0;

	for (size_t i = 0; i < LEAT_BORES_PLANES; i++)
		for (int d = 0; d < 2; d++) {
			size_t at = n;
			double mm = c->point[i][d].read_mm;

			if (!c->point[i][d].has || &c->point[i][d] == but)
				continue;
			for (; at > 0 && value[at - 1] > mm; at--)
				value[at] = value[at - 1];
			value[at] = mm;
			n++;
		}
	return n < 2 ? NAN : (value[(n - 1) / 2] + value[n / 2]) / 2;
}

static void
look_for_slip(struct result *r, const struct leat_bores_point *p, size_t plane, int direction)
{
	double middle = middle_of_others(r->c, p);
	struct leat_span typed = leat_span_of(p->typed);
	char hint[96];

	if (typed.len == 0 || !(fabs(p->read_mm - middle) > APART_MM) ||
	    !leat_bores_slip(hint, sizeof(hint), typed, 1, middle, NEAR_MM))
		return;
	r->why |= WHY_TYPED;
	snprintf(r->hint, sizeof(r->hint), "plane %zu %c, %s, lies far from the others: %s", plane + 1, axis[direction], p->typed,
	    hint);
}

static void
take_place(const struct leat_bores *b, struct result *r, size_t plane, int direction)
{
	const struct leat_bores_point *p = &r->c->point[plane][direction];

	if (!p->has)
		return;
	r->seen += plane < r->planes;
	r->read = leat_bores_worse(r->read, p->quality);
	look_for_slip(r, p, plane, direction);
	if (!has_heat(p)) {
		r->without++;
		return;
	}
	r->read = leat_bores_worse(r->read, leat_bores_worse(p->ring.quality, p->bore.quality));
	if (stale(b, r->c, p))
		r->why |= WHY_STALE;
	if (!(at_20(p) <= r->largest_mm)) {
		r->largest_mm = at_20(p);
		r->plane = plane;
		r->direction = direction;
	}
}

static void
work_out(const struct leat_bores *b, const struct leat_bores_cylinder *c, struct result *r)
{
	*r = (struct result){ .c = c, .planes = leat_bores_planes(b, c), .largest_mm = NAN, .read = LEAT_GOOD };
	r->new_mm = leat_bores_new(b, c, &r->nominal);
	for (size_t i = 0; i < LEAT_BORES_PLANES; i++)
		for (int d = 0; d < 2; d++)
			take_place(b, r, i, d);
	if (r->read < LEAT_GOOD)
		r->why |= WHY_READ;
	if (r->nominal)
		r->why |= WHY_NOMINAL;
	if (r->seen < 2 * r->planes || r->without > 0)
		r->why |= WHY_PLACES;
	if (r->largest_mm < r->new_mm - leat_bore_uncertainty_mm(leat_bores_plate(b, c->asset, "gauge-uncertainty"), r->new_mm))
		r->why |= WHY_SMALL;
}

/* Appends to a text of size TEXT. */
static void add(char *text, const char *fmt, ...) LEAT_PRINTF(2, 3);
static void
add(char *text, const char *fmt, ...)
{
	size_t len = strlen(text);
	va_list args;

	va_start(args, fmt);
	vsnprintf(text + len, TEXT - len, fmt, args);
	va_end(args);
}

static void
say_places(char *text, const struct result *r)
{
	for (size_t i = 0; i < LEAT_BORES_PLANES; i++)
		for (int d = 0; d < 2; d++) {
			const struct leat_bores_point *p = &r->c->point[i][d];

			if (!p->has) {
				if (i < r->planes)
					add(text, "\n  plane %zu %c   not measured", i + 1, axis[d]);
				continue;
			}
			add(text, "\n  plane %zu %c   %.3f mm read", i + 1, axis[d], p->read_mm);
			if (has_heat(p))
				add(text, ", bore %.1f degC%s, ring %.1f: x (1 - 11.5e-6 x %.1f) = %.3f mm", p->bore.temp_c,
				    p->bore.oil ? " by its oil" : "", p->ring.temp_c, p->bore.temp_c - p->ring.temp_c, at_20(p));
			else
				add(text, ", not used: no %s of that works' day", p->ring.has ? "bore-temperature, nor oil-temperature "
				    "of the cylinder," : "ring-temperature");
		}
}

static void
say_reasons(char *text, const struct result *r, double gauge_mm)
{
	if (isfinite(r->largest_mm))
		add(text, "\n  to +-        %.3f mm: gauge %.3f mm, temperatures %.1f K",
		    leat_bore_uncertainty_mm(gauge_mm, r->largest_mm), gauge_mm, LEAT_BORE_HEAT_K);
	if ((r->why & WHY_NOMINAL) != 0)
		add(text, "\n  uncertain    the bore as new was not measured (as-new-bore), and the nominal one has a tolerance");
	if ((r->why & WHY_PLACES) != 0 && isfinite(r->largest_mm))
		add(text, "\n  uncertain    not all of %zu places: the wear is at least that", 2 * r->planes);
	if ((r->why & WHY_STALE) != 0)
		add(text, "\n  uncertain    a temperature was not read within its hold of the diameter");
	if ((r->why & WHY_TYPED) != 0)
		add(text, "\n  uncertain    %s", r->hint);
	if ((r->why & WHY_SMALL) != 0)
		add(text, "\n  uncertain    smaller than the bore as new: a gauge, a temperature or the nameplate is wrong");
	if ((r->why & WHY_READ) != 0)
		add(text, "\n  uncertain    of what was read");
}

static void
put_wear(struct leat_bores *b, const struct result *r)
{
	struct leat_made_row row = {
		r->c->asset, "bore-wear", "mm", r->largest_mm - r->new_mm, 3, r->why != 0 ? LEAT_UNCERTAIN : LEAT_GOOD
	};
	char text[TEXT] = "";

	if (isnan(r->new_mm)) {
		leat_made_refuse(&b->made, r->c->asset, "bore-wear", "the nameplate has neither as-new-bore nor bore");
		if (b->warn != NULL) {
			snprintf(text, sizeof(text), "'%.*s': bore-wear is not made: the nameplate has neither as-new-bore nor bore",
			    (int)(r->c->asset.len < 256 ? r->c->asset.len : 256), r->c->asset.ptr);
			b->warn(text);
		}
		return;
	}
	if (b->explain) {
		if (isfinite(r->largest_mm))
			add(text, "%.3f mm, the largest, at plane %zu %c, less %.3f mm, the %s bore", r->largest_mm, r->plane + 1,
			    axis[r->direction], r->new_mm, r->nominal ? "nominal" : "as-new");
		else
			add(text, "no diameter with both temperatures");
		say_places(text, r);
		say_reasons(text, r, leat_bores_plate(b, r->c->asset, "gauge-uncertainty"));
	}
	b->uncertain += r->why != 0;
	leat_made_put(&b->made, &row, "%s", text);
}

/* Both diameters of a plane were read warm alike, so that ovality and taper need no temperatures, but are the better for
 * them.  Half the sum goes to *mean_mm.  False when one is not there. */
static bool
put_ovality(struct leat_bores *b, const struct result *r, size_t plane, double *mean_mm)
{
	const struct leat_bores_point *x = &r->c->point[plane][0], *y = &r->c->point[plane][1];
	bool heat = has_heat(x) && has_heat(y);
	double x_mm = heat ? at_20(x) : x->read_mm, y_mm = heat ? at_20(y) : y->read_mm;
	enum leat_quality quality = leat_bores_worse(x->quality, y->quality);

	if (!x->has || !y->has)
		return false;
	*mean_mm = (x_mm + y_mm) / 2;
	if (!heat || (r->why & WHY_TYPED) != 0)
		quality = LEAT_UNCERTAIN;
	leat_made_put(&b->made, &(struct leat_made_row){
		r->c->plane[plane], "bore-ovality", "mm", leat_bore_ovality_mm(x_mm, y_mm), 3, quality
	}, "x %.3f mm and y %.3f mm, %s", x_mm, y_mm, heat ? "at 20 degC" : "as read: without temperatures");
	return true;
}

static void
put_shape(struct leat_bores *b, const struct result *r)
{
	double mean_mm, least_mm = INFINITY, most_mm = -INFINITY;
	size_t least = 0, most = 0, planes = 0;

	for (size_t i = 0; i < LEAT_BORES_PLANES; i++) {
		if (!put_ovality(b, r, i, &mean_mm))
			continue;
		planes += i < r->planes;
		if (mean_mm < least_mm) {
			least_mm = mean_mm;
			least = i;
		}
		if (mean_mm > most_mm) {
			most_mm = mean_mm;
			most = i;
		}
	}
	if (planes < 2 || planes < r->planes || (r->without > 0 && r->without < r->seen)) {
		leat_made_refuse(&b->made, r->c->asset, "bore-taper", planes < r->planes ? "%zu of %zu planes have both diameters" :
		    "%zu of %zu planes, some without temperatures", planes, r->planes);
		return;
	}
	leat_made_put(&b->made, &(struct leat_made_row){
		r->c->asset, "bore-taper", "mm", most_mm - least_mm, 3,
		(r->why & (unsigned)~WHY_NOMINAL) != 0 ? LEAT_UNCERTAIN : LEAT_GOOD
	}, "means of x and y: %.3f mm at plane %zu less %.3f mm at plane %zu", most_mm, most + 1, least_mm, least + 1);
}

/* The growth from the whole measurement before. */
static void
put_rate(struct leat_bores *b, const struct leat_bores_cylinder *c)
{
	const struct leat_bores_wear *was = &c->before, *is = &c->latest;
	double grown_mm = is->largest_mm - was->largest_mm, hours = is->hours - was->hours;
	double least_h = leat_bores_plate(b, c->asset, "bore-hours-least");
	double gauge_mm = leat_bores_plate(b, c->asset, "gauge-uncertainty");
	double to_mm = sqrt(2) * leat_bore_uncertainty_mm(gauge_mm, is->largest_mm);
	enum leat_quality quality = leat_bores_worse(was->quality, is->quality);
	char time[LEAT_TIME_MAX];

	if (!was->has)
		return;
	leat_time_write(time, was->time);
	if (isnan(hours))
		leat_made_refuse(&b->made, c->asset, "bore-wear-rate", "the running-hours of the mill are not known, now or at %s",
		    time);
	else if (fabs(is->new_mm - was->new_mm) > 0)
		leat_made_refuse(&b->made, c->asset, "bore-wear-rate", "another bore as new than at %s: worked over or exchanged",
		    time);
	else if (hours < least_h)
		leat_made_refuse(&b->made, c->asset, "bore-wear-rate", "%.1f running hours since %s, %g are needed", hours, time,
		    least_h);
	else if (grown_mm < -to_mm)
		leat_made_refuse(&b->made, c->asset, "bore-wear-rate", "%.3f mm now, %.3f mm at %s: a bore does not shrink; one is "
		    "wrong, or it was worked over and as-new-bore lacks a row", is->largest_mm, was->largest_mm, time);
	else
		leat_made_put(&b->made, &(struct leat_made_row){
			c->asset, "bore-wear-rate", "mm", PER_H * grown_mm / hours, 4, grown_mm < to_mm ? LEAT_UNCERTAIN : quality
		}, "1000 x (%.3f - %.3f mm) / %.1f running hours since %s; the growth to +-%.3f mm%s", is->largest_mm,
		    was->largest_mm, hours, time, to_mm, grown_mm < to_mm ? ", which hides it" : "");
}

void
leat_bores_measured(struct leat_bores *b, struct leat_bores_cylinder *c)
{
	const struct leat_bores_mill *mill = &b->mill[c->mill];
	double hold_s = leat_point_find(LEAT_SPAN("running-hours"))->hold_s;
	struct result r;

	work_out(b, c, &r);
	b->bores++;
	put_wear(b, &r);
	put_shape(b, &r);
	if ((r.why & (WHY_PLACES | WHY_TYPED)) != 0) {
		leat_made_refuse(&b->made, c->asset, "bore-wear-rate", "the measurement is not whole, or a diameter may be mistyped");
		return;
	}
	c->latest = (struct leat_bores_wear){
		true, r.largest_mm, r.new_mm, NAN, (r.why & (unsigned)~WHY_NOMINAL) != 0 ? LEAT_UNCERTAIN : LEAT_GOOD, b->time
	};
	if (!leat_time_is_none(mill->hours_at) && fabs(leat_time_diff(b->time, mill->hours_at)) <= hold_s)
		c->latest.hours = mill->hours;
	put_rate(b, c);
}
