/* Findings of leat-diagnose. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "judge/diagnose_private.h"
#include "stream/points.h"
#include "stream/rule_row.h"

const char *
diagnose_name(char *dst, size_t size, const struct leat_mode *mode)
{
	leat_mask(dst, size, mode->name);
	for (char *p = dst; *p != '\0'; p++)
		if (*p == '-')
			*p = ' ';
	return dst;
}

int
diagnose_list(struct leat_buf *buf, const struct candidate *c, enum standing standing, bool for_it)
{
	for (size_t s = 0; s < c->mode->symptoms; s++) {
		const struct evidence *e = &c->evidence[s];
		double sum = c->mode->symptom[s].weight * e->value;

		if (e->standing != standing || (standing >= STANDING_ABSENT && standing != STANDING_TAKEN && (sum > 0) != for_it))
			continue;
		if ((buf->len > 0 && leat_buf_add(buf, "; ", 2) != 0) ||
		    (standing == STANDING_ABSENT && leat_buf_add(buf, "no ", 3) != 0) ||
		    leat_buf_add_span(buf, c->mode->symptom[s].words) != 0 ||
		    (standing == STANDING_PRESENT && !e->fact->open && leat_buf_add(buf, " (ended)", 8) != 0))
			return -1;
	}
	return 0;
}

int
diagnose_explains(const struct leat_diagnose *d, struct leat_buf *buf, const struct candidate *c)
{
	for (size_t i = 0; i < c->explained; i++) {
		const struct fact *fact = &d->fact[c->explains[i]];

		/* What only --all prints is named only then. */
		if (fact->own && !d->form.all)
			continue;
		if ((buf->len > 0 && leat_buf_add(buf, ";", 1) != 0) || leat_finding_name(buf, fact->row) != 0)
			return -1;
	}
	return 0;
}

#define add(dst, ...) leat_append(dst, DIAGNOSE_TEXT, __VA_ARGS__)

/* The lists of one row, as its cells have them. */
struct lists {
	struct leat_buf explains, there, in_favour, against, missing;
};

static int
make_lists(const struct leat_diagnose *d, struct lists *l, const struct candidate *c)
{
	leat_buf_reset(&l->explains);
	leat_buf_reset(&l->there);
	leat_buf_reset(&l->in_favour);
	leat_buf_reset(&l->against);
	leat_buf_reset(&l->missing);
	return diagnose_explains(d, &l->explains, c) != 0 || diagnose_list(&l->there, c, STANDING_PRESENT, true) != 0 ||
	    diagnose_list(&l->in_favour, c, STANDING_PRESENT, true) != 0 ||
	    diagnose_list(&l->in_favour, c, STANDING_ABSENT, true) != 0 ||
	    diagnose_list(&l->against, c, STANDING_PRESENT, false) != 0 ||
	    diagnose_list(&l->against, c, STANDING_ABSENT, false) != 0 ||
	    diagnose_list(&l->missing, c, STANDING_MISSING, true) != 0 ||
	    diagnose_list(&l->missing, c, STANDING_OLD, true) != 0 ? -1 : 0;
}

static void
free_lists(struct lists *l)
{
	leat_buf_free(&l->explains);
	leat_buf_free(&l->there);
	leat_buf_free(&l->in_favour);
	leat_buf_free(&l->against);
	leat_buf_free(&l->missing);
}

static void
add_list(char *dst, const char *before, const struct leat_buf *list)
{
	char words[600];

	if (list->len == 0)
		return;
	leat_mask(words, sizeof(words), leat_buf_span(list));
	/* Commas within a sentence: its own parts are told apart by semicolons. */
	for (char *p = words; *p != '\0'; p++)
		if (*p == ';')
			*p = ',';
	add(dst, "%s%s", before, words);
}

