/* How far the feed of a mill follows its force, from hours of alike material. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/number.h"
#include "judge/loss_private.h"
#include "stats/order.h"

/* Beyond these the feed does something else than follow the force (common practice: 0.5 to 1). */
#define LEAST 0.2
#define MOST 1.5

/*
 * Each hour is set beside the hours of more force within the window, those before it and those after it apart, and
 * ln(feed ratio) over ln(force ratio) to their medians is its slope.  They must differ for a reason other than the force
 * that is read: by the set point, or by a pressure that one did not hold.  Hours picked by their force would be those
 * whose readings err, and the slope too small; for the same reason m is the ratio of sums, in which errors of single
 * hours cancel, and no mean of slopes.  Where the feed also drifts by itself, falls of the force err to one side and
 * rises to the other, so that their mean keeps clear of a steady drift, and their difference shows it.
 */
struct way {
	size_t hours;
	double feed, force;		/* sums of the logarithms of ratios */
};

struct fit {
	double low_h, high_h;		/* hours in pairs, on the side of less force and on that of more */
	struct way fall, rise;
	double low, high;		/* a tenth of the slopes lies below, and above; NaN: none */
};

static bool
usable(const struct leat_loss_hour *h)
{
	return h->good && !h->fed && h->feed_tph > 0;
}

/* Do they differ by what is not read off the force? */
static bool
apart(const struct leat_loss_hour *low, const struct leat_loss_hour *high)
{
	if (high->unheld > 0)
		return false;
	return low->unheld > 0 || high->set_bar >= low->set_bar * (1 + LEAT_LOSS_FIT_FORCE);
}

enum { LOWER = 1, HIGHER = 2 };

/* The hours of a stretch, with room for the partners of one, and what side of a pair each is on. */
struct stretch {
	const struct leat_loss_hour *hour;
	double *feed, *press, *slope;
	size_t slopes;
	unsigned char *side;
};

/* Sets hour i beside its partners from first on to last. */
static void
add_hour(struct stretch *s, size_t i, size_t first, size_t last, struct way *way)
{
	const struct leat_loss_hour *h = &s->hour[i];
	bool blind = isnan(h->kn);
	double feed, force;
	size_t n = 0;

	for (size_t k = first; k < last; k++) {
		const struct leat_loss_hour *more = &s->hour[k];

		if (k == i || !usable(more) || !apart(h, more) || !(leat_loss_press(more, blind) > 0))
			continue;
		s->feed[n] = more->feed_tph;
		s->press[n++] = leat_loss_press(more, blind);
		s->side[k] |= HIGHER;
	}
	if (n == 0 || !(leat_loss_press(h, blind) > 0))
		return;
	s->side[i] |= LOWER;
	feed = log(leat_median(s->feed, n) / h->feed_tph);
	force = log(leat_median(s->press, n) / leat_loss_press(h, blind));
	way->hours++;
	way->feed += feed;
	way->force += force;
	if (force > 0)
		s->slope[s->slopes++] = feed / force;
}

static double
m_of(const struct way *way)
{
	return way->feed / way->force;
}

static void
fit_hours(struct stretch *s, size_t count, double window_s, struct fit *fit)
{
	const struct leat_loss_hour *hour = s->hour;
	size_t first = 0, last = 0;

	for (size_t i = 0; i < count; i++) {
		while (leat_time_diff(hour[i].end, hour[first].end) > window_s)
			first++;
		while (last < count && leat_time_diff(hour[last].end, hour[i].end) <= window_s)
			last++;
		if (!usable(&hour[i]))
			continue;
		add_hour(s, i, first, i, &fit->fall);
		add_hour(s, i, i, last, &fit->rise);
	}
	for (size_t i = 0; i < count; i++) {
		fit->low_h += s->side[i] & LOWER ? hour[i].hours : 0;
		fit->high_h += s->side[i] & HIGHER ? hour[i].hours : 0;
	}
	fit->low = fmin(leat_quantile(s->slope, s->slopes, 0.1), fmin(m_of(&fit->fall), m_of(&fit->rise)));
	fit->high = fmax(leat_quantile(s->slope, s->slopes, 0.9), fmax(m_of(&fit->fall), m_of(&fit->rise)));
}

/* Did the force follow what was asked of it? */
static bool
moved(const struct way *way)
{
	return way->force >= LEAT_LOSS_FIT_FORCE / 2 * (double)way->hours;
}

static void put_row(struct leat_out *out, const struct leat_loss_mill *mill, const char *property, double value,
    const char *fmt, ...) LEAT_PRINTF(5, 6);

