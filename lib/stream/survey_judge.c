/*
 * What an export holds, tag by tag: step, gaps, likely kind and states from what was taken in.
 */
#include <stdio.h>
#include <string.h>

#include "stream/survey.h"

/* A counter has risen so often, and fallen at most once in so many rises. */
#define COUNTER_RISES 20
#define COUNTER_FALLS 100
/* A value that steps changes at most once in so many samples. */
#define STEP_SAMPLES 20
#define STEP_VALUES 20

double
leat_survey_step(const struct leat_survey_tag *tag, bool *exact)
{
	const struct leat_survey_class *c;
	long long before = 0;
	int i;

	*exact = true;
	if (tag->intervals == 0)
		return -1;
	for (i = 0; i < LEAT_SURVEY_CLASSES; i++) {
		c = &tag->interval[i];
		before += c->count;
		if (before * 2 < tag->intervals)
			continue;
		*exact = !(c->least < c->most);
		return *exact ? c->least : ((double)c->least + (double)c->most) / 2;
	}
	return tag->longest_s;
}

long long
leat_survey_gaps(const struct leat_survey_tag *tag)
{
	bool exact;
	double limit = LEAT_SURVEY_GAP * leat_survey_step(tag, &exact);
	long long gaps = 0;
	int i;

	if (tag->intervals == 0 || limit <= 0)
		return 0;
	for (i = 0; i < LEAT_SURVEY_CLASSES; i++)
		if (tag->interval[i].count > 0 && (double)tag->interval[i].least > limit * (1 + 1e-6))
			gaps += tag->interval[i].count;
	return gaps;
}

/* Words that say plainly that something is on, or off.  Open and closed are not among them: of a valve and of a
 * breaker they mean opposite things.  Common practice. */
static const char *const on_words[] = {
	"1", "active", "enabled", "on", "run", "running", "started", "true", "yes",
	"betrieb", "ein", "ja", "l\xc3\xa4uft", "marche", "marcha", "oui"
};

static const char *const off_words[] = {
	"0", "disabled", "false", "halted", "inactive", "no", "off", "stop", "stopped",
	"arr\xc3\xaat", "aus", "halt", "nein", "non", "paro", "steht"
};

static bool
in_list(const char *text, const char *const *list, size_t count)
{
	size_t i;

	for (i = 0; i < count; i++)
		if (leat_span_is_nocase(leat_span_of(text), list[i]))
			return true;
	return false;
}

static const char *
state_of(const char *text)
{
	if (in_list(text, on_words, sizeof(on_words) / sizeof(on_words[0])))
		return "on";
	return in_list(text, off_words, sizeof(off_words) / sizeof(off_words[0])) ? "off" : "";
}

/* One word that says on or off, or two that are no codes. */
static bool
is_switch_text(const struct leat_survey_tag *tag)
{
	size_t i;

	if (tag->numeric > 0 || tag->words > 2)
		return false;
	if (tag->words == 1)
		return *state_of(tag->word[0]) != '\0';
	for (i = 0; i < tag->words; i++)
		if (strpbrk(tag->word[i], "0123456789") != NULL)
			return false;
	return true;
}

static bool
is_switch_number(const struct leat_survey_tag *tag)
{
	return tag->whole && tag->distincts <= 2 && tag->min >= 0 && tag->max <= 1 && tag->min < tag->max;
}

enum leat_survey_kind
leat_survey_kind(const struct leat_survey_tag *tag)
{
	if (tag->count == 0)
		return LEAT_SURVEY_NOTHING;
	/* Texts among numbers are states of the measuring system. */
	if (tag->text > tag->numeric)
		return is_switch_text(tag) ? LEAT_SURVEY_SWITCH : LEAT_SURVEY_WORD;
	if (is_switch_number(tag))
		return LEAT_SURVEY_SWITCH;
	if (tag->rises >= COUNTER_RISES && tag->falls * COUNTER_FALLS <= tag->rises)
		return LEAT_SURVEY_COUNTER;
	if (tag->distincts <= STEP_VALUES && tag->count >= STEP_SAMPLES && tag->changes * STEP_SAMPLES <= tag->count)
		return LEAT_SURVEY_STEP;
	return LEAT_SURVEY_ANALOGUE;
}

const char *
leat_survey_kind_name(enum leat_survey_kind kind)
{
	static const char *const name[] = { "", "analogue", "switch", "step", "counter", "word" };

	return name[kind];
}

int
leat_survey_decimals(const struct leat_survey_tag *tag)
{
	long long most = 0;
	int i, best = -1;

	for (i = 0; i < 10; i++) {
		if (tag->decimals[i] > most) {
			most = tag->decimals[i];
			best = i;
		}
	}
	return best;
}

char *
leat_survey_states(const struct leat_survey_tag *tag, char *dst, size_t size)
{
	const char *text[2] = { "1", "0" };
	const char *state[2];
	size_t i, count = 2;

	dst[0] = '\0';
	if (leat_survey_kind(tag) != LEAT_SURVEY_SWITCH)
		return dst;
	if (tag->numeric == 0) {
		count = tag->words;
		for (i = 0; i < count; i++)
			text[i] = tag->word[i];
	}
	for (i = 0; i < count; i++)
		state[i] = state_of(text[i]);
	/* Two words for one state, or one that is not known, leave the map to a person. */
	if (count == 2 && (*state[0] == '\0' || *state[1] == '\0' || strcmp(state[0], state[1]) == 0))
		state[0] = state[1] = "";
	if (count == 2)
		snprintf(dst, size, "%s=%s|%s=%s", text[0], state[0], text[1], state[1]);
	else
		snprintf(dst, size, "%s=%s", text[0], state[0]);
	return dst;
}
