/*
 * Past forecasts against the day on which the limit was reached.
 *
 * A forecast is of the alarm limit of its rule, of the alert limit where the rule has no alarm.  Between its night and
 * that day nothing may have been renewed.  Where the limit was not reached before the next work or the last night, the
 * forecast was too early when its P90 had passed by then, and is undecided otherwise.
 *
 * What is foretold is when the level is at its limit, and the level, a median of the last values, is that of the middle one:
 * a night on which the limit is reached tells what was so some values ago.  How long ago is not the same for all, since days
 * may have no value; the nights on which the number of daily values grew tell it.  In the same way a night on which the limit
 * is not reached tells that of the middle value, and nothing of the time since.  A value is of one day and was not yet there
 * the day before: the instant is known to half a day either way, and a range that comes so near to it holds it.
 */
#include <math.h>
#include <stdlib.h>

#include "judge/replay_private.h"
#include "judge/trend.h"
#include "stats/exact.h"
#include "stream/points.h"

#define CONFIDENCE 0.90
/* The forecast so many days ahead is that of the night nearest to it, within half a week. */
#define NEAR_DAYS 3.5
#define ROWS_AT_ONCE 64

static const double leads[] = { 60, 30, 14 };
#define LEADS (sizeof(leads) / sizeof(leads[0]))

enum outcome { INSIDE, EARLY, LATE, UNDECIDED };

struct tally {
	long count[4];
	long errors;
	double error, bias;
};

static bool
has_alarm(const struct leat_replay *replay, const struct leat_replay_item *item)
{
	const struct leat_trends *trends = replay->form.trends;
	size_t index[ROWS_AT_ONCE], found;

	if (trends == NULL)
		return true;
	found = leat_trends_for(trends, item->asset, item->point, index, ROWS_AT_ONCE);
	for (size_t i = 0; i < found && i < ROWS_AT_ONCE; i++)
		if (leat_span_eq(trends->row[index[i]].rule.name, item->rule))
			return trends->row[index[i]].has_alarm;
	return true;
}

#define HALF_DAY_S (0.5 * LEAT_REPLAY_DAY_S)

/* The last daily value that was there at that instant; item->values: there was none. */
static size_t
last_value(const struct leat_replay_item *item, struct leat_time at)
{
	size_t i = item->values;

	while (i > 0 && leat_time_cmp(item->value[i - 1].night, at) > 0)
		i--;
	return i > 0 ? i - 1 : item->values;
}

/* The instant of which the level tells whose newest value is that of a night. */
static struct leat_time
middle_of(const struct leat_replay_item *item, size_t value, struct leat_time night)
{
	bool rare = leat_points_hold(NULL, item->asset, item->point) > LEAT_TREND_RARE_S;
	size_t before = ((rare ? LEAT_TREND_RARE_LEVEL : LEAT_TREND_LEVEL) - 1) / 2;
	double lag_s = (double)before * LEAT_REPLAY_DAY_S;

	if (value < item->values && value >= before && item->value[value].renewals == item->value[value - before].renewals)
		lag_s = leat_time_diff(item->value[value].night, item->value[value - before].night);
	return leat_time_add(night, -lag_s - HALF_DAY_S);
}

/* When the limit was first reached after that night and up to that instant, as nights tell it; LEAT_TIME_NONE: it was not. */
static struct leat_time
reached(const struct leat_replay_item *item, bool alarm, struct leat_time night, struct leat_time end)
{
	struct leat_time first = LEAT_TIME_NONE;

	for (size_t i = 0; i < item->acts; i++) {
		struct leat_time at = alarm ? item->act[i].alarm : item->act[i].alert;

		if (!leat_time_is_none(at) && leat_time_cmp(at, night) > 0 && leat_time_cmp(at, end) <= 0 &&
		    (leat_time_is_none(first) || leat_time_cmp(at, first) < 0))
			first = at;
	}
	return first;
}

/* The next work on the item after that night, else the last night. */
static struct leat_time
end_of(const struct leat_replay *replay, const struct leat_replay_item *item, struct leat_time night)
{
	const struct leat_logbook *book = replay->form.book;

	for (size_t i = 0; book != NULL && i < book->count; i++)
		if (leat_time_cmp(book->entry[i].time, night) > 0 && leat_replay_worked(replay, &book->entry[i], item))
			return leat_time_cmp(book->entry[i].time, replay->last) < 0 ? book->entry[i].time : replay->last;
	return replay->last;
}

/* at: when it was reached; LEAT_TIME_NONE: it was not up to end. */
static enum outcome
judge(const struct leat_replay_forecast *f, struct leat_time at, struct leat_time end)
{
	if (leat_time_is_none(at))
		return !leat_time_is_none(f->late) && leat_time_diff(end, f->late) > HALF_DAY_S ? EARLY : UNDECIDED;
	if (!leat_time_is_none(f->early) && leat_time_diff(f->early, at) > HALF_DAY_S)
		return LATE;
	return !leat_time_is_none(f->late) && leat_time_diff(at, f->late) > HALF_DAY_S ? EARLY : INSIDE;
}

