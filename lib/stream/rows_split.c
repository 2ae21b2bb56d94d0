/*
 * Splitting a record: directly where it is plain, else by libcsv.
 *
 * libcsv is given one record at a time and finished after it, so that whatever is odd in one record cannot reach the
 * next.  After an error it must not be finished: it is made anew.
 */
#include "stream/splitter.h"

#include <csv.h>
#include <stdlib.h>

#include "base/mem.h"
#include "base/word.h"
#include "stream/rows.h"

/* libcsv grows its field buffer by this many bytes at a time. */
#define BLOCK 4096u
#define OPTIONS (CSV_STRICT | CSV_STRICT_FINI)

struct leat_splitter {
	struct csv_parser csv;
	char separator;
	bool direct;		/* plain records do without libcsv */
	bool keeps_blanks;	/* the blank function is set */
	struct leat_span *field;
	size_t count, cap;
	const char *next;	/* where the next field of a plain record begins; NULL: copy to text */
	struct leat_buf text;	/* fields of a quoted record */
	bool memory_out;
};

/* libcsv strips outer blanks of bare fields unless nothing is a blank. */
static int
never_blank(unsigned char c)
{
	(void)c;
	return 0;
}

static int
parser_init(struct leat_splitter *splitter)
{
	if (csv_init(&splitter->csv, OPTIONS) != 0)
		return -1;
	csv_set_delim(&splitter->csv, (unsigned char)splitter->separator);
	csv_set_blk_size(&splitter->csv, BLOCK);
	splitter->keeps_blanks = false;
	return 0;
}

struct leat_splitter *
leat_splitter_new(char separator, bool direct)
{
	struct leat_splitter *splitter = calloc(1, sizeof(*splitter));

	if (splitter == NULL)
		return NULL;
	splitter->separator = separator;
	splitter->direct = direct;
	if (parser_init(splitter) != 0) {
		free(splitter);
		return NULL;
	}
	return splitter;
}

/* libcsv hands out its own buffer, which the next field overwrites.  A plain field stands unchanged in the record, so
 * its length is all that is needed; others are copied.  libcsv cannot be stopped from here: what is too much is only
 * counted. */
static void
on_field(void *bytes, size_t len, void *user)
{
	struct leat_splitter *splitter = user;
	struct leat_span *field;

	if (splitter->count == splitter->cap && splitter->cap < LEAT_FIELD_LIMIT &&
	    leat_grow(&splitter->field, &splitter->cap, splitter->count + 1, sizeof(*field)) != 0)
		splitter->memory_out = true;
	splitter->count++;
	if (splitter->count > splitter->cap)
		return;
	field = &splitter->field[splitter->count - 1];
	field->len = len;
	if (splitter->next != NULL) {
		field->ptr = splitter->next;
		splitter->next += len + 1;
		return;
	}
	/* Room for the whole record was made before, so the text does not move. */
	field->ptr = splitter->text.data + splitter->text.len;
	if (leat_buf_add(&splitter->text, bytes, len) != 0)
		splitter->memory_out = true;
}

/* Sets libcsv up for one record.  Its blank test costs a call a byte, so it is set only where it matters. */
static int
prepare(struct leat_splitter *splitter, const struct leat_record *record)
{
	if (record->blanks != splitter->keeps_blanks) {
		csv_set_space_func(&splitter->csv, record->blanks ? never_blank : NULL);
		splitter->keeps_blanks = record->blanks;
	}
	/* Growing a long field block by block would take quadratic time. */
	csv_set_blk_size(&splitter->csv, record->bytes.len < BLOCK ? BLOCK : record->bytes.len + 1);
	splitter->count = 0;
	splitter->memory_out = false;
	splitter->next = record->quoted ? NULL : record->bytes.ptr;
	if (!record->quoted)
		return 0;
	leat_buf_reset(&splitter->text);
	return leat_buf_reserve(&splitter->text, record->bytes.len);
}

/* Adds the field that ends at end to those of the record; what is too much is only counted. */
static inline int
add_field(struct leat_splitter *splitter, const char *end)
{
	if (splitter->count == splitter->cap && splitter->cap < LEAT_FIELD_LIMIT &&
	    leat_grow(&splitter->field, &splitter->cap, splitter->count + 1, sizeof(*splitter->field)) != 0)
		return -1;
	if (splitter->count < splitter->cap)
		splitter->field[splitter->count] = leat_span_make(splitter->next, (size_t)(end - splitter->next));
	splitter->count++;
	splitter->next = end + 1;
	return 0;
}

/* A record without a quote is what stands between separators, which are looked for in eight bytes at a time. */
static enum leat_split
split_plain(struct leat_splitter *splitter, struct leat_span bytes, struct leat_fields *fields)
{
	const char *p = bytes.ptr, *end = p + bytes.len;
	uint64_t word, marks;

	splitter->count = 0;
	splitter->next = p;
	for (; p < end; p += sizeof(word)) {
		word = (size_t)(end - p) >= sizeof(word) ? leat_word_load(p) : leat_word_short(p, (size_t)(end - p));
		for (marks = leat_word_all_equal(word, splitter->separator); marks != 0; marks &= marks - 1)
			if (add_field(splitter, p + leat_word_first(marks)) != 0)
				return LEAT_SPLIT_MEMORY;
	}
	if (add_field(splitter, end) != 0)
		return LEAT_SPLIT_MEMORY;
	fields->field = splitter->field;
	fields->count = splitter->count;
	return LEAT_SPLIT_DONE;
}

enum leat_split
leat_splitter_split(struct leat_splitter *splitter, const struct leat_record *record, struct leat_fields *fields)
{
	size_t len = record->bytes.len;
	int error;

	if (splitter->direct && !record->quoted)
		return split_plain(splitter, record->bytes, fields);
	if (prepare(splitter, record) != 0)
		return LEAT_SPLIT_MEMORY;
	if (csv_parse(&splitter->csv, record->bytes.ptr, len, on_field, NULL, splitter) != len ||
	    csv_fini(&splitter->csv, on_field, NULL, splitter) != 0) {
		error = csv_error(&splitter->csv);
		csv_free(&splitter->csv);
		if (parser_init(splitter) != 0 || error != CSV_EPARSE)
			return LEAT_SPLIT_MEMORY;
		return LEAT_SPLIT_BAD;
	}
	if (splitter->memory_out)
		return LEAT_SPLIT_MEMORY;
	/* The fields of a plain record and the separators between them are all of it. */
	if (splitter->count == 0 || (splitter->next != NULL && splitter->count <= splitter->cap &&
	    splitter->next != record->bytes.ptr + len + 1))
		return LEAT_SPLIT_BAD;
	fields->field = splitter->field;
	fields->count = splitter->count;
	return LEAT_SPLIT_DONE;
}

void
leat_splitter_free(struct leat_splitter *splitter)
{
	if (splitter == NULL)
		return;
	csv_free(&splitter->csv);
	leat_buf_free(&splitter->text);
	free(splitter->field);
	free(splitter);
}
