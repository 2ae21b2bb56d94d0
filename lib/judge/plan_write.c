/* The plan of stops as CSV. */
#include <math.h>
#include <stdio.h>

#include "judge/plan_private.h"

static const char *const choice_name[] = { "forced", "before", "due", "shared", "no-room", "waits", "unknown" };

struct writer {
	const struct leat_plan *plan;
	const struct leat_plan_stop *stop;
	struct leat_out *out;
	bool words, all;
};

struct row {
	const char *row;
	struct leat_span name, asset;
	const char *choice;
	double quantity;		/* NaN: none */
	int decimals;
	const char *unit;
	struct leat_time by;
	const char *message;
};

static const char *
date_of(char *dst, const struct leat_plan *plan, struct leat_time t, bool clock)
{
	struct leat_civil c;

	if (leat_time_is_none(t)) {
		snprintf(dst, LEAT_TIME_MAX, "no date");
		return dst;
	}
	c = leat_zone_civil(leat_nameplate_zone(plan->form.of->np), t);
	if (clock)
		snprintf(dst, LEAT_TIME_MAX, "%04d-%02d-%02d %02d:%02d", c.year, c.month, c.day, c.hour, c.minute);
	else
		snprintf(dst, LEAT_TIME_MAX, "%04d-%02d-%02d", c.year, c.month, c.day);
	return dst;
}

static size_t
number(char *dst, double value, int decimals)
{
	dst[0] = '\0';
	return isnan(value) ? 0 : leat_number_fixed(dst, value, decimals);
}

static void
write_row(struct writer *w, const struct row *r)
{
	const struct leat_stop *stop = w->stop->stop;
	char text[LEAT_NUMBER_MAX];
	size_t len = number(text, r->quantity, r->decimals);

	leat_out_field(w->out, w->stop->mill);
	leat_out_char(w->out, ',');
	leat_out_time(w->out, stop != NULL ? stop->start : LEAT_TIME_NONE);
	leat_out_char(w->out, ',');
	leat_out_time(w->out, stop != NULL ? w->stop->end : LEAT_TIME_NONE);
	leat_out_char(w->out, ',');
	leat_out_text(w->out, r->row);
	leat_out_char(w->out, ',');
	leat_out_field(w->out, r->name);
	leat_out_char(w->out, ',');
	leat_out_field(w->out, r->asset);
	leat_out_char(w->out, ',');
	leat_out_text(w->out, r->choice);
	leat_out_char(w->out, ',');
	leat_out_bytes(w->out, text, len);
	leat_out_char(w->out, ',');
	leat_out_text(w->out, len > 0 ? r->unit : "");
	leat_out_char(w->out, ',');
	leat_out_time(w->out, r->by);
	leat_out_char(w->out, ',');
	leat_out_field(w->out, leat_span_of(r->message));
	leat_out_char(w->out, '\n');
}

static void
word_row(struct writer *w, const struct row *r)
{
	char text[900], value[LEAT_NUMBER_MAX], name[200], asset[200], unit[40];
	size_t len = number(value, r->quantity, r->decimals);

	leat_mask(name, sizeof(name), r->name);
	leat_mask(asset, sizeof(asset), r->asset);
	snprintf(unit, sizeof(unit), "%s%s", strcmp(r->unit, "1") == 0 ? "" : " ", strcmp(r->unit, "1") == 0 ? "" : r->unit);
	snprintf(text, sizeof(text), "  %-10s %-8s %s%s%s%s%s%s: %s\n", r->row, r->choice, asset, asset[0] != '\0' ? " " : "", name,
	    len > 0 ? " " : "", value, len > 0 ? unit : "", r->message);
	leat_out_text(w->out, text);
}

static void
put(struct writer *w, const struct row *r)
{
	if (w->words)
		word_row(w, r);
	else
		write_row(w, r);
}

static void
needed(void *user, const struct leat_plan_need *n)
{
	struct writer *w = user;
	struct row r = { n->row, n->name, w->stop->mill, n->choice, n->quantity, n->decimals, n->unit, LEAT_TIME_NONE, n->message };

	if (n->by != LEAT_DAY_NONE)
		r.by = leat_zone_day_instant(leat_nameplate_zone(w->plan->form.of->np), n->by, 0);
	put(w, &r);
}

