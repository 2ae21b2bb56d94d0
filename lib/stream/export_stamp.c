/*
 * Stamps of an export: text to instant under the form found.
 */
#include <stdlib.h>
#include <string.h>

#include "stream/export_private.h"

#define DAY 86400

static bool
never_changes(const struct leat_zone *zone)
{
	return zone == NULL || leat_time_is_none(leat_zone_next_change(zone, (struct leat_time){ 0, 0 }));
}

void
leat_stamper_init(struct leat_stamper *st, const struct leat_export_form *form, struct leat_time now)
{
	memset(st, 0, sizeof(*st));
	st->form = form->dates;
	st->zone = form->zone;
	st->fixed = never_changes(form->zone);
	st->limit = leat_time_is_none(now) ? (struct leat_time){ INT64_MAX, 0 } : leat_time_add(now, DAY);
}

static bool
parse(struct leat_stamper *st, struct leat_span date, const struct leat_span *clock_cell)
{
	struct leat_foreign clock;

	if (leat_foreign_parse(date, st->form, &st->said) != 0)
		return false;
	if (clock_cell == NULL)
		return st->said.is_instant || st->said.has_date;
	return leat_foreign_parse(*clock_cell, LEAT_FORM_CLOCK, &clock) == 0 &&
	    leat_foreign_join(&st->said, &clock, &st->said) == 0;
}

bool
leat_stamper_said(struct leat_stamper *st, struct leat_span date, const struct leat_span *clock_cell)
{
	/* Two cells would need two memories, and their texts differ from row to row anyway. */
	if (clock_cell != NULL) {
		st->len = 0;
		return parse(st, date, clock_cell);
	}
	if (date.len == st->len && st->len > 0 && memcmp(date.ptr, st->text, st->len) == 0)
		return st->valid;
	st->valid = parse(st, date, NULL);
	st->len = date.len <= sizeof(st->text) ? date.len : 0;
	if (st->len > 0)
		memcpy(st->text, date.ptr, st->len);
	return st->valid;
}

enum leat_stamp_status
leat_stamper_read(struct leat_stamper *st, struct leat_span date, const struct leat_span *clock_cell,
    struct leat_local_clock *clock, struct leat_time *out)
{
	enum leat_stamp_status status = LEAT_STAMP_OK;
	struct leat_local_clock before = *clock;

	if (date.len == 0 || !leat_stamper_said(st, date, clock_cell))
		return LEAT_STAMP_NONE;
	if (st->said.is_instant) {
		*out = st->said.instant;
	} else {
		if (st->zone == NULL)
			return LEAT_STAMP_ZONELESS;
		if (st->fixed) {
			*out = leat_time_from_civil(&st->said.civil, leat_zone_offset(st->zone, 0));
			return leat_time_cmp(*out, st->limit) <= 0 ? LEAT_STAMP_OK : LEAT_STAMP_FUTURE;
		}
		clock->zone = st->zone;
		switch (leat_local_resolve(clock, &st->said.civil, out)) {
		case LEAT_LOCAL_OK:
			break;
		case LEAT_LOCAL_GUESSED:
			status = LEAT_STAMP_GUESSED;
			break;
		case LEAT_LOCAL_GAP:
			return LEAT_STAMP_GAP;
		}
	}
	if (leat_time_cmp(*out, st->limit) <= 0)
		return status;
	/* A clock fault must not lead the sequence astray. */
	*clock = before;
	return LEAT_STAMP_FUTURE;
}

struct leat_local_clock *
leat_sequence_clock(struct leat_sequence *seq, size_t at)
{
	if (at >= seq->cap && leat_grow(&seq->clock, &seq->cap, at + 1, sizeof(*seq->clock)) != 0)
		return NULL;
	return &seq->clock[at];
}

void
leat_sequence_free(struct leat_sequence *seq)
{
	free(seq->clock);
	memset(seq, 0, sizeof(*seq));
}
