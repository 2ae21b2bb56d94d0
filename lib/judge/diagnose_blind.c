/* Which modes the findings of each mill could show, and which they could not. */
#include <math.h>

#include "judge/blind.h"
#include "judge/diagnose_private.h"

/* What the facts of a mill say of one mode. */
struct sight {
	double judged;			/* sum of |weight| */
	bool strong;
	struct leat_buf has, missing, read, judgements;
};

static bool
is_judged(const struct leat_diagnose *d, const struct leat_symptom *symptom)
{
	for (size_t k = 0; k < symptom->rows; k++)
		if (d->hits[symptom->row[k]].count > 0)
			return true;
	return false;
}

static int
add_to(struct leat_buf *list, struct leat_span text)
{
	return text.len > 0 && ((list->len > 0 && leat_buf_add(list, "; ", 2) != 0) || leat_buf_add_span(list, text) != 0) ? -1 : 0;
}

/* What an export needs for the mode to be seen at all, as leat-survey(1) has it. */
static int
add_judgements(struct sight *s, struct leat_span mode)
{
	const struct leat_judgement *q;
	int result = 0;

	for (size_t i = 0; result == 0 && (q = leat_judgement_at(i)) != NULL; i++)
		if (leat_judgement_sees(q, mode))
			result = add_to(&s->judgements, leat_span_of(q->name)) != 0 || leat_buf_add(&s->judgements, ": ", 2) != 0 ||
			    leat_buf_add_span(&s->judgements, leat_span_of(q->needs)) != 0 ? -1 : 0;
	return result;
}

static int
look(const struct leat_diagnose *d, const struct leat_mode *mode, struct sight *s)
{
	s->judged = 0;
	s->strong = false;
	leat_buf_reset(&s->has);
	leat_buf_reset(&s->missing);
	leat_buf_reset(&s->read);
	leat_buf_reset(&s->judgements);
	for (size_t i = 0; i < mode->symptoms; i++) {
		const struct leat_symptom *symptom = &mode->symptom[i];
		bool judged = is_judged(d, symptom);

		if (judged) {
			s->judged += fabs(symptom->weight);
			s->strong = s->strong || symptom->weight >= LEAT_MODE_STRONG;
		}
		if (add_to(judged ? &s->has : &s->missing, symptom->words) != 0 ||
		    (!judged && add_to(&s->read, symptom->read) != 0))
			return -1;
	}
	return s->strong ? 0 : add_judgements(s, mode->name);
}

static void
write_one(struct leat_out *out, struct leat_span mill, const struct leat_mode *mode, const struct sight *s)
{
	double coverage = mode->whole > 0 ? s->judged / mode->whole : 0;
	const struct leat_buf *list[] = { &s->has, &s->missing, &s->read, &s->judgements };
	char number[LEAT_NUMBER_MAX];

	leat_out_field(out, mill);
	leat_out_char(out, ',');
	leat_out_field(out, mode->name);
	leat_out_text(out, !s->strong ? ",blind," : coverage < 0.5 ? ",weak," : ",seen,");
	leat_out_bytes(out, number, leat_number_fixed(number, 100 * coverage, 0));
	for (size_t i = 0; i < sizeof(list) / sizeof(list[0]); i++) {
		leat_out_char(out, ',');
		leat_out_field(out, leat_buf_span(list[i]));
	}
	leat_out_char(out, '\n');
}

int
leat_diagnose_blind(struct leat_diagnose *d, struct leat_out *out, struct leat_error *err)
{
	struct sight s = { 0 };
	int result = 0;

	leat_out_text(out, LEAT_DIAGNOSE_BLIND);
	for (size_t m = 0; result == 0 && m < d->mills; m++) {
		result = diagnose_hits(d, &d->mill[m]);
		for (size_t i = 0; result == 0 && i < d->form.modes->count; i++) {
			result = look(d, &d->form.modes->mode[i], &s);
			if (result == 0)
				write_one(out, d->mill[m].name, &d->form.modes->mode[i], &s);
		}
	}
	leat_buf_free(&s.has);
	leat_buf_free(&s.missing);
	leat_buf_free(&s.read);
	leat_buf_free(&s.judgements);
	return result == 0 ? 0 : leat_error_memory(err);
}
