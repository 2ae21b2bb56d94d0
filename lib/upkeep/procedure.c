/* Procedures: headings and items of the file. */
#include "upkeep/procedure_private.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#include "stream/input.h"
#include "stream/nearest.h"

#define SIZE_MAX_BYTES (1024u * 1024u)

static const struct {
	const char *heading;
	bool due, marks;
} sections[LEAT_PROCEDURE_SECTIONS] = {
	[LEAT_PROCEDURE_PURPOSE] = { "Purpose", true, false },
	[LEAT_PROCEDURE_STATE] = { "State", true, false },
	[LEAT_PROCEDURE_ISOLATIONS] = { "Isolations", false, false },
	[LEAT_PROCEDURE_CAUTIONS] = { "Cautions", true, false },
	[LEAT_PROCEDURE_TOOLS] = { "Tools", false, false },
	[LEAT_PROCEDURE_PARTS] = { "Parts", false, false },
	[LEAT_PROCEDURE_STEPS] = { "Steps", true, true },
	[LEAT_PROCEDURE_AFTER] = { "After work", true, true },
	[LEAT_PROCEDURE_CONFIRMED] = { "Confirmed by", true, false }
};

void
procedure_fault(struct leat_procedure_reading *r, long line, struct leat_span value, const char *fmt, ...)
{
	struct leat_error err = { 0 };
	char text[256];
	va_list ap;

	va_start(ap, fmt);
	vsnprintf(text, sizeof(text), fmt, ap);
	va_end(ap);
	leat_error_set(&err, "%s", text);
	if (value.len > 0)
		leat_error_value(&err, value);
	leat_error_at(&err, r->file, line);
	r->bad = true;
	if (r->faults != NULL)
		r->faults->fault(r->faults->user, &err);
}

/* The file in the reading: what the lines so far were. */
struct lines {
	struct leat_procedure_reading *r;
	long line;			/* of the line at hand */
	int section;			/* -1: none, LEAT_PROCEDURE_SECTIONS: one that is no heading */
	bool seen[LEAT_PROCEDURE_SECTIONS];
	const char *begin;		/* of the item in the making; NULL: none */
	long begin_line;
};

static struct leat_procedure_item *
new_item(struct lines *l)
{
	struct leat_procedure_items *items = &l->r->p->section[l->section];

	if (leat_grow(&items->item, &items->cap, items->count + 1, sizeof(*items->item)) != 0) {
		l->r->out_of_memory = true;
		return NULL;
	}
	return &items->item[items->count++];
}

static void
end_item(struct lines *l, const char *end)
{
	struct leat_procedure_item *item;

	if (l->begin == NULL)
		return;
	item = new_item(l);
	if (item != NULL) {
		item->line = l->begin_line;
		procedure_item(l->r, item, leat_span_make(l->begin, (size_t)(end - l->begin)), sections[l->section].marks);
	}
	l->begin = NULL;
}

static void
begin_item(struct lines *l, struct leat_span text)
{
	l->begin = text.ptr;
	l->begin_line = l->line;
}

static void
heading(struct lines *l, struct leat_span text)
{
	size_t colon = leat_span_find(text, ':');
	struct leat_nearest nearest = { .word = leat_span_make(text.ptr, colon) };
	struct leat_span rest;
	int section = 0;

	l->section = LEAT_PROCEDURE_SECTIONS;
	if (colon == text.len) {
		procedure_fault(l->r, l->line, text, "neither a heading with its colon nor indented below one");
		return;
	}
	while (section < LEAT_PROCEDURE_SECTIONS && !leat_span_is_nocase(nearest.word, sections[section].heading)) {
		leat_nearest_offer(&nearest, sections[section].heading);
		section++;
	}
	if (section == LEAT_PROCEDURE_SECTIONS && nearest.name != NULL)
		procedure_fault(l->r, l->line, nearest.word, "unknown heading, did you mean '%s'?", nearest.name);
	else if (section == LEAT_PROCEDURE_SECTIONS)
		procedure_fault(l->r, l->line, nearest.word, "unknown heading (leat-works(5) lists all)");
	else if (l->seen[section])
		procedure_fault(l->r, l->line, nearest.word, "this heading comes twice");
	if (section == LEAT_PROCEDURE_SECTIONS || l->seen[section])
		return;
	l->section = section;
	l->seen[section] = true;
	rest = leat_span_trim(leat_span_make(text.ptr + colon + 1, text.len - colon - 1));
	if (rest.len > 0)
		begin_item(l, rest);
}

/* A remark within an item becomes blanks, for items stay where they are in the file's text. */
static void
remark(struct leat_span line)
{
	memset((char *)(uintptr_t)line.ptr, ' ', line.len);
}

