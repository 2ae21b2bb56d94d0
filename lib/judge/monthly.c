/* Readings in, by mill and month; and the figures. */
#include "judge/monthly.h"

#include <math.h>
#include <stdlib.h>

#include "judge/lost.h"
#include "stats/exact.h"
#include "stats/order.h"
#include "stream/current.h"

#define HOUR_S 3600.0
/* Of fewer stops than this the number is told, not the mean between them (ISO 14224 as used in the trade). */
#define LEAST_STOPS 5
#define CONFIDENCE 0.90

struct list {
	double *value;
	size_t count, cap;
};

/* A mill in a month. */
struct cell {
	uint32_t mill;
	struct leat_span name;
	int month;			/* 12 * year + month - 1 */
	double attained_h, grinding_h, covered, covered_days;
	double hours[2], starts[2];	/* counters: the last value before the month, the last in it; NaN: none */
	struct list leakage;
	double gas;			/* lowest of the month; NaN: none */
	double water;			/* highest of the tank's samples; NaN: none */
	uint32_t code;			/* the dirtiest code, in words; LEAT_NAME_NONE: none */
	double up_s, unknown_s;		/* by state */
};

/* What a mill did last. */
struct mill {
	struct leat_span name;
	bool begun;
	struct leat_time since;		/* of its state */
	int up;				/* 1 up, 0 standing, -1 not known */
	double hours, starts;		/* the latest counters; NaN: none */
	double grinding_h;		/* of the day whose attainment comes next */
};

enum point {
	ATTAINMENT, COVERAGE, GAS, GRINDING, HOURS, ISO4406, LEAKAGE, STARTS, STATE, WATER, POINTS
};

static const char *const point_name[POINTS] = {
	"pressure-attainment", "pressure-attainment.coverage", "gas-share", "grinding-hours", "running-hours", "iso4406",
	"internal-leakage", "starts", "state", "water-content"
};

struct leat_monthly {
	struct leat_monthly_form form;
	struct leat_lost lost;
	struct cell *cell;
	size_t cells, cell_cap;
	struct mill *mill;
	size_t mills, mill_cap;
	struct leat_names names, words;
	signed char *point_of;		/* by number of the point: 1 + enum point, -1: none of them, 0: not looked at */
	size_t point_of_cap;
	struct leat_time first, last;
};

struct leat_monthly *
leat_monthly_new(const struct leat_monthly_form *form)
{
	struct leat_monthly *m = calloc(1, sizeof(*m));

	if (m != NULL) {
		m->form = *form;
		m->first = m->last = LEAT_TIME_NONE;
	}
	return m;
}

void
leat_monthly_free(struct leat_monthly *m)
{
	if (m == NULL)
		return;
	for (size_t i = 0; i < m->cells; i++)
		free(m->cell[i].leakage.value);
	free(m->cell);
	leat_lost_free(&m->lost);
	free(m->mill);
	free(m->point_of);
	leat_names_free(&m->names);
	leat_names_free(&m->words);
	free(m);
}

/* The month of an instant; what is stamped at its very end belongs to it. */
static int
month_of(const struct leat_monthly *m, struct leat_time t)
{
	struct leat_civil c = leat_zone_civil(leat_nameplate_zone(m->form.np), leat_time_add(t, -1));

	return 12 * c.year + c.month - 1;
}

/* The instant at which a month begins. */
static struct leat_time
begin_of(const struct leat_monthly *m, int month)
{
	struct leat_civil c = { .year = month / 12, .month = month % 12 + 1, .day = 1 };
	struct leat_time at[2];

	if (leat_zone_instants(leat_nameplate_zone(m->form.np), &c, at) > 0)
		return at[0];
	c.hour = 1;
	return leat_zone_instants(leat_nameplate_zone(m->form.np), &c, at) > 0 ? at[0] : LEAT_TIME_NONE;
}

/* The cell of a mill and month, new if need be; NULL when memory is out. */
static struct cell *
cell_of(struct leat_monthly *m, uint32_t mill, int month)
{
	struct cell *c;

	for (size_t i = m->cells; i-- > 0;)
		if (m->cell[i].mill == mill && m->cell[i].month == month)
			return &m->cell[i];
	if (leat_grow(&m->cell, &m->cell_cap, m->cells + 1, sizeof(*m->cell)) != 0)
		return NULL;
	c = &m->cell[m->cells++];
	*c = (struct cell){
		.mill = mill, .name = m->mill[mill].name, .month = month, .gas = NAN, .water = NAN, .code = LEAT_NAME_NONE,
		.hours = { m->mill[mill].hours, NAN }, .starts = { m->mill[mill].starts, NAN }
	};
	return c;
}

