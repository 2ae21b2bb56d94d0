/*
 * judge/blind*.c, judge/holdings.c, judge/draft*.c: what exports hold together, which judgements they allow, and drafts.
 */
#include "judge/blind.h"
#include "judge/draft.h"
#include "unit.h"

static const struct leat_export_form form = { .decimal = '.' };

/* Takes count values of a tag, a step apart, from an instant of 2025 on. */
static void
take(struct leat_holdings *h, uint32_t number, const char *tag, int count, double step_s, int turns)
{
	struct leat_sample s = { .tag = leat_span_of(tag), .tag_id = number };
	char text[16];

	for (int i = 0; i < count; i++) {
		snprintf(text, sizeof(text), "%d", turns > 0 ? i / turns % 2 : 100 + i * 7 % 13);
		s.value = leat_span_of(text);
		s.time = leat_time_add((struct leat_time){ 1738540800, 0 }, i * step_s);
		assert_int_equal(leat_holdings_take(h, &form, &s), 0);
	}
}

static const struct leat_judgement *
judgement(const char *name)
{
	const struct leat_judgement *q;

	for (size_t i = 0; (q = leat_judgement_at(i)) != NULL; i++)
		if (strcmp(q->name, name) == 0)
			return q;
	fail_msg("no judgement '%s'", name);
	return NULL;
}

/* Tags of one kind of file are one holding through all files; of another kind, another. */
static void
test_together(void **state)
{
	struct leat_holdings h = { .count = 0 };

	(void)state;
	leat_holdings_file(&h, "exports/NM_2025-02-03.csv");
	take(&h, 0, "NM/charging", 100, 60, 3);
	take(&h, 1, "NM/pressure", 100, 60, 0);
	leat_holdings_file(&h, "exports/NM_2025-02-04.csv");
	take(&h, 0, "NM/pressure", 50, 60, 0);
	leat_holdings_file(&h, "exports/events_2025-02.csv");
	take(&h, 0, "NM/charging", 40, 17, 1);
	assert_int_equal(h.count, 3);
	unit_span(h.row[0].files, "NM_*.csv");
	unit_span(h.row[2].files, "events_*.csv");
	unit_span(h.row[2].tag, "NM/charging");
	/* The second file repeats the times of the first. */
	assert_int_equal(leat_holdings_tag(&h, 1)->count, 150);
	assert_int_equal(h.row[1].trace->behind, 50);
	leat_holdings_judge(&h);
	unit_close(h.row[0].found.sample_s, 60, 1e-6);
	unit_close(h.row[2].found.sample_s, 17, 1e-6);
	leat_holdings_free(&h);
}

/* A mill of a few tags; the state of a judgement, and words of its reason. */
static const struct state_case {
	const char *name;
	const char *tags[5];		/* of mill NM, by the names of points */
	double step_s;
	int count;
	const char *judgement;
	enum leat_blind state;
	const char *reason, *opens;	/* parts of them */
} state_cases[] = {
	{ "a point is missing", { "drain-flow" }, 60, 8000, "pump-wear", LEAT_BLIND, "no pump-running", "pump-running" },
	{ "all is there", { "drain-flow", "pump-running", "pressure", "oil-temperature" }, 60, 15000, "pump-wear",
	    LEAT_BLIND_POSSIBLE, "better with viscosity-40", "viscosity-40" },
	{ "seldom", { "drain-flow", "pump-running", "pressure", "oil-temperature" }, 3600, 800, "pump-wear",
	    LEAT_BLIND_COARSE, "drain-flow every 1 h, every 5 min is due", "drain-flow every 5 min" },
	{ "too short", { "drain-flow", "pump-running", "pressure", "oil-temperature" }, 60, 2000, "pump-wear",
	    LEAT_BLIND_COARSE, "34 h on 2 days are too short", "a longer span" },
	{ "short of hours, but ten days", { "level", "pressure", "oil-temperature" }, 60, 15000, "gas-by-level",
	    LEAT_BLIND, "no property tank-area", "the property tank-area" },
	{ "another reading serves", { "pump-running" }, 60, 100, "running-hours", LEAT_BLIND_POSSIBLE, "", "" },
	{ "one sample", { "lift-time" }, 60, 1, "lift-time", LEAT_BLIND_COARSE, "too few days with values: 1, a trend needs 2",
	    "a longer span" },
	{ "one value is no rate", { "oil-temperature" }, 60, 1, "thermostat", LEAT_BLIND_COARSE,
	    "single values of oil-temperature", "oil-temperature every 1 min" },
};

static bool
has(const struct leat_buf *buf, const char *part)
{
	char text[1024];

	snprintf(text, sizeof(text), "%.*s", (int)buf->len, buf->len > 0 ? buf->data : "");
	return strstr(text, part) != NULL;
}

