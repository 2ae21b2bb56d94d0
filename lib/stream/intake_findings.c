/*
 * What is wrong with the data themselves: conflicts as they come, and findings at the end.
 */
#include <stdio.h>

#include "stream/intake.h"

/* Cut to n bytes, and safe to print. */
#define SHOWN 48

int
leat_intake_conflict(struct leat_intake *in, const struct leat_settle *group, const struct leat_settled *item,
    struct leat_error err[2], struct leat_span raw[2])
{
	const struct leat_intake_tag *t = &in->tag[item->token];
	const char *kept_name = leat_intake_name(in, item->origin.source);
	const char *other_name = leat_intake_name(in, item->other.source);
	char kept[sizeof(item->other_value)];
	struct leat_intake_conflict *c;

	if (leat_grow(&in->conflict, &in->conflict_cap, (size_t)item->series + 1, sizeof(*in->conflict)) != 0)
		return leat_error_memory(&err[0]);
	c = &in->conflict[item->series];
	raw[0] = leat_settle_value(group, item);
	raw[1] = leat_span_of(item->other_value);
	leat_mask(kept, sizeof(kept), raw[0]);
	leat_error_set(&err[0], "differs from '%s' for the same time in %.100s:%ld, both rejected", item->other_value,
	    other_name, item->other.line);
	leat_error_set(&err[1], "differs from '%s' for the same time in %.100s:%ld, both rejected", kept, kept_name,
	    item->origin.line);
	leat_error_at(&err[0], kept_name, item->origin.line);
	leat_error_at(&err[1], other_name, item->other.line);
	for (int i = 0; i < 2; i++) {
		leat_error_column(&err[i], leat_buf_span(&t->name));
		leat_error_value(&err[i], raw[i]);
	}
	if (c->readings == 0) {
		c->first = group->time;
		snprintf(c->text, sizeof(c->text), "%s (%.40s:%ld) and %s (%.40s:%ld)", kept, kept_name,
		    item->origin.line, item->other_value, other_name, item->other.line);
	}
	c->readings += item->count;
	c->last = group->time;
	return 0;
}

struct teller {
	const struct leat_intake *in;
	struct leat_time time;
	void (*emit)(const struct leat_finding *);
};

static void
tell(const struct teller *teller, struct leat_span asset, struct leat_span point, const char *rule, long long count,
    struct leat_time since, const char *message)
{
	char value[24];
	struct leat_finding f = {
		.time = teller->time, .asset = asset, .point = point, .rule = leat_span_of(rule),
		.status = LEAT_STATUS_UNKNOWN, .since = since, .until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE,
		.shelved = LEAT_TIME_NONE, .message = leat_span_of(message),
	};

	snprintf(value, sizeof(value), "%lld", count);
	f.value = leat_span_of(value);
	teller->emit(&f);
}

/* One sentence about a source, when there is something to count. */
static void
tell_count(const struct teller *teller, size_t file, const char *rule, long long count, const char *text)
{
	char message[400];

	if (count == 0)
		return;
	snprintf(message, sizeof(message), "%s: %s: %lld", leat_intake_name(teller->in, file), text, count);
	tell(teller, leat_intake_source(teller->in, file), LEAT_SPAN("-"), rule, count, LEAT_TIME_NONE, message);
}

/* A source may have several files: the finding is one, and names the first of them that has the fault. */
static void
tell_source(const struct teller *teller, const char *rule, const char *text,
    long long (*count)(const struct leat_intake_file *))
{
	const struct leat_intake *in = teller->in;

	for (size_t i = 0; i < in->files; i++) {
		struct leat_span source = leat_intake_source(in, i);
		long long sum = 0;
		bool told = count(&in->file[i]) == 0;

		for (size_t j = 0; j < i && !told; j++)
			told = leat_span_eq(leat_intake_source(in, j), source) && count(&in->file[j]) > 0;
		for (size_t j = i; j < in->files && !told; j++) {
			if (leat_span_eq(leat_intake_source(in, j), source))
				sum += count(&in->file[j]);
		}
		if (!told)
			tell_count(teller, i, rule, sum, text);
	}
}

/* Those whose stamp was the fault are told apart. */
static long long
count_rejected(const struct leat_intake_file *f)
{
	long long rest = f->counted.rejected + f->counted.rejected_cells - f->counted.gap - f->counted.future;

	return rest > 0 ? rest : 0;
}

