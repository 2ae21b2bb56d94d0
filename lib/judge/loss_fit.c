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
 * Each hour is set beside the hours of more force within the window, those before it and those after it apart: its slope is
 * the median of ln(feed ratio) / ln(force ratio) over them.  A pair must differ for a reason other than the force that is
 * read: by the set point, or by a pressure that one did not hold.  Hours picked by their force alone would be those whose
 * readings err, and the slope too small.  Where the feed also drifts by itself, slopes by falls of the force err to one side
 * and those by rises to the other, so that their mean keeps clear of a steady drift, and their difference shows it.
 */
struct fit {
	double low_h, high_h;		/* hours in pairs, on the side of less force and on that of more */
	double fall, rise, low, high;	/* NaN: no hour gives one */
	size_t falls, rises;
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

/* The slope of hour i over its partners from first on to last; NaN: there is none. */
static double
slope_of(const struct leat_loss_hour *hour, size_t i, size_t first, size_t last, double *work, unsigned char *side)
{
	size_t n = 0;

	for (size_t k = first; k < last; k++) {
		bool blind = isnan(hour[k].kn) || isnan(hour[i].kn);
		double force;

		if (k == i || !usable(&hour[k]) || !apart(&hour[i], &hour[k]))
			continue;
		force = log(leat_loss_press(&hour[k], blind) / leat_loss_press(&hour[i], blind));
		if (!(force >= LEAT_LOSS_FIT_FORCE))
			continue;
		work[n++] = log(hour[k].feed_tph / hour[i].feed_tph) / force;
		side[k] |= HIGHER;
		side[i] |= LOWER;
	}
	return leat_median(work, n);
}

static void
fit_hours(const struct leat_loss_hour *hour, size_t count, double window_s, double *room, unsigned char *side,
    struct fit *fit)
{
	double *work = room, *fall = work + count, *rise = fall + count, *all = rise + count;
	size_t first = 0, last = 0, n = 0;

	for (size_t i = 0; i < count; i++) {
		double before, after;

		while (leat_time_diff(hour[i].end, hour[first].end) > window_s)
			first++;
		while (last < count && leat_time_diff(hour[last].end, hour[i].end) <= window_s)
			last++;
		if (!usable(&hour[i]))
			continue;
		before = slope_of(hour, i, first, i, work, side);
		after = slope_of(hour, i, i, last, work, side);
		if (!isnan(before))
			fall[fit->falls++] = all[n++] = before;
		if (!isnan(after))
			rise[fit->rises++] = all[n++] = after;
	}
	for (size_t i = 0; i < count; i++) {
		fit->low_h += side[i] & LOWER ? hour[i].hours : 0;
		fit->high_h += side[i] & HIGHER ? hour[i].hours : 0;
	}
	fit->fall = leat_median(fall, fit->falls);
	fit->rise = leat_median(rise, fit->rises);
	fit->low = fmin(leat_quantile(all, n, 0.1), fmin(fit->fall, fit->rise));
	fit->high = fmax(leat_quantile(all, n, 0.9), fmax(fit->fall, fit->rise));
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
	double m = (fit->fall + fit->rise) / 2;
	int len = (int)mill->asset.len;
	const char *name = mill->asset.ptr;

	if (fit->low_h + fit->high_h < LEAT_LOSS_FIT_HOURS || fit->low_h < LEAT_LOSS_HELD_LEAST ||
	    fit->high_h < LEAT_LOSS_HELD_LEAST)
		snprintf(dst, size, "nothing to fit for '%.*s': %.0f h at less force and %.0f h at more (%.0f %% apart, of alike "
		    "material); %.0f h are needed, %.0f on either side", len, name, fit->low_h, fit->high_h, 100 * LEAT_LOSS_FIT_FORCE,
		    LEAT_LOSS_FIT_HOURS, LEAT_LOSS_HELD_LEAST);
	else if (fit->falls == 0 || fit->rises == 0)
		snprintf(dst, size, "nothing to fit for '%.*s': the force only %s, and a change of the material at that time would look "
		    "the same", len, name, fit->falls == 0 ? "rose" : "fell");
	else if (fabs(fit->fall - fit->rise) > LEAT_LOSS_FIT_AGREE)
		snprintf(dst, size, "nothing to fit for '%.*s': %.2f by falls of the force and %.2f by rises: the feed changed by itself "
		    "too", len, name, fit->fall, fit->rise);
	else if (m < LEAST || m > MOST)
		snprintf(dst, size, "nothing to fit for '%.*s': the feed does not follow the force (%.2f)", len, name, m);
	else
		return false;
	return true;
}

static int
fit_mill(const struct leat_loss *loss, const struct leat_loss_mill *mill, struct leat_out *out,
    void (*tell)(const char *text))
{
	double *room = calloc(mill->kepts * 5 + 1, sizeof(*room)), window = LEAT_LOSS_WINDOW;
	unsigned char *side = calloc(mill->kepts + 1, sizeof(*side));
	struct fit fit = { 0 };
	char why[256];
	int status = -1;

	if (room != NULL && side != NULL) {
		window = fmin(window, leat_loss_plate_number(loss, mill->asset, "equal-feed-days", loss->now));
		fit_hours(mill->kept, mill->kepts, window * 86400, room, side, &fit);
		if (refuse(why, sizeof(why), mill, &fit)) {
			tell(why);
		} else {
			put_row(out, mill, "feed-force-slope", (fit.fall + fit.rise) / 2,
			    "%.2f by falls of the force and %.2f by rises; %.0f h at less force, %.0f h at more", fit.fall, fit.rise,
			    fit.low_h, fit.high_h);
			put_row(out, mill, "feed-force-slope-low", fit.low, "a tenth of the hours gives less");
			put_row(out, mill, "feed-force-slope-high", fit.high, "a tenth of the hours gives more");
		}
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
