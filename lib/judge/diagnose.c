/* leat-diagnose: from findings to facts, and which rows of modes.csv they match. */
#include <stdlib.h>

#include "judge/diagnose_private.h"
#include "stream/points.h"
#include "tell/words.h"

static double
grade_of(enum leat_status status)
{
	switch (status) {
	case LEAT_STATUS_ALARM:
		return 1;
	case LEAT_STATUS_ALERT:
		return LEAT_DIAGNOSE_ALERT;
	case LEAT_STATUS_OK:
	case LEAT_STATUS_UNKNOWN:
		break;
	}
	return 0;
}

static bool
is_open(const struct leat_diagnose *d, const struct leat_finding *f)
{
	return grade_of(f->status) > 0 && (leat_time_is_none(f->until) || leat_time_cmp(f->until, d->form.now) > 0);
}

static double
weigh(const struct leat_diagnose *d, const struct leat_finding *f)
{
	if (is_open(d, f))
		return grade_of(f->status);
	return leat_time_cmp(f->until, d->form.since) >= 0 ? LEAT_DIAGNOSE_ENDED * grade_of(f->status) : 0;
}

/* What counts of two rows of one identity comes first; equal rows in any order are one.  All but the last tell what is to be
 * read first. */
static int
cmp_rows(const struct leat_finding *a, const struct leat_finding *b)
{
	int order = leat_span_cmp(a->rule, b->rule);

	if (order == 0 && a->status != b->status)
		order = a->status < b->status ? -1 : 1;
	if (order == 0)
		order = leat_time_cmp(a->since, b->since);
	if (order == 0)
		order = leat_time_cmp(a->until, b->until);
	if (order == 0)
		order = leat_time_cmp(a->time, b->time);
	return order != 0 ? order : leat_span_cmp(a->message, b->message);
}

static int
cmp_findings(const void *a, const void *b)
{
	const struct leat_finding *x = *(const struct leat_finding *const *)a, *y = *(const struct leat_finding *const *)b;
	int order = leat_finding_cmp(x, y);

	return order != 0 ? order : cmp_rows(x, y);
}

static bool
same_identity(const struct leat_finding *a, const struct leat_finding *b)
{
	return leat_span_eq(a->asset, b->asset) && leat_span_eq(a->point, b->point) && leat_span_eq(a->rule, b->rule);
}

/* Takes one more row of an identity. */
static void
add_row(struct leat_diagnose *d, struct fact *fact, const struct leat_finding *f)
{
	double grade = weigh(d, f);

	fact->judged = fact->judged || grade > 0 || f->status == LEAT_STATUS_OK;
	fact->open = fact->open || is_open(d, f);
	if (fact->row == NULL || grade > fact->grade || (fact->grade == 0 && grade == 0 && f->status == LEAT_STATUS_OK)) {
		fact->row = f;
		fact->grade = grade;
	}
}

/* What leat-diagnose itself said of an earlier night is no evidence. */
static bool
is_own(const struct leat_finding *f)
{
	return leat_span_starts(f->rule, "likely-") || leat_span_is(f->rule, "diagnosis");
}

/* The rows that count, sorted; n of them. */
static const struct leat_finding **
sort_rows(struct leat_diagnose *d, size_t *n)
{
	const struct leat_findings *in = d->form.findings;
	const struct leat_finding **row = calloc(in->count + d->odds + 1, sizeof(*row));

	*n = 0;
	for (size_t i = 0; row != NULL && i < in->count + d->odds; i++) {
		const struct leat_finding *f = i < in->count ? &in->item[i] : &d->odd[i - in->count];

		if (is_own(f))
			d->count.own++;
		else if (leat_time_cmp(f->time, d->form.now) > 0)
			d->count.later++;
		else
			row[(*n)++] = f;
	}
	if (*n > 0)
		qsort(row, *n, sizeof(*row), cmp_findings);
	return row;
}

static int
add_fact(struct leat_diagnose *d, const struct leat_finding *f)
{
	struct leat_span mill = leat_asset_mill(f->asset);

	if (leat_grow(&d->fact, &d->fact_cap, d->facts + 1, sizeof(*d->fact)) != 0 ||
	    leat_grow(&d->mill, &d->mill_cap, d->mills + 1, sizeof(*d->mill)) != 0)
		return -1;
	if (d->mills == 0 || !leat_span_eq(d->mill[d->mills - 1].name, mill))
		d->mill[d->mills++] = (struct mill){ .name = mill, .first = d->facts };
	d->mill[d->mills - 1].count++;
	d->fact[d->facts++] = (struct fact){ .asset = f->asset, .point = f->point, .rule = f->rule,
		.last = diagnose_last(d, f->asset, f->point), .own = leat_span_is(f->rule, "odd-one-out") };
	return leat_names_put(&d->rules, f->rule) == LEAT_NAME_NONE ? -1 : 0;
}

