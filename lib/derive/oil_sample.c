/* The oil: water, viscosity, acid and additives of a sample. */
#include <math.h>
#include <stdio.h>

#include "derive/oil_private.h"
#include "physics/oil.h"
#include "physics/oil_mix.h"
#include "physics/viscosity_index.h"

void
leat_oils_curve(const struct leat_oils *oil, struct leat_span asset, struct leat_oil_water *curve, const char **from)
{
	double at_20 = leat_oils_plate(oil, asset, "water-solubility-20"), at_60 = leat_oils_plate(oil, asset,
	    "water-solubility-60");

	*curve = LEAT_OIL_WATER_DEFAULT;
	*from = "line of fresh mineral oil";
	if (isnan(at_20) && isnan(at_60))
		return;
	*from = "line through water-solubility-20 and -60";
	if (!isnan(at_20) && !isnan(at_60) && leat_oil_water_between(curve, 20, at_20, 60, at_60) == 0)
		return;
	*from = isnan(at_20) ? "through water-solubility-60" : "through water-solubility-20";
	if (leat_oil_water_through(curve, isnan(at_20) ? 60 : 20, isnan(at_20) ? at_60 : at_20) != 0)
		*from = "line of fresh mineral oil";
}

static void
saturation(struct leat_oils *oil, struct leat_oils_sample *sample, const struct leat_oil_water *curve, const char *curve_from,
    const char *point, double temp_c, const char *temp_from)
{
	const struct leat_oils_value *v = &sample->value[LEAT_OILS_WATER];
	double dissolves = leat_oil_water_saturation(curve, temp_c);

	leat_made_put(&oil->made, &(struct leat_made_row){ sample->asset, point, "%", 100 * v->value / dissolves, 1, v->quality },
	    "100 x %.6g mg/kg / %.2f mg/kg, 10^(%.4f - %.1f/(%.2f + 273.15)) dissolved at %.2f degC, %s (%s)", v->value,
	    dissolves, curve->a, curve->b_k, temp_c, temp_c, temp_from, curve_from);
}

static void
water(struct leat_oils *oil, struct leat_oils_sample *sample)
{
	struct leat_oils_mill *mill = &oil->mill[sample->mill];
	const struct leat_oils_value *v = &sample->value[LEAT_OILS_WATER];
	double volume_l = leat_oils_plate(oil, sample->asset, "tank-volume"), working_c, coldest_c, density;
	const char *curve_from, *working_from, *coldest_from;
	struct leat_oil_water curve;

	leat_oils_curve(oil, sample->asset, &curve, &curve_from);
	working_c = leat_oils_working(oil, mill, &working_from);
	coldest_c = leat_oils_coldest(oil, mill, &coldest_from);
	if (isnan(working_c))
		leat_oils_want(mill, LEAT_OILS_WANT_TEMPERATURE);
	else
		saturation(oil, sample, &curve, curve_from, "water-saturation", working_c, working_from);
	if (isnan(coldest_c)) {
		leat_oils_want(mill, LEAT_OILS_WANT_COLDEST);
		return;
	}
	saturation(oil, sample, &curve, curve_from, "water-saturation-coldest", coldest_c, coldest_from);
	if (isnan(volume_l)) {
		leat_oils_want(mill, LEAT_OILS_WANT_VOLUME);
		return;
	}
	density = leat_oil_density(leat_oils_plate(oil, sample->asset, "oil-density-15"), coldest_c);
	leat_made_put(&oil->made, &(struct leat_made_row){
		sample->asset, "free-water", "L", leat_oil_water_free_l(&curve, v->value, coldest_c, volume_l, density), 2, v->quality
	}, "%.6g mg/kg less %.2f dissolved at %.2f degC, %s, in %.6g L of %.1f kg/m3", v->value,
	    leat_oil_water_saturation(&curve, coldest_c), coldest_c, coldest_from, volume_l, density);
}

/* Of samples of one mill at one instant the wetter. */
static void
keep_water(struct leat_oils *oil, const struct leat_oils_sample *sample)
{
	struct leat_oils_mill *mill = &oil->mill[sample->mill];
	const struct leat_oils_value *v = &sample->value[LEAT_OILS_WATER];

	if (!leat_time_is_none(mill->water_at) && leat_time_cmp(mill->water_at, oil->time) == 0 &&
	    v->value <= mill->water_mg_kg)
		return;
	mill->water_mg_kg = v->value;
	mill->water_quality = v->quality;
	mill->water_at = oil->time;
}

/* The viscosity of the oil that may have been mixed in, and its name; 0 where there is none. */
static double
other_oil(const struct leat_oils *oil, struct leat_span asset, double fresh, bool thicker, char *name, size_t size)
{
	struct leat_span word = leat_nameplate_word(oil->np, asset, "other-oil-grade", oil->time);
	struct leat_oil_grade grade;
	double midpoint;
	int number = 0;

	if (word.len > 0 && leat_oil_grade_find(word, &grade) == 0 && (grade.midpoint_mm2_s > fresh) == thicker) {
		snprintf(name, size, "%.*s, other-oil-grade", (int)(word.len < 32 ? word.len : 32), word.ptr);
		return grade.midpoint_mm2_s;
	}
	midpoint = leat_oil_next_grade(fresh, thicker, &number);
	snprintf(name, size, "VG %d, the next grade", number);
	return midpoint;
}

