/* What is made of a sample: rows, or its explanation. */
#include <math.h>
#include <stdio.h>

#include "derive/cleanliness_private.h"

#define LOG_DECIMALS 3
#define RATIO_DIGITS 3
#define TEXT_MAX 256

static const char *const count_points[LEAT_PARTICLES] = {
	"count-4um", "count-6um", "count-14um", "count-21um", "count-38um", "count-70um"
};

static void
add(struct leat_clean *clean, struct leat_span asset, const char *point, struct leat_span value, const char *unit,
    enum leat_quality quality)
{
	leat_readings_add(clean->out, clean->in, &(struct leat_reading){
		.time = clean->time, .asset = asset, .point = leat_span_of(point), .value = value,
		.unit = leat_span_of(unit), .quality = quality
	});
	clean->added++;
}

static void
add_number(struct leat_clean *clean, struct leat_span asset, const char *point, double value, int decimals,
    enum leat_quality quality)
{
	char text[LEAT_NUMBER_MAX];
	size_t len = leat_number_fixed(text, value, decimals);

	add(clean, asset, point, leat_span_make(text, len), "1", quality);
}

/* Codes of two samples of one oil scatter by one step at a boundary; the logarithm of the count does not. */
static void
add_logarithms(struct leat_clean *clean, const struct leat_clean_result *result)
{
	const struct leat_clean_bottle *bottle = result->bottle;
	char point[32];

	for (int size = 0; size < LEAT_PARTICLES; size++) {
		enum leat_quality quality = bottle->quality[size];

		if ((bottle->has & 1u << size) == 0 || !(bottle->per_ml[size] > 0))
			continue;
		if (size < LEAT_ISO4406_PLACES)
			quality = result->place[size];
		else if (result->validity < quality)
			quality = result->validity;
		snprintf(point, sizeof(point), "%s.log2", count_points[size]);
		add_number(clean, result->sample->asset, point, log2(bottle->per_ml[size]), LOG_DECIMALS, quality);
	}
}

/* The worst quality of the counts in has, and of the sample. */
static enum leat_quality
worst_of(const struct leat_clean_result *result, unsigned has)
{
	enum leat_quality worst = result->validity;

	for (int size = 0; size < LEAT_PARTICLES; size++)
		if ((has & 1u << size) != 0 && result->bottle->quality[size] < worst)
			worst = result->bottle->quality[size];
	return worst;
}

/* The sizes that the class of NAS 1638 is made of. */
static unsigned
nas_sizes(const struct leat_clean_result *result)
{
	unsigned has = 0;

	for (int i = 0; i < LEAT_NAS1638_BANDS; i++)
		if (result->band[i] >= 0)
			has |= 3u << (i + LEAT_PARTICLE_6);
	return has & result->bottle->has;
}

static bool
too_many(const struct leat_iso4406 *code)
{
	for (int i = 0; i < LEAT_ISO4406_PLACES; i++)
		if (code->number[i] == LEAT_ISO4406_TOO_MANY)
			return true;
	return false;
}

void
leat_clean_write(struct leat_clean *clean, const struct leat_clean_result *result)
{
	static const char *const points[LEAT_ISO4406_PLACES] = { "iso4406-4um", "iso4406-6um", "iso4406-14um" };
	struct leat_span asset = result->sample->asset;
	char code[LEAT_ISO4406_MAX], classes[LEAT_AS4059_MAX];
	size_t len;

	/* A code typed under the sampling point's own asset stands there already. */
	if (!result->sample->typed) {
		len = leat_iso4406_write(code, &result->code);
		add(clean, asset, "iso4406", leat_span_make(code, len), "", result->worst);
	}
	for (int i = 0; i < LEAT_ISO4406_PLACES; i++)
		if (result->code.number[i] >= 0)
			add_number(clean, asset, points[i], result->code.number[i], 0, result->place[i]);
	/* What was too many to count may lie further above than all that was counted. */
	if (result->places > 0)
		add_number(clean, asset, "iso4406-above-target", result->above, 0,
		    too_many(&result->code) ? LEAT_UNCERTAIN : result->worst);
	if (!result->counted)
		return;
	add_logarithms(clean, result);
	len = leat_as4059_write(classes, result->bottle->per_ml, result->bottle->has);
	add(clean, asset, "as4059", leat_span_make(classes, len), "", worst_of(result, result->bottle->has));
	if (result->nas >= 0)
		add(clean, asset, "nas1638", leat_span_of(leat_nas1638_name(result->nas)), "",
		    worst_of(result, nas_sizes(result)));
}

