/* Nights in: activations of each identity, and forecasts. */
#include "judge/replay_private.h"

#include <math.h>
#include <stdlib.h>

struct leat_replay *
leat_replay_new(const struct leat_replay_form *form)
{
	struct leat_replay *replay = calloc(1, sizeof(*replay));

	if (replay == NULL)
		return NULL;
	replay->form = *form;
	replay->first = replay->last = replay->diagnosed_last = LEAT_TIME_NONE;
	return replay;
}

void
leat_replay_free(struct leat_replay *replay)
{
	if (replay == NULL)
		return;
	for (size_t i = 0; i < replay->items; i++) {
		free(replay->item[i].act);
		free(replay->item[i].value);
	}
	free(replay->item);
	free(replay->item_of);
	free(replay->forecast);
	free(replay->diagnosis);
	free(replay->night);
	leat_names_free(&replay->names);
	free(replay);
}

size_t
leat_replay_nights(const struct leat_replay *replay)
{
	return replay->nights;
}

/* A text that stays as long as the replay. */
static int
stay(struct leat_replay *replay, struct leat_span text, struct leat_span *kept)
{
	uint32_t id = leat_names_put(&replay->names, text);

	if (id == LEAT_NAME_NONE)
		return -1;
	*kept = replay->names.name[id];
	return 0;
}

/* The identity of a finding; NULL when memory is out. */
static struct leat_replay_item *
item_of(struct leat_replay *replay, const struct leat_finding *f, struct leat_buf *key)
{
	uint32_t id;
	struct leat_replay_item *item;

	leat_buf_reset(key);
	/* No name holds a line feed. */
	if (leat_buf_add_span(key, f->asset) != 0 || leat_buf_add(key, "\n", 1) != 0 ||
	    leat_buf_add_span(key, f->point) != 0 || leat_buf_add(key, "\n", 1) != 0 || leat_buf_add_span(key, f->rule) != 0)
		return NULL;
	id = leat_names_put(&replay->names, leat_buf_span(key));
	if (id == LEAT_NAME_NONE ||
	    leat_grow(&replay->item_of, &replay->item_of_cap, (size_t)id + 1, sizeof(*replay->item_of)) != 0)
		return NULL;
	if (replay->item_of[id] > 0)
		return &replay->item[replay->item_of[id] - 1];
	if (leat_grow(&replay->item, &replay->cap, replay->items + 1, sizeof(*replay->item)) != 0)
		return NULL;
	item = &replay->item[replay->items];
	*item = (struct leat_replay_item){
		.night = LEAT_TIME_NONE, .limit = LEAT_NAME_NONE
	};
	if (stay(replay, f->asset, &item->asset) != 0 || stay(replay, f->point, &item->point) != 0 ||
	    stay(replay, f->rule, &item->rule) != 0)
		return NULL;
	replay->item_of[id] = (uint32_t)++replay->items;
	return item;
}

static bool
earlier(struct leat_time a, struct leat_time b)
{
	return leat_time_is_none(b) || leat_time_cmp(a, b) < 0;
}

static struct leat_time
latest(struct leat_time a, struct leat_time b)
{
	return leat_time_cmp(a, b) > 0 ? a : b;
}

/* Is it the same activation: overlapping, or told again the next night? */
static bool
continues(const struct leat_activation *a, struct leat_time since, struct leat_time until)
{
	return leat_time_diff(since, a->until) <= 0 && leat_time_diff(until, a->since) >= 0;
}

/* The activation that the finding is of: one there was, or a new one.  NULL when memory is out. */
static struct leat_activation *
activate(struct leat_replay_item *item, struct leat_time night, const struct leat_finding *f)
{
	bool open = leat_time_is_none(f->until);
	struct leat_time until = open ? night : f->until;
	struct leat_time since = leat_time_is_none(f->since) ? f->time : f->since;
	struct leat_activation *a;

	since = leat_time_cmp(since, until) > 0 ? until : since;
	for (size_t i = item->acts; i-- > 0;) {
		a = &item->act[i];
		/* The start of what stands may be told anew each night. */
		if (!continues(a, since, until) &&
		    !(open && i + 1 == item->acts && leat_time_cmp(a->until, a->last) >= 0 &&
		    leat_time_diff(night, a->last) <= LEAT_REPLAY_NEAR_S))
			continue;
		a->until = latest(a->until, until);
		a->stood = a->stood || open;
		if (open)
			a->last = night;
		return a;
	}
	if (leat_grow(&item->act, &item->cap, item->acts + 1, sizeof(*item->act)) != 0)
		return NULL;
	a = &item->act[item->acts++];
	*a = (struct leat_activation){
		.since = since, .until = until, .first = night, .last = night, .alert = LEAT_TIME_NONE, .alarm = LEAT_TIME_NONE,
		.stood = open
	};
	return a;
}

