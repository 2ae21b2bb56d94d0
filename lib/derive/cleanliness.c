/* Samples of oil: taking in the readings of an instant. */
#include <stdlib.h>

#include "derive/cleanliness_private.h"
#include "derive/refused_row.h"
#include "derive/sampling_point.h"
#include "stream/quantity.h"

/* Readings that come more seldom than this are typed from sheets. */
#define SHEET_S 86400.0

void
leat_clean_init(struct leat_clean *clean)
{
	leat_current_init(&clean->current, clean->in, clean->points);
	clean->time = LEAT_TIME_NONE;
}

/* Is it "count-6um" with that behind it?  *size gets which. */
static bool
is_count(struct leat_span point, const char *suffix, uint8_t *size)
{
	static const char *const names[LEAT_PARTICLES] = {
		"count-4um", "count-6um", "count-14um", "count-21um", "count-38um", "count-70um"
	};

	for (uint8_t i = 0; i < LEAT_PARTICLES; i++) {
		size_t len = strlen(names[i]);

		if (point.len == len + strlen(suffix) && leat_span_starts(point, names[i]) && leat_span_ends(point, suffix)) {
			*size = i;
			return true;
		}
	}
	return false;
}

static enum leat_clean_role
role_of(struct leat_span point, uint8_t *size)
{
	static const char *const made[] = {
		"iso4406-4um", "iso4406-6um", "iso4406-14um", "iso4406-above-target", "as4059", "nas1638"
	};
	const struct leat_point_info *info;

	if (is_count(point, "", size))
		return LEAT_CLEAN_ROLE_COUNT;
	if (leat_span_is(point, "iso4406"))
		return LEAT_CLEAN_ROLE_CODE;
	for (size_t i = 0; i < sizeof(made) / sizeof(made[0]); i++)
		if (leat_span_is(point, made[i]))
			return LEAT_CLEAN_ROLE_MADE;
	if (is_count(point, ".log2", size))
		return LEAT_CLEAN_ROLE_MADE;
	if (is_count(point, ".ratio", size))
		return LEAT_CLEAN_ROLE_RATIO;
	if (leat_span_is(point, "pump-running") || leat_span_is(point, "mill-running") || leat_span_is(point, "state"))
		return LEAT_CLEAN_ROLE_RUN;
	if (leat_span_is(point, "flushed-volume"))
		return LEAT_CLEAN_ROLE_FLUSH;
	info = leat_point_find(point);
	if (info != NULL && (leat_point_derived(point) || info->hold_s > SHEET_S))
		return LEAT_CLEAN_ROLE_SILENT;
	return LEAT_CLEAN_ROLE_OTHER;
}

static int
find_mill(struct leat_clean *clean, struct leat_span asset, uint32_t *number)
{
	size_t count = clean->mill_names.count;

	*number = leat_names_put(&clean->mill_names, leat_asset_mill(asset));
	if (*number == LEAT_NAME_NONE ||
	    leat_grow(&clean->mill, &clean->mill_cap, clean->mill_names.count, sizeof(*clean->mill)) != 0)
		return -1;
	if (*number >= count) {
		clean->mill[*number].asset = clean->mill_names.name[*number];
		clean->mill[*number].last_on = clean->mill[*number].known = LEAT_TIME_NONE;
	}
	return 0;
}

static int
find_sample(struct leat_clean *clean, struct leat_span asset, uint32_t mill, uint32_t *number)
{
	size_t count = clean->sample_names.count;
	struct leat_clean_sample *sample;

	*number = leat_names_put(&clean->sample_names, asset);
	if (*number == LEAT_NAME_NONE ||
	    leat_grow(&clean->sample, &clean->sample_cap, clean->sample_names.count, sizeof(*clean->sample)) != 0 ||
	    leat_grow(&clean->touched, &clean->touch_cap, clean->sample_names.count, sizeof(*clean->touched)) != 0)
		return -1;
	if (*number < count)
		return 0;
	sample = &clean->sample[*number];
	sample->asset = clean->sample_names.name[*number];
	sample->mill = mill;
	sample->flushed_at = sample->taken = LEAT_TIME_NONE;
	return 0;
}

