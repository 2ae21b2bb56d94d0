/* The oil verdict: readings in, results of samples kept. */
#include <math.h>
#include <stdlib.h>

#include "derive/sampling_point.h"
#include "judge/verdict_private.h"

/* More rows on one point than any works has. */
#define ROWS_AT_ONCE 64

struct leat_verdict *
leat_verdict_new(const struct leat_verdict_form *form)
{
	struct leat_verdict *v = calloc(1, sizeof(*v));

	if (v == NULL)
		return NULL;
	v->form = *form;
	v->time = v->now = v->since = LEAT_TIME_NONE;
	v->matched = calloc(form->rules->count + 1, sizeof(*v->matched));
	if (v->matched == NULL) {
		free(v);
		return NULL;
	}
	leat_current_init(&v->current, form->in, form->points);
	return v;
}

void
leat_verdict_free(struct leat_verdict *v)
{
	if (v == NULL)
		return;
	for (size_t i = 0; i < v->watches; i++)
		free(v->watch[i].result);
	for (size_t i = 0; v->tank != NULL && i < v->tanks.count; i++)
		leat_verdict_case_free(&v->tank[i]);
	for (size_t i = 0; i < v->subjects; i++)
		free(v->subject[i].over);
	leat_names_free(&v->samples);
	leat_names_free(&v->tanks);
	leat_current_free(&v->current);
	free(v->tank);
	free(v->subject);
	free(v->tank_of);
	free(v->asset_of);
	free(v->series);
	free(v->of);
	free(v->watch);
	free(v->key);
	free(v->matched);
	free(v->pending);
	free(v);
}

struct leat_span
leat_verdict_tank_name(const struct leat_verdict *v, uint32_t tank)
{
	return v->tanks.name[tank];
}

/* Is a the same as b, or below it? */
static bool
within(struct leat_span a, struct leat_span b)
{
	return leat_span_eq(a, b) || (a.len > b.len && a.ptr[b.len] == '/' && memcmp(a.ptr, b.ptr, b.len) == 0);
}

const struct leat_log_entry *
leat_verdict_changed(const struct leat_verdict *v, uint32_t tank, struct leat_time t)
{
	const struct leat_log_entry *found = NULL;

	for (size_t i = 0; i < v->form.book->count; i++) {
		const struct leat_log_entry *e = &v->form.book->entry[i];

		if (leat_time_cmp(e->time, t) > 0)
			break;
		if (strcmp(e->event->name, "oil-change") == 0 && within(v->tanks.name[tank], e->asset))
			found = e;
	}
	return found;
}

static int
key_of(struct leat_verdict *v, uint32_t tank, struct leat_span point, const struct leat_oil_rule *row, uint32_t *key)
{
	for (size_t i = 0; i < v->keys; i++) {
		*key = (uint32_t)i;
		if (v->key[i].tank == tank && leat_span_eq(v->key[i].point, point) &&
		    leat_span_eq(v->key[i].row->rule.name, row->rule.name))
			return 0;
	}
	if (leat_grow(&v->key, &v->key_cap, v->keys + 1, sizeof(*v->key)) != 0)
		return -1;
	*key = (uint32_t)v->keys;
	v->key[v->keys++] = (struct leat_verdict_key){ row, tank, point };
	return 0;
}