/* Which rows each rule goes with: a night has few rules and many findings. */
static int
match_rules(struct leat_diagnose *d)
{
	const struct leat_modes *modes = d->form.modes;
	size_t n = 0, room = (d->rules.count + 1) * (modes->rows + 1);

	d->rule_first = calloc(d->rules.count + 1, sizeof(*d->rule_first));
	d->rule_rows = calloc(room, sizeof(*d->rule_rows));
	d->hits = calloc(modes->rows + 1, sizeof(*d->hits));
	if (d->rule_first == NULL || d->rule_rows == NULL || d->hits == NULL)
		return -1;
	for (size_t r = 0; r < d->rules.count; r++) {
		/* What is said of a signal or an export is no symptom of the machine, whatever point it is about. */
		bool data = leat_rule_is_data(d->rules.name[r]);

		d->rule_first[r] = n;
		for (size_t m = 0; m < modes->count; m++)
			for (size_t s = 0; s < modes->mode[m].symptoms; s++)
				for (size_t k = 0; k < modes->mode[m].symptom[s].rows; k++) {
					size_t row = modes->mode[m].symptom[s].row[k];

					if (data ? leat_span_eq(modes->row[row].rule, d->rules.name[r]) :
					    leat_glob(modes->row[row].rule, d->rules.name[r]))
						d->rule_rows[n++] = row;
				}
	}
	d->rule_first[d->rules.count] = n;
	return 0;
}

/* Of the facts: sorts them and finds the mills.  0, or -1: memory. */
static int
sort_facts(struct leat_diagnose *d)
{
	size_t n;
	const struct leat_finding **row = sort_rows(d, &n);
	int result = row == NULL ? -1 : 0;

	for (size_t i = 0; result == 0 && i < n; i++) {
		if (i == 0 || !same_identity(row[i - 1], row[i]))
			result = add_fact(d, row[i]);
		if (result == 0)
			add_row(d, &d->fact[d->facts - 1], row[i]);
	}
	free(row);
	for (size_t i = 0; i < d->facts; i++) {
		d->count.open += d->fact[i].open;
		d->count.ended += d->fact[i].grade > 0 && !d->fact[i].open;
		d->count.fine += d->fact[i].judged && d->fact[i].grade == 0 && !d->fact[i].own;
	}
	d->count.facts = d->facts;
	d->count.mills = d->mills;
	return result == 0 ? match_rules(d) : -1;
}

int
diagnose_hits(struct leat_diagnose *d, const struct mill *mill)
{
	const struct leat_modes *modes = d->form.modes;

	for (size_t i = 0; i < modes->rows; i++)
		d->hits[i].count = 0;
	d->epoch++;
	for (size_t i = mill->first; i < mill->first + mill->count; i++) {
		const struct fact *fact = &d->fact[i];
		uint32_t rule = leat_names_get(&d->rules, fact->rule);

		if (!fact->judged)
			continue;
		for (size_t k = d->rule_first[rule]; k < d->rule_first[rule + 1]; k++) {
			const struct leat_mode_row *row = &modes->row[d->rule_rows[k]];
			struct hits *h = &d->hits[d->rule_rows[k]];

			if (!leat_glob(row->point, fact->point) || !leat_glob(row->asset, fact->asset))
				continue;
			if (leat_grow(&h->fact, &h->cap, h->count + 1, sizeof(*h->fact)) != 0)
				return -1;
			h->fact[h->count++] = i;
		}
	}
	return 0;
}

struct leat_diagnose *
leat_diagnose_new(const struct leat_diagnose_form *form)
{
	struct leat_diagnose *d = calloc(1, sizeof(*d));

	if (d != NULL)
		d->form = *form;
	return d;
}

void
leat_diagnose_free(struct leat_diagnose *d)
{
	if (d == NULL)
		return;
	for (size_t m = 0; m < d->mills; m++) {
		for (size_t i = 0; i < d->mill[m].candidates; i++) {
			free(d->mill[m].candidate[i].evidence);
			free(d->mill[m].candidate[i].explains);
		}
		free(d->mill[m].candidate);
	}
	for (size_t i = 0; d->hits != NULL && i < d->form.modes->rows; i++)
		free(d->hits[i].fact);
	free(d->hits);
	free(d->mill);
	free(d->fact);
	free(d->rule_first);
	free(d->rule_rows);
	free(d->newest);
	free(d->place);
	leat_pairs_free(&d->places);
	free(d->compared);
	free(d->sister);
	free(d->value);
	free(d->odd);
	leat_names_free(&d->rules);
	leat_names_free(&d->names);
	leat_names_free(&d->kinds);
	leat_names_free(&d->texts);
	leat_pairs_free(&d->series);
	free(d);
}

void
leat_diagnose_since(struct leat_diagnose *d, struct leat_time since)
{
	d->form.since = since;
}

int
leat_diagnose_end(struct leat_diagnose *d, struct leat_error *err)
{
	if (diagnose_places(d) != 0 || diagnose_sisters(d) != 0 || sort_facts(d) != 0)
		return leat_error_memory(err);
	for (size_t m = 0; m < d->mills; m++)
		if (diagnose_hits(d, &d->mill[m]) != 0 || diagnose_mill(d, &d->mill[m]) != 0)
			return leat_error_memory(err);
	return 0;
}

struct leat_diagnose_count
leat_diagnose_counted(const struct leat_diagnose *d)
{
	return d->count;
}
