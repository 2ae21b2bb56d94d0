/*
 * What a gate is made of: private to gate_parse.c and gate_eval.c.
 */
#ifndef LEAT_STREAM_GATE_PRIVATE_H
#define LEAT_STREAM_GATE_PRIVATE_H

#include "stream/gate.h"

/* Brackets and negations within each other. */
#define LEAT_GATE_DEPTH 64
/* Each level leaves at most two values waiting, left of '|' and left of '&'. */
#define LEAT_GATE_STACK (2 * (LEAT_GATE_DEPTH + 2))

enum leat_gate_op {
	LEAT_GATE_EQ,
	LEAT_GATE_NE,
	LEAT_GATE_LT,
	LEAT_GATE_LE,
	LEAT_GATE_GT,
	LEAT_GATE_GE,
	LEAT_GATE_ON		/* a bare point */
};

/* One comparison.  Spans point into the gate's text. */
struct leat_gate_leaf {
	struct leat_span child;		/* empty: a point of the asset itself or its parents */
	struct leat_span point;
	enum leat_gate_op op;
	bool is_number;
	double number;			/* right-hand number, in unit */
	const struct leat_unit *unit;	/* as written, else that of leat-points(7), else NULL */
	bool unit_written;
	struct leat_span word;		/* right-hand word */
	int as_switch;			/* the word as 1 (on) or 0 (off), -1 when it is another */
};

/* Steps of the program, in reverse Polish order: a leaf's index, or one of these. */
enum { LEAT_GATE_NOT = -1, LEAT_GATE_AND = -2, LEAT_GATE_OR = -3 };

/* What a leaf came to for an asset. */
struct leat_gate_found {
	uint32_t series;		/* LEAT_NAME_NONE: no such reading yet */
	size_t seen;			/* current->seen when it was looked up, plus 1; 0: never */
};

/* What evaluation remembers.  It belongs to one struct leat_current at a time. */
struct leat_gate_memory {
	const struct leat_current *current;
	struct leat_gate_found *found;	/* asset by asset, leaves of them each */
	size_t cap;
	uint32_t *word;			/* by leaf: number of its word; LEAT_NAME_NONE: not yet known */
};

struct leat_gate {
	struct leat_span text;		/* borrowed */
	struct leat_gate_leaf *leaf;
	size_t leaves, leaf_cap;
	int *step;
	size_t steps, step_cap;
	struct leat_gate_memory *memory;
};

#endif