static void
words_of(char *dst, const struct candidate *c, const struct lists *l)
{
	char name[80], read[200];

	dst[0] = '\0';
	add(dst, "likely %s, %.0f %% sure", diagnose_name(name, sizeof(name), c->mode), 100 * c->confidence);
	add_list(dst, ": ", &l->there);
	add_list(dst, "; against it: ", &l->against);
	if (c->rival != NULL)
		add(dst, "; else %s, %.0f %%", diagnose_name(name, sizeof(name), c->rival), 100 * c->rival_confidence);
	if (c->decider != NULL)
		add(dst, ", to be told by %s", leat_mask(read, sizeof(read), c->decider->read));
	else if (c->rival == NULL && l->missing.len > 0)
		add_list(dst, "; not judged: ", &l->missing);
	leat_rule_add_advice(dst, DIAGNOSE_TEXT, c->mode->advice);
}

/* Of what a diagnosis explains: the worst that is open, since when, and until when it is to be done. */
static void
add_state(const struct leat_diagnose *d, struct leat_finding *f, const struct candidate *c)
{
	struct leat_time shelved = LEAT_TIME_NONE;
	bool all_shelved = true;

	f->status = LEAT_STATUS_OK;
	f->since = f->due = LEAT_TIME_NONE;
	for (size_t i = 0; i < c->explained; i++) {
		const struct fact *fact = &d->fact[c->explains[i]];
		const struct leat_finding *row = fact->row;

		if (!fact->open || fact->own)
			continue;
		if (row->status > f->status || (row->status == f->status && leat_time_cmp(row->time, f->time) < 0))
			f->time = row->time;
		if (row->status > f->status)
			f->status = row->status;
		if (!leat_time_is_none(row->since) && (leat_time_is_none(f->since) || leat_time_cmp(row->since, f->since) < 0))
			f->since = row->since;
		if (!leat_time_is_none(row->due) && (leat_time_is_none(f->due) || leat_time_cmp(row->due, f->due) < 0))
			f->due = row->due;
		all_shelved = all_shelved && !leat_time_is_none(row->shelved);
		if (leat_time_is_none(shelved) || leat_time_cmp(row->shelved, shelved) < 0)
			shelved = row->shelved;
	}
	/* A cause of which every finding is put aside is put aside with them. */
	f->shelved = all_shelved ? shelved : LEAT_TIME_NONE;
}

struct writer {
	struct leat_diagnose *d;
	struct leat_out *out;
	struct lists lists;
};

static void
write_finding(struct writer *w, struct leat_finding *f)
{
	struct leat_diagnose *d = w->d;
	struct leat_time until = LEAT_TIME_NONE;

	if (d->form.shelves != NULL)
		until = leat_shelves_until(d->form.shelves, f->asset, f->point, f->rule, d->form.now);
	if (leat_time_is_none(f->shelved) || (!leat_time_is_none(until) && leat_time_cmp(until, f->shelved) > 0))
		f->shelved = until;
	d->count.written++;
	d->count.found += f->status != LEAT_STATUS_OK && leat_time_is_none(f->shelved);
	leat_finding_write(w->out, f, false);
}

