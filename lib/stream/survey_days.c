/*
 * What a historian has left of a signal: daily values, and the smallest change that they can show.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "stream/survey_trace.h"

#define QUARTER_S 900
/* Standard deviations from the median absolute deviation of a normal distribution. */
#define MAD_TIMES 1.4826
#define SEEN_TIMES 2.8
#define MOST_CORRELATION 0.8
#define OUTLIER 4.0

static int64_t
floor_div(int64_t a, int64_t b)
{
	return a / b - (a % b < 0);
}

static int
compare(const void *a, const void *b)
{
	float x = *(const float *)a, y = *(const float *)b;

	return x < y ? -1 : x > y;
}

static double
median(float *value, int count)
{
	qsort(value, (size_t)count, sizeof(*value), compare);
	return count % 2 != 0 ? (double)value[count / 2] :
	    ((double)value[count / 2 - 1] + (double)value[count / 2]) / 2;
}

static void
put_quarter(struct leat_trace *trace, int64_t quarter, double value)
{
	int64_t day = floor_div(quarter, LEAT_TRACE_QUARTERS);

	if (day != trace->day) {
		if (trace->quarters > 0)
			trace->daily[(trace->days - 1) % LEAT_TRACE_DAYS] = (float)median(trace->quarter, trace->quarters);
		trace->day = day;
		trace->quarters = 0;
		trace->days++;
	}
	if (trace->quarters < LEAT_TRACE_QUARTERS)
		trace->quarter[trace->quarters++] = (float)value;
	trace->all_quarters++;
}

static void
close_quarter(struct leat_trace *trace)
{
	if (trace->quarter_count == 0)
		return;
	trace->held = trace->quarter_sum / (double)trace->quarter_count;
	put_quarter(trace, trace->quarter_at, trace->held);
	trace->quarter_sum = 0;
	trace->quarter_count = 0;
}

/* A quarter of an hour without a value has that of the one before, for an hour at most. */
void
leat_trace_day_take(struct leat_trace *trace, struct leat_time time, double value)
{
	int64_t quarter = floor_div(time.sec, QUARTER_S), at;

	if (quarter != trace->quarter_at) {
		close_quarter(trace);
		if (trace->quarter_at != INT64_MIN && quarter - trace->quarter_at <= (int64_t)(LEAT_TRACE_GAP_S / QUARTER_S))
			for (at = trace->quarter_at + 1; at < quarter; at++)
				put_quarter(trace, at, trace->held);
		trace->quarter_at = quarter;
	}
	trace->quarter_sum += value;
	trace->quarter_count++;
}

static double
change_over(double days, double sigma, double correlation, double step)
{
	double effective = days * (1 - correlation) / (1 + correlation);

	return SEEN_TIMES * sigma * sqrt(2 / (effective > 1 ? effective : 1)) + step / sqrt(12);
}

/* The variance of the differences of values so many days apart, about their median, without those that stand far out. */
static double
moved(const float *value, int count, int apart)
{
	float work[LEAT_TRACE_DAYS] = { 0 };
	double middle, limit, sum = 0;
	int i, n = count - apart, kept = 0;

	for (i = 0; i < n; i++)
		work[i] = value[i + apart] - value[i];
	middle = median(work, n);
	for (i = 0; i < n; i++)
		work[i] = fabsf(value[i + apart] - value[i] - (float)middle);
	limit = OUTLIER * MAD_TIMES * median(work, n);
	for (i = 0; i < n; i++) {
		if ((double)work[i] > limit)
			continue;
		sum += (double)work[i] * (double)work[i];
		kept++;
	}
	return sum / kept;
}

void
leat_trace_day_judge(struct leat_trace *trace, double step, struct leat_trace_result *r)
{
	float value[LEAT_TRACE_DAYS] = { 0 }, today[LEAT_TRACE_QUARTERS];
	double one, correlation = 0, sigma;
	int count, i;

	close_quarter(trace);
	count = trace->days < LEAT_TRACE_DAYS ? (int)trace->days : LEAT_TRACE_DAYS;
	r->days = trace->days;
	r->hours = (double)trace->all_quarters / 4;
	if (count < LEAT_TRACE_LEAST_DAYS)
		return;
	for (i = 0; i < count; i++)
		value[i] = trace->daily[(trace->days - count + i) % LEAT_TRACE_DAYS];
	memcpy(today, trace->quarter, sizeof(today));
	value[count - 1] = (float)median(today, trace->quarters);
	one = moved(value, count, 1);
	if (one > 0)
		correlation = fmin(MOST_CORRELATION, moved(value, count, 2) / one - 1);
	/* What chance alone gives is none. */
	if (correlation < 3 / sqrt(count))
		correlation = 0;
	sigma = sqrt(one / (2 * (1 - correlation)));
	r->change_7d = change_over(7, sigma, correlation, step);
	r->change_30d = change_over(30, sigma, correlation, step);
}
