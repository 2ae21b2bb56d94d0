/* The oil: how long cleaning and drying take. */
#include <math.h>
#include <stdio.h>

#include "derive/oil_private.h"
#include "physics/clean_up.h"
#include "physics/cleanliness.h"
#include "physics/oil.h"
#include "stats/order.h"

#define PATH_LENGTH 512
#define LEAST_STEADY 3		/* samples before, or what comes in is not known */
#define ML_PER_L 1000.0

static const struct {
	int place;
	const char *name;
} sizes[LEAT_OILS_SIZES] = { { LEAT_PARTICLE_6, "6 um(c)" }, { LEAT_PARTICLE_14, "14 um(c)" } };

/* What is found of one size. */
struct size_result {
	bool there, never;
	double minutes, floor_per_ml, to_per_ml;
	size_t steady;
	enum leat_quality quality;
};

/* A name below the mill that the nameplate gives, as a path; empty where it is too long. */
static struct leat_span
below_mill(const struct leat_oils *oil, const struct leat_oils_mill *mill, const char *property, char path[PATH_LENGTH])
{
	struct leat_span word = leat_nameplate_word(oil->np, mill->asset, property, oil->time);
	int len = snprintf(path, PATH_LENGTH, "%.*s/%.*s", (int)mill->asset.len, mill->asset.ptr, (int)word.len, word.ptr);

	return leat_span_make(path, len > 0 && len < PATH_LENGTH ? (size_t)len : 0);
}

/* In the steady state as many particles come in as the filter takes out. */
static void
one_size(struct leat_oils_sample *sample, size_t i, struct leat_clean_up *c, int target, struct size_result *result)
{
	const struct leat_oils_value *v = &sample->value[LEAT_OILS_COUNT_6 + i];
	size_t kept = sample->steadies[i] < LEAT_OILS_STEADY ? sample->steadies[i] : LEAT_OILS_STEADY;
	double counts[LEAT_OILS_STEADY];

	*result = (struct size_result){ .there = v->has && target >= 0, .steady = kept, .quality = v->quality };
	if (!result->there)
		return;
	memcpy(counts, sample->steady[i], sizeof(counts));
	c->ingress_per_min = kept < LEAST_STEADY ? 0 : leat_median(counts, kept) * c->flow_lpm * c->service *
	    leat_filter_efficiency(c->beta) * ML_PER_L;
	result->to_per_ml = leat_iso4406_limit(target);
	result->floor_per_ml = leat_clean_up_floor(c);
	result->minutes = leat_clean_up_min(c, v->value, result->to_per_ml);
	result->never = isinf(result->minutes);
	if (kept < LEAST_STEADY && result->minutes > 0 && result->quality > LEAT_UNCERTAIN)
		result->quality = LEAT_UNCERTAIN;
}

static void
tell_clean_up(struct leat_oils *oil, struct leat_oils_sample *sample, const struct leat_clean_up *c, size_t i,
    const struct size_result *r)
{
	double eta = c->service * leat_filter_efficiency(c->beta);
	struct leat_clean_up other = *c;
	struct leat_made_row row = { sample->asset, "clean-up-time", "h", r->minutes / 60, 2, r->quality };

	other.ingress_per_min = r->floor_per_ml * c->flow_lpm * eta * ML_PER_L;
	if (r->never)
		leat_made_put(&oil->made, &row, "never with this filter: particles of %s, %.6g now, stay at %.6g "
		    "in 1 mL, the median of %zu "
		    "samples before, and the target is %.6g; %.1f L/min would do with the same element (now "
		    "%.6g L/min, beta %.6g)",
		    sizes[i].name, sample->value[LEAT_OILS_COUNT_6 + i].value, r->floor_per_ml, r->steady, r->to_per_ml,
		    leat_clean_up_flow_lpm(&other, r->to_per_ml), c->flow_lpm, c->beta);
	else if (r->minutes <= 0)
		leat_made_put(&oil->made, &row, "it is there: particles of %s, %.6g in 1 mL, the target is %.6g", sizes[i].name,
		    sample->value[LEAT_OILS_COUNT_6 + i].value, r->to_per_ml);
	else
		leat_made_put(&oil->made, &row, "%.6g L / (%.6g L/min x %.4f) x ln((%.6g - %.6g)/(%.6g - %.6g)) min: "
		    "particles of %s in 1 mL, from those of the sample to the target, less what they stay "
		    "at (%s), efficiency by "
		    "beta %.6g and "
		    "filter-service", c->volume_l, c->flow_lpm, eta, sample->value[LEAT_OILS_COUNT_6 + i].value,
		    r->floor_per_ml, r->to_per_ml, r->floor_per_ml, sizes[i].name, r->steady < LEAST_STEADY ?
		    "too few samples before, taken as 0" : "the median of the samples before", c->beta);
}

