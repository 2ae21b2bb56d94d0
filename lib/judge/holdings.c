/*
 * What a works' exports hold, taken together.
 */
#include "judge/holdings.h"

#include <stdlib.h>
#include <string.h>

void
leat_holdings_file(struct leat_holdings *h, const char *path)
{
	leat_survey_pattern(path, h->pattern, sizeof(h->pattern), NULL);
	if (h->tags > 0)
		memset(h->of_tag, 0, h->tags * sizeof(*h->of_tag));
}

/* The row of a pattern and a tag; LEAT_NAME_NONE when memory is out. */
static uint32_t
row_of(struct leat_holdings *h, const char *pattern, struct leat_span tag)
{
	struct leat_buf key = { .data = NULL };
	struct leat_span name;
	size_t files = strlen(pattern);
	uint32_t id = LEAT_NAME_NONE;

	if (leat_buf_add(&key, pattern, files) == 0 && leat_buf_add(&key, "\n", 1) == 0 &&
	    leat_buf_add_span(&key, tag) == 0)
		id = leat_names_put(&h->keys, leat_buf_span(&key));
	leat_buf_free(&key);
	if (id == LEAT_NAME_NONE || id < h->count)
		return id;
	if (leat_grow(&h->row, &h->cap, (size_t)id + 1, sizeof(*h->row)) != 0)
		return LEAT_NAME_NONE;
	name = h->keys.name[id];
	h->row[id] = (struct leat_holding){ .files = leat_span_make(name.ptr, files),
		.tag = leat_span_make(name.ptr + files + 1, name.len - files - 1), .unit = "" };
	h->count = (size_t)id + 1;
	return id;
}

int
leat_holdings_take(struct leat_holdings *h, const struct leat_export_form *form, const struct leat_sample *sample)
{
	struct leat_sample s = *sample;
	struct leat_holding *row;
	uint32_t id;

	if (sample->tag_id >= h->tags &&
	    leat_grow(&h->of_tag, &h->tags, (size_t)sample->tag_id + 1, sizeof(*h->of_tag)) != 0)
		return -1;
	id = h->of_tag[sample->tag_id];
	if (id == 0) {
		id = row_of(h, h->pattern, sample->tag);
		if (id == LEAT_NAME_NONE)
			return -1;
		h->of_tag[sample->tag_id] = ++id;
	}
	s.tag_id = id - 1;
	row = &h->row[s.tag_id];
	if (row->trace == NULL && (row->trace = calloc(1, sizeof(*row->trace))) == NULL)
		return -1;
	if (leat_survey_take(&h->survey, form, &s) != 0)
		return -1;
	leat_trace_take(row->trace, &h->survey.tag[s.tag_id], sample->time);
	return 0;
}

const struct leat_survey_tag *
leat_holdings_tag(const struct leat_holdings *h, size_t row)
{
	static const struct leat_survey_tag nothing;

	return row < h->survey.cap ? &h->survey.tag[row] : &nothing;
}

void
leat_holdings_judge(struct leat_holdings *h)
{
	for (size_t i = 0; i < h->count; i++)
		leat_trace_judge(h->row[i].trace, leat_holdings_tag(h, i), &h->row[i].found);
}

/* "NM/pressure", "NM.pressure", "pressure": the point's own name is plain enough. */
static bool
map_by_name(struct leat_holding *row)
{
	const struct leat_point_info *info;
	struct leat_span name;
	size_t at = row->tag.len;

	while (at > 0 && strchr("/.:", row->tag.ptr[at - 1]) == NULL)
		at--;
	name = leat_span_make(row->tag.ptr + at, row->tag.len - at);
	info = leat_point_find(name);
	if (info == NULL || leat_point_derived(name))
		return false;
	row->point = name;
	row->asset = at > 1 ? leat_span_make(row->tag.ptr, at - 1) : LEAT_SPAN("-");
	return true;
}

size_t
leat_holdings_map(struct leat_holdings *h, const struct leat_points *points)
{
	const struct leat_point *p;
	const struct leat_point_info *info;
	struct leat_holding *row;
	size_t known = 0;

	for (size_t i = 0; i < h->count; i++) {
		row = &h->row[i];
		p = leat_points_tag(points, row->tag);
		if (p != NULL) {
			row->asset = p->asset;
			row->point = p->point;
		} else if (!map_by_name(row)) {
			continue;
		}
		known++;
		info = leat_point_find(row->point);
		row->mill = leat_asset_mill(row->asset);
		row->unit = leat_holdings_tag(h, i)->unit;
		if (p != NULL && p->source_unit != NULL)
			row->unit = p->source_unit->name;
		else if (row->unit[0] == '\0' && p != NULL && p->unit != NULL)
			row->unit = p->unit->name;
		else if (row->unit[0] == '\0' && info != NULL)
			row->unit = info->unit;
	}
	return known;
}

/* Entries are in order of time, so a new day is one that differs from the last. */
static void
take_entry(struct leat_holding *row, const struct leat_log_entry *e)
{
	int64_t day = e->time.sec / 86400;

	if (row->logged == 0)
		row->found = (struct leat_trace_result){ .sample_s = -1, .cycle = -1, .cycle_s = -1, .short_s = -1,
			.change_7d = -1, .change_30d = -1 };
	if (row->logged++ == 0 || row->last_day != day)
		row->found.days++;
	row->last_day = day;
	row->asset = e->asset;
	row->mill = leat_asset_mill(e->asset);
	row->point = e->point;
	row->unit = e->unit != NULL ? e->unit->name : "";
}

int
leat_holdings_logbook(struct leat_holdings *h, const struct leat_logbook *book)
{
	struct leat_buf tag = { .data = NULL };
	const struct leat_log_entry *e;
	uint32_t id = 0;
	size_t i;

	for (i = 0; i < book->count && id != LEAT_NAME_NONE; i++) {
		e = &book->entry[i];
		if (e->point.len == 0 || (e->found.len == 0 && e->left.len == 0))
			continue;
		leat_buf_reset(&tag);
		id = LEAT_NAME_NONE;
		if (leat_buf_add_span(&tag, e->asset) == 0 && leat_buf_add(&tag, "/", 1) == 0 &&
		    leat_buf_add_span(&tag, e->point) == 0)
			id = row_of(h, "\n", leat_buf_span(&tag));
		if (id != LEAT_NAME_NONE)
			take_entry(&h->row[id], e);
	}
	leat_buf_free(&tag);
	return id != LEAT_NAME_NONE ? 0 : -1;
}

bool
leat_holdings_mill(const struct leat_holdings *h, size_t *at, struct leat_span *mill)
{
	size_t i;

	for (; *at < h->count; (*at)++) {
		if (h->row[*at].point.len == 0 || h->row[*at].logged > 0)
			continue;
		for (i = 0; i < *at; i++)
			if (h->row[i].point.len > 0 && h->row[i].logged == 0 && leat_span_eq(h->row[i].mill, h->row[*at].mill))
				break;
		if (i < *at)
			continue;
		*mill = h->row[(*at)++].mill;
		return true;
	}
	return false;
}

void
leat_holdings_free(struct leat_holdings *h)
{
	for (size_t i = 0; i < h->count; i++)
		free(h->row[i].trace);
	free(h->row);
	free(h->of_tag);
	leat_names_free(&h->keys);
	leat_survey_free(&h->survey);
	memset(h, 0, sizeof(*h));
}
