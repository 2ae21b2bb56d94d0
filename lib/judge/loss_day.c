/* What a works' day of a mill lost, and whether that can be told apart from what else cuts the feed. */
#include <math.h>

#include "judge/loss_private.h"
#include "physics/cost.h"
#include "stats/order.h"

#define SWAY_DAYS 5	/* days at held pressure from which their means tell how the feed sways from day to day */
#define SWAYS 2.0	/* standard deviations within which a fall is none */

double
leat_loss_tonnes(const struct leat_loss_result *result, int end)
{
	return result->lowered_t[end] + result->unheld_t[end];
}

double
leat_loss_coverage(const struct leat_loss_result *r)
{
	return r->all_h > 0 ? fmin(100, 100 * r->known_h / r->all_h) : NAN;
}

bool
leat_loss_unseen(const struct leat_loss_result *r)
{
	return r->known_h <= 0 || (r->grinding_h > 0 && r->unseen_h >= r->grinding_h);
}

static void
read_m(const struct leat_loss *loss, struct leat_span mill, struct leat_time at, double m[LEAT_LOSS_ENDS])
{
	double own = leat_loss_plate_number(loss, mill, "feed-force-slope", at);
	double low = leat_loss_plate_number(loss, mill, "feed-force-slope-low", at);
	double high = leat_loss_plate_number(loss, mill, "feed-force-slope-high", at);

	m[LEAT_LOSS_MIDDLE] = own > 0 ? own : LEAT_LOSS_M;
	m[LEAT_LOSS_LOW] = low > 0 ? low : own > 0 ? own : LEAT_LOSS_M_LOW;
	m[LEAT_LOSS_HIGH] = high > 0 ? high : own > 0 ? own : LEAT_LOSS_M_HIGH;
}

/* May the hour stand for what the mill grinds at held pressure? */
static bool
is_held(const struct leat_loss_hour *h, bool blind)
{
	return !leat_loss_low(h) && h->good && !h->fed && h->feed_tph > 0 && leat_loss_press(h, blind) > 0;
}

/* A standard deviation of feeds.  Of a mill that is fed two materials in turn the median deviation may be small, but the
 * outer tenths lie apart; those of a normal feed lie 2.563 deviations apart.  Changes the order of x. */
static double
spread(double *x, size_t n, double *work)
{
	double middle = leat_mad(x, n, work);

	return fmax(middle, (leat_quantile(x, n, 0.9) - leat_quantile(x, n, 0.1)) / 2.563);
}

/* Hours at held pressure within the window: medians of feed and force, and how the feed sways. */
static void
find_held(struct leat_loss *loss, const struct leat_loss_mill *mill, const struct leat_loss_day *of, double window_s,
    struct leat_loss_result *result)
{
	size_t room = (size_t)LEAT_LOSS_RING * LEAT_LOSS_HOURS, n = 0, days = 0;
	double *feed = loss->work, *press = feed + room, *mean = press + room, *spare = mean + room;
	double hours = 0;

	for (size_t i = mill->days > LEAT_LOSS_RING - 1 ? mill->days - (LEAT_LOSS_RING - 1) : 0; i < mill->days; i++) {
		const struct leat_loss_day *day = &mill->day[i % LEAT_LOSS_RING];
		double sum = 0, of_day = 0;

		if (fabs(leat_time_diff(day->end, of->end)) > window_s)
			continue;
		for (size_t h = 0; h < day->hours; h++) {
			if (!is_held(&day->hour[h], result->blind))
				continue;
			feed[n] = day->hour[h].feed_tph;
			press[n++] = leat_loss_press(&day->hour[h], result->blind);
			sum += day->hour[h].feed_tph * day->hour[h].hours;
			of_day += day->hour[h].hours;
		}
		hours += of_day;
		if (of_day > 0)
			mean[days++] = sum / of_day;
	}
	result->held_h = hours;
	result->held_tph = leat_median(feed, n);
	result->sway = (days >= SWAY_DAYS ? spread(mean, days, spare) : spread(feed, n, spare)) * SWAYS;
	result->held_press = leat_median(press, n);
	result->sway /= result->held_tph;
}