static void
keep_counts(struct leat_oils_sample *sample)
{
	for (size_t i = 0; i < LEAT_OILS_SIZES; i++)
		if (sample->value[LEAT_OILS_COUNT_6 + i].has && sample->value[LEAT_OILS_COUNT_6 + i].quality == LEAT_GOOD)
			sample->steady[i][sample->steadies[i]++ % LEAT_OILS_STEADY] = sample->value[LEAT_OILS_COUNT_6 + i].value;
}

/* The size that takes longest. */
static void
work_out(struct leat_oils *oil, struct leat_oils_sample *sample, struct leat_clean_up *c)
{
	struct leat_span word = leat_nameplate_word(oil->np, sample->asset, "target-code", oil->time);
	struct size_result result[LEAT_OILS_SIZES], *worst = NULL;
	struct leat_iso4406 target;
	enum leat_quality quality = LEAT_GOOD;
	const char *why;

	if (leat_iso4406_parse(word, &target, &why) != 0) {
		leat_made_refuse(&oil->made, sample->asset, "clean-up-time", "target-code is %s: '%.*s'", why, (int)word.len, word.ptr);
		return;
	}
	for (size_t i = 0; i < LEAT_OILS_SIZES; i++) {
		one_size(sample, i, c, target.number[sizes[i].place], &result[i]);
		if (!result[i].there)
			continue;
		if (worst == NULL || result[i].minutes > worst->minutes)
			worst = &result[i];
		if (result[i].quality < quality)
			quality = result[i].quality;
	}
	if (worst == NULL)
		return;
	worst->quality = quality;
	tell_clean_up(oil, sample, c, (size_t)(worst - result), worst);
}

void
leat_oils_clean_up(struct leat_oils *oil, struct leat_oils_sample *sample)
{
	struct leat_oils_mill *mill = &oil->mill[sample->mill];
	char path[PATH_LENGTH], behind[PATH_LENGTH];
	struct leat_span filter = below_mill(oil, mill, "off-line-filter", path);
	struct leat_clean_up c = {
		.volume_l = leat_oils_plate(oil, mill->asset, "tank-volume"), .flow_lpm = leat_oils_plate(oil, filter, "loop-flow"),
		.beta = leat_oils_plate(oil, filter, "beta"), .service = leat_oils_plate(oil, filter, "filter-service") / 100
	};

	if (!sample->value[LEAT_OILS_COUNT_6].has && !sample->value[LEAT_OILS_COUNT_14].has)
		return;
	/* A sample behind the filter shows the filter, not the tank. */
	if (leat_span_eq(sample->asset, below_mill(oil, mill, "sample-behind-filter", behind)))
		leat_made_refuse(&oil->made, sample->asset, "clean-up-time", "it shows the filter, not the tank");
	else if (!(c.volume_l > 0) || !(c.flow_lpm > 0) || !(c.beta > 1) || !(c.service > 0))
		leat_oils_want(mill, LEAT_OILS_WANT_LOOP);
	else
		work_out(oil, sample, &c);
	keep_counts(sample);
}

void
leat_oils_drying_time(struct leat_oils *oil, struct leat_oils_sample *sample)
{
	struct leat_oils_mill *mill = &oil->mill[sample->mill];
	const struct leat_oils_value *v = &sample->value[LEAT_OILS_WATER];
	double target = leat_oils_plate(oil, sample->asset, "water-target"), temp_c, hours;
	struct leat_oil_drying d = {
		.volume_l = leat_oils_plate(oil, sample->asset, "tank-volume"),
		.rate_l_per_h = leat_oils_plate(oil, sample->asset, "dehydrator-rate"),
		.floor_mg_kg = leat_oils_plate(oil, sample->asset, "dehydrator-floor")
	};
	struct leat_oil_water curve;
	const char *from, *temp_from;

	if (!v->has || !(d.rate_l_per_h > 0))
		return;
	temp_c = leat_oils_working(oil, mill, &temp_from);
	if (isnan(temp_c) || !(d.volume_l > 0)) {
		leat_oils_want(mill, isnan(temp_c) ? LEAT_OILS_WANT_TEMPERATURE : LEAT_OILS_WANT_VOLUME);
		return;
	}
	leat_oils_curve(oil, sample->asset, &curve, &from);
	d.saturation_mg_kg = leat_oil_water_saturation(&curve, temp_c);
	d.density_kg_m3 = leat_oil_density(leat_oils_plate(oil, sample->asset, "oil-density-15"), temp_c);
	hours = v->value <= target ? 0 : leat_oil_drying_h(&d, v->value, target);
	leat_made_put(&oil->made, &(struct leat_made_row){ sample->asset, "drying-time", "h", hours, 2, v->quality },
	    "%s%.6g mg/kg to %.6g in %.6g L of %.1f kg/m3; the dehydrator takes %.6g L/h at saturation, "
	    "%.1f mg/kg at %.2f degC "
	    "(%s), in proportion less below it, down to %.6g mg/kg; no water coming "
	    "in", isinf(hours) ? "never: " : "", v->value,
	    target, d.volume_l, d.density_kg_m3, d.rate_l_per_h, d.saturation_mg_kg, temp_c, temp_from, d.floor_mg_kg);
}
