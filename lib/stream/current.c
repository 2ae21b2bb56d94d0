/* The latest reading of every series. */
#include <math.h>
#include <stdlib.h>

#include "base/word.h"
#include "stream/current.h"

/* How long a mill may be silent before its switches count as unknown, and how long an unlisted number is valid. */
#define HOLD_DEFAULT_S 900.0

/* How long a thermometer may show the same, as limits.csv has it, and in how many readings. */
#define FROZEN_S (12 * 3600.0)
#define FROZEN_LEAST 60

/* Longest path built from a parent and a child. */
#define PATH_LENGTH 512

void
leat_current_init(struct leat_current *current, struct leat_readings *in, const struct leat_points *points)
{
	memset(current, 0, sizeof(*current));
	current->in = in;
	current->points = points;
}

/* What is fixed for a series is found once, at its first reading. */
static LEAT_APART int
prepare(struct leat_current *current, struct leat_latest *latest, const struct leat_reading *r)
{
	const struct leat_point_info *info = leat_point_find(r->point);
	size_t mills = current->mills.count;

	latest->mill = leat_names_put(&current->mills, leat_asset_mill(r->asset));
	if (latest->mill == LEAT_NAME_NONE ||
	    leat_grow(&current->mill_seen, &current->mill_cap, current->mills.count, sizeof(*current->mill_seen)) != 0)
		return -1;
	if (latest->mill >= mills)
		current->mill_seen[latest->mill] = LEAT_TIME_NONE;
	latest->hold_s = leat_points_hold(current->points, r->asset, r->point);
	latest->listed = info != NULL;
	if (info != NULL)
		latest->until_changed = info->kind == LEAT_KIND_SWITCH || info->kind == LEAT_KIND_WORD ||
		    info->hold_s <= 0;
	if (latest->hold_s <= 0)
		latest->hold_s = HOLD_DEFAULT_S;
	latest->word = LEAT_NAME_NONE;
	latest->prepared = true;
	return 0;
}

/* The unit of the reading; the text is compared with the one before, because looking a unit up is slow. */
static inline bool
same_unit(const struct leat_latest *latest, struct leat_span text)
{
	if (text.len != latest->unit_len || text.len > sizeof(latest->unit_text))
		return false;
	if (text.len - 1 < sizeof(uint64_t))
		return leat_word_load(latest->unit_text) == leat_word_short(text.ptr, text.len);
	return text.len == 0 || memcmp(text.ptr, latest->unit_text, text.len) == 0;
}

static void
new_unit(struct leat_latest *latest, struct leat_span text)
{
	latest->unit = text.len > 0 ? leat_unit_find(text) : NULL;
	/* A text that does not fit is looked up each time; no unit's name is that long. */
	latest->unit_len = text.len <= sizeof(latest->unit_text) ? (uint8_t)text.len : UINT8_MAX;
	memset(latest->unit_text, 0, sizeof(latest->unit_text));
	if (latest->unit_len != UINT8_MAX && text.len > 0)
		memcpy(latest->unit_text, text.ptr, text.len);
}

/* LEAT_NAME_NONE without failing when the word is too long or there are too many. */
static int
take_word(struct leat_current *current, struct leat_latest *latest, struct leat_span text)
{
	/* Most words repeat the one before. */
	if (latest->word != LEAT_NAME_NONE && leat_span_eq(current->words.name[latest->word], text))
		return 0;
	latest->word = LEAT_NAME_NONE;
	if (text.len > LEAT_CURRENT_WORD_LENGTH)
		return 0;
	latest->word = leat_names_get(&current->words, text);
	if (latest->word != LEAT_NAME_NONE || current->words.count >= LEAT_CURRENT_WORDS)
		return 0;
	latest->word = leat_names_put(&current->words, text);
	return latest->word == LEAT_NAME_NONE ? -1 : 0;
}

/* The latest of a reading's series; NULL when memory is out. */
static LEAT_INLINE struct leat_latest *
latest_of(struct leat_current *current, const struct leat_reading *r)
{
	struct leat_latest *latest;

	if (r->series >= current->cap &&
	    leat_grow(&current->latest, &current->cap, (size_t)r->series + 1, sizeof(*current->latest)) != 0)
		return NULL;
	latest = &current->latest[r->series];
	return latest->prepared || prepare(current, latest, r) == 0 ? latest : NULL;
}