static void
put_stop(struct writer *w)
{
	const struct leat_plan_stop *s = w->stop;
	char message[400], from[LEAT_TIME_MAX], next[LEAT_TIME_MAX];
	struct row r = { "stop", s->stop != NULL ? s->stop->kind : LEAT_SPAN("none"), s->mill, "", NAN, 1, "h", LEAT_TIME_NONE,
		message };

	date_of(next, w->plan, s->following, false);
	if (s->stop == NULL) {
		snprintf(message, sizeof(message), "no stop is planned in stops.csv, and %zu task%s of the mill need%s one", s->count,
		    s->count == 1 ? "" : "s", s->count == 1 ? "s" : "");
	} else {
		size_t len;

		r.quantity = s->used_h;
		len = (size_t)snprintf(message, sizeof(message), "%.1f of %.1f hours of work (%.0f people for %s%.1f h), %zu task%s %s "
		    "%s; the following stop is %s %s", s->used_h, s->room_h, w->plan->form.crew,
		    s->begun ? "what is left of it, " : "", s->length_h, s->taken, s->taken == 1 ? "" : "s",
		    s->begun ? "in the stop that began" : "from", date_of(from, w->plan, s->stop->start, true),
		    s->guessed ? "taken to be" : "on", next);
		if (s->used_h > s->room_h + 1e-9)
			len += (size_t)snprintf(message + len, sizeof(message) - len, "; what is forced is %.1f h of work too much",
			    s->used_h - s->room_h);
		if (s->longest_h > s->length_h + 1e-9)
			snprintf(message + len, sizeof(message) - len, "; its longest task takes %.1f h with its isolations", s->longest_h);
	}
	put(w, &r);
}

static void
put_isolations(struct writer *w)
{
	for (size_t bit = 0; bit < ISOLATIONS; bit++) {
		struct row r = { "isolation", leat_plan_isolation(w->plan, bit), w->stop->mill, "", w->plan->form.isolate_s / HOUR_S, 1,
			"h", LEAT_TIME_NONE, "set and proved once for all tasks, by the works' permit and lock-out rules" };

		if ((w->stop->isolations >> bit & 1) != 0)
			put(w, &r);
	}
}

static void
put_task(struct writer *w, const struct leat_plan_task *t)
{
	static const char *const why[] = {
		"law, safety or an alarm", "comes first for another task", "before the following stop",
		"due later, and it needs no isolation that is not set", "no room left: lengthen the stop or take more people",
		"can wait for the following stop", "never logged, or not to be told: find out and log it"
	};
	char message[512], title[160], date[LEAT_TIME_MAX];
	struct row r = { "task", t->item->task->name, t->item->asset, choice_name[t->choice], t->work_h, 1, "h", t->date, message };

	snprintf(message, sizeof(message), "%s: %s, %s%s%s", leat_mask(title, sizeof(title), t->item->task->title),
	    leat_due_stage_name(t->item->stage), t->early ? "its limit may be reached from " : "",
	    date_of(date, w->plan, t->date, false), t->item->task->duration_s > 0 ? "" : ", its duration is not given");
	snprintf(message + strlen(message), sizeof(message) - strlen(message), "; %s",
	    w->stop->stop != NULL || t->choice != LEAT_PLAN_WAITS ? why[t->choice] : "no stop is planned for it");
	if (t->choice == LEAT_PLAN_DUE || t->choice == LEAT_PLAN_NO_ROOM)
		snprintf(message + strlen(message), sizeof(message) - strlen(message), ", %.1f days late then for an hour of work",
		    t->value);
	put(w, &r);
}

/* A task that waits is told where all is, or where no stop is planned to wait for. */
static bool
is_told(const struct writer *w, const struct leat_plan_task *t)
{
	return w->all || t->choice != LEAT_PLAN_WAITS || (w->stop->stop == NULL && !leat_time_is_none(t->date));
}

static void
put_all(struct writer *w)
{
	const struct leat_parts *parts = w->plan->form.parts;

	for (size_t i = 0; i < parts->count; i++)
		w->plan->stock[i] = parts->row[i].stock;
	for (size_t i = 0; (w->stop = leat_plan_stop_at(w->plan, i)) != NULL; i++) {
		put_stop(w);
		if (w->stop->stop != NULL)
			put_isolations(w);
		for (size_t k = 0; k < w->stop->count; k++)
			if (is_told(w, &w->stop->task[k]))
				put_task(w, &w->stop->task[k]);
		leat_plan_parts(w->plan, w->stop, w->plan->stock, needed, w);
		leat_plan_oil(w->plan, w->stop, needed, w);
		leat_plan_nitrogen(w->plan, w->stop, needed, w);
	}
}

void
leat_plan_write(const struct leat_plan *plan, struct leat_out *out)
{
	struct writer w = { plan, NULL, out, false, plan->form.of->all };

	leat_out_text(out, LEAT_PLAN_COLUMNS "\n");
	put_all(&w);
}

void
leat_plan_explain(const struct leat_plan *plan, struct leat_out *out)
{
	struct writer w = { plan, NULL, out, true, plan->form.of->all };
	char head[400];

	snprintf(head, sizeof(head), "Crew of %.0f, an isolation takes %.1f h of one person, drums of %.0f L.\n"
	    "Taken are forced tasks, then what is due before the following stop, by days late then for each hour of work that\n"
	    "it adds, then what shares isolations.\n", plan->form.crew, plan->form.isolate_s / HOUR_S, plan->form.drum_l);
	leat_out_text(out, head);
	put_all(&w);
}
