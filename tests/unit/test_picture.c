/* Pictures: columns against a plain model, axes, text, what a picture says. */
#include <math.h>

#include "random.h"
#include "tell/picture_private.h"
#include "unit.h"

static struct leat_zone *
zone(const char *name)
{
	struct leat_error err;
	struct leat_zone *z = leat_zone_open(leat_span_of(name), &err);

	assert_non_null(z);
	return z;
}

/* 0..1 */
static double
share(uint64_t *seed)
{
	return (double)(random_next(seed) >> 11) / 9007199254740992.0;
}

/* Readings at random times; each column must hold the first, last, lowest and highest of what falls into it, whatever
 * widths it went through. */
static void
columns_like_a_plain_model(void **state)
{
	(void)state;
	for (uint64_t seed = 1; seed <= 40; seed++) {
		static double t[5000], v[5000];
		uint64_t rng = seed;
		struct picture_bins b = { .most = 4 + seed };
		double at = 1.7e9, mean_gap = pow(10, (double)(seed % 7) - 3);
		size_t n = 1 + (size_t)(share(&rng) * 4999), next = 0;

		for (size_t i = 0; i < n; i++) {
			at += share(&rng) * mean_gap * (i % 100 == 0 ? 300 : 1);
			t[i] = at;
			v[i] = floor(share(&rng) * 50) - 25;
			assert_int_equal(picture_bins_put(&b, t[i], v[i], false, 0), 0);
		}
		assert_true(b.count <= b.most);
		for (size_t k = 0; k < b.count; k++) {
			double end = (double)(b.base + (int64_t)k + 1) * b.width, low = INFINITY, high = -INFINITY;
			size_t first = next;

			for (; next < n && t[next] < end; next++) {
				low = fmin(low, v[next]);
				high = fmax(high, v[next]);
			}
			assert_int_equal(b.bin[k].used, next > first);
			if (next == first)
				continue;
			unit_close(b.bin[k].first.t, t[first], 0);
			unit_close(b.bin[k].last.t, t[next - 1], 0);
			unit_close(b.bin[k].last.v, v[next - 1], 0);
			unit_close(b.bin[k].low.v, low, 0);
			unit_close(b.bin[k].high.v, high, 0);
		}
		assert_int_equal(next, n);
		picture_bins_free(&b);
	}
}

/* At least two ticks, at most eight, at round numbers, whatever the range. */
static void
round_values(void **state)
{
	uint64_t rng = 7;

	(void)state;
	for (int i = 0; i < 20000; i++) {
		double low = (share(&rng) - 0.5) * pow(10, floor(share(&rng) * 20) - 10);
		double high = low + share(&rng) * pow(10, floor(share(&rng) * 20) - 10), mantissa;
		struct picture_axis axis;
		char text[LEAT_NUMBER_MAX], before[LEAT_NUMBER_MAX] = "";
		int ticks = 0;

		picture_axis_values(&axis, low, high, 30 + share(&rng) * 400);
		assert_true(axis.low < axis.high && axis.low <= low && axis.high >= high);
		for (double k = ceil(axis.low / axis.step - 1e-9); k * axis.step <= axis.high; k++, ticks++) {
			assert_true(picture_axis_label(text, &axis, k * axis.step) < 20);
			/* No two ticks look alike. */
			assert_string_not_equal(text, before);
			strcpy(before, text);
		}
		assert_in_range(ticks, 2, 9);
		mantissa = axis.step / pow(10, floor(log10(axis.step) + 1e-9));
		assert_true(fabs(mantissa - 1) < 1e-6 || fabs(mantissa - 2) < 1e-6 || fabs(mantissa - 5) < 1e-6);
	}
}

/* Narrower than it was made where width is not 0.  Not freed. */
static char *
written_wide(struct leat_picture *p, unsigned width)
{
	static char text[400000];
	static struct leat_out out;
	FILE *file = tmpfile();
	size_t len;

	assert_non_null(file);
	leat_out_init(&out, file);
	assert_int_equal(width > 0 ? leat_picture_write_wide(p, width, &out) : leat_picture_write(p, &out), 0);
	assert_int_equal(leat_out_flush(&out), 0);
	rewind(file);
	len = fread(text, 1, sizeof(text) - 1, file);
	assert_true(len < sizeof(text) - 1);
	text[len] = '\0';
	fclose(file);
	return text;
}

