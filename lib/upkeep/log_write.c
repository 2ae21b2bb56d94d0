/* Writing the logbook. */
#include "stream/out.h"
#include "upkeep/log_file.h"
#include "upkeep/log_write.h"

/* The first line of text, without line end and byte order mark. */
static struct leat_span
first_line(struct leat_span text)
{
	static const char mark[] = "\xEF\xBB\xBF";

	if (leat_span_starts(text, mark))
		text = leat_span_make(text.ptr + 3, text.len - 3);
	text.len = leat_span_find(text, '\n');
	if (text.len > 0 && text.ptr[text.len - 1] == '\r')
		text.len--;
	return text;
}

/* What must come before a new line: the header or the rest of it, or the end of a line that was cut. */
static int
begin(const char *path, struct leat_span text, struct leat_buf *out, bool *cut, struct leat_error *err)
{
	static const char header[] = LEAT_LOGBOOK_HEADER "\n";

	*cut = false;
	if (leat_logbook_unbegun(text))
		return leat_buf_add(out, header + text.len, sizeof(header) - 1 - text.len) == 0 ? 0 : leat_error_memory(err);
	if (!leat_span_is(first_line(text), LEAT_LOGBOOK_HEADER)) {
		leat_error_set(err, "not a logbook as leat-log writes it: its first line is due to be " LEAT_LOGBOOK_HEADER
		    " (move it away, and --import it)");
		return leat_error_at(err, path, 1);
	}
	*cut = text.ptr[text.len - 1] != '\n';
	return !*cut || leat_buf_add(out, "\n", 1) == 0 ? 0 : leat_error_memory(err);
}

int
leat_log_append(const char *path, const struct leat_log_entry *e, bool *cut, struct leat_error *err)
{
	struct leat_buf text = { 0 }, line = { 0 };
	struct leat_log_file file;
	int result = -1;

	if (leat_log_file_lock(&file, path, err) != 0)
		return -1;
	if (leat_log_file_read(&file, &text, err) == 0 && begin(path, leat_buf_span(&text), &line, cut, err) == 0) {
		if (leat_log_entry_line(&line, e) != 0)
			leat_error_memory(err);
		else
			result = leat_log_file_append(&file, leat_buf_span(&line), err);
	}
	leat_log_file_unlock(&file);
	leat_buf_free(&text);
	leat_buf_free(&line);
	return result;
}

/* Is it a new line?  Notes it.  -1 when memory is out. */
static int
note_line(struct leat_names *lines, const struct leat_log_entry *e, struct leat_buf *line)
{
	size_t count = lines->count;

	leat_buf_reset(line);
	if (leat_log_entry_line(line, e) != 0 || leat_names_put(lines, leat_buf_span(line)) == LEAT_NAME_NONE)
		return -1;
	return lines->count > count;
}

/* Adds what is new of the sheet to all. */
static int
add_new(const struct leat_logbook *book, const struct leat_logbook *sheet, struct leat_buf *all,
    struct leat_log_imported *done, struct leat_error *err)
{
	struct leat_names lines = { 0 };
	struct leat_buf line = { 0 };
	int result = 0;

	for (size_t i = 0; i < book->count && result >= 0; i++)
		result = note_line(&lines, &book->entry[i], &line);
	for (size_t i = 0; i < sheet->count && result >= 0; i++) {
		result = note_line(&lines, &sheet->entry[i], &line);
		if (result == 0)
			done->known++;
		else if (result > 0) {
			done->added++;
			result = leat_buf_add_span(all, leat_buf_span(&line));
		}
	}
	leat_names_free(&lines);
	leat_buf_free(&line);
	return result >= 0 ? 0 : leat_error_memory(err);
}

/* Puts the new file together, from the old text and the sheet. */
static int
put_together(const char *path, const struct leat_logbook *sheet, const struct leat_zone *zone, struct leat_buf *all,
    struct leat_log_imported *done, struct leat_error *err)
{
	struct leat_buf head = { 0 };
	struct leat_logbook book = { 0 };
	int result = -1;

	if (begin(path, leat_buf_span(all), &head, &done->cut, err) == 0 &&
	    leat_logbook_text(&book, path, leat_buf_span(all), zone, LEAT_TIME_NONE, NULL, err) == 0) {
		if (leat_buf_add_span(all, leat_buf_span(&head)) != 0)
			leat_error_memory(err);
		else
			result = add_new(&book, sheet, all, done, err);
		leat_logbook_free(&book);
	}
	leat_buf_free(&head);
	return result;
}

int
leat_log_import(const char *path, const struct leat_logbook *sheet, const struct leat_zone *zone,
    struct leat_log_imported *done, struct leat_error *err)
{
	struct leat_buf all = { 0 };
	struct leat_log_file file;
	int result = -1;

