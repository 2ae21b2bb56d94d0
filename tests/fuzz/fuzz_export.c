/*
 * Any bytes as an export: no crash, no leak; a refusal says why, every line and cell is accounted for, stamps go back
 * only where that was foreseen, and a number read is a plain decimal.
 */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "base/number.h"
#include "stream/export.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
require(bool holds)
{
	if (!holds)
		abort();
}

static void
check_sample(const struct leat_export *ex, const struct leat_export_form *form, const struct leat_sample *s)
{
	char text[LEAT_NUMBER_MAX];
	struct leat_span unit;
	double value;
	size_t len;

	require(s->value.len > 0 && s->tag.len > 0 && s->line > 0);
	require(leat_span_eq(leat_export_tags(ex)->name[s->tag_id], s->tag));
	if (leat_export_cell(form, s->value, text, &len, &unit) != LEAT_CELL_TEXT)
		require(len > 0 && len == strlen(text) && strpbrk(text, ",eE+ ") == NULL &&
		    leat_double_parse(leat_span_make(text, len), &value) == 0);
	else
		require(len == 0);
}

static void
read_all(const char *path, const struct leat_zone *zone, enum leat_shape shape)
{
	struct leat_export_form form = { .encoding = LEAT_ENCODING_AUTO, .zone = zone, .shape = shape };
	struct leat_time now = { 1767225600, 0 };
	struct leat_time last = LEAT_TIME_NONE;
	struct leat_error err = { 0 };
	struct leat_export *ex = leat_export_open(path, &form, now, "/tmp", &err);
	enum leat_export_status status;
	struct leat_export_count c;
	struct leat_sample s;

	if (ex == NULL) {
		require(err.text[0] != '\0');
		return;
	}
	while ((status = leat_export_next(ex, &s, &err)) > LEAT_EXPORT_END) {
		if (status == LEAT_EXPORT_BAD) {
			require(err.text[0] != '\0' && err.line > 0 && leat_export_rejected(ex).len <= 4096);
			continue;
		}
		check_sample(ex, &form, &s);
		require(leat_time_diff(s.time, now) <= 86400);
		require(!form.in_order || leat_time_is_none(last) || leat_time_cmp(last, s.time) <= 0);
		last = s.time;
	}
	c = leat_export_counted(ex);
	require(status == LEAT_EXPORT_END || err.text[0] != '\0');
	if (status == LEAT_EXPORT_END) {
		require(c.lines == c.header + c.preamble + c.unit + c.data + c.footer + c.blank + c.rejected);
		require(c.cells == c.samples + c.blank_cells + c.rejected_cells);
	}
	leat_export_close(ex);
}

/* Exports are opened by path and read several times: through the number of an open file without a name, in
 * memory where the system has a place for that. */
static FILE *
scratch(void)
{
	char path[] = "/dev/shm/leat-export-XXXXXX";
	int fd = mkstemp(path);

	if (fd < 0)
		return tmpfile();
	return unlink(path) == 0 ? fdopen(fd, "w+") : NULL;
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static struct leat_zone *zone;
	static FILE *file;
	char path[32];

	if (file == NULL && ((file = scratch()) == NULL ||
	    (zone = leat_zone_open(LEAT_SPAN("CET-1CEST,M3.5.0,M10.5.0/3"), NULL)) == NULL))
		abort();
	rewind(file);
	if (ftruncate(fileno(file), 0) != 0 || fwrite(data, 1, size, file) != size || fflush(file) != 0)
		abort();
	snprintf(path, sizeof(path), "/dev/fd/%d", fileno(file));
	read_all(path, zone, LEAT_SHAPE_AUTO);
	read_all(path, zone, LEAT_SHAPE_LONG);
	return 0;
}