static void
other_share(struct leat_oils *oil, struct leat_oils_sample *sample, double fresh)
{
	const struct leat_oils_value *v = &sample->value[LEAT_OILS_V40], *acid = &sample->value[LEAT_OILS_ACID];
	double volume_l = leat_oils_plate(oil, sample->asset, "tank-volume"), other, share;
	double fresh_acid = leat_oils_plate(oil, sample->asset, "oil-acid-number");
	bool thicker = v->value >= fresh;
	char name[64], rise[64] = "not known", litres[32] = "";

	other = other_oil(oil, sample->asset, fresh, thicker, name, sizeof(name));
	share = leat_oil_mixed_share(fresh, other, v->value);
	if (isnan(share)) {
		leat_made_refuse(&oil->made, sample->asset, "wrong-oil-share", "no share of %s makes %.6g of %.6g mm2/s", name, v->value,
		    fresh);
		return;
	}
	if (acid->has && !isnan(fresh_acid))
		snprintf(rise, sizeof(rise), "%+.3f mgKOH/g", acid->value - fresh_acid);
	if (!isnan(volume_l))
		snprintf(litres, sizeof(litres), ", %.0f L", share * volume_l);
	leat_made_put(&oil->made, &(struct leat_made_row){
		sample->asset, "wrong-oil-share", "%", (thicker ? 100 : -100) * share, 1, v->quality
	}, "so much of %s at %.6g mm2/s in %.6g makes %.6g%s, log10 log10 (viscosity + 0.7) being additive; "
	    "it is that only where "
	    "the acid number did not rise with it: %s", name, other, fresh, v->value, litres, rise);
}

static void
viscosity(struct leat_oils *oil, struct leat_oils_sample *sample)
{
	const struct leat_oils_value *v = &sample->value[LEAT_OILS_V40], *hot = &sample->value[LEAT_OILS_V100];
	double fresh = leat_oils_plate(oil, sample->asset, "oil-viscosity-40"), index;

	if (hot->has && leat_viscosity_index(v->value, hot->value, &index) == 0)
		leat_made_put(&oil->made, &(struct leat_made_row){
			sample->asset, "viscosity-index", "1", index, 0, v->quality < hot->quality ? v->quality : hot->quality
		}, "ISO 2909 of %.6g mm2/s at 40 and %.6g at 100 degC", v->value, hot->value);
	if (!(fresh > 0)) {
		leat_oils_want(&oil->mill[sample->mill], LEAT_OILS_WANT_VISCOSITY);
		return;
	}
	leat_made_put(&oil->made, &(struct leat_made_row){
		sample->asset, "viscosity-shift", "%", 100 * (v->value / fresh - 1), 2, v->quality
	}, "100 x (%.6g / %.6g mm2/s as delivered - 1)", v->value, fresh);
	other_share(oil, sample, fresh);
}

static void
acid_and_zinc(struct leat_oils *oil, struct leat_oils_sample *sample)
{
	const struct leat_oils_value *acid = &sample->value[LEAT_OILS_ACID], *zinc = &sample->value[LEAT_OILS_ZINC];
	double fresh_acid = leat_oils_plate(oil, sample->asset, "oil-acid-number");
	double fresh_zinc = leat_oils_plate(oil, sample->asset, "oil-zinc");
	struct leat_oils_mill *mill = &oil->mill[sample->mill];

	if (acid->has && isnan(fresh_acid))
		leat_oils_want(mill, LEAT_OILS_WANT_ACID);
	else if (acid->has)
		leat_made_put(&oil->made, &(struct leat_made_row){
			sample->asset, "acid-number-rise", "mgKOH/g", acid->value - fresh_acid, 3, acid->quality
		}, "%.6g less %.6g mgKOH/g as delivered", acid->value, fresh_acid);
	if (zinc->has && !(fresh_zinc > 0))
		leat_oils_want(mill, LEAT_OILS_WANT_ZINC);
	else if (zinc->has)
		leat_made_put(&oil->made, &(struct leat_made_row){
			sample->asset, "zinc-share", "%", 100 * zinc->value / fresh_zinc, 1, zinc->quality
		}, "100 x %.6g / %.6g mg/kg as delivered", zinc->value, fresh_zinc);
}

/* What only the oil in the tank has. */
static void
in_the_tank(struct leat_oils *oil, struct leat_oils_sample *sample)
{
	if (sample->value[LEAT_OILS_WATER].has) {
		water(oil, sample);
		keep_water(oil, sample);
	}
	leat_oils_rates(oil, sample);
	leat_oils_clean_up(oil, sample);
	leat_oils_drying_time(oil, sample);
	leat_oils_aged(oil, &oil->mill[sample->mill]);
}

void
leat_oils_sampled(struct leat_oils *oil, struct leat_oils_sample *sample)
{
	if (sample->value[LEAT_OILS_V40].has)
		viscosity(oil, sample);
	acid_and_zinc(oil, sample);
	if (!leat_span_ends(sample->asset, "/new-oil"))
		in_the_tank(oil, sample);
	for (size_t i = 0; i < LEAT_OILS_QUANTITIES; i++)
		sample->value[i].has = false;
	sample->touched = false;
}