static void
test_states(void **state)
{
	struct leat_nameplate *np = leat_nameplate_read("/nonexistent/nameplate.csv", NULL, NULL);
	struct leat_points none = { .table = NULL };
	struct leat_blind_row row = { .state = LEAT_BLIND };
	char tag[64];

	(void)state;
	assert_non_null(np);
	for (size_t i = 0; i < sizeof(state_cases) / sizeof(state_cases[0]); i++) {
		const struct state_case *c = &state_cases[i];
		struct leat_holdings h = { .count = 0 };

		leat_holdings_file(&h, "NM.csv");
		for (uint32_t k = 0; k < 5 && c->tags[k] != NULL; k++) {
			snprintf(tag, sizeof(tag), "NM/%s", c->tags[k]);
			take(&h, k, tag, c->count, c->step_s, strstr(tag, "running") != NULL ? 100 : 0);
		}
		leat_holdings_judge(&h);
		assert_int_equal(leat_holdings_map(&h, &none), h.count);
		assert_int_equal(leat_blind_judge(judgement(c->judgement), &h, np, LEAT_SPAN("NM"), &row), 0);
		if (row.state != c->state || !has(&row.reason, c->reason) || !has(&row.opens, c->opens))
			fail_msg("%s: %s: '%.*s' '%.*s'", c->name, leat_blind_name(row.state), (int)row.reason.len,
			    row.reason.data, (int)row.opens.len, row.opens.data);
		/* Another mill has none of it. */
		assert_int_equal(leat_blind_judge(judgement(c->judgement), &h, np, LEAT_SPAN("MM"), &row), 0);
		assert_int_equal(row.state, LEAT_BLIND);
		leat_holdings_free(&h);
	}
	leat_blind_row_free(&row);
	leat_nameplate_free(np);
}

/* The table itself: every point and property is a known one, rates can be read, and brackets close. */
static void
test_table(void **state)
{
	const struct leat_judgement *q;
	struct leat_span rest, group, word;
	size_t count = 0, at;

	(void)state;
	for (; (q = leat_judgement_at(count)) != NULL; count++) {
		rest = leat_span_of(q->needs);
		while (leat_span_next(&rest, ' ', &group)) {
			if (group.ptr[0] == '(') {
				assert_int_equal(group.ptr[group.len - 1], ')');
				group = leat_span_make(group.ptr + 1, group.len - 2);
			}
			while (leat_span_next(&group, '|', &word)) {
				at = leat_span_find(word, '@');
				assert_true(at == word.len || word.ptr[word.len - 1] == 's');
				if (word.ptr[0] == '=')
					assert_non_null(leat_property_find(leat_span_make(word.ptr + 1, word.len - 1)));
				else if (leat_point_find(leat_span_make(word.ptr, at)) == NULL)
					fail_msg("%s: unknown point '%.*s'", q->name, (int)word.len, word.ptr);
			}
		}
	}
	assert_true(count > 0 && count <= LEAT_JUDGEMENTS_MAX);
}

/* A failure mode is told when all judgements that see it are blind, once. */
static void
test_modes(void **state)
{
	enum leat_blind seen[LEAT_JUDGEMENTS_MAX] = { LEAT_BLIND };
	struct leat_buf modes = { .data = NULL };
	size_t i, lift = 0;

	(void)state;
	assert_int_equal(leat_blind_modes(seen, &modes), 0);
	assert_true(has(&modes, "pump-wear"));
	assert_int_equal(leat_buf_add(&modes, "", 1), 0);
	assert_ptr_equal(strstr(strstr(modes.data, "pump-wear") + 1, "pump-wear"), NULL);
	for (i = 0; leat_judgement_at(i) != NULL; i++)
		if (strcmp(leat_judgement_at(i)->name, "lift-time") == 0)
			lift = i;
	seen[lift] = LEAT_BLIND_COARSE;
	leat_buf_reset(&modes);
	assert_int_equal(leat_blind_modes(seen, &modes), 0);
	assert_false(has(&modes, "pump-wear"));
	for (i = 0; leat_judgement_at(i) != NULL; i++)
		seen[i] = LEAT_BLIND_POSSIBLE;
	leat_buf_reset(&modes);
	assert_int_equal(leat_blind_modes(seen, &modes), 0);
	assert_int_equal(modes.len, 0);
	leat_buf_free(&modes);
}

/* Tags are known by points.csv, else by a name that ends in that of a measured point. */
static const struct map_case {
	const char *tag, *asset, *point;	/* point "": none */
} map_cases[] = {
	{ "NM/pressure", "NM", "pressure" },
	{ "NM/pump-a/drain-flow", "NM/pump-a", "drain-flow" },
	{ "NM.level", "NM", "level" },
	{ "level", "-", "level" },
	{ "NM.level.mean", "", "" },
	{ "NM/state", "", "" },
	{ "NM_level", "", "" },
	{ "/", "", "" },
	{ "", "", "" },
};

