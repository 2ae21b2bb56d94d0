/*
 * Writing the logbook and shelved.csv.
 */
#ifndef LEAT_UPKEEP_LOG_WRITE_H
#define LEAT_UPKEEP_LOG_WRITE_H

#include "stream/shelved.h"
#include "upkeep/logbook.h"

/* Appends one entry, which is complete and checked, to the logbook at path; a new one gets its header.  *cut: the file
 * ended within a line, and the entry was begun on a fresh one.  0, or -1 with err and the logbook as it was. */
int leat_log_append(const char *path, const struct leat_log_entry *e, bool *cut, struct leat_error *err) LEAT_MUST_USE;

struct leat_log_imported {
	size_t added, known;	/* entries; known: an identical one is there already */
	bool cut;
};

/* Adds all entries of a sheet in their order, or none.  They are complete and checked. */
int leat_log_import(const char *path, const struct leat_logbook *sheet, const struct leat_zone *zone,
    struct leat_log_imported *done, struct leat_error *err) LEAT_MUST_USE;

/* Adds a row to shelved.csv at path, written as the rest of the file is (separator, order of columns). */
int leat_log_shelve(const char *path, const struct leat_shelf *shelf, const struct leat_zone *zone,
    struct leat_error *err) LEAT_MUST_USE;

#endif
