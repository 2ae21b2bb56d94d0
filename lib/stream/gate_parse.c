/*
 * Gates: reading the text.
 *
 *	or	= and { "|" and }
 *	and	= not { "&" not }
 *	not	= { "!" } ( "(" or ")" | test )
 *	test	= [ child ":" ] point [ op ( number [ unit ] | word ) ]
 */
#include <stdlib.h>

#include "base/number.h"
#include "stream/gate_private.h"

#define TEXT_LENGTH 4096

/* Bytes that end a name, number or word. */
static const char marks[] = " \t\r\n=!<>&|():";

struct parser {
	struct leat_gate *gate;
	struct leat_span text;
	size_t at;
	int depth;
	struct leat_error *err;
};

static bool parse_or(struct parser *p);

/* Characters, not bytes, from 1: what a person counts in a cell. */
static size_t
position(const struct parser *p)
{
	size_t n = 1;

	for (size_t i = 0; i < p->at; i++)
		n += ((unsigned char)p->text.ptr[i] & 0xc0) != 0x80;
	return n;
}

static bool
fail(struct parser *p, const char *what)
{
	if (p->at >= p->text.len)
		leat_error_set(p->err, "%s at the end", what);
	else
		leat_error_set(p->err, "%s at character %zu", what, position(p));
	leat_error_value(p->err, p->text);
	return false;
}

static void
skip_blanks(struct parser *p)
{
	while (p->at < p->text.len && p->text.ptr[p->at] != '\0' && strchr(" \t\r\n", p->text.ptr[p->at]) != NULL)
		p->at++;
}

/* The next byte after blanks, '\0' at the end. */
static char
peek(struct parser *p)
{
	skip_blanks(p);
	return p->at < p->text.len ? p->text.ptr[p->at] : '\0';
}

/* The run of bytes up to the next mark; empty when a mark or the end stands here. */
static struct leat_span
peek_run(struct parser *p)
{
	size_t end;

	skip_blanks(p);
	end = p->at;
	while (end < p->text.len && (p->text.ptr[end] == '\0' || strchr(marks, p->text.ptr[end]) == NULL))
		end++;
	return leat_span_make(p->text.ptr + p->at, end - p->at);
}

static bool
add_step(struct parser *p, int step)
{
	struct leat_gate *gate = p->gate;

	if (leat_grow(&gate->step, &gate->step_cap, gate->steps + 1, sizeof(*gate->step)) != 0) {
		leat_error_memory(p->err);
		return false;
	}
	gate->step[gate->steps++] = step;
	return true;
}

static bool
is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static bool
begins_number(struct leat_span s)
{
	size_t i = s.len > 0 && (s.ptr[0] == '+' || s.ptr[0] == '-');

	if (i < s.len && s.ptr[i] == '.')
		i++;
	return i < s.len && is_digit(s.ptr[i]);
}

/* Reads an operator; LEAT_GATE_ON when none stands here. */
static bool
parse_op(struct parser *p, enum leat_gate_op *op)
{
	char c = peek(p), next = p->at + 1 < p->text.len ? p->text.ptr[p->at + 1] : '\0';

	*op = LEAT_GATE_ON;
	if (c == '=')
		*op = LEAT_GATE_EQ;
	else if (c == '<')
		*op = next == '=' ? LEAT_GATE_LE : LEAT_GATE_LT;
	else if (c == '>')
		*op = next == '=' ? LEAT_GATE_GE : LEAT_GATE_GT;
	else if (c == '!' && next == '=')
		*op = LEAT_GATE_NE;
	if (*op == LEAT_GATE_ON)
		return true;
	p->at += (*op == LEAT_GATE_LE || *op == LEAT_GATE_GE || *op == LEAT_GATE_NE) ? 2 : 1;
	if (p->at < p->text.len && p->text.ptr[p->at] == '=')
		return fail(p, "one '=' too many");
	return true;
}

