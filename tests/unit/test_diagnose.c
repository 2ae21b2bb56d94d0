/* leat-diagnose: scores by hand, what counts as evidence, items, rivals, sisters, and properties of random nights. */
#include <math.h>
#include <time.h>

#include "judge/diagnose.h"
#include "table_file.h"

#define HEAD "time,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message\n"
#define AT "2025-11-03T04:00:00Z,"
#define NOW "2025-11-03T05:30:00Z"

/* A mode of two strong symptoms, one weak and two that speak against it; and one that shares a symptom with it. */
static const char table[] =
    "mode,symptom,rule,asset,point,where,weight,absent,plain,read\n"
    "shaft,noise,noisy,,,,3,,,an ear\nshaft,heat,hot,,,,2,,,a hand\nshaft,dust,dusty,,,mill,1,,,\n"
    "shaft,wet,wet,,,mill,-1,,,\n"
    "shaft,light,bright,,,mill,-2,,,\n"
    "bearing,noise,noisy,,,,2,,,an ear\nbearing,play,loose,,,,3,,,a dial gauge\n"
    "plain-thing,it,says-it,,,,3,,yes,\nplain-thing,more,more,,,,1,,,\n";

/* The first mode alone. */
static const char shaft[] =
    "mode,symptom,rule,asset,point,where,weight\nshaft,noise,noisy,,,,3\nshaft,heat,hot,,,,2\nshaft,dust,dusty,,,mill,1\n"
    "shaft,wet,wet,,,mill,-1\nshaft,light,bright,,,mill,-2\n";

struct night {
	struct leat_findings in;
	struct leat_modes modes;
	struct leat_diagnose *d;
	char *text;			/* what was printed */
};

static void
add_findings(struct leat_findings *in, const char *rows)
{
	size_t len = strlen(HEAD) + strlen(rows) + 1;
	char *text = malloc(len);
	struct table_file f;
	struct leat_error err;

	assert_non_null(text);
	snprintf(text, len, HEAD "%s", rows);
	f = table_file_text(text);
	assert_int_equal(leat_findings_read(in, f.path, &err), 0);
	table_file_drop(&f);
	free(text);
}

enum print { PRINT_FINDINGS, PRINT_RANKING, PRINT_EXPLAIN, PRINT_BLIND };

static void
begin(struct night *n, const char *modes, bool all)
{
	struct leat_diagnose_form form = { .findings = &n->in, .modes = &n->modes, .all = all };
	struct leat_error err;

	if (modes != NULL) {
		struct table_file f = table_file_text(modes);

		assert_int_equal(leat_modes_read(&n->modes, f.path, NULL, &err), 0);
		table_file_drop(&f);
	} else {
		assert_int_equal(leat_modes_make(&n->modes, NULL, &err), 0);
	}
	assert_int_equal(leat_time_parse(LEAT_SPAN(NOW), &form.now), 0);
	form.since = leat_time_add(form.now, -86400);
	n->d = leat_diagnose_new(&form);
	assert_non_null(n->d);
}

static void
end(struct night *n, enum print what)
{
	struct leat_error err;
	struct leat_out *out = malloc(sizeof(*out));
	FILE *file = tmpfile();
	long size;

	assert_true(out != NULL && file != NULL);
	assert_int_equal(leat_diagnose_end(n->d, &err), 0);
	leat_out_init(out, file);
	if (what == PRINT_FINDINGS)
		assert_int_equal(leat_diagnose_findings(n->d, out, &err), 0);
	else if (what == PRINT_RANKING)
		leat_diagnose_ranking(n->d, out);
	else if (what == PRINT_BLIND)
		assert_int_equal(leat_diagnose_blind(n->d, out, &err), 0);
	else
		leat_diagnose_explain(n->d, out, LEAT_SPAN(""));
	assert_int_equal(leat_out_flush(out), 0);
	size = ftell(file);
	n->text = malloc((size_t)size + 1);
	assert_non_null(n->text);
	rewind(file);
	assert_int_equal(fread(n->text, 1, (size_t)size, file), size);
	n->text[size] = '\0';
	assert_int_equal(fclose(file), 0);
	free(out);
}