/* The feed is compared with what any mill may do: a m of the works' own, well known, must not turn an odd day away. */
static enum leat_loss_verdict
compare(struct leat_loss_result *r)
{
	double high = fmax(r->m[LEAT_LOSS_HIGH], LEAT_LOSS_M_HIGH) * (r->blind ? LEAT_COST_BLIND : 1);
	double low = fmin(r->m[LEAT_LOSS_LOW], LEAT_LOSS_M_LOW);

	r->missing = 1 - r->low_press / r->held_press;
	r->fell = 1 - r->low_tph / r->held_tph;
	if (!(r->held_h >= LEAT_LOSS_HELD_LEAST))
		return LEAT_LOSS_ALONE;
	if (!(r->sway < high * r->missing))
		return LEAT_LOSS_SWAYS;
	if (r->fell > high * r->missing + r->sway)
		return LEAT_LOSS_OTHER;
	/* A fall that is not seen in the sway of the feed is none. */
	return r->fell < low * r->missing - r->sway || r->fell <= 0 ? LEAT_LOSS_UNMOVED : LEAT_LOSS_SEPARABLE;
}

/* The tonnes of a low hour, shared among what is missing by the set point and what below it. */
static void
add_tonnes(const struct leat_loss_hour *h, struct leat_loss_result *r)
{
	double missing = h->lowered + h->unheld;

	for (int end = 0; end < LEAT_LOSS_ENDS; end++) {
		double more = isnan(h->kn) && end == LEAT_LOSS_HIGH ? LEAT_COST_BLIND : 1;
		double t = h->hours * leat_cost_lost_tph(h->feed_tph, missing * more, r->m[end]);

		r->lowered_t[end] += t * h->lowered / missing;
		r->unheld_t[end] += t * h->unheld / missing;
	}
}

/* A low hour in which the mill took all that it was given lost nothing. */
static bool
is_lost(const struct leat_loss_hour *h)
{
	return leat_loss_low(h) && !h->fed;
}

/* Hours of the day, and of its low ones the means that are compared. */
static void
sum_hours(const struct leat_loss_day *day, struct leat_loss_result *r)
{
	double feed = 0, bar = 0, kn = 0, hours = 0;

	r->all_h = leat_time_diff(day->end, day->start) / 3600;
	r->unseen_h = (double)(day->refused[LEAT_LOSS_NO_PRESSURE] + day->refused[LEAT_LOSS_NO_SETPOINT]) / 60;
	r->unfed_h = (double)day->refused[LEAT_LOSS_NO_FEED] / 60;
	r->known_h = (double)day->known / 60 - r->unseen_h;
	r->grinding_h = (double)day->grinding / 60;
	for (size_t i = 0; i < day->hours; i++) {
		const struct leat_loss_hour *h = &day->hour[i];

		if (!leat_loss_low(h))
			continue;
		r->low_h += h->hours;
		r->lowered_h += h->lowered > 0 ? h->hours : 0;
		r->unheld_h += h->unheld > 0 ? h->hours : 0;
		r->fed_h += h->fed ? h->hours : 0;
		if (h->fed || isnan(h->feed_tph))
			continue;
		r->blind = r->blind || isnan(h->kn);
		feed += h->feed_tph * h->hours;
		bar += h->bar * h->hours;
		kn += h->kn * h->hours;
		hours += h->hours;
	}
	r->low_tph = feed / hours;
	r->low_press = (r->blind ? bar : kn) / hours;
	if (hours > 0)
		r->verdict = LEAT_LOSS_SEPARABLE;	/* till it is compared */
	else if (r->low_h > 0)
		r->verdict = r->fed_h >= r->low_h ? LEAT_LOSS_UNMOVED : LEAT_LOSS_UNREAD;
}

void
leat_loss_prices_of(const struct leat_loss *loss, struct leat_span asset, struct leat_loss_prices *prices)
{
	struct leat_span word = leat_nameplate_word(loss->form.np, asset, "currency", loss->now);

	prices->kwh = leat_loss_plate_number(loss, asset, "energy-price", loss->now);
	prices->tonne = leat_loss_plate_number(loss, asset, "margin", loss->now);
	leat_mask(prices->currency, sizeof(prices->currency), word.len > 0 ? word : LEAT_SPAN("money"));
}

