/*
 * Settled readings written as rows.
 */
#include "base/word.h"
#include "stream/intake.h"

/* The quality and the line end, which belongs to it where no column follows. */
static const struct leat_span quality_end[] = {
	[LEAT_BAD] = { "bad\n", 4 },
	[LEAT_UNCERTAIN] = { "uncertain\n", 10 },
	[LEAT_GOOD] = { "good\n", 5 },
};

static char *
append(char *at, struct leat_span s)
{
	leat_word_copy(at, s.ptr, s.len);
	return at + s.len;
}

/* The row when its value needs no quotes: every part is at hand, so it is put together in the output's own buffer. */
static void
write_plain(const struct leat_intake_tag *t, struct leat_span time, struct leat_span value, struct leat_span end,
    struct leat_out *out)
{
	struct leat_span head = leat_buf_span(&t->head), tail = leat_buf_span(&t->tail);
	size_t len = time.len + head.len + value.len + tail.len + end.len;
	char *at;

	if (len > LEAT_OUT_SIZE) {
		leat_out_span(out, time);
		leat_out_span(out, head);
		leat_out_span(out, value);
		leat_out_span(out, tail);
		leat_out_span(out, end);
		return;
	}
	at = append(leat_out_room(out, len), time);
	at = append(at, head);
	at = append(at, value);
	at = append(at, tail);
	append(at, end);
}

static void
write_quoted(const struct leat_intake_tag *t, struct leat_span time, struct leat_span value, struct leat_span end,
    struct leat_out *out)
{
	leat_out_span(out, time);
	leat_out_span(out, leat_buf_span(&t->head));
	leat_out_field(out, value);
	leat_out_span(out, leat_buf_span(&t->tail));
	leat_out_span(out, end);
}

/* A number never does; a word of the export or of a map may. */
static bool
may_need_quotes(const struct leat_convert *c)
{
	return c->texts || c->kind == LEAT_KIND_WORD || (c->row != NULL && c->row->states.len > 0);
}

/* ",file:line"; the part before the line is ready, with its opening quote when the file's name needs quotes. */
static void
write_origin(const struct leat_intake *in, const struct leat_origin *origin, struct leat_out *out)
{
	const struct leat_intake_file *f = &in->file[origin->source];
	char digits[24];
	size_t at = sizeof(digits);
	long line = origin->line;

	do {
		digits[--at] = (char)('0' + line % 10);
		line /= 10;
	} while (line > 0);
	leat_out_span(out, leat_buf_span(&f->origin));
	leat_out_bytes(out, digits + at, sizeof(digits) - at);
	if (f->origin_quoted)
		leat_out_char(out, '"');
}

size_t
leat_intake_write(const struct leat_intake *in, const struct leat_settle *group, bool trace, struct leat_out *out)
{
	size_t conflicts = 0, len;
	const bool more = trace || in->supersedes;
	char text[LEAT_TIME_MAX];
	struct leat_span time;

	if (group->count == 0)
		return 0;
	len = leat_time_write(text, group->time);
	time = leat_span_make(text, len);
	for (size_t i = 0; i < group->count; i++) {
		const struct leat_settled *item = &group->item[i];
		const struct leat_intake_tag *t = &in->tag[item->token];
		struct leat_span value = leat_settle_value(group, item), end = quality_end[item->quality];

		if (item->conflict) {
			conflicts++;
			continue;
		}
		end.len -= more;
		if (may_need_quotes(&t->convert))
			write_quoted(t, time, value, end, out);
		else
			write_plain(t, time, value, end, out);
		if (!more)
			continue;
		if (trace)
			write_origin(in, &item->origin, out);
		if (in->supersedes) {
			leat_out_char(out, ',');
			leat_out_field(out, leat_settle_was(group, item));
		}
		leat_out_char(out, '\n');
	}
	return conflicts;
}
