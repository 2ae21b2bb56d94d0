/* Rolling up: what of one series counts. */
#include <math.h>
#include <stdlib.h>

#include "derive/rollup_private.h"

static bool
chosen(const struct leat_rollup *rollup, const struct leat_reading *r)
{
	struct leat_buf path = { 0 };
	bool yes = rollup->ofs == 0;

	if (yes)
		return true;
	if (leat_buf_add_span(&path, r->asset) == 0 && leat_buf_add(&path, "/", 1) == 0 &&
	    leat_buf_add_span(&path, r->point) == 0)
		for (size_t i = 0; i < rollup->ofs && !yes; i++)
			yes = leat_glob(leat_span_of(rollup->of[i]), leat_buf_span(&path));
	leat_buf_free(&path);
	return yes;
}

int
leat_rollup_prepare(struct leat_rollup *rollup, const struct leat_reading *r)
{
	struct leat_rollup_series *s = &rollup->series[r->series];
	struct leat_span base, suffix;

	s->prepared = true;
	s->asset = r->asset_id;
	s->mill = rollup->current.latest[r->series].mill;
	s->hold_s = rollup->current.latest[r->series].hold_s;
	s->weighted.keep = rollup->quantiles > 0;
	s->chosen = !leat_rollup_statistic(r->point, &base, &suffix) && chosen(rollup, r);
	return 0;
}

static enum leat_rollup_form
form_of(const struct leat_rollup *rollup, const struct leat_reading *r, const struct leat_latest *latest)
{
	const struct leat_point_info *info = leat_point_find(r->point);

	if (info == NULL)
		return latest->is_number ? LEAT_ROLLUP_SLOPED :
		    leat_latest_switch(&rollup->current, latest) >= 0 ? LEAT_ROLLUP_SWITCH : LEAT_ROLLUP_WORD;
	return info->kind == LEAT_KIND_ANALOGUE ? LEAT_ROLLUP_SLOPED : info->kind == LEAT_KIND_STEP ? LEAT_ROLLUP_STEPPED :
	    info->kind == LEAT_KIND_SWITCH ? LEAT_ROLLUP_SWITCH : LEAT_ROLLUP_WORD;
}

/* What only a reading that is not bad can tell. */
static int
learn(struct leat_rollup *rollup, struct leat_rollup_series *s, const struct leat_reading *r,
    const struct leat_latest *latest)
{
	struct leat_rollup_mill *mill = &rollup->mill[s->mill];
	char *text;

	s->form = form_of(rollup, r, latest);
	s->until_changed = latest->until_changed && s->form != LEAT_ROLLUP_SLOPED;
	if (s->until_changed && (mill->shortest_s == 0 || s->hold_s < mill->shortest_s))
		mill->shortest_s = s->hold_s;
	text = leat_strndup(r->unit);
	if (text == NULL)
		return -1;
	s->unit_text = leat_span_make(text, r->unit.len);
	s->unit = latest->unit;
	return 0;
}

static int
other_unit(const struct leat_rollup_series *s, const struct leat_reading *r, struct leat_error *err)
{
	return leat_error_set(err, "'%.*s' of '%.*s' comes in '%.*s' after '%.*s', which cannot be converted",
	    (int)r->point.len, r->point.ptr, (int)r->asset.len, r->asset.ptr, (int)r->unit.len, r->unit.ptr,
	    (int)s->unit_text.len, s->unit_text.ptr);
}

/* The number of the reading in the unit of its series.  1; 0 when it is a word where a number is due; -1 with err. */
static int
number(struct leat_rollup *rollup, struct leat_rollup_series *s, const struct leat_reading *r,
    const struct leat_latest *latest, struct leat_error *err)
{
	int on;

	if (s->form == LEAT_ROLLUP_SWITCH) {
		on = leat_latest_switch(&rollup->current, latest);
		s->next = on;
		return on >= 0;
	}
	if (!latest->is_number)
		return 0;
	s->next = latest->number;
	s->next_decimals = latest->decimals;
	if (latest->unit == s->unit && (s->unit != NULL || leat_span_eq(r->unit, s->unit_text)))
		return 1;
	if (latest->unit == NULL || s->unit == NULL || !leat_unit_same_dimension(latest->unit, s->unit))
		return other_unit(s, r, err);
	s->next = leat_unit_convert(latest->unit, s->unit, latest->number);
	s->next_decimals += 2;
	return 1;
}