/* Is there a forecast of the same nearer to so many days before at? */
static bool
is_nearest(const struct leat_replay *replay, size_t i, struct leat_time at, double lead)
{
	const struct leat_replay_forecast *f = &replay->forecast[i];
	double miss = fabs(leat_time_diff(at, f->night) / LEAT_REPLAY_DAY_S - lead);

	if (miss > NEAR_DAYS)
		return false;
	for (size_t k = 0; k < replay->forecasts; k++) {
		double other = fabs(leat_time_diff(at, replay->forecast[k].night) / LEAT_REPLAY_DAY_S - lead);

		if (replay->forecast[k].item == f->item && (other < miss || (other == miss && k < i)))
			return false;
	}
	return true;
}

static void
put(struct tally *t, enum outcome outcome, double error_d)
{
	t->count[outcome]++;
	if (isnan(error_d))
		return;
	t->errors++;
	t->error += fabs(error_d);
	t->bias += error_d;
}

/* Adds the forecasts of one identity: tally[0..LEADS-1] by lead, tally[LEADS] all. */
static void
tally_item(const struct leat_replay *replay, uint32_t number, struct tally *tally)
{
	const struct leat_replay_item *item = &replay->item[number];
	bool alarm = has_alarm(replay, item);

	for (size_t i = 0; i < replay->forecasts; i++) {
		const struct leat_replay_forecast *f = &replay->forecast[i];
		struct leat_time end, at;
		double error;

		/* A date that has passed is of a limit that stands already. */
		if (f->item != number || leat_time_cmp(f->likely, f->night) <= 0)
			continue;
		end = end_of(replay, item, f->night);
		at = reached(item, alarm, f->night, end);
		if (leat_time_is_none(at)) {
			size_t last = last_value(item, end);

			end = middle_of(item, last, last < item->values ? item->value[last].night : end);
		} else {
			/* The value came with the night after it. */
			at = middle_of(item, last_value(item, leat_time_add(at, LEAT_REPLAY_DAY_S)), at);
			/* The level was there already. */
			if (leat_time_cmp(at, f->night) <= 0)
				continue;
		}
		error = leat_time_is_none(at) ? NAN : leat_time_diff(f->likely, at) / LEAT_REPLAY_DAY_S;
		put(&tally[LEADS], judge(f, at, end), error);
		for (size_t k = 0; k < LEADS && !leat_time_is_none(at); k++)
			if (is_nearest(replay, i, at, leads[k]))
				put(&tally[k], judge(f, at, end), error);
	}
}

static void
write_tally(struct leat_span set, struct leat_span rule, struct leat_span asset, size_t lead, const struct tally *t,
    struct leat_tabular *g)
{
	long n = t->count[INSIDE] + t->count[EARLY] + t->count[LATE];
	double low = NAN, high = NAN;

	if (n + t->count[UNDECIDED] == 0)
		return;
	/* Forecasts of one failure on many nights are no independent trials, so that they have no interval. */
	if (n > 0 && lead < LEADS)
		leat_share_interval(t->count[INSIDE], n, CONFIDENCE, &low, &high);
	leat_tabular_span(g, set);
	leat_tabular_span(g, rule);
	leat_tabular_span(g, asset);
	if (lead < LEADS)
		leat_tabular_number(g, leads[lead], 0);
	else
		leat_tabular_text(g, "all");
	leat_tabular_count(g, n + t->count[UNDECIDED]);
	for (int i = INSIDE; i <= UNDECIDED; i++)
		leat_tabular_count(g, t->count[i]);
	leat_tabular_number(g, n > 0 ? 100.0 * (double)t->count[INSIDE] / (double)n : NAN, 0);
	leat_tabular_number(g, 100 * low, 0);
	leat_tabular_number(g, 100 * high, 0);
	leat_tabular_number(g, t->errors > 0 ? t->error / (double)t->errors : NAN, 1);
	leat_tabular_number(g, t->errors > 0 ? t->bias / (double)t->errors : NAN, 1);
}

static void
sum_up(struct tally *sum, const struct tally *t)
{
	for (size_t k = 0; k <= LEADS; k++) {
		for (int i = INSIDE; i <= UNDECIDED; i++)
			sum[k].count[i] += t[k].count[i];
		sum[k].errors += t[k].errors;
		sum[k].error += t[k].error;
		sum[k].bias += t[k].bias;
	}
}

int
leat_replay_forecasts(struct leat_replay *replay, struct leat_span set, struct leat_tabular *g)
{
	const struct leat_replay_item **order = leat_replay_in_order(replay);
	struct tally all[LEADS + 1] = { { { 0 }, 0, 0, 0 } };

	if (order == NULL)
		return -1;
	for (size_t i = 0; i < replay->items; i++) {
		struct tally t[LEADS + 1] = { { { 0 }, 0, 0, 0 } };

		tally_item(replay, (uint32_t)(order[i] - replay->item), t);
		sum_up(all, t);
		for (size_t k = 0; k <= LEADS; k++)
			write_tally(set, order[i]->rule, order[i]->asset, k, &t[k], g);
	}
	for (size_t k = 0; k <= LEADS; k++)
		write_tally(set, LEAT_SPAN("*"), LEAT_SPAN("*"), k, &all[k], g);
	free(order);
	return g->failed ? -1 : 0;
}