static int
write_told(struct writer *w, const struct candidate *c)
{
	const struct lists *l = &w->lists;
	char rule[80], text[DIAGNOSE_TEXT], number[LEAT_NUMBER_MAX];
	struct leat_finding f = { .asset = c->item, .unit = LEAT_SPAN("%"), .until = LEAT_TIME_NONE };

	if (make_lists(w->d, &w->lists, c) != 0)
		return -1;
	add_state(w->d, &f, c);
	snprintf(rule, sizeof(rule), "likely-%.*s", (int)c->mode->name.len, c->mode->name.ptr);
	words_of(text, c, l);
	f.rule = leat_span_of(rule);
	f.message = leat_span_of(text);
	f.value = leat_span_make(number, leat_number_fixed(number, 100 * c->confidence, 0));
	write_finding(w, &f);
	leat_out_char(w->out, ',');
	leat_out_field(w->out, leat_buf_span(&l->explains));
	leat_out_char(w->out, ',');
	leat_out_field(w->out, c->mode->name);
	leat_out_char(w->out, ',');
	leat_out_bytes(w->out, number, leat_number_fixed(number, c->score, 2));
	leat_out_char(w->out, ',');
	leat_out_bytes(w->out, number, leat_number_fixed(number, 100 * c->coverage, 0));
	leat_out_char(w->out, ',');
	if (c->rival != NULL)
		leat_out_field(w->out, c->rival->name);
	leat_out_char(w->out, ',');
	if (c->rival != NULL)
		leat_out_bytes(w->out, number, leat_number_fixed(number, 100 * c->rival_confidence, 0));
	leat_out_char(w->out, ',');
	leat_out_field(w->out, leat_buf_span(&l->in_favour));
	leat_out_char(w->out, ',');
	leat_out_field(w->out, leat_buf_span(&l->against));
	leat_out_char(w->out, ',');
	leat_out_field(w->out, leat_buf_span(&l->missing));
	leat_out_char(w->out, ',');
	if (c->decider != NULL)
		leat_out_field(w->out, c->decider->read);
	leat_out_char(w->out, '\n');
	return 0;
}

/* A row of which nothing but that it was judged is to be said, or that it was not. */
static void
write_plainly(struct writer *w, enum leat_status status, struct leat_span asset, struct leat_span rule, struct leat_span mode,
    struct leat_span explains, const char *message)
{
	struct leat_finding f = { .time = w->d->form.now, .asset = asset, .rule = rule, .status = status,
		.since = LEAT_TIME_NONE, .until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE, .shelved = LEAT_TIME_NONE,
		.message = leat_span_of(message) };

	write_finding(w, &f);
	leat_out_char(w->out, ',');
	leat_out_field(w->out, explains);
	leat_out_char(w->out, ',');
	leat_out_field(w->out, mode);
	leat_out_text(w->out, ",,,,,,,,\n");
}

/* The candidate that was chosen there; NULL: none. */
static const struct candidate *
chosen_at(const struct mill *mill, const struct leat_mode *mode, struct leat_span item)
{
	for (size_t i = 0; i < mill->candidates; i++)
		if (mill->candidate[i].chosen && mill->candidate[i].mode == mode && leat_span_eq(mill->candidate[i].item, item))
			return &mill->candidate[i];
	return NULL;
}

static bool
is_open(const struct leat_diagnose *d, const struct candidate *c)
{
	for (size_t i = 0; i < c->explained; i++)
		if (d->fact[c->explains[i]].open && !d->fact[c->explains[i]].own)
			return true;
	return false;
}

/* One that is not told: it is not likely, or one finding says all of it. */
static int
write_untold(struct writer *w, const struct leat_mode *mode, struct leat_span item, const struct candidate *c)
{
	bool plain = c != NULL && c->plain && is_open(w->d, c);
	char rule[80], name[80], text[160];

	leat_buf_reset(&w->lists.explains);
	if (plain && diagnose_explains(w->d, &w->lists.explains, c) != 0)
		return -1;
	snprintf(rule, sizeof(rule), "likely-%.*s", (int)mode->name.len, mode->name.ptr);
	snprintf(text, sizeof(text), plain ? "%s: one finding says all of it" : "%s is not likely",
	    diagnose_name(name, sizeof(name), mode));
	write_plainly(w, LEAT_STATUS_OK, item, leat_span_of(rule), mode->name, leat_buf_span(&w->lists.explains), text);
	return 0;
}

static int
cmp_spans(const void *a, const void *b)
{
	return leat_span_cmp(*(const struct leat_span *)a, *(const struct leat_span *)b);
}