static char *
written(struct leat_picture *p)
{
	char *text = written_wide(p, 0);

	leat_picture_free(p);
	return text;
}

static struct leat_picture_form
form_of(const struct leat_zone *z)
{
	return (struct leat_picture_form){ .zone = z, .from = LEAT_TIME_NONE, .to = LEAT_TIME_NONE, .now = LEAT_TIME_NONE };
}

static uint32_t
pressure(struct leat_picture *p)
{
	return leat_picture_panel_of(p, LEAT_SPAN("NM"), LEAT_SPAN("pressure"), NULL);
}

static struct leat_time
at(const char *text)
{
	struct leat_time t;

	assert_int_equal(leat_time_parse(leat_span_of(text), &t), 0);
	return t;
}

/* All tick labels of the time axis between two times, with a blank between. */
static const char *
ticks(const char *zone_name, const char *from, const char *to, unsigned width)
{
	static char list[2000];
	struct leat_zone *z = zone(zone_name);
	struct leat_picture_form form = form_of(z);
	struct leat_picture *p;
	uint32_t panel;
	char *text;

	form.width = width;
	p = leat_picture_new(&form);
	panel = pressure(p);
	leat_picture_number(p, panel, at(from), 1, LEAT_GOOD);
	leat_picture_number(p, panel, at(to), 2, LEAT_GOOD);
	list[0] = '\0';
	for (text = written(p); (text = strstr(text, "text-anchor=\"middle\" fill=\"#1a1a1a\">")) != NULL; text++) {
		strcat(list, list[0] != '\0' ? " " : "");
		strncat(list, strchr(text, '>') + 1, strcspn(strchr(text, '>') + 1, "<"));
	}
	leat_zone_free(z);
	return list;
}

/* The clock of Berlin: put forward on 2025-03-30 at 01:00Z, back on 2025-10-26 at 01:00Z (Directive 2000/84/EC). */
static void
times_by_the_clock(void **state)
{
	(void)state;
	assert_string_equal(ticks("UTC", "2025-03-30T00:00:00Z", "2025-03-30T05:00:00Z", 400),
	    "00:00 01:00 02:00 03:00 04:00 05:00");
	assert_string_equal(ticks("Europe/Berlin", "2025-03-29T23:00:00Z", "2025-03-30T04:00:00Z", 400),
	    "00:00 01:00 03:00 04:00 05:00 06:00");
	assert_string_equal(ticks("Europe/Berlin", "2025-10-25T22:00:00Z", "2025-10-26T03:00:00Z", 400),
	    "00:00 01:00 02:00 02:00* 03:00 04:00");
	/* Longer steps keep to the clock on both sides of the change. */
	assert_string_equal(ticks("Europe/Berlin", "2025-10-25T22:00:00Z", "2025-10-26T23:00:00Z", 300),
	    "00:00 06:00 12:00 18:00 00:00");
	assert_string_equal(ticks("Europe/Berlin", "2025-03-29T23:00:00Z", "2025-03-30T22:00:00Z", 300),
	    "00:00 06:00 12:00 18:00 00:00");
	assert_string_equal(ticks("Asia/Kathmandu", "2025-03-29T18:15:00Z", "2025-03-30T18:15:00Z", 300),
	    "00:00 06:00 12:00 18:00 00:00");
	/* Days, weeks that begin on Monday, months, years. */
	assert_string_equal(ticks("Europe/Berlin", "2025-03-27T23:00:00Z", "2025-03-31T22:00:00Z", 400),
	    "28 Mar 29 Mar 30 Mar 31 Mar 1 Apr");
	assert_string_equal(ticks("UTC", "2025-01-01T00:00:00Z", "2025-02-01T00:00:00Z", 400), "6 Jan 13 Jan 20 Jan 27 Jan");
	assert_string_equal(ticks("UTC", "2025-01-01T00:00:00Z", "2025-07-01T00:00:00Z", 500), "Jan Feb Mar Apr May Jun Jul");
	assert_string_equal(ticks("UTC", "2020-01-01T00:00:00Z", "2026-01-01T00:00:00Z", 500), "2020 2021 2022 2023 2024 2025 2026");
	/* What would not fit within the picture has a tick alone. */
	assert_string_equal(ticks("UTC", "2025-01-01T00:00:00Z", "2025-01-01T00:00:20Z", 420),
	    "00:00:00 00:00:05 00:00:10 00:00:15");
}

