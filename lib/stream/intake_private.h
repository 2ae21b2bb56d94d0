/*
 * What the files of the intake share.
 */
#ifndef LEAT_STREAM_INTAKE_PRIVATE_H
#define LEAT_STREAM_INTAKE_PRIVATE_H

#include "stream/intake.h"
#include "stream/sorter.h"

/* One of the sequences that are merged: a file in order, or the sorter with all others. */
struct leat_intake_lane {
	struct leat_time time;	/* of its next reading, or no later than that */
	size_t file;		/* of its next reading */
	bool sorter;
	bool due;		/* its next reading is still to be fetched */
};

struct leat_intake_merge {
	struct leat_intake_lane *lane;	/* a heap, the next reading on top */
	size_t lanes;
	size_t *unordered;		/* files to be drained into the sorter */
	size_t unordered_count, drained;
	struct leat_sorter *sorter;	/* NULL: every file is in order */
	struct leat_arrival sorted;	/* the next reading of the sorter */
	bool has_note;
	struct leat_error note;
	struct leat_buf rejected;	/* the bytes of the last rejected line */
};

/* A token of a file: 0 while the tag was not seen, LEAT_INTAKE_UNKNOWN when points.csv does not have it, else 1 + the
 * number of its struct leat_intake_tag. */
#define LEAT_INTAKE_UNKNOWN UINT32_MAX

/* The tag as a name for the output, and its row of points.csv or NULL.  0, or -1 when memory is out. */
int leat_intake_tag_name(const struct leat_points *points, struct leat_span tag, struct leat_buf *name,
    const struct leat_point **row) LEAT_MUST_USE;

/* Prepares the tag of a sample that is the first of its tag in the file.  0, or -1 with err. */
int leat_intake_tag_new(struct leat_intake *in, size_t file, const struct leat_sample *first, uint32_t *token,
    struct leat_error *err) LEAT_MUST_USE;

/* Opens the file's export under its form.  0, or -1 with err. */
int leat_intake_wake(struct leat_intake *in, size_t file, struct leat_error *err) LEAT_MUST_USE;

/* The file's next reading, into file->arrival: any status but LEAT_INTAKE_NOTE; at its end the export is closed and
 * its account is final. */
enum leat_intake_status leat_intake_fetch(struct leat_intake *in, size_t file, struct leat_error *err) LEAT_MUST_USE;

#endif
