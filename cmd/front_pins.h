/*
 * What the commands that read foreign exports share: options that pin the form, sources.csv, the folder for temporary
 * files.
 */
#ifndef LEAT_CMD_FRONT_PINS_H
#define LEAT_CMD_FRONT_PINS_H

#include "front.h"
#include "stream/export.h"

/* Long options of these commands; they number their own from FRONT_PIN_OWN. */
enum front_pin_code {
	FRONT_DATES = FRONT_OWN,
	FRONT_DECIMAL,
	FRONT_ENCODING,
	FRONT_SEPARATOR,
	FRONT_SHAPE,
	FRONT_SOURCE,		/* --source NAME, kept for front_source */
	FRONT_ZONE,
	FRONT_PIN_OWN
};

/* Takes the option's value (optarg) into the form; misuse when it is not one of its words.  False when the code is
 * not one of the above. */
bool front_pin(int code, struct leat_export_form *form);

/* One of the words that an option may have: value, or misuse listing the words when it is nothing. */
int front_word(const char *option, int value, int nothing, const char *words);

/* Reads sources.csv as front_tables does.  The row that --source names (misuse when there is none), or NULL. */
const struct leat_source *front_sources(struct leat_sources *sources);

/* Where temporary files are made: TMPDIR, else /tmp. */
const char *front_folder(void);

/* The time after which stamps are clock faults: front_now(), but under --now data, where it is not known before the
 * end, a time after all others. */
struct leat_time front_now_for_stamps(void);

/* Frees what the options keep (the zone), once no form uses it. */
void front_pins_free(void);

#endif
