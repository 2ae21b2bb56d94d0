/*
 * One file of the intake: its pins, its tags, its next reading.
 */
#include <stdlib.h>

#include "stream/intake_private.h"

/* What the row of sources.csv says where no option does. */
static void
pin(struct leat_export_form *form, const struct leat_source *source)
{
	if (source == NULL)
		return;
	if (form->shape == LEAT_SHAPE_AUTO)
		form->shape = source->shape;
	if (form->separator == 0)
		form->separator = source->separator;
	if (form->decimal == 0)
		form->decimal = source->decimal;
	if (form->dates == 0)
		form->dates = source->dates;
	if (form->zone == NULL)
		form->zone = source->zone;
	if (form->encoding == LEAT_ENCODING_AUTO)
		form->encoding = source->encoding;
}

/* The kind of the quality cells: by option, by sources.csv, else from evidence. */
static int
choose_quality(const struct leat_intake *in, size_t file, struct leat_error *err)
{
	const struct leat_intake_plan *plan = &in->plan;
	struct leat_intake_file *f = &in->file[file];

	f->uncertain = plan->uncertain || (f->source != NULL && leat_span_is(f->source->quality, "uncertain"));
	f->quality = plan->quality;
	if (f->quality == LEAT_QUALITY_UNDECIDED && f->source != NULL)
		f->quality = leat_quality_kind_find(f->source->quality);
	if (f->quality == LEAT_QUALITY_UNDECIDED)
		f->quality = leat_quality_decide(&f->form.quality, err);
	if (f->quality != LEAT_QUALITY_UNDECIDED)
		return 0;
	return leat_error_at(err, leat_intake_name(in, file), 0);
}

int
leat_intake_wake(struct leat_intake *in, size_t file, struct leat_error *err)
{
	struct leat_intake_file *f = &in->file[file];

	f->form = in->plan.pinned;
	pin(&f->form, f->source);
	if (f->form.zone == NULL)
		f->form.zone = in->plan.zone;
	f->export = leat_export_open(f->path, &f->form, in->plan.now, in->plan.folder, err);
	if (f->export == NULL)
		return -1;
	return choose_quality(in, file, err);
}

/* The token of a sample whose tag is new to the file. */
static int
find_token(struct leat_intake *in, size_t file, const struct leat_sample *s, uint32_t *token, struct leat_error *err)
{
	struct leat_intake_file *f = &in->file[file];

	if (leat_grow(&f->token, &f->token_cap, (size_t)s->tag_id + 1, sizeof(*f->token)) != 0)
		return leat_error_memory(err);
	if (leat_intake_tag_new(in, file, s, token, err) != 0)
		return -1;
	f->token[s->tag_id] = *token;
	return 0;
}

/* The quality cell of a sample, with what is known of its file. */
static int
read_quality(struct leat_intake *in, const struct leat_intake_file *f, const struct leat_sample *s,
    enum leat_quality *quality)
{
	bool known;

	*quality = LEAT_GOOD;
	if (s->quality.len > 0) {
		*quality = leat_quality_read(f->quality, s->quality, &known);
		if (!known && leat_tally_add(&in->quality, s->quality) != 0)
			return -1;
	}
	if (f->uncertain && *quality == LEAT_GOOD)
		*quality = LEAT_UNCERTAIN;
	return 0;
}

/* Makes the file's arrival from a sample of a known tag. */
static int
take_sample(struct leat_intake *in, size_t file, const struct leat_sample *s, uint32_t token)
{
	struct leat_intake_file *f = &in->file[file];
	const struct leat_intake_tag *t = &in->tag[token];
	struct leat_arrival *a = &f->arrival;
	enum leat_quality quality;

	if (read_quality(in, f, s, &quality) != 0)
		return -1;
	leat_convert_sample(&t->convert, &f->form, s, quality, &f->converted);
	in->out_of_range += f->converted.note == LEAT_NOTE_RANGE;
	in->beyond_limit += f->converted.note == LEAT_NOTE_LIMIT;
	if (f->converted.note == LEAT_NOTE_TEXT && leat_tally_add(&in->text, s->value) != 0)
		return -1;
	a->time = s->time;
	a->series = t->series;
	a->token = token;
	a->quality = f->converted.quality;
	a->value = f->converted.value;
	a->unit = t->convert.unit;
	a->step = f->converted.step;
	a->origin = (struct leat_origin){ file, s->line };
	a->issuer = f->source;
	a->prefer_last = f->source != NULL && f->source->prefer_last;
	return 0;
}

/* Tags that the header has and no row had a value of. */
static int
note_silent(struct leat_intake *in, const struct leat_intake_file *f)
{
	const struct leat_names *tags = leat_export_tags(f->export);
	const struct leat_point *row;
	struct leat_buf name = { .data = NULL };
	int status = 0;

	for (size_t i = 0; i < tags->count && status == 0; i++) {
		if (i < f->token_cap && f->token[i] != 0)
			continue;
		status = leat_intake_tag_name(in->plan.points, tags->name[i], &name, &row);
		if (status == 0 && (in->plan.points->count == 0 || row != NULL))
			status = leat_tally_add(&in->silent, leat_buf_span(&name));
	}
	leat_buf_free(&name);
	return status;
}

/* The export is at its end: its account is final. */
static enum leat_intake_status
finish(struct leat_intake *in, struct leat_intake_file *f, struct leat_error *err)
{
	if (note_silent(in, f) != 0) {
		leat_error_memory(err);
		return LEAT_INTAKE_FAILED;
	}
	f->counted = leat_export_counted(f->export);
	f->finished = true;
	leat_export_close(f->export);
	f->export = NULL;
	free(f->token);
	f->token = NULL;
	f->token_cap = 0;
	return LEAT_INTAKE_END;
}

static enum leat_intake_status
reject(struct leat_intake *in, const struct leat_intake_file *f, struct leat_error *err)
{
	leat_buf_reset(&in->merge->rejected);
	if (leat_buf_add_span(&in->merge->rejected, leat_export_rejected(f->export)) == 0)
		return LEAT_INTAKE_BAD;
	leat_error_memory(err);
	return LEAT_INTAKE_FAILED;
}

enum leat_intake_status
leat_intake_fetch(struct leat_intake *in, size_t file, struct leat_error *err)
{
	struct leat_intake_file *f = &in->file[file];
	struct leat_sample s;
	uint32_t token;

	for (;;) {
		switch (leat_export_next(f->export, &s, err)) {
		case LEAT_EXPORT_FAILED:
			return LEAT_INTAKE_FAILED;
		case LEAT_EXPORT_END:
			return finish(in, f, err);
		case LEAT_EXPORT_BAD:
			return reject(in, f, err);
		case LEAT_EXPORT_SAMPLE:
			break;
		}
		token = s.tag_id < f->token_cap ? f->token[s.tag_id] : 0;
		if (token == 0 && find_token(in, file, &s, &token, err) != 0)
			return LEAT_INTAKE_FAILED;
		if (token != LEAT_INTAKE_UNKNOWN && take_sample(in, file, &s, token - 1) == 0)
			return LEAT_INTAKE_READING;
		if (token != LEAT_INTAKE_UNKNOWN || leat_tally_add(&in->unknown, s.tag) != 0) {
			leat_error_memory(err);
			return LEAT_INTAKE_FAILED;
		}
	}
}
