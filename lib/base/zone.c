/*
 * Time zones: opening by name, and every question about offsets.
 */
#include "base/zone.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/zone_private.h"

#define DAY 86400

#define ZONE_FOLDER "/usr/share/zoneinfo/"

/* Longer than any name or rule in use, short enough for a path on the stack. */
#define NAME_MAX_LEN 128

/* Zone data are a few kilobytes; anything of this size is something else. */
#define FILE_MAX_LEN (256 * 1024)

int
leat_zone_reserve(struct leat_zone *zone, size_t need)
{
	struct leat_zone_change *grown;

	if (need <= zone->cap)
		return 0;
	if (need > SIZE_MAX / sizeof(*grown))
		return -1;
	grown = realloc(zone->change, need * sizeof(*grown));
	if (grown == NULL)
		return -1;
	zone->change = grown;
	zone->cap = need;
	return 0;
}

void
leat_zone_append(struct leat_zone *zone, int64_t at, int32_t east)
{
	if (zone->count > 0 && zone->change[zone->count - 1].at == at)
		zone->count--;
	if (east == (zone->count > 0 ? zone->change[zone->count - 1].east : zone->before))
		return;
	zone->change[zone->count++] = (struct leat_zone_change){ at, east };
}

/* Reads "+01:00", the whole span.  0 or -1. */
static int
read_offset(struct leat_span text, int32_t *east)
{
	const char *p = text.ptr;
	size_t i;

	if (text.len != 6 || (p[0] != '+' && p[0] != '-') || p[3] != ':')
		return -1;
	for (i = 1; i < 6; i++)
		if (i != 3 && (p[i] < '0' || p[i] > '9'))
			return -1;
	*east = ((p[1] - '0') * 10 + p[2] - '0') * 3600 + ((p[4] - '0') * 10 + p[5] - '0') * 60;
	if (*east > 23 * 3600 + 59 * 60 || p[4] > '5')
		return -1;
	if (p[0] == '-')
		*east = -*east;
	return 0;
}

/* May the name stand behind the folder of zone data?  Parts that are empty or begin with a point could lead out of it
 * or to hidden files. */
static bool
name_safe(struct leat_span name)
{
	bool part_start = true;
	size_t i;
	char c;

	for (i = 0; i < name.len; i++) {
		c = name.ptr[i];
		if (part_start && (c == '/' || c == '.'))
			return false;
		if (!((c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_' ||
		    c == '+' || c == '-' || c == '.' || c == '/'))
			return false;
		part_start = c == '/';
	}
	return name.len > 0 && name.len <= NAME_MAX_LEN && !part_start;
}

/* Reads up to size bytes.  Returns their number, or -1 with errno. */
static ssize_t
read_all(int fd, char *dst, size_t size)
{
	size_t len = 0;
	ssize_t got;

	while (len < size) {
		got = read(fd, dst + len, size - len);
		if (got < 0 && errno == EINTR)
			continue;
		if (got < 0)
			return -1;
		if (got == 0)
			break;
		len += (size_t)got;
	}
	return (ssize_t)len;
}

/* The bytes of a regular file of sensible size, for the caller to free; NULL with errno (0: it is no such file). */
static char *
load_file(const char *path, size_t *len)
{
	struct stat st;
	char *bytes = NULL;
	ssize_t got;
	int saved = 0;
	int fd;

	/* Opening must not wait where the name is that of a pipe. */
	fd = open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC);
	if (fd < 0)
		return NULL;
	if (fstat(fd, &st) != 0) {
		saved = errno;
	} else if (S_ISREG(st.st_mode) && st.st_size > 0 && st.st_size <= FILE_MAX_LEN) {
		bytes = malloc((size_t)st.st_size);
		got = bytes != NULL ? read_all(fd, bytes, (size_t)st.st_size) : -1;
		if (got < 0) {
			saved = errno;
			free(bytes);
			bytes = NULL;
		} else {
			*len = (size_t)got;
		}
	}
	(void)close(fd);
	errno = saved;
	return bytes;
}

/* Fills the zone from the zone data of that safe name.  1 when there is none of that name, else 0 or -1. */
static int
open_named(struct leat_zone *zone, struct leat_span name, struct leat_error *err)
{
	char path[sizeof(ZONE_FOLDER) + NAME_MAX_LEN] = ZONE_FOLDER;
	size_t len = 0;
	char *bytes;
	int status;

	memcpy(path + sizeof(ZONE_FOLDER) - 1, name.ptr, name.len);
	path[sizeof(ZONE_FOLDER) - 1 + name.len] = '\0';
	bytes = load_file(path, &len);
	if (bytes == NULL && (errno == ENOENT || errno == ENOTDIR))
		return 1;
	if (bytes == NULL && errno != 0)
		return leat_error_errno(err, "read the zone data", errno);
	if (bytes == NULL)
		return leat_error_set(err, "not the name of a time zone");
	status = leat_zone_file_read(zone, leat_span_make(bytes, len), err);
	free(bytes);
	return status;
}

/* In a POSIX rule "UTC+1" means one hour west of UTC, and almost everyone who writes it means east. */
static bool
reads_backwards(struct leat_span name, const struct leat_zone_rule *rule)
{
	return rule->standard_east != 0 && !rule->has_summer &&
	    (leat_span_eq(leat_span_make(name.ptr, 3), LEAT_SPAN("UTC")) ||
	    leat_span_eq(leat_span_make(name.ptr, 3), LEAT_SPAN("GMT")));
}

