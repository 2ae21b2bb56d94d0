/*
 * The due engine over made-up tables and readings as text: items as judged and findings out.
 */
#ifndef LEAT_TESTS_DUE_PASS_H
#define LEAT_TESTS_DUE_PASS_H

#include "latest_of.h"

#include "judge/due_private.h"

#ifndef TASKS_HEAD
#define TASKS_HEAD "task,asset,every,hours,starts,condition,waive,tolerance,needs\n"
#endif
#ifndef FINDINGS_HEAD
#define FINDINGS_HEAD "time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message\n"
#endif
#define CET ",zone,\"CET-1CEST,M3.5.0,M10.5.0/3\",,\n"

struct due_pass {
	struct table_file plate_file, tasks_file;
	struct latest_of l;		/* for its readings only */
	struct leat_nameplate *np;
	struct leat_tasks tasks;
	struct leat_points points;
	struct leat_logbook book;
	struct leat_findings given, found;
	struct leat_due *due;
	char warned[1024];
};

static struct due_pass *due_pass_warned;

static inline void
due_pass_warn(const char *text)
{
	size_t len = strlen(due_pass_warned->warned);

	snprintf(due_pass_warned->warned + len, sizeof(due_pass_warned->warned) - len, "%s\n", text);
}

/* Rows without header; NULL texts are empty, but no findings at all where findings is NULL. */
struct due_made {
	const char *tasks, *plate, *book, *findings, *rows, *now;
	bool not_all;
};

static inline struct table_file
due_pass_file(const char *head, const char *rows)
{
	struct leat_buf text = { 0 };
	struct table_file file;

	assert_int_equal(leat_buf_printf(&text, "%s%s", head, rows != NULL ? rows : ""), 0);
	file = table_file_bytes(text.data, text.len);
	leat_buf_free(&text);
	return file;
}

static inline void
due_pass_take_findings(struct leat_findings *all, const char *text, size_t size)
{
	struct table_file file = table_file_bytes(text, size);
	struct leat_error err = { 0 };

	if (leat_findings_read(all, file.path, &err) != 0 || all->rejected != 0)
		fail_msg("%s %s", err.text, all->first_rejected.text);
	table_file_drop(&file);
}

static inline void
due_pass_tables(struct due_pass *p, const struct due_made *m)
{
	struct leat_buf text = { 0 };
	struct leat_error err = { 0 };

	p->plate_file = due_pass_file("asset,property,value,unit,from\n", m->plate);
	p->tasks_file = due_pass_file(TASKS_HEAD, m->tasks);
	p->np = leat_nameplate_read(p->plate_file.path, NULL, &err);
	if (p->np == NULL || leat_tasks_read(&p->tasks, p->tasks_file.path, NULL, &err) != 0)
		fail_msg("%s:%ld %s", err.column, err.line, err.text);
	assert_int_equal(leat_buf_printf(&text, LEAT_LOGBOOK_HEADER "\n%s", m->book != NULL ? m->book : ""), 0);
	if (leat_logbook_text(&p->book, "logbook.csv", leat_buf_span(&text), leat_nameplate_zone(p->np), time_of(m->now), NULL,
	    &err) != 0)
		fail_msg("%s", err.text);
	leat_buf_reset(&text);
	if (m->findings != NULL) {
		assert_int_equal(leat_buf_printf(&text, FINDINGS_HEAD "%s", m->findings), 0);
		due_pass_take_findings(&p->given, text.data, text.len);
	}
	leat_buf_free(&text);
}

static inline void
due_pass_written(struct due_pass *p)
{
	struct leat_out out;
	char *text = NULL;
	size_t size = 0;
	FILE *f = open_memstream(&text, &size);

	assert_non_null(f);
	leat_out_init(&out, f);
	leat_due_findings(p->due, NULL, &out);
	assert_int_equal(leat_out_flush(&out), 0);
	fclose(f);
	assert_null(strstr(text, "nan"));
	due_pass_take_findings(&p->found, text, size);
	free(text);
}

static inline void
due_pass_run(struct due_pass *p, const struct due_made *m)
{
	struct leat_due_form form = { .all = !m->not_all, .warn = due_pass_warn, .since.days = 1, .ahead.days = 14,
		.since_time = LEAT_TIME_NONE };
	struct leat_error err = { 0 };
	struct leat_reading r;

	memset(p, 0, sizeof(*p));
	due_pass_warned = p;
	due_pass_tables(p, m);
	latest_open(&p->l, m->rows != NULL ? m->rows : "", NULL);
	form.in = p->l.in;
	form.tasks = &p->tasks;
	form.points = &p->points;
	form.np = p->np;
	form.book = &p->book;
	form.findings = m->findings != NULL ? &p->given : NULL;
	form.now = time_of(m->now);
	p->due = leat_due_new(&form);
	assert_non_null(p->due);
	while (leat_readings_next(p->l.in, &r, &err) == LEAT_READINGS_ROW)
		assert_int_equal(leat_due_take(p->due, &r, &err), 0);
	assert_int_equal(leat_due_end(p->due, &err), 0);
	due_pass_written(p);
}

static inline void
due_pass_close(struct due_pass *p)
{
	leat_findings_free(&p->given);
	leat_findings_free(&p->found);
	leat_due_free(p->due);
	leat_logbook_free(&p->book);
	leat_tasks_free(&p->tasks);
	leat_nameplate_free(p->np);
	latest_close(&p->l);
	table_file_drop(&p->plate_file);
	table_file_drop(&p->tasks_file);
}

/* The item of a task on an asset; it must be there. */
static inline const struct leat_due_item *
due_pass_item(const struct due_pass *p, const char *asset, const char *task)
{
	const struct leat_due_item *item;

	for (size_t i = 0; (item = leat_due_item_at(p->due, i)) != NULL; i++)
		if (leat_span_is(item->asset, asset) && leat_span_is(item->task->name, task))
			return item;
	fail_msg("no item of '%s' on '%s'", task, asset);
	return NULL;
}

#define due_time(t, expected) due_time_at((t), (expected), __FILE__, __LINE__)

static inline void
due_time_at(struct leat_time t, const char *expected, const char *file, int line)
{
	char text[LEAT_TIME_MAX] = "none";

	if (!leat_time_is_none(t))
		leat_time_write(text, t);
	if (strcmp(text, expected) == 0)
		return;
	print_error("%s, expected %s\n", text, expected);
	_fail(file, line);
}

#endif