/* Splits "40degC" into its number and unit.  The longest number that leaves a known unit or nothing wins. */
static bool
split_number(struct leat_span run, double *number, const struct leat_unit **unit)
{
	for (size_t len = run.len; len > 0; len--) {
		struct leat_span rest = leat_span_make(run.ptr + len, run.len - len);

		*unit = rest.len > 0 ? leat_unit_find(rest) : NULL;
		if ((rest.len == 0 || *unit != NULL) && leat_double_parse(leat_span_make(run.ptr, len), number) == 0)
			return true;
	}
	return false;
}

/* After a number alone a unit may follow in the next run. */
static bool
parse_unit(struct parser *p, struct leat_gate_leaf *leaf)
{
	struct leat_span run = peek_run(p);

	if (run.len == 0)
		return true;
	leaf->unit = leat_unit_find(run);
	if (leaf->unit == NULL)
		return fail(p, "unknown unit");
	p->at += run.len;
	return true;
}

static void
take_word(struct leat_gate_leaf *leaf, struct leat_span word)
{
	leaf->word = word;
	leaf->as_switch = -1;
	if (leat_span_is_nocase(word, "on") || leat_span_is_nocase(word, "true"))
		leaf->as_switch = 1;
	if (leat_span_is_nocase(word, "off") || leat_span_is_nocase(word, "false"))
		leaf->as_switch = 0;
}

/* A number with its unit must fit the point; without one it is in the point's own unit. */
static bool
settle_unit(struct parser *p, struct leat_gate_leaf *leaf, size_t from)
{
	const struct leat_point_info *info = leat_point_find(leaf->point);
	const struct leat_unit *own = NULL;

	if (info != NULL && info->unit[0] != '\0')
		own = leat_unit_find(leat_span_of(info->unit));
	leaf->unit_written = leaf->unit != NULL;
	if (leaf->unit == NULL)
		leaf->unit = own;
	if (!leaf->unit_written || info == NULL || (own != NULL && leat_unit_same_dimension(own, leaf->unit)))
		return true;
	p->at = from;
	return fail(p, own != NULL ? "a unit of another dimension than the point's" : "a unit for a point that has none");
}

static bool
parse_right(struct parser *p, struct leat_gate_leaf *leaf)
{
	struct leat_span run = peek_run(p);
	size_t from = p->at;

	if (run.len == 0)
		return fail(p, "a number or word is due");
	if (begins_number(run) && split_number(run, &leaf->number, &leaf->unit)) {
		leaf->is_number = true;
		p->at += run.len;
		if (leaf->unit == NULL && !parse_unit(p, leaf))
			return false;
		return settle_unit(p, leaf, from);
	}
	if (leaf->op != LEAT_GATE_EQ && leaf->op != LEAT_GATE_NE)
		return fail(p, begins_number(run) ? "no number with a known unit" :
		    "a number is due (words are compared with = and != only)");
	/* A code such as 18/16/13 is a word; "40degX" is a slip. */
	if (begins_number(run) && leat_span_find(run, '/') == run.len)
		return fail(p, "no number with a known unit");
	take_word(leaf, run);
	p->at += run.len;
	return true;
}

/* [child:]point on the left. */
static bool
parse_left(struct parser *p, struct leat_gate_leaf *leaf)
{
	struct leat_span run = peek_run(p);

	if (run.len == 0)
		return fail(p, "a point name is due");
	if (begins_number(run))
		return fail(p, "a point name is due on the left, not a number");
	p->at += run.len;
	leaf->point = run;
	if (peek(p) != ':')
		return true;
	p->at++;
	leaf->child = run;
	leaf->point = peek_run(p);
	if (leaf->point.len == 0)
		return fail(p, "a point name is due after ':'");
	p->at += leaf->point.len;
	return true;
}

static bool
parse_test(struct parser *p)
{
	struct leat_gate *gate = p->gate;
	struct leat_gate_leaf leaf = { .as_switch = -1 };

	if (!parse_left(p, &leaf) || !parse_op(p, &leaf.op))
		return false;
	if (leaf.op != LEAT_GATE_ON && !parse_right(p, &leaf))
		return false;
	if (leat_grow(&gate->leaf, &gate->leaf_cap, gate->leaves + 1, sizeof(*gate->leaf)) != 0) {
		leat_error_memory(p->err);
		return false;
	}
	gate->leaf[gate->leaves] = leaf;
	return add_step(p, (int)gate->leaves++);
}