static void
drop(struct night *n)
{
	free(n->text);
	leat_diagnose_free(n->d);
	leat_modes_free(&n->modes);
	leat_findings_free(&n->in);
	memset(n, 0, sizeof(*n));
}

/* One night of these findings. */
static void
judge(struct night *n, const char *rows, const char *modes, bool all, enum print what)
{
	memset(n, 0, sizeof(*n));
	add_findings(&n->in, rows);
	begin(n, modes, all);
	end(n, what);
}

/* A column of the ranking for an asset and mode: -9 where it has no row or the cell is empty. */
static double
ranked(const struct night *n, const char *asset, const char *mode, int column)
{
	char like[200];
	const char *at;
	double value;

	snprintf(like, sizeof(like), ",%s,%s,", asset, mode);
	at = strstr(n->text, like);
	if (at == NULL)
		return -9;
	at += strlen(like);
	for (int i = 0; i < column && at != NULL; i++)
		at = strchr(at, ',') + 1;
	return sscanf(at, "%lf", &value) == 1 ? value : -9;
}
enum { RANK, SCORE, STRENGTH, COVERAGE, CONFIDENCE };

#define ROW(asset, point, rule, status) AT asset "," point "," rule "," status ",,,,2025-11-01T00:00:00Z,,,,m\n"

/* By hand: noise alarm 3 x 1; heat missing; dust ok 1 x -0.5; wet ok -1 x -0.5; light alert -2 x 0.7.
 * sum 3 - 0.5 + 0.5 - 1.4 = 1.6, weight 3 + 1 + 1 + 2 = 7 of 9; score 0.229, strength 1.6 / 9 = 0.178.
 * bearing: noise 2 x 1, play missing: 2 / 4 = 0.5, e^(9 x 0.5) = 90.017; shaft e^(1.6) = 4.953; else e^(1.8) = 6.050.
 * So bearing is told first: 90.017 / (90.017 + 4.953 + 6.050) = 0.891; the runner-up shaft has 0.049. */
static void
test_by_hand(void **state)
{
	struct night n;

	(void)state;
	judge(&n, ROW("NM/gear", "p", "noisy", "alarm") ROW("NM", "p", "dusty", "ok") ROW("NM/tank", "p", "wet", "ok")
	    ROW("NM", "q", "bright", "alert"), table, false, PRINT_RANKING);
	unit_close(ranked(&n, "NM/gear", "bearing", SCORE), 1, 0.0005);
	unit_close(ranked(&n, "NM/gear", "bearing", STRENGTH), 0.5, 0.0005);
	unit_close(ranked(&n, "NM/gear", "bearing", COVERAGE), 40, 0.5);
	unit_close(ranked(&n, "NM/gear", "bearing", CONFIDENCE), 89, 0.5);
	unit_close(ranked(&n, "NM/gear", "bearing", RANK), 1, 0);
	unit_close(ranked(&n, "NM/gear", "shaft", RANK), -9, 0);
	drop(&n);
	judge(&n, ROW("NM/gear", "p", "noisy", "alarm") ROW("NM", "p", "dusty", "ok") ROW("NM/tank", "p", "wet", "ok")
	    ROW("NM", "q", "bright", "alert"), table, false, PRINT_FINDINGS);
	assert_non_null(strstr(n.text, "NM/gear,,likely-bearing,alarm,89,%,"));
	assert_non_null(strstr(n.text, "NM/gear p noisy,bearing,1.00,40,shaft,5,noise,,play,a dial gauge\n"));
	drop(&n);
	/* Without the other mode's symptom the one is judged as reckoned above. */
	judge(&n, ROW("NM/gear", "p", "noisy", "alarm") ROW("NM", "p", "dusty", "ok") ROW("NM/tank", "p", "wet", "ok")
	    ROW("NM", "q", "bright", "alert"),
	    shaft, false, PRINT_RANKING);
	unit_close(ranked(&n, "NM/gear", "shaft", SCORE), 0.229, 0.0005);
	unit_close(ranked(&n, "NM/gear", "shaft", STRENGTH), 0.178, 0.0005);
	unit_close(ranked(&n, "NM/gear", "shaft", COVERAGE), 78, 0.5);
	unit_close(ranked(&n, "NM/gear", "shaft", CONFIDENCE), 100 * 4.953 / (4.953 + 6.050), 0.5);
	drop(&n);
}

