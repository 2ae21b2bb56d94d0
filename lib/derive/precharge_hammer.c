/* The nitrogen of accumulators: falls of the pressure that strike the bladders. */
#include <math.h>

#include "derive/precharge_private.h"

double
leat_precharge_hammer_below(const struct leat_precharge_mill *own)
{
	return LEAT_PRECHARGE_HAMMER_SHARE * own->fullest_bar;
}

void
leat_precharge_note(struct leat_precharge_extreme *extreme, const struct leat_precharge_mill *own, double precharge_bar)
{
	*extreme = (struct leat_precharge_extreme){ own->bar / precharge_bar, own->bar, precharge_bar, own->at };
}

/* Gives the day what has been kept of the fall. */
static void
hand_over(struct leat_precharge_mill *own)
{
	struct leat_precharge_fall *fall = &own->fall;
	struct leat_precharge_day *day = &own->day;

	day->hammer_s += fall->below_s;
	day->hammer_grinding_s += fall->grinding_s;
	if (!isnan(fall->lowest.ratio) && !(day->lowest.ratio <= fall->lowest.ratio))
		day->lowest = fall->lowest;
	fall->below_s = fall->grinding_s = 0;
	fall->lowest.ratio = NAN;
}

static void
count(struct leat_precharge_mill *own, struct leat_time at)
{
	if (own->day.hammers < LEAT_PRECHARGE_EVENTS)
		own->day.event[own->day.hammers] = (struct leat_precharge_event){ own->fall.from, at, own->fall.bar };
	own->fall.counted = true;
	own->day.hammers++;
	hand_over(own);
}

static void
forget(struct leat_precharge_fall *fall)
{
	fall->open = fall->counted = false;
	fall->below_s = fall->grinding_s = 0;
	fall->lowest.ratio = NAN;
}

/* The way down belongs to a fall too, before it is known for one: it is kept until the mill is looked at. */
void
leat_precharge_hammer_time(struct leat_precharge_mill *own, double below_s)
{
	own->fall.below_s += below_s;
	if (own->doing == LEAT_PRECHARGE_GRINDING)
		own->fall.grinding_s += below_s;
	if (own->fall.counted)
		hand_over(own);
}

void
leat_precharge_hammer_look(struct leat_precharge_mill *own, struct leat_time at, bool read)
{
	struct leat_precharge_fall *fall = &own->fall;
	double limit = leat_precharge_hammer_below(own);
	bool lasting = fall->open && fall->grinding_s >= LEAT_PRECHARGE_HAMMER_S;
	bool known = own->has_pressure && !isnan(limit) && own->doing != LEAT_PRECHARGE_NOT_KNOWN;

	/* At a stop the pressure stays down.  What happened while nothing was known, nobody knows. */
	if (!known || own->doing == LEAT_PRECHARGE_OFF) {
		forget(fall);
		fall->armed = false;
		return;
	}
	if (own->bar >= LEAT_PRECHARGE_HAMMER_BACK * limit) {
		if (fall->open && !fall->counted && (lasting || leat_time_diff(at, fall->from) <= LEAT_PRECHARGE_HAMMER_S))
			count(own, at);
		forget(fall);
		fall->armed = true;
		return;
	}
	if (!fall->open && own->bar < limit && (fall->armed || own->doing == LEAT_PRECHARGE_GRINDING)) {
		fall->open = true;
		fall->from = at;
		fall->bar = own->bar;
		fall->lowest.ratio = NAN;
	}
	fall->bar = fmin(fall->bar, own->bar);
	/* One reading that is held while no other comes proves nothing. */
	if (!fall->open)
		forget(fall);
	else if (read && lasting && !fall->counted)
		count(own, at);
}

void
leat_precharge_hammer_lowest(struct leat_precharge_mill *own)
{
	struct leat_precharge_fall *fall = &own->fall;
	double ratio = own->bar / own->fullest_bar;
	bool waits = fall->open && !fall->counted && ratio < LEAT_PRECHARGE_HAMMER_SHARE;
	struct leat_precharge_extreme *lowest = waits ? &fall->lowest : &own->day.lowest;

	if (!(lowest->ratio <= ratio))
		leat_precharge_note(lowest, own, own->fullest_bar);
}

/* Works' days are an hour longer or shorter where clocks are set. */
#define WEEK_S ((LEAT_PRECHARGE_WEEK - 0.5) * 86400)

int
leat_precharge_week(const struct leat_precharge_mill *own, struct leat_time day_end)
{
	int hammers = own->day.hammers;

	for (size_t i = 0; i < LEAT_PRECHARGE_WEEK - 1; i++)
		if (!leat_time_is_none(own->week[i].end) && leat_time_diff(day_end, own->week[i].end) < WEEK_S)
			hammers += own->week[i].hammers;
	return hammers;
}

void
leat_precharge_week_end(struct leat_precharge_mill *own, struct leat_time day_end)
{
	memmove(&own->week[1], &own->week[0], (LEAT_PRECHARGE_WEEK - 2) * sizeof(own->week[0]));
	own->week[0].end = day_end;
	own->week[0].hammers = own->day.hammers;
}
