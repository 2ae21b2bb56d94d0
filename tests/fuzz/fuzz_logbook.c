/*
 * Any bytes as a logbook: entries come in order of time, every line left out has its reason, and what can be logged again
 * reads back as it was.
 */
#include <stdint.h>
#include <stdlib.h>

#include "upkeep/logbook.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void
require(bool holds)
{
	if (!holds)
		abort();
}

static void
broken(void *user, const struct leat_error *err, bool cut)
{
	(void)cut;
	require(err->text[0] != '\0');
	++*(long long *)user;
}

static bool
same(const struct leat_log_entry *a, const struct leat_log_entry *b)
{
	return leat_time_cmp(a->time, b->time) == 0 && a->event == b->event && a->unit == b->unit &&
	    leat_span_eq(a->asset, b->asset) && leat_span_eq(a->task, b->task) && leat_span_eq(a->point, b->point) &&
	    leat_span_eq(a->found, b->found) && leat_span_eq(a->left, b->left) && leat_span_eq(a->item, b->item) &&
	    leat_span_eq(a->who, b->who) && leat_span_eq(a->note, b->note);
}

/* Logs the entries that may be logged in a new book, and reads that. */
static void
log_again(const struct leat_logbook *book)
{
	static const struct leat_log_rules rules = { .now = { INT64_MIN, 0 } };
	long long none = 0;
	struct leat_table_lines lines = { broken, &none };
	struct leat_buf text = { 0 };
	struct leat_logbook again = { 0 };
	struct leat_error err = { 0 };
	size_t at = 0, entries = 0;

	require(leat_buf_add(&text, LEAT_LOGBOOK_HEADER "\n", sizeof(LEAT_LOGBOOK_HEADER)) == 0);
	for (size_t i = 0; i < book->count; i++) {
		if (leat_log_entry_check(&book->entry[i], &rules, &err) != 0) {
			require(err.text[0] != '\0');
			continue;
		}
		require(leat_log_entry_line(&text, &book->entry[i]) == 0);
		entries++;
	}
	require(leat_logbook_text(&again, "again", leat_buf_span(&text), NULL, LEAT_TIME_NONE, &lines, &err) == 0);
	require(none == 0 && again.broken == 0 && again.count == entries);
	for (size_t i = 0; i < book->count; i++)
		if (leat_log_entry_check(&book->entry[i], &rules, &err) == 0)
			require(same(&book->entry[i], &again.entry[at++]));
	leat_logbook_free(&again);
	leat_buf_free(&text);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	long long told = 0;
	struct leat_table_lines lines = { broken, &told };
	struct leat_logbook book = { 0 };
	struct leat_error err = { 0 };

	if (leat_logbook_text(&book, "fuzz", leat_span_make((const char *)data, size), NULL, LEAT_TIME_NONE, &lines,
	    &err) != 0) {
		require(err.text[0] != '\0');
		return 0;
	}
	require(book.broken == told);
	for (size_t i = 1; i < book.count; i++)
		require(leat_time_cmp(book.entry[i - 1].time, book.entry[i].time) <= 0);
	log_again(&book);
	leat_logbook_free(&book);
	return 0;
}
