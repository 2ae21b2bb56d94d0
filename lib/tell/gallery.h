/*
 * Pictures of the series that findings name.
 *
 *	g = leat_gallery_new(&form);
 *	leat_gallery_findings(g, findings)	which series are wanted, and their limits, baselines and forecasts
 *	leat_gallery_read(g, path)		their readings, one pass
 *	leat_gallery_picture(g, asset, point, page)
 *
 * Memory is per series that is wanted, whatever the readings: of each column of a picture four are kept (tell/picture.h).
 */
#ifndef LEAT_TELL_GALLERY_H
#define LEAT_TELL_GALLERY_H

#include "base/mem.h"
#include "base/zone.h"
#include "stream/finding.h"

/* A flood of findings has no flood of pictures: the series of the gravest findings have one. */
#define LEAT_GALLERY_MOST 96u

/* Nor is a page too large for a mail, of which many servers take 10 MB: pictures are put until there are so many bytes. */
#define LEAT_GALLERY_BYTES 3000000u

struct leat_gallery_form {
	const struct leat_zone *zone;	/* of the works; borrowed */
	struct leat_time now;		/* readings later than now are left out */
	struct leat_time since;		/* series of findings that ended before are not wanted; LEAT_TIME_NONE: none are */
};

struct leat_gallery;

/* NULL when memory is out. */
struct leat_gallery *leat_gallery_new(const struct leat_gallery_form *form);
void leat_gallery_free(struct leat_gallery *g);

/* Wants the series of these findings, which it borrows until it is freed: what is open, the gravest first, and what ended
 * since.  Of an asset without a reading of that point those of what is below it serve, as of its sampling points.  To be
 * called once.  0, or -1 with err when memory is out. */
int leat_gallery_findings(struct leat_gallery *g, const struct leat_findings *findings, struct leat_error *err) LEAT_MUST_USE;

/* Takes the readings of one file ("-": standard input), in order of time.  0, or -1 with err; rows that are no readings are
 * counted in *rejected. */
int leat_gallery_read(struct leat_gallery *g, const char *path, long long *rejected, struct leat_error *err) LEAT_MUST_USE;

/* Marks what the logbook says was done, up to now; lines of it at fault are left out, and a file that is absent has none.  To
 * be called once, after leat_gallery_findings.  0, or -1 with err. */
int leat_gallery_logbook(struct leat_gallery *g, const char *path, struct leat_error *err) LEAT_MUST_USE;

enum leat_gallery_has {
	LEAT_GALLERY_FAILED = -1,	/* memory is out */
	LEAT_GALLERY_NONE,		/* there is no picture of that series */
	LEAT_GALLERY_PUT,
	LEAT_GALLERY_PUT_PART,		/* more of what is below the asset has readings than a picture shows */
	LEAT_GALLERY_LEFT_OUT,		/* there are readings, and LEAT_GALLERY_MOST pictures of graver findings */
	LEAT_GALLERY_FULL,		/* likewise, and LEAT_GALLERY_BYTES of pictures put before */
	LEAT_GALLERY_BEFORE		/* it was put before, and is not put again */
};

/* Are there readings of that series, whether it has a picture or is left out? */
bool leat_gallery_has(const struct leat_gallery *g, struct leat_span asset, struct leat_span point);

/* Adds the picture of a series to the page as two SVG elements, one of class broad and one for narrow screens of class slim,
 * of which the style sheet shows one.  g may be NULL: there is none. */
enum leat_gallery_has leat_gallery_picture(struct leat_gallery *g, struct leat_span asset, struct leat_span point,
    struct leat_buf *page);

/* Begins anew: all pictures may be put again. */
void leat_gallery_rewind(struct leat_gallery *g);

#endif