/* Evidence: alarm 1, alert 0.7, ended today 0.7 of that, ended before not at all, unknown and absent rows not at all. */
static void
test_grades(void **state)
{
	static const struct { const char *row; double score; } cases[] = {
		{ AT "NM,p,noisy,alarm,,,,,,,,m\n", 1 },
		{ AT "NM,p,noisy,alert,,,,,,,,m\n", 0.7 },
		{ AT "NM,p,noisy,alarm,,,,2025-11-01T00:00:00Z,2025-11-03T01:00:00Z,,,m\n", 0.7 },
		{ AT "NM,p,noisy,alert,,,,2025-11-01T00:00:00Z,2025-11-03T01:00:00Z,,,m\n", 0.49 },
		{ AT "NM,p,noisy,alarm,,,,2025-11-01T00:00:00Z,2025-11-02T01:00:00Z,,,m\n", -9 },
		{ AT "NM,p,noisy,alarm,,,,2025-11-01T00:00:00Z,2025-11-04T01:00:00Z,,,m\n", 1 },
		{ "2025-11-03T06:00:00Z,NM,p,noisy,alarm,,,,,,,,m\n", -9 },
		{ AT "NM,p,noisy,unknown,,,,,,,,m\n", -9 },
		{ AT "NM,p,noisy,ok,,,,,,,,m\n", -9 },
		{ AT "NM,p,noisy,ok,,,,,,,,m\n" AT "NM,p,noisy,alert,,,,,,,,m\n", 0.7 }
	};
	struct night n;

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		judge(&n, cases[i].row, table, false, PRINT_RANKING);
		unit_close(ranked(&n, "NM", "shaft", SCORE), cases[i].score, 0.0005);
		/* What ended is named as that. */
		assert_int_equal(strstr(n.text, "noise (ended)") != NULL, i == 2 || i == 3);
		drop(&n);
	}
}

/* A finding that names the failure by itself needs no diagnosis; with another one it is one line for both. */
static void
test_plain(void **state)
{
	struct night n;

	(void)state;
	judge(&n, ROW("NM", "p", "says-it", "alarm"), table, false, PRINT_FINDINGS);
	assert_null(strstr(n.text, "likely"));
	drop(&n);
	/* With ok rows it is said which finding that is; of one that is in order nothing is. */
	judge(&n, ROW("NM", "p", "says-it", "alarm"), table, true, PRINT_FINDINGS);
	assert_non_null(strstr(n.text, ",NM,,likely-plain-thing,ok,"));
	assert_non_null(strstr(n.text, "plain thing: one finding says all of it,NM p says-it,plain-thing,"));
	drop(&n);
	judge(&n, ROW("NM", "p", "says-it", "ok"), table, true, PRINT_FINDINGS);
	assert_non_null(strstr(n.text, "plain thing is not likely,,plain-thing,"));
	drop(&n);
	judge(&n, ROW("NM", "p", "says-it", "alarm") ROW("NM", "", "more", "alert"), table, false, PRINT_FINDINGS);
	assert_non_null(strstr(n.text, "NM,,likely-plain-thing,alarm,"));
	assert_non_null(strstr(n.text, ",NM - more;NM p says-it,plain-thing,"));
	drop(&n);
}

/* The item is as deep as the symptoms tell; brothers are apart, and a name that begins like another is another. */
static void
test_items(void **state)
{
	struct night n;

	(void)state;
	judge(&n, ROW("NM", "p", "noisy", "alarm") ROW("NM/gear/a", "p", "hot", "alarm") ROW("NM/gear/ab", "p", "hot", "ok"), shaft,
	    false, PRINT_RANKING);
	unit_close(ranked(&n, "NM/gear/a", "shaft", SCORE), 1, 0.0005);
	unit_close(ranked(&n, "NM", "shaft", SCORE), -9, 0);
	unit_close(ranked(&n, "NM/gear/ab", "shaft", SCORE), -9, 0);
	drop(&n);
	judge(&n, ROW("NM/gear", "p", "noisy", "alarm") ROW("NM/gear-2", "p", "noisy", "alert") ROW("NM/gear/x", "p", "hot", "ok")
	    ROW("MM/gear", "p", "hot", "alarm"), shaft, false, PRINT_RANKING);
	/* (3 - 1) / 5 with the part that is in order; the brother has none of it, nor has the other mill. */
	unit_close(ranked(&n, "NM/gear", "shaft", SCORE), 0.4, 0.0005);
	unit_close(ranked(&n, "NM/gear-2", "shaft", SCORE), 0.7, 0.0005);
	unit_close(ranked(&n, "MM/gear", "shaft", SCORE), 1, 0.0005);
	drop(&n);
}

