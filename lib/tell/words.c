/*
 * The trade's words, and the works' calendar.
 */
#include "tell/words.h"

#include <stdio.h>
#include <stdlib.h>

#include "base/number.h"
#include "stream/points.h"

int
leat_calendar_day_start(struct leat_span text, int *seconds)
{
	size_t colon = leat_span_find(text, ':');
	int64_t hour, minute;

	if (colon == text.len || text.len != colon + 3 ||
	    leat_int_parse(leat_span_make(text.ptr, colon), 0, 23, &hour) != 0 ||
	    leat_int_parse(leat_span_make(text.ptr + colon + 1, 2), 0, 59, &minute) != 0)
		return -1;
	*seconds = (int)(hour * 3600 + minute * 60);
	return 0;
}

int64_t
leat_calendar_date(const struct leat_calendar *cal, struct leat_time t)
{
	struct leat_civil c = leat_zone_civil(cal->zone, t);

	return leat_days_from_civil(c.year, c.month, c.day);
}

int64_t
leat_calendar_day(const struct leat_calendar *cal, struct leat_time t)
{
	struct leat_civil c = leat_zone_civil(cal->zone, t);
	int of_day = c.hour * 3600 + c.minute * 60 + c.second;

	return leat_days_from_civil(c.year, c.month, c.day) - (of_day < cal->day_start_s);
}

struct leat_time
leat_calendar_midnight(const struct leat_calendar *cal, int64_t days)
{
	int64_t sec = days * 86400;

	/* The offset of that hour in UTC is that of the date's beginning, but for a change of clocks between the two. */
	sec -= leat_zone_offset(cal->zone, sec);
	return (struct leat_time){ days * 86400 - leat_zone_offset(cal->zone, sec), 0 };
}

static const char *const weekday_name[] = {
	"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"
};

int
leat_weekday(int64_t days)
{
	/* 1970-01-01 was a Thursday. */
	return (int)(((days + 3) % 7 + 7) % 7);
}

int
leat_weekday_find(struct leat_span word)
{
	char shorter[4];
	int i;

	for (i = 0; i < 7; i++) {
		snprintf(shorter, sizeof(shorter), "%.3s", weekday_name[i]);
		if (leat_span_is_nocase(word, weekday_name[i]) || leat_span_is_nocase(word, shorter))
			return i;
	}
	return -1;
}

const char *
leat_weekday_name(int weekday)
{
	return weekday_name[weekday];
}

static const char *const month_name[] = {
	"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"
};

void
leat_words_date(struct leat_text *t, const struct leat_calendar *cal, int64_t days, bool year)
{
	int y, month, day;

	leat_civil_from_days(days, &y, &month, &day);
	leat_text_add(t, "%.3s" LEAT_TEXT_GLUE "%d" LEAT_TEXT_GLUE "%s", weekday_name[leat_weekday(days)], day,
	    month_name[month - 1]);
	if (year || y != leat_zone_civil(cal->zone, cal->now).year)
		leat_text_add(t, LEAT_TEXT_GLUE "%d", y);
}

#define DATE 10u	/* bytes of 2025-12-31 */

/* Is there a date at i, as a word of its own?  Fills in y, m, d. */
static bool
date_at(struct leat_span text, size_t i, int *y, int *m, int *d)
{
	char word[DATE + 1], end;

	if (i + DATE > text.len || (i > 0 && text.ptr[i - 1] != ' ' && text.ptr[i - 1] != '('))
		return false;
	memcpy(word, text.ptr + i, DATE);
	word[DATE] = '\0';
	for (size_t k = 0; k < DATE; k++) {
		if (k == 4 || k == 7 ? word[k] != '-' : word[k] < '0' || word[k] > '9')
			return false;
	}
	/* A full stop may end a sentence, or begin the end of a file's name. */
	end = i + DATE < text.len ? text.ptr[i + DATE] : ' ';
	if (strchr(".,:;", end) != NULL && i + DATE + 1 < text.len)
		end = text.ptr[i + DATE + 1] == ' ' ? ' ' : 'x';
	*y = (int)strtol(word, NULL, 10);
	*m = (int)strtol(word + 5, NULL, 10);
	*d = (int)strtol(word + 8, NULL, 10);
	return strchr(" ).,:;", end) != NULL && end != '\0' && *m >= 1 && *m <= 12 && *d >= 1 && *d <= 31;
}

