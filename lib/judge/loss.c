/* Losses: the stream and the flow of time. */
#include <math.h>
#include <stdlib.h>

#include "judge/loss_private.h"

enum role {
	ROLE_NEW,
	ROLE_SILENT,		/* made by a filter: no sign that the mill's instruments report */
	ROLE_SIGN,		/* of no use but that: they do */
	ROLE_VALUE
};

/* What is asked for of a mill, by name. */
static const char *const mill_point[] = { "state", "pressure", "pressure-setpoint", "head-pressure", "feed-rate" };

struct leat_loss *
leat_loss_new(const struct leat_loss_form *form)
{
	struct leat_loss *loss = calloc(1, sizeof(*loss));

	if (loss == NULL)
		return NULL;
	loss->form = *form;
	loss->book = *form->book;
	leat_current_init(&loss->current, form->in, form->points);
	leat_minutes_init(&loss->minutes);
	loss->bar = leat_unit_find(LEAT_SPAN("bar"));
	loss->lpm = leat_unit_find(LEAT_SPAN("L/min"));
	loss->tph = leat_unit_find(LEAT_SPAN("t/h"));
	loss->last = loss->now = LEAT_TIME_NONE;
	loss->grinding = leat_current_word(&loss->current, LEAT_SPAN("grinding"));
	loss->unknown = leat_current_word(&loss->current, LEAT_SPAN("unknown"));
	/* Hours of a ring, by feed and by force, and their days. */
	loss->work = calloc((size_t)LEAT_LOSS_RING * LEAT_LOSS_HOURS * 4, sizeof(*loss->work));
	if (loss->grinding == LEAT_NAME_NONE || loss->unknown == LEAT_NAME_NONE || loss->work == NULL) {
		leat_loss_free(loss);
		return NULL;
	}
	return loss;
}

void
leat_loss_free(struct leat_loss *loss)
{
	if (loss == NULL)
		return;
	for (size_t i = 0; i < loss->mill_names.count && i < loss->mill_cap; i++) {
		free(loss->mill[i].day);
		free(loss->mill[i].kept);
	}
	free(loss->mill);
	free(loss->pump);
	free(loss->leak);
	free(loss->role);
	free(loss->work);
	leat_names_free(&loss->mill_names);
	leat_current_free(&loss->current);
	free(loss);
}

static int
find_mill(struct leat_loss *loss, struct leat_span asset, size_t *number)
{
	size_t count = loss->mill_names.count;
	uint32_t id = leat_names_put(&loss->mill_names, leat_asset_mill(asset));
	struct leat_loss_mill *mill;

	if (id == LEAT_NAME_NONE || leat_grow(&loss->mill, &loss->mill_cap, loss->mill_names.count, sizeof(*loss->mill)) != 0)
		return -1;
	*number = id;
	if (id < count)
		return 0;
	mill = &loss->mill[id];
	mill->asset = loss->mill_names.name[id];
	mill->state = mill->pressure = mill->setpoint = mill->head = mill->feed = LEAT_NAME_NONE;
	mill->bar = NAN;
	/* Days that were before it came are empty ones. */
	mill->days = loss->days;
	mill->day = calloc(LEAT_LOSS_RING, sizeof(*mill->day));
	return mill->day != NULL ? 0 : -1;
}

static int
add_leak(struct leat_loss *loss, const struct leat_reading *r, size_t mill, enum leat_loss_kind kind)
{
	struct leat_loss_leak *leak;

	if (leat_grow(&loss->leak, &loss->leak_cap, loss->leaks + 1, sizeof(*loss->leak)) != 0)
		return -1;
	leak = &loss->leak[loss->leaks++];
	leak->asset = leat_readings_assets(loss->form.in)->name[r->asset_id];
	leak->point = leat_readings_points(loss->form.in)->name[r->point_id];
	leak->mill = mill;
	leak->kind = kind;
	leak->series = r->series;
	for (size_t i = 0; i < LEAT_LOSS_DAYS; i++)
		leak->day[i].value = NAN;
	return 0;
}

static int
add_pump(struct leat_loss *loss, const struct leat_reading *r, size_t mill)
{
	if (leat_grow(&loss->pump, &loss->pump_cap, loss->pumps + 1, sizeof(*loss->pump)) != 0)
		return -1;
	loss->pump[loss->pumps++] = (struct leat_loss_pump){ .mill = mill, .asset_id = r->asset_id, .running = r->series };
	return 0;
}

/* Finds out once what a series of a mill itself is.  1: of use, 0: not, -1: memory is out. */
static int
prepare_own(struct leat_loss *loss, const struct leat_reading *r, size_t number)
{
	struct leat_loss_mill *mill = &loss->mill[number];
	uint32_t *slot[] = { &mill->state, &mill->pressure, &mill->setpoint, &mill->head, &mill->feed };

	for (size_t i = 0; i < sizeof(slot) / sizeof(slot[0]); i++) {
		if (leat_span_is(r->point, mill_point[i])) {
			*slot[i] = r->series;
			return 1;
		}
	}
	if (leat_span_is(r->point, "internal-leakage"))
		return add_leak(loss, r, number, LEAT_LOSS_INTERNAL) == 0 ? 1 : -1;
	return 0;
}

