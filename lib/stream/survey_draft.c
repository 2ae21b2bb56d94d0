/*
 * Drafts of works tables from a survey: rows of points.csv and sources.csv to be checked and filled in by a person.
 */
#include <string.h>

#include "base/units.h"
#include "stream/survey.h"

void
leat_survey_draft_point(struct leat_out *out, struct leat_span name, const struct leat_survey_tag *tag)
{
	const struct leat_unit *unit = tag->unit[0] != '\0' ? leat_unit_find(leat_span_of(tag->unit)) : NULL;
	char states[2 * LEAT_SURVEY_WORD_MAX + 16];

	/* tag,asset,point,unit,source_unit,scale,offset,min,max,states,hold */
	leat_out_field(out, name);
	leat_out_text(out, ",,,,");
	if (unit != NULL)
		leat_out_field(out, leat_span_of(unit->name));
	leat_out_text(out, ",,,,,");
	leat_out_field(out, leat_span_of(leat_survey_states(tag, states, sizeof(states))));
	leat_out_text(out, ",\n");
}

static struct leat_span
file_name(const char *path)
{
	const char *slash = strrchr(path, '/');

	return leat_span_of(slash != NULL ? slash + 1 : path);
}

static bool
is_digit(char c)
{
	return c >= '0' && c <= '9';
}

/* What is written between the numbers of a date. */
static bool
joins_digits(struct leat_span name, size_t i)
{
	return i + 1 < name.len && strchr("-_.:T", name.ptr[i]) != NULL && is_digit(name.ptr[i + 1]);
}

void
leat_survey_pattern(const char *path, char *glob, size_t size, size_t *source)
{
	struct leat_span name = file_name(path);
	size_t i, len = 0, before = 0;

	for (i = 0; i < name.len && len + 1 < size; i++) {
		if (is_digit(name.ptr[i])) {
			before = len > 0 && before == 0 ? len : before;
			glob[len++] = '*';
			while (i + 1 < name.len && (is_digit(name.ptr[i + 1]) || joins_digits(name, i + 1)))
				i++;
			continue;
		}
		glob[len++] = name.ptr[i];
	}
	glob[len] = '\0';
	if (source == NULL)
		return;
	*source = before > 0 ? before : leat_span_find(leat_span_make(glob, len), '.');
	while (*source > 0 && strchr("-_. *", glob[*source - 1]) != NULL)
		(*source)--;
}

static void
write_names(struct leat_out *out, const char *path)
{
	char glob[256];
	size_t source;

	leat_survey_pattern(path, glob, sizeof(glob), &source);
	if (source > 0)
		leat_out_field(out, leat_span_make(glob, source));
	else
		leat_out_text(out, "export");
	leat_out_char(out, ',');
	leat_out_field(out, leat_span_of(glob));
}

void
leat_survey_draft_source(struct leat_out *out, const char *path, const struct leat_export_form *form,
    const char *zone)
{
	enum leat_quality_kind quality = leat_quality_decide(&form->quality, NULL);

	/* source,files,shape,separator,decimal,dates,zone,encoding,quality,prefer */
	write_names(out, strcmp(path, "-") == 0 ? "export.csv" : path);
	leat_out_char(out, ',');
	leat_out_text(out, leat_shape_name(form->shape));
	leat_out_char(out, ',');
	leat_out_text(out, leat_export_separator(form->separator));
	leat_out_char(out, ',');
	/* What nothing spoke for is not pinned. */
	if (!form->no_marks)
		leat_out_text(out, form->decimal == ',' ? "comma" : "point");
	leat_out_char(out, ',');
	leat_out_text(out, leat_form_name(form->dates));
	leat_out_char(out, ',');
	leat_out_field(out, leat_span_of(zone));
	leat_out_char(out, ',');
	leat_out_text(out, leat_encoding_name(form->encoding));
	leat_out_char(out, ',');
	if (form->quality.words + form->quality.classic + form->quality.status > 0 &&
	    quality != LEAT_QUALITY_UNDECIDED)
		leat_out_text(out, leat_quality_kind_name(quality));
	leat_out_text(out, ",\n");
}