/* LEAT_NAME_NONE when memory is out. */
static uint32_t
mill_of(struct leat_monthly *m, struct leat_span asset)
{
	uint32_t id = leat_names_put(&m->names, leat_span_make(asset.ptr, leat_span_find(asset, '/')));

	if (id == LEAT_NAME_NONE || leat_grow(&m->mill, &m->mill_cap, (size_t)id + 1, sizeof(*m->mill)) != 0)
		return LEAT_NAME_NONE;
	if (id == m->mills) {
		m->mill[m->mills++] = (struct mill){ .name = m->names.name[id], .since = LEAT_TIME_NONE, .hours = NAN, .starts = NAN,
			.grinding_h = NAN };
	}
	return id;
}

static int
point_of(struct leat_monthly *m, const struct leat_reading *r)
{
	if (leat_grow(&m->point_of, &m->point_of_cap, (size_t)r->point_id + 1, sizeof(*m->point_of)) != 0)
		return -2;
	if (m->point_of[r->point_id] == 0) {
		m->point_of[r->point_id] = -1;
		for (int i = 0; i < POINTS; i++)
			if (leat_span_is(r->point, point_name[i]))
				m->point_of[r->point_id] = (signed char)(i + 1);
	}
	return m->point_of[r->point_id] > 0 ? m->point_of[r->point_id] - 1 : -1;
}

/* Books the time since the state last changed, month by month, up to t. */
static int
book_state(struct leat_monthly *m, uint32_t mill, struct leat_time t)
{
	struct mill *k = &m->mill[mill];
	struct leat_time from = k->since;

	while (k->begun && leat_time_cmp(from, t) < 0) {
		int month = month_of(m, leat_time_add(from, 1));
		struct leat_time end = begin_of(m, month + 1);
		struct cell *c = cell_of(m, mill, month);
		double length;

		if (c == NULL)
			return -1;
		end = leat_time_is_none(end) || leat_time_cmp(end, t) > 0 ? t : end;
		length = leat_time_diff(end, from);
		c->up_s += k->up == 1 ? length : 0;
		c->unknown_s += k->up < 0 ? length : 0;
		from = end;
	}
	k->since = t;
	return 0;
}

/* Up is what serves the mill: everything but off and unknown. */
static int
take_state(struct leat_monthly *m, uint32_t mill, const struct leat_reading *r)
{
	if (book_state(m, mill, r->time) != 0)
		return -1;
	m->mill[mill].begun = true;
	m->mill[mill].up = r->quality == LEAT_BAD || leat_span_is(r->value, "unknown") ? -1 : !leat_span_is(r->value, "off");
	return 0;
}

static int
add(struct list *list, double value)
{
	if (leat_grow(&list->value, &list->cap, list->count + 1, sizeof(*list->value)) != 0)
		return -1;
	list->value[list->count++] = value;
	return 0;
}

static void
count_up(double *counter, double *latest, double value)
{
	if (isnan(counter[0]))
		counter[0] = isnan(*latest) ? value : *latest;
	/* A drop is another meter or a correction: the step itself is no hours. */
	if (!isnan(*latest) && value < *latest)
		counter[0] -= *latest - value;
	counter[1] = *latest = value;
}

static int
take_number(struct leat_monthly *m, struct cell *c, enum point p, double value)
{
	struct mill *k = &m->mill[c->mill];

	switch (p) {
	case GRINDING:
		k->grinding_h = value;
		break;
	case ATTAINMENT:
		/* The hours of the day come with it; where they do not, days count alike. */
		c->attained_h += value * (isnan(k->grinding_h) ? 1 : k->grinding_h);
		c->grinding_h += isnan(k->grinding_h) ? 1 : k->grinding_h;
		break;
	case COVERAGE:
		c->covered += value;
		c->covered_days++;
		break;
	case LEAKAGE:
		return add(&c->leakage, value);
	case GAS:
		c->gas = isnan(c->gas) || value < c->gas ? value : c->gas;
		break;
	case WATER:
		c->water = isnan(c->water) || value > c->water ? value : c->water;
		break;
	case HOURS:
		count_up(c->hours, &k->hours, value);
		break;
	case STARTS:
		count_up(c->starts, &k->starts, value);
		break;
	default:
		break;
	}
	return 0;
}

/* The scale numbers of a code such as 18/16/13 added up: where all move together, the dirtier has more. */
static int
dirt(struct leat_span code)
{
	struct leat_span scale;
	int64_t number;
	int sum = 0;

	while (leat_span_next(&code, '/', &scale))
		sum += leat_int_parse(scale, 0, 99, &number) == 0 ? (int)number : 0;
	return sum;
}

