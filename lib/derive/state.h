/*
 * The operating state of each mill of a stream: lib/physics/mill_state.h fed with readings and the nameplate.
 *
 * The floor lib/derive joins streams and physics; neither knows the other.
 */
#ifndef LEAT_DERIVE_STATE_H
#define LEAT_DERIVE_STATE_H

#include "physics/mill_state.h"
#include "stream/mills.h"
#include "stream/nameplate.h"

/* A state is said again at the first reading of its mill this long after it was said last. */
#define LEAT_STATE_REPEAT_S 600.0

/* Private: what is kept of a mill beside its readings. */
struct leat_state_mill {
	bool begun, warned;
	struct leat_mill_memory memory;
	struct leat_mill_inputs plate;	/* what the nameplate gives of the inputs ... */
	double set_pressure_bar;	/* ... and what serves where no set point is read */
	struct leat_time plate_until;	/* the nameplate holds until then; LEAT_TIME_NONE: for good */
	enum leat_mill_state state;	/* said last ... */
	struct leat_time said;		/* ... at this time; LEAT_TIME_NONE: never */
};

struct leat_states {
	/* The user sets these before leat_states_init; all are borrowed. */
	struct leat_readings *in;
	const struct leat_nameplate *np;
	const struct leat_points *points;
	struct leat_out *out;			/* takes the rows or explanations */
	bool explain;				/* explanations in place of rows */
	struct leat_span what;			/* explain this mill only: "NM" or "NM/state"; empty: all */
	void (*warn)(const char *text);		/* is told of what the user should mend, once a mill; may be NULL */

	/* What was done. */
	long long replaced, changes, repeats;

	/* Private. */
	struct leat_current current;
	struct leat_mills mills;
	struct leat_state_mill *own;
	size_t own_cap;
};

void leat_states_init(struct leat_states *states);

/* Takes a reading in, after writing the states that belong before it.  1: the reading stays in the stream; 0: it
 * is the state of a mill that is made here, and must be left out; -1 with err: out of memory, or a unit of another
 * dimension. */
int leat_states_take(struct leat_states *states, const struct leat_reading *r, struct leat_error *err) LEAT_MUST_USE;

/* Writes what is due at the end of the stream.  0, or -1 with err. */
int leat_states_end(struct leat_states *states, struct leat_error *err) LEAT_MUST_USE;

/* How many mills were found. */
size_t leat_states_mills(const struct leat_states *states);

void leat_states_free(struct leat_states *states);

#endif
