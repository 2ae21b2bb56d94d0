/*
 * Past diagnoses of leat-diagnose against the faults that are known otherwise.
 *
 * A diagnosis is right for a fault that lasts, or is over for no longer than LEAT_REPLAY_AFTER_S, where its mode is one of
 * the fault's, its asset one at which the fault is to be seen, and it was first told after the fault began.  One that is
 * right for no fault is wrong for every fault of which it explains a finding, or second where its runner-up is the mode of
 * that fault.  What is neither is false, but where a finding that it explains announced a work: a loaded element is one.
 *
 * Of each fault nights are counted: those on which some finding showed it, and what was diagnosed then.  What came most
 * often is what the fault was taken for.
 */
#include <stdlib.h>

#include "judge/replay_diagnosis.h"

static const char *const outcome_name[OUTCOMES] = { "right", "plain", "second", "wrong", "untold", "unseen" };

static bool
is_unlikely(const struct leat_finding *f)
{
	return f->status == LEAT_STATUS_OK && f->explains.len == 0;
}

bool
leat_replay_is_diagnosis(const struct leat_finding *f)
{
	return leat_span_starts(f->rule, "likely-") || leat_span_is(f->rule, "diagnosis") || leat_span_is(f->rule, "odd-one-out");
}

static int
keep(struct leat_replay *replay, struct leat_span text, struct leat_span *kept)
{
	uint32_t id = leat_names_put(&replay->names, text);

	if (id == LEAT_NAME_NONE)
		return -1;
	*kept = replay->names.name[id];
	return 0;
}

int
leat_replay_take_diagnosis(struct leat_replay *replay, struct leat_time night, const struct leat_finding *f)
{
	struct leat_span mode = f->mode;
	struct leat_replay_diagnosis *d;

	if (leat_span_starts(f->rule, "likely-") && mode.len == 0)
		mode = leat_span_make(f->rule.ptr + 7, f->rule.len - 7);
	/* That a night was diagnosed at all is known by the row of the mill, or by what is told. */
	replay->diagnosed += leat_time_cmp(replay->diagnosed_last, night) != 0;
	replay->diagnosed_last = night;
	if (!leat_span_starts(f->rule, "likely-") || is_unlikely(f) || f->status == LEAT_STATUS_UNKNOWN)
		return 0;
	if (leat_grow(&replay->diagnosis, &replay->diagnosis_cap, replay->diagnoses + 1, sizeof(*replay->diagnosis)) != 0)
		return -1;
	d = &replay->diagnosis[replay->diagnoses];
	*d = (struct leat_replay_diagnosis){ .night = night, .plain = f->status == LEAT_STATUS_OK };
	if (keep(replay, f->asset, &d->asset) != 0 || keep(replay, mode, &d->mode) != 0 ||
	    keep(replay, f->runner_up, &d->runner_up) != 0 || keep(replay, f->explains, &d->explains) != 0)
		return -1;
	replay->diagnoses++;
	return 0;
}

/* Calls each for the identities that the diagnosis explains, until it is true of one. */
typedef bool about(const struct leat_replay_item *item, struct leat_time night, const void *user);

static bool
any_explained(const struct leat_replay_scorer *s, const struct leat_replay_diagnosis *d, about *is, const void *user)
{
	struct leat_span rest = d->explains, one;

	while (leat_span_next(&rest, ';', &one)) {
		uint32_t key = leat_names_get(&s->keys, one);

		if (key != LEAT_NAME_NONE && is(&s->replay->item[key], d->night, user))
			return true;
	}
	return false;
}

static bool
shows(const struct leat_replay_item *item, struct leat_time night, const void *fault)
{
	(void)night;
	return leat_replay_shows(fault, item);
}

/* Was the activation of the identity that stood that night one that announced a work? */
static bool
warns(const struct leat_replay_item *item, struct leat_time night, const void *user)
{
	(void)user;
	for (size_t i = 0; i < item->acts; i++)
		if (item->act[i].is_warning && leat_time_cmp(item->act[i].first, night) <= 0 &&
		    leat_time_diff(night, item->act[i].until) <= LEAT_REPLAY_NEAR_S)
			return true;
	return false;
}