/* What the first failure explains does not count for another; what it does not explain does. */
static void
test_two(void **state)
{
	struct night n;

	(void)state;
	judge(&n, ROW("NM/gear", "p", "noisy", "alarm") ROW("NM/gear", "p", "loose", "alarm") ROW("NM/gear", "p", "hot", "alarm"),
	    table, false, PRINT_RANKING);
	/* Both 5 / 5 at first: by name then.  The heat is left for the other: 2 / 2 of 9. */
	unit_close(ranked(&n, "NM/gear", "bearing", RANK), 1, 0);
	unit_close(ranked(&n, "NM/gear", "bearing", SCORE), 1, 0.0005);
	unit_close(ranked(&n, "NM/gear", "shaft", RANK), 2, 0);
	unit_close(ranked(&n, "NM/gear", "shaft", SCORE), 1, 0.0005);
	unit_close(ranked(&n, "NM/gear", "shaft", COVERAGE), 22, 0.5);
	drop(&n);
	judge(&n, ROW("NM/gear", "p", "noisy", "alarm") ROW("NM/gear", "p", "loose", "ok") ROW("NM/gear", "p", "hot", "alarm"),
	    table, false, PRINT_FINDINGS);
	assert_non_null(strstr(n.text, "likely-shaft"));
	assert_null(strstr(n.text, "likely-bearing"));
	drop(&n);
}

/* Status, times and shelf are those of what is explained. */
static void
test_state(void **state)
{
	struct night n;

	(void)state;
	judge(&n, "2025-11-02T04:00:00Z,NM,p,noisy,alert,,,,2025-10-05T00:00:00Z,,2025-12-01T00:00:00Z,,m\n"
	    "2025-11-03T03:00:00Z,NM,p,hot,alarm,,,,2025-10-07T00:00:00Z,,2025-11-20T00:00:00Z,,m\n", table, false, PRINT_FINDINGS);
	assert_non_null(strstr(n.text, "\n2025-11-03T03:00:00Z,NM,,likely-shaft,alarm,"));
	assert_non_null(strstr(n.text, ",2025-10-05T00:00:00Z,,2025-11-20T00:00:00Z,,\"likely shaft, "));
	drop(&n);
	judge(&n, AT "NM,p,noisy,alert,,,,,,,2025-12-05T00:00:00Z,m\n" AT "NM,p,hot,alert,,,,,,,2025-12-01T00:00:00Z,m\n", table,
	    false, PRINT_FINDINGS);
	assert_non_null(strstr(n.text, ",,,2025-12-01T00:00:00Z,\"likely shaft, "));
	assert_int_equal(leat_diagnose_counted(n.d).found, 0);
	drop(&n);
	judge(&n, AT "NM,p,noisy,alert,,,,,,,2025-12-05T00:00:00Z,m\n" AT "NM,p,hot,alert,,,,,,,,m\n", table, false, PRINT_FINDINGS);
	assert_int_equal(leat_diagnose_counted(n.d).found, 1);
	drop(&n);
}

/* Signals that are dead are no symptom of whatever they measure, and an earlier diagnosis is none of anything. */
static void
test_no_evidence(void **state)
{
	static const char any[] = "mode,symptom,rule,weight\nany,thing,*,3\nany,dead,stale,1\n";
	struct night n;

	(void)state;
	judge(&n, ROW("NM", "p", "stale", "alarm") ROW("NM", "p", "frozen-x", "alarm") ROW("NM", "", "likely-any", "alarm")
	    ROW("NM", "", "source-cut", "alarm"), any, false, PRINT_RANKING);
	/* The rule that is written out is meant. */
	unit_close(ranked(&n, "NM", "any", COVERAGE), 25, 0.5);
	unit_close(ranked(&n, "NM", "any", RANK), -9, 0);
	assert_int_equal(leat_diagnose_counted(n.d).own, 1);
	drop(&n);
}