static int
open_rule(struct leat_zone *zone, struct leat_span name, struct leat_error *err)
{
	struct leat_zone_rule rule;

	if (name.len > NAME_MAX_LEN || leat_zone_rule_parse(name, &rule) != 0) {
		if (access(ZONE_FOLDER, F_OK) != 0)
			return leat_error_set(err, "not an offset or a rule, and this system has no zone data: "
			    "install them or give an offset such as +01:00");
		return leat_error_set(err, "not a time zone: give a name such as Europe/Berlin, an offset such as "
		    "+01:00 or a rule such as CET-1CEST,M3.5.0,M10.5.0/3");
	}
	if (reads_backwards(name, &rule))
		return leat_error_set(err, "as a rule this reads west of UTC: give an offset such as +01:00");
	if (leat_zone_reserve(zone, LEAT_ZONE_RULE_CHANGES) != 0)
		return leat_error_memory(err);
	leat_zone_rule_apply(zone, &rule, LEAT_ZONE_ALWAYS);
	return 0;
}

static int
open_any(struct leat_zone *zone, struct leat_span name, struct leat_error *err)
{
	int status;

	if (leat_span_eq(name, LEAT_SPAN("UTC")) || leat_span_eq(name, LEAT_SPAN("Z")) ||
	    read_offset(name, &zone->before) == 0)
		return 0;
	if (name_safe(name)) {
		status = open_named(zone, name, err);
		if (status <= 0)
			return status;
	}
	return open_rule(zone, name, err);
}

struct leat_zone *
leat_zone_open(struct leat_span name, struct leat_error *err)
{
	struct leat_zone *zone = calloc(1, sizeof(*zone));

	if (zone != NULL)
		zone->name = malloc(name.len + 1);
	if (zone == NULL || zone->name == NULL) {
		leat_error_memory(err);
		leat_zone_free(zone);
		return NULL;
	}
	if (name.len > 0)
		memcpy(zone->name, name.ptr, name.len);
	zone->name[name.len] = '\0';
	if (open_any(zone, name, err) != 0) {
		leat_error_value(err, name);
		leat_zone_free(zone);
		return NULL;
	}
	return zone;
}

void
leat_zone_free(struct leat_zone *zone)
{
	if (zone == NULL)
		return;
	free(zone->change);
	free(zone->name);
	free(zone);
}

const char *
leat_zone_name(const struct leat_zone *zone)
{
	return zone->name;
}

/* The seconds to take off sec so that it falls within the table.  sec is first brought near the years that count. */
static int64_t
fold(const struct leat_zone *zone, int64_t *sec)
{
	int64_t cycles;

	if (*sec < LEAT_ZONE_SEC_MIN - 2 * DAY)
		*sec = LEAT_ZONE_SEC_MIN - 2 * DAY;
	if (*sec > LEAT_ZONE_SEC_MAX + 2 * DAY)
		*sec = LEAT_ZONE_SEC_MAX + 2 * DAY;
	if (!zone->cycles || (*sec < zone->cycle_start && !zone->cycles_back))
		return 0;
	cycles = (*sec - zone->cycle_start) / LEAT_ZONE_CYCLE;
	if (*sec - cycles * LEAT_ZONE_CYCLE < zone->cycle_start)
		cycles--;
	*sec -= cycles * LEAT_ZONE_CYCLE;
	return cycles * LEAT_ZONE_CYCLE;
}

/* How many changes are at or before sec. */
static size_t
changes_until(const struct leat_zone *zone, int64_t sec)
{
	size_t low = 0;
	size_t high = zone->count;
	size_t mid;

	while (low < high) {
		mid = low + (high - low) / 2;
		if (zone->change[mid].at <= sec)
			low = mid + 1;
		else
			high = mid;
	}
	return low;
}

/* The offset once count changes have been. */
static int32_t
east_after(const struct leat_zone *zone, size_t count)
{
	return count > 0 ? zone->change[count - 1].east : zone->before;
}

int32_t
leat_zone_offset(const struct leat_zone *zone, int64_t sec)
{
	(void)fold(zone, &sec);
	return east_after(zone, changes_until(zone, sec));
}

int
leat_zone_instants(const struct leat_zone *zone, const struct leat_civil *c, struct leat_time at[2])
{
	struct leat_time local = leat_time_from_civil(c, 0);
	int64_t folded, sec;
	size_t i;
	int found = 0;

	folded = fold(zone, &local.sec);
	/* The clocks may show c in any stretch of one offset that begins before the latest instant it could be and
	 * ends behind the earliest one. */
	for (i = changes_until(zone, local.sec - LEAT_ZONE_EAST_MAX); i <= zone->count && found < 2; i++) {
		if (i > 0 && zone->change[i - 1].at > local.sec - LEAT_ZONE_EAST_MIN)
			break;
		sec = local.sec - east_after(zone, i);
		if ((i == 0 || zone->change[i - 1].at <= sec) && (i == zone->count || sec < zone->change[i].at))
			at[found++] = (struct leat_time){ sec + folded, c->nsec };
	}
	return found;
}

struct leat_civil
leat_zone_civil(const struct leat_zone *zone, struct leat_time t)
{
	return leat_civil_from_time(t, leat_zone_offset(zone, t.sec));
}

struct leat_time
leat_zone_next_change(const struct leat_zone *zone, struct leat_time t)
{
	int64_t sec = t.sec;
	int64_t folded = fold(zone, &sec);
	size_t i = changes_until(zone, sec);

	if (i == zone->count || zone->change[i].at + folded > LEAT_ZONE_SEC_MAX)
		return LEAT_TIME_NONE;
	return (struct leat_time){ zone->change[i].at + folded, 0 };
}
