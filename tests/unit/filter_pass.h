/*
 * A derive filter over readings given as text.
 *
 * The test says what its filter is, as a member of a pass, before it includes this:
 *
 *	#define PASS_FILTER struct leat_drain drain
 *
 *	pass_begin(&p, plate, rows);			tables and streams, of which it makes p.drain
 *	while (pass_next(&p, &r))
 *		pass_took(&p, leat_drain_take(&p.drain, &r, &p.err), &r, copy);
 *	pass_ended(&p, p.status < 0 ? -1 : leat_drain_end(&p.drain, LEAT_TIME_NONE, &p.err));
 *	...						p.status, p.text
 *	pass_free(&p);					after the filter
 */
#ifndef LEAT_TESTS_FILTER_PASS_H
#define LEAT_TESTS_FILTER_PASS_H

#include "latest_of.h"
#include "upkeep/logbook.h"

/* One pass: readings as text in, the readings with the added rows out. */
struct pass {
	struct table_file plate_file;
	struct latest_of l;		/* for its readings only */
	struct leat_nameplate *np;
	struct leat_points points;	/* none */
	struct leat_logbook book;	/* empty before pass_logbook */
	PASS_FILTER;
	struct leat_out out;
	FILE *file;
	char *text;
	size_t size;
	int status;			/* as the filter's functions return it: below 0 with err */
	struct leat_error err;
};

static inline void
pass_begin(struct pass *p, const char *plate, const char *rows)
{
	memset(p, 0, sizeof(*p));
	p->plate_file = table_file_text(plate);
	p->np = leat_nameplate_read(p->plate_file.path, NULL, &p->err);
	if (p->np == NULL)
		fail_msg("%s", p->err.text);
	latest_open(&p->l, rows, NULL);
	p->file = open_memstream(&p->text, &p->size);
	assert_non_null(p->file);
	leat_out_init(&p->out, p->file);
}

/* Reads a logbook, header and all. */
static inline void
pass_logbook(struct pass *p, const char *book)
{
	if (leat_logbook_text(&p->book, "book", leat_span_of(book), leat_nameplate_zone(p->np), LEAT_TIME_NONE, NULL, &p->err) != 0)
		fail_msg("%s", p->err.text);
}

/* The next reading; false at the end, and after the filter failed. */
static inline bool
pass_next(struct pass *p, struct leat_reading *r)
{
	return p->status >= 0 && leat_readings_next(p->l.in, r, &p->err) == LEAT_READINGS_ROW;
}

/* What the filter's take said of the reading. */
static inline void
pass_took(struct pass *p, int status, const struct leat_reading *r, bool copy)
{
	p->status = status;
	if (status > 0 && copy)
		leat_readings_copy(&p->out, p->l.in, r);
}

/* The whole text is there from now on. */
static inline void
pass_ended(struct pass *p, int status)
{
	p->status = status;
	assert_int_equal(leat_out_flush(&p->out), 0);
	fflush(p->file);
}

/* Cuts rows before the instant of which the byte at is: rows of one instant count together. */
static inline void
rows_cut(char *rows, size_t at)
{
	size_t before;

	while (at > 0 && rows[at - 1] != '\n')
		at--;
	for (size_t cut = at; cut > 0; cut = before) {
		for (before = cut - 1; before > 0 && rows[before - 1] != '\n'; before--)
			continue;
		if (strncmp(rows + before, rows + at, 20) != 0)
			break;
		at = before;
	}
	rows[at] = '\0';
}

static inline void
pass_free(struct pass *p)
{
	leat_nameplate_free(p->np);
	leat_logbook_free(&p->book);
	latest_close(&p->l);
	table_file_drop(&p->plate_file);
	fclose(p->file);
	free(p->text);
}

#endif
