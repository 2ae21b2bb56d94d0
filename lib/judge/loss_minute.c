/* A minute of a mill, and the hour that minutes become. */
#include <math.h>

#include "judge/loss_private.h"
#include "physics/cost.h"
#include "physics/force.h"
#include "physics/mill_state.h"
#include "stream/quantity.h"

/* A set point has changed, or lies below what was agreed, from this share of the tolerance on: less is the noise of an
 * analogue signal (common practice). */
#define STILL_SHARE 0.1

double
leat_loss_plate_number(const struct leat_loss *loss, struct leat_span asset, const char *property, struct leat_time at)
{
	double value;

	return leat_nameplate_number(loss->form.np, asset, property, at, &value) == 0 ? value : NAN;
}

static void
read_plate(const struct leat_loss *loss, struct leat_loss_mill *mill, struct leat_time at)
{
	struct leat_loss_plate *plate = &mill->plate;

	plate->set_bar = leat_loss_plate_number(loss, mill->asset, "set-pressure", at);
	plate->set_head_bar = leat_loss_plate_number(loss, mill->asset, "set-head-pressure", at);
	plate->tolerance_bar = leat_loss_plate_number(loss, mill->asset, "pressure-tolerance", at);
	plate->settling_s = leat_loss_plate_number(loss, mill->asset, "setpoint-settling", at) * 60;
	plate->bore_mm = leat_loss_plate_number(loss, mill->asset, "bore", at);
	plate->rod_mm = leat_loss_plate_number(loss, mill->asset, "rod", at);
	plate->rated_tph = leat_loss_plate_number(loss, mill->asset, "rated-feed", at);
	plate->until = leat_nameplate_next(loss->form.np, at);
}

static double
tolerance_of(const struct leat_loss_plate *plate, double set_bar)
{
	return plate->tolerance_bar > 0 ? plate->tolerance_bar :
	    fmax(LEAT_MILL_TOLERANCE_BAR, LEAT_MILL_TOLERANCE_SHARE * set_bar);
}

struct leat_loss_day *
leat_loss_running(struct leat_loss_mill *mill)
{
	return &mill->day[mill->days % LEAT_LOSS_RING];
}

/* What the instruments of a minute show; NaN: nothing. */
struct seen {
	double bar, set_bar, head_bar, feed_tph;
	bool uncertain;
};

static int
read_minute(struct leat_loss *loss, const struct leat_loss_mill *mill, struct seen *seen, struct leat_error *err)
{
	const struct leat_current *current = &loss->current;
	struct leat_time at = loss->minutes.at;
	bool *uncertain = &seen->uncertain;

	if (leat_quantity_valid(current, mill->pressure, loss->bar, at, &seen->bar, uncertain, err) != 0 ||
	    leat_quantity_valid(current, mill->head, loss->bar, at, &seen->head_bar, uncertain, err) != 0 ||
	    leat_quantity_valid(current, mill->feed, loss->tph, at, &seen->feed_tph, uncertain, err) != 0)
		return -1;
	seen->set_bar = mill->plate.set_bar;
	if (mill->setpoint != LEAT_NAME_NONE &&
	    leat_quantity_valid(current, mill->setpoint, loss->bar, at, &seen->set_bar, uncertain, err) != 0)
		return -1;
	/* Some controls put the set point to zero at a stop. */
	if (!(seen->set_bar > 0))
		seen->set_bar = NAN;
	return 0;
}

/* Follows the set point, in whatever state. */
static void
follow_set(struct leat_loss_mill *mill, double set_bar, struct leat_time at)
{
	if (isnan(set_bar) || fabs(set_bar - mill->anchor_bar) <= STILL_SHARE * tolerance_of(&mill->plate, set_bar))
		return;
	/* What the nameplate says has been so before; of a tag's first reading nobody knows. */
	if (mill->setpoint != LEAT_NAME_NONE || !isnan(mill->anchor_bar))
		mill->admit_from = leat_time_add(at, mill->plate.settling_s);
	mill->anchor_bar = set_bar;
}

static enum leat_loss_reason
reason_of(const struct leat_loss_mill *mill, const struct seen *seen, struct leat_time at)
{
	if (!(seen->bar > 0))
		return LEAT_LOSS_NO_PRESSURE;
	if (isnan(seen->set_bar))
		return LEAT_LOSS_NO_SETPOINT;
	if (!leat_time_is_none(mill->admit_from) && leat_time_cmp(at, mill->admit_from) < 0)
		return LEAT_LOSS_SETTLING;
	/* A mill that is given nothing loses nothing; one whose feed is not read may. */
	return seen->feed_tph <= 0 ? LEAT_LOSS_NO_FEED : LEAT_LOSS_ADMITTED;
}

static void
add_minute(struct leat_loss_mill *mill, const struct seen *seen)
{
	mill->sum.minutes++;
	mill->sum.uncertain += seen->uncertain;
	mill->sum.bar += seen->bar;
	mill->sum.set_bar += seen->set_bar;
	mill->sum.agreed_bar += isnan(mill->agreed.bar) ? seen->set_bar : mill->agreed.bar;
	if (!isnan(seen->head_bar)) {
		mill->sum.heads++;
		mill->sum.head_bar += seen->head_bar;
	}
	if (!isnan(seen->feed_tph)) {
		mill->sum.feeds++;
		mill->sum.feed_tph += seen->feed_tph;
	}
}

