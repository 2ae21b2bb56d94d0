/* Regular swings of a temperature. */
#include <math.h>
#include <string.h>

#include "derive/cooler_swing.h"
#include "stats/order.h"

#define HOUR_MIN 60
#define HOUR_SEEN_MIN 50

void
leat_swing_init(struct leat_swing *swing)
{
	*swing = (struct leat_swing){ .minute = INT64_MIN, .hour = INT64_MIN, .zero_min = NAN, .since_min = NAN };
	for (size_t i = 0; i < 4; i++)
		swing->starts_hour[i] = INT64_MIN;
}

static size_t
place(const struct leat_swing *swing, double value)
{
	size_t low = 0, high = swing->count;

	while (low < high) {
		size_t middle = (low + high) / 2;

		if (swing->sorted[middle] < value)
			low = middle + 1;
		else
			high = middle;
	}
	return low;
}

/* Takes a value into the window, and the oldest out of a full one. */
static void
slide(struct leat_swing *swing, double value)
{
	size_t at;

	if (swing->count == LEAT_SWING_WINDOW) {
		at = place(swing, swing->ring[swing->next]);
		swing->count--;
		memmove(&swing->sorted[at], &swing->sorted[at + 1], (swing->count - at) * sizeof(double));
	}
	at = place(swing, value);
	memmove(&swing->sorted[at + 1], &swing->sorted[at], (swing->count - at) * sizeof(double));
	swing->sorted[at] = value;
	swing->count++;
	swing->ring[swing->next] = value;
	swing->next = (swing->next + 1) % LEAT_SWING_WINDOW;
}

static double
mean(const double *x, size_t n)
{
	double sum = 0;

	for (size_t i = 0; i < n; i++)
		sum += x[i];
	return sum / (double)n;
}

double
leat_swing_step_min(const struct leat_swing *swing)
{
	long all = 0, so_far = 0;

	for (int i = 1; i <= LEAT_SWING_STEPS; i++)
		all += swing->steps[i];
	for (int i = 1; i <= LEAT_SWING_STEPS && all > 0; i++)
		if ((so_far += swing->steps[i]) * 4 >= all)
			return i;
	return NAN;
}

/* The hour is over. */
static void
end_hour(struct leat_swing *swing, const struct leat_swing_rule *rule)
{
	size_t n = swing->cycles, slot = (size_t)(((swing->hour % 4) + 4) % 4);
	struct leat_swing_hour *hour = &swing->regular[swing->regulars];
	double middle, sum = 0, step = leat_swing_step_min(swing);

	swing->cycles = 0;
	if (swing->minutes < HOUR_SEEN_MIN || swing->seen == LEAT_SWING_HOURS)
		return;
	swing->seen++;
	if (n < LEAT_SWING_LEAST)
		return;
	middle = mean(swing->period_min, n);
	for (size_t i = 0; i < n; i++)
		sum += (swing->period_min[i] - middle) * (swing->period_min[i] - middle);
	hour->spread_percent = 100 * sqrt(sum / (double)(n - 1)) / middle;
	hour->period_min = leat_median(swing->period_min, n);
	hour->amplitude_k = leat_median(swing->amplitude_k, n);
	hour->pump_ups = swing->starts_hour[slot] == swing->hour ? swing->starts[slot] : 0;
	if (hour->spread_percent < rule->spread_percent && hour->period_min <= rule->longest_min &&
	    hour->period_min >= LEAT_SWING_SAMPLES * step)
		swing->regulars++;
}

/* A cycle that ends with the rise at end_min. */
static void
end_cycle(struct leat_swing *swing, double end_min)
{
	if (!isnan(swing->since_min) && swing->cycles < LEAT_SWING_CYCLES) {
		swing->period_min[swing->cycles] = end_min - swing->since_min;
		swing->amplitude_k[swing->cycles++] = (swing->high_k - swing->low_k) / 2;
	}
	swing->since_min = end_min;
	swing->high_k = -INFINITY;
	swing->low_k = INFINITY;
}

/* The next value less its median. */
static void
follow(struct leat_swing *swing, const struct leat_swing_rule *rule, int64_t minute, double off_k)
{
	int64_t hour = (minute - (minute < 0 ? HOUR_MIN - 1 : 0)) / HOUR_MIN;

	if (hour != swing->hour) {
		if (swing->hour != INT64_MIN)
			end_hour(swing, rule);
		swing->hour = hour;
		swing->minutes = 0;
	}
	swing->minutes++;
	if (swing->has_before && swing->before_k < 0 && off_k >= 0)
		swing->zero_min = (double)minute - off_k / (off_k - swing->before_k);
	swing->has_before = true;
	swing->before_k = off_k;
	if (off_k < -rule->band_k)
		swing->was_low = true;
	if (off_k > rule->band_k && swing->was_low) {
		swing->was_low = false;
		end_cycle(swing, isnan(swing->zero_min) ? (double)minute : swing->zero_min);
	}
	swing->high_k = fmax(swing->high_k, off_k);
	swing->low_k = fmin(swing->low_k, off_k);
}

void
leat_swing_put(struct leat_swing *swing, const struct leat_swing_rule *rule, int64_t minute, double temp_c)
{
	if (swing->minute != INT64_MIN && minute != swing->minute + 1) {
		swing->count = swing->next = 0;
		swing->has_before = swing->was_low = false;
		swing->zero_min = swing->since_min = NAN;
	}
	swing->minute = minute;
	slide(swing, temp_c);
	if (swing->count < LEAT_SWING_WINDOW)
		return;
	/* The middle of the ring is as many places after the oldest, which is next. */
	follow(swing, rule, minute - LEAT_SWING_LATE,
	    swing->ring[(swing->next + LEAT_SWING_LATE) % LEAT_SWING_WINDOW] - swing->sorted[LEAT_SWING_WINDOW / 2]);
}

void
leat_swing_step(struct leat_swing *swing, double seconds)
{
	double minutes = ceil(seconds / 60 - 1e-9);

	if (minutes >= 1)
		swing->steps[minutes > LEAT_SWING_STEPS ? LEAT_SWING_STEPS : (int)minutes]++;
}

void
leat_swing_pump_up(struct leat_swing *swing, int64_t minute)
{
	int64_t hour = (minute - (minute < 0 ? HOUR_MIN - 1 : 0)) / HOUR_MIN;
	size_t slot = (size_t)(((hour % 4) + 4) % 4);

	if (swing->starts_hour[slot] != hour) {
		swing->starts_hour[slot] = hour;
		swing->starts[slot] = 0;
	}
	swing->starts[slot]++;
}

void
leat_swing_day(struct leat_swing *swing)
{
	swing->seen = 0;
	swing->regulars = 0;
	memset(swing->steps, 0, sizeof(swing->steps));
}
