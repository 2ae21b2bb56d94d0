/* The axes of pictures: values in round steps, times by the clock of the works. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/period.h"
#include "tell/picture_private.h"
#include "tell/text.h"

#define HOUR 3600
#define DAY 86400
#define YEARS_END INT64_C(253402300799)	/* 9999-12-31T23:59:59Z */

static const char *const month_name[] = {
	"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"
};
static const char *const day_name[] = { "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun" };

/* The round step below one of 1, 2 or 5 times a power of ten. */
static double
finer(double step)
{
	double ten = pow(10, floor(log10(step) + 1e-9));

	return step > 4 * ten ? 2 * ten : step > 1.5 * ten ? ten : ten / 2;
}

/* Rounds low and high outward to a step of 1, 2 or 5 times a power of ten, some 35 pixels apart. */
void
picture_axis_values(struct picture_axis *axis, double low, double high, double pixels)
{
	double most = floor(pixels / 32), size, ten;
	int exponent;

	most = most < 2 ? 2 : most > 7 ? 7 : most;
	size = fmax(fabs(low), fabs(high));
	/* Steps of numbers that are next to nothing would be none. */
	if (!(high - low > fmax(size * 1e-7, 1e-280))) {
		double pad = size > 1e-280 ? size * 0.05 : 1;

		low -= pad;
		high += pad;
	}
	exponent = (int)floor(log10((high - low) / most));
	ten = pow(10, exponent);
	axis->step = ten;
	for (int i = 0; i < 4 && (high - low) / axis->step > most; i++)
		axis->step = ten * (i == 0 ? 2 : i == 1 ? 5 : i == 2 ? 10 : 20);
	/* One tick alone is no scale. */
	while (floor(high / axis->step) - ceil(low / axis->step) < 1)
		axis->step = finer(axis->step);
	axis->low = low;
	axis->high = high;
	axis->power = 0;
	size = fmax(fabs(low), fabs(high));
	if (size >= 1e6 || size < 1e-3)
		axis->power = (int)(3 * floor(log10(size) / 3));
	exponent = (int)floor(log10(axis->step) + 1e-9) - axis->power;
	axis->decimals = exponent >= 0 ? 0 : exponent < -12 ? 12 : -exponent;
}

size_t
picture_axis_label(char *dst, const struct picture_axis *axis, double value)
{
	/* A tick that is zero but for the noise of the addition. */
	if (fabs(value) < axis->step * 1e-6)
		value = 0;
	return leat_number_fixed(dst, value / pow(10, axis->power), axis->decimals);
}

void
picture_axis_unit(char *dst, size_t size, const struct picture_panel *panel)
{
	static const char *const digit[] = { "⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹" };
	const char *unit = picture_unit(panel);
	int power = panel->axis.power;

	if (power == 0 || picture_is_words(panel))
		snprintf(dst, size, "%s", unit);
	else
		snprintf(dst, size, "× 10%s%s%s%s %s", power < 0 ? "⁻" : "", abs(power) >= 100 ? digit[abs(power) / 100 % 10] : "",
		    abs(power) >= 10 ? digit[abs(power) / 10 % 10] : "", digit[abs(power) % 10], unit);
}

double
picture_x(const struct leat_picture *p, double t)
{
	return p->left + (t - p->start) / (p->end - p->start) * (p->right - p->left);
}

double
picture_y(const struct picture_panel *panel, double v)
{
	return panel->plot_top + panel->plot_height * (1 - (v - panel->axis.low) / (panel->axis.high - panel->axis.low));
}

static struct leat_civil
civil(const struct leat_picture *p, double t)
{
	return leat_zone_civil(p->form.zone, (struct leat_time){ (int64_t)floor(t), 0 });
}

void
picture_date(char *dst, size_t size, const struct leat_zone *zone, double t)
{
	struct leat_civil c = leat_zone_civil(zone, (struct leat_time){ (int64_t)floor(t), 0 });

	snprintf(dst, size, "%d" LEAT_TEXT_GLUE "%s" LEAT_TEXT_GLUE "%d", c.day, month_name[c.month - 1], c.year);
}

enum grain { SECONDS, DAYS, MONTHS, YEARS };

struct step {
	enum grain grain;
	int length;
};