void
leat_words_message(struct leat_text *t, struct leat_span message)
{
	size_t from = 0;
	int y, m, d;

	for (size_t i = 0; i < message.len; i++) {
		if (!date_at(message, i, &y, &m, &d))
			continue;
		leat_text_add_plain(t, leat_span_make(message.ptr + from, i - from));
		/* Which drops a blank at its end. */
		if (i > 0 && message.ptr[i - 1] == ' ')
			leat_text_add(t, " ");
		leat_text_add(t, "%d" LEAT_TEXT_GLUE "%s" LEAT_TEXT_GLUE "%d", d, month_name[m - 1], y);
		from = i + DATE;
		i = from - 1;
	}
	leat_text_add_plain(t, leat_span_make(message.ptr + from, message.len - from));
}

/* Adds what stands between semicolons as a sentence. */
static void
add_sentence(struct leat_text *t, struct leat_span part)
{
	char first = part.ptr[0];

	if (first >= 'a' && first <= 'z') {
		leat_text_add(t, "%c", first - 'a' + 'A');
		part = leat_span_make(part.ptr + 1, part.len - 1);
	}
	leat_words_message(t, part);
	if (!leat_span_ends(part, ".") && !leat_span_ends(part, "!") && !leat_span_ends(part, "?"))
		leat_text_add(t, ".");
}

bool
leat_words_sentences(struct leat_text *t, struct leat_span advice)
{
	struct leat_span part;
	bool any = false;

	while (leat_span_next(&advice, ';', &part)) {
		part = leat_span_trim(part);
		if (part.len == 0)
			continue;
		if (any)
			leat_text_add(t, " ");
		any = true;
		add_sentence(t, part);
	}
	return any;
}

void
leat_words_clock(struct leat_text *t, const struct leat_calendar *cal, struct leat_time when)
{
	struct leat_civil c = leat_zone_civil(cal->zone, when);
	struct leat_time at[2];
	int east;

	leat_text_add(t, "%02d:%02d", c.hour, c.minute);
	if (leat_zone_instants(cal->zone, &c, at) == 2) {
		east = leat_zone_offset(cal->zone, when.sec) / 60;
		leat_text_add(t, "%c%02d:%02d", east < 0 ? '-' : '+', (east < 0 ? -east : east) / 60,
		    (east < 0 ? -east : east) % 60);
	}
}

void
leat_words_time(struct leat_text *t, const struct leat_calendar *cal, struct leat_time when)
{
	int64_t days = leat_calendar_date(cal, when);

	if (days == leat_calendar_date(cal, cal->now))
		leat_text_add(t, "today");
	else
		leat_words_date(t, cal, days, false);
	leat_text_add(t, LEAT_TEXT_GLUE);
	leat_words_clock(t, cal, when);
}

void
leat_words_length(struct leat_text *t, double seconds)
{
	char words[40];
	size_t len = leat_duration_words(words, seconds);

	leat_text_add_glued(t, leat_span_make(words, len));
}

