#include "judge/alarm_load.h"

#include <math.h>
#include <stdlib.h>

#define DAY_S 86400.0

/* What one identity did. */
struct source {
	const struct leat_finding *first;
	size_t begin, count;		/* its episodes in load.by_source */
	size_t chattering, fleeting, stale;
};

struct load {
	const struct leat_finding **by_time, **by_source;
	size_t count;
	struct source *source;
	size_t sources;
	struct leat_time from, until;
	size_t alarms, fleeting, stale, chattering;
	size_t floods, in_floods, most_in_flood;
	double flood_s;
	size_t busiest_day, busiest_hour;
};

static int
time_cmp(const void *a, const void *b)
{
	const struct leat_finding *x = *(const struct leat_finding *const *)a, *y = *(const struct leat_finding *const *)b;
	int order = leat_time_cmp(x->time, y->time);

	return order != 0 ? order : leat_finding_cmp(x, y);
}

static bool
same_source(const struct leat_finding *x, const struct leat_finding *y)
{
	return leat_span_eq(x->asset, y->asset) && leat_span_eq(x->point, y->point) && leat_span_eq(x->rule, y->rule);
}

static int
source_cmp(const void *a, const void *b)
{
	const struct leat_finding *x = *(const struct leat_finding *const *)a, *y = *(const struct leat_finding *const *)b;
	int order = leat_span_cmp(x->asset, y->asset);

	order = order != 0 ? order : leat_span_cmp(x->point, y->point);
	order = order != 0 ? order : leat_span_cmp(x->rule, y->rule);
	return order != 0 ? order : leat_time_cmp(x->time, y->time);
}

/* The most frequent first. */
static int
often_cmp(const void *a, const void *b)
{
	const struct source *x = a, *y = b;

	if (x->count != y->count)
		return x->count > y->count ? -1 : 1;
	return leat_finding_cmp(x->first, y->first);
}

static bool
is_annunciation(const struct leat_finding *f, const struct load *load)
{
	return (f->status == LEAT_STATUS_ALERT || f->status == LEAT_STATUS_ALARM) &&
	    (leat_time_is_none(load->from) || leat_time_cmp(f->time, load->from) >= 0) &&
	    (leat_time_is_none(load->until) || leat_time_cmp(f->time, load->until) <= 0);
}

static void
find_span(struct load *load)
{
	if (load->count == 0)
		return;
	if (leat_time_is_none(load->from))
		load->from = load->by_time[0]->time;
	if (leat_time_is_none(load->until))
		load->until = load->by_time[load->count - 1]->time;
}

/* The length of the episode; of one that stands, up to the end. */
static double
length_s(const struct leat_finding *f, const struct load *load)
{
	struct leat_time since = leat_time_is_none(f->since) ? f->time : f->since;

	return leat_time_diff(leat_time_is_none(f->until) ? load->until : f->until, since);
}

static void
look_at_source(struct load *load, struct source *s)
{
	bool chatters = false;

	for (size_t i = 0; i < s->count; i++) {
		const struct leat_finding *f = load->by_source[s->begin + i];
		double length = length_s(f, load);

		s->fleeting += !leat_time_is_none(f->until) && length < LEAT_LOAD_FLEETING_S;
		s->stale += length > LEAT_LOAD_STALE_S;
		load->alarms += f->status == LEAT_STATUS_ALARM;
		if (i + 1 >= LEAT_LOAD_CHATTER && leat_time_diff(f->time,
		    load->by_source[s->begin + i + 1 - LEAT_LOAD_CHATTER]->time) <= LEAT_LOAD_CHATTER_S) {
			/* A bout begins; it goes on while the next comes as soon. */
			s->chattering += !chatters;
			chatters = true;
		} else {
			chatters = false;
		}
	}
	load->fleeting += s->fleeting;
	load->stale += s->stale;
	load->chattering += s->chattering > 0;
}

/* How many came in the LEAT_LOAD_FLOOD_S that end at by_time[i]. */
static size_t
recent(const struct load *load, size_t i, size_t *begin)
{
	while (leat_time_diff(load->by_time[i]->time, load->by_time[*begin]->time) >= LEAT_LOAD_FLOOD_S)
		++*begin;
	return i + 1 - *begin;
}

/* When the flood that lasts at by_time[i] ends, if nothing comes before by_time[i + 1]: as soon as fewer than so many lie
 * within the last minutes. */
static double
ends_s(const struct load *load, size_t i, size_t begin)
{
	size_t in = i + 1 - begin, leaving = begin + (in - LEAT_LOAD_FLOOD_ENDS);

	return leat_time_diff(load->by_time[leaving]->time, load->from) + LEAT_LOAD_FLOOD_S;
}

static void
look_for_floods(struct load *load)
{
	bool flood = false;
	double since = 0, now, end = 0;
	size_t begin = 0, in = 0;

	for (size_t i = 0; i < load->count; i++) {
		size_t n = recent(load, i, &begin);

		now = leat_time_diff(load->by_time[i]->time, load->from);
		if (flood && now >= end) {
			load->flood_s += end - since;
			flood = false;
		}
		if (!flood && n > LEAT_LOAD_FLOOD) {
			flood = true;
			load->floods++;
			/* It began with the first of those. */
			since = leat_time_diff(load->by_time[begin]->time, load->from);
			in = n - 1;
			load->in_floods += n - 1;
		}
		if (!flood)
			continue;
		load->in_floods++;
		load->most_in_flood = ++in > load->most_in_flood ? in : load->most_in_flood;
		if (n >= LEAT_LOAD_FLOOD_ENDS)
			end = ends_s(load, i, begin);
	}
	if (flood)
		load->flood_s += end - since;
}

