/* Findings of leat-loss. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "judge/loss_private.h"

/* The columns of LEAT_LOSS_COLUMNS; NaN and empty texts are empty cells. */
struct columns {
	struct leat_span explains;
	double per_day[2], until[2], hours, coverage, t[2], kwh[2], money[2], day[2];
	char per_day_unit[32], until_unit[24], currency[16];
	struct leat_time stop;
};

/* A row, before the rows are put in order. */
struct row {
	struct leat_finding f;
	char value[LEAT_NUMBER_MAX], message[LEAT_LOSS_TEXT];
	struct columns c;
};

struct rows {
	struct row *row;
	size_t count, cap;
};

static void
no_columns(struct columns *c)
{
	double *const pair[] = { c->per_day, c->until, c->t, c->kwh, c->money, c->day };

	memset(c, 0, sizeof(*c));
	for (size_t i = 0; i < sizeof(pair) / sizeof(pair[0]); i++)
		pair[i][0] = pair[i][1] = NAN;
	c->hours = c->coverage = NAN;
	c->stop = LEAT_TIME_NONE;
}

static struct row *
add_row(struct leat_loss *loss, struct rows *rows, struct leat_span asset, const char *point, const char *rule)
{
	struct row *row;

	if (leat_grow(&rows->row, &rows->cap, rows->count + 1, sizeof(*rows->row)) != 0)
		return NULL;
	row = &rows->row[rows->count++];
	row->f = (struct leat_finding){
		.time = loss->days > 0 ? loss->end[(loss->days - 1) % LEAT_LOSS_RING] : loss->now, .asset = asset,
		.point = leat_span_of(point), .rule = leat_span_of(rule), .status = LEAT_STATUS_OK, .since = LEAT_TIME_NONE,
		.until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE, .shelved = LEAT_TIME_NONE
	};
	no_columns(&row->c);
	return row;
}

static void
set_value(struct row *row, double value, const char *unit)
{
	if (!isfinite(value))
		return;
	leat_number_fixed(row->value, value, fabs(value) >= 1000 ? 0 : 1);
	row->f.unit = leat_span_of(unit);
}

static void
ends(double to[2], const double from[LEAT_LOSS_ENDS])
{
	to[0] = from[LEAT_LOSS_LOW];
	to[1] = from[LEAT_LOSS_HIGH];
}

/* The beginning of the days that were added up. */
static struct leat_time
first_day(const struct leat_loss *loss, const struct leat_loss_mill *mill)
{
	size_t days = (size_t)loss->form.days, n = mill->days > days ? mill->days - days : 0;

	while (n + 1 < mill->days && mill->day[n % LEAT_LOSS_RING].known == 0)
		n++;
	return mill->day[n % LEAT_LOSS_RING].start;
}

static int
add_mill(struct leat_loss *loss, struct rows *rows, const struct leat_loss_mill *mill)
{
	struct leat_loss_result r, day;
	struct leat_loss_prices prices;
	struct row *row;

	leat_loss_of_days(loss, mill, (size_t)loss->form.days, &r);
	if (r.grinding_h == 0 && r.low_h == 0)
		return 0;
	if ((row = add_row(loss, rows, mill->asset, "pressure", "lost-production")) == NULL)
		return -1;
	row->f.since = first_day(loss, mill);
	row->f.status = (r.low_h > 0 && r.told_h == 0) || leat_loss_unseen(&r) ? LEAT_STATUS_UNKNOWN : LEAT_STATUS_OK;
	row->c.hours = r.low_h;
	row->c.coverage = leat_loss_coverage(&r);
	leat_loss_mill_words(row->message, loss, mill, &r);
	if (row->f.status == LEAT_STATUS_UNKNOWN)
		return 0;
	set_value(row, leat_loss_tonnes(&r, LEAT_LOSS_MIDDLE), "t");
	row->c.t[0] = leat_loss_tonnes(&r, LEAT_LOSS_LOW);
	row->c.t[1] = leat_loss_tonnes(&r, LEAT_LOSS_HIGH);
	ends(row->c.kwh, r.kwh);
	ends(row->c.money, r.money);
	leat_loss_prices_of(loss, mill->asset, &prices);
	if (!isnan(r.money[0]))
		snprintf(row->c.currency, sizeof(row->c.currency), "%s", prices.currency);
	leat_loss_of_day(loss, mill, mill->days - 1, &day);
	if (day.low_h == 0 || day.told_h > 0) {
		row->c.day[0] = leat_loss_tonnes(&day, LEAT_LOSS_LOW);
		row->c.day[1] = leat_loss_tonnes(&day, LEAT_LOSS_HIGH);
	}
	return 0;
}

static int
add_leak(struct leat_loss *loss, struct rows *rows, const struct leat_loss_leak *leak)
{
	struct leat_loss_power p, day;
	struct leat_loss_prices prices;
	struct row *row;

	if (leat_loss_power_of(loss, leak, (size_t)loss->form.days, &p) != 0 || leat_loss_power_of(loss, leak, 1, &day) != 0)
		return -1;
	if (p.days == 0)
		return 0;
	if ((row = add_row(loss, rows, leak->asset, "", leat_loss_leak_rule(leak->kind))) == NULL)
		return -1;
	row->f.point = leak->point;
	row->f.since = first_day(loss, &loss->mill[leak->mill]);
	set_value(row, p.kwh[LEAT_LOSS_MIDDLE], "kWh");
	row->c.hours = p.hours;
	row->c.coverage = 100 * (double)p.days / fmin(loss->form.days, (double)loss->days);
	ends(row->c.kwh, p.kwh);
	leat_loss_prices_of(loss, leak->asset, &prices);
	if (!isnan(prices.kwh)) {
		row->c.money[0] = p.kwh[LEAT_LOSS_LOW] * prices.kwh;
		row->c.money[1] = p.kwh[LEAT_LOSS_HIGH] * prices.kwh;
		snprintf(row->c.currency, sizeof(row->c.currency), "%s", prices.currency);
	}
	if (day.days > 0)
		ends(row->c.day, day.kwh);
	leat_loss_leak_words(row->message, loss, leak, &p);
	return 0;
}