static void
take_line(struct lines *l, struct leat_span line)
{
	struct leat_span text = leat_span_trim(line);

	if (line.len > 0 && line.ptr[0] == '#') {
		remark(line);
		return;
	}
	if (text.len == 0 || text.ptr == line.ptr || leat_span_starts(text, "- "))
		end_item(l, line.ptr);
	if (text.len == 0)
		return;
	if (text.ptr == line.ptr)
		heading(l, text);
	else if (l->section < 0)
		procedure_fault(l->r, l->line, text, "text before the first heading");
	else if (l->section < LEAT_PROCEDURE_SECTIONS && leat_span_starts(text, "- "))
		begin_item(l, leat_span_trim(leat_span_make(text.ptr + 2, text.len - 2)));
	else if (l->section < LEAT_PROCEDURE_SECTIONS && l->begin == NULL)
		begin_item(l, text);
}

/* Items are whole; what ends their lines is a blank from here on. */
static void
one_line(struct leat_buf *text)
{
	for (size_t i = 0; i < text->len; i++)
		if (text->data[i] == '\n')
			text->data[i] = ' ';
}

static int
read_text(struct leat_procedure_reading *r)
{
	struct leat_buf *text = &r->p->text;
	struct lines l = { .r = r, .section = -1 };
	struct leat_span rest = leat_buf_span(text), line;

	for (size_t i = 0; i < text->len; i++) {
		unsigned char c = (unsigned char)text->data[i];

		if (c == '\t' || (c == '\r' && i + 1 < text->len && text->data[i + 1] == '\n'))
			text->data[i] = ' ';
	}
	if (!leat_utf8_valid(rest))
		procedure_fault(r, 0, leat_span_make("", 0), "not text in UTF-8");
	for (l.line = 1; !r->bad && leat_span_next(&rest, '\n', &line); l.line++) {
		for (size_t i = 0; i < line.len; i++)
			if ((unsigned char)line.ptr[i] < ' ' || line.ptr[i] == 127)
				procedure_fault(r, l.line, line, "a control character");
	}
	if (r->bad)
		return -1;
	rest = leat_buf_span(text);
	for (l.line = 1; leat_span_next(&rest, '\n', &line); l.line++)
		take_line(&l, line);
	end_item(&l, text->data + text->len);
	for (size_t i = 0; i < LEAT_PROCEDURE_SECTIONS; i++)
		if (sections[i].due && r->p->section[i].count == 0)
			procedure_fault(r, 0, leat_span_make("", 0), "nothing under the heading '%s:', which every procedure has",
			    sections[i].heading);
	one_line(text);
	if (r->out_of_memory)
		procedure_fault(r, 0, leat_span_make("", 0), "out of memory");
	return r->bad ? -1 : 0;
}

int
leat_procedure_text(struct leat_procedure *p, const char *name, struct leat_span text, const struct leat_points *points,
    const struct leat_procedure_faults *faults)
{
	struct leat_procedure_reading r = { .p = p, .file = name, .points = points, .faults = faults };

	memset(p, 0, sizeof(*p));
	if (leat_buf_add_span(&p->text, text) != 0 || leat_buf_reserve(&p->text, 1) != 0) {
		procedure_fault(&r, 0, leat_span_make("", 0), "out of memory");
		return -1;
	}
	return read_text(&r);
}

int
leat_procedure_read(struct leat_procedure *p, const char *path, const struct leat_points *points,
    const struct leat_procedure_faults *faults)
{
	struct leat_procedure_reading r = { .p = p, .file = path, .points = points, .faults = faults };
	struct leat_error err = { 0 };
	struct leat_input *in;
	ssize_t got = -1;

	memset(p, 0, sizeof(*p));
	p->text.limit = SIZE_MAX_BYTES;
	in = leat_input_open(path, LEAT_ENCODING_AUTO, &err);
	if (in != NULL) {
		while (leat_buf_reserve(&p->text, 4096) == 0 && (got = leat_input_read(in, p->text.data + p->text.len, 4096, &err)) > 0)
			p->text.len += (size_t)got;
		leat_input_close(in);
	}
	if (got > 0)
		leat_error_set(&err, "larger than 1 MiB: this is no procedure");
	if (got == 0)
		return read_text(&r);
	leat_error_at(&err, path, 0);
	if (faults != NULL)
		faults->fault(faults->user, &err);
	return -1;
}

void
leat_procedure_free(struct leat_procedure *p)
{
	for (size_t i = 0; i < LEAT_PROCEDURE_SECTIONS; i++) {
		for (size_t j = 0; j < p->section[i].count; j++) {
			free(p->section[i].item[j].words.piece);
			free(p->section[i].item[j].accept.piece);
			free(p->section[i].item[j].blank);
		}
		free(p->section[i].item);
	}
	leat_buf_free(&p->text);
	memset(p, 0, sizeof(*p));
}
