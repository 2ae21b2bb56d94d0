/*
 * The trend engine over made-up daily values: tables and readings as text, findings and judgements out.
 */
#ifndef LEAT_TESTS_TREND_PASS_H
#define LEAT_TESTS_TREND_PASS_H

#include "latest_of.h"

#include <math.h>

#include "judge/trend_private.h"
#include "noise.h"

#define TRENDS_HEAD "asset,point,when,clock,model,baseline,alert,alarm,unit,window,rule,advice,source\n"
#define PLATE_HEAD "asset,property,value,unit,from\n"
#define TREND_DAYS 500

struct trend_pass {
	struct table_file plate_file, trends_file;
	struct latest_of l;		/* for its readings only */
	struct leat_nameplate *np;
	struct leat_trends trends;
	struct leat_points points;
	struct leat_logbook book;
	struct leat_trend *trend;
	struct leat_findings found;
	char warned[4096];
	int status;
	struct leat_error err;
};

static struct trend_pass *trend_pass_warned;

static inline void
trend_pass_warn(const char *text)
{
	size_t len = strlen(trend_pass_warned->warned);

	snprintf(trend_pass_warned->warned + len, sizeof(trend_pass_warned->warned) - len, "%s\n", text);
}

/* What a run is made of; NULL texts are empty.  now and since NULL: the last reading, and a day before now. */
struct trend_made {
	const char *trends, *plate, *book;	/* rows without header */
	const char *rows;			/* readings */
	const char *now, *since;
	bool shipped;				/* trends is empty: the shipped rows alone */
	bool not_all;				/* rows in order are left out */
};

static inline void
trend_pass_findings(struct trend_pass *p)
{
	struct table_file file;
	struct leat_error err = { 0 };
	struct leat_out out;
	char *text = NULL;
	size_t size = 0;
	FILE *f = open_memstream(&text, &size);

	assert_non_null(f);
	leat_out_init(&out, f);
	assert_int_equal(leat_trend_findings(p->trend, NULL, &out, &err), 0);
	assert_int_equal(leat_out_flush(&out), 0);
	fclose(f);
	assert_null(strstr(text, "nan"));
	assert_null(strstr(text, "inf,"));
	file = table_file_bytes(text, size);
	if (leat_findings_read(&p->found, file.path, &err) != 0)
		fail_msg("%s", err.text);
	assert_int_equal(p->found.rejected, 0);
	table_file_drop(&file);
	free(text);
}

static inline void
trend_pass_tables(struct trend_pass *p, const struct trend_made *m)
{
	struct leat_buf text = { 0 };

	assert_int_equal(leat_buf_printf(&text, PLATE_HEAD "%s", m->plate != NULL ? m->plate : ""), 0);
	p->plate_file = table_file_bytes(text.data, text.len);
	leat_buf_reset(&text);
	assert_int_equal(leat_buf_printf(&text, TRENDS_HEAD "%s", m->trends != NULL ? m->trends : ""), 0);
	p->trends_file = table_file_bytes(text.data, text.len);
	leat_buf_reset(&text);
	p->np = leat_nameplate_read(p->plate_file.path, NULL, &p->err);
	if (p->np == NULL || leat_trends_read(&p->trends, p->trends_file.path, NULL, &p->err) != 0)
		fail_msg("%s", p->err.text);
	assert_int_equal(leat_buf_printf(&text, LEAT_LOGBOOK_HEADER "\n%s", m->book != NULL ? m->book : ""), 0);
	if (leat_logbook_text(&p->book, "logbook.csv", leat_span_make(text.data, text.len), leat_nameplate_zone(p->np),
	    LEAT_TIME_NONE, NULL, &p->err) != 0)
		fail_msg("%s", p->err.text);
	leat_buf_free(&text);
}

static inline void
trend_pass_run(struct trend_pass *p, const struct trend_made *m)
{
	struct leat_reading r;
	struct leat_trend_form form = { .ahead_s = 60 * 86400.0, .all = !m->not_all, .warn = trend_pass_warn };

	memset(p, 0, sizeof(*p));
	trend_pass_warned = p;
	trend_pass_tables(p, m);
	latest_open(&p->l, m->rows, NULL);
	form.in = p->l.in;
	form.trends = &p->trends;
	form.points = &p->points;
	form.np = p->np;
	form.book = &p->book;
	form.now = m->now != NULL ? time_of(m->now) : LEAT_TIME_NONE;
	form.since_time = m->since != NULL ? time_of(m->since) : LEAT_TIME_NONE;
	form.since.days = 1;
	p->trend = leat_trend_new(&form);
	assert_non_null(p->trend);
	while (p->status == 0 && leat_readings_next(p->l.in, &r, &p->err) == LEAT_READINGS_ROW)
		p->status = leat_trend_take(p->trend, &r, &p->err);
	if (p->status == 0)
		p->status = leat_trend_end(p->trend, &p->err);
	if (p->status == 0)
		trend_pass_findings(p);
}

static inline void
trend_pass_close(struct trend_pass *p)
{
	leat_findings_free(&p->found);
	leat_trend_free(p->trend);
	leat_logbook_free(&p->book);
	leat_trends_free(&p->trends);
	leat_nameplate_free(p->np);
	latest_close(&p->l);
	table_file_drop(&p->plate_file);
	table_file_drop(&p->trends_file);
}

/* The judgement by a rule on a series; it must be there. */
static inline const struct leat_trend_case *
trend_pass_case(const struct trend_pass *p, const char *asset, const char *rule)
{
	for (size_t i = 0; i < p->trend->watches; i++)
		if (leat_span_is(p->trend->found[i].watch->row->rule.name, rule) &&
		    leat_span_is(leat_trend_asset(p->trend, &p->trend->watch[i]), asset))
			return &p->trend->found[i];
	fail_msg("nothing was judged of '%s' by '%s'", asset, rule);
	return NULL;
}

/* The finding of a rule on an asset that is open, in order, or (over) has ended; NULL when there is none. */
static inline const struct leat_finding *
trend_pass_find(const struct trend_pass *p, const char *asset, const char *rule, bool over)
{
	for (size_t i = 0; i < p->found.count; i++) {
		const struct leat_finding *f = &p->found.item[i];

		if (leat_span_is(f->asset, asset) && leat_span_is(f->rule, rule) && leat_time_is_none(f->until) != over)
			return f;
	}
	return NULL;
}

/* Adds a day's value at 05:00Z of the day-th day after 2025-01-01, and the running hours where they are not NaN. */
static inline void
trend_pass_day(struct leat_buf *rows, const char *asset, const char *point, int day, double value, const char *unit,
    double hours)
{
	struct leat_time t = { INT64_C(1735707600) + (int64_t)day * 86400, 0 };
	char stamp[LEAT_TIME_MAX];

	leat_time_write(stamp, t);
	if (!isnan(hours))
		assert_int_equal(leat_buf_printf(rows, "%s,%s,running-hours,%.2f,h,good\n", stamp, asset, hours), 0);
	assert_int_equal(leat_buf_printf(rows, "%s,%s,%s,%.5f,%s,good\n", stamp, asset, point, value, unit), 0);
}

static inline struct leat_time
trend_pass_time(int day)
{
	return (struct leat_time){ INT64_C(1735707600) + (int64_t)day * 86400, 0 };
}

#endif
