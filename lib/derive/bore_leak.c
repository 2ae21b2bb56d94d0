/* The seals of a cylinder: what becomes of a leak test. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "derive/bore_private.h"
#include "physics/bore.h"

#define TEXT 2048

/* What is made of a test. */
struct result {
	const struct leat_bores_cylinder *c;
	const struct leat_bores_leak *worst, *best;
	double as_new_mlpm, bore_mm;
	bool guide;			/* as new by the table for the bore */
	const struct leat_bores_heat *heat;	/* of the oil; NULL: not known */
	bool own_heat;
	double coldest_c, warmest_c;
	enum leat_quality quality;
};

/* Was it read during the test, or within its hold before or after? */
static bool
near_test(const struct leat_bores_cylinder *c, const struct leat_bores_heat *heat, double hold_s)
{
	return heat->has && leat_time_diff(heat->time, c->leak_at) <= hold_s && leat_time_diff(c->leak_from, heat->time) <= hold_s;
}

/* The oil came from the tank, where the cylinder's own was not read. */
static void
find_heat(const struct leat_bores *b, struct result *r)
{
	const struct leat_bores_heat *tank = &b->mill[r->c->mill].tank, *own = &r->c->oil;
	double hold_s = leat_points_hold(b->points, r->c->asset, LEAT_SPAN("oil-temperature"));

	r->own_heat = near_test(r->c, own, hold_s);
	r->heat = r->own_heat ? own : near_test(r->c, tank, hold_s) ? tank : NULL;
}

static bool
heat_fits(const struct result *r)
{
	return r->heat != NULL && r->heat->quality == LEAT_GOOD && r->heat->temp_c >= r->coldest_c &&
	    r->heat->temp_c <= r->warmest_c;
}

static void
work_out(const struct leat_bores *b, const struct leat_bores_cylinder *c, struct result *r)
{
	*r = (struct result){ .c = c, .worst = &c->leak[0], .best = &c->leak[0], .quality = LEAT_GOOD };
	for (size_t i = 0; i < c->leaks; i++) {
		if (c->leak[i].mlpm > r->worst->mlpm)
			r->worst = &c->leak[i];
		if (c->leak[i].mlpm < r->best->mlpm)
			r->best = &c->leak[i];
		r->quality = leat_bores_worse(r->quality, c->leak[i].quality);
	}
	r->bore_mm = leat_bores_plate(b, c->asset, "bore");
	r->as_new_mlpm = leat_bores_plate(b, c->asset, "as-new-leakage");
	r->guide = isnan(r->as_new_mlpm);
	if (r->guide)
		r->as_new_mlpm = leat_seal_as_new_mlpm(r->bore_mm);
	r->coldest_c = leat_bores_plate(b, c->asset, "leak-test-coldest");
	r->warmest_c = leat_bores_plate(b, c->asset, "leak-test-warmest");
	find_heat(b, r);
	if (r->guide || !heat_fits(r))
		r->quality = LEAT_UNCERTAIN;
}

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
say(char *text, const struct result *r)
{
	for (size_t i = 0; i < r->c->leaks; i++)
		add(text, "\n  %.3f mL/min at %.*s", r->c->leak[i].mlpm, (int)r->c->leak[i].asset.len, r->c->leak[i].asset.ptr);
	if (r->guide)
		add(text, "\n  uncertain    as new by the guide for a bore of %g mm, %.2f mL/min (industry acceptance table for "
		    "elastomer seals, from memory): give as-new-leakage", r->bore_mm, r->as_new_mlpm);
	if (r->heat == NULL)
		add(text, "\n  uncertain    the oil's temperature at the test is not known");
	else
		add(text, "\n  %soil %.1f degC, %s; tests are comparable at %g to %g degC", heat_fits(r) ? "" : "uncertain    ",
		    r->heat->temp_c, r->own_heat ? "of the cylinder" : "of the tank", r->coldest_c, r->warmest_c);
}

void
leat_bores_tested(struct leat_bores *b, struct leat_bores_cylinder *c)
{
	char text[TEXT] = "";
	struct result r;

	work_out(b, c, &r);
	b->leak_tests++;
	if (!(r.as_new_mlpm > 0)) {
		leat_made_refuse(&b->made, c->asset, "seal-leakage-ratio", "no as-new-leakage, and no bore from 200 to 400 mm that "
		    "the guide has one for");
		if (b->warn != NULL) {
			snprintf(text, sizeof(text), "'%.*s': seal-leakage-ratio is not made: no as-new-leakage, and no bore from 200 to "
			    "400 mm in the nameplate", (int)(c->asset.len < 256 ? c->asset.len : 256), c->asset.ptr);
			b->warn(text);
		}
		return;
	}
	b->uncertain += r.quality < LEAT_GOOD;
	if (b->explain)
		say(text, &r);
	leat_made_put(&b->made, &(struct leat_made_row){
		c->asset, "seal-leakage-ratio", "1", r.worst->mlpm / r.as_new_mlpm, 2, r.quality
	}, "%.3f / %.3f mL/min as new, not corrected for temperature%s", r.worst->mlpm, r.as_new_mlpm, text);
	if (c->leaks < 2) {
		leat_made_refuse(&b->made, c->asset, "seal-leakage-spread", "one position alone does not tell seal from bore");
		return;
	}
	/* All positions are tested with one oil, which therefore cancels. */
	leat_made_put(&b->made, &(struct leat_made_row){
		c->asset, "seal-leakage-spread", "1", leat_seal_spread(r.worst->mlpm, r.best->mlpm, r.as_new_mlpm), 2, r.quality
	}, "%.3f mL/min at %.*s, %.3f at %.*s, both at least %.3f as new: 1 is the seal, much more the bore", r.worst->mlpm,
	    (int)r.worst->asset.len, r.worst->asset.ptr, r.best->mlpm, (int)r.best->asset.len, r.best->asset.ptr, r.as_new_mlpm);
}
