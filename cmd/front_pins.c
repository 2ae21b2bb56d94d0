/* Options that pin the form of foreign exports. */
#include <stdlib.h>

#include "front_pins.h"

static const char *source_name;
static struct leat_zone *zone;

int
front_word(const char *option, int value, int nothing, const char *words)
{
	if (value == nothing)
		front_misuse("option '--%s': not one of %s: '%s'", option, words, optarg);
	return value;
}

static const struct leat_zone *
open_zone(void)
{
	struct leat_error err = { .line = 0 };

	leat_zone_free(zone);
	zone = leat_zone_open(leat_span_of(optarg), &err);
	if (zone == NULL)
		front_misuse("option '--zone': %s", err.text);
	return zone;
}

bool
front_pin(int code, struct leat_export_form *form)
{
	struct leat_span arg = leat_span_of(optarg);

	switch (code) {
	case FRONT_DATES:
		form->dates = (enum leat_form)front_word("dates", (int)leat_form_find(arg), 0,
		    "iso, dmy, mdy, named, epoch, epoch-ms, serial");
		return true;
	case FRONT_DECIMAL:
		form->decimal = (char)front_word("decimal", leat_decimal_find(arg), 0, "point, comma");
		return true;
	case FRONT_ENCODING:
		form->encoding = (enum leat_encoding)front_word("encoding", leat_encoding_find(arg), -1,
		    "utf-8, utf-16le, utf-16be, windows-1252");
		return true;
	case FRONT_SEPARATOR:
		form->separator = (char)front_word("separator", leat_separator_find(arg), 0,
		    "comma, semicolon, tab, pipe");
		return true;
	case FRONT_SHAPE:
		form->shape = (enum leat_shape)front_word("shape", leat_shape_find(arg), -1, "wide, long, paired");
		return true;
	case FRONT_SOURCE:
		source_name = optarg;
		return true;
	case FRONT_ZONE:
		form->zone = open_zone();
		return true;
	default:
		return false;
	}
}

const struct leat_source *
front_sources(struct leat_sources *sources)
{
	const char *path = front_table(FRONT_SOURCES);
	struct leat_error err = { .line = 0 };
	bool absent = false;

	if (leat_sources_read(sources, path != NULL ? path : "", &absent, &err) != 0) {
		front_error(&err);
		exit(front_end());
	}
	if (absent && front_opt.table[FRONT_SOURCES - FRONT_TABLE] != NULL) {
		front_fail("no such table: '%s'", path);
		exit(front_end());
	}
	if (absent && path != NULL)
		front_absent(path);
	for (size_t i = 0; source_name != NULL && i < sources->count; i++) {
		if (leat_span_is(sources->row[i].source, source_name))
			return &sources->row[i];
	}
	if (source_name != NULL)
		front_misuse("option '--source': sources.csv has no such source: '%s'", source_name);
	return NULL;
}

const char *
front_folder(void)
{
	const char *folder = getenv("TMPDIR");

	return folder != NULL && *folder != '\0' ? folder : "/tmp";
}

struct leat_time
front_now_for_stamps(void)
{
	/* 9999-12-31T23:59:59Z */
	return front_opt.now_data ? (struct leat_time){ INT64_C(253402300799), 0 } : front_now();
}

void
front_pins_free(void)
{
	leat_zone_free(zone);
	zone = NULL;
}
