/* logbook.csv: reading it. */
#include <sys/stat.h>

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>

#include "stream/input.h"
#include "stream/nearest.h"
#include "upkeep/logbook.h"

enum column { TIME, ASSET, EVENT, TASK, POINT, FOUND, LEFT, UNIT, ITEM, WHO, NOTE, COLUMNS };

static const char *const columns[COLUMNS] = {
	"time", "asset", "event", "task", "point", "found", "left", "unit", "item", "who", "note"
};

static const struct leat_table_form form = { "logbook", columns, COLUMNS, 3 };

/* What a reading of the logbook needs beside it. */
struct reading {
	struct leat_logbook *book;
	const struct leat_zone *zone;
	struct leat_time now;
	const struct leat_table_lines *lines;	/* NULL: the first fault is an error */
};

/* Between the table and the caller: counts what is left out. */
static void
count_broken(void *user, const struct leat_error *err, bool cut)
{
	struct reading *r = user;

	r->book->broken++;
	if (r->lines != NULL && r->lines->broken != NULL)
		r->lines->broken(r->lines->user, err, cut);
}

static int
unknown_event(const struct leat_table *t, size_t i, struct leat_error *err)
{
	struct leat_nearest nearest = { .word = leat_table_cell(t, i, EVENT) };
	char text[160] = "unknown event (leat-log(1) lists all)";
	const struct leat_event *event;

	for (size_t n = 0; (event = leat_event_at(n)) != NULL; n++)
		leat_nearest_offer(&nearest, event->name);
	if (nearest.name != NULL)
		snprintf(text, sizeof(text), "unknown event, did you mean '%s'? (leat-log(1) lists all)", nearest.name);
	return leat_table_fault(t, i, EVENT, err, text);
}

static int
take_entry(struct reading *r, struct leat_log_entry *e, size_t i, struct leat_error *err)
{
	struct leat_table *t = r->book->table;
	int status = leat_table_time(t, i, TIME, r->zone, &e->time, err);

	if (status == 0)
		return leat_table_fault(t, i, TIME, err, "empty: an entry needs its time");
	if (status < 0)
		return -1;
	leat_table_decimal_point(t, i, FOUND);
	leat_table_decimal_point(t, i, LEFT);
	e->asset = leat_table_cell(t, i, ASSET);
	e->task = leat_table_cell(t, i, TASK);
	e->point = leat_table_cell(t, i, POINT);
	e->found = leat_table_cell(t, i, FOUND);
	e->left = leat_table_cell(t, i, LEFT);
	e->item = leat_table_cell(t, i, ITEM);
	e->who = leat_table_cell(t, i, WHO);
	e->note = leat_table_cell(t, i, NOTE);
	e->event = leat_event_find(leat_table_cell(t, i, EVENT));
	e->unit = NULL;
	e->line = leat_table_line(t, i);
	if (e->asset.len == 0)
		return leat_table_fault(t, i, ASSET, err, "empty: an entry needs its asset (- is the works)");
	if (e->event == NULL)
		return leat_table_cell(t, i, EVENT).len == 0 ?
		    leat_table_fault(t, i, EVENT, err, "empty: an entry needs its event") : unknown_event(t, i, err);
	return leat_table_unit(t, i, UNIT, &e->unit, err) < 0 ? -1 : 0;
}

static int
by_time(const void *a, const void *b)
{
	const struct leat_log_entry *x = a, *y = b;
	int order = leat_time_cmp(x->time, y->time);

	if (order != 0)
		return order;
	return x->line < y->line ? -1 : x->line > y->line;
}

static int
take_entries(struct reading *r, struct leat_error *err)
{
	struct leat_logbook *book = r->book;

	for (size_t i = 0; i < leat_table_rows(book->table); i++) {
		struct leat_error why = { 0 };

		if (leat_grow(&book->entry, &book->cap, book->count + 1, sizeof(*book->entry)) != 0)
			return leat_error_memory(err);
		if (take_entry(r, &book->entry[book->count], i, &why) != 0) {
			if (r->lines == NULL) {
				if (err != NULL)
					*err = why;
				return -1;
			}
			count_broken(r, &why, false);
		} else if (!leat_time_is_none(r->now) && leat_time_cmp(book->entry[book->count].time, r->now) > 0)
			book->later++;
		else
			book->count++;
	}
	if (book->count > 1)
		qsort(book->entry, book->count, sizeof(*book->entry), by_time);
	return 0;
}