static int
take_code(struct leat_monthly *m, struct cell *c, struct leat_span code)
{
	if (c->code != LEAT_NAME_NONE && dirt(m->words.name[c->code]) > dirt(code))
		return 0;
	c->code = leat_names_put(&m->words, code);
	return c->code != LEAT_NAME_NONE ? 0 : -1;
}

/* Is the point of the mill itself, or of what is told for the mill as a whole? */
static bool
is_of_mill(enum point p, struct leat_span asset, struct leat_span mill)
{
	return p == GAS || p == ISO4406 || p == WATER || asset.len == mill.len;
}

int
leat_monthly_take(struct leat_monthly *m, const struct leat_reading *r, struct leat_error *err)
{
	int p = point_of(m, r);
	uint32_t mill;
	struct cell *c;
	double value;

	if (p == -2)
		return leat_error_memory(err);
	if (!leat_time_is_none(m->form.now) && leat_time_cmp(r->time, m->form.now) > 0)
		return 0;
	m->first = leat_time_is_none(m->first) ? r->time : m->first;
	m->last = r->time;
	if (p < 0)
		return 0;
	mill = mill_of(m, r->asset);
	if (mill == LEAT_NAME_NONE)
		return leat_error_memory(err);
	if (!is_of_mill((enum point)p, r->asset, m->mill[mill].name))
		return 0;
	if (p == STATE)
		return take_state(m, mill, r) == 0 ? 0 : leat_error_memory(err);
	if (r->quality != LEAT_GOOD)
		return 0;
	c = cell_of(m, mill, month_of(m, r->time));
	if (c == NULL)
		return leat_error_memory(err);
	if (p == ISO4406)
		return take_code(m, c, r->value) == 0 ? 0 : leat_error_memory(err);
	if (leat_reading_number(r, &value) != 0)
		return 0;
	return take_number(m, c, (enum point)p, value) == 0 ? 0 : leat_error_memory(err);
}

/* What the logbook has of a month. */
static void
count_log(const struct leat_monthly *m, const struct cell *c, double *litres, long *elements)
{
	const struct leat_logbook *book = m->form.book;
	const struct leat_unit *litre = leat_unit_find(LEAT_SPAN("L"));

	*litres = 0;
	*elements = 0;
	for (size_t i = 0; book != NULL && i < book->count; i++) {
		const struct leat_log_entry *e = &book->entry[i];
		double value;

		if (!leat_asset_within(e->asset, c->name) || month_of(m, e->time) != c->month)
			continue;
		*elements += strcmp(e->event->name, "filter-change") == 0;
		if (strcmp(e->event->name, "top-up") != 0 || leat_double_parse(leat_log_entry_value(e), &value) != 0)
			continue;
		*litres += e->unit != NULL && leat_unit_same_dimension(e->unit, litre) ? leat_unit_convert(e->unit, litre, value) : value;
	}
}

int
leat_monthly_losses(struct leat_monthly *m, const struct leat_findings *findings)
{
	return leat_lost_add(&m->lost, findings, m->form.now);
}

/* What low pressure cost in the month, of days that are known. */
static void
write_lost(const struct leat_monthly *m, const struct cell *c, struct leat_tabular *t)
{
	double sum[2];
	/* A day belongs to the month at whose end it ends. */
	long days = leat_lost_sum(&m->lost, c->name, begin_of(m, c->month), begin_of(m, c->month + 1), sum);

	leat_tabular_number(t, days > 0 ? sum[0] : NAN, 0);
	leat_tabular_number(t, days > 0 ? sum[1] : NAN, 0);
	leat_tabular_number(t, m->lost.count > 0 ? (double)days : NAN, 0);
}

/* Does the table of stops say of any what brought it about?  That one was not planned tells nothing of its cause. */
static bool
knows_causes(const struct leat_stops *stops)
{
	for (size_t i = 0; stops != NULL && i < stops->count; i++)
		if (stops->row[i].kind.len > 0 && !leat_span_is(stops->row[i].kind, "planned") &&
		    !leat_span_is(stops->row[i].kind, "unplanned"))
			return true;
	return false;
}

