/*
 * Private to reading.c, merge.c and reading_write.c: an open set of readings files.
 */
#ifndef LEAT_STREAM_READING_PRIVATE_H
#define LEAT_STREAM_READING_PRIVATE_H

#include "stream/reading.h"

enum { COL_TIME, COL_ASSET, COL_POINT, COL_VALUE, COL_UNIT, COL_QUALITY, COL_COUNT };

extern const char *const leat_readings_column[COL_COUNT];

/* One file and its row read ahead. */
struct leat_readings_file {
	struct leat_rows *rows;
	struct leat_buf header;		/* bytes of the header, to know it again */
	size_t width;			/* its fields */
	int column[COL_COUNT];		/* position of each column */
	int *place;			/* owned: where each of the extra columns stands, or -1 */
	size_t *further;		/* owned: by field, the number of its extra column */
	bool direct;			/* its columns are the output's, in that order */

	struct leat_row row;		/* the row read ahead */
	struct leat_reading reading;	/* made from it */

	struct leat_time last;		/* time of the last row, LEAT_TIME_NONE before the first */
	char time_text[LEAT_TIME_MAX];	/* its text: rows of one time are many */
	size_t time_len;
	uint32_t series;		/* of the last row */
	uint32_t *follower;		/* owned: by series, the one that came after it the last time */
	size_t followers;
};

struct leat_readings {
	struct leat_readings_file *file;
	size_t count;
	size_t due;			/* the file to be read on before the next row is known; count: none */
	size_t primed;			/* files that have been read into the heap */
	size_t *heap;			/* file numbers, the earliest row at 0 */
	size_t heap_len;
	struct leat_names assets, points;
	struct leat_pairs series;
	struct leat_names extra;	/* further columns of the output */
	struct leat_readings_count counted;
	struct leat_span rejected;
	bool any_order;			/* files one after another, times may go back */
	bool failed;
	struct leat_error failure;	/* when failed */
};

/* Reads one file on into file->reading. */
enum leat_readings_status leat_readings_file_next(struct leat_readings *in, size_t number, struct leat_error *err);

#endif