/* The watch of a row, or of a time, at a sampling point: that of another bottle, or a new one. */
static int
add_watch(struct leat_verdict *v, struct leat_verdict_series *s, const struct leat_reading *r,
    const struct leat_oil_rule *row, enum leat_verdict_kind kind)
{
	struct leat_span point = leat_readings_points(v->form.in)->name[r->point_id];
	size_t at = 0;
	uint32_t key = LEAT_NAME_NONE;

	while (at < v->watches && (v->watch[at].row != row || v->watch[at].kind != kind || v->watch[at].sample != s->sample ||
	    !leat_span_eq(v->watch[at].point, point)))
		at++;
	if (leat_grow(&v->of, &v->of_cap, v->ofs + 1, sizeof(*v->of)) != 0 ||
	    (row != NULL && key_of(v, v->tank_of[s->sample], point, row, &key) != 0) ||
	    leat_grow(&v->watch, &v->watch_cap, v->watches + 1, sizeof(*v->watch)) != 0)
		return -1;
	if (at == v->watches)
		v->watch[v->watches++] = (struct leat_verdict_watch){
			.row = row, .kind = kind, .sample = s->sample, .tank = v->tank_of[s->sample], .key = key, .point = point
		};
	v->of[v->ofs++] = at;
	s->watches++;
	return 0;
}

/* Finds out once what a series is: results of a sampling point, which has a tank above it, or nothing.  Fresh oil in its
 * drum is no oil of the tank. */
static int
find_sample(struct leat_verdict *v, struct leat_verdict_series *s, struct leat_span asset)
{
	struct leat_span tank;

	s->sample = LEAT_NAME_NONE;
	s->bottle = leat_sampling_bottle(&asset);
	if (!leat_asset_parent(asset, &tank) || leat_span_ends(asset, "/new-oil"))
		return 0;
	s->sample = leat_names_put(&v->samples, asset);
	if (s->sample == LEAT_NAME_NONE || leat_grow(&v->tank_of, &v->tank_of_cap, v->samples.count, sizeof(*v->tank_of)) != 0)
		return -1;
	return 0;
}

/* What a point says beside the rows, LEAT_VERDICT_RESULT being nothing. */
static enum leat_verdict_kind
beside_of(struct leat_span point)
{
	return leat_span_is(point, "clean-up-time") ? LEAT_VERDICT_CLEANING : leat_span_is(point, "drying-time") ?
	    LEAT_VERDICT_DRYING : leat_span_is(point, "wrong-oil-share") ? LEAT_VERDICT_SHARE : LEAT_VERDICT_RESULT;
}

static int
resolve(struct leat_verdict *v, struct leat_verdict_series *s, const struct leat_reading *r)
{
	const struct leat_oil_rules *rules = v->form.rules;
	size_t index[ROWS_AT_ONCE], found;
	struct leat_span asset, tank;
	enum leat_verdict_kind beside = beside_of(r->point);

	s->resolved = true;
	s->watch = v->ofs;
	for (size_t i = 0; i < rules->count; i++)
		s->asked = s->asked || leat_gate_asks(rules->row[i].rule.when, r->point);
	if (find_sample(v, s, r->asset) != 0)
		return -1;
	if (s->sample == LEAT_NAME_NONE)
		return 0;
	asset = v->samples.name[s->sample];
	leat_rule_matched(&rules->table, asset, r->point, v->matched);
	found = leat_oil_rules_for(rules, asset, r->point, index, ROWS_AT_ONCE);
	found = found > ROWS_AT_ONCE ? ROWS_AT_ONCE : found;
	if (found == 0 && beside == LEAT_VERDICT_RESULT)
		return 0;
	(void)leat_asset_parent(asset, &tank);
	v->tank_of[s->sample] = leat_names_put(&v->tanks, tank);
	if (v->tank_of[s->sample] == LEAT_NAME_NONE)
		return -1;
	for (size_t i = 0; i < found; i++)
		if (add_watch(v, s, r, &rules->row[index[i]], LEAT_VERDICT_RESULT) != 0)
			return -1;
	v->count.series += found;
	return beside == LEAT_VERDICT_RESULT ? 0 : add_watch(v, s, r, NULL, beside);
}

/* Values are kept in the row's unit, else in the point's, else in that of the first number. */
static int
convert(struct leat_verdict *v, struct leat_verdict_watch *w, const struct leat_latest *latest, double *value,
    struct leat_error *err)
{
	const struct leat_point_info *info = leat_point_find(w->point);
	struct leat_span sample = v->samples.name[w->sample];