/* Finds out once what a series is. */
static int
resolve(struct leat_clean *clean, const struct leat_reading *r)
{
	struct leat_clean_series *s;
	struct leat_clean_mill *mill;
	struct leat_span asset = r->asset;

	if (leat_grow(&clean->series, &clean->series_cap, (size_t)r->series + 1, sizeof(*clean->series)) != 0)
		return -1;
	s = &clean->series[r->series];
	if (s->role != LEAT_CLEAN_ROLE_NEW)
		return 0;
	s->role = (uint8_t)role_of(r->point, &s->size);
	s->on = -1;
	if (s->role < LEAT_CLEAN_ROLE_RUN)
		return 0;
	if (find_mill(clean, asset, &s->mill) != 0)
		return -1;
	if (s->role == LEAT_CLEAN_ROLE_RUN) {
		mill = &clean->mill[s->mill];
		if (leat_grow(&mill->run, &mill->cap, mill->runs + 1, sizeof(*mill->run)) != 0)
			return -1;
		mill->run[mill->runs++] = r->series;
		return 0;
	}
	if (s->role < LEAT_CLEAN_ROLE_MADE)
		s->bottle = leat_sampling_bottle(&asset);
	return find_sample(clean, asset, s->mill, &s->sample);
}

/* The sampling point of a series, and that it has readings at this instant. */
static struct leat_clean_sample *
touch(struct leat_clean *clean, const struct leat_clean_series *s)
{
	struct leat_clean_sample *sample = &clean->sample[s->sample];

	if (!sample->touched) {
		sample->touched = true;
		sample->bottles = 0;
		clean->touched[clean->touches++] = s->sample;
	}
	return sample;
}

/* The bottle of a sample, new if need be; NULL when memory is out. */
static struct leat_clean_bottle *
find_bottle(struct leat_clean_sample *sample, int number)
{
	for (size_t i = 0; i < sample->bottles; i++)
		if (sample->bottle[i].number == number)
			return &sample->bottle[i];
	if (leat_grow(&sample->bottle, &sample->cap, sample->bottles + 1, sizeof(*sample->bottle)) != 0)
		return NULL;
	sample->bottle[sample->bottles] = (struct leat_clean_bottle){ .number = number };
	return &sample->bottle[sample->bottles++];
}

static int
take_count(struct leat_clean *clean, const struct leat_clean_series *s, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_clean_bottle *bottle = find_bottle(touch(clean, s), s->bottle);
	unsigned bit = 1u << s->size;
	double per_ml;
	int got;

	if (bottle == NULL)
		return leat_error_memory(err);
	got = leat_quantity_of(r, leat_unit_find(LEAT_SPAN("1/mL")), &per_ml, err);
	if (got <= 0 || per_ml < 0)
		return got < 0 ? -1 : 0;
	/* Of two readings for one instant the better counts, of equal ones the later. */
	if ((bottle->has & bit) != 0 && r->quality < bottle->quality[s->size])
		return 0;
	bottle->has |= bit;
	bottle->per_ml[s->size] = per_ml;
	bottle->quality[s->size] = r->quality;
	return 0;
}

static int
take_flush(struct leat_clean *clean, const struct leat_clean_series *s, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_clean_sample *sample = &clean->sample[s->sample];
	double litres;
	int got = leat_quantity_of(r, leat_unit_find(LEAT_SPAN("L")), &litres, err);

	if (got <= 0 || litres < 0)
		return got < 0 ? -1 : 0;
	sample->flushed_l = litres;
	sample->flushed_at = r->time;
	return 0;
}

/* Keeps a row back until the instant is over. */
static int
hold(struct leat_clean *clean, const struct leat_clean_series *s, const struct leat_reading *r, struct leat_error *err)
{
	touch(clean, s);
	if (leat_grow(&clean->held, &clean->held_cap, clean->helds + 1, sizeof(*clean->held)) != 0 ||
	    leat_readings_copy_to(&clean->text, clean->in, r) != 0)
		return leat_error_memory(err);
	clean->held[clean->helds++] = (struct leat_clean_held){ s->sample, s->role, clean->text.len };
	return 0;
}

