/* The proof of a works folder: reading every table on past its faults, keeping and ordering the remarks. */
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#include "judge/proof_private.h"

static const char *const extra_names[] = { "nightly.conf", "procedures", "the folder" };

struct leat_proof *
leat_proof_new(const char *works, struct leat_time now)
{
	struct leat_proof *p = calloc(1, sizeof(*p));

	if (p == NULL)
		return NULL;
	p->works = works;
	p->now = now;
	return p;
}

void
leat_proof_instead(struct leat_proof *p, const char *table, const char *path)
{
	for (size_t i = 0; i < PROOF_TABLES; i++)
		if (strcmp(proof_readers[i].name, table) == 0)
			p->instead[i] = path;
}

void
proof_tell(struct leat_proof *p, bool fault, const struct leat_error *what)
{
	struct leat_proof_table *count = &p->count[p->which];
	struct leat_proof_kept *kept;

	if (fault)
		count->faults++;
	else
		count->warnings++;
	if (count->faults + count->warnings > (long long)LEAT_PROOF_KEPT)
		return;
	if (leat_grow(&p->kept, &p->kept_cap, p->kept_count + 1, sizeof(*p->kept)) != 0) {
		p->out_of_memory = true;
		return;
	}
	kept = &p->kept[p->kept_count];
	*kept = (struct leat_proof_kept){ { *what, fault }, p->which, p->kept_count };
	p->kept_count++;
}

void
proof_cell(struct leat_proof *p, bool fault, const struct leat_table *t, size_t row, size_t column, const char *fmt, ...)
{
	struct leat_error err = { 0 };
	char text[512];
	va_list ap;

	va_start(ap, fmt);
	vsnprintf(text, sizeof(text), fmt, ap);
	va_end(ap);
	leat_table_fault(t, row, column, &err, text);
	proof_tell(p, fault, &err);
}

bool
proof_first(struct leat_proof *p, struct leat_span text)
{
	char key[256];
	size_t known = p->told.count;
	int len = snprintf(key, sizeof(key), "%zu %.*s", p->which, (int)(text.len < 200 ? text.len : 200), text.ptr);

	if (leat_names_put(&p->told, leat_span_make(key, (size_t)len)) == LEAT_NAME_NONE)
		p->out_of_memory = true;
	return p->told.count > known;
}

size_t
proof_column(const struct leat_table *t, const char *name)
{
	const struct leat_table_form *form = leat_table_form_of(t);
	size_t i;

	for (i = 0; i < form->columns; i++)
		if (strcmp(form->column[i], name) == 0)
			break;
	return i;
}

const char *
proof_hint(char *dst, const char *near)
{
	dst[0] = '\0';
	if (near != NULL)
		snprintf(dst, PROOF_HINT, ", did you mean '%.120s'?", near);
	return dst;
}

static void
broken(void *user, const struct leat_error *err, bool cut)
{
	struct leat_proof *p = user;

	(void)cut;
	p->count[p->which].rows++;
	p->lines_lost = p->lines_lost || p->which == PROOF_NAMEPLATE || p->which == PROOF_POINTS;
	proof_tell(p, true, err);
}

/* The row of that line; the number of rows when none is. */
static size_t
row_of_line(const struct leat_table *t, long line)
{
	size_t row;

	for (row = 0; row < leat_table_rows(t); row++)
		if (leat_table_line(t, row) == line)
			break;
	return row;
}

/* Asks the reader until it is content with the rows that are left.  With none of them it always is. */
static void
make(struct leat_proof *p, const struct leat_proof_reader *reader, struct leat_table *t)
{
	struct leat_error err = { 0 };
	size_t row;

	while (reader->make(p, t, &err) != 0) {
		row = t != NULL ? row_of_line(t, err.line) : 0;
		if (t == NULL || row == leat_table_rows(t) || p->out_of_memory) {
			p->out_of_memory = true;
			leat_table_free(t);
			return;
		}
		proof_tell(p, true, &err);
		leat_table_drop(t, row);
		/* A table wrong in so many lines is another file. */
		if (p->count[p->which].faults >= (long long)LEAT_PROOF_KEPT)
			while (leat_table_rows(t) > 0)
				leat_table_drop(t, leat_table_rows(t) - 1);
		memset(&err, 0, sizeof(err));
	}
	p->table[p->which] = t;
}

static void
read_form(struct leat_proof *p, const struct leat_proof_reader *reader, const char *path, bool *absent)
{
	struct leat_table_lines lines = { broken, p };
	struct leat_error err = { 0 };
	struct leat_table *t = leat_table_read_on(path, reader->form, &lines, absent, &err);

	if (t == NULL && !*absent)
		proof_tell(p, true, &err);
	if (t != NULL) {
		p->count[p->which].rows += (long long)leat_table_rows(t);
		if (p->which == PROOF_NAMEPLATE || p->which == PROOF_POINTS)
			proof_learn(p, t);
	}
	if (reader->make != NULL) {
		make(p, reader, t);
		return;
	}
	p->table[p->which] = p->owned[p->which] = t;
	for (size_t i = 0; t != NULL && i < leat_table_rows(t); i++)
		proof_row_cells(p, t, i, reader->cell);
}

