/*
 * The engine of leat-confirm: readings in, one judgement for each piece of work and each series that may show some.
 */
#include <math.h>
#include <stdlib.h>

#include "judge/confirm_private.h"

struct leat_confirm *
leat_confirm_new(const struct leat_confirm_form *form)
{
	struct leat_confirm *confirm = calloc(1, sizeof(*confirm));

	if (confirm == NULL)
		return NULL;
	confirm->form = *form;
	confirm->time = confirm->now = LEAT_TIME_NONE;
	return confirm;
}

void
leat_confirm_free(struct leat_confirm *confirm)
{
	if (confirm == NULL)
		return;
	for (size_t i = 0; i < confirm->series_cap; i++)
		if (confirm->series[i].kept)
			leat_daily_free(&confirm->series[i].daily);
	free(confirm->series);
	free(confirm->found);
	free(confirm);
}

static bool
is_judged_by(const struct leat_confirms *confirms, struct leat_span point)
{
	for (size_t i = 0; i < confirms->count; i++)
		if (leat_glob(confirms->row[i].rule.point, point))
			return true;
	return false;
}

/* Looks at a series for the first time. */
static void
resolve(struct leat_confirm *confirm, struct leat_confirm_series *s, const struct leat_reading *r)
{
	s->asset = leat_readings_assets(confirm->form.in)->name[r->asset_id];
	s->point = leat_readings_points(confirm->form.in)->name[r->point_id];
	s->kept = is_judged_by(confirm->form.confirms, s->point);
	s->rare = leat_points_hold(confirm->form.points, s->asset, s->point) > LEAT_CONFIRM_RARE_S;
	leat_daily_init(&s->daily);
	confirm->count.series += s->kept;
}

static int
take_number(struct leat_confirm *confirm, struct leat_confirm_series *s, const struct leat_reading *r, double value,
    struct leat_error *err)
{
	const struct leat_unit *unit = r->unit.len > 0 ? leat_unit_find(r->unit) : NULL;
	int decimals = leat_number_decimals(r->value);

	if (s->daily.kept == 0)
		s->unit = unit;
	if (unit != s->unit && unit != NULL && s->unit != NULL) {
		if (!leat_unit_same_dimension(unit, s->unit))
			return leat_error_set(err, "'%.*s' of '%.*s' is in '%s', and earlier in '%s'", (int)s->point.len,
			    s->point.ptr, (int)s->asset.len, s->asset.ptr, unit->name, s->unit->name);
		value = leat_unit_convert(unit, s->unit, value);
	}
	s->decimals = decimals > s->decimals ? decimals : s->decimals;
	/* Of points that are seldom read each reading is a value of its own: a gas pressure as found and as left. */
	if ((s->rare && leat_daily_close(&s->daily) != 0) ||
	    leat_daily_add(&s->daily, confirm->form.np, r->time, value, NAN) != 0)
		return leat_error_memory(err);
	return 0;
}

int
leat_confirm_take(struct leat_confirm *confirm, const struct leat_reading *r, struct leat_error *err)
{
	struct leat_confirm_series *s;
	double value;

	if (!leat_time_is_none(confirm->form.now) && leat_time_cmp(r->time, confirm->form.now) > 0) {
		confirm->count.later++;
		return 0;
	}
	confirm->time = r->time;
	if (leat_grow(&confirm->series, &confirm->series_cap, (size_t)r->series + 1, sizeof(*confirm->series)) != 0)
		return leat_error_memory(err);
	s = &confirm->series[r->series];
	if (s->asset.ptr == NULL)
		resolve(confirm, s, r);
	if (!s->kept)
		return leat_readings_pass(confirm->form.in, r, 0) == 0 ? 0 : leat_error_memory(err);
	if (r->quality != LEAT_GOOD || leat_reading_number(r, &value) != 0)
		return 0;
	return take_number(confirm, s, r, value, err);
}

/* The newest of the entries of that event at that asset; NULL when a later one is. */
static bool
is_newest(const struct leat_logbook *book, size_t i)
{
	for (size_t k = i + 1; k < book->count; k++)
		if (book->entry[k].event == book->entry[i].event && leat_span_eq(book->entry[k].asset, book->entry[i].asset) &&
		    leat_span_eq(book->entry[k].point, book->entry[i].point))
			return false;
	return true;
}

/* Is the entry's work to be judged by this series, or by one nearer to where the work was done? */
static bool
nearer(const struct leat_confirm *confirm, const struct leat_log_entry *e, const struct leat_confirm_series *s)
{
	struct leat_span at = e->asset;

	if (leat_asset_within(s->asset, at))
		return false;
	for (size_t i = 0; i < confirm->series_cap; i++) {
		const struct leat_confirm_series *other = &confirm->series[i];

		if (other->kept && other != s && leat_span_eq(other->point, s->point) && other->asset.len > s->asset.len &&
		    leat_asset_kin(other->asset, at))
			return true;
	}
	return false;
}

static struct leat_confirm_case *
add_case(struct leat_confirm *confirm)
{
	if (leat_grow(&confirm->found, &confirm->case_cap, confirm->cases + 1, sizeof(*confirm->found)) != 0)
		return NULL;
	confirm->found[confirm->cases] = (struct leat_confirm_case){
		.time = LEAT_TIME_NONE, .since = LEAT_TIME_NONE, .change = NAN, .left = NAN
	};
	return &confirm->found[confirm->cases++];
}