/* Does any finding of that night show the fault? */
static bool
is_shown(const struct leat_replay *replay, const struct leat_fault *f, struct leat_time night)
{
	for (size_t i = 0; i < replay->items; i++) {
		if (!leat_replay_shows(f, &replay->item[i]))
			continue;
		for (size_t k = 0; k < replay->item[i].acts; k++) {
			const struct leat_activation *a = &replay->item[i].act[k];

			/* What stood before the fault began is not of it. */
			if (leat_time_cmp(a->first, f->time) >= 0 && leat_time_cmp(a->first, night) <= 0 && leat_time_cmp(a->last, night) >= 0)
				return true;
		}
	}
	return false;
}

static bool
lives(const struct leat_fault *f, struct leat_time night)
{
	return leat_time_cmp(night, f->time) >= 0 &&
	    (leat_time_is_none(f->end) || leat_time_diff(night, f->end) <= LEAT_REPLAY_AFTER_S);
}

static bool
is_right(const struct leat_fault *f, const struct leat_replay_diagnosis *d)
{
	return lives(f, d->night) && leat_time_cmp(d->first, f->time) >= 0 && leat_replay_fits(f->mode, d->mode) &&
	    leat_replay_fits(f->asset, d->asset);
}

/* What the diagnosis is to the fault; UNSEEN: nothing.  taken: it is right for another. */
static enum leat_outcome
outcome_of(const struct leat_replay_scorer *s, const struct leat_fault *f, const struct leat_replay_diagnosis *d, bool taken)
{
	if (is_right(f, d))
		return d->plain ? PLAIN : RIGHT;
	/* What one finding says by its own name is scored with the findings. */
	if (taken || d->plain || !lives(f, d->night) || leat_time_cmp(d->first, f->time) < 0 || !any_explained(s, d, shows, f))
		return UNSEEN;
	return d->runner_up.len > 0 && leat_replay_fits(f->mode, d->runner_up) ? SECOND : WRONG;
}

static bool
is_taken(const struct leat_faults *faults, const struct leat_replay_diagnosis *d)
{
	for (size_t i = 0; i < faults->count; i++)
		if (is_right(&faults->row[i], d))
			return true;
	return false;
}

int
leat_replay_note_taken(struct leat_names *taken, size_t **count, size_t *cap, struct leat_span mode, size_t nights)
{
	uint32_t id = leat_names_put(taken, mode);
	size_t known = *cap;

	if (id == LEAT_NAME_NONE || leat_grow(count, cap, (size_t)id + 1, sizeof(**count)) != 0)
		return -1;
	for (; known < *cap; known++)
		(*count)[known] = 0;
	(*count)[id] += nights;
	return 0;
}

/* The mode that it was taken for most often; NULL: none. */
static const struct leat_span *
most_taken(const struct leat_course *c)
{
	size_t most = 0;

	for (size_t i = 1; i < c->taken.count; i++)
		if (c->count[i] > c->count[most])
			most = i;
	return c->taken.count > 0 ? &c->taken.name[most] : NULL;
}

/* One night of one fault: of several diagnoses the best counts, for each has its own findings. */
static int
follow_night(const struct leat_replay_scorer *s, const struct leat_fault *f, struct leat_course *c, struct leat_time night,
    size_t from, size_t to)
{
	enum leat_outcome best = UNSEEN;
	const struct leat_replay_diagnosis *by = NULL;

	for (size_t i = from; i < to; i++) {
		const struct leat_replay_diagnosis *d = &s->replay->diagnosis[i];
		enum leat_outcome o = outcome_of(s, f, d, is_taken(s->replay->form.faults, d));

		if (o < best) {
			best = o;
			by = d;
		}
	}
	if (best == UNSEEN && is_shown(s->replay, f, night))
		best = UNTOLD;
	if (best == UNSEEN)
		return 0;
	c->nights[best]++;
	if (best <= PLAIN && leat_time_is_none(c->first))
		c->first = night;
	return best == SECOND || best == WRONG ? leat_replay_note_taken(&c->taken, &c->count, &c->cap, by->mode, 1) : 0;
}