	if (!w->unit_known) {
		w->unit = w->row != NULL && w->row->unit != NULL ? w->row->unit :
		    info != NULL && info->unit[0] != '\0' ? leat_unit_find(leat_span_of(info->unit)) : latest->unit;
		w->unit_known = true;
	}
	*value = latest->number;
	if (latest->unit == NULL || w->unit == NULL || latest->unit == w->unit)
		return 0;
	if (leat_unit_same_dimension(latest->unit, w->unit)) {
		*value = leat_unit_convert(latest->unit, w->unit, latest->number);
		return 0;
	}
	return leat_error_set(err, "'%.*s' of '%.*s' is in '%s', which cannot be compared with '%s'%s%s", (int)w->point.len,
	    w->point.ptr, (int)sample.len, sample.ptr, latest->unit->name, w->unit->name, w->row != NULL ? " of " : "",
	    w->row != NULL ? w->row->rule.file : "");
}

/* Room for one more result; the oldest half goes where there are too many. */
static int
make_room(struct leat_verdict_watch *w)
{
	if (w->results >= LEAT_VERDICT_KEPT) {
		memmove(w->result, w->result + w->results / 2, (w->results - w->results / 2) * sizeof(*w->result));
		w->results -= w->results / 2;
	}
	return leat_grow(&w->result, &w->cap, w->results + 1, sizeof(*w->result));
}

static int
keep(struct leat_verdict *v, struct leat_verdict_watch *w, const struct leat_verdict_result *r)
{
	struct leat_verdict_result *last = w->results > 0 ? &w->result[w->results - 1] : NULL;

	if (last != NULL && leat_time_cmp(last->time, r->time) == 0) {
		if (r->bottle < last->bottle)
			return 0;
		*last = *r;
	} else {
		if (make_room(w) != 0)
			return -1;
		w->result[w->results++] = *r;
	}
	if (w->row != NULL)
		leat_verdict_weigh(w, leat_verdict_changed(v, w->tank, r->time));
	return 0;
}

static int
take_value(struct leat_verdict *v, struct leat_verdict_watch *w, uint32_t series, bool bad, struct leat_error *err)
{
	const struct leat_latest *latest = &v->current.latest[series];
	struct leat_verdict_result r = { .time = v->time, .bottle = v->series[series].bottle, .limit = NAN };
	enum leat_truth truth;

	/* leat-oil gives an empty bad row where the target is never reached. */
	if ((w->kind == LEAT_VERDICT_CLEANING || w->kind == LEAT_VERDICT_DRYING) && bad) {
		r.value = INFINITY;
		return keep(v, w, &r) == 0 ? 0 : leat_error_memory(err);
	}
	if (bad || !latest->is_number) {
		v->count.lesser += w->row != NULL;
		return 0;
	}
	if (convert(v, w, latest, &r.value, err) != 0)
		return -1;
	if (w->row != NULL && w->row->rule.when != NULL) {
		truth = leat_gate_eval(w->row->rule.when, &v->current, v->asset_of[series], v->time);
		r.idle = truth != LEAT_TRUE;
	}
	r.certain = latest->quality == LEAT_GOOD;
	if (w->row != NULL && r.idle)
		v->count.idle++;
	else
		v->count.results += w->row != NULL;
	return keep(v, w, &r) == 0 ? 0 : leat_error_memory(err);
}

/* Takes what came at v->time, now that all of it is in and gates can be asked. */
static int
take_instant(struct leat_verdict *v, struct leat_error *err)
{
	for (size_t i = 0; i < v->pendings; i++) {
		const struct leat_verdict_series *s = &v->series[v->pending[i].series];

		for (size_t k = 0; k < s->watches; k++)
			if (take_value(v, &v->watch[v->of[s->watch + k]], v->pending[i].series, v->pending[i].bad, err) != 0)
				return -1;
	}
	v->pendings = 0;
	return 0;
}

