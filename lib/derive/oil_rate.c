/* The oil: rates of metals. */
#include <math.h>

#include "derive/oil_private.h"

#define PER_H 1000.0

static const struct {
	const char *point, *what;
} metals[LEAT_OILS_METALS] = {
	{ "iron.per-1000h", "iron" }, { "copper.per-1000h", "copper" }, { "tin.per-1000h", "tin" },
	{ "chromium.per-1000h", "chromium" }, { "silicon.per-1000h", "silicon" }, { "aluminium.per-1000h", "aluminium" },
	{ "sodium.per-1000h", "sodium" }, { "zinc.per-1000h", "zinc" }
};

/* Fresh oil brings its zinc with it, and no metal of wear. */
static void
rate(struct leat_oils *oil, struct leat_oils_sample *sample, size_t m, double hours)
{
	const struct leat_oils_value *v = &sample->value[LEAT_OILS_IRON + m];
	const struct leat_oils_metal *was = &sample->metal[m];
	struct leat_oils_mill *mill = &oil->mill[sample->mill];
	bool brought = LEAT_OILS_IRON + m == LEAT_OILS_ZINC && was->kept < 1;
	double fresh = brought ? leat_oils_plate(oil, sample->asset, "oil-zinc") : 0;
	double expected = was->value * was->kept + (was->kept < 1 ? fresh * (1 - was->kept) : 0);
	char time[LEAT_TIME_MAX];

	leat_time_write(time, was->time);
	if (isnan(expected)) {
		leat_oils_want(mill, LEAT_OILS_WANT_DILUTION);
		leat_made_refuse(&oil->made, sample->asset, metals[m].point, "how far top-ups since %s thinned the oil is not known",
		    time);
		return;
	}
	leat_made_put(&oil->made, &(struct leat_made_row){
		sample->asset, metals[m].point, "mg/kg", PER_H * (v->value - expected) / hours, 2,
		v->quality < was->quality ? v->quality : was->quality
	}, "1000 x (%.6g - %.6g mg/kg) / %.1f running hours since %s, when it was %.6g mg/kg, of which top-ups left %.4f",
	    v->value, expected, hours, time, was->value, was->kept);
}

static void
metal(struct leat_oils *oil, struct leat_oils_sample *sample, size_t m)
{
	const struct leat_oils_value *v = &sample->value[LEAT_OILS_IRON + m];
	struct leat_oils_metal *was = &sample->metal[m];
	struct leat_oils_mill *mill = &oil->mill[sample->mill];
	double least = leat_oils_plate(oil, sample->asset, "metal-hours-least"), hours = mill->hours - was->hours;

	if (was->has && hours >= 0 && hours < least) {
		leat_made_refuse(&oil->made, sample->asset, metals[m].point, "%.1f running hours since the sample before, %.6g are needed",
		    hours, least);
		return;
	}
	if (was->has && hours > 0)
		rate(oil, sample, m, hours);
	*was = (struct leat_oils_metal){ true, v->value, mill->hours, 1, v->quality, oil->time };
}

void
leat_oils_rates(struct leat_oils *oil, struct leat_oils_sample *sample)
{
	struct leat_oils_mill *mill = &oil->mill[sample->mill];
	double hold_s = leat_point_find(LEAT_SPAN("running-hours"))->hold_s;

	for (size_t m = 0; m < LEAT_OILS_METALS; m++) {
		if (!sample->value[LEAT_OILS_IRON + m].has)
			continue;
		if (leat_time_is_none(mill->hours_at)) {
			leat_oils_want(mill, LEAT_OILS_WANT_HOURS);
			return;
		}
		if (leat_time_diff(oil->time, mill->hours_at) > hold_s)
			leat_made_refuse(&oil->made, sample->asset, metals[m].point, "the latest running-hours are older than 36 h");
		else
			metal(oil, sample, m);
	}
}
