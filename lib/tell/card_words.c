/* Job cards: placeholders of procedures, and the entries that blanks are for. */
#include "tell/card_private.h"

#include <stdio.h>

#include "base/number.h"

#define ASSET_MAX_BYTES 512u

static void
add(struct leat_sheet *s, struct leat_buf *words, struct leat_span text)
{
	if (!s->text.failed && leat_buf_add_span(words, text) != 0)
		s->text.failed = true;
}

/* The asset that a property is looked for at: the child of the asset or of one of its parents that has it, else the asset. */
static bool
plate_of(const struct leat_card *card, const struct leat_piece *piece, char *dst, size_t size)
{
	struct leat_span asset = card->asset, parent;

	while (piece->child.len > 0) {
		int len = snprintf(dst, size, "%.*s/%.*s", (int)asset.len, asset.ptr, (int)piece->child.len, piece->child.ptr);

		if (len < 0 || (size_t)len >= size)
			return false;
		if (leat_span_ends(asset, dst + asset.len) && leat_nameplate_below(card->nameplate, asset, piece->text))
			break;
		if (leat_nameplate_below(card->nameplate, leat_span_of(dst), piece->text))
			return true;
		if (!leat_asset_parent(asset, &parent))
			break;
		asset = parent;
	}
	return snprintf(dst, size, "%.*s", (int)card->asset.len, card->asset.ptr) < (int)size;
}

/* "71.3 bar", or a blank and what is missing. */
static void
add_property(struct leat_sheet *s, struct leat_buf *words, const struct leat_card *card, const struct leat_piece *piece)
{
	const struct leat_property *property = leat_property_find(piece->text);
	char asset[ASSET_MAX_BYTES], text[LEAT_NUMBER_MAX], name[80];
	struct leat_span word = { 0 };
	double value;

	if (property == NULL || card->nameplate == NULL || !plate_of(card, piece, asset, sizeof(asset)))
		return;
	if (property->unit[0] != '\0' &&
	    leat_nameplate_number(card->nameplate, leat_span_of(asset), property->name, card->cal->now, &value) == 0) {
		size_t len = leat_number_significant(text, value * piece->share, 4);

		if (leat_number_decimals(leat_span_make(text, len)) > 0)
			len = leat_number_trim(text, len);
		word = leat_span_make(text, len);
	} else if (property->unit[0] == '\0') {
		word = leat_nameplate_word(card->nameplate, leat_span_of(asset), property->name, card->cal->now);
	}
	add(s, words, word.len > 0 ? word : LEAT_SPAN("________"));
	if (property->unit[0] != '\0' && strcmp(property->unit, "1") != 0) {
		add(s, words, LEAT_SPAN(LEAT_TEXT_GLUE));
		add(s, words, leat_span_of(property->unit));
	}
	if (word.len > 0)
		return;
	snprintf(name, sizeof(name), " (%s: not in nameplate.csv)", property->name);
	add(s, words, leat_span_of(name));
}

void
card_words(struct leat_sheet *s, struct leat_buf *words, const struct leat_card *card, const struct leat_pieces *pieces)
{
	for (size_t i = 0; i < pieces->count; i++) {
		const struct leat_piece *piece = &pieces->piece[i];

		switch (piece->kind) {
		case LEAT_PIECE_TEXT:
			add(s, words, piece->text);
			break;
		case LEAT_PIECE_ASSET:
			add(s, words, card->asset);
			break;
		case LEAT_PIECE_MILL:
			add(s, words, leat_asset_mill(card->asset));
			break;
		case LEAT_PIECE_NAMEPLATE:
			add_property(s, words, card, piece);
			break;
		}
	}
}

static void
entries_of(const struct leat_procedure_item *item, struct leat_span asset, card_entry_fn *fn, void *user)
{
	size_t measured = 0;

	for (size_t i = 0; i < item->blanks; i++) {
		if (item->blank[i].kind != LEAT_BLANK_POINT)
			continue;
		fn(user, item, &item->blank[i], asset);
		measured++;
	}
	if (measured == 0)
		fn(user, item, NULL, asset);
}

/* Of an asset that an item has an entry for: "accu-1" below NM is NM/accu-1, and below NM/accu-1 that itself. */
void
card_entries(const struct leat_card *card, const struct leat_procedure_item *item, card_entry_fn *fn, void *user)
{
	struct leat_each each = { .rest = item->each };
	char name[256], asset[ASSET_MAX_BYTES], behind[260];

	if (item->event == NULL)
		return;
	if (item->each.len == 0) {
		entries_of(item, card->asset, fn, user);
		return;
	}
	while (leat_each_next(&each, name, sizeof(name)) == 1) {
		snprintf(behind, sizeof(behind), "/%s", name);
		if (leat_span_ends(card->asset, behind))
			snprintf(asset, sizeof(asset), "%.*s", (int)card->asset.len, card->asset.ptr);
		else
			snprintf(asset, sizeof(asset), "%.*s%s", (int)card->asset.len, card->asset.ptr, behind);
		entries_of(item, leat_span_of(asset), fn, user);
	}
}

/* What the point of an entry is measured in: the blank's unit, else that of the point. */
static struct leat_log_entry
completed(const struct leat_procedure_item *item, const struct leat_blank *blank, struct leat_span asset)
{
	struct leat_log_entry e = leat_procedure_entry(item, blank, asset);
	const struct leat_point_info *info = leat_point_find(e.point);

	if (e.unit == NULL && info != NULL && info->unit[0] != '\0')
		e.unit = leat_unit_find(leat_span_of(info->unit));
	return e;
}

struct csv {
	struct leat_out *out;
	const struct leat_card *card;
};

static void
csv_row(void *user, const struct leat_procedure_item *item, const struct leat_blank *blank, struct leat_span asset)
{
	const struct csv *csv = user;
	struct leat_log_entry e = completed(item, blank, asset);
	const struct leat_span field[] = {
		LEAT_SHEET_NOTHING, e.asset, leat_span_of(e.event->name), csv->card->task, e.point, LEAT_SHEET_NOTHING,
		LEAT_SHEET_NOTHING, leat_span_of(e.unit != NULL ? e.unit->name : NULL), LEAT_SHEET_NOTHING, LEAT_SHEET_NOTHING,
		LEAT_SHEET_NOTHING
	};

	for (size_t i = 0; i < sizeof(field) / sizeof(field[0]); i++) {
		if (i > 0)
			leat_out_char(csv->out, ',');
		leat_out_field(csv->out, field[i]);
	}
	leat_out_char(csv->out, '\n');
}

void
leat_card_csv(struct leat_out *out, const struct leat_card *card)
{
	static const enum leat_procedure_section sections[] = { LEAT_PROCEDURE_STEPS, LEAT_PROCEDURE_AFTER };
	struct csv csv = { out, card };

	for (size_t k = 0; card->procedure != NULL && k < 2; k++) {
		const struct leat_procedure_items *items = &card->procedure->section[sections[k]];

		for (size_t i = 0; i < items->count; i++)
			card_entries(card, &items->item[i], csv_row, &csv);
	}
}
