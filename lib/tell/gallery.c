/*
 * Pictures of the series that findings name.
 */
#include "tell/gallery.h"

#include <stdio.h>
#include <stdlib.h>

#include "stream/points.h"
#include "tell/picture.h"
#include "upkeep/logbook.h"

/* A few readings a day are what is asked for; closer ones are drawn as well. */
#define THINNED_S 86400.0

/* Pixels across: on a screen and on A4 the texts are those of the page; and so they are on a telephone, which is shown the
 * other. */
#define WIDTH 680u
#define SLIM 288u

/* Panels of one picture: of a finding of a mill, the series are often those of its sampling points. */
#define PANELS 4u

/* A series and its picture. */
struct frame {
	uint32_t asset, point;		/* numbers in names */
	struct leat_picture *picture;	/* owned */
	struct {
		uint32_t asset, panel;
	} shown[PANELS];		/* the asset itself, or what is below it */
	size_t count;
	bool drawn;			/* a reading was taken */
	bool crowded;			/* there are more of what is below it than panels */
	bool put;
	struct leat_buf svg;		/* once written */
};

struct leat_gallery {
	struct leat_gallery_form form;
	const struct leat_findings *findings;
	struct leat_names names;
	struct leat_pairs pairs;	/* series; their numbers are those of frames, then those of series without one */
	struct frame frame[LEAT_GALLERY_MOST];
	size_t count;
	size_t bytes;			/* of the pictures put */
	bool *read;			/* of those without a frame, less count: there are readings */
	size_t read_cap;
};

struct leat_gallery *
leat_gallery_new(const struct leat_gallery_form *form)
{
	struct leat_gallery *g = calloc(1, sizeof(*g));

	if (g != NULL)
		g->form = *form;
	return g;
}

void
leat_gallery_free(struct leat_gallery *g)
{
	if (g == NULL)
		return;
	for (size_t i = 0; i < g->count; i++) {
		leat_picture_free(g->frame[i].picture);
		leat_buf_free(&g->frame[i].svg);
	}
	leat_pairs_free(&g->pairs);
	leat_names_free(&g->names);
	free(g->read);
	free(g);
}

/* Has it a series of its own at all? */
static bool
is_series(const struct leat_finding *f)
{
	return f->point.len > 0 && !leat_span_is(f->point, "-") && leat_span_find(f->asset, '*') == f->asset.len &&
	    leat_span_find(f->point, '*') == f->point.len;
}

static uint32_t
find(const struct leat_gallery *g, struct leat_span asset, struct leat_span point)
{
	uint32_t a = leat_names_get(&g->names, asset), b = leat_names_get(&g->names, point);

	return a == LEAT_NAME_NONE || b == LEAT_NAME_NONE ? LEAT_NAME_NONE : leat_pairs_get(&g->pairs, a, b);
}

static int
want(struct leat_gallery *g, const struct leat_finding *f)
{
	struct leat_picture_form form = { .zone = g->form.zone, .from = LEAT_TIME_NONE, .to = LEAT_TIME_NONE,
		.now = g->form.now, .thinned_s = THINNED_S, .width = WIDTH, .within = true };
	struct frame *frame;
	uint32_t asset, point;

	if (find(g, f->asset, f->point) != LEAT_NAME_NONE)
		return 0;
	asset = leat_names_put(&g->names, f->asset);
	point = leat_names_put(&g->names, f->point);
	if (asset == LEAT_NAME_NONE || point == LEAT_NAME_NONE || leat_pairs_put(&g->pairs, asset, point) == LEAT_NAME_NONE)
		return -1;
	if (g->count == LEAT_GALLERY_MOST)
		return leat_grow(&g->read, &g->read_cap, g->pairs.count - g->count, sizeof(*g->read));
	frame = &g->frame[g->count++];
	frame->asset = asset;
	frame->point = point;
	frame->picture = leat_picture_new(&form);
	return frame->picture != NULL ? 0 : -1;
}

static bool
has_ended(const struct leat_gallery *g, const struct leat_finding *f)
{
	return !leat_time_is_none(f->until) && leat_time_cmp(f->until, g->form.now) <= 0;
}

/* How soon it is to have a picture; -1: not at all. */
static int
rank_of(const struct leat_gallery *g, const struct leat_finding *f)
{
	static const int rank[] = { [LEAT_STATUS_ALARM] = 0, [LEAT_STATUS_ALERT] = 1, [LEAT_STATUS_UNKNOWN] = 2 };

	if (!is_series(f) || leat_time_cmp(f->time, g->form.now) > 0)
		return -1;
	if (has_ended(g, f))
		return leat_time_is_none(g->form.since) || leat_time_cmp(f->until, g->form.since) < 0 ? -1 : 3;
	return f->status == LEAT_STATUS_OK ? -1 : rank[f->status];
}