/* Force of the hour and what is missing of it. */
static void
judge_hour(const struct leat_loss_mill *mill, struct leat_loss_hour *h)
{
	const struct leat_loss_plate *plate = &mill->plate;
	bool known = !isnan(h->head_bar) && leat_force_possible(plate->bore_mm, plate->rod_mm);
	double head = known && !isnan(plate->set_head_bar) ? plate->set_head_bar : h->head_bar;
	double full = leat_cost_force(h->agreed_bar, head, plate->bore_mm, plate->rod_mm);
	double set = leat_cost_force(fmin(h->set_bar, h->agreed_bar), head, plate->bore_mm, plate->rod_mm), now;

	/* Oil behind worn seals that lifts takes as much off as a grinding pressure that is lower by that. */
	h->even_bar = !known ? h->bar : h->bar - (h->head_bar - head) * leat_force_head_area_mm2(plate->bore_mm) /
	    leat_force_ring_area_mm2(plate->bore_mm, plate->rod_mm);
	now = leat_cost_force(h->even_bar, head, plate->bore_mm, plate->rod_mm);
	h->kn = known ? now : NAN;
	h->lowered = h->unheld = 0;
	if (!(full > 0))
		return;
	if (h->agreed_bar - h->set_bar > STILL_SHARE * h->tolerance_bar)
		h->lowered = 1 - set / full;
	if (h->set_bar - h->even_bar > h->tolerance_bar)
		h->unheld = fmax(0, (set - now) / full);
}

int
leat_loss_end_hour(struct leat_loss *loss, struct leat_loss_mill *mill, struct leat_time at)
{
	struct leat_loss_day *day = leat_loss_running(mill);
	long n = mill->sum.minutes;
	struct leat_loss_hour h = { .end = at, .hours = (double)n / 60, .good = mill->sum.uncertain == 0 };

	if (n >= LEAT_LOSS_HOUR_LEAST && day->hours < LEAT_LOSS_HOURS) {
		h.bar = mill->sum.bar / (double)n;
		h.set_bar = mill->sum.set_bar / (double)n;
		h.agreed_bar = mill->sum.agreed_bar / (double)n;
		/* What was read in less than half of the hour does not stand for it. */
		h.head_bar = 2 * mill->sum.heads >= n ? mill->sum.head_bar / (double)mill->sum.heads : NAN;
		h.feed_tph = 2 * mill->sum.feeds >= n ? mill->sum.feed_tph / (double)mill->sum.feeds : NAN;
		h.tolerance_bar = tolerance_of(&mill->plate, h.set_bar);
		h.fed = mill->plate.rated_tph > 0 && h.feed_tph >= LEAT_LOSS_FED * mill->plate.rated_tph;
		judge_hour(mill, &h);
		day->hour[day->hours++] = h;
		if (loss->form.fit) {
			if (leat_grow(&mill->kept, &mill->kept_cap, mill->kepts + 1, sizeof(*mill->kept)) != 0)
				return -1;
			mill->kept[mill->kepts++] = h;
		}
	} else {
		day->refused[LEAT_LOSS_ADMITTED] += n;
	}
	memset(&mill->sum, 0, sizeof(mill->sum));
	return 0;
}

static void
begin(struct leat_loss_mill *mill)
{
	mill->begun = true;
	leat_agreed_init(&mill->agreed);
	mill->anchor_bar = NAN;
	mill->admit_from = LEAT_TIME_NONE;
}

int
leat_loss_look(struct leat_loss *loss, struct leat_loss_mill *mill, bool *known, struct leat_error *err)
{
	struct leat_time at = loss->minutes.at;
	const struct leat_latest *state = leat_current_series(&loss->current, mill->state, at);
	struct leat_loss_day *day = leat_loss_running(mill);
	struct seen seen = { .bar = NAN, .set_bar = NAN, .head_bar = NAN, .feed_tph = NAN };
	enum leat_loss_reason reason;
	bool first = !mill->begun;

	if (first)
		begin(mill);
	if (first || (!leat_time_is_none(mill->plate.until) && leat_time_cmp(at, mill->plate.until) >= 0))
		read_plate(loss, mill, at);
	leat_agreed_look(&mill->agreed, loss->form.np, &loss->book, mill->asset, mill->plate.set_bar, at);
	mill->bar = NAN;
	if (state == NULL || state->is_number || state->word == loss->unknown)
		return 0;
	*known = true;
	day->known++;
	seen.uncertain = state->quality != LEAT_GOOD;
	if (read_minute(loss, mill, &seen, err) != 0)
		return -1;
	mill->bar = seen.bar;
	follow_set(mill, seen.set_bar, at);
	if (state->word != loss->grinding)
		return 0;
	day->grinding++;
	reason = reason_of(mill, &seen, at);
	if (reason == LEAT_LOSS_ADMITTED)
		add_minute(mill, &seen);
	else
		day->refused[reason]++;
	return 0;
}
