/*
 * dump_zone FROM TO ZONE...: every change of offset in the years from FROM up to, not including, TO.
 *
 * Two lines a change, one second before it and at it: zone, UTC, local date and time, seconds east of UTC.
 */
#include <stdio.h>
#include <stdlib.h>

#include "base/zone.h"

static void
print_at(const struct leat_zone *zone, int64_t sec)
{
	struct leat_time t = { sec, 0 };
	struct leat_civil utc = leat_civil_from_time(t, 0);
	struct leat_civil local = leat_zone_civil(zone, t);

	printf("%s %04d-%02d-%02dT%02d:%02d:%02d %04d-%02d-%02dT%02d:%02d:%02d %ld\n", leat_zone_name(zone), utc.year,
	    utc.month, utc.day, utc.hour, utc.minute, utc.second, local.year, local.month, local.day, local.hour,
	    local.minute, local.second, (long)leat_zone_offset(zone, sec));
}

static int
dump(const char *name, int from_year, int to_year)
{
	struct leat_civil from = { .year = from_year, .month = 1, .day = 1 };
	struct leat_civil to = { .year = to_year, .month = 1, .day = 1 };
	struct leat_error err = { 0 };
	struct leat_zone *zone = leat_zone_open(leat_span_of(name), &err);
	struct leat_time t = leat_time_from_civil(&from, 0);
	struct leat_time end = leat_time_from_civil(&to, 0);

	if (zone == NULL) {
		fprintf(stderr, "dump_zone: %s: '%s'\n", err.text, err.value);
		return -1;
	}
	t.sec--;
	for (;;) {
		t = leat_zone_next_change(zone, t);
		if (leat_time_is_none(t) || leat_time_cmp(t, end) >= 0)
			break;
		print_at(zone, t.sec - 1);
		print_at(zone, t.sec);
	}
	leat_zone_free(zone);
	return 0;
}

int
main(int argc, char **argv)
{
	int status = 0;
	int i;

	if (argc < 4) {
		fprintf(stderr, "usage: dump_zone FROM TO ZONE...\n");
		return 2;
	}
	for (i = 3; i < argc; i++)
		if (dump(argv[i], (int)strtol(argv[1], NULL, 10), (int)strtol(argv[2], NULL, 10)) != 0)
			status = 1;
	return fflush(stdout) != 0 ? 2 : status;
}
