/*
 * Private to reading.c, merge.c and reading_write.c: an open set of readings files.
 */
#ifndef LEAT_STREAM_READING_PRIVATE_H
#define LEAT_STREAM_READING_PRIVATE_H

#include "stream/reading.h"

enum { COL_TIME, COL_ASSET, COL_POINT, COL_VALUE, COL_UNIT, COL_QUALITY, COL_COUNT };

extern const char *const leat_readings_column[COL_COUNT];

/* What the rows of a series have in common, as they stood in the last one that went the long way. */
#define LEAT_SHAPE_HEAD 64u
#define LEAT_SHAPE_TAIL 24u
struct leat_readings_shape {
	uint32_t asset_id, point_id;
	uint8_t head_len, tail_len;	/* tail_len 0: there is none, or it would not fit */
	uint8_t asset_len, unit_len;
	uint8_t end_len;		/* of the line end */
	uint8_t quality;
	uint32_t group;			/* 0: its rows are all handed out; else a number in heard */
	char head[LEAT_SHAPE_HEAD];	/* "asset,point," */
	char tail[LEAT_SHAPE_TAIL];	/* ",unit,quality" and the line end */
};

/* The series that came after a series in a file, the last time and before that. */
struct leat_readings_next {
	uint32_t last, before;
};

/* One file and its row read ahead. */
struct leat_readings_file {
	struct leat_rows *rows;
	struct leat_buf header;		/* bytes of the header, to know it again */
	size_t width;			/* its fields */
	int column[COL_COUNT];		/* position of each column */
	int *place;			/* owned: where each of the extra columns stands, or -1 */
	size_t *further;		/* owned: by field, the number of its extra column */
	bool direct;			/* its columns are the output's, in that order */
	bool quick;			/* it has the six columns alone, in their order */

	struct leat_row row;		/* the row read ahead */
	struct leat_row plain;		/* the same of one that was not split: no fields */
	struct leat_reading reading;	/* made from it */

	struct leat_time last;		/* time of the last row, LEAT_TIME_NONE before the first */
	char time_text[LEAT_TIME_MAX + 1];	/* its text, and a comma: rows of one time are many */
	size_t time_len;
	uint32_t series;		/* of the last row */
	struct leat_readings_next *next;	/* owned: by series */
	size_t next_cap;
};

struct leat_readings {
	struct leat_readings_file *file;
	size_t count;
	struct leat_readings_file *alone;	/* the file whose rows may be handed out as they are read; NULL: merge */
	size_t due;			/* the file to be read on before the next row is known; count: none */
	size_t primed;			/* files that have been read into the heap */
	size_t *heap;			/* file numbers, the earliest row at 0 */
	size_t heap_len;
	struct leat_names assets, points;
	struct leat_pairs series;
	struct leat_names extra;	/* further columns of the output */
	struct leat_readings_shape *shape;	/* owned: by series */
	size_t shape_cap;
	struct leat_names heads;	/* the heads of shapes ... */
	uint32_t *head_series;		/* owned: ... and of which series each is */
	size_t head_cap;
	struct leat_time *heard;	/* owned: by group, the instant at which it reported last */
	size_t heard_cap;
	long long passed;		/* rows passed over */
	struct leat_out *pass_to;	/* borrowed: where rows are copied that are passed over; NULL: nowhere */
	struct leat_readings_count counted;
	struct leat_span rejected;
	bool any_order;			/* files one after another, times may go back */
	bool failed;
	struct leat_error failure;	/* when failed */
};

/* The next row of all files, where it is not that of a file that is alone. */
enum leat_readings_status leat_readings_merge(struct leat_readings *in, struct leat_reading *r, struct leat_error *err);

/* The next row of the file where it is like one before; false: the long way is to be gone. */
bool leat_readings_quick(struct leat_readings *in, struct leat_readings_file *file, struct leat_reading *r);

/* Learns the shape of a row that went the long way and was accepted.  0, or -1 when memory is out. */
int leat_readings_learn(struct leat_readings *in, struct leat_readings_file *file, const struct leat_reading *r)
    LEAT_MUST_USE;

/* Remembers the time of a row that was accepted, and its text. */
void leat_readings_keep_time(struct leat_readings_file *file, struct leat_time time, struct leat_span text);

/* Reads one file on into file->reading. */
enum leat_readings_status leat_readings_file_next(struct leat_readings *in, size_t number, struct leat_error *err);

#endif
