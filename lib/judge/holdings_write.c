/* What a works' exports hold, taken together: a row for each tag. */
#include <stdio.h>

#include "base/number.h"
#include "judge/holdings.h"

static void
write_count(struct leat_out *out, long long count)
{
	char text[32];

	snprintf(text, sizeof(text), "%lld,", count);
	leat_out_text(out, text);
}

/* Nothing for less than 0, which stands for what is not known. */
static void
write_digits(struct leat_out *out, double value, int digits)
{
	char text[LEAT_NUMBER_MAX];

	if (value >= 0)
		leat_out_bytes(out, text, leat_number_significant(text, value, digits));
	leat_out_char(out, ',');
}

static void
write_fixed(struct leat_out *out, double value, int decimals)
{
	char text[LEAT_NUMBER_MAX];

	if (value >= 0)
		leat_out_bytes(out, text, leat_number_fixed(text, value, decimals));
	leat_out_char(out, ',');
}

/* Seconds to the millisecond, without zeros at the end. */
static void
write_seconds(struct leat_out *out, double seconds)
{
	char text[LEAT_NUMBER_MAX];

	if (seconds >= 0)
		leat_out_bytes(out, text, leat_number_trim(text, leat_number_fixed(text, seconds, 3)));
	leat_out_char(out, ',');
}

static void
write_remark(struct leat_out *out, const struct leat_trace_result *r)
{
	const char *const remark[] = {
		leat_trace_hides_cycle(r) ?
		    "steps are more than a quarter of the cycle: peaks and cycles may be gone" : NULL,
		r->kept == LEAT_TRACE_LINES ? "straight lines between what was kept: peaks may be gone" : NULL,
		r->cycle > 0 && r->cycle_s < 4 * r->sample_s ? "the cycle has fewer than four samples" : NULL,
		r->short_s > 0 && r->short_s < 2 * r->sample_s ? "spells as short as the samples: some are missed" : NULL
	};
	bool first = true;

	for (size_t i = 0; i < sizeof(remark) / sizeof(remark[0]); i++) {
		if (remark[i] == NULL)
			continue;
		leat_out_text(out, first ? "" : "; ");
		leat_out_text(out, remark[i]);
		first = false;
	}
	if (r->resolution >= 0 && r->change_7d < 0) {
		leat_out_text(out, first ? "" : "; ");
		leat_out_text(out, "too short for daily values: fewer than 10 days");
	}
	leat_out_char(out, '\n');
}

static void
write_row(struct leat_out *out, const struct leat_holding *h, const struct leat_survey_tag *tag)
{
	const struct leat_trace_result *r = &h->found;
	int decimals = h->trace != NULL ? h->trace->decimals : 0;
	char masked[256];

	leat_out_field(out, leat_utf8_valid(h->tag) ? h->tag : leat_span_of(leat_mask(masked, sizeof(masked), h->tag)));
	leat_out_char(out, ',');
	leat_out_field(out, h->files);
	leat_out_char(out, ',');
	write_count(out, tag->count);
	write_seconds(out, r->sample_s);
	write_fixed(out, r->resolution, decimals);
	leat_out_text(out, leat_trace_kept_name(r->kept));
	leat_out_char(out, ',');
	write_fixed(out, r->deadband, decimals);
	write_fixed(out, r->repeated * 100, 0);
	write_fixed(out, r->straight * 100, 0);
	write_digits(out, r->cycle, 2);
	write_digits(out, r->cycle_s, 2);
	write_digits(out, r->short_s, 2);
	write_seconds(out, r->sample_s >= 0 ? 4 * r->sample_s : -1);
	write_count(out, r->days);
	write_digits(out, r->change_7d, 2);
	write_digits(out, r->change_30d, 2);
	leat_out_field(out, leat_span_of(tag->unit));
	leat_out_char(out, ',');
	write_remark(out, r);
}

void
leat_holdings_write(struct leat_out *out, const struct leat_holdings *h)
{
	for (size_t i = 0; i < h->count; i++)
		if (h->row[i].logged == 0)
			write_row(out, &h->row[i], leat_holdings_tag(h, i));
}