/* Nothing judged is said; nothing wrong is an ok row for the mill and for each mode that could have been told. */
static void
test_nothing(void **state)
{
	struct night n;

	(void)state;
	judge(&n, ROW("NM", "p", "noisy", "unknown"), table, false, PRINT_FINDINGS);
	assert_non_null(strstr(n.text, ",-,,diagnosis,unknown,"));
	drop(&n);
	judge(&n, ROW("NM/gear", "p", "noisy", "ok"), table, false, PRINT_FINDINGS);
	assert_string_equal(strchr(n.text, '\n'), "\n");
	drop(&n);
	/* What ended last night was judged. */
	judge(&n, AT "NM/gear,p,noisy,alert,,,,2025-11-01T00:00:00Z,2025-11-03T04:00:00Z,,,m\n", table, false, PRINT_FINDINGS);
	assert_string_equal(strchr(n.text, '\n'), "\n");
	drop(&n);
	judge(&n, ROW("NM/gear", "p", "noisy", "ok"), table, true, PRINT_FINDINGS);
	assert_non_null(strstr(n.text, ",NM,,diagnosis,ok,"));
	assert_non_null(strstr(n.text, ",NM/gear,,likely-shaft,ok,"));
	assert_non_null(strstr(n.text, ",NM/gear,,likely-bearing,ok,"));
	assert_null(strstr(n.text, "likely-plain-thing"));
	drop(&n);
}

/* Names with blanks, commas, quotes, semicolons and letters of any script come through. */
static void
test_odd_names(void **state)
{
	struct night n;

	(void)state;
	judge(&n, AT "\"M\xc3\xbchle 1, \"\"alt\"\";x/gear\",p,noisy,alarm,,,,,,,,m\n", table, false, PRINT_FINDINGS);
	assert_non_null(strstr(n.text, ",\"M\xc3\xbchle 1, \"\"alt\"\";x/gear\",,likely-"));
	assert_non_null(strstr(n.text, ",\"M\xc3\xbchle 1, \"\"alt\"\"%3Bx/gear p noisy\","));
	drop(&n);
}

static unsigned long seed = 1;

static unsigned
pick(unsigned n)
{
	seed = seed * 6364136223846793005ul + 1442695040888963407ul;
	return (unsigned)(seed >> 33) % n;
}

/* A random night over the rules of the shipped table. */
static size_t
random_rows(const struct leat_modes *modes, char (*row)[200], size_t most)
{
	static const char *const part[] = { "", "/pump-a", "/accu-4", "/cooler", "/filter", "/cyl-2", "/sample-return" };
	static const char *const status[] = { "ok", "ok", "ok", "alert", "alarm", "unknown" };
	size_t n = 0;

	while (n < most) {
		const struct leat_mode_row *r = &modes->row[pick((unsigned)modes->rows)];
		bool any = leat_span_find(r->point, '*') < r->point.len;

		if (leat_span_find(r->rule, '*') < r->rule.len)
			continue;
		snprintf(row[n++], sizeof(*row), AT "%s%s,%.*s,%.*s,%s,,,,,,,,m\n", pick(2) == 0 ? "NM" : "MM", part[pick(7)],
		    any ? 1 : (int)r->point.len, any ? "x" : r->point.ptr, (int)r->rule.len, r->rule.ptr, status[pick(6)]);
	}
	return n;
}

static char *
join(char (*row)[200], const size_t *order, size_t n)
{
	char *text = malloc(n * sizeof(*row) + 1), *at = text;

	assert_non_null(text);
	*at = '\0';
	for (size_t i = 0; i < n; i++)
		at += snprintf(at, sizeof(*row), "%s", row[order[i]]);
	return text;
}

