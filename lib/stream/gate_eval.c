/* Gates: their value, in the three-valued logic of Kleene (Introduction to Metamathematics, 1952, section 64). */
#include <stdlib.h>

#include "stream/gate_private.h"

/* By the order of enum leat_truth: false, true, unknown. */
static const enum leat_truth truth_and[3][3] = {
	{ LEAT_FALSE, LEAT_FALSE, LEAT_FALSE },
	{ LEAT_FALSE, LEAT_TRUE, LEAT_UNKNOWN },
	{ LEAT_FALSE, LEAT_UNKNOWN, LEAT_UNKNOWN }
};

static const enum leat_truth truth_or[3][3] = {
	{ LEAT_FALSE, LEAT_TRUE, LEAT_UNKNOWN },
	{ LEAT_TRUE, LEAT_TRUE, LEAT_TRUE },
	{ LEAT_UNKNOWN, LEAT_TRUE, LEAT_UNKNOWN }
};

static const enum leat_truth truth_not[3] = { LEAT_TRUE, LEAT_FALSE, LEAT_UNKNOWN };

/* Forgets what was found in another stream. */
static void
memory_for(const struct leat_gate *gate, const struct leat_current *current)
{
	struct leat_gate_memory *memory = gate->memory;

	if (memory->current == current)
		return;
	free(memory->found);
	free(memory->word);
	memset(memory, 0, sizeof(*memory));
	memory->current = current;
}

/* The series that a leaf looks at for an asset.  A name is looked up again only after a new series has come, since
 * that may be nearer than the one found. */
static uint32_t
leaf_series(const struct leat_gate *gate, const struct leat_current *current, size_t leaf, uint32_t asset)
{
	const struct leat_gate_leaf *l = &gate->leaf[leaf];
	struct leat_gate_memory *memory = gate->memory;
	size_t at = (size_t)asset * gate->leaves + leaf;
	struct leat_span name = leat_readings_assets(current->in)->name[asset];

	if (at >= memory->cap &&
	    leat_grow(&memory->found, &memory->cap, ((size_t)asset + 1) * gate->leaves, sizeof(*memory->found)) != 0)
		return leat_current_resolve(current, name, l->child, l->point);
	if (memory->found[at].seen != current->seen + 1) {
		memory->found[at].series = leat_current_resolve(current, name, l->child, l->point);
		memory->found[at].seen = current->seen + 1;
	}
	return memory->found[at].series;
}

/* The number of the leaf's word. */
static uint32_t
leaf_word(const struct leat_gate *gate, struct leat_current *current, size_t leaf)
{
	struct leat_gate_memory *memory = gate->memory;

	if (memory->word == NULL) {
		memory->word = malloc(gate->leaves * sizeof(*memory->word));
		if (memory->word == NULL)
			return LEAT_NAME_NONE;
		for (size_t i = 0; i < gate->leaves; i++)
			memory->word[i] = LEAT_NAME_NONE;
	}
	if (memory->word[leaf] == LEAT_NAME_NONE)
		memory->word[leaf] = leat_current_word(current, gate->leaf[leaf].word);
	return memory->word[leaf];
}

static enum leat_truth
truth(bool yes)
{
	return yes ? LEAT_TRUE : LEAT_FALSE;
}

static enum leat_truth
compare_word(const struct leat_gate *gate, struct leat_current *current, size_t leaf,
    const struct leat_latest *latest)
{
	const struct leat_gate_leaf *l = &gate->leaf[leaf];
	uint32_t word;
	bool same;

	if (latest->is_number || l->as_switch >= 0) {
		int on = leat_latest_switch(current, latest);

		/* A number is on or off only; a state named otherwise than on and off is neither of them. */
		if (l->as_switch >= 0 && on >= 0)
			return truth((on == l->as_switch) == (l->op == LEAT_GATE_EQ));
		if (latest->is_number)
			return LEAT_UNKNOWN;
	}
	word = leaf_word(gate, current, leaf);
	if (word == LEAT_NAME_NONE || latest->word == LEAT_NAME_NONE)
		return LEAT_UNKNOWN;
	/* A state that is unknown is not "other than off"; asked for by name it is a word like any other. */
	if (word != latest->word && leat_span_is(current->words.name[latest->word], "unknown"))
		return LEAT_UNKNOWN;
	same = word == latest->word;
	return truth(same == (l->op == LEAT_GATE_EQ));
}

/* Conversion leaves the last bits of a number uncertain; 104 degF is 40 degC. */
static bool
about_equal(double a, double b)
{
	double gap = a > b ? a - b : b - a, size = b < 0 ? -b : b;

	return gap <= 1e-9 * (size > 1 ? size : 1);
}