static int
add_wait(struct leat_loss *loss, struct rows *rows, const struct leat_loss_wait *w)
{
	struct row *row = add_row(loss, rows, w->asset, leat_loss_cost_point(w->cost), "cost-of-waiting");

	if (row == NULL)
		return -1;
	row->f.since = w->since;
	row->c.explains = leat_buf_span(&w->explains);
	leat_loss_wait_words(row->message, loss, w);
	if (!w->told)
		return 0;
	ends(row->c.per_day, w->per_day);
	snprintf(row->c.per_day_unit, sizeof(row->c.per_day_unit), "%s/d", w->unit);
	if (isnan(w->until[LEAT_LOSS_LOW]))
		return 0;
	row->c.stop = w->stop;
	ends(row->c.until, w->until);
	snprintf(row->c.until_unit, sizeof(row->c.until_unit), "%s", w->unit);
	return 0;
}

static void
put_text(struct leat_out *out, struct leat_span text)
{
	leat_out_char(out, ',');
	leat_out_field(out, text);
}

static void
put_number(struct leat_out *out, double value)
{
	char text[LEAT_NUMBER_MAX];

	leat_out_char(out, ',');
	if (isfinite(value))
		leat_out_bytes(out, text, leat_number_fixed(text, value, fabs(value) >= 1000 ? 0 : fabs(value) >= 10 ? 1 : 3));
}

static void
put_pair(struct leat_out *out, const double pair[2])
{
	put_number(out, pair[0]);
	put_number(out, pair[1]);
}

/* What waiting costs is an estimate: as many digits as its sentence has. */
static void
put_estimate(struct leat_out *out, const double pair[2])
{
	char text[LEAT_NUMBER_MAX];

	for (int end = 0; end < 2; end++) {
		leat_out_char(out, ',');
		if (isfinite(pair[end])) {
			leat_loss_amount(text, pair[end]);
			leat_out_text(out, text);
		}
	}
}

static void
put_columns(struct leat_out *out, const struct columns *c)
{
	put_text(out, c->explains);
	put_estimate(out, c->per_day);
	put_text(out, leat_span_of(c->per_day_unit));
	leat_out_char(out, ',');
	leat_out_time(out, c->stop);
	put_estimate(out, c->until);
	put_text(out, leat_span_of(c->until_unit));
	put_number(out, c->hours);
	put_number(out, c->coverage);
	put_pair(out, c->t);
	put_pair(out, c->kwh);
	put_pair(out, c->money);
	put_text(out, leat_span_of(c->currency));
	put_pair(out, c->day);
	leat_out_char(out, '\n');
}

static int
by_finding(const void *a, const void *b)
{
	return leat_finding_cmp(&((const struct row *)a)->f, &((const struct row *)b)->f);
}

static void
write_rows(struct leat_loss *loss, struct rows *rows, const struct leat_shelves *shelves, struct leat_out *out)
{
	if (rows->count > 1)
		qsort(rows->row, rows->count, sizeof(*rows->row), by_finding);
	leat_findings_write_header(out, LEAT_LOSS_COLUMNS);
	for (size_t i = 0; i < rows->count; i++) {
		struct row *row = &rows->row[i];

		if (row->f.status == LEAT_STATUS_OK && row->c.explains.len == 0 && !loss->form.all)
			continue;
		row->f.value = leat_span_of(row->value);
		row->f.message = leat_span_of(row->message);
		if (shelves != NULL && row->f.status != LEAT_STATUS_OK)
			row->f.shelved = leat_shelves_until(shelves, row->f.asset, row->f.point, row->f.rule, loss->now);
		loss->count.written++;
		loss->count.found += row->f.status != LEAT_STATUS_OK && leat_time_is_none(row->f.shelved);
		leat_finding_write(out, &row->f, false);
		put_columns(out, &row->c);
	}
}

/* That nothing was judged is told by a row of its own. */
static int
add_nothing(struct leat_loss *loss, struct rows *rows)
{
	struct row *row;

	if (rows->count > 0)
		return 0;
	if ((row = add_row(loss, rows, LEAT_SPAN("*"), "pressure", "lost-production")) == NULL)
		return -1;
	row->f.status = LEAT_STATUS_UNKNOWN;
	snprintf(row->message, sizeof(row->message), "cannot tell: %s", loss->count.mills == 0 ?
	    "no mill has readings named state and pressure" : "no mill has ground in a whole works' day");
	return 0;
}

int
leat_loss_findings(struct leat_loss *loss, const struct leat_shelves *shelves, struct leat_out *out)
{
	struct leat_loss_wait *wait;
	struct rows rows = { 0 };
	size_t waits;
	int status = leat_loss_waits(loss, &wait, &waits);

	for (size_t i = 0; status == 0 && i < loss->mill_names.count; i++)
		status = add_mill(loss, &rows, &loss->mill[i]);
	for (size_t i = 0; status == 0 && i < loss->leaks; i++)
		status = add_leak(loss, &rows, &loss->leak[i]);
	if (status == 0)
		status = add_nothing(loss, &rows);
	for (size_t i = 0; status == 0 && i < waits; i++)
		status = add_wait(loss, &rows, &wait[i]);
	if (status == 0)
		write_rows(loss, &rows, shelves, out);
	free(rows.row);
	leat_loss_waits_free(wait, waits);
	return status;
}