bool
leat_logbook_unbegun(struct leat_span text)
{
	return text.len <= sizeof(LEAT_LOGBOOK_HEADER) - 1 &&
	    (text.len == 0 || memcmp(text.ptr, LEAT_LOGBOOK_HEADER, text.len) == 0);
}

int
leat_logbook_text(struct leat_logbook *book, const char *name, struct leat_span text, const struct leat_zone *zone,
    struct leat_time now, const struct leat_table_lines *lines, struct leat_error *err)
{
	static const struct leat_table_lines silent = { NULL, NULL };
	struct reading r = { book, zone, now, lines != NULL ? lines : &silent };
	struct leat_table_lines mine = { count_broken, &r };

	memset(book, 0, sizeof(*book));
	if (leat_logbook_unbegun(text)) {
		book->unbegun = true;
		return 0;
	}
	book->table = leat_table_text_lines(name, text, &form, &mine, err);
	if (book->table != NULL && take_entries(&r, err) == 0)
		return 0;
	leat_logbook_free(book);
	return -1;
}

/* Reads a whole file, plain or gzip. */
static int
read_file(const char *path, struct leat_buf *text, const char **name, struct leat_error *err)
{
	struct leat_input *in = leat_input_open(path, LEAT_ENCODING_UTF8, err);
	ssize_t got = in != NULL ? 1 : -1;

	text->limit = 64u * 1024u * 1024u;
	while (got > 0) {
		if (leat_buf_reserve(text, 16384) != 0) {
			got = leat_error_set(err, "larger than the 64 MiB of a logbook, or out of memory");
			leat_error_at(err, leat_input_name(in), 0);
			break;
		}
		got = leat_input_read(in, text->data + text->len, 16384, err);
		if (got > 0)
			text->len += (size_t)got;
	}
	*name = strcmp(path, "-") == 0 ? "standard input" : path;
	if (in != NULL)
		leat_input_close(in);
	return got < 0 ? -1 : 0;
}

int
leat_logbook_read(struct leat_logbook *book, const char *path, const struct leat_zone *zone, struct leat_time now,
    const struct leat_table_lines *lines, bool *absent, struct leat_error *err)
{
	struct leat_buf text = { 0 };
	const char *name;
	struct stat st;
	int result = -1;

	memset(book, 0, sizeof(*book));
	if (absent != NULL) {
		*absent = path[0] == '\0' || (strcmp(path, "-") != 0 && stat(path, &st) != 0 && errno == ENOENT);
		if (*absent)
			return 0;
	}
	if (read_file(path, &text, &name, err) == 0)
		result = leat_logbook_text(book, name, leat_buf_span(&text), zone, now, lines, err);
	leat_buf_free(&text);
	return result;
}

int
leat_logbook_sheet(struct leat_logbook *book, const char *path, const struct leat_zone *zone, struct leat_error *err)
{
	struct reading r = { book, zone, LEAT_TIME_NONE, NULL };

	memset(book, 0, sizeof(*book));
	book->table = leat_table_read(path, &form, NULL, err);
	if (book->table != NULL && take_entries(&r, err) == 0)
		return 0;
	leat_logbook_free(book);
	return -1;
}

struct leat_logbook
leat_logbook_as_of(const struct leat_logbook *book, struct leat_time now)
{
	struct leat_logbook then = *book;

	while (then.count > 0 && leat_time_cmp(then.entry[then.count - 1].time, now) > 0) {
		then.count--;
		then.later++;
	}
	return then;
}

void
leat_logbook_free(struct leat_logbook *book)
{
	leat_table_free(book->table);
	free(book->entry);
	memset(book, 0, sizeof(*book));
}
