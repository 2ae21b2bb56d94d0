/* One sample: does it count, and what code it has. */
#include <math.h>
#include <stdio.h>

#include "derive/cleanliness_private.h"

static double
plate_number(const struct leat_clean *clean, struct leat_span asset, const char *property)
{
	double value;

	return leat_nameplate_number(clean->np, asset, property, clean->time, &value) == 0 ? value : NAN;
}

/* Oil that does not move lets its dirt settle: did the mill run, or stop just before? */
static enum leat_clean_running
running(const struct leat_clean *clean, const struct leat_clean_mill *mill, double after_stop_min)
{
	size_t off = 0;

	for (size_t i = 0; i < mill->runs; i++) {
		if (leat_current_series(&clean->current, mill->run[i], clean->time) == NULL)
			continue;
		if (clean->series[mill->run[i]].on > 0)
			return LEAT_CLEAN_RAN;
		off += clean->series[mill->run[i]].on == 0;
	}
	if (off == 0 || off < mill->runs)
		return LEAT_CLEAN_RUN_UNKNOWN;
	if (!leat_time_is_none(mill->last_on) && leat_time_diff(clean->time, mill->last_on) <= after_stop_min * 60)
		return LEAT_CLEAN_JUST_STOPPED;
	/* Near the beginning of the stream the stop may lie just before it. */
	if (leat_time_is_none(mill->last_on) && leat_time_diff(clean->time, mill->known) <= after_stop_min * 60)
		return LEAT_CLEAN_RUN_UNKNOWN;
	return LEAT_CLEAN_STOOD;
}

static enum leat_clean_flushing
flushing(const struct leat_clean *clean, const struct leat_clean_sample *sample, int bottle, double need_l)
{
	if (bottle > 1)
		return LEAT_CLEAN_LATER_BOTTLE;
	if (!leat_time_is_none(sample->flushed_at) &&
	    leat_time_diff(clean->time, sample->flushed_at) <= LEAT_CLEAN_FLUSH_S)
		return sample->flushed_l >= need_l * (1 - 1e-9) ? LEAT_CLEAN_FLUSHED : LEAT_CLEAN_FLUSHED_LITTLE;
	return bottle == 1 ? LEAT_CLEAN_FIRST_BOTTLE : LEAT_CLEAN_FLUSH_UNKNOWN;
}

static void
judge_validity(const struct leat_clean *clean, struct leat_clean_result *result)
{
	const struct leat_clean_sample *sample = result->sample;

	result->after_stop_min = plate_number(clean, sample->asset, "sample-after-stop");
	result->need_l = LEAT_CLEAN_FLUSHES * plate_number(clean, sample->asset, "dead-volume");
	result->running = running(clean, &clean->mill[sample->mill], result->after_stop_min);
	result->flushing = flushing(clean, sample, result->bottle->number, result->need_l);
	result->validity = result->running == LEAT_CLEAN_STOOD || result->flushing == LEAT_CLEAN_FLUSHED_LITTLE ||
	    result->flushing == LEAT_CLEAN_FIRST_BOTTLE ? LEAT_UNCERTAIN : LEAT_GOOD;
}

/* The code of the counts; what is not counted has the mark for it. */
static void
code_of_counts(const struct leat_clean *clean, struct leat_clean_result *result)
{
	const struct leat_clean_bottle *bottle = result->bottle;
	double volume_ml = plate_number(clean, result->sample->asset, "counted-volume");

	for (int i = 0; i < LEAT_ISO4406_PLACES; i++) {
		result->code.number[i] = LEAT_ISO4406_NOT_COUNTED;
		result->code.few[i] = false;
		if ((bottle->has & 1u << i) == 0)
			continue;
		result->code.number[i] = leat_iso4406_number(bottle->per_ml[i]);
		result->code.few[i] = bottle->per_ml[i] * volume_ml < LEAT_ISO4406_FEW * (1 - 1e-9);
		result->place[i] = bottle->quality[i];
	}
}

static void
compare_with_target(struct leat_clean *clean, struct leat_clean_sample *sample, struct leat_clean_result *result)
{
	struct leat_span word = leat_nameplate_word(clean->np, sample->asset, "target-code", clean->time);
	char text[256];
	const char *why;

	result->places = 0;
	if (leat_iso4406_parse(word, &result->target, &why) == 0) {
		result->places = leat_iso4406_above(&result->code, &result->target, &result->above);
		return;
	}
	if (sample->warned || clean->warn == NULL)
		return;
	sample->warned = true;
	snprintf(text, sizeof(text), "nameplate: target-code of '%.*s' is %s: '%.*s'", (int)sample->asset.len,
	    sample->asset.ptr, why, (int)word.len, word.ptr);
	clean->warn(text);
}

/* A count below a detection limit may lie anywhere below it, so that only good ones can be seen to rise. */
static bool
counts_rise(const struct leat_clean_bottle *bottle)
{
	unsigned good = 0;

	for (int size = 0; size < LEAT_PARTICLES; size++)
		if (bottle->quality[size] == LEAT_GOOD)
			good |= bottle->has & 1u << size;
	return leat_particles_rise(bottle->per_ml, good);
}

void
leat_clean_work_out(struct leat_clean *clean, struct leat_clean_sample *sample, const struct leat_clean_bottle *bottle,
    struct leat_clean_result *result)
{
	*result = (struct leat_clean_result){ .sample = sample, .bottle = bottle, .counted = bottle->has != 0 };
	judge_validity(clean, result);
	for (int i = 0; i < LEAT_ISO4406_PLACES; i++)
		result->place[i] = LEAT_GOOD;
	if (result->counted) {
		code_of_counts(clean, result);
	} else {
		result->code = bottle->code;
		for (int i = 0; i < LEAT_ISO4406_PLACES; i++)
			result->place[i] = bottle->code_quality;
	}
	result->rises = result->counted ? counts_rise(bottle) : leat_iso4406_rises(&result->code);
	if (result->rises)
		result->validity = LEAT_UNCERTAIN;
	result->worst = result->validity;
	for (int i = 0; i < LEAT_ISO4406_PLACES; i++) {
		if (result->validity < result->place[i])
			result->place[i] = result->validity;
		/* Over the end of the table a number is not to be built on. */
		if (result->code.number[i] > LEAT_ISO4406_LAST && result->place[i] > LEAT_UNCERTAIN)
			result->place[i] = LEAT_UNCERTAIN;
		if (result->place[i] < result->worst)
			result->worst = result->place[i];
	}
	compare_with_target(clean, sample, result);
	result->nas = leat_nas1638_class(bottle->per_ml, bottle->has, result->band);
}
