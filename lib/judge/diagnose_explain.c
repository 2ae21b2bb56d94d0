/* How each diagnosis came about, and the table of all candidates. */
#include <math.h>
#include <stdio.h>

#include "judge/diagnose_private.h"

static void
explain_symptom(struct leat_out *out, const struct leat_symptom *symptom, const struct evidence *e)
{
	static const char *const words[] = {
		[STANDING_MISSING] = "not judged", [STANDING_OLD] = "not there when last read, before this began",
		[STANDING_MUTE] = "judged and not there, which says nothing",
		[STANDING_ABSENT] = "judged and not there", [STANDING_TAKEN] = "there, but explained already",
		[STANDING_PRESENT] = "there"
	};
	char name[600], what[200], read[200];
	struct leat_buf buf = { 0 };

	leat_mask(what, sizeof(what), symptom->words);
	if (e->fact == NULL) {
		leat_out_line(out, "  %-44s weight %4.1f  not judged%s%s", what, symptom->weight, symptom->read.len > 0 ? "; read " : "",
		    leat_mask(read, sizeof(read), symptom->read));
		return;
	}
	if (leat_finding_name(&buf, e->fact->row) == 0)
		leat_mask(name, sizeof(name), leat_buf_span(&buf));
	else
		name[0] = '\0';
	leat_buf_free(&buf);
	if (e->standing == STANDING_ABSENT || e->standing == STANDING_PRESENT)
		leat_out_line(out, "  %-44s weight %4.1f x evidence %5.2f = %6.3f  %s: %s, %s", what, symptom->weight, e->value,
		    symptom->weight * e->value, words[e->standing], name, leat_status_name(e->fact->row->status));
	else
		leat_out_line(out, "  %-44s weight %4.1f  %s: %s", what, symptom->weight, words[e->standing], name);
}

static void
explain_one(struct leat_diagnose *d, struct leat_out *out, const struct candidate *c)
{
	char item[300], name[80];
	struct leat_buf buf = { 0 };

	leat_out_line(out, "%s %s", leat_mask(item, sizeof(item), c->item), diagnose_name(name, sizeof(name), c->mode));
	for (size_t s = 0; s < c->mode->symptoms; s++)
		explain_symptom(out, &c->mode->symptom[s], &c->evidence[s]);
	leat_out_line(out, "  score       %.3f = sum %.3f / weight that is judged %.2f, of %.2f (coverage %.0f %%)", c->score,
	    c->sum,
	    c->weight, c->mode->whole, 100 * c->coverage);
	leat_out_line(out, "  strength    %.3f = sum / (weight that is judged + %.1f)", c->strength, LEAT_DIAGNOSE_HELD);
	if (!c->chosen) {
		leat_out_line(out, "  not likely  %s",
		    !c->strong ? "no strong symptom (weight 2 or more) is there that nothing else explains" :
		    "its score is below 0.2");
		leat_out_char(out, '\n');
		return;
	}
	leat_out_line(out, "  confidence  %.1f %% = %.3f / (%.3f + rivals %.3f + something else %.3f), %.0f %% at most",
	    100 * c->confidence,
	    c->pull, c->pull, c->rivals, diagnose_pull(LEAT_DIAGNOSE_ELSE), 100 * LEAT_DIAGNOSE_SUREST);
	leat_out_line(out,
	    "  of which    e^(%.1f x strength) each, e^(%.1f x %.2f) for something else; rivals share its strong findings",
	    LEAT_DIAGNOSE_STEEP, LEAT_DIAGNOSE_STEEP, LEAT_DIAGNOSE_ELSE);
	if (c->rival != NULL)
		leat_out_line(out, "  runner-up   %s, strength %.3f: %.1f %% = %.3f / the same", diagnose_name(name, sizeof(name),
		    c->rival),
		    c->rival_strength, 100 * c->rival_confidence, diagnose_pull(c->rival_strength));
	if (diagnose_explains(d, &buf, c) == 0)
		leat_out_line(out, "  explains    %.*s", (int)(buf.len > 1500 ? 1500 : buf.len), buf.data != NULL ? buf.data : "");
	leat_buf_free(&buf);
	leat_out_line(out, "  told        %s", c->told ? "yes" : c->plain ? "no: one finding says all of it" :
	    c->confidence < LEAT_DIAGNOSE_TOLD ? "no: less than 50 % sure" : "no: nothing of it is open");
	leat_out_char(out, '\n');
}

size_t
leat_diagnose_explain(struct leat_diagnose *d, struct leat_out *out, struct leat_span what)
{
	size_t count = 0;

	for (size_t m = 0; m < d->mills; m++)
		for (size_t i = 0; i < d->mill[m].candidates; i++) {
			const struct candidate *c = &d->mill[m].candidate[i];
			char name[512];
			int len = snprintf(name, sizeof(name), "%.*s/%.*s", (int)c->item.len, c->item.ptr, (int)c->mode->name.len,
			    c->mode->name.ptr);

			if (what.len > 0 && (len < 0 || (size_t)len >= sizeof(name) || !leat_glob(what, leat_span_of(name))))
				continue;
			explain_one(d, out, c);
			count++;
		}
	return count;
}

static void
write_number(struct leat_out *out, double value, int decimals)
{
	char number[LEAT_NUMBER_MAX];

	leat_out_char(out, ',');
	leat_out_bytes(out, number, leat_number_fixed(number, value, decimals));
}

static void
write_lists(struct leat_diagnose *d, struct leat_out *out, const struct candidate *c)
{
	struct leat_buf list[4] = { { 0 }, { 0 }, { 0 }, { 0 } };

	/* Without memory a list is short, and the next allocation says so. */
	(void)!diagnose_explains(d, &list[0], c);
	(void)!diagnose_list(&list[1], c, STANDING_PRESENT, true);
	(void)!diagnose_list(&list[1], c, STANDING_ABSENT, true);
	(void)!diagnose_list(&list[2], c, STANDING_PRESENT, false);
	(void)!diagnose_list(&list[2], c, STANDING_ABSENT, false);
	(void)!diagnose_list(&list[3], c, STANDING_MISSING, true);
	(void)!diagnose_list(&list[3], c, STANDING_OLD, true);
	for (size_t i = 0; i < 4; i++) {
		leat_out_char(out, ',');
		leat_out_field(out, leat_buf_span(&list[i]));
		leat_buf_free(&list[i]);
	}
}

void
leat_diagnose_ranking(struct leat_diagnose *d, struct leat_out *out)
{
	leat_out_text(out, LEAT_DIAGNOSE_RANKING);
	for (size_t m = 0; m < d->mills; m++)
		for (size_t i = 0; i < d->mill[m].candidates; i++) {
			const struct candidate *c = &d->mill[m].candidate[i];

			leat_out_field(out, d->mill[m].name);
			leat_out_char(out, ',');
			leat_out_field(out, c->item);
			leat_out_char(out, ',');
			leat_out_field(out, c->mode->name);
			if (c->rank > 0)
				write_number(out, (double)c->rank, 0);
			else
				leat_out_char(out, ',');
			write_number(out, c->score, 3);
			write_number(out, c->strength, 3);
			write_number(out, 100 * c->coverage, 0);
			if (c->chosen)
				write_number(out, 100 * c->confidence, 0);
			else
				leat_out_char(out, ',');
			leat_out_char(out, ',');
			if (c->rival != NULL)
				leat_out_field(out, c->rival->name);
			leat_out_text(out, c->told ? ",yes" : c->plain ? ",plain" : ",no");
			write_lists(d, out, c);
			leat_out_char(out, '\n');
		}
}