/* Where the name with its hyphens taken out is not what the trade says. */
static const struct {
	const char *point, *words;
} point_words[] = {
	{ "accumulator-oil", "oil in the accumulators" },
	{ "acid-number-rise", "rise of the acid number" },
	{ "ageing-hours", "ageing of the oil" },
	{ "aluminium", "aluminium in the oil" },
	{ "ambient-temperature", "air temperature" },
	{ "bore-ovality", "ovality of the bore" },
	{ "bore-taper", "taper of the bore" },
	{ "bore-wear", "wear of the bore" },
	{ "bore-wear-rate", "wear of the bore in 1000 running hours" },
	{ "charging", "charging valve" },
	{ "chromium", "chromium in the oil" },
	{ "cooler-ua", "heat conductance of the cooler" },
	{ "copper", "copper in the oil" },
	{ "count-14um", "particles of 14 um and larger" },
	{ "count-4um", "particles of 4 um and larger" },
	{ "count-6um", "particles of 6 um and larger" },
	{ "drain-flow", "case drain flow" },
	{ "drain-flow-corrected", "corrected case drain flow" },
	{ "drain-temperature", "case drain temperature" },
	{ "early-outflow", "early outflow after a filling" },
	{ "early-outflow.low", "least early outflow after a filling" },
	{ "early-outflow-rise", "rise of the early outflow after a filling" },
	{ "filter-dp", "filter differential pressure" },
	{ "filter-dp-corrected", "corrected filter differential pressure" },
	{ "free-water", "free water in the oil" },
	{ "gas-amount", "amount of nitrogen" },
	{ "gas-amount-compliance", "nitrogen by the compliance" },
	{ "gas-amount-level", "nitrogen by the tank level" },
	{ "gas-amount-spread", "spread of the estimates of nitrogen" },
	{ "gas-compliance", "compliance of the gas" },
	{ "gas-loss-bank", "nitrogen loss of the bank in a month" },
	{ "gas-loss-month", "nitrogen lost in a month" },
	{ "gas-loss-one", "nitrogen loss of one shell in a month" },
	{ "gas-loss-one.low", "least nitrogen loss of one shell in a month" },
	{ "gas-pressure", "nitrogen pressure" },
	{ "gas-share", "nitrogen left of what was set" },
	{ "gas-temperature", "shell temperature" },
	{ "grinding-force", "grinding force" },
	{ "hammer-grinding", "grinding below the precharge" },
	{ "hammer-week", "falls to the precharge in a week" },
	{ "head-pressure", "head-side pressure" },
	{ "hold-leakage", "leakage in a holding test" },
	{ "highest-pressure-ratio", "highest pressure over the precharge" },
	{ "iron", "iron in the oil" },
	{ "iso4406", "cleanliness code" },
	{ "iso4406-14um", "cleanliness code at 14 um" },
	{ "iso4406-4um", "cleanliness code at 4 um" },
	{ "iso4406-6um", "cleanliness code at 6 um" },
	{ "iso4406-above-target", "cleanliness code above its target" },
	{ "leakage-excess", "leakage near the upper pressure" },
	{ "level", "tank level" },
	{ "lift-time", "lifting time of the rollers" },
	{ "lowest-pressure-ratio", "lowest pressure over the precharge" },
	{ "mill-running", "mill drive" },
	{ "minimum-pressure-ratio", "minimum-pressure valve over the precharge" },
	{ "minimum-pressure-shift", "minimum-pressure valve off its setting" },
	{ "oil-in-temperature", "oil temperature before the cooler" },
	{ "oil-out-temperature", "oil temperature after the cooler" },
	{ "oil-temperature-inlet", "oil temperature at the pump inlet" },
	{ "precharge-20", "precharge at 20 degC" },
	{ "precharge-knee", "precharge by the knee of the pressure" },
	{ "precharge-target", "target of the precharge" },
	{ "precharge-deviation", "precharge off its target" },
	{ "precharge-spread", "precharge off the others of the bank" },
	{ "pressure", "grinding pressure" },
	{ "pressure-attainment", "time at set pressure" },
	{ "pressure-deviation", "grinding pressure off its set point" },
	{ "pressure-setpoint", "pressure set point" },
	{ "pressure-spread", "spread between the cylinders" },
	{ "pump-running", "pump" },
	{ "pump-start-frequency", "starts of the pump in an hour" },
	{ "pump-up-frequency", "charging in an hour" },
	{ "relief-margin", "margin to the relief valve" },
	{ "rod-leakage", "rod seal leakage" },
	{ "seal-leakage", "piston seal leakage" },
	{ "seal-leakage-ratio", "piston seal leakage against that as new" },
	{ "seal-leakage-spread", "piston seal leakage by position" },
	{ "setpoint-shift", "set point off the agreed pressure" },
	{ "shells-shut", "accumulators shut off" },
	{ "silicon", "silicon in the oil" },
	{ "sodium", "sodium in the oil" },
	{ "state", "operating state" },
	{ "tin", "tin in the oil" },
	{ "viscosity-100", "viscosity at 100 degC" },
	{ "viscosity-40", "viscosity at 40 degC" },
	{ "viscosity-shift", "viscosity off that of the fresh oil" },
	{ "warmest-water", "warmest water the cooler can stand" },
	{ "water-content", "water in the oil" },
	{ "water-in-temperature", "cooling water temperature" },
	{ "water-out-temperature", "cooling water temperature after the cooler" },
	{ "water-saturation", "water saturation of the oil" },
	{ "zinc", "zinc in the oil" },
	{ "zinc-share", "zinc as a share of that of the fresh oil" }
};

