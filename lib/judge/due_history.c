/* Running hours and starts over time. */
#include <stdlib.h>

#include "judge/due_private.h"
#include "stream/quantity.h"

#define KEPT_EVERY_S 3600.0
#define OF_NO_INTEREST 1u

static const char *const counter_point[COUNTERS] = {
	"running-hours", "running-hours.low", "running-hours.high", "starts", "starts.low", "starts.high"
};

/* Which counter a series is: its code in due->known.  0 when memory is out. */
static uint32_t
learn(struct leat_due *due, const struct leat_reading *r)
{
	for (uint32_t c = 0; c < COUNTERS; c++) {
		struct leat_due_history *h;

		if (!leat_span_is(r->point, counter_point[c]))
			continue;
		if (leat_grow(&due->history[c], &due->history_cap[c], due->histories[c] + 1, sizeof(*due->history[c])) != 0)
			return 0;
		h = &due->history[c][due->histories[c]];
		memset(h, 0, sizeof(*h));
		h->series = r->series;
		h->asset = leat_readings_assets(due->form.in)->name[r->asset_id];
		return 2 + (c << 24) + (uint32_t)due->histories[c]++;
	}
	return OF_NO_INTEREST;
}

/* Did the logbook renew the item after one reading and not after the other? */
static bool
renewed_between(const struct leat_due *due, struct leat_span asset, struct leat_time from, struct leat_time to)
{
	for (size_t i = 0; i < due->form.book->count; i++) {
		const struct leat_log_entry *e = &due->form.book->entry[i];

		if (e->event->renews && leat_time_cmp(e->time, from) > 0 && leat_time_cmp(e->time, to) <= 0 &&
		    leat_span_eq(e->asset, asset))
			return true;
	}
	return false;
}

static int
put(struct leat_due *due, struct leat_due_history *h, struct leat_time t, double value)
{
	double total = 0;

	if (h->count > 0) {
		total = h->total[h->count - 1];
		/* A reading of the meter may pull the count back a little; a new item begins at nothing. */
		if (value < h->value && renewed_between(due, h->asset, h->time[h->count - 1], t))
			total += value;
		else
			total += value - h->value;
	}
	h->value = value;
	if (h->count > 1 && leat_time_diff(t, h->time[h->count - 2]) < KEPT_EVERY_S)
		h->count--;
	if (leat_grow(&h->time, &h->time_cap, h->count + 1, sizeof(*h->time)) != 0 ||
	    leat_grow(&h->total, &h->total_cap, h->count + 1, sizeof(*h->total)) != 0)
		return -1;
	h->time[h->count] = t;
	h->total[h->count++] = total;
	return 0;
}

int
leat_due_history_take(struct leat_due *due, const struct leat_reading *r, struct leat_error *err)
{
	const struct leat_unit *hour = leat_unit_find(LEAT_SPAN("h")), *one = leat_unit_find(LEAT_SPAN("1"));
	uint32_t code;
	double value;
	int got;

	if (leat_grow(&due->known, &due->known_cap, (size_t)r->series + 1, sizeof(*due->known)) != 0)
		return leat_error_memory(err);
	if (due->known[r->series] == 0 && (due->known[r->series] = learn(due, r)) == 0)
		return leat_error_memory(err);
	code = due->known[r->series];
	/* Uncertain counts are no measure of when work is due: they would be judged as certain. */
	if (code == OF_NO_INTEREST || r->quality != LEAT_GOOD)
		return 0;
	code -= 2;
	got = leat_quantity_of(r, code >> 24 < COUNTER_STARTS ? hour : one, &value, err);
	if (got <= 0)
		return got;
	if (put(due, &due->history[code >> 24][code & 0xffffff], r->time, value) != 0)
		return leat_error_memory(err);
	return 0;
}

const struct leat_due_history *
leat_due_history_of(const struct leat_due *due, enum leat_due_counter counter, struct leat_span asset)
{
	do {
		for (size_t i = 0; i < due->histories[counter]; i++)
			if (due->history[counter][i].count > 0 && leat_span_eq(due->history[counter][i].asset, asset))
				return &due->history[counter][i];
	} while (leat_asset_parent(asset, &asset));
	return NULL;
}

size_t
leat_due_history_index(const struct leat_due_history *h, struct leat_time at)
{
	size_t low = 0, high = h->count;

	while (low < high) {
		size_t middle = low + (high - low) / 2;

		if (leat_time_cmp(h->time[middle], at) <= 0)
			low = middle + 1;
		else
			high = middle;
	}
	return low > 0 ? low - 1 : h->count;
}

double
leat_due_history_at(const struct leat_due_history *h, struct leat_time at)
{
	size_t i = leat_due_history_index(h, at);

	if (i == h->count)
		return 0;
	if (i + 1 == h->count)
		return h->total[i];
	return h->total[i] + (h->total[i + 1] - h->total[i]) * leat_time_diff(at, h->time[i]) /
	    leat_time_diff(h->time[i + 1], h->time[i]);
}

struct leat_time
leat_due_history_reached(const struct leat_due_history *h, double total)
{
	for (size_t i = 0; i < h->count; i++) {
		double part;

		if (h->total[i] < total)
			continue;
		if (i == 0 || h->total[i] <= h->total[i - 1])
			return h->time[i];
		part = (total - h->total[i - 1]) / (h->total[i] - h->total[i - 1]);
		return leat_time_add(h->time[i - 1], (part > 0 ? part : 0) * leat_time_diff(h->time[i], h->time[i - 1]));
	}
	return LEAT_TIME_NONE;
}

void
leat_due_history_free(struct leat_due *due)
{
	for (int c = 0; c < COUNTERS; c++) {
		for (size_t i = 0; i < due->histories[c]; i++) {
			free(due->history[c][i].time);
			free(due->history[c][i].total);
		}
		free(due->history[c]);
	}
	free(due->known);
}
