/* What an export holds, tag by tag: a row for each. */
#include <stdio.h>

#include "base/number.h"
#include "stream/survey.h"

/* A length in seconds, to the millisecond, without zeros at its end. */
static void
write_seconds(struct leat_out *out, double seconds)
{
	char text[LEAT_NUMBER_MAX];

	leat_out_bytes(out, text, leat_number_trim(text, leat_number_fixed(text, seconds, 3)));
}

static void
write_count(struct leat_out *out, long long count)
{
	char text[32];

	snprintf(text, sizeof(text), "%lld", count);
	leat_out_text(out, text);
}

/* What there is only when values came: first,last,step,gaps,longest_gap,frozen,min,max,decimals,distinct. */
static void
write_findings(struct leat_out *out, const struct leat_survey_tag *tag)
{
	bool exact;
	double step = leat_survey_step(tag, &exact);
	long long gaps = leat_survey_gaps(tag);

	leat_out_time(out, tag->first);
	leat_out_char(out, ',');
	leat_out_time(out, tag->last);
	leat_out_char(out, ',');
	if (step >= 0)
		write_seconds(out, step);
	leat_out_char(out, ',');
	write_count(out, gaps);
	leat_out_char(out, ',');
	write_seconds(out, gaps > 0 ? tag->longest_s : 0);
	leat_out_char(out, ',');
	write_seconds(out, tag->frozen_s);
	leat_out_char(out, ',');
	leat_out_text(out, tag->min_text);
	leat_out_char(out, ',');
	leat_out_text(out, tag->max_text);
	leat_out_char(out, ',');
	if (leat_survey_decimals(tag) >= 0)
		write_count(out, leat_survey_decimals(tag));
	leat_out_char(out, ',');
	write_count(out, (long long)tag->distincts);
}

void
leat_survey_write(struct leat_out *out, const char *file, struct leat_span name, const struct leat_survey_tag *tag,
    long long blank)
{
	leat_out_field(out, name);
	leat_out_char(out, ',');
	write_count(out, tag->count);
	leat_out_char(out, ',');
	write_count(out, tag->numeric);
	leat_out_char(out, ',');
	write_count(out, tag->text);
	leat_out_char(out, ',');
	write_count(out, blank);
	leat_out_char(out, ',');
	if (tag->count > 0)
		write_findings(out, tag);
	else
		leat_out_text(out, ",,,,,,,,,");
	leat_out_char(out, ',');
	leat_out_text(out, leat_survey_kind_name(leat_survey_kind(tag)));
	leat_out_char(out, ',');
	leat_out_field(out, leat_span_of(tag->unit));
	leat_out_char(out, ',');
	leat_out_field(out, leat_span_of(file));
	leat_out_char(out, '\n');
}