/* Energy and money of the tonnes. */
static void
price(const struct leat_loss *loss, const struct leat_loss_mill *mill, struct leat_time at, struct leat_loss_result *r)
{
	double kw = leat_loss_plate_number(loss, mill->asset, "auxiliaries-power", at);
	struct leat_loss_prices prices;

	leat_loss_prices_of(loss, mill->asset, &prices);
	for (int end = 0; end < LEAT_LOSS_ENDS; end++) {
		double t = leat_loss_tonnes(r, end);

		r->kwh[end] = isnan(kw) ? NAN : t > 0 ? leat_cost_makeup_kwh(t, r->held_tph, kw) : 0;
		r->money[end] = t * prices.tonne;
		if (!isnan(r->kwh[end]) && !isnan(prices.kwh))
			r->money[end] += r->kwh[end] * prices.kwh;
	}
}

void
leat_loss_of_day(struct leat_loss *loss, const struct leat_loss_mill *mill, size_t n, struct leat_loss_result *r)
{
	const struct leat_loss_day *day = &mill->day[n % LEAT_LOSS_RING];
	double window = leat_loss_plate_number(loss, mill->asset, "equal-feed-days", day->end);

	*r = (struct leat_loss_result){ .held_tph = NAN, .held_press = NAN, .missing = NAN, .fell = NAN, .sway = NAN };
	read_m(loss, mill->asset, day->end, r->m);
	sum_hours(day, r);
	if (r->verdict == LEAT_LOSS_SEPARABLE) {
		find_held(loss, mill, day, fmin(window, LEAT_LOSS_WINDOW) * 86400 + 7200, r);
		r->verdict = compare(r);
	}
	for (size_t i = 0; i < day->hours && r->verdict == LEAT_LOSS_SEPARABLE; i++)
		if (is_lost(&day->hour[i]) && !isnan(day->hour[i].feed_tph))
			add_tonnes(&day->hour[i], r);
	r->told_h = r->verdict == LEAT_LOSS_SEPARABLE || r->verdict == LEAT_LOSS_UNMOVED ? r->low_h : 0;
	r->separable_h = r->verdict == LEAT_LOSS_SEPARABLE ? r->low_h : 0;
	r->days[r->verdict] = 1;
	price(loss, mill, day->end, r);
}

void
leat_loss_of_days(struct leat_loss *loss, const struct leat_loss_mill *mill, size_t count, struct leat_loss_result *r)
{
	struct leat_loss_result day;

	*r = (struct leat_loss_result){ .missing = 0, .fell = 0 };
	for (size_t i = mill->days > count ? mill->days - count : 0; i < mill->days; i++) {
		leat_loss_of_day(loss, mill, i, &day);
		r->all_h += day.all_h;
		r->known_h += day.known_h;
		r->unseen_h += day.unseen_h;
		r->unfed_h += day.unfed_h;
		r->grinding_h += day.grinding_h;
		r->low_h += day.low_h;
		r->lowered_h += day.lowered_h;
		r->unheld_h += day.unheld_h;
		r->fed_h += day.fed_h;
		r->told_h += day.told_h;
		r->separable_h += day.separable_h;
		r->blind = r->blind || day.blind;
		for (int end = 0; end < LEAT_LOSS_ENDS; end++) {
			r->m[end] = day.m[end];
			r->lowered_t[end] += day.lowered_t[end];
			r->unheld_t[end] += day.unheld_t[end];
			r->kwh[end] += day.kwh[end];
			r->money[end] += day.money[end];
		}
		r->days[day.verdict]++;
		/* Of the days whose loss is told the means by hours, of the others those of the last one. */
		if (day.verdict == LEAT_LOSS_SEPARABLE) {
			r->missing += day.missing * day.low_h;
			r->fell += day.fell * day.low_h;
		} else if (day.verdict != LEAT_LOSS_HELD) {
			r->verdict = day.verdict;
			r->low_press = day.low_press;
			r->held_press = day.held_press;
			r->low_tph = day.low_tph;
			r->held_tph = day.held_tph;
			r->held_h = day.held_h;
			r->sway = day.sway;
		}
	}
	r->missing /= r->separable_h;
	r->fell /= r->separable_h;
}