static long long
count_guessed(const struct leat_intake_file *f)
{
	return f->counted.guessed;
}

static long long
count_gap(const struct leat_intake_file *f)
{
	return f->counted.gap;
}

static long long
count_future(const struct leat_intake_file *f)
{
	return f->counted.future;
}

static long long
count_empty(const struct leat_intake_file *f)
{
	return f->finished && f->counted.data == 0;
}

static void
tell_unknown(const struct teller *teller)
{
	const struct leat_tally *unknown = &teller->in->unknown;
	char message[200], tag[SHOWN];

	for (size_t i = 0; i < unknown->names.count; i++) {
		leat_mask(tag, sizeof(tag), unknown->names.name[i]);
		snprintf(message, sizeof(message), "points.csv does not have the tag '%s', values left out: %lld",
		    tag, unknown->count[i]);
		tell(teller, LEAT_SPAN("-"), leat_span_of(tag), "unknown-tag", unknown->count[i], LEAT_TIME_NONE,
		    message);
	}
}

static void
tell_conflicts(const struct teller *teller)
{
	const struct leat_intake *in = teller->in;
	char message[400];

	for (size_t i = 0; i < in->conflict_cap; i++) {
		const struct leat_intake_conflict *c = &in->conflict[i];

		if (c->readings == 0)
			continue;
		snprintf(message, sizeof(message), "readings rejected because others of the same time differ: %lld, "
		    "the first %s", c->readings, c->text);
		tell(teller, in->assets.name[in->series.pair[i] >> 32],
		    in->points.name[in->series.pair[i] & UINT32_MAX], "conflict", c->readings, c->first, message);
	}
}

/* Columns of a known tag in which no row had a value. */
static void
tell_silent(const struct teller *teller)
{
	const struct leat_tally *silent = &teller->in->silent;
	char message[200], tag[SHOWN];

	for (size_t i = 0; i < silent->names.count; i++) {
		bool came = false;

		for (size_t j = 0; j < teller->in->tags && !came; j++) {
			struct leat_span name = leat_buf_span(&teller->in->tag[j].name);

			/* The tally cuts long texts. */
			if (name.len > LEAT_TALLY_TEXT)
				name.len = LEAT_TALLY_TEXT;
			came = leat_span_eq(silent->names.name[i], name);
		}
		if (came)
			continue;
		leat_mask(tag, sizeof(tag), silent->names.name[i]);
		snprintf(message, sizeof(message), "the column '%s' has no value in any row", tag);
		tell(teller, LEAT_SPAN("-"), leat_span_of(tag), "missing-column", 0, LEAT_TIME_NONE, message);
	}
}

static void
tell_units(const struct teller *teller)
{
	char message[200], tag[SHOWN];

	for (size_t i = 0; i < teller->in->tags; i++) {
		const struct leat_intake_tag *t = &teller->in->tag[i];
		const struct leat_convert *c = &t->convert;
		const struct leat_unit *said = leat_unit_find(leat_span_make(c->said, c->said_len));

		if (said == NULL || c->from == NULL || said == c->from)
			continue;
		leat_mask(tag, sizeof(tag), leat_buf_span(&t->name));
		snprintf(message, sizeof(message), "the export gives '%s' in '%s', points.csv says '%s' and is taken",
		    tag, said->name, c->from->name);
		tell(teller, teller->in->assets.name[t->asset], teller->in->points.name[t->point], "unit-conflict", 1,
		    LEAT_TIME_NONE, message);
	}
}

void
leat_intake_findings(const struct leat_intake *in, struct leat_time now, void (*emit)(const struct leat_finding *))
{
	struct teller teller = { in, in->last, emit };

	if (leat_time_is_none(in->last) || leat_time_cmp(in->last, now) > 0)
		teller.time = now;
	tell_source(&teller, "rejected-rows", "rows that cannot be read, rejected (option -r keeps them)",
	    count_rejected);
	tell_source(&teller, "double-hour",
	    "stamps in the hour that comes twice that their order does not resolve, uncertain", count_guessed);
	tell_source(&teller, "missing-hour", "stamps in the hour that does not exist, rejected", count_gap);
	tell_source(&teller, "future-stamp",
	    "stamps more than a day after now, rejected (check the clock of the logger)", count_future);
	tell_source(&teller, "no-data", "exports without one row of data", count_empty);
	tell_unknown(&teller);
	tell_silent(&teller);
	tell_units(&teller);
	tell_conflicts(&teller);
}