/* Hours of stops within a month, and how many hydraulic ones began in it. */
static void
count_stops(const struct leat_monthly *m, const struct cell *c, double *planned_h, double *unplanned_h, long *hydraulic)
{
	const struct leat_stops *stops = m->form.stops;
	struct leat_time begin = begin_of(m, c->month), end = begin_of(m, c->month + 1);

	*planned_h = *unplanned_h = 0;
	*hydraulic = 0;
	begin = leat_time_cmp(begin, m->first) < 0 ? m->first : begin;
	end = leat_time_cmp(end, m->last) > 0 ? m->last : end;
	for (size_t i = 0; stops != NULL && i < stops->count; i++) {
		const struct leat_stop *s = &stops->row[i];
		struct leat_time from = leat_time_cmp(s->start, begin) < 0 ? begin : s->start;
		struct leat_time to = leat_time_cmp(s->end, end) > 0 ? end : s->end;

		if ((s->asset.len > 0 && !leat_glob(s->asset, c->name)) || leat_time_cmp(from, to) >= 0)
			continue;
		*(leat_span_is(s->kind, "planned") ? planned_h : unplanned_h) += leat_time_diff(to, from) / HOUR_S;
		*hydraulic += leat_span_starts(s->kind, "hydraulic") && leat_time_cmp(s->start, begin) >= 0;
	}
}

static void
write_between(bool known, double up_h, long hydraulic, struct leat_tabular *t)
{
	double low = NAN, high = NAN;

	if (!known) {
		for (int i = 0; i < 4; i++)
			leat_tabular_text(t, "");
		return;
	}
	if (up_h > 0)
		leat_between_events(up_h, hydraulic, CONFIDENCE, &low, &high);
	leat_tabular_count(t, hydraulic);
	leat_tabular_number(t, hydraulic >= LEAST_STOPS ? up_h / (double)hydraulic : NAN, 0);
	leat_tabular_number(t, low, 0);
	leat_tabular_number(t, high, 0);
}

struct sum {
	double up_h, planned_h, unplanned_h, litres, hours;
	long hydraulic, elements;
};

static void
write_cell(const struct leat_monthly *m, const struct cell *c, struct leat_tabular *t)
{
	char month[40];
	double litres, planned_h, unplanned_h, hours = c->hours[1] - c->hours[0];
	long elements, hydraulic;

	count_log(m, c, &litres, &elements);
	count_stops(m, c, &planned_h, &unplanned_h, &hydraulic);
	snprintf(month, sizeof(month), "%04d-%02d", c->month / 12, c->month % 12 + 1);
	leat_tabular_text(t, month);
	leat_tabular_span(t, c->name);
	leat_tabular_number(t, c->grinding_h > 0 ? c->attained_h / c->grinding_h : NAN, 2);
	leat_tabular_number(t, leat_median(c->leakage.value, c->leakage.count), 3);
	leat_tabular_number(t, c->gas, 1);
	leat_tabular_span(t, c->code != LEAT_NAME_NONE ? m->words.name[c->code] : LEAT_SPAN(""));
	leat_tabular_number(t, c->water, 0);
	leat_tabular_number(t, litres, 1);
	leat_tabular_number(t, hours, 1);
	leat_tabular_number(t, hours > 0 ? 1000 * litres / hours : NAN, 1);
	leat_tabular_count(t, elements);
	leat_tabular_number(t, c->starts[1] - c->starts[0], 0);
	leat_tabular_number(t, c->up_s / HOUR_S, 1);
	leat_tabular_number(t, planned_h, 1);
	leat_tabular_number(t, unplanned_h, 1);
	leat_tabular_number(t, c->unknown_s / HOUR_S, 1);
	write_between(knows_causes(m->form.stops), c->up_s / HOUR_S, hydraulic, t);
	leat_tabular_number(t, c->covered_days > 0 ? c->covered / c->covered_days : NAN, 1);
	write_lost(m, c, t);
}

/* A counter that begins at the first instant of a month was seen in the month before, of which nothing else is. */
static bool
is_empty(const struct cell *c)
{
	return c->up_s + c->unknown_s == 0 && c->grinding_h == 0 && c->covered_days == 0 && c->leakage.count == 0 &&
	    isnan(c->gas) && isnan(c->water) && c->code == LEAT_NAME_NONE && !(c->hours[1] > c->hours[0]);
}

static int
cell_cmp(const void *a, const void *b)
{
	const struct cell *x = a, *y = b;

	if (x->month != y->month)
		return x->month < y->month ? -1 : 1;
	return leat_span_cmp(x->name, y->name);
}

int
leat_monthly_rows(struct leat_monthly *m, struct leat_tabular *t)
{
	for (size_t i = 0; i < m->mills; i++)
		if (m->mill[i].begun && book_state(m, (uint32_t)i, m->last) != 0)
			return -1;
	if (m->cells > 1)
		qsort(m->cell, m->cells, sizeof(*m->cell), cell_cmp);
	for (size_t i = 0; i < m->cells; i++)
		if (!is_empty(&m->cell[i]))
			write_cell(m, &m->cell[i], t);
	return t->failed ? -1 : 0;
}