static int
prepare(struct leat_loss *loss, const struct leat_reading *r)
{
	size_t mill;
	int used = 0;

	if (leat_grow(&loss->role, &loss->role_cap, (size_t)r->series + 1, sizeof(*loss->role)) != 0)
		return -1;
	if (loss->role[r->series] != ROLE_NEW)
		return 0;
	if (find_mill(loss, r->asset, &mill) != 0)
		return -1;
	if (leat_span_find(r->asset, '/') == r->asset.len)
		used = prepare_own(loss, r, mill);
	if (leat_span_is(r->point, "pump-running"))
		used = add_pump(loss, r, mill) == 0 ? 1 : -1;
	else if (leat_span_is(r->point, "drain-flow-corrected"))
		used = add_leak(loss, r, mill, LEAT_LOSS_PUMP) == 0 ? 1 : -1;
	else if (leat_span_is(r->point, "filter-dp-corrected"))
		used = add_leak(loss, r, mill, LEAT_LOSS_FILTER) == 0 ? 1 : -1;
	if (used < 0)
		return -1;
	loss->role[r->series] = used > 0 ? ROLE_VALUE : leat_point_derived(r->point) ? ROLE_SILENT : ROLE_SIGN;
	return 0;
}

static int
end_hours(struct leat_loss *loss)
{
	for (size_t i = 0; i < loss->mill_names.count; i++)
		if (loss->mill[i].sum.minutes > 0 && leat_loss_end_hour(loss, &loss->mill[i], loss->minutes.at) != 0)
			return -1;
	return 0;
}

/* The works' day is over. */
static int
end_day(struct leat_loss *loss, struct leat_error *err)
{
	if (leat_loss_leak_day(loss, err) != 0)
		return -1;
	loss->end[loss->days++ % LEAT_LOSS_RING] = loss->minutes.day_end;
	for (size_t i = 0; i < loss->mill_names.count; i++) {
		struct leat_loss_mill *mill = &loss->mill[i];
		struct leat_loss_day *day = leat_loss_running(mill);

		day->start = loss->minutes.day_start;
		day->end = loss->minutes.day_end;
		mill->days++;
		*leat_loss_running(mill) = (struct leat_loss_day){ 0 };
	}
	return 0;
}

/* A mill counts from its first state and pressure on. */
static bool
is_mill(const struct leat_loss_mill *mill)
{
	return mill->state != LEAT_NAME_NONE && mill->pressure != LEAT_NAME_NONE;
}

/* Looks at all mills in every minute before until.  Where nothing is known of any, minutes are left out, but each works' day
 * ends. */
static int
advance(struct leat_loss *loss, struct leat_time until, struct leat_error *err)
{
	while (leat_minutes_more(&loss->minutes, loss->form.np, until)) {
		bool any = false, ends = leat_minutes_day_ends(&loss->minutes);

		for (size_t i = 0; i < loss->mill_names.count; i++)
			if (is_mill(&loss->mill[i]) && leat_loss_look(loss, &loss->mill[i], &any, err) != 0)
				return -1;
		leat_loss_leak_minute(loss);
		if ((!any || ends || loss->minutes.at.sec % 3600 == 0) && end_hours(loss) != 0)
			return leat_error_memory(err);
		if (ends && leat_minutes_day_seen(&loss->minutes) && end_day(loss, err) != 0)
			return -1;
		leat_minutes_next(&loss->minutes, until, !any, !any);
	}
	return 0;
}

int
leat_loss_take(struct leat_loss *loss, const struct leat_reading *r, struct leat_error *err)
{
	enum role role;

	if (!leat_time_is_none(loss->form.now) && leat_time_cmp(r->time, loss->form.now) > 0) {
		loss->count.later++;
		return 0;
	}
	leat_minutes_begin(&loss->minutes, r->time);
	if (leat_time_cmp(loss->minutes.at, r->time) < 0 && advance(loss, r->time, err) != 0)
		return -1;
	loss->last = r->time;
	if ((r->series >= loss->role_cap || loss->role[r->series] == ROLE_NEW) && prepare(loss, r) != 0)
		return leat_error_memory(err);
	role = (enum role)loss->role[r->series];
	if (role == ROLE_SILENT)
		return 0;
	if ((role == ROLE_SIGN ? leat_current_report : leat_current_put)(&loss->current, r) != 0)
		return leat_error_memory(err);
	return 0;
}

void
leat_loss_as_of(struct leat_loss *loss, struct leat_time now)
{
	loss->form.now = now;
}

void
leat_loss_night(struct leat_loss *loss, const struct leat_logbook *book, const struct leat_findings *findings)
{
	loss->book = *book;
	loss->form.findings = findings;
}

int
leat_loss_end(struct leat_loss *loss, struct leat_error *err)
{
	loss->now = leat_time_is_none(loss->form.now) ? loss->last : loss->form.now;
	if (!leat_time_is_none(loss->minutes.at) &&
	    advance(loss, leat_minutes_end(loss->last, loss->form.now), err) != 0)
		return -1;
	for (size_t i = 0; i < loss->mill_names.count; i++)
		loss->count.mills += is_mill(&loss->mill[i]);
	loss->count.days = loss->days;
	loss->count.leaks = loss->leaks;
	return 0;
}

struct leat_time
leat_loss_now(const struct leat_loss *loss)
{
	return loss->now;
}

struct leat_loss_count
leat_loss_counted(const struct leat_loss *loss)
{
	return loss->count;
}