/* A typed code, or one of an earlier run.  1: stays, 0: held or rejected, -1. */
static int
take_code(struct leat_clean *clean, const struct leat_clean_series *s, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_clean_bottle *bottle;
	struct leat_iso4406 code;
	const char *why;

	if (r->quality != LEAT_BAD) {
		if (leat_iso4406_parse(r->value, &code, &why) != 0) {
			clean->rejected++;
			return leat_refuse_value(clean->in, r, why, clean->reject, err);
		}
		bottle = find_bottle(touch(clean, s), s->bottle);
		if (bottle == NULL)
			return leat_error_memory(err);
		if (!bottle->has_code || r->quality >= bottle->code_quality) {
			bottle->has_code = true;
			bottle->code = code;
			bottle->code_quality = r->quality;
		}
	}
	return s->bottle > 0 ? 1 : hold(clean, s, r, err);
}

static void
take_run(struct leat_clean *clean, struct leat_clean_series *s, const struct leat_reading *r)
{
	struct leat_clean_mill *mill = &clean->mill[s->mill];
	int8_t was = s->on;

	if (r->quality == LEAT_BAD)
		return;
	if (leat_span_is(r->point, "state"))
		s->on = leat_span_is(r->value, "off") || leat_span_is(r->value, "hold") ? 0 :
		    leat_span_is(r->value, "unknown") ? -1 : 1;
	else
		s->on = (int8_t)leat_latest_switch(&clean->current, &clean->current.latest[r->series]);
	if (s->on >= 0 && leat_time_is_none(mill->known))
		mill->known = r->time;
	if (s->on > 0 || (s->on == 0 && was > 0))
		mill->last_on = r->time;
}

int
leat_clean_take(struct leat_clean *clean, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_clean_series *s;

	if (!leat_time_is_none(clean->time) && leat_time_cmp(r->time, clean->time) != 0 && clean->touches > 0)
		leat_clean_finish(clean);
	clean->time = r->time;
	if ((r->series >= clean->series_cap || clean->series[r->series].role == LEAT_CLEAN_ROLE_NEW) && resolve(clean, r) != 0)
		return leat_error_memory(err);
	s = &clean->series[r->series];
	if ((s->role == LEAT_CLEAN_ROLE_OTHER && leat_current_pass(&clean->current, r) != 0) ||
	    (s->role == LEAT_CLEAN_ROLE_RUN && leat_current_put(&clean->current, r) != 0))
		return leat_error_memory(err);
	switch (s->role) {
	case LEAT_CLEAN_ROLE_RUN:
		take_run(clean, s, r);
		return 1;
	case LEAT_CLEAN_ROLE_FLUSH:
		return take_flush(clean, s, r, err) == 0 ? 1 : -1;
	case LEAT_CLEAN_ROLE_COUNT:
		return take_count(clean, s, r, err) == 0 ? 1 : -1;
	case LEAT_CLEAN_ROLE_CODE:
		return take_code(clean, s, r, err);
	case LEAT_CLEAN_ROLE_MADE:
	case LEAT_CLEAN_ROLE_RATIO:
		return hold(clean, s, r, err);
	default:
		return 1;
	}
}

void
leat_clean_end(struct leat_clean *clean)
{
	leat_clean_finish(clean);
}

void
leat_clean_free(struct leat_clean *clean)
{
	for (size_t i = 0; i < clean->sample_names.count && i < clean->sample_cap; i++)
		free(clean->sample[i].bottle);
	for (size_t i = 0; i < clean->mill_names.count && i < clean->mill_cap; i++)
		free(clean->mill[i].run);
	free(clean->sample);
	free(clean->mill);
	free(clean->series);
	free(clean->touched);
	free(clean->held);
	leat_buf_free(&clean->text);
	leat_names_free(&clean->sample_names);
	leat_names_free(&clean->mill_names);
	leat_current_free(&clean->current);
}
