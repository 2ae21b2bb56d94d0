/* A total kept between readings of a counter. */
#include <math.h>

#include "derive/counter.h"

void
leat_counter_add(struct leat_counter *c, double low, double value, double high)
{
	c->low += low;
	c->value += value;
	c->high += high;
}

static double
within(double x, double low, double high)
{
	return x < low ? low : x > high ? high : x;
}

static void
pull(struct leat_counter *c, double total, double digit)
{
	c->value = within(c->value, total, total + digit);
	c->low = within(c->low, total, total + digit);
	c->high = within(c->high, total, total + digit);
}

/* The size of a counter that went from the last reading to shown by wrapping around; 0 when none fits.  Counters have
 * three to nine decimal digits, or 15, 16, 31 or 32 bits. */
static double
wrap_size(const struct leat_counter *c, double shown, double most)
{
	static const double sizes[] = {
		1e3, 1e4, 32768, 65536, 1e5, 1e6, 1e7, 1e8, 1e9, 2147483648.0, 4294967296.0
	};

	for (size_t i = 0; i < sizeof(sizes) / sizeof(sizes[0]); i++)
		if (sizes[i] > c->shown && shown + sizes[i] - c->shown <= most)
			return sizes[i];
	return 0;
}

static void
note_reading(struct leat_counter *c, struct leat_time at, double shown, double digit)
{
	c->read = true;
	c->pending = false;
	c->shown = shown;
	c->digit = digit;
	c->at = at;
}

enum leat_counter_kind
leat_counter_reading(struct leat_counter *c, struct leat_time at, double shown, double digit, double per_s, double slack)
{
	enum leat_counter_kind kind = LEAT_COUNTER_FITS;
	double most, size;

	if (!c->anchored) {
		c->anchored = true;
		c->offset = 0;
		c->value = c->low = shown;
		c->high = shown + digit;
		note_reading(c, at, shown, digit);
		return LEAT_COUNTER_FIRST;
	}
	if (c->pending)
		c->offset = c->value - shown;
	else if (c->read) {
		most = leat_time_diff(at, c->at) * per_s + slack + digit + c->digit;
		if (shown + digit < c->shown) {
			size = wrap_size(c, shown, most);
			c->offset = size > 0 ? c->offset + size : c->value - shown;
			kind = size > 0 ? LEAT_COUNTER_WRAPPED : LEAT_COUNTER_OTHER;
		} else if (shown - c->shown > most) {
			c->offset = c->value - shown;
			kind = LEAT_COUNTER_OTHER;
		}
	}
	/* The first reading of another counter says nothing of the total. */
	if (!c->pending && kind != LEAT_COUNTER_OTHER)
		pull(c, shown + c->offset, digit);
	note_reading(c, at, shown, digit);
	return kind;
}

void
leat_counter_changed(struct leat_counter *c, struct leat_time at, double found, double left, double digit)
{
	if (!isnan(found) && (c->anchored || c->read))
		pull(c, found + c->offset, digit);
	else if (!isnan(found)) {
		c->value = c->low = found;
		c->high = found + digit;
	}
	c->anchored = c->anchored || !isnan(found) || !isnan(left);
	c->pending = isnan(left);
	c->read = false;
	if (c->pending)
		return;
	c->offset = c->value - left;
	note_reading(c, at, left, digit);
}

void
leat_counter_renew(struct leat_counter *c)
{
	/* Where the counter stands is not known before it was read. */
	c->pending = c->pending || !c->anchored;
	c->offset -= c->value;
	c->value = c->low = c->high = 0;
	c->anchored = true;
}
