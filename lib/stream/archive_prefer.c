/*
 * New rows that are taken though they differ from the archive.
 *
 * A sheet that a laboratory issues again corrects what it said before.  leat-normalise, which reads both sheets, says in
 * the column 'supersedes' which values of the same source a row took the place of.  The archived value gives way when it is
 * one of those: then it came from that source, or is the same.  A value that the archive has from elsewhere stays, and so
 * does one whose sheet is not read any more.
 */
#include <stdio.h>

#include "stream/archive_private.h"

int
leat_archive_claim(struct leat_archiver *w, uint32_t series, const struct leat_reading *r)
{
	struct leat_span text;

	if (w->further == 0)
		w->further = leat_readings_further_find(w->in, "supersedes") + 1;
	if (w->further == 0) {
		w->further = -1;
		return 0;
	}
	text = leat_readings_further(w->in, r, w->further - 1);
	if (w->further < 0 || text.len == 0 || series == LEAT_NAME_NONE)
		return 0;
	if (leat_grow(&w->claim, &w->claim_cap, w->claims + 1, sizeof(*w->claim)) != 0 ||
	    leat_buf_add_span(&w->claim_text, text) != 0)
		return -1;
	w->claim[w->claims++] = (struct leat_archive_claim){
		series, r->quality, w->claim_text.len - text.len, text.len, r->value.len
	};
	return leat_buf_add_span(&w->claim_text, r->value);
}

/* Is value one of those joined by '|'? */
static bool
is_among(struct leat_span list, struct leat_span value)
{
	for (size_t at = 0, end; at <= list.len; at = end + 1) {
		const char *bar = at < list.len ? memchr(list.ptr + at, '|', list.len - at) : NULL;

		end = bar != NULL ? (size_t)(bar - list.ptr) : list.len;
		if (leat_values_agree(leat_span_make(list.ptr + at, end - at), value))
			return true;
	}
	return false;
}

/* Does a new row that says what the item says supersede the value?  It need not be the row that was kept: another source may
 * say the same, before it or with more digits. */
static bool
claims(const struct leat_archiver *w, const struct leat_settled *item, struct leat_span value)
{
	struct leat_span is = leat_settle_value(&w->fresh, item);

	for (size_t i = 0; i < w->claims; i++) {
		const struct leat_archive_claim *c = &w->claim[i];

		const char *text = w->claim_text.data + c->at;

		if (c->series == item->series && c->quality == item->quality &&
		    leat_values_agree(leat_span_make(text + c->len, c->value_len), is) &&
		    is_among(leat_span_make(text, c->len), value))
			return true;
	}
	return false;
}

static int
note(struct leat_archiver *w, const struct leat_settled *item, struct leat_span old, struct leat_span now)
{
	if (w->replaceds == LEAT_ARCHIVE_TOLD) {
		w->replaced_untold++;
		return 0;
	}
	if (leat_grow(&w->replaced, &w->replaced_cap, w->replaceds + 1, sizeof(*w->replaced)) != 0 ||
	    leat_buf_add_span(&w->told, old) != 0 || leat_buf_add_span(&w->told, now) != 0)
		return -1;
	w->replaced[w->replaceds++] = (struct leat_archive_replaced){
		item->series, item->token, w->fresh.time, w->told.len - old.len - now.len, old.len, now.len
	};
	return 0;
}

int
leat_archive_prefer(struct leat_archiver *w, const struct leat_settled *item)
{
	const struct leat_settled *old = leat_settle_find(&w->both, item->series);
	struct leat_span was, is = leat_settle_value(&w->fresh, item);

	if (old == NULL || item->quality == LEAT_BAD || old->quality != item->quality)
		return 0;
	was = leat_settle_value(&w->both, old);
	if (old->token == item->token && leat_values_agree(was, is))
		return 0;
	if (!w->prefer_last && (old->token != item->token || !claims(w, item, was)))
		return 0;
	return note(w, item, was, is) == 0 ? 1 : -1;
}

void
leat_archive_tell_replaced(const struct leat_archiver *w, struct leat_time time, void (*emit)(const struct leat_finding *))
{
	char message[320], stamp[LEAT_TIME_MAX], old[64], now[64];
	struct leat_finding f = {
		.time = time, .rule = LEAT_SPAN("archive-replaced"), .status = LEAT_STATUS_ALERT, .since = time, .until = time,
		.due = LEAT_TIME_NONE, .shelved = LEAT_TIME_NONE, .message = { message, 0 }
	};

	for (size_t i = 0; i < w->replaceds; i++) {
		const struct leat_archive_replaced *r = &w->replaced[i];
		const char *text = w->told.data + r->at;

		leat_time_write(stamp, r->time);
		leat_mask(old, sizeof(old), leat_span_make(text, r->old_len));
		leat_mask(now, sizeof(now), leat_span_make(text + r->old_len, r->new_len));
		snprintf(message, sizeof(message), "archived %s of %s replaced by %s, which was issued later; what was judged by the "
		    "old value is judged anew", old, stamp, now);
		f.asset = w->assets.name[w->series.pair[r->series] >> 32];
		f.point = w->points.name[(uint32_t)w->series.pair[r->series]];
		f.value = leat_span_make(text + r->old_len, r->new_len);
		f.unit = w->units.name[r->unit];
		f.message.len = strlen(message);
		emit(&f);
	}
	if (w->replaced_untold == 0)
		return;
	snprintf(message, sizeof(message), "further archived values replaced by later ones: %lld", w->replaced_untold);
	f.asset = f.point = LEAT_SPAN("-");
	f.value = f.unit = leat_span_make("", 0);
	f.message.len = strlen(message);
	emit(&f);
}