/* A picture for a narrow screen: no text is cut or outside, the dates of a forecast have rows of their own; the broad one can be
 * written before and after it. */
static void
narrow(void **state)
{
	struct leat_zone *z = zone("UTC");
	struct leat_picture_form form = form_of(z);
	struct leat_picture_fan fan = { .level = NAN, .limit = 9, .early = at("2025-11-01T00:00:00Z"),
		.likely = at("2025-11-10T00:00:00Z"), .late = at("2025-12-01T00:00:00Z") };
	struct leat_picture *p;
	char *broad, *text;
	uint32_t panel;

	(void)state;
	form.width = 680;
	p = leat_picture_new(&form);
	panel = leat_picture_panel_of(p, LEAT_SPAN("NM/pump-a"), LEAT_SPAN("drain-flow-corrected"), NULL);
	leat_picture_number(p, panel, at("2025-01-01T00:00:00Z"), 1, LEAT_GOOD);
	leat_picture_number(p, panel, at("2025-10-01T00:00:00Z"), 5, LEAT_UNCERTAIN);
	leat_picture_forecast(p, panel, &fan);
	broad = strdup(written_wide(p, 0));
	assert_non_null(strstr(broad, "limit reached about 10 Nov 2025 (four in five: 1 Nov 2025 to 1 Dec 2025)<"));
	text = written_wide(p, 288);
	assert_non_null(strstr(text, "width=\"288\""));
	assert_non_null(strstr(text, ">Corrected case drain flow<"));
	assert_null(strstr(text, "...<"));
	assert_non_null(strstr(text, ">limit reached about 10 Nov 2025 (four in<"));
	assert_non_null(strstr(text, ">five: 1 Nov 2025 to 1 Dec 2025)<"));
	assert_non_null(strstr(text, ">clock of UTC; dotted, hollow: uncertain<"));
	assert_string_equal(written(p), broad);
	free(broad);
	leat_zone_free(z);
}

/* The first and the last year that there are, and the whole of time, end. */
static void
all_of_time(void **state)
{
	(void)state;
	assert_non_null(strstr(ticks("Europe/Berlin", "0001-01-02T00:00:00Z", "9999-12-30T00:00:00Z", 860), "5000"));
	assert_true(strlen(ticks("Europe/Berlin", "9999-12-30T00:00:00Z", "9999-12-31T23:00:00Z", 860)) > 0);
}

static void
text_of_anybody(void **state)
{
	static const char foul[] = "a&b<c>]]>\"'\001\177\302\205\342\200\256\357\277\277\355\240\200\377x\n\ty";
	static struct leat_out out;
	char text[400];
	FILE *file = tmpfile();
	size_t len;

	(void)state;
	leat_out_init(&out, file);
	svg_escape(&out, LEAT_SPAN(foul));
	svg_number(&out, NAN);
	leat_out_char(&out, ' ');
	svg_number(&out, INFINITY);
	leat_out_char(&out, ' ');
	svg_number(&out, -0.04);
	leat_out_char(&out, ' ');
	svg_number(&out, -12.25);
	assert_int_equal(leat_out_flush(&out), 0);
	rewind(file);
	len = fread(text, 1, sizeof(text) - 1, file);
	text[len] = '\0';
	fclose(file);
	/* Controls, an override of the direction, U+FFFF, a surrogate (three bytes of no UTF-8), a byte of none. */
	assert_string_equal(text, "a&amp;b&lt;c&gt;]]&gt;&quot;&#39;?????????x  y0 1000000 0 -12.3");
}

/* A cut text fits, and is never cut inside a character. */
static void
cut_text(void **state)
{
	struct leat_buf buf = { 0 };

	(void)state;
	for (double width = 10; width < 200; width += 3) {
		struct leat_span cut = svg_cut(&buf, LEAT_SPAN("Größe über alles, äöü und mehr"), 11, false, width);

		assert_true(leat_utf8_valid(cut));
		if (width > 20)
			assert_true(svg_width(cut, 11, false) <= width);
	}
	unit_span(svg_cut(&buf, LEAT_SPAN("short"), 11, false, 100), "short");
	leat_buf_free(&buf);
}

/* A limit that is near is drawn, one that is far is named with an arrow, the same one is drawn once, another
 * unit is converted. */