static void
put_row(struct leat_out *out, const struct leat_loss_mill *mill, const char *property, double value, const char *fmt, ...)
{
	char text[LEAT_NUMBER_MAX], note[256];
	va_list args;

	va_start(args, fmt);
	vsnprintf(note, sizeof(note), fmt, args);
	va_end(args);
	leat_number_fixed(text, value, 2);
	leat_out_field(out, mill->asset);
	leat_out_char(out, ',');
	leat_out_text(out, property);
	leat_out_char(out, ',');
	leat_out_text(out, text);
	leat_out_text(out, ",1,");
	leat_out_time(out, mill->kept[0].end);
	leat_out_text(out, ",fit,");
	leat_out_field(out, leat_span_of(note));
	leat_out_char(out, '\n');
}

/* Why there is no row for the mill; false: there is one. */
static bool
refuse(char *dst, size_t size, const struct leat_loss_mill *mill, const struct fit *fit)
{
	double fall = m_of(&fit->fall), rise = m_of(&fit->rise), m = (fall + rise) / 2;
	int len = (int)mill->asset.len;
	const char *name = mill->asset.ptr;

	if (fit->low_h + fit->high_h < LEAT_LOSS_FIT_HOURS || fit->low_h < LEAT_LOSS_HELD_LEAST ||
	    fit->high_h < LEAT_LOSS_HELD_LEAST)
		snprintf(dst, size, "nothing to fit for '%.*s': %.0f h at less force and %.0f h at more, by set points %.0f %% apart "
		    "and of alike material; %.0f h are needed, %.0f on either side", len, name, fit->low_h, fit->high_h,
		    100 * LEAT_LOSS_FIT_FORCE, LEAT_LOSS_FIT_HOURS, LEAT_LOSS_HELD_LEAST);
	else if (fit->fall.hours == 0 || fit->rise.hours == 0)
		snprintf(dst, size, "nothing to fit for '%.*s': the force only %s, and a change of the material at that time would look "
		    "the same", len, name, fit->fall.hours == 0 ? "rose" : "fell");
	else if (!moved(&fit->fall) || !moved(&fit->rise))
		snprintf(dst, size, "nothing to fit for '%.*s': the force did not follow the set point", len, name);
	else if (fabs(fall - rise) > LEAT_LOSS_FIT_AGREE)
		snprintf(dst, size, "nothing to fit for '%.*s': %.2f by falls of the force and %.2f by rises: the feed changed by itself "
		    "too", len, name, fall, rise);
	else if (m < LEAST || m > MOST)
		snprintf(dst, size, "nothing to fit for '%.*s': the feed does not follow the force (%.2f)", len, name, m);
	else
		return false;
	return true;
}

static void
tell_fit(const struct leat_loss_mill *mill, const struct fit *fit, struct leat_out *out, void (*tell)(const char *text))
{
	double fall = m_of(&fit->fall), rise = m_of(&fit->rise);
	char why[256];

	if (refuse(why, sizeof(why), mill, fit)) {
		tell(why);
		return;
	}
	put_row(out, mill, "feed-force-slope", (fall + rise) / 2,
	    "%.2f by falls of the force and %.2f by rises; %.0f h at less force, %.0f h at more", fall, rise, fit->low_h,
	    fit->high_h);
	put_row(out, mill, "feed-force-slope-low", fit->low, "a tenth of the hours gives less");
	put_row(out, mill, "feed-force-slope-high", fit->high, "a tenth of the hours gives more");
}

static int
fit_mill(const struct leat_loss *loss, const struct leat_loss_mill *mill, struct leat_out *out,
    void (*tell)(const char *text))
{
	size_t count = mill->kepts;
	double *room = calloc(count * 4 + 1, sizeof(*room)), window = LEAT_LOSS_WINDOW;
	unsigned char *side = calloc(count + 1, sizeof(*side));
	struct stretch s = { .hour = mill->kept, .side = side };
	struct fit fit = { 0 };
	int status = -1;

	if (room != NULL && side != NULL) {
		s.feed = room;
		s.press = room + count;
		s.slope = room + 2 * count;
		window = fmin(window, leat_loss_plate_number(loss, mill->asset, "equal-feed-days", loss->now));
		fit_hours(&s, count, window * 86400, &fit);
		tell_fit(mill, &fit, out, tell);
		status = 0;
	}
	free(room);
	free(side);
	return status;
}

int
leat_loss_fit(struct leat_loss *loss, struct leat_out *out, void (*tell)(const char *text))
{
	leat_out_text(out, "asset,property,value,unit,from,source,note\n");
	for (size_t i = 0; i < loss->mill_names.count; i++) {
		const struct leat_loss_mill *mill = &loss->mill[i];

		if (mill->state != LEAT_NAME_NONE && mill->pressure != LEAT_NAME_NONE && fit_mill(loss, mill, out, tell) != 0)
			return -1;
	}
	return 0;
}
