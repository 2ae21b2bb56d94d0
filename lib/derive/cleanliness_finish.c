/* Samples of oil: what becomes of the readings of an instant when it is over. */
#include "derive/cleanliness_private.h"

/* Longest path of a sampling point that the nameplate names. */
#define PATH_LENGTH 512

/* The bottle that counts: the last that has anything. */
static const struct leat_clean_bottle *
choose(const struct leat_clean_sample *sample)
{
	const struct leat_clean_bottle *best = NULL;

	for (size_t i = 0; i < sample->bottles; i++) {
		const struct leat_clean_bottle *b = &sample->bottle[i];

		if ((b->has != 0 || b->has_code) && (best == NULL || b->number > best->number))
			best = b;
	}
	return best;
}

/* Writes the rows that were held and are not made anew. */
static void
release(struct leat_clean *clean)
{
	size_t start = 0;

	for (size_t i = 0; i < clean->helds; i++) {
		const struct leat_clean_held *h = &clean->held[i];
		const struct leat_clean_sample *sample = &clean->sample[h->sample];
		bool stays = h->role == LEAT_CLEAN_ROLE_RATIO ? !sample->ratio :
		    !sample->source || (h->role == LEAT_CLEAN_ROLE_CODE && sample->typed);

		if (!stays)
			clean->replaced++;
		else if (clean->copy)
			leat_out_bytes(clean->out, clean->text.data + start, h->end - start);
		start = h->end;
	}
	clean->helds = 0;
	leat_buf_reset(&clean->text);
}

/* The sampling point of the mill that the nameplate names; NULL where it never came. */
static struct leat_clean_sample *
named_sample(struct leat_clean *clean, const struct leat_clean_mill *mill, const char *property)
{
	struct leat_span word = leat_nameplate_word(clean->np, mill->asset, property, clean->time);
	char path[PATH_LENGTH];
	size_t len = mill->asset.len + 1 + word.len;
	uint32_t number;

	if (word.len == 0 || len > sizeof(path))
		return NULL;
	memcpy(path, mill->asset.ptr, mill->asset.len);
	path[mill->asset.len] = '/';
	memcpy(path + mill->asset.len + 1, word.ptr, word.len);
	number = leat_names_get(&clean->sample_names, leat_span_make(path, len));
	return number != LEAT_NAME_NONE ? &clean->sample[number] : NULL;
}

static bool
awaits_pair(const struct leat_clean_sample *sample)
{
	return sample != NULL && !sample->paired && !leat_time_is_none(sample->taken);
}

/* Notes that the samples before and behind the filter of a mill are both there. */
static void
find_pair(struct leat_clean *clean, const struct leat_clean_sample *one)
{
	struct leat_clean_mill *mill = &clean->mill[one->mill];
	struct leat_clean_sample *before, *behind;
	double apart;

	if (!awaits_pair(one))
		return;
	before = named_sample(clean, mill, "sample-before-filter");
	behind = named_sample(clean, mill, "sample-behind-filter");
	if ((before != one && behind != one) || before == behind || !awaits_pair(before) || !awaits_pair(behind))
		return;
	apart = leat_time_diff(before->taken, behind->taken);
	if (apart > LEAT_CLEAN_PAIR_S || apart < -LEAT_CLEAN_PAIR_S)
		return;
	before->paired = behind->paired = behind->ratio = true;
	mill->before = before;
	mill->behind = behind;
}

/* Notes what is to be made of a sample, and keeps its counts for the ratio. */
static void
settle(struct leat_clean *clean, struct leat_clean_sample *sample)
{
	const struct leat_clean_bottle *bottle = choose(sample);

	sample->ratio = false;
	sample->source = bottle != NULL;
	sample->typed = bottle != NULL && bottle->has == 0 && bottle->number == 0;
	if (bottle == NULL || bottle->has == 0)
		return;
	sample->taken = clean->time;
	sample->paired = false;
	sample->has = bottle->has;
	memcpy(sample->per_ml, bottle->per_ml, sizeof(sample->per_ml));
	memcpy(sample->quality, bottle->quality, sizeof(sample->quality));
}

/* Writes or explains what is made of a sample. */
static void
make(struct leat_clean *clean, struct leat_clean_sample *sample)
{
	const struct leat_clean_bottle *bottle = choose(sample);
	struct leat_clean_result result;

	sample->touched = false;
	if (bottle == NULL)
		return;
	leat_clean_work_out(clean, sample, bottle, &result);
	clean->samples++;
	clean->uncertain += result.worst == LEAT_UNCERTAIN;
	for (int size = 0; size < LEAT_PARTICLES && result.counted; size++)
		if (result.validity < sample->quality[size])
			sample->quality[size] = result.validity;
	if (clean->explain)
		leat_clean_tell(clean, &result);
	else
		leat_clean_write(clean, &result);
}

/* By name: the order must not hang on rows that are replaced. */
static void
sort_touched(struct leat_clean *clean)
{
	for (size_t i = 1; i < clean->touches; i++) {
		uint32_t one = clean->touched[i];
		size_t at = i;

		for (; at > 0 && leat_span_cmp(clean->sample[clean->touched[at - 1]].asset, clean->sample[one].asset) > 0; at--)
			clean->touched[at] = clean->touched[at - 1];
		clean->touched[at] = one;
	}
}

void
leat_clean_finish(struct leat_clean *clean)
{
	sort_touched(clean);
	for (size_t i = 0; i < clean->touches; i++)
		settle(clean, &clean->sample[clean->touched[i]]);
	/* Pairs first: a row of an earlier run is replaced where a ratio is made now. */
	for (size_t i = 0; i < clean->touches; i++)
		find_pair(clean, &clean->sample[clean->touched[i]]);
	release(clean);
	for (size_t i = 0; i < clean->touches; i++)
		make(clean, &clean->sample[clean->touched[i]]);
	for (size_t i = 0; i < clean->touches; i++) {
		struct leat_clean_mill *mill = &clean->mill[clean->sample[clean->touched[i]].mill];

		if (mill->behind == NULL)
			continue;
		leat_clean_ratio(clean, mill->before, mill->behind);
		mill->before = mill->behind = NULL;
	}
	clean->touches = 0;
}
