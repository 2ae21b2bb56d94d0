/*
 * The oil verdict over made-up samples: tables and readings as text, findings and cases out.
 */
#ifndef LEAT_TESTS_VERDICT_PASS_H
#define LEAT_TESTS_VERDICT_PASS_H

#include "latest_of.h"

#include <math.h>

#include "judge/verdict_private.h"

#define OIL_HEAD "asset,point,when,low_alarm,low_alert,high_alert,high_alarm,unit,own,least,fresh,verdict,confirm,needed," \
	"max_age,rule,advice,source\n"
#define OIL_PLATE_HEAD "asset,property,value,unit,from\n"

struct verdict_pass {
	struct table_file plate_file, oil_file;
	struct latest_of l;		/* for its readings only */
	struct leat_nameplate *np;
	struct leat_oil_rules rules;
	struct leat_points points;
	struct leat_logbook book;
	struct leat_verdict *verdict;
	struct leat_findings found;
	char *text;			/* the findings as written */
	int status;
	struct leat_error err;
};

/* What a run is made of; NULL texts are empty.  now and since NULL: the last reading, and a day before now. */
struct verdict_made {
	const char *oil, *plate, *book;		/* rows without header */
	const char *rows;			/* readings */
	const char *now, *since;
	bool shipped;				/* the shipped rules are in force; else those of the works alone */
};

static inline void
verdict_pass_warn(const char *text)
{
	(void)text;
}

static inline void
verdict_pass_findings(struct verdict_pass *p)
{
	struct table_file file;
	struct leat_error err = { 0 };
	struct leat_out out;
	size_t size = 0;
	FILE *f = open_memstream(&p->text, &size);

	assert_non_null(f);
	leat_out_init(&out, f);
	assert_int_equal(leat_verdict_findings(p->verdict, NULL, &out, &err), 0);
	assert_int_equal(leat_out_flush(&out), 0);
	fclose(f);
	assert_null(strstr(p->text, "nan"));
	assert_null(strstr(p->text, "inf,"));
	file = table_file_bytes(p->text, size);
	if (leat_findings_read(&p->found, file.path, &err) != 0)
		fail_msg("%s", err.text);
	assert_int_equal(p->found.rejected, 0);
	table_file_drop(&file);
}

/* Switches the shipped rows off, so that a test sees its own alone. */
static inline void
verdict_pass_alone(struct leat_oil_rules *rules)
{
	for (size_t i = 0; i < rules->count; i++)
		if (rules->row[i].rule.shipped)
			rules->row[i].rule.off = true;
}

static inline void
verdict_pass_run(struct verdict_pass *p, const struct verdict_made *m)
{
	struct leat_reading r;
	struct leat_buf text = { 0 };
	struct leat_verdict_form form = { .all = true, .warn = verdict_pass_warn };

	memset(p, 0, sizeof(*p));
	assert_int_equal(leat_buf_printf(&text, OIL_PLATE_HEAD "%s", m->plate != NULL ? m->plate : ""), 0);
	p->plate_file = table_file_bytes(text.data, text.len);
	leat_buf_reset(&text);
	assert_int_equal(leat_buf_printf(&text, OIL_HEAD "%s", m->oil != NULL ? m->oil : ""), 0);
	p->oil_file = table_file_bytes(text.data, text.len);
	leat_buf_reset(&text);
	p->np = leat_nameplate_read(p->plate_file.path, NULL, &p->err);
	if (p->np == NULL || leat_oil_rules_read(&p->rules, p->oil_file.path, NULL, &p->err) != 0)
		fail_msg("%s", p->err.text);
	if (!m->shipped)
		verdict_pass_alone(&p->rules);
	assert_int_equal(leat_buf_printf(&text, LEAT_LOGBOOK_HEADER "\n%s", m->book != NULL ? m->book : ""), 0);
	form.now = m->now != NULL ? time_of(m->now) : LEAT_TIME_NONE;
	if (leat_logbook_text(&p->book, "logbook.csv", leat_span_make(text.data, text.len), leat_nameplate_zone(p->np), form.now,
	    NULL, &p->err) != 0)
		fail_msg("%s", p->err.text);
	leat_buf_free(&text);
	latest_open(&p->l, m->rows, NULL);
	form.in = p->l.in;
	form.rules = &p->rules;
	form.points = &p->points;
	form.np = p->np;
	form.book = &p->book;
	form.since_time = m->since != NULL ? time_of(m->since) : LEAT_TIME_NONE;
	form.since.days = 1;
	p->verdict = leat_verdict_new(&form);
	assert_non_null(p->verdict);
	while (p->status == 0 && leat_readings_next(p->l.in, &r, &p->err) == LEAT_READINGS_ROW)
		p->status = leat_verdict_take(p->verdict, &r, &p->err);
	if (p->status == 0)
		p->status = leat_verdict_end(p->verdict, &p->err);
	if (p->status == 0)
		verdict_pass_findings(p);
}

static inline void
verdict_pass_close(struct verdict_pass *p)
{
	leat_findings_free(&p->found);
	leat_verdict_free(p->verdict);
	leat_logbook_free(&p->book);
	leat_oil_rules_free(&p->rules);
	leat_nameplate_free(p->np);
	latest_close(&p->l);
	table_file_drop(&p->plate_file);
	table_file_drop(&p->oil_file);
	free(p->text);
}

/* The tank as it stands now; it must be there. */
static inline const struct leat_verdict_case *
verdict_pass_case(const struct verdict_pass *p, const char *tank)
{
	for (uint32_t i = 0; i < p->verdict->tanks.count; i++)
		if (leat_span_is(leat_verdict_tank_name(p->verdict, i), tank))
			return &p->verdict->tank[i];
	fail_msg("no tank '%s'", tank);
	return NULL;
}

/* The finding of a rule on an asset as it is, or (over) that has ended; NULL when there is none. */
static inline const struct leat_finding *
verdict_pass_find(const struct verdict_pass *p, const char *asset, const char *rule, bool over)
{
	for (size_t i = 0; i < p->found.count; i++) {
		const struct leat_finding *f = &p->found.item[i];

		if (leat_span_is(f->asset, asset) && leat_span_is(f->rule, rule) && leat_time_is_none(f->until) != over)
			return f;
	}
	return NULL;
}

#endif
