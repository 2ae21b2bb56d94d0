/*
 * Derive filters over readings given as text: random streams, and the rows that come out.
 */
#ifndef LEAT_TESTS_DERIVED_ROWS_H
#define LEAT_TESTS_DERIVED_ROWS_H

#include "base/mem.h"
#include "random.h"
#include "stream/reading.h"
#include "table_file.h"

#define ROWS_HEADER "time,asset,point,value,unit,quality\n"

/* Rows of two mills at uneven times: numbers, switches, set points, bad and uncertain readings, silences. */
static inline char *
random_rows(uint64_t *seed, int count)
{
	static const char *const series[] = {
		"NM,pressure,%d.%d,bar", "NM,pressure-setpoint,%d.%d,bar", "NM,round-pressure,%d.%d,bar", "MM,pressure,%d.%d,bar"
	};
	static const char *const quality[] = { "good", "good", "good", "good", "uncertain", "bad" };
	struct leat_buf text = { 0 };
	struct leat_time t = { 1762142400, 0 };
	char time[LEAT_TIME_MAX], row[128];

	assert_int_equal(leat_buf_printf(&text, ROWS_HEADER), 0);
	for (int i = 0; i < count; i++) {
		unsigned what = random_below(seed, 5);

		if (random_below(seed, 3) > 0)
			t.sec += random_below(seed, 20) == 0 ? 3000 : random_below(seed, 300);
		leat_time_write(time, t);
		if (what == 4)
			snprintf(row, sizeof(row), "NM,mill-running,%s,", random_below(seed, 2) ? "on" : "off");
		else
			snprintf(row, sizeof(row), series[what], 100 + (int)random_below(seed, 30), (int)random_below(seed, 10));
		assert_int_equal(leat_buf_printf(&text, "%s,%s,%s\n", time, row, quality[random_below(seed, 6)]), 0);
	}
	assert_int_equal(leat_buf_add(&text, "", 1), 0);
	return text.data;
}

/* The part of a text with rows up to a time, as its rows write it. */
static inline size_t
rows_up_to(const char *text, const char *time)
{
	const char *p = strchr(text, '\n') + 1;

	while (*p != '\0' && strncmp(p, time, 20) <= 0)
		p = strchr(p, '\n') + 1;
	return (size_t)(p - text);
}

#endif