/* The reading's number in the leaf's unit; false when there is no way to tell. */
static bool
number_of(const struct leat_gate_leaf *l, const struct leat_current *current, const struct leat_latest *latest,
    double *number)
{
	if (!latest->is_number) {
		int on = leat_latest_switch(current, latest);

		*number = on;
		return on >= 0 && !l->unit_written;
	}
	*number = latest->number;
	if (l->unit == NULL || (latest->unit == NULL && !l->unit_written))
		return true;
	if (latest->unit == NULL || (latest->unit != l->unit && !leat_unit_same_dimension(latest->unit, l->unit)))
		return false;
	if (latest->unit != l->unit)
		*number = leat_unit_convert(latest->unit, l->unit, latest->number);
	return true;
}

static enum leat_truth
compare_number(const struct leat_gate_leaf *l, const struct leat_current *current, const struct leat_latest *latest)
{
	double number;
	bool equal;

	if (!number_of(l, current, latest, &number))
		return LEAT_UNKNOWN;
	equal = about_equal(number, l->number);
	switch (l->op) {
	case LEAT_GATE_EQ:
		return truth(equal);
	case LEAT_GATE_NE:
		return truth(!equal);
	case LEAT_GATE_LT:
		return truth(!equal && number < l->number);
	case LEAT_GATE_LE:
		return truth(equal || number < l->number);
	case LEAT_GATE_GT:
		return truth(!equal && number > l->number);
	case LEAT_GATE_GE:
		return truth(equal || number > l->number);
	case LEAT_GATE_ON:
		break;
	}
	return LEAT_UNKNOWN;
}

static enum leat_truth
leaf_truth(const struct leat_gate *gate, struct leat_current *current, size_t leaf, uint32_t asset,
    struct leat_time now)
{
	const struct leat_gate_leaf *l = &gate->leaf[leaf];
	const struct leat_latest *latest = leat_current_series(current, leaf_series(gate, current, leaf, asset), now);
	int on;

	if (latest == NULL)
		return LEAT_UNKNOWN;
	if (l->op == LEAT_GATE_ON) {
		on = leat_latest_switch(current, latest);
		return on < 0 ? LEAT_UNKNOWN : truth(on == 1);
	}
	return l->is_number ? compare_number(l, current, latest) : compare_word(gate, current, leaf, latest);
}

enum leat_truth
leat_gate_eval(const struct leat_gate *gate, struct leat_current *current, uint32_t asset, struct leat_time now)
{
	enum leat_truth stack[LEAT_GATE_STACK];
	size_t top = 0;

	stack[0] = LEAT_UNKNOWN;
	memory_for(gate, current);
	for (size_t i = 0; i < gate->steps; i++) {
		int step = gate->step[i];

		if (step >= 0) {
			stack[top++] = leaf_truth(gate, current, (size_t)step, asset, now);
		} else if (step == LEAT_GATE_NOT) {
			stack[top - 1] = truth_not[stack[top - 1]];
		} else {
			top--;
			stack[top - 1] = step == LEAT_GATE_AND ? truth_and[stack[top - 1]][stack[top]] :
			    truth_or[stack[top - 1]][stack[top]];
		}
	}
	return stack[0];
}

bool
leat_gate_watch(const struct leat_gate *gate, struct leat_current *current, uint32_t asset, struct leat_time now,
    struct leat_time *until)
{
	memory_for(gate, current);
	for (size_t i = 0; i < gate->leaves; i++) {
		uint32_t series = leaf_series(gate, current, i, asset);
		struct leat_latest *latest;
		struct leat_time expiry;

		if (gate->leaf[i].is_number)
			return false;
		/* What never came or is too old comes with a turn. */
		if (series == LEAT_NAME_NONE)
			continue;
		latest = &current->latest[series];
		latest->watched = true;
		if (leat_current_series(current, series, now) == NULL)
			continue;
		/* What holds until changed holds whenever the mill has just reported. */
		if (latest->until_changed && leat_time_is_none(latest->bad_since))
			continue;
		expiry = leat_current_expiry(current, series);
		if (leat_time_cmp(expiry, *until) < 0)
			*until = expiry;
	}
	return true;
}

struct leat_time
leat_gate_until(const struct leat_gate *gate, struct leat_current *current, uint32_t asset, struct leat_time now)
{
	struct leat_time first = LEAT_TIME_NONE;

	memory_for(gate, current);
	for (size_t i = 0; i < gate->leaves; i++) {
		struct leat_time until = leat_current_expiry(current, leaf_series(gate, current, i, asset));

		if (!leat_time_is_none(until) && leat_time_cmp(until, now) >= 0 &&
		    (leat_time_is_none(first) || leat_time_cmp(until, first) < 0))
			first = until;
	}
	return first;
}
