/*
 * Findings made by hand, for the tests of lib/tell.  Times are minutes after 2025-02-03T00:00:00Z; NEVER is none.
 */
#ifndef LEAT_TESTS_FINDINGS_H
#define LEAT_TESTS_FINDINGS_H

#include "unit.h"

#include "stream/finding.h"

#define NEVER INT32_MIN

struct made {
	const char *asset, *point, *rule;
	enum leat_status status;
	const char *value, *limit;
	int since, until, due, shelved;
};

static inline struct leat_time
made_time(int minute)
{
	/* 2025-02-03T00:00:00Z. */
	return minute == NEVER ? LEAT_TIME_NONE : (struct leat_time){ INT64_C(1738540800) + (int64_t)minute * 60, 0 };
}

/* Fills all (zeroed) with count findings; made_free gives the memory back. */
static inline void
make_findings(struct leat_findings *all, const struct made *m, size_t count)
{
	all->item = calloc(count + 1, sizeof(*all->item));
	assert_non_null(all->item);
	all->count = count;
	for (size_t i = 0; i < count; i++) {
		all->item[i] = (struct leat_finding){
			.time = made_time(m[i].until != NEVER ? m[i].until : m[i].since != NEVER ? m[i].since : 0),
			.asset = leat_span_of(m[i].asset), .point = leat_span_of(m[i].point), .rule = leat_span_of(m[i].rule),
			.status = m[i].status, .value = leat_span_of(m[i].value), .unit = LEAT_SPAN("bar"),
			.limit = leat_span_of(m[i].limit), .since = made_time(m[i].since), .until = made_time(m[i].until),
			.due = made_time(m[i].due), .shelved = made_time(m[i].shelved)
		};
	}
}

static inline void
made_free(struct leat_findings *all)
{
	free(all->item);
	memset(all, 0, sizeof(*all));
}

#endif