static void
levels(void **state)
{
	struct leat_zone *z = zone("UTC");
	struct leat_picture_form form = form_of(z);
	struct leat_picture *p = leat_picture_new(&form);
	uint32_t panel = pressure(p);
	char *text;

	(void)state;
	leat_picture_number(p, panel, at("2025-01-01T00:00:00Z"), 100, LEAT_GOOD);
	leat_picture_number(p, panel, at("2025-01-01T01:00:00Z"), 120, LEAT_GOOD);
	assert_int_equal(leat_picture_level(p, panel, LEAT_PICTURE_ALERT, 12.5, leat_unit_find(LEAT_SPAN("MPa"))), 0);
	assert_int_equal(leat_picture_level(p, panel, LEAT_PICTURE_ALERT, 125, NULL), 0);
	assert_int_equal(leat_picture_level(p, panel, LEAT_PICTURE_ALARM, 400, NULL), 0);
	assert_int_equal(leat_picture_level(p, panel, LEAT_PICTURE_ALARM, 40, leat_unit_find(LEAT_SPAN("degC"))), 0);
	text = written(p);
	assert_non_null(strstr(text, ">alert 125<"));
	assert_null(strstr(strstr(text, ">alert 125<") + 1, ">alert"));
	assert_non_null(strstr(text, ">alarm 400 ↑<"));
	assert_null(strstr(text, "11 4"));
	assert_non_null(strstr(text, "stroke-dasharray=\"4 3\""));
	leat_zone_free(z);
}

/* Within an HTML page there is no declaration; a word, a share and a plain number have no unit. */
static void
within_a_page(void **state)
{
	struct leat_zone *z = zone("UTC");
	struct leat_picture_form form = form_of(z);
	struct leat_picture *p = leat_picture_new(&form);
	uint32_t panel;
	char *text;

	(void)state;
	assert_true(strncmp(written(p), "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg ", 44) == 0);
	form.within = form.spark = true;
	p = leat_picture_new(&form);
	panel = leat_picture_panel_of(p, LEAT_SPAN("NM/sample"), LEAT_SPAN("iso4406-4um"), NULL);
	leat_picture_number(p, panel, at("2025-01-01T00:00:00Z"), 18, LEAT_GOOD);
	text = written(p);
	assert_true(strncmp(text, "<svg ", 5) == 0);
	assert_non_null(strstr(text, ">18</text>"));
	leat_zone_free(z);
}

/* How often the certain curve leads from one height to another. */
static int
slopes(const char *text)
{
	const char *at = strstr(text, "\" fill=\"none\" stroke=\"" CURVE "\"");
	double x, y, before = 0;
	int count = 0, len;
	char command;

	assert_non_null(at);
	while (at[-1] != '"')
		at--;
	for (; sscanf(at, "%c%lf %lf%n", &command, &x, &y, &len) == 3; at += len, before = y)
		count += command == 'L' && fabs(y - before) > 0.05;
	return count;
}

/* A curve of a pump that falls once, with one entry of the logbook. */
static int
curve_with(const struct leat_zone *z, const char *event, const char *asset, const char *time)
{
	struct leat_picture_form form = form_of(z);
	struct leat_picture *p = leat_picture_new(&form);
	uint32_t panel = leat_picture_panel_of(p, LEAT_SPAN("NM/pump-a"), LEAT_SPAN("drain-flow"), NULL);
	struct leat_log_entry e = { .time = at(time), .event = leat_event_find(leat_span_of(event)), .asset = leat_span_of(asset),
		.item = LEAT_SPAN("P-7") };

	assert_non_null(e.event);
	for (int i = 0; i < 20; i++)
		leat_picture_number(p, panel, leat_time_add(at("2025-01-01T00:00:00Z"), i * 60), i < 10 ? 5 : 2, LEAT_GOOD);
	assert_int_equal(leat_picture_entry(p, &e), 0);
	return slopes(written(p));
}