static const struct step steps[] = {
	{ SECONDS, 1 }, { SECONDS, 5 }, { SECONDS, 10 }, { SECONDS, 30 }, { SECONDS, 60 }, { SECONDS, 120 }, { SECONDS, 300 },
	{ SECONDS, 600 }, { SECONDS, 900 }, { SECONDS, 1800 }, { SECONDS, HOUR }, { SECONDS, 2 * HOUR }, { SECONDS, 3 * HOUR },
	{ SECONDS, 6 * HOUR }, { SECONDS, 12 * HOUR }, { DAYS, 1 }, { DAYS, 2 }, { DAYS, 7 }, { DAYS, 14 }, { MONTHS, 1 },
	{ MONTHS, 2 }, { MONTHS, 3 }, { MONTHS, 6 }, { YEARS, 1 }, { YEARS, 2 }, { YEARS, 5 }, { YEARS, 10 }, { YEARS, 20 },
	{ YEARS, 50 }, { YEARS, 100 }, { YEARS, 500 }, { YEARS, 1000 }
};

static double
step_seconds(const struct step *s)
{
	static const double grain[] = { 1, DAY, 30.44 * DAY, 365.25 * DAY };

	return s->length * grain[s->grain];
}

/* The pixels that a label of the step may need, with a space. */
static double
step_pixels(const struct step *s)
{
	if (s->grain == SECONDS && s->length < 60)
		return 62;
	/* Two make a day, whose date stands below. */
	if (s->grain == SECONDS && s->length == 12 * HOUR)
		return 56;
	return s->grain == YEARS ? 40 : s->grain == MONTHS && s->length < 6 ? 34 : 46;
}

static const struct step *
choose(const struct leat_picture *p)
{
	double per_second = (p->right - p->left) / (p->end - p->start);
	size_t i = 0, last = sizeof(steps) / sizeof(steps[0]) - 1;

	while (i < last && step_seconds(&steps[i]) * per_second < step_pixels(&steps[i]))
		i++;
	return &steps[i];
}

/* The first instant of a local day; months and years count in days of their first. */
static double
day_start(const struct leat_picture *p, int64_t day)
{
	return (double)leat_zone_day_instant(p->form.zone, day, 0).sec;
}

/* The tick after t: of a day, a month or a year. */
static double
next_of_calendar(const struct leat_picture *p, const struct step *s, double t)
{
	struct leat_civil c = civil(p, t);
	int64_t day = leat_days_from_civil(c.year, c.month, c.day), length = s->length;

	if (s->grain == DAYS) {
		/* Weeks begin on Monday; 1970-01-05 was one. */
		int64_t from = length % 7 == 0 ? 4 : 0, past = ((day - from) % length + length) % length;

		return day_start(p, day - past + length);
	}
	if (s->grain == MONTHS) {
		int month = c.month + s->length - (c.month - 1) % s->length;

		return day_start(p, leat_days_from_civil(c.year + (month > 12), month > 12 ? month - 12 : month, 1));
	}
	length = c.year - c.year % s->length + s->length;
	return length > 9999 ? INFINITY : day_start(p, leat_days_from_civil((int)length, 1, 1));
}

/* The next instant after t at which the clock shows a multiple of the step.  In the hour that comes twice steps of an hour
 * and less come twice too, longer ones once. */
static double
next_of_clock(const struct leat_picture *p, const struct step *s, double t)
{
	int64_t at = (int64_t)floor(t), fine = s->length < HOUR ? s->length : HOUR, past;
	struct leat_time twice[2];

	for (;;) {
		struct leat_civil c;

		at += fine;
		if (at > YEARS_END)
			return INFINITY;
		past = (at + leat_zone_offset(p->form.zone, at)) % fine;
		at -= past < 0 ? past + fine : past;
		if ((double)at <= t)
			continue;
		c = civil(p, (double)at);
		if ((c.hour * HOUR + c.minute * 60 + c.second) % s->length != 0)
			continue;
		if (s->length <= HOUR || leat_zone_instants(p->form.zone, &c, twice) < 2 || twice[0].sec == at)
			return (double)at;
	}
}

