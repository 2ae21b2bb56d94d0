/* Scores of past diagnoses, of each failure mode and of all. */
#include <math.h>
#include <stdlib.h>

#include "judge/replay_diagnosis.h"
#include "stats/order.h"
#include "tell/words.h"

struct sum {
	size_t faults[OUTCOMES], nights[OUTCOMES];
	size_t told, false_ones;
	double *delay;
	size_t delays, cap;
	struct leat_names taken;
	size_t *count, count_cap;
};

static struct leat_span
first_mode(const struct leat_fault *f)
{
	struct leat_span rest = f->mode, one = LEAT_SPAN("");

	(void)leat_span_word(&rest, "", &one);
	return one;
}

/* Adds the faults whose first mode it is, and what was told of that mode; of all when mode is empty. */
static int
sum_up(const struct leat_replay_scorer *s, struct leat_span mode, struct sum *sum)
{
	const struct leat_faults *faults = s->replay->form.faults;

	for (size_t i = 0; faults != NULL && i < faults->count; i++) {
		const struct leat_course *c = &s->course[i];
		const struct leat_fault *f = &faults->row[i];

		if (!leat_replay_is_scored(s->replay, f) || (mode.len > 0 && !leat_span_eq(first_mode(f), mode)))
			continue;
		sum->faults[c->outcome]++;
		for (int o = 0; o < UNSEEN; o++)
			sum->nights[o] += c->nights[o];
		for (size_t k = 0; k < c->taken.count; k++)
			if (leat_replay_note_taken(&sum->taken, &sum->count, &sum->count_cap, c->taken.name[k], c->count[k]) != 0)
				return -1;
		if (leat_time_is_none(c->first))
			continue;
		if (leat_grow(&sum->delay, &sum->cap, sum->delays + 1, sizeof(*sum->delay)) != 0)
			return -1;
		sum->delay[sum->delays++] = leat_time_diff(c->first, f->time) / LEAT_REPLAY_DAY_S;
	}
	for (size_t i = 0; i < s->spells; i++) {
		if (!s->spell[i].told || (mode.len > 0 && !leat_span_eq(s->spell[i].mode, mode)))
			continue;
		sum->told++;
		sum->false_ones += leat_replay_is_false(s->replay, &s->spell[i]);
	}
	return 0;
}

/* "dirt-ingress 12; gas-loss 3": modes it was taken for, with their nights. */
static int
add_taken(struct leat_buf *buf, const struct sum *sum)
{
	char number[LEAT_NUMBER_MAX];

	leat_buf_reset(buf);
	for (size_t i = 0; i < sum->taken.count; i++)
		if ((buf->len > 0 && leat_buf_add(buf, "; ", 2) != 0) || leat_buf_add_span(buf, sum->taken.name[i]) != 0 ||
		    leat_buf_add(buf, " ", 1) != 0 ||
		    leat_buf_add(buf, number, leat_number_fixed(number, (double)sum->count[i], 0)) != 0)
			return -1;
	return 0;
}

static int
write_sum(const struct leat_replay_scorer *s, struct leat_span set, struct leat_span mode, double months,
    struct leat_tabular *g)
{
	bool known = s->replay->form.faults != NULL;
	struct leat_buf taken = { 0 };
	struct sum sum = { 0 };
	size_t faults = 0;
	int result = sum_up(s, mode, &sum) != 0 || add_taken(&taken, &sum) != 0 ? -1 : 0;

	for (int o = 0; o < OUTCOMES; o++)
		faults += sum.faults[o];
	leat_tabular_span(g, set);
	leat_tabular_span(g, mode.len > 0 ? mode : LEAT_SPAN("*"));
	leat_tabular_number(g, known ? (double)faults : NAN, 0);
	for (int o = 0; o < OUTCOMES; o++)
		leat_tabular_number(g, known ? (double)sum.faults[o] : NAN, 0);
	leat_tabular_number(g, leat_median(sum.delay, sum.delays), 1);
	for (int o = 0; o < UNSEEN; o++)
		leat_tabular_number(g, known ? (double)sum.nights[o] : NAN, 0);
	leat_tabular_span(g, leat_buf_span(&taken));
	leat_tabular_count(g, (long long)sum.told);
	leat_tabular_number(g, known ? (double)sum.false_ones : NAN, 0);
	leat_tabular_number(g, months, 1);
	leat_tabular_number(g, known && months > 0 ? (double)sum.false_ones / months : NAN, 3);
	leat_buf_free(&taken);
	leat_names_free(&sum.taken);
	free(sum.count);
	free(sum.delay);
	return result;
}

static int
cmp_spans(const void *a, const void *b)
{
	return leat_span_cmp(*(const struct leat_span *)a, *(const struct leat_span *)b);
}

/* The modes that were to be told, or were; sorted. */
static int
list_modes(const struct leat_replay_scorer *s, struct leat_names *modes)
{
	const struct leat_faults *faults = s->replay->form.faults;

	for (size_t i = 0; faults != NULL && i < faults->count; i++) {
		if (leat_replay_is_scored(s->replay, &faults->row[i]) &&
		    leat_names_put(modes, first_mode(&faults->row[i])) == LEAT_NAME_NONE)
			return -1;
	}
	for (size_t i = 0; i < s->spells; i++)
		if (s->spell[i].told && leat_names_put(modes, s->spell[i].mode) == LEAT_NAME_NONE)
			return -1;
	return 0;
}

int
leat_replay_diagnoses(struct leat_replay *replay, struct leat_span set, struct leat_tabular *g)
{
	double months = leat_replay_mills(replay) * (double)replay->diagnosed * LEAT_REPLAY_DAY_S / LEAT_REPLAY_MONTH_S;
	struct leat_names modes = { 0 };
	struct leat_span *order = NULL;
	struct leat_replay_scorer *s = leat_replay_scorer_new(replay);
	int result = s == NULL || list_modes(s, &modes) != 0 ? -1 : 0;

	if (result == 0)
		order = malloc((modes.count + 1) * sizeof(*order));
	if (order != NULL) {
		for (size_t i = 0; i < modes.count; i++)
			order[i] = modes.name[i];
		if (modes.count > 1)
			qsort(order, modes.count, sizeof(*order), cmp_spans);
		for (size_t i = 0; i < modes.count && result == 0; i++)
			result = write_sum(s, set, order[i], months, g);
		if (result == 0)
			result = write_sum(s, set, LEAT_SPAN(""), months, g);
	} else
		result = -1;
	free(order);
	leat_names_free(&modes);
	leat_replay_scorer_free(s);
	return result != 0 || g->failed ? -1 : 0;
}
