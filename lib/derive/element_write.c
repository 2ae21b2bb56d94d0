/* Filter elements: what came out of a day, as readings. */
#include <math.h>
#include <stdlib.h>

#include "derive/element_private.h"

const char *const leat_elements_made[] = {
	"filter-dp-corrected", "filter-dp-corrected.coverage", "filter-dp-corrected.ratio", "bypass-share", "bypass-time",
	"element-hours", "element-litres", "element-life", "element-life-ratio", "element-change-ratio", NULL
};

/* Admitted minutes first, by the part of the element; equal ones in order of time, so that a rerun gives the same bytes. */
static int
by_element(const void *a, const void *b)
{
	const struct leat_elements_minute *x = a, *y = b;

	if (x->bypass != y->bypass)
		return x->bypass ? 1 : -1;
	if (x->element_bar != y->element_bar)
		return x->element_bar < y->element_bar ? -1 : 1;
	return leat_time_cmp(x->time, y->time);
}

static int
by_element_alone(const void *a, const void *b)
{
	const struct leat_elements_minute *x = a, *y = b;

	if (x->element_bar != y->element_bar)
		return x->element_bar < y->element_bar ? -1 : 1;
	return leat_time_cmp(x->time, y->time);
}

void
leat_elements_median(const struct leat_elements_filter *filter, struct leat_elements_day *day,
    struct leat_elements_value *value)
{
	const struct leat_elements_plate *plate = &filter->plate;
	size_t n;

	*value = (struct leat_elements_value){ .quality = LEAT_BAD };
	for (size_t i = 0; i < day->minutes; i++)
		value->bypassed += day->minute[i].bypass;
	n = value->admitted = day->minutes - value->bypassed;
	value->percent = day->on > 0 ? 100.0 * (double)n / (double)day->on : 0;
	if (day->minutes == 0)
		return;
	qsort(day->minute, day->minutes, sizeof(*day->minute), by_element);
	if ((double)n < plate->least_min && (double)day->minutes >= plate->least_min) {
		/* What is known of the element then is that it is no better than that. */
		value->at_least = true;
		n = day->minutes;
		qsort(day->minute, n, sizeof(*day->minute), by_element_alone);
	}
	if (n == 0)
		return;
	value->minute = &day->minute[(n - 1) / 2];
	if ((double)n >= plate->least_min)
		value->quality = value->at_least || value->percent < plate->least_percent ? LEAT_UNCERTAIN : LEAT_GOOD;
}

bool
leat_elements_has_rows(const struct leat_elements_filter *filter)
{
	return filter->day.on > 0 || filter->finished.there;
}

static void
row(struct leat_elements *elements, const struct leat_elements_filter *filter, const char *point, double value, int decimals,
    const char *unit, enum leat_quality quality)
{
	char text[LEAT_NUMBER_MAX];
	size_t len = quality == LEAT_BAD ? 0 : leat_number_fixed(text, value, decimals);

	leat_readings_add(elements->out, elements->in, &(struct leat_reading){
		.time = elements->minutes.day_end, .asset = filter->asset, .point = leat_span_of(point),
		.value = leat_span_make(text, len), .unit = leat_span_of(unit), .quality = quality
	});
	elements->added++;
}

static void
write_life(struct leat_elements *elements, const struct leat_elements_filter *filter)
{
	const struct leat_elements_finished *done = &filter->finished;

	row(elements, filter, "element-life", done->hours, 1, "h", done->quality);
	if (!isnan(done->ratio))
		row(elements, filter, "element-life-ratio", done->ratio, 3, "1", done->quality);
}

static void
write_age(struct leat_elements *elements, const struct leat_elements_filter *filter)
{
	enum leat_quality quality;
	double litres, hours;

	if (leat_time_is_none(filter->life.since))
		return;
	hours = leat_elements_hours(filter, &filter->life, elements->minutes.day_end, &litres, &quality);
	row(elements, filter, "element-hours", hours, 1, "h", quality);
	if (!isnan(litres))
		row(elements, filter, "element-litres", litres, 0, "L", quality);
}

static void
write_rows(struct leat_elements *elements, const struct leat_elements_filter *filter, const struct leat_elements_value *value)
{
	const struct leat_elements_plate *plate = &filter->plate;
	double bar = value->minute != NULL ? value->minute->element_bar : 0, clean = leat_elements_clean_bar(filter);
	double share = leat_element_bypass_share(&plate->reference, bar, plate->bypass_bar);
	bool seen = value->admitted + value->bypassed > 0;

	row(elements, filter, "filter-dp-corrected", bar, 3, "bar", value->quality);
	row(elements, filter, "filter-dp-corrected.coverage", value->percent, 2, "%", LEAT_GOOD);
	if (!isnan(clean))
		row(elements, filter, "filter-dp-corrected.ratio", bar / clean, 3, "1", value->quality);
	if (!isnan(share))
		row(elements, filter, "bypass-share", 100 * share, 1, "%", value->quality);
	row(elements, filter, "bypass-time", (double)value->bypassed, 0, "min", seen ? LEAT_GOOD : LEAT_BAD);
	write_age(elements, filter);
}

/* The new element has shown itself: against what the old one showed. */
static void
write_change(struct leat_elements *elements, struct leat_elements_filter *filter, double after_bar)
{
	if (elements->explain && leat_elements_asked_for(elements, filter))
		leat_elements_explain_change(elements, filter, after_bar);
	if (!elements->explain)
		row(elements, filter, "element-change-ratio", after_bar / filter->before_bar, 3, "1", LEAT_GOOD);
}

void
leat_elements_write_day(struct leat_elements *elements, struct leat_elements_filter *filter)
{
	bool asked = elements->explain && leat_elements_asked_for(elements, filter);
	struct leat_elements_value value;

	leat_elements_median(filter, &filter->day, &value);
	if (value.quality == LEAT_GOOD) {
		filter->last_bar = value.minute->element_bar;
		if (filter->fresh)
			filter->clean[filter->clean_seen++ % LEAT_ELEMENT_LIVES] = filter->last_bar;
	}
	if (filter->finished.there && !elements->explain)
		write_life(elements, filter);
	else if (filter->finished.there && asked)
		leat_elements_explain_life(elements, filter);
	if (filter->day.on > 0) {
		elements->days++;
		if (!elements->explain)
			write_rows(elements, filter, &value);
		else if (asked)
			leat_elements_explain_day(elements, filter, &value);
	}
	if (value.quality == LEAT_GOOD && filter->fresh && filter->before_bar > 0)
		write_change(elements, filter, value.minute->element_bar);
	filter->fresh = filter->fresh && value.quality != LEAT_GOOD;
	filter->finished.there = false;
	leat_elements_empty_day(&filter->day);
}

void
leat_elements_empty_day(struct leat_elements_day *day)
{
	day->on = day->flow_read = 0;
	memset(day->refused, 0, sizeof(day->refused));
	day->minutes = 0;
}