static double
next_tick(const struct leat_picture *p, const struct step *s, double t)
{
	double next = s->grain == SECONDS ? next_of_clock(p, s, t) : next_of_calendar(p, s, t);

	/* Where the calendar ends. */
	return next > t ? next : INFINITY;
}

/* Is it in the second pass of an hour that comes twice? */
static bool
again(const struct leat_picture *p, double t)
{
	struct leat_civil c = civil(p, t);
	struct leat_time at[2];

	return leat_zone_instants(p->form.zone, &c, at) == 2 && at[1].sec == (int64_t)floor(t);
}

bool
picture_time_repeats(const struct leat_picture *p)
{
	const struct step *s = choose(p);

	if (s->grain != SECONDS || s->length < 60 || s->length > HOUR)
		return false;
	for (double t = next_tick(p, s, p->start - 1); t <= p->end; t = next_tick(p, s, t))
		if (again(p, t))
			return true;
	return false;
}

/* The first line of a tick's label. */
static void
tick_text(const struct leat_picture *p, const struct step *s, double t, char *dst, size_t size)
{
	struct leat_civil c = civil(p, t);

	if (s->grain == SECONDS && s->length < 60)
		snprintf(dst, size, "%02d:%02d:%02d", c.hour, c.minute, c.second);
	else if (s->grain == SECONDS)
		/* A star marks the second pass of an hour that comes twice; the note below says so. */
		snprintf(dst, size, "%02d:%02d%s", c.hour, c.minute, again(p, t) ? "*" : "");
	else if (s->grain == DAYS)
		snprintf(dst, size, "%d %s", c.day, month_name[c.month - 1]);
	else if (s->grain == MONTHS)
		snprintf(dst, size, "%s", month_name[c.month - 1]);
	else
		snprintf(dst, size, "%d", c.year);
}

/* The second line: the day to hours, the year to days and months. */
static void
context_text(const struct leat_picture *p, const struct step *s, double t, char *dst, size_t size)
{
	struct leat_civil c = civil(p, t);
	int64_t day = leat_days_from_civil(c.year, c.month, c.day);

	if (s->grain == SECONDS)
		snprintf(dst, size, "%s %d %s %d", day_name[((day + 3) % 7 + 7) % 7], c.day, month_name[c.month - 1], c.year);
	else
		snprintf(dst, size, "%d", c.year);
}

/* The days or years below the ticks, each where it begins, and the first at the left. */
static void
contexts(const struct leat_picture *p, const struct step *s, struct leat_out *out, double y)
{
	const struct step each = { s->grain == SECONDS ? DAYS : YEARS, 1 };
	double free_from = -1e9, t = p->start;

	while (t < p->end) {
		double next = next_tick(p, &each, t), x = picture_x(p, t);
		char text[48];

		context_text(p, s, t, text, sizeof(text));
		/* The first gives way where the next would have no room beside it. */
		if (x >= free_from && (next >= p->end || t > p->start ||
		    picture_x(p, next) - x > svg_width(leat_span_of(text), 11, false) + 6) &&
		    x + svg_width(leat_span_of(text), 11, false) < p->width) {
			svg_text(out, x, y, 11, SVG_START, SOFT, false, leat_span_of(text));
			free_from = x + svg_width(leat_span_of(text), 11, false) + 6;
		}
		t = next;
	}
}

void
picture_time_axis(const struct leat_picture *p, struct leat_out *out, double top, double bottom, bool labels)
{
	const struct step *s = choose(p);
	double free_from = p->left - 30;
	char text[48];

	for (double t = next_tick(p, s, p->start - 1); t <= p->end; t = next_tick(p, s, t)) {
		double x = picture_x(p, t), half;

		if (t < p->start)
			continue;
		if (!labels) {
			svg_line(out, x, top, x, bottom, GRID, 1, NULL);
			continue;
		}
		svg_line(out, x, bottom, x, bottom + 4, SOFT, 1, NULL);
		tick_text(p, s, t, text, sizeof(text));
		half = svg_width(leat_span_of(text), 11, false) / 2;
		if (x - half < free_from || x + half > p->width)
			continue;
		svg_text(out, x, bottom + 15, 11, SVG_MIDDLE, INK, false, leat_span_of(text));
		free_from = x + half + 4;
	}
	if (labels && s->grain != YEARS)
		contexts(p, s, out, bottom + 29);
}