/* The most that came within any length. */
static size_t
busiest(const struct load *load, double length)
{
	size_t begin = 0, most = 0;

	for (size_t i = 0; i < load->count; i++) {
		while (leat_time_diff(load->by_time[i]->time, load->by_time[begin]->time) >= length)
			begin++;
		most = i + 1 - begin > most ? i + 1 - begin : most;
	}
	return most;
}

static void
put(struct leat_tabular *t, const char *measure, const struct source *s, double value, int decimals, const char *unit,
    const char *guide)
{
	leat_tabular_text(t, measure);
	leat_tabular_span(t, s != NULL ? s->first->asset : LEAT_SPAN(""));
	leat_tabular_span(t, s != NULL ? s->first->point : LEAT_SPAN(""));
	leat_tabular_span(t, s != NULL ? s->first->rule : LEAT_SPAN(""));
	leat_tabular_number(t, value, decimals);
	leat_tabular_text(t, unit);
	leat_tabular_text(t, guide);
}

static void
write_all(const struct load *load, struct leat_tabular *t)
{
	double span_s = load->count > 0 ? leat_time_diff(load->until, load->from) : 0, days = span_s / DAY_S;
	size_t top = 0;

	put(t, "days", NULL, days, 2, "d", "");
	put(t, "annunciations", NULL, (double)load->count, 0, "", "");
	put(t, "alarms", NULL, (double)load->alarms, 0, "", "");
	put(t, "per-day", NULL, days > 0 ? (double)load->count / days : NAN, 2, "1/d", "150 acceptable; 300 too many");
	put(t, "busiest-day", NULL, (double)load->busiest_day, 0, "in 24 h", "300");
	put(t, "busiest-hour", NULL, (double)load->busiest_hour, 0, "in 1 h", "12");
	put(t, "floods", NULL, (double)load->floods, 0, "", "more than 10 in 10 min until fewer than 5");
	put(t, "flood-share", NULL, span_s > 0 ? 100 * load->flood_s / span_s : NAN, 3, "%", "below 1 % of the time");
	put(t, "in-floods", NULL, (double)load->in_floods, 0, "", "");
	put(t, "largest-flood", NULL, (double)load->most_in_flood, 0, "", "");
	put(t, "chattering", NULL, (double)load->chattering, 0, "", "0: 3 times in 30 min");
	put(t, "fleeting", NULL, (double)load->fleeting, 0, "", "over within 10 min");
	put(t, "stale", NULL, (double)load->stale, 0, "", "stood longer than 24 h");
	for (size_t i = 0; i < load->sources && i < LEAT_LOAD_TOP; i++)
		top += load->source[i].count;
	put(t, "top-10-share", NULL, load->count > 0 ? 100.0 * (double)top / (double)load->count : NAN, 1, "%", "1 % to 5 %");
	for (size_t i = 0; i < load->sources && i < LEAT_LOAD_TOP; i++) {
		const struct source *s = &load->source[i];

		put(t, "top", s, (double)s->count, 0, "", "");
		put(t, "top-share", s, 100.0 * (double)s->count / (double)load->count, 1, "%", "");
	}
	for (size_t i = 0; i < load->sources; i++) {
		const struct source *s = &load->source[i];

		if (s->chattering > 0)
			put(t, "chatters", s, (double)s->chattering, 0, "bouts", "");
		if (s->fleeting > 0)
			put(t, "flees", s, (double)s->fleeting, 0, "", "");
		if (s->stale > 0)
			put(t, "stands", s, (double)s->stale, 0, "", "");
	}
}

static int
find_sources(struct load *load)
{
	load->source = calloc(load->count + 1, sizeof(*load->source));
	if (load->source == NULL)
		return -1;
	for (size_t i = 0; i < load->count; i++) {
		if (load->sources == 0 || !same_source(load->source[load->sources - 1].first, load->by_source[i]))
			load->source[load->sources++] = (struct source){ .first = load->by_source[i], .begin = i };
		load->source[load->sources - 1].count++;
	}
	for (size_t i = 0; i < load->sources; i++)
		look_at_source(load, &load->source[i]);
	if (load->sources > 1)
		qsort(load->source, load->sources, sizeof(*load->source), often_cmp);
	return 0;
}

int
leat_alarm_load(const struct leat_findings *findings, struct leat_time from, struct leat_time until, struct leat_tabular *t)
{
	struct load load = { .from = from, .until = until };
	int result = -1;

	load.by_time = malloc((findings->count + 1) * sizeof(*load.by_time));
	load.by_source = malloc((findings->count + 1) * sizeof(*load.by_source));
	if (load.by_time == NULL || load.by_source == NULL)
		goto done;
	for (size_t i = 0; i < findings->count; i++)
		if (is_annunciation(&findings->item[i], &load))
			load.by_time[load.count++] = &findings->item[i];
	memcpy(load.by_source, load.by_time, load.count * sizeof(*load.by_time));
	if (load.count > 1) {
		qsort(load.by_time, load.count, sizeof(*load.by_time), time_cmp);
		qsort(load.by_source, load.count, sizeof(*load.by_source), source_cmp);
	}
	find_span(&load);
	if (find_sources(&load) != 0)
		goto done;
	look_for_floods(&load);
	load.busiest_day = busiest(&load, DAY_S);
	load.busiest_hour = busiest(&load, 3600);
	write_all(&load, t);
	result = t->failed ? -1 : 0;
done:
	free(load.by_time);
	free(load.by_source);
	free(load.source);
	return result;
}