static void
test_map(void **state)
{
	struct leat_points none = { .table = NULL };

	(void)state;
	for (size_t i = 0; i < sizeof(map_cases) / sizeof(map_cases[0]); i++) {
		struct leat_holdings h = { .count = 0 };

		leat_holdings_file(&h, "x.csv");
		take(&h, 0, map_cases[i].tag, 1, 60, 0);
		if (leat_holdings_map(&h, &none) != (map_cases[i].point[0] != '\0'))
			fail_msg("'%s'", map_cases[i].tag);
		unit_span(h.row[0].point, map_cases[i].point);
		unit_span(h.row[0].asset, map_cases[i].asset);
		leat_holdings_free(&h);
	}
}

/* The logbook's measurements count as readings by hand. */
static void
test_logbook(void **state)
{
	static const char text[] = LEAT_LOGBOOK_HEADER "\n"
	    "2025-01-05T08:00:00Z,NM/accu-1,gas-reading,,gas-pressure,75.2,,bar,,AB,\n"
	    "2025-01-05T08:10:00Z,NM/accu-1,gas-reading,,gas-temperature,21,,degC,,AB,\n"
	    "2025-04-05T08:00:00Z,NM/accu-1,gas-reading,,gas-pressure,74.6,,bar,,AB,\n";
	struct leat_nameplate *np = leat_nameplate_read("/nonexistent/nameplate.csv", NULL, NULL);
	struct leat_blind_row row = { .state = LEAT_BLIND };
	struct leat_holdings h = { .count = 0 };
	struct leat_points none = { .table = NULL };
	struct leat_logbook book = { .entry = NULL };
	struct leat_error err = { .line = 0 };
	struct leat_zone *zone = leat_zone_open(LEAT_SPAN("UTC"), NULL);
	struct leat_span mill;
	size_t at = 0;

	(void)state;
	if (leat_logbook_text(&book, "logbook", leat_span_of(text), zone, LEAT_TIME_NONE, NULL, &err) != 0)
		fail_msg("%s", err.text);
	leat_holdings_file(&h, "x.csv");
	take(&h, 0, "MM/pressure", 3, 60, 0);
	leat_holdings_judge(&h);
	leat_holdings_map(&h, &none);
	assert_int_equal(leat_holdings_logbook(&h, &book), 0);
	assert_int_equal(h.count, 3);
	assert_int_equal(h.row[1].logged, 2);
	assert_int_equal(h.row[1].found.days, 2);
	assert_int_equal(leat_blind_judge(judgement("precharge-by-hand"), &h, np, LEAT_SPAN("NM"), &row), 0);
	assert_int_equal(row.state, LEAT_BLIND);
	assert_true(has(&row.has, "gas-pressure x2 in the logbook"));
	assert_true(has(&row.reason, "no property precharge"));
	/* Mills are those of the exports. */
	assert_true(leat_holdings_mill(&h, &at, &mill));
	unit_span(mill, "MM");
	assert_false(leat_holdings_mill(&h, &at, &mill));
	leat_blind_row_free(&row);
	leat_holdings_free(&h);
	leat_logbook_free(&book);
	leat_zone_free(zone);
	leat_nameplate_free(np);
}

/* A round sheet's asset is no second pump, and no second cooler. */
static void
test_assets(void **state)
{
	struct leat_holdings h = { .count = 0 };
	struct leat_points none = { .table = NULL };
	char asset[64];
	size_t at = 0;

	(void)state;
	leat_holdings_file(&h, "x.csv");
	take(&h, 0, "NM/pump-a/drain-flow", 50, 60, 0);
	take(&h, 1, "NM/pump-b/pump-running", 50, 60, 5);
	take(&h, 2, "NM/round/drain-flow", 50, 28800, 0);
	take(&h, 3, "NM/pressure", 50, 60, 0);
	take(&h, 4, "MM/round/drain-flow", 50, 28800, 0);
	leat_holdings_judge(&h);
	leat_holdings_map(&h, &none);
	assert_true(leat_draft_asset(&h, "pump", "drain-flow|pump-running", &at, asset, sizeof(asset)));
	assert_string_equal(asset, "NM/pump-a");
	assert_true(leat_draft_asset(&h, "pump", "drain-flow|pump-running", &at, asset, sizeof(asset)));
	assert_string_equal(asset, "NM/pump-b");
	assert_true(leat_draft_asset(&h, "pump", "drain-flow|pump-running", &at, asset, sizeof(asset)));
	assert_string_equal(asset, "MM/round");
	assert_false(leat_draft_asset(&h, "pump", "drain-flow|pump-running", &at, asset, sizeof(asset)));
	at = 0;
	assert_true(leat_draft_asset(&h, "relief valve", "pressure", &at, asset, sizeof(asset)));
	assert_string_equal(asset, "NM/relief");
	assert_false(leat_draft_asset(&h, "relief valve", "pressure", &at, asset, sizeof(asset)));
	leat_holdings_free(&h);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_together),
		cmocka_unit_test(test_states),
		cmocka_unit_test(test_table),
		cmocka_unit_test(test_modes),
		cmocka_unit_test(test_map),
		cmocka_unit_test(test_logbook),
		cmocka_unit_test(test_assets),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