static int
note(struct leat_verdict *v, const struct leat_reading *r)
{
	const struct leat_verdict_series *s = &v->series[r->series];
	int decimals = r->quality == LEAT_BAD ? 0 : leat_number_decimals(r->value);

	for (size_t k = 0; k < s->watches; k++)
		if (decimals > v->watch[v->of[s->watch + k]].decimals)
			v->watch[v->of[s->watch + k]].decimals = decimals;
	if (leat_grow(&v->pending, &v->pending_cap, v->pendings + 1, sizeof(*v->pending)) != 0)
		return -1;
	v->pending[v->pendings++] = (struct leat_pending){ r->series, r->quality == LEAT_BAD };
	return 0;
}

int
leat_verdict_take(struct leat_verdict *v, const struct leat_reading *r, struct leat_error *err)
{
	size_t need = (size_t)r->series + 1;
	struct leat_verdict_series *s;

	if (!leat_time_is_none(v->form.now) && leat_time_cmp(r->time, v->form.now) > 0) {
		v->count.later++;
		return 0;
	}
	if (leat_time_cmp(r->time, v->time) != 0) {
		if (take_instant(v, err) != 0)
			return -1;
		v->time = r->time;
	}
	if (leat_grow(&v->series, &v->series_cap, need, sizeof(*v->series)) != 0 ||
	    leat_grow(&v->asset_of, &v->asset_of_cap, need, sizeof(*v->asset_of)) != 0)
		return leat_error_memory(err);
	v->asset_of[r->series] = r->asset_id;
	s = &v->series[r->series];
	if ((!s->resolved && resolve(v, s, r) != 0) ||
	    (s->watches > 0 || s->asked ? leat_current_put : leat_current_pass)(&v->current, r) != 0 ||
	    (s->watches > 0 && note(v, r) != 0))
		return leat_error_memory(err);
	return 0;
}

/* A row that needs a result, of a point that never came: its tank lacks evidence. */
static int
add_needed(struct leat_verdict *v, uint32_t sample)
{
	const struct leat_oil_rules *rules = v->form.rules;
	uint32_t tank = v->tank_of[sample], key;
	size_t index[ROWS_AT_ONCE];

	for (size_t i = 0; i < rules->count; i++) {
		const struct leat_oil_rule *row = &rules->row[i];
		size_t found;

		if (!row->needed || leat_rule_is_glob(row->rule.point))
			continue;
		found = leat_oil_rules_for(rules, v->samples.name[sample], row->rule.point, index, ROWS_AT_ONCE);
		for (size_t k = 0; k < found && k < ROWS_AT_ONCE; k++)
			if (index[k] == i && key_of(v, tank, row->rule.point, row, &key) != 0)
				return -1;
	}
	return 0;
}

void
leat_verdict_as_of(struct leat_verdict *v, struct leat_time now)
{
	v->form.now = now;
}

int
leat_verdict_end(struct leat_verdict *v, struct leat_error *err)
{
	if (take_instant(v, err) != 0)
		return -1;
	v->now = leat_time_is_none(v->form.now) ? v->time : v->form.now;
	v->since = !leat_time_is_none(v->form.since_time) ? v->form.since_time : leat_time_shift(v->now, &v->form.since, -1);
	for (size_t i = 0; i < v->watches; i++)
		if (add_needed(v, v->watch[i].sample) != 0)
			return leat_error_memory(err);
	v->tank = calloc(v->tanks.count + 1, sizeof(*v->tank));
	v->subject = calloc(v->tanks.count + v->keys + 1, sizeof(*v->subject));
	if (v->tank == NULL || v->subject == NULL || leat_verdict_episodes(v) != 0)
		return leat_error_memory(err);
	v->count.tanks = v->tanks.count;
	return 0;
}

struct leat_time
leat_verdict_now(const struct leat_verdict *v)
{
	return v->now;
}

struct leat_verdict_count
leat_verdict_counted(const struct leat_verdict *v)
{
	return v->count;
}