/* The limit itself was reached where a value is told beside it; a date ahead has none. */
static int
note_limit(struct leat_replay *replay, struct leat_replay_item *item, struct leat_activation *a, const struct leat_finding *f,
    struct leat_buf *text)
{
	struct leat_time at = leat_time_is_none(f->time) ? f->since : f->time;

	if (f->limit.len == 0)
		return 0;
	leat_buf_reset(text);
	if (leat_buf_add_span(text, f->limit) != 0 ||
	    (f->unit.len > 0 && (leat_buf_add(text, " ", 1) != 0 || leat_buf_add_span(text, f->unit) != 0)))
		return -1;
	item->limit = leat_names_put(&replay->names, leat_buf_span(text));
	if (f->value.len > 0 && earlier(at, a->alert))
		a->alert = at;
	if (f->value.len > 0 && f->status == LEAT_STATUS_ALARM && earlier(at, a->alarm))
		a->alarm = at;
	return item->limit == LEAT_NAME_NONE ? -1 : 0;
}

static int
note_forecast(struct leat_replay *replay, uint32_t item, struct leat_time night, const struct leat_finding *f)
{
	if (leat_time_is_none(f->likely) || f->status == LEAT_STATUS_ALARM || f->status == LEAT_STATUS_UNKNOWN)
		return 0;
	if (leat_grow(&replay->forecast, &replay->forecast_cap, replay->forecasts + 1, sizeof(*replay->forecast)) != 0)
		return -1;
	replay->forecast[replay->forecasts++] = (struct leat_replay_forecast){ item, night, f->early, f->likely, f->late };
	return 0;
}

/* Notes which nights had a new daily value. */
static int
note_values(struct leat_replay_item *item, struct leat_time night, const struct leat_finding *f)
{
	if (isnan(f->values) || !leat_time_is_none(f->until))
		return 0;
	if (f->values < item->n) {
		item->renewals++;
		item->n = 0;
	}
	/* Of those before the first night it is not known when they came. */
	if (item->values == 0)
		item->n = fmax(item->n, f->values - 1);
	while (item->n < f->values) {
		if (leat_grow(&item->value, &item->value_cap, item->values + 1, sizeof(*item->value)) != 0)
			return -1;
		item->value[item->values++] = (struct leat_replay_value){ night, item->renewals };
		item->n++;
	}
	return 0;
}

/* Counts nights, each once. */
static void
count_night(struct leat_replay_item *item, struct leat_time night, const struct leat_finding *f)
{
	bool active = (f->status == LEAT_STATUS_ALERT || f->status == LEAT_STATUS_ALARM) && leat_time_is_none(f->until);

	if (leat_time_cmp(item->night, night) != 0) {
		item->night = night;
		item->was_active = item->was_unknown = item->was_judged = false;
	}
	item->judged += !item->was_judged;
	item->was_judged = true;
	item->active += active && !item->was_active;
	item->was_active = item->was_active || active;
	item->unknown += f->status == LEAT_STATUS_UNKNOWN && !item->was_unknown;
	item->was_unknown = item->was_unknown || f->status == LEAT_STATUS_UNKNOWN;
}

static int
take_one(struct leat_replay *replay, struct leat_time night, const struct leat_finding *f, struct leat_buf *text)
{
	struct leat_replay_item *item = item_of(replay, f, text);
	struct leat_activation *a;

	if (item == NULL)
		return -1;
	count_night(item, night, f);
	if (note_forecast(replay, (uint32_t)(item - replay->item), night, f) != 0 || note_values(item, night, f) != 0)
		return -1;
	if (f->status != LEAT_STATUS_ALERT && f->status != LEAT_STATUS_ALARM)
		return 0;
	a = activate(item, night, f);
	return a == NULL ? -1 : note_limit(replay, item, a, f, text);
}

int
leat_replay_take(struct leat_replay *replay, struct leat_time night, const struct leat_findings *findings)
{
	struct leat_buf text = { 0 };
	int result = 0;

	if (leat_time_cmp(night, replay->last) != 0) {
		if (leat_grow(&replay->night, &replay->night_cap, replay->nights + 1, sizeof(*replay->night)) != 0)
			return -1;
		replay->night[replay->nights++] = night;
	}
	if (leat_time_is_none(replay->first))
		replay->first = night;
	replay->last = night;
	for (size_t i = 0; i < findings->count && result == 0; i++)
		result = leat_replay_is_diagnosis(&findings->item[i]) ?
		    leat_replay_take_diagnosis(replay, night, &findings->item[i]) :
		    take_one(replay, night, &findings->item[i], &text);
	leat_buf_free(&text);
	return result;
}