/* What the fault came to: what was said of it on most nights; of as many the worse. */
static enum leat_outcome
sum_of(const struct leat_course *c)
{
	enum leat_outcome most = WRONG;

	for (int o = WRONG; o-- > RIGHT;)
		if (c->nights[o] > c->nights[most])
			most = (enum leat_outcome)o;
	if (c->nights[most] > 0)
		return most;
	return c->nights[UNTOLD] > 0 ? UNTOLD : UNSEEN;
}

/* The spell that the diagnosis is of; NULL when memory is out.  Whether one finding says it or many does not part it. */
static struct leat_spell *
spell_of(struct leat_replay_scorer *s, const struct leat_replay_diagnosis *d)
{
	for (size_t i = s->spells; i-- > 0;) {
		struct leat_spell *p = &s->spell[i];

		if (leat_span_eq(p->asset, d->asset) && leat_span_eq(p->mode, d->mode) &&
		    leat_time_diff(d->night, p->last) <= LEAT_REPLAY_NEAR_S)
			return p;
	}
	if (leat_grow(&s->spell, &s->spell_cap, s->spells + 1, sizeof(*s->spell)) != 0)
		return NULL;
	s->spell[s->spells] = (struct leat_spell){ .asset = d->asset, .mode = d->mode, .first = d->night };
	return &s->spell[s->spells++];
}

static int
find_spells(struct leat_replay_scorer *s)
{
	const struct leat_faults *faults = s->replay->form.faults;

	for (size_t i = 0; i < s->replay->diagnoses; i++) {
		struct leat_replay_diagnosis *d = &s->replay->diagnosis[i];
		struct leat_spell *p = spell_of(s, d);

		if (p == NULL)
			return -1;
		p->last = d->night;
		p->told = p->told || !d->plain;
		d->first = p->first;
		p->warned = p->warned || any_explained(s, d, warns, NULL);
		for (size_t k = 0; faults != NULL && k < faults->count && !p->known; k++)
			p->known = lives(&faults->row[k], p->first) && (is_right(&faults->row[k], d) ||
			    any_explained(s, d, shows, &faults->row[k]));
	}
	return 0;
}

bool
leat_replay_is_false(const struct leat_replay *replay, const struct leat_spell *p)
{
	/* Without a table of faults nobody knows. */
	return replay->form.faults != NULL && p->told && !p->known && !p->warned;
}

static int
find_keys(struct leat_replay_scorer *s)
{
	struct leat_buf text = { 0 };
	int result = 0;

	for (size_t i = 0; i < s->replay->items && result == 0; i++) {
		const struct leat_replay_item *item = &s->replay->item[i];
		struct leat_finding f = { .asset = item->asset, .point = item->point, .rule = item->rule };

		leat_buf_reset(&text);
		/* The identities differ, so that each has its own number. */
		result = leat_finding_name(&text, &f) != 0 || leat_names_put(&s->keys, leat_buf_span(&text)) != i ? -1 : 0;
	}
	leat_buf_free(&text);
	return result;
}

/* All nights of all faults. */
static int
follow(struct leat_replay_scorer *s)
{
	struct leat_replay *replay = s->replay;
	const struct leat_faults *faults = replay->form.faults;

	for (size_t i = 0; faults != NULL && i < faults->count; i++) {
		const struct leat_fault *f = &faults->row[i];
		struct leat_course *c = &s->course[i];
		size_t from = 0, to;

		c->first = LEAT_TIME_NONE;
		for (size_t n = 0; f->mode.len > 0 && n < replay->nights; n++) {
			struct leat_time night = replay->night[n];

			for (; from < replay->diagnoses && leat_time_cmp(replay->diagnosis[from].night, night) < 0; from++)
				;
			for (to = from; to < replay->diagnoses && leat_time_cmp(replay->diagnosis[to].night, night) == 0; to++)
				;
			if (lives(f, night) && follow_night(s, f, c, night, from, to) != 0)
				return -1;
		}
		c->outcome = sum_of(c);
	}
	return 0;
}

