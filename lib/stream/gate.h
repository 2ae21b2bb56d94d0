/*
 * The `when` expressions of the works tables: small conditions over the latest readings, with unknown as a third value.
 *
 *	= != < <= > >= & | ! ( )
 *
 * An operand on the left is a point of the asset or of the nearest parent that has it (`state`, `oil-temperature`), or a
 * point of a child (`pump-a:pump-running`).  On the right stands a number, which may carry a unit (bare: the unit of the
 * point in leat-points(7)), or a word; a bare point alone means "is on".  Logic is Kleene's: unknown & false is false,
 * unknown | true is true.  A reading of the word "unknown" is unknown, unless the expression names that very word.
 */
#ifndef LEAT_STREAM_GATE_H
#define LEAT_STREAM_GATE_H

#include "base/units.h"
#include "stream/current.h"

enum leat_truth {
	LEAT_FALSE,
	LEAT_TRUE,
	LEAT_UNKNOWN
};

struct leat_gate;

/* Compiles the text (borrowed until free).  NULL with err (text, value) when it is no expression: what was expected and
 * where. */
struct leat_gate *leat_gate_compile(struct leat_span text, struct leat_error *err);
void leat_gate_free(struct leat_gate *gate);

/* Its value for an asset at a time.  Missing, bad or stale operands, and a unit of another dimension, are unknown.  A gate
 * remembers where it found its operands, so it serves one struct leat_current: compile it anew for another. */
enum leat_truth leat_gate_eval(const struct leat_gate *gate, struct leat_current *current, uint32_t asset,
    struct leat_time now);

/* Until when its value for an asset stays as it is at now unless readings come: the first instant at which one of its
 * operands that are valid at now is valid for the last time.  LEAT_TIME_NONE when none is valid. */
struct leat_time leat_gate_until(const struct leat_gate *gate, struct leat_current *current, uint32_t asset,
    struct leat_time now);

/* For whoever judges an asset only at instants at which its mill reports: watches the operands, so that the value at now
 * stays until current->turns changes or until *until, whichever comes first.  False when that cannot be promised, because
 * a number is compared, which is another with each reading. */
bool leat_gate_watch(const struct leat_gate *gate, struct leat_current *current, uint32_t asset, struct leat_time now,
    struct leat_time *until);

/* One comparison of a gate, for whoever asks whether it can ever be answered.  Spans point into the gate's text. */
struct leat_gate_operand {
	struct leat_span child;		/* empty: a point of the asset itself or its parents */
	struct leat_span point;
	struct leat_span word;		/* compared with this word; empty: with a number, or a bare point */
	bool is_switch_word;		/* the word is one for on or off */
	bool is_number;
	const struct leat_unit *unit;	/* written with the number; NULL: none */
};

/* false past the last comparison. */
bool leat_gate_operand(const struct leat_gate *gate, size_t index, struct leat_gate_operand *out);

/* Does it look at that point, of whatever asset?  NULL looks at nothing. */
bool leat_gate_asks(const struct leat_gate *gate, struct leat_span point);

/* The text it was made from. */
struct leat_span leat_gate_text(const struct leat_gate *gate);

#endif