/* Whatever the order of rows and files, the same is printed; scores stay within -1..1, confidences within 0..95. */
static void
test_random(void **state)
{
	static char row[60][200];
	struct leat_modes modes;
	struct leat_error err;
	size_t order[60], told = 0;

	(void)state;
	assert_int_equal(leat_modes_make(&modes, NULL, &err), 0);
	for (int turn = 0; turn < 150; turn++) {
		size_t count = random_rows(&modes, row, 5 + pick(55)), half = pick((unsigned)count);
		enum print what = turn % 2 == 0 ? PRINT_RANKING : PRINT_FINDINGS;
		struct night a, b = { .text = NULL };
		char *text;

		for (size_t i = 0; i < count; i++)
			order[i] = i;
		text = join(row, order, count);
		judge(&a, text, NULL, true, what);
		free(text);
		for (size_t i = count; i > 1; i--) {
			size_t other = pick((unsigned)i), kept = order[i - 1];

			order[i - 1] = order[other];
			order[other] = kept;
		}
		text = join(row, order, half);
		add_findings(&b.in, text);
		free(text);
		text = join(row, order + half, count - half);
		add_findings(&b.in, text);
		free(text);
		begin(&b, NULL, true);
		end(&b, what);
		assert_string_equal(a.text, b.text);
		for (char *line = strchr(a.text, '\n'); what == PRINT_RANKING && line[1] != '\0'; line = strchr(line + 1, '\n')) {
			char rank[20], sure[20];
			double score, strength, coverage;
			const char *at = line;

			for (int i = 0; i < 3; i++)
				at = strchr(at, ',') + 1;
			assert_true(sscanf(at[0] == ',' ? at + 1 : strchr(at, ',') + 1, "%lf,%lf,%lf", &score, &strength, &coverage) == 3);
			assert_true(score >= -1 && score <= 1 && fabs(strength) <= fabs(score) && coverage >= 0 && coverage <= 100);
			if (sscanf(at, "%19[0-9],%*[^,],%*[^,],%*[^,],%19[0-9]", rank, sure) == 2) {
				assert_true(atof(sure) >= 0 && atof(sure) <= 95);
				told++;
			}
		}
		drop(&a);
		drop(&b);
	}
	assert_true(told > 50);
	leat_modes_free(&modes);
}

/* The mode that is strongest in NM: its name and asset, or false. */
static bool
first_ranked(const struct night *n, char *asset, char *mode, double *score)
{
	for (const char *line = strchr(n->text, '\n') + 1; *line != '\0'; line = strchr(line, '\n') + 1)
		if (sscanf(line, "NM,%59[^,],%59[^,],1,%lf", asset, mode, score) == 3)
			return true;
	return false;
}

/* That a symptom is in order never raises a mode that expects it, of those whose score is above 0; the strongest of a mill is
 * judged with nothing explained before. */
static void
test_ok_lowers(void **state)
{
	static char row[40][200];
	struct leat_modes modes;
	struct leat_error err;
	size_t order[40], lower = 0, tried = 0;

	(void)state;
	assert_int_equal(leat_modes_make(&modes, NULL, &err), 0);
	for (size_t i = 0; i < 40; i++)
		order[i] = i;
	for (int turn = 0; turn < 400; turn++) {
		size_t count = random_rows(&modes, row, 4 + pick(20));
		char *text = join(row, order, count), asset[60], name[60];
		const struct leat_mode_row *r;
		const struct leat_symptom *s;
		const struct leat_mode *mode;
		struct night a, b;
		double score, then;

		judge(&a, text, NULL, true, PRINT_RANKING);
		free(text);
		if (!first_ranked(&a, asset, name, &score)) {
			drop(&a);
			continue;
		}
		mode = &modes.mode[leat_modes_find(&modes, leat_span_of(name))];
		s = &mode->symptom[pick((unsigned)mode->symptoms)];
		r = &modes.row[s->row[pick((unsigned)s->rows)]];
		if (s->weight > 0 && leat_span_find(r->rule, '*') == r->rule.len) {
			snprintf(row[count], sizeof(*row), AT "%s,%.*s,%.*s,ok,,,,,,,,m\n", asset,
			    leat_span_is(r->point, "*") ? 1 : (int)r->point.len, leat_span_is(r->point, "*") ? "y" : r->point.ptr,
			    (int)r->rule.len, r->rule.ptr);
			text = join(row, order, count + 1);
			judge(&b, text, NULL, true, PRINT_RANKING);
			free(text);
			then = ranked(&b, asset, name, SCORE);
			/* Where it is no longer the first, something else may have taken its findings. */
			if (ranked(&b, asset, name, RANK) == 1) {
				assert_true(then <= score + 1e-9);
				lower += then < score;
				tried++;
			}
			drop(&b);
		}
		drop(&a);
	}
	assert_true(tried >= 50 && lower >= 10);
	leat_modes_free(&modes);
}

