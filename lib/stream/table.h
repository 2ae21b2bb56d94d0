/*
 * Works tables: CSV that a person keeps in a spreadsheet of any country.
 *
 * The separator is the one of ',', ';' and TAB under which the known header appears; a decimal comma is read where ';'
 * or TAB separates.  UTF-8 with or without byte order mark, UTF-16 and Windows-1252, LF and CRLF are read.  Optional
 * columns may be missing; an unknown column is an error unless it is "source", "note" or begins with "x-".  Lines that
 * are blank or hold separators only are skipped; every other fault has its file, line and column.
 */
#ifndef LEAT_STREAM_TABLE_H
#define LEAT_STREAM_TABLE_H

#include "base/instant.h"
#include "base/mem.h"
#include "base/units.h"
#include "base/zone.h"

struct leat_table;

/* Columns a table may have; the first required of them must be there. */
struct leat_table_form {
	const char *name;		/* "limits": for messages and --print-defaults */
	const char *const *column;
	size_t columns;
	size_t required;
};

/* Reads a table into memory.  NULL with err.  A file that does not exist gives NULL too, with *absent set true (when
 * absent is not NULL) and err untouched. */
struct leat_table *leat_table_read(const char *path, const struct leat_table_form *form, bool *absent,
    struct leat_error *err);
/* Reads a table that need not be there: 0 with *table, which is NULL where the file does not exist (*absent is then true;
 * absent may be NULL); -1 with err, *table NULL. */
int leat_table_optional(struct leat_table **table, const char *path, const struct leat_table_form *form, bool *absent,
    struct leat_error *err) LEAT_MUST_USE;
/* As leat_table_read, from CSV text compiled in; name is for messages. */
struct leat_table *leat_table_text(const char *name, const char *text, const struct leat_table_form *form,
    struct leat_error *err);

/* For a table that is appended to line by line: what is told of a line at fault, which is then left out.  cut: a writing
 * that broke off can have left it, being a line without line end, with fewer fields than the header, or with
 * a quote that does not end. */
struct leat_table_lines {
	void (*broken)(void *user, const struct leat_error *err, bool cut);
	void *user;
};

/* As leat_table_read, but reading on after a line at fault, which is told and left out; lines NULL: none may be. */
struct leat_table *leat_table_read_on(const char *path, const struct leat_table_form *form,
    const struct leat_table_lines *lines, bool *absent, struct leat_error *err);
/* As leat_table_text, but line by line: a line with another number of fields than the header, or without line end, is at
 * fault too, and text is UTF-8.  Only a fault of the header is an error. */
struct leat_table *leat_table_text_lines(const char *name, struct leat_span text, const struct leat_table_form *form,
    const struct leat_table_lines *lines, struct leat_error *err);
void leat_table_free(struct leat_table *t);

size_t leat_table_rows(const struct leat_table *t);
const char *leat_table_file(const struct leat_table *t);
long leat_table_line(const struct leat_table *t, size_t row);

/* A cell without outer blanks; empty when the column is missing.  Valid until the table is freed. */
struct leat_span leat_table_cell(const struct leat_table *t, size_t row, size_t column);
/* The index of a cell's word among n words: -1 where it is none of them. */
int leat_table_word(const struct leat_table *t, size_t row, size_t column, const char *const *word, int n);

/* Takes a row out; those after it move up. */
void leat_table_drop(struct leat_table *t, size_t row);

/* What the table was read by. */
const struct leat_table_form *leat_table_form_of(const struct leat_table *t);

/* Typed cells: 1 when there is a value, 0 when the cell is empty (*out untouched), -1 with err at file:line:column. */
int leat_table_number(const struct leat_table *t, size_t row, size_t column, double *out, struct leat_error *err);
int leat_table_unit(const struct leat_table *t, size_t row, size_t column, const struct leat_unit **out,
    struct leat_error *err);
int leat_table_duration(const struct leat_table *t, size_t row, size_t column, double *seconds, struct leat_error *err);
/* RFC 3339, or a local date, or local date and time (ISO, or dotted day first), in zone. A local time that never was is
 * an error; one that came twice is its first. */
int leat_table_time(const struct leat_table *t, size_t row, size_t column, const struct leat_zone *zone,
    struct leat_time *out, struct leat_error *err);

/* Reads a time as those cells are written.  0, or -1 with *why saying what is wrong. */
int leat_table_parse_time(struct leat_span text, const struct leat_zone *zone, struct leat_time *out, const char **why)
    LEAT_MUST_USE;

/* Reads a number as the table's cells are written: with a decimal comma too where ';' or TAB separates.  0, or -1 when
 * text is none. */
int leat_table_parse_number(const struct leat_table *t, struct leat_span text, double *out) LEAT_MUST_USE;

/* Writes the number in that cell with a decimal point, as streams have it; other texts stay. */
void leat_table_decimal_point(struct leat_table *t, size_t row, size_t column);

/* How the file is written: its separator, the number of fields of its header, and the column of the form that a field is,
 * or -1 for a remark. */
char leat_table_separator(const struct leat_table *t);
size_t leat_table_fields(const struct leat_table *t);
int leat_table_field_column(const struct leat_table *t, size_t field);

/* Fills err for a fault in that cell; returns -1. */
int leat_table_fault(const struct leat_table *t, size_t row, size_t column, struct leat_error *err, const char *text);

#endif