static bool
asked_for(const struct leat_clean *clean, struct leat_span asset)
{
	return leat_asset_kin(clean->what, asset);
}

static void
say_head(const struct leat_clean *clean, struct leat_span asset, const char *point)
{
	leat_out_time(clean->out, clean->time);
	leat_out_char(clean->out, ' ');
	leat_out_span(clean->out, asset);
	leat_out_char(clean->out, ' ');
	leat_out_text(clean->out, point);
	leat_out_char(clean->out, ' ');
}

static void
say_number(struct leat_out *out, double value)
{
	char text[LEAT_NUMBER_MAX];

	leat_out_bytes(out, text, leat_number_trim(text, leat_number_significant(text, value, 6)));
}

static void
say_place(struct leat_out *out, const struct leat_clean_result *result, int i)
{
	int number = result->code.number[i];
	char text[TEXT_MAX];

	if ((result->bottle->has & 1u << i) == 0)
		return;
	snprintf(text, sizeof(text), "; %d um ", leat_particle_um[i]);
	leat_out_text(out, text);
	say_number(out, result->bottle->per_ml[i]);
	leat_out_text(out, " in 1 mL, more than ");
	say_number(out, leat_iso4406_limit(number - 1));
	if (number <= LEAT_ISO4406_LAST) {
		leat_out_text(out, " up to ");
		say_number(out, leat_iso4406_limit(number));
	}
	snprintf(text, sizeof(text), " is %s%d", number > LEAT_ISO4406_LAST ? "over " : "",
	    number > LEAT_ISO4406_LAST ? LEAT_ISO4406_LAST : number);
	leat_out_text(out, text);
	if (result->code.few[i])
		leat_out_text(out, ", of fewer than 20 particles counted");
	if (result->bottle->quality[i] != LEAT_GOOD)
		leat_out_text(out, " (an uncertain count)");
}

static void
say_target(struct leat_out *out, const struct leat_clean_result *result)
{
	char code[LEAT_ISO4406_MAX], text[TEXT_MAX];

	if (result->places == 0)
		return;
	leat_iso4406_write(code, &result->target);
	if (result->above > 0)
		snprintf(text, sizeof(text), "; %d above the target %s", result->above, code);
	else
		snprintf(text, sizeof(text), "; within the target %s", code);
	leat_out_text(out, text);
}

static void
say_classes(struct leat_out *out, const struct leat_clean_result *result)
{
	static const char *const bands[LEAT_NAS1638_BANDS] = {
		"5-15", "15-25", "25-50", "50-100", "over 100"
	};
	char classes[LEAT_AS4059_MAX], text[TEXT_MAX];

	if (!result->counted)
		return;
	leat_as4059_write(classes, result->bottle->per_ml, result->bottle->has);
	snprintf(text, sizeof(text), "; AS4059 %s", classes);
	leat_out_text(out, text);
	if (result->nas < 0)
		return;
	snprintf(text, sizeof(text), "; NAS 1638 %s, the worst of", leat_nas1638_name(result->nas));
	leat_out_text(out, text);
	for (int i = 0; i < LEAT_NAS1638_BANDS; i++) {
		if (result->band[i] < 0)
			continue;
		snprintf(text, sizeof(text), " %s um: %s", bands[i], leat_nas1638_name(result->band[i]));
		leat_out_text(out, text);
	}
}

static void
say_validity(struct leat_out *out, const struct leat_clean_result *result)
{
	static const char *const ran[] = {
		[LEAT_CLEAN_RAN] = "the mill ran", [LEAT_CLEAN_JUST_STOPPED] = "the mill had just stopped",
		[LEAT_CLEAN_STOOD] = "the mill had stood for longer than",
		[LEAT_CLEAN_RUN_UNKNOWN] = "whether the mill ran is not known"
	};
	char text[TEXT_MAX];

	leat_out_text(out, "; ");
	leat_out_text(out, ran[result->running]);
	if (result->running == LEAT_CLEAN_STOOD) {
		snprintf(text, sizeof(text), " %g min", result->after_stop_min);
		leat_out_text(out, text);
	}
	switch (result->flushing) {
	case LEAT_CLEAN_LATER_BOTTLE:
		snprintf(text, sizeof(text), "; bottle %d, after another one", result->bottle->number);
		break;
	case LEAT_CLEAN_FLUSHED:
	case LEAT_CLEAN_FLUSHED_LITTLE:
		snprintf(text, sizeof(text), "; flushed with %g L, of %g L due", result->sample->flushed_l, result->need_l);
		break;
	case LEAT_CLEAN_FIRST_BOTTLE:
		snprintf(text, sizeof(text), "; the first bottle, and nothing says that %g L were let off before", result->need_l);
		break;
	default:
		snprintf(text, sizeof(text), "; how much was let off before is not known");
	}
	leat_out_text(out, text);
}