int
leat_gallery_findings(struct leat_gallery *g, const struct leat_findings *findings, struct leat_error *err)
{
	for (int rank = 0; rank <= 3; rank++) {
		for (size_t i = 0; i < findings->count; i++) {
			if (rank_of(g, &findings->item[i]) == rank && want(g, &findings->item[i]) != 0)
				return leat_error_memory(err);
		}
	}
	g->findings = findings;
	return 0;
}

/* The frame that a series goes into: its own, else that of the nearest asset above it; LEAT_NAME_NONE: none.  Notes that
 * there are readings of those passed that have none. */
static uint32_t
frame_of(struct leat_gallery *g, struct leat_span asset, struct leat_span point)
{
	uint32_t b = leat_names_get(&g->names, point), at = LEAT_NAME_NONE;

	while (b != LEAT_NAME_NONE && at == LEAT_NAME_NONE && asset.len > 0) {
		uint32_t a = leat_names_get(&g->names, asset);

		if (a != LEAT_NAME_NONE)
			at = leat_pairs_get(&g->pairs, a, b);
		if (at != LEAT_NAME_NONE && at >= g->count) {
			g->read[at - g->count] = true;
			at = LEAT_NAME_NONE;
		}
		while (asset.len > 0 && asset.ptr[asset.len - 1] != '/')
			asset.len--;
		asset.len -= asset.len > 0;
	}
	return at;
}

/* The panel of an asset; LEAT_PICTURE_FULL when there are enough, LEAT_PICTURE_FAILED when memory is out. */
static uint32_t
panel_of(struct leat_gallery *g, struct frame *frame, const struct leat_reading *r)
{
	uint32_t asset = leat_names_get(&g->names, r->asset), panel;

	for (size_t i = 0; asset != LEAT_NAME_NONE && i < frame->count; i++) {
		if (frame->shown[i].asset == asset)
			return frame->shown[i].panel;
	}
	/* What is below serves where the asset has none of its own. */
	if (frame->count > 0 && frame->shown[0].asset == frame->asset)
		return LEAT_PICTURE_FULL;
	if (frame->count == PANELS) {
		frame->crowded = true;
		return LEAT_PICTURE_FULL;
	}
	asset = leat_names_put(&g->names, r->asset);
	panel = asset == LEAT_NAME_NONE ? LEAT_PICTURE_FAILED : leat_picture_panel_of(frame->picture, r->asset, r->point, NULL);
	if (panel < LEAT_PICTURE_FULL) {
		frame->shown[frame->count].asset = asset;
		frame->shown[frame->count++].panel = panel;
	}
	return panel;
}

static int
take(struct leat_gallery *g, const struct leat_reading *r)
{
	uint32_t at, panel;

	if (leat_time_cmp(r->time, g->form.now) > 0)
		return 0;
	if (leat_span_is(r->point, "state")) {
		for (size_t i = 0; i < g->count; i++) {
			if (leat_span_eq(leat_asset_mill(g->names.name[g->frame[i].asset]), leat_asset_mill(r->asset)) &&
			    leat_picture_state(g->frame[i].picture, r) != 0)
				return -1;
		}
	}
	at = frame_of(g, r->asset, r->point);
	if (at == LEAT_NAME_NONE)
		return 0;
	panel = panel_of(g, &g->frame[at], r);
	if (panel == LEAT_PICTURE_FULL)
		return 0;
	if (panel == LEAT_PICTURE_FAILED)
		return -1;
	switch (leat_picture_put(g->frame[at].picture, panel, r)) {
	case LEAT_PICTURE_OUT_OF_MEMORY:
		return -1;
	case LEAT_PICTURE_TAKEN:
		g->frame[at].drawn = true;
		return 0;
	default:
		return 0;
	}
}

int
leat_gallery_read(struct leat_gallery *g, const char *path, long long *rejected, struct leat_error *err)
{
	char *file = leat_strndup(leat_span_of(path));
	struct leat_readings *in = file != NULL ? leat_readings_open(&file, 1, err) : NULL;
	struct leat_reading r;
	int result = file != NULL ? -1 : leat_error_memory(err);
	bool more = in != NULL;

	*rejected = 0;
	while (more) {
		switch (leat_readings_next(in, &r, err)) {
		case LEAT_READINGS_FAILED:
			more = false;
			break;
		case LEAT_READINGS_END:
			result = 0;
			more = false;
			break;
		case LEAT_READINGS_BAD:
			++*rejected;
			break;
		case LEAT_READINGS_ROW:
			more = take(g, &r) == 0;
			if (!more)
				leat_error_memory(err);
			break;
		}
	}
	if (in != NULL)
		leat_readings_close(in);
	free(file);
	return result;
}

/* Who judges by the logbook tells its faults. */
static void
leave_out(void *user, const struct leat_error *err, bool cut)
{
	(void)user;
	(void)err;
	(void)cut;
}

