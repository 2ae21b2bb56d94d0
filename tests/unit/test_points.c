/* The point names, and points.csv. */
#include "stream/points.h"
#include "table_file.h"
#include "unit.h"

static void
test_names(void **state)
{
	const struct leat_point_info *info;
	size_t count = 0;

	(void)state;
	for (; (info = leat_point_at(count)) != NULL; count++) {
		/* Names are slugs, each comes once, and each unit exists. */
		for (const char *c = info->name; *c != '\0'; c++)
			assert_true((*c >= 'a' && *c <= 'z') || (*c >= '0' && *c <= '9') || *c == '-');
		assert_ptr_equal(leat_point_find(leat_span_of(info->name)), info);
		if (info->unit[0] != '\0') {
			assert_non_null(leat_unit_find(leat_span_of(info->unit)));
			assert_string_equal(leat_unit_find(leat_span_of(info->unit))->name, info->unit);
		}
		assert_true((info->unit[0] == '\0') == (info->kind == LEAT_KIND_SWITCH || info->kind == LEAT_KIND_WORD));
		assert_true(info->hold_s >= 0);
		assert_true(strlen(info->meaning) > 0);
	}
	assert_true(count > 80);
	assert_null(leat_point_at(count + 1));
	assert_null(leat_point_find(LEAT_SPAN("presure")));
	assert_null(leat_point_find(LEAT_SPAN("")));
}

/* 15 min for pressures and flows, 60 min for temperatures (common practice). */
static void
test_holds(void **state)
{
	const struct leat_point_info *info;

	(void)state;
	for (size_t i = 0; (info = leat_point_at(i)) != NULL && strcmp(info->name, "state") != 0; i++) {
		if (leat_span_ends(leat_span_of(info->name), "-temperature"))
			assert_true(info->hold_s == 3600);
		if ((strcmp(info->unit, "bar") == 0 || strcmp(info->unit, "L/min") == 0) && info->kind == LEAT_KIND_ANALOGUE)
			assert_true(info->hold_s == 900);
		if (info->kind == LEAT_KIND_SWITCH)
			assert_true(info->hold_s == 0);
	}
}

static void
test_suffixes(void **state)
{
	static const struct {
		const char *name, *found;
	} cases[] = {
		{ "pressure.mean", "pressure" }, { "pressure.min", "pressure" }, { "pressure.max", "pressure" },
		{ "pressure.p95", "pressure" }, { "pressure.p5", "pressure" }, { "pressure.coverage", ".coverage" },
		{ "pressure.p", NULL }, { "pressure.p100", NULL }, { "pressure.pxx", NULL }, { "pressure.sum", NULL },
		{ "pressure.", NULL }, { ".mean", NULL }, { "presure.mean", NULL }, { "pressure.mean.max", NULL }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		const struct leat_point_info *info = leat_point_find(leat_span_of(cases[i].name));

		if (cases[i].found == NULL ? info != NULL : info == NULL || strcmp(info->name, cases[i].found) != 0)
			fail_msg("%s", cases[i].name);
	}
	assert_string_equal(leat_point_find(LEAT_SPAN("level.coverage"))->unit, "%");
	assert_string_equal(leat_point_find(LEAT_SPAN("level.good"))->unit, "%");
	assert_string_equal(leat_point_find(LEAT_SPAN("mill-running.on"))->unit, "%");
	assert_string_equal(leat_point_find(LEAT_SPAN("pressure.ratio"))->unit, "1");
	assert_string_equal(leat_point_find(LEAT_SPAN("pressure.difference"))->unit, "bar");
	assert_string_equal(leat_point_find(LEAT_SPAN("oil-temperature.difference"))->unit, "K");
}