/* The path of the table at hand; NULL: there is none. */
static const char *
path_of(struct leat_proof *p)
{
	const char *name = proof_readers[p->which].name;
	size_t size;

	if (p->instead[p->which] != NULL)
		return p->instead[p->which];
	if (p->works == NULL)
		return NULL;
	size = strlen(p->works) + strlen(name) + sizeof("/.csv");
	p->path[p->which] = malloc(size);
	if (p->path[p->which] == NULL)
		p->out_of_memory = true;
	else
		snprintf(p->path[p->which], size, "%s/%s.csv", p->works, name);
	return p->path[p->which];
}

static void
read_one(struct leat_proof *p)
{
	const struct leat_proof_reader *reader = &proof_readers[p->which];
	struct leat_proof_table *count = &p->count[p->which];
	const char *path = path_of(p);
	struct leat_error err = { 0 };

	if (path == NULL) {
		count->absent = true;
		if (reader->make != NULL)
			make(p, reader, NULL);
		return;
	}
	if (p->which == PROOF_LOGBOOK) {
		if (proof_read_logbook(p, path, &count->absent, &err) != 0)
			proof_tell(p, true, &err);
	} else {
		read_form(p, reader, path, &count->absent);
	}
	if (count->absent && p->instead[p->which] != NULL) {
		leat_error_set(&err, "no such table");
		leat_error_at(&err, path, 0);
		proof_tell(p, true, &err);
	}
}

static int
by_place(const void *a, const void *b)
{
	const struct leat_proof_kept *x = a, *y = b;

	if (x->which != y->which)
		return x->which < y->which ? -1 : 1;
	/* Of procedures, file by file. */
	if (strcmp(x->remark.what.file, y->remark.what.file) != 0)
		return strcmp(x->remark.what.file, y->remark.what.file);
	if (x->remark.what.line != y->remark.what.line)
		return x->remark.what.line < y->remark.what.line ? -1 : 1;
	return x->order < y->order ? -1 : x->order > y->order;
}

int
leat_proof_run(struct leat_proof *p, struct leat_error *err)
{
	static const char *const file[PROOF_TABLES] = {
		"nameplate.csv", "sources.csv", "points.csv", "limits.csv", "trends.csv", "confirm.csv", "oil.csv", "modes.csv",
		"pairs.csv", "precharge.csv", "tasks.csv", "stops.csv", "parts.csv", "logbook.csv", "shelved.csv"
	};

	for (p->which = 0; p->which < PROOF_ALL; p->which++)
		p->count[p->which].name = p->which < PROOF_TABLES ? file[p->which] : extra_names[p->which - PROOF_TABLES];
	for (p->which = 0; p->which < PROOF_TABLES && !p->out_of_memory; p->which++)
		read_one(p);
	proof_learn_rules(p);
	p->which = PROOF_NIGHTLY;
	proof_nightly(p);
	p->which = PROOF_PROCEDURES;
	proof_procedures(p);
	p->which = PROOF_FOLDER;
	proof_folder(p);
	for (p->which = 0; p->which < PROOF_TABLES && !p->out_of_memory; p->which++)
		if (p->table[p->which] != NULL && proof_readers[p->which].cross != NULL)
			proof_readers[p->which].cross(p, p->table[p->which]);
	if (p->kept_count > 1)
		qsort(p->kept, p->kept_count, sizeof(*p->kept), by_place);
	return p->out_of_memory ? leat_error_memory(err) : 0;
}

const struct leat_proof_remark *
leat_proof_remark_at(const struct leat_proof *p, size_t index)
{
	return index < p->kept_count ? &p->kept[index].remark : NULL;
}

const struct leat_proof_table *
leat_proof_table_at(const struct leat_proof *p, size_t index)
{
	return index < PROOF_ALL ? &p->count[index] : NULL;
}

void
leat_proof_free(struct leat_proof *p)
{
	if (p == NULL)
		return;
	for (size_t i = 0; i < PROOF_TABLES; i++) {
		leat_table_free(p->owned[i]);
		free(p->path[i]);
	}
	leat_nameplate_free(p->nameplate);
	leat_sources_free(&p->sources);
	leat_points_free(&p->points);
	leat_limits_free(&p->limits);
	leat_trends_free(&p->trends);
	leat_confirms_free(&p->confirms);
	leat_oil_rules_free(&p->oil);
	leat_modes_free(&p->modes);
	leat_precharges_free(&p->precharges);
	leat_tasks_free(&p->tasks);
	leat_stops_free(&p->stops);
	leat_parts_free(&p->parts);
	leat_shelves_free(&p->shelves);
	leat_logbook_free(&p->logbook);
	leat_names_free(&p->assets);
	leat_names_free(&p->names);
	leat_pairs_free(&p->series);
	leat_names_free(&p->rules);
	leat_names_free(&p->sources_named);
	leat_names_free(&p->told);
	free(p->kept);
	free(p);
}