void
leat_replay_scorer_free(struct leat_replay_scorer *s)
{
	const struct leat_faults *faults = s != NULL ? s->replay->form.faults : NULL;

	if (s == NULL)
		return;
	for (size_t i = 0; s->course != NULL && faults != NULL && i < faults->count; i++) {
		leat_names_free(&s->course[i].taken);
		free(s->course[i].count);
	}
	free(s->course);
	free(s->spell);
	leat_names_free(&s->keys);
	free(s);
}

struct leat_replay_scorer *
leat_replay_scorer_new(struct leat_replay *replay)
{
	const struct leat_faults *faults = replay->form.faults;
	struct leat_replay_scorer *s = calloc(1, sizeof(*s));

	if (s == NULL)
		return NULL;
	s->replay = replay;
	leat_replay_match(replay);
	s->course = calloc((faults != NULL ? faults->count : 0) + 1, sizeof(*s->course));
	if (s->course != NULL && find_keys(s) == 0 && find_spells(s) == 0 && follow(s) == 0)
		return s;
	leat_replay_scorer_free(s);
	return NULL;
}

bool
leat_replay_is_scored(const struct leat_replay *replay, const struct leat_fault *f)
{
	return f->mode.len > 0 && replay->diagnosed > 0 && leat_replay_covers(replay, f->time, f->end);
}

void
leat_replay_write_course(const struct leat_replay_scorer *s, size_t fault, struct leat_tabular *g)
{
	const struct leat_faults *faults = s->replay->form.faults;
	bool scored = faults != NULL && fault < faults->count && leat_replay_is_scored(s->replay, &faults->row[fault]);
	const struct leat_course *c = scored ? &s->course[fault] : NULL;
	const struct leat_span *taken = scored ? most_taken(c) : NULL;

	leat_tabular_span(g, scored ? faults->row[fault].mode : LEAT_SPAN(""));
	leat_tabular_text(g, scored ? outcome_name[c->outcome] : "");
	leat_tabular_span(g, taken != NULL ? *taken : LEAT_SPAN(""));
	leat_tabular_time(g, scored ? c->first : LEAT_TIME_NONE);
}

void
leat_replay_write_what(struct leat_span set, const char *kind, struct leat_time time, struct leat_time end,
    struct leat_span asset, struct leat_span what, struct leat_tabular *g)
{
	leat_tabular_span(g, set);
	leat_tabular_text(g, kind);
	leat_tabular_time(g, time);
	leat_tabular_time(g, end);
	leat_tabular_span(g, asset);
	leat_tabular_span(g, what);
}

void
leat_replay_write_false(struct leat_span set, const char *kind, struct leat_time time, struct leat_time end,
    struct leat_span asset, struct leat_span what, struct leat_span rule, struct leat_time first, struct leat_tabular *g)
{
	leat_replay_write_what(set, kind, time, end, asset, what, g);
	leat_tabular_span(g, rule);
	leat_tabular_text(g, "false");
	leat_tabular_time(g, first);
	for (int k = 0; k < 6; k++)
		leat_tabular_text(g, "");
}

void
leat_replay_write_false_diagnoses(const struct leat_replay_scorer *s, struct leat_span set, struct leat_tabular *g)
{
	for (size_t i = 0; i < s->spells; i++) {
		const struct leat_spell *p = &s->spell[i];

		if (leat_replay_is_false(s->replay, p))
			leat_replay_write_false(set, "diagnosis", p->first, p->last, p->asset, p->mode, LEAT_SPAN(""), p->first, g);
	}
}