/* A statistic of a rolled-up point, to stand before its name. */
static void
add_statistic(struct leat_text *t, struct leat_span suffix)
{
	if (leat_span_is(suffix, "mean"))
		leat_text_add(t, "mean ");
	else if (leat_span_is(suffix, "min"))
		leat_text_add(t, "lowest ");
	else if (leat_span_is(suffix, "max"))
		leat_text_add(t, "highest ");
	else if (leat_span_is(suffix, "coverage"))
		leat_text_add(t, "coverage of ");
	else if (leat_span_is(suffix, "good"))
		leat_text_add(t, "good time of ");
	else if (leat_span_is(suffix, "on"))
		leat_text_add(t, "time on of ");
	else if (leat_span_is(suffix, "difference"))
		leat_text_add(t, "difference of ");
	else if (leat_span_is(suffix, "ratio"))
		leat_text_add(t, "ratio of ");
	else if (leat_span_is(suffix, "per-1000h"))
		leat_text_add(t, "rise in 1000 h of ");
	else if (leat_span_is(suffix, "log2"))
		leat_text_add(t, "doublings of ");
	else if (leat_span_is(suffix, "low") || leat_span_is(suffix, "high"))
		leat_text_add(t, "%s bound of ", suffix.ptr[0] == 'l' ? "lower" : "upper");
	else
		leat_text_add(t, "percentile %.*s of ", (int)(suffix.len - 1), suffix.ptr + 1);
}

/* The words of a name as it stands, with its statistic where that reads better so.  False: it has none. */
static bool
add_own_words(struct leat_text *t, struct leat_span point)
{
	for (size_t i = 0; i < sizeof(point_words) / sizeof(point_words[0]); i++) {
		if (leat_span_is(point, point_words[i].point)) {
			leat_text_add(t, "%s", point_words[i].words);
			return true;
		}
	}
	return false;
}

void
leat_words_point(struct leat_text *t, struct leat_span point)
{
	size_t i, dot = leat_span_find(point, '.');

	if (leat_span_is(point, "-"))
		return;
	if (leat_point_find(point) == NULL) {
		leat_text_add_plain(t, point);
		return;
	}
	if (add_own_words(t, point))
		return;
	if (dot < point.len)
		add_statistic(t, leat_span_make(point.ptr + dot + 1, point.len - dot - 1));
	point.len = dot;
	if (add_own_words(t, point))
		return;
	for (i = 0; i < point.len; i++)
		leat_text_add(t, "%c", point.ptr[i] == '-' ? ' ' : point.ptr[i]);
}

bool
leat_rule_is_signal(struct leat_span rule)
{
	return leat_span_starts(rule, "frozen") || leat_span_starts(rule, "impossible") || leat_span_starts(rule, "stale");
}

bool
leat_rule_is_data(struct leat_span rule)
{
	static const char *const slug[] = {
		"conflict", "double-hour", "future-stamp", "missing-column", "missing-hour", "no-data", "rejected-rows",
		"unit-conflict", "unknown-tag"
	};
	size_t i;

	for (i = 0; i < sizeof(slug) / sizeof(slug[0]); i++) {
		if (leat_span_is(rule, slug[i]))
			return true;
	}
	return leat_rule_is_signal(rule) || leat_span_starts(rule, "source-") || leat_span_starts(rule, "archive-") ||
	    leat_span_starts(rule, "logbook-");
}