static void
take(struct night *n, uint32_t id, const char *asset, const char *value, const char *unit, enum leat_quality quality,
    double day)
{
	struct leat_reading r = { .asset = leat_span_of(asset), .point = LEAT_SPAN("p"), .value = leat_span_of(value),
		.unit = leat_span_of(unit), .quality = quality, .point_id = 0, .asset_id = id, .series = id };
	struct leat_error err;

	assert_int_equal(leat_time_parse(LEAT_SPAN(NOW), &r.time), 0);
	r.time = leat_time_add(r.time, -day * 86400);
	assert_int_equal(leat_diagnose_take(n->d, &r, &err), 0);
}

/* In order by readings from before the trouble began, which is 1 November: not judged.  Of a point that is read elsewhere in
 * the mill alone, by that; where nothing is known of its readings, as the finding says. */
static void
test_old(void **state)
{
	static const struct { const char *asset; double day, score; } cases[] = {
		{ "NM/gear", 4, 1 }, { "NM/gear", 1, 0.4 }, { "NM/gear", -1, 0.4 }, { "NM/tank", 4, 1 }, { "NM/tank", 1, 0.4 },
		{ "MM/gear", 4, 0.4 }
	};
	struct night n;

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		memset(&n, 0, sizeof(n));
		add_findings(&n.in, ROW("NM/gear", "q", "noisy", "alarm") AT "NM/gear,p,hot,ok,,,,,,,,m\n");
		begin(&n, shaft, false);
		take(&n, 0, cases[i].asset, "1", "L/min", LEAT_GOOD, cases[i].day);
		take(&n, 0, cases[i].asset, "1", "L/min", LEAT_BAD, 0);
		end(&n, PRINT_RANKING);
		unit_close(ranked(&n, "NM/gear", "shaft", SCORE), cases[i].score, 0.0005);
		drop(&n);
	}
}

/* By hand: 10, 10.2, 10.4, 10.6 and 20: median 10.4, distances 0.4 0.2 0 0.2 9.6, their median 0.2, x 1.4826 = 0.297; but
 * never less than 5 % of the median, 0.52: z of 20 is 9.6 / 0.52 = 18.5, of 10 -0.8. */
static void
test_sisters(void **state)
{
	static const char compare[] = "mode,symptom,rule,point,weight\nodd,odd,odd-one-out,p,2\n";
	static const char *const asset[] = { "A/x", "B/x", "C/x", "D/x", "E/x" };
	static const char *const value[] = { "10", "10.2", "10.4", "10.6", "20" };
	struct night n;

	(void)state;
	for (int count = 2; count <= 5; count++) {
		memset(&n, 0, sizeof(n));
		add_findings(&n.in, ROW("A/x", "q", "fine", "ok"));
		begin(&n, compare, true);
		for (int i = 5 - count; i < 5; i++) {
			take(&n, (uint32_t)i, asset[i], value[i], "L/min", LEAT_GOOD, 1);
			take(&n, (uint32_t)i, asset[i], value[i], "L/min", LEAT_GOOD, 2);
			take(&n, (uint32_t)i, asset[i], "99", "L/min", LEAT_UNCERTAIN, 3);
			take(&n, (uint32_t)i, asset[i], "99", "L/min", LEAT_GOOD, 8);
			take(&n, (uint32_t)i, asset[i], "99", "L/min", LEAT_GOOD, -1);
			take(&n, (uint32_t)i, asset[i], "99", "bar", LEAT_GOOD, 4);
		}
		take(&n, 9, "A/y", "500", "L/min", LEAT_GOOD, 1);
		end(&n, PRINT_FINDINGS);
		/* Two cannot say which of them is odd. */
		assert_int_equal(leat_diagnose_counted(n.d).sisters, count < 3 ? 0 : count);
		assert_int_equal(leat_diagnose_counted(n.d).odd, count < 3 ? 0 : 1);
		assert_int_equal(leat_diagnose_counted(n.d).unlike, 2 * count);
		assert_int_equal(leat_diagnose_counted(n.d).later_readings, count);
		if (count == 5) {
			assert_non_null(strstr(n.text, ",E/x,p,odd-one-out,alert,18.5,1,3.5,"));
			assert_non_null(strstr(n.text, ",A/x,p,odd-one-out,ok,-0.8,1,-3.5,"));
			assert_non_null(strstr(n.text, "far above its 5 sisters' median of 10.4; of so few 1.8 off it would show"));
		}
		drop(&n);
	}
}

