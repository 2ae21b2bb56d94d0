/*
 * Finding columns by name, and what a name may not hold.
 */
#include "stream/rows.h"

#include <stdio.h>

/* "no column 'x'; the header has: a, b, c".  The error cuts a long list, and marks the cut. */
static int
missing(const struct leat_row *header, const char *name, struct leat_error *err)
{
	char list[sizeof(err->text)], one[64];
	size_t i, len = 0;

	list[0] = '\0';
	for (i = 0; i < header->count && len < sizeof(list) - 1; i++) {
		leat_mask(one, sizeof(one), header->field[i]);
		len += (size_t)snprintf(list + len, sizeof(list) - len, "%s%s", i > 0 ? ", " : "", one);
	}
	leat_error_set(err, "no column '%s'; the header has: %s", name, list);
	return -1;
}

int
leat_columns_find(const struct leat_row *header, const char *const *name, size_t count, size_t required, int *index,
    struct leat_error *err)
{
	size_t i, j;

	for (i = 0; i < count; i++) {
		index[i] = -1;
		for (j = 0; j < header->count; j++) {
			if (!leat_span_is(header->field[j], name[i]))
				continue;
			if (index[i] >= 0)
				return leat_error_set(err, "column '%s' comes twice in the header", name[i]);
			index[i] = (int)j;
		}
	}
	for (i = 0; i < required; i++) {
		if (index[i] < 0)
			return missing(header, name[i], err);
	}
	return 0;
}

const char *
leat_field_fault(struct leat_span field)
{
	size_t i;

	if (!leat_utf8_valid(field))
		return "malformed UTF-8";
	for (i = 0; i < field.len; i++) {
		unsigned char c = (unsigned char)field.ptr[i];

		/* C1 is U+0080..U+009F: 0xC2 and a byte below 0xA0. */
		if (c < 0x20 || c == 0x7F ||
		    (c == 0xC2 && i + 1 < field.len && (unsigned char)field.ptr[i + 1] < 0xA0))
			return "control character";
	}
	return NULL;
}
