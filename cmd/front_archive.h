/*
 * Where readings come from: the archive, and which of its months; files; or standard input.
 */
#ifndef LEAT_CMD_FRONT_ARCHIVE_H
#define LEAT_CMD_FRONT_ARCHIVE_H

#include "stream/archive.h"

/* The folder: given by the option --archive, else that of the works; NULL when neither is known.  The text lives as long
 * as the program. */
const char *front_archive(const char *given);

/* The time that an option gives: RFC 3339, or a date, which begins at midnight of UTC.  Misuse otherwise. */
struct leat_time front_time(const char *option, const char *text);

/* Adds the pattern in optarg to a list that has room for one an argument; the caller frees the list. */
void front_glob(const char ***list, size_t *count, int argc);

/* Files that are merged by time; none: standard input. */
struct front_stream {
	char *const *file;
	size_t count;
};

/* Streams that are read one after another. */
struct front_streams {
	struct front_stream *stream;
	size_t streams, cap;
	bool archive;			/* each stream is a month, in order of time */
	bool again;			/* they can be read twice */
	struct leat_archive_list list;	/* owns the paths of the months */
};

/* The files of the operands, as one stream; without any the months of the archive that is given or that of the works;
 * without that, standard input.  from is zero before.  False when that failed, and was said. */
bool front_streams_open(struct front_streams *from, const char *given, int count, char *const file[]);

/* Of an archive, only the months that can have rows from..to (both may be LEAT_TIME_NONE: open). */
void front_streams_months(struct front_streams *from, struct leat_time start, struct leat_time end);

/* The time of the last row of all, which stands for now under --now data; LEAT_TIME_NONE: there is none.  any_order: rows
 * need not be in order of time.  False when they cannot be read, and that was said. */
bool front_streams_last(const struct front_streams *from, bool any_order, struct leat_time *last);
void front_streams_free(struct front_streams *from);

#endif
