/* Any bytes as a condition: no crash, every refusal says why, and its value follows the logic of three values. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "stream/gate.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char rows[] =
    "time,asset,point,value,unit,quality\n"
    "2025-11-03T04:00:00Z,NM,state,grinding,,good\n"
    "2025-11-03T04:00:00Z,NM,oil-temperature,47.5,degC,good\n"
    "2025-11-03T04:00:00Z,NM,t,on,,good\n"
    "2025-11-03T04:00:00Z,NM,f,0,,good\n"
    "2025-11-03T04:00:00Z,NM/pump-a,pump-running,on,,good\n";

/* The readings that conditions are tried on; made once. */
static struct leat_current *
sample(void)
{
	static struct leat_current current;
	static struct leat_readings *in;
	struct leat_error err = { 0 };
	struct leat_reading r;
	char path[] = "/tmp/leat-gate-XXXXXX", *file = path;
	int fd;

	if (in != NULL)
		return &current;
	fd = mkstemp(path);
	if (fd < 0 || write(fd, rows, sizeof(rows) - 1) != (ssize_t)(sizeof(rows) - 1) || close(fd) != 0)
		abort();
	in = leat_readings_open(&file, 1, &err);
	if (unlink(path) != 0 || in == NULL)
		abort();
	leat_current_init(&current, in, NULL);
	while (leat_readings_next(in, &r, &err) == LEAT_READINGS_ROW)
		if (leat_current_put(&current, &r) != 0)
			abort();
	return &current;
}

static enum leat_truth
value_of(struct leat_gate *gate, struct leat_current *current)
{
	struct leat_time now = { 1762142400, 0 };	/* 2025-11-03T04:00:00Z */
	enum leat_truth first = leat_gate_eval(gate, current, 0, now);

	if (first != LEAT_FALSE && first != LEAT_TRUE && first != LEAT_UNKNOWN)
		abort();
	/* What was remembered gives the same answer. */
	if (leat_gate_eval(gate, current, 0, now) != first)
		abort();
	return first;
}

/* A condition and its opposite: "!(x)" must swap true and false and keep unknown. */
static void
check_opposite(const char *text, size_t size, enum leat_truth truth)
{
	static const enum leat_truth opposite[] = { LEAT_TRUE, LEAT_FALSE, LEAT_UNKNOWN };
	char *negated = malloc(size + 4);
	struct leat_gate *gate;

	if (negated == NULL)
		abort();
	memcpy(negated, "!(", 2);
	memcpy(negated + 2, text, size);
	memcpy(negated + 2 + size, ")", 2);
	gate = leat_gate_compile(leat_span_make(negated, size + 3), NULL);
	/* It may be too deep or too long by now. */
	if (gate != NULL && value_of(gate, sample()) != opposite[truth])
		abort();
	leat_gate_free(gate);
	free(negated);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct leat_span text = leat_span_make((const char *)data, size);
	struct leat_error err = { 0 };
	struct leat_gate *gate = leat_gate_compile(text, &err);

	if (gate == NULL) {
		if (err.text[0] == '\0')
			abort();
		return 0;
	}
	check_opposite(text.ptr, text.len, value_of(gate, sample()));
	leat_gate_free(gate);
	return 0;
}
