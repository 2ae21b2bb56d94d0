/*
 * What an export holds, tag by tag: taking the samples in.
 */
#include "stream/survey.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"

#define CLASSES_A_DECADE 16
#define HASHES 256u			/* slots, more than twice LEAT_SURVEY_DISTINCT */

static int
begin(struct leat_survey_tag *tag, const struct leat_sample *sample)
{
	tag->interval = calloc(LEAT_SURVEY_CLASSES, sizeof(*tag->interval));
	tag->distinct = calloc(HASHES, sizeof(*tag->distinct));
	if (tag->interval == NULL || tag->distinct == NULL)
		return -1;
	tag->first = tag->last = tag->previous = tag->since = sample->time;
	tag->whole = true;
	return 0;
}

static int
class_of(double seconds)
{
	int class = (int)((log10(seconds) + 3) * CLASSES_A_DECADE);

	if (class < 0)
		return 0;
	return class < LEAT_SURVEY_CLASSES ? class : LEAT_SURVEY_CLASSES - 1;
}

static void
take_interval(struct leat_survey_tag *tag, double seconds)
{
	struct leat_survey_class *c;

	if (seconds == 0)
		tag->same++;
	else if (seconds < 0)
		tag->back++;
	if (seconds <= 0)
		return;
	/* Most exports are regular, and a logarithm a sample is dear. */
	if (seconds != tag->last_s) {
		tag->last_s = seconds;
		tag->last_class = class_of(seconds);
	}
	c = &tag->interval[tag->last_class];
	if (c->count == 0 || (float)seconds < c->least)
		c->least = (float)seconds;
	if ((float)seconds > c->most)
		c->most = (float)seconds;
	if (c->count < UINT32_MAX)
		c->count++;
	tag->intervals++;
	if (seconds > tag->longest_s)
		tag->longest_s = seconds;
}

static void
take_time(struct leat_survey_tag *tag, struct leat_time t)
{
	if (leat_time_cmp(t, tag->first) < 0)
		tag->first = t;
	if (leat_time_cmp(t, tag->last) > 0)
		tag->last = t;
	take_interval(tag, leat_time_diff(t, tag->previous));
	tag->previous = t;
}

/* Is the cell the one before?  Keeps it, and how long the value has not changed. */
static bool
take_change(struct leat_survey_tag *tag, struct leat_span cell, struct leat_time t)
{
	size_t len = cell.len < sizeof(tag->cell) ? cell.len : sizeof(tag->cell);
	double spell;

	if (tag->count > 0 && cell.len == tag->cell_len && memcmp(cell.ptr, tag->cell, len) == 0) {
		spell = leat_time_diff(t, tag->since);
		if (spell > tag->frozen_s)
			tag->frozen_s = spell;
		return false;
	}
	memcpy(tag->cell, cell.ptr, len);
	tag->cell_len = cell.len;
	tag->since = t;
	return true;
}

static void
take_distinct(struct leat_survey_tag *tag, struct leat_span cell)
{
	uint32_t hash, at;

	if (tag->distincts >= LEAT_SURVEY_DISTINCT)
		return;
	hash = (uint32_t)leat_span_hash(cell, 0);
	hash = hash != 0 ? hash : 1;
	for (at = hash % HASHES; tag->distinct[at] != 0; at = (at + 1) % HASHES)
		if (tag->distinct[at] == hash)
			return;
	tag->distinct[at] = hash;
	tag->distincts++;
}

static void
take_word(struct leat_survey_tag *tag, struct leat_span cell)
{
	char word[LEAT_SURVEY_WORD_MAX];
	size_t i;

	if (tag->words > LEAT_SURVEY_WORDS)
		return;
	leat_mask(word, sizeof(word), cell);
	for (i = 0; i < tag->words; i++)
		if (strcmp(word, tag->word[i]) == 0)
			return;
	if (tag->words < LEAT_SURVEY_WORDS)
		memcpy(tag->word[tag->words], word, sizeof(word));
	tag->words++;
}

/* Keeps the text of an extreme; longer ones are written with the digits that fit. */
static void
keep_text(char dst[24], const char *text, size_t len, double value)
{
	char all[LEAT_NUMBER_MAX];

	if (len >= 24) {
		len = leat_number_significant(all, value, 9);
		text = all;
	}
	if (len >= 24)
		len = 23;
	memcpy(dst, text, len);
	dst[len] = '\0';
}

static void
take_number(struct leat_survey_tag *tag, const char *text, size_t len, bool first)
{
	const char *point = memchr(text, '.', len);
	size_t decimals = point != NULL ? len - (size_t)(point - text) - 1 : 0;
	double value;

	if (leat_double_parse(leat_span_make(text, len), &value) != 0)
		return;
	tag->last_number = true;
	tag->last_decimals = (int)(decimals < 9 ? decimals : 9);
	tag->decimals[tag->last_decimals]++;
	tag->whole = tag->whole && value == floor(value);
	if (!first) {
		tag->rises += value > tag->value;
		tag->falls += value < tag->value;
	}
	if (first || value < tag->min) {
		tag->min = value;
		keep_text(tag->min_text, text, len, value);
	}
	if (first || value > tag->max) {
		tag->max = value;
		keep_text(tag->max_text, text, len, value);
	}
	tag->value = value;
}

/* A cell like the one before says nothing new. */
static void
take_again(struct leat_survey_tag *tag)
{
	if (tag->last_kind == LEAT_CELL_TEXT)
		tag->text++;
	else
		tag->numeric++;
	if (tag->last_number)
		tag->decimals[tag->last_decimals]++;
}

static void
take_value(struct leat_survey_tag *tag, const struct leat_export_form *form, const struct leat_sample *sample)
{
	bool changed = take_change(tag, sample->value, sample->time);
	char text[LEAT_NUMBER_MAX];
	struct leat_span unit = { NULL, 0 };
	size_t len;

	if (!changed && sample->value.len <= sizeof(tag->cell)) {
		take_again(tag);
		return;
	}
	tag->changes += changed && tag->count > 0;
	if (changed)
		take_distinct(tag, sample->value);
	tag->last_kind = leat_export_cell(form, sample->value, text, &len, &unit);
	tag->last_number = false;
	if (tag->last_kind == LEAT_CELL_TEXT) {
		tag->text++;
		if (changed)
			take_word(tag, sample->value);
	} else {
		tag->numeric++;
		if (tag->last_kind == LEAT_CELL_NUMBER)
			take_number(tag, text, len, tag->min_text[0] == '\0');
	}
	if (tag->unit[0] == '\0' && (sample->unit.len > 0 || unit.len > 0))
		leat_mask(tag->unit, sizeof(tag->unit), sample->unit.len > 0 ? sample->unit : unit);
}

int
leat_survey_take(struct leat_survey *survey, const struct leat_export_form *form, const struct leat_sample *sample)
{
	struct leat_survey_tag *tag;

	if (sample->tag_id >= survey->cap &&
	    leat_grow(&survey->tag, &survey->cap, (size_t)sample->tag_id + 1, sizeof(*survey->tag)) != 0)
		return -1;
	tag = &survey->tag[sample->tag_id];
	if (tag->count == 0) {
		if (begin(tag, sample) != 0)
			return -1;
	} else {
		take_time(tag, sample->time);
	}
	take_value(tag, form, sample);
	tag->count++;
	return 0;
}

void
leat_survey_free(struct leat_survey *survey)
{
	size_t i;

	for (i = 0; i < survey->cap; i++) {
		free(survey->tag[i].interval);
		free(survey->tag[i].distinct);
	}
	free(survey->tag);
	memset(survey, 0, sizeof(*survey));
}