/* The bottles of a sample that do not count. */
static void
say_others(struct leat_out *out, const struct leat_clean_result *result)
{
	char text[TEXT_MAX];

	for (size_t i = 0; i < result->sample->bottles; i++) {
		const struct leat_clean_bottle *b = &result->sample->bottle[i];

		if (b == result->bottle || b->number == 0)
			continue;
		snprintf(text, sizeof(text), "; bottle %d not used", b->number);
		leat_out_text(out, text);
		for (int size = 0; size < LEAT_PARTICLES; size++) {
			if ((b->has & 1u << size) == 0)
				continue;
			snprintf(text, sizeof(text), ", %d um ", leat_particle_um[size]);
			leat_out_text(out, text);
			say_number(out, b->per_ml[size]);
		}
	}
}

void
leat_clean_tell(const struct leat_clean *clean, const struct leat_clean_result *result)
{
	struct leat_out *out = clean->out;
	char code[LEAT_ISO4406_MAX];

	if (!asked_for(clean, result->sample->asset))
		return;
	leat_iso4406_write(code, &result->code);
	say_head(clean, result->sample->asset, "iso4406");
	leat_out_text(out, code);
	leat_out_text(out, result->worst == LEAT_GOOD ? "" : " (uncertain)");
	leat_out_text(out, result->counted ? " from counts" : " as typed");
	for (int i = 0; i < LEAT_ISO4406_PLACES; i++)
		say_place(out, result, i);
	if (result->rises)
		leat_out_text(out, result->counted ? "; the counts rise with size, which those of a sound sample never do" :
		    "; the numbers rise with size, which those of a sound sample never do");
	say_target(out, result);
	say_classes(out, result);
	say_validity(out, result);
	say_others(out, result);
	leat_out_char(out, '\n');
}

static void
tell_ratio(const struct leat_clean *clean, const struct leat_clean_sample *before,
    const struct leat_clean_sample *behind, int size, double ratio)
{
	struct leat_out *out = clean->out;
	char text[LEAT_NUMBER_MAX];

	if (!asked_for(clean, behind->asset))
		return;
	snprintf(text, sizeof(text), "%s.ratio", count_points[size]);
	say_head(clean, behind->asset, text);
	leat_number_significant(text, ratio, RATIO_DIGITS);
	leat_out_text(out, text);
	leat_out_text(out, ": ");
	say_number(out, before->per_ml[size]);
	leat_out_text(out, " in 1 mL at ");
	leat_out_span(out, before->asset);
	leat_out_text(out, ", ");
	say_number(out, behind->per_ml[size]);
	leat_out_text(out, " in 1 mL behind the filter\n");
}

void
leat_clean_ratio(struct leat_clean *clean, const struct leat_clean_sample *before, struct leat_clean_sample *behind)
{
	unsigned both = before->has & behind->has;
	char text[LEAT_NUMBER_MAX], point[32];

	for (int size = 0; size < LEAT_PARTICLES; size++) {
		enum leat_quality quality = behind->quality[size];
		double ratio;
		size_t len;

		if ((both & 1u << size) == 0 || !(behind->per_ml[size] > 0))
			continue;
		ratio = before->per_ml[size] / behind->per_ml[size];
		clean->ratios++;
		if (clean->explain) {
			tell_ratio(clean, before, behind, size, ratio);
			continue;
		}
		if (before->quality[size] < quality)
			quality = before->quality[size];
		snprintf(point, sizeof(point), "%s.ratio", count_points[size]);
		len = leat_number_significant(text, ratio, RATIO_DIGITS);
		add(clean, behind->asset, point, leat_span_make(text, len), "1", quality);
	}
}