static void
test_assets(void **state)
{
	struct leat_span parent;

	(void)state;
	unit_span(leat_asset_mill(LEAT_SPAN("SM/cyl-2/plane-1/x")), "SM");
	unit_span(leat_asset_mill(LEAT_SPAN("NM")), "NM");
	assert_true(leat_asset_parent(LEAT_SPAN("SM/cyl-2/plane-1"), &parent));
	unit_span(parent, "SM/cyl-2");
	assert_true(leat_asset_parent(parent, &parent));
	unit_span(parent, "SM");
	assert_false(leat_asset_parent(parent, &parent));
	assert_false(leat_asset_parent(LEAT_SPAN(""), &parent));
	assert_false(leat_asset_parent(LEAT_SPAN("/x"), &parent));
	assert_true(leat_asset_kin(LEAT_SPAN("NM"), LEAT_SPAN("NM/pump-a")));
	assert_true(leat_asset_kin(LEAT_SPAN("NM/pump-a/inlet"), LEAT_SPAN("NM")));
	assert_true(leat_asset_kin(LEAT_SPAN("NM"), LEAT_SPAN("NM")));
	assert_true(leat_asset_kin(LEAT_SPAN(""), LEAT_SPAN("NM")));
	assert_false(leat_asset_kin(LEAT_SPAN("NM"), LEAT_SPAN("NMX")));
	assert_false(leat_asset_kin(LEAT_SPAN("NM"), LEAT_SPAN("MM/pump-a")));
	assert_false(leat_asset_kin(LEAT_SPAN("NM/pump-a"), LEAT_SPAN("NM/pump-b")));
}

static void
test_read(void **state)
{
	const struct leat_point *row;
	struct leat_points points;
	struct leat_error err = { 0 };
	struct leat_span word;
	bool absent = true;

	(void)state;
	assert_int_equal(leat_points_read(&points, "testdata/tables/good-tab-points.csv", &absent, &err), 0);
	assert_false(absent);
	assert_int_equal(points.count, 4);
	row = leat_points_tag(&points, LEAT_SPAN("NM.PGR"));
	assert_non_null(row);
	unit_span(row->asset, "NM");
	unit_span(row->point, "pressure");
	assert_string_equal(row->unit->name, "bar");
	assert_string_equal(row->source_unit->name, "MPa");
	assert_false(row->has_scale);
	assert_true(row->has_min && row->has_max);
	unit_close(row->max, 250, 0);
	assert_int_equal(row->line, 2);
	row = leat_points_tag(&points, LEAT_SPAN("NM.TTK"));
	assert_string_equal(row->unit->name, "degC");
	assert_string_equal(row->source_unit->name, "degF");
	assert_true(row->has_scale);
	unit_close(row->scale, 0.5, 0);
	unit_close(row->offset, -1.25, 0);
	row = leat_points_tag(&points, LEAT_SPAN("NM.PMP"));
	assert_null(row->unit);
	assert_true(leat_point_state(row, LEAT_SPAN("running"), &word));
	unit_span(word, "on");
	assert_true(leat_point_state(row, LEAT_SPAN(" STOPPED"), &word));
	unit_span(word, "off");
	assert_false(leat_point_state(row, LEAT_SPAN("tripped"), &word));
	assert_null(leat_points_tag(&points, LEAT_SPAN("NM.NONE")));
	assert_null(leat_points_tag(&points, LEAT_SPAN("")));
	row = leat_points_series(&points, LEAT_SPAN("NM/accu-1"), LEAT_SPAN("gas-pressure"));
	assert_non_null(row);
	assert_int_equal(row->tag.len, 0);
	assert_null(leat_points_series(&points, LEAT_SPAN("NM"), LEAT_SPAN("gas-pressure")));
	/* The table's hold, the point's, and 15 min for a point that is in neither. */
	unit_close(leat_points_hold(&points, LEAT_SPAN("NM"), LEAT_SPAN("oil-temperature")), 7200, 0);
	unit_close(leat_points_hold(&points, LEAT_SPAN("MM"), LEAT_SPAN("oil-temperature")), 3600, 0);
	unit_close(leat_points_hold(&points, LEAT_SPAN("NM/pump-a"), LEAT_SPAN("pump-running")), 1800, 0);
	unit_close(leat_points_hold(&points, LEAT_SPAN("NM/pump-b"), LEAT_SPAN("pump-running")), 0, 0);
	unit_close(leat_points_hold(&points, LEAT_SPAN("NM"), LEAT_SPAN("own-name")), 900, 0);
	unit_close(leat_points_hold(NULL, LEAT_SPAN("NM"), LEAT_SPAN("pressure")), 900, 0);
	leat_points_free(&points);
}