int
leat_gallery_logbook(struct leat_gallery *g, const char *path, struct leat_error *err)
{
	const struct leat_table_lines lines = { leave_out, NULL };
	struct leat_logbook book = { 0 };
	bool absent;
	int result = leat_logbook_read(&book, path, g->form.zone, g->form.now, &lines, &absent, err);

	for (size_t i = 0; result == 0 && i < book.count; i++) {
		for (size_t k = 0; result == 0 && k < g->count; k++) {
			/* A picture takes so many: none that it would not draw. */
			if (leat_asset_kin(book.entry[i].asset, g->names.name[g->frame[k].asset]) &&
			    leat_picture_entry(g->frame[k].picture, &book.entry[i]) != 0)
				result = leat_error_memory(err);
		}
	}
	leat_logbook_free(&book);
	return result;
}

/* What leat_picture_findings does not draw: the limit of a finding that ended, and that of the asset above in the panels of
 * what is below it. */
static int
add_limits(struct leat_gallery *g, struct frame *frame)
{
	double limit;

	if (leat_picture_findings(frame->picture, g->findings, NULL) != 0)
		return -1;
	for (size_t i = 0; i < g->findings->count; i++) {
		const struct leat_finding *f = &g->findings->item[i];
		const struct leat_unit *unit = leat_unit_find(f->unit);

		if (rank_of(g, f) < 0 || (f->status != LEAT_STATUS_ALERT && f->status != LEAT_STATUS_ALARM) ||
		    find(g, f->asset, f->point) != (uint32_t)(frame - g->frame) || leat_double_parse(f->limit, &limit) != 0 ||
		    (unit == NULL && f->unit.len > 0))
			continue;
		for (size_t k = 0; k < frame->count; k++) {
			if ((frame->shown[k].asset != frame->asset || has_ended(g, f)) &&
			    leat_picture_level(frame->picture, frame->shown[k].panel,
			    f->status == LEAT_STATUS_ALARM ? LEAT_PICTURE_ALARM : LEAT_PICTURE_ALERT, limit, unit) != 0)
				return -1;
		}
	}
	return 0;
}

/* Both forms; the style sheet shows one of them. */
static int
write_forms(struct frame *frame, struct leat_out *out)
{
	leat_out_text(out, "<div class=\"broad\">\n");
	if (leat_picture_write(frame->picture, out) != 0)
		return -1;
	leat_out_text(out, "</div>\n<div class=\"slim\">\n");
	if (leat_picture_write_wide(frame->picture, SLIM, out) != 0)
		return -1;
	leat_out_text(out, "</div>\n");
	return 0;
}

/* Kept, for it may be wanted in two pages. */
static int
write_picture(struct leat_gallery *g, struct frame *frame)
{
	struct leat_out *out;
	char *text = NULL;
	size_t len = 0;
	FILE *file;
	int result = -1;

	if (add_limits(g, frame) != 0)
		return -1;
	file = open_memstream(&text, &len);
	out = malloc(sizeof(*out));
	if (file != NULL && out != NULL) {
		leat_out_init(out, file);
		result = write_forms(frame, out);
		if (leat_out_flush(out) != 0)
			result = -1;
	}
	if (file != NULL && fclose(file) != 0)
		result = -1;
	if (result == 0)
		result = leat_buf_add(&frame->svg, text, len);
	free(text);
	free(out);
	return result;
}

bool
leat_gallery_has(const struct leat_gallery *g, struct leat_span asset, struct leat_span point)
{
	uint32_t at = g != NULL ? find(g, asset, point) : LEAT_NAME_NONE;

	return at != LEAT_NAME_NONE && (at < g->count ? g->frame[at].drawn : g->read[at - g->count]);
}

enum leat_gallery_has
leat_gallery_picture(struct leat_gallery *g, struct leat_span asset, struct leat_span point, struct leat_buf *page)
{
	uint32_t at = g != NULL ? find(g, asset, point) : LEAT_NAME_NONE;

	if (!leat_gallery_has(g, asset, point))
		return LEAT_GALLERY_NONE;
	if (at >= g->count)
		return LEAT_GALLERY_LEFT_OUT;
	if (g->frame[at].put)
		return LEAT_GALLERY_BEFORE;
	if (g->frame[at].svg.len == 0 && write_picture(g, &g->frame[at]) != 0)
		return LEAT_GALLERY_FAILED;
	if (g->bytes + g->frame[at].svg.len > LEAT_GALLERY_BYTES)
		return LEAT_GALLERY_FULL;
	g->bytes += g->frame[at].svg.len;
	g->frame[at].put = true;
	if (leat_buf_add_span(page, leat_buf_span(&g->frame[at].svg)) != 0)
		return LEAT_GALLERY_FAILED;
	return g->frame[at].crowded ? LEAT_GALLERY_PUT_PART : LEAT_GALLERY_PUT;
}

void
leat_gallery_rewind(struct leat_gallery *g)
{
	if (g == NULL)
		return;
	for (size_t i = 0; i < g->count; i++)
		g->frame[i].put = false;
	g->bytes = 0;
}
