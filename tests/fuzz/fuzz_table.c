/* Any bytes as each of the works tables: no crash, no leak, and every refusal says why. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "stream/limits.h"
#include "stream/nameplate.h"
#include "stream/points.h"
#include "stream/shelved.h"
#include "stream/sources.h"
#include "stream/trends.h"
#include "upkeep/needs.h"
#include "upkeep/stops.h"
#include "upkeep/tasks.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const struct leat_span asset = { "NM/pump-a", 9 };
static const struct leat_span point = { "oil-temperature", 15 };

/* A refusal without words, and a success with an absent table, are faults of ours. */
static void
refused(const struct leat_error *err)
{
	if (err->text[0] == '\0')
		abort();
}

static void
as_limits(const char *path)
{
	struct leat_error err = { 0 };
	struct leat_limits limits;
	size_t index[4];

	if (leat_limits_read(&limits, path, NULL, &err) != 0) {
		refused(&err);
		return;
	}
	(void)leat_limits_for(&limits, asset, point, index, 4);
	leat_limits_free(&limits);
}

static void
as_trends(const char *path)
{
	struct leat_error err = { 0 };
	struct leat_trends trends;
	size_t index[4];

	if (leat_trends_read(&trends, path, NULL, &err) != 0) {
		refused(&err);
		return;
	}
	(void)leat_trends_for(&trends, asset, point, index, 4);
	leat_trends_free(&trends);
}

static void
as_points(const char *path)
{
	struct leat_error err = { 0 };
	struct leat_points points;
	struct leat_span word;

	if (leat_points_read(&points, path, NULL, &err) != 0) {
		refused(&err);
		return;
	}
	for (size_t i = 0; i < points.count; i++) {
		(void)leat_point_state(&points.row[i], point, &word);
		if (leat_points_hold(&points, points.row[i].asset, points.row[i].point) < 0)
			abort();
	}
	leat_points_free(&points);
}

static void
as_nameplate(const char *path)
{
	struct leat_error err = { 0 };
	struct leat_nameplate *np = leat_nameplate_read(path, NULL, &err);
	const struct leat_property *p;
	double value = 0;

	if (np == NULL) {
		refused(&err);
		return;
	}
	for (size_t i = 0; (p = leat_property_at(i)) != NULL; i++)
		if (leat_nameplate_number(np, asset, p->name, (struct leat_time){ 1762142400, 0 }, &value) == 0 &&
		    value != value)
			abort();
	leat_nameplate_free(np);
}

static void
as_rest(const char *path)
{
	struct leat_error err = { 0 };
	struct leat_sources sources;
	struct leat_shelves shelves;

	if (leat_sources_read(&sources, path, NULL, &err) == 0) {
		(void)leat_sources_for(&sources, "exports/NM_2025-11-03.csv");
		leat_sources_free(&sources);
	} else {
		refused(&err);
	}
	err.text[0] = '\0';
	if (leat_shelves_read(&shelves, path, NULL, NULL, &err) == 0) {
		(void)leat_shelves_until(&shelves, asset, point, point, (struct leat_time){ 1762142400, 0 });
		leat_shelves_free(&shelves);
	} else {
		refused(&err);
	}
}

/* Dates that a fixed interval has come in order, and none is the one before. */
static void
check_dates(const struct leat_task *task)
{
	int64_t day = 20000, next;

	if (!task->has_every || !task->every.fixed)
		return;
	for (int i = 0; i < 4; i++, day = next) {
		next = leat_interval_next(&task->every, day);
		if (next == LEAT_DAY_NONE)
			return;
		if (next <= day || leat_interval_previous(&task->every, next) >= next)
			abort();
	}
}

static void
as_upkeep(const char *path)
{
	struct leat_error err = { 0 };
	struct leat_tasks tasks;
	struct leat_stops stops;
	struct leat_parts parts;

	if (leat_tasks_read(&tasks, path, NULL, &err) == 0) {
		for (size_t i = 0; i < tasks.count; i++) {
			(void)leat_task_needs(&tasks.row[i], "stop");
			check_dates(&tasks.row[i]);
			if (!(tasks.row[i].people > 0) || tasks.row[i].duration_s < 0)
				abort();
		}
		leat_tasks_free(&tasks);
	} else {
		refused(&err);
	}
	err.text[0] = '\0';
	if (leat_stops_read(&stops, path, NULL, NULL, &err) == 0)
		leat_stops_free(&stops);
	else
		refused(&err);
	err.text[0] = '\0';
	if (leat_parts_read(&parts, path, NULL, &err) == 0) {
		(void)leat_parts_find(&parts, asset);
		leat_parts_free(&parts);
	} else {
		refused(&err);
	}
}

/* Tables are read by path, through the number of an open file; a file without a name leaves nothing behind.  In memory
 * where the system has a place for that: truncating a file on disk thousands of times takes a minute. */
static FILE *
scratch(void)
{
	char path[] = "/dev/shm/leat-table-XXXXXX";
	int fd = mkstemp(path);

	if (fd < 0)
		return tmpfile();
	return unlink(path) == 0 ? fdopen(fd, "w+") : NULL;
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static FILE *file;
	char path[32];

	if (file == NULL && (file = scratch()) == NULL)
		abort();
	rewind(file);
	if (ftruncate(fileno(file), 0) != 0 || fwrite(data, 1, size, file) != size || fflush(file) != 0)
		abort();
	snprintf(path, sizeof(path), "/dev/fd/%d", fileno(file));
	as_limits(path);
	as_trends(path);
	as_points(path);
	as_nameplate(path);
	as_rest(path);
	as_upkeep(path);
	return 0;
}