int
leat_current_report(struct leat_current *current, const struct leat_reading *r)
{
	const struct leat_latest *latest = latest_of(current, r);

	if (latest == NULL)
		return -1;
	if (r->quality != LEAT_BAD)
		current->mill_seen[latest->mill] = r->time;
	return 0;
}

int
leat_current_pass(struct leat_current *current, const struct leat_reading *r)
{
	return leat_current_report(current, r) != 0 ? -1 :
	    leat_readings_pass(current->in, r, current->latest[r->series].mill);
}

/* Takes the number, and for how long it has been the same. */
static LEAT_INLINE void
take_number(struct leat_latest *latest, const struct leat_reading *r)
{
	double before = latest->is_number ? latest->number : NAN;

	latest->is_number = leat_double_decimals(r->value, &latest->number, &latest->decimals) == 0;
	if (latest->is_number && latest->number == before) {
		latest->same++;
		return;
	}
	latest->same_since = r->time;
	latest->same = 1;
	latest->fine = latest->fine || (latest->is_number && latest->number != floor(latest->number));
}

/* Takes the reading of a series into its latest. */
static LEAT_INLINE int
take(struct leat_current *current, struct leat_latest *latest, const struct leat_reading *r)
{
	if (r->quality == LEAT_BAD) {
		if (leat_time_is_none(latest->bad_since))
			latest->bad_since = r->time;
		return 0;
	}
	latest->time = r->time;
	latest->quality = r->quality;
	latest->bad_since = LEAT_TIME_NONE;
	current->mill_seen[latest->mill] = r->time;
	take_number(latest, r);
	if (!latest->listed)
		latest->until_changed = !latest->is_number;
	if (!same_unit(latest, r->unit))
		new_unit(latest, r->unit);
	return latest->is_number ? 0 : take_word(current, latest, r->value);
}

/* Has the reading that made the latest of what was before left it as it was, for all that a gate can ask of it? */
static bool
stayed(const struct leat_latest *before, const struct leat_latest *latest)
{
	return leat_time_is_none(before->bad_since) && leat_time_is_none(latest->bad_since) &&
	    before->until_changed == latest->until_changed && before->is_number == latest->is_number &&
	    (latest->is_number ? before->number == latest->number : before->word == latest->word) &&
	    before->unit == latest->unit;
}

static LEAT_APART int
take_watched(struct leat_current *current, struct leat_latest *latest, const struct leat_reading *r)
{
	const struct leat_latest before = *latest;
	bool held = leat_current_series(current, r->series, r->time) != NULL;
	int result = take(current, latest, r);

	current->turns += !held || !stayed(&before, latest);
	return result;
}

int
leat_current_put(struct leat_current *current, const struct leat_reading *r)
{
	struct leat_latest *latest = latest_of(current, r);

	if (latest == NULL)
		return -1;
	if (!latest->seen) {
		latest->seen = true;
		latest->bad_since = LEAT_TIME_NONE;
		current->seen++;
		current->turns++;
	}
	return latest->watched ? take_watched(current, latest, r) : take(current, latest, r);
}

/* From when the hold of a latest reading counts.  A reading of quality bad says nothing, so the value before it lives out
 * its hold; for what holds until changed, that is the hold after the first bad one. */
static struct leat_time
hold_begins(const struct leat_current *current, const struct leat_latest *latest)
{
	if (!latest->until_changed)
		return latest->time;
	if (leat_time_is_none(latest->bad_since))
		return current->mill_seen[latest->mill];
	return leat_time_cmp(latest->bad_since, current->mill_seen[latest->mill]) < 0 ? latest->bad_since :
	    current->mill_seen[latest->mill];
}

const struct leat_latest *
leat_current_series(const struct leat_current *current, uint32_t series, struct leat_time now)
{
	const struct leat_latest *latest;

	if (series >= current->cap)
		return NULL;
	latest = &current->latest[series];
	if (!latest->seen || latest->quality == LEAT_BAD)
		return NULL;
	return leat_time_diff(now, hold_begins(current, latest)) <= latest->hold_s ? latest : NULL;
}

