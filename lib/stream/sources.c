/* sources.csv: what is pinned for each kind of export. */
#include <stdlib.h>

#include "stream/sources.h"

enum column { SOURCE, FILES, SHAPE, SEPARATOR, DECIMAL, DATES, ZONE, ENCODING, QUALITY, PREFER, COLUMNS };

static const char *const columns[COLUMNS] = {
	"source", "files", "shape", "separator", "decimal", "dates", "zone", "encoding", "quality", "prefer"
};

const struct leat_table_form leat_sources_form = { "sources", columns, COLUMNS, 2 };

/* A word of a table and the byte it stands for. */
struct mark {
	const char *word;
	char byte;
};

static const struct mark separators[] = {
	{ ",", ',' }, { ";", ';' }, { "|", '|' }, { "comma", ',' }, { "semicolon", ';' }, { "tab", '\t' }, { "pipe", '|' }
};

static const struct mark decimals[] = { { "point", '.' }, { ".", '.' }, { "comma", ',' }, { ",", ',' } };

static const char *const shapes[] = { "auto", "wide", "long", "paired" };
static const char *const qualities[] = { "words", "opc", "ua", "uncertain" };

const char *
leat_shape_name(enum leat_shape shape)
{
	return shapes[shape];
}

int
leat_shape_find(struct leat_span word)
{
	for (size_t i = 0; i < sizeof(shapes) / sizeof(shapes[0]); i++)
		if (leat_span_is(word, shapes[i]))
			return (int)i;
	return -1;
}

static char
mark_find(const struct mark *mark, size_t count, struct leat_span word)
{
	for (size_t i = 0; i < count; i++)
		if (leat_span_is(word, mark[i].word))
			return mark[i].byte;
	return '\0';
}

char
leat_separator_find(struct leat_span word)
{
	return mark_find(separators, sizeof(separators) / sizeof(separators[0]), word);
}

char
leat_decimal_find(struct leat_span word)
{
	return mark_find(decimals, sizeof(decimals) / sizeof(decimals[0]), word);
}

static int
take_marks(const struct leat_table *t, size_t i, struct leat_source *row, struct leat_error *err)
{
	struct leat_span separator = leat_table_cell(t, i, SEPARATOR), decimal = leat_table_cell(t, i, DECIMAL);

	row->separator = leat_separator_find(separator);
	row->decimal = leat_decimal_find(decimal);
	if (separator.len > 0 && row->separator == '\0')
		return leat_table_fault(t, i, SEPARATOR, err, "not one of comma, semicolon, tab, pipe");
	if (decimal.len > 0 && row->decimal == '\0')
		return leat_table_fault(t, i, DECIMAL, err, "not one of point, comma");
	return 0;
}

static int
take_words(const struct leat_table *t, size_t i, struct leat_source *row, struct leat_error *err)
{
	struct leat_span shape = leat_table_cell(t, i, SHAPE), dates = leat_table_cell(t, i, DATES);
	struct leat_span encoding = leat_table_cell(t, i, ENCODING);
	int found;

	found = shape.len > 0 ? leat_shape_find(shape) : LEAT_SHAPE_AUTO;
	if (found < 0)
		return leat_table_fault(t, i, SHAPE, err, "not one of wide, long, paired");
	row->shape = (enum leat_shape)found;
	row->dates = dates.len > 0 ? leat_form_find(dates) : (enum leat_form)0;
	if (dates.len > 0 && row->dates == 0)
		return leat_table_fault(t, i, DATES, err, "not one of iso, dmy, mdy, named, epoch, epoch-ms, serial");
	found = encoding.len > 0 ? leat_encoding_find(encoding) : LEAT_ENCODING_AUTO;
	if (found < 0)
		return leat_table_fault(t, i, ENCODING, err, "not one of auto, utf-8, utf-16le, utf-16be, windows-1252");
	row->encoding = (enum leat_encoding)found;
	return 0;
}

static int
take_rest(const struct leat_table *t, size_t i, struct leat_source *row, struct leat_error *err)
{
	struct leat_span zone = leat_table_cell(t, i, ZONE), prefer = leat_table_cell(t, i, PREFER);
	struct leat_error why = { 0 };
	bool known = false;

	row->quality = leat_table_cell(t, i, QUALITY);
	for (size_t n = 0; n < sizeof(qualities) / sizeof(qualities[0]); n++)
		known = known || leat_span_is(row->quality, qualities[n]);
	if (row->quality.len > 0 && !known)
		return leat_table_fault(t, i, QUALITY, err, "not one of words, opc, ua, uncertain");
	row->prefer_last = leat_span_is(prefer, "last");
	if (prefer.len > 0 && !row->prefer_last)
		return leat_table_fault(t, i, PREFER, err, "not the word last");
	if (zone.len == 0)
		return 0;
	row->zone = leat_zone_open(zone, &why);
	return row->zone != NULL ? 0 : leat_table_fault(t, i, ZONE, err, why.text);
}

static int
take_row(struct leat_sources *sources, size_t i, struct leat_error *err)
{
	const struct leat_table *t = sources->table;
	struct leat_source *row;

	if (leat_grow(&sources->row, &sources->cap, i + 1, sizeof(*sources->row)) != 0)
		return leat_error_memory(err);
	row = &sources->row[i];
	sources->count = i + 1;
	row->line = leat_table_line(t, i);
	row->source = leat_table_cell(t, i, SOURCE);
	row->files = leat_table_cell(t, i, FILES);
	if (row->source.len == 0)
		return leat_table_fault(t, i, SOURCE, err, "empty: a source needs a name");
	if (row->files.len == 0)
		return leat_table_fault(t, i, FILES, err, "empty: write the file names, such as mill-*.csv");
	if (take_marks(t, i, row, err) != 0 || take_words(t, i, row, err) != 0)
		return -1;
	return take_rest(t, i, row, err);
}

int
leat_sources_make(struct leat_sources *sources, struct leat_table *table, struct leat_error *err)
{
	memset(sources, 0, sizeof(*sources));
	sources->table = table;
	for (size_t i = 0; table != NULL && i < leat_table_rows(table); i++) {
		if (take_row(sources, i, err) != 0) {
			sources->table = NULL;
			leat_sources_free(sources);
			return -1;
		}
	}
	return 0;
}

int
leat_sources_read(struct leat_sources *sources, const char *path, bool *absent, struct leat_error *err)
{
	struct leat_table *table;

	memset(sources, 0, sizeof(*sources));
	if (leat_table_optional(&table, path, &leat_sources_form, absent, err) == 0 &&
	    leat_sources_make(sources, table, err) == 0)
		return 0;
	leat_table_free(table);
	return -1;
}

const struct leat_source *
leat_sources_for(const struct leat_sources *sources, const char *path)
{
	const char *slash = strrchr(path, '/');
	struct leat_span last = leat_span_of(slash != NULL ? slash + 1 : path);

	for (size_t i = 0; i < sources->count; i++) {
		struct leat_span glob = sources->row[i].files;

		if (leat_glob(glob, leat_span_of(path)) || leat_glob(glob, last))
			return &sources->row[i];
	}
	return NULL;
}

void
leat_sources_free(struct leat_sources *sources)
{
	for (size_t i = 0; i < sources->count; i++)
		leat_zone_free(sources->row[i].zone);
	leat_table_free(sources->table);
	free(sources->row);
	memset(sources, 0, sizeof(*sources));
}
