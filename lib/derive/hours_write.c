/* Running hours and starts: rows and explanations. */
#include <stdio.h>

#include "derive/hours_private.h"

static void
row(struct leat_hours *hours, const struct leat_hours_item *item, const char *point, double value, int decimals,
    const char *unit)
{
	char text[LEAT_NUMBER_MAX];

	leat_readings_add(hours->out, hours->in, &(struct leat_reading){
		.time = item->at, .asset = item->asset, .point = leat_span_of(point),
		.value = leat_span_make(text, leat_number_fixed(text, value, decimals)), .unit = leat_span_of(unit),
		.quality = LEAT_GOOD
	});
	hours->added++;
}

static bool
asked_for(const struct leat_hours *hours, const struct leat_hours_item *item)
{
	struct leat_span what = hours->what;

	if (leat_span_ends(what, "/running-hours"))
		what.len -= strlen("/running-hours");
	else if (leat_span_ends(what, "/starts"))
		what.len -= strlen("/starts");
	return what.len == 0 || leat_span_eq(what, item->asset);
}

static void
line(struct leat_hours *hours, const struct leat_hours_item *item, const char *text)
{
	if (!asked_for(hours, item))
		return;
	leat_out_time(hours->out, item->at);
	leat_out_char(hours->out, ' ');
	leat_out_span(hours->out, item->asset);
	leat_out_char(hours->out, ' ');
	leat_out_text(hours->out, text);
	leat_out_char(hours->out, '\n');
}

static void
explain(struct leat_hours *hours, const struct leat_hours_item *item, unsigned cause)
{
	static const struct { unsigned cause; const char *words; } why[] = {
		{ LEAT_HOURS_BEGUN, "begins" }, { LEAT_HOURS_SEEN, "seen again" }, { LEAT_HOURS_STARTED, "started" },
		{ LEAT_HOURS_STOPPED, "stopped" }, { LEAT_HOURS_READ, "counter read" }, { LEAT_HOURS_DAY, "day begins" }
	};
	char text[512];
	int len = 0;

	for (size_t i = 0; i < sizeof(why) / sizeof(why[0]); i++)
		if (cause & why[i].cause)
			len += snprintf(text + len, sizeof(text) - (size_t)len, "%s%s", len > 0 ? ", " : "", why[i].words);
	snprintf(text + len, sizeof(text) - (size_t)len,
	    ": %s; running-hours %.4f h (%.4f to %.4f%s), starts %.0f (%.0f to %.0f%s)", item->on > 0 ? "on" : "off",
	    item->hours.value, item->hours.low, item->hours.high, item->hours.anchored ? "" : ", from 0",
	    item->starts.value, item->starts.low, item->starts.high, item->starts.anchored ? "" : ", from 0");
	line(hours, item, text);
}

void
leat_hours_write(struct leat_hours *hours, const struct leat_hours_item *item, unsigned cause)
{
	unsigned both = LEAT_HOURS_BEGUN | LEAT_HOURS_SEEN | LEAT_HOURS_READ | LEAT_HOURS_DAY;

	if (hours->explain) {
		explain(hours, item, cause);
		return;
	}
	if (cause & (both | LEAT_HOURS_STOPPED)) {
		row(hours, item, "running-hours", item->hours.value, 4, "h");
		row(hours, item, "running-hours.low", item->hours.low, 4, "h");
		row(hours, item, "running-hours.high", item->hours.high, 4, "h");
	}
	if (cause & (both | LEAT_HOURS_STARTED)) {
		row(hours, item, "starts", item->starts.value, 0, "1");
		row(hours, item, "starts.low", item->starts.low, 0, "1");
		row(hours, item, "starts.high", item->starts.high, 0, "1");
	}
}

void
leat_hours_tell_reading(struct leat_hours *hours, const struct leat_hours_item *item, bool is_starts, double shown,
    double before, enum leat_counter_kind kind, long log_line)
{
	static const char *const what[] = {
		[LEAT_COUNTER_FIRST] = "the count begins with it", [LEAT_COUNTER_FITS] = "it fits",
		[LEAT_COUNTER_WRAPPED] = "the counter has wrapped around", [LEAT_COUNTER_OTHER] = "taken as another counter"
	};
	const struct leat_counter *c = is_starts ? &item->starts : &item->hours;
	char text[320], where[48] = "read";

	if (log_line > 0)
		snprintf(where, sizeof(where), "logged in line %ld", log_line);
	snprintf(text, sizeof(text), "%s %.10g %s: %s; counted %.*f before, now %.*f (%.*f to %.*f), which is %.10g more than "
	    "the counter shows", is_starts ? "start-counter" : "hour-meter", shown, where, what[kind], is_starts ? 0 : 4,
	    before, is_starts ? 0 : 4, c->value, is_starts ? 0 : 4, c->low, is_starts ? 0 : 4, c->high, c->offset);
	line(hours, item, text);
}

void
leat_hours_tell_gap(struct leat_hours *hours, const struct leat_hours_item *item, int after, double taken_h)
{
	static const char *const words[] = { "not known", "off", "on" };
	char text[256], length[40];

	leat_duration_words(length, item->gap_s);
	snprintf(text, sizeof(text), "not seen for %s, %s before and %s after: %.4f h taken as running", length,
	    words[item->before + 1], words[after + 1], taken_h);
	line(hours, item, text);
}