/* No line leads from the old pump to the new one. */
static void
renewed(void **state)
{
	struct leat_zone *z = zone("UTC");

	(void)state;
	assert_int_equal(curve_with(z, "pump-change", "NM/pump-a", "2025-01-01T00:09:30Z"), 0);
	assert_int_equal(curve_with(z, "pump-change", "NM/pump-a", "2025-01-01T00:10:00Z"), 0);
	assert_int_equal(curve_with(z, "pump-change", "NM/pump-b", "2025-01-01T00:09:30Z"), 1);
	assert_int_equal(curve_with(z, "cleaning", "NM/pump-a", "2025-01-01T00:09:30Z"), 1);
	assert_int_equal(curve_with(z, "pump-change", "NM/pump-a", "2024-12-31T00:00:00Z"), 1);
	leat_zone_free(z);
}

/* Of more events than a picture takes the latest are drawn. */
static void
many_events(void **state)
{
	struct leat_zone *z = zone("UTC");
	struct leat_picture_form form = form_of(z);
	struct leat_picture *p = leat_picture_new(&form);
	uint32_t panel = pressure(p);
	char label[32], *text;

	(void)state;
	leat_picture_number(p, panel, at("2025-01-01T00:00:00Z"), 1, LEAT_GOOD);
	leat_picture_number(p, panel, at("2026-01-01T00:00:00Z"), 2, LEAT_GOOD);
	for (unsigned i = 0; i < PICTURE_EVENTS + 100; i++) {
		snprintf(label, sizeof(label), "event %u", i);
		/* All but the last ten lie before the picture, which is not known yet. */
		assert_int_equal(leat_picture_event(p, LEAT_SPAN("NM"), leat_time_add(at("2025-12-31T00:00:00Z"),
		    i < PICTURE_EVENTS + 90 ? -86400.0 * 400 : 3600.0 * (i - PICTURE_EVENTS - 90)), leat_span_of(label), true), 0);
	}
	assert_int_equal(leat_picture_events_lost(p), 100);
	text = written(p);
	assert_non_null(strstr(text, "event 4195<"));
	assert_non_null(strstr(text, "event 4186<"));
	leat_zone_free(z);
}

/* A forecast whose earliest date is over does not run back into the past. */
static void
forecast_partly_over(void **state)
{
	struct leat_zone *z = zone("UTC");
	struct leat_picture_form form = form_of(z);
	struct leat_picture *p = leat_picture_new(&form);
	uint32_t panel = pressure(p);
	const struct leat_picture_fan fan = { 120, 140, at("2025-01-05T00:00:00Z"), at("2025-01-15T00:00:00Z"),
		at("2025-01-20T00:00:00Z") };
	double x, y, x2, y2;
	const char *ground;

	(void)state;
	leat_picture_number(p, panel, at("2025-01-01T00:00:00Z"), 100, LEAT_GOOD);
	leat_picture_number(p, panel, at("2025-01-10T00:00:00Z"), 120, LEAT_GOOD);
	leat_picture_forecast(p, panel, &fan);
	ground = strstr(written(p), "Z\" fill=\"" FAN);
	assert_non_null(ground);
	while (ground[-1] != 'M')
		ground--;
	assert_int_equal(sscanf(ground, "%lf %lfL%lf %lf", &x, &y, &x2, &y2), 4);
	unit_close(x2, x, 0);
	assert_true(y2 < y);
	leat_zone_free(z);
}

/* Numbers that are next to nothing. */
static void
next_to_nothing(void **state)
{
	struct leat_zone *z = zone("UTC");
	struct leat_picture_form form = form_of(z);
	struct leat_picture *p = leat_picture_new(&form);
	uint32_t panel = pressure(p);
	char *text;

	(void)state;
	leat_picture_number(p, panel, at("2025-01-01T00:00:00Z"), 5e-324, LEAT_GOOD);
	leat_picture_number(p, panel, at("2025-01-01T00:01:00Z"), 0, LEAT_GOOD);
	text = written(p);
	assert_null(strstr(text, "nan"));
	assert_null(strstr(text, "inf"));
	leat_zone_free(z);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(columns_like_a_plain_model),
		cmocka_unit_test(round_values),
		cmocka_unit_test(times_by_the_clock), cmocka_unit_test(narrow),
		cmocka_unit_test(all_of_time),
		cmocka_unit_test(text_of_anybody),
		cmocka_unit_test(cut_text),
		cmocka_unit_test(levels),
		cmocka_unit_test(within_a_page),
		cmocka_unit_test(renewed),
		cmocka_unit_test(many_events),
		cmocka_unit_test(forecast_partly_over),
		cmocka_unit_test(next_to_nothing),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
