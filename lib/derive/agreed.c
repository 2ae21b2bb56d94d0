/* The agreed grinding pressure. */
#include <math.h>

#include "base/number.h"
#include "derive/agreed.h"

void
leat_agreed_init(struct leat_agreed *agreed)
{
	*agreed = (struct leat_agreed){ .bar = NAN, .set_bar = NAN };
}

/* The pressure in bar to which an entry of the logbook set the mill, NaN when it did not. */
static double
entry_bar(const struct leat_log_entry *e, struct leat_span mill)
{
	const struct leat_unit *bar = leat_unit_find(LEAT_SPAN("bar"));
	/* An entry without a point is of the event's own. */
	struct leat_span point = e->point.len > 0 ? e->point : leat_span_of(e->event->point);
	double value;

	if (!leat_span_eq(e->asset, mill) || strcmp(e->event->name, "pressure-setting") != 0 ||
	    !leat_span_is(point, "pressure-setpoint") || leat_double_parse(e->left, &value) != 0)
		return NAN;
	if (e->unit == NULL || e->unit == bar)
		return value;
	return leat_unit_same_dimension(e->unit, bar) ? leat_unit_convert(e->unit, bar, value) : NAN;
}

/* Takes entries up to an instant. */
static void
take_entries(struct leat_agreed *agreed, const struct leat_logbook *book, struct leat_span mill, struct leat_time at)
{
	const struct leat_log_entry *e;

	for (; agreed->next < book->count; agreed->next++) {
		double bar;

		e = &book->entry[agreed->next];
		bar = entry_bar(e, mill);
		if (isnan(bar))
			continue;
		if (leat_time_cmp(e->time, at) > 0)
			return;
		agreed->bar = bar;
		agreed->by = e;
	}
}

static bool
same(double a, double b)
{
	return a == b || (isnan(a) && isnan(b));
}

void
leat_agreed_look(struct leat_agreed *agreed, const struct leat_nameplate *np, const struct leat_logbook *book,
    struct leat_span mill, double set_bar, struct leat_time at)
{
	double then;

	if (!agreed->begun || !same(agreed->set_bar, set_bar)) {
		agreed->bar = set_bar;
		agreed->by = NULL;
	}
	take_entries(agreed, book, mill, at);
	/* At first all earlier entries come at once: a row of the nameplate since the last of them has the last word. */
	if (!agreed->begun && agreed->by != NULL) {
		if (leat_nameplate_number(np, mill, "set-pressure", agreed->by->time, &then) != 0)
			then = NAN;
		if (!same(then, set_bar)) {
			agreed->bar = set_bar;
			agreed->by = NULL;
		}
	}
	agreed->begun = true;
	agreed->set_bar = set_bar;
}

struct leat_time
leat_agreed_next(const struct leat_agreed *agreed, const struct leat_logbook *book)
{
	return agreed->next < book->count ? book->entry[agreed->next].time : LEAT_TIME_NONE;
}