/* The case of that work: an older entry of it gives way, as one of a part to one of the whole, and one of several lines that
 * tell of the same work.  NULL when memory is out. */
static struct leat_confirm_case *
case_of(struct leat_confirm *confirm, const struct leat_log_entry *e, const struct leat_confirm_row *row,
    const struct leat_confirm_series *s)
{
	const struct leat_confirm_case mine = { .entry = e, .series = s };

	for (size_t i = 0; i < confirm->cases; i++) {
		struct leat_confirm_case *c = &confirm->found[i];

		if (c->series == s && leat_span_eq(c->row->rule.name, row->rule.name) &&
		    leat_span_eq(leat_confirm_asset(c), leat_confirm_asset(&mine))) {
			*c = (struct leat_confirm_case){
				.time = LEAT_TIME_NONE, .since = LEAT_TIME_NONE, .change = NAN, .left = NAN
			};
			return c;
		}
	}
	return add_case(confirm);
}

/* The next entry of the event whose work the series shows; NULL when there is none. */
static const struct leat_log_entry *
next_of(const struct leat_logbook *book, size_t i, const struct leat_confirm_row *row,
    const struct leat_confirm_series *s)
{
	for (size_t k = i + 1; k < book->count; k++)
		if (leat_confirm_concerns(row, &book->entry[k], s) &&
		    leat_time_cmp(book->entry[k].time, book->entry[i].time) > 0)
			return &book->entry[k];
	return NULL;
}

/* Judges an entry by one series.  1 when a row does, 0 when none, -1 when memory is out. */
static int
judge_by(struct leat_confirm *confirm, size_t i, const struct leat_confirm_series *s)
{
	const struct leat_logbook *book = confirm->form.book;
	const struct leat_log_entry *e = &book->entry[i];
	const struct leat_confirms *confirms = confirm->form.confirms;
	size_t index[LEAT_CONFIRM_ROWS], rows = leat_confirms_for(confirms, e->asset, s->point, index, LEAT_CONFIRM_ROWS);
	int judged = 0;

	for (size_t k = 0; k < rows && k < LEAT_CONFIRM_ROWS; k++) {
		const struct leat_confirm_row *row = &confirms->row[index[k]];
		struct leat_confirm_case *c;

		if (!leat_confirm_concerns(row, e, s) || nearer(confirm, e, s))
			continue;
		if ((c = case_of(confirm, e, row, s)) == NULL)
			return -1;
		c->entry = e;
		c->row = row;
		c->series = s;
		if (leat_confirm_judge(confirm, next_of(book, i, row, s), c) != 0)
			return -1;
		judged = 1;
	}
	return judged;
}

/* Is there any row for such work at all? */
static bool
has_row(const struct leat_confirms *confirms, const struct leat_log_entry *e)
{
	for (size_t i = 0; i < confirms->count; i++)
		if (confirms->row[i].event == e->event && !confirms->row[i].rule.off && leat_glob(confirms->row[i].rule.asset, e->asset))
			return true;
	return false;
}

static int
judge_entries(struct leat_confirm *confirm)
{
	const struct leat_logbook *book = confirm->form.book;

	for (size_t i = 0; i < book->count; i++) {
		bool judged = false;

		confirm->count.entries++;
		if (!has_row(confirm->form.confirms, &book->entry[i]) || !is_newest(book, i))
			continue;
		for (size_t k = 0; k < confirm->series_cap; k++) {
			int result = confirm->series[k].kept ? judge_by(confirm, i, &confirm->series[k]) : 0;

			if (result < 0)
				return -1;
			judged = judged || result > 0;
		}
		confirm->count.judged += judged;
		confirm->count.untold += !judged;
	}
	return 0;
}

static int
judge_steps(struct leat_confirm *confirm)
{
	for (size_t k = 0; k < confirm->series_cap; k++) {
		struct leat_confirm_case *c;
		int result;

		if (!confirm->series[k].kept)
			continue;
		if ((c = add_case(confirm)) == NULL)
			return -1;
		c->series = &confirm->series[k];
		result = leat_confirm_step(confirm, c->series, c);
		if (result < 0)
			return -1;
		if (result == 0)
			confirm->cases--;
	}
	return 0;
}

void
leat_confirm_as_of(struct leat_confirm *confirm, struct leat_time now)
{
	confirm->form.now = now;
}

int
leat_confirm_end(struct leat_confirm *confirm, struct leat_error *err)
{
	confirm->now = leat_time_is_none(confirm->form.now) ? confirm->time : confirm->form.now;
	confirm->book = leat_logbook_as_of(confirm->form.book, confirm->now);
	confirm->form.book = &confirm->book;
	for (size_t k = 0; k < confirm->series_cap; k++)
		if (confirm->series[k].kept && leat_daily_close(&confirm->series[k].daily) != 0)
			return leat_error_memory(err);
	if (judge_entries(confirm) != 0 || judge_steps(confirm) != 0)
		return leat_error_memory(err);
	return 0;
}

struct leat_time
leat_confirm_now(const struct leat_confirm *confirm)
{
	return confirm->now;
}

struct leat_confirm_count
leat_confirm_counted(const struct leat_confirm *confirm)
{
	return confirm->count;
}