int
leat_rollup_note(struct leat_rollup *rollup, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_rollup_series *s = &rollup->series[r->series];
	const struct leat_latest *latest = &rollup->current.latest[r->series];
	int result;

	if (r->quality != LEAT_BAD && s->form == LEAT_ROLLUP_UNKNOWN && learn(rollup, s, r, latest) != 0)
		return leat_error_memory(err);
	if (s->form == LEAT_ROLLUP_WORD || s->form == LEAT_ROLLUP_UNKNOWN)
		return 0;
	if (!s->pending) {
		if (rollup->pendings == rollup->pending_cap &&
		    leat_grow(&rollup->pending, &rollup->pending_cap, rollup->pendings + 1, sizeof(*rollup->pending)) != 0)
			return leat_error_memory(err);
		rollup->pending[rollup->pendings++] = r->series;
		s->pending = true;
	}
	s->next_quality = r->quality == LEAT_UNCERTAIN && rollup->good_only ? LEAT_BAD : r->quality;
	if (s->next_quality == LEAT_BAD)
		return 0;
	result = number(rollup, s, r, latest, err);
	if (result == 0)
		s->next_quality = LEAT_BAD;
	return result < 0 ? -1 : 0;
}

static int
count(struct leat_rollup_series *s, double seconds, double from, double to, bool good)
{
	if (good)
		s->good_s += seconds;
	return leat_weighted_add(&s->weighted, seconds, from, to);
}

int
leat_rollup_hold(struct leat_rollup *rollup, struct leat_rollup_series *s, struct leat_time until)
{
	struct leat_time begins = s->until_changed ? rollup->mill[s->mill].last : s->at, last;
	double seconds;

	if (!s->has || !s->counting)
		return 0;
	/* The mill's own instant is taken in after its series. */
	if (leat_time_is_none(begins) || leat_time_cmp(begins, s->at) < 0)
		begins = s->at;
	last = leat_time_add(begins, s->hold_s);
	if (leat_time_cmp(until, last) > 0)
		until = last;
	if (leat_time_cmp(until, s->from) <= 0)
		return 0;
	seconds = leat_time_diff(until, s->from);
	s->from = until;
	return count(s, seconds, s->value, s->value, s->good);
}

/* Counts the straight line from the last value to the next, of span seconds, as far as it is not counted yet. */
static int
slope(struct leat_rollup *rollup, struct leat_rollup_series *s, double span, bool good)
{
	double value;

	if (leat_time_cmp(s->from, s->at) == 0)
		return count(s, span, s->value, s->next, good);
	value = s->value + (s->next - s->value) * (leat_time_diff(s->from, s->at) / span);
	return count(s, leat_time_diff(rollup->now, s->from), value, s->next, good);
}

int
leat_rollup_apply(struct leat_rollup *rollup, struct leat_rollup_series *s)
{
	double span;
	bool good = s->next_quality == LEAT_GOOD;

	s->pending = false;
	s->readings++;
	s->bad += s->next_quality == LEAT_BAD;
	span = s->has ? leat_time_diff(rollup->now, s->at) : 0;
	if (s->form == LEAT_ROLLUP_SLOPED && s->next_quality != LEAT_BAD && s->has && s->counting && span > 0 &&
	    span <= s->hold_s) {
		if (slope(rollup, s, span, s->good && good) != 0)
			return -1;
	} else if (leat_rollup_hold(rollup, s, rollup->now) != 0) {
		return -1;
	}
	s->has = s->next_quality != LEAT_BAD;
	if (!s->has)
		return 0;
	s->at = s->from = rollup->now;
	s->value = s->next;
	s->good = good;
	s->decimals = s->next_decimals;
	if (s->decimals > s->most_decimals)
		s->most_decimals = s->decimals;
	s->counting = rollup->asset[s->asset].open;
	return 0;
}
