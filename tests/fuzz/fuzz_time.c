/*
 * Fuzzes the readers of times: RFC 3339, foreign forms, durations, zone names and rules, and TZif bytes.
 *
 * The first line of a text goes to each reader; bytes that begin with "TZif" go to the reader of zone data.  What is
 * taken must also make sense: a time that was written is read back, an offset is within its bounds.
 */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/foreign.h"
#include "base/zone_private.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
must(bool holds)
{
	if (!holds)
		abort();
}

static void
check_written(struct leat_time t)
{
	char text[LEAT_TIME_MAX];
	struct leat_time back;
	size_t len = leat_time_write(text, t);

	must(len < sizeof(text) && len == strlen(text));
	must(leat_time_parse(leat_span_make(text, len), &back) == 0);
	must(leat_time_cmp(t, back) == 0);
}

static void
check_zone(const struct leat_zone *zone, int64_t sec)
{
	struct leat_time t = { sec, 0 };
	struct leat_time next, at[2];
	struct leat_civil c;
	int32_t east = leat_zone_offset(zone, sec);
	int count;

	must(east >= LEAT_ZONE_EAST_MIN && east <= LEAT_ZONE_EAST_MAX);
	c = leat_zone_civil(zone, t);
	must(leat_civil_valid(&c));
	count = leat_zone_instants(zone, &c, at);
	must(count >= 0 && count <= 2);
	must(count < 2 || leat_time_cmp(at[0], at[1]) < 0);
	next = leat_zone_next_change(zone, t);
	if (leat_time_is_none(next))
		return;
	must(leat_zone_offset(zone, next.sec - 1) != leat_zone_offset(zone, next.sec));
	if (sec > LEAT_ZONE_SEC_MIN)
		must(leat_zone_offset(zone, next.sec - 1) == east);
}

static void
check_zone_everywhere(const struct leat_zone *zone)
{
	static const int64_t instants[] = {
		INT64_MIN, LEAT_ZONE_SEC_MIN, LEAT_ZONE_SEC_MIN + 100000, -1, 0, 1738555506, 4102444800,
		INT64_C(16725225600), LEAT_ZONE_SEC_MAX - 100000, LEAT_ZONE_SEC_MAX, INT64_MAX
	};
	size_t i;

	for (i = 0; i < sizeof(instants) / sizeof(instants[0]); i++)
		check_zone(zone, instants[i]);
	for (i = 0; i < zone->count; i += 1 + zone->count / 16) {
		check_zone(zone, zone->change[i].at - 1);
		check_zone(zone, zone->change[i].at);
	}
}

static void
try_zone_file(struct leat_span bytes)
{
	struct leat_zone *zone = calloc(1, sizeof(*zone));
	struct leat_error err;

	if (zone == NULL)
		return;
	if (leat_zone_file_read(zone, bytes, &err) == 0)
		check_zone_everywhere(zone);
	leat_zone_free(zone);
}

static void
try_zone_name(struct leat_span text)
{
	struct leat_error err;
	struct leat_zone *zone = leat_zone_open(text, &err);

	if (zone == NULL)
		return;
	must(leat_span_is(text, leat_zone_name(zone)));
	check_zone_everywhere(zone);
	leat_zone_free(zone);
}

/* Reads under each form; the set of forms says which of them take the text. */
static void
try_foreign(struct leat_span text, const struct leat_zone *zone)
{
	struct leat_local_clock clock = { .zone = zone };
	unsigned forms = leat_foreign_forms(text);
	struct leat_foreign f;
	struct leat_time t;
	unsigned bit;
	int status;

	for (bit = LEAT_FORM_ISO; bit <= LEAT_FORM_CLOCK; bit <<= 1) {
		status = leat_foreign_parse(text, (enum leat_form)bit, &f);
		must((status == 0) == ((forms & bit) != 0));
		if (status != 0)
			continue;
		must(f.is_instant || f.has_date || f.has_clock);
		if (f.is_instant) {
			check_written(f.instant);
		} else if (f.has_date) {
			must(leat_civil_valid(&f.civil));
			if (leat_local_resolve(&clock, &f.civil, &t) != LEAT_LOCAL_GAP)
				must(leat_time_cmp(clock.last, t) == 0);
		}
	}
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct leat_span text = leat_span_make((const char *)data, size);
	struct leat_zone *zone;
	struct leat_duration d;
	struct leat_time t, moved;

	if (leat_span_starts(text, "TZif")) {
		try_zone_file(text);
		return 0;
	}
	text.len = leat_span_find(text, '\n');
	if (leat_time_parse(text, &t) == 0)
		check_written(t);
	if (leat_duration_parse(text, &d) == 0) {
		moved = leat_time_shift((struct leat_time){ 1738555506, 0 }, &d, -1);
		if (!leat_time_is_none(moved))
			check_written(moved);
	}
	try_zone_name(text);
	zone = leat_zone_open(LEAT_SPAN("CET-1CEST,M3.5.0,M10.5.0/3"), NULL);
	must(zone != NULL);
	try_foreign(text, zone);
	leat_zone_free(zone);
	return 0;
}