/* A machine whose own days scatter is not odd for that. */
static void
test_sister_noise(void **state)
{
	static const char compare[] = "mode,symptom,rule,point,weight\nodd,odd,odd-one-out,p,2\n";
	struct night n = { .text = NULL };

	(void)state;
	add_findings(&n.in, ROW("A/x", "q", "fine", "ok"));
	begin(&n, compare, true);
	for (int day = 1; day <= 6; day++) {
		take(&n, 0, "A/x", "10", "L/min", LEAT_GOOD, day);
		take(&n, 1, "B/x", "10.1", "L/min", LEAT_GOOD, day);
		take(&n, 2, "C/x", day % 2 == 0 ? "9" : "19", "L/min", LEAT_GOOD, day);
	}
	end(&n, PRINT_FINDINGS);
	assert_int_equal(leat_diagnose_counted(n.d).odd, 0);
	drop(&n);
}

/* A hundred thousand findings, of many mills and of one: what grows with their square would take minutes. */
static void
test_many(void **state)
{
	clock_t begun = clock();
	struct night n;

	(void)state;
	for (int one = 0; one < 2; one++) {
		size_t room = 100000 * 120, len = 0;
		char *text = malloc(room);

		assert_non_null(text);
		for (int i = 0; i < 100000; i++)
			len += (size_t)snprintf(text + len, room - len, AT "M%d/pump-%d,drain-flow-corrected,%s,%s,,,,,,,,m\n", one ? 0 : i / 100,
			    i, i % 3 == 0 ? "pump-wear" : i % 3 == 1 ? "hot-pump-inlet" : "leakage", i % 7 == 0 ? "alarm" : "ok");
		judge(&n, text, NULL, true, PRINT_FINDINGS);
		assert_int_equal(leat_diagnose_counted(n.d).facts, 100000);
		assert_true(leat_diagnose_counted(n.d).candidates > 1000);
		drop(&n);
		free(text);
	}
	assert_true((double)(clock() - begun) / CLOCKS_PER_SEC < 60);
}

/* Blind is what no strong symptom could show, weak what half of the weights could not. */
static void
test_blind(void **state)
{
	struct night n;

	(void)state;
	judge(&n, ROW("NM", "p", "noisy", "ok") ROW("NM", "p", "dusty", "ok"), table, false, PRINT_BLIND);
	assert_non_null(strstr(n.text, "\nNM,shaft,weak,44,noise; dust,heat; wet; light,a hand,\n"));
	assert_non_null(strstr(n.text, "\nNM,bearing,weak,40,noise,play,a dial gauge,\n"));
	assert_non_null(strstr(n.text, "\nNM,plain-thing,blind,0,,it; more,,\n"));
	/* What leat-survey knows of a mode is told with it. */
	assert_non_null(strstr(n.text, "\nNM,bore-wear,blind,0,"));
	assert_non_null(strstr(n.text, "bore-wear: bore-diameter ring-temperature"));
	drop(&n);
	judge(&n, ROW("NM", "p", "noisy", "alarm") ROW("NM", "p", "hot", "ok"), table, false, PRINT_BLIND);
	assert_non_null(strstr(n.text, "\nNM,shaft,seen,56,"));
	drop(&n);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_by_hand),
		cmocka_unit_test(test_grades),
		cmocka_unit_test(test_plain),
		cmocka_unit_test(test_items),
		cmocka_unit_test(test_two),
		cmocka_unit_test(test_state),
		cmocka_unit_test(test_no_evidence),
		cmocka_unit_test(test_nothing),
		cmocka_unit_test(test_odd_names),
		cmocka_unit_test(test_random),
		cmocka_unit_test(test_ok_lowers),
		cmocka_unit_test(test_old),
		cmocka_unit_test(test_sisters),
		cmocka_unit_test(test_sister_noise),
		cmocka_unit_test(test_many),
		cmocka_unit_test(test_blind),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