struct leat_time
leat_current_expiry(const struct leat_current *current, uint32_t series)
{
	const struct leat_latest *latest;

	if (series >= current->cap)
		return LEAT_TIME_NONE;
	latest = &current->latest[series];
	if (!latest->seen || latest->quality == LEAT_BAD)
		return LEAT_TIME_NONE;
	return leat_time_add(hold_begins(current, latest), latest->hold_s);
}

/* The number of the asset, or of child below it; LEAT_NAME_NONE when no reading ever had it. */
static uint32_t
asset_number(const struct leat_current *current, struct leat_span asset, struct leat_span child)
{
	const struct leat_names *assets = leat_readings_assets(current->in);
	char path[PATH_LENGTH];

	if (child.len == 0)
		return leat_names_get(assets, asset);
	if (asset.len + 1 + child.len > sizeof(path))
		return LEAT_NAME_NONE;
	memcpy(path, asset.ptr, asset.len);
	path[asset.len] = '/';
	memcpy(path + asset.len + 1, child.ptr, child.len);
	return leat_names_get(assets, leat_span_make(path, asset.len + 1 + child.len));
}

uint32_t
leat_current_resolve(const struct leat_current *current, struct leat_span asset, struct leat_span child,
    struct leat_span point)
{
	uint32_t number = leat_names_get(leat_readings_points(current->in), point);

	if (number == LEAT_NAME_NONE)
		return LEAT_NAME_NONE;
	do {
		uint32_t at = asset_number(current, asset, child), series;

		if (at == LEAT_NAME_NONE)
			continue;
		series = leat_pairs_get(leat_readings_series(current->in), at, number);
		if (series != LEAT_NAME_NONE && series < current->cap && current->latest[series].seen)
			return series;
	} while (leat_asset_parent(asset, &asset));
	return LEAT_NAME_NONE;
}

uint32_t
leat_current_at(const struct leat_current *current, struct leat_span asset, struct leat_span point)
{
	uint32_t a = leat_names_get(leat_readings_assets(current->in), asset);
	uint32_t p = leat_names_get(leat_readings_points(current->in), point), series;

	if (a == LEAT_NAME_NONE || p == LEAT_NAME_NONE)
		return LEAT_NAME_NONE;
	series = leat_pairs_get(leat_readings_series(current->in), a, p);
	return series != LEAT_NAME_NONE && series < current->cap && current->latest[series].seen ? series : LEAT_NAME_NONE;
}

uint32_t
leat_current_word(struct leat_current *current, struct leat_span text)
{
	return leat_names_put(&current->words, text);
}

bool
leat_latest_is_frozen(const struct leat_latest *latest)
{
	return latest->fine && latest->is_number && latest->same >= FROZEN_LEAST &&
	    leat_time_diff(latest->time, latest->same_since) >= FROZEN_S;
}

int
leat_latest_switch(const struct leat_current *current, const struct leat_latest *latest)
{
	struct leat_span word;

	if (latest->is_number)
		return latest->number != 0;
	if (latest->word == LEAT_NAME_NONE)
		return -1;
	word = current->words.name[latest->word];
	if (leat_span_is_nocase(word, "on") || leat_span_is_nocase(word, "true"))
		return 1;
	if (leat_span_is_nocase(word, "off") || leat_span_is_nocase(word, "false"))
		return 0;
	return -1;
}

int
leat_current_switch(const struct leat_current *current, uint32_t series, struct leat_time at, bool *uncertain)
{
	const struct leat_latest *latest = leat_current_series(current, series, at);

	if (latest == NULL)
		return -1;
	*uncertain = *uncertain || latest->quality != LEAT_GOOD;
	return leat_latest_switch(current, latest);
}

void
leat_current_free(struct leat_current *current)
{
	free(current->latest);
	free(current->mill_seen);
	leat_names_free(&current->words);
	leat_names_free(&current->mills);
	memset(current, 0, sizeof(*current));
}