/* Adds the assets at which a strong symptom of the mode is judged. */
static int
judged_at(struct leat_diagnose *d, const struct mill *mill, const struct leat_mode *mode, struct leat_span **at, size_t *cap,
    size_t *n)
{
	for (size_t s = 0; s < mode->symptoms; s++)
		for (size_t k = 0; mode->symptom[s].weight >= LEAT_MODE_STRONG && k < mode->symptom[s].rows; k++) {
			const struct hits *h = &d->hits[mode->symptom[s].row[k]];
			bool whole = d->form.modes->row[mode->symptom[s].row[k]].mill;

			for (size_t i = 0; i < h->count && (!whole || i == 0); i++) {
				if (leat_grow(at, cap, *n + 1, sizeof(**at)) != 0)
					return -1;
				(*at)[(*n)++] = whole ? mill->name : d->fact[h->fact[i]].asset;
			}
		}
	return 0;
}

/* What is not likely, of all that could have been told. */
static int
write_unlikely(struct writer *w, const struct mill *mill)
{
	const struct leat_modes *modes = w->d->form.modes;
	struct leat_span *at = NULL;
	size_t cap = 0, n;
	int result = diagnose_hits(w->d, mill);

	for (size_t m = 0; result == 0 && m < modes->count; m++) {
		n = 0;
		result = judged_at(w->d, mill, &modes->mode[m], &at, &cap, &n);
		if (n > 0)
			qsort(at, n, sizeof(*at), cmp_spans);
		for (size_t i = 0; i < n && result == 0; i++) {
			const struct candidate *c = chosen_at(mill, &modes->mode[m], at[i]);

			if ((i == 0 || !leat_span_eq(at[i], at[i - 1])) && (c == NULL || !c->told))
				result = write_untold(w, &modes->mode[m], at[i], c);
		}
	}
	free(at);
	return result;
}

/* That a mill was judged at all. */
static void
write_mill(struct writer *w, const struct mill *mill)
{
	size_t open = 0, told = 0, judged = 0;
	char text[160];

	for (size_t i = mill->first; i < mill->first + mill->count; i++) {
		open += w->d->fact[i].open && !w->d->fact[i].own;
		told += w->d->fact[i].open && w->d->fact[i].told && !w->d->fact[i].own;
		judged += w->d->fact[i].judged;
	}
	/* Where nothing is judged, as of a row of a table that fits nothing, the judges have said so. */
	if (judged == 0)
		return;
	snprintf(text, sizeof(text), "%zu finding%s open of %zu judged, %zu of them explained by what is likely", open,
	    open == 1 ? "" : "s", judged, told);
	write_plainly(w, LEAT_STATUS_OK, mill->name, LEAT_SPAN("diagnosis"), LEAT_SPAN(""), LEAT_SPAN(""), text);
}

static void
write_odd(struct writer *w)
{
	for (size_t i = 0; i < w->d->odds; i++) {
		struct leat_finding f = w->d->odd[i];

		write_finding(w, &f);
		leat_out_text(w->out, ",,,,,,,,,,\n");
	}
}

int
leat_diagnose_findings(struct leat_diagnose *d, struct leat_out *out, struct leat_error *err)
{
	struct writer w = { .d = d, .out = out };
	int result = 0;

	leat_findings_write_header(out, LEAT_DIAGNOSE_COLUMNS);
	if (d->count.open == 0 && d->count.ended == 0 && d->count.fine == 0)
		write_plainly(&w, LEAT_STATUS_UNKNOWN, LEAT_SPAN("-"), LEAT_SPAN("diagnosis"), LEAT_SPAN(""), LEAT_SPAN(""),
		    "cannot tell: no finding says that anything was judged");
	for (size_t m = 0; result == 0 && m < d->mills; m++) {
		const struct mill *mill = &d->mill[m];

		for (size_t i = 0; result == 0 && i < mill->candidates; i++)
			if (mill->candidate[i].told)
				result = write_told(&w, &mill->candidate[i]);
		if (result == 0 && d->form.all) {
			write_mill(&w, mill);
			result = write_unlikely(&w, mill);
		}
	}
	if (result == 0 && d->form.all)
		write_odd(&w);
	free_lists(&w.lists);
	return result == 0 ? 0 : leat_error_memory(err);
}