	memset(done, 0, sizeof(*done));
	if (leat_log_file_lock(&file, path, err) != 0)
		return -1;
	if (leat_log_file_read(&file, &all, err) == 0 && put_together(path, sheet, zone, &all, done, err) == 0)
		result = done->added == 0 ? 0 : leat_log_file_replace(&file, leat_buf_span(&all), err);
	leat_log_file_unlock(&file);
	leat_buf_free(&all);
	return result;
}

#define SHELVED_HEADER "asset,point,rule,until,who,why\n"

/* One field, quoted where the file's own separator asks for it; ';' and TAB are not among what leat_out_field_to sees. */
static int
add_field(struct leat_buf *out, struct leat_span text, char separator)
{
	struct leat_buf quoted = { 0 };
	int result = -1;

	if (separator == ',' || leat_span_find(text, separator) == text.len)
		return leat_out_field_to(out, text);
	if (leat_buf_add(&quoted, "\"", 1) == 0) {
		result = 0;
		for (size_t i = 0; i < text.len && result == 0; i++)
			result = text.ptr[i] == '"' ? leat_buf_add(&quoted, "\"\"", 2) : leat_buf_add(&quoted, &text.ptr[i], 1);
	}
	if (result == 0)
		result = leat_buf_add(&quoted, "\"", 1);
	if (result == 0)
		result = leat_buf_add_span(out, leat_buf_span(&quoted));
	leat_buf_free(&quoted);
	return result;
}

/* The row in the order of the table's columns; t is NULL for a new file. */
static int
add_shelf(struct leat_buf *out, const struct leat_table *t, const struct leat_shelf *shelf)
{
	char until[LEAT_TIME_MAX];
	const struct leat_span cell[] = {
		shelf->asset, shelf->point, shelf->rule, leat_span_make(until, leat_time_write(until, shelf->until)), shelf->who,
		shelf->why
	};
	size_t fields = t != NULL ? leat_table_fields(t) : sizeof(cell) / sizeof(cell[0]);
	char separator = t != NULL ? leat_table_separator(t) : ',';

	for (size_t i = 0; i < fields; i++) {
		int column = t != NULL ? leat_table_field_column(t, i) : (int)i;

		if (i > 0 && leat_buf_add(out, &separator, 1) != 0)
			return -1;
		if (column >= 0 && add_field(out, cell[column], separator) != 0)
			return -1;
	}
	return leat_buf_add(out, "\n", 1);
}

static bool
is_ascii(struct leat_span s)
{
	for (size_t i = 0; i < s.len; i++)
		if ((unsigned char)s.ptr[i] >= 0x80)
			return false;
	return true;
}

/* Adds the row to the bytes of the table. */
static int
put_on_shelf(const char *path, struct leat_buf *all, const struct leat_shelf *shelf, const struct leat_zone *zone,
    struct leat_error *err)
{
	struct leat_shelves shelves;
	int result;

	if (leat_shelves_read(&shelves, path, zone, NULL, err) != 0)
		return -1;
	/* UTF-16 shows itself by its NUL bytes; leat_utf8_valid refuses them too. */
	if (all->len > 0 && !leat_utf8_valid(leat_buf_span(all)) && (memchr(all->data, '\0', all->len) != NULL ||
	    !is_ascii(shelf->asset) || !is_ascii(shelf->point) || !is_ascii(shelf->who) || !is_ascii(shelf->why))) {
		leat_shelves_free(&shelves);
		leat_error_set(err, "not in UTF-8: save it as CSV UTF-8 first");
		return leat_error_at(err, path, 0);
	}
	result = all->data[all->len - 1] != '\n' ? leat_buf_add(all, "\n", 1) : 0;
	if (result == 0)
		result = add_shelf(all, shelves.table, shelf);
	leat_shelves_free(&shelves);
	return result == 0 ? 0 : leat_error_memory(err);
}

int
leat_log_shelve(const char *path, const struct leat_shelf *shelf, const struct leat_zone *zone, struct leat_error *err)
{
	struct leat_buf all = { 0 };
	struct leat_log_file file;
	int result = -1;

	if (leat_log_file_lock(&file, path, err) != 0)
		return -1;
	if (leat_log_file_read(&file, &all, err) != 0)
		result = -1;
	else if (all.len == 0) {
		result = leat_buf_add(&all, SHELVED_HEADER, sizeof(SHELVED_HEADER) - 1);
		if (result != 0 || (result = add_shelf(&all, NULL, shelf)) != 0)
			leat_error_memory(err);
	} else
		result = put_on_shelf(path, &all, shelf, zone, err);
	if (result == 0)
		result = leat_log_file_replace(&file, leat_buf_span(&all), err);
	leat_log_file_unlock(&file);
	leat_buf_free(&all);
	return result;
}