static bool
parse_not(struct parser *p)
{
	bool ok;

	if (peek(p) != '!' && peek(p) != '(')
		return parse_test(p);
	if (p->depth >= LEAT_GATE_DEPTH)
		return fail(p, "more than 64 brackets and negations within each other");
	p->depth++;
	if (p->text.ptr[p->at++] == '!') {
		ok = parse_not(p) && add_step(p, LEAT_GATE_NOT);
	} else {
		ok = parse_or(p);
		if (ok && peek(p) != ')')
			ok = fail(p, "')' or an operator is due");
		else
			p->at++;
	}
	p->depth--;
	return ok;
}

static bool
take_operator(struct parser *p, char c)
{
	if (peek(p) != c)
		return false;
	p->at++;
	return true;
}

static bool
parse_and(struct parser *p)
{
	bool ok = parse_not(p);

	while (ok && take_operator(p, '&')) {
		if (peek(p) == '&')
			return fail(p, "one '&' too many");
		ok = parse_not(p) && add_step(p, LEAT_GATE_AND);
	}
	return ok;
}

static bool
parse_or(struct parser *p)
{
	bool ok = parse_and(p);

	while (ok && take_operator(p, '|')) {
		if (peek(p) == '|')
			return fail(p, "one '|' too many");
		ok = parse_and(p) && add_step(p, LEAT_GATE_OR);
	}
	return ok;
}

static struct leat_gate *
gate_new(struct leat_span text, struct leat_error *err)
{
	struct leat_gate *gate = calloc(1, sizeof(*gate));

	if (gate != NULL)
		gate->memory = calloc(1, sizeof(*gate->memory));
	if (gate == NULL || gate->memory == NULL) {
		leat_gate_free(gate);
		leat_error_memory(err);
		return NULL;
	}
	gate->text = text;
	return gate;
}

struct leat_gate *
leat_gate_compile(struct leat_span text, struct leat_error *err)
{
	struct parser p = { .text = text, .err = err };
	bool ok;

	if (leat_span_trim(text).len == 0) {
		leat_error_set(err, "an empty condition");
		return NULL;
	}
	if (text.len > TEXT_LENGTH) {
		leat_error_set(err, "a condition longer than %d bytes", TEXT_LENGTH);
		return NULL;
	}
	p.gate = gate_new(text, err);
	if (p.gate == NULL)
		return NULL;
	ok = parse_or(&p);
	if (ok && peek(&p) == ')')
		ok = fail(&p, "')' without its '('");
	else if (ok && p.at < text.len)
		ok = fail(&p, "'&', '|' or the end is due");
	if (!ok) {
		leat_gate_free(p.gate);
		return NULL;
	}
	return p.gate;
}

void
leat_gate_free(struct leat_gate *gate)
{
	if (gate == NULL)
		return;
	if (gate->memory != NULL) {
		free(gate->memory->found);
		free(gate->memory->word);
		free(gate->memory);
	}
	free(gate->leaf);
	free(gate->step);
	free(gate);
}

bool
leat_gate_asks(const struct leat_gate *gate, struct leat_span point)
{
	for (size_t i = 0; gate != NULL && i < gate->leaves; i++)
		if (leat_span_eq(gate->leaf[i].point, point))
			return true;
	return false;
}

struct leat_span
leat_gate_text(const struct leat_gate *gate)
{
	return gate->text;
}

bool
leat_gate_operand(const struct leat_gate *gate, size_t index, struct leat_gate_operand *out)
{
	const struct leat_gate_leaf *leaf;

	if (index >= gate->leaves)
		return false;
	leaf = &gate->leaf[index];
	*out = (struct leat_gate_operand){
		.child = leaf->child, .point = leaf->point, .word = leaf->word,
		.is_switch_word = leaf->word.len > 0 && leaf->as_switch >= 0, .is_number = leaf->is_number,
		.unit = leaf->unit_written ? leaf->unit : NULL
	};
	return true;
}