static void
test_remarks(void **state)
{
	struct leat_points points;
	struct leat_error err = { 0 };

	(void)state;
	assert_int_equal(leat_points_read(&points, "testdata/tables/good-remarks-points.csv", NULL, &err), 0);
	assert_int_equal(points.count, 3);
	assert_int_equal(leat_points_tag(&points, LEAT_SPAN("NM.PGR"))->line, 3);
	assert_int_equal(leat_points_tag(&points, LEAT_SPAN("NM.TTK"))->line, 6);
	unit_span(leat_points_tag(&points, LEAT_SPAN("NM.QDR"))->asset, "NM/pump-a");
	leat_points_free(&points);
}

static void
test_own_names(void **state)
{
	struct table_file f = table_file_text("tag,asset,point,unit,source_unit\nT1,NM,tie-rod-strain,,mm\nT2,NM,door,,\n");
	struct leat_points points;
	struct leat_error err = { 0 };

	(void)state;
	assert_int_equal(leat_points_read(&points, f.path, NULL, &err), 0);
	assert_string_equal(leat_points_tag(&points, LEAT_SPAN("T1"))->unit->name, "mm");
	assert_null(leat_points_tag(&points, LEAT_SPAN("T2"))->unit);
	leat_points_free(&points);
	table_file_drop(&f);
}

#define BAD(file, rest) { "testdata/tables/bad-" file "-points.csv", "testdata/tables/bad-" file "-points.csv:" rest }

static void
test_bad(void **state)
{
	static const struct {
		const char *path, *error;
	} cases[] = {
		BAD("tag-twice", "4: column 'tag': the tag comes twice, first in line 2: 'NM.PGR'"),
		BAD("series-twice", "3: column 'point': this asset has the point already in line 2: 'level'"),
		BAD("unit", "2: column 'unit': a unit of another dimension than the point's in leat-points(7): 'degC'"),
		BAD("source-unit", "2: column 'source_unit': a unit of another dimension than that of the readings: 'L/min'"),
		BAD("range", "2: column 'max': the instrument's range must end above its 'min': '0'"),
		BAD("states", "2: column 'states': not a map of states such as Running=on|Stopped=off: 'Running'"),
		BAD("switch", "2: column 'states': a switch has the states on and off alone, as in "
		    "Running=on|Stopped=off: 'Running=on|Stopped=of'"),
		BAD("asset", "2: column 'asset': not an asset such as NM or NM/pump-a, without * and ?: 'NM//x'"),
		BAD("point", "2: column 'point': a row needs its point (delete the row of a tag without use)"),
		BAD("scale", "2: column 'scale': a scale of zero makes every value equal: '0'")
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_points points;
		struct leat_error err = { 0 };

		assert_int_equal(leat_points_read(&points, cases[i].path, NULL, &err), -1);
		unit_error(&err, cases[i].error);
	}
}

static void
test_absent(void **state)
{
	struct leat_points points;
	struct leat_error err = { 0 };
	bool absent = false;

	(void)state;
	assert_int_equal(leat_points_read(&points, "testdata/tables/none.csv", &absent, &err), 0);
	assert_true(absent);
	assert_null(leat_points_tag(&points, LEAT_SPAN("NM.PGR")));
	unit_close(leat_points_hold(&points, LEAT_SPAN("NM"), LEAT_SPAN("pressure")), 900, 0);
	leat_points_free(&points);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_names),
		cmocka_unit_test(test_holds),
		cmocka_unit_test(test_suffixes),
		cmocka_unit_test(test_assets),
		cmocka_unit_test(test_read),
		cmocka_unit_test(test_remarks),
		cmocka_unit_test(test_own_names),
		cmocka_unit_test(test_bad),
		cmocka_unit_test(test_absent)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
